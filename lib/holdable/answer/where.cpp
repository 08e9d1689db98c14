// SPDX-License-Identifier: MIT
#include "holdable/answer/where.hpp"

#include "holdable/answer/verdicts.hpp"
#include "holdable/base/error.hpp"
#include "holdable/machine/thermal.hpp"
#include "holdable/part/features.hpp"
#include "holdable/propagate/parallel.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <iterator>
#include <limits>
#include <map>
#include <tuple>
#include <utility>

namespace holdable {
namespace {

constexpr std::size_t glance = 500;      // worlds, and parts in each
constexpr double worth_moving = 0.01;    // what the full look's own error may be
constexpr double depends_from = 1e-3;    // a callout that moves less is the same everywhere
constexpr double as_good = 1e-3;         // of places so near in t the nearest is taken
constexpr double progress = 1e-4;        // of one step of the search
constexpr std::size_t most_rows = 9;     // of the map, either way
constexpr std::size_t most_looks = 1500; // the cap on halving the lattice
constexpr int search_halvings = 4;       // from the step of the map to a sixteenth of it
constexpr std::size_t most_steps = 12;   // of one length in the search
constexpr double slack = 1e-9;           // what arithmetic may leave (m)
constexpr int heights_tried = 4;         // steps from the lowest to the highest

struct Range {
    double low = 0, high = 0;
};

bool is_free(const PlaceLook& look) {
    return look.obstacle == Obstacle::none;
}

/// As it would be printed: two digits, rounded up.
double two_digits(double x) {
    if (!(x > 0))
        return 0;
    const double unit = std::pow(10.0, std::floor(std::log10(x)) - 1);
    return std::ceil(x / unit - 1e-9) * unit;
}

class PlaceSearch {
  public:
    PlaceSearch(const MachineState& state, const Job& job, const WhereOptions& options)
        : state_(state), job_(job), options_(options), asked_(outline(job)), lowest_(lowest(job)) {
        glance_ = promise_options(job, options.answer);
        glance_.worlds = glance_.parts_in_world = glance;
        glance_.threads = 1; // places are looked at side by side
        const auto& travel = state.model.shop().travel;
        const auto band = [](const std::optional<Band>& may, double low, double high, Travel t) {
            // where the job has the part it may lie, whatever the limits
            return Range{std::min(may ? may->low : t.low, low),
                         std::max(may ? may->high : t.high, high)};
        };
        area_[0] = band(job.may_lie.x, asked_.x_low, asked_.x_high, travel[0]);
        area_[1] = band(job.may_lie.y, asked_.y_low, asked_.y_high, travel[1]);
        step_ = map_step();
    }

    double step() const { return step_; }

    std::size_t looks() const { return seen_.size(); }

    std::array<double, 2> middle() const {
        return {(asked_.x_low + asked_.x_high) / 2, (asked_.y_low + asked_.y_high) / 2};
    }

    std::vector<int> turns() const {
        return job_.may_turn ? std::vector<int>{0, 1, 2, 3} : std::vector<int>{0};
    }

    /// Heights to try: the stated one, and where others are allowed some from end to end.
    std::vector<double> lifts() const {
        std::vector<double> all{0};
        if (const auto& lift = job_.may_lie.lift)
            for (int k = 0; k <= heights_tried; ++k)
                all.push_back(lift->low + (lift->high - lift->low) * k / heights_tried);
        std::sort(all.begin(), all.end());
        all.erase(std::unique(all.begin(),
                              all.end(),
                              [](double a, double b) { return std::abs(a - b) < 1e-6; }),
                  all.end());
        return all;
    }

