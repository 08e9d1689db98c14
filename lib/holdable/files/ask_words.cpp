// SPDX-License-Identifier: MIT
#include "holdable/files/ask_words.hpp"

#include "holdable/standards/expansion.hpp"

#include <algorithm>
#include <utility>

namespace holdable {
namespace {

constexpr AskedKind kinds[] = {
    {"pos position", Requirement::position},
    {"perp perpendicular perpendicularity", Requirement::perpendicularity},
    {"par parallel parallelism", Requirement::parallelism},
    {"flat flatness", Requirement::flatness},
    {"str straight straightness", Requirement::straightness},
    {"round roundness circularity", Requirement::roundness},
    {"cyl cylindrical cylindricity", Requirement::cylindricity},
    {"dia diameter", Requirement::diameter},
    {"dist distance", Requirement::distance},
    {"height high", Requirement::height},
    {"depth", Requirement::height, true},
};

struct Making {
    std::string_view words;
    HoleMaking making;
};

constexpr Making makings[] = {
    {"bored boring", HoleMaking::bored},
    {"reamed reaming", HoleMaking::reamed},
    {"drilled drilling", HoleMaking::drilled},
    {"tapped tapping", HoleMaking::tapped},
    {"milled milling interpolated interpolating", HoleMaking::interpolated},
};

constexpr std::string_view of_files =
    "runout run-out coax coaxial coaxiality concentric concentricity ang angular angularity prof "
    "profile sym symmetry slot slots rib ribs wall walls boss bosses width length mmc lmc rfs";

constexpr std::string_view empty_words = "hole holes bore bores face thru through within";

constexpr std::string_view clause_words =
    "at over deep between and to on of in from part along qty off critical seat each other";

/// What a shop says for a material, where one row of the table is meant.
struct ShortName {
    std::string_view name, material;
};

constexpr ShortName short_names[] = {
    {"6061", "aluminium 6061"},
    {"aluminum 6061", "aluminium 6061"},
    {"7075", "aluminium 7075"},
    {"aluminum 7075", "aluminium 7075"},
    {"1018", "steel"},
    {"1045", "steel"},
    {"4140", "steel"},
    {"4340", "steel"},
    {"mild steel", "steel"},
    {"ductile", "ductile iron"},
    {"gray iron", "grey iron"},
    {"304", "stainless 304"},
    {"316", "stainless 316"},
    {"410", "stainless 410"},
    {"17-4", "stainless 17-4"},
    {"17-4 ph", "stainless 17-4"},
    {"titanium", "titanium 6-4"},
    {"ti 6-4", "titanium 6-4"},
};

bool has_word(std::string_view words, std::string_view word) {
    if (word.empty() || word.find(' ') != std::string_view::npos)
        return false;
    for (std::size_t at = words.find(word); at != std::string_view::npos;
         at = words.find(word, at + 1)) {
        const auto end = at + word.size();
        if ((at == 0 || words[at - 1] == ' ') && (end == words.size() || words[end] == ' '))
            return true;
    }
    return false;
}

void add_words(std::vector<std::string_view>& all, std::string_view words) {
    while (!words.empty()) {
        const auto end = std::min(words.find(' '), words.size());
        all.push_back(words.substr(0, end));
        words.remove_prefix(std::min(end + 1, words.size()));
    }
}

bool is_digit(char c) {
    return c >= '0' && c <= '9';
}

/// Whether a word or a number goes on at the front of the text: "304,6" is no material but a place.
bool goes_on(std::string_view rest) {
    if (rest.empty())
        return false;
    const char c = rest[0];
    return is_digit(c) || (c >= 'a' && c <= 'z') || c == '-' || c == '.' || c == '/' ||
           (c == ',' && rest.size() > 1 && is_digit(rest[1])) ||
           (static_cast<unsigned char>(c) & 0x80) != 0;
}

} // namespace

std::string lower_case(std::string_view text) {
    std::string lower(text);
    for (char& c : lower)
        c = static_cast<char>(c >= 'A' && c <= 'Z' ? c - 'A' + 'a' : c);
    return lower;
}

const AskedKind* asked_kind(std::string_view word) {
    const auto lower = lower_case(word);
    const auto* found = std::find_if(std::begin(kinds), std::end(kinds), [&](const auto& k) {
        return has_word(k.words, lower);
    });
    return found == std::end(kinds) ? nullptr : found;
}

std::string_view kind_word(Requirement kind, bool depth) {
    for (const auto& k : kinds)
        if (k.kind == kind && k.depth == depth)
            return k.words.substr(0, k.words.find(' '));
    return {};
}

std::optional<HoleMaking> asked_making(std::string_view word) {
    const auto lower = lower_case(word);
    for (const auto& m : makings)
        if (has_word(m.words, lower))
            return m.making;
    return std::nullopt;
}

std::string_view making_word(HoleMaking making) {
    for (const auto& m : makings)
        if (m.making == making)
            return m.words.substr(0, m.words.find(' '));
    return {};
}

bool needs_a_file(std::string_view word) {
    return has_word(of_files, lower_case(word));
}

bool says_nothing(std::string_view word) {
    return has_word(empty_words, lower_case(word));
}

std::optional<FoundMaterial> material_at(std::string_view text) {
    std::optional<FoundMaterial> found;
    const auto lower = lower_case(text);
    const auto look = [&](std::string_view name, std::string_view material) {
        const bool there = std::string_view(lower).starts_with(name) &&
                           !goes_on(std::string_view(lower).substr(name.size()));
        if (there && (!found || name.size() > found->length))
            found = FoundMaterial{material, name.size()};
    };
    for (const auto& row : expansions())
        look(row.material, row.material);
    for (const auto& one : short_names)
        look(one.name, one.material);
    return found;
}

const std::vector<std::string_view>& asked_words() {
    static const auto all = [] {
        std::vector<std::string_view> words;
        for (const auto& k : kinds)
            add_words(words, k.words);
        for (const auto& m : makings)
            add_words(words, m.words);
        for (const auto list : {clause_words, empty_words, std::string_view("in mm thou")})
            add_words(words, list);
        words.insert(words.end(), asked_materials().begin(), asked_materials().end());
        return words;
    }();
    return all;
}

const std::vector<std::string_view>& asked_materials() {
    static const auto all = [] {
        std::vector<std::string_view> names;
        for (const auto& row : expansions())
            names.push_back(row.material);
        for (const auto& one : short_names)
            names.push_back(one.name);
        return names;
    }();
    return all;
}

} // namespace holdable
