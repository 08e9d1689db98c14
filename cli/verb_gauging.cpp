// SPDX-License-Identifier: MIT
#include "help.hpp"
#include "holdable/answer/gauging.hpp"
#include "holdable/files/read_gauging.hpp"
#include "holdable/report/gauging.hpp"
#include "inputs.hpp"
#include "terminal.hpp"
#include "verbs.hpp"

#include <memory>
#include <string>
#include <variant>

namespace holdable::cli {
namespace {

struct GaugingVerb {
    std::string file;
    bool json = false;
};

int run(const GaugingVerb& verb) {
    const auto asked = read_gauging(document_from(verb.file), verb.file);
    return std::visit(
        [&](const auto& set_up) {
            const auto answer = gauging(set_up);
            const auto text = verb.json ? gauging_json(answer) : gauging_text(answer);
            print_result(text, verb.json);
            return answer.verdict == Verdict::yes ? 0 : 1;
        },
        asked);
}

} // namespace

void setup_gauging(CLI::App& app, int& status) {
    auto verb = std::make_shared<GaugingVerb>();
    auto* command = add_verb(app, "gauging");
    command->add_option("GAUGING", verb->file, "gauging file, - for standard input")->required();
    command->add_flag("--json", verb->json, "for programs: gauging-result/1");
    command->callback([verb, &status] { status = run(*verb); });
}

} // namespace holdable::cli
