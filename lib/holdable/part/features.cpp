// SPDX-License-Identifier: MIT
#include "holdable/part/features.hpp"

#include "holdable/base/error.hpp"
#include "holdable/machine/tool_path.hpp"
#include "holdable/standards/expansion.hpp"
#include "holdable/stats/distribution.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <set>

namespace holdable {
namespace {

constexpr double reference_temperature = 293.15; // ISO 1 (K)

/// Collects inputs and their effects for all characteristics of a job.
class Builder {
  public:
    Builder(const MachineState& state, const Job& job)
        : state_(state), job_(job), machine_inputs_(state.inputs.size()) {}

    PartQuestion build() {
        for (const auto& callout : job_.callouts) {
            begin(callout);
            if (callout.kind == Callout::Kind::perpendicularity)
                perpendicularity(callout);
            else
                position(callout);
            end();
        }
        return finish();
    }

  private:
    // ---- one characteristic under construction: d has q elements

    void begin(const Callout& callout) {
        ready_ = {};
        process_ =
            job_.process_typical
                ? typical_process(job_.process, callout.making, state_.model.assumed_class().name)
                : job_.process;
        covered_.clear();
        adopt(process_.hole_direction, true);
        adopt(process_.hole_place, false);
        machine_rows_.resize(0, 0);
        effects_.clear();
        known_.clear();
        current_ = {};
        current_.name = callout.name;
        current_.upper = callout.tolerance;
    }

    /// d += column × input; the input is made once for all characteristics.
    void affect(Input input, const Eigen::VectorXd& column) {
        const auto [at, fresh] = process_by_name_.emplace(input.name, process_inputs_.size());
        if (fresh)
            process_inputs_.push_back(std::move(input));
        effects_.emplace_back(at->second, column);
    }

    /// Takes a scatter over from the test cut it names, and what that covers.
    void adopt(std::optional<Scatter>& scatter, bool direction) {
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
        say_once(ready_.must_be_true, fmt::format("made as in the test cut \"{}\"", cut->name));
        if (shown.gauge_hides_it)
            say_once(ready_.notes,
                     fmt::format("the scatter of \"{}\" is no larger than its gauge's: it is taken "
                                 "whole",
                                 cut->name));
    }

    /// Whether a scatter taken from test cuts holds that already.
    bool covered(const char* key) const { return covered_.contains(key); }

    void know(const std::string& what, const Eigen::VectorXd& column) {
        if (column.norm() > 0)
            known_.emplace_back(what, column);
    }

    static void say_once(std::vector<std::string>& list, std::string text) {
        if (std::find(list.begin(), list.end(), text) == list.end())
            list.push_back(std::move(text));
    }

    void need(bool there, const std::string& key, const std::string& what) {
        if (!there)
            say_once(ready_.missing,
                     fmt::format("{} (\"process\": {{\"{}\": …}}, or \"process\": \"typical\")",
                                 what,
                                 key));
    }

    void end() {
        // The machine's own known errors, by group.
        const auto n = static_cast<std::size_t>(state_.estimate.size());
        std::map<std::string, std::pair<std::string, Eigen::VectorXd>> groups;
        for (std::size_t j = 0; j < n; ++j) {
            const auto& input = state_.inputs[j];
            const auto at = static_cast<Eigen::Index>(j);
            if (at >= machine_rows_.cols() || machine_rows_.col(at).isZero(0) ||
                state_.estimate[at] == 0)
                continue;
            auto& [meaning, column] = groups[input.group.empty() ? input.name : input.group];
            meaning = input.meaning;
            if (column.size() == 0)
                column = Eigen::VectorXd::Zero(machine_rows_.rows());
            column += machine_rows_.col(at) * state_.estimate[at];
        }
        for (const auto& [name, entry] : groups)
            know(entry.first, entry.second);
        current_.known = Eigen::VectorXd::Zero(machine_rows_.rows());
        current_.known_parts.resize(machine_rows_.rows(), static_cast<Eigen::Index>(known_.size()));
        for (std::size_t k = 0; k < known_.size(); ++k) {
            current_.known_names.push_back(known_[k].first);
            current_.known_parts.col(static_cast<Eigen::Index>(k)) = known_[k].second;
            current_.known += known_[k].second;
        }
        machine_effects_.push_back(machine_rows_ * state_.error_map.topRows(machine_rows_.cols()));
        process_effects_.push_back(effects_);
        refuse_guesses_without_class();
        characteristics_.push_back(current_);
        readiness_.push_back(ready_);
    }

