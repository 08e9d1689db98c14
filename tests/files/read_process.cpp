// SPDX-License-Identifier: MIT
// The process and the title block of job files: every key against SI numbers by hand; what is
// wrong, with its place. Tolerance 1e-12 relative: some roundings of a double. The wording of the
// diagnostics is recorded from the program after reading it.
#include "files/job_text.hpp"
#include "holdable/files/read_job.hpp"

#include <boost/test/data/test_case.hpp>
#include <boost/test/unit_test.hpp>

#include <cmath>
#include <set>
#include <string>

using namespace holdable;
using job_texts::in;
using job_texts::read;
using job_texts::said;
namespace tt = boost::test_tools;

namespace {

using job_texts::is;

void is(const std::optional<Allowance>& found,
        double half_width,
        Evidence evidence,
        const std::string& basis) {
    BOOST_REQUIRE(found.has_value());
    is(found->half_width, half_width);
    BOOST_TEST((found->evidence == evidence));
    BOOST_TEST(found->basis == basis);
}

void is(const std::optional<Span>& found,
        double low,
        double high,
        Evidence evidence,
        const std::string& basis) {
    BOOST_REQUIRE(found.has_value());
    is(found->low, low);
    is(found->high, high);
    BOOST_TEST((found->evidence == evidence));
    BOOST_TEST(found->basis == basis);
}

/// Every key of the process, no two numbers alike.
const std::string base = R"({
  "holdable": "job/1", "name": "N", "material": "steel", "quantity": 5,
  "duration": "2 h", "warmed_up": "20 min",
  "title_block": {"0": "1 mm", "2": ".010 in", "3": ".005 in", "4": "2 µm"},
  "process": {
    "others": "typical",
    "work_zero": {"plus_minus": "5 µm", "evidence": "specification", "basis": "edge finder"},
    "location": {"total": "8 µm", "evidence": "measured"},
    "line_up": {"plus_minus": "0.01 mm/200mm", "evidence": "measured", "basis": "swept"},
    "pick_up": {"plus_minus": "3 µm", "evidence": "assumed"},
    "axis_repeat": {"standard_deviation": "1.5 µm", "dof": 9, "evidence": "measured"},
    "reversal": {"plus_minus": ".0002 in", "evidence": "typical"},
    "short_wave": {"plus_minus": "0 µm", "evidence": "certificate", "basis": "glass scales"},
    "drift": {"plus_minus": "4 µm", "evidence": "typical"},
    "seat": {"total": "10 µm/m", "evidence": "measured"},
    "hole_direction": {"readings": [4, -6, 9, 1, -3], "unit": "µm/m", "basis": "bores"},
    "hole_place": {"from": "P", "basis": "five parts"},
    "hole_size": {"from": "-2 µm", "to": "6 µm", "evidence": "measured", "basis": "bore gauge"},
    "size_repeat": {"standard_deviation": "2.5 µm", "evidence": "assumed", "basis": "last job"},
    "lobes": {"plus_minus": "1.25 µm", "evidence": "typical"},
    "tool_size": {"plus_minus": "6 µm", "evidence": "measured"},
    "tool_length": {"plus_minus": "7 µm", "evidence": "measured"},
    "tool_run_out": {"total": "12 µm", "evidence": "measured", "basis": "indicator"},
    "wear": {"from": "0 µm", "to": "9 µm", "evidence": "assumed"},
    "side_force": {"from": "20 N", "to": "60 N", "evidence": "typical"},
    "first_piece": {"plus_minus": "11 µm", "evidence": "certificate"},
    "distortion": {"plus_minus": "13 µm", "evidence": "assumed"}
  },
  "callouts": [
    {"id": "a", "diameter": "25.00 mm",
     "hole": {"place": ["150 mm", "100 mm"], "top": "60 mm", "depth": "40 mm",
              "gauge_length": "120 mm", "made_by": "boring"}}
  ]
}
)";

} // namespace

BOOST_AUTO_TEST_SUITE(reading_processes)

