// SPDX-License-Identifier: MIT
// The pictures of a job, of answers made by hand. Each is read back by a reader of XML that is not
// ours. Lengths of bars against the shares by proportion, lines and curves against the numbers by
// the scale as it is printed beside them, to half a unit of the sheet (numbers stand to 0.01, ticks
// are exact); text equivalents must hold the numbers as answers print them. A shop and a callout
// with markup in their names must stay text.
#include "holdable/report/pictures.hpp"

#include "holdable/report/wording.hpp"
#include "report/answer_samples.hpp"
#include "report/svg_reader.hpp"
#include "report/where_samples.hpp"

#include <algorithm>
#include <cmath>

using namespace holdable;
using namespace holdable::tests;

namespace {

constexpr double inch = samples::inch;

/// A distribution by hand: a triangle from 0 to .001 in over 10 bins, yields that rise linearly.
PartDistribution by_hand() {
    PartDistribution d;
    d.name = "bore 2";
    for (int i = 0; i <= 10; ++i)
        d.edges.push_back(0.0001 * inch * i);
    d.share = {0.02, 0.06, 0.10, 0.14, 0.18, 0.18, 0.14, 0.10, 0.06, 0.02};
    d.median = d.mean = 0.0005 * inch;
    d.standard_deviation = 0.0002 * inch;
    d.symmetric = {0.0001 * inch, 0.0009 * inch};
    d.shortest = {0.00015 * inch, 0.0009 * inch};
    for (int i = 0; i <= 24; ++i) {
        d.tolerance.push_back(0.0001 * inch * i);
        d.expected.push_back(std::min(1.0, 0.1 * i));
        d.assured.push_back(std::min(1.0, 0.05 * i));
    }
    return d;
}

/// The bars of a picture of contributions: rectangles with an outline.
std::vector<Tree> bars(const Tree& root) {
    std::vector<Tree> all;
    for (const auto& r : shapes(root, "rect"))
        if (attribute(r, "stroke") == "#16405b")
            all.push_back(r);
    return all;
}

bool has(const std::string& text, const std::string& what) {
    return text.find(what) != std::string::npos;
}

} // namespace

BOOST_AUTO_TEST_SUITE(pictures)

BOOST_AUTO_TEST_CASE(bars_are_as_long_as_shares) {
    const auto answer = samples::yes();
    const auto picture = contributions_picture(answer, 0);
    const auto root = svg_root(picture.svg);
    const auto drawn = bars(root);
    // the known error first, then the doubts, each ranked
    const double shares[] = {0.24, 0.38, 0.17, 0.13, 0.06, 0.012, 0.003};
    BOOST_REQUIRE(drawn.size() == std::size(shares));
    for (std::size_t i = 0; i < drawn.size(); ++i) {
        BOOST_TEST(std::abs(number(drawn[i], "width") / number(drawn[1], "width") -
                            shares[i] / shares[1]) < 2e-4);
        BOOST_TEST(number(drawn[i], "x") == number(drawn[0], "x")); // not cumulative
    }
    // evidence: hatches of their own, and words beside
    BOOST_TEST(attribute(drawn[0], "fill") == "#16405b");                   // measured
    BOOST_TEST(attribute(drawn[1], "fill") != attribute(drawn[2], "fill")); // typical, certificate
    BOOST_TEST(attribute(drawn[4], "stroke-dasharray") != "");              // assumed
    text_beginning(root, "typical, not measured");
    text_beginning(root, "certificate");
    text_beginning(root, "Known errors, not corrected");
    BOOST_TEST(number(text_beginning(root, "Z square to X"), "y") <
               number(text_beginning(root, "tilt of the seat"), "y"));

    BOOST_TEST(picture.name == "contributions");
    BOOST_TEST(
        has(picture.caption, "tilt of the seat on the parallels: 38 %, typical, not measured"));
    BOOST_TEST(has(picture.caption, "Known errors make 24 % of it, doubt 76 %"));
    BOOST_TEST(has(picture.caption, "Ø.00083 in"));
    BOOST_TEST(has(picture.text, "  24 %  known  Z square to X (measured here)\n"));
    BOOST_TEST(
        has(picture.text, " < 1 %  doubt  form of the square's edge (typical, not measured)\n"));
}

