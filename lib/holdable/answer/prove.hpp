// SPDX-License-Identifier: MIT
/// PROVE: can the gauge named for a callout show that the part is good?
///
/// The gauge's doubts give the standard uncertainty u of a value read (decide/inspection.hpp), the
/// rule its guard bands g u, and these what proving costs: λ = (limits · g u + |b|)/T, b a known
/// error. λ ≤ 0.25 is YES, to 0.5 MARGINAL, beyond or without a reading that proves NO; CAN'T SAY
/// where no gauge is named, where nothing is stated of its error, or where a critical part has no
/// rule of the customer's. Out of calibration it is MARGINAL at best.
///
/// Beside it parts and their readings are drawn together (propagate/measured.hpp), with the parts
/// that are expected of the machine as prior. What the gauge shares with the machine file, a square
/// or an indicator, is one input in both.
///
/// A probe on the machine that cuts the part. What is read is reduction(d(part) − d(machine)) + v:
/// errors of the machine stand in both and do not show, so they are errors of the measurement, M −
/// X. The doubt about X is MAKE; PROVE judges M − X.
#pragma once

#include "holdable/answer/verdict.hpp"
#include "holdable/decide/inspection.hpp"
#include "holdable/decide/rule.hpp"
#include "holdable/machine/state.hpp"
#include "holdable/part/features.hpp"
#include "holdable/part/job.hpp"
#include "holdable/propagate/measured.hpp"

#include <cstddef>
#include <map>
#include <optional>
#include <string>
#include <vector>

namespace holdable {

/// One line of what u is made of.
struct ProofSource {
    std::string meaning;     ///< shop words
    double contribution = 0; ///< to u (m)
    double share = 0;        ///< of the variance
    Evidence evidence = Evidence::measured;
};

/// What of a part's possible errors a machine does not see that measures what it has cut.
struct Unseen {
    double share = 0;  ///< of the variance of what the part may be off by, 0 … 1
    std::string first; ///< the largest of it, shop words; empty where there is none
};

/// The answer for one callout.
struct Proof {
    Verdict verdict = Verdict::cant_say;
    std::string reason;          ///< one, in shop words
    std::string gauge;           ///< as the job names it; empty: none
    bool judged = false;         ///< the numbers below mean something
    double standard = 0;         ///< u of a value (m)
    std::optional<double> dof{}; ///< of u; none = infinitely many
    double k = 0;                ///< coverage factor at 95 %
    double expanded = 0;         ///< U = k u (m)
    double known_error = 0;      ///< b, mean of reading less truth, not corrected (m)
    double tolerance = 0;        ///< T: width between the limits, or the zone (m)
    int limits = 1;              ///< 2 of a size
    double ratio = 0;            ///< T/(2U), with one limit T/U
    decide::Cost cost{};
    decide::Limits acceptance{}; ///< readings that prove; sizes of a size (m)
    std::vector<ProofSource> sources;
    std::optional<MeasuredParts> parts{}; ///< none where the parts could not be computed
    std::optional<Unseen> unseen{};       ///< of a probe on the machine that cuts
    /// Tightest tolerance that can be cut and proved here: half the width of a size, the zone
    /// otherwise (m).
    std::optional<double> offered{};
    std::optional<double> wanted{}; ///< U up to which a gauge would do (m)
    std::optional<Date> due{};      ///< of the gauge's calibration
    std::vector<std::string> must_be_true, notes;
};

/// A critical part has no rule but the customer's own: whether that is missing.
bool lacks_rule(const Job& job);

/// The inspection that a gauge makes of a callout. @throws InputError [gauge-range], [gauge-use]
/// where it cannot
decide::Inspection inspection_of(const decide::PartGauge& gauge,
                                 const Callout& callout,
                                 const Job& job,
                                 const Shop& shop);

/// Judges the gauges of one job.
class Prover {
  public:
    /// Refers to all of them.
    Prover(const MachineState& state,
           const PartQuestion& question,
           const Job& job,
           const PromiseOptions& options);

    /// @param computed the characteristic of the callout can be drawn
    /// @param risks draw parts and readings too; without that `parts` and `offered` stay empty
    /// @throws InputError [gauge-unknown], [gauge-range], [gauge-use]; NumericError as `gum`
    Proof prove(std::size_t callout, bool computed, bool risks = true);

  private:
    const PartQuestion& seen_with(double probe_length);

    const MachineState* state_;
    const PartQuestion* question_;
    const Job* job_;
    const PromiseOptions* options_;
    std::map<double, PartQuestion> seen_; // by the length of the probe
};

} // namespace holdable