    /// A glance at each place, side by side; at none twice.
    std::vector<PlaceLook> look(const std::vector<Placement>& places) {
        std::vector<Placement> fresh;
        for (const auto& place : places)
            if (seen_.emplace(key(place), PlaceLook{}).second)
                fresh.push_back(place);
        std::vector<PlaceLook> found(fresh.size());
        const auto before = seen_.size() - fresh.size();
        Told told(options_.answer.progress, "looking at places", 0, before);
        propagate::parallel(fresh.size(), options_.answer.threads, [&](std::size_t i) {
            found[i] = look_at(fresh[i]);
            told.add();
        });
        for (auto& one : found)
            seen_[key(one.placement)] = std::move(one);
        std::vector<PlaceLook> looks;
        for (const auto& place : places) {
            looks.push_back(seen_.at(key(place)));
            judge(looks.back());
        }
        return looks;
    }

    PlaceLook look(const Placement& place) { return look(std::vector{place}).front(); }

    /// Which callouts depend on the place, by what was looked at; only these decide from now on.
    std::vector<bool> find_deciding(const std::vector<PlaceLook>& seen) {
        const auto count = job_.callouts.size();
        std::vector<bool> depends(count, false);
        for (std::size_t i = 0; i < count; ++i) {
            double least = 0, most = 0;
            bool first = true;
            for (const auto& one : seen)
                if (is_free(one)) {
                    least = first ? one.smallest[i] : std::min(least, one.smallest[i]);
                    most = first ? one.smallest[i] : std::max(most, one.smallest[i]);
                    first = false;
                }
            depends[i] = most - least > depends_from * most;
        }
        decides_ = depends;
        if (options_.item)
            for (std::size_t i = 0; i < count; ++i)
                decides_[i] = i == *options_.item;
        return depends;
    }

    bool decides(std::size_t callout) const { return decides_[callout]; }

    /// Of those that decide, the one that needs most of its tolerance.
    void judge(PlaceLook& look) const {
        look.used = 0;
        for (std::size_t i = 0; i < decides_.size() && is_free(look); ++i) {
            const double used = look.smallest[i] / job_.callouts[i].tolerance;
            if (decides_[i] && used > look.used) {
                look.used = used;
                look.deciding = i;
            }
        }
    }

    /// The lattice of the part's middle at a height, turned one way, through the place asked.
    PlaceMap lattice(int turns, double lift, double step) const {
        PlaceMap map;
        map.lift = lift;
        map.quarter_turns = turns;
        const auto at = middle();
        for (int axis = 0; axis < 2; ++axis) {
            const auto range = range_of_middle(axis, turns);
            const auto from = at[static_cast<std::size_t>(axis)];
            auto& list = axis == 0 ? map.x : map.y;
            const double first = std::ceil((range.low - from - slack) / step);
            const double last = std::floor((range.high - from + slack) / step);
            for (double k = first; k <= last; ++k)
                list.push_back(from + k * step);
        }
        return map;
    }

    /// Every second place of the map's lattice, and those at the ends of the area.
    std::vector<Placement> scouts(int turns, double lift) const {
        auto map = lattice(turns, lift, 2 * step_);
        for (int axis = 0; axis < 2; ++axis) {
            const auto range = range_of_middle(axis, turns);
            auto& list = axis == 0 ? map.x : map.y;
            if (range.low > range.high + slack)
                return {};
            for (const double end : {range.low, std::max(range.low, range.high)})
                if (std::none_of(list.begin(), list.end(), [&](double x) {
                        return std::abs(x - end) < slack;
                    }))
                    list.push_back(end);
        }
        return places_of(map);
    }

    std::vector<Placement> places_of(const PlaceMap& map) const {
        const auto at = middle();
        std::vector<Placement> places;
        for (const double y : map.y)
            for (const double x : map.x)
                places.push_back({x - at[0], y - at[1], map.lift, map.quarter_turns});
        return places;
    }

