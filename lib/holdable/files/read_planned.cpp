// SPDX-License-Identifier: MIT
#include "holdable/base/digest.hpp"
#include "holdable/base/words.hpp"
#include "holdable/files/fields.hpp"
#include "holdable/files/limits.hpp"
#include "holdable/files/read_checks.hpp"
#include "holdable/files/read_gauging.hpp"
#include "holdable/files/read_machine.hpp"
#include "holdable/files/text.hpp"

#include <fmt/format.h>

#include <cstddef>
#include <filesystem>
#include <system_error>
#include <utility>
#include <vector>

namespace holdable {
namespace {

constexpr Range some_zone = {.low = 0, .high = 5e-3, .low_open = true};  // (m)
constexpr Range some_slope = {.low = 0, .high = 1e-2, .low_open = true}; // (rad)

/// The machine, which stands there or in a file beside this one.
/// @param files where that file is put, with its digest
/// @return nothing where it is wrong, which is reported
std::optional<Shop> read_shop(const Reader& field,
                              const std::string& file,
                              std::vector<std::pair<std::string, std::string>>& files) {
    std::optional<Shop> shop;
    if (is(field, Node::Kind::object)) {
        field.allow_other_keys();
        field.attempt([&] { shop = read_machine(*field.node(), file); });
        return shop;
    }
    const auto name = read_name(field);
    if (!name.empty())
        field.attempt([&] {
            const auto path = (std::filesystem::path(file).parent_path() / name).string();
            // Whoever wrote this file is not to make the program wait for a pipe or a device.
            std::error_code unknown;
            const auto kind = std::filesystem::status(path, unknown).type();
            if (!unknown && kind != std::filesystem::file_type::regular &&
                kind != std::filesystem::file_type::not_found)
                throw InputError("file-unreadable",
                                 "cannot read the file " + in_quotes(path) +
                                     ": it is no regular file");
            const auto text = read_text(path);
            files.emplace_back(std::filesystem::path(path).filename().string(), sha256(text));
            shop = read_machine(parse_document(text, path), path);
        });
    return shop;
}

/// How many values stand in it: no more will be read than there are stations.
std::size_t count_values(const Node& node) {
    std::size_t count = 1;
    for (const auto& element : node.elements)
        count += count_values(element);
    for (const auto& member : node.members)
        count += count_values(member.value);
    return count;
}

/// Which of the numbers is meant: by its words, or a part of them that no other has.
std::size_t read_what(const Reader& show, const std::vector<Measurand>& measurands) {
    std::string known;
    for (const auto& one : measurands)
        known += (known.empty() ? "one of " : ", ") + in_quotes(one.meaning);
    if (measurands.size() == 1 && !show.has("what"))
        return 0;
    const auto field = show.at("what", known);
    const auto what = read_name(field);
    std::vector<std::size_t> meant;
    for (std::size_t i = 0; i < measurands.size(); ++i) {
        if (measurands[i].meaning == what)
            return i;
        if (!what.empty() && measurands[i].meaning.find(what) != std::string::npos)
            meant.push_back(i);
    }
    if (meant.size() == 1)
        return meant.front();
    if (!what.empty()) {
        Diagnostic wrong{"word-unknown", field.location(), {}, {}};
        wrong.message = fmt::format("{} {} of the numbers this check measures",
                                    in_quotes(what),
                                    meant.empty() ? "is none" : "may be several");
        wrong.hint = known + ", or a part that only one of them has";
        field.report(std::move(wrong));
    }
    return 0;
}

} // namespace

PlannedCheck read_planned(const Reader& reader, const std::string& file, Date day) {
    PlannedCheck planned;
    planned.title = read_name(reader.at("title"));
    planned.day = day;
    if (const auto critical = reader.find("critical"))
        planned.critical = critical->boolean();
    const auto check = reader.at("check");
    const auto show = reader.at("show");
    const std::size_t values = check.node() != nullptr ? count_values(*check.node()) : 0;
    if (values > most_readings) {
        report_too_many(check, values, most_readings, "values", "a planned check");
        reader.allow_other_keys();
        reader.finish();
    }
    auto shop = read_shop(reader.at("machine"), file, planned.files);
    if (!shop) { // what would be compared with it is left alone
        reader.find("rule");
        reader.find("units");
        return planned;
    }
    shop->notes.clear(); // of what was checked before
    std::vector<Measurand> measurands;
    const bool read = sound(reader, [&] {
        CheckFields fields(check, day, *shop);
        // Without a name of its own it has that of its kind.
        const auto id = check.find("id");
        const auto kind = check.find("kind");
        read_check(check,
                   id     ? read_name(*id)
                   : kind ? kind->string()
                          : std::string(),
                   fields,
                   planned.check);
        for_each_check(planned.check, [&](const auto& one) { planned.day = one.date; });
    });
    planned.notes = std::exchange(shop->notes, {});
    planned.machine = std::move(*shop);
    const auto within = show.at("within");
    if (read && check.node() != nullptr)
        measurands = planned_measurands(planned.machine, planned.check, planned.day);
    if (!measurands.empty()) {
        planned.measurand = read_what(show, measurands);
        const bool angle = measurands[planned.measurand].angle;
        planned.within = within.quantity(angle ? Measure::angle : Measure::length,
                                         angle ? some_slope : some_zone);
        planned.rule = read_rule(reader, angle ? Measure::angle : Measure::length);
    } else {
        show.allow_other_keys();
        reader.find("rule");
    }
    planned.inch = reader.has("units") ? read_inch(reader, within) : planned.machine.inch;
    if (planned.machine.machine_class.empty())
        planned.notes.emplace_back("no class of machine is declared: the coarsest is assumed for "
                                   "what nobody measured");
    return planned;
}

} // namespace holdable
