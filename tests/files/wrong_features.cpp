// SPDX-License-Identifier: MIT
// Features of callouts that are wrong: what is said, in full, with its place. The wording is
// recorded from the program after reading it.
#include "files/callout_text.hpp"

#include <boost/test/data/test_case.hpp>
#include <boost/test/unit_test.hpp>

#include <set>
#include <string>

using namespace holdable;
using namespace holdable::callouts;
namespace tt = boost::test_tools;

BOOST_AUTO_TEST_SUITE(wrong_features)

namespace {

const Wrong wrong[] = {
    // Features.
    {"\"flatness\": \"0.02 mm\"",
     "\"setup\": \"1\"",
     "",
     {},
     "f:4:1: error: the callout names no feature [callout-feature]\n"
     "    at /callouts/0\n"
     "    hint: \"hole\", \"holes\", \"boss\", \"face\", \"wall\", \"walls\", \"slot\" or \"rib\""},
    {"\"perpendicularity\": \"0.02 mm\"",
     hole,
     on_face,
     {{"\"made_by\": \"boring\"}", "\"made_by\": \"boring\"}, \"face\": {}"}},
     "f:4:1: error: one callout has one feature [callout-feature]\n"
     "    at /callouts/0\n"
     "    hint: \"hole\", \"holes\", \"boss\", \"face\", \"wall\", \"walls\", \"slot\" or \"rib\"\n"
     "f:6:60: error: the key \"height\" is missing [key-missing]\n"
     "    at /callouts/0/face\n"
     "f:6:60: error: the key \"gauge_length\" is missing [key-missing]\n"
     "    at /callouts/0/face"},
    {"\"flatness\": \"0.02 mm\"",
     "\"face\": 5",
     "",
     {},
     "f:5:11: error: expected an object, found the number 5 [field-kind]\n"
     "    at /callouts/0/face"},
    {"\"flatness\": \"0.02 mm\"",
     "\"face\": {}",
     "",
     {},
     "f:5:11: error: the key \"height\" is missing [key-missing]\n"
     "    at /callouts/0/face\n"
     "f:5:11: error: the key \"gauge_length\" is missing [key-missing]\n"
     "    at /callouts/0/face"},
    {"\"flatness\": \"0.02 mm\"",
     "\"hoel\": {}",
     "",
     {},
     "f:4:1: error: the callout names no feature [callout-feature]\n"
     "    at /callouts/0\n"
     "    hint: \"hole\", \"holes\", \"boss\", \"face\", \"wall\", \"walls\", \"slot\" or \"rib\"\n"
     "f:5:3: error: unknown key \"hoel\" [key-unknown]\n"
     "    at /callouts/0/hoel\n"
     "    hint: did you mean \"hole\"?"},
    {"\"perpendicularity\": \"0.02 mm\"",
     hole,
     on_face,
     {{"[\"150 mm\", \"100 mm\"]", "[\"250 mm\", \"100 mm\"]"}},
     "f:5:21: error: the hole is outside the outline of the part [outside-part]\n"
     "    at /callouts/0/hole/place\n"
     "    hint: both are coordinates of the machine"},
    {"\"perpendicularity\": \"0.02 mm\"",
     hole,
     on_face,
     {{"[\"150 mm\", \"100 mm\"]", "[\"150 mm\"]"}},
     "f:5:21: error: expected an array of 2 lengths, found one of 1 [field-kind]\n"
     "    at /callouts/0/hole/place"},
    {"\"perpendicularity\": \"0.02 mm\"",
     hole,
     on_face,
     {{"[\"150 mm\", \"100 mm\"]", "\"150 mm\""}},
     "f:5:21: error: expected an array, found the string \"150 mm\" [field-kind]\n"
     "    at /callouts/0/hole/place"},
    {"\"perpendicularity\": \"0.02 mm\"",
     hole,
     on_face,
     {{"\"depth\": \"40 mm\"", "\"depth\": \"61 mm\""}},
     "f:5:68: error: it would end below the table [hole-depth]\n"
     "    at /callouts/0/hole/depth\n"
     "    hint: \"top\" is the height of its upper end above the table"},
    {"\"perpendicularity\": \"0.02 mm\"",
     hole,
     on_face,
     {{"\"depth\": \"40 mm\"", "\"depth\": \"0 mm\""}},
     "f:5:68: error: \"0 mm\" is out of range: it must be more than 0 mm and at most 100000 mm "
     "[value-range]\n"
     "    at /callouts/0/hole/depth"},
    {"\"perpendicularity\": \"0.02 mm\"",
     hole,
     on_face,
     {{"\"top\": \"60 mm\"", "\"top\": \"-60 mm\""}},
     "f:5:50: error: \"-60 mm\" is out of range: it must be at least 0 mm and at most 100000 mm "
     "[value-range]\n"
     "    at /callouts/0/hole/top"},
    {"\"perpendicularity\": \"0.02 mm\"",
     hole,
     on_face,
     {{"\"gauge_length\": \"120 mm\"", "\"gauge_length\": \"120\""}},
     "f:6:20: error: \"120\" has no unit [unit-missing]\n"
     "    at /callouts/0/hole/gauge_length\n"
     "    hint: add one, as in \"0.0002 in\", \"12 µm\", \"68 °F\""},
    {"\"perpendicularity\": \"0.02 mm\"",
     hole,
     on_face,
     {{"\"boring\"", "\"punching\""}},
     "f:6:41: error: unknown word \"punching\" [word-unknown]\n"
     "    at /callouts/0/hole/made_by\n"
     "    hint: known here: \"boring\", \"reaming\", \"drilling\", \"tapping\", \"interpolating\""},
    {"\"perpendicularity\": \"0.02 mm\"",
     hole,
     on_face,
     {{"\"boring\"", "\"boring\", \"color\": \"red\""}},
     "f:6:51: error: unknown key \"color\" [key-unknown]\n"
     "    at /callouts/0/hole/color\n"
     "    hint: known here: \"place\", \"depth\", \"top\", \"gauge_length\", \"made_by\", "
     "\"diameter\", \"feed\", \"tool\""},
    {"\"roundness\": \"5 µm\"",
     milled_hole,
     "",
     {{"\"diameter\": \"25 mm\", \"feed\": \"600 mm/min\",", ""}},
     "f:5:11: error: the key \"diameter\" is missing [key-missing]\n"
     "    at /callouts/0/hole\n"
     "    hint: of the path round it\n"
     "f:5:11: error: the key \"feed\" is missing [key-missing]\n"
     "    at /callouts/0/hole\n"
     "    hint: along the path, as \"500 mm/min\""},
    {"\"roundness\": \"5 µm\"",
     milled_hole,
     "",
     {{"600 mm/min", "600 mm"}},
     "f:6:87: error: \"600 mm\" is not a speed, as in \"500 mm/min\" [unit-wrong]\n"
     "    at /callouts/0/hole/feed"},
    {"\"roundness\": \"5 µm\"",
     milled_hole,
     "",
     {{"600 mm/min", "600 m/s"}},
     "f:6:87: error: \"600 m/s\" is out of range: it must be more than 0 m/s and at most 2 m/s "
     "[value-range]\n"
     "    at /callouts/0/hole/feed"},
    {"\"roundness\": \"5 µm\"",
     milled_hole,
     "",
     {{"\"16 mm\"", "\"25 mm\""}},
     "f:7:25: error: it is as wide as the hole or wider [tool-wide]\n"
     "    at /callouts/0/hole/tool/diameter\n"
     "    hint: a hole milled round leaves the tool room to go round"},
    {"\"roundness\": \"5 µm\"",
     milled_hole,
     "",
     {{", \"reach\": \"50 mm\"", ""}},
     "f:7:12: error: the key \"reach\" is missing [key-missing]\n"
     "    at /callouts/0/hole/tool"},
    {"\"diameter\": \"1.000 ±.002 in\"",
     boss,
     "",
     {{"\"interpolating\"", "\"boring\""}},
     "f:6:41: error: a boss is milled round: \"interpolating\" [callout-shape]\n"
     "    at /callouts/0/boss/made_by"},
    {"\"diameter\": \"1.000 ±.002 in\"",
     boss,
     "",
     {{"\"interpolating\"", "\"turning\""}},
     "f:6:41: error: unknown word \"turning\" [word-unknown]\n"
     "    at /callouts/0/boss/made_by\n"
     "    hint: known here: \"boring\", \"reaming\", \"drilling\", \"tapping\", \"interpolating\""},
    {"\"position\": \"0.05 mm\"",
     two_holes,
     on_edges,
     {{"[\"120 mm\", \"60 mm\"], ", ""}},
     "f:5:23: error: a pattern has two holes or more [holes-few]\n"
     "    at /callouts/0/holes/places\n"
     "    hint: one is a \"hole\""},
    {"\"position\": \"0.05 mm\"",
     two_holes,
     on_edges,
     {{"[\"120 mm\", \"60 mm\"], ", "[\"20 mm\", \"60 mm\"], 5, "}},
     "f:5:24: error: the hole is outside the outline of the part [outside-part]\n"
     "    at /callouts/0/holes/places/0\n"
     "    hint: both are coordinates of the machine\n"
     "f:5:44: error: expected an array, found the number 5 [field-kind]\n"
     "    at /callouts/0/holes/places/1"},
    {"\"position\": \"0.05 mm\"",
     two_holes,
     on_edges,
     {{"\"places\": [[\"120 mm\", \"60 mm\"], [\"150 mm\", \"100 mm\"]], ", ""}},
     "f:5:12: error: the key \"places\" is missing [key-missing]\n"
     "    at /callouts/0/holes\n"
     "    hint: or \"circle\", for holes on a circle"},
    {"\"position\": \"0.05 mm\"",
     circle,
     on_edges,
     {{"\"count\": 3", "\"count\": 1"}},
     "f:5:86: error: 1 is out of range: it must be at least 2 and at most 100 [value-range]\n"
     "    at /callouts/0/holes/circle/count"},
    {"\"position\": \"0.05 mm\"",
     circle,
     on_edges,
     {{"\"count\": 3", "\"count\": 2.5"}},
     "f:5:86: error: expected a whole number, found the number 2.5 [field-kind]\n"
     "    at /callouts/0/holes/circle/count"},
    {"\"position\": \"0.05 mm\"",
     circle,
     on_edges,
     {{"\"diameter\": \"60 mm\"", "\"diameter\": \"160 mm\""}},
     "f:5:23: error: the hole is outside the outline of the part [outside-part]\n"
     "    at /callouts/0/holes/circle\n"
     "    hint: both are coordinates of the machine"},
    {"\"position\": \"0.05 mm\"",
     circle,
     on_edges,
     {{"\"90 deg\"", "\"90 mm\""}},
     "f:6:13: error: \"90 mm\" is not an angle or slope, as in \"20 arcsec\" or \"0.0005 in/ft\" "
     "[unit-wrong]\n"
     "    at /callouts/0/holes/circle/first\n"
     "    hint: a slope needs its length: write \"0.0005 in/ft\" or \"0.02 mm/300mm\""},
    {"\"flatness\": \"0.02 mm\"",
     face,
     "",
     {{"\"190 mm\"", "\"110 mm\""}},
     "f:5:17: error: it ends where it begins, or before [extent-empty]\n"
     "    at /callouts/0/face/x\n"
     "    hint: the smaller coordinate comes first"},
    {"\"flatness\": \"0.02 mm\"",
     face,
     "",
     {{"\"190 mm\"", "\"210 mm\""}},
     "f:5:11: error: the face is outside the outline of the part [outside-part]\n"
     "    at /callouts/0/face\n"
     "    hint: both are coordinates of the machine"},
    {"\"flatness\": \"0.02 mm\"",
     face,
     "",
     {{"\"x\": [\"110 mm\", \"190 mm\"], ", ""}},
     "f:5:11: error: the key \"x\" is missing [key-missing]\n"
     "    at /callouts/0/face"},
    {"\"flatness\": \"0.02 mm\"",
     face,
     "",
     {{"\"30 mm\"", "\"51 mm\""}},
     "f:6:74: error: it is wider than the cutter: a ridge would stand [step-over]\n"
     "    at /callouts/0/face/cutter/step_over"},
    {"\"flatness\": \"0.02 mm\"",
     face,
     "",
     {{"\"feed\": \"Y\"", "\"feed\": \"Z\""}},
     "f:6:91: error: unknown word \"Z\" [word-unknown]\n"
     "    at /callouts/0/face/cutter/feed\n"
     "    hint: known here: \"X\", \"Y\""},
    {"\"flatness\": \"0.02 mm\"",
     face,
     "",
     {{"\"step_over\": \"30 mm\"", "\"step_over\": \"0 mm\""}},
     "f:6:74: error: \"0 mm\" is out of range: it must be more than 0 mm and at most 100000 mm "
     "[value-range]\n"
     "    at /callouts/0/face/cutter/step_over"},
    {"\"flatness\": \"0.02 mm\"",
     wall,
     "",
     {{"\"-X\"", "\"+Z\""}},
     "f:5:22: error: unknown word \"+Z\" [word-unknown]\n"
     "    at /callouts/0/wall/facing\n"
     "    hint: did you mean \"+X\"?"},
    {"\"flatness\": \"0.02 mm\"",
     wall,
     "",
     {{"\"from\": \"60 mm\", \"to\": \"140 mm\"", "\"from\": \"140 mm\", \"to\": \"60 mm\""}},
     "f:5:68: error: it ends where it begins, or before [extent-empty]\n"
     "    at /callouts/0/wall/to\n"
     "    hint: the smaller coordinate comes first"},
    {"\"flatness\": \"0.02 mm\"",
     wall,
     "",
     {{"\"at\": \"100 mm\"", "\"at\": \"90 mm\""}},
     "f:5:11: error: the wall is outside the outline of the part [outside-part]\n"
     "    at /callouts/0/wall\n"
     "    hint: both are coordinates of the machine"},
    {"\"flatness\": \"0.02 mm\"",
     wall,
     "",
     {{"\"at\": \"100 mm\", ", ""}},
     "f:5:11: error: the key \"at\" is missing [key-missing]\n"
     "    at /callouts/0/wall\n"
     "    hint: or \"between\" two places in plan"},
    {"\"flatness\": \"0.02 mm\"",
     wall,
     "",
     {{"\"depth\": \"20 mm\"", "\"depth\": \"65 mm\""}},
     "f:6:13: error: it would end below the table [hole-depth]\n"
     "    at /callouts/0/wall/depth\n"
     "    hint: \"top\" is the height of its upper end above the table"},
    {"\"flatness\": \"0.02 mm\"",
     wall,
     "",
     {{"\"reach\": \"45 mm\"", "\"reach\": \"15 mm\""}},
     "f:7:43: error: the tool is shorter out of its holder than the wall is deep [tool-reach]\n"
     "    at /callouts/0/wall/tool/reach"},
    {"\"flatness\": \"0.02 mm\"",
     wall,
     "",
     {{"\"reach\": \"45 mm\"", "\"reach\": \"115 mm\""}},
     "f:7:43: error: the tool is longer out of its holder than from the spindle [tool-reach]\n"
     "    at /callouts/0/wall/tool/reach\n"
     "    hint: \"gauge_length\" is from the spindle's nose to the tip"},
    {"\"flatness\": \"0.02 mm\"",
     wall,
     "",
     {{"\"steel\"", "\"wood\""}},
     "f:7:64: error: unknown word \"wood\" [word-unknown]\n"
     "    at /callouts/0/wall/tool/material\n"
     "    hint: known here: \"carbide\", \"steel\""},
    {"\"flatness\": \"0.02 mm\"",
     wall,
     "",
     {{"\"full depth\"", "\"half\""}},
     "f:6:55: error: unknown word \"half\" [word-unknown]\n"
     "    at /callouts/0/wall/cut\n"
     "    hint: known here: \"full depth\", \"in steps\""},
    {"\"flatness\": \"0.02 mm\"",
     oblique,
     "",
     {{"[\"140 mm\", \"100 mm\"]", "[\"110 mm\", \"60 mm\"]"}},
     "f:5:39: error: both ends are one place [wall-line]\n"
     "    at /callouts/0/wall/between"},
    {"\"flatness\": \"0.02 mm\"",
     oblique,
     "",
     {{", [\"140 mm\", \"100 mm\"]", ""}},
     "f:5:39: error: a line in plan has two ends [wall-line]\n"
     "    at /callouts/0/wall/between\n"
     "    hint: [[x, y], [x, y]]"},
    {"\"flatness\": \"0.02 mm\"",
     oblique,
     "",
     {{"\"140 mm\", \"100 mm\"", "\"110 mm\", \"100 mm\""}},
     "f:5:39: error: the wall runs along the way it faces [wall-line]\n"
     "    at /callouts/0/wall/between\n"
     "    hint: \"facing\" says on which side of the line there is no material"},
    {"\"length\": \"80 ±0.05 mm\"",
     walls,
     "",
     {{"\"+X\"", "\"+Y\""}},
     "f:5:12: error: the two walls are not parallel [wall-line]\n"
     "    at /callouts/0/walls\n"
     "f:8:4: error: the wall is outside the outline of the part [outside-part]\n"
     "    at /callouts/0/walls/1\n"
     "    hint: both are coordinates of the machine"},
    {"\"length\": \"80 ±0.05 mm\"",
     "\"walls\": []",
     "",
     {},
     "f:5:12: error: a length is between two walls [wall-line]\n"
     "    at /callouts/0/walls"},
    {"\"width\": \"8 H9\"",
     slot,
     "",
     {{"\"across\": \"Y\"", "\"across\": \"Z\""}},
     "f:5:22: error: unknown word \"Z\" [word-unknown]\n"
     "    at /callouts/0/slot/across\n"
     "    hint: known here: \"X\", \"Y\""},
    {"\"width\": \"8 H9\"",
     slot,
     "",
     {{"\"middle\": \"100 mm\"", "\"middle\": \"250 mm\""}},
     "f:5:11: error: the slot is outside the outline of the part [outside-part]\n"
     "    at /callouts/0/slot\n"
     "    hint: both are coordinates of the machine"},
    {"\"width\": \"8 H9\"",
     slot,
     "",
     {{"\"6 mm\"", "\"8 mm\""}},
     "f:7:25: error: it is as wide as the slot or wider [tool-wide]\n"
     "    at /callouts/0/slot/tool/diameter\n"
     "    hint: a slot of one pass is cut \"in the tool's width\""},
    {"\"width\": \"8 H9\"",
     slot,
     "",
     {{"\"full depth\"", "\"in the tool's width\""}},
     "f:7:25: error: the tool is 6 mm wide, the slot 8 mm [tool-wide]\n"
     "    at /callouts/0/slot/tool/diameter\n"
     "    hint: \"in the tool's width\" is a slot as wide as its tool"},
    {"\"width\": \"8 H9\"",
     slot,
     "",
     {{"\"reach\": \"20 mm\"", "\"reach\": \"10 mm\""}},
     "f:7:42: error: the tool is shorter out of its holder than the wall is deep [tool-reach]\n"
     "    at /callouts/0/slot/tool/reach"},
    {"\"width\": \"10 h9\"",
     rib,
     "",
     {{"\"in steps\"", "\"in the tool's width\""}},
     "f:6:71: error: unknown word \"in the tool's width\" [word-unknown]\n"
     "    at /callouts/0/rib/cut\n"
     "    hint: known here: \"full depth\", \"in steps\""},
};

} // namespace

