// SPDX-License-Identifier: MIT
#include "holdable/report/statement_pictures.hpp"

#include "holdable/report/machine_summary.hpp"

#include <fmt/format.h>

namespace holdable {

std::vector<Picture> pictures_of(const Statement& statement,
                                 const std::vector<std::optional<PartDistribution>>& drawn) {
    std::vector<Picture> all;
    const auto machine = summary(*statement.state);
    all.push_back(checks_picture(machine, "checks"));
    if (machine.table)
        all.push_back(table_picture(*statement.state, machine, "table"));
    for (std::size_t i = 0; i < statement.claims.size(); ++i) {
        const auto callout = statement.claims[i].callout;
        const auto id = [&](const char* of) { return fmt::format("claim-{}-{}", i + 1, of); };
        if (!statement.answer.callouts.at(callout).computed)
            continue;
        all.push_back(contributions_picture(statement.answer, callout, id("limits")));
        if (i < drawn.size() && drawn[i]) {
            all.push_back(parts_picture(statement.answer, callout, *drawn[i], id("parts")));
            all.push_back(yield_picture(statement.answer, callout, *drawn[i], id("yield")));
        }
    }
    return all;
}

} // namespace holdable
