// SPDX-License-Identifier: MIT
// Reading of fields: values, and the diagnostics of a wrong file in full. Against texts written by
// hand with places counted by hand, SI values typed as arithmetic on the definition of the
// unit, and the examples of RFC 6901, section 5, for pointers. Tolerance 4e-16 relative for
// quantities: two roundings of a double; everything else is exact.
// The wording of the diagnostics is recorded from the program after reading it; each place was
// counted.
#include "holdable/files/reader.hpp"

#include <boost/test/data/test_case.hpp>
#include <boost/test/unit_test.hpp>

#include <functional>
#include <ostream>
#include <string>

using namespace holdable;
namespace data = boost::unit_test::data;
namespace tt = boost::test_tools;

namespace {

/// What `finish` says after the reading of a text.
std::string said(std::string_view text, const std::function<void(const Reader&)>& reading) {
    const Node root = parse_document(text, "f");
    const Reader reader(root, "f");
    reading(reader);
    try {
        reader.finish();
    } catch (const InputError& error) {
        return error.what();
    }
    return "nothing";
}

enum class Shape { round, square };

Shape shape(const Reader& reader) {
    return reader.word<Shape>({{"round", Shape::round}, {"square", Shape::square}});
}

} // namespace

BOOST_AUTO_TEST_SUITE(reader)

BOOST_AUTO_TEST_CASE(a_right_file_is_read) {
    const Node root = parse_document(R"({
        "name": "mill", "on": true, "count": 3, "share": 0.25, "percent": "5 %",
        "travel": "10 in", "slope": "0.0005 in/ft", "any": "68 °F", "shape": "square",
        "readings": [1, 2.5], "depths": ["1 mm", "2 mm"],
        "axes": [{"of": "x"}, {"of": "y"}], "named": {"b": 1, "a": 2}
    })",
                                     "f");
    const Reader r(root, "f");
    BOOST_TEST(r.at("name").string() == "mill");
    BOOST_TEST(r.at("on").boolean());
    BOOST_TEST(r.at("count").integer(0, 3) == 3);
    BOOST_TEST(r.at("share").number(Range::open(0, 1)) == 0.25);
    BOOST_TEST(r.at("share").quantity(Measure::number) == 0.25);
    BOOST_TEST(r.at("percent").quantity(Measure::number) == 0.05, tt::tolerance(4e-16));
    BOOST_TEST(r.at("travel").quantity(Measure::length, Range::positive()) == 0.254,
               tt::tolerance(4e-16));
    BOOST_TEST(r.at("slope").quantity(Measure::angle) == 0.0005 / 12, tt::tolerance(4e-16));
    BOOST_TEST(r.at("any").any_quantity().value == 293.15, tt::tolerance(4e-16));
    BOOST_TEST((shape(r.at("shape")) == Shape::square));
    BOOST_TEST(r.at("readings").numbers() == (std::vector<double>{1, 2.5}), tt::per_element());
    BOOST_TEST(r.at("depths").quantities(Measure::length) == (std::vector<double>{1e-3, 2e-3}),
               tt::per_element());
    std::string order;
    for (const Reader& axis : r.at("axes").elements())
        order += axis.name() + axis.at("of").string();
    for (const Reader& one : r.at("named").members())
        order += one.name() + std::to_string(one.integer(0, 9));
    BOOST_TEST(order == "0x1yb1a2");
    BOOST_TEST(!r.has("serial"));
    BOOST_TEST(!r.find("serial").has_value());
    BOOST_CHECK_NO_THROW(r.finish());
}

