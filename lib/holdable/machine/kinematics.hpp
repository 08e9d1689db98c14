// SPDX-License-Identifier: MIT
/// The linear kinematic model of a three-axis machine: 21 geometric errors → the tool point.
///
/// Frame. Right-handed; +x, +y, +z is where the tool moves relative to the work on a positive
/// command (ISO 841). Every error is that of the tool-side body seen from the work-side body; where
/// the table moves, the table's own error is its negative. Rotations are right-handed.
///
/// Parameters p (21), named as in ISO 230-1: for each axis X, Y, Z the six error motions at its
/// present position, in the order EX. EY. EZ. (m) EA. EB. EC. (rad), then the squarenesses C0Y,
/// B0Z, A0Z (rad), the rotation of the real axis from the nominal one: Ŷ = (-C0Y, 1, 0) and Ẑ =
/// (B0Z, -A0Z, 1). So angle(+X, +Y) = 90° + C0Y and angle(+Y, +Z) = 90° + A0Z, but angle(+X, +Z) =
/// 90° - B0Z.
///
/// Law. With the axes listed from the work to the tool, travel q along u and tool vector t,
///     δ = Σᵢ eᵢ + Σᵢ εᵢ × (Σ_{k after i} q_k u_k + t) + squareness terms:
/// a rotation acts on the travel of all axes between itself and the tool, and on the tool. Only
/// this order counts, not which casting stands on the floor. The reference point of every axis is
/// fixed on its tool side and lies, at home, at the spindle's gauge point.
///
/// Accuracy: products of two errors are left out; 50 µrad and 400 mm make that less than 0.05 µm
/// (tests/machine/kinematics.cpp, against full homogeneous transforms).
///
/// Source: Schwenke et al., CIRP Annals 57/2 (2008) 660; Slocum, Precision Machine Design (1992),
/// chapter 6.
#pragma once

#include <Eigen/Core>

#include <array>
#include <string>
#include <string_view>

namespace holdable {

/// A linear axis of the machine.
enum class Axis { x = 0, y = 1, z = 2 };

/// Its letter: X, Y or Z.
constexpr char letter(Axis axis) {
    return "XYZ"[static_cast<int>(axis)];
}

/// The three axes in their order from the work to the tool.
using AxisOrder = std::array<Axis, 3>;

/// Number of geometric parameters: 18 error motions and 3 squarenesses.
inline constexpr int geometric_parameters = 21;

/// Index in p of an error motion. @param direction 0 … 5 for EX EY EZ EA EB EC
constexpr int motion_index(int direction, Axis axis) {
    return 6 * static_cast<int>(axis) + direction;
}

inline constexpr int c0y_index = 18; ///< index in p of the squareness of Y to X
inline constexpr int b0z_index = 19; ///< index in p of the squareness of Z to X
inline constexpr int a0z_index = 20; ///< index in p of the squareness of Z to Y

/// The name of a parameter in the notation of ISO 230-1: "EXX", "EAY", "C0Y".
std::string parameter_name(int index);

/// What a parameter is in the words of the shop: "roll of X", "Z square to X".
std::string parameter_meaning(int index);

/// Reads the order of the axes from work to tool, as in "XYZ" (a mill whose X table rides on a Y
/// saddle, with Z in the column). Lower case is the same.
/// @throws InputError [axes-order] unless each of X, Y and Z stands in it once
AxisOrder parse_axis_order(std::string_view text);

/// How many axes lie between the work and what stands on the floor, where the order alone is known:
/// those before Z, for they carry the table, and Z carries the head; Z itself if it comes first.
int usual_ground(const AxisOrder& order);

/// Whether the table (else the head) moves over the floor as an axis does.
/// @param ground axes between the work and what stands on the floor, 0 … 3
bool moves_over_floor(const AxisOrder& order, int ground, Axis axis, bool table);

using PointRows = Eigen::Matrix<double, 3, geometric_parameters>;

/// The error of the tool point: δ = rows · p.
/// @param position commanded position of the axes, shape 3 (m)
/// @param tool     tool point seen from the spindle's gauge point, shape 3, usually (0, 0, -L) (m)
/// @return rows, shape 3 × 21: m per m for error motions, m per rad for the rest
PointRows
point_rows(const AxisOrder& order, const Eigen::Vector3d& position, const Eigen::Vector3d& tool);

/// The error of the tool's orientation against the table: θ = rows · p, right-handed (rad).
///
/// Squarenesses tilt no body, so their columns are zero; the spindle's own tilt is not among
/// the 21.
PointRows orientation_rows();

} // namespace holdable
