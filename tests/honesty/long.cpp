// SPDX-License-Identifier: MIT
// Prints, as tables for docs/honesty.md, how honest the statements are over many machines; started
// by tests/honesty/long.
#include "honesty/trial.hpp"
#include "honesty/true_parts.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <cstdio>
#include <cstring>
#include <map>
#include <string>
#include <string_view>
#include <vector>

using namespace holdable::tests;

namespace {

std::string share(double count, int of) {
    return of == 0 ? "-" : fmt::format("{:.1f}", 100 * count / of);
}

std::string of_those(int count, int of) {
    return of == 0 ? "-" : fmt::format("{} of {}", count, of);
}

std::string width(const Tally& t, double quantile_of) {
    return t.width.empty() ? "-" : fmt::format("{:.2f}", quantile(t.width, quantile_of));
}

void print_heads() {
    fmt::print("| machines |");
    for (const auto& kind : kinds_of_callouts)
        fmt::print(" {} |", kind.name);
    fmt::print("\n|---|");
    for (std::size_t k = 0; k < kinds; ++k)
        fmt::print("---|");
    fmt::print("\n");
}

void print_in_full(const Scenario& s, const Outcome& outcome) {
    fmt::print("### {}: {} machines\n\n{}.\n\n", s.name, outcome.machines, s.means);
    fmt::print("| callout | machines | 95/95 kept, % | next part within, % | YES, wrong | NO, could "
               "be made | could be made, % | width, middle | width, 9 of 10 |\n"
               "|---|---|---|---|---|---|---|---|---|\n");
    for (std::size_t k = 0; k < kinds; ++k) {
        const auto& t = outcome.tallies[k];
        fmt::print("| {} | {} | {} | {} | {} | {} | {} | {} | {} |\n",
                   kinds_of_callouts[k].name,
                   t.machines,
                   share(t.kept, t.machines),
                   share(t.next, t.machines),
                   of_those(t.yes_wrong, t.yes),
                   of_those(t.no_cautious, t.no),
                   share(t.good, t.machines),
                   width(t, 0.5),
                   width(t, 0.9));
    }
    fmt::print("\n");
}

/// A row of one figure a kind.
template <class Figure>
void print_row(std::string_view name, const Outcome& o, Figure figure) {
    fmt::print("| {} |", name);
    for (const auto& t : o.tallies)
        fmt::print(" {} |", figure(t));
    fmt::print("\n");
}

int usage() {
    fmt::print(stderr,
               "honesty_long [--machines N] [--slow-every K] [--sorts M] [--seed S]: N of each "
               "sort, 500 if not said; flatness, walls and roundness of every K-th, 5 if not said; "
               "of the first M sorts, all if not said\n");
    return 2;
}

} // namespace

int main(int count, char** arguments) {
    std::map<std::string_view, std::uint64_t> asked = {
        {"--machines", 500}, {"--slow-every", 5}, {"--sorts", scenarios().size()}, {"--seed", 1}};
    for (int i = 1; i < count; i += 2) {
        const auto known = asked.find(arguments[i]);
        if (known == asked.end() || i + 1 == count)
            return usage();
        const char* text = arguments[i + 1];
        const char* end = text + std::strlen(text);
        const auto [stop, wrong] = std::from_chars(text, end, known->second);
        if (wrong != std::errc() || stop != end || known->second < 1 || known->second > 1'000'000)
            return usage();
    }
    const int machines = static_cast<int>(asked["--machines"]);
    const int slow_every = static_cast<int>(asked["--slow-every"]);
    std::vector<Outcome> outcomes;
    for (const auto& s :
         scenarios().first(std::min<std::size_t>(asked["--sorts"], scenarios().size()))) {
        outcomes.push_back(run(s, machines, asked["--seed"], slow_every));
        fmt::print(stderr, "{}\n", s.name);
        print_in_full(s, outcomes.back());
        std::fflush(stdout);
    }
    const auto each = [&](const char* title, auto figure) {
        fmt::print("### {}\n\n", title);
        print_heads();
        for (std::size_t i = 0; i < outcomes.size(); ++i)
            print_row(scenarios()[i].name, outcomes[i], figure);
        fmt::print("\n");
    };
    each("How often what was promised with 95 % was kept, %",
         [](const Tally& t) { return share(t.kept, t.machines); });
    each("How wide what was promised was, the middle of the machines",
         [](const Tally& t) { return width(t, 0.5); });
    each("How often YES was wrong", [](const Tally& t) { return of_those(t.yes_wrong, t.yes); });
    fmt::print("### What the program noticed, % of the machines\n\n"
               "| machines | refuses a file | names a reading | checks disagree | class too kind |\n"
               "|---|---|---|---|---|\n");
    for (std::size_t i = 0; i < outcomes.size(); ++i) {
        const auto& o = outcomes[i];
        fmt::print("| {} | {} | {} | {} | {} |\n",
                   scenarios()[i].name,
                   share(o.refused, o.machines),
                   share(o.named, o.machines),
                   share(o.disagreeing, o.machines),
                   share(o.too_kind, o.machines));
    }
    return 0;
}