BOOST_AUTO_TEST_CASE(a_known_error_keeps_its_sign) {
    auto answer = samples::yes();
    auto& shares = answer.callouts[0].promise.shares;
    shares[1].share = -0.19; // gives room back
    const auto picture = contributions_picture(answer, 0);
    const auto root = svg_root(picture.svg);
    const auto drawn = bars(root);
    const double zero = number(drawn[1], "x");
    BOOST_TEST(std::abs(number(drawn[0], "x") + number(drawn[0], "width") - zero) < 0.02);
    BOOST_TEST(std::abs(number(drawn[0], "width") / number(drawn[1], "width") - 0.5) < 2e-4);
    text_beginning(root, "Known errors: to the left they give room back");
    BOOST_TEST(has(picture.text, " -19 %  known  Z square to X"));
}

BOOST_AUTO_TEST_CASE(what_is_small_is_one_line) {
    auto answer = samples::yes();
    auto& shares = answer.callouts[0].promise.shares;
    for (int i = 0; i < 9; ++i)
        shares.push_back(
            {"s", "small " + std::to_string(i), 0.002, Evidence::typical, false, Sharing::job});
    const auto picture = contributions_picture(answer, 0);
    BOOST_TEST(bars(svg_root(picture.svg)).size() == 10u);
    // eight of the fifteen doubts stand by themselves
    BOOST_TEST(has(picture.text, "   1 %  doubt  7 smaller ones together\n"));
}

BOOST_AUTO_TEST_CASE(limits_stand_where_the_scale_says) {
    const auto answer = samples::yes();
    const auto picture = parts_picture(answer, 0, by_hand());
    const auto root = svg_root(picture.svg);
    const auto at = [&](double t) { return scaled(root, "0", 0, ".0002", 0.0002, t, "x"); };
    const auto lines = shapes(root, "line");
    BOOST_TEST(std::any_of(lines.begin(), lines.end(), [&](const Tree& l) {
        return std::abs(number(l, "x1") - at(0.001)) < 0.5 && number(l, "x1") == number(l, "x2") &&
               number(l, "y2") - number(l, "y1") > 200;
    }));
    // the outline: heights in proportion to the shares
    const auto outline = corners(shapes(root, "path").back());
    const double foot = outline.front().second;
    double highest = foot;
    for (const auto& [x, y] : outline)
        highest = std::min(highest, y);
    for (std::size_t i = 0; i < 10; ++i) {
        const auto& [x, y] = outline[1 + 2 * i];
        BOOST_TEST(std::abs(x - at(0.0001 * double(i))) < 0.5);
        BOOST_TEST(std::abs((foot - y) / (foot - highest) - by_hand().share[i] / 0.18) < 1e-3);
    }
    // both intervals
    const auto intervals = bars(root);
    BOOST_REQUIRE(intervals.size() == 2u);
    BOOST_TEST(std::abs(number(intervals[0], "x") - at(0.0001)) < 0.5);
    BOOST_TEST(std::abs(number(intervals[0], "x") + number(intervals[0], "width") - at(0.0009)) <
               0.5);
    BOOST_TEST(std::abs(number(intervals[1], "x") - at(0.00015)) < 0.5);

    BOOST_TEST(has(picture.caption, "good with a chance of 99.1 %")); // 0.9917, rounded down
    BOOST_TEST(has(picture.text,
                   "95 % of the next parts, as many out at either end: .00010 to .00090 in\n"));
    BOOST_TEST(has(picture.text, "The shortest that holds 95 %: .00015 to .00090 in\n"));
    BOOST_TEST(has(picture.text, "mean .00050 in, standard deviation .00020 in\n"));
}

