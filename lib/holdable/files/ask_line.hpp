// SPDX-License-Identifier: MIT
/// Steps through a question in one line, and keeps the list of what is wrong with it.
///
/// Blanks, tabs and a comma before a blank part words; a comma between digits parts the two numbers
/// of a place and is nothing else. What is wrong is put on the list with its column, a stand-in is
/// returned, and reading goes on, so that all of it is said at once.
#pragma once

#include "holdable/base/error.hpp"
#include "holdable/files/ask.hpp"

#include <cstddef>
#include <optional>
#include <set>
#include <string>
#include <string_view>
#include <vector>

namespace holdable {

/// Whether it is one of 0 … 9.
inline bool is_digit(char c) {
    return c >= '0' && c <= '9';
}

/// Where reading stands, from a first byte to an end.
class AskLine {
  public:
    /// @param line all of it, UTF-8
    explicit AskLine(std::string_view line) : line_(line), end_(line.size()) {}

    /// Reads from here on, up to an end (bytes from the front of the line).
    void part(std::size_t from, std::size_t end);

    /// Skips blanks. @return whether anything is left of the part
    bool more();

    /// Skips blanks, but no comma.
    void blanks();

    std::size_t at() const { return at_; }

    void back_to(std::size_t at) { at_ = at; }

    /// What is left of the part.
    std::string_view rest() const { return line_.substr(at_, end_ - at_); }

    /// Without blanks at its end.
    std::string_view text(std::size_t from) const;

    /// Skips so many bytes.
    void skip(std::size_t bytes) { at_ += bytes; }

    /// Takes a sign that stands right here.
    bool take(std::string_view sign);

    /// Takes a word, letters of either case; not a part of one.
    bool take_word(std::string_view word);

    /// The word that stands right here; empty if none does.
    std::string_view peek_word() const;

    /// Whether a number begins here, with or without a sign.
    bool number_next();

    /// Takes "Ø".
    bool take_round();

    /// Takes "±".
    bool take_plus_minus();

    /// Takes "x" or "×".
    bool take_times();

    /// Takes a number without sign [ask-number, ask-comma]; empty, and reported, if none is here.
    std::string number(bool in_place = false);

    /// Takes a number and its unit, if one stands there; the number may have a sign in a place only
    /// [ask-range].
    AskedLength length(bool in_place = false);

    /// Takes a unit, if one stands here [ask-unit, unit-refused].
    std::optional<AskedUnit> unit();

    /// Takes a whole number [ask-number]. @return within these limits
    int whole(int low, int high);

    /// Takes "6,4", "X6 Y4" [ask-place, ask-comma].
    AskedPlace place();

    // ---- what is wrong

    /// Column of a byte, from 1, in characters.
    int column(std::size_t at) const;

    /// Puts a diagnostic on the list, at a byte of the line.
    void wrong(std::size_t at, Diagnostic diagnostic);

    /// The same at a column.
    void wrong_in(int column, Diagnostic diagnostic);

    /// Does the work, and puts what it throws on the list. @return whether it threw nothing
    template <class Work>
    bool attempt(int column, const Work& work) {
        try {
            work();
            return true;
        } catch (const InputError& error) {
            for (auto diagnostic : error.diagnostics())
                wrong_in(column, std::move(diagnostic));
            return false;
        }
    }

    /// How much is on the list.
    std::size_t faults() const { return wrong_.size(); }

    /// Whether, of what came on the list since it held so much, something was not understood, so
    /// that what seems to be missing may be that.
    bool puzzled(std::size_t since) const;

    /// @throws InputError with all that is on the list, by column
    void finish();

    /// Columns of numbers that have no unit of their own.
    std::set<int> bare;

  private:
    std::string_view line_;
    std::size_t at_ = 0;
    std::size_t end_;
    std::vector<Diagnostic> wrong_;
};

} // namespace holdable
