// SPDX-License-Identifier: MIT
// Job files: the two demonstration jobs against SI numbers typed by hand as arithmetic on the inch
// and the degree; what is wrong, in full, with places looked up in the text. Tolerance 1e-12
// relative: some roundings of a double. The wording of the diagnostics is recorded from the program
// after reading it.
#include "holdable/files/read_job.hpp"

#include "files/job_text.hpp"

#include <boost/test/data/test_case.hpp>
#include <boost/test/unit_test.hpp>

#include <cmath>
#include <string>

using namespace holdable;
using namespace holdable::job_texts;
namespace tt = boost::test_tools;

namespace {

/// A job in millimetres with a callout of each kind, small enough to count its lines.
const std::string base = R"({
  "holdable": "job/1", "name": "N", "material": "steel", "quantity": 5,
  "part": {"x": ["100 mm", "200 mm"], "y": ["50 mm", "150 mm"]},
  "callouts": [
    {"id": "a", "perpendicularity": "0.02 mm",
     "hole": {"place": ["150 mm", "100 mm"], "top": "60 mm", "depth": "40 mm",
              "gauge_length": "120 mm", "made_by": "boring"},
     "datum": {"name": "A", "kind": "face", "x": ["100 mm", "200 mm"], "y": ["50 mm", "150 mm"],
               "height": "60 mm", "gauge_length": "90 mm"}},
    {"id": "b", "position": "0.05 mm",
     "hole": {"place": ["120 mm", "70 mm"], "top": "60 mm", "depth": "60 mm",
              "gauge_length": "120 mm", "made_by": "drilling"},
     "datum": {"name": "A|B|C", "kind": "cut", "x": "100 mm", "y": "50 mm", "height": "55 mm",
               "gauge_length": "90 mm"}}
  ]
}
)";

} // namespace

BOOST_AUTO_TEST_SUITE(reading_jobs)

BOOST_AUTO_TEST_CASE(where_the_part_may_lie) {
    const std::string outline = R"("part": {"x": ["100 mm", "200 mm"], "y": ["50 mm", "150 mm"]},)";
    const auto with = [&](const std::string& more) {
        return read(changed(base, {{outline, outline + more}}));
    };
    const auto plain = read(base);
    BOOST_TEST(!plain.may_lie.x.has_value());
    BOOST_TEST(!plain.may_lie.lift.has_value());
    BOOST_TEST(plain.may_turn);
    const auto job = with(R"("may_lie": {"x": ["50 mm", "16 in"], "z": ["-5 mm", "40 mm"]},
                             "may_turn": false,)");
    BOOST_REQUIRE(job.may_lie.x.has_value());
    is(job.may_lie.x->low, 0.05);
    is(job.may_lie.x->high, 16 * in);
    BOOST_TEST(!job.may_lie.y.has_value());
    BOOST_REQUIRE(job.may_lie.lift.has_value());
    is(job.may_lie.lift->low, -0.005);
    is(job.may_lie.lift->high, 0.04);
    BOOST_TEST(!job.may_turn);

    // a part that touches the end of the area lies in it
    BOOST_TEST(with(R"("may_lie": {"x": ["100 mm", "200 mm"]},)").may_lie.x.has_value());
    const auto wrong = [&](const std::string& more, const std::string& id) {
        const auto text = said(changed(base, {{outline, outline + more}}));
        BOOST_TEST(text.find("[" + id + "]") != std::string::npos, text);
    };
    wrong(R"("may_lie": {"x": ["101 mm", "300 mm"]},)", "may-lie");
    wrong(R"("may_lie": {"z": ["1 mm", "40 mm"]},)", "may-lie");
    wrong(R"("may_lie": {"x": ["300 mm", "50 mm"]},)", "extent-empty");
    wrong(R"("may_lie": {"up": ["0 mm", "50 mm"]},)", "key-unknown");
    const auto without = said(changed(base, {{outline, R"("may_lie": {"x": ["0 mm", "1 m"]},)"}}));
    BOOST_TEST(without.find("no outline of the part") != std::string::npos);
}

