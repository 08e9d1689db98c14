// SPDX-License-Identifier: MIT
#include "holdable/report/statement_pictures.hpp"

#include "holdable/report/machine_summary.hpp"
#include "holdable/report/pictures.hpp"

#include <fmt/format.h>

namespace holdable {

std::vector<PagePicture> pictures_of(const Statement& statement,
                                     const std::vector<std::optional<PartDistribution>>& drawn) {
    std::vector<PagePicture> all;
    const auto add = [&](Picture picture) {
        all.push_back({std::move(picture.title),
                       std::move(picture.caption),
                       std::move(picture.text),
                       std::move(picture.svg)});
    };
    const auto machine = summary(*statement.state);
    add(checks_picture(machine, "checks"));
    if (machine.table)
        add(table_picture(*statement.state, machine, "table"));
    for (std::size_t i = 0; i < statement.claims.size(); ++i) {
        const auto callout = statement.claims[i].callout;
        const auto id = [&](const char* of) { return fmt::format("claim-{}-{}", i + 1, of); };
        if (!statement.answer.callouts.at(callout).computed)
            continue;
        add(contributions_picture(statement.answer, callout, id("limits")));
        if (i < drawn.size() && drawn[i]) {
            add(parts_picture(statement.answer, callout, *drawn[i], id("parts")));
            add(yield_picture(statement.answer, callout, *drawn[i], id("yield")));
        }
    }
    return all;
}

} // namespace holdable
