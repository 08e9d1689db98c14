// SPDX-License-Identifier: MIT
#include "holdable/machine/check_record.hpp"

#include <algorithm>
#include <cmath>
#include <set>

namespace holdable {
namespace {

/// Both ways round are among its settings.
template <class Settings, class Way>
bool both_ways(const Settings& settings, Way way) {
    for (const auto& one : settings)
        if (way(one) != way(settings.front()))
            return true;
    return false;
}

struct Kind {
    std::string operator()(const SquareCheck& c) const {
        return c.across == Axis::x ? "Z square to X" : "Z square to Y";
    }

    std::string operator()(const FlatSquareCheck&) const { return "Y square to X"; }

    std::string operator()(const StraightnessCheck& c) const {
        return std::string("straightness of ") + letter(c.axis) + " in " + letter(c.direction);
    }

    std::string operator()(const LevelCheck& c) const {
        return std::string("tilt of ") + letter(c.axis) + " by a level";
    }

    std::string operator()(const TramCheck&) const { return "tram of the spindle"; }

    std::string operator()(const TestBarCheck&) const { return "spindle to Z by a test bar"; }

    std::string operator()(const RunOutCheck&) const { return "run-out of the spindle"; }

    std::string operator()(const TableCheck&) const { return "map of the table"; }

    std::string operator()(const PositioningCheck& c) const {
        return std::string("positioning of ") + letter(c.axis);
    }

    std::string operator()(const CircleCheck&) const { return "circle in X and Y"; }

    std::string operator()(const NotebookLine&) const { return "line of a notebook"; }

    std::string operator()(const TestCut&) const { return "test cut"; }
};

struct SelfCheck {
    std::string operator()(const SquareCheck& c) const {
        return both_ways(c.settings, [](const auto& s) { return s.leg_towards_plus; })
                   ? "square turned round: its own error drops out"
                   : "";
    }

    std::string operator()(const FlatSquareCheck& c) const {
        return both_ways(c.settings,
                         [](const auto& s) { return s.leg_towards_plus == s.edge_towards_plus; })
                   ? "square turned over: its own error drops out"
                   : "";
    }

    std::string operator()(const StraightnessCheck& c) const {
        return both_ways(c.settings, [](const auto& s) { return s.faces_plus; })
                   ? "straightedge turned over: its own form drops out"
                   : "";
    }

    std::string operator()(const LevelCheck& c) const {
        return c.turned ? "level turned end for end: its zero shows" : "";
    }

    std::string operator()(const TestBarCheck& c) const {
        return both_ways(c.settings, [](const auto& s) { return s.turned; })
                   ? "spindle turned by half a turn: the bar's seat drops out"
                   : "";
    }

    std::string operator()(const RunOutCheck& c) const {
        return c.seats.size() > 1 ? "bar turned in its seat: its own run-out drops out" : "";
    }

    std::string operator()(const NotebookLine& c) const {
        return c.reversed ? "square turned between two settings, as the line says" : "";
    }

    std::string operator()(const CircleCheck& c) const {
        return both_ways(c.runs, [](const auto& r) { return r.counterclockwise; })
                   ? "gone round both ways"
                   : "";
    }

