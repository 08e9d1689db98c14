// SPDX-License-Identifier: MIT
#include "holdable/base/words.hpp"
#include "holdable/files/read_checks.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <charconv>
#include <chrono>
#include <cmath>
#include <string_view>
#include <utility>

namespace holdable {
namespace {

constexpr std::string_view example =
    "as in \"ZX .0004/12 leans +X, square reversed, 70 °F, 20 Nov\"";
constexpr double steepest_lean = 0.01; // a lean beyond it is no machine's (rad)

std::string_view trimmed(std::string_view text) {
    const auto first = text.find_first_not_of(' ');
    return first == std::string_view::npos
               ? std::string_view{}
               : text.substr(first, text.find_last_not_of(' ') - first + 1);
}

/// A decimal number, and what one unit of its last digit is.
struct Written {
    double value = 0;
    double last_digit = 1;
};

std::optional<Written> written(std::string_view text) {
    Written number;
    const auto [end, error] = std::from_chars(
        text.data(), text.data() + text.size(), number.value, std::chars_format::fixed);
    if (error != std::errc{} || end != text.data() + text.size() || text.starts_with('-'))
        return std::nullopt;
    if (const auto point = text.find('.'); point != std::string_view::npos)
        number.last_digit = std::pow(10.0, -static_cast<double>(text.size() - point - 1));
    return number;
}

/// "20 Nov", "Nov 20", either with the year behind; without it the last such day.
std::optional<Date> day_and_month(std::string_view text, Date today) {
    constexpr std::array<std::string_view, 12> months = {
        "jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec"};
    std::vector<std::string> words(1);
    for (const char c : text)
        if (c == ' ' || c == '.')
            words.emplace_back();
        else
            words.back() += c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
    std::erase(words, "");
    const auto number = [](const std::string& word) {
        int value = 0;
        const auto [end, error] = std::from_chars(word.data(), word.data() + word.size(), value);
        return error == std::errc{} && end == word.data() + word.size() ? value : 0;
    };
    if (words.size() < 2 || words.size() > 3)
        return std::nullopt;
    if (number(words[0]) == 0)
        std::swap(words[0], words[1]);
    const auto* const month = std::find(months.begin(), months.end(), words[1].substr(0, 3));
    const int day = number(words[0]);
    if (month == months.end() || day < 1 || day > 31)
        return std::nullopt;
    const auto of_year = [&](std::chrono::year year) {
        return std::chrono::year_month_day(
            year,
            std::chrono::month(static_cast<unsigned>(month - months.begin()) + 1),
            std::chrono::day(static_cast<unsigned>(day)));
    };
    if (words.size() == 3) {
        const int year = number(words[2]);
        const auto date = of_year(std::chrono::year(year));
        return year >= 1900 && year < 2200 && date.ok() ? std::optional(Date(date)) : std::nullopt;
    }
    auto year = std::chrono::year_month_day(today).year();
    for (int back = 0; back < 8; ++back, --year) // 29 Feb comes at least every eight years
        if (const auto date = of_year(year); date.ok() && Date(date) <= today)
            return Date(date);
    return std::nullopt;
}

class NotebookReader {
  public:
    explicit NotebookReader(CheckFields& fields) : fields_(fields) {}

    NotebookLine read(const Reader& item, std::string name);

  private:
    /// Takes the parts of the line, each as far as it is understood.
    void parts(const Reader& field);
    void squareness(const Reader& field, std::string_view part);
    bool remark_of(const Reader& field, std::string_view part);
    void report(const Reader& field, std::string_view part, std::string_view what) const;
    /// "/" between two numbers, with their units or in the shop's.
    void ratio(const Reader& field, std::string_view text);

