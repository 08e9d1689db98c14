// SPDX-License-Identifier: MIT
#include "holdable/report/wording.hpp"

#include "holdable/base/error.hpp"
#include "holdable/base/quantity.hpp"

#include <fmt/format.h>

#include <algorithm>

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

Habit habit_of(const Callout& callout, Habit of_job) {
    try {
        return habit(parse_quantity(callout.written).unit.factor == parse_unit("in").factor);
    } catch (const InputError&) {
        return of_job;
    }
}

std::string average_count(double n) {
    if (n < 0.001)
        return "fewer than 0.001";
    if (n < 0.1)
        return to_digits(n, 1, Rounding::up);
    return to_place(n, n < 100 ? -1 : 0, Rounding::up);
}

std::string zone_asked(const Callout& callout, Habit habit) {
    return "Ø" + as_written(callout.written, callout.tolerance, habit);
}

std::string zone_promised(double promised, const Callout& callout, Habit habit) {
    return "Ø" + promised_length(promised, callout.tolerance, habit_of(callout, habit));
}

std::string zone_promised_in_both(double promised, const Callout& callout, Habit habit) {
    return fmt::format(
        "{} ({})",
        zone_promised(promised, callout, habit),
        promised_length(promised, callout.tolerance, other(habit_of(callout, habit))));
}

std::string requirement(const Callout& callout, Habit habit) {
    const auto asked = zone_asked(callout, habit);
    const auto in_brackets = length_text(callout.tolerance, other(habit_of(callout, habit)));
    const auto depth = coordinate_text(callout.depth, habit);
    const auto place = fmt::format(
        "at X {}, Y {}", coordinate_text(callout.x, habit), coordinate_text(callout.y, habit));
    if (callout.kind == Callout::Kind::perpendicularity)
        return fmt::format("perpendicular to {} within {} ({}) over {} of depth, {}",
                           callout.orientation.name,
                           asked,
                           in_brackets,
                           depth,
                           place);
    return fmt::format("position to {} in a zone {} ({}) = {} off centre in any direction, at both "
                       "ends of {} of depth, {}",
                       callout.position.names,
                       asked,
                       in_brackets,
                       exact_length(callout.tolerance / 2, habit_of(callout, habit)),
                       depth,
                       place);
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
    return fmt::format("{} at the longest{}, or the first crash, move, re-level, adjustment or "
                       "spindle work",
                       to_string(answer.valid_until),
                       answer.valid_until_is_limit ? "" : " (from then on the checks are too old)");
}

} // namespace holdable
