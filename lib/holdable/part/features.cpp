// SPDX-License-Identifier: MIT
#include "holdable/part/features.hpp"

#include "holdable/base/error.hpp"
#include "holdable/standards/expansion.hpp"
#include "holdable/stats/distribution.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>

namespace holdable {
namespace {

constexpr int hole_points = 9;                   // along a hole
constexpr int face_points = 9;                   // along each side of a face
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

    void know(const std::string& what, const Eigen::VectorXd& column) {
        if (column.norm() > 0)
            known_.emplace_back(what, column);
    }

    void need(bool there, const std::string& key, const std::string& what) {
        if (!there)
            ready_.missing.push_back(fmt::format(
                "{} (\"process\": {{\"{}\": …}}, or \"process\": \"typical\")", what, key));
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
    tip_error(double x, double y, double height, double length, const std::string& what) {
        const auto& shop = state_.model.shop();
        const Eigen::Vector3d position(x, y, height + length - shop.nose_to_table);
        for (int axis = 0; axis < 3; ++axis) {
            const auto& travel = shop.travel[static_cast<std::size_t>(axis)];
            constexpr double slack = 1e-9;
            if (position[axis] < travel.low - slack || position[axis] > travel.high + slack)
                throw InputError(
                    "feature-outside",
                    fmt::format("\"{}\": {} needs {} at {:.4g} mm, beyond its travel of {:.4g} to "
                                "{:.4g} mm",
                                current_.name,
                                what,
                                "XYZ"[axis],
                                position[axis] * 1e3,
                                travel.low * 1e3,
                                travel.high * 1e3),
                    axis == 2
                        ? "a tool of another length, or another height on the table, changes Z"
                        : "");
        }
        return state_.model.point_error(position, {0, 0, -length}, state_.model.job());
    }

    // ---- perpendicularity of a hole's axis

    void perpendicularity(const Callout& c) {
        current_.reduction = Reduction::magnitude;
        const auto n = state_.estimate.size();
        Eigen::MatrixXd slope =
            Eigen::MatrixXd::Zero(2, n); // of the axis: least squares over its points
        double spread = 0;
        for (int i = 0; i < hole_points; ++i) {
            const double from_middle = c.depth * (0.5 - double(i) / (hole_points - 1));
            spread += from_middle * from_middle;
            slope +=
                from_middle *
                tip_error(c.x, c.y, c.top - c.depth / 2 + from_middle, c.tool_length, "the hole")
                    .topRows(2);
        }
        machine_rows_ = c.depth * (slope / spread);

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
        const double x_middle = (extent.x_low + extent.x_high) / 2;
        const double y_middle = (extent.y_low + extent.y_high) / 2;
        double x_spread = 0;
        double y_spread = 0;
        Eigen::MatrixXd slope = Eigen::MatrixXd::Zero(2, state_.estimate.size());
        for (int i = 0; i < face_points; ++i)
            for (int j = 0; j < face_points; ++j) {
                const double dx =
                    (extent.x_high - extent.x_low) * (double(i) / (face_points - 1) - 0.5);
                const double dy =
                    (extent.y_high - extent.y_low) * (double(j) / (face_points - 1) - 0.5);
                const Eigen::RowVectorXd z = tip_error(x_middle + dx,
                                                       y_middle + dy,
                                                       c.orientation.height,
                                                       c.orientation.tool_length,
                                                       "the datum face")
                                                 .row(2);
                slope.row(0) += dx * z;
                slope.row(1) += dy * z;
                x_spread += dx * dx;
                y_spread += dy * dy;
            }
        machine_rows_.row(0) += c.depth * slope.row(0) / x_spread;
        machine_rows_.row(1) += c.depth * slope.row(1) / y_spread;
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
        const auto upper = tip_error(c.x, c.y, c.top, c.tool_length, "the hole");
        const auto lower = tip_error(c.x, c.y, c.top - c.depth, c.tool_length, "the hole");
        const auto zero = tip_error(datum.x, datum.y, datum.height, datum.tool_length, "the datum");
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
            if (picked_up && job_.quantity > 1 && process_.location)
                allow(fmt::format("location in {}", letter),
                      fmt::format("putting each part in place, {}", letter),
                      *process_.location,
                      Sharing::part,
                      both);
            if (process_.reversal)
                allow(fmt::format("lost motion of {}", letter),
                      fmt::format("lost motion of {}", letter),
                      *process_.reversal,
                      Sharing::job,
                      both);
            if (process_.drift)
                allow(fmt::format("drift in {}", letter),
                      fmt::format("drift within the job, {}", letter),
                      *process_.drift,
                      Sharing::part,
                      both);
            if (process_.axis_repeat) {
                // A cut datum is reached by the same axis once more.
                auto repeat = *process_.axis_repeat;
                repeat.standard_deviation *= picked_up ? 1 : std::sqrt(2.0);
                scatter_one(fmt::format("{}, repeatability of {}", c.name, letter),
                            fmt::format("repeatability of {}", letter),
                            repeat,
                            both);
            }
            if (process_.hole_place)
                scatter_one(fmt::format("{}, start of the hole in {}", c.name, letter),
                            "where the tool starts",
                            *process_.hole_place,
                            both);
            if (process_.hole_direction)
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
        need(!picked_up || job_.quantity <= 1 || process_.location.has_value(),
             "location",
             "how each part is put into place");
        need(process_.axis_repeat.has_value(), "axis_repeat", "the repeatability of the axes");
        need(process_.reversal.has_value(), "reversal", "the lost motion left");
        need(process_.drift.has_value(), "drift", "the drift within the job");
        need(process_.hole_place.has_value(), "hole_place", "where the tool starts");
        need(process_.hole_direction.has_value(),
             "hole_direction",
             "how straight the tool follows Z");
        ready_.must_be_true.push_back(
            picked_up ? fmt::format("part lined up with X, {} picked up once", datum.names)
                      : fmt::format("{} milled in the same set-up", datum.names));
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
