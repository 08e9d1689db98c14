// SPDX-License-Identifier: MIT
/// Standard tolerances and fits of ISO 286-1, for sizes up to 500 mm.
///
/// A tolerance class such as H7 is a letter for where the zone lies and a grade for how wide it is:
/// capital letters for holes (anything internal), small ones for shafts (anything external). With
/// the standard tolerance IT_n and one fundamental deviation the other follows:
///
///     shafts d … h: upper = -|table|,  lower = upper - IT_n
///     shafts k … s: lower = +table,    upper = lower + IT_n
///     js and JS:    ± IT_n/2
///     holes D … H:  lower = -upper(shaft)
///     holes K … S:  upper = -lower(shaft) + Δ,  Δ = IT_n - IT_(n-1)
///
/// Δ counts for sizes above 3 mm, for K, M and N up to grade 8, for P, R and S up to grade 7; else
/// it is 0. Beyond that: k is 0 in grades above 7; N above grade 8 is 0 above 3 mm; M6 above 250 up
/// to 315 mm is -9 µm and not -11 µm. K above grade 8, and N above grade 8 up to 1 mm, are not
/// offered. js is not rounded where IT_n is odd.
///
/// Steps of size run from over one limit up to and including the next: exactly 10 mm belongs to the
/// step 6 … 10 mm. Values stand as tables: the formulas behind them, i = 0.45 ∛D + 0.001 D µm and
/// its like, do not give the published figures in every cell. Sizes are compared to 1e-9 of
/// themselves.
///
/// Sources: standard tolerances from three printed copies of the table that agree; fundamental
/// deviations and rules from memory of ISO 286-1:2010, confirmed by its formulas.
#pragma once

#include <optional>
#include <string>
#include <string_view>

namespace holdable {

/// The width IT1 … IT14 of a standard tolerance (m).
/// @param size nominal, above 0 up to 500 mm (m)
/// @throws InputError [size-range]; [grade-unknown] for another grade, and for IT14 up to 1 mm
double tolerance_grade(double size, int grade);

/// The finest grade whose width is at least this one (m): the grade a promise of this width holds.
/// @param size nominal, above 0 up to 500 mm (m)
/// @return none where the width is more than that of the coarsest grade
/// @throws InputError [size-range]
std::optional<int> grade_held(double size, double width);

/// Where the limits of size lie from the nominal size, signed (m).
struct Deviations {
    double lower = 0;
    double upper = 0;
};

/// A tolerance class: one half of a fit.
struct ToleranceClass {
    bool hole = true;    ///< internal, a capital letter; else a shaft
    std::string letters; ///< as written: "H", "JS", "g"
    int grade = 0;       ///< the number behind them
};

/// The class written as "H7" or "g6": one of D E F G H JS K M N P R S or d e f g h js k m n p r s,
/// and a grade the standard has for it (IT5 … IT11 at most; h, H, js and JS from IT1 to IT14).
/// @throws InputError [fit-unknown], the hint naming what is known
ToleranceClass tolerance_class(std::string_view text);

/// The limits of size of that class.
/// @param size nominal, above 0 up to 500 mm (m) @param fit as `tolerance_class` gives it
/// @throws InputError [size-range]; [fit-unknown] where it is not offered at this size
Deviations fit_limits(double size, const ToleranceClass& fit);

/// The same from its text. @throws InputError as both do
Deviations fit_limits(double size, std::string_view text);

} // namespace holdable
