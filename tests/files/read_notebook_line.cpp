// SPDX-License-Identifier: MIT
// Lines of a notebook in machine files: every way to write one, SI numbers by hand; what is not
// understood, with its place. Tolerance 1e-12 relative: some roundings of a double. The wording of
// the diagnostics is recorded from the program after reading it.
#include "files/machine_text.hpp"

#include <boost/test/data/test_case.hpp>
#include <boost/test/unit_test.hpp>

#include <set>
#include <string>

using namespace holdable;
namespace tt = boost::test_tools;

namespace {

const std::string base = R"({
  "holdable": "machine/1", "shop": "S", "machine": "M", "axes": "XYZ", "units": "inch",
  "travel": {
    "X": {"from": "0 mm", "to": "400 mm"},
    "Y": {"from": "0 mm", "to": "300 mm"},
    "Z": {"from": "-300 mm", "to": "0 mm"}
  },
  "nose_to_table": "450 mm", "class": "entry vmc",
  "instruments": [{"id": "Q", "kind": "square", "length": "200 mm", "grade": "1"}],
  "checks": [
    {"id": "N", "kind": "notebook", "line": "ZX .0004/12 leans +X, square reversed, 70 °F, 20 Nov",
     "square": "Q", "place": ["100 mm", "200 mm"]}
  ]
}
)";

NotebookLine line(const std::string& text) {
    const auto shop =
        read(changed(base, {{"ZX .0004/12 leans +X, square reversed, 70 °F, 20 Nov", text}}));
    return shop.notebook_lines.at(0);
}

} // namespace

BOOST_AUTO_TEST_SUITE(reading_notebook_lines)

BOOST_AUTO_TEST_CASE(every_key) {
    const auto shop = read(base);
    const auto close = tt::tolerance(1e-12);
    BOOST_REQUIRE(shop.notebook_lines.size() == 1U);
    const auto& n = shop.notebook_lines[0];
    BOOST_TEST(n.name == "N");
    BOOST_TEST((n.along == Axis::z && n.across == Axis::x));
    BOOST_TEST(n.lean == 0.0004 * 0.0254, close);
    BOOST_TEST(n.length == 12 * 0.0254, close);
    BOOST_TEST(n.last_digit == 0.0001 * 0.0254, close);
    BOOST_TEST(n.reversed);
    BOOST_TEST(!n.leg_swept);
    BOOST_TEST((n.date == parse_date("2024-11-20"))); // the last before the test's day, 2025-05-01
    BOOST_TEST(n.square == "Q");
    BOOST_TEST(n.place.value().y() == 0.2, close);
    BOOST_TEST(shop.room_temperatures.at("N") == 294.2611111111111, close); // (70 + 459.67)·5/9
    BOOST_TEST(shop.notes.empty());
}

BOOST_AUTO_TEST_CASE(ways_to_write_it) {
    const auto close = tt::tolerance(1e-12);
    auto n = line("ZY 0.01 mm/300 mm leans -Y, leg swept, 2025-03-01");
    BOOST_TEST((n.along == Axis::z && n.across == Axis::y));
    BOOST_TEST(n.lean == -0.01e-3, close);
    BOOST_TEST(n.length == 0.3, close);
    BOOST_TEST(n.last_digit == 0.01e-3, close);
    BOOST_TEST((n.leg_swept && !n.reversed));
    BOOST_TEST((n.date == parse_date("2025-03-01")));
    n = line("XY .008/250 mm leans -X, square turned over, Mar 1 2025");
    BOOST_TEST((n.along == Axis::y && n.across == Axis::x && n.reversed));
    BOOST_TEST(n.lean == -8e-6, close);
    BOOST_TEST((n.date == parse_date("2025-03-01")));
}

BOOST_AUTO_TEST_CASE(a_lean_of_nothing_needs_no_side) {
    const auto n = line("ZX .0000/12, 1 May");
    BOOST_TEST(n.lean == 0);
    BOOST_TEST(n.last_digit == 2.54e-6, tt::tolerance(1e-12));
    BOOST_TEST((n.date == parse_date("2025-05-01"))); // the day itself is not yet to come
    BOOST_TEST((line("ZX .0000/12, 2 May").date == parse_date("2024-05-02")));
    BOOST_TEST((line("ZX .0000/12, 29 February").date == parse_date("2024-02-29")));
}

