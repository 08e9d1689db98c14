// SPDX-License-Identifier: MIT
#include "holdable/report/wording.hpp"

#include "holdable/base/error.hpp"
#include "holdable/base/quantity.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace holdable {
namespace {

std::string promised_length(double promised, double limit, Habit habit) {
    const auto unit = length_unit(habit, std::max(promised, limit));
    return promised_number(unit, promised, limit) + " " + std::string(unit.spelling);
}

} // namespace

std::string_view evidence_words(Evidence evidence) {
    switch (evidence) {
    case Evidence::measured:
        return "measured here";
    case Evidence::certificate:
        return "certificate";
    case Evidence::specification:
        return "grade, maker's limit";
    case Evidence::typical:
        return "typical, not measured";
    case Evidence::assumed:
        return "assumed, not measured";
    }
    return {};
}

std::string chosen_percent(double p) {
    auto number = to_digits(100 * p, 6);
    if (number.find('.') != std::string::npos)
        number.erase(number.find_last_not_of('0') + 1);
    if (number.ends_with('.'))
        number.pop_back();
    return number + " %";
}

std::string_view zone_sign(const Callout& callout) {
    if (is_size(callout.kind))
        return "±";
    return is_diametral(callout.kind, callout.feature) ? "Ø" : "";
}

Habit habit_of(const Callout& callout, Habit of_job) {
    if (is_size(callout.kind)) { // the unit stands somewhere in it
        const auto& text = callout.written;
        const auto has = [&](std::string_view unit) { return text.find(unit) != text.npos; };
        return has("mm") || has("µm") ? habit(false) : has("in") ? habit(true) : of_job;
    }
    try {
        return habit(parse_quantity(callout.written).unit.factor == parse_unit("in").factor);
    } catch (const InputError&) {
        return of_job;
    }
}

std::vector<Share> shares_by_meaning(const std::vector<Share>& shares, bool known) {
    std::vector<Share> lines;
    for (auto share : shares) {
        if (share.known != known)
            continue;
        if (share.meaning.empty())
            share.meaning = share.name;
        const auto same = std::find_if(lines.begin(), lines.end(), [&](const Share& line) {
            return line.meaning == share.meaning && line.evidence == share.evidence;
        });
        if (same == lines.end())
            lines.push_back(std::move(share));
        else
            same->share += share.share;
    }
    std::stable_sort(lines.begin(), lines.end(), [](const Share& a, const Share& b) {
        return std::abs(a.share) > std::abs(b.share);
    });
    return lines;
}

std::string average_count(double n) {
    if (n < 0.001)
        return "fewer than 0.001";
    if (n < 0.1)
        return to_digits(n, 1, Rounding::up);
    return to_place(n, n < 100 ? -1 : 0, Rounding::up);
}

std::string zone_asked(const Callout& callout, Habit habit) {
    if (is_size(callout.kind))
        return callout.written.empty() ? "±" + exact_length(callout.tolerance, habit)
                                       : callout.written;
    return std::string(zone_sign(callout)) +
           as_written(
               callout.written == "title block" ? "" : callout.written, callout.tolerance, habit);
}

std::string zone_promised(double promised, const Callout& callout, Habit habit) {
    // with a bonus less than nothing may be needed
    return std::string(zone_sign(callout)) +
           promised_length(std::max(promised, 0.0), callout.tolerance, habit_of(callout, habit));
}

std::string zone_promised_in_both(double promised, const Callout& callout, Habit habit) {
    return fmt::format("{} ({})",
                       zone_promised(promised, callout, habit),
                       promised_length(std::max(promised, 0.0),
                                       callout.tolerance,
                                       other(habit_of(callout, habit))));
}

