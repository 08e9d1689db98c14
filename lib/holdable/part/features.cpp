// SPDX-License-Identifier: MIT
#include "holdable/part/features.hpp"

#include "holdable/base/error.hpp"
#include "holdable/part/kinds.hpp"

#include <fmt/format.h>

namespace holdable {
namespace {

using Kind = void (*)(Collector&);

template <class T>
bool of(const Feature& feature) {
    return std::holds_alternative<T>(feature);
}

/// Cut in one set-up with the feature.
bool same_setup(const Datum& datum) {
    const auto* bore = std::get_if<BoreDatum>(&datum);
    return bore != nullptr && !bore->flipped;
}

/// Edges that were there: what was cut with the feature is a wall.
bool found_edges(const Datum& datum) {
    const auto* edges = std::get_if<EdgeDatum>(&datum);
    return edges != nullptr && edges->kind == EdgeDatum::Kind::picked_up;
}

template <class... Ts>
bool against(const Datum& datum) {
    return (std::holds_alternative<Ts>(datum) || ...);
}

/// What answers a requirement of a feature; nothing where they do not suit each other.
Kind kind_of(const Callout& c) {
    const auto& f = c.feature;
    const auto& d = c.datum;
    switch (c.kind) {
    case Requirement::position:
        return of<Holes>(f) && (against<EdgeDatum, EachOther>(d) || same_setup(d)) ? position
                                                                                   : nullptr;
    case Requirement::perpendicularity:
        if (of<Holes>(f))
            return against<PlaneDatum>(d) ? lean_of_axis : nullptr;
        return of<Wall>(f) && (against<PlaneDatum, WallDatum>(d) || found_edges(d))
                   ? orientation_of_wall
                   : nullptr;
    case Requirement::parallelism:
        if (of<Holes>(f))
            return same_setup(d) ? lean_of_axis : nullptr;
        if (of<Face>(f))
            return against<PlaneDatum>(d) ? orientation_of_face : nullptr;
        [[fallthrough]];
    case Requirement::angularity:
        return of<Wall>(f) && (against<WallDatum>(d) || found_edges(d)) ? orientation_of_wall
                                                                        : nullptr;
    case Requirement::flatness:
        return of<Face>(f) ? form_of_face : of<Wall>(f) ? form_of_wall : nullptr;
    case Requirement::straightness:
        return of<Holes>(f)  ? straightness_of_axis
               : of<Face>(f) ? form_of_face
               : of<Wall>(f) ? form_of_wall
                             : nullptr;
    case Requirement::roundness:
        return of<Holes>(f) ? roundness : nullptr;
    case Requirement::cylindricity:
        return of<Holes>(f) ? cylindricity : nullptr;
    case Requirement::profile:
        if (of<Wall>(f))
            return against<EdgeDatum>(d) ? profile : nullptr;
        return of<Face>(f) && against<PlaneDatum>(d) ? profile : nullptr;
    case Requirement::coaxiality:
        return of<Holes>(f) && against<BoreDatum>(d) ? coaxiality : nullptr;
    case Requirement::run_out:
        return of<Holes>(f) && same_setup(d) ? run_out_of_hole : nullptr;
    case Requirement::diameter:
        return of<Holes>(f) ? diameter : nullptr;
    case Requirement::distance:
        return of<Holes>(f) ? hole_distance : nullptr;
    case Requirement::height:
        return of<Face>(f) && against<PlaneDatum>(d) ? height : nullptr;
    case Requirement::width:
    case Requirement::length:
        if (of<Wall>(f))
            return against<EdgeDatum>(d) ? distance_of_walls : nullptr;
        return of<Walls>(f) ? distance_of_walls : nullptr;
    }
    return nullptr;
}

} // namespace

bool suits(const Callout& callout) {
    return kind_of(callout) != nullptr;
}

namespace {

PartQuestion collect(const Job& job, Collector& collector) {
    for (const auto& callout : job.callouts) {
        const auto kind = kind_of(callout);
        if (kind == nullptr)
            throw InputError(
                "callout-shape",
                fmt::format("\"{}\": a {} cannot be asked of this feature against this "
                            "datum",
                            callout.name,
                            word(callout.kind)),
                "");
        const bool hole = of<Holes>(callout.feature);
        collector.begin(callout, hole ? callout.hole().making : HoleMaking::interpolated);
        kind(collector);
        collector.end();
    }
    return collector.finish();
}

/// A probe in place of every tool: it touches where it stands, point by point.
struct Probed {
    double length;

    void operator()(Hole& hole) const {
        hole.tool_length = length;
        hole.making = HoleMaking::interpolated; // round the surface, not from the spindle's place
        hole.tool_diameter = 0;
        hole.tool_reach.reset();
    }

    void operator()(Holes& holes) const {
        for (auto& hole : holes)
            (*this)(hole);
    }

    void operator()(Face& face) const { face.tool_length = length; }

    void operator()(Wall& wall) const {
        wall.tool_length = length;
        wall.flank = false;
        wall.tool_diameter = 0;
    }

    void operator()(Walls& walls) const {
        walls.plunged = false;
        for (auto& wall : walls.wall)
            (*this)(wall);
    }

    void operator()(PlaneDatum& datum) const { (*this)(datum.face); }

    void operator()(EdgeDatum& datum) const { datum.tool_length = length; }

    void operator()(WallDatum& datum) const { (*this)(datum.wall); }

    void operator()(BoreDatum& datum) const { (*this)(datum.hole); }

    void operator()(std::monostate&) const {}

    void operator()(EachOther&) const {}
};

} // namespace

PartQuestion question(const MachineState& state, const Job& job, int refine) {
    Collector collector(state, job, refine);
    return collect(job, collector);
}

PartQuestion seen_by_machine(const MachineState& state, const Job& job, double probe_length) {
    Job touched = job;
    for (auto& callout : touched.callouts) {
        std::visit(Probed{probe_length}, callout.feature);
        std::visit(Probed{probe_length}, callout.datum);
    }
    Collector collector(state, touched, 1, Passing::probe);
    return collect(touched, collector);
}

Eigen::VectorXd
against_a_square(const MachineState& state, const Job& job, const Callout& callout) {
    if (callout.kind != Requirement::perpendicularity || !against<PlaneDatum>(callout.datum))
        return {};
    if (of<Holes>(callout.feature))
        return Eigen::Vector2d::Constant(callout.hole().depth);
    const auto* wall = std::get_if<Wall>(&callout.feature);
    return wall == nullptr ? Eigen::VectorXd() : points_of(Collector(state, job), *wall).above;
}

} // namespace holdable
