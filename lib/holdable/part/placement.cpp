// SPDX-License-Identifier: MIT
#include "holdable/part/placement.hpp"

#include <algorithm>
#include <limits>
#include <utility>
#include <variant>

namespace holdable {
namespace {

using Eigen::Vector2d;

/// Where places, sides, heights and axes of a part go.
struct Motion {
    Vector2d about = {0, 0};
    Vector2d shift = {0, 0};
    double lift = 0;
    int turns = 0; // 0 … 3

    Vector2d turned(const Vector2d& v) const {
        switch (turns) {
        case 1:
            return {-v.y(), v.x()};
        case 2:
            return -v;
        case 3:
            return {v.y(), -v.x()};
        default:
            return v;
        }
    }

    void place(double& x, double& y) const {
        const Vector2d to =
            turns == 0 ? Vector2d(x, y) : Vector2d(about + turned(Vector2d(x, y) - about));
        x = to.x() + shift.x();
        y = to.y() + shift.y();
    }

    void direction(Vector2d& v) const { v = turned(v); }

    void height(double& h, double) const { h += lift; }

    bool swaps() const { return turns % 2 == 1; }

    void axis(Axis& axis) const {
        if (swaps() && axis != Axis::z)
            axis = axis == Axis::x ? Axis::y : Axis::x;
    }
};

/// Looks at them only.
struct Bounds {
    static constexpr double far = std::numeric_limits<double>::infinity();
    Vector2d low = {far, far}, high = {-far, -far};
    double lowest = far;

    void place(double& x, double& y) {
        low = low.cwiseMin(Vector2d(x, y));
        high = high.cwiseMax(Vector2d(x, y));
    }

    void direction(Vector2d&) {}

    void height(double& h, double depth) { lowest = std::min(lowest, h - depth); }

    static bool swaps() { return false; }

    void axis(Axis&) {}
};

/// Takes every place, side, height and axis of a feature or a datum to `to`. A new kind of either
/// does not compile until it is here, nor does a new field of one: each is named, also where it
/// stays.
template <class To>
struct Each {
    To& to;

    void operator()(Hole& hole) const {
        auto& [x,
               y,
               top,
               depth,
               tool_length,
               making,
               diameter,
               feed,
               tool_reach,
               tool_diameter,
               outside] = hole;
        to.place(x, y);
        to.height(top, depth);
    }

    void operator()(Holes& holes) const {
        for (auto& hole : holes)
            (*this)(hole);
    }

    void operator()(Extent& extent) const {
        auto& [x_low, x_high, y_low, y_high] = extent;
        to.place(x_low, y_low);
        to.place(x_high, y_high);
        if (x_low > x_high)
            std::swap(x_low, x_high);
        if (y_low > y_high)
            std::swap(y_low, y_high);
    }

    void operator()(Face& face) const {
        auto& [extent, height, tool_length, cutter] = face;
        if (extent)
            (*this)(*extent);
        to.height(height, 0);
        if (cutter) {
            auto& [diameter, step_over, feed] = *cutter;
            to.axis(feed);
        }
    }

    void operator()(Wall& wall) const {
        auto& [from,
               end,
               normal,
               top,
               depth,
               tool_length,
               flank,
               tool_diameter,
               tool_reach,
               tool_modulus] = wall;
        to.place(from.x(), from.y());
        to.place(end.x(), end.y());
        to.direction(normal);
        to.height(top, depth);
    }

    void operator()(Walls& walls) const {
        auto& [both, plunged] = walls;
        for (auto& wall : both)
            (*this)(wall);
    }

    void operator()(std::monostate&) const {}

    void operator()(PlaneDatum& datum) const {
        auto& [kind, name, face] = datum;
        if (kind != PlaneDatum::Kind::seat) // of which nothing but the kind is known
            (*this)(face);
    }

    void operator()(EdgeDatum& datum) const {
        auto& [kind, name, x, y, height, tool_length] = datum;
        to.place(x,
                 y); // the corner of both edges; which of them fixes X follows from where they lie
        to.height(height, 0);
    }

    void operator()(WallDatum& datum) const {
        auto& [name, wall] = datum;
        (*this)(wall);
    }

    void operator()(BoreDatum& datum) const {
        auto& [name, hole, flipped, indicated, indicated_at, thickness] = datum;
        (*this)(hole);
        if (flipped) {
            to.axis(*flipped);
            to.height(indicated_at, 0);
        }
    }

    void operator()(EachOther&) const {}

    void operator()(Callout& callout) const {
        auto& [kind,
               name,
               tolerance,
               size,
               feature,
               datum,
               evaluation,
               along_y,
               one_way,
               bonus_from,
               setup,
               gauge,
               written] = callout;
        std::visit(*this, feature);
        std::visit(*this, datum);
        if (to.swaps() && kind == Requirement::straightness &&
            std::holds_alternative<Face>(feature))
            along_y = !along_y;
    }

    void operator()(Job& job) const {
        auto& [name,
               drawing,
               revision,
               customer,
               quote,
               material,
               quantity,
               date,
               critical,
               rule,
               part,
               several_setups,
               process,
               process_typical,
               duration,
               warmed_up,
               temperatures,
               callouts,
               indices,
               inch,
               notes,
               may_lie,
               may_turn] = job;
        if (part)
            (*this)(*part);
        for (auto& callout : callouts)
            (*this)(callout);
    }
};

/// Round the features alone: datums may lie beside the part, as a face of the fixture.
Bounds bounds_of_features(const Job& job) {
    Bounds bounds;
    for (auto callout : job.callouts)
        std::visit(Each<Bounds>{bounds}, callout.feature);
    return bounds;
}

} // namespace

Extent outline(const Job& job) {
    if (job.part)
        return *job.part;
    const auto bounds = bounds_of_features(job);
    if (bounds.low.x() > bounds.high.x())
        return {};
    return {bounds.low.x(), bounds.high.x(), bounds.low.y(), bounds.high.y()};
}

double lowest(const Job& job) {
    return bounds_of_features(job).lowest;
}

Job placed(const Job& job, const Placement& placement) {
    const auto around = outline(job);
    const Motion motion{{(around.x_low + around.x_high) / 2, (around.y_low + around.y_high) / 2},
                        {placement.x, placement.y},
                        placement.z,
                        (placement.quarter_turns % 4 + 4) % 4};
    auto elsewhere = job;
    Each<const Motion>{motion}(elsewhere);
    return elsewhere;
}

} // namespace holdable