    /// From a place downhill, with steps that halve. Steps over the end of the area end there.
    PlaceLook descend(PlaceLook best, double step, int halvings) {
        const auto at = middle();
        for (int h = 0; h < halvings; ++h) {
            step /= 2;
            for (std::size_t moves = 0; moves < most_steps; ++moves) {
                std::vector<Placement> around;
                for (int dx = -1; dx <= 1; ++dx)
                    for (int dy = -1; dy <= 1; ++dy) {
                        auto p = best.placement;
                        const auto move = [&](double& shift, int way, int axis) {
                            const auto range = range_of_middle(axis, p.quarter_turns);
                            const double from = at[static_cast<std::size_t>(axis)];
                            shift = std::clamp(shift + way * step,
                                               range.low - from,
                                               std::max(range.low, range.high) - from);
                        };
                        move(p.x, dx, 0);
                        move(p.y, dy, 1);
                        if (p.x != best.placement.x || p.y != best.placement.y)
                            around.push_back(p);
                    }
                const auto seen = look(around);
                const auto next = best_of(seen);
                if (!next || !(next->used < best.used * (1 - progress)))
                    break;
                best = *next;
            }
        }
        return best;
    }

    /// The least, and of those that are no worse by a thousandth the one nearest to where the part
    /// was asked for: nobody moves a part for nothing.
    static std::optional<PlaceLook> best_of(const std::vector<PlaceLook>& looks) {
        const auto way = [](const PlaceLook& look) {
            return std::hypot(look.placement.x, look.placement.y);
        };
        double least = std::numeric_limits<double>::infinity();
        for (const auto& look : looks)
            if (is_free(look))
                least = std::min(least, look.used);
        const PlaceLook* best = nullptr;
        for (const auto& look : looks)
            if (is_free(look) && look.used <= least * (1 + as_good) &&
                (best == nullptr || way(look) < way(*best)))
                best = &look;
        return best == nullptr ? std::nullopt : std::optional(*best);
    }

  private:
    using Key = std::array<long long, 4>;

    static Key key(const Placement& p) {
        const auto nanometres = [](double m) { return std::llround(m * 1e9); };
        return {p.quarter_turns, nanometres(p.x), nanometres(p.y), nanometres(p.z)};
    }

    /// Where the middle of the outline may lie along X or Y; empty where the part does not fit.
    Range range_of_middle(int axis, int turns) const {
        const bool swapped = turns % 2 == 1;
        const double x = asked_.x_high - asked_.x_low;
        const double y = asked_.y_high - asked_.y_low;
        const double half = ((axis == 0) != swapped ? x : y) / 2;
        const auto& area = area_[static_cast<std::size_t>(axis)];
        return {area.low + half, area.high - half};
    }

    /// The least round length with which no map has more rows or columns than a page.
    double map_step() const {
        constexpr double inches[] = {0.1, 0.25, 0.5, 1, 2, 5, 10, 20, 50};
        constexpr double millimetres[] = {2, 5, 10, 20, 50, 100, 200, 500, 1000};
        for (std::size_t k = 0; k < std::size(inches); ++k) {
            const double step = job_.inch ? inches[k] * 25.4e-3 : millimetres[k] * 1e-3;
            std::size_t most = 0;
            for (const int t : turns()) {
                const auto map = lattice(t, 0, step);
                most = std::max({most, map.x.size(), map.y.size()});
            }
            if (most <= most_rows)
                return step;
        }
        return job_.inch ? 2.54 : 2; // wider than any table
    }

    Obstacle outside(const Placement& p) const {
        for (int axis = 0; axis < 2; ++axis) {
            const auto range = range_of_middle(axis, p.quarter_turns);
            const double at = middle()[static_cast<std::size_t>(axis)] + (axis == 0 ? p.x : p.y);
            if (at < range.low - slack || at > range.high + slack)
                return (axis == 0 ? job_.may_lie.x : job_.may_lie.y) ? Obstacle::area
                                                                     : Obstacle::ends;
        }
        return p.z < 0 && lowest_ + p.z < -slack ? Obstacle::table : Obstacle::none;
    }

    PlaceLook look_at(const Placement& place) const {
        PlaceLook seen;
        seen.placement = place;
        seen.obstacle = outside(place);
        if (!is_free(seen))
            return seen;
        try {
            const auto there = placed(job_, place);
            const auto asked = computable(question(state_, there), there);
            const auto promises = first_look(asked.model, glance_, true);
            seen.smallest.assign(job_.callouts.size(), 0);
            for (std::size_t k = 0; k < promises.size(); ++k)
                seen.smallest[asked.callouts[k]] = std::max(0.0, promises[k].smallest);
        } catch (const InputError& error) {
            const auto& what = error.diagnostics().front();
            if (what.id != "feature-outside")
                throw;
            seen.obstacle = Obstacle::travel;
            seen.why = what.message;
        }
        return seen;
    }

