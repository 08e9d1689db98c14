// SPDX-License-Identifier: MIT
// Dispatches to the verbs and turns what went wrong into the exit status:
// 0 done; 1 done, and not all is yes; 2 usage; 3 input wrong; 4 cannot be computed; 70 internal, or
// the result could not be written.
#include "app.hpp"
#include "holdable/base/error.hpp"
#include "holdable/base/words.hpp"
#include "terminal.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cerrno>
#include <csignal>
#include <cstdio>
#include <exception>
#include <new>
#include <sstream>
#include <string>
#include <system_error>
#include <unistd.h>
#include <vector>

#ifdef __GLIBC__
#include <malloc.h>
#endif

namespace {

using holdable::cli::print_as_is;
using holdable::cli::say;

int run(int argc, char** argv) {
    CLI::App app;
    int status = 0;
    holdable::cli::set_up(app, status);
    const auto verbs = app.get_subcommands([](const CLI::App*) { return true; });
    if (argc > 1 && argv[1][0] != '-' &&
        std::none_of(verbs.begin(), verbs.end(), [&](auto* v) { return v->check_name(argv[1]); })) {
        say(fmt::format("unknown verb {}\n{}", holdable::in_quotes(argv[1]), app.help()));
        return 2;
    }
    // CLI11 would take an argument in brackets for a list; a path means itself.
    std::vector<std::string> words(argv, argv + argc);
    for (auto& word : words)
        if (word.size() > 1 && word.front() == '[' && word.back() == ']')
            word.insert(0, "./");
    std::vector<const char*> taken;
    for (const auto& word : words)
        taken.push_back(word.c_str());
    try {
        try {
            app.parse(argc, taken.data());
        } catch (const CLI::ParseError& error) {
            std::ostringstream result, wrong;
            if (app.exit(error, result, wrong) != 0)
                status = 2;
            print_as_is(result.str()); // --help, --man
            say(wrong.str());
        }
        print_as_is("");
        if (close(STDOUT_FILENO) != 0 && errno != EBADF) // some file systems tell only then
            throw std::system_error(errno, std::generic_category(), "standard output");
        return status;
    } catch (const holdable::InputError& error) {
        say(fmt::format("{}\n", error.what()));
        return 3;
    } catch (const holdable::NumericError& error) {
        say(fmt::format("error: {}\n", error.what()));
        return 4;
    } catch (const std::bad_alloc&) {
        say("error: not enough memory for this; ask for less of it\n");
        return 4;
    } catch (const std::system_error& error) { // printing to a full disk
        say(fmt::format("error: cannot write the result: {}\n", error.what()));
        return 70;
    } catch (const std::exception& error) {
        say(fmt::format("internal error: {}\n", error.what()));
        return 70;
    }
}

} // namespace

int main(int argc, char** argv) {
    // At a limit of file size a write shall fail and be told, not end the program.
    std::signal(SIGXFSZ, SIG_IGN);
#ifdef __GLIBC__
    // Tables of draws come and go by the hundred: their pages are kept, not asked for each time.
    mallopt(M_MMAP_THRESHOLD, 32 << 20);
    mallopt(M_TRIM_THRESHOLD, 512 << 20);
#endif
    try {
        return run(argc, argv);
    } catch (...) { // saying what went wrong went wrong too
        return 70;
    }
}
