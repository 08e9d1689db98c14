// SPDX-License-Identifier: MIT
// Dispatches to the verbs and turns what went wrong into the exit status:
// 0 done; 1 done, and not all is yes; 2 usage; 3 input wrong; 4 cannot be computed; 70 internal, or
// the result could not be written.
#include "holdable/base/error.hpp"
#include "verbs.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cerrno>
#include <cstdio>
#include <cstring>
#include <exception>
#include <system_error>

namespace {

int run(int argc, char** argv) {
    CLI::App app{"What tolerance can this machine hold? From a machinist's own readings."};
    app.name("holdable");
    app.set_version_flag("--version", "holdable " HOLDABLE_VERSION);
    app.require_subcommand(1);
    int status = 0;
    holdable::cli::setup_answer(app, status);
    holdable::cli::setup_where(app, status);
    holdable::cli::setup_gauging(app, status);
    holdable::cli::setup_improve(app, status);
    holdable::cli::setup_machine(app, status);
    holdable::cli::setup_plot(app, status);
    holdable::cli::setup_budget(app, status);
    holdable::cli::setup_proofread(app, status);
    holdable::cli::setup_statement(app, status);
    holdable::cli::setup_units(app, status);
    const auto verbs = app.get_subcommands([](const CLI::App*) { return true; });
    if (argc > 1 && argv[1][0] != '-' &&
        std::none_of(verbs.begin(), verbs.end(), [&](auto* v) { return v->check_name(argv[1]); })) {
        fmt::print(stderr, "unknown verb \"{}\"\n{}", argv[1], app.help());
        return 2;
    }
    try {
        app.parse(argc, argv);
        if (std::fflush(stdout) != 0) {
            fmt::print(stderr, "error: cannot write the result: {}\n", std::strerror(errno));
            return 70;
        }
        return status;
    } catch (const CLI::ParseError& error) {
        return app.exit(error) == 0 ? 0 : 2;
    } catch (const holdable::InputError& error) {
        fmt::print(stderr, "{}\n", error.what());
        return 3;
    } catch (const holdable::NumericError& error) {
        fmt::print(stderr, "error: {}\n", error.what());
        return 4;
    } catch (const std::system_error& error) { // printing to a full disk
        fmt::print(stderr, "error: cannot write the result: {}\n", error.what());
        return 70;
    } catch (const std::exception& error) {
        fmt::print(stderr, "internal error: {}\n", error.what());
        return 70;
    }
}

} // namespace

int main(int argc, char** argv) {
    try {
        return run(argc, argv);
    } catch (...) { // saying what went wrong went wrong too
        return 70;
    }
}
