// SPDX-License-Identifier: MIT
#include "holdable/base/date.hpp"

#include "holdable/base/error.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>

namespace holdable {
namespace {

int digits(std::string_view text) {
    int number = 0;
    std::from_chars(text.data(), text.data() + text.size(), number);
    return number;
}

bool has_form(std::string_view text) {
    constexpr std::string_view form = "dddd-dd-dd";
    return text.size() == form.size() &&
           std::equal(text.begin(), text.end(), form.begin(), [](char c, char f) {
               return f == 'd' ? c >= '0' && c <= '9' : c == f;
           });
}

} // namespace

Date parse_date(std::string_view text) {
    using namespace std::chrono;
    if (has_form(text)) {
        const year_month_day date{year{digits(text.substr(0, 4))},
                                  month{static_cast<unsigned>(digits(text.substr(5, 2)))},
                                  day{static_cast<unsigned>(digits(text.substr(8, 2)))}};
        if (date.ok() && date.year() >= year{1900} && date.year() < year{2200})
            return Date{date};
    }
    throw InputError("date-syntax",
                     fmt::format("\"{}\" is not a date", text),
                     "write year, month and day as in \"2026-11-20\"");
}

std::string to_string(Date date) {
    const std::chrono::year_month_day d{date};
    return fmt::format("{:04}-{:02}-{:02}",
                       static_cast<int>(d.year()),
                       static_cast<unsigned>(d.month()),
                       static_cast<unsigned>(d.day()));
}

double years_between(Date from, Date to) {
    return static_cast<double>((to - from).count()) / 365.2425;
}

Date today() {
    return std::chrono::floor<std::chrono::days>(std::chrono::system_clock::now());
}

} // namespace holdable
