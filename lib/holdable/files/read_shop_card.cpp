// SPDX-License-Identifier: MIT
#include "holdable/files/read_shop_card.hpp"

#include "holdable/answer/sheet.hpp"
#include "holdable/base/words.hpp"
#include "holdable/files/fields.hpp"
#include "holdable/standards/expansion.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <string>

namespace holdable {
namespace {

SheetLine read_line(const Reader& item, const Shop& shop) {
    SheetLine line;
    std::vector<std::pair<std::string_view, std::string_view>> words;
    for (const auto& feature : sheet_features())
        words.emplace_back(feature.name, feature.name);
    line.feature = item.at("feature").word(words);
    const auto before = item.faults();
    if (const auto from = item.find("from"))
        line.from = from->quantity(Measure::length, some_length);
    if (const auto to = item.find("to")) {
        line.to = to->quantity(Measure::length, some_length);
        if (item.faults() == before && line.from && *line.from >= *line.to)
            to->report(Diagnostic{"extent-empty",
                                  {},
                                  "it ends where it begins, or before",
                                  "\"from\" is the smaller size, \"to\" the larger"});
    }
    if (const auto gauge = item.find("gauge")) {
        line.gauge = gauge->string();
        const bool known = std::any_of(shop.gauges.begin(), shop.gauges.end(), [&](const auto& g) {
            return g.name == line.gauge;
        });
        if (!line.gauge.empty() && !known)
            gauge->report(Diagnostic{"gauge-unknown",
                                     {},
                                     fmt::format("there is no gauge {}", in_quotes(line.gauge)),
                                     "gauges for parts stand under \"gauges\""});
    }
    return line;
}

} // namespace

ShopCard read_shop_card(const Reader& field, const Shop& shop) {
    ShopCard card;
    const auto text = [&](const char* key, std::string& into) {
        if (const auto found = field.find(key))
            into = read_name(*found);
    };
    text("address", card.address);
    text("contact", card.contact);
    text("responsible", card.responsible);
    text("role", card.role);
    text("holding", card.holding);
    if (const auto material = field.find("material")) {
        card.material = material->string();
        if (!card.material.empty())
            material->attempt([&] { expansion_of(card.material); });
    }
    if (const auto height = field.find("part_height"))
        card.height = height->quantity(Measure::length, some_length);
    if (const auto sheet = field.find("sheet"))
        for (const Reader& item : sheet->elements())
            card.sheet.push_back(read_line(item, shop));
    return card;
}

} // namespace holdable
