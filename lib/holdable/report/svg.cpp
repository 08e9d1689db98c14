// SPDX-License-Identifier: MIT
#include "holdable/report/svg.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cassert>
#include <cmath>
#include <cstdint>
#include <iterator>

namespace holdable {
namespace {

constexpr std::string_view replacement = "\xEF\xBF\xBD"; // U+FFFD

/// The next code point, moving `at` past it; -1 for a byte that is none.
std::int32_t next_code_point(std::string_view text, std::size_t& at) {
    const auto byte = [&](std::size_t i) {
        return static_cast<std::int32_t>(static_cast<unsigned char>(text[i]));
    };
    const auto first = byte(at);
    const int more = first < 0x80   ? 0
                     : first < 0xC2 ? -1
                     : first < 0xE0 ? 1
                     : first < 0xF0 ? 2
                     : first < 0xF5 ? 3
                                    : -1;
    if (more < 0 || at + static_cast<std::size_t>(more) >= text.size()) {
        ++at;
        return -1;
    }
    std::int32_t code = more == 0 ? first : first & (0x3F >> more);
    for (std::size_t i = 1; i <= static_cast<std::size_t>(more); ++i) {
        if ((byte(at + i) & 0xC0) != 0x80) {
            ++at;
            return -1;
        }
        code = code << 6 | (byte(at + i) & 0x3F);
    }
    const bool longer_than_needed = (more == 2 && code < 0x800) || (more == 3 && code < 0x10000);
    if (longer_than_needed || (code >= 0xD800 && code < 0xE000) || code > 0x10FFFF ||
        (code & 0xFFFE) == 0xFFFE) {
        ++at;
        return -1;
    }
    at += static_cast<std::size_t>(more) + 1;
    return code;
}

bool turns_direction(std::int32_t code) {
    return code == 0x061C || code == 0x200E || code == 0x200F ||
           (code >= 0x2028 && code <= 0x202E) || (code >= 0x2066 && code <= 0x2069);
}

/// Width of a character over the size of the font, as of a wide sans.
double width_of(std::int32_t code) {
    if (code >= 0x2E80)
        return 1.1;
    if (code >= 0x80)
        return code == 0x2026 || code == 0x00D8 || code == 0x2192 ? 0.9 : 0.64;
    const auto c = static_cast<char>(code);
    const auto among = [c](std::string_view all) { return all.find(c) != std::string_view::npos; };
    if (among("ijl.,:;|'!I "))
        return 0.33;
    if (among("frt()[]-/\\\"*{}"))
        return 0.42;
    if (among("mwMWQ%@&O+<>="))
        return c == 'O' || c == 'w'                           ? 0.82
               : c == '+' || c == '<' || c == '>' || c == '=' ? 0.84
                                                              : 0.98;
    if (c >= 'A' && c <= 'Z')
        return 0.71;
    return c >= '0' && c <= '9' ? 0.64 : 0.61;
}

std::string_view word(Anchor anchor) {
    return anchor == Anchor::start ? "start" : anchor == Anchor::middle ? "middle" : "end";
}

std::string stroke(const Pen& pen) {
    if (pen.width <= 0 || pen.colour == "none")
        return {};
    return fmt::format(R"( stroke="{}" stroke-width="{}"{})",
                       pen.colour,
                       svg_number(pen.width),
                       pen.dashes.empty() ? ""
                                          : fmt::format(R"( stroke-dasharray="{}")", pen.dashes));
}

/// The content of a hatch, by number; fills of their own have none.
std::string_view pattern(Hatch hatch) {
    switch (hatch) {
    case Hatch::rising:
        return R"x(width="6" height="6" patternTransform="rotate(45)"><rect width="6" height="6" fill="#fff"/><rect width="2.6" height="6" fill="#16405b"/>)x";
    case Hatch::falling:
        return R"x(width="9" height="9" patternTransform="rotate(-45)"><rect width="9" height="9" fill="#fff"/><rect width="1.8" height="9" fill="#16405b"/>)x";
    case Hatch::dots:
        return R"x(width="6" height="6"><rect width="6" height="6" fill="#fff"/><circle cx="3" cy="3" r="1.35" fill="#16405b"/>)x";
    case Hatch::crossed:
        return R"x(width="8" height="8" patternTransform="rotate(45)"><rect width="8" height="8" fill="#fff"/><path d="M0 0H8M0 0V8" stroke="#5d5d5d" stroke-width="1.6"/>)x";
    default:
        return {};
    }
}

} // namespace

std::string xml_escaped(std::string_view text) {
    std::string out;
    for (std::size_t at = 0; at < text.size();) {
        const std::size_t from = at;
        const auto code = next_code_point(text, at);
        if (code < 0)
            out += replacement;
        else if (code < 0x20 || (code >= 0x7F && code < 0xA0) || turns_direction(code))
            out += ' ';
        else if (code == '&')
            out += "&amp;";
        else if (code == '<')
            out += "&lt;";
        else if (code == '>')
            out += "&gt;";
        else if (code == '"')
            out += "&quot;";
        else if (code == '\'')
            out += "&#39;";
        else
            out += text.substr(from, at - from);
    }
    return out;
}

double text_width(std::string_view text, double size, bool bold) {
    double width = 0;
    for (std::size_t at = 0; at < text.size();)
        width += width_of(next_code_point(text, at));
    return width * size * (bold ? 1.09 : 1);
}

std::string shortened(std::string_view text, double width, double size, bool bold) {
    if (text_width(text, size, bold) <= width)
        return std::string(text);
    std::size_t end = 0;
    for (std::size_t at = 0; at < text.size();) {
        next_code_point(text, at);
        if (text_width(text.substr(0, at), size, bold) + text_width("…", size, bold) > width)
            break;
        end = at;
    }
    while (end > 0 && text[end - 1] == ' ')
        --end;
    return std::string(text.substr(0, end)) + "…";
}

namespace {

/// Where the word that begins at `at` ends; a number keeps its unit.
std::size_t word_end(std::string_view text, std::size_t at) {
    auto end = std::min(text.find(' ', at), text.size());
    if (end > at && end < text.size() && text[end - 1] >= '0' && text[end - 1] <= '9') {
        const auto after = std::min(text.find(' ', end + 1), text.size());
        const auto next = text.substr(end + 1, after - end - 1);
        for (const std::string_view unit : {"%", "in", "mm", "µm"})
            if (next.starts_with(unit) && next.size() <= unit.size() + 1)
                return after;
    }
    return end;
}

} // namespace

std::vector<std::string>
text_lines(std::string_view text, double width, double size, std::size_t most) {
    assert(most > 0);
    std::vector<std::string> lines;
    std::string line;
    for (std::size_t at = 0; at < text.size();) {
        const auto end = word_end(text, at);
        const auto next = text.substr(at, end - at);
        const auto longer = line.empty() ? std::string(next) : fmt::format("{} {}", line, next);
        if (!line.empty() && text_width(longer, size) > width) {
            if (lines.size() + 1 == most) { // what is left does not fit
                lines.push_back(shortened(line + " " + std::string(text.substr(at)), width, size));
                return lines;
            }
            lines.push_back(shortened(line, width, size));
            line = next;
        } else {
            line = longer;
        }
        at = end + 1;
    }
    if (!line.empty() || lines.empty())
        lines.push_back(shortened(line, width, size));
    return lines;
}

std::vector<double> nice_ticks(double low, double high, int about) {
    assert(low < high && about > 0);
    const double rough = (high - low) / about;
    const double power = std::pow(10.0, std::floor(std::log10(rough)));
    double step = 10 * power;
    for (const double by : {5.0, 2.0, 1.0})
        if (by * power >= rough * (1 - 1e-9))
            step = by * power;
    std::vector<double> ticks;
    const double first = std::ceil(low / step - 1e-9);
    for (double n = first; n * step <= high + 1e-9 * step; ++n)
        ticks.push_back(n == 0 ? 0 : n * step);
    return ticks;
}

int tick_place(const std::vector<double>& ticks) {
    if (ticks.size() < 2)
        return ticks.empty() || ticks[0] == 0 ? 0 : last_place(ticks[0], 2);
    return static_cast<int>(std::floor(std::log10(ticks[1] - ticks[0]) + 1e-9));
}

std::string tick_text(double value, int place, const ShopUnit& unit) {
    if (std::abs(value) < 1e-6 * std::pow(10.0, place))
        return "0";
    return number_in(unit, value * unit.size, place);
}

std::string svg_number(double x) {
    auto text = fmt::format("{:.2f}", x);
    while (text.back() == '0')
        text.pop_back();
    if (text.back() == '.')
        text.pop_back();
    return text == "-0" ? "0" : text;
}

Sheet::Sheet(std::string id, double width) : id_(xml_escaped(id)), width_(width) {}

void Sheet::text(double x, double y, std::string_view text, const Lettering& how) {
    fmt::format_to(
        std::back_inserter(body_),
        R"(<text x="{}" y="{}" font-size="{}" fill="{}"{}{}{}>{}</text>)"
        "\n",
        svg_number(x),
        svg_number(y),
        svg_number(how.size),
        how.colour,
        how.anchor == Anchor::start ? "" : fmt::format(R"( text-anchor="{}")", word(how.anchor)),
        how.bold ? R"( font-weight="600")" : "",
        how.halo ? R"( stroke="#fff" stroke-width="4" stroke-linejoin="round" paint-order="stroke")"
                 : "",
        xml_escaped(text));
}

double
Sheet::paragraph(double x, double y, double width, std::string_view words, const Lettering& how) {
    for (const auto& each : text_lines(words, width, how.size)) {
        text(x, y, each, how);
        y += how.size * 1.4;
    }
    return y;
}

void Sheet::line(double x1, double y1, double x2, double y2, const Pen& pen) {
    body_ += fmt::format(R"(<line x1="{}" y1="{}" x2="{}" y2="{}"{}/>)"
                         "\n",
                         svg_number(x1),
                         svg_number(y1),
                         svg_number(x2),
                         svg_number(y2),
                         stroke(pen));
}

void Sheet::rectangle(
    double x, double y, double width, double height, std::string_view fill, const Pen& pen) {
    body_ += fmt::format(R"(<rect x="{}" y="{}" width="{}" height="{}" fill="{}"{}/>)"
                         "\n",
                         svg_number(x),
                         svg_number(y),
                         svg_number(width),
                         svg_number(height),
                         fill,
                         stroke(pen));
}

void Sheet::circle(double x, double y, double r, std::string_view fill, const Pen& pen) {
    body_ += fmt::format(R"(<circle cx="{}" cy="{}" r="{}" fill="{}"{}/>)"
                         "\n",
                         svg_number(x),
                         svg_number(y),
                         svg_number(r),
                         fill,
                         stroke(pen));
}

void Sheet::polyline(const std::vector<std::pair<double, double>>& points,
                     const Pen& pen,
                     std::string_view fill,
                     bool closed) {
    std::string data;
    for (const auto& [x, y] : points)
        data += fmt::format("{}{} {}", data.empty() ? "M" : "L", svg_number(x), svg_number(y));
    path(data + (closed ? "Z" : ""), fill, pen);
}

void Sheet::path(std::string_view data, std::string_view fill, const Pen& pen) {
    body_ += fmt::format(R"(<path d="{}" fill="{}"{} stroke-linejoin="round"/>)"
                         "\n",
                         data,
                         fill,
                         stroke(pen));
}

void Sheet::mark(double x, double y, int kind) {
    constexpr double r = 4.6;
    const Pen pen{1.6, ink, {}};
    switch (kind % 4) {
    case 0:
        circle(x, y, r, "#fff", pen);
        break;
    case 1:
        rectangle(x - r + 0.6, y - r + 0.6, 2 * r - 1.2, 2 * r - 1.2, "#fff", pen);
        break;
    case 2:
        polyline({{x, y - r - 0.6}, {x + r + 0.4, y + r - 0.8}, {x - r - 0.4, y + r - 0.8}},
                 pen,
                 "#fff",
                 true);
        break;
    default:
        polyline(
            {{x, y - r - 1}, {x + r + 1, y}, {x, y + r + 1}, {x - r - 1, y}}, pen, "#fff", true);
    }
}

std::string Sheet::fill(Hatch hatch) {
    if (hatch == Hatch::solid)
        return std::string(ink);
    if (hatch == Hatch::open)
        return "#fff";
    hatches_[static_cast<std::size_t>(hatch)] = true;
    return fmt::format("url(#{}-hatch-{})", id_, static_cast<int>(hatch));
}

void Sheet::scale_below(const Scale& x, double y, const ShopUnit& unit, std::string_view words) {
    line(x.from, y, x.to, y, {1.2, black, {}});
    const auto ticks = nice_ticks(x.low, x.high, static_cast<int>((x.to - x.from) / 90));
    const int place = tick_place(ticks);
    for (const double at : ticks) {
        line(x(at), y, x(at), y + 5, {1.2, black, {}});
        text(x(at), y + 22, tick_text(at, place, unit), {14, Anchor::middle, grey});
    }
    text((x.from + x.to) / 2, y + 44, words, {14, Anchor::middle, grey});
}

void Sheet::scale_left(const Scale& y, double x, double right, const ShopUnit& unit) {
    const auto ticks = nice_ticks(y.low, y.high, static_cast<int>((y.from - y.to) / 45));
    const int place = tick_place(ticks);
    for (const double at : ticks) {
        const bool zero = at == 0;
        line(x, y(at), right, y(at), {zero ? 1.2 : 0.8, zero ? grey : "#d4d4d4", {}});
        text(x - 8, y(at) + 5, tick_text(at, place, unit), {14, Anchor::end, grey});
    }
}

std::string Sheet::finished(double height, std::string_view title, std::string_view description) {
    std::string defs;
    for (std::size_t i = 0; i < hatches_.size(); ++i)
        if (hatches_[i])
            defs += fmt::format(
                R"(<pattern id="{}-hatch-{}" patternUnits="userSpaceOnUse" {}</pattern>)",
                id_,
                i,
                pattern(static_cast<Hatch>(i)));
    if (!defs.empty())
        defs = "<defs>" + defs + "</defs>\n";
    return fmt::format(
        R"(<svg xmlns="http://www.w3.org/2000/svg" role="img" aria-labelledby="{0}-title {0}-desc" viewBox="0 0 {1} {2}" width="{1}" height="{2}" style="max-width:100%;height:auto" font-family="system-ui, -apple-system, 'Segoe UI', Roboto, 'Helvetica Neue', Arial, sans-serif">
<title id="{0}-title">{3}</title>
<desc id="{0}-desc">{4}</desc>
{5}<rect width="{1}" height="{2}" fill="#fff"/>
{6}</svg>
)",
        id_,
        svg_number(width_),
        svg_number(height),
        xml_escaped(title),
        xml_escaped(description),
        defs,
        body_);
}

} // namespace holdable
