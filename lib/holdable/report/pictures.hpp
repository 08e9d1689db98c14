// SPDX-License-Identifier: MIT
/// Results as pictures: each an SVG with its conclusion and an equivalent in words.
///
/// Greys and one ink. Evidence is told by hatching and by words beside, lines by their dashes, so
/// that a grey print, and an eye that tells no colours apart, lose nothing. 640 wide, they scale.
/// Names from files are escaped. Numbers are rounded as everywhere (numbers.hpp).
///
/// The `id` of a picture begins the ids inside it; where several stand on one page, each is given
/// its own. Empty: one of the picture's name, and the callout's number.
#pragma once

#include "holdable/answer/answer.hpp"
#include "holdable/answer/where.hpp"
#include "holdable/machine/state.hpp"
#include "holdable/propagate/distribution.hpp"
#include "holdable/report/machine_summary.hpp"

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

namespace holdable {

/// A picture with what it says.
struct Picture {
    std::string name;    ///< "contributions", "parts", "yield", "axis", "table", "place", "checks"
    std::string title;   ///< short
    std::string caption; ///< its conclusion in one or two sentences
    std::string text;    ///< its equivalent in words and numbers, lines ended
    std::string svg; ///< one <svg> element with <title> and <desc>; nothing outside is asked for
};

/// What limits a callout: shares of t(P, C), ranked, known errors apart from doubt.
/// @param callout from 0
Picture contributions_picture(const Answer& answer, std::size_t callout, std::string_view id = {});

/// The next part's value, with the tolerance and the intervals that hold P of the parts.
/// @param distribution of that callout (answer/distributions.hpp)
Picture parts_picture(const Answer& answer,
                      std::size_t callout,
                      const PartDistribution& distribution,
                      std::string_view id = {});

/// Yield against tolerance: expected, and assured with confidence C. @param distribution as above
Picture yield_picture(const Answer& answer,
                      std::size_t callout,
                      const PartDistribution& distribution,
                      std::string_view id = {});

/// An error motion along its axis: the fitted curve, its 95 % band, and the readings that see it
/// (of length for a length, of slope for an angle), each less all else that stands in it by the
/// estimate.
/// @param motion index as in kinematics.hpp, 0 … 17
Picture axis_picture(const MachineState& state, int motion, std::string_view id = {});

/// Error motions that some reading sees at one place of the axis, those with most readings first.
std::vector<int> motions_read(const MachineState& state);

/// The form of the table as far as it was mapped, its low spots, and where squares stood.
Picture
table_picture(const MachineState& state, const MachineSummary& machine, std::string_view id = {});

/// The tolerance that can be promised over the table, by the place of the part's middle.
Picture place_picture(const Where& where, std::string_view id = {});

/// A sketch of the machine with what was checked, and what is by its class alone.
Picture checks_picture(const MachineSummary& machine, std::string_view id = {});

/// A picture as a file of its own: the drawing under its title, its caption below.
std::string standalone_svg(const Picture& picture);

} // namespace holdable