    /// Without a declared class nothing may rest on one.
    void refuse_guesses_without_class() {
        if (!state_.model.shop().machine_class.empty())
            return;
        std::map<std::string, double> assumed; // by meaning
        double total = 0;
        const auto& effect = machine_effects_.back();
        for (Eigen::Index j = 0; j < effect.cols(); ++j) {
            const auto& input = state_.inputs[static_cast<std::size_t>(j)];
            const double v = effect.col(j).squaredNorm() * variance(input);
            total += v;
            if (input.evidence == Evidence::assumed)
                assumed[input.meaning] += v;
        }
        for (const auto& [meaning, v] : assumed)
            if (v > 0.1 * total)
                ready_.missing.push_back(fmt::format(
                    "no check covers \"{}\", and no class of machine is declared", meaning));
    }

    // ---- points

    /// The error of the tool point with its tip at a place, shape 3 × n.
    Eigen::MatrixXd
    tip(double x, double y, double height, double length, const std::string& what) const {
        return tip_error(
            state_.model, {x, y, height}, length, state_.model.job(), current_.name, what);
    }

    // ---- perpendicularity of a hole's axis

    void perpendicularity(const Callout& c) {
        current_.reduction = Reduction::magnitude;
        machine_rows_ = c.depth * axis_slope(state_.model,
                                             {c.x, c.y, c.top, c.depth, c.tool_length},
                                             state_.model.job(),
                                             current_.name);

        if (c.orientation.kind == OrientationDatum::Kind::face)
            face(c);
        else
            seat(c);

        need(process_.hole_direction.has_value(),
             "hole_direction",
             "how straight the tool follows Z");
        if (process_.hole_direction)
            scatter(c.name + ", direction of the hole",
                    "direction the tool takes",
                    *process_.hole_direction,
                    {{c.depth, 0}, {0, c.depth}});
        ready_.must_be_true.push_back(c.making == HoleMaking::drilled
                                          ? "drilled after a spot"
                                          : "fed by Z, spindle locked in no other axis");
    }

    /// The datum face milled in the same set-up: its plane by least squares over its own points.
    void face(const Callout& c) {
        Extent extent;
        if (c.orientation.extent) {
            extent = *c.orientation.extent;
        } else if (job_.part) {
            extent = *job_.part;
            ready_.notes.push_back(
                "the extent of the datum face is not given: the whole part is taken");
        } else {
            ready_.missing.push_back("the extent of the datum face (or the part's outline)");
            return;
        }
        machine_rows_ += c.depth * face_slope(state_.model,
                                              {extent.x_low,
                                               extent.x_high,
                                               extent.y_low,
                                               extent.y_high,
                                               c.orientation.height,
                                               c.orientation.tool_length},
                                              state_.model.job(),
                                              current_.name);
        ready_.must_be_true.push_back(
            fmt::format("face {} milled in the same set-up", c.orientation.name));
    }

    /// The datum is what the part sits on: the table, with what lies between.
    void seat(const Callout& c) {
        for (int axis = 0; axis < 2; ++axis) {
            auto tilt = state_.model.table_against_motion(static_cast<Axis>(axis));
            Eigen::VectorXd column = Eigen::VectorXd::Zero(2);
            column[axis] = -c.depth; // the table leans to +X as it falls towards +X
            const auto& unknowns = state_.model.unknowns();
            const auto known = std::find_if(unknowns.begin(), unknowns.end(), [&](const Input& u) {
                return u.name == tilt.name;
            });
            if (known != unknowns.end())
                machine_rows_.col(known - unknowns.begin()) += column;
            else
                affect(std::move(tilt), column);
            need(axis == 1 || process_.seat.has_value(), "seat", "how level the part sits");
            if (process_.seat)
                allow(fmt::format("seat along {}", "XY"[axis]),
                      "seat of the part",
                      *process_.seat,
                      Sharing::setup,
                      column);
        }
        ready_.must_be_true.push_back("seat clean, part flat where it sits");
    }

