// SPDX-License-Identifier: MIT
// Reading of JSON with places, and refusal of what is no JSON. Against lines and columns counted
// by hand on texts short enough to do so, and the grammar of RFC 8259; the tree is checked
// by its content, not by the parser's own account. No tolerance: everything is exact.
// The wording of the diagnostics is recorded from the program after reading it; each place was
// counted.
#include "holdable/files/document.hpp"

#include "holdable/base/error.hpp"

#include <boost/test/data/test_case.hpp>
#include <boost/test/unit_test.hpp>

#include <ostream>
#include <string>

using namespace holdable;
using namespace std::string_literals;
namespace data = boost::unit_test::data;

namespace {

std::string refusal(std::string_view text) {
    try {
        parse_document(text, "f");
    } catch (const InputError& error) {
        return error.what();
    }
    return "accepted";
}

std::string place(const Place& p) {
    return std::to_string(p.line) + ":" + std::to_string(p.column);
}

/// Every value with its place: `1:1{k@1:2=1:5"v"}`.
std::string outline(const Node& node) {
    std::string text = place(node.place);
    switch (node.kind) {
    case Node::Kind::null:
        return text + "null";
    case Node::Kind::boolean:
        return text + (node.boolean ? "true" : "false");
    case Node::Kind::number:
        return text + "#" + node.text;
    case Node::Kind::string:
        return text + "'" + node.text + "'";
    case Node::Kind::array:
        text += "[";
        for (const Node& element : node.elements)
            text += " " + outline(element);
        return text + "]";
    case Node::Kind::object:
        text += "{";
        for (const Member& member : node.members)
            text += " " + member.key + "@" + place(member.place) + "=" + outline(member.value);
        return text + "}";
    }
    return text;
}

struct Case {
    std::string text;
    std::string expected;
};

std::ostream& operator<<(std::ostream& out, const Case& c) {
    return out << c.text.substr(0, 60);
}

const Case accepted[] = {
    {"1", "1:1#1"},
    {" -0.50e+1 ", "1:2#-0.50e+1"},
    {"\"\"", "1:1''"},
    {"[]", "1:1[]"},
    {"[1,20,  300]", "1:1[ 1:2#1 1:4#20 1:9#300]"},
    {"[0,-0,0]", "1:1[ 1:2#0 1:4#-0 1:7#0]"},
    {"[1 , 2\n,3]", "1:1[ 1:2#1 1:6#2 2:2#3]"},
    {"[[1],[],{}]", "1:1[ 1:2[ 1:3#1] 1:6[] 1:9{}]"},
    {"[true,false,null]", "1:1[ 1:2true 1:7false 1:13null]"},
    {"{\"b\":1,\"a\":{\"c\":\"d\"}}", "1:1{ b@1:2=1:6#1 a@1:8=1:12{ c@1:13=1:17'd'}}"},
    {"{\n  \"a\": 1,\n  \"b\": 2\n}", "1:1{ a@2:3=2:8#1 b@3:3=3:8#2}"},
    {"{\r\n  \"a\": 1,\r\n  \"b\": 2\r\n}\r\n", "1:1{ a@2:3=2:8#1 b@3:3=3:8#2}"},
    {"[\"12 µm\", \"20 °C\", 3]", "1:1[ 1:2'12 µm' 1:11'20 °C' 1:20#3]"},
    {"[\"\U0001F4CF\", 3]", "1:1[ 1:2'\U0001F4CF' 1:7#3]"},
    {"[\"\\u00b5\\\"\\\\\", 3]", "1:1[ 1:2'µ\"\\' 1:16#3]"},
    {"\xEF\xBB\xBF[1]", "1:1[ 1:2#1]"},
    {"// µ\n[1, // two, 3]\n 2 /* : [ \n */, 3//\n]", "2:1[ 2:2#1 3:2#2 4:6#3]"},
    {"{/*,*/\"a\"/*:*/:/*{*/1}", "1:1{ a@1:7=1:21#1}"},
    {"[\"// no comment\",1]", "1:1[ 1:2'// no comment' 1:18#1]"},
    {"[1//\r,2]", "1:1[ 1:2#1 1:7#2]"},
    {"18446744073709551616", "1:1#18446744073709551616"},
};

} // namespace

BOOST_AUTO_TEST_SUITE(document)

BOOST_DATA_TEST_CASE(every_value_knows_its_place, data::make(accepted)) {
    BOOST_TEST(outline(parse_document(sample.text, "f")) == sample.expected);
}

BOOST_AUTO_TEST_CASE(numbers_are_doubles) {
    BOOST_TEST(parse_document("-12", "f").number == -12.0);
    BOOST_TEST(parse_document("0.1", "f").number == 0.1);
    BOOST_TEST(parse_document("18446744073709551616", "f").number == 0x1p64);
    BOOST_TEST(parse_document("1.7976931348623157e308", "f").number == 0x1.fffffffffffffp1023);
}

