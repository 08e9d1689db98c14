// SPDX-License-Identifier: MIT
// Dispatches to the verbs and turns what went wrong into the exit status:
// 0 done; 1 done, and not all is yes; 2 usage; 3 input wrong; 4 cannot be computed; 70 internal, or
// the result could not be written.
#include "app.hpp"
#include "holdable/base/error.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cerrno>
#include <cstdio>
#include <cstring>
#include <exception>
#include <iostream>
#include <new>
#include <system_error>

namespace {

int run(int argc, char** argv) {
    CLI::App app;
    int status = 0;
    holdable::cli::set_up(app, status);
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
        const int said = app.exit(error);
        if (said != 0)
            return 2;
        return std::fflush(stdout) == 0 && std::cout.flush() ? 0 : 70; // --help, --man
    } catch (const holdable::InputError& error) {
        fmt::print(stderr, "{}\n", error.what());
        return 3;
    } catch (const holdable::NumericError& error) {
        fmt::print(stderr, "error: {}\n", error.what());
        return 4;
    } catch (const std::bad_alloc&) {
        fmt::print(stderr, "error: not enough memory for this; ask for less of it\n");
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
