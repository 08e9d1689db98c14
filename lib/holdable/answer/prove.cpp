// SPDX-License-Identifier: MIT
#include "holdable/answer/prove.hpp"

#include "holdable/answer/gauging.hpp"
#include "holdable/base/error.hpp"
#include "holdable/machine/square_unknowns.hpp"
#include "holdable/standards/expansion.hpp"
#include "holdable/stats/distribution.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <utility>

namespace holdable {
namespace {

using Eigen::Index;
using Eigen::VectorXd;

constexpr double bearable_cost = 0.25; // share of the tolerance up to which PROVE is YES

/// The part with one of its characteristics, to which what measures it is added.
class Measuring {
  public:
    Measuring(const PartQuestion& question, std::size_t c) {
        part_.inputs = question.model.inputs;
        part_.characteristics.push_back(question.model.characteristics[c]);
        for (std::size_t i = 0; i < part_.inputs.size(); ++i)
            at_.emplace(part_.inputs[i].name, static_cast<Index>(i));
        const Index q = elements();
        error_.known = VectorXd::Zero(q);
        error_.effect = Eigen::MatrixXd::Zero(q, inputs());
        error_.value_effect = VectorXd::Zero(inputs());
    }

    Index elements() const { return part_.characteristics[0].known.size(); }

    Index inputs() const { return static_cast<Index>(part_.inputs.size()); }

    const PartModel& part() const { return part_; }

    const MeasurementError& error() const { return error_; }

    /// An error of the value by an input, which is one with whatever has its name already.
    /// @return that one; until the next is added
    const Input& of_value(const Input& input, double effect) {
        const Index i = place(input);
        error_.value_effect[i] += effect;
        return part_.inputs[static_cast<std::size_t>(i)];
    }

    void of_value(double known) { error_.value_known += known; }

    /// An error of the first signed numbers by an input.
    void of_points(const Input& input, const VectorXd& effect) {
        const Index i = place(input);
        error_.effect.col(i).head(effect.size()) += effect;
    }

    void of_points(const VectorXd& known) { error_.known.head(known.size()) += known; }

  private:
    Index place(const Input& input) {
        const auto [at, fresh] = at_.emplace(input.name, inputs());
        if (fresh) {
            part_.inputs.push_back(input);
            const Index n = inputs();
            for (auto* matrix : {&part_.characteristics[0].effect, &error_.effect}) {
                matrix->conservativeResize(Eigen::NoChange, n);
                matrix->col(n - 1).setZero();
            }
            error_.value_effect.conservativeResize(n);
            error_.value_effect[n - 1] = 0;
        }
        return at->second;
    }

