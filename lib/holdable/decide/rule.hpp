// SPDX-License-Identifier: MIT
/// Decision rules: which measured values prove that a part is good, and what is risked by them.
///
/// A value y with standard uncertainty u leaves the true value at y + u z, z normal, or t with few
/// degrees of freedom. The probability of conformance is p_c = F((T_U − y)/u) − F((T_L − y)/u)
/// (JCGM 106:2012, clause 7). Measured values between T_L + g u and T_U − g u prove conformance
/// with p_c ≥ P (the idea of ISO 14253-1, P = 0.95). At either end of that zone
///     F(g) − F(g − T/u) = P,
/// so that g is 1.645 where only one limit matters and grows where T/u is small; where
/// 2 F(T/2u) − 1 < P no value proves anything. `lost`, 2 g u/T (one limit: g u/T), is the share of
/// the tolerance that proving costs.
///
/// Before measuring, parts come from N(m, s²): the two global risks are the chances that a part is
/// bad and accepted, or good and refused (JCGM 106, clause 9). They are of all parts, not of the
/// accepted or refused ones.
/// Formulas of JCGM 106 and ISO 14253-1 from memory.
#pragma once

#include <limits>
#include <optional>
#include <string>

namespace holdable::decide {

inline constexpr double proof = 0.95; ///< probability of conformance at an acceptance limit

/// Limits of anything (its unit); an end that is not there is infinite.
struct Limits {
    double low = -std::numeric_limits<double>::infinity();
    double high = std::numeric_limits<double>::infinity();
};

/// P(true value within the limits | measured y), u > 0; dof none = normal.
double conformance(double y, double u, const Limits& limits, std::optional<double> dof = {});

/// g for a tolerance T/u standard uncertainties wide, infinite with one limit; P in (0.5, 1).
/// @return none where no measured value proves conformance
std::optional<double>
guard_factor(double probability, double tolerance_over_u, std::optional<double> dof = {});

/// A rule of the customer's own instead of that one.
struct CustomerRule {
    std::string name;             ///< as his contract calls it
    std::optional<double> band{}; ///< guard band at each limit (unit of the limits), 0 or more
    double of_expanded = 0;       ///< where there is none: guard band in U (pure number), 0 or more
    /// N to 1: where T/(2U), with one limit T/U, comes to N or more, the limits of the print are
    /// those of the readings; where it does not, no reading proves anything, or the 95 % rule
    /// holds.
    std::optional<double> ratio{};
    bool guarded_below = false; ///< the latter
    bool of_customer = true;    ///< false: the shop chose it
};

/// Simple acceptance: readings are compared with the limits of the print, and up to half of the
/// parts at a limit are bad. The shop's own choice.
CustomerRule simple_acceptance();

/// What is known of a measured value.
struct Uncertainty {
    double standard = 0;         ///< u, > 0 (unit of the limits)
    double expanded = 0;         ///< U (unit of the limits)
    std::optional<double> dof{}; ///< of u; none = infinitely many
};

/// What a rule costs.
struct Cost {
    /// g, the guard band in standard uncertainties; none: no measured value proves anything with
    /// 95 %, whatever the rule, or the customer's ratio is missed.
    std::optional<double> guard{};
    bool ratio_missed = false;
    double lost = 1; ///< share of the tolerance that guard bands and a known error take, at most 1
};

/// The guard bands of a rule, 95 % by ISO 14253-1 unless the customer has his own.
/// @param tolerance T > 0 @param limits 1 or 2 @param known_error not corrected, of either sign
Cost cost_of_proof(const Uncertainty& u,
                   double tolerance,
                   int limits,
                   double known_error = 0,
                   const std::optional<CustomerRule>& rule = {});

/// Readings that prove: the limits of the print, inward by the guard bands and, at the side where
/// it works against the proof, by a known error. Low above high where there is none.
/// @param u standard uncertainty @param known_error mean of reading less truth @param lower none:
/// one limit
Limits acceptance(const Cost& cost,
                  double u,
                  double known_error,
                  const std::optional<double>& lower,
                  double upper);

/// Chances of one part (probabilities).
struct GlobalRisk {
    double bad = 0;           ///< is outside the tolerance
    double accepted = 0;      ///< is accepted
    double accepted_bad = 0;  ///< is both: the customer's risk
    double rejected_good = 0; ///< is refused and good: the maker's risk
};

/// Parts from N(mean, scatter²), measured with u, accepted within `acceptance`; scatter, u > 0.
/// To about 1e-10.
GlobalRisk global_risk(
    double mean, double scatter, double u, const Limits& tolerance, const Limits& acceptance);

} // namespace holdable::decide