namespace {

const Changed wrong[] = {
    {{{"ZX .0004/12 leans +X, square reversed, 70 °F, 20 Nov", "ZX .0004/12 leans, 20 Nov"}},
     "f:11:46: error: \"ZX .0004/12 leans\": it leans to +X or to -X [notebook-syntax]\n"
     "    at /checks/0/line\n"
     "    hint: as in \"ZX .0004/12 leans +X, square reversed, 70 °F, 20 Nov\""},
    {{{"ZX .0004/12 leans +X, square reversed, 70 °F, 20 Nov", "ZX .0004/12, 20 Nov"}},
     "f:11:46: error: \"ZX .0004/12\": it does not say to which side [notebook-syntax]\n"
     "    at /checks/0/line\n"
     "    hint: as in \"ZX .0004/12 leans +X, square reversed, 70 °F, 20 Nov\""},
    {{{"ZX .0004/12 leans +X, square reversed, 70 °F, 20 Nov", "ZX .0004/12 leans +Y, 20 Nov"}},
     "f:11:64: error: \"+Y\": it leans to +X or to -X [notebook-syntax]\n"
     "    at /checks/0/line\n"
     "    hint: as in \"ZX .0004/12 leans +X, square reversed, 70 °F, 20 Nov\""},
    {{{"ZX .0004/12 leans +X, square reversed, 70 °F, 20 Nov", "ZZ .0004/12 leans +X, 20 Nov"}},
     "f:11:46: error: \"ZZ .0004/12 leans +X\": a line begins with its plane: ZX, ZY or "
     "XY [notebook-syntax]\n"
     "    at /checks/0/line\n"
     "    hint: as in \"ZX .0004/12 leans +X, square reversed, 70 °F, 20 Nov\""},
    {{{"ZX .0004/12 leans +X, square reversed, 70 °F, 20 Nov", "ZX .0004 leans +X, 20 Nov"}},
     "f:11:49: error: \".0004\": a lean is a length over a length [notebook-syntax]\n"
     "    at /checks/0/line\n"
     "    hint: as in \"ZX .0004/12 leans +X, square reversed, 70 °F, 20 Nov\""},
    {{{"ZX .0004/12 leans +X, square reversed, 70 °F, 20 Nov", "ZX 0/12, 20 Nov"}},
     "f:11:49: error: \"0\": it does not tell to which digit it was read: write .0000 "
     "[notebook-syntax]\n"
     "    at /checks/0/line\n"
     "    hint: as in \"ZX .0004/12 leans +X, square reversed, 70 °F, 20 Nov\""},
    {{{"ZX .0004/12 leans +X, square reversed, 70 °F, 20 Nov", "ZX a/12 leans +X, 20 Nov"}},
     "f:11:49: error: \"a\": no number [notebook-syntax]\n"
     "    at /checks/0/line\n"
     "    hint: as in \"ZX .0004/12 leans +X, square reversed, 70 °F, 20 Nov\""},
    {{{"ZX .0004/12 leans +X, square reversed, 70 °F, 20 Nov",
       "ZX .0004 mm/12 kg leans +X, 20 Nov"}},
     "f:11:45: error: \"1 kg\" is not a length, as in \"0.25 mm\" or \"0.0100 in\" "
     "[unit-wrong]\n"
     "    at /checks/0/line"},
    {{{"ZX .0004/12 leans +X, square reversed, 70 °F, 20 Nov", "ZX .4/12 leans +X, 20 Nov"}},
     "f:11:49: error: \".4\": it does not tell to which digit it was read: write .0000 "
     "[notebook-syntax]\n"
     "    at /checks/0/line\n"
     "    hint: as in \"ZX .0004/12 leans +X, square reversed, 70 °F, 20 Nov\"\n"
     "f:11:49: error: \".4/12\": a lean of more than 10 mm/m is no machine's: is the "
     "unit right? [notebook-syntax]\n"
     "    at /checks/0/line\n"
     "    hint: as in \"ZX .0004/12 leans +X, square reversed, 70 °F, 20 Nov\""},
    {{{"ZX .0004/12 leans +X, square reversed, 70 °F, 20 Nov", "ZX .0004/.1 leans +X, 20 Nov"}},
     "f:11:55: error: \".1\": the length is not from 10 mm to 10 m [notebook-syntax]\n"
     "    at /checks/0/line\n"
     "    hint: as in \"ZX .0004/12 leans +X, square reversed, 70 °F, 20 Nov\""},
    {{{"ZX .0004/12 leans +X, square reversed, 70 °F, 20 Nov",
       "ZX .0004/12 leans +X, sqare reversed, 20 Nov"}},
     "f:11:68: error: \"sqare reversed\": not understood; known are \"square reversed\", "
     "\"square not reversed\", \"leg swept\", a temperature and a day [notebook-syntax]\n"
     "    at /checks/0/line\n"
     "    hint: as in \"ZX .0004/12 leans +X, square reversed, 70 °F, 20 Nov\""},
    {{{"ZX .0004/12 leans +X, square reversed, 70 °F, 20 Nov", "ZX .0004/12 leans +X, 31 Feb"}},
     "f:11:68: error: \"31 Feb\": not understood; known are \"square reversed\", \"square "
     "not reversed\", \"leg swept\", a temperature and a day [notebook-syntax]\n"
     "    at /checks/0/line\n"
     "    hint: as in \"ZX .0004/12 leans +X, square reversed, 70 °F, 20 Nov\""},
    {{{"ZX .0004/12 leans +X, square reversed, 70 °F, 20 Nov", "ZX .0004/12 leans +X"}},
     "f:11:45: error: neither the line nor the key \"date\" says when it was read "
     "[key-missing]\n"
     "    at /checks/0/line\n"
     "    hint: write it into the line, \"20 Nov 2025\", or as \"date\""},
    {{{"ZX .0004/12 leans +X, square reversed, 70 °F, 20 Nov", "ZX .0004/12 leans +X, 2035-01-01"}},
     "f:11:45: error: 2035-01-01 is yet to come [date-future]\n"
     "    at /checks/0/line"},
    {{{"ZX .0004/12 leans +X, square reversed, 70 °F, 20 Nov", "ZX .0004/12 leans +X, 2025-02-30"}},
     "f:11:45: error: \"2025-02-30\" is not a date [date-syntax]\n"
     "    at /checks/0/line\n"
     "    hint: write year, month and day as in \"2026-11-20\""},
    {{{"ZX .0004/12 leans +X, square reversed, 70 °F, 20 Nov",
       "ZX .0004/12 leans +X, 700 °F, 20 Nov"}},
     "f:11:68: error: \"700 °F\": no temperature of a room [notebook-syntax]\n"
     "    at /checks/0/line\n"
     "    hint: as in \"ZX .0004/12 leans +X, square reversed, 70 °F, 20 Nov\""},
    {{{"ZX .0004/12 leans +X, square reversed, 70 °F, 20 Nov", ""}},
     "f:11:46: error: \"\": the line is empty [notebook-syntax]\n"
     "    at /checks/0/line\n"
     "    hint: as in \"ZX .0004/12 leans +X, square reversed, 70 °F, 20 Nov\""},
    {{{"ZX .0004/12 leans +X, square reversed, 70 °F, 20 Nov", "°°, 20 Nov"}},
     "f:11:46: error: \"°°\": a line begins with its plane: ZX, ZY or XY "
     "[notebook-syntax]\n"
     "    at /checks/0/line\n"
     "    hint: as in \"ZX .0004/12 leans +X, square reversed, 70 °F, 20 Nov\""},
    {{{"\"square\": \"Q\"", "\"square\": \"R\""}},
     "f:12:16: error: no square among the instruments has the id \"R\" "
     "[instrument-unknown]\n"
     "    at /checks/0/square"},
    {{{"\"place\": [\"100 mm\", \"200 mm\"]", "\"place\": [\"100 mm\", \"400 mm\"]"}},
     "f:12:30: error: this is outside the travel of Y: Y = 15.748 in is not from 0 to "
     "11.811 [outside-travel]\n"
     "    at /checks/0/place"},
    {{{"\"square\": \"Q\"", "\"date\": \"2025-04-01\", \"square\": \"Q\""}},
     "f:12:14: error: the line has its day already [given-twice]\n"
     "    at /checks/0/date\n"
     "    hint: leave \"date\" out"},
    {{{"\"square\": \"Q\"", "\"room\": \"68 °F\", \"square\": \"Q\""}},
     "f:12:14: error: the line has its temperature already [given-twice]\n"
     "    at /checks/0/room\n"
     "    hint: leave \"room\" out"},
    {{{"\"line\": ", "\"lines\": "}},
     "f:11:37: error: unknown key \"lines\" [key-unknown]\n"
     "    at /checks/0/lines\n"
     "    hint: did you mean \"line\"?"},
    {{{"\"ZX .0004/12 leans +X, square reversed, 70 °F, 20 Nov\"", "4"}},
     "f:11:45: error: expected a string, found the number 4 [field-kind]\n"
     "    at /checks/0/line"},
};

} // namespace

BOOST_DATA_TEST_CASE(what_is_wrong_is_said, boost::unit_test::data::make(wrong)) {
    BOOST_TEST(said(changed(base, sample.changes)) == sample.expected);
}

BOOST_AUTO_TEST_CASE(every_mistake_has_its_id) {
    BOOST_TEST((ids_in(wrong) == std::set<std::string>{"date-future",
                                                       "date-syntax",
                                                       "field-kind",
                                                       "given-twice",
                                                       "instrument-unknown",
                                                       "key-missing",
                                                       "key-unknown",
                                                       "notebook-syntax",
                                                       "outside-travel",
                                                       "unit-wrong"}));
}

BOOST_AUTO_TEST_SUITE_END()
