// SPDX-License-Identifier: MIT
#include "holdable/report/machine_text.hpp"

#include "holdable/report/page.hpp"
#include "holdable/report/shop_units.hpp"
#include "holdable/report/wording.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <span>

namespace holdable {
namespace {

constexpr std::size_t sources_named = 3;
constexpr double worth_a_line = 0.2; // of the variance, for its sources to be told
constexpr double negligible = 0.01;  // of the doubt: a value that is only the class's mean
constexpr std::size_t checks_proposed = 3;
constexpr double worth_proposing = 0.99; // of the doubt: what leaves more teaches nothing
constexpr double worth_showing = 0.1; // standard uncertainties between values with and without class

Printed with_sign(Printed printed, bool plus) {
    if (plus)
        printed.value.insert(0, 1, '+');
    return printed;
}

std::string rests_on(const MotionSummary& m) {
    return m.assumed_only
               ? "class only"
               : fmt::format("readings {} %", to_place(100 * m.learnt, 0, Rounding::down));
}

void row(Page& page,
         std::string_view meaning,
         std::string_view name,
         std::string_view value,
         std::string_view doubt,
         std::string_view seconds,
         std::string_view basis) {
    page.row("  " + fitted(meaning, 25) + fitted(name, 5) + fitted_right(value, 10) +
             fitted_right(doubt, 10) + fitted_right(seconds, 9) + "  " + std::string(basis));
}

void spreads_table(Page& page,
           std::string_view heading,
           const ShopUnit& unit,
           std::span<const MotionSummary* const> motions) {
    page.gap();
    const bool angles = motions.front()->angle;
    row(page,
        fmt::format("{}, {}", heading, unit.spelling),
        "",
        "value",
        "doubt",
        angles ? "arcsec" : "",
        "rests on");
    for (const auto* m : motions) {
        const bool nothing = m->assumed_only && std::abs(m->value) < negligible * m->standard;
        const bool plus = !m->curve && m->value > 0;
        const auto shown = with_sign(printed_in(unit, m->value, m->standard), plus);
        const auto seconds = with_sign(printed_in(arc_seconds(), m->value, m->standard), plus);
        row(page,
            m->meaning,
            m->name,
            nothing ? "-" : shown.value,
            shown.uncertainty,
            angles && !nothing ? seconds.value : "",
            rests_on(*m));
    }
}

/// The run-out of the spindle, below its tilts.
void run_out_table(Page& page, const std::vector<RunOutSummary>& run_out, Habit h) {
    if (run_out.empty())
        return;
    page.gap();
    double longest = 0;
    for (const auto& r : run_out)
        longest = std::max({longest, r.at.total, r.at.standard});
    const auto unit = length_unit(h, longest);
    row(page,
        fmt::format("Run-out, total, {}", unit.spelling),
        "",
        "value",
        "doubt",
        "a seat",
        "rests on");
    for (const auto& r : run_out) {
        const auto shown = printed_in(unit, r.at.total, r.at.standard);
        row(page,
            r.at.length == 0 ? "at the nose"
                             : fmt::format("{} from it", coordinate_text(r.at.length, h)),
            "",
            r.assumed_only ? "-" : shown.value,
            shown.uncertainty,
            number_in(unit, r.at.seat_scatter, place_in(unit, r.at.standard)),
            r.assumed_only ? "class only"
                           : fmt::format("{} {} %",
                                         r.interpolated ? "between," : "readings",
                                         to_place(100 * r.learnt, 0, Rounding::down)));
    }
}

/// Lost motion and repeatability of the axes.
void axes_table(Page& page, const std::vector<AxisSummary>& axes, Habit h) {
    if (axes.empty())
        return;
    page.gap();
    double longest = 0;
    for (const auto& a : axes)
        longest = std::max({longest, std::abs(a.lost_motion.value), a.lost_motion.standard});
    const auto unit = length_unit(h, longest);
    row(page, fmt::format("Axes, {}", unit.spelling), "", "value", "doubt", "repeats", "rests on");
    for (const auto& a : axes) {
        const auto& m = a.lost_motion;
        const auto shown = with_sign(printed_in(unit, m.value, m.standard), m.value > 0);
        const double s = a.repeatability.standard;
        row(page,
            m.meaning,
            "",
            shown.value,
            shown.uncertainty,
            number_in(unit, s, place_in(unit, s)),
            rests_on(m));
    }
    page.full(fmt::format(
        "Lost motion: arriving towards - less arriving towards +. Repeats: one standard "
        "deviation, one direction{}.",
        std::any_of(axes.begin(),
                    axes.end(),
                    [](const AxisSummary& a) { return a.repeatability.degrees_of_freedom == 0; })
            ? ", by the class where nothing was read"
            : ""));
}

/// The figures of ISO 230-2 of one check.
std::string iso_sentence(const PositioningSummary& p, Habit h) {
    const auto size = [h](double x) { return length_text(x, h); };
    auto text = fmt::format("{} ({}):", p.check, letter(p.axis));
    const auto one = [&](const Iso230Direction& d, std::string_view arrow) {
        text += fmt::format(" E{} {}", arrow, size(d.systematic));
        if (d.accuracy)
            text += fmt::format(
                ", R{} {}, A{} {}", arrow, size(*d.repeatability), arrow, size(*d.accuracy));
    };
    if (const auto& b = p.figures.both) {
        if (b->accuracy)
            text += fmt::format(" A {}, R {},", size(*b->accuracy), size(*b->repeatability));
        text += fmt::format(" E {}, M {}, B {}, mean B {};",
                            size(b->systematic),
                            size(b->mean_range),
                            size(b->reversal),
                            size(b->mean_reversal));
    }
    if (p.figures.up)
        one(*p.figures.up, "↑");
    if (p.figures.up && p.figures.down)
        text += ";";
    if (p.figures.down)
        one(*p.figures.down, "↓");
    if (!p.figures.both)
        text += "; one direction only: no B";
    return text + "; at 20 °C, for comparison, no promise uses them";
}

std::string span_text(double seconds) {
    const bool short_time = seconds < 3600;
    return fmt::format("{:.3g} {}", seconds / (short_time ? 60 : 3600), short_time ? "min" : "h");
}

/// A line of a notebook, back in words.
std::string notebook_sentence(const NotebookSummary& n, Habit h) {
    const auto& line = n.line;
    auto text = fmt::format("{}: \"{}\" is taken as: going {} the tool moves to {}{} by {} over {}",
                            line.name,
                            line.line,
                            line.along == Axis::z ? "up" : "to +Y",
                            line.lean < 0 ? '-' : '+',
                            letter(line.across),
                            length_text(std::abs(line.lean), h),
                            coordinate_text(line.length, h));
    text += line.reversed ? ", the square reversed" : ", one setting";
    if (line.along == Axis::z)
        text += line.leg_swept ? fmt::format(", against the motion of {}", letter(line.across))
                               : ", against the table";
    text += fmt::format(", on {}", to_string(line.date));
    if (n.room)
        text += h == Habit::inch ? fmt::format(", at {:.0f} °F", (*n.room - 255.372) * 1.8)
                                 : fmt::format(", at {:.1f} °C", *n.room - 273.15);
    return text + (line.place ? "" : ", anywhere on the table");
}

/// The growth of a spindle that warms up, along one axis.
std::string warm_up_sentence(const ThermalSummary& t, const WarmUpSummary& w, Habit h) {
    const auto unit = length_unit(h, std::abs(w.growth.value));
    const auto toward = fmt::format("{}{}", w.growth.value < 0 ? '-' : '+', letter(t.axis));
    const auto hour = printed_in(unit, std::abs(w.first_hour.value), w.first_hour.standard);
    auto text = fmt::format("{}, at {:.4g} rev/min: the tool grows towards {} by {} {} in the "
                            "first hour, doubt {}",
                            t.check,
                            w.speed * 60,
                            toward,
                            hour.value,
                            unit.spelling,
                            hour.uncertainty);
    if (!w.bends)
        return text + "; where it ends, the log does not show";
    const auto all = printed_in(unit, std::abs(w.growth.value), w.growth.standard);
    const auto tau =
        printed_in({"min", 60, false}, w.time_constant.value, w.time_constant.standard);
    return text + fmt::format("; in all by {} {}, doubt {}; time constant {} min, doubt {}; a "
                              "twentieth is left after {}",
                              all.value,
                              unit.spelling,
                              all.uncertainty,
                              tau.value,
                              tau.uncertainty,
                              span_text(w.settled));
}

/// A log against time, along one axis.
std::string thermal_sentence(const ThermalSummary& t, Habit h) {
    std::string text;
    if (t.warm_up)
        text = warm_up_sentence(t, *t.warm_up, h);
    else {
        text = fmt::format("{}, along {}: the tool drifts by", t.check, letter(t.axis));
        for (std::size_t i = 0; i < t.drift.size(); ++i)
            text += fmt::format("{} {} within {}",
                                i == 0 ? "" : ",",
                                length_text(t.drift[i].range, h),
                                span_text(t.drift[i].span));
    }
    if (t.room_slope) {
        const auto unit = length_unit(h, std::abs(t.room_slope->value));
        const auto slope = with_sign(printed_in(unit, t.room_slope->value, t.room_slope->standard),
                                     t.room_slope->value > 0);
        text += fmt::format("; {} {} a kelvin of the room, doubt {}",
                            slope.value,
                            unit.spelling,
                            slope.uncertainty);
    }
    return text;
}

std::string sources_sentence(const std::string& meaning, const std::vector<DoubtSource>& sources) {
    auto text = meaning + ":";
    for (std::size_t i = 0; i < std::min(sources_named, sources.size()); ++i) {
        const auto& s = sources[i];
        text += fmt::format("{} {} {} % ({})",
                            i == 0 ? "" : ",",
                            s.meaning == meaning ? "what the readings leave open of it" : s.meaning,
                            to_place(100 * s.share, 0),
                            evidence_words(s.evidence));
    }
    return text;
}

std::string instrument_sentence(const InstrumentSummary& i, Habit h) {
    const auto unit = i.angle ? slope_unit(h) : ShopUnit{"%", 0.01, false};
    const auto now = with_sign(printed_in(unit, i.value, i.standard), i.value > 0);
    const auto before =
        with_sign(printed_in(unit, i.value_before, i.standard_before), i.value_before > 0);
    return fmt::format("{}: {} {}, doubt {}; stated as {}, doubt {}",
                       i.meaning,
                       now.value,
                       unit.spelling,
                       now.uncertainty,
                       before.value,
                       before.uncertainty);
}

std::vector<std::string> table_sentences(const TableSummary& t, Habit h) {
    const auto unit = length_unit(h, std::max(t.flatness, t.standard));
    const auto flat = printed_in(unit, t.flatness, t.standard);
    std::vector<std::string> lines{
        fmt::format("flat within {} {}, doubt {}, X {} to {}, Y {} to {}",
                    flat.value,
                    unit.spelling,
                    flat.uncertainty,
                    coordinate_text(t.x_low, h),
                    coordinate_text(t.x_high, h),
                    coordinate_text(t.y_low, h),
                    coordinate_text(t.y_high, h))};
    for (const auto& low : t.low_spots) {
        const auto depth = printed_in(unit, low.depth, low.standard);
        lines.push_back(fmt::format("low spot at X {}, Y {}: {} {} deep, doubt {}",
                                    coordinate_text(low.x, h),
                                    coordinate_text(low.y, h),
                                    depth.value,
                                    unit.spelling,
                                    depth.uncertainty));
    }
    return lines;
}

std::string seat_sentence(const SeatSummary& s, Habit h) {
    if (!s.mapped)
        return fmt::format("{}: its place has no map of the table; the tilt of the square by low "
                           "spots is a guess by the class",
                           s.setting);
    const auto unit = slope_unit(h);
    const auto tilt = with_sign(printed_in(unit, s.tilt, s.standard), s.tilt > 0);
    auto text = fmt::format("{}: tilted by {} {} on the mapped table, doubt {}",
                            s.setting,
                            tilt.value,
                            unit.spelling,
                            tilt.uncertainty);
    if (s.other_contacts >= 0.01)
        text += fmt::format("; on which points it rests is not sure ({} %)",
                            to_place(100 * s.other_contacts, 0));
    if (s.rocks_by)
        text += fmt::format("; a finger rocks it by {}: put it elsewhere, or on parallels",
                            slope_text(std::abs(*s.rocks_by), h));
    return text;
}

std::string stand_sentence(const StandSummary& s, Habit h) {
    const auto unit = slope_unit(h);
    const auto slope = printed_in(unit, std::abs(s.slope), s.standard);
    return fmt::format("{}: the {}{} end stands high by {} {}, doubt {}",
                       s.check,
                       s.slope < 0 ? '-' : '+',
                       s.along == Axis::x ? 'X' : 'Y',
                       slope.value,
                       unit.spelling,
                       slope.uncertainty);
}

std::string check_sentence(const CheckOutcome& c, Habit h) {
    auto text = fmt::format("{}: {}, chi-squared {} where about {} is expected",
                            c.name,
                            c.readings == 1 ? "1 reading" : fmt::format("{} readings", c.readings),
                            c.chi_squared < 0.05 ? "0.0" : to_place(c.chi_squared, -1),
                            c.degrees_of_freedom);
    if (!c.outliers.empty())
        text += fmt::format(
            "; {} {} not fit", c.outliers.size(), c.outliers.size() == 1 ? "does" : "do");
    if (c.balance && c.balance->fails)
        text +=
            fmt::format("; the sweep does not close, by {} where {} is expected: the surface is "
                        "not flat or something moved, a tilt does not do that",
                        length_text(std::abs(c.balance->value), h),
                        length_text(c.balance->standard, h));
    text += c.noise_factor > 1 ? fmt::format("; disagrees, its doubt is multiplied by {}",
                                             to_place(std::sqrt(c.noise_factor), -1, Rounding::up))
                               : "; agrees";
    if (!c.closures.empty()) {
        const double worst =
            *std::max_element(c.closures.begin(), c.closures.end(), [](double a, double b) {
                return std::abs(a) < std::abs(b);
            });
        const auto size =
            c.angle ? slope_in_both(std::abs(worst), h) : length_in_both(std::abs(worst), h);
        text += worst == 0 ? std::string("; came back to its start")
                           : fmt::format("; came back to its start within {}", size);
    }
    return text;
}

/// What a check says by itself, what its doubt comes from, and what would have to go to halve it.
std::string doubt_sentence(const CheckDoubt& d, Habit h) {
    const auto size = [&](double x) {
        return d.angle ? slope_in_both(x, h) : length_in_both(x, h);
    };
    auto text = fmt::format("{}: {} {}{}, doubt {}",
                            d.check,
                            d.meaning,
                            d.value > 0 ? "+" : "",
                            size(d.value),
                            size(d.standard));
    std::string named;
    for (std::size_t i = 0; i < d.to_halve; ++i)
        named += fmt::format("{}{} ({} %)",
                             i == 0               ? ""
                             : i + 1 < d.to_halve ? ", "
                                                  : " and ",
                             d.sources[i].meaning,
                             to_place(100 * d.sources[i].share, 0));
    if (!named.empty())
        text += fmt::format("; half of that without {}", named);
    return text;
}

template <class Item, class Sentence>
std::vector<std::string> sentences(const std::vector<Item>& items, Sentence sentence) {
    std::vector<std::string> all;
    for (const auto& item : items)
        all.push_back(sentence(item));
    return all;
}

} // namespace

std::string machine_text(const MachineSummary& summary) {
    const auto& s = summary;
    const auto h = habit(s.inch);
    Page page(usual_margin);
    page.full(fmt::format("{} of {}, as of {}; what nobody measured is taken from the class \"{}\"",
                          s.machine,
                          s.shop,
                          to_string(s.day),
                          s.machine_class));
    page.full(
        "Doubt is one standard uncertainty: the truth lies within twice it in about 95 cases "
        "of 100. \"readings 90 %\": they removed 90 % of the variance that the class leaves.");

    std::vector<const MotionSummary*> squarenesses;
    std::vector<const MotionSummary*> lengths;
    std::vector<const MotionSummary*> angles;
    double longest = 0;
    for (const auto& m : s.motions) {
        (m.curve ? m.angle ? angles : lengths : squarenesses).push_back(&m);
        if (m.curve && !m.angle)
            longest = std::max({longest, m.value, m.standard});
    }
    spreads_table(page, "Squareness", slope_unit(h), squarenesses);
    spreads_table(page, "Peak to valley", length_unit(h, longest), lengths);
    spreads_table(page, "Peak to valley", slope_unit(h), angles);
    std::vector<const MotionSummary*> tilts;
    for (const auto& tilt : s.tilts)
        tilts.push_back(&tilt);
    spreads_table(page, "Spindle", slope_unit(h), tilts);
    run_out_table(page, s.run_out, h);
    axes_table(page, s.axes, h);
    page.gap();

    std::vector<std::string> words;
    std::vector<std::string> sources;
    std::vector<const MotionSummary*> told;
    for (const auto& m : s.motions)
        told.push_back(&m);
    told.insert(told.end(), tilts.begin(), tilts.end());
    for (const auto* one : told) {
        const auto& m = *one;
        if (!m.in_words.empty())
            words.push_back(fmt::format("{}: {}", m.meaning, m.in_words));
        if (m.without_class && std::abs(*m.without_class - m.value) > worth_showing * m.standard)
            words.push_back(fmt::format("{}: {} by the readings alone, without the class",
                                        m.meaning,
                                        slope_in_both(*m.without_class, h)));
        if (m.learnt >= worth_a_line && !m.sources.empty())
            sources.push_back(sources_sentence(m.meaning, m.sources));
    }
    for (const auto& r : s.run_out)
        if (r.learnt >= worth_a_line && !r.interpolated && !r.sources.empty())
            sources.push_back(sources_sentence(
                r.at.length == 0
                    ? "run-out at the nose"
                    : fmt::format("run-out {} from it", coordinate_text(r.at.length, h)),
                r.sources));
    for (const auto& a : s.axes) {
        const auto& m = a.lost_motion;
        if (!m.in_words.empty())
            words.push_back(fmt::format("{}: {}", m.meaning, m.in_words));
        if (m.without_class && std::abs(*m.without_class - m.value) > worth_showing * m.standard)
            words.push_back(fmt::format("{}: {} by the readings alone, without the class",
                                        m.meaning,
                                        length_in_both(*m.without_class, h)));
        if (m.learnt >= worth_a_line && !m.sources.empty())
            sources.push_back(sources_sentence(m.meaning, m.sources));
    }
    page.list("In words", words);
    page.list("Doubt from", sources);
    page.list("Instruments",
              sentences(s.instruments, [h](const auto& i) { return instrument_sentence(i, h); }));
    if (s.table)
        page.list("Table", table_sentences(*s.table, h));
    page.list("Square", sentences(s.seats, [h](const auto& i) { return seat_sentence(i, h); }));
    page.list("Level", sentences(s.stands, [h](const auto& i) { return stand_sentence(i, h); }));
    const auto checks = sentences(s.checks, [h](const auto& c) { return check_sentence(c, h); });
    page.list("Checks", checks.empty() ? std::vector<std::string>{"none"} : checks);
    page.list("ISO 230-2",
              sentences(s.positioning, [h](const auto& p) { return iso_sentence(p, h); }));
    page.list("Notebook",
              sentences(s.notebook, [h](const auto& n) { return notebook_sentence(n, h); }));
    page.list("Thermal",
              sentences(s.thermal, [h](const auto& t) { return thermal_sentence(t, h); }));
    page.list("By itself",
              sentences(s.doubts, [h](const auto& d) { return doubt_sentence(d, h); }));
    std::vector<std::string> next;
    for (const auto& n : s.next)
        if (next.size() < checks_proposed && n.left < worth_proposing)
            next.push_back(fmt::format("{}{}: takes {} % off the doubt about the tool point",
                                       n.what,
                                       n.own_gear ? "" : " (not among the instruments)",
                                       to_place(100 * (1 - n.left), 0, Rounding::down)));
    page.list("Next check", next);
    auto notes = s.notes;
    if (s.disagreement)
        notes.insert(notes.begin(),
                     "checks disagree: answers are MARGINAL at best until that is resolved");
    page.list("Note", notes);
    page.beside(
        "Caution",
        "Not a calibration certificate. Before reading any of it again: lock out, and block "
        "a vertical head, before reaching between table, column and spindle.");
    return page.text();
}

} // namespace holdable
