// SPDX-License-Identifier: MIT
#include "holdable/files/limits.hpp"

#include <fmt/format.h>

#include <utility>

namespace holdable {

Diagnostic more_mistakes(Location where) {
    where.pointer.clear();
    return Diagnostic{
        "mistakes-many",
        std::move(where),
        fmt::format("there are more than {} mistakes: the others are not told", most_mistakes),
        "mend these first"};
}

void report_too_many(const Reader& at,
                     std::size_t count,
                     std::size_t most,
                     std::string_view things,
                     std::string_view holder) {
    at.report(Diagnostic{
        "too-many",
        {},
        fmt::format("{} {} are more than the {} that {} may have", count, things, most, holder),
        "docs/robustness.md lists the limits"});
}

std::vector<Reader> elements_up_to(std::size_t most,
                                   const Reader& field,
                                   std::string_view things,
                                   std::string_view holder) {
    auto elements = field.elements();
    if (elements.size() > most) {
        report_too_many(field, elements.size(), most, things, holder);
        elements.erase(elements.begin() + static_cast<std::ptrdiff_t>(most), elements.end());
    }
    return elements;
}

} // namespace holdable
