// SPDX-License-Identifier: MIT
/// What was checked, when, with what, and how far the axes went: the record for those who ask.
#pragma once

#include "holdable/machine/shop.hpp"

#include <array>
#include <optional>
#include <string>
#include <vector>

namespace holdable {

/// One check as a record lists it.
struct CheckRecord {
    std::string name;
    std::string kind; ///< in the words of a machine file: "square", "circle", …
    Date date;
    std::vector<std::string> instruments; ///< by their names
    std::string self_check; ///< how it shows the error of its own instrument, in words; else empty
};

/// All checks of a shop, its logs among them, in the order of their days.
std::vector<CheckRecord> check_records(const Shop& shop);

/// From where to where an axis was read by any check (m).
struct CheckedSpan {
    double low = 0, high = 0;
};

/// For X, Y and Z; none where no check moved that axis along itself.
std::array<std::optional<CheckedSpan>, 3> checked_travel(const Shop& shop);

/// One instrument behind the checks.
struct InstrumentRecord {
    std::string name;
    std::string kind; ///< "indicator", "square", …
    std::optional<Certificate> certificate;
    std::string grade_or_limit; ///< what is known of it without a certificate, in words
};

/// Instruments that some check names, each once, in the order of the machine file.
std::vector<InstrumentRecord> instruments_used(const Shop& shop);

} // namespace holdable
