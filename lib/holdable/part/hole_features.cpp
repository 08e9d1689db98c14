// SPDX-License-Identifier: MIT
// Places and directions of holes: what their axes do against edges, faces and each other.
#include "holdable/base/error.hpp"
#include "holdable/machine/tool_path.hpp"
#include "holdable/part/kinds.hpp"

#include <fmt/format.h>

#include <cmath>
#include <numbers>

namespace holdable {
namespace {

using Eigen::Index;
using Eigen::Vector2d;
using Eigen::Vector3d;
using Eigen::VectorXd;

constexpr Index usual_along_axis = 9; // points along an axis, for its straightness
constexpr Index usual_round_hole = 24;    // points round a section

const Vector3d directions[2] = {Vector3d::UnitX(), Vector3d::UnitY()};

Spot spot_of(const Hole& hole, double height, const char* what = "the hole") {
    return {{hole.x, hole.y, height}, hole.tool_length, what};
}

std::string hole_name(const Collector& c, std::size_t number, std::size_t count) {
    return count == 1 ? c.callout().name : fmt::format("{} {}", c.callout().name, number + 1);
}

void say_making(Collector& c, const Hole& hole) {
    c.leave_out("bending of tool and part under cut");
    c.leave_out("tool wear over the batch");
    c.leave_out("stress released by cutting, clamping marks");
    switch (hole.making) {
    case HoleMaking::drilled:
        c.given("drilled after a spot");
        break;
    case HoleMaking::tapped:
        c.given("tapped after a drill and a spot");
        break;
    case HoleMaking::interpolated:
        c.given("milled round in steps of Z that leave little to cut");
        break;
    case HoleMaking::bored:
    case HoleMaking::reamed:
        c.given("fed by Z, spindle locked in no other axis");
        break;
    }
}

/// What the shop knows of making the datum's bore; what test cuts show is said of the feature's.
std::optional<Scatter>
of_making(const Collector& c, std::optional<Scatter> Process::*what, const Hole& hole) {
    const bool own = hole.making == c.callout().hole().making;
    return own || c.job().process.*what ? c.process().*what : c.process_of(hole.making).*what;
}

/// Scatter of a hole's direction. @param columns d per slope of the hole to + going up, in X and Y
void direction(Collector& c, const Hole& hole, const std::string& who, const VectorXd columns[2]) {
    const auto scatter = of_making(c, &Process::hole_direction, hole);
    c.need(c.covered("hole_direction") || scatter.has_value(),
           "hole_direction",
           "how straight the tool follows Z");
    if (!scatter || (c.covered("hole_direction") && scatter->from.empty()))
        return;
    for (int axis = 0; axis < 2; ++axis)
        c.scatter(fmt::format("{}, direction of the hole in {}", who, "XY"[axis]),
                  "direction the tool takes",
                  *scatter,
                  columns[axis]);
}

/// Scatter of where a hole starts, and of the axes that brought it there.
void start(Collector& c, const Hole& hole, const std::string& who, const VectorXd columns[2]) {
    const auto scatter = of_making(c, &Process::hole_place, hole);
    c.need(scatter.has_value(), "hole_place", "where the tool starts");
    for (int axis = 0; axis < 2; ++axis) {
        if (scatter)
            c.scatter(fmt::format("{}, start of the hole in {}", who, "XY"[axis]),
                      "where the tool starts",
                      *scatter,
                      columns[axis]);
        c.repeat(static_cast<Axis>(axis), who, columns[axis]);
    }
}

/// What the set-up adds to places measured from edges. @param at true places of the pairs (m)
void from_edges(Collector& c, const EdgeDatum& datum, const std::vector<Vector2d>& at) {
    const bool picked_up = datum.kind == EdgeDatum::Kind::picked_up;
    const auto& process = c.process();
    const auto pairs = static_cast<Index>(at.size());
    VectorXd turned = c.zero();
    VectorXd cut_size = c.zero();
    for (Index k = 0; k < pairs; ++k) {
        const Vector2d off = at[static_cast<std::size_t>(k)] - Vector2d(datum.x, datum.y);
        turned[2 * k] = off.y(); // a part askew by ψ shows what was cut turned back by ψ
        turned[2 * k + 1] = -off.x();
        cut_size[2 * k] = off.x() >= 0 ? 0.5 : -0.5;
        cut_size[2 * k + 1] = off.y() >= 0 ? 0.5 : -0.5;
    }
    for (int axis = 0; axis < 2; ++axis) {
        const char letter = "XY"[axis];
        VectorXd all = c.zero();
        for (Index k = 0; k < pairs; ++k)
            all[2 * k + axis] = 1;
        if (picked_up && process.work_zero)
            c.allow(c.in_setup(fmt::format("work zero in {}", letter)),
                    fmt::format("finding the edge in {}", letter),
                    *process.work_zero,
                    Sharing::setup,
                    all);
        if (picked_up && c.job().quantity > 1 && process.location && !c.covered("location"))
            c.allow(c.in_setup(fmt::format("location in {}", letter)),
                    fmt::format("putting each part in place, {}", letter),
                    *process.location,
                    Sharing::part,
                    all);
        c.turning_either_way(static_cast<Axis>(axis), all);
        c.drift(static_cast<Axis>(axis), all);
        if (!picked_up)
            c.repeat(static_cast<Axis>(axis), c.in_setup("the datum edges"), all);
    }
    if (picked_up && process.line_up)
        c.allow(c.in_setup("lining up"),
                "lining the part up with X",
                *process.line_up,
                Sharing::setup,
                turned);
    if (!picked_up)
        add_tool_of_edges(c, datum, cut_size);
    c.need(
        !picked_up || process.work_zero.has_value(), "work_zero", "how the datum edges are found");
    c.need(!picked_up || process.line_up.has_value(), "line_up", "how the part is lined up with X");
    c.need(picked_up || process.tool_size.has_value(),
           "tool_size",
           "how well the tool that cut the edges was measured");
    c.need(!picked_up || c.job().quantity <= 1 || c.covered("location") ||
               process.location.has_value(),
           "location",
           "how each part is put into place");
    c.given(picked_up ? fmt::format("{} picked up once", datum.name)
                      : fmt::format("{} milled in the same set-up", datum.name));
}

/// The callout of the size that a bonus is taken from.
const Callout& size_of_bonus(const Collector& c) {
    for (const auto& other : c.job().callouts)
        if (other.name == c.callout().bonus_from && other.kind == Requirement::diameter)
            return other;
    throw InputError("bonus-unknown",
                     fmt::format("\"{}\": no callout \"{}\" gives a diameter",
                                 c.callout().name,
                                 c.callout().bonus_from),
                     "\"maximum_material\" names the callout of the hole's own size");
}

/// Points of a bore's axis against a straight line, as forms: two rows an end (m).
struct AxisForm {
    Eigen::MatrixXd slope; // 2 × n
    double middle;         // height of its middle (m)
};

AxisForm axis_of(const Collector& c, const Hole& hole) {
    return {axis_slope(c.state().model,
                       {hole.x, hole.y, hole.top, hole.depth, hole.tool_length},
                       c.state().model.job(),
                       c.callout().name),
            hole.top - hole.depth / 2};
}

} // namespace

/// u = δ(hole) - δ(edges) at both ends of every hole; 2 max |u|. Without a secondary datum the zone
/// of the pattern floats: two translations and a rotation are free, and the edges do not enter.
/// About a bore of the same set-up, u = δ(hole) - δ(bore at its top), the rotation alone is free.
void position(Collector& c) {
    const auto& callout = c.callout();
    const auto& holes = std::get<Holes>(callout.feature);
    const auto* edges = std::get_if<EdgeDatum>(&callout.datum);
    const auto* bore = std::get_if<BoreDatum>(&callout.datum);
    const auto pairs = static_cast<Index>(2 * holes.size());
    const bool bonus = !callout.bonus_from.empty();
    c.shape(Reduction::twice_worst, 2 * pairs + (bonus ? 1 : 0));
    std::vector<Vector2d> at;
    for (std::size_t h = 0; h < holes.size(); ++h) {
        const auto& hole = holes[h];
        const auto who = hole_name(c, h, holes.size());
        const auto first = static_cast<Index>(4 * h);
        VectorXd both[2] = {c.zero(), c.zero()};
        VectorXd lean[2] = {c.zero(), c.zero()};
        for (Index end = 0; end < 2; ++end) {
            at.emplace_back(hole.x, hole.y);
            for (Index axis = 0; axis < 2; ++axis) {
                const Index e = first + 2 * end + axis;
                c.spot(e, spot_of(hole, hole.top - (end == 1 ? hole.depth : 0)), directions[axis]);
                if (edges != nullptr)
                    c.spot(e,
                           {{edges->x, edges->y, edges->height}, edges->tool_length, "the datum"},
                           directions[axis],
                           -1);
                if (bore != nullptr)
                    c.spot(e,
                           spot_of(bore->hole, bore->hole.top, "the datum bore"),
                           directions[axis],
                           -1);
                both[axis][e] = 1;
                lean[axis][e] = end == 1 ? -hole.depth : 0;
            }
        }
        start(c, hole, who, both);
        direction(c, hole, who, lean);
    }
    say_making(c, holes.front());
    if (holes.size() > 1)
        c.leave_out("drift between one hole and the next");
    if (edges != nullptr) {
        from_edges(c, *edges, at);
    } else {
        Vector2d middle(0, 0);
        for (const auto& place : at)
            middle += place / static_cast<double>(at.size());
        if (bore != nullptr) {
            middle = {bore->hole.x, bore->hole.y};
            VectorXd all[2] = {c.zero(), c.zero()};
            for (Index k = 0; k < 2 * pairs; ++k)
                all[k % 2][k] = -1;
            start(c, bore->hole, bore->name, all);
            c.given(fmt::format("bore {} cut in the same set-up", bore->name));
        }
        auto& free = c.current().free;
        free = Eigen::MatrixXd::Zero(2 * pairs, bore != nullptr ? 1 : 3);
        for (Index k = 0; k < pairs; ++k) {
            const Vector2d off = at[static_cast<std::size_t>(k)] - middle;
            free(2 * k, free.cols() - 1) = -off.y();
            free(2 * k + 1, free.cols() - 1) = off.x();
            if (bore == nullptr)
                free.block<2, 2>(2 * k, 0).setIdentity();
        }
        // A lost motion either way, hole by hole, does not float away.
        for (int axis = 0; axis < 2; ++axis)
            for (std::size_t h = 0; h < holes.size(); ++h) {
                VectorXd column = c.zero();
                column[static_cast<Index>(4 * h) + axis] = 1;
                column[static_cast<Index>(4 * h) + 2 + axis] = 1;
                if (h % 2 == 1) // every other hole is taken as approached the other way
                    column = -column;
                c.turning_either_way(static_cast<Axis>(axis), column);
            }
    }
    if (bonus) {
        const auto& size = size_of_bonus(c);
        const Index last = c.elements() - 1;
        c.current().bonus = true;
        add_diameter(c, last, size.name, size.hole(), aimed(size.hole(), size.size));
        // room over the maximum material: the smallest hole, the largest boss
        if (size.hole().outside)
            throw InputError("bonus-unknown",
                             fmt::format("\"{}\": \"{}\" is a boss", callout.name, size.name),
                             "maximum material is for holes here");
        // the smallest hole is the one of most material
        c.know(std::string(bonus_room), c.unit(last, size.size.half_width()));
    }
}

/// e = v·(δ(second) - δ(first)) half way down, v from the first to the second. What moves across v
/// bends it by the distance.
void hole_distance(Collector& c) {
    const auto& callout = c.callout();
    const auto& holes = std::get<Holes>(callout.feature);
    if (holes.size() != 2)
        throw InputError("callout-shape",
                         fmt::format("\"{}\": a distance is that of two holes", callout.name),
                         "");
    c.shape(Reduction::signed_value, 1);
    const Vector2d from(holes[0].x, holes[0].y);
    const Vector2d to(holes[1].x, holes[1].y);
    c.bend((to - from).norm());
    const Vector2d v = (to - from).normalized();
    const Vector2d w(-v.y(), v.x());
    const Vector3d along(v.x(), v.y(), 0), across(w.x(), w.y(), 0);
    for (std::size_t h = 0; h < 2; ++h) {
        const auto& hole = holes[h];
        const double sign = h == 1 ? 1 : -1;
        const auto who = hole_name(c, h, 2);
        c.spot(0, spot_of(hole, hole.top - hole.depth / 2), along, sign);
        c.spot(1, spot_of(hole, hole.top - hole.depth / 2), across, sign);
        const VectorXd columns[2] = {sign * Vector2d(v.x(), w.x()), sign * Vector2d(v.y(), w.y())};
        start(c, hole, who, columns);
        const VectorXd lean[2] = {-hole.depth / 2 * columns[0], -hole.depth / 2 * columns[1]};
        direction(c, hole, who, lean);
    }
    if (callout.one_way)
        c.given("both holes approached from the same side");
    else // one may have been reached from either side: twice the half of the lost motion
        for (int axis = 0; axis < 2; ++axis)
            c.turning_either_way(static_cast<Axis>(axis), 2 * Vector2d(v[axis], w[axis]));
    c.aim(0, callout.size);
    c.leave_out("drift between one hole and the next");
    say_making(c, holes.front());
}

/// d = depth · (slope of the axis + slope of the datum) in X and Y; |d|: L θ, not 2 L θ.
void lean_of_axis(Collector& c) {
    const auto& callout = c.callout();
    const auto& hole = callout.hole();
    c.shape(Reduction::magnitude, 2);
    const VectorXd by_slope[2] = {c.unit(0, hole.depth), c.unit(1, hole.depth)};
    const auto axis = axis_of(c, hole);
    for (Index k = 0; k < 2; ++k)
        c.machine(by_slope[k], axis.slope.row(k));
    direction(c, hole, callout.name, by_slope);
    if (const auto* bore = std::get_if<BoreDatum>(&callout.datum)) {
        const auto other = axis_of(c, bore->hole);
        const VectorXd against[2] = {-by_slope[0], -by_slope[1]};
        for (Index k = 0; k < 2; ++k)
            c.machine(against[k], other.slope.row(k));
        direction(c, bore->hole, bore->name, against);
        c.given(fmt::format("bore {} cut in the same set-up", bore->name));
    } else {
        c.plane(std::get<PlaneDatum>(callout.datum), by_slope);
    }
    say_making(c, hole);
}

/// Points along the axis, straight motions of a cylinder free: its smallest diameter.
void straightness_of_axis(Collector& c) {
    const auto& hole = c.callout().hole();
    const Index along_axis = c.points(usual_along_axis);
    c.shape(Reduction::twice_worst, 2 * along_axis);
    c.current().free = Eigen::MatrixXd::Zero(2 * along_axis, 4);
    for (Index k = 0; k < along_axis; ++k) {
        const double t = static_cast<double>(k) / static_cast<double>(along_axis - 1);
        for (Index axis = 0; axis < 2; ++axis) {
            c.spot(2 * k + axis, spot_of(hole, hole.top - t * hole.depth), directions[axis]);
            c.current().free(2 * k + axis, 2 * axis) = 1;
            c.current().free(2 * k + axis, 2 * axis + 1) = t - 0.5;
        }
    }
    if (hole.making == HoleMaking::drilled || hole.making == HoleMaking::tapped)
        c.leave_out("how far a drill bends on its way");
    say_making(c, hole);
}

/// Ends of the bore against the line of the datum bore, 2 max |u|. In one set-up that is
/// u(z) = δ(z) - line(z). Where the part was turned over by F (about X or Y, the bore's axis is
/// mirrored in the other), u = F (δ₂ - δ₂(zero)) + zero error - (line₁ - line₁(zero)): each set-up
/// is counted from where its zero was found, which is at the bore itself, or at the edges.
void coaxiality(Collector& c) {
    const auto& callout = c.callout();
    const auto& hole = callout.hole();
    const auto& datum = std::get<BoreDatum>(callout.datum);
    const auto& first = datum.hole;
    c.shape(Reduction::twice_worst, 4);
    const auto line = axis_of(c, first);
    const bool flipped = datum.flipped.has_value();
    Vector2d mirror(1, 1);
    if (flipped)
        mirror[*datum.flipped == Axis::x ? 1 : 0] = -1;
    const double middle = first.top - first.depth / 2;
    // Height of a place of the second set-up in the first: turned over, the part stands on its top.
    const auto in_first = [&](double height) {
        return flipped ? first.top - datum.thickness + (hole.top - height) : height;
    };
    const double zero_2 = flipped && !datum.indicated ? hole.top : datum.indicated_at;
    const double zero_1 = flipped && !datum.indicated ? first.top : in_first(datum.indicated_at);
    VectorXd lean_1[2] = {c.zero(), c.zero()}, lean_2[2] = {c.zero(), c.zero()};
    VectorXd all[2] = {c.zero(), c.zero()};
    for (Index end = 0; end < 2; ++end)
        for (Index axis = 0; axis < 2; ++axis) {
            const Index e = 2 * end + axis;
            const double z = hole.top - (end == 1 ? hole.depth : 0);
            const double m = mirror[axis];
            all[axis][e] = 1;
            c.spot(e, spot_of(hole, z), directions[axis], m);
            double arm_1 = 0; // from where the first line counts to this place
            if (flipped) {
                c.spot(e,
                       spot_of(hole, zero_2, "the place where the zero is found"),
                       directions[axis],
                       -m);
                arm_1 = in_first(z) - zero_1;
                lean_2[axis][e] = m * (z - hole.top);
            } else {
                c.spot(e, spot_of(first, middle, "the datum bore"), directions[axis], -1);
                arm_1 = z - middle;
                lean_2[axis][e] = z - hole.top;
            }
            c.machine(c.unit(e, -arm_1), line.slope.row(axis));
            lean_1[axis][e] = -arm_1;
        }
    direction(c, datum.hole, datum.name, lean_1);
    direction(c, hole, callout.name, lean_2);
    start(c, hole, callout.name, all);
    if (!flipped) {
        start(c, datum.hole, datum.name, all);
        for (int axis = 0; axis < 2; ++axis)
            c.turning_either_way(static_cast<Axis>(axis), 2 * all[axis]);
        c.given(fmt::format("bore {} cut in the same set-up", datum.name));
    } else {
        VectorXd first_seat[2], second_seat[2];
        for (int axis = 0; axis < 2; ++axis) {
            first_seat[axis] = second_seat[axis] = c.zero();
            for (Index end = 0; end < 2; ++end) {
                const Index e = 2 * end + axis;
                const double z = hole.top - (end == 1 ? hole.depth : 0);
                first_seat[axis][e] = -(in_first(z) - zero_1);
                second_seat[axis][e] = mirror[axis] * (z - zero_2);
            }
            const auto& process = c.process();
            if (datum.indicated) {
                c.need(process.pick_up.has_value(), "pick_up", "how the bore is indicated in");
                if (process.pick_up)
                    c.allow(fmt::format("indicating {} in, {}", datum.name, "XY"[axis]),
                            "indicating the first bore in",
                            *process.pick_up,
                            Sharing::setup,
                            all[axis]);
            } else {
                c.need(process.work_zero.has_value(), "work_zero", "how the datum edges are found");
                for (const char* which : {"first", "second"})
                    if (process.work_zero)
                        c.allow(fmt::format("work zero in {}, {} set-up", "XY"[axis], which),
                                fmt::format("finding the edge in {}", "XY"[axis]),
                                *process.work_zero,
                                Sharing::setup,
                                all[axis]);
            }
            c.turning_either_way(static_cast<Axis>(axis), 2 * all[axis]);
            c.drift(static_cast<Axis>(axis), all[axis]);
        }
        c.seat("first set-up", first_seat);
        c.seat("second set-up", second_seat);
        if (!datum.indicated) {
            start(c, first, datum.name, all);
            c.leave_out("what the axes add on the way from the edges to the bore");
            c.leave_out("lining the part up again");
        } else if (c.job().quantity > 1) {
            c.given("each part indicated in by itself after it is turned over");
        }
        c.given(fmt::format("turned over about {}, both faces clean", letter(*datum.flipped)));
    }
    say_making(c, hole);
}

/// Radial run-out over one section, half way down: max - min of u·n(θ) + lobes(θ), u from the axis
/// of the datum bore. An eccentricity e shows as 2 e.
void run_out_of_hole(Collector& c) {
    const auto& callout = c.callout();
    const auto& hole = callout.hole();
    const auto& datum = std::get<BoreDatum>(callout.datum);
    const auto line = axis_of(c, datum.hole);
    const double z = hole.top - hole.depth / 2;
    const Index around = c.points_round(usual_round_hole);
    c.shape(Reduction::width, around);
    VectorXd angles(around);
    VectorXd all[2] = {c.zero(), c.zero()};
    for (Index k = 0; k < around; ++k) {
        angles[k] = 2 * std::numbers::pi * static_cast<double>(k) / static_cast<double>(around);
        const Vector3d n(std::cos(angles[k]), std::sin(angles[k]), 0);
        add_section_point(c, k, hole, z, angles[k], 1);
        c.spot(k, spot_of(datum.hole, line.middle, "the datum bore"), n, -1);
        for (int axis = 0; axis < 2; ++axis) {
            all[axis][k] = n[axis];
            c.machine(c.unit(k, -(z - line.middle) * n[axis]), line.slope.row(axis));
        }
    }
    const VectorXd lean_1[2] = {-(z - line.middle) * all[0], -(z - line.middle) * all[1]};
    const VectorXd lean_2[2] = {-hole.depth / 2 * all[0], -hole.depth / 2 * all[1]};
    direction(c, datum.hole, datum.name, lean_1);
    direction(c, hole, callout.name, lean_2);
    start(c, hole, callout.name, all);
    start(c, datum.hole, datum.name, all);
    for (int axis = 0; axis < 2; ++axis)
        c.turning_either_way(static_cast<Axis>(axis), 2 * all[axis]);
    if (hole.making == HoleMaking::interpolated)
        add_path(c, hole, angles);
    add_lobes(c, hole, angles);
    c.given(fmt::format("bore {} cut in the same set-up", datum.name));
    say_making(c, hole);
}

} // namespace holdable
