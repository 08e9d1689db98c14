// SPDX-License-Identifier: MIT
// Sizes with their limits, as a print writes them: every way of writing against arithmetic by hand
// on the inch and the millimetre; every refusal with its words; and texts cut or scrambled, which
// must be read or refused. Limits of ISO 286 and ISO 2768 are typed here from the figures a print
// shop's wall chart gives, not taken from our tables. Tolerance 1e-12 of the size: some roundings
// of a double.
#include "holdable/files/read_size.hpp"

#include "files/shop_text.hpp"
#include "holdable/base/error.hpp"

#include <boost/test/data/test_case.hpp>
#include <boost/test/unit_test.hpp>

#include <cmath>
#include <random>
#include <set>
#include <string>

using namespace holdable;

namespace {

constexpr double in = 0.0254;
constexpr double mm = 1e-3;

TitleBlock by_decimals() {
    return {{{1, 0.030 * in}, {2, 0.010 * in}, {3, 0.005 * in}}, {}};
}

/// A size as written, and what it must come to (m).
struct Written {
    const char* text;
    double nominal, lower, upper;
};

std::ostream& operator<<(std::ostream& out, const Written& w) {
    return out << w.text;
}

void is(const SizeLimits& size, double nominal, double lower, double upper) {
    const double close = 1e-12 * nominal;
    BOOST_TEST(std::abs(size.nominal - nominal) <= close);
    BOOST_TEST(std::abs(size.lower - lower) <= close);
    BOOST_TEST(std::abs(size.upper - upper) <= close);
    BOOST_TEST(!size.aim.has_value());
}

std::string said_of(const std::string& text, bool hole, const TitleBlock& block) {
    try {
        parse_size(text, hole, block);
        return "nothing";
    } catch (const InputError& error) {
        return error.what();
    }
}

} // namespace

BOOST_AUTO_TEST_SUITE(reading_sizes)

namespace {

const Written as_written[] = {
    // Plus and minus the same.
    {"10.000 ±.0005 in", 10 * in, -0.0005 * in, 0.0005 * in},
    {"10.000 ±0.0005 in", 10 * in, -0.0005 * in, 0.0005 * in},
    {"1.000 in +/-.002", 1 * in, -0.002 * in, 0.002 * in},
    {"1.000 in +/- .002 in", 1 * in, -0.002 * in, 0.002 * in},
    {"1.000 +-.002 in", 1 * in, -0.002 * in, 0.002 * in},
    {"1.000in±.002in", 1 * in, -0.002 * in, 0.002 * in},
    {"25±0.1mm", 25 * mm, -0.1 * mm, 0.1 * mm},
    {"  25 ± 0.1 mm  ", 25 * mm, -0.1 * mm, 0.1 * mm},
    {"2 ft ± .01", 24 * in, -0.12 * in, 0.12 * in},
    {"2.5 cm ±.01 cm", 25 * mm, -0.1 * mm, 0.1 * mm},
    {"2. in ±.001", 2 * in, -0.001 * in, 0.001 * in},
    // Two deviations; with the long minus too, in either order, on one side, a plain 0.
    {".250 +.001/-0 in", 0.25 * in, 0, 0.001 * in},
    {".250 +.001 -.0005 in", 0.25 * in, -0.0005 * in, 0.001 * in},
    {".250 -.0005/+.001 in", 0.25 * in, -0.0005 * in, 0.001 * in},
    {".250 in +.001 in/-.0005 in", 0.25 * in, -0.0005 * in, 0.001 * in},
    {".250in+.001in-.0005in", 0.25 * in, -0.0005 * in, 0.001 * in},
    {".250 +.001/\u2212.0005 in", 0.25 * in, -0.0005 * in, 0.001 * in},
    {".250 in\u2212.0005/+.001", 0.25 * in, -0.0005 * in, 0.001 * in},
    {"Ø.3750 +.0005/-.0000 in", 0.375 * in, 0, 0.0005 * in},
    {"25 -0.007/-0.020 mm", 25 * mm, -0.02 * mm, -0.007 * mm},
    {"25 -0.020/-0.007 mm", 25 * mm, -0.02 * mm, -0.007 * mm},
    {"25 +0.035/+0.022 mm", 25 * mm, 0.022 * mm, 0.035 * mm},
    {"25 0/-0.2 mm", 25 * mm, -0.2 * mm, 0},
    {"25 +0.1/0 mm", 25 * mm, 0, 0.1 * mm},
    {"25 mm 0/-0.2", 25 * mm, -0.2 * mm, 0},
    {"25 0.00 -0.2 mm", 25 * mm, -0.2 * mm, 0},
    // Both limits, in either order: the nominal size is their middle.
    {"1.0005/1.0000 in", 1.00025 * in, -0.00025 * in, 0.00025 * in},
    {"1.0000/1.0005 in", 1.00025 * in, -0.00025 * in, 0.00025 * in},
    {"1.0005 in / 1.0000 in", 1.00025 * in, -0.00025 * in, 0.00025 * in},
    {"⌀ 25.02/24.98 mm", 25 * mm, -0.02 * mm, 0.02 * mm},
    {"1.000-1.005 in", 1.0025 * in, -0.0025 * in, 0.0025 * in},
    {"24.98 mm - 25.02 mm", 25 * mm, -0.02 * mm, 0.02 * mm},
};

} // namespace