    // ---- position of a hole's axis

    void position(const Callout& c) {
        current_.reduction = Reduction::twice_worst;
        const auto& datum = c.position;
        const bool picked_up = datum.kind == PositionDatum::Kind::picked_up;
        const auto upper = tip(c.x, c.y, c.top, c.tool_length, "the hole");
        const auto lower = tip(c.x, c.y, c.top - c.depth, c.tool_length, "the hole");
        const auto zero = tip(datum.x, datum.y, datum.height, datum.tool_length, "the datum");
        machine_rows_.resize(4, upper.cols());
        machine_rows_ << upper.topRows(2) - zero.topRows(2), lower.topRows(2) - zero.topRows(2);

        for (int axis = 0; axis < 2; ++axis) {
            const char letter = "XY"[axis];
            Eigen::VectorXd both = Eigen::VectorXd::Zero(4);
            both[axis] = both[axis + 2] = 1;
            Eigen::VectorXd end = Eigen::VectorXd::Zero(4);
            end[axis + 2] = 1;
            if (picked_up && process_.work_zero)
                allow(fmt::format("work zero in {}", letter),
                      fmt::format("finding the edge in {}", letter),
                      *process_.work_zero,
                      Sharing::setup,
                      both);
            if (picked_up && job_.quantity > 1 && process_.location && !covered("location"))
                allow(fmt::format("location in {}", letter),
                      fmt::format("putting each part in place, {}", letter),
                      *process_.location,
                      Sharing::part,
                      both);
            const auto reversal = lost_motion(static_cast<Axis>(axis));
            need(reversal.has_value(), "reversal", "the lost motion left");
            if (reversal)
                allow(fmt::format("lost motion of {}", letter),
                      fmt::format("lost motion of {}", letter),
                      *reversal,
                      Sharing::job,
                      both);
            drift(axis, both);
            auto repeat = axis_repeat(static_cast<Axis>(axis));
            need(covered("axis_repeat") || repeat.has_value(),
                 "axis_repeat",
                 "the repeatability of the axes");
            if (repeat && !covered("axis_repeat")) {
                // A cut datum is reached by the same axis once more.
                repeat->standard_deviation *= picked_up ? 1 : std::sqrt(2.0);
                scatter_one(fmt::format("{}, repeatability of {}", c.name, letter),
                            fmt::format("repeatability of {}", letter),
                            *repeat,
                            both);
            }
            if (process_.hole_place)
                scatter_one(fmt::format("{}, start of the hole in {}", c.name, letter),
                            "where the tool starts",
                            *process_.hole_place,
                            both);
            if (process_.hole_direction && !covered("hole_direction"))
                scatter_one(fmt::format("{}, direction of the hole in {}", c.name, letter),
                            "direction the tool takes",
                            *process_.hole_direction,
                            -c.depth * end);
            expansion(axis, (axis == 0 ? c.x - datum.x : c.y - datum.y), both);
        }
        if (!picked_up && process_.tool_size) {
            // One tool cut both edges: half its error in diameter on each.
            Eigen::VectorXd column(4);
            const double x_side = c.x >= datum.x ? 0.5 : -0.5;
            const double y_side = c.y >= datum.y ? 0.5 : -0.5;
            column << x_side, y_side, x_side, y_side;
            allow("size of the tool that cut the edges",
                  "tool diameter on the datum edges",
                  *process_.tool_size,
                  Sharing::tool,
                  column);
        }
        need(!picked_up || process_.work_zero.has_value(),
             "work_zero",
             "how the datum edges are found");
        need(picked_up || process_.tool_size.has_value(),
             "tool_size",
             "how well the tool that cut the edges was measured");
        need(!picked_up || job_.quantity <= 1 || covered("location") ||
                 process_.location.has_value(),
             "location",
             "how each part is put into place");
        need(process_.hole_place.has_value(), "hole_place", "where the tool starts");
        need(covered("hole_direction") || process_.hole_direction.has_value(),
             "hole_direction",
             "how straight the tool follows Z");
        ready_.must_be_true.push_back(
            picked_up ? fmt::format("part lined up with X, {} picked up once", datum.names)
                      : fmt::format("{} milled in the same set-up", datum.names));
    }