BOOST_AUTO_TEST_CASE(a_size_has_two_limits) {
    auto answer = samples::yes();
    auto& callout = answer.callouts[0].callout;
    callout.kind = Requirement::diameter;
    callout.tolerance = 0.0004 * inch;
    callout.written = "1.000 ±.0004 in";
    auto d = by_hand();
    for (double& e : d.edges)
        e -= 0.0005 * inch;
    const auto root = svg_root(parts_picture(answer, 0, d).svg);
    const double low = number(text_beginning(root, "lower limit"), "x");
    const double high = number(text_beginning(root, "upper limit"), "x");
    BOOST_TEST(low < high);
    // what lies beyond either limit is hatched
    const auto paths = shapes(root, "path");
    BOOST_TEST(std::count_if(paths.begin(), paths.end(), [](const Tree& p) {
                   return attribute(p, "fill").starts_with("url(#");
               }) == 2);
}

BOOST_AUTO_TEST_CASE(a_limit_far_off_is_said) {
    auto answer = samples::yes();
    answer.callouts[0].callout.tolerance = 0.1 * inch;
    answer.callouts[0].callout.written = "0.1 in";
    for (const auto& picture :
         {parts_picture(answer, 0, by_hand()), yield_picture(answer, 0, by_hand())})
        BOOST_TEST(has(picture.svg, "beyond this drawing"));
}

BOOST_AUTO_TEST_CASE(curves_pass_where_the_numbers_say) {
    const auto answer = samples::yes();
    const auto picture = yield_picture(answer, 0, by_hand());
    const auto root = svg_root(picture.svg);
    const auto x = [&](double t) { return scaled(root, "0", 0, ".0005", 0.0005, t, "x"); };
    const auto y = [&](double percent) { return scaled(root, "20", 20, "80", 80, percent, "y"); };
    const auto paths = shapes(root, "path");
    BOOST_REQUIRE(paths.size() == 2u);
    // the numbers of a scale stand 5 below its lines
    const auto assured = corners(paths[0]), expected = corners(paths[1]);
    BOOST_TEST(attribute(paths[0], "stroke-dasharray") != attribute(paths[1], "stroke-dasharray"));
    BOOST_TEST(std::abs(height_at(expected, x(0.00045)) - (y(45) - 5)) < 0.5);
    BOOST_TEST(std::abs(height_at(assured, x(0.00045)) - (y(22.5) - 5)) < 0.5);
    // the line of what is asked, and of what can be promised
    const auto lines = shapes(root, "line");
    for (const double t : {0.001, answer.callouts[0].promise.smallest / inch})
        BOOST_TEST(std::any_of(lines.begin(), lines.end(), [&](const Tree& l) {
            return std::abs(number(l, "x1") - x(t)) < 0.5 && number(l, "x1") == number(l, "x2") &&
                   number(l, "y2") - number(l, "y1") > 200;
        }));
    BOOST_TEST(has(picture.caption, "99.1 % of the parts are expected good and 96.2 % assured"));
    BOOST_TEST(has(picture.text, "  Ø.00040 in     40.0 %     20.0 %\n"));
    BOOST_TEST(has(picture.text, "can be promised: Ø.00083 in\n"));
}

BOOST_AUTO_TEST_CASE(cells_of_a_map) {
    const auto where = samples::moved();
    const auto picture = place_picture(where);
    const auto root = svg_root(picture.svg);
    // three columns and two rows; the back of the machine, with its higher Y, at the top
    const auto best = text_beginning(root, "2.0"), asked = text_beginning(root, "4.0");
    BOOST_TEST(number(best, "y") < number(asked, "y"));
    BOOST_TEST(number(best, "x") < number(asked, "x"));
    // the frame of the best is its cell's, whole; that of the place asked is dashed
    bool framed = false, dashed = false;
    for (const auto& r : shapes(root, "rect")) {
        const auto around = [&](const Tree& text) {
            return number(r, "x") < number(text, "x") && number(r, "y") < number(text, "y") &&
                   number(text, "x") < number(r, "x") + number(r, "width") &&
                   number(text, "y") < number(r, "y") + number(r, "height");
        };
        if (attribute(r, "fill") != "none")
            continue;
        framed = framed || (around(best) && attribute(r, "stroke") == "#16405b");
        dashed = dashed || (around(asked) && attribute(r, "stroke-dasharray") == "6 4");
    }
    BOOST_TEST(framed);
    BOOST_TEST(dashed);
    text_beginning(root, "the part cannot lie there");
    BOOST_TEST(has(picture.text, "    8.000       2.0       3.0         ·\n"));
    BOOST_TEST(has(picture.text, "    6.000       3.0       4.0       5.0\n"));
    BOOST_TEST(has(picture.caption, "2.000 in to the left and 2.000 in to the back"));
}