BOOST_DATA_TEST_CASE(limits_of_its_own, boost::unit_test::data::make(as_written)) {
    // Neither block nor hole has a say.
    for (const auto& block : {TitleBlock{}, by_decimals(), TitleBlock{{}, GeneralClass{'c', {}}}})
        for (const bool hole : {false, true}) {
            const auto size = parse_size(sample.text, hole, block);
            is(size, sample.nominal, sample.lower, sample.upper);
            BOOST_TEST(size.source == "as written");
        }
}

namespace {

struct Fit {
    const char* text;
    bool hole;
    double nominal;      // m
    double lower, upper; // µm
    const char* source;
};

std::ostream& operator<<(std::ostream& out, const Fit& f) {
    return out << f.text;
}

// ISO 286-2 as charts print it (memory); each is a pair a machinist meets.
const Fit fits[] = {
    {"25 H7", true, 25 * mm, 0, 21, "H7 of ISO 286-1"},
    {"25H7", true, 25 * mm, 0, 21, "H7 of ISO 286-1"},
    {"Ø25 H7 mm", true, 25 * mm, 0, 21, "H7 of ISO 286-1"},
    {"25 mm H7", true, 25 * mm, 0, 21, "H7 of ISO 286-1"},
    {"25 g6", false, 25 * mm, -20, -7, "g6 of ISO 286-1"},
    {"25.00 k6", false, 25 * mm, 2, 15, "k6 of ISO 286-1"},
    {"10 H8", true, 10 * mm, 0, 22, "H8 of ISO 286-1"},
    {"52 js7", false, 52 * mm, -15, 15, "js7 of ISO 286-1"},
    {"50 h6", false, 50 * mm, -16, 0, "h6 of ISO 286-1"},
    {"1.000 in H7", true, 25.4 * mm, 0, 21, "H7 of ISO 286-1"}, // an inch is a size of that step
    {"2.5 cm H7", true, 25 * mm, 0, 21, "H7 of ISO 286-1"},
};

} // namespace

BOOST_DATA_TEST_CASE(fits_are_looked_up, boost::unit_test::data::make(fits)) {
    const auto size = parse_size(sample.text, sample.hole, by_decimals());
    is(size, sample.nominal, sample.lower * 1e-6, sample.upper * 1e-6);
    BOOST_TEST(size.source == sample.source);
}

BOOST_AUTO_TEST_CASE(general_tolerances_are_looked_up) {
    // ISO 2768-1, medium (memory): over 30 to 120 mm ±0.3, over 120 to 400 mm ±0.5; fine: ±0.15.
    const auto own = parse_size("120 mm ISO 2768-m", true, by_decimals());
    is(own, 120 * mm, -0.3 * mm, 0.3 * mm);
    BOOST_TEST(own.source == "ISO 2768-m");
    is(parse_size("120.5 mm ISO 2768-mK", true, {}), 120.5 * mm, -0.5 * mm, 0.5 * mm);
    is(parse_size("2 in ISO2768-f", false, {}), 50.8 * mm, -0.15 * mm, 0.15 * mm);

    const auto class_of = parse_general("ISO 2768-mK");
    BOOST_TEST(class_of.dimension == 'm');
    BOOST_TEST((class_of.geometry == 'K'));
    BOOST_TEST(!parse_general("ISO 2768-f").geometry.has_value());
    BOOST_TEST(parse_general("ISO 2768 c").dimension == 'c');

    const auto block = parse_size("120 mm", true, {{}, class_of});
    is(block, 120 * mm, -0.3 * mm, 0.3 * mm);
    BOOST_TEST(block.source == "ISO 2768-m of the title block");
}

