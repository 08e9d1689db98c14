// SPDX-License-Identifier: MIT
#include "holdable/files/read_size.hpp"

#include "holdable/base/error.hpp"
#include "holdable/base/quantity.hpp"
#include "holdable/base/words.hpp"
#include "holdable/standards/general_tolerances.hpp"
#include "holdable/standards/tolerance_grades.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <cmath>
#include <utility>

namespace holdable {
namespace {

constexpr double largest_size = 100; // as all lengths (m)

constexpr std::string_view hint =
    "as \"10.000 ±.0005 in\", \".250 +.001/-0 in\", \"1.0005/1.0000 in\", \"25 H7\", \"120 mm ISO "
    "2768-m\"";

[[noreturn]] void refuse(std::string_view text, const std::string& why) {
    throw InputError("size-syntax", fmt::format("{}: {}", in_quotes(text), why), std::string(hint));
}

constexpr std::string_view size_minus = "\u2212";

/// Steps through the text.
class Scan {
  public:
    explicit Scan(std::string_view text) : all_(text), left_(text) {}

    bool take(std::string_view word) {
        blanks();
        if (!left_.starts_with(word))
            return false;
        left_.remove_prefix(word.size());
        return true;
    }

    bool take_any(std::initializer_list<std::string_view> words) {
        return std::any_of(words.begin(), words.end(), [&](auto word) { return take(word); });
    }

    bool done() {
        blanks();
        return left_.empty();
    }

    /// A number without sign, and how many decimals it has.
    struct Number {
        double value = 0;
        int places = 0;
    };

    std::optional<Number> number() {
        blanks();
        std::size_t end = 0;
        while (end < left_.size() &&
               (std::isdigit(static_cast<unsigned char>(left_[end])) != 0 || left_[end] == '.'))
            ++end;
        if (end == 0)
            return std::nullopt;
        const std::string digits = "0" + std::string(left_.substr(0, end));
        Number found;
        const auto [stop, error] =
            std::from_chars(digits.data(), digits.data() + digits.size(), found.value);
        if (error != std::errc() || stop != digits.data() + digits.size() || end > 15 ||
            digits.find_first_of("0123456789", 1) == std::string::npos)
            refuse(all_, fmt::format("{} is no number", in_quotes(left_.substr(0, end))));
        const auto point = digits.find('.');
        found.places = point == std::string::npos ? 0 : static_cast<int>(digits.size() - point - 1);
        left_.remove_prefix(end);
        return found;
    }

    /// A unit of length right here.
    void unit() {
        blanks();
        std::size_t end = 0;
        while (end < left_.size() && left_[end] != ' ' && left_[end] != '/' && left_[end] != '+' &&
               left_[end] != '-' && !left_.substr(end).starts_with("±") &&
               !left_.substr(end).starts_with(size_minus))
            ++end;
        const auto word = left_.substr(0, end);
        if (word.empty() || std::isdigit(static_cast<unsigned char>(word[0])) != 0 ||
            word[0] == '.')
            return;
        const bool fit =
            word.size() <= 4 && std::isdigit(static_cast<unsigned char>(word.back())) != 0;
        if (fit || word.starts_with("ISO"))
            return;
        const auto found = parse_unit(word);
        if (found.dimension != Dimension{1, 0, 0, 0, 0})
            refuse(all_, fmt::format("{} is no unit of length", in_quotes(word)));
        if (factor_ && std::abs(*factor_ / found.factor - 1) > 1e-12)
            refuse(all_, "it has two units");
        factor_ = found.factor;
        left_.remove_prefix(end);
    }

    std::string_view rest() {
        blanks();
        return left_;
    }

    /// All up to the next blank.
    std::string word() {
        blanks();
        const auto end = std::min(left_.find(' '), left_.size());
        const std::string found(left_.substr(0, end));
        left_.remove_prefix(end);
        return found;
    }

    void end() { left_ = {}; }

    std::optional<double> factor() const { return factor_; }

    std::string_view all() const { return all_; }

  private:
    void blanks() {
        while (left_.starts_with(' '))
            left_.remove_prefix(1);
    }