    PartModel part_;
    MeasurementError error_;
    std::map<std::string, Index> at_;
};

const decide::PartGauge& gauge_of(const Shop& shop, const Callout& callout) {
    for (const auto& gauge : shop.gauges)
        if (gauge.name == callout.gauge)
            return gauge;
    std::string known;
    for (const auto& gauge : shop.gauges)
        known += fmt::format("{}\"{}\"", known.empty() ? "" : ", ", gauge.name);
    throw InputError(
        "gauge-unknown",
        fmt::format("\"{}\": the machine file has no gauge \"{}\"", callout.name, callout.gauge),
        known.empty() ? "it has none: gauges for parts stand under \"gauges\"" : "it has " + known);
}

/// How far a place is from where its zero was, the larger of X and Y (m).
double farthest(const Callout& callout) {
    const auto* holes = std::get_if<Holes>(&callout.feature);
    if (holes == nullptr)
        return 0;
    double x = holes->front().x, y = holes->front().y;
    if (const auto* edges = std::get_if<EdgeDatum>(&callout.datum)) {
        x = edges->x;
        y = edges->y;
    } else if (const auto* bore = std::get_if<BoreDatum>(&callout.datum)) {
        x = bore->hole.x;
        y = bore->hole.y;
    }
    double far = 0;
    for (const auto& hole : *holes)
        far = std::max({far, std::abs(hole.x - x), std::abs(hole.y - y)});
    return far;
}

/// Whether its value is twice the largest of some coordinates.
bool is_twice(const Callout& callout) {
    return callout.kind == Requirement::position || callout.kind == Requirement::coaxiality ||
           callout.kind == Requirement::profile ||
           (callout.kind == Requirement::straightness &&
            std::holds_alternative<Holes>(callout.feature));
}

decide::Asked asked_of(const Callout& callout, const Job& job) {
    decide::Asked asked;
    asked.characteristic = fmt::format("{} of {}", word(callout.kind), callout.name);
    if (is_size(callout.kind)) {
        asked.nominal = callout.size.nominal;
        asked.lower = callout.size.nominal + callout.size.lower;
        asked.upper = callout.size.nominal + callout.size.upper;
    } else {
        asked.upper = callout.tolerance;
        if (callout.kind == Requirement::position)
            asked.nominal = farthest(callout);
    }
    if (is_twice(callout))
        asked.times = 2;
    const auto& expansion = expansion_of(job.material);
    asked.part = {293.15, expansion.coefficient, expansion.half_width};
    return asked;
}

void refuse_what_it_cannot(const decide::PartGauge& gauge,
                           const Callout& callout,
                           const Shop& shop) {
    const auto about = [&](const std::string& why) {
        return fmt::format("\"{}\": the gauge \"{}\" {}", callout.name, gauge.name, why);
    };
    const auto mm = [](double m) { return fmt::format("{:.6g} mm", m * 1e3); };
    if (is_size(callout.kind)) {
        const double size = callout.size.nominal;
        if ((gauge.smallest && size < *gauge.smallest * (1 - 1e-9)) ||
            (gauge.largest && size > *gauge.largest * (1 + 1e-9)))
            throw InputError("gauge-range",
                             about(fmt::format("takes {} to {}, not {}",
                                               mm(gauge.smallest.value_or(0)),
                                               mm(gauge.largest.value_or(0)),
                                               mm(size))),
                             "name one whose \"range\" holds the size");
    }
    if (!gauge.square.empty()) {
        if (callout.kind != Requirement::perpendicularity ||
            !std::holds_alternative<PlaneDatum>(callout.datum))
            throw InputError("gauge-use",
                             about(fmt::format(
                                 "reads against a square: it shows whether a hole or a wall stands "
                                 "square to a plane, and no {}",
                                 word(callout.kind))),
                             "");
        const auto square = std::find_if(shop.squares.begin(), shop.squares.end(), [&](auto& s) {
            return s.name == gauge.square;
        });
        const auto* wall = std::get_if<Wall>(&callout.feature);
        const double depth = wall != nullptr ? wall->depth : callout.hole().depth;
        if (square != shop.squares.end() && depth > square->length * (1 + 1e-9))
            throw InputError("gauge-range",
                             about(fmt::format("has a square of {}, and {} are to be read along it",
                                               mm(square->length),
                                               mm(depth))),
                             "");
    }
    const auto* bore = std::get_if<BoreDatum>(&callout.datum);
    if (gauge.on_machine() && bore != nullptr && bore->flipped)
        throw InputError(
            "gauge-use",
            about("stands on the machine: it cannot reach the first bore of a part that was turned "
                  "over"),
            "");
}

/// What a reading errs by beside the square and the machine, as inputs of the part's model.
std::vector<ProofSource> add_gauge(Measuring& measuring,
                                   const decide::PartGauge& gauge,
                                   const propagate::Budget& budget,
                                   const decide::Worth& worth) {
    std::vector<ProofSource> sources;
    for (const auto& line : worth.error.contributions) {
        const auto found = std::find_if(budget.inputs.begin(),
                                        budget.inputs.end(),
                                        [&](const auto& i) { return i.name == line.input; });
        auto law = found->parts.front().law;
        if (const auto* rectangle = std::get_if<stats::Rectangular>(&law))
            law = stats::Rectangular{0, rectangle->half_width, {}}; // a deviation
        const bool each = line.input == "resolution" || line.input == "repeat";
        // The material expands as one, cut or measured.
        const auto name = line.input == "a_part"
                              ? std::string("expansion of the part")
                              : fmt::format("gauge \"{}\", {}", gauge.name, line.input);
        const auto& input = measuring.of_value({name,
                                                {},
                                                found->meaning,
                                                law,
                                                line.evidence,
                                                each ? Sharing::part : Sharing::job,
                                                {},
                                                0},
                                               line.sensitivity);
        sources.push_back({input.meaning, line.contribution, line.share, line.evidence});
    }
    measuring.of_value(worth.known_error);
    return sources;
}

/// One more doubt, well known, beside those there are.
void add_source(Proof& proof, ProofSource source) {
    const double u = std::hypot(proof.standard, source.contribution);
    if (proof.dof) // Welch and Satterthwaite
        proof.dof = *proof.dof * std::pow(u / proof.standard, 4);
    proof.standard = u;
    proof.sources.push_back(std::move(source));
    for (auto& one : proof.sources)
        one.share = std::pow(one.contribution / u, 2);
}

/// The square's own error, known and doubtful, as what the machine's checks left of it.
struct SquareReading {
    double known = 0;    ///< σ (rad)
    double standard = 0; ///< of it (rad)
};

SquareReading add_square(Measuring& measuring,
                         const MachineState& state,
                         const Square& square,
                         const VectorXd& by_lean) {
    SquareReading reading;
    double variance_ = 0;
    const auto& unknowns = state.model.unknowns();
    const auto add = [&](const Input& input, double times) {
        const auto known = std::find_if(
            unknowns.begin(), unknowns.end(), [&](const Input& u) { return u.name == input.name; });
        if (known == unknowns.end()) {
            auto deviation = input;
            reading.known += times * stats::mean(input.law);
            if (const auto* r = std::get_if<stats::Rectangular>(&input.law))
                deviation.law = rectangular_law(r->half_width);
            else
                deviation.law = normal_law(std::sqrt(variance(input)));
            measuring.of_points(deviation, times * by_lean);
            variance_ += times * times * variance(input);
            return;
        }
        const Index row = known - unknowns.begin();
        reading.known += times * state.estimate[row];
        for (Index i = 0; i < state.error_map.cols(); ++i)
            if (const double moved = state.error_map(row, i); moved != 0) {
                const auto& one = state.inputs[static_cast<std::size_t>(i)];
                measuring.of_points(one, times * moved * by_lean);
                variance_ += std::pow(times * moved, 2) * variance(one);
            }
    };
    add(square_error(square), 1);
    if (const auto wear = square_wear(square, state.model.job()))
        add(wear->first, wear->second);
    measuring.of_points(reading.known * by_lean);
    reading.standard = std::sqrt(variance_);
    return reading;
}

/// An indicator of the shop errs in proportion: at the limit of the tolerance by its gain times
/// that. Its gain is one input with that of the machine's checks.
void add_gain(Measuring& measuring, Proof& proof, const Shop& shop, const std::string& name) {
    for (const auto& indicator : shop.indicators) {
        if (indicator.name != name || indicator.gain_doubt == 0)
            continue;
        const auto whose = fmt::format("indicator \"{}\"", name);
        const auto gain = job_input(whose + ", gain",
                                    {},
                                    "gain of the " + whose,
                                    rectangular_law(indicator.gain_doubt),
                                    indicator.gain_evidence);
        const double reach = proof.tolerance / proof.limits;
        measuring.of_value(gain, reach);
        add_source(proof, {gain.meaning, reach * std::sqrt(variance(gain)), 0, gain.evidence});
    }
}

/// What the machine does not see of its own errors.
void add_machine(Measuring& measuring, const PartQuestion& seen, std::size_t c) {
    const auto& errors = seen.model.characteristics[c];
    for (Index i = 0; i < errors.effect.cols(); ++i)
        if (!errors.effect.col(i).isZero(0))
            measuring.of_points(seen.model.inputs[static_cast<std::size_t>(i)],
                                -errors.effect.col(i));
    measuring.of_points(-errors.known);
}

Unseen unseen_of(const Measuring& measuring) {
    Unseen unseen;
    const auto& part = measuring.part();
    const auto& effect = part.characteristics[0].effect;
    double all = 0, hidden = 0, largest = 0;
    std::map<std::string, std::pair<double, std::string>> groups;
    for (Index i = 0; i < effect.cols(); ++i) {
        const auto& input = part.inputs[static_cast<std::size_t>(i)];
        const double in_part = effect.col(i).squaredNorm() * variance(input);
        const double in_reading =
            (effect.col(i) + measuring.error().effect.col(i)).squaredNorm() * variance(input);
        all += in_part;
        hidden += std::max(0.0, in_part - in_reading);
        auto& [sum, meaning] = groups[input.group.empty() ? input.name : input.group];
        sum += in_part - in_reading;
        meaning = input.meaning;
    }
    for (const auto& [name, group] : groups)
        if (group.first > largest) {
            largest = group.first;
            unseen.first = group.second;
        }
    unseen.share = all > 0 ? hidden / all : 0;
    return unseen;
}

/// Where errors of points are among the doubts: each group's part of M − X, as the mean square over
/// the points, scaled to u². The value is the points' own, or a distance or diameter across them.
std::vector<ProofSource> sources_over_points(const Measuring& measuring, double u) {
    std::map<std::string, ProofSource> groups;
    double all = 0;
    const auto reduction = measuring.part().characteristics[0].reduction;
    const bool across = reduction != Reduction::signed_value && reduction != Reduction::magnitude;
    const auto& error = measuring.error();
    for (Index i = 0; i < error.effect.cols(); ++i) {
        const auto& input = measuring.part().inputs[static_cast<std::size_t>(i)];
        const double v = ((across ? 4 : 1) * error.effect.col(i).squaredNorm() /
                              static_cast<double>(measuring.elements()) +
                          std::pow(error.value_effect[i], 2)) *
                         variance(input);
        if (v == 0)
            continue;
        all += v;
        auto& source = groups[input.group.empty() ? input.name : input.group];
        source.meaning = input.meaning;
        source.share += v;
        source.evidence = std::max(source.evidence, input.evidence);
    }
    std::vector<ProofSource> sources;
    for (auto& [name, source] : groups) {
        source.share /= all;
        source.contribution = std::sqrt(source.share) * u;
        sources.push_back(source);
    }
    return sources;
}

/// U up to which the 95 % rule costs no more than is good.
double wanted_for(double tolerance, int limits) {
    const double g = *decide::guard_factor(decide::proof, 1e3);
    return bearable_cost * tolerance / (limits * g) * propagate::coverage_factor(0.95, {});
}

std::string
reason_of(const Proof& proof, const decide::PartGauge& gauge, bool stated, bool critical) {
    if (proof.verdict == Verdict::cant_say) {
        if (critical)
            return "a critical part needs the customer's own decision rule";
        if (!stated)
            return fmt::format(
                "nothing is stated of the error of \"{}\": neither certificate nor limit of error",
                gauge.name);
    }
    if (!proof.cost.guard)
        return proof.cost.ratio_missed
                   ? fmt::format("the customer's ratio is missed: {:.2g} to 1 by \"{}\"",
                                 std::floor(proof.ratio * 10) / 10,
                                 gauge.name)
                   : fmt::format("the doubt of \"{}\" is so large that no reading proves a part",
                                 gauge.name);
    const auto cost = fmt::format("proving with \"{}\" costs {} % of the tolerance",
                                  gauge.name,
                                  std::lround(100 * proof.cost.lost));
    if (proof.sources.empty())
        return cost;
    const bool known =
        std::abs(proof.known_error) > proof.limits * *proof.cost.guard * proof.standard;
    return fmt::format("{}, most by {}",
                       cost,
                       known ? std::string("a known error, not corrected")
                             : proof.sources.front().meaning);
}

} // namespace

bool lacks_rule(const Job& job) {
    return job.critical && !(job.rule && job.rule->of_customer);
}

decide::Inspection inspection_of(const decide::PartGauge& gauge,
                                 const Callout& callout,
                                 const Job& job,
                                 const Shop& shop) {
    refuse_what_it_cannot(gauge, callout, shop);
    return inspection_with(gauge, asked_of(callout, job));
}

Prover::Prover(const MachineState& state,
               const PartQuestion& question,
               const Job& job,
               const PromiseOptions& options)
    : state_(&state), question_(&question), job_(&job), options_(&options) {}

const PartQuestion& Prover::seen_with(double probe_length) {
    const auto found = seen_.find(probe_length);
    return found != seen_.end()
               ? found->second
               : seen_.emplace(probe_length, seen_by_machine(*state_, *job_, probe_length))
                     .first->second;
}

Proof Prover::prove(std::size_t c, bool computed, bool risks) {
    const auto& callout = job_->callouts[c];
    const auto& shop = state_->model.shop();
    const bool two = is_size(callout.kind);
    Proof proof;
    proof.gauge = callout.gauge;
    proof.limits = two ? 2 : 1;
    proof.tolerance = two ? 2 * callout.size.half_width() : callout.tolerance;
    if (!job_->rule || job_->rule->guarded_below)
        proof.wanted = wanted_for(proof.tolerance, proof.limits);
    if (callout.gauge.empty()) {
        proof.reason = "no gauge is named to prove it (\"gauge\")";
        return proof;
    }
    const auto& gauge = gauge_of(shop, callout);
    const auto inspection = inspection_of(gauge, callout, *job_, shop);
    if (gauge.on_machine() && !computed) {
        proof.reason = "measured on the machine that cuts it, of which something is not known";
        return proof;
    }

    Measuring measuring(*question_, c);
    const auto by_itself = decide::worth(inspection);
    proof.sources = add_gauge(measuring, gauge, decide::budget(inspection), by_itself);
    proof.standard = by_itself.error.standard;
    proof.dof = by_itself.error.dof;
    proof.known_error = by_itself.known_error;
    proof.notes = inspection.notes;
    proof.judged = true;

    if (!gauge.indicator.empty())
        add_gain(measuring, proof, shop, gauge.indicator);
    if (!gauge.square.empty()) {
        const auto square = std::find_if(shop.squares.begin(), shop.squares.end(), [&](auto& s) {
            return s.name == gauge.square;
        });
        const auto by_lean = against_a_square(*state_, *job_, callout);
        const double length = by_lean.cwiseAbs().maxCoeff();
        const auto lean = add_square(measuring, *state_, *square, by_lean);
        const Input form{fmt::format("gauge \"{}\", form of the square", gauge.name),
                         {},
                         fmt::format("form of the edge of the square \"{}\"", square->name),
                         rectangular_law(square->edge_form / 2),
                         square->form_evidence,
                         Sharing::job,
                         {},
                         0};
        measuring.of_value(form, 1);
        add_source(proof,
                   {fmt::format("error of the square \"{}\"", square->name),
                    length * lean.standard,
                    0,
                    square->evidence});
        add_source(proof, {form.meaning, std::sqrt(variance(form)), 0, form.evidence});
        proof.known_error += length * lean.known;
    }
    if (gauge.on_machine()) {
        add_machine(measuring, seen_with(*gauge.gauge_length), c);
        const auto drawn = measured_parts(
            measuring.part(), 0, measuring.error(), {}, [](std::span<double>) {}, *options_, true);
        proof.known_error = drawn.error_mean;
        proof.standard = drawn.error_standard;
        proof.dof.reset();
        proof.sources = sources_over_points(measuring, proof.standard);
        proof.unseen = unseen_of(measuring);
        proof.must_be_true.emplace_back(
            "measured before the part is let go, as warm as it was cut");
        proof.must_be_true.emplace_back("the probe comes from one side, set on a ring or a block "
                                        "where it measures");
    }
    std::stable_sort(proof.sources.begin(), proof.sources.end(), [](auto& a, auto& b) {
        return a.contribution > b.contribution;
    });
    proof.k = propagate::coverage_factor(0.95, proof.dof);
    proof.expanded = proof.k * proof.standard;
    proof.ratio = proof.tolerance / (proof.limits * proof.expanded);
    const decide::Uncertainty doubt{proof.standard, proof.expanded, proof.dof};
    const auto cost_of = [&](double tolerance) {
        return decide::cost_of_proof(doubt, tolerance, proof.limits, proof.known_error, job_->rule);
    };
    proof.cost = cost_of(proof.tolerance);
    proof.acceptance = decide::acceptance(
        proof.cost, proof.standard, proof.known_error, inspection.lower, inspection.upper);

    const bool stated = inspection.error_stated() || !gauge.square.empty() ||
                        !gauge.indicator.empty(); // of which the machine file has the gain
    const bool critical = lacks_rule(*job_);
    proof.verdict = verdict_of(proof.cost);
    if (critical || (!stated && proof.verdict != Verdict::no))
        proof.verdict = Verdict::cant_say;
    proof.reason = reason_of(proof, gauge, stated, critical);
    proof.due = gauge.how.due;
    if (gauge.how.due && *gauge.how.due < state_->model.job()) {
        const auto late = fmt::format(
            "the calibration of \"{}\" ran out on {}", gauge.name, to_string(*gauge.how.due));
        proof.notes.push_back(late);
        if (proof.verdict == Verdict::yes) {
            proof.verdict = Verdict::marginal;
            proof.reason = late;
        }
    }
    const bool cheap = proof.cost.guard && proof.cost.lost <= bearable_cost;
    if (critical || (cheap && stated)) // no gauge is wanted, or nobody can say which
        proof.wanted.reset();
    if (!computed || !risks)
        return proof;

    const double middle = two ? callout.size.nominal + callout.size.middle() : 0;
    Accepted accepted;
    accepted.high = proof.acceptance.high - middle;
    if (two)
        accepted.low = proof.acceptance.low - middle;
    if (!proof.cost.guard || proof.acceptance.low > proof.acceptance.high)
        accepted = {1, 0};
    const double b = proof.known_error;
    const auto out = [two, b](std::span<double> readings) {
        const double above = std::max(-b, 0.0), below = std::max(b, 0.0);
        for (double& m : readings)
            m = two ? std::max(m + above, below - m) : m + std::abs(b);
    };
    proof.parts = measured_parts(measuring.part(), 0, measuring.error(), accepted, out, *options_);
    if (critical || !stated)
        return proof;
    // T with all readings at (P, C) inside its guarded limits, at no more than the cost that is YES
    const auto holds = [&](double tolerance) {
        const auto cost = cost_of(tolerance);
        return cost.guard && cost.lost <= bearable_cost &&
               tolerance / proof.limits >= proof.parts->outermost + *cost.guard * proof.standard;
    };
    double low = 0, high = 1;
    if (holds(high)) {
        for (int step = 0; step < 60; ++step)
            (holds((low + high) / 2) ? high : low) = (low + high) / 2;
        proof.offered = high / proof.limits;
    }
    return proof;
}

} // namespace holdable