    const MachineState& state_;
    const Job& job_;
    const WhereOptions& options_;
    Extent asked_;
    double lowest_;
    PromiseOptions glance_;
    std::array<Range, 2> area_;
    double step_ = 0;
    std::map<Key, PlaceLook> seen_;
    std::vector<bool> decides_;
};

/// The part at a place by the full look.
struct Full {
    PromiseResult whole;
    std::vector<std::size_t> callouts; // of each promise
    std::vector<std::string> missing;  // of each callout, empty where computed
};

Full full_look(const MachineState& state,
               const Job& job,
               const Placement& place,
               const AnswerOptions& o) {
    const auto there = placed(job, place);
    const auto asked = question(state, there);
    const auto c = computable(asked, there);
    Full full;
    for (const auto& ready : asked.readiness)
        full.missing.push_back(job.critical            ? "the customer's own decision rule"
                               : ready.missing.empty() ? ""
                                                       : ready.missing.front());
    full.callouts = c.callouts;
    if (!c.callouts.empty())
        full.whole = promise(c.model, promise_options(job, o));
    return full;
}

/// How far the places between those of a map are off the mean of their neighbours.
class Halving {
  public:
    Halving(PlaceSearch& search, const PlaceMap& map, double step)
        : search_(search), turns_(map.quarter_turns), lift_(map.lift), step_(step) {
        remember(map);
    }

    /// The best of the places between those seen so far. @return none where there is none
    std::optional<PlaceLook> halve() {
        const auto fine = search_.lattice(turns_, lift_, step_ / 2);
        std::vector<Placement> fresh;
        for (const auto& place : search_.places_of(fine))
            if (!seen_.contains(key(place)))
                fresh.push_back(place);
        const auto looks = search_.look(fresh);
        for (const auto& look : looks)
            between_ = std::max(between_, off_its_neighbours(look));
        step_ /= 2;
        for (const auto& look : looks)
            seen_[key(look.placement)] = look;
        return PlaceSearch::best_of(looks);
    }

    /// How many places the next halving looks at, about.
    std::size_t next() const { return 3 * seen_.size(); }

    double step() const { return step_; }

    double between() const { return between_; }

  private:
    using Key = std::pair<long long, long long>;

    Key key(const Placement& p) const { // in thousandths of a millimetre
        return {std::llround(p.x * 1e6), std::llround(p.y * 1e6)};
    }

    void remember(const PlaceMap& map) {
        for (const auto& look : map.places)
            seen_[key(look.placement)] = look;
    }

    /// A place halfway along a row or column, against both its neighbours.
    double off_its_neighbours(const PlaceLook& look) const {
        double most = 0;
        if (!is_free(look))
            return most;
        for (const auto& [dx, dy] : {std::pair{step_ / 2, 0.0}, std::pair{0.0, step_ / 2}}) {
            auto before = look.placement, after = look.placement;
            before.x -= dx;
            before.y -= dy;
            after.x += dx;
            after.y += dy;
            const auto a = seen_.find(key(before));
            const auto b = seen_.find(key(after));
            if (a != seen_.end() && b != seen_.end() && is_free(a->second) && is_free(b->second))
                most = std::max(most, std::abs(look.used - (a->second.used + b->second.used) / 2));
        }
        return most;
    }

