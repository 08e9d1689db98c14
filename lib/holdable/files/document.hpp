// SPDX-License-Identifier: MIT
/// A JSON text as a tree in which every value knows where it begins.
///
/// Accepted: JSON (RFC 8259) with comments, after an optional byte order mark. Lines end with LF or
/// CRLF; columns count characters (code points), so that they agree with an editor whatever
/// precedes the value. Refused beyond the grammar: bytes that are not UTF-8, a key given twice, too
/// large numbers, strings that are not `printable`, and texts beyond the limits below.
#pragma once

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

namespace holdable {

/// Limits of a document: bytes, nesting (a lone number has depth 0, `[]` depth 1), values.
inline constexpr std::size_t document_bytes = std::size_t{16} << 20;
inline constexpr std::size_t document_depth = 64;
inline constexpr std::size_t document_values = 1'000'000;

/// A place in a text; lines and columns from 1, columns in characters.
struct Place {
    int line = 1;   ///< line, from 1
    int column = 1; ///< column in characters, from 1
};

struct Member;

/// A JSON value.
struct Node {
    /// What the value is.
    enum class Kind { null, boolean, number, string, array, object };

    Kind kind = Kind::null;
    Place place;          ///< of its first character
    std::string text;     ///< a string's content, or a number as written
    double number = 0;    ///< of a number, finite
    bool escaped = false; ///< a string written with `\`: columns within it are not the file's
    bool boolean = false; ///< of true and false
    std::vector<Member> members; ///< of an object, in the order written; keys differ
    std::vector<Node> elements;  ///< of an array
};

/// A key and its value.
struct Member {
    std::string key;
    Place place; ///< of the key's opening quote
    Node value;
};

/// Reads a whole text. `file` is the name put into diagnostics.
/// @throws InputError [json-utf8, json-syntax, json-number, json-limit] at the first such place;
/// [json-duplicate-key, json-control] for all such keys and strings
Node parse_document(std::string_view text, const std::string& file);

/// A key as a step of a JSON Pointer: `/` before it, `~` as `~0`, `/` as `~1` (RFC 6901, 3).
std::string pointer_step(std::string_view key);

} // namespace holdable