BOOST_AUTO_TEST_CASE(all_that_is_wrong_is_said_in_the_order_of_the_file) {
    const auto* text = "{\n"
                       "  \"µ\": \"°\", \"name\": 5,\n"
                       "  \"travel\": \"12\",\r\n"
                       "  \"shaep\": \"round\",\n"
                       "  \"axes\": [{\"of\": \"x\"}, {\"of\": \"3 tenths\", \"zzzz\": 0}]\n"
                       "}\n";
    const auto reading = [](const Reader& r) {
        for (const Reader& axis : r.at("axes").elements())
            axis.at("of").quantity(Measure::length);
        r.at("µ").string();
        shape(r.at("shape"));
        r.at("travel").quantity(Measure::length);
        r.at("serial").number();
        r.at("name").string();
    };
    BOOST_TEST(said(text, reading) ==
               "f:1:1: error: the key \"serial\" is missing [key-missing]\n"
               "f:2:21: error: expected a string, found the number 5 [field-kind]\n"
               "    at /name\n"
               "f:3:13: error: \"12\" has no unit [unit-missing]\n"
               "    at /travel\n"
               "    hint: add one, as in \"0.0002 in\", \"12 µm\", \"68 °F\"\n"
               "f:4:3: error: unknown key \"shaep\" [key-unknown]\n"
               "    at /shaep\n"
               "    hint: did you mean \"shape\"?\n"
               "f:5:19: error: cannot read \"x\" as a number with a unit [quantity-syntax]\n"
               "    at /axes/0/of\n"
               "    hint: write it as in \"0.0002 in\", \"12 µm\", \"68 °F\"\n"
               "f:5:32: error: unit \"tenths\": a tenth is 0.0001 in in one shop and 0.1 mm in "
               "another [unit-refused]\n"
               "    at /axes/1/of\n"
               "    hint: write \"0.0001 in\" or \"0.1 mm\"\n"
               "f:5:44: error: unknown key \"zzzz\" [key-unknown]\n"
               "    at /axes/1/zzzz\n"
               "    hint: known here: \"of\"");
}

