// SPDX-License-Identifier: MIT
/// What can go wrong, and how it is said.
///
/// Three kinds, three mechanisms. The user's file or words are wrong: `InputError`, carrying every
/// diagnostic found, each with its place. The mathematics is impossible (singular solve, a
/// correlation matrix that is none): `NumericError`, naming the quantity and what to do. Our own
/// bug: `assert`. Warnings are data: results carry `notes`.
#pragma once

#include <stdexcept>
#include <string>
#include <vector>

namespace holdable {

/// A place in the user's input. Lines and columns count from 1, columns in characters; 0 = unknown.
struct Location {
    std::string file;    ///< name as the user gave it; "-" for standard input; empty for none
    int line = 0;        ///< line, from 1
    int column = 0;      ///< column in characters, from 1
    std::string pointer; ///< JSON Pointer of the value (RFC 6901), empty if none
};

/// One thing wrong with the input: what was expected, what was found, and how to mend it.
struct Diagnostic {
    std::string id;      ///< stable kebab-case word, documented in docs/errors.md
    Location location;   ///< where
    std::string message; ///< lower case, one line, the offending text in quotes
    std::string hint;    ///< what to write instead; may be empty
};

/// Prints a diagnostic: `file:line:column: error: message [id]`, then place and hint indented.
std::string to_string(const Diagnostic& diagnostic);

/// The input is wrong. Holds all diagnostics of the input, at least one, in the order found.
class InputError : public std::runtime_error {
  public:
    explicit InputError(std::vector<Diagnostic> diagnostics);

    /// One diagnostic without a place, for words that did not come from a file.
    InputError(std::string id, std::string message, std::string hint = {});

    const std::vector<Diagnostic>& diagnostics() const { return diagnostics_; }

  private:
    std::vector<Diagnostic> diagnostics_;
};

/// The numbers cannot be computed from this (valid) input; `what()` names the quantity and a
/// remedy.
class NumericError : public std::runtime_error {
  public:
    using std::runtime_error::runtime_error;
};

} // namespace holdable
