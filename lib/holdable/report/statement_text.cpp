// SPDX-License-Identifier: MIT
#include "holdable/report/statement_text.hpp"

#include "holdable/report/page.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace holdable {
namespace {

constexpr std::size_t margin = 16;

constexpr std::size_t asked_width = 30, held_width = 12, doubt_width = 22, offered_width = 14;

std::string
cells(std::string_view asked, std::string_view held, std::string_view u, std::string_view offered) {
    return "  " + fitted(asked, asked_width) + fitted_right(held, held_width) +
           fitted_right(u, doubt_width) + fitted_right(offered, offered_width);
}

/// A claim in two or more lines: what, and the numbers below; where they are wide, each by itself.
void claim(Page& page, const ClaimWords& c) {
    page.full(fmt::format("{}: {}", c.feature, c.detail));
    const bool fits = columns(c.range) <= asked_width && columns(c.capability) < held_width &&
                      columns(c.inspection) < doubt_width && columns(c.offered) < offered_width;
    if (fits)
        page.row(cells(c.range, c.capability, c.inspection, c.offered));
    else
        for (const auto& [what, text] : {std::pair{"size or asked", &c.range},
                                         {"capability", &c.capability},
                                         {"inspection U", &c.inspection},
                                         {"offered", &c.offered}})
            page.row(fmt::format("  {} {}", fitted(what, 14), *text));
    for (const auto& line : wrapped(c.remark, page_width - 4))
        page.row("    " + line);
}

void table(Page& page, const WordTable& words) {
    for (const auto& row : words.rows) {
        std::string text;
        for (std::size_t i = 0; i < row.size(); ++i)
            if (!row[i].empty())
                text += fmt::format(
                    "{}{}{}", text.empty() ? "" : "; ", i == 0 ? "" : words.head[i] + " ", row[i]);
        page.list("", {text});
    }
}

} // namespace

std::string statement_text(const StatementPage& words) {
    Page page(margin);
    page.full(fmt::format("{}, number {}", words.title, words.number));
    if (!words.subtitle.empty())
        page.full(words.subtitle);
    page.gap();
    for (const auto& [label, text] : words.head)
        page.beside(label, text);
    page.gap();
    page.full(words.promise);
    page.gap();
    page.row(cells("size or asked", "capability", "inspection U", "offered"));
    for (const auto& one : words.claims)
        claim(page, one);
    page.gap();
    for (const auto& block : words.blocks)
        page.list(block.label, block.lines);
    for (const auto& block : words.to_help) {
        page.gap();
        page.full("Would help, " + block.label);
        page.list("", block.lines);
    }
    if (!words.remarks.empty())
        page.gap();
    page.list("Notes", words.remarks);
    page.gap();
    page.beside("Responsible", words.responsible.empty() ? "…" : words.responsible);
    page.beside("Signed", "____________________   Date ____________");
    page.gap();
    page.full(words.caution);
    page.full(words.edition);
    if (words.appendix.empty())
        return page.text();

    page.gap();
    page.full("Appendix for the audit");
    for (const auto& one : words.appendix) {
        page.gap();
        page.full(one.title);
        for (const auto& [label, text] : one.facts)
            page.beside(label, text);
        page.beside("Known errors", one.known.rows.empty() ? "none" : "");
        table(page, one.known);
        page.beside("Doubts", one.inputs.rows.empty() ? "none" : "");
        table(page, one.inputs);
        page.list("Notes", one.notes);
    }
    page.gap();
    page.full("Checks");
    table(page, words.checks);
    page.gap();
    page.full("Readings behind each Type A evaluation");
    table(page, words.readings);
    return page.text();
}

} // namespace holdable