namespace {

struct Case {
    std::string text;
    std::function<void(const Reader&)> reading;
    std::string expected;
};

std::ostream& operator<<(std::ostream& out, const Case& c) {
    return out << c.text.substr(0, 60);
}

std::function<void(const Reader&)> length(const Range& range = {}) {
    return [=](const Reader& r) { r.at("a").quantity(Measure::length, range); };
}

std::function<void(const Reader&)> number(const Range& range = {}) {
    return [=](const Reader& r) { r.at("a").number(range); };
}

const Case cases[] = {
    // field-kind
    {"5", length(), "f:1:1: error: expected an object, found the number 5 [field-kind]"},
    {"{\"a\": 12}",
     length(),
     "f:1:7: error: expected length, as in \"0.25 mm\" or \"0.0100 in\", found the number 12 "
     "[field-kind]\n"
     "    at /a\n"
     "    hint: write it in quotes, with its unit"},
    {"{\"a\": null}",
     length(),
     "f:1:7: error: expected length, as in \"0.25 mm\" or \"0.0100 in\", found null [field-kind]\n"
     "    at /a"},
    {"{\"a\": [\"1 mm\"]}",
     length(),
     "f:1:7: error: expected length, as in \"0.25 mm\" or \"0.0100 in\", found an array "
     "[field-kind]\n"
     "    at /a"},
    {"{\"a\": \"12\"}",
     number(),
     "f:1:7: error: expected a number, found the string \"12\" [field-kind]\n"
     "    at /a"},
    {"{\"a\": {}}",
     number(),
     "f:1:7: error: expected a number, found an object [field-kind]\n"
     "    at /a"},
    {"{\"a\": true}",
     [](const Reader& r) { r.at("a").string(); },
     "f:1:7: error: expected a string, found true [field-kind]\n"
     "    at /a"},
    {"{\"a\": \"no\"}",
     [](const Reader& r) { r.at("a").boolean(); },
     "f:1:7: error: expected true or false, found the string \"no\" [field-kind]\n"
     "    at /a"},
    {"{\"a\": 2.5}",
     [](const Reader& r) { r.at("a").integer(0, 9); },
     "f:1:7: error: expected a whole number, found the number 2.5 [field-kind]\n"
     "    at /a"},
    {"{\"a\": \"2\"}",
     [](const Reader& r) { r.at("a").integer(0, 9); },
     "f:1:7: error: expected a whole number, found the string \"2\" [field-kind]\n"
     "    at /a"},
    {"{\"a\": {}}",
     [](const Reader& r) { r.at("a").numbers(); },
     "f:1:7: error: expected an array, found an object [field-kind]\n"
     "    at /a"},
    {"{\"a\": [1]}",
     [](const Reader& r) { r.at("a").members(); },
     "f:1:7: error: expected an object, found an array [field-kind]\n"
     "    at /a"},
    {"{\"a\": [1]}",
     [](const Reader& r) {
         r.at("a").at("b").at("c").number();
         r.at("a").at("d").quantities(Measure::length);
     },

     "f:1:7: error: expected an object, found an array [field-kind]\n"
     "    at /a"},
    // quantities
    {"{\"µ°\": 0, \"a\": \"3 mil\"}",
     [](const Reader& r) {
         r.at("µ°").number();
         length()(r);
     },

     "f:1:16: error: unit \"mil\": a mil is 0.001 in to some and a millimetre to others "
     "[unit-refused]\n"
     "    at /a\n"
     "    hint: write \"0.001 in\" (or \"1 thou\") or \"1 mm\""},
    {"{\"a\": \"5 K\"}",
     length(),
     "f:1:7: error: \"5 K\" is not a length, as in \"0.25 mm\" or \"0.0100 in\" [unit-wrong]\n"
     "    at /a"},
    {"{\"a\": \"1,5 mm\"}",
     [](const Reader& r) { r.at("a").any_quantity(); },
     "f:1:7: error: a comma in \"1,5 mm\" [quantity-syntax]\n"
     "    at /a\n"
     "    hint: the decimal sign is the point, and thousands are not grouped"},
    {"{\"a\": [\"1 mm\",\n\"2 MM\", \"x\"]}",
     [](const Reader& r) { r.at("a").quantities(Measure::length); },

     "f:2:1: error: unknown unit \"MM\" [unit-unknown]\n"
     "    at /a/1\n"
     "    hint: did you mean \"mm\"?\n"
     "f:2:9: error: cannot read \"x\" as a number with a unit [quantity-syntax]\n"
     "    at /a/2\n"
     "    hint: write it as in \"0.0002 in\", \"12 µm\", \"68 °F\""},
    // value-range
    {"{\"a\": \"-1 mm\"}",
     length(Range::positive()),
     "f:1:7: error: \"-1 mm\" is out of range: it must be more than 0 mm [value-range]\n"
     "    at /a"},
    {"{\"a\": \"0 in\"}",
     length(Range::positive()),
     "f:1:7: error: \"0 in\" is out of range: it must be more than 0 in [value-range]\n"
     "    at /a"},
    {"{\"a\": \"0 in\"}", length(Range::not_negative()), "nothing"},
    {"{\"a\": \"11 in\"}",
     length(Range::closed(0.0254, 0.254)),
     "f:1:7: error: \"11 in\" is out of range: it must be at least 1 in and at most 10 in "
     "[value-range]\n"
     "    at /a"},
    {"{\"a\": 1}",
     number(Range::open(0, 1)),
     "f:1:7: error: 1 is out of range: it must be more than 0 and less than 1 [value-range]\n"
     "    at /a"},
    {"{\"a\": 1}", number(Range::closed(0, 1)), "nothing"},
    {"{\"a\": [0.5, -1e3]}",
     [](const Reader& r) { r.at("a").numbers(Range::positive()); },
     "f:1:13: error: -1e3 is out of range: it must be more than 0 [value-range]\n"
     "    at /a/1"},
    {"{\"a\": 1e300}",
     [](const Reader& r) { r.at("a").integer(-5, 1LL << 53); },
     "f:1:7: error: 1e300 is out of range: it must be at least -5 and at most 9007199254740992 "
     "[value-range]\n"
     "    at /a"},
    {"{\"a\": 1.5}",
     [](const Reader& r) { r.at("a").quantity(Measure::number, Range::open(0, 1)); },

     "f:1:7: error: 1.5 is out of range: it must be more than 0 and less than 1 [value-range]\n"
     "    at /a"},
    // key-missing
    {"{}", number(), "f:1:1: error: the key \"a\" is missing [key-missing]"},
    {"\n  {\"b\": {}}",
     [](const Reader& r) {
         r.at("b").at("c").at("d").number();
         r.at("b").at("c").word<int>({{"x", 1}});
         r.at("b").at("c").report(Diagnostic{"value-range", {}, "never said", ""});
     },

     "f:2:9: error: the key \"c\" is missing [key-missing]\n"
     "    at /b"},
    // key-unknown
    {"{\"a\": 1, \"B\": 2}",
     [](const Reader& r) {
         number()(r);
         r.find("b");
     },

     "f:1:10: error: unknown key \"B\" [key-unknown]\n"
     "    at /B\n"
     "    hint: did you mean \"b\"?"},
    {"{\"a\": 1, \"aa\": 2}",
     number(),
     "f:1:10: error: unknown key \"aa\" [key-unknown]\n"
     "    at /aa\n"
     "    hint: known here: \"a\""},
    {"{\"a\": 1, \"aa\": 2}",
     [](const Reader& r) {
         number()(r);
         r.allow_other_keys();
     },

     "nothing"},
    // word-unknown
    {"{\"a\": \"sqare\"}",
     [](const Reader& r) { shape(r.at("a")); },
     "f:1:7: error: unknown word \"sqare\" [word-unknown]\n"
     "    at /a\n"
     "    hint: did you mean \"square\"?"},
    {"{\"a\": \"hexagonal\"}",
     [](const Reader& r) { shape(r.at("a")); },
     "f:1:7: error: unknown word \"hexagonal\" [word-unknown]\n"
     "    at /a\n"
     "    hint: known here: \"round\", \"square\""},
    {"{\"a\": 3}",
     [](const Reader& r) { shape(r.at("a")); },
     "f:1:7: error: expected a word, found the number 3 [field-kind]\n"
     "    at /a"},
    // what others refuse
    {"{\"a\": \"°+)\"}",
     [](const Reader& r) {
         r.at("a").attempt([] {
             throw InputError(
                 {{"some-id", {"", 1, 3, ""}, "one", "h"}, {"some-id", {}, "two", ""}});
         });
     },

     "f:1:7: error: two [some-id]\n"
     "    at /a\n"
     "f:1:10: error: one [some-id]\n"
     "    at /a\n"
     "    hint: h"},
    {"{\"a\": \"\\u00b0+)\"}",
     [](const Reader& r) {
         r.at("a").attempt([] { throw InputError({{"some-id", {"", 1, 3, ""}, "one", ""}}); });
     },

     "f:1:7: error: one [some-id]\n"
     "    at /a"},
};

} // namespace

