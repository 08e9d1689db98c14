// SPDX-License-Identifier: MIT
// The page for the quote in a real browser: headless Chromium, an engine that is not ours. It asks
// nothing of the network, does not overflow at 1280 and 390 px, prints the demonstration to one
// sheet of Letter and of A4 with its words in it (pdftotext), keeps a shop called <script> as text,
// and its section "Try a change" comes to the limits of the library (`limit_after`) within 1e-6,
// the accuracy of its log-gamma with room. Where Chromium or pdftotext cannot be had: skipped.
#include "holdable/answer/statement.hpp"
#include "holdable/files/document.hpp"
#include "holdable/files/read_job.hpp"
#include "holdable/files/read_machine.hpp"
#include "holdable/files/text.hpp"
#include "holdable/report/statement_html.hpp"
#include "holdable/report/try_change.hpp"

#include <boost/test/unit_test.hpp>
#include <fmt/format.h>

#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <sstream>
#include <string>
#include <string_view>
#include <unistd.h>

using namespace holdable;
namespace fs = std::filesystem;
namespace tt = boost::test_tools;

namespace {

bool there(const std::string& program) {
    return std::system(("command -v " + program + " >/dev/null 2>&1").c_str()) == 0;
}

std::string output_of(const std::string& command) {
    std::string text;
    if (FILE* pipe = popen(command.c_str(), "r")) {
        char buffer[4096];
        while (const auto n = std::fread(buffer, 1, sizeof buffer, pipe))
            text.append(buffer, n);
        pclose(pipe);
    }
    return text;
}

/// A folder of the test's own.
struct Folder {
    fs::path path;

    Folder() {
        auto name = (fs::temp_directory_path() / "holdable-browser-XXXXXX").string();
        BOOST_REQUIRE(mkdtemp(name.data()) != nullptr);
        path = name;
    }

    ~Folder() {
        std::error_code ignored;
        fs::remove_all(path, ignored);
    }

    std::string write(const std::string& name, std::string_view text) const {
        std::ofstream(path / name) << text;
        return (path / name).string();
    }

    std::string browser(const std::string& options) const {
        return output_of(fmt::format("timeout 120 chromium --headless --no-sandbox --disable-gpu "
                                     "--no-first-run --user-data-dir='{}' {} 2>/dev/null",
                                     (path / "profile").string(),
                                     options));
    }
};

const Shop& shop() {
    static const Shop shop = [] {
        const std::string path = HOLDABLE_ROOT "/budgets/quote/machine.json";
        return read_machine(parse_document(read_text(path), path), path);
    }();
    return shop;
}

const Statement& demo() {
    static const Statement made = [] {
        const std::string path = HOLDABLE_ROOT "/budgets/quote/job.json";
        return statement(shop(), read_job(parse_document(read_text(path), path), path), {});
    }();
    return made;
}

Edition edition(bool shop_copy) {
    return {"0.0.0",
            {{"machine.json", std::string(64, 'a')}},
            PageUnits::as_asked,
            shop_copy,
            shop_copy};
}

std::string page_of(const Statement& s, bool shop_copy, Paper paper = Paper::letter) {
    const auto e = edition(shop_copy);
    HtmlParts parts;
    parts.paper = paper;
    if (shop_copy)
        parts.try_a_change = try_change_section(s, e);
    return statement_html(statement_page(s, e), parts);
}

/// The page with a script at its end that leaves something in the page's title.
std::string with_probe(std::string html, const std::string& script) {
    const auto end = html.rfind("</body>");
    BOOST_REQUIRE(end != std::string::npos);
    return html.insert(end, "<script>document.title = String((" + script + "));</script>");
}

std::string title_of(const std::string& dom) {
    const auto from = dom.find("<title>");
    const auto to = dom.find("</title>");
    BOOST_REQUIRE(from != std::string::npos);
    return dom.substr(from + 7, to - from - 7);
}

std::string probe(const Folder& folder, const std::string& html, const std::string& script) {
    const auto file = folder.write("probe.html", with_probe(html, script));
    return title_of(folder.browser("--window-size=1280,1600 --dump-dom 'file://" + file + "'"));
}

} // namespace

BOOST_AUTO_TEST_SUITE(browser)

BOOST_AUTO_TEST_CASE(asks_nothing_of_the_network) {
    const Folder folder;
    for (const bool shop_copy : {false, true}) {
        const auto html = page_of(demo(), shop_copy);
        BOOST_TEST(probe(folder, html, "performance.getEntriesByType('resource').length") == "0");
        for (const auto* of : {"src=", "@import", "url(", "href="})
            BOOST_TEST(html.find(of) == std::string::npos, of << " in the page");
    }
    BOOST_TEST(page_of(demo(), false).find("<script") == std::string::npos);
}