BOOST_AUTO_TEST_CASE(every_key) {
    const auto job = read(base);
    const auto& p = job.process;
    BOOST_TEST(job.process_typical);
    is(job.duration.value(), 7200);
    is(job.warmed_up, 1200);
    is(p.work_zero, 5e-6, Evidence::specification, "edge finder");
    is(p.location, 4e-6, Evidence::measured, ""); // half of the total
    is(p.line_up, 0.01 / 200, Evidence::measured, "swept");
    is(p.pick_up, 3e-6, Evidence::assumed, "");
    is(p.axis_repeat.value().standard_deviation, 1.5e-6);
    is(p.axis_repeat->dof, 9);
    BOOST_TEST(p.axis_repeat->mean == 0);
    BOOST_TEST(p.axis_repeat->readings == 0);
    BOOST_TEST(p.axis_repeat->from.empty());
    is(p.reversal, 0.0002 * in, Evidence::typical, "");
    is(p.short_wave, 0, Evidence::certificate, "glass scales");
    is(p.drift, 4e-6, Evidence::typical, "");
    is(p.seat, 5e-6, Evidence::measured, "");
    // 4, -6, 9, 1, -3: mean 1, squares of the differences 9, 49, 64, 0, 16.
    is(p.hole_direction.value().mean, 1e-6);
    is(p.hole_direction->standard_deviation, std::sqrt(138.0 / 4) * 1e-6);
    is(p.hole_direction->dof, 4);
    BOOST_TEST(p.hole_direction->readings == 5);
    BOOST_TEST((p.hole_direction->evidence == Evidence::measured));
    BOOST_TEST(p.hole_direction->basis == "bores");
    BOOST_TEST(p.hole_place.value().from == "P");
    BOOST_TEST(p.hole_place->basis == "five parts");
    BOOST_TEST(p.hole_place->standard_deviation == 0);
    is(p.hole_size, -2e-6, 6e-6, Evidence::measured, "bore gauge");
    is(p.size_repeat.value().standard_deviation, 2.5e-6);
    BOOST_TEST(p.size_repeat->dof == 0); // well known
    BOOST_TEST((p.size_repeat->evidence == Evidence::assumed));
    BOOST_TEST(p.size_repeat->basis == "last job");
    is(p.lobes, 1.25e-6, Evidence::typical, "");
    is(p.tool_size, 6e-6, Evidence::measured, "");
    is(p.tool_length, 7e-6, Evidence::measured, "");
    is(p.tool_run_out, 0, 12e-6, Evidence::measured, "indicator");
    is(p.wear, 0, 9e-6, Evidence::assumed, "");
    is(p.side_force, 20, 60, Evidence::typical, "");
    is(p.first_piece, 11e-6, Evidence::certificate, "");
    is(p.distortion, 13e-6, Evidence::assumed, "");
    BOOST_TEST(job.notes.empty());
}

BOOST_AUTO_TEST_CASE(nothing_is_taken_that_was_not_said) {
    for (const char* process : {"{}", R"({"others": "typical"})", R"("typical")"}) {
        const auto start = base.find("\"process\": {");
        const auto end = base.find("\"callouts\"");
        auto text = base;
        text.replace(start, end - start, std::string("\"process\": ") + process + ",\n");
        const auto job = read(text);
        const auto& p = job.process;
        BOOST_TEST(job.process_typical == (std::string(process) != "{}"));
        BOOST_TEST(!(p.work_zero || p.location || p.line_up || p.pick_up || p.axis_repeat ||
                     p.reversal || p.short_wave || p.drift || p.seat || p.hole_direction ||
                     p.hole_place || p.hole_size || p.size_repeat || p.lobes || p.tool_size ||
                     p.tool_length || p.tool_run_out || p.wear || p.side_force || p.first_piece ||
                     p.distortion));
    }
}

BOOST_AUTO_TEST_CASE(a_title_block_gives_sizes_their_limits) {
    const auto limits = [](const std::string& size, const std::string& block) {
        auto text = changed(base, {{"25.00 mm", size}});
        const auto start = text.find("\"title_block\"");
        const auto end = text.find("\"process\"");
        text.replace(start, end - start, "\"title_block\": " + block + ",\n");
        return read(text).callouts.at(0).size;
    };
    const std::string places = R"({"0": "1 mm", "2": ".010 in", "3": ".005 in", "4": "2 µm"})";
    for (const auto& [size, half] : {std::pair{"25 mm", 1e-3},
                                     {"25.00 mm", 0.010 * in},
                                     {"25.000 mm", 0.005 * in},
                                     {"25.0000 mm", 2e-6}}) {
        is(limits(size, places).upper, half);
        is(limits(size, places).lower, -half);
        BOOST_TEST(limits(size, places).source == "title block");
    }
    // ISO 2768-1, medium (memory): over 6 to 30 mm ±0.2.
    const auto general = limits("25 mm", "\"ISO 2768-m\"");
    is(general.upper, 0.2e-3);
    BOOST_TEST(general.source == "ISO 2768-m of the title block");
}

