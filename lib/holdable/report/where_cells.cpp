// SPDX-License-Identifier: MIT
#include "holdable/report/where_cells.hpp"

#include "holdable/report/wording.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace holdable {
namespace {


/// The number of the column or row that lies nearest.
std::size_t nearest_to(const std::vector<double>& list, double at) {
    const auto near = std::min_element(list.begin(), list.end(), [&](double a, double b) {
        return std::abs(a - at) < std::abs(b - at);
    });
    return static_cast<std::size_t>(near - list.begin());
}

} // namespace

std::vector<std::size_t> deciding_on(const PlaceMap& map) {
    std::vector<std::size_t> all;
    for (const auto& look : map.places)
        if (look.obstacle == Obstacle::none)
            all.push_back(look.deciding);
    std::sort(all.begin(), all.end());
    all.erase(std::unique(all.begin(), all.end()), all.end());
    return all;
}

std::string turn_words(int quarter_turns) {
    switch ((quarter_turns % 4 + 4) % 4) {
    case 1:
        return "turned a quarter counterclockwise";
    case 2:
        return "turned half round";
    case 3:
        return "turned a quarter clockwise";
    default:
        return {};
    }
}

std::string lies_on(const Where& w) {
    const auto turned = turn_words(w.map.quarter_turns);
    auto words = turned.empty() ? "" : ", the part " + turned;
    if (std::abs(w.map.lift) > no_shift)
        words += fmt::format(", {} {}",
                             coordinate_text(std::abs(w.map.lift), habit(w.inch)),
                             w.map.lift > 0 ? "higher" : "lower");
    return words;
}

std::pair<Cell, Cell> asked_and_best(const Where& w) {
    const double x = (w.outline.x_low + w.outline.x_high) / 2;
    const double y = (w.outline.y_low + w.outline.y_high) / 2;
    const auto cell = [&](double at_x, double at_y) {
        return Cell(nearest_to(w.map.x, at_x), nearest_to(w.map.y, at_y));
    };
    return {cell(x, y), cell(x + w.best.x, y + w.best.y)};
}

WhereCells::WhereCells(const Where& where) : where_(&where), deciding_(deciding_on(where.map)) {
    double least = 0;
    for (const auto& look : where.map.places)
        if (look.obstacle == Obstacle::none)
            least = least == 0 ? value(look) : std::min(least, value(look));
    place_ = one() && least > 0 ? std::clamp(last_place(least, 2), -2, 0) : 0;
}

std::string WhereCells::text(const PlaceLook& look) const {
    if (look.obstacle != Obstacle::none)
        return "·";
    auto number = to_place(value(look), place_, Rounding::up);
    if (one())
        return number;
    return number + mark(look.deciding);
}

double WhereCells::value(const PlaceLook& look) const {
    if (!one())
        return 100 * look.used;
    return look.smallest[look.deciding] / (where_->inch ? 2.54e-6 : 1e-6);
}

std::string WhereCells::legend() const {
    const auto h = habit(where_->inch);
    if (one()) {
        const auto& callout = where_->callouts[deciding_[0]].callout;
        return fmt::format("{}, smallest tolerance that can be promised, {}{}",
                           callout.name,
                           zone_sign(callout).empty() ? "" : std::string(zone_sign(callout)) + " ",
                           h == Habit::inch ? "in .0001 in" : "in µm");
    }
    std::string names;
    for (std::size_t i = 0; i < deciding_.size(); ++i)
        names += fmt::format("{}{} {}",
                             i == 0                      ? ""
                             : i + 1 == deciding_.size() ? " and "
                                                         : ", ",
                             mark(deciding_[i]),
                             where_->callouts[deciding_[i]].callout.name);
    return fmt::format("percent of its tolerance that the callout needs which needs most: {}",
                       names);
}

std::string WhereCells::mark(std::size_t callout) const {
    const auto at = std::find(deciding_.begin(), deciding_.end(), callout);
    const auto k = static_cast<std::size_t>(at - deciding_.begin());
    return std::string(1, k < 26 ? static_cast<char>('a' + k) : '*');
}

} // namespace holdable
