// SPDX-License-Identifier: MIT
/// "Where on the table does it hold best?": the same job, its part put elsewhere.
///
/// The machine is solved once. At a place the part is asked for as `answer` asks for it, on the
/// same draws as everywhere, so that places compare without the noise of the simulation; a glance
/// of 500 worlds serves, and the full look only at the place asked and at the best. What decides
/// at a place is the callout that needs most of its tolerance, t(P, C)/T; the best place is where
/// that is least. Callouts that are the same everywhere, as a size set by a boring head, decide
/// nothing, and are said.
///
/// The search. A lattice of even steps through the place asked, every second of its places and the
/// ends of the area for each quarter turn, and from the best of each a search that halves its
/// steps; a turn or another height is taken only where it gains more than 1 %. The winner's
/// lattice is the map. Then the places between those of the map are looked at, and again between
/// these, until the best tolerance prints the same, or the cap is reached, which is said.
///
/// Limits. The outline must lie where the job says that it may; else within the travel of X and Y,
/// or as far over its ends as at the place asked, for the machine file knows no table. No tool may
/// leave the travel, nothing lie below the table.
#pragma once

#include "holdable/answer/answer.hpp"
#include "holdable/machine/state.hpp"
#include "holdable/part/placement.hpp"

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

namespace holdable {

/// How to look for a place.
struct WhereOptions {
    AnswerOptions answer;            ///< what is promised, and how it is drawn
    std::optional<std::size_t> item; ///< the callout that alone decides, from 0; none: the worst
};

/// What keeps a part from a place.
enum class Obstacle {
    none,
    area,   ///< its outline would leave where it may lie
    ends,   ///< its outline would hang over an end of the travel
    table,  ///< something of it would lie below the table
    travel, ///< a tool would leave the travel
};

/// A glance at one place.
struct PlaceLook {
    Placement placement;
    Obstacle obstacle = Obstacle::none;
    std::string why;              ///< of an obstacle that a tool meets
    std::vector<double> smallest; ///< t(P, C) of each callout, 0 where not computed; empty where
                                  ///< there is an obstacle (m)
    std::size_t deciding = 0;     ///< callout that needs most of its tolerance, from 0
    double used = 0;              ///< t/T of it
};

/// The part's middle over a lattice, at one height and turned one way.
struct PlaceMap {
    double lift = 0; ///< (m)
    int quarter_turns = 0;
    std::vector<double> x, y;      ///< coordinates of the middle, rising (m)
    std::vector<PlaceLook> places; ///< row by row, from the lowest y

    const PlaceLook& at(std::size_t column, std::size_t row) const {
        return places[row * x.size() + column];
    }
};

/// A callout where the part was asked for, and at the best place, both by the full look.
struct PlacedCallout {
    Callout callout;
    bool computed = false;
    std::string missing;  ///< what it lacks, where it was not computed
    bool depends = false; ///< on the place, by more than a thousandth
    Promise asked, best;
    Verdict verdict_asked = Verdict::cant_say, verdict_best = Verdict::cant_say;
};

/// A way in which the part cannot go on from the best place.
struct Stop {
    std::string direction; ///< "+X", "-Y"
    Obstacle obstacle = Obstacle::none;
    std::string why;
};

/// Where it holds best.
struct Where {
    std::string shop, machine, job;
    Date day;
    double parts = 0.95, confidence = 0.95;
    int quantity = 1;
    std::uint64_t seed = 1;
    bool inch = false;
    std::vector<PlacedCallout> callouts;
    std::optional<std::size_t> item; ///< the callout that alone decides
    Extent outline;                  ///< at the place asked (m)
    bool may_turn = true;
    bool found = false; ///< some other place is better by more than 1 %
    Placement best;     ///< all zero where none is
    std::size_t deciding_asked = 0, deciding_best = 0; ///< callouts, from 0, by the full look
    double used_asked = 0, used_best = 0;              ///< t/T of them
    PromiseResult whole_asked, whole_best;             ///< over the callouts that were computed
    PlaceMap map;                    ///< at the best height and turn; empty where nothing decides
    PlaceLook asked_look, best_look; ///< the glances there
    std::vector<PlaceLook> turns;    ///< the best place of each quarter turn, by glances
    std::vector<PlaceLook> heights;  ///< the best place of each height, from low to high
    std::optional<PlaceLook> higher; ///< the best place lifted, where no other height is allowed
    std::vector<Stop> stops;
    double step = 0;       ///< of the map (m)
    double finest = 0;     ///< step of the finest lattice looked at (m)
    bool settled = false;  ///< half of that step gives the same best tolerance as printed
    double between = 0;    ///< how far t/T between places of the map is off their mean, at most
    std::size_t looks = 0; ///< places looked at
    std::size_t worlds = 0, parts_in_world = 0; ///< draws of a glance
    std::vector<std::string> notes;
};

/// "in the way": what an obstacle is, in shop words.
std::string_view word(Obstacle obstacle);

/// Looks for the best place.
/// @throws InputError, NumericError as `answer`; InputError [item-unknown] if there is no such
/// callout
Where where(const Shop& shop, const Job& job, const WhereOptions& options);

/// The same on a machine already solved, for the day of its state. @throws as `where`
Where where_on(const MachineState& state, const Job& job, const WhereOptions& options);

} // namespace holdable
