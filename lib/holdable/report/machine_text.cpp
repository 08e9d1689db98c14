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

constexpr std::size_t margin = 12;
constexpr std::size_t sources_named = 3;
constexpr double worth_a_line = 0.2; // of the variance, for its sources to be told
constexpr double negligible = 0.01;  // of the doubt: a value that is only the class's mean
constexpr double worth_saying = 0.1; // standard uncertainties between values with and without class

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

void table(Page& page,
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

std::string sources_sentence(const MotionSummary& m) {
    auto text = m.meaning + ":";
    for (std::size_t i = 0; i < std::min(sources_named, m.sources.size()); ++i) {
        const auto& s = m.sources[i];
        text +=
            fmt::format("{} {} {} % ({})",
                        i == 0 ? "" : ",",
                        s.meaning == m.meaning ? "what the readings leave open of it" : s.meaning,
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
    const auto unit = length_unit(h, std::max(t.peak_to_valley, t.standard));
    const auto flat = printed_in(unit, t.peak_to_valley, t.standard);
    std::vector<std::string> lines{
        fmt::format("flat within {} {}, doubt {}, over its own plane, X {} to {}, Y {} to {}",
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

std::string check_sentence(const CheckOutcome& c) {
    auto text = fmt::format("{}: {} readings, chi-squared {} where about {} is expected",
                            c.name,
                            c.readings,
                            c.chi_squared < 0.05 ? "0.0" : to_place(c.chi_squared, -1),
                            c.degrees_of_freedom);
    if (!c.outliers.empty())
        text += fmt::format(
            "; {} {} not fit", c.outliers.size(), c.outliers.size() == 1 ? "does" : "do");
    return text + (c.noise_factor > 1
                       ? fmt::format("; disagrees, its doubt is multiplied by {}",
                                     to_place(std::sqrt(c.noise_factor), -1, Rounding::up))
                       : "; agrees");
}

} // namespace

std::string machine_text(const MachineSummary& summary) {
    const auto& s = summary;
    const auto h = habit(s.inch);
    Page page(margin);
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
    table(page, "Squareness", slope_unit(h), squarenesses);
    table(page, "Peak to valley", length_unit(h, longest), lengths);
    table(page, "Peak to valley", slope_unit(h), angles);
    page.gap();

    std::vector<std::string> words;
    std::vector<std::string> sources;
    for (const auto& m : s.motions) {
        if (!m.in_words.empty())
            words.push_back(fmt::format("{}: {}", m.meaning, m.in_words));
        if (m.without_class && std::abs(*m.without_class - m.value) > worth_saying * m.standard)
            words.push_back(fmt::format("{}: {} by the readings alone, without the class",
                                        m.meaning,
                                        slope_in_both(*m.without_class, h)));
        if (m.learnt >= worth_a_line && !m.sources.empty())
            sources.push_back(sources_sentence(m));
    }
    page.list("In words", words);
    page.list("Doubt from", sources);
    std::vector<std::string> instruments;
    for (const auto& i : s.instruments)
        instruments.push_back(instrument_sentence(i, h));
    page.list("Instruments", instruments);
    if (s.table)
        page.list("Table", table_sentences(*s.table, h));
    std::vector<std::string> seats;
    for (const auto& seat : s.seats)
        seats.push_back(seat_sentence(seat, h));
    page.list("Square", seats);
    std::vector<std::string> stands;
    for (const auto& stand : s.stands)
        stands.push_back(stand_sentence(stand, h));
    page.list("Level", stands);
    std::vector<std::string> checks;
    for (const auto& c : s.checks)
        checks.push_back(check_sentence(c));
    page.list("Checks", checks.empty() ? std::vector<std::string>{"none"} : checks);
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
