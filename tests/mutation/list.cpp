// SPDX-License-Identifier: MIT
// The list of mistakes of tests/mutation/list, against the sources: each entry's text stands in its
// file exactly once, what it is replaced by differs, its name is its own, and the tests it names
// are built. Whether a test fails for it is seen by tests/mutation/run, which takes an hour. No
// tolerance.
#include <boost/test/unit_test.hpp>

#include <algorithm>
#include <fstream>
#include <iterator>
#include <map>
#include <set>
#include <sstream>
#include <string>
#include <vector>

namespace {

std::string read(const std::string& path) {
    std::ifstream file(HOLDABLE_ROOT "/" + path);
    BOOST_REQUIRE_MESSAGE(file.good(), path << " cannot be read");
    return {std::istreambuf_iterator<char>(file), {}};
}

using Entry = std::map<std::string, std::string>; // by key; its name by "name"

std::string trimmed(const std::string& text) {
    const auto from = text.find_first_not_of(' ');
    return from == std::string::npos ? ""
                                     : text.substr(from, text.find_last_not_of(' ') - from + 1);
}

std::vector<Entry> entries() {
    std::vector<Entry> all;
    std::istringstream lines(read("tests/mutation/list"));
    for (std::string line; std::getline(lines, line);) {
        if (trimmed(line).empty() || line[0] == '#')
            continue;
        if (line[0] != ' ') {
            all.push_back({{"name", trimmed(line)}});
            continue;
        }
        BOOST_REQUIRE(!all.empty());
        const auto text = trimmed(line);
        const auto end = std::min(text.find(' '), text.size());
        all.back()[text.substr(0, end)] = trimmed(text.substr(end));
    }
    return all;
}

std::size_t times(const std::string& text, const std::string& part) {
    std::size_t count = 0;
    for (auto at = text.find(part); at != std::string::npos; at = text.find(part, at + part.size()))
        ++count;
    return count;
}

} // namespace

BOOST_AUTO_TEST_SUITE(mutation_list)

BOOST_AUTO_TEST_CASE(every_mistake_can_be_made) {
    const auto built = read("tests/CMakeLists.txt");
    std::set<std::string> names;
    std::map<std::string, std::string> sources;
    const auto all = entries();
    BOOST_TEST(all.size() >= 100);
    for (const auto& entry : all) {
        BOOST_TEST_CONTEXT(entry.at("name")) {
            BOOST_TEST(names.insert(entry.at("name")).second);
            for (const char* key : {"file", "from", "to", "mistake", "test"})
                BOOST_REQUIRE_MESSAGE(entry.count(key) == 1 && !entry.at(key).empty(), key);
            for (const auto& [key, value] : entry)
                BOOST_TEST(times(" name file from to mistake test run ", " " + key + " ") == 1);
            auto& source = sources[entry.at("file")];
            if (source.empty())
                source = read(entry.at("file"));
            BOOST_TEST(times(source, entry.at("from")) == 1);
            BOOST_TEST(entry.at("from") != entry.at("to"));
            std::istringstream tests(entry.at("test"));
            for (std::string test; tests >> test;)
                BOOST_TEST((times(built, "holdable_test(" + test + "\n") +
                            times(built, "holdable_test(" + test + " ")) == 1);
        }
    }
}

BOOST_AUTO_TEST_SUITE_END()
