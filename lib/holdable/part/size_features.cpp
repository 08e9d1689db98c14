// SPDX-License-Identifier: MIT
// Heights, widths and lengths: how far surfaces are apart.
#include "holdable/base/error.hpp"
#include "holdable/machine/tool_path.hpp"
#include "holdable/part/kinds.hpp"

#include <fmt/format.h>

#include <cmath>

namespace holdable {
namespace {

using Eigen::Index;
using Eigen::Vector2d;
using Eigen::Vector3d;
using Eigen::VectorXd;

constexpr Index each_way = 5; // points of a face's mean

Vector2d middle_of(const Extent& e) {
    return {(e.x_low + e.x_high) / 2, (e.y_low + e.y_high) / 2};
}

/// d += weight · mean of δ_z over a face.
void mean_height(
    Collector& c, const VectorXd& all, const Face& face, const Extent& e, double weight) {
    Eigen::RowVectorXd row = c.state().model.zero();
    const auto& model = c.state().model;
    for (Index i = 0; i < each_way; ++i)
        for (Index j = 0; j < each_way; ++j) {
            const double s = static_cast<double>(i) / (each_way - 1);
            const double t = static_cast<double>(j) / (each_way - 1);
            row += tip_error(model,
                             {e.x_low + s * (e.x_high - e.x_low),
                              e.y_low + t * (e.y_high - e.y_low),
                              face.height},
                             face.tool_length,
                             model.job(),
                             c.callout().name,
                             "the face")
                       .row(2) /
                   static_cast<double>(each_way * each_way);
        }
    c.machine(weight * all, row);
    for (Index k = 0; k < all.size(); ++k)
        c.wave(k, Axis::z, face.height, weight * all[k]);
}

} // namespace

void height_from(Collector& c, const PlaneDatum& datum, const Face& face, const VectorXd& all) {
    const auto& process = c.process();
    const bool same_tool = std::abs(datum.face.tool_length - face.tool_length) < 1e-6;
    const bool cut = datum.kind == PlaneDatum::Kind::face;
    c.drift(Axis::z, all);
    c.repeat(Axis::z, c.callout().name + ", the face", all);
    if (cut) {
        if (const auto extent = c.extent_of(datum.face, "the datum face")) {
            mean_height(c, all, datum.face, *extent, -1);
            for (Index e = 0; e < c.elements(); ++e)
                c.length(e, all[e] * (face.height - datum.face.height));
        }
        c.repeat(Axis::z, c.callout().name + ", the datum face", -all);
        if (!same_tool)
            c.need(
                process.tool_length.has_value(), "tool_length", "how well tools are set in length");
        if (!same_tool && process.tool_length)
            for (const double length : {face.tool_length, datum.face.tool_length})
                c.allow(fmt::format("length of the tool of {:.6g} mm", length * 1e3),
                        "length the tool was set to",
                        *process.tool_length,
                        Sharing::tool,
                        length == face.tool_length ? all : VectorXd(-all));
        c.given(fmt::format("face {} milled in the same set-up{}",
                            datum.name,
                            same_tool ? " by the same tool" : ""));
        return;
    }
    // A face that was there, or the seat: the zero is touched off, by the tool itself or a gauge.
    const auto& touched = datum.face;
    const bool at_face = datum.kind == PlaneDatum::Kind::touched;
    const auto extent = at_face && touched.extent ? touched.extent
                        : face.extent             ? face.extent
                                                  : c.job().part;
    const Vector2d at = extent ? middle_of(*extent) : Vector2d(0, 0);
    const auto& model = c.state().model;
    // The seat is touched by the tool of the face, or as low as that reaches: Z from there counts.
    const double tool = at_face ? touched.tool_length : face.tool_length;
    const double lowest = model.shop().travel[2].low + model.shop().nose_to_table - tool;
    const double zero_height = at_face ? touched.height : std::max(0.0, lowest);
    c.machine(-all,
              tip_error(model,
                        {at.x(), at.y(), zero_height},
                        tool,
                        model.job(),
                        c.callout().name,
                        "the place touched")
                  .row(2));
    for (Index e = 0; e < c.elements(); ++e)
        c.wave(e, Axis::z, zero_height, -all[e]);
    // What grows in warmth is the part, not what it lies on: its size, where one is asked.
    const double grows = at_face                        ? face.height - touched.height
                         : c.callout().size.nominal > 0 ? c.callout().size.nominal
                                                        : face.height;
    for (Index e = 0; e < c.elements(); ++e)
        c.length(e, all[e] * grows);
    c.need(process.work_zero.has_value(), "work_zero", "how the zero in Z is found");
    if (process.work_zero)
        c.allow(c.in_setup("work zero in Z"),
                "finding the zero in Z",
                *process.work_zero,
                Sharing::setup,
                all);
    c.need(process.tool_length.has_value(), "tool_length", "how well tools are set in length");
    if (process.tool_length)
        c.allow(fmt::format("length of the tool of {:.6g} mm", face.tool_length * 1e3),
                "length the tool was set to",
                *process.tool_length,
                Sharing::tool,
                all);
    if (c.job().quantity > 1) {
        c.need(c.covered("location") || process.location.has_value(),
               "location",
               "how each part is put into place");
        if (process.location && !c.covered("location"))
            c.allow(c.in_setup("location in Z"),
                    "putting each part in place, Z",
                    *process.location,
                    Sharing::part,
                    all);
    }
    c.given(datum.kind == PlaneDatum::Kind::touched
                ? fmt::format("face {} touched off once", datum.name)
                : "seat clean, part flat where it sits");
}

/// d = mean δ_z of the face - that of the datum.
void height(Collector& c) {
    const auto& callout = c.callout();
    const auto& face = std::get<Face>(callout.feature);
    c.shape(Reduction::signed_value, 1);
    const auto extent = c.extent_of(face, "the face");
    if (!extent)
        return;
    const auto& datum = std::get<PlaneDatum>(callout.datum);
    const VectorXd all =
        c.unit(0,
               face.height >= datum.face.height || datum.kind == PlaneDatum::Kind::seat
                   ? 1
                   : -1); // a depth grows as its floor goes down
    mean_height(c, all, face, *extent, 1);
    height_from(c, datum, face, all);
    c.aim(0, callout.size);
}

void from_edge(Collector& c, const Wall& wall, double weight) {
    const auto& callout = c.callout();
    const auto& process = c.process();
    const auto& datum = std::get<EdgeDatum>(callout.datum);
    const Vector3d n(wall.normal.x(), wall.normal.y(), 0);
    const bool picked_up = datum.kind == EdgeDatum::Kind::picked_up;
    VectorXd all = c.zero();
    const Index points = c.current().reduction == Reduction::signed_value ? 1 : c.elements();
    for (Index e = 0; e < points; ++e) {
        all[e] = weight;
        c.spot(e, {{datum.x, datum.y, datum.height}, datum.tool_length, "the datum"}, n, -weight);
    }
    for (int axis = 0; axis < 2; ++axis) {
        const char letter = "XY"[axis];
        const VectorXd column = n[axis] * all;
        if (column.isZero(1e-9))
            continue;
        c.drift(static_cast<Axis>(axis), column);
        // the edge may have been reached from the other side than the wall
        c.turning_either_way(static_cast<Axis>(axis), std::abs(n[axis]) * all);
        if (!picked_up) {
            c.repeat(static_cast<Axis>(axis), c.in_setup("the datum edges"), column);
            continue;
        }
        c.need(process.work_zero.has_value(), "work_zero", "how the datum edges are found");
        if (process.work_zero)
            c.allow(c.in_setup(fmt::format("work zero in {}", letter)),
                    fmt::format("finding the edge in {}", letter),
                    *process.work_zero,
                    Sharing::setup,
                    column);
        if (c.job().quantity > 1 && !c.covered("location")) {
            c.need(process.location.has_value(), "location", "how each part is put into place");
            if (process.location)
                c.allow(c.in_setup(fmt::format("location in {}", letter)),
                        fmt::format("putting each part in place, {}", letter),
                        *process.location,
                        Sharing::part,
                        column);
        }
    }
    if (!picked_up) {
        c.need(process.tool_size.has_value(),
               "tool_size",
               "how well the tool that cut the edges was measured");
        // the edge is taken as opposed to the wall, which is the worse
        add_tool_of_edges(c, datum, -0.5 * all);
    }
    c.given(picked_up ? fmt::format("{} picked up once", datum.name)
                      : fmt::format("{} milled in the same set-up", datum.name));
}

/// d = u·(Δ₂ - Δ₁), Δ = n (n·δ + what the tool adds), u from the first wall to the second. So a
/// tool too large opens a slot, eats a boss and leaves two faces of one side as far apart as they
/// were. A slot of the tool's own width is as wide as the tool runs.
void distance_of_walls(Collector& c) {
    const auto& callout = c.callout();
    c.shape(Reduction::signed_value, 1);
    c.aim(0, callout.size);
    if (const auto* wall = std::get_if<Wall>(&callout.feature)) {
        const auto& datum = std::get<EdgeDatum>(callout.datum);
        const Vector2d off = (wall->from + wall->to) / 2 - Vector2d(datum.x, datum.y);
        const double sign = off.dot(wall->normal) >= 0 ? 1 : -1;
        add_mean_wall(c, *wall, sign);
        add_tool_of_wall(c, *wall, "wall", 0, VectorXd::Constant(1, wall->depth / 2), sign);
        from_edge(c, *wall, sign);
        return;
    }
    const auto& walls = std::get<Walls>(callout.feature);
    const auto& [first, second] = walls.wall;
    const auto middle = [](const Wall& wall) -> Vector2d { return (wall.from + wall.to) / 2; };
    const Vector2d n = second.normal;
    const double way = (middle(second) - middle(first)).dot(n) >= 0 ? 1 : -1;
    const double signs[2] = {-way * n.dot(first.normal), way};
    if (walls.plunged) {
        c.length(0, std::abs((middle(second) - middle(first)).dot(n)));
        add_tool_size(c, "slotting tool", c.unit(0));
        add_tool_run_out(c, "slotting tool", c.unit(0));
        add_wear(c, "wear of the edge", c.unit(0, -2));
        c.leave_out("side play of a full-width cut");
        return;
    }
    for (std::size_t w = 0; w < 2; ++w) {
        add_mean_wall(c, walls.wall[w], signs[w]);
        add_tool_of_wall(c,
                         walls.wall[w],
                         w == 0 ? "first wall" : "second wall",
                         0,
                         VectorXd::Constant(1, walls.wall[w].depth / 2),
                         signs[w]);
    }
}

} // namespace holdable
