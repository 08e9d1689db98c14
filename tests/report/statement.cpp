// SPDX-License-Identifier: MIT
// The page for the quote in text, HTML and JSON, from the demonstration shop: what must stand on it
// (the list of its contents), what must not (words of a certificate, repair hints for a customer),
// that it is well-formed and nothing from a file becomes markup, and how its numbers are rounded.
// Against rules written here; the wording of the page was recorded after reading it.
#include "holdable/answer/statement.hpp"

#include "holdable/files/document.hpp"
#include "holdable/files/read_job.hpp"
#include "holdable/files/read_machine.hpp"
#include "holdable/files/text.hpp"
#include "holdable/report/html.hpp"
#include "holdable/report/page.hpp"
#include "holdable/report/statement_html.hpp"
#include "holdable/report/statement_json.hpp"
#include "holdable/report/statement_text.hpp"
#include "holdable/report/svg.hpp"
#include "holdable/report/try_change.hpp"
#include "report/markup.hpp"

#include <boost/test/unit_test.hpp>

#include <algorithm>
#include <cctype>
#include <sstream>
#include <string>

using namespace holdable;

namespace {

const Statement& demo() {
    static const Statement made = [] {
        const std::string machine = HOLDABLE_ROOT "/budgets/demo/machine.json";
        const std::string job = HOLDABLE_ROOT "/budgets/demo/job-inch.json";
        return statement(read_machine(parse_document(read_text(machine), machine), machine),
                         read_job(parse_document(read_text(job), job), job),
                         {});
    }();
    return made;
}

Edition edition(bool shop_copy = false, PageUnits units = PageUnits::as_asked) {
    return {"1.2.3",
            {{"machine.json", "0123456789abcdef" + std::string(48, '0')}},
            units,
            shop_copy,
            shop_copy};
}

std::string text_of(const Edition& e) {
    return statement_text(statement_page(demo(), e));
}

std::string lower(std::string text) {
    std::transform(text.begin(), text.end(), text.begin(), [](unsigned char c) {
        return static_cast<char>(std::tolower(c));
    });
    return text;
}

/// Lines joined, so that words are found across their ends.
std::string flat(const std::string& text) {
    std::istringstream in(text);
    std::string all;
    for (std::string word; in >> word;)
        all += (all.empty() ? "" : " ") + word;
    return all;
}

} // namespace

BOOST_AUTO_TEST_SUITE(statement_reports)

BOOST_AUTO_TEST_CASE(text_has_all_that_the_page_must_say) {
    const auto text = text_of(edition());
    std::istringstream in(text);
    for (std::string line; std::getline(in, line);)
        BOOST_TEST(columns(line) <= page_width, line);
    const auto words = flat(text);
    for (const auto* must :
         {"Shop capability statement, number 2025-04-07-",
          "Hollow Oak Machine Shop (invented), Mill Lane 3",
          "X 1 in to 15 in (of 0 in to 16 in)",
          "BB-14, revision C",
          "Q-207",
          "Issued 2025-04-07",
          "Valid until 2025-07-06",
          "95 % of the parts keep, with 95 % confidence",
          "Ø.0012 in",
          "part at 71 °F, machine at 70 °F",
          "at most a 5 % chance that the part is out",
          "the customer named none",
          "8 in square: certificate D-2287, due 2026-01-31",
          "the instrument turned between two settings: Z square to X",
          "not checked on this machine, and taken from its class: positioning of Y",
          "or until the machine crashes, is moved",
          "R. Alder, owner",
          "Signed",
          "Not a certificate of conformity, calibration or accreditation",
          "holdable 1.2.3; machine.json 0123456789abcdef; seed 1"})
        BOOST_TEST(words.find(must) != std::string::npos, must << " is missing");
}

BOOST_AUTO_TEST_CASE(words_that_a_statement_must_not_use) {
    auto text = lower(flat(text_of(edition(true))));
    const std::string denied = "not a certificate of conformity, calibration or accreditation";
    const auto at = text.find(denied);
    BOOST_REQUIRE(at != std::string::npos);
    text.erase(at, denied.size());
    for (const auto* never : {"accredited", "certified", "cmc", "conformity", "we guarantee"})
        BOOST_TEST(text.find(never) == std::string::npos, never << " is on the page");
}

BOOST_AUTO_TEST_CASE(repair_hints_are_for_the_shop) {
    BOOST_TEST(text_of(edition()).find("Would help") == std::string::npos);
    BOOST_TEST(text_of(edition(true)).find("Would help, bore 1") != std::string::npos);
    const auto customer = statement_html(statement_page(demo(), edition()), {});
    BOOST_TEST(customer.find("would help") == std::string::npos);
    BOOST_TEST(customer.find("<script") == std::string::npos);
}

BOOST_AUTO_TEST_CASE(rounded_up_and_no_finer_than_it_is_known) {
    Callout lean;
    lean.kind = Requirement::flatness;
    lean.feature = Face{};
    BOOST_TEST(claimed(8.91e-6, 0, lean, Habit::metric) == "9.0 µm");
    BOOST_TEST(claimed(8.91e-6, 1.2e-6, lean, Habit::metric) == "9 µm");
    BOOST_TEST(claimed(8.91e-6, 0.12e-6, lean, Habit::metric) == "9.0 µm");
    BOOST_TEST(claimed(12.1e-6, 12e-6, lean, Habit::metric) == "0.02 mm"); // a digit stays
    BOOST_TEST(claimed(0.00000992, 0, lean, Habit::inch) == ".00040 in");
    BOOST_TEST(claimed(0.00000992, 1.9e-6, lean, Habit::inch) == ".00040 in");
    BOOST_TEST(claimed(0.00000992, 3e-6, lean, Habit::inch) == ".0004 in");
    lean.kind = Requirement::position;
    lean.feature = Holes{Hole{}};
    BOOST_TEST(claimed(50.1e-6, 0, lean, Habit::metric) == "Ø0.051 mm");
    lean.kind = Requirement::diameter;
    BOOST_TEST(claimed(50.1e-6, 0, lean, Habit::metric) == "±0.051 mm");
}