namespace {

const Changed wrong[] = {
    // The process as a whole.
    {{{"\"others\": \"typical\"", "\"others\": true"}},
     "f:6:15: error: expected a word, found true [field-kind]\n"
     "    at /process/others"},
    {{{"\"others\": \"typical\"", "\"others\": \"usual\""}},
     "f:6:15: error: unknown word \"usual\" [word-unknown]\n"
     "    at /process/others\n"
     "    hint: known here: \"typical\""},
    {{{"\"others\": \"typical\"", "\"other\": \"typical\""}},
     "f:6:5: error: unknown key \"other\" [key-unknown]\n"
     "    at /process/other\n"
     "    hint: did you mean \"others\"?"},
    {{{"\"work_zero\": {\"plus_minus\": \"5 µm\", \"evidence\": \"specification\", \"basis\": "
       "\"edge finder\"}",
       "\"work_zero\": \"5 µm\""}},
     "f:7:18: error: expected an object, found the string \"5 µm\" [field-kind]\n"
     "    at /process/work_zero"},
    // An allowance.
    {{{"\"plus_minus\": \"5 µm\", \"evidence\": \"specification\"",
       "\"evidence\": \"specification\""}},
     "f:7:18: error: the key \"plus_minus\" is missing [key-missing]\n"
     "    at /process/work_zero"},
    {{{"\"plus_minus\": \"5 µm\", \"evidence\": \"specification\"", "\"plus_minus\": \"5 µm\""}},
     "f:7:18: error: the key \"evidence\" is missing [key-missing]\n"
     "    at /process/work_zero"},
    {{{"\"plus_minus\": \"5 µm\", \"evidence\": \"specification\"",
       "\"plus_minus\": \"5 µm\", \"total\": \"10 µm\", \"evidence\": \"guess\""}},
     "f:7:19: error: unknown key \"plus_minus\" [key-unknown]\n"
     "    at /process/work_zero/plus_minus\n"
     "    hint: known here: \"total\", \"evidence\", \"basis\"\n"
     "f:7:71: error: unknown word \"guess\" [word-unknown]\n"
     "    at /process/work_zero/evidence\n"
     "    hint: known here: \"measured\", \"certificate\", \"specification\", \"typical\", "
     "\"assumed\""},
    {{{"\"plus_minus\": \"5 µm\"", "\"plus_minus\": 5"}},
     "f:7:33: error: expected length, as in \"0.25 mm\" or \"0.0100 in\", found the number 5 "
     "[field-kind]\n"
     "    at /process/work_zero/plus_minus\n"
     "    hint: write it in quotes, with its unit"},
    {{{"\"plus_minus\": \"5 µm\"", "\"plus_minus\": \"5\""}},
     "f:7:33: error: \"5\" has no unit [unit-missing]\n"
     "    at /process/work_zero/plus_minus\n"
     "    hint: add one, as in \"0.0002 in\", \"12 µm\", \"68 °F\""},
    {{{"\"plus_minus\": \"5 µm\"", "\"plus_minus\": \"0 µm\""}},
     "f:7:33: error: \"0 µm\" is out of range: it must be more than 0 µm and at most 10000 µm "
     "[value-range]\n"
     "    at /process/work_zero/plus_minus"},
    {{{"\"plus_minus\": \"5 µm\"", "\"plus_minus\": \"-5 µm\""}},
     "f:7:33: error: \"-5 µm\" is out of range: it must be more than 0 µm and at most 10000 µm "
     "[value-range]\n"
     "    at /process/work_zero/plus_minus"},
    {{{"\"plus_minus\": \"5 µm\"", "\"plus_minus\": \"5 m\""}},
     "f:7:33: error: \"5 m\" is out of range: it must be more than 0 m and at most 0.01 m "
     "[value-range]\n"
     "    at /process/work_zero/plus_minus"},
    {{{"\"plus_minus\": \"5 µm\"", "\"plus_minus\": \"5 tenths\""}},
     "f:7:33: error: unit \"tenths\": a tenth is 0.0001 in in one shop and 0.1 mm in another "
     "[unit-refused]\n"
     "    at /process/work_zero/plus_minus\n"
     "    hint: write \"0.0001 in\" or \"0.1 mm\""},
    {{{"\"total\": \"8 µm\"", "\"total\": \"8e300 km\""}},
     "f:8:27: error: \"8e300 km\" is out of range: it must be more than 0 km and at most 1e-05 km "
     "[value-range]\n"
     "    at /process/location/total"},
    {{{"0.01 mm/200mm", "0.01 mm"}},
     "f:9:31: error: \"0.01 mm\" is not an angle or slope, as in \"20 arcsec\" or \"0.0005 in/ft\" "
     "[unit-wrong]\n"
     "    at /process/line_up/plus_minus\n"
     "    hint: a slope needs its length: write \"0.0005 in/ft\" or \"0.02 mm/300mm\""},
    {{{"\"basis\": \"edge finder\"", "\"basis\": 7"}},
     "f:7:79: error: expected a string, found the number 7 [field-kind]\n"
     "    at /process/work_zero/basis"},
    {{{"\"plus_minus\": \"0 µm\"", "\"plus_minus\": \"-1 µm\""}},
     "f:13:34: error: \"-1 µm\" is out of range: it must be at least 0 µm and at most 10000 µm "
     "[value-range]\n"
     "    at /process/short_wave/plus_minus"},
    // A scatter.
    {{{"\"dof\": 9", "\"dof\": 0"}},
     "f:11:60: error: 0 is out of range: it must be at least 1 and at most 1000000 [value-range]\n"
     "    at /process/axis_repeat/dof"},
    {{{"\"dof\": 9", "\"dof\": \"9\""}},
     "f:11:60: error: expected a number, found the string \"9\" [field-kind]\n"
     "    at /process/axis_repeat/dof"},
    {{{"\"standard_deviation\": \"1.5 µm\", \"dof\"", "\"standard_deviation\": \"0 µm\", \"dof\""}},
     "f:11:43: error: \"0 µm\" is out of range: it must be more than 0 µm and at most 10000 µm "
     "[value-range]\n"
     "    at /process/axis_repeat/standard_deviation"},
    {{{"\"standard_deviation\": \"1.5 µm\", \"dof\"", "\"dof\""}},
     "f:11:20: error: the key \"standard_deviation\" is missing [key-missing]\n"
     "    at /process/axis_repeat"},
    {{{"\"standard_deviation\": \"1.5 µm\", \"dof\": 9, \"evidence\": \"measured\"",
       "\"readings\": [1, 1, 1], \"unit\": \"µm\""}},
     "f:11:33: error: all readings are the same: no scatter can be read off them [repeats-same]\n"
     "    at /process/axis_repeat/readings\n"
     "    hint: read with a finer instrument, or state a \"standard_deviation\""},
    {{{"\"standard_deviation\": \"1.5 µm\", \"dof\": 9, \"evidence\": \"measured\"",
       "\"from\": \"P\""}},
     "f:11:20: error: the key \"standard_deviation\" is missing [key-missing]\n"
     "    at /process/axis_repeat\n"
     "f:11:20: error: the key \"evidence\" is missing [key-missing]\n"
     "    at /process/axis_repeat\n"
     "f:11:21: error: unknown key \"from\" [key-unknown]\n"
     "    at /process/axis_repeat/from\n"
     "    hint: known here: \"readings\", \"standard_deviation\", \"dof\", \"evidence\", "
     "\"basis\""},
    {{{"[4, -6, 9, 1, -3]", "[[4, 8], -6]"}},
     "f:16:37: error: expected angle or slope, as in \"20 arcsec\" or \"0.0005 in/ft\", found an "
     "array [field-kind]\n"
     "    at /process/hole_direction/readings/0"},
    {{{"[4, -6, 9, 1, -3]", "[4]"}},
     "f:16:36: error: a spread needs two readings or more, found 1 [repeats-few]\n"
     "    at /process/hole_direction/readings\n"
     "    hint: repeat it three times or more, or write it as a single reading"},
    {{{"[4, -6, 9, 1, -3]", "[4, -6]"}},
     "f:16: two repeats tell little of a spread: take three or more"},
    {{{"[4, -6, 9, 1, -3]", "\"4 -6 nine\""}},
     "f:16:42: error: \"nine\" is not a number [readings-syntax]\n"
     "    at /process/hole_direction/readings\n"
     "    hint: in a string stand numbers alone, blank between, and the unit under \"unit\""},
    {{{"[4, -6, 9, 1, -3], \"unit\": \"µm/m\"", "[4, -6, 9]"}},
     "f:16:36: error: the readings are numbers without a unit [unit-missing]\n"
     "    at /process/hole_direction/readings\n"
     "    hint: write \"unit\" beside them, as in \"0.0001 in\" or \"µm\""},
    {{{"[4, -6, 9, 1, -3], \"unit\": \"µm/m\"", "[4, -6, 9], \"unit\": \"µm\""}},
     "f:16:56: error: \"1 µm\" is not an angle or slope, as in \"20 arcsec\" or \"0.0005 in/ft\" "
     "[unit-wrong]\n"
     "    at /process/hole_direction/unit\n"
     "    hint: a slope needs its length: write \"0.0005 in/ft\" or \"0.02 mm/300mm\""},
    {{{"[4, -6, 9, 1, -3], \"unit\": \"µm/m\"",
       "[4, -6, 9], \"unit\": \"µm/m\", \"evidence\": \"measured\""}},
     "f:16:64: error: unknown key \"evidence\" [key-unknown]\n"
     "    at /process/hole_direction/evidence\n"
     "    hint: known here: \"from\", \"readings\", \"unit\", \"basis\""},
    {{{"[4, -6, 9, 1, -3], \"unit\": \"µm/m\"", "[4, -6, 9e6], \"unit\": \"µm/m\""}},
     "f:16:44: error: \"9e6\" is no reading of a level: it may be 100 mm/m either way "
     "[value-range]\n"
     "    at /process/hole_direction/readings/2\n"
     "    hint: is the unit right?"},
    {{{"{\"from\": \"P\", \"basis\": \"five parts\"}", "{\"from\": \"\"}"}},
     "f:17:28: error: a name must not be empty [name-empty]\n"
     "    at /process/hole_place/from"},
    {{{"{\"from\": \"P\", \"basis\": \"five parts\"}",
       "{\"from\": \"P\", \"standard_deviation\": \"2 µm\"}"}},
     "f:17:33: error: unknown key \"standard_deviation\" [key-unknown]\n"
     "    at /process/hole_place/standard_deviation\n"
     "    hint: known here: \"from\", \"basis\""},
    // A span.
    {{{"\"from\": \"-2 µm\", \"to\": \"6 µm\"", "\"from\": \"6 µm\", \"to\": \"-2 µm\""}},
     "f:18:41: error: it ends below where it begins [span-order]\n"
     "    at /process/hole_size/to\n"
     "    hint: \"from\" is the smaller, with its sign"},
    {{{"\"from\": \"-2 µm\", \"to\": \"6 µm\"", "\"from\": \"-2 µm\""}},
     "f:18:18: error: the key \"to\" is missing [key-missing]\n"
     "    at /process/hole_size"},
    {{{"\"from\": \"-2 µm\", \"to\": \"6 µm\"", "\"from\": \"-20 mm\", \"to\": \"6 µm\""}},
     "f:18:27: error: \"-20 mm\" is out of range: it must be at least -10 mm and at most 10 mm "
     "[value-range]\n"
     "    at /process/hole_size/from"},
    {{{"\"from\": \"0 µm\", \"to\": \"9 µm\"", "\"from\": \"-1 µm\", \"to\": \"9 µm\""}},
     "f:24:22: error: \"-1 µm\" is out of range: it must be at least 0 µm and at most 10000 µm "
     "[value-range]\n"
     "    at /process/wear/from"},
    {{{"\"total\": \"12 µm\"", "\"total\": \"-12 µm\""}},
     "f:23:31: error: \"-12 µm\" is out of range: it must be at least 0 µm and at most 10000 µm "
     "[value-range]\n"
     "    at /process/tool_run_out/total"},
    {{{"\"total\": \"12 µm\"", "\"total\": \"12 µm\", \"from\": \"0 µm\""}},
     "f:23:40: error: unknown key \"from\" [key-unknown]\n"
     "    at /process/tool_run_out/from\n"
     "    hint: known here: \"total\", \"evidence\", \"basis\""},
    {{{"\"from\": \"20 N\", \"to\": \"60 N\"", "\"from\": \"20 mm\", \"to\": \"60 MN\""}},
     "f:25:28: error: \"20 mm\" is not a force, as in \"50 N\" or \"10 lbf\" [unit-wrong]\n"
     "    at /process/side_force/from\n"
     "f:25:43: error: unknown unit \"MN\" [unit-unknown]\n"
     "    at /process/side_force/to\n"
     "    hint: did you mean \"mN\"?"},
    // Title block.
    {{{"{\"0\": \"1 mm\", \"2\": \".010 in\", \"3\": \".005 in\", \"4\": \"2 µm\"}",
       "{\"0\": \"1 mm\", \"two\": \".010 in\", \"10\": \"1 µm\", \"3\": \"0 in\", \"4\": \"2\"}"}},
     "f:4:39: error: \"two\" is no number of decimals [title-block]\n"
     "    at /title_block/two\n"
     "    hint: as {\"2\": \".010 in\", \"3\": \".005 in\"}\n"
     "f:4:56: error: \"10\" is no number of decimals [title-block]\n"
     "    at /title_block/10\n"
     "    hint: as {\"2\": \".010 in\", \"3\": \".005 in\"}\n"
     "f:4:69: error: \"0 in\" is out of range: it must be more than 0 in and at most 3.93701 in "
     "[value-range]\n"
     "    at /title_block/3\n"
     "f:4:82: error: \"2\" has no unit [unit-missing]\n"
     "    at /title_block/4\n"
     "    hint: add one, as in \"0.0002 in\", \"12 µm\", \"68 °F\""},
    {{{"{\"0\": \"1 mm\", \"2\": \".010 in\", \"3\": \".005 in\", \"4\": \"2 µm\"}", "5"}},
     "f:4:18: error: expected an object, found the number 5 [field-kind]\n"
     "    at /title_block"},
    {{{"{\"0\": \"1 mm\", \"2\": \".010 in\", \"3\": \".005 in\", \"4\": \"2 µm\"}",
       "\"ISO 2768\""}},
     "f:4:18: error: unknown class of general tolerances \"\" [general-tolerance]\n"
     "    at /title_block\n"
     "    hint: write f, m, c or v (ISO 2768-1), and H, K or L behind it where form and place have "
     "one too (ISO 2768-2), such as \"m\" or \"mK\""},
    {{{"{\"0\": \"1 mm\", \"2\": \".010 in\", \"3\": \".005 in\", \"4\": \"2 µm\"}",
       "\"ISO 8015\""}},
     "f:4:18: error: \"ISO 8015\" names no class of ISO 2768 [general-tolerance]\n"
     "    at /title_block\n"
     "    hint: as \"ISO 2768-m\" or \"ISO 2768-mK\""},
    {{{"{\"0\": \"1 mm\", \"2\": \".010 in\", \"3\": \".005 in\", \"4\": \"2 µm\"}",
       "{\"3\": \".005 in\"}"}},
     "f:30:29: error: \"25.00 mm\" has no limits, and no title block says what holds for 2 places "
     "[size-none]\n"
     "    at /callouts/0/diameter\n"
     "    hint: write the limits, or \"title_block\": {\"3\": \".005 in\"} for three places; title "
     "blocks differ, so none is assumed"},
    {{{"\"2\": \".010 in\"", "\"2\": \"200 mm\""}},
     "f:4:37: error: \"200 mm\" is out of range: it must be more than 0 mm and at most 100 mm "
     "[value-range]\n"
     "    at /title_block/2"},
    // Time.
    {{{"\"2 h\"", "\"2 mm\""}},
     "f:3:15: error: \"2 mm\" is not a time, as in \"20 min\" or \"8 h\" [unit-wrong]\n"
     "    at /duration"},
    {{{"\"2 h\"", "\"0 h\""}},
     "f:3:15: error: \"0 h\" is out of range: it must be more than 0 h and at most 720 h "
     "[value-range]\n"
     "    at /duration"},
    {{{"\"20 min\"", "\"-1 min\""}},
     "f:3:35: error: \"-1 min\" is out of range: it must be at least 0 min and at most 43200 min "
     "[value-range]\n"
     "    at /warmed_up"},
};

} // namespace

BOOST_DATA_TEST_CASE(what_is_wrong_is_said, boost::unit_test::data::make(wrong)) {
    BOOST_TEST(said(changed(base, sample.changes)) == sample.expected);
}

BOOST_AUTO_TEST_CASE(every_mistake_has_its_id) {
    const std::set<std::string> ids = {"field-kind",
                                       "general-tolerance",
                                       "key-missing",
                                       "key-unknown",
                                       "name-empty",
                                       "readings-syntax",
                                       "repeats-few",
                                       "repeats-same",
                                       "size-none",
                                       "span-order",
                                       "title-block",
                                       "unit-missing",
                                       "unit-refused",
                                       "unit-unknown",
                                       "unit-wrong",
                                       "value-range",
                                       "word-unknown"};
    BOOST_TEST(ids_in(wrong) == ids, tt::per_element());
}

BOOST_AUTO_TEST_SUITE_END()