BOOST_DATA_TEST_CASE(what_is_said, data::make(cases)) {
    BOOST_TEST(said(sample.text, sample.reading) == sample.expected);
}

BOOST_AUTO_TEST_CASE(pointers_are_those_of_the_rfc) {
    const Node root = parse_document(
        R"({"": 0, "a/b": 1, "c%d": 2, "m~n": 8, "foo": ["bar", "baz"], "~1": 9})", "f");
    const Reader r(root, "f");
    BOOST_TEST(r.location().pointer == "");
    BOOST_TEST(r.at("").location().pointer == "/");
    BOOST_TEST(r.at("a/b").location().pointer == "/a~1b");
    BOOST_TEST(r.at("c%d").location().pointer == "/c%d");
    BOOST_TEST(r.at("m~n").location().pointer == "/m~0n");
    BOOST_TEST(r.at("~1").location().pointer == "/~01");
    BOOST_TEST(r.at("foo").elements()[1].location().pointer == "/foo/1");
}

BOOST_AUTO_TEST_CASE(ids) {
    const Node root = parse_document("{\"a\": 1, \"b\": -1, \"c\": \"x\", \"zzz\": 0}", "f");
    const Reader r(root, "f");
    BOOST_TEST(r.faults() == 0U);
    r.at("a").string();
    r.at("b").number(Range::positive());
    shape(r.at("c"));
    BOOST_TEST(r.faults() == 3U);
    r.at("serial");
    r.at("serial");
    BOOST_TEST(r.at("c").faults() == 4U);
    std::vector<std::string> given;
    try {
        r.finish();
    } catch (const InputError& error) {
        for (const auto& d : error.diagnostics())
            given.push_back(d.id);
    }
    BOOST_TEST(given ==
                   (std::vector<std::string>{
                       "key-missing", "field-kind", "value-range", "word-unknown", "key-unknown"}),
               tt::per_element());
}

BOOST_AUTO_TEST_SUITE_END()