BOOST_AUTO_TEST_CASE(units_as_wanted) {
    const auto metric = flat(text_of(edition(false, PageUnits::metric)));
    BOOST_TEST(metric.find("X 25.4 mm to 381 mm (of 0 mm to 406 mm)") != std::string::npos);
    BOOST_TEST(metric.find("part at 21.7 °C") != std::string::npos);
    const auto both = text_of(edition(false, PageUnits::both));
    BOOST_TEST(both.find("in (") != std::string::npos);
    std::istringstream in(both);
    for (std::string line; std::getline(in, line);)
        BOOST_TEST(columns(line) <= page_width, line);
}

BOOST_AUTO_TEST_CASE(html_is_well_formed_and_nothing_from_a_file_is_markup) {
    auto hostile = demo();
    const std::string name = "<script>alert(1)</script>\"'&\x01";
    hostile.answer.shop = hostile.answer.machine = hostile.customer = name;
    hostile.drawing = hostile.quote = hostile.card.responsible = hostile.card.holding = name;
    hostile.material = name;
    for (auto& claim : hostile.claims) {
        claim.feature = claim.gauge = name;
        claim.not_offered = name;
        claim.audit->lines[0].input.meaning = name;
    }
    for (auto& instrument : hostile.instruments)
        instrument.name = name;
    for (auto& check : hostile.checks)
        check.name = check.kind = check.self_check = name;
    for (const bool shop_copy : {false, true}) {
        auto e = edition(shop_copy);
        e.digests[0].first = name;
        HtmlParts parts;
        parts.pictures = {{"one", name, name, name + "\nsecond line\n", "<svg></svg>"}};
        if (shop_copy)
            parts.try_a_change = try_change_section(hostile, e);
        const auto html = statement_html(statement_page(hostile, e), parts);
        BOOST_TEST(tests::wrong_with_markup(html) == "");
        BOOST_TEST(html.find("<script>alert") == std::string::npos);
        BOOST_TEST(html.find("&lt;script&gt;alert(1)&lt;/script&gt;&quot;&#39;&amp; ") !=
                   std::string::npos);
    }
}

BOOST_AUTO_TEST_CASE(the_checker_of_markup_finds_mistakes) {
    BOOST_TEST(tests::wrong_with_markup("<p>a <b>c</b></p>") == "");
    BOOST_TEST(tests::wrong_with_markup("<p>a <b>c</p></b>") != "");
    BOOST_TEST(tests::wrong_with_markup("<p class=x>a</p>") != "");
    BOOST_TEST(tests::wrong_with_markup("<p>a") != "");
    BOOST_TEST(tests::wrong_with_markup("<p>a & b, which is long</p>") != "");
}

BOOST_AUTO_TEST_CASE(escapes) {
    BOOST_TEST(xml_escaped("a<b>&\"'") == "a&lt;b&gt;&amp;&quot;&#39;");
    BOOST_TEST(xml_escaped("\u202Eabc\u2066x\u200F") == " abc x ");
    BOOST_TEST(xml_escaped("tab\there\x7f") == "tab here ");
    BOOST_TEST(xml_escaped("Ø ± µ “x”") == "Ø ± µ “x”");
    BOOST_TEST(script_escaped("{\"a\":\"</script>&\"}") ==
               "{\"a\":\"\\u003c/script\\u003e\\u0026\"}");
}

BOOST_AUTO_TEST_CASE(appendix_has_what_an_auditor_asks_for) {
    const auto text = flat(text_of(edition(true)));
    for (const auto* must : {"Appendix for the audit",
                             "by its kinematic chain",
                             "rectangular, limits only are known: half-width / √3",
                             "Monte Carlo",
                             "first order does not apply",
                             "Readings behind each Type A evaluation",
                             "ZX turned: ",
                             "left after the solve"})
        BOOST_TEST(text.find(must) != std::string::npos, must << " is missing");
    const auto page = statement_page(demo(), edition(true));
    BOOST_TEST(page.appendix.size() == demo().claims.size());
    for (const auto& one : page.appendix)
        BOOST_TEST(one.inputs.rows.size() > 5U);
    BOOST_TEST(page.checks.rows.size() == demo().checks.size());
    std::size_t readings = 0;
    for (const auto& check : demo().state->checks)
        readings += static_cast<std::size_t>(check.readings);
    BOOST_TEST(page.readings.rows.size() == readings);
}

BOOST_AUTO_TEST_CASE(json_says_the_same) {
    const auto json = statement_json(demo(), edition());
    const auto root = parse_document(json, "statement");
    BOOST_TEST(json.find("\"holdable\": \"statement-result/1\"") != std::string::npos);
    BOOST_TEST(json.find("\"sha256\": \"0123456789abcdef") != std::string::npos);
    const auto page = statement_page(demo(), edition());
    for (const auto& claim : page.claims)
        BOOST_TEST(json.find("\"text\": \"" + claim.capability + "\"") != std::string::npos);
}

BOOST_AUTO_TEST_SUITE_END()
