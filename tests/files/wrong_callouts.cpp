// SPDX-License-Identifier: MIT
// Callouts of job files that are wrong in their requirement, size, datum or in what goes together:
// what is said, in full, with its place. The wording is recorded from the program after reading it.
#include "files/callout_text.hpp"

#include <boost/test/data/test_case.hpp>
#include <boost/test/unit_test.hpp>

#include <set>
#include <string>

using namespace holdable;
using namespace holdable::callouts;
namespace tt = boost::test_tools;

BOOST_AUTO_TEST_SUITE(wrong_callouts)

namespace {

const Wrong wrong[] = {
    // Requirement.
    {"\"setup\": \"1\"",
     hole,
     on_face,
     {},
     "f:4:1: error: the callout states no requirement [callout-kind]\n"
     "    at /callouts/0\n"
     "    hint: write \"position\", \"perpendicularity\", \"flatness\", \"diameter\", …"},
    {"\"perpendicularity\": \"0.02 mm\", \"position\": \"0.05 mm\"",
     hole,
     on_face,
     {},
     "f:4:1: error: one callout has one requirement [callout-kind]\n"
     "    at /callouts/0\n"
     "    hint: a feature with two is two callouts"},
    {"\"flatnes\": \"0.02 mm\"",
     face,
     "",
     {},
     "f:4:1: error: the callout states no requirement [callout-kind]\n"
     "    at /callouts/0\n"
     "    hint: did you mean \"flatness\"?"},
    {"\"flatness\": 0.02",
     face,
     "",
     {},
     "f:4:25: error: expected length, as in \"0.25 mm\" or \"0.0100 in\", found the number 0.02 "
     "[field-kind]\n"
     "    at /callouts/0/flatness\n"
     "    hint: write it in quotes, with its unit"},
    {"\"flatness\": \"0 mm\"",
     face,
     "",
     {},
     "f:4:25: error: a tolerance of \"0 mm\" leaves no room for any part [tolerance-zero]\n"
     "    at /callouts/0/flatness\n"
     "    hint: ask the customer which number was meant"},
    {"\"flatness\": \"-0.02 mm\"",
     face,
     "",
     {},
     "f:4:25: error: a tolerance of \"-0.02 mm\" leaves no room for any part [tolerance-zero]\n"
     "    at /callouts/0/flatness\n"
     "    hint: ask the customer which number was meant"},
    {"\"flatness\": \"0.02\"",
     face,
     "",
     {},
     "f:4:25: error: \"0.02\" has no unit [unit-missing]\n"
     "    at /callouts/0/flatness\n"
     "    hint: add one, as in \"0.0002 in\", \"12 µm\", \"68 °F\""},
    {"\"flatness\": \"0,02 mm\"",
     face,
     "",
     {},
     "f:4:25: error: a comma in \"0,02 mm\" [quantity-syntax]\n"
     "    at /callouts/0/flatness\n"
     "    hint: the decimal sign is the point, and thousands are not grouped"},
    {"\"flatness\": \"0.02 mm/m\"",
     face,
     "",
     {},
     "f:4:25: error: \"0.02 mm/m\" is not a length, as in \"0.25 mm\" or \"0.0100 in\" "
     "[unit-wrong]\n"
     "    at /callouts/0/flatness"},
    {"\"flatness\": \"1e300 mm\"",
     face,
     "",
     {},
     "f:4:25: error: \"1e300 mm\" is no tolerance [value-range]\n"
     "    at /callouts/0/flatness"},
    {"\"flatness\": \"1e999 mm\"",
     face,
     "",
     {},
     "f:4:25: error: cannot read \"1e999 mm\" as a number with a unit [quantity-syntax]\n"
     "    at /callouts/0/flatness\n"
     "    hint: write it as in \"0.0002 in\", \"12 µm\", \"68 °F\""},
    {"\"flatness\": [\"0.02 mm\"]",
     face,
     "",
     {},
     "f:4:25: error: expected length, as in \"0.25 mm\" or \"0.0100 in\", found an array "
     "[field-kind]\n"
     "    at /callouts/0/flatness"},
    {"\"flatness\": \"0.02 mm ±\"",
     face,
     "",
     {},
     "f:4:25: error: cannot read the unit \"mm ±\": between two units stands \"/\", \"*\" or \"·\" "
     "[unit-syntax]\n"
     "    at /callouts/0/flatness\n"
     "    hint: write units as in \"mm\", \"in/ft\", \"µm/m/K\", \"mm/300mm\", \"kg/m^3\""},
    // Sizes: the words are those of tests/files/read_size.cpp, here with their place.
    {"\"diameter\": 25",
     hole,
     "",
     {},
     "f:4:25: error: expected length, as in \"0.25 mm\" or \"0.0100 in\", found the number 25 "
     "[field-kind]\n"
     "    at /callouts/0/diameter\n"
     "    hint: write it in quotes, with its unit"},
    {"\"diameter\": \"25.000 ±0 mm\", \"aim\": \"25 mm\"",
     hole,
     "",
     {},
     "f:4:25: error: \"25.000 ±0 mm\" leaves no room for any part [size-limits]\n"
     "    at /callouts/0/diameter\n"
     "    hint: ask the customer which limits were meant"},
    {"\"diameter\": \"25 g6\"",
     hole,
     "",
     {},
     "f:4:25: error: \"25 g6\": g6 is a fit of a shaft, this is a hole [fit-unknown]\n"
     "    at /callouts/0/diameter\n"
     "    hint: capital letters are holes, small ones shafts"},
    {"\"diameter\": \"25 H7\"",
     boss,
     "",
     {{"\"diameter\": \"1 in\"", "\"diameter\": \"25 mm\""}},
     "f:4:25: error: \"25 H7\": H7 is a fit of a hole, this is no hole [fit-unknown]\n"
     "    at /callouts/0/diameter\n"
     "    hint: capital letters are holes, small ones shafts"},
    {"\"width\": \"10 H9\"",
     rib,
     "",
     {},
     "f:4:22: error: \"10 H9\": H9 is a fit of a hole, this is no hole [fit-unknown]\n"
     "    at /callouts/0/width\n"
     "    hint: capital letters are holes, small ones shafts"},
    {"\"diameter\": \"25 H7\", \"aim\": \"25.03 mm\"",
     hole,
     "",
     {},
     "f:4:41: error: it lies outside the limits [aim-outside]\n"
     "    at /callouts/0/aim\n"
     "    hint: the size the program is set to, as \"25.010 mm\""},
    {"\"diameter\": \"25 H7\", \"aim\": \"25\"",
     hole,
     "",
     {},
     "f:4:41: error: \"25\" has no unit [unit-missing]\n"
     "    at /callouts/0/aim\n"
     "    hint: add one, as in \"0.0002 in\", \"12 µm\", \"68 °F\""},
    {"\"diameter\": \"25 ±0.2 µm\"",
     hole,
     "",
     {},
     "f:4: a tolerance of \"25 ±0.2 µm\" is unusually tight: is the unit right?"},
    {"\"perpendicularity\": \"0.02 mm\", \"aim\": \"25.03 mm\"",
     hole,
     on_face,
     {},
     "f:4:44: error: unknown key \"aim\" [key-unknown]\n"
     "    at /callouts/0/aim\n"
     "    hint: known here: \"id\", \"position\", \"perpendicularity\", \"parallelism\", "
     "\"angularity\", \"flatness\", \"straightness\", \"roundness\", \"cylindricity\", "
     "\"profile\", \"coaxiality\", \"run_out\", \"diameter\", \"distance\", \"height\", \"depth\", "
     "\"width\", \"length\", \"hole\", \"boss\", \"holes\", \"face\", \"wall\", \"walls\", "
     "\"slot\", \"rib\", \"datum\", \"setup\", \"gauge\""},
    {"\"distance\": \"60 ±0.02 mm\"",
     two_holes,
     "",
     {},
     "f:4:25: error: the features are 50 mm apart, the size is 60 mm [size-places]\n"
     "    at /callouts/0/distance\n"
     "    hint: places and size come from the same print"},
    {"\"length\": \"70 ±0.05 mm\"",
     walls,
     "",
     {},
     "f:4:23: error: the features are 80 mm apart, the size is 70 mm [size-places]\n"
     "    at /callouts/0/length\n"
     "    hint: places and size come from the same print"},
    {"\"length\": \"70 ±0.05 mm\"",
     wall,
     on_cut_edges,
     {},
     "f:4:23: error: the features are 49.2 mm apart, the size is 70 mm [size-places]\n"
     "    at /callouts/0/length\n"
     "    hint: places and size come from the same print"},
    {"\"height\": \"30 ±0.05 mm\"",
     face,
     on_face,
     {},
     "f:4:23: error: the features are 20 mm apart, the size is 30 mm [size-places]\n"
     "    at /callouts/0/height\n"
     "    hint: places and size come from the same print"},
    {"\"diameter\": \"30 H7\"",
     milled_hole,
     "",
     {},
     "f:4:25: error: the diameter is 25 mm beside the feature, here 30 mm [size-places]\n"
     "    at /callouts/0/diameter\n"
     "    hint: places and size come from the same print"},
    // Datums.
    {"\"perpendicularity\": \"0.02 mm\"",
     hole,
     "",
     {},
     "f:4:1: error: the key \"datum\" is missing [key-missing]\n"
     "    at /callouts/0"},
    {"\"perpendicularity\": \"0.02 mm\"",
     hole,
     on_face,
     {{"\"kind\": \"face\"", "\"kind\": \"plane\""}},
     "f:7:34: error: unknown word \"plane\" [word-unknown]\n"
     "    at /callouts/0/datum/kind\n"
     "    hint: known here: \"face\", \"seat\", \"touched\", \"picked up\", \"cut\", \"wall\", "
     "\"bore\", \"each other\""},
    {"\"perpendicularity\": \"0.02 mm\"",
     hole,
     on_face,
     {{"\"kind\": \"face\", ", ""}},
     "f:7:12: error: the key \"kind\" is missing [key-missing]\n"
     "    at /callouts/0/datum"},
    {"\"perpendicularity\": \"0.02 mm\"",
     hole,
     on_seat,
     {{"\"seat\"", "\"seat\", \"height\": \"1 mm\""}},
     "f:7:42: error: unknown key \"height\" [key-unknown]\n"
     "    at /callouts/0/datum/height\n"
     "    hint: known here: \"name\", \"kind\""},
    {"\"perpendicularity\": \"0.02 mm\"",
     hole,
     on_face,
     {{"\"name\": \"A\"", "\"name\": \" \""}},
     "f:7:21: error: a name must not be empty [name-empty]\n"
     "    at /callouts/0/datum/name"},
    {"\"perpendicularity\": \"0.02 mm\"",
     hole,
     on_face,
     {{"\"height\": \"40 mm\"", "\"heigth\": \"40 mm\""}},
     "f:8:30: error: unknown key \"heigth\" [key-unknown]\n"
     "    at /callouts/0/datum/heigth\n"
     "    hint: did you mean \"height\"?"},
    {"\"flatness\": \"0.02 mm\"",
     face,
     on_face,
     {},
     "f:7:3: error: unknown key \"datum\" [key-unknown]\n"
     "    at /callouts/0/datum\n"
     "    hint: known here: \"id\", \"position\", \"perpendicularity\", \"parallelism\", "
     "\"angularity\", \"flatness\", \"straightness\", \"roundness\", \"cylindricity\", "
     "\"profile\", \"coaxiality\", \"run_out\", \"diameter\", \"distance\", \"height\", \"depth\", "
     "\"width\", \"length\", \"hole\", \"boss\", \"holes\", \"face\", \"wall\", \"walls\", "
     "\"slot\", \"rib\", \"evaluated\", \"setup\", \"gauge\""},
    {"\"coaxiality\": \"0.02 mm\"",
     hole,
     turned_over,
     {{"\"Y\"", "\"Z\""}},
     "f:9:29: error: unknown word \"Z\" [word-unknown]\n"
     "    at /callouts/0/datum/turned_over/about\n"
     "    hint: known here: \"X\", \"Y\""},
    {"\"coaxiality\": \"0.02 mm\"",
     hole,
     turned_over,
     {{"\"thickness\": \"45 mm\", ", ""}},
     "f:9:19: error: the key \"thickness\" is missing [key-missing]\n"
     "    at /callouts/0/datum/turned_over"},
    {"\"coaxiality\": \"0.02 mm\"",
     hole,
     on_bore,
     {{"\"datum\": {\"name\": \"D\", \"kind\": \"bore\", \"hole\": {\"place\": [\"150 mm\"",
       "\"datum\": {\"name\": \"D\", \"kind\": \"bore\", \"hole\": {\"place\": [\"50 mm\""}},
     "f:7:60: error: the hole is outside the outline of the part [outside-part]\n"
     "    at /callouts/0/datum/hole/place\n"
     "    hint: both are coordinates of the machine"},
    // What does not go together.
    {"\"flatness\": \"0.02 mm\"",
     hole,
     "",
     {},
     "f:4:1: error: a flatness cannot be asked of this feature [callout-shape]\n"
     "    at /callouts/0\n"
     "    hint: docs/files.md lists which features and datums go with it"},
    {"\"position\": \"0.05 mm\"",
     wall,
     on_edges,
     {},
     "f:4:1: error: a position cannot be asked of this feature and this datum [callout-shape]\n"
     "    at /callouts/0\n"
     "    hint: docs/files.md lists which features and datums go with it"},
    {"\"perpendicularity\": \"0.02 mm\"",
     hole,
     on_edges,
     {},
     "f:4:1: error: a perpendicularity cannot be asked of this feature and this datum "
     "[callout-shape]\n"
     "    at /callouts/0\n"
     "    hint: docs/files.md lists which features and datums go with it"},
    {"\"angularity\": \"0.1 mm\"",
     face,
     on_face,
     {},
     "f:4:1: error: an angularity cannot be asked of this feature and this datum [callout-shape]\n"
     "    at /callouts/0\n"
     "    hint: docs/files.md lists which features and datums go with it"},
    {"\"roundness\": \"5 µm\"",
     face,
     "",
     {},
     "f:4:1: error: a roundness cannot be asked of this feature [callout-shape]\n"
     "    at /callouts/0\n"
     "    hint: docs/files.md lists which features and datums go with it"},
    {"\"diameter\": \"25 H7\"",
     face,
     "",
     {},
     "f:4:1: error: a diameter cannot be asked of this feature [callout-shape]\n"
     "    at /callouts/0\n"
     "    hint: docs/files.md lists which features and datums go with it"},
    {"\"height\": \"20 ±0.1 mm\"",
     hole,
     on_face,
     {},
     "f:4:1: error: a height cannot be asked of this feature and this datum [callout-shape]\n"
     "    at /callouts/0\n"
     "    hint: docs/files.md lists which features and datums go with it"},
    {"\"width\": \"80 ±0.1 mm\"",
     hole,
     on_edges,
     {},
     "f:4:1: error: a width cannot be asked of this feature [callout-shape]\n"
     "    at /callouts/0\n"
     "    hint: docs/files.md lists which features and datums go with it\n"
     "f:7:3: error: unknown key \"datum\" [key-unknown]\n"
     "    at /callouts/0/datum\n"
     "    hint: known here: \"id\", \"position\", \"perpendicularity\", \"parallelism\", "
     "\"angularity\", \"flatness\", \"straightness\", \"roundness\", \"cylindricity\", "
     "\"profile\", \"coaxiality\", \"run_out\", \"diameter\", \"distance\", \"height\", \"depth\", "
     "\"width\", \"length\", \"hole\", \"boss\", \"holes\", \"face\", \"wall\", \"walls\", "
     "\"slot\", \"rib\", \"aim\", \"setup\", \"gauge\""},
    {"\"distance\": \"50 ±0.02 mm\"",
     hole,
     "",
     {},
     "f:4:1: error: a distance is that of two holes [callout-shape]\n"
     "    at /callouts/0\n"
     "    hint: \"holes\": {\"places\": [[x, y], [x, y]], …}"},
    {"\"distance\": \"50 ±0.02 mm\"",
     circle,
     "",
     {},
     "f:4:1: error: a distance is that of two holes [callout-shape]\n"
     "    at /callouts/0\n"
     "    hint: \"holes\": {\"places\": [[x, y], [x, y]], …}"},
    {"\"position\": \"0.05 mm\"",
     hole,
     each_other,
     {},
     "f:4:1: error: one hole has no place to itself [callout-shape]\n"
     "    at /callouts/0\n"
     "    hint: \"holes\" to each other are a pattern"},
    {"\"perpendicularity\": \"0.02 mm\"",
     two_holes,
     on_face,
     {},
     "f:4:1: error: a perpendicularity is asked of one hole [callout-shape]\n"
     "    at /callouts/0\n"
     "    hint: write a callout for each \"hole\""},
    // What else may be said.
    {"\"flatness\": \"0.02 mm\", \"evaluated\": \"least square\"",
     face,
     "",
     {},
     "f:4:49: error: unknown word \"least square\" [word-unknown]\n"
     "    at /callouts/0/evaluated\n"
     "    hint: did you mean \"least squares\"?"},
    {"\"position\": \"0.05 mm\", \"evaluated\": \"least squares\"",
     hole,
     on_edges,
     {},
     "f:4:36: error: unknown key \"evaluated\" [key-unknown]\n"
     "    at /callouts/0/evaluated\n"
     "    hint: known here: \"id\", \"position\", \"perpendicularity\", \"parallelism\", "
     "\"angularity\", \"flatness\", \"straightness\", \"roundness\", \"cylindricity\", "
     "\"profile\", \"coaxiality\", \"run_out\", \"diameter\", \"distance\", \"height\", \"depth\", "
     "\"width\", \"length\", \"hole\", \"boss\", \"holes\", \"face\", \"wall\", \"walls\", "
     "\"slot\", \"rib\", \"datum\", \"maximum_material\", \"setup\", \"gauge\""},
    {"\"straightness\": \"0.02 mm\"",
     face,
     "",
     {},
     "f:4:1: error: the key \"along\" is missing [key-missing]\n"
     "    at /callouts/0"},
    {"\"straightness\": \"0.02 mm\", \"along\": \"Z\"",
     face,
     "",
     {},
     "f:4:49: error: unknown word \"Z\" [word-unknown]\n"
     "    at /callouts/0/along\n"
     "    hint: known here: \"X\", \"Y\""},
    {"\"distance\": \"50 ±0.02 mm\", \"one_way\": \"yes\"",
     two_holes,
     "",
     {},
     "f:4:51: error: expected true or false, found the string \"yes\" [field-kind]\n"
     "    at /callouts/0/one_way"},
    {"\"position\": \"0.05 mm\", \"maximum_material\": \"size\"",
     hole,
     on_edges,
     {},
     "f:4:56: error: no callout \"size\" gives a diameter [bonus-unknown]\n"
     "    at /callouts/0/maximum_material\n"
     "    hint: it names the callout of the hole's own size"},
    {"\"flatness\": \"0.02 mm\", \"setup\": \"\"",
     face,
     "",
     {},
     "f:4:45: error: a name must not be empty [name-empty]\n"
     "    at /callouts/0/setup"},
    {"\"flatness\": \"0.02 mm\", \"tolerance\": \"5 µm\"",
     face,
     "",
     {},
     "f:4:36: error: unknown key \"tolerance\" [key-unknown]\n"
     "    at /callouts/0/tolerance\n"
     "    hint: known here: \"id\", \"position\", \"perpendicularity\", \"parallelism\", "
     "\"angularity\", \"flatness\", \"straightness\", \"roundness\", \"cylindricity\", "
     "\"profile\", \"coaxiality\", \"run_out\", \"diameter\", \"distance\", \"height\", \"depth\", "
     "\"width\", \"length\", \"hole\", \"boss\", \"holes\", \"face\", \"wall\", \"walls\", "
     "\"slot\", \"rib\", \"evaluated\", \"setup\", \"gauge\""},
    {"\"profile\": \"title block\"",
     face,
     on_face,
     {},
     "f:4:24: error: ISO 2768-2 has no value for profile here [general-tolerance]\n"
     "    at /callouts/0/profile\n"
     "    hint: write the tolerance"},
};

} // namespace

