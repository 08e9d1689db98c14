// SPDX-License-Identifier: MIT
#include "holdable/report/machine_json.hpp"

#include "holdable/report/json.ipp"
#include "holdable/report/shop_units.hpp"

#include <algorithm>
#include <cmath>

namespace holdable {
namespace {

ShopUnit unit_of(bool angle, double size, Habit h) {
    return angle ? slope_unit(h) : length_unit(h, size);
}

/// A value as the page prints it, to the place of its doubt.
Json estimate_json(double value, double standard, bool angle, Habit h, std::string_view what) {
    const auto unit = unit_of(angle, std::max(std::abs(value), standard), h);
    return {{"value", finite(value, what)},
            {"text", fmt::format("{} {}", printed_in(unit, value, standard).value, unit.spelling)}};
}

Json doubt_json(double standard, bool angle, Habit h, std::string_view what) {
    return {{"value", finite(standard, what)},
            {"text", angle ? slope_in_both(standard, h) : length_in_both(standard, h)}};
}

Json sources_json(const std::vector<DoubtSource>& all) {
    Json sources = Json::array();
    for (const auto& s : all)
        sources.push_back({{"meaning", s.meaning},
                           {"share", finite(s.share, "share")},
                           {"evidence", word(s.evidence)}});
    return sources;
}

Json motion_json(const MotionSummary& m, Habit h) {
    return {{"name", m.name},
            {"meaning", m.meaning},
            {"unit", m.angle ? "rad" : "m"},
            {m.curve ? "peak_to_valley" : "value",
             estimate_json(m.value, m.standard, m.angle, h, m.name)},
            {"standard_uncertainty", doubt_json(m.standard, m.angle, h, m.name)},
            {"standard_uncertainty_by_class", doubt_json(m.standard_by_class, m.angle, h, m.name)},
            {"where", m.where ? finite(*m.where, m.name) : Json(nullptr)},
            {"learnt", finite(m.learnt, "learnt")},
            {"assumed_only", m.assumed_only},
            {"in_words", m.in_words},
            {"without_class",
             m.without_class ? estimate_json(*m.without_class, m.standard, m.angle, h, m.name)
                             : Json(nullptr)},
            {"sources", sources_json(m.sources)}};
}

Json run_out_json(const RunOutSummary& r, Habit h) {
    const auto& at = r.at;
    return {
        {"length", finite(at.length, "length")},
        {"total", estimate_json(at.total, at.standard, false, h, "run-out")},
        {"standard_uncertainty", doubt_json(at.standard, false, h, "run-out")},
        {"standard_uncertainty_by_class", doubt_json(at.standard_by_class, false, h, "run-out")},
        {"high_at", finite(at.high_at, "run-out")},
        {"seat_scatter", doubt_json(at.seat_scatter, false, h, "run-out")},
        {"seats_measured", at.seats_measured},
        {"interpolated", r.interpolated},
        {"learnt", finite(r.learnt, "learnt")},
        {"assumed_only", r.assumed_only},
        {"sources", sources_json(r.sources)}};
}

Json spindle_json(const MachineSummary& s) {
    Json tilts = Json::array();
    for (const auto& tilt : s.tilts)
        tilts.push_back(motion_json(tilt, habit(s.inch)));
    Json run_out = Json::array();
    for (const auto& r : s.run_out)
        run_out.push_back(run_out_json(r, habit(s.inch)));
    return {{"tilts", std::move(tilts)}, {"run_out", std::move(run_out)}};
}

Json axis_json(const AxisSummary& a, Habit h) {
    auto lost = motion_json(a.lost_motion, h);
    lost.erase("name");
    return {
        {"axis", std::string(1, letter(a.axis))},
        {"lost_motion", std::move(lost)},
        {"repeatability",
         {{"value", finite(a.repeatability.standard, "repeatability")},
          {"degrees_of_freedom", finite(a.repeatability.degrees_of_freedom, "repeatability")}}}};
}

Json optional_json(const std::optional<double>& value) {
    return value ? finite(*value, "positioning") : Json(nullptr);
}

Json list_json(const std::vector<double>& all) {
    Json list = Json::array();
    for (const double one : all)
        list.push_back(finite(one, "positioning"));
    return list;
}

Json direction_json(const std::optional<Iso230Direction>& d) {
    if (!d)
        return nullptr;
    return {{"mean", list_json(d->mean)},
            {"spread", list_json(d->spread)},
            {"E", finite(d->systematic, "positioning")},
            {"R", optional_json(d->repeatability)},
            {"A", optional_json(d->accuracy)}};
}

Json positioning_json(const PositioningSummary& p) {
    Json both = nullptr;
    if (const auto& b = p.figures.both)
        both = {{"reversals", list_json(b->reversals)},
                {"B", finite(b->reversal, "positioning")},
                {"mean_B", finite(b->mean_reversal, "positioning")},
                {"E", finite(b->systematic, "positioning")},
                {"M", finite(b->mean_range, "positioning")},
                {"R", optional_json(b->repeatability)},
                {"A", optional_json(b->accuracy)}};
    return {{"check", p.check},
            {"axis", std::string(1, letter(p.axis))},
            {"towards_plus", direction_json(p.figures.up)},
            {"towards_minus", direction_json(p.figures.down)},
            {"both_ways", std::move(both)}};
}

Json measured_json(const Measured& m, std::string_view what) {
    return {{"value", finite(m.value, what)}, {"standard_uncertainty", finite(m.standard, what)}};
}

Json thermal_json(const ThermalSummary& t) {
    Json drift = Json::array();
    for (const auto& d : t.drift)
        drift.push_back({{"span", finite(d.span, t.check)}, {"range", finite(d.range, t.check)}});
    Json warm_up = nullptr;
    if (const auto& w = t.warm_up)
        warm_up = {{"speed", finite(w->speed, t.check)},
                   {"growth", measured_json(w->growth, t.check)},
                   {"time_constant", measured_json(w->time_constant, t.check)},
                   {"first_hour", measured_json(w->first_hour, t.check)},
                   {"settled", finite(w->settled, t.check)},
                   {"bends", w->bends}};
    return {{"check", t.check},
            {"axis", std::string(1, letter(t.axis))},
            {"length", finite(t.length, t.check)},
            {"drift", std::move(drift)},
            {"warm_up", std::move(warm_up)},
            {"room_slope", t.room_slope ? measured_json(*t.room_slope, t.check) : Json(nullptr)}};
}

Json notebook_json(const NotebookSummary& n) {
    const auto& line = n.line;
    return {{"check", line.name},
            {"line", line.line},
            {"along", std::string(1, letter(line.along))},
            {"across", std::string(1, letter(line.across))},
            {"lean", finite(line.lean, line.name)},
            {"length", finite(line.length, line.name)},
            {"last_digit", finite(line.last_digit, line.name)},
            {"reversed", line.reversed},
            {"leg_swept", line.leg_swept},
            {"day", to_string(line.date)},
            {"room", n.room ? finite(*n.room, line.name) : Json(nullptr)}};
}

Json balance_json(const std::optional<Balance>& balance) {
    if (!balance)
        return nullptr;
    return {{"value", finite(balance->value, "balance")},
            {"standard_uncertainty", finite(balance->standard, "balance")},
            {"fails", balance->fails}};
}

Json instrument_json(const InstrumentSummary& i) {
    return {{"meaning", i.meaning},
            {"unit", i.angle ? "rad" : "1"},
            {"value", finite(i.value, i.meaning)},
            {"standard_uncertainty", finite(i.standard, i.meaning)},
            {"value_before", finite(i.value_before, i.meaning)},
            {"standard_uncertainty_before", finite(i.standard_before, i.meaning)}};
}

/// A check with what it says by itself, where that was asked for.
Json check_json(const CheckOutcome& c, const std::vector<CheckDoubt>& doubts, Habit h) {
    Json outliers = Json::array();
    for (const auto& o : c.outliers)
        outliers.push_back({{"what", o.what},
                            {"residual", finite(o.residual, o.what)},
                            {"normalised", finite(o.normalised, o.what)}});
    Json residuals = Json::array();
    for (const auto& r : c.residuals)
        residuals.push_back({{"what", r.what},
                             {"value", finite(r.value, r.what)},
                             {"observed", finite(r.observed, r.what)}});
    Json closures = Json::array();
    for (const double closure : c.closures)
        closures.push_back(finite(closure, "closures"));
    Json by_itself = Json::array();
    for (const auto& d : doubts)
        if (d.check == c.name)
            by_itself.push_back(
                {{"meaning", d.meaning},
                 {"unit", d.angle ? "rad" : "m"},
                 {"value", estimate_json(d.value, d.standard, d.angle, h, c.name)},
                 {"standard_uncertainty", doubt_json(d.standard, d.angle, h, c.name)},
                 {"sources", sources_json(d.sources)},
                 {"to_halve", d.to_halve}});
    return {{"name", c.name},
            {"readings", c.readings},
            {"chi_squared", finite(c.chi_squared, "chi_squared")},
            {"degrees_of_freedom", c.degrees_of_freedom},
            {"noise_factor", finite(c.noise_factor, "noise_factor")},
            {"outliers", std::move(outliers)},
            {"unit", c.angle ? "rad" : "m"},
            {"residuals", std::move(residuals)},
            {"closures", std::move(closures)},
            {"balance", balance_json(c.balance)},
            {"by_itself", std::move(by_itself)}};
}

Json length_json(double value, double standard, Habit h, std::string_view what) {
    return estimate_json(value, standard, false, h, what);
}

Json table_json(const TableSummary& t, Habit h) {
    Json low_spots = Json::array();
    for (const auto& low : t.low_spots)
        low_spots.push_back({{"x", finite(low.x, "x")},
                             {"y", finite(low.y, "y")},
                             {"depth", length_json(low.depth, low.standard, h, "low spot")},
                             {"standard_uncertainty", finite(low.standard, "low spot")}});
    return {
        {"x_low", finite(t.x_low, "table")},
        {"x_high", finite(t.x_high, "table")},
        {"y_low", finite(t.y_low, "table")},
        {"y_high", finite(t.y_high, "table")},
        {"flatness", length_json(t.flatness, t.standard, h, "flatness")},
        {"standard_uncertainty", doubt_json(t.standard, false, h, "flatness")},
        {"standard_uncertainty_by_class", doubt_json(t.standard_by_class, false, h, "flatness")},
        {"low_spots", std::move(low_spots)}};
}

Json seat_json(const SeatSummary& s) {
    return {{"setting", s.setting},
            {"mapped", s.mapped},
            {"tilt", finite(s.tilt, s.setting)},
            {"standard_uncertainty", finite(s.standard, s.setting)},
            {"other_contacts", finite(s.other_contacts, s.setting)},
            {"rocks_by", s.rocks_by ? finite(*s.rocks_by, s.setting) : Json(nullptr)}};
}

Json stand_json(const StandSummary& s) {
    return {{"check", s.check},
            {"along", s.along == Axis::x ? "X" : "Y"},
            {"slope", finite(s.slope, s.check)},
            {"standard_uncertainty", finite(s.standard, s.check)}};
}

} // namespace

std::string machine_json(const MachineSummary& summary, const Origin& origin) {
    const auto& s = summary;
    Json motions = Json::array();
    for (const auto& m : s.motions)
        motions.push_back(motion_json(m, habit(s.inch)));
    Json axes = Json::array();
    for (const auto& a : s.axes)
        axes.push_back(axis_json(a, habit(s.inch)));
    Json positioning = Json::array();
    for (const auto& p : s.positioning)
        positioning.push_back(positioning_json(p));
    Json notebook = Json::array();
    for (const auto& n : s.notebook)
        notebook.push_back(notebook_json(n));
    Json thermal = Json::array();
    for (const auto& t : s.thermal)
        thermal.push_back(thermal_json(t));
    Json instruments = Json::array();
    for (const auto& i : s.instruments)
        instruments.push_back(instrument_json(i));
    Json checks = Json::array();
    for (const auto& c : s.checks)
        checks.push_back(check_json(c, s.doubts, habit(s.inch)));
    Json seats = Json::array();
    for (const auto& seat : s.seats)
        seats.push_back(seat_json(seat));
    Json stands = Json::array();
    for (const auto& stand : s.stands)
        stands.push_back(stand_json(stand));
    Json next = Json::array();
    for (const auto& n : s.next)
        next.push_back({{"what", n.what},
                        {"own_gear", n.own_gear},
                        {"doubt_left", finite(n.left, "doubt_left")}});
    return document_text({{"holdable", "machine-result/1"},
                          {"shop", s.shop},
                          {"machine", s.machine},
                          {"day", to_string(s.day)},
                          {"class", s.machine_class},
                          {"inch", s.inch},
                          {"motions", std::move(motions)},
                          {"spindle", spindle_json(s)},
                          {"axes", std::move(axes)},
                          {"iso_230_2", std::move(positioning)},
                          {"notebook", std::move(notebook)},
                          {"thermal", std::move(thermal)},
                          {"instruments", std::move(instruments)},
                          {"table", s.table ? table_json(*s.table, habit(s.inch)) : Json(nullptr)},
                          {"seats", std::move(seats)},
                          {"stands", std::move(stands)},
                          {"checks", std::move(checks)},
                          {"next_checks", std::move(next)},
                          {"disagreement", s.disagreement},
                          {"notes", s.notes}},
                         origin);
}

} // namespace holdable
