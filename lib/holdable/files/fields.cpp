// SPDX-License-Identifier: MIT
#include "holdable/files/fields.hpp"

#include "holdable/base/words.hpp"
#include "holdable/files/edition.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <utility>
#include <vector>

namespace holdable {
namespace {

bool is_inch_text(const Reader& field) {
    if (field.node() == nullptr || field.node()->kind != Node::Kind::string)
        return false;
    try {
        const auto unit = parse_quantity(field.node()->text).unit.spelling;
        constexpr std::array<std::string_view, 9> words = {
            "in", "inch", "inches", "ft", "foot", "feet", "thou", "µin", "uin"};
        return std::find(words.begin(), words.end(), unit) != words.end();
    } catch (const InputError&) {
        return false; // reported where the field is read
    }
}

} // namespace

void expect_format(const Reader& file, std::string_view format) {
    const auto field = file.at("holdable");
    const auto found = field.string();
    if (field.node() == nullptr || field.node()->kind != Node::Kind::string || found == format)
        return;
    throw InputError({Diagnostic{
        "file-format",
        field.location(),
        fmt::format("expected a file \"{}\", found {}", format, in_quotes(found)),
        is_other_edition(found, format) ? other_edition(format)
                                        : fmt::format("a {} file begins with \"holdable\": \"{}\"",
                                                      format.substr(0, format.find('/')),
                                                      format)}});
}

bool read_inch(const Reader& file, const Reader& sample) {
    if (const auto units = file.find("units"))
        return units->word<bool>({{"inch", true}, {"metric", false}});
    return is_inch_text(sample);
}

std::string read_name(const Reader& field) {
    auto name = field.string();
    if (field.node() != nullptr && field.node()->kind == Node::Kind::string &&
        name.find_first_not_of(' ') == std::string::npos)
        field.report(Diagnostic{"name-empty", {}, "a name must not be empty", ""});
    return name;
}

std::string Ids::take(const Reader& item) {
    const auto field = item.at("id");
    auto id = read_name(field);
    if (id.empty())
        return id;
    const auto [first, fresh] = lines_.emplace(id, field.location().line);
    if (!fresh)
        field.report(Diagnostic{"id-twice",
                                {},
                                fmt::format("the id {} is given twice", in_quotes(id)),
                                fmt::format("it stands in line {} already", first->second)});
    return id;
}

std::optional<Date> read_date(const Reader& field) {
    std::optional<Date> date;
    const auto text = field.string();
    if (field.node() != nullptr && field.node()->kind == Node::Kind::string)
        field.attempt([&] { date = parse_date(text); });
    return date;
}

std::optional<Date> read_past_date(const Reader& field, Date today) {
    const auto date = read_date(field);
    if (date && *date > today + std::chrono::days(1))
        field.report(Diagnostic{"date-future",
                                {},
                                fmt::format("{} is yet to come", to_string(*date)),
                                fmt::format("today is {}", to_string(today))});
    return date;
}

Evidence read_evidence(const Reader& field) {
    return field.word<Evidence>({{word(Evidence::measured), Evidence::measured},
                                 {word(Evidence::certificate), Evidence::certificate},
                                 {word(Evidence::specification), Evidence::specification},
                                 {word(Evidence::typical), Evidence::typical},
                                 {word(Evidence::assumed), Evidence::assumed}});
}

std::array<double, 2> read_two(const Reader& field, const Range& range) {
    const auto elements = field.elements();
    if (elements.size() != 2) {
        if (field.node() != nullptr && field.node()->kind == Node::Kind::array)
            field.report(Diagnostic{
                "field-kind",
                {},
                fmt::format("expected an array of 2 lengths, found one of {}", elements.size()),
                ""});
        return {};
    }
    return {elements[0].quantity(Measure::length, range),
            elements[1].quantity(Measure::length, range)};
}

double read_percent(const Reader& field, const Range& range) {
    const double value = field.quantity(Measure::number, range);
    const auto* node = field.node();
    const bool marked = node != nullptr && node->kind == Node::Kind::string &&
                        node->text.find('%') != std::string::npos;
    if (node != nullptr && value != 0 && !marked)
        field.report(Diagnostic{"unit-wrong",
                                {},
                                fmt::format("{} is not a number of percent", in_quotes(node->text)),
                                "write it as in \"1 %\""});
    return value;
}

End read_end(const Reader& field, std::string_view axes, std::string_view suffix) {
    std::vector<std::string> spellings;
    std::vector<End> ends;
    for (const char axis : axes)
        for (const int sign : {1, -1}) {
            spellings.push_back(fmt::format("{}{}{}", sign > 0 ? '+' : '-', axis, suffix));
            ends.push_back({static_cast<Axis>(axis - 'X'), sign});
        }
    std::vector<std::pair<std::string_view, End>> words;
    for (std::size_t i = 0; i < ends.size(); ++i)
        words.emplace_back(spellings[i], ends[i]);
    return field.word(words);
}

std::string remark(const Reader& field, std::string_view text) {
    const auto place = field.location();
    return fmt::format("{}:{}: {}", place.file, place.line, text);
}

} // namespace holdable
