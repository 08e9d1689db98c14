// SPDX-License-Identifier: MIT
#include "holdable/part/collector.hpp"

#include "holdable/base/error.hpp"
#include "holdable/machine/next_check.hpp"
#include "holdable/machine/tool_path.hpp"
#include "holdable/standards/expansion.hpp"
#include "holdable/stats/distribution.hpp"

#include <Eigen/QR>
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>

namespace holdable {
namespace {

using Eigen::Index;
using Eigen::VectorXd;

constexpr double usual_lead = 5e-3; // of ball screws, where no check says more: common practice (m)

void say_once(std::vector<std::string>& list, std::string text) {
    if (std::find(list.begin(), list.end(), text) == list.end())
        list.push_back(std::move(text));
}

} // namespace

Collector::Collector(const MachineState& state, const Job& job, int refine, Passing passing)
    : state_(state), job_(job), refine_(refine), passing_(passing) {}

void Collector::begin(const Callout& callout, HoleMaking making) {
    callout_ = &callout;
    ready_ = {};
    process_ = job_.process_typical
                   ? typical_process(job_.process, making, state_.model.assumed_class().name)
                   : job_.process;
    covered_.clear();
    adopt(process_.hole_direction, true);
    adopt(process_.hole_place, false);
    effects_.clear();
    known_.clear();
    current_ = {};
    current_.name = callout.name;
    current_.upper = callout.tolerance;
    if (is_size(callout.kind)) {
        current_.upper = callout.size.half_width();
        current_.lower = -callout.size.half_width();
    }
}

void Collector::shape(Reduction reduction, Index elements) {
    current_.reduction = reduction;
    machine_rows_ = Eigen::MatrixXd::Zero(elements, state_.model.zero().size());
    lengths_ = VectorXd::Zero(elements);
    waves_.fill(Eigen::MatrixXd::Zero(elements, 2));
    across_ = 0;
    across_of_free_.resize(0, 0);
}

void Collector::bend(double radius) {
    const Index points = elements();
    shape(current_.reduction, 2 * points);
    across_ = points;
    current_.bend.radius = radius;
}

VectorXd Collector::unit(Index e, double value) const {
    VectorXd column = zero();
    column[e] = value;
    return column;
}

// ---- errors of the machine

void Collector::spot(Index e, const Spot& s, const Eigen::Vector3d& along, double weight) {
    machine_rows_.row(e) +=
        weight * along.transpose() *
        tip_error(state_.model, s.tip, s.tool_length, state_.model.job(), current_.name, s.what);
    // The spindle leans: the tip of a tool of length L is off by (-L B0C, +L A0C).
    if (along.x() != 0)
        machine_rows_.row(e) -= weight * along.x() * s.tool_length *
                                state_.model.spindle_tilt(Axis::y, state_.model.job());
    if (along.y() != 0)
        machine_rows_.row(e) += weight * along.y() * s.tool_length *
                                state_.model.spindle_tilt(Axis::x, state_.model.job());
    lengths_[e] += weight * along.dot(s.tip);
    for (int axis = 0; axis < 3; ++axis)
        wave(e, static_cast<Axis>(axis), s.tip[axis], weight * along[axis]);
}

void Collector::wave(Index e, Axis axis, double coordinate, double weight) {
    double lead = usual_lead;
    for (const auto& check : state_.model.shop().positioning_checks)
        if (check.axis == axis) {
            if (!check.lead) // scales decide the place, not a screw
                return;
            lead = *check.lead;
        }
    const double phase = 2 * std::numbers::pi * coordinate / lead;
    auto& waves = waves_[static_cast<std::size_t>(axis)];
    waves(e, 0) += weight * std::cos(phase);
    waves(e, 1) += weight * std::sin(phase);
}

void Collector::aim(Index e, const SizeLimits& size) {
    if (size.aim)
        know("aim off the middle of the limits", unit(e, *size.aim - size.nominal - size.middle()));
}

void Collector::machine(const VectorXd& column, const Eigen::RowVectorXd& form) {
    machine_rows_.leftCols(form.size()) += column * form;
}

std::optional<Scatter> Collector::repeat_of(Axis axis) const {
    if (!job_.process.axis_repeat) {
        const auto seen = repeatability(state_.model.shop(), axis, state_.model.job());
        if (seen.degrees_of_freedom > 0)
            return Scatter{seen.standard,
                           seen.degrees_of_freedom,
                           0,
                           0,
                           Evidence::measured,
                           "runs of its positioning"};
    }
    return process_.axis_repeat;
}

bool Collector::lost_motion_read(Axis axis) const {
    const auto row = state_.model.lost_motion(axis, state_.model.job());
    return 2 * state_.of(row).standard_uncertainty < std::sqrt(state_.model.prior_variance(row));
}

/// Half of the lost motion of an axis, as it may come from either side: as the job says, else as it
/// was read, with twice its uncertainty, if a check took half of the class's doubt away.
std::optional<Allowance> Collector::lost_motion_of(Axis axis) const {
    if (!job_.process.reversal && lost_motion_read(axis)) {
        const auto read = state_.of(state_.model.lost_motion(axis, state_.model.job()));
        return Allowance{(std::abs(read.value) + 2 * read.standard_uncertainty) / 2,
                         Evidence::measured,
                         "lost motion as read"};
    }
    return process_.reversal;
}

void Collector::turning_either_way(Axis axis, const VectorXd& column) {
    const auto reversal = lost_motion_of(axis);
    need(reversal.has_value(), "reversal", "the lost motion left");
    if (reversal)
        allow(fmt::format("lost motion of {}", letter(axis)),
              fmt::format("lost motion of {}", letter(axis)),
              *reversal,
              Sharing::job,
              column);
}

void Collector::turning(Axis axis, const VectorXd& per_half) {
    if (probing() || per_half.isZero(0)) // a probe comes from one side
        return;
    if (!job_.process.reversal && lost_motion_read(axis)) {
        machine(per_half / 2, state_.model.lost_motion(axis, state_.model.job()));
        return;
    }
    turning_either_way(axis, per_half);
}

void Collector::repeat(Axis axis, const std::string& who, const VectorXd& column) {
    const auto repeat = repeat_of(axis);
    need(covered("axis_repeat") || repeat.has_value(),
         "axis_repeat",
         "the repeatability of the axes");
    if (repeat && !covered("axis_repeat"))
        scatter(fmt::format("{}, repeatability of {}", who, letter(axis)),
                fmt::format("repeatability of {}", letter(axis)),
                *repeat,
                column);
}

/// What the tool wanders by warmth after the zero was set: as the job says, else as the logs of the
/// machine do, else as is typical.
void Collector::drift(Axis axis, const VectorXd& column) {
    const auto& shop = state_.model.shop();
    const auto day = state_.model.job();
    const double span_ = job_.duration.value_or(usual_shift);
    auto drifting = process_.drift;
    if (!job_.process.drift)
        if (const auto logged = drift_within(shop, axis, day, span_))
            drifting = Allowance{logged->half_width, logged->evidence, logged->basis};
    need(covered("drift") || drifting.has_value(), "drift", "the drift within the job");
    if (!job_.process.drift)
        given(fmt::format("at most {:.3g} h from setting the zero to the last cut", span_ / 3600));
    if (drifting && drifting->half_width > 0 && !covered("drift"))
        allow(fmt::format("drift in {}", letter(axis)),
              fmt::format("drift within the job, {}", letter(axis)),
              *drifting,
              Sharing::part,
              column);
    const auto growth = growth_within(shop, axis, day, job_.warmed_up, span_);
    if (!growth)
        return;
    const auto meaning = fmt::format("warming of the spindle, {}", letter(axis));
    know(meaning, growth->value / 2 * column);
    affect(job_input(meaning, {}, meaning, normal_law(growth->standard / 2), Evidence::measured),
           column);
    allow(meaning + ", when in the job",
          meaning,
          {std::abs(growth->value) / 2, Evidence::measured, growth->basis},
          Sharing::part,
          column);
    given("spindle at about the speed of its warm-up log");
    if (job_.warmed_up == 0)
        note("the spindle is taken as cold when the zero is set (\"warmed_up\")");
}

std::optional<Extent> Collector::extent_of(const Face& face, const std::string& what) {
    if (face.extent)
        return face.extent;
    if (job_.part)
        note(fmt::format("the extent of {} is not given: the whole part is taken", what));
    else
        miss(fmt::format("the extent of {} (or the part's outline)", what));
    return job_.part;
}

void Collector::plane(const PlaneDatum& datum, const VectorXd by_slope[2]) {
    if (datum.kind != PlaneDatum::Kind::face) {
        seat(callout_->setup, by_slope);
        given("seat clean, part flat where it sits");
        return;
    }
    const auto extent = extent_of(datum.face, "the datum face");
    if (!extent)
        return;
    const Eigen::MatrixXd slope = face_slope(state_.model,
                                             {extent->x_low,
                                              extent->x_high,
                                              extent->y_low,
                                              extent->y_high,
                                              datum.face.height,
                                              datum.face.tool_length},
                                             state_.model.job(),
                                             current_.name);
    machine(by_slope[0], slope.row(0));
    machine(by_slope[1], slope.row(1));
    given(fmt::format("face {} milled in the same set-up", datum.name));
}

void Collector::seat(const std::string& setup, const VectorXd by_slope[2]) {
    if (probing()) // touched on the seat and on the part, the tilt between them shows
        return;
    for (int axis = 0; axis < 2; ++axis) {
        auto tilt = state_.model.table_against_motion(static_cast<Axis>(axis));
        const VectorXd column = -by_slope[axis]; // the tilt that lifts the - end falls towards +
        const auto& unknowns = state_.model.unknowns();
        const auto known = std::find_if(
            unknowns.begin(), unknowns.end(), [&](const Input& u) { return u.name == tilt.name; });
        if (known != unknowns.end())
            machine_rows_.col(known - unknowns.begin()) += column;
        else
            affect(std::move(tilt), column);
        need(axis == 1 || process_.seat.has_value(), "seat", "how level the part sits");
        if (process_.seat)
            allow(fmt::format("seat along {}{}", "XY"[axis], setup.empty() ? "" : ", " + setup),
                  "seat of the part",
                  *process_.seat,
                  Sharing::setup,
                  column);
    }
}

// ---- the process

void Collector::affect(Input input, const VectorXd& column) {
    if (column.isZero(0) || (probing() && !of_place_))
        return;
    const auto [at, fresh] = process_by_name_.emplace(input.name, process_inputs_.size());
    if (fresh)
        process_inputs_.push_back(std::move(input));
    effects_.emplace_back(at->second, column);
}

/// Takes a scatter over from the test cut it names, and what that covers.
void Collector::adopt(std::optional<Scatter>& scatter, bool direction) {
    if (!scatter || scatter->from.empty())
        return;
    const auto& cuts = state_.model.shop().test_cuts;
    const auto cut = std::find_if(
        cuts.begin(), cuts.end(), [&](const TestCut& c) { return c.name == scatter->from; });
    if (cut == cuts.end())
        throw InputError("test-cut-unknown",
                         fmt::format("the machine file has no test cut \"{}\", which the "
                                     "process of the job names",
                                     scatter->from),
                         "its id stands among the checks, with \"kind\": \"test cut\"");
    if (is_lean(cut->quantity) != direction)
        throw InputError("test-cut-unknown",
                         fmt::format("the test cut \"{}\" says nothing of the {}",
                                     cut->name,
                                     direction ? "direction of holes: it is a distance"
                                               : "place of holes: it is a lean"),
                         "");
    const auto shown = cut_scatter(*cut);
    scatter->standard_deviation = shown.standard / (direction ? 1 : std::sqrt(2.0));
    scatter->dof = shown.dof;
    scatter->evidence = Evidence::measured;
    covered_.insert(cut->covered.begin(), cut->covered.end());
    given(fmt::format("made as in the test cut \"{}\"", cut->name));
    if (shown.gauge_hides_it)
        note(fmt::format("the scatter of \"{}\" is no larger than its gauge's: it is taken whole",
                         cut->name));
}

void Collector::allow(const std::string& name,
                      const std::string& meaning,
                      const Allowance& allowance,
                      Sharing sharing,
                      const VectorXd& column) {
    affect({name,
            {},
            meaning,
            rectangular_law(allowance.half_width),
            allowance.evidence,
            sharing,
            {},
            0},
           column);
}

void Collector::trend(const std::string& name,
                      const std::string& meaning,
                      const Span& grows,
                      const Eigen::VectorXd& column) {
    span(name, meaning, grows, Sharing::part, column);
    trends_.insert(name);
    trends_.insert(meaning);
}

Process Collector::process_of(HoleMaking making) const {
    return job_.process_typical
               ? typical_process(job_.process, making, state_.model.assumed_class().name)
               : job_.process;
}

void Collector::span(const std::string& name,
                     const std::string& meaning,
                     const Span& span,
                     Sharing sharing,
                     const VectorXd& column) {
    know(meaning, (span.low + span.high) / 2 * column, span.evidence);
    if (span.high > span.low)
        allow(name,
              meaning,
              {(span.high - span.low) / 2, span.evidence, span.basis},
              sharing,
              column);
}

void Collector::scatter(const std::string& name,
                        const std::string& meaning,
                        const Scatter& s,
                        const VectorXd& column) {
    Input part{
        name, {}, meaning, normal_law(s.standard_deviation), s.evidence, Sharing::part, {}, 0};
    if (s.dof > 0) {
        part.scale = name + ", scale";
        part.scale_dof = s.dof;
    }
    if (s.readings > 1) {
        Input mean = part;
        mean.name += ", mean";
        mean.sharing = Sharing::job;
        mean.law = normal_law(s.standard_deviation / std::sqrt(double(s.readings)));
        affect(std::move(mean), column);
        know(meaning, s.mean * column);
    }
    affect(std::move(part), column);
}

void Collector::know(const std::string& what, const VectorXd& column, Evidence evidence) {
    if (column.norm() == 0 || (probing() && !of_place_))
        return;
    const auto same = std::find_if(known_.begin(), known_.end(), [&](const auto& entry) {
        return std::get<0>(entry) == what && std::get<2>(entry) == evidence;
    });
    if (same == known_.end())
        known_.emplace_back(what, column, evidence);
    else
        std::get<1>(*same) += column;
}

std::string Collector::in_setup(const std::string& name) const {
    return callout_->setup.empty() ? name : name + ", " + callout_->setup;
}

// ---- what is said

void Collector::miss(const std::string& what) {
    say_once(ready_.missing, what);
}

void Collector::note(const std::string& text) {
    say_once(ready_.notes, text);
}

void Collector::given(const std::string& condition) {
    say_once(ready_.must_be_true, condition);
}

void Collector::leave_out(const std::string& what) {
    say_once(ready_.left_out, what);
}

void Collector::need(bool there, const std::string& key, const std::string& what) {
    if (there)
        return;
    miss(fmt::format("{} (\"process\": {{\"{}\": …}}, or \"process\": \"typical\")", what, key));
}

// ---- the end of a characteristic

void Collector::warmth() {
    // What moves all of a form alike leaves it; and a rounding is no length.
    VectorXd length = lengths_;
    auto counted = length.head(elements() - across_);
    if (current_.reduction == Reduction::width)
        counted.array() -= counted.mean();
    if (counted.cwiseAbs().maxCoeff() < 1e-9)
        return;
    const auto& part = expansion_of(job_.material);
    const auto& scale = expansion_of("ball-screw steel");
    const auto& t = job_.temperatures;
    const double part_warm = t.part - reference_temperature;
    const double scale_warm = t.scale - reference_temperature;
    know("warmth over the length",
         -(part.coefficient * part_warm - scale.coefficient * scale_warm) * length);
    const auto add = [&](const char* name,
                         const char* meaning,
                         double half_width,
                         Evidence evidence,
                         double effect) {
        if (half_width > 0 && effect != 0)
            affect(job_input(name, {}, meaning, rectangular_law(half_width), evidence),
                   effect * length);
    };
    add("temperature of the part",
        "temperature of the part",
        t.doubt,
        t.evidence,
        -part.coefficient);
    add("temperature of the scales",
        "temperature of the screws",
        t.doubt,
        t.evidence,
        scale.coefficient);
    add("expansion of the part",
        "expansion of the material",
        part.half_width,
        Evidence::typical,
        -part_warm);
    add("expansion of the scales",
        "expansion of the screws",
        scale.half_width,
        Evidence::typical,
        scale_warm);
}

/// Where in a turn of the screw the part will lie is as unknown as the wave's own phase: cosine and
/// sine, each normal, with the amplitude stated as the 95 % point of their length.
void Collector::short_wave() {
    for (std::size_t axis = 0; axis < 3; ++axis)
        for (Index k = 0; k < 2; ++k) {
            VectorXd column = waves_[axis].col(k);
            auto counted = column.head(elements() - across_);
            if (current_.reduction == Reduction::width)
                counted.array() -= counted.mean();
            if (counted.cwiseAbs().maxCoeff() < 1e-6)
                continue;
            if (!job_.process.short_wave) { // a check along the axis has it among its unknowns
                const auto& unknowns = state_.model.unknowns();
                const auto name =
                    fmt::format("short wave of {}, {}", "XYZ"[axis], k == 0 ? "cosine" : "sine");
                const auto known = std::find_if(unknowns.begin(),
                                                unknowns.end(),
                                                [&](const Input& u) { return u.name == name; });
                if (known != unknowns.end()) {
                    machine_rows_.col(known - unknowns.begin()) += column;
                    continue;
                }
            }
            need(process_.short_wave.has_value(), "short_wave", "the short wave of the screws");
            if (!process_.short_wave || process_.short_wave->half_width == 0)
                continue;
            const double sigma = process_.short_wave->half_width / std::sqrt(-2 * std::log(0.05));
            affect({fmt::format("screw of {}, {}", "XYZ"[axis], k == 0 ? "cosine" : "sine"),
                    fmt::format("screw of {}", "XYZ"[axis]),
                    fmt::format("short wave of {}'s screw", "XYZ"[axis]),
                    normal_law(sigma),
                    process_.short_wave->evidence,
                    Sharing::job,
                    {},
                    0},
                   column);
        }
}

/// The machine's own known errors, by group.
void Collector::machine_known() {
    const auto n = static_cast<std::size_t>(state_.estimate.size());
    std::map<std::string, std::pair<std::string, VectorXd>> groups;
    for (std::size_t j = 0; j < n; ++j) {
        const auto& input = state_.inputs[j];
        const auto at = static_cast<Index>(j);
        if (at >= machine_rows_.cols() || machine_rows_.col(at).isZero(0) ||
            state_.estimate[at] == 0)
            continue;
        auto& [meaning, column] = groups[input.group.empty() ? input.name : input.group];
        meaning = input.meaning;
        if (column.size() == 0)
            column = zero();
        column += machine_rows_.col(at) * state_.estimate[at];
    }
    for (const auto& [name, entry] : groups)
        know(entry.first, entry.second);
}

/// Least squares: what a fit of the free motions leaves, in place of the best zone.
void Collector::take_fit_off() {
    if (callout_->evaluation != Evaluation::least_squares || current_.free.cols() == 0)
        return;
    const Index points = current_.free.rows();
    Eigen::MatrixXd design(points, current_.free.cols() + 1);
    design << VectorXd::Ones(points), current_.free;
    const Eigen::MatrixXd q = Eigen::HouseholderQR<Eigen::MatrixXd>(design).householderQ() *
                              Eigen::MatrixXd::Identity(points, design.cols());
    const auto off = [&](auto&& rows) { rows -= (q * (q.transpose() * rows)).eval(); };
    off(machine_rows_.topRows(points));
    for (auto& [input, column] : effects_)
        off(column.head(points));
    for (auto& [what, column, evidence] : known_)
        off(column.head(points));
    if (current_.folded.cols() > 0)
        off(current_.folded);
    current_.free.resize(0, 0);
}

/// Moves across count from where the fit of d puts the free motions: rows of t − A F⁺ d.
void Collector::take_fit_off_across() {
    if (across_of_free_.cols() == 0)
        return;
    Eigen::MatrixXd design(across_, across_of_free_.cols() + 1);
    design << VectorXd::Ones(across_), current_.free;
    const Eigen::MatrixXd fit = across_of_free_ * design.completeOrthogonalDecomposition()
                                                      .pseudoInverse()
                                                      .bottomRows(across_of_free_.cols());
    const auto off = [&](auto&& rows) {
        rows.bottomRows(across_) -= (fit * rows.topRows(across_)).eval();
    };
    off(machine_rows_);
    for (auto& [input, column] : effects_)
        off(column);
    for (auto& [what, column, evidence] : known_)
        off(column);
}

/// What moves across leaves d, for its bend.
void Collector::split_off_bend() {
    const Index points = elements() - across_;
    current_.bend.known = VectorXd::Zero(across_);
    for (auto& [what, column, evidence] : known_) {
        current_.bend.known += column.tail(across_);
        column.conservativeResize(points);
    }
    machine_bends_.push_back(machine_rows_.bottomRows(across_) *
                             state_.error_map.topRows(machine_rows_.cols()));
    machine_rows_.conservativeResize(points, Eigen::NoChange);
}

void Collector::end() {
    of_place_ = true;
    warmth();
    short_wave();
    machine_known();
    of_place_ = false;
    take_fit_off_across();
    take_fit_off();
    split_off_bend();
    current_.known = zero();
    current_.known_parts.resize(elements(), static_cast<Index>(known_.size()));
    for (std::size_t k = 0; k < known_.size(); ++k) {
        const auto& [what, column, evidence] = known_[k];
        current_.known_names.push_back(what);
        current_.known_evidence.push_back(evidence);
        current_.known_parts.col(static_cast<Index>(k)) = column;
        current_.known += column;
    }
    machine_effects_.push_back(machine_rows_ * state_.error_map.topRows(machine_rows_.cols()));
    process_effects_.push_back(effects_);
    refuse_guesses_without_class();
    characteristics_.push_back(current_);
    readiness_.push_back(ready_);
}

/// Without a declared class nothing may rest on one.
void Collector::refuse_guesses_without_class() {
    if (!state_.model.shop().machine_class.empty())
        return;
    std::map<std::string, std::pair<double, std::string>> assumed; // by meaning: and its check
    double total = 0;
    const auto& effect = machine_effects_.back();
    for (Index j = 0; j < effect.cols(); ++j) {
        const auto& input = state_.inputs[static_cast<std::size_t>(j)];
        const double v = effect.col(j).squaredNorm() * variance(input);
        total += v;
        if (input.evidence == Evidence::assumed)
            assumed[input.meaning] = {
                assumed[input.meaning].first + v,
                check_that_shows(input.group.empty() ? input.name : input.group)};
    }
    for (const auto& [meaning, about] : assumed)
        if (about.first > 0.1 * total)
            miss(fmt::format("{}: no check covers \"{}\", and no class of machine is declared",
                             about.second.empty() ? "what the machine is like" : about.second,
                             meaning));
}

// ---- everything together

PartQuestion Collector::finish() {
    // Inputs that move no characteristic by a noticeable amount are left out; draws depend on names
    // alone, so nothing else changes.
    std::vector<bool> kept(state_.inputs.size(), false);
    const auto keep = [&](const Eigen::MatrixXd& effect) {
        VectorXd variances(effect.cols());
        for (Index j = 0; j < effect.cols(); ++j)
            variances[j] =
                effect.col(j).squaredNorm() * variance(state_.inputs[static_cast<std::size_t>(j)]);
        const double floor = 1e-7 * variances.sum();
        for (Index j = 0; j < effect.cols(); ++j)
            if (variances[j] > floor)
                kept[static_cast<std::size_t>(j)] = true;
    };
    std::for_each(machine_effects_.begin(), machine_effects_.end(), keep);
    std::for_each(machine_bends_.begin(), machine_bends_.end(), keep);
    PartQuestion question;
    std::vector<Index> columns;
    for (std::size_t j = 0; j < kept.size(); ++j)
        if (kept[j]) {
            columns.push_back(static_cast<Index>(j));
            question.model.inputs.push_back(state_.inputs[j]);
        }
    const auto machine_count = static_cast<Index>(columns.size());
    for (const auto& input : process_inputs_)
        question.model.inputs.push_back(input);
    const auto total = static_cast<Index>(question.model.inputs.size());
    for (std::size_t c = 0; c < characteristics_.size(); ++c) {
        auto characteristic = characteristics_[c];
        characteristic.effect = Eigen::MatrixXd::Zero(characteristic.known.size(), total);
        characteristic.effect.leftCols(machine_count) = machine_effects_[c](Eigen::all, columns);
        const Index across = machine_bends_[c].rows();
        auto& bend = characteristic.bend.effect;
        bend = Eigen::MatrixXd::Zero(across, total);
        bend.leftCols(machine_count) = machine_bends_[c](Eigen::all, columns);
        for (const auto& [input, column] : process_effects_[c]) {
            const auto at = machine_count + static_cast<Index>(input);
            characteristic.effect.col(at) += column.head(characteristic.known.size());
            bend.col(at) += column.tail(across);
        }
        question.model.characteristics.push_back(std::move(characteristic));
    }
    question.readiness = std::move(readiness_);
    question.trends = std::move(trends_);
    return question;
}

} // namespace holdable