BOOST_DATA_TEST_CASE(what_is_wrong_is_said, boost::unit_test::data::make(wrong)) {
    BOOST_TEST(said_of(sample) == sample.expected);
}

BOOST_AUTO_TEST_CASE(every_mistake_has_its_id) {
    const std::set<std::string> ids = {"callout-feature",
                                       "callout-shape",
                                       "extent-empty",
                                       "field-kind",
                                       "hole-depth",
                                       "holes-few",
                                       "key-missing",
                                       "key-unknown",
                                       "outside-part",
                                       "step-over",
                                       "tool-reach",
                                       "tool-wide",
                                       "unit-missing",
                                       "unit-wrong",
                                       "value-range",
                                       "wall-line",
                                       "word-unknown"};
    BOOST_TEST(ids_in(wrong) == ids, tt::per_element());
}

BOOST_AUTO_TEST_CASE(a_pattern_has_a_hundred_holes_at_most) {
    const auto pattern = [](int count) {
        std::string places;
        for (int h = 0; h < count; ++h)
            places += (h == 0 ? "[\"" : ", [\"") + std::to_string(100 + h % 100) + " mm\", \"" +
                      std::to_string(50 + h / 100) + " mm\"]";
        return callout(R"("position": "0.05 mm")",
                       R"("holes": {"places": [)" + places +
                           R"(], "top": "60 mm", "depth": "9 mm", "gauge_length": "90 mm",
   "made_by": "drilling"})",
                       on_edges);
    };
    BOOST_TEST(std::get<Holes>(only(pattern(100)).feature).size() == 100U);
    const Wrong many[] = {{"", "", "", {}, said_of(pattern(101))}};
    BOOST_TEST(many[0].expected ==
               "f:5:23: error: 101 holes; at most 100 are one pattern [holes-many]\n"
               "    at /callouts/0/holes/places");
    BOOST_TEST((ids_in(many) == std::set<std::string>{"holes-many"}));
}

BOOST_AUTO_TEST_SUITE_END()
