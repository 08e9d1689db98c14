// SPDX-License-Identifier: MIT
#include "holdable/files/read_checks.hpp"

#include "holdable/files/limits.hpp"

#include <algorithm>
#include <cstddef>
#include <optional>
#include <string>
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

void read_check(const Reader& item, std::string name, CheckFields& fields, Shop& into) {
    enum class Kind {
        square,
        straightness,
        level,
        tram,
        test_bar,
        run_out,
        table,
        positioning,
        circle,
        drift,
        warm_up,
        notebook,
        test_cut
    };
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
                                       {"circle", Kind::circle},
                                       {"drift", Kind::drift},
                                       {"warm-up", Kind::warm_up},
                                       {"notebook", Kind::notebook},
                                       {"test cut", Kind::test_cut}});
    if (!kind)
        return;
    fields.begin();
    if (fields.planned() && *kind >= Kind::drift) {
        item.allow_other_keys();
        item.at("kind").report(
            Diagnostic{"check-unplanned",
                       {},
                       "what such a check is worth hangs on what was read",
                       "logs, test cuts and lines of a notebook are judged once they are made"});
        return;
    }
    if (const auto room = item.find("room"); room && *kind != Kind::notebook)
        fields.room(name, room->quantity(Measure::temperature, room_temperature));
    switch (*kind) {
    case Kind::square:
        if (const auto flat = lies_flat(item); !flat)
            break;
        else if (*flat)
            into.flat_square_checks.push_back(
                read_flat_square_check(item, std::move(name), fields));
        else
            into.square_checks.push_back(read_square_check(item, std::move(name), fields));
        break;
    case Kind::straightness:
        into.straightness_checks.push_back(read_straightness_check(item, std::move(name), fields));
        break;
    case Kind::level:
        into.level_checks.push_back(read_level_check(item, std::move(name), fields));
        break;
    case Kind::tram:
        into.tram_checks.push_back(read_tram_check(item, std::move(name), fields));
        break;
    case Kind::test_bar:
        into.test_bar_checks.push_back(read_test_bar_check(item, std::move(name), fields));
        break;
    case Kind::run_out:
        into.run_out_checks.push_back(read_run_out_check(item, std::move(name), fields));
        break;
    case Kind::table:
        into.table_checks.push_back(read_table_check(item, std::move(name), fields));
        break;
    case Kind::positioning:
        into.positioning_checks.push_back(read_positioning_check(item, std::move(name), fields));
        break;
    case Kind::circle:
        into.circle_checks.push_back(read_circle_check(item, std::move(name), fields));
        break;
    case Kind::notebook:
        into.notebook_lines.push_back(read_notebook_line(item, std::move(name), fields));
        break;
    case Kind::test_cut:
        into.test_cuts.push_back(read_test_cut(item, std::move(name), fields));
        break;
    case Kind::drift:
    case Kind::warm_up:
        into.thermal_logs.push_back(
            read_thermal_log(item, std::move(name), *kind == Kind::warm_up, fields));
        break;
    }
}

namespace {

/// How many readings stand in a value under the keys that hold them; repeats at a station count
/// once.
std::size_t count_readings(const Node& node, bool inside = false) {
    const auto blanks = [&] { return std::count(node.text.begin(), node.text.end(), ' '); };
    std::size_t count = 0;
    if (inside && node.kind == Node::Kind::string)
        count = static_cast<std::size_t>(blanks()) + 1;
    else if (inside && node.kind == Node::Kind::array)
        count = node.elements.size();
    else
        for (const auto& element : node.elements)
            count += count_readings(element);
    for (const auto& member : node.members)
        count += count_readings(member.value, member.key.find("readings") != std::string::npos);
    return count;
}

/// Elements of the longest array in a value.
std::size_t longest(const Node& node) {
    auto most = node.elements.size();
    for (const auto& element : node.elements)
        most = std::max(most, longest(element));
    for (const auto& member : node.members)
        most = std::max(most, longest(member.value));
    return most;
}

/// Counts the readings of checks and of logs. @return whether there are not too many [too-many]
class ReadingCount {
  public:
    bool add(const Reader& check) {
        const auto* node = check.node();
        if (node == nullptr || node->kind != Node::Kind::object)
            return true;
        const auto kind = std::find_if(node->members.begin(),
                                       node->members.end(),
                                       [](const Member& member) { return member.key == "kind"; });
        const bool log = kind != node->members.end() &&
                         (kind->value.text == "drift" || kind->value.text == "warm-up");
        auto& count = log ? logged_ : read_;
        const auto most = log ? most_logged : most_readings;
        const bool before = count > most;
        count += std::max({count_readings(*node), longest(*node), std::size_t{1}});
        if (count > most && !before)
            report_too_many(check,
                            count,
                            most,
                            log ? "readings of logs up to here" : "readings up to here",
                            "a machine file");
        return count <= most;
    }

  private:
    std::size_t read_ = 0;
    std::size_t logged_ = 0;
};

} // namespace

void read_checks(const Reader& file, Date today, Shop& shop) {
    CheckFields fields(today, shop);
    Ids ids;
    ReadingCount readings;
    const auto checks = file.find("checks");
    if (!checks)
        return; // a shop that has not checked yet is told so by its answers
    for (const Reader& item :
         elements_up_to(most_of_machine, *checks, "checks", "a machine file")) {
        if (!readings.add(item)) {
            item.allow_other_keys();
            continue;
        }
        auto name = ids.take(item);
        read_check(item, std::move(name), fields, shop);
    }
}

} // namespace holdable
