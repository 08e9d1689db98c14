// SPDX-License-Identifier: MIT
/// The words of a question in one line: kinds, ways of making holes, materials, and what is known
/// of the trade but not asked in a line.
#pragma once

#include "holdable/part/callout.hpp"

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace holdable {

/// What a kind of callout wants in a line.
struct AskedKind {
    std::string_view words; ///< blank between, the first canonical
    Requirement kind;
    bool depth = false; ///< of a height: downwards
};

/// The kind that a word names, letters of either case.
const AskedKind* asked_kind(std::string_view word);

/// The first word of a kind: "pos", "depth".
std::string_view kind_word(Requirement kind, bool depth);

/// The way of making holes that a word names: "bored", "boring".
std::optional<HoleMaking> asked_making(std::string_view word);

/// Its canonical word: "bored".
std::string_view making_word(HoleMaking making);

/// Whether a word is of the trade, but needs a job file: "coax", "slot".
bool needs_a_file(std::string_view word);

/// Whether a word may stand anywhere and says nothing: "bore", "hole", "within".
bool says_nothing(std::string_view word);

/// A material found in a text.
struct FoundMaterial {
    std::string_view name;  ///< as in standards/expansion.hpp
    std::size_t length = 0; ///< bytes of the text that name it
};

/// The longest name of a material at the front of a text, letters of either case; the shop's short
/// names too, "6061" for aluminium 6061, where they mean one material.
std::optional<FoundMaterial> material_at(std::string_view text);

/// All words and names, for the nearest to one that is not known.
const std::vector<std::string_view>& asked_words();

/// All names of materials, long and short.
const std::vector<std::string_view>& asked_materials();

/// Small letters for capital ones, ASCII only.
std::string lower_case(std::string_view text);

} // namespace holdable
