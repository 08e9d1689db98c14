// SPDX-License-Identifier: MIT
/// The numbers of a `budget/1` input: quantities with any unit, or bare beside a `unit`.
///
/// A place is a value, limit or reading; a spread is a half-width or an uncertainty. Beside °C and
/// °F a place is a temperature and a spread a difference. A unit that is not known is carried by
/// its spelling: everything about one input must be spelt alike.
#pragma once

#include "holdable/files/reader.hpp"
#include "holdable/propagate/budget.hpp"

#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace holdable {

/// Units met that are not known. One that is near a known one is remarked upon, once.
class UnknownUnits {
  public:
    /// The unit of that spelling, known or not.
    /// @throws InputError [unit-refused, unit-syntax]
    propagate::BudgetUnit unit(std::string_view spelling, const Reader& field);

    /// What was remarked.
    const std::vector<std::string>& notes() const { return notes_; }

  private:
    std::vector<std::string> seen_;
    std::vector<std::string> notes_;
};

/// The unit that the numbers of an input or part are written in, from its first quantity that is no
/// part of another (percent); none if all are bare.
std::optional<propagate::BudgetUnit> unit_of_quantities(const Reader& item, UnknownUnits& units);

/// Reads the numbers of one input or part into inside units.
class InputNumbers {
  public:
    /// @param unit of the input
    /// @param bare unit of bare numbers; none: they are refused, but for 0 [unit-missing]
    InputNumbers(propagate::BudgetUnit unit,
                 std::optional<propagate::BudgetUnit> bare,
                 UnknownUnits& units)
        : unit_(std::move(unit)), bare_(std::move(bare)), units_(&units) {}

    /// A value, limit or reading of the input itself.
    double place(const Reader& field) const { return read(field, false).value_or(0); }

    /// A number that is added to the input: a temperature's is a difference.
    double shift(const Reader& field) const { return read(field, true).value_or(0); }

    /// A spread, ≥ 0 [value-range]. Percent and ppm are of `whole` where the unit is another.
    /// @param whole the value; none: there is nothing to take a part of
    double spread(const Reader& field, std::optional<double> whole) const;

    /// A mean that must be above 0 [value-range].
    double positive(const Reader& field) const;

    /// The same numbers, bare ones in another unit.
    InputNumbers with_bare(propagate::BudgetUnit bare) const { return {unit_, bare, *units_}; }

  private:
    /// A number in its unit.
    struct Written {
        double number = 0;
        propagate::BudgetUnit unit;
    };

    std::optional<Written> written(const Reader& field) const;
    std::optional<double> read(const Reader& field, bool difference) const;
    bool fits(const Written& number, const Reader& field, bool difference) const;

    propagate::BudgetUnit unit_;
    std::optional<propagate::BudgetUnit> bare_;
    UnknownUnits* units_;
};

} // namespace holdable