BOOST_DATA_TEST_CASE(what_is_wrong_is_said, boost::unit_test::data::make(wrong)) {
    BOOST_TEST(said_of(sample) == sample.expected);
}

BOOST_AUTO_TEST_CASE(every_mistake_has_its_id) {
    const std::set<std::string> ids = {
        "aim-outside",  "bonus-unknown",     "callout-kind", "callout-shape", "field-kind",
        "fit-unknown",  "general-tolerance", "key-missing",  "key-unknown",   "name-empty",
        "outside-part", "quantity-syntax",   "size-limits",  "size-places",   "tolerance-zero",
        "unit-missing", "unit-syntax",       "unit-wrong",   "value-range",   "word-unknown"};
    BOOST_TEST(ids_in(wrong) == ids, tt::per_element());
}

BOOST_AUTO_TEST_CASE(what_is_wrong_between_callouts) {
    const auto flat = callout(R"("flatness": "0.02 mm")", face);
    BOOST_TEST(said_of(flat + ",\n" + flat) ==
               "f:7:8: error: the id \"a\" is given twice [id-twice]\n"
               "    at /callouts/1/id\n"
               "    hint: it stands in line 4 already");
    // Maximum material: the callout named is there, and gives no diameter.
    const auto unsized =
        said_of(callout(R"("position": "0.05 mm", "maximum_material": "b")", hole, on_edges) +
                ",\n" + callout(R"("roundness": "5 µm")", hole, "", "b"));
    BOOST_TEST(unsized.find("[bonus-unknown]") != std::string::npos, unsized);

    // All of a file at once, in the order of its lines.
    const auto all = said_of(callout(R"("flatness": "0 mm")", face) + ",\n" +
                             callout(R"("diameter": "25 mm ±")", hole, "", "b"));
    BOOST_TEST(all.find("[tolerance-zero]") < all.find("[size-syntax]"), all);
    BOOST_TEST(all.find("[size-syntax]") != std::string::npos, all);
}

