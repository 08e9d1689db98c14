// SPDX-License-Identifier: MIT
#include "holdable/report/page.hpp"

#include "holdable/base/printable.hpp"

#include <algorithm>

namespace holdable {
namespace {

constexpr std::size_t fact_width = 28; // columns of what a fact is about

bool begins_character(char c) {
    return (static_cast<unsigned char>(c) & 0xC0U) != 0x80U;
}

/// The first `count` characters.
std::string_view first_columns(std::string_view text, std::size_t count) {
    std::size_t seen = 0;
    for (std::size_t i = 0; i < text.size(); ++i)
        if (begins_character(text[i]) && seen++ == count)
            return text.substr(0, i);
    return text;
}

std::string cut(std::string_view text, std::size_t width) {
    auto clean = blanked(text);
    if (columns(clean) <= width)
        return clean;
    return std::string(first_columns(clean, width - 1)) + "…";
}

std::string blanks(std::size_t width, std::size_t used) {
    return std::string(width > used ? width - used : 0, ' ');
}

} // namespace

std::size_t columns(std::string_view text) {
    return static_cast<std::size_t>(std::count_if(text.begin(), text.end(), begins_character));
}

std::string fitted(std::string_view text, std::size_t width) {
    auto result = cut(text, width);
    return result + blanks(width, columns(result));
}

std::string fitted_right(std::string_view text, std::size_t width) {
    auto result = cut(text, width);
    return blanks(width, columns(result)) + result;
}

std::vector<std::string> wrapped(std::string_view text, std::size_t width) {
    const auto clean = blanked(text);
    std::string_view rest = clean;
    std::vector<std::string> lines;
    std::string line;
    std::size_t used = 0;
    const auto end_line = [&] {
        if (used > 0)
            lines.push_back(std::move(line));
        line.clear();
        used = 0;
    };
    while (!rest.empty()) {
        const auto begin = rest.find_first_not_of(' ');
        if (begin == std::string_view::npos)
            break;
        rest.remove_prefix(begin);
        auto word = rest.substr(0, rest.find(' '));
        rest.remove_prefix(word.size());
        if (rest.starts_with(" %")) { // stays with its number
            const auto end = std::min(rest.find(' ', 1), rest.size());
            word = {word.data(), word.size() + end};
            rest.remove_prefix(end);
        }
        if (used > 0 && used + 1 + columns(word) > width)
            end_line();
        while (columns(word) > width) {
            const auto piece = first_columns(word, width);
            lines.emplace_back(piece);
            word.remove_prefix(piece.size());
        }
        if (word.empty())
            continue;
        if (used > 0) {
            line += ' ';
            ++used;
        }
        line += word;
        used += columns(word);
    }
    end_line();
    return lines;
}

void Page::line(std::string_view label, std::string_view text) {
    row((margin_ > 0 ? fitted(label, margin_) : std::string()) + std::string(text));
}

void Page::row(std::string_view text) {
    auto whole = cut(text, page_width);
    whole.erase(whole.find_last_not_of(' ') + 1);
    text_ += whole + '\n';
}

void Page::full(std::string_view text) {
    for (const auto& part : wrapped(text, page_width))
        text_ += part + '\n';
}

void Page::beside(std::string_view label, std::string_view text) {
    for (const auto& part : wrapped(text, width())) {
        line(label, part);
        label = {};
    }
}

void Page::fact(std::string_view label, std::string_view what, std::string_view text) {
    for (const auto& part : wrapped(text, width() - fact_width)) {
        line(label, fitted(what, fact_width) + part);
        label = what = {};
    }
}

void Page::list(std::string_view label, const std::vector<std::string>& items) {
    if (items.size() == 1)
        return beside(label, items.front());
    for (const auto& item : items) {
        std::string_view mark = "- ";
        for (const auto& part : wrapped(item, width() - 2)) {
            line(label, std::string(mark) + part);
            label = {};
            mark = "  ";
        }
    }
}

} // namespace holdable
