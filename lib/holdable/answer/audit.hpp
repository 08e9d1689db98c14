// SPDX-License-Identifier: MIT
/// All that stands behind one claim, line by line: for an auditor, and for trying a change.
///
/// To first order about the means of all inputs the value of the next part is f + Σ c_i (ξ_i − m_i)
/// with c_i = ∂f/∂ξ_i, and u² = Σ (c_i u_i)². Where f has a kink at the estimate, as the lean of an
/// axis at zero, that does not hold, which is said, and Monte Carlo alone decides.
#pragma once

#include "holdable/part/features.hpp"
#include "holdable/propagate/first_order.hpp"
#include "holdable/propagate/promise.hpp"

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

namespace holdable {

/// One input and what it does to the value.
struct AuditLine {
    Input input;
    double standard = 0;         ///< u_i (unit of the input, SI)
    std::optional<double> dof{}; ///< of u_i; none = infinitely many
    double sensitivity = 0;      ///< c_i (m per that unit)
    double contribution = 0;     ///< |c_i| u_i (m)
    double share = 0;            ///< of u²
};

/// A known error in the value.
struct AuditKnown {
    std::string meaning;
    double effect = 0; ///< on the value, to first order (m)
    Evidence evidence = Evidence::measured;
};

/// The budget of one characteristic by first order, beside what was simulated.
struct Audit {
    double value = 0;           ///< of the next part, all inputs at their means (m)
    double standard = 0;        ///< u (m)
    double dof = 0;             ///< effective; 1e6 and more: normal
    double limit = 0;           ///< the share `parts` of next parts lies within, by first order (m)
    bool two_sided = false;     ///< about `middle`, else an upper limit
    double middle = 0;          ///< of the limits of a size, as a deviation from the nominal (m)
    bool applies = true;        ///< no kink within two standard uncertainties
    double simulated_limit = 0; ///< the same by Monte Carlo (m)
    double numerical_tolerance = 0; ///< δ of u at two digits, JCGM 101 7.9.2 (m)
    bool valid = false;  ///< it applies, and the two limits agree within δ (JCGM 101 clause 8)
    double parts = 0.95; ///< P
    std::vector<AuditKnown> known; ///< 0.1 % of the value or more
    std::vector<AuditLine> lines;  ///< by contribution, the largest first; those that move it
};

/// Takes one characteristic apart. @param c its number in `part` @param p what was simulated of it
/// @param parts P, share of the parts
Audit audit(const PartModel& part, std::size_t c, const Promise& p, double parts);

/// The limit by first order once some contributions have changed: `times[i]` multiplies the
/// standard uncertainty of line i. @param times shape of the lines; none: 1
double limit_after(const Audit& audit, const std::vector<double>& times);

} // namespace holdable