BOOST_AUTO_TEST_CASE(a_title_block_may_say_nothing_of_form) {
    const auto of = [](std::string block, const std::string& feature) {
        auto text = job_of(callout(R"("flatness": "title block")", feature));
        return holdable::said<Job>(changed(text, {{R"("title_block": "ISO 2768-mK",)", block}}),
                                   [](const Node& root) { return read_job(root, "f"); });
    };
    const std::string none =
        "f:4:25: error: the title block of the job names no general tolerance of form [size-none]\n"
        "    at /callouts/0/flatness\n"
        "    hint: \"title_block\": \"ISO 2768-mK\"";
    BOOST_TEST(of("", face) == none);
    BOOST_TEST(of(R"("title_block": "ISO 2768-m",)", face) == none);
    BOOST_TEST(of(R"("title_block": "ISO 2768-mK",)", face) == "nothing");
    // A title block that is wrong is said once, and not again of each size.
    const auto wrong_block = of(R"("title_block": "ISO 2768-mQ",)", face);
    BOOST_TEST(wrong_block.find("[general-tolerance]") != std::string::npos, wrong_block);
    BOOST_TEST(wrong_block.find("/callouts") == std::string::npos, wrong_block);
    // A face without extent, and no outline of the part to take it from.
    const auto small =
        changed(face, {{R"("x": ["110 mm", "190 mm"], "y": ["60 mm", "140 mm"], )", ""}});
    auto text =
        changed(job_of(callout(R"("flatness": "title block")", small)),
                {{R"("part": {"x": ["100 mm", "200 mm"], "y": ["50 mm", "150 mm"]}, )", ""}});
    BOOST_TEST(holdable::said<Job>(text, [](const Node& root) { return read_job(root, "f"); }) ==
               "f:4:25: error: a general tolerance goes by the extent of the face, which is not "
               "stated [size-none]\n"
               "    at /callouts/0/flatness\n"
               "    hint: write \"x\" and \"y\" of the face, or the \"part\" of the job");
}

BOOST_AUTO_TEST_SUITE_END()