    template <class Check>
    std::string operator()(const Check&) const {
        return {};
    }
};

std::string instrument_kind(const Indicator&) {
    return "indicator";
}

std::string instrument_kind(const Square&) {
    return "square";
}

std::string instrument_kind(const Straightedge&) {
    return "straightedge";
}

std::string instrument_kind(const Level&) {
    return "level";
}

std::string instrument_kind(const LengthStandard&) {
    return "length standard";
}

std::string known_by(const Square& square) {
    return square.evidence == Evidence::specification ? "limit of its grade" : "";
}

template <class Instrument>
std::string known_by(const Instrument&) {
    return {};
}

/// Names of all instruments that a check uses.
template <class Check>
std::vector<std::string> names_in(const Check& check) {
    std::vector<std::string> names;
    const auto add = [&](const std::string& name) {
        if (!name.empty() && std::find(names.begin(), names.end(), name) == names.end())
            names.push_back(name);
    };
    if constexpr (requires { check.square; })
        add(check.square);
    if constexpr (requires { check.straightedge; })
        add(check.straightedge);
    if constexpr (requires { check.level; })
        add(check.level);
    if constexpr (requires { check.head_level; })
        add(check.head_level);
    if constexpr (requires { check.standard; })
        add(check.standard);
    if constexpr (requires { check.indicator; })
        add(check.indicator);
    if constexpr (requires { check.gauge.name; })
        add(check.gauge.name);
    if constexpr (requires { check.traces; })
        for (const auto& trace : check.traces)
            add(trace.indicator);
    return names;
}

/// Reports each place of an axis at which a check read, by the axis that moved.
struct Places {
    std::array<std::optional<CheckedSpan>, 3>& spans;

    void at(Axis axis, double coordinate) {
        auto& span = spans[static_cast<std::size_t>(axis)];
        if (!span)
            span = CheckedSpan{coordinate, coordinate};
        span->low = std::min(span->low, coordinate);
        span->high = std::max(span->high, coordinate);
    }

    void all(Axis axis, const std::vector<double>& stations) {
        for (const double station : stations)
            at(axis, station);
    }

    void operator()(const SquareCheck& c) {
        all(Axis::z, c.stations);
        for (const auto& setting : c.settings)
            for (const double station : setting.leg_stations)
                at(c.across, station);
    }

    void operator()(const FlatSquareCheck& c) {
        for (const auto& setting : c.settings) {
            all(Axis::x, setting.leg.stations);
            all(Axis::y, setting.edge.stations);
        }
    }

    void operator()(const StraightnessCheck& c) { all(c.axis, c.stations); }

    void operator()(const LevelCheck& c) { all(c.axis, c.stations); }

    void operator()(const TestBarCheck& c) { all(Axis::z, c.stations); }

    void operator()(const PositioningCheck& c) { all(c.axis, c.targets); }

    void operator()(const CircleCheck& c) {
        for (const double angle : c.stations) {
            at(Axis::x, c.centre.x() + c.radius * std::cos(angle));
            at(Axis::y, c.centre.y() + c.radius * std::sin(angle));
        }
    }

    void operator()(const TableCheck& c) {
        if (c.indicator.empty())
            return; // a level walks, the axes stand
        all(Axis::x, c.x);
        all(Axis::y, c.y);
    }

    template <class Check>
    void operator()(const Check&) {}
};

} // namespace

std::vector<CheckRecord> check_records(const Shop& shop) {
    std::vector<CheckRecord> records;
    for_each_check(shop, [&](const auto& check) {
        records.push_back(
            {check.name, Kind{}(check), check.date, names_in(check), SelfCheck{}(check)});
    });
    for (const auto& log : shop.thermal_logs)
        records.push_back({log.name,
                           log.spindle_runs ? "warm-up log" : "drift log",
                           log.date,
                           names_in(log),
                           ""});
    std::stable_sort(records.begin(), records.end(), [](const auto& a, const auto& b) {
        return a.date < b.date;
    });
    return records;
}

std::array<std::optional<CheckedSpan>, 3> checked_travel(const Shop& shop) {
    std::array<std::optional<CheckedSpan>, 3> spans;
    for_each_check(shop, Places{spans});
    return spans;
}

std::vector<InstrumentRecord> instruments_used(const Shop& shop) {
    std::set<std::string> used;
    for (const auto& record : check_records(shop))
        used.insert(record.instruments.begin(), record.instruments.end());
    std::vector<InstrumentRecord> records;
    const auto add = [&](const auto& list) {
        for (const auto& one : list)
            if (used.contains(one.name))
                records.push_back({one.name, instrument_kind(one), one.certificate, known_by(one)});
    };
    add(shop.indicators);
    add(shop.squares);
    add(shop.straightedges);
    add(shop.levels);
    add(shop.length_standards);
    return records;
}

} // namespace holdable
