// SPDX-License-Identifier: MIT
// Run-out checks in machine files: SI numbers by hand; the sign of each side; what is wrong, with
// its place. Tolerance 1e-12 relative: some roundings of a double. The wording of the diagnostics
// is recorded from the program after reading it.
#include "files/machine_text.hpp"

#include <boost/test/data/test_case.hpp>
#include <boost/test/unit_test.hpp>

#include <numbers>
#include <string>

using namespace holdable;
namespace tt = boost::test_tools;

namespace {

constexpr double degree = std::numbers::pi / 180;

const std::string base = mill + R"(
  "instruments": [{"id": "I", "kind": "indicator", "resolution": "2 µm"}],
  "checks": [
    {"id": "R", "kind": "run-out", "date": "2025-04-01", "indicator": "I", "length": "300 mm",
     "bar": {"total": "2 µm"}, "seats": [
       {"nose": {"total": "4 µm", "high_at": "30°"},
        "at_length": {"plus_minus": "7 µm", "high_at": "100°"}},
       {"bar_turned": "180°", "nose": {"plus_minus": "2 µm", "high_at": "40°"},
        "at_length": {"total": "13 µm", "high_at": "90°"}},
       {"nose": {"total": "5 µm", "high_at": "20°"},
        "at_length": {"total": "15 µm", "high_at": "95°"}}]}
  ]
}
)";

} // namespace

BOOST_AUTO_TEST_SUITE(reading_run_outs)

BOOST_AUTO_TEST_CASE(every_key) {
    auto shop = read(base);
    BOOST_REQUIRE(shop.run_out_checks.size() == 1U);
    auto check = shop.run_out_checks[0];
    const auto close = tt::tolerance(1e-12);
    BOOST_TEST(check.name == "R");
    BOOST_TEST((check.date == parse_date("2025-04-01")));
    BOOST_TEST(check.indicator == "I");
    BOOST_TEST(check.length == 0.3, close);
    BOOST_TEST(check.bar_total.value() == 2e-6, close);
    BOOST_TEST(!check.angle_doubt);
    BOOST_REQUIRE(check.seats.size() == 3U);
    BOOST_TEST(check.seats[0].bar_turned == 0);
    BOOST_TEST(check.seats[0].nose.total == 4e-6, close);
    BOOST_TEST(check.seats[0].nose.high_at == 30 * degree, close);
    BOOST_TEST(check.seats[0].at_length.value().total == 14e-6, close); // plus-minus is half of it
    BOOST_TEST(check.seats[0].at_length.value().high_at == 100 * degree, close);
    BOOST_TEST(check.seats[1].bar_turned == 180 * degree, close);
    BOOST_TEST(check.seats[1].nose.total == 4e-6, close);
    BOOST_TEST(shop.notes.empty());
    shop = read(changed(
        base, {{"{\"total\": \"2 µm\"}", "{\"plus_minus\": \"2 µm\"}, \"angle_doubt\": \"10°\""}}));
    check = shop.run_out_checks[0];
    BOOST_TEST(check.bar_total.value() == 4e-6, close);
    BOOST_TEST(check.angle_doubt.value() == 10 * degree, close);
}

