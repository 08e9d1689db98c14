// SPDX-License-Identifier: MIT
/// Calendar dates, as files write them: "2026-11-20" (ISO 8601).
#pragma once

#include <chrono>
#include <string>
#include <string_view>

namespace holdable {

/// A day of the Gregorian calendar.
using Date = std::chrono::sys_days;

/// Reads a date "YYYY-MM-DD" between the years 1900 and 2199.
/// @throws InputError [date-syntax] for another form or a day that does not exist
Date parse_date(std::string_view text);

/// Prints a date as "YYYY-MM-DD".
std::string to_string(Date date);

/// Time from one day to another (years of 365.2425 days), negative if `to` is before `from`.
double years_between(Date from, Date to);

/// Today by the clock of this computer, in universal time.
Date today();

} // namespace holdable
