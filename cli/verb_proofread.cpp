// SPDX-License-Identifier: MIT
#include "help.hpp"
#include "holdable/base/error.hpp"
#include "holdable/base/printable.hpp"
#include "holdable/base/words.hpp"
#include "holdable/files/document.hpp"
#include "holdable/files/edition.hpp"
#include "holdable/files/read_budget.hpp"
#include "holdable/files/read_gauging.hpp"
#include "holdable/files/read_job.hpp"
#include "holdable/files/read_machine.hpp"
#include "holdable/files/reader.hpp"
#include "holdable/propagate/budget.hpp"
#include "holdable/report/page.hpp"
#include "inputs.hpp"
#include "terminal.hpp"
#include "verbs.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <memory>
#include <string>
#include <utility>
#include <variant>
#include <vector>

namespace holdable::cli {
namespace {

/// What was read from a file.
struct Contents {
    std::vector<std::string> counts; ///< "7 checks"
    std::vector<std::string> notes;
};

std::string counted(std::size_t count, std::string_view thing) {
    return fmt::format("{} {}{}", count, thing, count == 1 ? "" : "s");
}

Contents machine(const Node& root, const std::string& file) {
    const auto shop = read_machine(root, file);
    return {{counted(count_checks(shop), "check"),
             counted(shop.indicators.size() + shop.squares.size() + shop.straightedges.size() +
                         shop.levels.size() + shop.length_standards.size(),
                     "instrument")},
            shop.notes};
}

Contents job(const Node& root, const std::string& file) {
    const auto read = read_job(root, file);
    return {{counted(read.callouts.size(), "callout")}, read.notes};
}

Contents budget(const Node& root, const std::string& file) {
    const auto read = read_budget(root, file);
    auto notes = read.notes;
    const auto more = propagate::compile(read).notes;
    notes.insert(notes.end(), more.begin(), more.end());
    return {{counted(read.inputs.size(), "input"), counted(read.outputs.size(), "output")}, notes};
}

Contents gauging(const Node& root, const std::string& file) {
    const auto read = read_gauging(root, file);
    const bool planned = std::holds_alternative<PlannedCheck>(read);
    return {{counted(1, planned ? "planned check" : "inspection")},
            std::visit([](const auto& one) { return one.notes; }, read)};
}

struct Format {
    std::string_view name;
    Contents (*read)(const Node&, const std::string&);
};

constexpr Format formats[] = {
    {"machine/1", machine}, {"job/1", job}, {"budget/1", budget}, {"gauging/1", gauging}};

/// The format that the file says it has. @throws InputError [file-format, key-missing, field-kind]
const Format& format_of(const Node& root, const std::string& file) {
    const Reader reader(root, file);
    const auto field = reader.at("holdable");
    const auto name = field.string();
    for (const auto& format : formats)
        if (format.name == name)
            return format;
    std::vector<std::string_view> names;
    for (const auto& format : formats)
        names.push_back(format.name);
    if (field.node() != nullptr && field.node()->kind == Node::Kind::string) {
        const auto near = nearest(name, names);
        auto hint = near.empty() ? fmt::format("known: {}", fmt::join(names, ", "))
                                 : fmt::format("did you mean \"{}\"?", near);
        for (const auto format : names)
            if (is_other_edition(name, format))
                hint = other_edition(format);
        const Diagnostic wrong{"file-format",
                               field.location(),
                               fmt::format("unknown kind of file {}", in_quotes(name)),
                               std::move(hint)};
        field.report(wrong);
    }
    reader.allow_other_keys();
    reader.finish();
    return formats[0]; // not reached: something was reported
}

/// @return whether nothing is wrong
bool proofread(const std::string& file) {
    const auto name = shown(file);
    std::string kind;
    try {
        const auto root = document_from(file);
        const auto& format = format_of(root, file);
        kind = fmt::format("{}, ", format.name);
        const auto contents = format.read(root, file);
        auto text =
            fmt::format("{}: {}{}: nothing wrong\n", name, kind, fmt::join(contents.counts, ", "));
        for (const auto& note : contents.notes) {
            const char* front = "note: ";
            for (const auto& line : wrapped(note, 70)) {
                text += fmt::format("    {}{}\n", front, line);
                front = "      ";
            }
        }
        print_result(text, true);
        return true;
    } catch (const InputError& error) {
        const auto mistakes = counted(error.diagnostics().size(), "mistake");
        print_result(fmt::format("{}: {}{}\n", name, kind, mistakes), true);
        say(fmt::format("{}\n", error.what()));
        return false;
    }
}

} // namespace

void setup_proofread(CLI::App& app, int& status) {
    auto files = std::make_shared<std::vector<std::string>>();
    auto* command = add_verb(app, "proofread");
    command->add_option("FILE", *files, "files of any kind, - for standard input")->required();
    command->callback([files, &status] {
        if (std::count(files->begin(), files->end(), "-") > 1)
            throw CLI::ValidationError("standard input can be read once only");
        for (const auto& file : *files)
            if (!proofread(file))
                status = 3;
    });
}

} // namespace holdable::cli