    std::string_view all_, left_;
    std::optional<double> factor_;
};

double must(Scan& scan) {
    const auto number = scan.number();
    if (!number)
        refuse(scan.all(), "a number is missing");
    scan.unit();
    return number->value;
}

/// A deviation from the nominal size: with its sign, or a plain 0. @return none where none begins
std::optional<double> deviation(Scan& scan) {
    if (scan.take("+"))
        return must(scan);
    if (scan.take_any({"-", size_minus}))
        return -must(scan);
    const auto plain = scan.number();
    if (!plain)
        return std::nullopt;
    if (plain->value != 0)
        refuse(scan.all(), "a deviation has its sign, or is 0");
    scan.unit();
    return 0;
}

void by_general(SizeLimits& size, const GeneralClass& general) {
    size.upper = general_length(size.nominal, general.dimension);
    size.lower = -size.upper;
    size.source = fmt::format("ISO 2768-{}", general.dimension);
}

/// The block's own limits for a nominal size (m) written with so many places.
void by_title_block(SizeLimits& size, int places, const TitleBlock& block, std::string_view text) {
    if (block.wrong) {
        size.upper = 1e-3 * size.nominal;
        size.lower = -size.upper;
        return;
    }
    if (block.general) {
        by_general(size, *block.general);
        size.source += " of the title block";
        return;
    }
    const auto found = block.by_places.find(places);
    if (found == block.by_places.end())
        throw InputError("size-none",
                         fmt::format("{} has no limits, and no title block says what holds for {} "
                                     "places",
                                     in_quotes(text),
                                     places),
                         "write the limits, or \"title_block\": {\"3\": \".005 in\"} for three "
                         "places; title blocks differ, so none is assumed");
    size.lower = -found->second;
    size.upper = found->second;
    size.source = "title block";
}

} // namespace

GeneralClass parse_general(std::string_view text) {
    auto left = text;
    const auto take = [&](std::string_view word) {
        const bool there = left.starts_with(word);
        left.remove_prefix(there ? word.size() : 0);
        return there;
    };
    const bool iso = take("ISO");
    while (take(" "))
        ;
    if (!iso || !take("2768"))
        throw InputError("general-tolerance",
                         fmt::format("{} names no class of ISO 2768", in_quotes(text)),
                         "as \"ISO 2768-m\" or \"ISO 2768-mK\"");
    while (take(" ") || take("-"))
        ;
    return general_class(left);
}

SizeLimits parse_size(std::string_view text, bool hole, const TitleBlock& block) {
    if (text.find(',') != std::string_view::npos)
        refuse(text, "the decimal sign is the point, and thousands are not grouped");
    Scan scan(text);
    scan.take_any({"Ø", "⌀", "ø"});
    const auto first = scan.number();
    if (!first)
        refuse(text, "it does not begin with a size");
    scan.unit();
    SizeLimits size;
    size.source = "as written";
    std::optional<std::pair<double, double>> deviations; // in the unit, either first
    std::optional<double> second;
    std::string fit, general;
    if (scan.take_any({"±", "+/-", "+-"})) {
        const double both = must(scan);
        deviations = {both, -both};
    } else if (scan.take("/")) {
        second = must(scan);
    } else if (const auto one = deviation(scan)) {
        scan.take("/");
        const auto other = deviation(scan);
        if (other)
            deviations = {*one, *other};
        else if (-*one > first->value) // "1.000-1.005": the lower limit, a dash, the upper one
            second = -*one;
        else
            refuse(text, "the second deviation is missing");
    } else if (scan.rest().starts_with("ISO")) {
        general = scan.rest();
        scan.end();
    } else {
        fit = scan.word();
    }
    if (!scan.factor())
        scan.unit();
    if (!scan.done())
        refuse(text, fmt::format("{} is not understood", in_quotes(scan.rest())));
    if (!scan.factor() && fit.empty())
        throw InputError(
            "unit-missing", fmt::format("{} has no unit", in_quotes(text)), std::string(hint));
    const double factor = scan.factor().value_or(1e-3); // fits are those of millimetres
    size.nominal = first->value * factor;
    if (!(size.nominal > 0) || size.nominal > largest_size)
        throw InputError(
            "size-limits",
            fmt::format("{}: a size is above zero and at most {} m", in_quotes(text), largest_size),
            "");
    if (second) {
        const double low = std::min(first->value, *second) * factor;
        const double high = std::max(first->value, *second) * factor;
        size.nominal = (low + high) / 2;
        size.lower = low - size.nominal;
        size.upper = high - size.nominal;
    } else if (deviations) {
        size.lower = std::min(deviations->first, deviations->second) * factor;
        size.upper = std::max(deviations->first, deviations->second) * factor;
    } else if (!fit.empty()) {
        const auto wanted = tolerance_class(fit);
        if (wanted.hole != hole)
            throw InputError("fit-unknown",
                             fmt::format("{}: {} is a fit of a {}, this is {} hole",
                                         in_quotes(text),
                                         fit,
                                         wanted.hole ? "hole" : "shaft",
                                         hole ? "a" : "no"),
                             "capital letters are holes, small ones shafts");
        const auto limits = fit_limits(size.nominal, wanted);
        size.lower = limits.lower;
        size.upper = limits.upper;
        size.source = fit + " of ISO 286-1";
    } else if (!general.empty()) {
        by_general(size, parse_general(general));
    } else {
        by_title_block(size, first->places, block, text);
    }
    if (!(size.upper > size.lower))
        throw InputError("size-limits",
                         fmt::format("{} leaves no room for any part", in_quotes(text)),
                         "ask the customer which limits were meant");
    if (size.half_width() >= size.nominal || size.nominal + size.lower <= 0 ||
        size.nominal + size.upper > largest_size)
        throw InputError("size-limits",
                         fmt::format("{}: the limits are wider than the size", in_quotes(text)),
                         "the lower limit of a size is above zero");
    return size;
}

} // namespace holdable
