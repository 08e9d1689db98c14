// SPDX-License-Identifier: MIT
// Faces and walls: their form, their orientation, their profile.
#include "holdable/machine/tool_path.hpp"
#include "holdable/part/kinds.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>

namespace holdable {
namespace {

using Eigen::Index;
using Eigen::Vector2d;
using Eigen::Vector3d;
using Eigen::VectorXd;

constexpr Index usual_along_feed = 7;  // stations along a pass
constexpr Index usual_across_pass = 3; // its two edges and its middle
constexpr Index usual_passes = 7;      // of more, these are sampled, first and last among them
constexpr Index usual_along_wall = 7;
constexpr Index usual_up_wall = 5;
constexpr double one_face = 1800; // a face is milled within half an hour: common practice (s)

/// A face as its cutter leaves it: rows of points, one pass after the other.
struct FacePoints {
    std::vector<Vector2d> place;  // of each point
    std::vector<Vector2d> centre; // of the cutter as it made the point
    std::vector<double> off;      // of the point across the pass, from its middle (m)
    std::vector<Index> station;   // along the pass
    std::vector<double> progress; // 0 … 1 through the cut
    Vector2d middle = {0, 0};
    std::vector<double> stations; // along the feed, of the machine (m)

    Index station_count() const { return static_cast<Index>(stations.size()); }
};

Index a_of(Axis feed) {
    return feed == Axis::x ? 0 : 1;
}

/// The points of a face, or of the line through its middle along X or Y.
FacePoints points_of(const Collector& c,
                     const Extent& extent,
                     const FaceCutter& cutter,
                     std::optional<Axis> line) {
    const Index along_feed = c.points(usual_along_feed);
    const Index across_pass = c.points(usual_across_pass);
    const Index most_passes = c.points(usual_passes);
    FacePoints points;
    const Index feed = a_of(cutter.feed);
    const Index across = 1 - feed;
    const Vector2d low(extent.x_low, extent.y_low);
    const Vector2d size(extent.x_high - extent.x_low, extent.y_high - extent.y_low);
    points.middle = low + size / 2;
    for (Index k = 0; k < along_feed; ++k)
        points.stations.push_back(low[feed] + size[feed] * static_cast<double>(k) /
                                                  static_cast<double>(along_feed - 1));
    const double step = std::min(cutter.step_over, size[across]);
    const auto passes =
        std::max<Index>(1, static_cast<Index>(std::ceil(size[across] / step - 1e-9)));
    const auto add = [&](Index pass, Index station, double at) {
        const double centre = (static_cast<double>(pass) + 0.5) * step; // the last may hang over
        const double t = static_cast<double>(station) / static_cast<double>(along_feed - 1);
        Vector2d place, tool;
        place[feed] = tool[feed] = points.stations[static_cast<std::size_t>(station)];
        place[across] = low[across] + at;
        tool[across] = low[across] + std::min(centre, size[across]);
        points.place.push_back(place);
        points.centre.push_back(tool);
        points.off.push_back(at - centre);
        points.station.push_back(station);
        points.progress.push_back((static_cast<double>(pass) + t) / static_cast<double>(passes));
    };
    const auto each_station = [&](Index pass, double at) {
        for (Index s = 0; s < along_feed; ++s)
            add(pass, s, at);
    };
    if (line && a_of(*line) == feed) {
        const auto pass = static_cast<Index>((passes - 1) / 2);
        const double at = std::clamp(size[across] / 2,
                                     static_cast<double>(pass) * step,
                                     static_cast<double>(pass + 1) * step);
        each_station(pass, at);
        return points;
    }
    const auto sampled = std::min(passes, most_passes);
    for (Index p = 0; p < sampled; ++p) {
        const Index pass =
            sampled == 1 ? 0 : (p * (passes - 1) + (sampled - 1) / 2) / (sampled - 1);
        const double begin = static_cast<double>(pass) * step;
        const double end = std::min(begin + step, size[across]);
        for (Index u = 0; u < across_pass; ++u) {
            const double at = begin + (end - begin) * static_cast<double>(u) /
                                          static_cast<double>(across_pass - 1);
            if (line)
                add(pass, (along_feed - 1) / 2, at);
            else
                each_station(pass, at);
        }
    }
    return points;
}

/// Heights of a milled face: δ_z where the cutter stood, its tilt across the pass times the offset,
/// and the hollow that its rim leaves where it leans along the feed: -|θ| √(R² - u²).
void add_face(Collector& c, const Face& face, const FacePoints& points) {
    const auto count = static_cast<Index>(points.place.size());
    if (c.probing()) { // point by point, no rim about it
        for (Index k = 0; k < count; ++k) {
            const auto& place = points.place[static_cast<std::size_t>(k)];
            c.spot(k,
                   {{place.x(), place.y(), face.height}, face.tool_length, "the face"},
                   Vector3d::UnitZ());
        }
        c.current().folded = Eigen::MatrixXd::Zero(count, points.station_count());
        return;
    }
    for (Index k = 0; k < count; ++k) {
        const auto i = static_cast<std::size_t>(k);
        const Vector3d tip(points.centre[i].x(), points.centre[i].y(), face.height);
        c.spot(k, {tip, face.tool_length, "the face"}, Vector3d::UnitZ());
        // A rotation about X lifts +Y, one about Y lowers +X.
        const bool along_x = face.cutter->feed == Axis::x;
        c.machine(c.unit(k, along_x ? points.off[i] : -points.off[i]),
                  tool_lean(c, along_x ? Axis::x : Axis::y, tip, face.tool_length));
    }
    const double radius = face.cutter->diameter / 2;
    auto& folded = c.current().folded;
    for (Index s = 0; s < points.station_count(); ++s) {
        // the lean along the feed at the middle of the face's passes
        Vector2d centre = points.middle;
        const Index feed = a_of(face.cutter->feed);
        centre[feed] = points.stations[static_cast<std::size_t>(s)];
        c.machine(c.unit(count + s),
                  tool_lean(c,
                            face.cutter->feed == Axis::x ? Axis::y : Axis::x,
                            {centre.x(), centre.y(), face.height},
                            face.tool_length));
    }
    folded = Eigen::MatrixXd::Zero(count, points.station_count());
    for (Index k = 0; k < count; ++k) {
        const auto i = static_cast<std::size_t>(k);
        folded(k, points.station[i]) =
            -std::sqrt(std::max(0.0, radius * radius - points.off[i] * points.off[i]));
    }
}

/// What a cut takes time for, and what the part does when it is let go.
void add_time_and_spring(Collector& c, const FacePoints& points, const Vector2d& size) {
    const auto count = static_cast<Index>(points.place.size());
    const double job = c.job().duration.value_or(usual_shift);
    VectorXd progress = c.zero();
    VectorXd bow = c.zero();
    const Index longer = size.x() >= size.y() * (1 - 1e-9) ? 0 : 1; // X where both are alike
    for (Index k = 0; k < count; ++k) {
        const auto i = static_cast<std::size_t>(k);
        progress[k] = points.progress[i];
        const double t = 2 * (points.place[i][longer] - points.middle[longer]) / size[longer];
        bow[k] = 1 - 2 * t * t; // from -1 at the ends to +1: half of its bow each way
    }
    c.drift(Axis::z, std::min(1.0, one_face / job) * progress);
    add_spring(c, "flat", bow);
    c.given("the face milled within half an hour");
}

Vector2d along_of(const Wall& wall) {
    return (wall.to - wall.from).normalized();
}

/// A wall springs back in a bow over its length.
void spring_of_wall(Collector& c, const Wall& wall, const WallPoints& points) {
    const double half = (wall.to - wall.from).norm() / 2;
    VectorXd bow = c.zero();
    bow.head(points.along.size()) = 1 - 2 * (points.along / half).array().square();
    add_spring(c, "upright", bow);
}

std::optional<FacePoints>
begin_face(Collector& c, const Face& face, std::optional<Axis> line = std::nullopt) {
    const auto extent = c.extent_of(face, "the face");
    if (!extent)
        return std::nullopt;
    if (!face.cutter) {
        c.miss("the cutter of the face: its diameter and step over (\"cutter\")");
        return std::nullopt;
    }
    return points_of(c, *extent, *face.cutter, line);
}

Vector2d size_of(const Extent& e) {
    return {e.x_high - e.x_low, e.y_high - e.y_low};
}

Extent found_extent(const Collector& c, const Face& face) {
    return face.extent ? *face.extent : *c.job().part;
}

/// Where something is missing nothing is computed: two numbers stand for it.
void nothing(Collector& c) {
    c.shape(Reduction::width, 2);
}

/// Slope of a datum wall's own error against its line or its height, by least squares (rad).
Eigen::RowVectorXd slope_of(const Collector& c, const Wall& wall, bool upwards) {
    const auto points = points_of(c, wall);
    const Eigen::MatrixXd errors = wall_errors(c, wall, points, "the datum wall");
    VectorXd arm = upwards ? points.above : points.along;
    arm.array() -= arm.mean();
    return arm.transpose() * errors / arm.squaredNorm();
}

/// A plane datum as it turns a wall: z_i counts + s·n h for slopes s (the upright leans back).
void plane_under_wall(Collector& c,
                      const PlaneDatum& datum,
                      const Wall& wall,
                      const VectorXd& above) {
    VectorXd by_slope[2] = {c.zero(), c.zero()};
    for (int axis = 0; axis < 2; ++axis)
        by_slope[axis].head(above.size()) = wall.normal[axis] * above;
    c.plane(datum, by_slope);
}

/// How a rotation of the datum about Z moves the points of a wall along its normal (m/rad).
VectorXd by_yaw(const Wall& wall, const VectorXd& along) {
    const Vector2d t = along_of(wall);
    // (ẑ × r)·n with r along the wall
    return (wall.normal.y() * t.x() - wall.normal.x() * t.y()) * along;
}

/// A part lined up with X a little askew turns the other way under the wall.
void line_up(Collector& c, const Wall& wall, const VectorXd& along) {
    const auto& process = c.process();
    c.need(process.line_up.has_value(), "line_up", "how the part is lined up with X");
    VectorXd column = c.zero();
    column.head(along.size()) = -by_yaw(wall, along);
    if (process.line_up)
        c.allow(c.in_setup("lining up"),
                "lining the part up with X",
                *process.line_up,
                Sharing::setup,
                column);
}

} // namespace

Eigen::RowVectorXd
tool_lean(const Collector& c, Axis about, const Vector3d& tip, double tool_length) {
    const auto& model = c.state().model;
    const auto day = model.job();
    const double coordinate[3] = {
        tip.x(), tip.y(), tip.z() + tool_length - model.shop().nose_to_table};
    Eigen::RowVectorXd row = model.zero();
    const auto add = [&](const Eigen::RowVectorXd& part) { row.head(part.size()) += part; };
    add(model.spindle_tilt(about, day));
    for (int axis = 0; axis < 3; ++axis)
        add(model.parameter(motion_index(3 + static_cast<int>(about), static_cast<Axis>(axis)),
                            coordinate[axis],
                            day));
    return row;
}

// ---- faces

/// Points over the face, or along a line of it, level and slope free.
void form_of_face(Collector& c) {
    const auto& callout = c.callout();
    const auto& face = std::get<Face>(callout.feature);
    const bool line = callout.kind == Requirement::straightness;
    const Index run = callout.along_y ? 1 : 0;
    const auto begun = begin_face(
        c, face, line ? std::optional(callout.along_y ? Axis::y : Axis::x) : std::nullopt);
    if (!begun)
        return nothing(c);
    const auto& points = *begun;
    const auto count = static_cast<Index>(points.place.size());
    c.shape(Reduction::width, count + points.station_count());
    const Vector2d size = size_of(found_extent(c, face));
    auto& free = c.current().free;
    free.resize(count, line ? 1 : 2);
    for (Index k = 0; k < count; ++k) {
        const Vector2d off =
            (points.place[static_cast<std::size_t>(k)] - points.middle).cwiseQuotient(size);
        if (line)
            free(k, 0) = off[run];
        else
            free.row(k) = off.transpose();
    }
    add_face(c, face, points);
    add_time_and_spring(c, points, size);
}

/// Points over the face against the datum plane, the level free: max - min.
void orientation_of_face(Collector& c) {
    const auto& callout = c.callout();
    const auto& face = std::get<Face>(callout.feature);
    const auto points = begin_face(c, face);
    if (!points)
        return nothing(c);
    const auto count = static_cast<Index>(points->place.size());
    c.shape(Reduction::width, count + points->station_count());
    add_face(c, face, *points);
    add_time_and_spring(c, *points, size_of(found_extent(c, face)));
    VectorXd by_slope[2] = {c.zero(), c.zero()};
    for (int axis = 0; axis < 2; ++axis)
        for (Index k = 0; k < count; ++k)
            by_slope[axis][k] =
                -(points->place[static_cast<std::size_t>(k)][axis] - points->middle[axis]);
    c.plane(std::get<PlaneDatum>(callout.datum), by_slope);
}

// ---- walls

WallPoints points_of(const Collector& c, const Wall& wall) {
    const Index along_wall = c.points(usual_along_wall);
    const Index up_wall = c.points(usual_up_wall);
    WallPoints points{VectorXd(along_wall * up_wall), VectorXd(along_wall * up_wall)};
    const double length = (wall.to - wall.from).norm();
    for (Index u = 0; u < up_wall; ++u)
        for (Index a = 0; a < along_wall; ++a) {
            const Index k = u * along_wall + a;
            points.along[k] =
                (static_cast<double>(a) / static_cast<double>(along_wall - 1) - 0.5) * length;
            points.above[k] =
                static_cast<double>(u) / static_cast<double>(up_wall - 1) * wall.depth;
        }
    return points;
}

namespace {

/// What moves all of a wall alike.
void set_of_wall(Collector& c, const Wall& wall, const std::string& which, const VectorXd& all) {
    const auto tool = milling_tool(wall.tool_length);
    add_tool_size(c, tool, -all / 2);
    add_tool_run_out(c, tool, -all / 2);
    add_wear(c, "wear of the edge", all);
    for (int axis = 0; axis < 2; ++axis) {
        c.turning(static_cast<Axis>(axis), std::abs(wall.normal[axis]) * all);
        c.repeat(static_cast<Axis>(axis), c.callout().name + ", " + which, wall.normal[axis] * all);
    }
}

/// Where the tip stood as it cut a point: at the foot of the wall, or at the point's own height.
Vector3d tip_at(const Wall& wall, double along, double above) {
    const Vector2d middle = (wall.from + wall.to) / 2;
    const Vector2d plan = middle + along * along_of(wall) + wall.tool_diameter / 2 * wall.normal;
    return {plan.x(), plan.y(), wall.top - wall.depth + (wall.flank ? 0 : above)};
}

} // namespace

Eigen::MatrixXd wall_errors(const Collector& c,
                            const Wall& wall,
                            const WallPoints& points,
                            const std::string& what) {
    const auto& model = c.state().model;
    const Vector3d n(wall.normal.x(), wall.normal.y(), 0);
    Eigen::MatrixXd rows(points.along.size(), model.zero().size());
    for (Index k = 0; k < points.along.size(); ++k) {
        const Vector3d tip = tip_at(wall, points.along[k], points.above[k]);
        rows.row(k) = n.transpose() *
                      tip_error(model, tip, wall.tool_length, model.job(), c.callout().name, what);
        if (wall.flank) // the tool's own lean: Θ × (0, 0, h) = (B h, -A h, 0)
            rows.row(k) += points.above[k] * (n.x() * tool_lean(c, Axis::y, tip, wall.tool_length) -
                                              n.y() * tool_lean(c, Axis::x, tip, wall.tool_length));
    }
    return rows;
}

namespace {

void add_wall_point(
    Collector& c, Index e, const Wall& wall, double along, double above, double weight) {
    const Vector3d n(wall.normal.x(), wall.normal.y(), 0);
    const Vector3d tip = tip_at(wall, along, above);
    c.spot(e, {tip, wall.tool_length, "the wall"}, n, weight);
    // the surface lies beside the middle of the tool
    c.length(e, -weight * wall.tool_diameter / 2);
    if (wall.flank)
        c.machine(c.unit(e, weight * above),
                  n.x() * tool_lean(c, Axis::y, tip, wall.tool_length) -
                      n.y() * tool_lean(c, Axis::x, tip, wall.tool_length));
}

} // namespace

void add_wall(Collector& c, const Wall& wall, const WallPoints& points) {
    for (Index k = 0; k < points.along.size(); ++k)
        add_wall_point(c, k, wall, points.along[k], points.above[k], 1);
}

void add_mean_wall(Collector& c, const Wall& wall, double weight) {
    const auto points = points_of(c, wall);
    // the trapezoid rule: ends count half, corners a quarter
    const double length = (wall.to - wall.from).norm();
    VectorXd share = VectorXd::Ones(points.along.size());
    for (Index k = 0; k < share.size(); ++k) {
        const double at_end = std::abs(std::abs(points.along[k]) - length / 2);
        const double at_edge = std::min(points.above[k], wall.depth - points.above[k]);
        share[k] *= (at_end < 1e-9 * length ? 0.5 : 1) * (at_edge < 1e-9 * wall.depth ? 0.5 : 1);
    }
    share /= share.sum();
    for (Index k = 0; k < share.size(); ++k)
        add_wall_point(c, 0, wall, points.along[k], points.above[k], weight * share[k]);
}

/// A tool that is too large, runs out of true or presses less leaves less material; one that bends
/// away or moves short of its end leaves more.
void add_tool_of_wall(Collector& c,
                      const Wall& wall,
                      const std::string& which,
                      Index first,
                      const VectorXd& above,
                      double sign) {
    const bool form_only =
        c.current().reduction == Reduction::width; // what is alike all over leaves
    VectorXd all = c.zero();
    all.segment(first, above.size()).setConstant(sign);
    if (!form_only)
        set_of_wall(c, wall, which, all);
    if (form_only && !wall.flank)
        return;
    VectorXd bend = c.zero();
    if (wall.tool_reach > 0 && wall.tool_diameter > 0) {
        bend.segment(first, above.size()) =
            sign * bending(wall.tool_diameter,
                           wall.tool_reach,
                           wall.tool_modulus,
                           wall.flank ? above : VectorXd(VectorXd::Zero(above.size())));
        // What is typical is that of a cut of ordinary depth (common practice, no source).
        constexpr double ordinary = 3.5; // times the diameter
        const bool unusual =
            wall.flank && wall.depth > ordinary * wall.tool_diameter && !c.job().process.side_force;
        add_side_force(c, unusual ? c.zero() : bend);
        if (unusual)
            c.miss(
                "the force on the side of a tool that cuts far deeper than it is wide, by a test "
                "cut (\"process\": {\"side_force\": …})");
    } else {
        c.miss("diameter and reach of the milling tool (\"tool\"): how far it bends");
    }
}

/// Points of a wall: of all heights for a flatness, or of one height for the straightness of a
/// line.
void form_of_wall(Collector& c) {
    const auto& wall = std::get<Wall>(c.callout().feature);
    auto points = points_of(c, wall);
    const bool line = c.callout().kind == Requirement::straightness;
    if (line) {
        const Index along_wall = c.points(usual_along_wall);
        points.along.conservativeResize(along_wall);
        points.above = VectorXd::Constant(along_wall, wall.depth / 2);
    }
    const Index count = points.along.size();
    c.shape(Reduction::width, count);
    auto& free = c.current().free;
    free.resize(count, line ? 1 : 2);
    free.col(0) = points.along / (wall.to - wall.from).norm();
    if (!line)
        free.col(1) = points.above / wall.depth;
    add_wall(c, wall, points);
    add_tool_of_wall(c, wall, "wall", 0, points.above, 1);
    spring_of_wall(c, wall, points);
}

/// Against a plane the wall may turn about the plane's normal; against another wall square or
/// oblique to it, lean along that wall; parallel to it, neither.
void orientation_of_wall(Collector& c) {
    const auto& callout = c.callout();
    const auto& wall = std::get<Wall>(callout.feature);
    const auto points = points_of(c, wall);
    const Index count = points.along.size();
    c.shape(Reduction::width, count);
    add_wall(c, wall, points);
    add_tool_of_wall(c, wall, "wall", 0, points.above, 1);
    spring_of_wall(c, wall, points);
    auto& free = c.current().free;
    const double length = (wall.to - wall.from).norm();
    if (const auto* plane = std::get_if<PlaneDatum>(&callout.datum)) {
        free = points.along / length;
        plane_under_wall(c, *plane, wall, points.above);
        return;
    }
    const bool parallel = callout.kind == Requirement::parallelism;
    if (!parallel)
        free = points.above / wall.depth;
    if (const auto* datum = std::get_if<WallDatum>(&callout.datum)) {
        const Vector2d t = along_of(datum->wall);
        const Vector2d n = datum->wall.normal;
        const double sense = n.y() * t.x() - n.x() * t.y(); // slope along t → rotation about +Z
        c.machine(-sense * by_yaw(wall, points.along), slope_of(c, datum->wall, false));
        if (parallel)
            c.machine(-wall.normal.dot(n) * points.above, slope_of(c, datum->wall, true));
        c.given(fmt::format("wall {} milled in the same set-up", datum->name));
        return;
    }
    line_up(c, wall, points.along); // an edge, lined up with X
    if (parallel) {
        free = points.above / wall.depth;
        c.note("the lean of the edge is not known: only the direction in plan is answered");
    }
}

/// 2 max |n·δ| against the datum: an edge for walls, a plane for faces. All that moves the surface
/// is in it.
void profile(Collector& c) {
    const auto& callout = c.callout();
    if (const auto* wall = std::get_if<Wall>(&callout.feature)) {
        const auto points = points_of(c, *wall);
        const Index count = points.along.size();
        c.shape(Reduction::twice_largest, count);
        add_wall(c, *wall, points);
        add_tool_of_wall(c, *wall, "wall", 0, points.above, 1);
        spring_of_wall(c, *wall, points);
        from_edge(c, *wall, 1);
        const auto& edges = std::get<EdgeDatum>(callout.datum);
        const Vector2d middle = (wall->from + wall->to) / 2;
        const Vector2d off = middle - Vector2d(edges.x, edges.y);
        VectorXd arm = points.along;
        arm.array() += off.dot(along_of(*wall));
        if (edges.kind == EdgeDatum::Kind::picked_up)
            line_up(c, *wall, arm);
        return;
    }
    const auto& face = std::get<Face>(callout.feature);
    const auto points = begin_face(c, face);
    if (!points)
        return nothing(c);
    const auto count = static_cast<Index>(points->place.size());
    c.shape(Reduction::twice_largest, count + points->station_count());
    add_face(c, face, *points);
    add_time_and_spring(c, *points, size_of(found_extent(c, face)));
    // The length of the tool was set by the lowest place of its rim.
    for (Index k = 0; k < count; ++k)
        c.current().folded(k, points->station[static_cast<std::size_t>(k)]) +=
            face.cutter->diameter / 2;
    VectorXd by_slope[2] = {c.zero(), c.zero()};
    for (int axis = 0; axis < 2; ++axis)
        for (Index k = 0; k < count; ++k)
            by_slope[axis][k] =
                -(points->place[static_cast<std::size_t>(k)][axis] - points->middle[axis]);
    c.plane(std::get<PlaneDatum>(callout.datum), by_slope);
    VectorXd all = c.zero();
    all.head(count).setOnes();
    height_from(c, std::get<PlaneDatum>(callout.datum), face, all);
}

} // namespace holdable
