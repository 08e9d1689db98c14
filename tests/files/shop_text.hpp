// SPDX-License-Identifier: MIT
/// What the tests of machine and job files share.
#pragma once

#include "holdable/base/error.hpp"
#include "holdable/files/document.hpp"
#include "holdable/files/text.hpp"

#include <boost/test/unit_test.hpp>

#include <cstddef>
#include <functional>
#include <ostream>
#include <regex>
#include <set>
#include <string>
#include <utility>
#include <vector>

namespace holdable {

/// A right file with some of its text changed, and what is said of it.
struct Changed {
    std::vector<std::pair<std::string, std::string>> changes; ///< text that stands once, its change
    std::string expected;
};

inline std::ostream& operator<<(std::ostream& out, const Changed& c) {
    for (const auto& [from, to] : c.changes)
        out << from << " -> " << to << "; ";
    return out;
}

inline std::string changed(std::string text,
                           const std::vector<std::pair<std::string, std::string>>& changes) {
    for (const auto& [from, to] : changes) {
        const auto at = text.find(from);
        BOOST_REQUIRE_MESSAGE(at != std::string::npos, from << " stands in the file");
        text.replace(at, from.size(), to);
    }
    return text;
}

/// What is said of a text: all diagnostics, or all notes, or "nothing".
template <class Result>
std::string said(const std::string& text, const std::function<Result(const Node&)>& read) {
    try {
        std::string notes;
        for (const auto& note : read(parse_document(text, "f")).notes)
            notes += (notes.empty() ? "" : "\n") + note;
        return notes.empty() ? "nothing" : notes;
    } catch (const InputError& error) {
        return error.what();
    }
}

/// The ids in what the cases expect.
template <std::size_t N>
std::set<std::string> ids_in(const Changed (&cases)[N]) {
    std::set<std::string> ids;
    const std::regex pattern(R"( \[([a-z]+-[a-z0-9-]+)\](\n|$))");
    for (const Changed& one : cases)
        for (std::sregex_iterator at(one.expected.begin(), one.expected.end(), pattern), end;
             at != end;
             ++at)
            ids.insert((*at)[1]);
    return ids;
}

/// The tree of a file of the repository.
inline Node tree(const std::string& name) {
    return parse_document(read_text(HOLDABLE_ROOT "/" + name), name);
}

} // namespace holdable