BOOST_AUTO_TEST_CASE(names_stay_text) {
    auto answer = samples::yes();
    const std::string name = "<script>alert(\"1\")</script> & 'co'\x01";
    answer.shop = answer.machine = answer.job = name;
    answer.callouts[0].callout.name = name;
    for (auto& share : answer.callouts[0].promise.shares)
        share.meaning = name;
    auto where = samples::moved();
    where.job = where.callouts[0].callout.name = name;
    for (const auto& picture : {contributions_picture(answer, 0, name),
                                parts_picture(answer, 0, by_hand(), name),
                                yield_picture(answer, 0, by_hand(), name),
                                place_picture(where, name)}) {
        svg_root(picture.svg);
        svg_root(standalone_svg(picture));
        BOOST_TEST(has(picture.svg, "&lt;script&gt;"));
        for (const char c : picture.text)
            BOOST_TEST(static_cast<unsigned char>(c) != 1);
    }
}

BOOST_AUTO_TEST_CASE(what_is_not_computed_is_said) {
    const auto answer = samples::cant_say();
    for (const auto& picture : {contributions_picture(answer, 0),
                                parts_picture(answer, 0, {}),
                                yield_picture(answer, 0, {})}) {
        svg_root(picture.svg);
        BOOST_TEST(
            has(picture.text, "Nothing was computed: not known: the direction of a bored hole"));
    }
    BOOST_TEST(has(place_picture(Where{}).text, "No callout can be computed"));
}

BOOST_AUTO_TEST_CASE(several_stand_on_one_page) {
    const auto answer = samples::many();
    const auto ids_of = [](const std::string& svg) {
        std::vector<std::string> ids;
        for (auto at = svg.find(" id=\""); at != std::string::npos; at = svg.find(" id=\"", at + 1))
            ids.push_back(svg.substr(at + 5, svg.find('"', at + 5) - at - 5));
        return ids;
    };
    std::vector<std::string> all;
    for (const auto& picture : {contributions_picture(answer, 0),
                                contributions_picture(answer, 1),
                                parts_picture(answer, 0, by_hand()),
                                yield_picture(answer, 0, by_hand()),
                                contributions_picture(answer, 0, "again")})
        for (const auto& id : ids_of(picture.svg))
            all.push_back(id);
    BOOST_TEST(all.size() >= 10u);
    std::sort(all.begin(), all.end());
    BOOST_TEST((std::adjacent_find(all.begin(), all.end()) == all.end()));
}

BOOST_AUTO_TEST_CASE(a_picture_as_a_file) {
    const auto picture = contributions_picture(samples::yes(), 0);
    const auto root = svg_root(standalone_svg(picture));
    BOOST_TEST(text_beginning(root, "What limits").data() == picture.title);
    std::string below;
    const auto texts = shapes(root, "text");
    for (const auto& text : texts)
        if (attribute(text, "font-size") == "15" && attribute(text, "fill") == "#5d5d5d" &&
            number(text, "x") == 24)
            below += (below.empty() ? "" : " ") + text.data();
    BOOST_TEST(below == picture.caption);
    BOOST_TEST(bars(root).size() == 7u);
}

BOOST_AUTO_TEST_SUITE_END()
