// SPDX-License-Identifier: MIT
#include "app.hpp"

#include "help.hpp"
#include "inputs.hpp"
#include "verbs.hpp"

#include <string>

namespace holdable::cli {

void set_up(CLI::App& app, int& status) {
    app.description("What tolerance can this machine hold? From a machinist's own readings.");
    app.name("holdable");
    app.set_help_flag("-h,--help", "print this help");
    app.set_version_flag("--version", "holdable " HOLDABLE_VERSION, "print the version");
    app.require_subcommand(1);
    add_limits(app);
    // in the order of the help
    setup_new(app, status);
    setup_proofread(app, status);
    setup_machine(app, status);
    setup_answer(app, status);
    setup_where(app, status);
    setup_improve(app, status);
    setup_statement(app, status);
    setup_plot(app, status);
    setup_gauging(app, status);
    setup_budget(app, status);
    setup_units(app, status);
    app.add_flag_callback(
        "--man",
        [&app] { throw CLI::CallForVersion(manual_page(app), 0); },
        "print the manual page, for man(1)");
    app.add_option_function<std::string>(
           "--completion",
           [&app](const std::string& shell) {
               if (shell != "bash")
                   throw CLI::ValidationError("--completion", "only bash is known");
               throw CLI::CallForVersion(bash_completion(app), 0);
           },
           "print the script for completing words in bash")
        ->type_name("bash");
    app.footer("Begin with: holdable new machine --inch machine.json\n"
               "More of a verb: holdable VERB --help");
}

} // namespace holdable::cli