BOOST_AUTO_TEST_CASE(nothing_overflows) {
    const Folder folder;
    for (const int width : {1280, 390}) {
        // In a frame of that width: a window of the browser is never so narrow.
        std::string source;
        for (const char c : page_of(demo(), true))
            source += c == '&'   ? std::string("&amp;")
                      : c == '"' ? std::string("&quot;")
                                 : std::string(1, c);
        const auto file = folder.write(
            "frame.html",
            fmt::format(
                "<!DOCTYPE html><title>none</title><body><iframe id=\"f\" "
                "style=\"border:0;width:{}px;height:900px\" srcdoc=\"{}\"></iframe><script>"
                "document.getElementById('f').onload = e => {{ const d = "
                "e.target.contentDocument.documentElement; document.title = d.scrollWidth + "
                "' ' + d.scrollHeight; }};</script></body>",
                width,
                source));
        const auto said = title_of(folder.browser(
            "--virtual-time-budget=8000 --window-size=1400,1200 --dump-dom 'file://" + file + "'"));
        int wide = 0, high = 0;
        BOOST_REQUIRE(std::sscanf(said.c_str(), "%d %d", &wide, &high) == 2);
        BOOST_TEST(wide <= width);
        BOOST_TEST(high > 900);
        const auto picture = folder.path / fmt::format("{}.png", width);
        folder.browser(fmt::format(
            "--window-size={},2000 --screenshot='{}' 'file://{}'", width, picture.string(), file));
        std::error_code none;
        BOOST_TEST(fs::file_size(picture, none) > 20000U);
    }
}

BOOST_AUTO_TEST_CASE(prints_to_one_sheet) {
    const Folder folder;
    for (const auto paper : {Paper::letter, Paper::a4}) {
        const auto file = folder.write("page.html", page_of(demo(), false, paper));
        const auto pdf = (folder.path / "page.pdf").string();
        folder.browser("--no-pdf-header-footer --print-to-pdf='" + pdf + "' 'file://" + file + "'");
        const auto facts = output_of("pdfinfo '" + pdf + "'");
        BOOST_TEST(facts.find("Pages:           1\n") != std::string::npos, facts);
        BOOST_TEST(facts.find(paper == Paper::a4 ? "(A4)" : "(letter)") != std::string::npos,
                   facts);
        const auto text = output_of("pdftotext -layout '" + pdf + "' -");
        for (const auto* words : {"Shop capability statement",
                                  "Hollow Oak",
                                  "dowel hole",
                                  "Decision rule",
                                  "Not a certificate of conformity",
                                  "signature"})
            BOOST_TEST(text.find(words) != std::string::npos, words << " is not in " << text);
        BOOST_TEST(text.find("would help") == std::string::npos);
    }
}

BOOST_AUTO_TEST_CASE(names_from_files_stay_text) {
    const Folder folder;
    auto hostile = demo();
    const std::string name = "<script>document.title='taken'</script><img src=x onerror=1>\"'&";
    hostile.answer.shop = name;
    hostile.answer.machine = name;
    hostile.customer = name;
    hostile.claims[0].feature = name;
    hostile.checks[0].name = name;
    const auto html = page_of(hostile, true);
    BOOST_TEST(html.find("<img") == std::string::npos);
    BOOST_TEST(probe(folder, html, "document.querySelectorAll('script').length") == "3"); // ours
    const auto shown = probe(folder,
                             html,
                             "document.querySelector('dl dd').textContent.startsWith("
                             "\"<script>document.title='taken'\")");
    BOOST_TEST(shown == "true");
}

BOOST_AUTO_TEST_CASE(a_change_comes_to_what_the_library_says) {
    const Folder folder;
    const auto& s = demo();
    const auto doubts = changeable_doubts(s);
    BOOST_REQUIRE(doubts.size() >= 4U);
    const auto html = page_of(s, true);
    for (std::size_t d = 0; d <= doubts.size(); ++d) { // the last: nothing is changed
        const double typed = d == doubts.size() ? 1 : doubts[d].readings ? 4 : 2.5;
        const double times = d < doubts.size() && doubts[d].readings ? 0.5 : typed;
        const auto set =
            d == doubts.size()
                ? std::string("0")
                : fmt::format("(() => {{ const f = document.getElementById('change-{}');"
                              " f.value = '{}'; f.dispatchEvent(new Event('input', "
                              "{{bubbles: true}})); return 0; }})()",
                              d,
                              typed);
        const auto said = probe(folder,
                                html,
                                set + ", [...document.querySelectorAll('[id^=first-order-]')].map("
                                      "o => o.getAttribute('data-metres')).join(' ')");
        std::istringstream numbers(said);
        for (const auto& claim : s.claims) {
            if (!claim.audit)
                continue;
            std::vector<double> factors;
            for (const auto& line : claim.audit->lines) {
                const auto& meaning =
                    line.input.meaning.empty() ? line.input.name : line.input.meaning;
                factors.push_back(d < doubts.size() && meaning == doubts[d].meaning ? times : 1);
            }
            double shown = 0;
            BOOST_REQUIRE(numbers >> shown);
            BOOST_TEST(shown == limit_after(*claim.audit, factors), tt::tolerance(1e-6));
        }
    }
}

BOOST_AUTO_TEST_SUITE_END()

int main(int argc, char** argv) {
    constexpr int skipped = 77; // as tests/CMakeLists.txt has it
    for (const auto* program : {"chromium", "pdftotext", "pdfinfo"})
        if (!there(program)) {
            fmt::print("skipped: {} is not installed\n", program);
            return skipped;
        }
    return boost::unit_test::unit_test_main([] { return true; }, argc, argv);
}
