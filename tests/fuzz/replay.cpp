// SPDX-License-Identifier: MIT
// The corpora of the fuzz targets, and texts near them: what must hold of any bytes (the headers in
// this folder say it, without knowing how the readers work) holds of each entry, of each with some
// bytes changed, left out or doubled by chance, and of each cut short. Seed fixed, so that a
// failure can be repeated; how many changes is a matter of time: HOLDABLE_REPLAY=100 in the
// environment makes a hundred times as many. The corpus of `ask` is replayed by
// tests/files/ask.cpp.
#include "fuzz/budget.hpp"
#include "fuzz/document.hpp"
#include "fuzz/formula.hpp"
#include "fuzz/gauging.hpp"
#include "fuzz/job.hpp"
#include "fuzz/machine.hpp"
#include "fuzz/quantity.hpp"
#include "holdable/files/text.hpp"

#include <boost/test/unit_test.hpp>

#include <algorithm>
#include <cstdlib>
#include <filesystem>
#include <random>
#include <string>
#include <vector>

using namespace holdable;

namespace {

struct Entry {
    std::string name, text;
};

std::vector<Entry> corpus(const std::string& target) {
    std::vector<Entry> entries;
    for (const auto& file :
         std::filesystem::directory_iterator(HOLDABLE_ROOT "/tests/fuzz/" + target))
        entries.push_back({file.path().filename().string(), read_text(file.path().string())});
    std::sort(entries.begin(), entries.end(), [](const Entry& a, const Entry& b) {
        return a.name < b.name;
    });
    BOOST_TEST_REQUIRE(entries.size() >= 12);
    return entries;
}

/// A text near this one.
std::string changed(std::string text, std::minstd_rand& chance) {
    const auto below = [&](std::size_t count) { return count > 0 ? chance() % count : 0; };
    const auto at = below(text.size());
    const auto length = below(std::min<std::size_t>(text.size() - at, 12) + 1);
    switch (chance() % 5) {
    case 0: // another byte
        if (!text.empty())
            text[at] = static_cast<char>(below(256));
        break;
    case 1:
        text.erase(at, length);
        break;
    case 2:
        text.insert(below(text.size() + 1), text.substr(at, length));
        break;
    case 3: // another digit or sign
        if (const auto digit = text.find_first_of("0123456789-.", at); digit != std::string::npos)
            text[digit] = "0123456789-.eE"[below(14)];
        break;
    default:
        text.resize(at);
    }
    return text;
}

int as_many() {
    const char* wanted = std::getenv("HOLDABLE_REPLAY");
    return wanted == nullptr ? 1 : std::max(1, std::atoi(wanted));
}

/// @param near how many texts near each entry @param fault_of what does not hold, empty if all does
template <class Fault>
void replay(const std::string& target, int near, const Fault& fault_of) {
    std::minstd_rand chance(20250601);
    for (const auto& [name, text] : corpus(target)) {
        BOOST_TEST(fault_of(text) == "", target << '/' << name);
        for (int n = 0; n < near * as_many(); ++n) {
            const auto other = changed(text, chance);
            BOOST_TEST(fault_of(other) == "", target << '/' << name << " as " << other);
        }
    }
}

const MachineState& demonstration() {
    static const auto state = [] {
        const std::string path = HOLDABLE_ROOT "/budgets/demo/machine.json";
        return solve(read_machine(parse_document(read_text(path), path), path, fuzz::day),
                     fuzz::day);
    }();
    return state;
}

} // namespace

BOOST_AUTO_TEST_SUITE(replay_of_the_fuzz_corpora)

BOOST_AUTO_TEST_CASE(documents) {
    replay("document", 500, fuzz::fault_of_document);
}

BOOST_AUTO_TEST_CASE(quantities) {
    replay("quantity", 500, fuzz::fault_of_quantity);
}

BOOST_AUTO_TEST_CASE(formulas) {
    replay("formula", 300, fuzz::fault_of_formula);
}

BOOST_AUTO_TEST_CASE(budgets) {
    replay("budget", 30, fuzz::fault_of_budget);
}

BOOST_AUTO_TEST_CASE(gaugings) {
    replay("gauging", 12, fuzz::fault_of_gauging);
}

BOOST_AUTO_TEST_CASE(machines) {
    replay("machine", 12, fuzz::fault_of_machine);
}

BOOST_AUTO_TEST_CASE(jobs) {
    replay(
        "job", 12, [](std::string_view text) { return fuzz::fault_of_job(text, demonstration()); });
}

// What the properties are worth: each finds a fault where there is one.
BOOST_AUTO_TEST_CASE(the_properties_can_fail) {
    BOOST_TEST(fuzz::fault_of_refusal(InputError("some-id", "no place"), "{}") != "");
    BOOST_TEST(fuzz::fault_of_refusal(
                   InputError({Diagnostic{"some-id", {fuzz::file_name, 2, 1, ""}, "m", ""}}),
                   "one line") != "");
    BOOST_TEST(fuzz::fault_of_refusal(
                   InputError({Diagnostic{"some-id", {fuzz::file_name, 1, 1, ""}, "a\nb", ""}}),
                   "{}") != "");
    BOOST_TEST(fuzz::unprintable("a\x1b[31m") == "\x1b");
    BOOST_TEST(fuzz::unprintable("\u202e") == "\u202e");
    BOOST_TEST(fuzz::unprintable("\u0085") == "\u0085");
    BOOST_TEST(fuzz::unprintable("\xff") == "\xff");
    BOOST_TEST(fuzz::unprintable("Ø 12 µm, שלום") == "");
    BOOST_TEST(fuzz::fault_of_json("{\"a\": }\n") != "");
    BOOST_TEST(fuzz::fault_of_page("no end") != "");
}

BOOST_AUTO_TEST_SUITE_END()
