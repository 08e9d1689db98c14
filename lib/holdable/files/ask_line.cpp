// SPDX-License-Identifier: MIT
#include "holdable/files/ask_line.hpp"

#include "holdable/base/quantity.hpp"
#include "holdable/base/words.hpp"
#include "holdable/files/ask_words.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <utility>

namespace holdable {
namespace {

constexpr std::size_t longest_number = 14; // digits and point: a double has them all

bool is_letter(char c) {
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z');
}

constexpr std::string_view rounds[] = {"\u00d8", "\u2300", "\u00f8"};
constexpr std::string_view plus_minuses[] = {"\u00b1", "+/-", "+-"};
constexpr std::string_view long_minus = "\u2212";
constexpr std::string_view times = "\u00d7";

bool is_sign(std::string_view rest) {
    const auto begins = [&](std::string_view sign) { return rest.starts_with(sign); };
    return std::any_of(std::begin(rounds), std::end(rounds), begins) ||
           std::any_of(std::begin(plus_minuses), std::end(plus_minuses), begins) ||
           begins(long_minus) || begins(times);
}

constexpr std::pair<std::string_view, AskedUnit> units[] = {
    {"in", AskedUnit::inch},
    {"inch", AskedUnit::inch},
    {"inches", AskedUnit::inch},
    {"mm", AskedUnit::mm},
    {"\u00b5m", AskedUnit::um},
    {"\u03bcm", AskedUnit::um},
    {"um", AskedUnit::um},
    {"micron", AskedUnit::um},
    {"microns", AskedUnit::um},
    {"thou", AskedUnit::thou},
    {"\u00b5in", AskedUnit::uin},
    {"\u03bcin", AskedUnit::uin},
    {"uin", AskedUnit::uin},
};

} // namespace

void AskLine::part(std::size_t from, std::size_t end) {
    at_ = from;
    end_ = end;
}

bool AskLine::more() {
    while (at_ < end_) {
        const char c = line_[at_];
        const bool blank_behind =
            at_ + 1 == end_ || line_[at_ + 1] == ' ' || line_[at_ + 1] == '\t';
        if (c != ' ' && c != '\t' && !(c == ',' && blank_behind))
            return true;
        ++at_;
    }
    return false;
}

bool AskLine::take(std::string_view sign) {
    if (!rest().starts_with(sign))
        return false;
    at_ += sign.size();
    return true;
}

void AskLine::blanks() {
    while (at_ < end_ && (line_[at_] == ' ' || line_[at_] == '\t'))
        ++at_;
}

std::string_view AskLine::peek_word() const {
    const auto left = rest();
    std::size_t end = 0;
    while (end < left.size()) {
        const bool beyond_ascii = (static_cast<unsigned char>(left[end]) & 0x80) != 0;
        const bool joins = left[end] == '-' && end > 0 && end + 1 < left.size() &&
                           is_letter(left[end - 1]) && is_letter(left[end + 1]);
        if (!is_letter(left[end]) && !joins && !(beyond_ascii && !is_sign(left.substr(end))))
            break;
        ++end;
    }
    return left.substr(0, end);
}

bool AskLine::take_word(std::string_view word) {
    more();
    const auto found = peek_word();
    if (lower_case(found) != word)
        return false;
    at_ += found.size();
    return true;
}

bool AskLine::number_next() {
    more();
    auto left = rest();
    for (const std::string_view sign : {std::string_view("+"), std::string_view("-"), long_minus})
        if (left.starts_with(sign)) {
            left.remove_prefix(sign.size());
            break;
        }
    if (left.starts_with('.'))
        left.remove_prefix(1);
    return !left.empty() && is_digit(left[0]);
}

bool AskLine::take_round() {
    more();
    return std::any_of(
        std::begin(rounds), std::end(rounds), [&](std::string_view sign) { return take(sign); });
}

bool AskLine::take_plus_minus() {
    more();
    return std::any_of(std::begin(plus_minuses),
                       std::end(plus_minuses),
                       [&](std::string_view sign) { return take(sign); });
}

bool AskLine::take_times() {
    more();
    return take(times) || take_word("x");
}

std::string_view AskLine::text(std::size_t from) const {
    auto found = line_.substr(from, at_ - from);
    while (found.ends_with(' ') || found.ends_with('\t'))
        found.remove_suffix(1);
    return found;
}

std::string AskLine::number(bool in_place) {
    more();
    const auto from = at_;
    while (at_ < end_ && (is_digit(line_[at_]) || line_[at_] == '.'))
        ++at_;
    std::string digits(line_.substr(from, at_ - from));
    const auto point = digits.find('.');
    if (std::none_of(digits.begin(), digits.end(), is_digit)) {
        const auto word = peek_word();
        wrong(from,
              Diagnostic{"ask-number",
                         {},
                         word.empty()
                             ? "a number is missing"
                             : fmt::format("a number is missing before {}", in_quotes(word)),
                         "as 3.00, .0005, 0.02"});
        return "1";
    }
    const bool comma = at_ + 1 < end_ && line_[at_] == ',' && is_digit(line_[at_ + 1]);
    if (comma && !in_place) {
        while (at_ < end_ && (is_digit(line_[at_]) || line_[at_] == '.' || line_[at_] == ','))
            ++at_;
        wrong(
            from,
            Diagnostic{"ask-comma",
                       {},
                       fmt::format("{}: a comma parts the two numbers of a place and is no decimal "
                                   "sign",
                                   in_quotes(text(from))),
                       "the decimal sign is the point, and thousands are not grouped"});
        return "1";
    }
    const bool zero_first = digits.size() > 1 && digits[0] == '0' && is_digit(digits[1]);
    if (zero_first || digits.size() > longest_number ||
        (point != std::string::npos && digits.find('.', point + 1) != std::string::npos)) {
        wrong(from,
              Diagnostic{"ask-number",
                         {},
                         fmt::format("{} is no number", in_quotes(digits)),
                         zero_first ? "is a decimal point missing? it is no comma"
                                    : "at most 14 digits, one point"});
        return "1";
    }
    if (digits.back() == '.')
        digits.pop_back();
    return digits;
}

std::optional<AskedUnit> AskLine::unit() {
    blanks();
    const auto from = at_;
    for (const std::string_view mark : {"\"", "''", "'", "\u2032", "\u2033"})
        if (take(mark)) {
            attempt(column(from), [&] { parse_unit(mark); });
            return AskedUnit::inch;
        }
    const auto found = peek_word();
    const auto lower = lower_case(found);
    if (lower == "in") { // or it begins "in 6061"
        skip(2);
        blanks();
        const bool material = material_at(rest()).has_value();
        back_to(material ? from : from + 2);
        return material ? std::nullopt : std::optional(AskedUnit::inch);
    }
    for (const auto& [spelling, unit] : units)
        if (lower == spelling) {
            skip(found.size());
            return unit;
        }
    for (const std::string_view twofold : {"tenth", "tenths", "mil", "mils"})
        if (lower == twofold) {
            skip(found.size());
            attempt(column(from), [&] { parse_unit(lower); });
            return AskedUnit::inch;
        }
    for (const std::string_view other :
         {"m", "cm", "km", "nm", "pm", "ft", "foot", "feet", "deg", "arcsec", "arcmin", "rad"})
        if (lower == other) {
            skip(found.size());
            wrong(from,
                  Diagnostic{"ask-unit",
                             {},
                             fmt::format("{} is no unit of a print", in_quotes(found)),
                             "in, thou, µin, mm, µm"});
            return AskedUnit::mm;
        }
    return std::nullopt;
}

AskedLength AskLine::length(bool in_place) {
    more();
    const auto from = at_;
    AskedLength length;
    length.column = column(from);
    const bool minus = take("-") || take(long_minus);
    const bool plus = !minus && take("+");
    length.number = number(in_place);
    if (minus && in_place)
        length.number.insert(0, 1, '-');
    else if (minus || plus)
        wrong(from,
              Diagnostic{"ask-range",
                         {},
                         fmt::format("{} has a sign", in_quotes(text(from))),
                         "lengths and tolerances are above zero; limits are written ±.001, "
                         "+.001/-0"});
    if (const auto own = unit())
        length.unit = *own;
    else
        bare.insert(length.column);
    return length;
}

int AskLine::whole(int low, int high) {
    more();
    const auto from = at_;
    const auto digits = number();
    int value = 0;
    const auto [end, error] = std::from_chars(digits.data(), digits.data() + digits.size(), value);
    if (error == std::errc() && end == digits.data() + digits.size() && value >= low &&
        value <= high)
        return value;
    wrong(from,
          Diagnostic{
              "ask-number",
              {},
              fmt::format("{} is no whole number from {} to {}", in_quotes(text(from)), low, high),
              ""});
    return low;
}

AskedPlace AskLine::place() {
    more();
    const auto from = at_;
    AskedPlace place;
    const bool lettered = take("X") || take("x");
    place.x = length(true);
    blanks();
    bool parted = take(",");
    blanks();
    if (lettered)
        parted = take("Y") || take("y");
    if (!parted || !number_next()) {
        wrong(from,
              Diagnostic{"ask-place",
                         {},
                         fmt::format("{} is no place", in_quotes(text(from))),
                         "two coordinates of the machine, a comma between: 6,4 or 6.25,4.5"});
        place.y = place.x;
        return place;
    }
    place.y = length(true);
    if (at_ + 1 < end_ && line_[at_] == ',' && is_digit(line_[at_ + 1])) {
        while (at_ < end_ && (is_digit(line_[at_]) || line_[at_] == '.' || line_[at_] == ','))
            ++at_;
        wrong(from,
              Diagnostic{"ask-comma",
                         {},
                         fmt::format("{}: a place has two coordinates", in_quotes(text(from))),
                         "the comma stands between them; the decimal sign is the point"});
    }
    return place;
}

int AskLine::column(std::size_t at) const {
    int count = 1;
    for (const char c : line_.substr(0, at))
        count += (static_cast<unsigned char>(c) & 0xC0) != 0x80 ? 1 : 0;
    return count;
}

void AskLine::wrong(std::size_t at, Diagnostic diagnostic) {
    wrong_in(column(at), std::move(diagnostic));
}

void AskLine::wrong_in(int column, Diagnostic diagnostic) {
    diagnostic.location = {std::string(ask_file), 1, column, ""};
    wrong_.push_back(std::move(diagnostic));
}

bool AskLine::puzzled(std::size_t since) const {
    return std::any_of(
        wrong_.begin() + static_cast<std::ptrdiff_t>(since), wrong_.end(), [](const Diagnostic& d) {
            return d.id != "ask-range" && d.id != "ask-twice" && d.id != "quantity-zero" &&
                   d.id != "material-unknown";
        });
}

void AskLine::finish() {
    if (wrong_.empty())
        return;
    std::stable_sort(wrong_.begin(), wrong_.end(), [](const auto& a, const auto& b) {
        return a.location.column < b.location.column;
    });
    throw InputError(std::move(wrong_));
}

} // namespace holdable