    PlaceSearch& search_;
    int turns_;
    double lift_;
    double step_;
    double between_ = 0;
    std::map<Key, PlaceLook> seen_;
};

std::vector<Stop> stops_at(PlaceSearch& search, const Placement& best, double by) {
    std::vector<Stop> stops;
    for (const auto& [direction, dx, dy] : {std::tuple{"-X", -1, 0},
                                            std::tuple{"+X", 1, 0},
                                            std::tuple{"-Y", 0, -1},
                                            std::tuple{"+Y", 0, 1}}) {
        auto place = best;
        place.x += dx * by;
        place.y += dy * by;
        const auto seen = search.look(place);
        if (!is_free(seen))
            stops.push_back({direction, seen.obstacle, seen.why});
    }
    return stops;
}

} // namespace

std::string_view word(Obstacle obstacle) {
    switch (obstacle) {
    case Obstacle::none:
        return "free";
    case Obstacle::area:
        return "the part would leave where it may lie";
    case Obstacle::ends:
        return "the part would hang over an end of the travel";
    case Obstacle::table:
        return "something of it would lie below the table";
    case Obstacle::travel:
        return "a tool would leave the travel";
    }
    return {};
}

Where where(const Shop& stated, const Job& job, const WhereOptions& options) {
    const auto& o = options.answer;
    std::vector<std::string> notes;
    const auto shop =
        job.temperatures.stated ? in_season(stated, job.temperatures.scale, notes) : stated;
    auto found = where_on(solve(shop, job.date ? *job.date : o.on ? *o.on : today()), job, options);
    found.notes.insert(found.notes.begin(), notes.begin(), notes.end());
    return found;
}

Where where_on(const MachineState& state, const Job& job, const WhereOptions& options) {
    const auto& o = options.answer;
    if (options.item && *options.item >= job.callouts.size())
        throw InputError("item-unknown",
                         fmt::format("there is no callout {}", *options.item + 1),
                         fmt::format("the job has {}", job.callouts.size()));
    Where w;
    w.shop = state.model.shop().name;
    w.machine = state.model.shop().machine;
    w.job = job.name;
    w.day = state.model.job();
    w.parts = o.parts;
    w.confidence = o.confidence;
    w.quantity = job.quantity;
    w.seed = o.seed;
    w.inch = job.inch;
    w.item = options.item;
    w.outline = outline(job);
    w.may_turn = job.may_turn;
    w.worlds = w.parts_in_world = glance;

    const auto asked = full_look(state, job, {}, o); // a tool beyond the travel is said here
    for (std::size_t i = 0; i < job.callouts.size(); ++i)
        w.callouts.push_back({job.callouts[i],
                              asked.missing[i].empty(),
                              asked.missing[i],
                              false,
                              {},
                              {},
                              Verdict::cant_say,
                              Verdict::cant_say});
    w.whole_asked = w.whole_best = asked.whole;
    w.notes = state.notes;
    w.notes.insert(w.notes.end(), asked.whole.notes.begin(), asked.whole.notes.end());
    for (std::size_t k = 0; k < asked.callouts.size(); ++k) {
        auto& one = w.callouts[asked.callouts[k]];
        one.asked = one.best = asked.whole.promises[k];
        one.verdict_asked = one.verdict_best = rule(one.asked, o, state.disagreement).verdict;
    }
    if (asked.callouts.empty())
        return w;

    PlaceSearch search(state, job, options);
    w.step = w.finest = search.step();

    // every second place of the lattice, turned each way
    std::vector<std::vector<PlaceLook>> scouted;
    std::vector<PlaceLook> all;
    for (const int turns : search.turns()) {
        scouted.push_back(search.look(search.scouts(turns, 0)));
        all.insert(all.end(), scouted.back().begin(), scouted.back().end());
    }
    const auto depends = search.find_deciding(all);
    bool some = false;
    for (std::size_t i = 0; i < job.callouts.size(); ++i) {
        w.callouts[i].depends = depends[i];
        some = some || (search.decides(i) && depends[i]);
    }
    w.asked_look = search.look(Placement{});
    w.best_look = w.asked_look;
    const auto most_used = [&](bool at_best) {
        std::pair<double, std::size_t> most{0, options.item.value_or(0)};
        for (std::size_t i = 0; i < w.callouts.size(); ++i) {
            const auto& one = w.callouts[i];
            if (!one.computed || (options.item ? i != *options.item : some && !search.decides(i)))
                continue;
            const double t = std::max(0.0, (at_best ? one.best : one.asked).smallest);
            if (t / one.callout.tolerance > most.first)
                most = {t / one.callout.tolerance, i};
        }
        return most;
    };
    std::tie(w.used_asked, w.deciding_asked) = most_used(false);
    w.used_best = w.used_asked;
    w.deciding_best = w.deciding_asked;
    if (!some) {
        w.looks = search.looks();
        return w;
    }

    // downhill from the best of each turn, then of each height
    const auto found_from = [&](std::vector<PlaceLook> looks) -> std::optional<PlaceLook> {
        for (auto& look : looks)
            search.judge(look);
        const auto best = PlaceSearch::best_of(looks);
        return best ? std::optional(search.descend(*best, 2 * search.step(), search_halvings + 1))
                    : std::nullopt;
    };
    const auto prefer = [&](const std::optional<PlaceLook>& other) {
        if (other && other->used < w.best_look.used * (1 - worth_moving))
            w.best_look = *other;
    };
    for (const auto& looks : scouted)
        if (const auto best = found_from(looks)) {
            w.turns.push_back(*best);
            prefer(best);
        }
    if (job.may_lie.lift) {
        const int turns = w.best_look.placement.quarter_turns;
        const auto at_stated_height = w.best_look;
        for (const double lift : search.lifts()) {
            const auto best =
                lift == 0 ? at_stated_height : found_from(search.look(search.scouts(turns, lift)));
            if (!best)
                continue;
            w.heights.push_back(*best);
            prefer(best);
        }
    }

    // the map, and the places between its own
    const auto draw_map = [&](const Placement& place) {
        auto map = search.lattice(place.quarter_turns, place.z, search.step());
        map.places = search.look(search.places_of(map));
        return map;
    };
    w.map = draw_map(w.best_look.placement);
    const auto take = [&](const std::optional<PlaceLook>& other) {
        if (other && other->used < w.best_look.used * (1 - progress))
            w.best_look = search.descend(*other, search.step(), search_halvings);
    };
    take(PlaceSearch::best_of(w.map.places));
    const double unit = job.inch ? 25.4e-3 : 1e-3;
    const auto printed = [&] {
        const auto& b = w.best_look;
        return std::pair(b.deciding, two_digits(b.smallest[b.deciding] / unit));
    };
    Halving halving(search, w.map, search.step());
    while (!w.settled &&
           (halving.step() == search.step() || search.looks() + halving.next() <= most_looks)) {
        const auto before = printed();
        take(halving.halve());
        w.settled = printed() == before;
    }
    w.finest = halving.step();
    w.between = halving.between();

    // by the full look
    const auto full = full_look(state, job, w.best_look.placement, o);
    for (std::size_t k = 0; k < full.callouts.size(); ++k) {
        auto& one = w.callouts[full.callouts[k]];
        one.best = full.whole.promises[k];
        one.verdict_best = rule(one.best, o, state.disagreement).verdict;
    }
    w.whole_best = full.whole;
    std::tie(w.used_best, w.deciding_best) = most_used(true);
    w.found = w.used_best < w.used_asked * (1 - worth_moving);
    if (w.found) {
        w.best = w.best_look.placement;
    } else {
        for (auto& one : w.callouts) {
            one.best = one.asked;
            one.verdict_best = one.verdict_asked;
        }
        w.whole_best = w.whole_asked;
        w.used_best = w.used_asked;
        w.deciding_best = w.deciding_asked;
        w.best_look = w.asked_look;
        if (w.map.quarter_turns != 0 || w.map.lift != 0)
            w.map = draw_map({});
    }
    w.stops = stops_at(search, w.best, search.step() / 16);
    if (!job.may_lie.lift) {
        auto higher = w.best;
        higher.z += job.inch ? 50.8e-3 : 50e-3;
        w.higher = search.look(higher);
    }
    w.looks = search.looks();
    return w;
}

} // namespace holdable
