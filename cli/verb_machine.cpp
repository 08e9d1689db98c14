// SPDX-License-Identifier: MIT
#include "help.hpp"
#include "holdable/machine/state.hpp"
#include "holdable/report/machine_json.hpp"
#include "holdable/report/machine_summary.hpp"
#include "holdable/report/machine_text.hpp"
#include "inputs.hpp"
#include "terminal.hpp"
#include "verbs.hpp"

#include <memory>
#include <optional>
#include <string>

namespace holdable::cli {
namespace {

constexpr double wide = 30; // times the class: a prior that says nothing

struct MachineVerb {
    std::string machine;
    std::optional<Date> on;
    bool json = false;
};

void run(const MachineVerb& verb) {
    Files files;
    const auto shop = shop_from(verb.machine, files);
    const auto day = verb.on.value_or(today());
    const auto state = solve(shop, day);
    const auto without_class = solve_with_prior(shop, day, wide);
    auto result = summary(state, &without_class);
    result.doubts = check_doubts(shop, day);
    result.next = next_checks(shop, day);
    result.notes.insert(result.notes.begin(), shop.notes.begin(), shop.notes.end());
    const auto text = verb.json ? machine_json(result, origin(files)) : machine_text(result);
    print_result(text, verb.json);
}

} // namespace

void setup_machine(CLI::App& app, int&) {
    auto verb = std::make_shared<MachineVerb>();
    auto* command = add_verb(app, "machine");
    command->add_option("MACHINE", verb->machine, "machine file, - for standard input")->required();
    add_day(*command, verb->on);
    command->add_flag("--json", verb->json, "for programs: machine-result/1");
    command->callback([verb] { run(*verb); });
}

} // namespace holdable::cli
