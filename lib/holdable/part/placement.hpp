// SPDX-License-Identifier: MIT
/// A part put elsewhere on the table: shifted, lifted, turned by quarter turns.
///
/// The whole set-up of the part goes with it. Every feature and every datum keeps its place on the
/// part: holes and the circles they lie on, faces, walls with the sides they face, pairs of walls,
/// edges that are picked up or cut, faces that are touched, bores, also those of a set-up before
/// (they are taken as placed alike) and the axis about which the part was then turned over. The
/// program goes with it too: the feed of a face and the line of a straightness run along Y where
/// they ran along X. Heights go up with the part; depths, thicknesses and the lengths of tools
/// stay, so that Z stands higher.
///
/// What belongs to the machine, the day or the shop stays as it is: temperatures, process (an
/// allowance for an axis is that of the axis), zones and sizes, where the part may lie. "Lined up
/// with X" then means the edge that lies along X now; the edge that fixes X is the one that fixed Y
/// before. A seat stays at the table: from there its heights are touched off.
#pragma once

#include "holdable/part/job.hpp"

namespace holdable {

/// Another place for a part.
struct Placement {
    double x = 0, y = 0;   ///< shift of its middle (m)
    double z = 0;          ///< lift (m)
    int quarter_turns = 0; ///< about the vertical through its middle, counterclockwise from above
};

/// The part's outline on the table; where the job states none, the rectangle round the places of
/// its features: axes of holes, ends of walls, corners of faces. All zero if there are none.
Extent outline(const Job& job);

/// Height of the lowest end of any feature of the part (m); infinite if there is none.
double lowest(const Job& job);

/// The job with its part put elsewhere, turned about the middle of its outline, then shifted.
Job placed(const Job& job, const Placement& placement);

} // namespace holdable