BOOST_AUTO_TEST_CASE(the_demonstration_in_inches) {
    const auto job = read_job(tree("budgets/demo/job-inch.json"), "job-inch.json");
    BOOST_TEST(job.name == "bearing block (invented)");
    BOOST_TEST(job.material == "ductile iron");
    BOOST_TEST(job.quantity == 6);
    BOOST_TEST((job.date == parse_date("2025-04-07")));
    BOOST_TEST(!job.critical);
    BOOST_TEST(!job.several_setups);
    BOOST_TEST(job.inch);
    is(job.part, {5 * in, 11 * in, 4 * in, 8 * in});
    BOOST_TEST(job.process_typical);
    BOOST_TEST(!job.process.work_zero.has_value());
    is(job.temperatures.part, (71 + 459.67) * 5 / 9);
    is(job.temperatures.scale, (70 + 459.67) * 5 / 9);
    is(job.temperatures.doubt, 2 * 5.0 / 9);
    BOOST_TEST((job.temperatures.evidence == Evidence::measured));
    BOOST_TEST(job.notes.empty());

    BOOST_REQUIRE(job.callouts.size() == 4U);
    const auto& bore = job.callouts[0];
    BOOST_TEST(bore.name == "bore 1");
    BOOST_TEST((bore.kind == Requirement::perpendicularity));
    is(bore.tolerance, 0.001 * in);
    BOOST_TEST(bore.written == ".001 in");
    is(bore.hole().x, 8 * in);
    is(bore.hole().y, 6 * in);
    is(bore.hole().top, 4 * in);
    is(bore.hole().depth, 3 * in);
    is(bore.hole().tool_length, 6 * in);
    BOOST_TEST((bore.hole().making == HoleMaking::bored));
    BOOST_TEST((bore.plane().kind == PlaneDatum::Kind::face));
    BOOST_TEST(bore.plane().name == "A");
    is(bore.plane().face.extent, {5 * in, 11 * in, 4 * in, 8 * in});
    is(bore.plane().face.height, 4 * in);
    is(bore.plane().face.tool_length, 4 * in);
    is(job.callouts[1].tolerance, 0.00035 * in);
    is(job.callouts[2].tolerance, 0.00008 * in);
    const auto& dowel = job.callouts[3];
    BOOST_TEST((dowel.kind == Requirement::position));
    is(dowel.tolerance, 0.0012 * in);
    BOOST_TEST((dowel.hole().making == HoleMaking::reamed));
    BOOST_TEST((dowel.edges().kind == EdgeDatum::Kind::picked_up));
    BOOST_TEST(dowel.edges().name == "A|B|C");
    is(dowel.edges().x, 5 * in);
    is(dowel.edges().y, 4 * in);
    is(dowel.edges().height, 3.5 * in);
    is(dowel.edges().tool_length, 4 * in);
}

BOOST_AUTO_TEST_CASE(the_demonstration_in_millimetres) {
    const auto job = read_job(tree("budgets/demo/job-metric.json"), "job-metric.json");
    BOOST_TEST(!job.inch);
    BOOST_TEST(job.quantity == 50);
    BOOST_TEST(!job.several_setups);
    BOOST_TEST(!job.process_typical);
    is(job.part, {0.12, 0.28, 0.1, 0.22});
    is(job.temperatures.part, 296.15);
    is(job.temperatures.scale, 295.15);
    is(job.temperatures.doubt, 1);
    const auto& process = job.process;
    is(process.work_zero.value().half_width, 5e-6);
    BOOST_TEST((process.work_zero->evidence == Evidence::specification));
    BOOST_TEST(process.work_zero->basis == "electronic edge finder");
    is(process.location.value().half_width, 4e-6); // half of the total
    BOOST_TEST((process.location->evidence == Evidence::measured));
    is(process.axis_repeat.value().standard_deviation, 1.5e-6);
    is(process.axis_repeat->dof, 9);
    BOOST_TEST(process.axis_repeat->readings == 0);
    BOOST_TEST((process.axis_repeat->evidence == Evidence::measured));
    is(process.reversal.value().half_width, 3e-6);
    is(process.drift.value().half_width, 4e-6);
    // 4, -6, 9, 1, -3: mean 1, squares of the differences 9, 49, 64, 0, 16.
    is(process.hole_direction.value().mean, 1e-6);
    is(process.hole_direction->standard_deviation, std::sqrt(138.0 / 4) * 1e-6);
    is(process.hole_direction->dof, 4);
    BOOST_TEST(process.hole_direction->readings == 5);
    BOOST_TEST(process.hole_direction->basis == "five test bores");
    is(process.hole_place.value().standard_deviation, 2e-6);
    BOOST_TEST(!process.seat.has_value());
    BOOST_TEST(!process.tool_size.has_value());

    BOOST_REQUIRE(job.callouts.size() == 3U);
    is(job.callouts[0].tolerance, 20e-6);
    BOOST_TEST(job.callouts[0].written == "0.02 mm");
    is(job.callouts[1].tolerance, 32e-6);
    BOOST_TEST((job.callouts[1].edges().kind == EdgeDatum::Kind::picked_up));
    is(job.callouts[1].edges().x, 0.12);
    is(job.callouts[1].hole().x, 0.14);
    is(job.callouts[1].hole().depth, 0.012);
    BOOST_TEST((job.callouts[2].plane().kind == PlaneDatum::Kind::seat));
    BOOST_TEST(!job.callouts[2].plane().face.extent.has_value());
}