namespace {

std::string at_place(double x, double y, Habit habit) {
    return fmt::format("at X {}, Y {}", coordinate_text(x, habit), coordinate_text(y, habit));
}

std::string extent_text(const std::optional<Extent>& e, Habit habit) {
    if (!e)
        return "over the whole part";
    return fmt::format("over {} by {}",
                       coordinate_text(e->x_high - e->x_low, habit),
                       coordinate_text(e->y_high - e->y_low, habit));
}

std::string wall_text(const Wall& wall, Habit habit, bool place) {
    const Eigen::Vector2d middle = (wall.from + wall.to) / 2;
    return fmt::format("of a wall {} long, {} high{}",
                       coordinate_text((wall.to - wall.from).norm(), habit),
                       coordinate_text(wall.depth, habit),
                       place ? ", " + at_place(middle.x(), middle.y(), habit) : "");
}

/// The feature in words: "over 3.000 in of depth, at X 8.000 in, Y 6.000 in".
std::string feature_text(const Callout& callout, Habit habit, bool place = true) {
    if (const auto* holes = std::get_if<Holes>(&callout.feature)) {
        const auto& hole = holes->front();
        const auto depth = coordinate_text(hole.depth, habit);
        if (holes->size() > 1)
            return fmt::format("{} holes, {} deep{}",
                               holes->size(),
                               depth,
                               place ? ", the first " + at_place(hole.x, hole.y, habit) : "");
        return fmt::format(
            "over {} of depth{}", depth, place ? ", " + at_place(hole.x, hole.y, habit) : "");
    }
    if (const auto* face = std::get_if<Face>(&callout.feature))
        return extent_text(face->extent, habit);
    if (const auto* wall = std::get_if<Wall>(&callout.feature))
        return wall_text(*wall, habit, place);
    return wall_text(std::get<Walls>(callout.feature).wall[0], habit, place);
}

/// "perpendicular to"; empty for what has no datum, and for a position.
std::string_view against(Requirement kind) {
    constexpr std::pair<Requirement, std::string_view> all[] = {
        {Requirement::perpendicularity, "perpendicular to"},
        {Requirement::parallelism, "parallel to"},
        {Requirement::angularity, "at its angle to"},
        {Requirement::coaxiality, "coaxial to"},
        {Requirement::run_out, "run-out to"},
        {Requirement::profile, "profile to"}};
    for (const auto& [of, words] : all)
        if (of == kind)
            return words;
    return {};
}

} // namespace

std::string requirement(const Callout& callout, Habit habit) {
    const auto asked = zone_asked(callout, habit);
    const auto own = habit_of(callout, habit);
    const auto feature = feature_text(callout, habit);
    if (is_size(callout.kind)) {
        const auto& size = callout.size;
        return fmt::format("{} {} = {} to {}, {}; {}",
                           word(callout.kind),
                           asked,
                           exact_length(size.nominal + size.lower, own, 8),
                           exact_length(size.nominal + size.upper, own, 8),
                           size.source,
                           feature);
    }
    const auto in_brackets = length_text(callout.tolerance, other(own));
    const auto& holes = callout.feature;
    if (callout.kind == Requirement::position) {
        const bool bonus = !callout.bonus_from.empty();
        const bool several = std::get<Holes>(holes).size() > 1;
        return fmt::format("position {}{} in a zone {} ({}){} = {} off centre in any direction, "
                           "at both ends of {}{}",
                           std::holds_alternative<EachOther>(callout.datum)
                               ? "of the holes to each other"
                               : "to " + std::string(datum_name(callout)),
                           bonus ? " at maximum material" : "",
                           asked,
                           in_brackets,
                           bonus ? " and the bonus" : "",
                           exact_length(callout.tolerance / 2, own),
                           several ? "each of " : "",
                           feature.starts_with("over ") ? feature.substr(5) : feature);
    }
    if (const auto words = against(callout.kind); !words.empty())
        return fmt::format(
            "{} {} within {} ({}) {}", words, datum_name(callout), asked, in_brackets, feature);
    return fmt::format("{} within {} ({}) {}{}",
                       word(callout.kind),
                       asked,
                       in_brackets,
                       feature,
                       callout.evaluation == Evaluation::least_squares ? ", by least squares" : "");
}

std::string requirement_in_short(const Callout& callout, Habit habit) {
    const auto feature = feature_text(callout, habit, false);
    if (callout.kind == Requirement::position)
        return fmt::format("position{} {}, {}{}",
                           callout.bonus_from.empty() ? "" : " at maximum material",
                           std::holds_alternative<EachOther>(callout.datum)
                               ? "to each other"
                               : "to " + std::string(datum_name(callout)),
                           std::get<Holes>(callout.feature).size() > 1 ? "each of " : "",
                           feature);
    const auto words = against(callout.kind);
    return words.empty() ? fmt::format("{}, {}", word(callout.kind), feature)
                         : fmt::format("{} {}, {}", words, datum_name(callout), feature);
}

std::string index_text(double index) {
    return to_place(index, -2, Rounding::down);
}

std::string batch_sentence(const Answer& answer) {
    return fmt::format("of {}, expect about {} out; {} sure of no more than {}",
                       answer.quantity,
                       average_count(answer.whole.expected_out),
                       chosen_percent(answer.confidence),
                       answer.whole.out_at_most);
}

std::string validity_sentence(const Answer& answer) {
    if (std::none_of(answer.callouts.begin(), answer.callouts.end(), [](const CalloutAnswer& c) {
            return c.computed;
        }))
        return "nothing is claimed, so nothing runs out";
    const auto why =
        !answer.gauge_that_ends_it.empty()
            ? fmt::format(" (the calibration of \"{}\" runs out)", answer.gauge_that_ends_it)
        : answer.valid_until_is_limit ? std::string()
                                      : std::string(" (from then on the checks are too old)");
    return fmt::format("{} at the longest{}, or the first crash, move, re-level, adjustment or "
                       "spindle work",
                       to_string(answer.valid_until),
                       why);
}

} // namespace holdable
