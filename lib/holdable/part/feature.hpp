// SPDX-License-Identifier: MIT
/// The features of a part: holes, faces, walls, and the tools that make them.
///
/// Plain facts in SI units. X and Y are machine coordinates; heights are above the table. The tip
/// of a tool of length L stands at height h when Z = h + L - nose_to_table.
#pragma once

#include "holdable/machine/kinematics.hpp"
#include "holdable/part/process.hpp"

#include <Eigen/Core>

#include <array>
#include <optional>
#include <variant>
#include <vector>

namespace holdable {

/// A rectangle on the part or the table (m).
struct Extent {
    double x_low = 0, x_high = 0, y_low = 0, y_high = 0;
};

/// A round hole with its axis along Z, or a round boss milled about such an axis.
struct Hole {
    double x = 0, y = 0;    ///< true place of its axis (m)
    double top = 0;         ///< height of its upper end (m)
    double depth = 0;       ///< length considered (m)
    double tool_length = 0; ///< of the tool that makes it (m)
    HoleMaking making = HoleMaking::bored;
    double diameter = 0;              ///< nominal, where its size or its roundness is asked (m)
    double feed = 0;                  ///< of an interpolated one along its path (m/s)
    std::optional<double> tool_reach; ///< of an interpolated one: tool out of its holder (m)
    double tool_diameter = 0;         ///< where `tool_reach` is given (m)
    bool outside = false;             ///< a boss
};

/// One hole, or several of one pattern, made alike.
using Holes = std::vector<Hole>;

/// The cutter that mills a face in parallel passes.
struct FaceCutter {
    double diameter = 0;  ///< of the circle its edges run on (m)
    double step_over = 0; ///< width of one pass, the cutter in its middle, ≤ diameter (m)
    Axis feed = Axis::x;  ///< X or Y
};

/// A horizontal face and the tool that milled it.
struct Face {
    std::optional<Extent> extent;     ///< none: the whole part is taken, and said
    double height = 0;                ///< (m)
    double tool_length = 0;           ///< (m)
    std::optional<FaceCutter> cutter; ///< needed for its form
};

/// A vertical wall over a straight line, and the tool that milled it from the free side.
struct Wall {
    Eigen::Vector2d from = {0, 0}, to = {0, 0}; ///< ends of its line in plan (m)
    Eigen::Vector2d normal = {1, 0};            ///< unit vector out of the material
    double top = 0;                             ///< height of its upper edge (m)
    double depth = 0;                           ///< its height (m)
    double tool_length = 0;                     ///< (m)
    bool flank = true;           ///< in one pass of the full depth, else in steps of Z
    double tool_diameter = 0;    ///< (m), 0 = not stated
    double tool_reach = 0;       ///< tool out of its holder (m), 0 = not stated
    double tool_modulus = 600e9; ///< of elasticity: carbide, or steel (Pa)
};

/// Two walls and the distance between them.
struct Walls {
    std::array<Wall, 2> wall;
    bool plunged = false; ///< a slot of the tool's own width
};

/// A feature of the part.
using Feature = std::variant<Holes, Face, Wall, Walls>;

} // namespace holdable
