// SPDX-License-Identifier: MIT
/// Analysis of variance: how much of the scatter of readings comes from what they were grouped by.
///
/// Readings in any unit; sums of squares, mean squares and variances in its square. All factors are
/// taken as random: days, operators, parts stand for more of their kind. A variance component is
/// the difference of two mean squares and can come out negative, which says that it is not seen; it
/// is given as it comes out.
/// Source: JCGM 100:2008 H.5; Searle, Casella, McCulloch, Variance Components, ch. 4.
#pragma once

#include <cstddef>
#include <span>
#include <vector>

namespace holdable::stats {

/// One source of scatter.
struct Variation {
    double sum_of_squares = 0; ///< (unit²)
    double dof = 0;            ///< degrees of freedom (count)

    /// sum_of_squares/dof; 0 without degrees of freedom.
    double mean_square() const { return dof > 0 ? sum_of_squares / dof : 0.0; }
};

/// Whether one mean square is larger than another by more than chance.
struct FTest {
    double ratio = 0; ///< F, of the mean squares (pure number)
    double p = 1;     ///< P(F_ν1,ν2 ≥ ratio) where both have the same expectation
};

/// Compares mean squares. Without scatter in the second: ratio = the largest double and p = 0, or
/// 0 and 1 if there is none in the first either.
/// @throws NumericError if either has no degrees of freedom
FTest f_test(const Variation& of, const Variation& against);

/// y_ij = μ + B_i + E_ij: readings j in groups i, of equal numbers or not.
struct OneWay {
    double mean = 0;            ///< of all readings
    Variation between, within;  ///< g − 1 and N − g degrees of freedom
    FTest test;                 ///< between against within
    double repeat_variance = 0; ///< of E, the mean square within
    double group_variance = 0;  ///< of B, (MS between − MS within)/n_0
    double group_size = 0;      ///< n_0 = (N − Σ n_i²/N)/(g − 1), the number if all are equal
};

/// One-way analysis of g ≥ 2 groups.
/// @throws NumericError for fewer than two groups, an empty one, or none with two readings
OneWay one_way(std::span<const std::vector<double>> groups);

/// Readings of every combination of two factors, all repeated equally often.
struct Crossed {
    std::size_t first = 0, second = 0; ///< numbers of levels a, b (counts), each ≥ 2
    std::size_t repeats = 0;           ///< r (count), ≥ 2
    std::vector<double> readings;      ///< a · b · r: level of the first slowest, repeat fastest
};

/// y_ijk = μ + A_i + B_j + (AB)_ij + E_ijk.
struct TwoWay {
    double mean = 0;
    Variation first, second;
    Variation interaction; ///< no degrees of freedom where it was pooled
    Variation repeat;
    FTest first_test, second_test; ///< against interaction; where pooled, against repeat
    FTest interaction_test;        ///< against repeat; where pooled, ratio 0 and p 1
    double first_variance = 0, second_variance = 0, interaction_variance = 0, repeat_variance = 0;
};

/// What becomes of the interaction.
enum class Interaction {
    kept,  ///< a source of its own
    pooled ///< taken for repeatability: its squares and degrees of freedom go there
};

/// Two-way crossed analysis with repeats. The number of readings is asserted.
/// @throws NumericError for fewer than two levels of a factor or fewer than two repeats
TwoWay two_way(const Crossed& crossed, Interaction interaction = Interaction::kept);

} // namespace holdable::stats