namespace {

const Case refused[] = {
    {"", "f:1:1: error: unexpected end of input; expected a value [json-syntax]"},
    {"  \n ", "f:2:2: error: unexpected end of input; expected a value [json-syntax]"},
    {"\xEF\xBB\xBF", "f:1:1: error: unexpected end of input; expected a value [json-syntax]"},
    {"// only a comment", "f:1:18: error: unexpected end of input; expected a value [json-syntax]"},
    {"{", "f:1:2: error: unexpected end of input; expected string [json-syntax]"},
    {"{\"a\": 1,\n \"b\"", "f:2:5: error: unexpected end of input; expected ':' [json-syntax]"},
    {"{\"a\": \"12 µ", "f:1:12: error: invalid string: missing closing quote [json-syntax]"},
    {"[1, 2", "f:1:6: error: unexpected end of input; expected ']' [json-syntax]"},
    {"[1, 2,]", "f:1:7: error: unexpected ']'; expected a value [json-syntax]"},
    {"[1,, 2]", "f:1:4: error: unexpected ','; expected a value [json-syntax]"},
    {"[,1]", "f:1:2: error: unexpected ','; expected a value [json-syntax]"},
    {"[1 2]", "f:1:4: error: unexpected number; expected ']' [json-syntax]"},
    {"[01]", "f:1:3: error: unexpected number; expected ']' [json-syntax]"},
    {"[1.]", "f:1:4: error: invalid number; expected digit after '.' [json-syntax]"},
    {"[+1]", "f:1:2: error: neither a number nor true, false, null [json-syntax]"},
    {"[.5]", "f:1:2: error: neither a number nor true, false, null [json-syntax]"},
    {"[-]", "f:1:3: error: invalid number; expected digit after '-' [json-syntax]"},
    {"[NaN]", "f:1:2: error: neither a number nor true, false, null [json-syntax]"},
    {"[nul]", "f:1:5: error: neither a number nor true, false, null [json-syntax]"},
    {"[truth]", "f:1:5: error: neither a number nor true, false, null [json-syntax]"},
    {"{\"µ°µ\": 1 \"b\": 2}", "f:1:11: error: unexpected string; expected '}' [json-syntax]"},
    {"{\r\n\"a\": 1\r\n\"b\": 2}", "f:3:1: error: unexpected string; expected '}' [json-syntax]"},
    {"{\"a\" 1}", "f:1:6: error: unexpected number; expected ':' [json-syntax]"},
    {"{\"a\": 1,}", "f:1:9: error: unexpected '}'; expected string [json-syntax]"},
    {"{a: 1}",
     "f:1:2: error: neither a number nor true, false, null; expected string [json-syntax]"},
    {"{1: 1}", "f:1:2: error: unexpected number; expected string [json-syntax]"},
    {"{'a': 1}",
     "f:1:2: error: neither a number nor true, false, null; expected string [json-syntax]"},
    {"[1}", "f:1:3: error: unexpected '}'; expected ']' [json-syntax]"},
    {"[1] 2", "f:1:5: error: unexpected number; expected end of input [json-syntax]"},
    {"[1]]", "f:1:4: error: unexpected ']'; expected end of input [json-syntax]"},
    {"[\"a\nb\"]",
     "f:1:4: error: invalid string: control character U+000A (LF) must be escaped to \\u000A or "
     "\\n [json-syntax]"},
    {"[\"\\x\"]",
     "f:1:4: error: invalid string: forbidden character after backslash [json-syntax]"},
    {"[\"\\ud800\"]",
     "f:1:9: error: invalid string: surrogate U+D800..U+DBFF must be followed by U+DC00..U+DFFF "
     "[json-syntax]"},
    {"[1 /* no end",
     "f:1:13: error: invalid comment; missing closing '*/'; expected ']' [json-syntax]"},
    {"[1 / 2]",
     "f:1:5: error: invalid comment; expecting '/' or '*' after '/'; expected ']' [json-syntax]"},
    {"[\"µ\", 1e999]",
     "f:1:7: error: the number 1e999 is too large [json-number]\n"
     "    hint: numbers go to 1.8e308"},
    {"[-1e999]",
     "f:1:2: error: the number -1e999 is too large [json-number]\n"
     "    hint: numbers go to 1.8e308"},
    {"[1]\0"s,
     "f:1:4: error: the byte 0x00 does not belong into a text in UTF-8 [json-utf8]\n"
     "    hint: save the file with the encoding UTF-8"},
    {"\xEF\xBB\xBF\xEF\xBB\xBF[1]",
     "f:1:1: error: neither a number nor true, false, null [json-syntax]"},
    {"[\"µ\", \"12 \xB5m\"]",
     "f:1:11: error: the byte 0xB5 does not belong into a text in UTF-8 [json-utf8]\n"
     "    hint: save the file with the encoding UTF-8"},
    {"[\n\"\xC0\xAF\"]",
     "f:2:2: error: the byte 0xC0 does not belong into a text in UTF-8 [json-utf8]\n"
     "    hint: save the file with the encoding UTF-8"},
    {"[\"\xED\xA0\x80\"]",
     "f:1:3: error: the byte 0xED does not belong into a text in UTF-8 [json-utf8]\n"
     "    hint: save the file with the encoding UTF-8"},
    {"[\"\xF4\x90\x80\x80\"]",
     "f:1:3: error: the byte 0xF4 does not belong into a text in UTF-8 [json-utf8]\n"
     "    hint: save the file with the encoding UTF-8"},
    {"[\"\xE2\x82",
     "f:1:3: error: the byte 0xE2 does not belong into a text in UTF-8 [json-utf8]\n"
     "    hint: save the file with the encoding UTF-8"},
    {"\xFF\xFE[\0"s,
     "f:1:1: error: the byte 0xFF does not belong into a text in UTF-8 [json-utf8]\n"
     "    hint: save the file with the encoding UTF-8"},
    {"{\"a\": 1, \"b\": 2,\n \"a\": 3}",
     "f:2:2: error: the key \"a\" is given twice [json-duplicate-key]\n"
     "    at /a\n"
     "    hint: it stands in line 1 already; remove one of them"},
    {"{\"x/y\": [0, {\"~\": 1, \"µ\": 2, \"~\": 3,\n\"\\u007e\": 4}]}",
     "f:1:30: error: the key \"~\" is given twice [json-duplicate-key]\n"
     "    at /x~1y/1/~0\n"
     "    hint: it stands in line 1 already; remove one of them\n"
     "f:2:1: error: the key \"~\" is given twice [json-duplicate-key]\n"
     "    at /x~1y/1/~0\n"
     "    hint: it stands in line 1 already; remove one of them"},
};

} // namespace