BOOST_AUTO_TEST_CASE(what_need_not_be_said) {
    const auto job = read(base);
    BOOST_TEST(!job.date.has_value());
    BOOST_TEST(!job.process_typical);
    BOOST_TEST((job.temperatures.evidence == Evidence::typical));
    is(job.temperatures.part, 293.15);
    is(job.temperatures.doubt, 3);
    BOOST_TEST((job.callouts.at(1).hole().making == HoleMaking::drilled));
    BOOST_TEST(!job.inch);

    const auto other = read(changed(
        base,
        {{"\"quantity\"",
          "\"units\": \"inch\", \"critical\": true, \"several_setups\": true, \"process\": "
          "{\"others\": \"typical\", "
          "\"seat\": {\"plus_minus\": \"0.0005 in/6in\", \"evidence\": \"assumed\"}}, "
          "\"temperatures\": {\"part\": \"22 °C\", \"scale\": \"21 °C\"}, \"quantity\""},
         {"\"kind\": \"face\", \"x\": [\"100 mm\", \"200 mm\"], \"y\": [\"50 mm\", \"150 mm\"],",
          "\"kind\": \"face\","}}));
    BOOST_TEST(other.inch);
    BOOST_TEST(other.critical);
    BOOST_TEST(other.several_setups);
    BOOST_TEST(other.process_typical);
    is(other.process.seat.value().half_width, 0.0005 / 6);
    BOOST_TEST((other.process.seat->evidence == Evidence::assumed));
    is(other.temperatures.part, 295.15);
    BOOST_TEST((other.temperatures.evidence == Evidence::typical));
    BOOST_TEST(!other.callouts.at(0).plane().face.extent.has_value());
}

BOOST_AUTO_TEST_CASE(checks_after_the_job_are_named) {
    Shop shop;
    SquareCheck early;
    early.name = "early";
    early.date = parse_date("2025-04-07");
    LevelCheck late;
    late.name = "late";
    late.date = parse_date("2025-04-08");
    shop.square_checks.push_back(early);
    shop.level_checks.push_back(late);
    const auto notes = notes_between(shop, parse_date("2025-04-07"));
    BOOST_REQUIRE(notes.size() == 1U);
    BOOST_TEST(notes[0] == "the check \"late\" of 2025-04-08 was made after the day of the job, "
                           "2025-04-07, and is not used");
}

