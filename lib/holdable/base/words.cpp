// SPDX-License-Identifier: MIT
#include "holdable/base/words.hpp"

#include "holdable/base/printable.hpp"

#include <algorithm>
#include <cstddef>

namespace holdable {
namespace {

constexpr std::size_t longest_word = 64; // longer ones are no slip of the finger

std::string folded(std::string_view word) {
    std::string text(word);
    for (char& c : text) {
        if (c >= 'A' && c <= 'Z')
            c = static_cast<char>(c - 'A' + 'a');
        else if (c == '-' || c == ' ')
            c = '_';
    }
    return text;
}

/// Letters wrong, missing, too many or swapped with their neighbour, no letter touched twice.
std::size_t edits(std::string_view a, std::string_view b) {
    std::vector<std::size_t> before(b.size() + 1), row(b.size() + 1), next(b.size() + 1);
    for (std::size_t j = 0; j <= b.size(); ++j)
        row[j] = j;
    for (std::size_t i = 1; i <= a.size(); ++i) {
        next[0] = i;
        for (std::size_t j = 1; j <= b.size(); ++j) {
            next[j] = std::min(
                {row[j] + 1, next[j - 1] + 1, row[j - 1] + (a[i - 1] == b[j - 1] ? 0U : 1U)});
            if (i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1])
                next[j] = std::min(next[j], before[j - 2] + 1);
        }
        std::swap(before, row);
        std::swap(row, next);
    }
    return row[b.size()];
}

} // namespace

std::string_view nearest(std::string_view word, const std::vector<std::string_view>& candidates) {
    if (word.size() > longest_word)
        return {};
    const std::string given = folded(word);
    std::string_view best;
    std::size_t fewest = std::max<std::size_t>(1, word.size() / 3) + 1;
    for (const auto candidate : candidates) {
        if (candidate.size() > longest_word)
            continue;
        const std::size_t n = edits(given, folded(candidate));
        if (n < fewest && n < std::max(word.size(), candidate.size())) {
            fewest = n;
            best = candidate;
        }
    }
    return best;
}

std::string in_quotes(std::string_view text) {
    return '"' + shown_in_short(text) + '"';
}

} // namespace holdable