BOOST_AUTO_TEST_CASE(the_title_block_goes_by_places) {
    const auto two = parse_size("3.50 in", true, by_decimals());
    is(two, 3.5 * in, -0.010 * in, 0.010 * in);
    BOOST_TEST(two.source == "title block");
    is(parse_size("3.500 in", true, by_decimals()), 3.5 * in, -0.005 * in, 0.005 * in);
    is(parse_size("Ø 3.5 in", false, by_decimals()), 3.5 * in, -0.030 * in, 0.030 * in);
    is(parse_size(".50 in", false, by_decimals()), 0.5 * in, -0.010 * in, 0.010 * in);
    is(parse_size("3. mm", false, {{{0, 0.5 * mm}}, {}}), 3 * mm, -0.5 * mm, 0.5 * mm);
}

namespace {

struct Refused {
    const char* text;
    const char* expected; // without the hint most refusals share
};

std::ostream& operator<<(std::ostream& out, const Refused& r) {
    return out << r.text;
}

/// Taken for a hole, and with a title block that speaks of one to three places.
const Refused refused[] = {
    // It is no size.
    {"", "\"\": it does not begin with a size [size-syntax]"},
    {"   ", "\"   \": it does not begin with a size [size-syntax]"},
    {"Ø", "\"Ø\": it does not begin with a size [size-syntax]"},
    {"mm", "\"mm\": it does not begin with a size [size-syntax]"},
    {"±.0005 in", "\"±.0005 in\": it does not begin with a size [size-syntax]"},
    {"-25 ±0.1 mm", "\"-25 ±0.1 mm\": it does not begin with a size [size-syntax]"},
    {"H7", "\"H7\": it does not begin with a size [size-syntax]"},
    {". in", "\". in\": \".\" is no number [size-syntax]"},
    {"1.2.3 in", "\"1.2.3 in\": \"1.2.3\" is no number [size-syntax]"},
    {"1000000000000000000 mm",
     "\"1000000000000000000 mm\": \"1000000000000000000\" is no number [size-syntax]"},
    {"25,4 ±0.1 mm",
     "\"25,4 ±0.1 mm\": the decimal sign is the point, and thousands are not grouped "
     "[size-syntax]"},
    {"1,000 in",
     "\"1,000 in\": the decimal sign is the point, and thousands are not grouped [size-syntax]"},
    // A number is missing.
    {"25 ± mm", "\"25 ± mm\": a number is missing [size-syntax]"},
    {"25 mm ±", "\"25 mm ±\": a number is missing [size-syntax]"},
    {"25 ±. mm", "\"25 ±. mm\": \".\" is no number [size-syntax]"},
    {"25 +/- mm", "\"25 +/- mm\": a number is missing [size-syntax]"},
    {"25 +0.1/- mm", "\"25 +0.1/- mm\": a number is missing [size-syntax]"},
    {"25 / mm", "\"25 / mm\": a number is missing [size-syntax]"},
    {"25 mm/", "\"25 mm/\": a number is missing [size-syntax]"},
    {"25 +0.1 mm", "\"25 +0.1 mm\": the second deviation is missing [size-syntax]"},
    {"25 -0.1 mm", "\"25 -0.1 mm\": the second deviation is missing [size-syntax]"},
    {"1.005-1.000 in", "\"1.005-1.000 in\": the second deviation is missing [size-syntax]"},
    {"25 0 mm", "\"25 0 mm\": the second deviation is missing [size-syntax]"},
    {"25 +0.1/0.2 mm", "\"25 +0.1/0.2 mm\": a deviation has its sign, or is 0 [size-syntax]"},
    {"25 0.1 mm", "\"25 0.1 mm\": a deviation has its sign, or is 0 [size-syntax]"},
    // What stands behind it.
    {"25 ±0.1 mm typ", "\"25 ±0.1 mm typ\": \"typ\" is not understood [size-syntax]"},
    {"25 ±0.1 ±0.2 mm", "\"25 ±0.1 ±0.2 mm\": \"±0.2 mm\" is not understood [size-syntax]"},
    {"25/26/27 mm", "\"25/26/27 mm\": \"/27 mm\" is not understood [size-syntax]"},
    {"25 +0.1/-0.1/-0.2 mm",
     "\"25 +0.1/-0.1/-0.2 mm\": \"/-0.2 mm\" is not understood [size-syntax]"},
    // Units.
    {"25 ±0.1", "\"25 ±0.1\" has no unit [unit-missing]"},
    {"3.50", "\"3.50\" has no unit [unit-missing]"},
    {"25 ISO 2768-m", "\"25 ISO 2768-m\" has no unit [unit-missing]"},
    {"1.000 in ±0.05 mm", "\"1.000 in ±0.05 mm\": it has two units [size-syntax]"},
    {"25 mm/1.000 in", "\"25 mm/1.000 in\": it has two units [size-syntax]"},
    {"25 ±0.1 kg", "\"25 ±0.1 kg\": \"kg\" is no unit of length [size-syntax]"},
    {"25 °C", "\"25 °C\": \"°C\" is no unit of length [size-syntax]"},
    {"25 ±0.1 furlong", "unknown unit \"furlong\" [unit-unknown]"},
    {"25 ±0.1 MM", "unknown unit \"MM\" [unit-unknown]"},
    {"10 ±2 tenths",
     "unit \"tenths\": a tenth is 0.0001 in in one shop and 0.1 mm in another "
     "[unit-refused]"},
    {"1.000\" ±.001",
     "unit \"\"\": the mark stands for inches and for seconds of arc "
     "[unit-refused]"},
    // Limits.
    {"0 ±0.1 mm", "\"0 ±0.1 mm\": a size is above zero and at most 100 m [size-limits]"},
    {"0.000 in", "\"0.000 in\": a size is above zero and at most 100 m [size-limits]"},
    {"999999999 ±0.1 mm",
     "\"999999999 ±0.1 mm\": a size is above zero and at most 100 m [size-limits]"},
    {"25 ±0 mm", "\"25 ±0 mm\" leaves no room for any part [size-limits]"},
    {"25 +0/-0 mm", "\"25 +0/-0 mm\" leaves no room for any part [size-limits]"},
    {"25 +0.1/+0.1 mm", "\"25 +0.1/+0.1 mm\" leaves no room for any part [size-limits]"},
    {"1.0000/1.0000 in", "\"1.0000/1.0000 in\" leaves no room for any part [size-limits]"},
    {"0.1 ±0.1 mm", "\"0.1 ±0.1 mm\": the limits are wider than the size [size-limits]"},
    {"0.1 +0/-0.12 mm", "\"0.1 +0/-0.12 mm\": the limits are wider than the size [size-limits]"},
    {"25 +100/-0 mm", "\"25 +100/-0 mm\": the limits are wider than the size [size-limits]"},
    {"25/0 mm", "\"25/0 mm\": the limits are wider than the size [size-limits]"},
    // Title block, fits, general tolerances.
    {"3.5000 in",
     "\"3.5000 in\" has no limits, and no title block says what holds for 4 places [size-none]"},
    {"3 in", "\"3 in\" has no limits, and no title block says what holds for 0 places [size-none]"},
    {"25 g6", "\"25 g6\": g6 is a fit of a shaft, this is a hole [fit-unknown]"},
    {"25 Q7", "unknown tolerance class \"Q7\" [fit-unknown]"},
    {"25 H7/g6", "unknown tolerance class \"H7/g6\" [fit-unknown]"},
    {"25 H99", "no grade 99 is known for H [fit-unknown]"},
    {"900 H7", "no standard tolerance for a size of 900 mm [size-range]"},
    {"120 mm ISO 2768-x", "unknown class of general tolerances \"x\" [general-tolerance]"},
    {"120 mm ISO 286-1", "\"ISO 286-1\" names no class of ISO 2768 [general-tolerance]"},
    {"5000 mm ISO 2768-m",
     "no general tolerance of class m for a length of 5000 mm [general-tolerance]"},
};

} // namespace

