// SPDX-License-Identifier: MIT
#include "holdable/report/statement_html.hpp"

#include "holdable/report/svg.hpp"

#include <fmt/format.h>

namespace holdable {
namespace {

constexpr std::string_view style = R"css(
:root { --ink: #1c2b33; --soft: #5b676e; --line: #b9c0c4; --paper: #fff; }
* { box-sizing: border-box; }
html { background: #eceeef; }
body { margin: 0; color: var(--ink); font: 15px/1.45 "Source Sans 3", "Segoe UI", "Noto Sans",
  "DejaVu Sans", Arial, sans-serif; font-variant-numeric: tabular-nums; }
main { max-width: 860px; margin: 24px auto; background: var(--paper); padding: 44px 52px; }
header { border-bottom: 3px solid var(--ink); padding-bottom: 10px; margin-bottom: 14px;
  display: flex; flex-wrap: wrap; gap: 4px 24px; align-items: baseline; }
h1 { font-size: 25px; line-height: 1.15; margin: 0; letter-spacing: -.01em; flex: 1 1 auto; }
header .number { color: var(--soft); }
header .subject { flex: 1 0 100%; font-size: 17px; }
h2 { font-size: 18px; margin: 34px 0 8px; border-top: 1px solid var(--line); padding-top: 14px; }
h3 { font-size: 15px; margin: 20px 0 4px; }
dl.facts { display: grid; grid-template-columns: max-content 3fr max-content 4fr; gap: 1px 14px;
  margin: 0 0 12px; }
dl.facts dt, .label { color: var(--soft); }
dl.facts dd { margin: 0; overflow-wrap: anywhere; }
p { margin: 6px 0; }
table { border-collapse: collapse; width: 100%; margin: 10px 0 14px; }
th { text-align: left; font-weight: 600; color: var(--soft); vertical-align: bottom;
  border-bottom: 1.5px solid var(--ink); padding: 3px 10px 3px 0; }
td { vertical-align: top; border-bottom: 1px solid var(--line); padding: 5px 10px 5px 0;
  overflow-wrap: anywhere; }
th:last-child, td:last-child { padding-right: 0; }
.claims td.offer { font-weight: 700; white-space: nowrap; }
.claims td.offer.none { font-weight: 400; font-style: italic; }
.claims .held, .claims .asked { white-space: nowrap; }
.claims td:first-child { width: 30%; }
.claims td:last-child { width: 23%; }
.claims .detail { display: block; color: var(--soft); font-size: 92%; }
.blocks { columns: 2; column-gap: 30px; }
.blocks section { margin-bottom: 9px; }
.blocks h3 { break-after: avoid; }
.blocks li { break-inside: avoid; }
.blocks h3 { margin: 0 0 1px; font-size: inherit; }
.blocks ul, .plain { margin: 0; padding: 0; list-style: none; }
.blocks li, .plain li { padding-left: 12px; text-indent: -12px; }
.blocks li::before, .plain li::before { content: "– "; color: var(--soft); }
.sign { display: grid; grid-template-columns: 2fr 2fr 1fr; gap: 26px; margin: 20px 0 10px; }
.sign div { border-top: 1px solid var(--ink); padding-top: 2px; color: var(--soft); }
.sign b { display: block; color: var(--ink); font-weight: 400; min-height: 1.45em; margin-top: -1.6em; }
.caution { border: 1.5px solid var(--ink); padding: 6px 10px; font-weight: 600; }
footer { color: var(--soft); font-size: 12px; overflow-wrap: anywhere; }
figure { margin: 22px 0; break-inside: avoid; }
figure svg { width: 100%; height: auto; display: block; }
figcaption { margin-top: 4px; }
figcaption b { display: block; }
details summary { color: var(--soft); cursor: pointer; }
pre { white-space: pre-wrap; font: 12px/1.4 "DejaVu Sans Mono", Consolas, monospace; }
.fine { font-size: 12px; }
.fine td, .fine th { padding: 2px 8px 2px 0; }
.change input { width: 5.5em; font: inherit; padding: 2px 4px; border: 1px solid var(--soft); }
.change output { font-weight: 700; }
.change td.size { color: var(--soft); }
@media (max-width: 640px) {
  html { background: var(--paper); }
  main { margin: 0; padding: 20px 16px; }
  dl.facts { grid-template-columns: max-content 1fr; }
  .blocks { columns: 1; }
  .sign { grid-template-columns: 1fr; gap: 44px; margin-top: 44px; }
  table, tbody, tr, td { display: block; }
  thead { display: none; }
  tr { border-bottom: 1.5px solid var(--ink); padding: 6px 0; }
  td, .claims td:first-child, .claims td:last-child { border: 0; padding: 1px 0; width: auto; }
  td[data-of]::before { content: attr(data-of) ": "; color: var(--soft); font-weight: 400;
    font-style: normal; }
}
@media print {
  html { background: none; }
  body { font-size: 8.3pt; line-height: 1.3; }
  .blocks { columns: 3; column-gap: 20px; }
  .blocks li { display: inline; padding: 0; text-indent: 0; }
  .blocks li::before { content: none; }
  .blocks li:not(:last-child)::after { content: "; "; }
  .blocks section { break-inside: avoid; }
  .sign { margin: 26px 0 8px; }
  main { max-width: none; margin: 0; padding: 0; }
  h1 { font-size: 16pt; }
  header .subject { font-size: 11pt; }
  h2 { font-size: 12pt; break-after: avoid; }
  h3 { font-size: 9.5pt; break-after: avoid; }
  .sheet + section { break-before: page; }
  tr { break-inside: avoid; }
  .fine { font-size: 7.2pt; }
  footer { font-size: 7.4pt; }
  .change, details { display: none; }
}
)css";

class Html {
  public:
    std::string take() { return std::move(out_); }

    void raw(std::string_view text) { out_ += text; }

    /// An element with words in it.
    void put(std::string_view tag, std::string_view text, std::string_view attributes = {}) {
        out_ += fmt::format("<{}{}>{}</{}>\n",
                            tag,
                            attributes.empty() ? "" : fmt::format(" {}", attributes),
                            xml_escaped(text),
                            tag);
    }

    void list(const std::vector<std::string>& lines, std::string_view attributes = {}) {
        out_ += attributes.empty() ? "<ul>\n" : fmt::format("<ul {}>\n", attributes);
        for (const auto& line : lines)
            put("li", line);
        out_ += "</ul>\n";
    }

    void table(const WordTable& words) {
        if (words.rows.empty())
            return;
        out_ += "<table class=\"fine\"><thead><tr>";
        for (const auto& cell : words.head)
            put("th", cell, "scope=\"col\"");
        out_ += "</tr></thead><tbody>\n";
        for (const auto& row : words.rows) {
            out_ += "<tr>";
            for (std::size_t i = 0; i < row.size(); ++i)
                put("td", row[i], fmt::format("data-of=\"{}\"", xml_escaped(words.head[i])));
            out_ += "</tr>\n";
        }
        out_ += "</tbody></table>\n";
    }

  private:
    std::string out_;
};

void claims_table(Html& html, const StatementPage& page) {
    constexpr std::string_view heads[] = {
        "Feature", "Size, or asked", "Capability", "Inspection U", "Offered", "Remarks"};
    html.raw("<table class=\"claims\"><thead><tr>");
    for (const auto& head : heads)
        html.put("th", head, "scope=\"col\"");
    html.raw("</tr></thead><tbody>\n");
    const auto of = [](std::string_view head, std::string_view also = {}) {
        return fmt::format("data-of=\"{}\"{}", head, also);
    };
    for (const auto& c : page.claims) {
        html.raw(fmt::format("<tr><td><b>{}</b><span class=\"detail\">{}</span></td>\n",
                             xml_escaped(c.feature),
                             xml_escaped(c.detail)));
        html.put("td", c.range, of(heads[1], page.sheet ? "" : " class=\"asked\""));
        html.put("td", c.capability, of(heads[2], " class=\"held\""));
        const auto comma = c.inspection.find(", k");
        html.raw(fmt::format("<td {}><span class=\"held\">{}</span>{}</td>\n",
                             of(heads[3]),
                             xml_escaped(c.inspection.substr(0, comma)),
                             comma == std::string::npos
                                 ? ""
                                 : fmt::format("<span class=\"detail\">{}</span>",
                                               xml_escaped(c.inspection.substr(comma + 2)))));
        html.put("td",
                 c.offered,
                 of(heads[4],
                    c.offered == "not offered" ? " class=\"offer none\"" : " class=\"offer\""));
        html.put("td", c.remark, of(heads[5]));
        html.raw("</tr>\n");
    }
    html.raw("</tbody></table>\n");
}

void first_sheet(Html& html, const StatementPage& page) {
    html.raw("<section class=\"sheet\">\n<header>\n");
    html.put("h1", page.title);
    html.put("span", "No. " + page.number, "class=\"number\"");
    if (!page.subtitle.empty())
        html.put("span", page.subtitle, "class=\"subject\"");
    html.raw("</header>\n<dl class=\"facts\">\n");
    for (const auto& [label, text] : page.head) {
        html.put("dt", label);
        html.put("dd", text);
    }
    html.raw("</dl>\n");
    claims_table(html, page);
    html.put("p", page.promise);
    html.raw("<div class=\"blocks\">\n");
    for (const auto& block : page.blocks) {
        html.raw("<section>\n");
        html.put("h3", block.label);
        if (block.lines.size() == 1)
            html.put("p", block.lines.front(), "style=\"margin:0\"");
        else
            html.list(block.lines);
        html.raw("</section>\n");
    }
    html.raw("</div>\n<div class=\"sign\">\n");
    for (const auto& [above, below] : {std::pair{std::string_view(page.responsible), "responsible"},
                                       {"", "signature"},
                                       {"", "date"}})
        html.raw(fmt::format("<div><b>{}</b>{}</div>\n", xml_escaped(above), xml_escaped(below)));
    html.raw("</div>\n");
    html.put("p", page.caution, "class=\"caution\"");
    html.raw("<footer>\n");
    html.put("p", page.edition);
    html.raw("</footer>\n</section>\n");
}

void appendix(Html& html, const StatementPage& page) {
    html.raw("<section class=\"appendix\">\n");
    html.put("h2", "Appendix for the audit");
    for (const auto& one : page.appendix) {
        html.put("h3", one.title);
        html.raw("<dl class=\"facts fine\" style=\"grid-template-columns:max-content 1fr\">\n");
        for (const auto& [label, text] : one.facts) {
            html.put("dt", label);
            html.put("dd", text);
        }
        html.raw("</dl>\n");
        html.table(one.known);
        html.table(one.inputs);
        if (!one.notes.empty())
            html.list(one.notes, "class=\"plain fine\"");
    }
    html.put("h2", "Checks of the machine");
    html.table(page.checks);
    html.put("h2", "Readings behind each Type A evaluation");
    html.table(page.readings);
    html.raw("</section>\n");
}

} // namespace

std::string statement_html(const StatementPage& page, const HtmlParts& parts) {
    Html html;
    html.raw("<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n"
             "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n");
    html.put("title", page.title + " " + page.number);
    html.raw("<style>");
    html.raw(style);
    html.raw(fmt::format("@page {{ size: {}; margin: 13mm 14mm 14mm;\n"
                         "  @bottom-right {{ content: \"No. {}, page \" counter(page) \" of \" "
                         "counter(pages); font: 7.4pt Arial, sans-serif; color: #5b676e; }} }}\n",
                         parts.paper == Paper::a4 ? "A4" : "letter",
                         page.number));
    html.raw("</style>\n</head>\n<body>\n<main>\n");
    first_sheet(html, page);
    if (!page.to_help.empty()) {
        html.raw("<section class=\"help\">\n");
        html.put("h2", "What would help (shop copy only)");
        html.put("p",
                 "Lock out, and block a vertical head, before reaching between table, column and "
                 "spindle. Turn the spindle by hand. Heavy castings move.");
        for (const auto& block : page.to_help) {
            html.put("h3", block.label);
            html.list(block.lines, "class=\"plain\"");
        }
        html.raw("</section>\n");
    }
    if (!page.remarks.empty()) {
        html.raw("<section>\n");
        html.put("h2", "Remarks on files and machine");
        html.list(page.remarks, "class=\"plain\"");
        html.raw("</section>\n");
    }
    html.raw(parts.try_a_change);
    if (!parts.pictures.empty()) {
        html.raw("<section class=\"pictures\">\n");
        html.put("h2", "Pictures");
        for (const auto& picture : parts.pictures) {
            html.raw("<figure>\n");
            html.raw(picture.svg);
            html.raw(fmt::format("\n<figcaption><b>{}</b>{}</figcaption>\n",
                                 xml_escaped(picture.title),
                                 xml_escaped(picture.caption)));
            html.raw("<details><summary>in words</summary>\n<pre>");
            std::string_view rest = picture.text;
            while (!rest.empty()) {
                const auto end = rest.find('\n');
                html.raw(xml_escaped(rest.substr(0, end)));
                html.raw("\n");
                rest.remove_prefix(end == std::string_view::npos ? rest.size() : end + 1);
            }
            html.raw("</pre></details>\n</figure>\n");
        }
        html.raw("</section>\n");
    }
    if (!page.appendix.empty())
        appendix(html, page);
    html.raw("</main>\n</body>\n</html>\n");
    return html.take();
}

} // namespace holdable
