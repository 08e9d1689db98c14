// SPDX-License-Identifier: MIT
// Files made to break the readers, each with what must be said of it, exactly: nesting, sizes,
// numbers, encodings, names that would steer a terminal, too much of everything. Then every file of
// the demonstration cut short at every byte. Against texts put together here and the grammar of
// JSON (RFC 8259); the messages are typed by hand. What the real program does with pipes, folders
// and huge files is in program.sh.
//
// That time and memory stay bounded is tested by the time this test is allowed (tests/CMakeLists).
#include "fuzz/whole.hpp"
#include "holdable/answer/budget.hpp"
#include "holdable/base/quantity.hpp"
#include "holdable/files/ask.hpp"
#include "holdable/files/limits.hpp"
#include "holdable/files/read_budget.hpp"
#include "holdable/files/read_gauging.hpp"
#include "holdable/files/read_job.hpp"
#include "holdable/files/read_machine.hpp"
#include "holdable/files/text.hpp"
#include "holdable/propagate/monte_carlo.hpp"

#include <boost/test/unit_test.hpp>

#include <algorithm>
#include <functional>
#include <string>
#include <string_view>
#include <vector>

using namespace holdable;
using namespace std::string_literals;

namespace {

const std::string file = "f";
const Date day = parse_date("2025-06-01");

/// What is said of a text: all diagnostics, or nothing.
std::string said(const std::function<void()>& read) {
    try {
        read();
        return {};
    } catch (const InputError& error) {
        return error.what();
    }
}

std::string said_of_document(const std::string& text) {
    return said([&] { parse_document(text, file); });
}

std::string said_of_budget(const std::string& text) {
    return said([&] { read_budget(parse_document(text, file), file); });
}

std::string said_of_machine(const std::string& text) {
    return said([&] { read_machine(parse_document(text, file), file, day); });
}

std::string said_of_job(const std::string& text) {
    return said([&] { read_job(parse_document(text, file), file); });
}

std::string times(std::size_t count, const std::string& text) {
    std::string many;
    many.reserve(count * text.size());
    for (std::size_t i = 0; i < count; ++i)
        many += text;
    return many;
}

/// A list of so many things, each made of its number.
std::string list(std::size_t count, const std::function<std::string(std::size_t)>& one) {
    std::string text;
    for (std::size_t i = 0; i < count; ++i)
        text += (i == 0 ? "" : ",") + one(i);
    return text;
}

std::string first_line(const std::string& text) {
    return text.substr(0, text.find('\n'));
}

std::string last_error(const std::string& text) {
    const auto at = text.rfind("\nf:");
    return at == std::string::npos ? text : text.substr(at + 1);
}

std::size_t count_errors(const std::string& text) {
    std::size_t count = 0;
    for (auto at = text.find(": error: "); at != std::string::npos;
         at = text.find(": error: ", at + 1))
        ++count;
    return count;
}

struct Row {
    std::string what;
    std::string text;
    std::string first; ///< line that is said, nothing if it is read
};

std::ostream& operator<<(std::ostream& out, const Row& row) {
    return out << row.what;
}

// What a text is, its bytes, and the first line that is said of it.
const std::vector<Row>& documents() {
    static const std::vector<Row> rows = {
        {"nothing", "", "f:1:1: error: unexpected end of input; expected a value [json-syntax]"},
        {"blanks",
         " \n\t\r\n ",
         "f:3:2: error: unexpected end of input; expected a value [json-syntax]"},
        {"a comment without an end",
         "/* {}",
         "f:1:6: error: invalid comment; missing closing '*/' [json-syntax]"},
        {"a comment that speaks like a message",
         "[1 /* '; expected a fee",
         "f:1:24: error: invalid comment; missing closing '*/'; expected ']' [json-syntax]"},
        {"a comment that steers",
         "[1 /* ; expected \u202e",
         "f:1:19: error: invalid comment; missing closing '*/'; expected ']' [json-syntax]"},
        {"100 000 brackets",
         times(100'000, "["),
         "f:1:65: error: nested more than 64 deep [json-limit]"},
        {"100 000 braces",
         times(100'000, "{\"a\":"),
         "f:1:321: error: nested more than 64 deep [json-limit]"},
        {"100 000 brackets the other way",
         times(100'000, "]"),
         "f:1:1: error: unexpected ']'; expected a value [json-syntax]"},
        {"64 brackets", times(64, "[") + times(64, "]"), ""},
        {"a number beyond doubles",
         "[1e400]",
         "f:1:2: error: the number 1e400 is too large [json-number]"},
        {"100 000 digits",
         "[-" + times(100'000, "7") + "]",
         "f:1:2: error: the number -" + times(59, "7") + "... is too large [json-number]"},
        {"100 000 decimals", "[0." + times(100'000, "3") + "]", ""},
        {"a number that is nearly 0", "[1e-400, -0]", ""},
        {"NaN", "[NaN]", "f:1:2: error: neither a number nor true, false, null [json-syntax]"},
        {"nan", "[nan]", "f:1:3: error: neither a number nor true, false, null [json-syntax]"},
        {"Infinity",
         "[Infinity]",
         "f:1:2: error: neither a number nor true, false, null [json-syntax]"},
        {"-Infinity",
         "[-Infinity]",
         "f:1:3: error: invalid number; expected digit after '-' [json-syntax]"},
        {"hexadecimal",
         "[0x10]",
         "f:1:3: error: neither a number nor true, false, null; expected ']' [json-syntax]"},
        {"a plus", "[+1]", "f:1:2: error: neither a number nor true, false, null [json-syntax]"},
        {"a leading point",
         "[.5]",
         "f:1:2: error: neither a number nor true, false, null [json-syntax]"},
        {"a point at the end",
         "[1.]",
         "f:1:4: error: invalid number; expected digit after '.' [json-syntax]"},
        {"a leading zero", "[01]", "f:1:3: error: unexpected number; expected ']' [json-syntax]"},
        {"an escape in the text",
         "[\"\x1b[31m\"]",
         "f:1:3: error: invalid string: control character U+001B (ESC) must be escaped to \\u001B "
         "[json-syntax]"},
        {"an escape, escaped",
         "[\"a\\u001b[31m\"]",
         "f:1:2: error: the character U+001B may not stand in a text [json-control]"},
        {"a line feed, escaped",
         "[\"MAKE\\nYES\"]",
         "f:1:2: error: the character U+000A may not stand in a text [json-control]"},
        {"a zero, escaped",
         "[\"\\u0000\"]",
         "f:1:2: error: the character U+0000 may not stand in a text [json-control]"},
        {"delete",
         "[\"\x7f\"]",
         "f:1:3: error: the character U+007F may not stand in a text [json-control]"},
        {"a control of the second kind",
         "[\"\u009b31m\"]",
         "f:1:3: error: the character U+009B may not stand in a text [json-control]"},
        {"right-to-left override",
         "[1,\n \"12 \u202e mm 21\"]",
         "f:2:6: error: the character U+202E may not stand in a text [json-control]"},
        {"an isolate in a key",
         "{\"a\u2066\": 1}",
         "f:1:4: error: the character U+2066 may not stand in a text [json-control]"},
        {"a paragraph separator",
         "[\"\u2029\"]",
         "f:1:3: error: the character U+2029 may not stand in a text [json-control]"},
        {"a name from right to left", "[\"שלום, Ø 12\"]", ""},
        {"not UTF-8",
         "[\"\xff\"]",
         "f:1:3: error: the byte 0xFF does not belong into a text in UTF-8 [json-utf8]"},
        {"overlong: / of two bytes",
         "[\"\xc0\xaf\"]",
         "f:1:3: error: the byte 0xC0 does not belong into a text in UTF-8 [json-utf8]"},
        {"overlong: / of three",
         "[\"\xe0\x80\xaf\"]",
         "f:1:3: error: the byte 0xE0 does not belong into a text in UTF-8 [json-utf8]"},
        {"a surrogate as bytes",
         "[\"\xed\xa0\x80\"]",
         "f:1:3: error: the byte 0xED does not belong into a text in UTF-8 [json-utf8]"},
        {"beyond Unicode",
         "[\"\xf4\x90\x80\x80\"]",
         "f:1:3: error: the byte 0xF4 does not belong into a text in UTF-8 [json-utf8]"},
        {"half a character at the end",
         "[\"\xe2\x82",
         "f:1:3: error: the byte 0xE2 does not belong into a text in UTF-8 [json-utf8]"},
        {"UTF-16",
         "\xff\xfe{\0}\0"s,
         "f:1:1: error: the byte 0xFF does not belong into a text in UTF-8 [json-utf8]"},
        {"a zero byte",
         "[1,\0 2]"s,
         "f:1:4: error: the byte 0x00 does not belong into a text in UTF-8 [json-utf8]"},
        {"a lone surrogate, escaped",
         "[\"\\ud800\"]",
         "f:1:9: error: invalid string: surrogate U+D800..U+DBFF must be followed by "
         "U+DC00..U+DFFF [json-syntax]"},
        {"the second of a pair alone",
         "[\"\\udc00\"]",
         "f:1:8: error: invalid string: surrogate U+DC00..U+DFFF must follow U+D800..U+DBFF "
         "[json-syntax]"},
        {"a pair of surrogates", "[\"\\ud834\\udd1e\"]", ""},
        {"a byte order mark", "\xef\xbb\xbf{}", ""},
        {"two of them",
         "\xef\xbb\xbf\xef\xbb\xbf{}",
         "f:1:1: error: neither a number nor true, false, null [json-syntax]"},
        {"CRLF", "{\r\n\"a\": 1\r\n}\r\n", ""},
        {"a value behind the end",
         "{} {}",
         "f:1:4: error: unexpected '{'; expected end of input [json-syntax]"},
        {"a comma too many",
         "[1,]",
         "f:1:4: error: unexpected ']'; expected a value [json-syntax]"},
        {"a string of a million characters", "[\"" + times(1'000'000, "µ") + "\"]", ""},
        {"a key twice",
         "{\"a\": 1, \"\\u0061\": 2}",
         "f:1:10: error: the key \"a\" is given twice [json-duplicate-key]"},
        {"a key 100 000 times",
         "{" + list(100'000, [](auto) { return "\"a\":1"s; }) + "}",
         "f:1:8: error: the key \"a\" is given twice [json-duplicate-key]"},
        {"more than a million values",
         "[" + list(1'000'001, [](auto) { return "1"s; }) + "]",
         "f:1:2000000: error: more than 1000000 values [json-limit]"},
        {"more than 16 MiB",
         "[\"" + std::string(document_bytes, ' ') + "\"]",
         "f: error: 16777220 bytes are more than the 16777216 a file may have [json-limit]"},
        {"a line of 16 million blanks", std::string(document_bytes - 2, ' ') + "{}", ""},
    };
    return rows;
}

const std::string budget_head = "{\"holdable\":\"budget/1\",";

std::string
budget(const std::string& inputs, const std::string& steps, const std::string& outputs) {
    return budget_head + "\"inputs\":{" + inputs + "},\"steps\":{" + steps + "},\"outputs\":{" +
           outputs + "}}";
}

const std::string one_input = "\"a\":{\"kind\":\"fixed\",\"value\":1}";
const std::string one_output = "\"y\":{\"formula\":\"a\"}";

std::string of_formula(const std::string& formula) {
    return budget(one_input, "", "\"y\":{\"formula\":\"" + formula + "\"}");
}

std::string step(std::size_t i, const std::string& formula) {
    return "\"s" + std::to_string(i) + "\":\"" + formula + "\"";
}

const std::vector<Row>& budgets() {
    static const std::vector<Row> rows = {
        {"10^5 parentheses",
         of_formula(times(100'000, "(") + "a" + times(100'000, ")")),
         "f:1:1: error: 200001 bytes of formulas are more than the 100000 that a budget may have "
         "[too-many]"},
        {"4000 parentheses",
         of_formula(times(4000, "(") + "a" + times(4000, ")")),
         "f:1:204: error: nested more than 100 deep [formula-depth]"},
        {"4000 signs",
         of_formula(times(4000, "-") + "a"),
         "f:1:204: error: nested more than 100 deep [formula-depth]"},
        {"4000 powers",
         of_formula(times(4000, "a^") + "a"),
         "f:1:304: error: nested more than 100 deep [formula-depth]"},
        {"10^5 terms",
         of_formula(times(100'000, "a+") + "a"),
         "f:1:1: error: 200001 bytes of formulas are more than the 100000 that a budget may have "
         "[too-many]"},
        {"6000 terms",
         of_formula(times(6000, "a+") + "a"),
         "f:1:103: error: the formula is longer than 10000 bytes [formula-depth]"},
        {"steps that name each other",
         budget(one_input, "\"p\":\"q+1\",\"q\":\"p+1\"", one_output),
         "f:1:80: error: unknown name \"q\" [formula-name]"},
        {"a step that names itself",
         budget(one_input, "\"p\":\"p+1\"", one_output),
         "f:1:80: error: unknown name \"p\" [formula-name]"},
        {"an output that names itself",
         budget(one_input, "", "\"y\":{\"formula\":\"y\"}"),
         "f:1:104: error: unknown name \"y\" [formula-name]"},
        {"501 inputs",
         budget(list(501,
                     [](auto i) {
                         return "\"x" + std::to_string(i) + "\":{\"kind\":\"fixed\",\"value\":1}";
                     }),
                "",
                one_output),
         "f:1:33: error: 501 inputs are more than the 500 that a budget may have [too-many]"},
        {"501 steps",
         budget(one_input, list(501, [](auto i) { return step(i, "a"); }), one_output),
         "f:1:74: error: 501 steps are more than the 500 that a budget may have [too-many]"},
        {"100 000 outputs",
         budget(one_input,
                "",
                list(100'000,
                     [](auto i) { return "\"y" + std::to_string(i) + "\":{\"formula\":\"a\"}"; })),
         "f:1:87: error: 100000 outputs are more than the 500 that a budget may have [too-many]"},
        {"100 000 parts",
         budget("\"a\":{\"value\":1,\"parts\":[" + list(100'000, [](auto) { return "{}"s; }) + "]}",
                "",
                one_output),
         "f:1:1: error: 100000 parts are more than the 1000 that a budget may have [too-many]"},
        {"names that all hang together",
         budget_head + "\"inputs\":{" + one_input + "},\"correlations\":[{\"between\":[" +
             list(2000, [](auto) { return "\"a\""s; }) + "]}],\"outputs\":{" + one_output + "}}",
         "f:1:81: error: 1999000 pairs with a correlation are more than the 10000 that a budget "
         "may have [too-many]"},
        {"100 000 keys that nobody knows",
         budget_head + list(100'000, [](auto i) { return "\"k" + std::to_string(i) + "\":1"; }) +
             "}",
         "f:1:1: error: the key \"inputs\" is missing [key-missing]"},
        {"a key of a million characters",
         budget_head + "\"" + times(1'000'000, "k") + "\":1,\"inputs\":{" + one_input +
             "},\"outputs\":{" + one_output + "}}",
         "f:1:24: error: unknown key \"" + times(60, "k") + "...\" [key-unknown]"},
        {"a number of 100 000 digits for a text",
         budget_head + "\"title\":0." + times(100'000, "3") + ",\"inputs\":{" + one_input +
             "},\"outputs\":{" + one_output + "}}",
         "f:1:32: error: expected a string, found the number 0." + times(58, "3") +
             "... [field-kind]"},
        {"a name that is markup",
         budget("\"<script>\":{\"kind\":\"fixed\",\"value\":1}", "", one_output),
         "f:1:45: error: \"<script>\" cannot stand in a formula [budget-name]"},
        {"500 000 readings",
         budget("\"a\":{\"kind\":\"readings\",\"unit\":\"mm\",\"values\":[" +
                    list(500'000, [](auto i) { return i % 2 == 0 ? "1"s : "2"s; }) + "]}",
                "",
                "\"y\":{\"formula\":\"a\",\"unit\":\"mm\"}"),
         ""},
    };
    return rows;
}

const std::string mill =
    R"({"holdable":"machine/1","shop":"S","machine":"M","axes":"XYZ",)"
    R"("travel":{"X":{"from":"0 mm","to":"400 mm"},"Y":{"from":"0 mm","to":"300 mm"},)"
    R"("Z":{"from":"-300 mm","to":"0 mm"}},"nose_to_table":"450 mm","class":"entry vmc",)";

const std::string one_line_job = R"({"holdable":"job/1","name":"J","material":"aluminium 6061",)"
                                 R"("quantity":1,"process":"typical",)";

std::string notebook(std::size_t i) {
    return R"({"id":"n)" + std::to_string(i) +
           R"(","kind":"notebook","line":"ZX .0004/12 leans +X, 20 Nov 2024"})";
}

const std::vector<Row>& machines() {
    static const std::string tail = "]}";
    const auto readings = [](std::size_t count) {
        return R"({"id":"d","kind":"straightness","readings":")" + times(count - 1, "1 ") + "1\"}";
    };
    static const std::vector<Row> rows = {
        {"501 checks",
         mill + "\"checks\":[" + list(501, notebook) + tail,
         "f:1:231: error: 501 checks are more than the 500 that a machine file may have "
         "[too-many]"},
        {"a million readings",
         mill + "\"checks\":[" + readings(1'000'000) + tail,
         "f:1:232: error: 1000000 readings up to here are more than the 2000 that a machine file "
         "may have [too-many]"},
        {"stations without end",
         mill + "\"checks\":[{\"id\":\"c\",\"kind\":\"circle\",\"stations\":[" +
             list(300'000, [](auto) { return "\"1°\""s; }) + "]}" + tail,
         "f:1:232: error: 300000 readings up to here are more than the 2000 that a machine file "
         "may have [too-many]"},
        {"a log of a million readings",
         mill + "\"checks\":[{\"id\":\"d\",\"kind\":\"drift\",\"X\":{\"readings\":[" +
             list(900'000, [](auto) { return "0"s; }) + "]}}" + tail,
         "f:1:232: error: 900000 readings of logs up to here are more than the 100000 that a "
         "machine file may have [too-many]"},
        {"501 events",
         mill + "\"events\":[" +
             list(501, [](auto) { return R"({"kind":"crash","date":"2025-01-02"})"s; }) + tail,
         "f:1:231: error: 501 events are more than the 500 that a machine file may have "
         "[too-many]"},
        {"100 000 instruments",
         mill + "\"instruments\":[" +
             list(100'000,
                  [](auto i) {
                      return R"({"id":"i)" + std::to_string(i) +
                             R"(","kind":"indicator","resolution":"1 µm"})";
                  }) +
             tail,
         "f:1:236: error: 100000 instruments are more than the 500 that a machine file may have "
         "[too-many]"},
    };
    return rows;
}

} // namespace

BOOST_AUTO_TEST_SUITE(hostile)

BOOST_AUTO_TEST_CASE(documents_made_to_break_the_reader) {
    for (const auto& row : documents())
        BOOST_TEST_CONTEXT(row)
        BOOST_TEST(first_line(said_of_document(row.text)) == row.first);
}

BOOST_AUTO_TEST_CASE(budgets_made_to_break_the_reader) {
    for (const auto& row : budgets())
        BOOST_TEST_CONTEXT(row)
        BOOST_TEST(first_line(said_of_budget(row.text)) == row.first);
}

// No screen is filled: of more than a hundred mistakes the rest is one line.
BOOST_AUTO_TEST_CASE(mistakes_are_told_up_to_a_hundred) {
    const auto keys = [](std::size_t count) {
        return said_of_budget(
            budget_head + "\"inputs\":{" + one_input + "},\"outputs\":{" + one_output + "}," +
            list(count, [](auto i) { return "\"k" + std::to_string(i) + "\":1"; }) + "}");
    };
    BOOST_TEST(count_errors(keys(100)) == 100);
    BOOST_TEST(keys(100).find("mistakes-many") == std::string::npos);
    for (const std::size_t count : {101, 2000, 200'000}) {
        BOOST_TEST(count_errors(keys(count)) == 101);
        BOOST_TEST(first_line(last_error(keys(count)))
                       .ends_with(": error: there are more than 100 mistakes: the others are not "
                                  "told [mistakes-many]"));
    }
    const auto twice = said_of_document("{" + list(5000, [](auto) { return "\"a\":1"s; }) + "}");
    BOOST_TEST(count_errors(twice) == 101);
    BOOST_TEST(twice.ends_with("[mistakes-many]\n    hint: mend these first"));
    // Wrong values too, of which more are found than kept.
    const auto wrong = said_of_budget(budget("\"a\":{\"kind\":\"readings\",\"values\":[" +
                                                 list(5000, [](auto) { return "true"s; }) + "]}",
                                             "",
                                             one_output));
    BOOST_TEST(count_errors(wrong) == 101);
}

BOOST_AUTO_TEST_CASE(machines_with_too_much_of_everything) {
    for (const auto& row : machines())
        BOOST_TEST(first_line(said_of_machine(row.text)) == row.first, row);
    BOOST_TEST(said_of_machine(mill + "\"checks\":[" + list(500, notebook) + "]}") == "");
}

BOOST_AUTO_TEST_CASE(jobs_with_too_much_of_everything) {
    const auto job = [](std::size_t count) {
        return one_line_job + "\"callouts\":[" +
               list(
                   count,
                   [](auto i) {
                       return R"({"id":"c)" + std::to_string(i) +
                              R"(","diameter":"42 H7","hole":{"place":["200 mm","160 mm"],"top":"80 mm","depth":"30 mm","gauge_length":"140 mm","made_by":"boring"}})";
                   }) +
               "]}";
    };
    BOOST_TEST(said_of_job(job(200)) == "");
    BOOST_TEST(first_line(said_of_job(job(201))) ==
               "f:1:104: error: 201 callouts are more than the 200 that a job may have [too-many]");
    BOOST_TEST(
        first_line(said_of_job(job(20'000))) ==
        "f:1:104: error: 20000 callouts are more than the 200 that a job may have [too-many]");
}

BOOST_AUTO_TEST_CASE(a_planned_check_with_too_many_stations) {
    const auto text =
        R"({"holdable":"gauging/1","title":"t","machine":"none.json","check":{"stations":[)" +
        list(200'000, [](auto) { return "1"s; }) + R"(]},"show":"square"})";
    BOOST_TEST(first_line(said([&] { read_gauging(parse_document(text, file), file, day); })) ==
               "f:1:67: error: 200002 values are more than the 2000 that a planned check may have "
               "[too-many]");
}

// Programs tell mistakes apart by their ids.
BOOST_AUTO_TEST_CASE(ids_of_what_is_refused) {
    const auto id = [](const std::function<void()>& read) {
        try {
            read();
            return ""s;
        } catch (const InputError& error) {
            return error.diagnostics().back().id;
        }
    };
    BOOST_TEST(id([] { parse_document("[\"\u202e\"]", file); }) == "json-control");
    BOOST_TEST(id([] {
                   parse_document("{" + list(200, [](auto) { return "\"a\":1"s; }) + "}", file);
               }) == "mistakes-many");
    BOOST_TEST(id([] {
                   const auto text = mill + "\"checks\":[" + list(501, notebook) + "]}";
                   read_machine(parse_document(text, file), file, day);
               }) == "too-many");
}

// A formula that doubles at each step has 2^400 leaves as a tree, and 400 instructions as a tape.
BOOST_AUTO_TEST_CASE(steps_that_double) {
    const auto text = budget("\"a\":{\"kind\":\"normal\",\"value\":1,\"standard\":0.001}",
                             step(0, "a/2 + a/2") + "," +
                                 list(399,
                                      [](auto i) {
                                          const auto before = "s" + std::to_string(i);
                                          return step(i + 1, before + "/2 + " + before + "/2");
                                      }),
                             "\"y\":{\"formula\":\"s399\"}");
    const auto read = read_budget(parse_document(text, file), file);
    BudgetOptions options;
    options.run.trials = 20'000;
    const auto answer = evaluate(read, options);
    BOOST_TEST(answer.gum.outputs.at(0).value == 1.0);
    BOOST_TEST(answer.gum.outputs.at(0).standard == 0.001, boost::test_tools::tolerance(1e-12));
}

// All values of all trials are kept: more than memory is taken for are refused before anything
// runs.
BOOST_AUTO_TEST_CASE(trials_beyond_memory) {
    const auto read = read_budget(
        parse_document(budget(one_input, "", one_output + ",\"z\":{\"formula\":\"2*a\"}"), file),
        file);
    propagate::MonteCarloOptions options;
    options.trials = 100'000'001;
    BOOST_CHECK_EXCEPTION(
        propagate::monte_carlo(read, options), NumericError, [](const auto& error) {
            return std::string(error.what()) == "100000001 trials of 2 outputs are more than "
                                                "memory is taken for; at most 100000000 can be run, "
                                                "or any number with --streaming";
        });
}

// As many threads as can be asked for change no digit, and no more are started than help.
BOOST_AUTO_TEST_CASE(threads_beyond_reason) {
    const auto read = read_budget(
        parse_document(
            budget("\"a\":{\"kind\":\"normal\",\"value\":1,\"standard\":0.1}", "", one_output),
            file),
        file);
    propagate::MonteCarloOptions options;
    options.trials = 100'000;
    options.threads = 1;
    const auto alone = propagate::monte_carlo(read, options);
    options.threads = 4'000'000'000;
    const auto many = propagate::monte_carlo(read, options);
    BOOST_TEST(many.outputs.at(0).standard.value() == alone.outputs.at(0).standard.value());
}

// Words that do not come from a file: arguments, file names.
BOOST_AUTO_TEST_CASE(words_that_would_steer_a_terminal) {
    const auto quantity = [](const std::string& text) {
        return said([&] { parse_quantity(text); });
    };
    for (const std::string& text : {"\x1b[31m"s,
                                    "12 \u202emm"s,
                                    "12 m\u0085"s,
                                    "\xff mm"s,
                                    "12 \xc0\xaf"s,
                                    "1\0 mm"s,
                                    "12 \u2066m"s,
                                    "12 mm\n13 mm"s}) {
        BOOST_TEST(quantity(text) != "");
        BOOST_TEST(fuzz::unprintable(first_line(quantity(text))) == "", text);
    }
    const auto asked = [](const std::string& line) { return said([&] { read_ask(line, true); }); };
    BOOST_TEST(first_line(asked("perp .001 \u202e over 3")) ==
               "--ask:1:11: error: the character U+202E does not belong into a line [ask-text]");
    const Diagnostic named{"some-id", {"a\x1b]0;b\u202e\xff", 1, 1, ""}, "m", ""};
    BOOST_TEST(to_string(named) == "a\\u001b]0;b\\u202e\\xff:1:1: error: m [some-id]");
    const Diagnostic hinted{"some-id", {}, "m", "one\x1b\ntwo\u202e"};
    BOOST_TEST(to_string(hinted) ==
               "error: m [some-id]\n    hint: one\\u001b\n          two\\u202e");
}

// Every file of the demonstration and one of each other kind, cut short at every byte: refused at a
// place in what is left, or whole but for blanks at its end.
BOOST_AUTO_TEST_CASE(files_cut_short_at_every_byte) {
    const auto read_any = [](const std::string& text, const std::string& name) {
        const auto root = parse_document(text, file);
        if (name.find("machine") != std::string::npos)
            read_machine(root, file, day);
        else if (name.find("job") != std::string::npos)
            read_job(root, file);
        else if (name.find("gauging") != std::string::npos)
            read_gauging(root, file, day);
        else
            read_budget(root, file);
    };
    for (const std::string& name : {"demo/machine.json"s,
                                    "demo/job-inch.json"s,
                                    "demo/job-metric.json"s,
                                    "demo/job-size.json"s,
                                    "demo/job-every-kind.json"s,
                                    "gauging/bore-yes.json"s,
                                    "gauging/pin-bias-rule.json"s,
                                    "published/gum-h1-end-gauge.json"s,
                                    "methods/square.json"s}) {
        const auto whole = read_text(HOLDABLE_ROOT "/budgets/" + name);
        const auto end = whole.find_last_not_of(" \r\n") + 1;
        std::size_t accepted = 0;
        for (std::size_t length = 0; length <= whole.size(); ++length) {
            const auto text = whole.substr(0, length);
            try {
                read_any(text, name);
                ++accepted;
                BOOST_TEST_REQUIRE(length >= end,
                                   name << " cut after " << length << " bytes is read");
            } catch (const InputError& error) {
                BOOST_TEST_REQUIRE(length < end, name << " is refused: " << error.what());
                const auto fault = fuzz::fault_of_refusal(error, text);
                BOOST_TEST_REQUIRE(fault == "", name << " cut after " << length << ": " << fault);
                const auto& id = error.diagnostics().front().id;
                BOOST_TEST_REQUIRE((id == "json-syntax" || id == "json-utf8"),
                                   name << length << id);
            }
        }
        BOOST_TEST(accepted == whole.size() - end + 1, name);
    }
}

BOOST_AUTO_TEST_SUITE_END()
