// SPDX-License-Identifier: MIT
/// Measuring a part: what is known of gauge, user and temperature, and what that can prove.
///
/// A reading, the mean of n repeats, less the true size at 20 °C is
///
///     e = instrument + master + resolution + repeat + operators + L (α_p (T_p − t_0) − α_g (T_g −
///     t_0))
///
/// where the instrument's error is that of its certificate, its limit of error, or what readings of
/// references showed; with L the nominal size, α the expansions of part p and gauge g, T their
/// temperatures, t_0 = 20 °C. Its mean b is a known error: a warm part reads large. The doubts are
/// propagated by the GUM's law (`propagate::gum`) to u and, with k from its degrees of freedom, to
/// U = k u at 95 %. Resolution, rectangular ± half a division, counts in full where the repeats
/// scatter by less than half a division, else they contain it. Repeats are averaged, operators are
/// not.
///
/// Proving with 95 % costs the share
///
///     lost = (2 g u + |b|)/T, with one limit (g u + |b|)/T
///
/// of the tolerance T (g: rule.hpp, also of a rule of the customer's own); b is 0 where readings
/// are corrected for temperature. Where nothing is stated of the gauge's error, u is without it:
/// the least that it can be.
#pragma once

#include "holdable/base/date.hpp"
#include "holdable/decide/gauge_study.hpp"
#include "holdable/decide/rule.hpp"
#include "holdable/propagate/gum.hpp"

#include <optional>
#include <string>
#include <vector>

namespace holdable::decide {

/// A standard uncertainty and what it rests on.
struct Doubt {
    double standard = 0;         ///< (m)
    std::optional<double> dof{}; ///< none = infinitely many
    Evidence evidence = Evidence::measured;
};

/// The error of a gauge, reading less truth, as readings of known references show it.
struct FoundError {
    double value = 0;                     ///< at the nominal size (m)
    Doubt doubt{};                        ///< of it, from the scatter of the readings
    Doubt reference{};                    ///< of the references
    bool corrected = false;               ///< readings are corrected for it
    std::optional<BiasStudy> bias{};      ///< where it comes from one reference (m)
    std::optional<Linearity> linearity{}; ///< where it comes from several sizes (m)
};

/// The calibration of something that measures.
struct Calibration {
    std::string of;        ///< what was calibrated
    std::string reference; ///< number of its certificate
    std::optional<Date> due{};
};

/// A material's expansion.
struct Body {
    double temperature = 293.15; ///< while it is measured (K)
    double expansion = 0;        ///< (1/K)
    double expansion_limit = 0;  ///< half-width of a rectangle about it (1/K)
};

/// The measurement of one characteristic.
struct Inspection {
    std::string title;
    std::string characteristic;
    double nominal = 0;            ///< size over which it expands, may be 0 (m)
    std::optional<double> lower{}; ///< limit (m); none: only `upper`, a zone that begins at 0
    double upper = 0;              ///< limit (m)
    std::string instrument;
    double resolution = 0;                 ///< one division as read (m)
    std::optional<double> max_error{};     ///< limit of error of a gauge without certificate (m)
    std::optional<Doubt> certificate{};    ///< of the gauge, where there is one
    std::optional<FoundError> found{};     ///< goes before both
    std::optional<Date> due{};             ///< day on which the first of its certificates runs out
    std::vector<Calibration> calibrations; ///< of all that it rests on
    std::string master;                    ///< what it is set on; empty: nothing
    Doubt master_doubt{};                  ///< of that
    int repeats = 1;                       ///< n readings are averaged
    Doubt scatter{};                       ///< of one reading by one operator
    Doubt operators{};                     ///< from operator to operator
    std::optional<GaugeStudy> study{};     ///< where the last two come from it (m, m²)
    Body part{}, gauge{};
    double temperature_limit = 0; ///< half-width of a rectangle for each of the two (K)
    bool corrected = false;       ///< readings are corrected for temperature
    bool expands = true; ///< part and gauge do, over the size; a lean does not, and on the machine
                         ///< warmth stands among its own errors
    std::optional<double>
        process_scatter{}; ///< standard deviation of the parts, about the middle (m)
    bool critical = false; ///< lifting, pressure, medical, flight: only the customer's rule decides
    std::optional<CustomerRule> rule{}; ///< instead of that of ISO 14253-1
    bool inch = false;                  ///< what reports print
    std::vector<std::string> notes;

    /// Whether anything is stated of the error of the gauge.
    bool error_stated() const { return found || certificate || max_error; }

    /// T: upper less lower limit (m).
    double tolerance() const { return upper - lower.value_or(0); }
};

/// What an inspection is worth.
struct Worth {
    propagate::GumOutput error; ///< of e: u, dof, k, U, contributions (m); names as in the equation
    double known_error = 0;     ///< b, 0 where corrected (m)
    double ratio = 0;           ///< T/(2U), with one limit T/U (pure number)
    Cost cost;                  ///< g, and the share of the tolerance that is lost
    Limits acceptance;          ///< readings that prove (m); low above high: there are none
    std::optional<GlobalRisk> risk{}; ///< with these limits, where the process is known
};

/// The equation above as a budget. `meaning` of each input is in the words of the shop.
propagate::Budget budget(const Inspection& inspection);

/// @throws NumericError as `propagate::gum`, or where nothing is in doubt
Worth worth(const Inspection& inspection);

} // namespace holdable::decide
