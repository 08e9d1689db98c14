// SPDX-License-Identifier: MIT
#include "holdable/files/read_checks.hpp"

#include <optional>
#include <utility>

namespace holdable {
namespace {

/// The plane of a check by square, for the one that lies flat and the one that stands.
std::optional<bool> lies_flat(const Reader& item) {
    return read_kind<bool>(
        item,
        "plane",
        {{"ZX", false}, {"ZY", false}, {"XZ", false}, {"YZ", false}, {"XY", true}, {"YX", true}});
}

} // namespace

void read_checks(const Reader& file, Date today, Shop& shop) {
    enum class Kind {
        square,
        straightness,
        level,
        tram,
        test_bar,
        run_out,
        table,
        positioning,
        drift,
        warm_up,
        notebook,
        test_cut
    };
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
                                           {"straightness", Kind::straightness},
                                           {"level", Kind::level},
                                           {"tram", Kind::tram},
                                           {"test bar", Kind::test_bar},
                                           {"run-out", Kind::run_out},
                                           {"table", Kind::table},
                                           {"positioning", Kind::positioning},
                                           {"drift", Kind::drift},
                                           {"warm-up", Kind::warm_up},
                                           {"notebook", Kind::notebook},
                                           {"test cut", Kind::test_cut}});
        if (!kind)
            continue;
        if (const auto room = item.find("room"); room && *kind != Kind::notebook)
            shop.room_temperatures[name] = room->quantity(Measure::temperature, room_temperature);
        switch (*kind) {
        case Kind::square:
            if (const auto flat = lies_flat(item); !flat)
                break;
            else if (*flat)
                shop.flat_square_checks.push_back(
                    read_flat_square_check(item, std::move(name), fields));
            else
                shop.square_checks.push_back(read_square_check(item, std::move(name), fields));
            break;
        case Kind::straightness:
            shop.straightness_checks.push_back(
                read_straightness_check(item, std::move(name), fields));
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
        case Kind::table:
            shop.table_checks.push_back(read_table_check(item, std::move(name), fields));
            break;
        case Kind::positioning:
            shop.positioning_checks.push_back(
                read_positioning_check(item, std::move(name), fields));
            break;
        case Kind::notebook:
            shop.notebook_lines.push_back(read_notebook_line(item, std::move(name), fields));
            break;
        case Kind::test_cut:
            shop.test_cuts.push_back(read_test_cut(item, std::move(name), fields));
            break;
        case Kind::drift:
        case Kind::warm_up:
            shop.thermal_logs.push_back(
                read_thermal_log(item, std::move(name), *kind == Kind::warm_up, fields));
            break;
        }
    }
}

} // namespace holdable
