// SPDX-License-Identifier: MIT
// That the same question has the same answer on every build (DEVELOPERS.md). A table of draws,
// budgets, promises and a job's answer is made anew and compared with the one that is stored, which
// another build made: draws bit for bit, numbers to 1e-9 of their size, because compilers and
// instruction sets may add in another order, what the page prints letter for letter.
// tests/determinism/across does the same over compilers and optimisations. Independent: the stored
// table was made by other machine code.
//
//   determinism ROOT         prints the table
//   determinism ROOT STORED  compares; exit status 1 where something differs
// ROOT is the repository. Built with ENGINE_ONLY the lines are those of the engine alone.
#include "table.hpp"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <exception>
#include <fstream>
#include <map>
#include <sstream>

namespace {

using namespace holdable::determinism;

constexpr double agreement = 1e-9; // of the larger of two numbers

/// Value by kind and name.
std::map<std::string, std::string> lines_of(std::istream& in) {
    std::map<std::string, std::string> lines;
    for (std::string line; std::getline(in, line);) {
        auto end = line.find(' ');
        if (line.starts_with("number")) // the name may have blanks, its value none
            end = line.rfind(' ');
        else
            end = line.find(' ', end + 1);
        lines[line.substr(0, end)] = line.substr(end + 1);
    }
    return lines;
}

int compare(const std::string& now, const std::string& path, bool engine_only) {
    std::ifstream file(path);
    std::istringstream in(now);
    const auto seen = lines_of(in);
    auto stored = lines_of(file);
    if (engine_only)
        std::erase_if(stored, [](const auto& line) {
            return line.first.find(" engine/") == std::string::npos;
        });
    int wrong = 0;
    double largest = 0;
    for (const auto& [name, value] : stored) {
        const auto at = seen.find(name);
        if (at == seen.end()) {
            std::printf("%s is missing\n", name.c_str());
            ++wrong;
            continue;
        }
        bool same = value == at->second;
        if (!same && name.starts_with("number")) {
            const double a = std::strtod(value.c_str(), nullptr);
            const double b = std::strtod(at->second.c_str(), nullptr);
            const double apart = std::abs(a - b) / std::max(std::abs(a), std::abs(b));
            same = apart <= agreement;
            largest = std::max(largest, apart);
        }
        if (!same) {
            std::printf("%s: stored %s, now %s\n", name.c_str(), value.c_str(), at->second.c_str());
            ++wrong;
        }
    }
    for (const auto& [name, value] : seen)
        if (!stored.contains(name)) {
            std::printf("%s is not stored\n", name.c_str());
            ++wrong;
        }
    std::printf("%zu lines, %d differ; the largest difference of a number is %.1e of its size\n",
                stored.size(),
                wrong,
                largest);
    if (wrong > 0)
        std::printf("where that is meant: tests/determinism/across --write\n");
    return wrong == 0 && stored.size() > 100 ? 0 : 1;
}

} // namespace

int main(int count, char** argument) {
    if (count < 2)
        return 2;
    try {
        Table table;
        engine(table);
#ifdef ENGINE_ONLY
        constexpr bool engine_only = true;
#else
        constexpr bool engine_only = false;
        job(table, argument[1]);
#endif
        if (count > 2)
            return compare(table.text(), argument[2], engine_only);
        std::fputs(table.text().c_str(), stdout);
        return 0;
    } catch (const std::exception& error) {
        std::fprintf(stderr, "%s\n", error.what());
        return 1;
    }
}