BOOST_DATA_TEST_CASE(what_is_wrong_is_said, boost::unit_test::data::make(refused)) {
    const auto all = said_of(sample.text, true, by_decimals());
    BOOST_TEST(all.substr(0, all.find('\n')) == std::string("error: ") + sample.expected);
}

BOOST_AUTO_TEST_CASE(every_mistake_has_its_id) {
    std::set<std::string> ids;
    for (const auto& r : refused) {
        const std::string text = r.expected;
        const auto at = text.rfind('[') + 1;
        ids.insert(text.substr(at, text.rfind(']') - at));
    }
    const std::set<std::string> expected = {"fit-unknown",
                                            "general-tolerance",
                                            "size-limits",
                                            "size-none",
                                            "size-range",
                                            "size-syntax",
                                            "unit-missing",
                                            "unit-refused",
                                            "unit-unknown"};
    BOOST_TEST(ids == expected, boost::test_tools::per_element());
}

BOOST_AUTO_TEST_CASE(hints_say_what_to_write) {
    BOOST_TEST(said_of("25 ±0.1", true, {}) ==
               "error: \"25 ±0.1\" has no unit [unit-missing]\n"
               "    hint: as \"10.000 ±.0005 in\", \".250 +.001/-0 in\", \"1.0005/1.0000 in\", "
               "\"25 H7\", \"120 mm ISO 2768-m\"");
    BOOST_TEST(said_of("3.500 in", true, {}) ==
               "error: \"3.500 in\" has no limits, and no title block says what holds for 3 "
               "places [size-none]\n"
               "    hint: write the limits, or \"title_block\": {\"3\": \".005 in\"} for three "
               "places; title blocks differ, so none is assumed");
    BOOST_TEST(said_of("25 H7", false, {}) ==
               "error: \"25 H7\": H7 is a fit of a hole, this is no hole [fit-unknown]\n"
               "    hint: capital letters are holes, small ones shafts");
    BOOST_TEST(said_of("25 ±0 mm", false, {}) ==
               "error: \"25 ±0 mm\" leaves no room for any part [size-limits]\n"
               "    hint: ask the customer which limits were meant");
    BOOST_TEST(said_of("5000 mm", false, {{}, GeneralClass{'m', {}}}) ==
               "error: no general tolerance of class m for a length of 5000 mm "
               "[general-tolerance]\n"
               "    hint: ISO 2768 ends at 4000 mm: state a tolerance beside the dimension");
    BOOST_CHECK_THROW(parse_general("m"), InputError); // a letter alone could be anything
    BOOST_CHECK_THROW(parse_general(""), InputError);
    BOOST_CHECK_THROW(parse_general("ISO 2768-"), InputError);
}