namespace {

const Changed cases[] = {
    {{{"\"indicator\": \"I\"", "\"indicator\": \"J\""}, {"\"2025-04-01\"", "\"2027-04-01\""}},
     "f:11:44: error: 2027-04-01 is yet to come [date-future]\n"
     "    at /checks/0/date\n"
     "    hint: today is 2025-05-01\n"
     "f:11:71: error: no indicator among the instruments has the id \"J\" [instrument-unknown]\n"
     "    at /checks/0/indicator"},
    {{{"\"length\": \"300 mm\",", ""}},
     "f:11:5: error: the key \"length\" is missing [key-missing]\n"
     "    at /checks/0"},
    {{{"{\"total\": \"4 µm\", \"high_at\": \"30°\"}", "{\"high_at\": \"30°\"}"}},
     "f:13:17: error: the key \"total\" is missing [key-missing]\n"
     "    at /checks/0/seats/0/nose\n"
     "    hint: or \"plus_minus\": how far the needle goes from end to end, or half of it"},
    {{{"{\"total\": \"4 µm\", \"high_at\": \"30°\"}", "{\"total\": \"4 µm\"}"}},
     "f:13:17: error: the key \"high_at\" is missing [key-missing]\n"
     "    at /checks/0/seats/0/nose"},
    {{{"{\"total\": \"4 µm\", \"high_at\": \"30°\"}",
       "{\"total\": \"4 µm\", \"plus_minus\": \"2 µm\", \"high_at\": \"30°\"}"}},
     "f:13:17: error: \"total\" and \"plus_minus\" say the same thing twice [given-twice]\n"
     "    at /checks/0/seats/0/nose\n"
     "    hint: leave one out"},
    {{{"\"total\": \"4 µm\"", "\"total\": \"4 mm\""}},
     "f:13:17: error: a run-out of 4 mm is more than 10 times the figure of the class \"entry "
     "vmc\" [readings-size]\n"
     "    at /checks/0/seats/0/nose\n"
     "    hint: is the unit right (µm meant)? or does the class flatter the machine?"},
    {{{"\"total\": \"4 µm\"", "\"total\": \"40 mm\""}},
     "f:13:27: error: \"40 mm\" is out of range: it must be at least 0 mm and at most 5 mm "
     "[value-range]\n"
     "    at /checks/0/seats/0/nose/total"},
    {{{"\"total\": \"4 µm\"", "\"TIR\": \"4 µm\""}},
     "f:13:17: error: the key \"total\" is missing [key-missing]\n"
     "    at /checks/0/seats/0/nose\n"
     "    hint: or \"plus_minus\": how far the needle goes from end to end, or half of it\n"
     "f:13:18: error: unknown key \"TIR\" [key-unknown]\n"
     "    at /checks/0/seats/0/nose/TIR\n"
     "    hint: known here: \"total\", \"plus_minus\", \"high_at\""},
    {{{"{\"total\": \"2 µm\"}", "{}"}},
     "f:12:13: error: the key \"total\" is missing [key-missing]\n"
     "    at /checks/0/bar\n"
     "    hint: or \"plus_minus\": how far the needle goes from end to end, or half of it"},
    {{{"\"total\": \"13 µm\"", "\"total\": \"0.25 mm\""}},
     "f:16:22: error: a run-out of 0.25 mm is more than 10 times the figure of the class \"entry "
     "vmc\" [readings-size]\n"
     "    at /checks/0/seats/1/at_length\n"
     "    hint: is the unit right (µm meant)? or does the class flatter the machine?"},
    {{{"\"nose\": {\"plus_minus\": \"2 µm\", \"high_at\": \"40°\"},\n        \"at_length\": "
       "{\"total\": \"13 µm\", \"high_at\": \"90°\"}",
       "\"nose\": {\"plus_minus\": \"2 µm\", \"high_at\": \"40°\"}"}},
     "f:15:8: error: the key \"at_length\" is missing [key-missing]\n"
     "    at /checks/0/seats/1"},
    {{{"\"seats\": [", "\"seats\": [], \"seat\": ["}},
     "f:12:41: error: the bar was not seated [stations-few]\n"
     "    at /checks/0/seats\n"
     "f:12:45: error: unknown key \"seat\" [key-unknown]\n"
     "    at /checks/0/seat\n"
     "    hint: known here: \"id\", \"kind\", \"room\", \"date\", \"indicator\", \"bar\", "
     "\"angle_doubt\", "
     "\"seats\", \"length\""},
    {{{"\"high_at\": \"30°\"", "\"high_at\": \"3 mm\""}},
     "f:13:46: error: \"3 mm\" is not an angle or slope, as in \"20 arcsec\" or \"0.0005 in/ft\" "
     "[unit-wrong]\n"
     "    at /checks/0/seats/0/nose/high_at\n"
     "    hint: a slope needs its length: write \"0.0005 in/ft\" or \"0.02 mm/300mm\""},
    {{{"},\n       {\"nose\": {\"total\": \"5 µm\", \"high_at\": \"20°\"},\n        \"at_length\": "
       "{\"total\": \"15 µm\", \"high_at\": \"95°\"}}",
       "}"}},
     "f:12: two seats tell little of how the next will sit: take three or more"},
    {{{"},\n       {\"bar_turned\": \"180°\", \"nose\": {\"plus_minus\": \"2 µm\", \"high_at\": "
       "\"40°\"},\n        \"at_length\": {\"total\": \"13 µm\", \"high_at\": \"90°\"}},\n       "
       "{\"nose\": {\"total\": \"5 µm\", \"high_at\": \"20°\"},\n        \"at_length\": "
       "{\"total\": \"15 µm\", \"high_at\": \"95°\"}}",
       "}"}},
     "f:12: one seat tells nothing of how the next will sit: a typical spread is taken; seat the "
     "bar five times"},
    {{{"\"plus_minus\": \"2 µm\", \"high_at\": \"40°\"",
       "\"total\": \"4 µm\", \"high_at\": \"30°\""},
      {"\"total\": \"5 µm\", \"high_at\": \"20°\"", "\"total\": \"4 µm\", \"high_at\": \"30°\""}},
     "f:12: all seats are the same: their spread hides behind the last digit, and is not taken as "
     "zero"},
};

} // namespace

BOOST_DATA_TEST_CASE(what_is_said, boost::unit_test::data::make(cases)) {
    BOOST_TEST(said(changed(base, sample.changes)) == sample.expected);
}

BOOST_AUTO_TEST_CASE(all_ids_are_among_them) {
    const std::set<std::string> ids = {"date-future",
                                       "given-twice",
                                       "instrument-unknown",
                                       "key-missing",
                                       "key-unknown",
                                       "readings-size",
                                       "stations-few",
                                       "unit-wrong",
                                       "value-range"};
    BOOST_TEST(ids_in(cases) == ids, tt::per_element());
}

BOOST_AUTO_TEST_SUITE_END()
