// SPDX-License-Identifier: MIT
// What could be done about a planned check: each a change of the check, of its instruments or of
// what warmth does meanwhile. Figures without a source beside them are common practice, no source.
#include "holdable/answer/levers.ipp"
#include "holdable/answer/planned_check.hpp"
#include "holdable/machine/observation.hpp"
#include "holdable/machine/plan_check.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <type_traits>

namespace holdable {
namespace {

constexpr double certified_form = 2e-6;  // of a certified edge, peak to valley (m)
constexpr int times_as_many = 4;          // times as many readings
constexpr double finer = 0.1;            // of the resolution
constexpr double whole_edge = 0.85;      // of an edge: less is read over less than it could be
constexpr int usual_runs = 5;            // each way (ISO 230-2), and seats of a bar
constexpr double by_thermometer = 0.3;   // of screw and standard, read on them (K)
constexpr double aligned = 0.2e-3;       // of a standard lined up with an indicator (rad)
constexpr double good_supports = 0.1;    // of the sag on its ends; on 2/9 it is less than a 40th
constexpr double certified_bar = 0.5e-6; // run-out and form of a calibrated test bar (m)

using List = std::vector<PlannedChange>;

/// The planned checks of one kind.
template <class Check>
std::vector<Check>& of_kind(Shop& shop);

template <>
std::vector<SquareCheck>& of_kind(Shop& shop) {
    return shop.square_checks;
}

template <>
std::vector<FlatSquareCheck>& of_kind(Shop& shop) {
    return shop.flat_square_checks;
}

template <>
std::vector<StraightnessCheck>& of_kind(Shop& shop) {
    return shop.straightness_checks;
}

template <>
std::vector<LevelCheck>& of_kind(Shop& shop) {
    return shop.level_checks;
}

template <>
std::vector<TramCheck>& of_kind(Shop& shop) {
    return shop.tram_checks;
}

template <>
std::vector<TestBarCheck>& of_kind(Shop& shop) {
    return shop.test_bar_checks;
}

template <>
std::vector<RunOutCheck>& of_kind(Shop& shop) {
    return shop.run_out_checks;
}

template <>
std::vector<TableCheck>& of_kind(Shop& shop) {
    return shop.table_checks;
}

template <>
std::vector<PositioningCheck>& of_kind(Shop& shop) {
    return shop.positioning_checks;
}

template <>
std::vector<CircleCheck>& of_kind(Shop& shop) {
    return shop.circle_checks;
}

/// Adds a change of the check itself. @param kind only tells the kind @param change of a Check&
template <class Check, class Change>
void add(List& all, std::string action, const Check& kind, Change change) {
    (void)kind;
    all.emplace_back(std::move(action), [change](PlannedCheck& planned) {
        for (auto& check : of_kind<Check>(planned.check))
            change(check);
    });
}

/// The instrument of that name, where there is one.
template <class Instrument>
Instrument* named(std::vector<Instrument>& all, const std::string& name) {
    const auto at =
        std::find_if(all.begin(), all.end(), [&](const auto& one) { return one.name == name; });
    return at == all.end() ? nullptr : &*at;
}

template <class Instrument>
const Instrument* named(const std::vector<Instrument>& all, const std::string& name) {
    const auto at =
        std::find_if(all.begin(), all.end(), [&](const auto& one) { return one.name == name; });
    return at == all.end() ? nullptr : &*at;
}

bool inside(const Shop& shop, Axis axis, double coordinate) {
    const auto& travel = shop.travel[static_cast<std::size_t>(axis)];
    return coordinate >= travel.low && coordinate <= travel.high;
}

double middle(const Shop& shop, int axis) {
    const auto& travel = shop.travel[static_cast<std::size_t>(axis)];
    return (travel.low + travel.high) / 2;
}

/// Places with one more between any two.
std::vector<double> between(const std::vector<double>& places) {
    std::vector<double> all;
    for (std::size_t i = 0; i < places.size(); ++i) {
        if (i > 0)
            all.push_back((places[i - 1] + places[i]) / 2);
        all.push_back(places[i]);
    }
    return all;
}

/// As many places, from `low` to `high`, ends included.
std::vector<double> spread_out(double low, double high, std::size_t count) {
    std::vector<double> places;
    for (std::size_t i = 0; i < count; ++i)
        places.push_back(low +
                         (high - low) * static_cast<double>(i) / static_cast<double>(count - 1));
    return places;
}

/// Readings of another number of stations, planned as before.
void resize(std::vector<double>& readings, std::vector<int>& repeats, std::size_t count) {
    readings.assign(count, 0);
    if (!repeats.empty())
        repeats.assign(count, repeats.front());
}

// The runs of a check: readings, repeats, closing.

template <class F>
void each_run(SquareCheck& check, F f) {
    for (auto& s : check.settings)
        f(s.edge_readings, s.edge_repeats, s.closing);
}

template <class F>
void each_run(FlatSquareCheck& check, F f) {
    for (auto& s : check.settings)
        for (auto* run : {&s.leg, &s.edge})
            f(run->readings, run->repeats, run->closing);
}

template <class F>
void each_run(StraightnessCheck& check, F f) {
    for (auto& s : check.settings)
        f(s.readings, s.repeats, s.closing);
}

template <class F>
void each_run(TestBarCheck& check, F f) {
    for (auto& s : check.settings)
        f(s.readings, s.repeats, s.closing);
}

template <class F>
void each_run(LevelCheck& check, F f) {
    f(check.readings, check.repeats, check.closing);
    if (check.rides == LevelRides::both)
        f(check.head_readings, check.head_repeats, check.head_closing);
}

template <class F>
void each_run(TramCheck& check, F f) {
    f(check.readings, check.repeats, check.closing);
}

template <class F>
void each_run(TableCheck& check, F f) {
    for (auto& line : check.lines)
        f(line.readings, line.repeats, line.closing);
    if (!check.readings.empty())
        f(check.readings, check.repeats, check.closing);
}

/// What one indicator or level, warmth and more readings do in any check with runs.
template <class Check>
void of_runs(List& all, const Check& now) {
    auto copy = now;
    bool open = false;
    int repeats = 1;
    each_run(copy, [&](const auto&, const std::vector<int>& each, const auto& closing) {
        open = open || !closing;
        repeats = each.empty() ? repeats : each.front();
    });
    double drift = typical_drift;
    if constexpr (std::is_same_v<Check, LevelCheck> || std::is_same_v<Check, TableCheck>)
        drift = now.level.empty() ? drift : typical_level_drift;
    if (open)
        add(all, "read the first station again at the end of each run", now, [drift](Check& check) {
            bool other = false; // of two levels read together one drifts
            each_run(check, [&](const auto&, const auto&, std::optional<double>& closing) {
                closing = closing.value_or(other ? 0 : drift);
                other = std::is_same_v<Check, LevelCheck>;
            });
        });
    add(all,
        fmt::format("read each station {} times instead of {}", times_as_many * repeats, repeats),
        now,
        [repeats](Check& check) {
            each_run(check, [&](const auto& readings, std::vector<int>& each, const auto&) {
                each.assign(readings.size(), times_as_many * repeats);
            });
        });
}

void of_warmth(List& all) {
    all.emplace_back("let the machine and all gear rest at one temperature for two hours: half the "
                     "drift and bend",
                     [](PlannedCheck& planned) { planned.warmth /= 2; });
}

void of_indicator(List& all, const PlannedCheck& now, const std::string& name) {
    if (named(now.machine.indicators, name) == nullptr)
        return;
    all.emplace_back("an indicator that reads ten times finer", [name](PlannedCheck& planned) {
        auto& one = *named(planned.machine.indicators, name);
        one.resolution *= finer;
        // What was measured is not the dial's.
        if (one.repeatability_evidence == Evidence::typical)
            one.repeatability = one.resolution / 2;
    });
}

void of_square(List& all, const PlannedCheck& now, const std::string& name) {
    const auto* square = named(now.machine.squares, name);
    if (square == nullptr)
        return;
    all.emplace_back(
        square->certificate ? "have the square calibrated anew, with half the U"
                            : "have the square calibrated, with U a fifth of its grade's limit",
        [name](PlannedCheck& planned) {
            auto& one = *named(planned.machine.squares, name);
            one.standard = one.certificate ? one.standard / 2 : certified * one.limit / 2;
            one.limit = 0;
            one.edge_form = std::min(one.edge_form, certified_form);
            one.evidence = one.form_evidence = Evidence::certificate;
            one.certificate = Certificate{"to come", {}, planned.day};
        });
}

// What is special to a kind of check. A kind that is not among them has only the rest.

template <class Check>
void own(List&, const PlannedCheck&, const Check&) {}

void own(List& all, const PlannedCheck& now, const SquareCheck& check) {
    const auto& machine = now.machine;
    const auto& settings = check.settings;
    if (std::all_of(settings.begin(), settings.end(), [&](const auto& s) {
            return s.leg_towards_plus == settings.front().leg_towards_plus;
        }))
        add(all,
            "turn the square round, its leg to the other side, and read again",
            check,
            [machine](SquareCheck& c) { c.settings.push_back(turned_round(machine, c)); });
    if (std::any_of(settings.begin(), settings.end(), [&](const auto& s) {
            return s.leg_stations.empty() && !along_leg(machine, check, s).empty();
        }))
        add(all,
            "sweep the leg of the square too, each time it stands",
            check,
            [machine](SquareCheck& c) {
                for (auto& s : c.settings)
                    if (s.leg_stations.empty()) {
                        s.leg_stations = along_leg(machine, c, s);
                        s.leg_readings.assign(s.leg_stations.size(), 0);
                    }
            });
    const auto set_heights = [](SquareCheck& c, std::vector<double> at) {
        c.stations = std::move(at);
        for (auto& s : c.settings)
            resize(s.edge_readings, s.edge_repeats, c.stations.size());
    };
    const auto [low, high] = std::minmax_element(check.stations.begin(), check.stations.end());
    if (const auto* square = named(machine.squares, check.square)) {
        const auto& z = machine.travel[2];
        const double bottom =
            std::min(*low, std::max(z.low, check.place.z() + 0.05 * square->length));
        const double top =
            std::max(*high, std::min(z.high, check.place.z() + 0.95 * square->length));
        if (*high - *low < whole_edge * (top - bottom))
            add(all,
                "read over the whole edge of the square",
                check,
                [set_heights, bottom, top](SquareCheck& c) {
                    set_heights(c, spread_out(bottom, top, c.stations.size()));
                });
    }
    add(all, "read at twice as many heights", check, [set_heights](SquareCheck& c) {
        set_heights(c, between(c.stations));
    });
    add(all, "do it in the middle of the table", check, [machine](SquareCheck& c) {
        const auto u = static_cast<int>(c.across);
        const double moved = middle(machine, u) - c.place[u];
        for (int axis = 0; axis < 2; ++axis)
            c.place[axis] = middle(machine, axis);
        for (auto& s : c.settings)
            for (double& at : s.leg_stations)
                at += moved;
    });
    of_square(all, now, check.square);
}

/// The square turned over, so that its leg covers the same places.
FlatSquareSetting turned_over(FlatSquareSetting setting) {
    const auto [low, high] =
        std::minmax_element(setting.leg.stations.begin(), setting.leg.stations.end());
    const double corner = *low + *high - setting.corner.x();
    setting.corner.x() = corner;
    setting.leg_towards_plus = !setting.leg_towards_plus;
    for (double& at : setting.leg.stations)
        at = *low + *high - at;
    return setting;
}

void own(List& all, const PlannedCheck& now, const FlatSquareCheck& check) {
    const auto& settings = check.settings;
    const auto& x = now.machine.travel[0];
    const double corner = turned_over(settings.front()).corner.x();
    if (corner >= x.low && corner <= x.high &&
        std::all_of(settings.begin(), settings.end(), [&](const auto& s) {
            return s.leg_towards_plus == settings.front().leg_towards_plus;
        }))
        add(all,
            "turn the square over, its leg over the same places, and read again",
            check,
            [](FlatSquareCheck& c) { c.settings.push_back(turned_over(c.settings.front())); });
    add(all, "read at twice as many places", check, [](FlatSquareCheck& c) {
        for (auto& s : c.settings)
            for (auto* run : {&s.leg, &s.edge}) {
                run->stations = between(run->stations);
                resize(run->readings, run->repeats, run->stations.size());
            }
    });
    of_square(all, now, check.square);
}

void own(List& all, const PlannedCheck& now, const StraightnessCheck& check) {
    const auto& settings = check.settings;
    if (std::all_of(settings.begin(), settings.end(), [&](const auto& s) {
            return s.faces_plus == settings.front().faces_plus;
        }))
        add(all,
            "turn the straightedge over on its long axis and read the same edge again",
            check,
            [](StraightnessCheck& c) {
                c.settings.push_back(c.settings.front());
                c.settings.back().faces_plus = !c.settings.back().faces_plus;
            });
    if (check.direction == Axis::z && !check.sag)
        add(all,
            "lay the straightedge on two supports two ninths of its length from its ends",
            check,
            [machine = now.machine](StraightnessCheck& c) {
                const auto* edge = named(machine.straightedges, c.straightedge);
                c.sag = good_supports * typical_sag(edge->length);
            });
    add(all, "read at twice as many stations", check, [](StraightnessCheck& c) {
        c.stations = between(c.stations);
        for (auto& s : c.settings)
            resize(s.readings, s.repeats, c.stations.size());
    });
    if (named(now.machine.straightedges, check.straightedge) != nullptr)
        all.emplace_back("have the straightedge calibrated, its form then known to a fifth",
                         [name = check.straightedge](PlannedCheck& planned) {
                             auto& edge = *named(planned.machine.straightedges, name);
                             edge.form *= certified;
                             edge.form_evidence = Evidence::certificate;
                             edge.certificate = Certificate{"to come", {}, planned.day};
                         });
}

void own(List& all, const PlannedCheck& now, const LevelCheck& check) {
    constexpr const char* second = "a second level";
    if (check.rides != LevelRides::both)
        if (const auto* level = named(now.machine.levels, check.level))
            all.emplace_back("a second level on the head, or on the table, both read together",
                             [copy = *level](PlannedCheck& planned) {
                                 auto other = copy;
                                 other.name = second;
                                 planned.machine.levels.push_back(other);
                                 for (auto& c : planned.check.level_checks) {
                                     c.rides = LevelRides::both;
                                     c.head_level = second;
                                     c.head_readings = c.readings;
                                     c.head_repeats = c.repeats;
                                     c.turned.reset();
                                     if (c.closing)
                                         c.head_closing = 0;
                                 }
                             });
    add(all, "read at twice as many stations", check, [](LevelCheck& c) {
        c.stations = between(c.stations);
        resize(c.readings, c.repeats, c.stations.size());
        if (c.rides == LevelRides::both)
            resize(c.head_readings, c.head_repeats, c.stations.size());
    });
    for (const auto& name : {check.level, check.head_level})
        if (named(now.machine.levels, name) != nullptr)
            all.emplace_back(fmt::format("read \"{}\" four times finer, or a finer level", name),
                             [name](PlannedCheck& planned) {
                                 for (auto& level : planned.machine.levels)
                                     if (level.name == name || level.name == second)
                                         level.read_to /= 4;
                             });
}

/// Whether all places are reached that a sweep touches, or where the axes go for it.
bool sweeps(const Shop& machine, const TramCheck& check) {
    return std::all_of(check.angles.begin(), check.angles.end(), [&](double angle) {
        const double r = check.sweep_diameter / 2;
        return inside(machine, Axis::x, check.place.x() - r * std::cos(angle)) &&
               inside(machine, Axis::y, check.place.y() - r * std::sin(angle));
    });
}

void own(List& all, const PlannedCheck& now, const TramCheck& check) {
    const auto& machine = now.machine;
    auto block = check;
    block.against = SweptSurface::block;
    if (check.against == SweptSurface::table && sweeps(machine, block))
        add(all,
            "sweep on one block, which X and Y bring under the tip, not on the table",
            check,
            [](TramCheck& c) {
                c.against = SweptSurface::block;
                c.low_spot.reset();
            });
    auto wide = check;
    wide.sweep_diameter *= 1.5;
    if (sweeps(machine, wide))
        add(all, "sweep a circle half as wide again", check, [](TramCheck& c) {
            c.sweep_diameter *= 1.5;
        });
    if (check.angles.size() < 8)
        add(all, "read at eight angles, every 45°", check, [](TramCheck& c) {
            c.angles.clear();
            for (int i = 0; i < 8; ++i)
                c.angles.push_back(i * std::numbers::pi / 4);
            resize(c.readings, c.repeats, c.angles.size());
        });
    if (!check.both_ways)
        add(all, "sweep both ways round and take the mean", check, [](TramCheck& c) {
            c.both_ways = true;
        });
    auto centred = check;
    for (int axis = 0; axis < 2; ++axis)
        centred.place[axis] = middle(machine, axis);
    if (sweeps(machine, centred))
        add(all, "do it in the middle of the table", check, [machine](TramCheck& c) {
            for (int axis = 0; axis < 2; ++axis)
                c.place[axis] = middle(machine, axis);
        });
}

void own(List& all, const PlannedCheck& now, const TestBarCheck& check) {
    const auto& settings = check.settings;
    if (std::all_of(settings.begin(), settings.end(), [&](const auto& s) {
            return std::cos(s.turned - settings.front().turned) > -0.5;
        }))
        add(all,
            "turn the spindle half round with its bar and read again",
            check,
            [](TestBarCheck& c) {
                c.settings.push_back(c.settings.front());
                c.settings.back().turned += std::numbers::pi;
            });
    add(all, "read at twice as many stations", check, [](TestBarCheck& c) {
        c.stations = between(c.stations);
        for (auto& s : c.settings)
            resize(s.readings, s.repeats, c.stations.size());
    });
    if (check.bar_form.value_or(1) > certified_bar)
        add(all,
            "have the test bar calibrated, its form then within 0.5 µm",
            check,
            [](TestBarCheck& c) { c.bar_form = certified_bar; });
    add(all, "do it in the middle of the table", check, [machine = now.machine](TestBarCheck& c) {
        c.x = middle(machine, 0);
        c.y = middle(machine, 1);
    });
}

void own(List& all, const PlannedCheck&, const RunOutCheck& check) {
    const auto turned = [](const RunOutSeat& seat) { return std::cos(seat.bar_turned) < -0.5; };
    if (std::none_of(check.seats.begin(), check.seats.end(), turned))
        add(all,
            "seat the bar as often again, turned half round in the spindle",
            check,
            [](RunOutCheck& c) {
                const auto seats = c.seats;
                for (auto seat : seats) {
                    seat.bar_turned += std::numbers::pi;
                    c.seats.push_back(seat);
                }
            });
    if (check.seats.size() < usual_runs)
        add(all, "seat the bar five times each way", check, [](RunOutCheck& c) {
            const auto seats = c.seats;
            while (c.seats.size() < usual_runs * seats.size())
                c.seats.push_back(seats[c.seats.size() % seats.size()]);
        });
    if (check.bar_total.value_or(1) > certified_bar)
        add(all,
            "have the test bar calibrated, its own run-out then within 0.5 µm",
            check,
            [](RunOutCheck& c) { c.bar_total = certified_bar; });
}

void own(List& all, const PlannedCheck& now, const PositioningCheck& check) {
    const auto count = [](const PositioningCheck& c, bool plus) {
        return std::count_if(c.runs.begin(), c.runs.end(), [plus](const PositioningRun& run) {
            return run.towards_plus == plus;
        });
    };
    const bool few = count(check, true) < usual_runs || count(check, false) < usual_runs;
    const auto wanted = few ? usual_runs : 2 * std::max(count(check, true), count(check, false));
    add(all,
        fmt::format("make {} runs each way", wanted),
        check,
        [count, wanted](PositioningCheck& c) {
            // Both ways by turns: what drifts is then not taken for lost motion.
            for (bool plus = !c.runs.back().towards_plus;
                 count(c, true) < wanted || count(c, false) < wanted;
                 plus = !plus)
                if (count(c, plus) < wanted) {
                    c.runs.push_back(c.runs.front());
                    c.runs.back().towards_plus = plus;
                }
        });
    if (!check.closing)
        add(all, "read the first target again at the end", check, [](PositioningCheck& c) {
            c.closing = typical_drift;
        });
    add(all,
        "let machine and standard come to 20 °C, a thermometer on each, within 0.3 K",
        check,
        [](PositioningCheck& c) {
            c.scale_warmer = c.standard_warmer = 0;
            c.scale_doubt = std::min(by_thermometer, c.scale_doubt.value_or(1));
            c.standard_doubt = std::min(by_thermometer, c.standard_doubt.value_or(1));
            c.thermometer = std::min(by_thermometer, c.thermometer.value_or(1));
        });
    if (check.skew.value_or(1) > aligned)
        add(all,
            "line the standard up with the axis, within 0.2 mm/m",
            check,
            [](PositioningCheck& c) { c.skew = aligned; });
    if (const auto* standard = named(now.machine.length_standards, check.standard))
        all.emplace_back(standard->certificate
                             ? "have the length standard calibrated anew, with half the U"
                             : "have the length standard calibrated, with U a fifth of its limits",
                         [name = check.standard](PlannedCheck& planned) {
                             auto& one = *named(planned.machine.length_standards, name);
                             if (one.certificate) {
                                 one.standard /= 2;
                                 one.scale_standard /= 2;
                             } else {
                                 one.standard = certified * one.limit / 2;
                                 one.scale_standard = certified * one.scale_limit / 2;
                                 one.limit = one.scale_limit = 0;
                                 one.evidence = Evidence::certificate;
                             }
                             one.certificate = Certificate{"to come", {}, planned.day};
                         });
}

void own(List& all, const PlannedCheck&, const CircleCheck& check) {
    const auto count = [](const CircleCheck& c, bool way) {
        return std::count_if(c.runs.begin(), c.runs.end(), [way](const CircleRun& run) {
            return run.counterclockwise == way;
        });
    };
    const auto go_round = [count](CircleCheck& c, std::ptrdiff_t wanted) {
        // Both ways by turns: what drifts is then not taken for lost motion.
        for (bool way = !c.runs.back().counterclockwise;
             count(c, true) < wanted || count(c, false) < wanted;
             way = !way)
            if (count(c, way) < wanted) {
                c.runs.push_back(c.runs.front());
                c.runs.back().counterclockwise = way;
            }
    };
    if (count(check, true) == 0 || count(check, false) == 0)
        add(all, "go round the other way too", check, [count, go_round](CircleCheck& c) {
            go_round(c, std::max(count(c, true), count(c, false)));
        });
    if (std::min(count(check, true), count(check, false)) < usual_runs)
        add(all, fmt::format("go round {} times each way", usual_runs), check, [go_round](auto& c) {
            go_round(c, usual_runs);
        });
    add(all, "read at twice as many angles", check, [](CircleCheck& c) {
        c.stations = between(c.stations);
        for (auto& run : c.runs)
            run.readings.assign(c.stations.size(), 0);
    });
    if (check.trace == CircleTrace::disc)
        add(all, "read the disc again, turned by 90° in its chuck", check, [](CircleCheck& c) {
            const auto runs = c.runs;
            for (auto run : runs) {
                run.turned += std::numbers::pi / 2;
                c.runs.push_back(run);
            }
        });
    else if (!check.closing)
        add(all, "read the first angle again at the end", check, [](CircleCheck& c) {
            c.closing = typical_drift;
        });
    add(all,
        "let the machine come to 20 °C, a thermometer on each scale, within 0.3 K",
        check,
        [](CircleCheck& c) {
            c.scale_warmer = {};
            c.scale_doubt = std::min(by_thermometer, c.scale_doubt.value_or(1));
            c.thermometer = std::min(by_thermometer, c.thermometer.value_or(1));
        });
}

} // namespace

std::vector<PlannedChange> changes(const PlannedCheck& planned) {
    List all;
    for_each_check(planned.check, [&](const auto& check) {
        using Check = std::remove_cvref_t<decltype(check)>;
        own(all, planned, check);
        if constexpr (requires(Check & c) { each_run(c, [](auto&&...) {}); })
            of_runs(all, check);
        if constexpr (requires { check.indicator; })
            of_indicator(all, planned, check.indicator);
    });
    of_warmth(all);
    return all;
}

} // namespace holdable