BOOST_AUTO_TEST_CASE(cut_or_scrambled_texts_are_read_or_refused) {
    std::mt19937 random(20250407);
    const auto below = [&](std::size_t n) {
        return std::uniform_int_distribution<std::size_t>(0, n - 1)(random);
    };
    int read = 0;
    int turned_down = 0;
    const auto attempt = [&](const std::string& text) {
        try {
            const auto size = parse_size(text, below(2) == 0, by_decimals());
            ++read;
            const bool sound = size.nominal > 0 && size.upper > size.lower &&
                               size.nominal + size.lower > 0 && size.nominal + size.upper <= 100;
            BOOST_TEST(sound, text);
        } catch (const InputError& error) {
            ++turned_down;
            BOOST_TEST(!error.diagnostics().empty());
        }
    };
    for (const auto& w : as_written) {
        const std::string text = w.text;
        for (std::size_t end = 0; end <= text.size(); ++end) {
            attempt(text.substr(0, end)); // some end within a character
            attempt(text.substr(end));
        }
    }
    const std::string pieces[] = {"25",         "1.000",  ".5",   "0",    " ",  "±",  "+",
                                  "-",          "/",      "mm",   "in",   "H7", "g6", "Ø",
                                  "ISO 2768-m", "\u2212", "\xc2", "\xff", "(",  "\t", "e9",
                                  "1e999",      "\"",     ".",    "k"};
    for (int trial = 0; trial < 20000; ++trial) {
        std::string text;
        for (std::size_t piece = below(7) + 1; piece > 0; --piece)
            text += pieces[below(std::size(pieces))];
        attempt(text);
    }
    BOOST_TEST(read > 100); // both happen, so the trials say something
    BOOST_TEST(turned_down > 1000);
}

BOOST_AUTO_TEST_SUITE_END()
