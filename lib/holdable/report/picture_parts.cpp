// SPDX-License-Identifier: MIT
// The next part: its value as a histogram, and its yield against the tolerance.
#include "holdable/report/picture.ipp"

#include <algorithm>
#include <cmath>
#include <optional>
#include <vector>

namespace holdable {
namespace {

constexpr double right_end = sheet_width - 12;

/// What the values are: "position of dowel hole".
std::string value_words(const Callout& c) {
    return is_size(c.kind)
               ? fmt::format("{} of {}, less the middle of its limits", word(c.kind), c.name)
               : fmt::format("{} of {}", word(c.kind), c.name);
}

/// What is asked, as what is promised is printed: of a size the half-width.
std::string asked_words(const Callout& c, Habit h) {
    return is_size(c.kind) ? "±" + exact_length(c.tolerance, h) : zone_asked(c, h);
}

/// The limits that a drawing of these values can show.
struct Limits {
    std::optional<double> lower;
    double upper = 0;
};

Limits limits_of(const Callout& c) {
    return {is_size(c.kind) ? std::optional(-c.tolerance) : std::nullopt, c.tolerance};
}

/// Range of the drawing: the values, and limits that do not lie too far off.
std::pair<double, double> range_of(const PartDistribution& d, const Limits& limits) {
    double low = d.edges.front(), high = d.edges.back();
    const double reach = 1.6 * (high - low);
    const double from = low, to = high;
    for (const auto& limit : {limits.lower, std::optional(limits.upper)})
        if (limit && *limit > from - reach && *limit < to + reach) {
            low = std::min(low, *limit);
            high = std::max(high, *limit);
        }
    const double air = 0.03 * (high - low);
    return {low == 0 ? 0 : low - air, high + air};
}

using Points = std::vector<std::pair<double, double>>;

/// Outline of the histogram between two values, closed along its foot.
Points outline(const PartDistribution& d, const Scale& x, const Scale& y, double from, double to) {
    Points points;
    for (std::size_t i = 0; i < d.share.size(); ++i) {
        const double a = std::max(d.edges[i], from), b = std::min(d.edges[i + 1], to);
        if (b <= a)
            continue;
        if (points.empty())
            points.emplace_back(x(a), y(0));
        points.emplace_back(x(a), y(d.share[i]));
        points.emplace_back(x(b), y(d.share[i]));
    }
    if (!points.empty())
        points.emplace_back(points.back().first, y(0));
    return points;
}

/// An interval below the scale, its words under it. @return y of what follows
double interval(Sheet& sheet,
                const Scale& x,
                double y,
                const stats::Interval& i,
                const std::string& words,
                std::string_view fill) {
    const double from = std::max(x(i.low), x.from), to = std::min(x(i.high), x.to);
    sheet.rectangle(from, y, std::max(to - from, 2.0), 9, fill, {1.2, ink, {}});
    sheet.text(0, y + 27, shortened(words, sheet_width, 14), {14, Anchor::start, black});
    return y + 44;
}

std::string interval_text(const stats::Interval& i, const ShopUnit& unit, int place) {
    return fmt::format("{} to {} {}",
                       number_in(unit, i.low, place, Rounding::down),
                       number_in(unit, i.high, place, Rounding::up),
                       unit.spelling);
}

} // namespace

Picture parts_picture(const Answer& answer,
                      std::size_t callout,
                      const PartDistribution& d,
                      std::string_view id) {
    const auto& a = answer.callouts.at(callout);
    const auto own = picture_id(id, "parts", callout);
    const auto title = fmt::format("The next part: {}", a.callout.name);
    if (!a.computed)
        return nothing_drawn("parts", title, "Nothing was computed: " + a.reason + ".", own);
    const auto h = habit_of(a.callout, habit(answer.inch));
    const auto limits = limits_of(a.callout);
    const auto [low, high] = range_of(d, limits);
    const auto unit = length_unit(h, std::max(std::abs(low), std::abs(high)));
    const int place = place_in(unit, d.standard_deviation);

    Sheet sheet(own, sheet_width);
    const Scale x{low / unit.size, high / unit.size, 12, right_end};
    const Scale in_metres{low, high, x.from, x.to};
    const double foot = 250;
    const double most = *std::max_element(d.share.begin(), d.share.end());
    const Scale y{0, most, foot, 56};
    sheet.polyline(outline(d, in_metres, y, low, high), {0, "none", {}}, pale, true);
    const auto beyond = sheet.fill(Hatch::rising);
    sheet.polyline(outline(d, in_metres, y, limits.upper, high), {0, "none", {}}, beyond, true);
    if (limits.lower)
        sheet.polyline(outline(d, in_metres, y, low, *limits.lower), {0, "none", {}}, beyond, true);
    sheet.polyline(outline(d, in_metres, y, low, high), {1.6, ink, {}});

    const auto asked = asked_words(a.callout, h);
    const auto limit_line = [&](double limit, const std::string& words) {
        if (limit < in_metres.low || limit > in_metres.high)
            return false;
        sheet.line(in_metres(limit), 8, in_metres(limit), foot, {2, black, {}});
        beside(sheet, in_metres(limit), 22, words, {15, Anchor::start, black, true, true});
        return true;
    };
    if (limits.lower)
        limit_line(*limits.lower, "lower limit");
    if (!limit_line(limits.upper, limits.lower ? "upper limit" : "allowed " + asked))
        sheet.text(right_end,
                   22,
                   fmt::format("allowed {}: beyond this drawing", asked),
                   {15, Anchor::end, black, true});
    sheet.scale_below(
        x,
        foot,
        unit,
        shortened(fmt::format("{}, {}", value_words(a.callout), unit.spelling), 600, 14));
    const auto share = chosen_percent(d.parts);
    const auto symmetric = fmt::format("{} of the next parts, as many out at either end: {}",
                                       share,
                                       interval_text(d.symmetric, unit, place));
    const auto shortest = fmt::format(
        "The shortest that holds {}: {}", share, interval_text(d.shortest, unit, place));
    double at = interval(sheet, in_metres, foot + 64, d.symmetric, symmetric, ink);
    at = interval(sheet, in_metres, at, d.shortest, shortest, sheet.fill(Hatch::dots));

    const auto caption =
        fmt::format("The next part of {} is good with a chance of {}. {}, {}.",
                    a.callout.name,
                    percent_down(a.promise.next_part),
                    d.above + d.below < 0.001 ? "Hardly any lies beyond the tolerance"
                                              : "What is hatched lies beyond the tolerance",
                    asked);
    const auto text = fmt::format("{}\n"
                                  "good: {} of the next parts within {}\n"
                                  "{}\n{}\n"
                                  "half lie below {}\n"
                                  "mean {}, standard deviation {}\n",
                                  blanked(value_words(a.callout)),
                                  percent_down(a.promise.next_part),
                                  blanked(asked),
                                  symmetric,
                                  shortest,
                                  in_unit(unit, d.median, place),
                                  in_unit(unit, d.mean, place),
                                  in_unit(unit, d.standard_deviation, place));
    return {"parts", title, caption, text, sheet.finished(at, title, caption)};
}

namespace {

/// A yield for a table, to a tenth of a percent.
std::string yield_text(double y) {
    return to_place(100 * std::clamp(y, 0.0, 1.0), -1, Rounding::down) + " %";
}

/// A tolerance marked by a line from top to foot.
struct Marked {
    double tolerance = 0; ///< (m)
    std::string words;
    bool bold = false;
};

/// Two of them, with their words where neither line goes through the other's.
void uprights(Sheet& sheet, const Scale& x, double foot, const Marked& one, const Marked& other) {
    constexpr double upper = 48, lower = 72;
    const auto& left = one.tolerance <= other.tolerance ? one : other;
    const auto& right = one.tolerance <= other.tolerance ? other : one;
    const auto wide = [](const Marked& m) { return text_width(m.words, 15, m.bold) + 10; };
    const bool inside = x(right.tolerance) <= x.to;
    const bool to_left = x(left.tolerance) - wide(left) >= 0;
    const bool to_right = inside && x(right.tolerance) + wide(right) <= sheet.width();
    const auto draw = [&](const Marked& m, double y, bool words_right) {
        const double at = x(m.tolerance);
        if (m.tolerance < x.low || at > x.to) {
            sheet.text(
                x.to, y, m.words + ": beyond this drawing", {15, Anchor::end, black, m.bold, true});
            return;
        }
        sheet.line(at, y - 12, at, foot, {m.bold ? 2.0 : 1.6, black, m.bold ? "" : "3 3"});
        sheet.text(at + (words_right ? 6 : -6),
                   y,
                   m.words,
                   {15, words_right ? Anchor::start : Anchor::end, black, m.bold, true});
    };
    draw(right, to_left && to_right ? lower : to_left ? upper : lower, to_right);
    draw(left, to_left ? lower : upper, !to_left);
}

/// A yield between the tolerances it was drawn at.
double yield_at(const PartDistribution& d, const std::vector<double>& yields, double tolerance) {
    std::size_t i = 1;
    while (i + 1 < d.tolerance.size() && d.tolerance[i] < tolerance)
        ++i;
    const double step = d.tolerance[i] - d.tolerance[i - 1];
    return std::lerp(yields[i - 1], yields[i], (tolerance - d.tolerance[i - 1]) / step);
}

std::string yield_table(const PartDistribution& d, const ShopUnit& unit, std::string_view sign) {
    std::string text = fmt::format("{:>12}  {:>9}  {:>9}\n", "tolerance", "expected", "assured");
    const auto ticks = nice_ticks(0, d.tolerance.back() / unit.size, 12);
    for (const double tick : ticks) {
        const double t = tick * unit.size;
        if (t > 0)
            text += fmt::format("{:>12}  {:>9}  {:>9}\n",
                                fmt::format("{}{}", sign, in_unit(unit, t, tick_place(ticks))),
                                yield_text(yield_at(d, d.expected, t)),
                                yield_text(yield_at(d, d.assured, t)));
    }
    return text;
}

} // namespace

Picture yield_picture(const Answer& answer,
                      std::size_t callout,
                      const PartDistribution& d,
                      std::string_view id) {
    const auto& a = answer.callouts.at(callout);
    const auto own = picture_id(id, "yield", callout);
    const auto title = fmt::format("Yield against tolerance: {}", a.callout.name);
    if (!a.computed)
        return nothing_drawn("yield", title, "Nothing was computed: " + a.reason + ".", own);
    const auto h = habit_of(a.callout, habit(answer.inch));
    const double reach = d.tolerance.back();
    const auto unit = length_unit(h, reach);

    Sheet sheet(own, sheet_width);
    const double left = 58, foot = 372, top = 84;
    const Scale x{0, reach / unit.size, left, right_end};
    const Scale across{0, reach, left, right_end};
    const Scale y{0, 100, foot, top};
    sheet.scale_left(y, left, right_end, {"%", 1, false});
    const auto curve = [&](const std::vector<double>& yields) {
        Points points;
        for (std::size_t i = 0; i < yields.size(); ++i)
            points.emplace_back(across(d.tolerance[i]), y(100 * yields[i]));
        return points;
    };
    const double wanted = y(100 * d.parts);
    sheet.line(left, wanted, right_end, wanted, {1.4, grey, "2 4"});
    sheet.polyline(curve(d.assured), {2.4, ink, "9 5"});
    sheet.polyline(curve(d.expected), {2.4, ink, {}});

    const auto confidence = chosen_percent(d.confidence);
    sheet.line(0, 12, 34, 12, {2.4, ink, {}});
    sheet.text(42, 17, "expected");
    sheet.line(130, 12, 164, 12, {2.4, ink, "9 5"});
    sheet.text(172, 17, fmt::format("assured with {} confidence", confidence));
    sheet.line(428, 12, 462, 12, {1.4, grey, "2 4"});
    sheet.text(470, 17, fmt::format("{} of the parts", chosen_percent(d.parts)));

    const auto asked = asked_words(a.callout, h);
    const auto promised = zone_promised(a.promise.smallest, a.callout, h);
    uprights(sheet,
             across,
             foot,
             {a.callout.tolerance, "asked " + asked, true},
             {a.promise.smallest, "can be promised " + promised, false});
    sheet.scale_below(x,
                      foot,
                      unit,
                      fmt::format("tolerance{}, {}; yield in %",
                                  is_size(a.callout.kind)       ? ", half its width"
                                  : zone_sign(a.callout) == "Ø" ? ", diameter of the zone"
                                                                : "",
                                  unit.spelling));

    const auto caption = fmt::format(
        "With {} asked, {} of the parts are expected good and {} assured with {} confidence. The "
        "assured yield comes to {} at {}.",
        asked,
        percent_down(a.promise.next_part),
        percent_down(a.promise.assured_yield),
        confidence,
        chosen_percent(d.parts),
        promised);
    const auto text = fmt::format("{}:\nasked {}: expected {}, assured {}\ncan be promised: {}\n{}",
                                  blanked(value_words(a.callout)),
                                  blanked(asked),
                                  percent_down(a.promise.next_part),
                                  percent_down(a.promise.assured_yield),
                                  promised,
                                  yield_table(d, unit, zone_sign(a.callout)));
    return {"yield", title, caption, text, sheet.finished(foot + 54, title, caption)};
}

} // namespace holdable