namespace {

const Changed cases[] = {
    // The file as a whole.
    {{{"\"job/1\"", "\"machine/1\""}},
     "f:2:15: error: expected a file \"job/1\", found \"machine/1\" [file-format]\n"
     "    at /holdable\n"
     "    hint: a job file begins with \"holdable\": \"job/1\""},
    {{{"\"quantity\": 5", "\"quantity\": 0"}},
     "f:2:70: error: a job of no parts asks nothing [quantity-zero]\n"
     "    at /quantity\n"
     "    hint: write how many are to be made"},
    {{{"\"quantity\": 5", "\"quantity\": -1"}, {"\"N\"", "\"\""}, {"\"steel\"", "\"stainless\""}},
     "f:2:32: error: a name must not be empty [name-empty]\n"
     "    at /name\n"
     "f:2:48: error: \"stainless\" alone may expand by 10 to 18 µm/m/K [material-unknown]\n"
     "    at /material\n"
     "    hint: say which: \"stainless 304\", \"stainless 316\", \"stainless 410\", "
     "\"stainless 17-4\"\n"
     "f:2:73: error: -1 is out of range: it must be at least 1 and at most 1000000 "
     "[value-range]\n"
     "    at /quantity"},
    {{{", \"quantity\": 5", ""}}, "f:1:1: error: the key \"quantity\" is missing [key-missing]"},
    {{{"[\"100 mm\", \"200 mm\"], \"y\"", "[\"200 mm\", \"100 mm\"], \"y\""}},
     "f:3:17: error: it ends where it begins, or before [extent-empty]\n"
     "    at /part/x\n"
     "    hint: the smaller coordinate comes first"},
    {{{"\"quantity\"", "\"date\": \"tomorrow\", \"critical\": \"yes\", \"quantity\""}},
     "f:2:66: error: \"tomorrow\" is not a date [date-syntax]\n"
     "    at /date\n"
     "    hint: write year, month and day as in \"2026-11-20\"\n"
     "f:2:90: error: expected true or false, found the string \"yes\" [field-kind]\n"
     "    at /critical"},
    {{{"\"quantity\"",
       "\"temperatures\": {\"part\": \"72 °C\", \"scale\": \"20 K\", \"doubt\": \"2 °C\"}, "
       "\"quantity\""}},
     "f:2:83: error: \"72 °C\" is out of range: it must be at least -10 °C and at most 60 °C "
     "[value-range]\n"
     "    at /temperatures/part\n"
     "f:2:101: error: \"20 K\" is not a temperature, as in \"20 °C\" or \"68 °F\" [unit-wrong]\n"
     "    at /temperatures/scale\n"
     "    hint: K and Δ°F are differences: write a temperature as \"20 °C\" or \"68 °F\"\n"
     "f:2:118: error: \"2 °C\" is not a difference of temperatures, as in \"2 K\" or \"3.6 "
     "Δ°F\" [unit-wrong]\n"
     "    at /temperatures/doubt\n"
     "    hint: °C and °F alone are temperatures: write a difference as \"2 K\" or \"3.6 Δ°F\""},
    // Process; what is in it: tests/files/read_process.cpp.
    {{{"\"quantity\"", "\"process\": \"typcal\", \"quantity\""}},
     "f:2:69: error: unknown word \"typcal\" [word-unknown]\n"
     "    at /process\n"
     "    hint: did you mean \"typical\"?"},
    {{{"\"quantity\"", "\"process\": 5, \"quantity\""}},
     "f:2:69: error: expected an object, found the number 5 [field-kind]\n"
     "    at /process"},
    // Callouts; more of them: tests/files/read_callout.cpp.
    {{{"\"id\": \"b\"", "\"id\": \"a\""}},
     "f:10:12: error: the id \"a\" is given twice [id-twice]\n"
     "    at /callouts/1/id\n"
     "    hint: it stands in line 5 already"},
    {{{"\"0.02 mm\"", "\"0 mm\""}, {"\"0.05 mm\"", "\"Ø -.05 mm\""}},
     "f:5:37: error: a tolerance of \"0 mm\" leaves no room for any part [tolerance-zero]\n"
     "    at /callouts/0/perpendicularity\n"
     "    hint: ask the customer which number was meant\n"
     "f:10:29: error: a tolerance of \"-.05 mm\" leaves no room for any part [tolerance-zero]\n"
     "    at /callouts/1/position\n"
     "    hint: ask the customer which number was meant"},
    {{{"\"0.02 mm\"", "0.02"}, {"\"0.05 mm\"", "\"Ø 2 thous\""}},
     "f:5:37: error: expected length, as in \"0.25 mm\" or \"0.0100 in\", found the number "
     "0.02 [field-kind]\n"
     "    at /callouts/0/perpendicularity\n"
     "    hint: write it in quotes, with its unit\n"
     "f:10:29: error: unknown unit \"thous\" [unit-unknown]\n"
     "    at /callouts/1/position\n"
     "    hint: `holdable units` lists what may be written"},
    {{{"\"0.02 mm\"", "\"0.4 µm\""}, {"\"0.05 mm\"", "\"5 mm\""}},
     "f:5: a tolerance of \"0.4 µm\" is unusually tight: is the unit right?\n"
     "f:10: a tolerance of \"5 mm\" is unusually wide: is the unit right?"},
    {{{"\"0.02 mm\"", "\"200 m\""}},
     "f:5:37: error: \"200 m\" is no tolerance [value-range]\n"
     "    at /callouts/0/perpendicularity"},
    {{{"\"perpendicularity\": \"0.02 mm\",\n",
       "\"position\": \"0.05 mm\", \"perpendicularity\": \"0.02 mm\",\n"},
      {"\"position\": \"0.05 mm\",\n     \"hole\": {\"place\": [\"120 mm\"",
       "\"hole\": {\"place\": [\"120 mm\""}},
     "f:5:5: error: one callout has one requirement [callout-kind]\n"
     "    at /callouts/0\n"
     "    hint: a feature with two is two callouts\n"
     "f:10:5: error: the callout states no requirement [callout-kind]\n"
     "    at /callouts/1\n"
     "    hint: write \"position\", \"perpendicularity\", \"flatness\", \"diameter\", …"},
    {{{"\"place\": [\"150 mm\", \"100 mm\"]", "\"place\": [\"250 mm\", \"100 mm\"]"}},
     "f:6:24: error: the hole is outside the outline of the part [outside-part]\n"
     "    at /callouts/0/hole/place\n"
     "    hint: both are coordinates of the machine"},
    {{{"\"depth\": \"40 mm\"", "\"depth\": \"61 mm\""},
      {"\"made_by\": \"drilling\"", "\"made_by\": \"punching\""}},
     "f:6:71: error: it would end below the table [hole-depth]\n"
     "    at /callouts/0/hole/depth\n"
     "    hint: \"top\" is the height of its upper end above the table\n"
     "f:12:52: error: unknown word \"punching\" [word-unknown]\n"
     "    at /callouts/1/hole/made_by\n"
     "    hint: known here: \"boring\", \"reaming\", \"drilling\", \"tapping\", \"interpolating\""},
    {{{"\"kind\": \"face\"", "\"kind\": \"cut\""}},
     "f:8:49: error: expected length, as in \"0.25 mm\" or \"0.0100 in\", found an array "
     "[field-kind]\n"
     "    at /callouts/0/datum/x\n"
     "f:8:76: error: expected length, as in \"0.25 mm\" or \"0.0100 in\", found an array "
     "[field-kind]\n"
     "    at /callouts/0/datum/y"},
    {{{"\"kind\": \"cut\"", "\"kind\": \"face\""}},
     "f:13:54: error: expected an array, found the string \"100 mm\" [field-kind]\n"
     "    at /callouts/1/datum/x\n"
     "f:13:69: error: expected an array, found the string \"50 mm\" [field-kind]\n"
     "    at /callouts/1/datum/y"},
    {{{"\"datum\": {\"name\": \"A\", \"kind\"", "\"datums\": {\"name\": \"A\", \"kind\""},
      {"\"hole\": {\"place\": [\"120 mm\"", "\"hole\": 5, \"hoel\": {\"place\": [\"120 mm\""}},
     "f:8:6: error: unknown key \"datums\" [key-unknown]\n"
     "    at /callouts/0/datums\n"
     "    hint: did you mean \"datum\"?\n"
     "f:11:14: error: expected an object, found the number 5 [field-kind]\n"
     "    at /callouts/1/hole\n"
     "f:11:17: error: unknown key \"hoel\" [key-unknown]\n"
     "    at /callouts/1/hoel\n"
     "    hint: known here: \"id\", \"position\", \"perpendicularity\", \"parallelism\", "
     "\"angularity\", \"flatness\", \"straightness\", \"roundness\", \"cylindricity\", "
     "\"profile\", \"coaxiality\", \"run_out\", \"diameter\", \"distance\", \"height\", \"depth\", "
     "\"width\", \"length\", \"hole\", \"boss\", \"holes\", \"face\", \"wall\", \"walls\", "
     "\"slot\", \"rib\", \"datum\", \"maximum_material\", \"setup\", \"gauge\""},
    {{{"\"name\": \"A\", \"kind\": \"face\", \"x\": [\"100 mm\", \"200 mm\"], ",
       "\"name\": \"A\", \"kind\": \"face\", "}},
     "f:8:15: error: the key \"x\" is missing [key-missing]\n"
     "    at /callouts/0/datum"},
    {{{"\"kind\": \"face\"", "\"kind\": \"seat\""}},
     "f:8:45: error: unknown key \"x\" [key-unknown]\n"
     "    at /callouts/0/datum/x\n"
     "    hint: known here: \"name\", \"kind\"\n"
     "f:8:72: error: unknown key \"y\" [key-unknown]\n"
     "    at /callouts/0/datum/y\n"
     "    hint: known here: \"name\", \"kind\"\n"
     "f:9:16: error: unknown key \"height\" [key-unknown]\n"
     "    at /callouts/0/datum/height\n"
     "    hint: known here: \"name\", \"kind\"\n"
     "f:9:35: error: unknown key \"gauge_length\" [key-unknown]\n"
     "    at /callouts/0/datum/gauge_length\n"
     "    hint: known here: \"name\", \"kind\""},
    {{{"\"callouts\": [", "\"callouts\": [5], \"callout\": ["}},
     "f:4:16: error: expected an object, found the number 5 [field-kind]\n"
     "    at /callouts/0\n"
     "f:4:20: error: unknown key \"callout\" [key-unknown]\n"
     "    at /callout\n"
     "    hint: known here: \"holdable\", \"name\", \"drawing\", \"revision\", \"customer\", \"quote\", \"material\", \"quantity\", \"date\", "
     "\"critical\", \"rule\", \"part\", \"may_lie\", \"may_turn\", "
     "\"several_setups\", \"process\", \"duration\", \"warmed_up\", "
     "\"temperatures\", \"indices\", \"title_block\", \"callouts\", \"units\", \"$schema\""},
    {{{"\"callouts\": [", "\"callouts\": [], \"callout\": ["}},
     "f:4:15: error: there is no callout to answer [callout-none]\n"
     "    at /callouts\n"
     "f:4:19: error: unknown key \"callout\" [key-unknown]\n"
     "    at /callout\n"
     "    hint: known here: \"holdable\", \"name\", \"drawing\", \"revision\", \"customer\", \"quote\", \"material\", \"quantity\", \"date\", "
     "\"critical\", \"rule\", \"part\", \"may_lie\", \"may_turn\", "
     "\"several_setups\", \"process\", \"duration\", \"warmed_up\", "
     "\"temperatures\", \"indices\", \"title_block\", \"callouts\", \"units\", \"$schema\""},
};

} // namespace

BOOST_DATA_TEST_CASE(what_is_said, boost::unit_test::data::make(cases)) {
    BOOST_TEST(said(changed(base, sample.changes)) == sample.expected);
}

BOOST_AUTO_TEST_CASE(all_ids_are_among_them) {
    const std::set<std::string> ids = {"callout-kind",
                                       "callout-none",
                                       "date-syntax",
                                       "extent-empty",
                                       "field-kind",
                                       "file-format",
                                       "hole-depth",
                                       "id-twice",
                                       "key-missing",
                                       "key-unknown",
                                       "material-unknown",
                                       "name-empty",
                                       "outside-part",
                                       "quantity-zero",
                                       "tolerance-zero",
                                       "unit-unknown",
                                       "unit-wrong",
                                       "value-range",
                                       "word-unknown"};
    BOOST_TEST(ids_in(cases) == ids, tt::per_element());
}

BOOST_AUTO_TEST_SUITE_END()