    /// Scatter of an axis that comes from one side: as the job says, else as its runs did.
    std::optional<Scatter> axis_repeat(Axis axis) const {
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

    /// Half of the lost motion of an axis, as it may come from either side: as the job says, else
    /// as it was read, with twice its uncertainty, if a check took half of the class's doubt away.
    std::optional<Allowance> lost_motion(Axis axis) const {
        if (!job_.process.reversal) {
            const auto row = state_.model.lost_motion(axis, state_.model.job());
            const auto read = state_.of(row);
            if (2 * read.standard_uncertainty < std::sqrt(state_.model.prior_variance(row)))
                return Allowance{(std::abs(read.value) + 2 * read.standard_uncertainty) / 2,
                                 Evidence::measured,
                                 "lost motion as read"};
        }
        return process_.reversal;
    }

    /// What the tool wanders by warmth after the zero was set: as the job says, else as the logs of
    /// the machine do, else as is typical.
    void drift(int axis, const Eigen::VectorXd& both) {
        const auto& shop = state_.model.shop();
        const auto day = state_.model.job();
        const double span = job_.duration.value_or(usual_shift);
        const char letter = "XYZ"[axis];
        auto drifting = process_.drift;
        if (!job_.process.drift)
            if (const auto logged = drift_within(shop, static_cast<Axis>(axis), day, span))
                drifting = Allowance{logged->half_width, logged->evidence, logged->basis};
        need(covered("drift") || drifting.has_value(), "drift", "the drift within the job");
        if (!job_.process.drift)
            say_once(
                ready_.must_be_true,
                fmt::format("at most {:.3g} h from setting the zero to the last cut", span / 3600));
        if (drifting && drifting->half_width > 0 && !covered("drift"))
            allow(fmt::format("drift in {}", letter),
                  fmt::format("drift within the job, {}", letter),
                  *drifting,
                  Sharing::part,
                  both);
        const auto growth = growth_within(shop, static_cast<Axis>(axis), day, job_.warmed_up, span);
        if (!growth)
            return;
        const auto meaning = fmt::format("warming of the spindle, {}", letter);
        know(meaning, growth->value / 2 * both);
        affect(
            job_input(meaning, {}, meaning, normal_law(growth->standard / 2), Evidence::measured),
            both);
        allow(meaning + ", when in the job",
              meaning,
              {std::abs(growth->value) / 2, Evidence::measured, growth->basis},
              Sharing::part,
              both);
        say_once(ready_.must_be_true, "spindle at about the speed of its warm-up log");
        if (job_.warmed_up == 0)
            say_once(ready_.notes,
                     "the spindle is taken as cold when the zero is set (\"warmed_up\")");
    }

    /// Growth of part and scale over a length from the datum: e = -L (α_p θ_p - α_s θ_s).
    /// Source: ISO/TR 16015.
    void expansion(int axis, double length, const Eigen::VectorXd& both) {
        const auto& part = expansion_of(job_.material);
        const auto& scale = expansion_of("ball-screw steel");
        const auto& t = job_.temperatures;
        const double part_warm = t.part - reference_temperature;
        const double scale_warm = t.scale - reference_temperature;
        know(fmt::format("warmth over the length in {}", "XY"[axis]),
             -length * (part.coefficient * part_warm - scale.coefficient * scale_warm) * both);
        const auto add = [&](const char* name,
                             const char* meaning,
                             double half_width,
                             Evidence evidence,
                             double effect) {
            if (half_width > 0 && effect != 0)
                affect(job_input(name, {}, meaning, rectangular_law(half_width), evidence),
                       effect * both);
        };
        add("temperature of the part",
            "temperature of the part",
            t.doubt,
            t.evidence,
            -length * part.coefficient);
        add("temperature of the scales",
            "temperature of the screws",
            t.doubt,
            t.evidence,
            length * scale.coefficient);
        add("expansion of the part",
            "expansion of the material",
            part.half_width,
            Evidence::typical,
            -length * part_warm);
        add("expansion of the scales",
            "expansion of the screws",
            scale.half_width,
            Evidence::typical,
            length * scale_warm);
    }

    // ---- process inputs

    void allow(const std::string& name,
               const std::string& meaning,
               const Allowance& allowance,
               Sharing sharing,
               const Eigen::VectorXd& column) {
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

    /// Scatter in X and in Y; columns as rows of a 2 × q list.
    void scatter(const std::string& name,
                 const std::string& meaning,
                 const Scatter& s,
                 const std::vector<std::pair<double, double>>& columns) {
        for (std::size_t axis = 0; axis < columns.size(); ++axis)
            scatter_one(fmt::format("{} in {}", name, "XY"[axis]),
                        meaning,
                        s,
                        Eigen::Vector2d(columns[axis].first, columns[axis].second));
    }

    /// A scatter from part to part; where it comes from readings, the error of their mean is
    /// knowledge and shares the doubt of their standard deviation.
    void scatter_one(const std::string& name,
                     const std::string& meaning,
                     const Scatter& s,
                     const Eigen::VectorXd& column) {
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

    // ---- everything together

    PartQuestion finish() {
        // Inputs that move no characteristic by a noticeable amount are left out; draws depend on
        // names alone, so nothing else changes.
        std::vector<bool> kept(machine_inputs_, false);
        for (const auto& effect : machine_effects_) {
            Eigen::VectorXd variance(effect.cols());
            for (Eigen::Index j = 0; j < effect.cols(); ++j) {
                const double u =
                    stats::standard_uncertainty(state_.inputs[static_cast<std::size_t>(j)].law);
                variance[j] = effect.col(j).squaredNorm() * u * u;
            }
            const double floor = 1e-7 * variance.sum();
            for (Eigen::Index j = 0; j < effect.cols(); ++j)
                if (variance[j] > floor)
                    kept[static_cast<std::size_t>(j)] = true;
        }
        PartQuestion question;
        std::vector<Eigen::Index> columns;
        for (std::size_t j = 0; j < kept.size(); ++j)
            if (kept[j]) {
                columns.push_back(static_cast<Eigen::Index>(j));
                question.model.inputs.push_back(state_.inputs[j]);
            }
        const auto machine_count = static_cast<Eigen::Index>(columns.size());
        for (const auto& input : process_inputs_)
            question.model.inputs.push_back(input);
        const auto total = static_cast<Eigen::Index>(question.model.inputs.size());
        for (std::size_t c = 0; c < characteristics_.size(); ++c) {
            auto characteristic = characteristics_[c];
            characteristic.effect = Eigen::MatrixXd::Zero(characteristic.known.size(), total);
            for (Eigen::Index j = 0; j < machine_count; ++j)
                characteristic.effect.col(j) =
                    machine_effects_[c].col(columns[static_cast<std::size_t>(j)]);
            for (const auto& [input, column] : process_effects_[c])
                characteristic.effect.col(machine_count + static_cast<Eigen::Index>(input)) +=
                    column;
            question.model.characteristics.push_back(std::move(characteristic));
        }
        question.readiness = std::move(readiness_);
        return question;
    }

    using Effects = std::vector<std::pair<std::size_t, Eigen::VectorXd>>;

    const MachineState& state_;
    const Job& job_;
    std::size_t machine_inputs_;

    Readiness ready_;
    Process process_;
    Characteristic current_;
    Eigen::MatrixXd machine_rows_; // q × n
    Effects effects_;
    std::set<std::string> covered_; // keys of the process that test cuts hold already
    std::vector<std::pair<std::string, Eigen::VectorXd>> known_;

    std::vector<Input> process_inputs_;
    std::map<std::string, std::size_t> process_by_name_;
    std::vector<Eigen::MatrixXd> machine_effects_; // of each characteristic, q × (n + m)
    std::vector<Effects> process_effects_;
    std::vector<Characteristic> characteristics_;
    std::vector<Readiness> readiness_;
};

} // namespace

PartQuestion question(const MachineState& state, const Job& job) {
    return Builder(state, job).build();
}

} // namespace holdable
