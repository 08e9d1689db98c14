// SPDX-License-Identifier: MIT
/// A table of results, one a line: `draws NAME BITS`, `number NAME 17-DIGITS` or `text NAME WORDS`.
#pragma once

#include <fmt/format.h>

#include <cstdint>
#include <cstring>
#include <span>
#include <string>
#include <string_view>

namespace holdable::determinism {

class Table {
  public:
    /// A digest of the bits of draws (FNV-1a with a shift): any other bit gives another.
    void draws(std::string_view name, std::span<const double> values) {
        std::uint64_t digest = 0xcbf29ce484222325;
        for (const double x : values) {
            std::uint64_t bits = 0;
            std::memcpy(&bits, &x, sizeof bits);
            digest = (digest ^ bits) * 0x100000001b3;
            digest ^= digest >> 29;
        }
        text_ += fmt::format("draws {} {:016x}\n", name, digest);
    }

    void number(std::string_view name, double value) {
        text_ += fmt::format("number {} {:.17g}\n", name, value);
    }

    void text(std::string_view name, std::string_view words) {
        text_ += fmt::format("text {} {}\n", name, words);
    }

    const std::string& text() const { return text_; }

  private:
    std::string text_;
};

/// Draws of each law, formula budgets and promises: base, stats, model and propagate alone.
void engine(Table& table);

/// A job of budgets/ answered, through all layers. @param root of the repository
void job(Table& table, const std::string& root);

} // namespace holdable::determinism