BOOST_DATA_TEST_CASE(mistakes_are_located, data::make(refused)) {
    BOOST_TEST(refusal(sample.text) == sample.expected);
}

BOOST_AUTO_TEST_CASE(limits) {
    const auto nested = [](std::size_t depth) {
        return std::string(depth, '[') + std::string(depth, ']');
    };
    BOOST_TEST(refusal(nested(document_depth)) == "accepted");
    BOOST_TEST(refusal(nested(document_depth + 1)) ==
               "f:1:65: error: nested more than 64 deep [json-limit]\n    at " + [] {
                   std::string path;
                   for (std::size_t i = 0; i < document_depth; ++i)
                       path += "/0";
                   return path;
               }());
    BOOST_TEST(refusal(std::string(1'000'000, '[')).starts_with("f:1:65: error: nested"));

    std::string many = "[";
    for (std::size_t i = 2; i < document_values; ++i)
        many += "1,";
    BOOST_TEST(refusal(many + "1]") == "accepted");
    BOOST_TEST(refusal(many + "1,1]") ==
               "f:1:2000000: error: more than 1000000 values [json-limit]\n    at /999999");

    BOOST_TEST(refusal(std::string(document_bytes - 1, ' ') + "1") == "accepted");
    BOOST_TEST(refusal(std::string(document_bytes, ' ') + "1") ==
               "f: error: 16777217 bytes are more than the 16777216 a file may have [json-limit]");
}

BOOST_AUTO_TEST_CASE(every_truncation_is_refused) {
    const std::string whole = "{\"a\": [1, -2.5e3, true, null, \"\\u00b5 µ\"], \"b\": {}}";
    for (std::size_t length = 0; length < whole.size(); ++length)
        BOOST_TEST(refusal(whole.substr(0, length)).starts_with("f:1:"));
    BOOST_TEST(refusal(whole) == "accepted");
}

BOOST_AUTO_TEST_CASE(ids) {
    const auto id = [](std::string_view text) {
        try {
            parse_document(text, "f");
        } catch (const InputError& error) {
            return error.diagnostics().front().id;
        }
        return "accepted"s;
    };
    BOOST_TEST(id("") == "json-syntax");
    BOOST_TEST(id("\xFF") == "json-utf8");
    BOOST_TEST(id("1e999") == "json-number");
    BOOST_TEST(id("{\"a\":1,\"a\":1}") == "json-duplicate-key");
    BOOST_TEST(id(std::string(65, '[')) == "json-limit");
}

BOOST_AUTO_TEST_SUITE_END()
