// SPDX-License-Identifier: MIT
#include "holdable/files/read_checks.hpp"

#include <utility>

namespace holdable {

void read_checks(const Reader& file, Date today, Shop& shop) {
    enum class Kind { square, level, tram, test_bar, run_out, positioning };
    CheckFields fields(today, shop);
    Ids ids;
    const auto checks = file.find("checks");
    if (!checks)
        return; // a shop that has not checked yet is told so by its answers
    for (const Reader& item : checks->elements()) {
        auto name = ids.take(item);
        const auto kind = read_kind<Kind>(item,
                                          "kind",
                                          {{"square", Kind::square},
                                           {"level", Kind::level},
                                           {"tram", Kind::tram},
                                           {"test bar", Kind::test_bar},
                                           {"run-out", Kind::run_out},
                                           {"positioning", Kind::positioning}});
        if (!kind)
            continue;
        switch (*kind) {
        case Kind::square:
            shop.square_checks.push_back(read_square_check(item, std::move(name), fields));
            break;
        case Kind::level:
            shop.level_checks.push_back(read_level_check(item, std::move(name), fields));
            break;
        case Kind::tram:
            shop.tram_checks.push_back(read_tram_check(item, std::move(name), fields));
            break;
        case Kind::test_bar:
            shop.test_bar_checks.push_back(read_test_bar_check(item, std::move(name), fields));
            break;
        case Kind::run_out:
            shop.run_out_checks.push_back(read_run_out_check(item, std::move(name), fields));
            break;
        case Kind::positioning:
            shop.positioning_checks.push_back(
                read_positioning_check(item, std::move(name), fields));
            break;
        }
    }
}

} // namespace holdable