    CheckFields& fields_;
    NotebookLine line_;
    std::optional<Date> date_;
    std::optional<double> room_;
};

void NotebookReader::report(const Reader& field,
                            std::string_view part,
                            std::string_view what) const {
    const auto at = line_.line.find(part);
    int column = 1;
    for (std::size_t i = 0; i < at && at != std::string::npos; ++i)
        column += (static_cast<unsigned char>(line_.line[i]) & 0xC0) != 0x80;
    field.report(Diagnostic{"notebook-syntax",
                            {"", 0, column, ""},
                            fmt::format("{}: {}", in_quotes(part), what),
                            std::string(example)});
}

void NotebookReader::ratio(const Reader& field, std::string_view text) {
    const auto slash = text.find('/');
    if (slash == std::string_view::npos)
        return report(field, text, "a lean is a length over a length");
    std::array<std::string_view, 2> sides = {trimmed(text.substr(0, slash)),
                                             trimmed(text.substr(slash + 1))};
    std::array<double, 2> values{};
    std::string_view unit = fields_.shop().inch ? "in" : "mm";
    for (const std::size_t i : {std::size_t{1}, std::size_t{0}}) {
        auto side = sides[i];
        const auto end = side.find_first_not_of("0123456789.");
        const auto number = written(side.substr(0, end));
        if (!number)
            return report(field, side, "no number");
        double size = 0;
        if (end != std::string_view::npos)
            unit = trimmed(side.substr(end));
        if (!field.attempt([&] { size = parse_as(Measure::length, fmt::format("1 {}", unit)); }))
            return;
        values[i] = number->value * size;
        if (i == 0) {
            line_.last_digit = number->last_digit * size;
            if (line_.last_digit > 1.5e-4)
                report(field, side, "it does not tell to which digit it was read: write .0000");
        }
    }
    line_.lean = values[0];
    line_.length = values[1];
    if (!(line_.length > 0.01 && line_.length < 10))
        report(field, sides[1], "the length is not from 10 mm to 10 m");
    else if (line_.lean > steepest_lean * line_.length)
        report(field, text, "a lean of more than 10 mm/m is no machine's: is the unit right?");
}

void NotebookReader::squareness(const Reader& field, std::string_view part) {
    struct Plane {
        std::string_view word;
        Axis along, across;
    };

    constexpr Plane planes[] = {{"ZX", Axis::z, Axis::x},
                                {"XZ", Axis::z, Axis::x},
                                {"ZY", Axis::z, Axis::y},
                                {"YZ", Axis::z, Axis::y},
                                {"XY", Axis::y, Axis::x},
                                {"YX", Axis::y, Axis::x}};
    const auto word = part.substr(0, part.find(' '));
    const auto* plane = std::find_if(
        std::begin(planes), std::end(planes), [&](const Plane& p) { return p.word == word; });
    if (plane == std::end(planes))
        return report(field, part, "a line begins with its plane: ZX, ZY or XY");
    line_.along = plane->along;
    line_.across = plane->across;
    auto rest = trimmed(part.substr(word.size()));
    const auto leans = rest.find("leans");
    if (leans == std::string_view::npos) {
        ratio(field, rest);
        if (line_.lean > 0)
            report(field, part, "it does not say to which side");
        return;
    }
    const auto side = trimmed(rest.substr(leans + 5));
    const auto across = letter(line_.across);
    if (side.size() != 2 || (side[0] != '+' && side[0] != '-') || side[1] != across)
        return report(
            field, side.empty() ? part : side, fmt::format("it leans to +{0} or to -{0}", across));
    ratio(field, trimmed(rest.substr(0, leans)));
    if (side[0] == '-')
        line_.lean = -line_.lean;
}

bool NotebookReader::remark_of(const Reader& field, std::string_view part) {
    for (const auto* word : {"square reversed", "square turned", "square turned over"})
        if (part == word)
            return line_.reversed = true;
    if (part == "square not reversed" || part == "one setting")
        return true;
    if (part == "leg swept")
        return line_.leg_swept = true;
    if (part.find("°") != std::string_view::npos || part.ends_with("degC") ||
        part.ends_with("degF")) {
        double room = 0;
        if (field.attempt([&] { room = parse_as(Measure::temperature, part); })) {
            if (room < room_temperature.low || room > room_temperature.high)
                report(field, part, "no temperature of a room");
            room_ = room;
        }
        return true;
    }
    if (part.size() == 10 && part[4] == '-') {
        field.attempt([&] { date_ = parse_date(part); });
        return true;
    }
    if (const auto day = day_and_month(part, fields_.today())) {
        date_ = day;
        return true;
    }
    return false;
}

void NotebookReader::parts(const Reader& field) {
    std::string_view rest = line_.line;
    for (bool first = true; !rest.empty(); first = false) {
        const auto comma = std::min(rest.find(','), rest.size());
        const auto part = trimmed(rest.substr(0, comma));
        rest.remove_prefix(std::min(comma + 1, rest.size()));
        if (first)
            squareness(field, part);
        else if (!remark_of(field, part))
            report(field,
                   part,
                   "not understood; known are \"square reversed\", \"square not reversed\", \"leg "
                   "swept\", a temperature and a day");
    }
}

NotebookLine NotebookReader::read(const Reader& item, std::string name) {
    line_.name = std::move(name);
    const auto field = item.at("line");
    line_.line = field.string();
    bool understood = false;
    if (!line_.line.empty())
        understood = sound(field, [&] { parts(field); });
    else if (field.node() != nullptr && field.node()->kind == Node::Kind::string)
        report(field, "", "the line is empty");
    const auto date = item.find("date");
    if (date && date_)
        date->report(
            Diagnostic{"given-twice", {}, "the line has its day already", "leave \"date\" out"});
    else if (date)
        date_ = fields_.date(item);
    else if (!date_ && understood)
        field.report(Diagnostic{"key-missing",
                                {},
                                "neither the line nor the key \"date\" says when it was read",
                                "write it into the line, \"20 Nov 2025\", or as \"date\""});
    else if (date_ && *date_ > fields_.today() + std::chrono::days(1))
        field.report(
            Diagnostic{"date-future", {}, fmt::format("{} is yet to come", to_string(*date_)), ""});
    line_.date = date_.value_or(Date{});
    const auto room = item.find("room");
    if (room && room_)
        room->report(Diagnostic{
            "given-twice", {}, "the line has its temperature already", "leave \"room\" out"});
    else if (room)
        room_ = room->quantity(Measure::temperature, room_temperature);
    if (room_)
        fields_.room(line_.name, *room_);
    if (const auto square = item.find("square"))
        line_.square = fields_.instrument(*square, fields_.shop().squares, "square", date_);
    if (const auto place = item.find("place")) {
        const auto before = item.faults();
        const auto xy = read_two(*place, any_place);
        if (item.faults() == before && fields_.inside(*place, Axis::x, xy[0]) &&
            fields_.inside(*place, Axis::y, xy[1]))
            line_.place = Eigen::Vector2d(xy[0], xy[1]);
    }
    return std::move(line_);
}

} // namespace

NotebookLine read_notebook_line(const Reader& item, std::string name, CheckFields& fields) {
    return NotebookReader(fields).read(item, std::move(name));
}

} // namespace holdable
