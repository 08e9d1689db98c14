// SPDX-License-Identifier: MIT
/// Lengths and slopes as a shop writes them.
///
/// Inch: no zero before the point, ".0005 in", slopes over a foot, ".0005 in/ft". Metric: the zero
/// stays, "0.013 mm", lengths below 0.01 mm are in micrometres, "8.4 µm", slopes over 300 mm,
/// "0.013 mm/300mm". Beside it in brackets the other unit; beside a slope its angle. Everything
/// printed here `parse_quantity` reads back.
#pragma once

#include "holdable/report/numbers.hpp"

#include <string>
#include <string_view>

namespace holdable {

/// Which habit a text follows.
enum class Habit { inch, metric };

/// The habit of a file that says whether its units are inches.
constexpr Habit habit(bool inch) {
    return inch ? Habit::inch : Habit::metric;
}

/// The other one, for brackets.
constexpr Habit other(Habit h) {
    return h == Habit::inch ? Habit::metric : Habit::inch;
}

/// A unit to print in.
struct ShopUnit {
    std::string_view spelling; ///< as `parse_unit` reads it
    double size = 1;           ///< SI units in one of it (m or rad)
    bool drops_zero = false;   ///< ".5" instead of "0.5"
};

/// The unit for lengths of about this size. @param size (m), either sign
ShopUnit length_unit(Habit habit, double size);

/// The unit for slopes.
ShopUnit slope_unit(Habit habit);

/// Seconds of arc.
ShopUnit arc_seconds();

/// The decimal place of the last of `digits` significant digits in a unit; 0 for x = 0.
/// @param si value in SI units
int place_in(const ShopUnit& unit,
             double si,
             int digits = 2,
             Rounding rounding = Rounding::nearest);

/// The number alone, to a decimal place of the unit.
/// @param si value in SI units
std::string
number_in(const ShopUnit& unit, double si, int place, Rounding rounding = Rounding::nearest);

/// An estimate and its standard uncertainty as numbers in a unit (GUM 7.2.6). @param value,standard
/// in SI units
Printed printed_in(const ShopUnit& unit, double value, double standard);

/// A length with its unit. @param m (m)
std::string
length_text(double m, Habit habit, int digits = 2, Rounding rounding = Rounding::nearest);

/// The same, the other unit in brackets: ".0005 in (0.013 mm)". Both are rounded the same way.
std::string
length_in_both(double m, Habit habit, int digits = 2, Rounding rounding = Rounding::nearest);

/// A slope with its unit. @param rad (rad)
std::string
slope_text(double rad, Habit habit, int digits = 2, Rounding rounding = Rounding::nearest);

/// The same with the angle in brackets: ".0005 in/ft (8.6 arcsec)".
std::string
slope_in_both(double rad, Habit habit, int digits = 2, Rounding rounding = Rounding::nearest);

/// A place on the machine or a size of the part: "6.000 in", "152.40 mm". @param m (m)
std::string coordinate_text(double m, Habit habit);

/// A length given exactly, zeros at its end dropped: ".005 in", "0.0125 mm".
/// @param digits that may stand at most
std::string exact_length(double m, Habit habit, int digits = 4);

/// A quantity as its writer wrote it, zeros behind the point kept, in the habit of its own unit:
/// "0.0010 in" is ".0010 in", "0.02 mm" stays. The number counts if the text is none.
/// @param written text of a quantity, may be empty @param m its value (m)
std::string as_written(std::string_view written, double m, Habit habit);

/// What can be promised against a limit (both m): rounded up at two digits, with more digits where
/// two would lift it over a limit that it keeps. Without unit.
std::string promised_number(const ShopUnit& unit, double promised, double limit);

} // namespace holdable
