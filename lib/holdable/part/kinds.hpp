// SPDX-License-Identifier: MIT
/// The kinds of requirements: each adds the one characteristic that its collector has begun.
#pragma once

#include "holdable/part/collector.hpp"

#include <Eigen/Core>

namespace holdable {

void position(Collector& c);
void hole_distance(Collector& c);
void lean_of_axis(Collector& c); ///< perpendicularity or parallelism of a hole's axis
void straightness_of_axis(Collector& c);
void coaxiality(Collector& c);
void run_out_of_hole(Collector& c);

void diameter(Collector& c);
void roundness(Collector& c);
void cylindricity(Collector& c);

void form_of_face(Collector& c); ///< flatness, straightness of a line on it
void orientation_of_face(Collector& c);
void form_of_wall(Collector& c);
void orientation_of_wall(Collector& c);
void profile(Collector& c);

void height(Collector& c);
void distance_of_walls(Collector& c);

/// How much larger than its true size a hole or boss comes out, added to one element of d; the
/// diameter of the mean circle, by least squares. @param who the callout of the size, after which
/// its inputs are named
void add_diameter(Collector& c,
                  Eigen::Index element,
                  const std::string& who,
                  const Hole& hole,
                  const SizeLimits& size);

/// The limits with the aim that a way of making holes has: nobody sets a drill, it is bought in the
/// nominal size.
SizeLimits aimed(const Hole& hole, SizeLimits size);

/// What the surface of bored and milled rounds adds to points at these angles: lobes of two and
/// three, in the first elements of d (m)
void add_lobes(Collector& c, const Hole& hole, const Eigen::VectorXd& angles);

/// d[e] += weight · n·δ where a round surface was cut: on the path of a milling tool, else by an
/// edge that turns about the place of the spindle. @param angle of the point about the axis (rad)
void add_section_point(
    Collector& c, Eigen::Index e, const Hole& hole, double height, double angle, double weight);

/// The same point across: along the surface, towards larger angles.
void add_point_across(
    Collector& c, Eigen::Index e, const Hole& hole, double height, double angle);

/// Lost motion and unlike lag on a path counterclockwise round a hole, clockwise round a boss (as a
/// climb cut goes): columns over points at these angles, in the first elements of d.
void add_path(Collector& c, const Hole& hole, const Eigen::VectorXd& angles);

/// What the tool that cut the datum edges adds. @param by_size d per diameter of that tool
void add_tool_of_edges(Collector& c, const EdgeDatum& datum, const Eigen::VectorXd& by_size);

/// The name of a milling tool: tools of one gauge length are one.
std::string milling_tool(double tool_length);

/// What one doubt of the process adds; asked for where the job does not know it. Columns are d per
/// diameter of the tool, per run-out, per wear of its edge (m/m) and per force on it (m/N).
void add_tool_size(Collector& c, const std::string& tool, const Eigen::VectorXd& by_size);
void add_tool_run_out(Collector& c, const std::string& tool, const Eigen::VectorXd& by_size);
void add_wear(Collector& c, const std::string& name, const Eigen::VectorXd& by_edge);
void add_side_force(Collector& c, const Eigen::VectorXd& by_force);

/// The part let go after the cut. @param bow its shape, from -1 to 1
void add_spring(Collector& c, const std::string& shape, const Eigen::VectorXd& bow);

/// How far a milling tool bends at heights above its tip, per newton at its tip (m/N): a cantilever
/// of 0.8 of its diameter, and the spindle's own give at the tip. @source Euler beam; 0.8 and the
/// give of 0.05 µm/N are common practice, no source
Eigen::VectorXd
bending(double diameter, double reach, double modulus, const Eigen::VectorXd& above);

/// Displacement of a wall's points along its outward normal by its tool, as columns: size, run-out,
/// wear and bending. @param first element of d, one each for `above` @param above heights over the
/// tool's tip (m) @param sign of the displacement in d
void add_tool_of_wall(Collector& c,
                      const Wall& wall,
                      const std::string& which,
                      Eigen::Index first,
                      const Eigen::VectorXd& above,
                      double sign);

/// The points at which a wall is sampled, row by row, from below.
struct WallPoints {
    Eigen::VectorXd along; ///< from the middle of its line (m)
    Eigen::VectorXd above; ///< above its lower edge (m)
};

WallPoints points_of(const Collector& c, const Wall& wall);

/// Lean of the tool against the work about X or Y, its tip at a place: + right-handed (rad).
Eigen::RowVectorXd
tool_lean(const Collector& c, Axis about, const Eigen::Vector3d& tip, double tool_length);

/// n·δ of the machine alone at each point of a wall, as forms, points × n.
Eigen::MatrixXd wall_errors(const Collector& c,
                            const Wall& wall,
                            const WallPoints& points,
                            const std::string& what);

/// d[0] += weight · mean of n·δ over a wall.
void add_mean_wall(Collector& c, const Wall& wall, double weight);

/// Where a wall's zero comes from: d -= weight · n·δ(edge), and the doubt about the edge.
void from_edge(Collector& c, const Wall& wall, double weight);

/// The height of a face over the plane of its datum: d -= δ_z(datum), with all that setting it
/// adds, in the elements that `all` has ones in.
void height_from(Collector& c,
                 const PlaneDatum& datum,
                 const Face& face,
                 const Eigen::VectorXd& all);

/// d[i] += n·δ at each point of the wall as its tool cut it.
void add_wall(Collector& c, const Wall& wall, const WallPoints& points);

} // namespace holdable
