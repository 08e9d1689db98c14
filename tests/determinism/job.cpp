// SPDX-License-Identifier: MIT
#include "holdable/answer/answer.hpp"
#include "holdable/files/document.hpp"
#include "holdable/files/read_job.hpp"
#include "holdable/files/read_machine.hpp"
#include "holdable/files/text.hpp"
#include "holdable/report/answer_json.hpp"
#include "table.hpp"

#include <string_view>

namespace holdable::determinism {
namespace {

/// Every number below a node, and what the page prints of it.
void walk(Table& table, const std::string& at, std::string_view key, const Node& node) {
    if (node.kind == Node::Kind::number)
        table.number(at, node.number);
    else if (node.kind == Node::Kind::string && (key == "text" || key == "verdict"))
        table.text(at, node.text);
    for (const auto& member : node.members)
        walk(table, at + pointer_step(member.key), member.key, member.value);
    for (std::size_t i = 0; i < node.elements.size(); ++i)
        walk(table, at + "/" + std::to_string(i), key, node.elements[i]);
}

} // namespace

void job(Table& table, const std::string& root) {
    const auto parsed = [](const std::string& path) {
        return parse_document(read_text(path), path);
    };
    const auto machine = root + "/budgets/demo/machine.json";
    const auto shop = read_machine(parsed(machine), machine);
    for (const auto& [name, file] : {std::pair("bore", "/tests/cli/one-bore.json"),
                                     std::pair("size", "/budgets/demo/job-size.json")}) {
        const auto asked = read_job(parsed(root + file), root + file);
        AnswerOptions options;
        options.trials = 500;
        const auto result = answer_json(answer(shop, asked, options));
        walk(table, std::string("job/") + name, {}, parse_document(result, name));
    }
}

} // namespace holdable::determinism
