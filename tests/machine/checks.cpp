// SPDX-License-Identifier: MIT
// Single observation rows and the laws of what a check brings in. Each coefficient against the
// equation of the reading, worked by hand from how the square or the level stands; each law against
// the figure it rests on. Nothing is solved here, so that no estimate can hide a term that is
// missing. Exact arithmetic: 1e-9 relative.
#include "holdable/machine/checks.hpp"

#include "holdable/base/error.hpp"
#include "holdable/stats/distribution.hpp"
#include "laws.hpp"
#include "machine/workshop.hpp"

#include <boost/test/unit_test.hpp>

#include <algorithm>
#include <cmath>

using namespace holdable;
using namespace holdable::tests;
namespace tt = boost::test_tools;

namespace {

const Date job_day = parse_date("2026-11-25");
constexpr double micro = 1e-6;

/// All rows of a shop, with the names of what they are over.
struct Rows {
    explicit Rows(const Shop& shop) : model(shop, job_day), all(observe(model)) {}

    bool has(const std::string& name) const { return find(name) != model.unknowns().end(); }

    const Input& unknown(const std::string& name) const {
        BOOST_REQUIRE_MESSAGE(has(name), "no unknown " << name);
        return *find(name);
    }

    const Observation& reading(const std::string& what) const {
        const auto at = std::find_if(
            all.begin(), all.end(), [&](const Observation& o) { return o.what == what; });
        BOOST_REQUIRE_MESSAGE(at != all.end(), "no reading " << what);
        return *at;
    }

    double coefficient(const std::string& what, const std::string& name) const {
        BOOST_REQUIRE_MESSAGE(has(name), "no unknown " << name);
        const auto at = find(name) - model.unknowns().begin();
        const auto& row = reading(what).row;
        return at < row.size() ? row[at] : 0;
    }

    MachineModel model;
    std::vector<Observation> all;

  private:
    std::vector<Input>::const_iterator find(const std::string& name) const {
        const auto& u = model.unknowns();
        return std::find_if(u.begin(), u.end(), [&](const Input& i) { return i.name == name; });
    }
};

/// The square as it stands and turned round, its leg swept; the leg's top is at Z = -0.35.
SquareCheck turned_check(Axis across = Axis::x) {
    auto check = square_check(across);
    for (const bool plus : {true, false}) {
        SquareSetting s;
        s.leg_towards_plus = plus;
        s.edge_readings = {0, 3 * micro, -2 * micro, 5 * micro, 8 * micro};
        const double u = check.place[static_cast<int>(across)];
        for (const double from_edge : {0.02, 0.05, 0.08})
            s.leg_stations.push_back(u + (plus ? from_edge : -from_edge));
        s.leg_readings = {4 * micro, 0, -1 * micro};
        check.settings.push_back(s);
    }
    return check;
}

Shop shop_with(const SquareCheck& check) {
    auto shop = workshop();
    shop.square_checks = {check};
    return shop;
}

LevelCheck pitching_run() {
    auto check = level_check(Axis::x);
    check.readings = {10 * micro, 20 * micro, 30 * micro, 60 * micro, 50 * micro};
    return check;
}

Shop shop_with(const LevelCheck& check) {
    auto shop = workshop();
    shop.level_checks = {check};
    return shop;
}

/// The noise of the third reading of a square's edge, by part: "repeat", "last digit".
std::vector<Input> noise(const Indicator& indicator, double spread, int repeats) {
    auto check = turned_check();
    if (repeats > 1) {
        check.settings[0].edge_spread.assign(5, spread);
        check.settings[0].edge_repeats.assign(5, repeats);
    }
    auto shop = shop_with(check);
    shop.indicators = {indicator};
    return Rows(shop).reading("ZX, setting 1, edge reading 3").noise;
}

} // namespace

BOOST_AUTO_TEST_SUITE(checks)

BOOST_AUTO_TEST_CASE(an_edge_reading_is_its_equation) {
    // r = ± (σ h + S(h)) + (τ + table + bend + approach) h - δ + offset + drift t - g r
    for (const auto across : {Axis::x, Axis::y}) {
        const auto check = turned_check(across);
        const Rows rows(shop_with(check));
        for (int setting = 1; setting <= 2; ++setting)
            for (std::size_t i = 0; i < 5; ++i) {
                const auto stem = check.name + ", setting " + std::to_string(setting);
                const auto what = stem + ", edge reading " + std::to_string(i + 1);
                const auto c = [&](const std::string& name) {
                    return rows.coefficient(what, name);
                };
                const double h = check.stations[i] + 0.35; // 10, 70, 130, 190, 250 mm
                const double turned = setting == 1 ? 1 : -1;
                const auto close = tt::tolerance(1e-9);
                BOOST_TEST(c("square \"black\"") == turned * h, close);
                for (const int other : {10, 70, 130, 190, 250})
                    BOOST_TEST(c("square \"black\", form at " + std::to_string(other) + ".0 mm") ==
                               (other == std::lround(h * 1e3) ? turned : 0));
                BOOST_TEST(c(across == Axis::x ? "table against the motion of X"
                                               : "table against the motion of Y") == h,
                           close);
                BOOST_TEST(c(stem + ", low spot") == h, close);
                BOOST_TEST(c(stem + ", bend by warmth") == h, close);
                BOOST_TEST(c(check.name + ", approach") == h, close);
                BOOST_TEST(c(stem + ", edge offset") == 1);
                BOOST_TEST(c(stem + ", leg offset") == 0);
                BOOST_TEST(c(stem + ", edge, drift") == double(i) / 4, close);
                BOOST_TEST(c("indicator \"lever\", gain") == -check.settings[0].edge_readings[i],
                           close);
                // the travel of Z counts from its reference at -0.2: dx = B0Z z, dy = -A0Z z
                const double z = check.stations[i] + 0.2;
                BOOST_TEST(c("B0Z") == (across == Axis::x ? -z : 0), close);
                BOOST_TEST(c("A0Z") == (across == Axis::y ? z : 0), close);
                const auto other_setting = check.name + ", setting " + std::to_string(3 - setting);
                BOOST_TEST(c(other_setting + ", low spot") == 0);
                BOOST_TEST(c(other_setting + ", edge offset") == 0);
                BOOST_TEST(rows.reading(what).value == check.settings[0].edge_readings[i]);
            }
    }
}

BOOST_AUTO_TEST_CASE(a_leg_reading_is_its_equation) {
    // r = -(τ + table) ℓ - δ_z + offset + drift t - g r; the edge's error is not in it
    for (const auto across : {Axis::x, Axis::y}) {
        const auto check = turned_check(across);
        const Rows rows(shop_with(check));
        for (int setting = 1; setting <= 2; ++setting)
            for (std::size_t i = 0; i < 3; ++i) {
                const auto stem = check.name + ", setting " + std::to_string(setting);
                const auto what = stem + ", leg reading " + std::to_string(i + 1);
                const auto c = [&](const std::string& name) {
                    return rows.coefficient(what, name);
                };
                const double along = (setting == 1 ? 1 : -1) * (0.02 + 0.03 * double(i));
                const auto close = tt::tolerance(1e-9);
                BOOST_TEST(c(across == Axis::x ? "table against the motion of X"
                                               : "table against the motion of Y") == -along,
                           close);
                BOOST_TEST(c(stem + ", low spot") == -along, close);
                BOOST_TEST(c(stem + ", leg offset") == 1);
                BOOST_TEST(c(stem + ", edge offset") == 0);
                BOOST_TEST(c(stem + ", leg, drift") == double(i) / 2, close);
                BOOST_TEST(c("indicator \"lever\", gain") == -check.settings[0].leg_readings[i],
                           close);
                BOOST_TEST(c("square \"black\"") == 0);
                BOOST_TEST(c(check.name + ", approach") == 0);
            }
    }
}

BOOST_AUTO_TEST_CASE(a_run_that_was_closed_knows_its_drift_but_for_a_bend) {
    // Six readings in equal times, the last at the first station again. A warm-up of its own time
    // constant leaves 12 % of the closure in the middle (stationary point of the exponential).
    auto check = turned_check();
    check.settings[0].closing = -3 * micro;
    const Rows rows(shop_with(check));
    const std::string stem = "ZX, setting 1, edge";
    for (int i = 0; i < 5; ++i) {
        const auto what = stem + " reading " + std::to_string(i + 1);
        const double t = i / 5.0;
        BOOST_TEST(rows.coefficient(what, stem + ", drift") == t, tt::tolerance(1e-9));
        BOOST_TEST(rows.coefficient(what, stem + ", bend of the drift") == 4 * t * (1 - t),
                   tt::tolerance(1e-9));
    }
    const std::string closing = "ZX, setting 1, closing reading";
    BOOST_TEST(rows.reading(closing).value == -3 * micro);
    BOOST_TEST(rows.coefficient(closing, stem + ", drift") == 1);
    BOOST_TEST(rows.coefficient(closing, stem + ", bend of the drift") == 0);
    BOOST_TEST(rows.coefficient(closing, "square \"black\"") == 0.01, tt::tolerance(1e-9));
    BOOST_TEST(rows.coefficient(closing, "indicator \"lever\", gain") == 3 * micro,
               tt::tolerance(1e-9));
    BOOST_TEST(half_width(rows.unknown(stem + ", bend of the drift")) == 0.12 * 3 * micro,
               tt::tolerance(1e-9));
    BOOST_TEST(sigma(rows.unknown(stem + ", drift")) > 50 * micro); // the closing reading decides
    // what was not closed may have drifted by 2 µm, in a straight line
    BOOST_TEST(half_width(rows.unknown("ZX, setting 2, edge, drift")) == 2 * micro,
               tt::tolerance(1e-9));
    BOOST_TEST(!rows.has("ZX, setting 2, edge, bend of the drift"));
}

BOOST_AUTO_TEST_CASE(a_level_reading_is_its_equation) {
    auto check = pitching_run();
    check.closing = 22 * micro;
    const Rows rows(shop_with(check));
    for (std::size_t i = 0; i < 5; ++i) {
        const auto what = "run, reading " + std::to_string(i + 1);
        const double t = double(i) / 5;
        const auto close = tt::tolerance(1e-9);
        BOOST_TEST(rows.coefficient(what, "run, zero") == 1);
        BOOST_TEST(rows.coefficient(what, "level \"long\", gain") == -check.readings[i], close);
        // half of the travel to either side of the reference in the middle
        BOOST_TEST(rows.coefficient(what, "rocking as X moves, seen along X") ==
                       -0.5 + double(i) / 4,
                   close);
        BOOST_TEST(rows.coefficient(what, "run, drift") == t, close);
        BOOST_TEST(rows.coefficient(what, "run, bend of the drift") == 4 * t * (1 - t), close);
    }
    BOOST_TEST(rows.coefficient("run, closing reading", "level \"long\", gain") == -22 * micro,
               tt::tolerance(1e-9));
    BOOST_TEST(half_width(rows.unknown("run, bend of the drift")) == 0.12 * 12 * micro,
               tt::tolerance(1e-9));
    BOOST_TEST(half_width(rows.unknown("level \"long\", gain")) == 0.05);
    BOOST_TEST(half_width(rows.unknown("rocking as X moves, seen along X")) ==
                   rows.model.assumed_class().rocking.high,
               tt::tolerance(1e-9));
    const auto& noise = rows.reading("run, reading 2").noise;
    BOOST_REQUIRE(noise.size() == 1U);
    BOOST_TEST(sigma(noise[0]) == 0.2 * 20 * micro, tt::tolerance(1e-9)); // a fifth of a division
}

BOOST_AUTO_TEST_CASE(a_level_drifts_by_5_microradians_where_it_was_not_closed) {
    const Rows rows(shop_with(pitching_run()));
    BOOST_TEST(half_width(rows.unknown("run, drift")) == 5 * micro, tt::tolerance(1e-9));
    BOOST_TEST(rows.coefficient("run, reading 2", "run, drift") == 0.25, tt::tolerance(1e-9));
    BOOST_TEST(rows.coefficient("run, reading 5", "run, drift") == 1);
}

BOOST_AUTO_TEST_CASE(checks_share_what_is_one_thing_and_nothing_else) {
    // Both runs rock together; an instrument's gain is one; zeros and drifts are of each run.
    auto shop = shop_with(pitching_run());
    auto again = pitching_run();
    again.name = "again";
    shop.level_checks.push_back(again);
    const Rows rows(shop);
    const std::string rocking = "rocking as X moves, seen along X";
    BOOST_TEST(rows.coefficient("run, reading 5", rocking) == 0.5, tt::tolerance(1e-9));
    BOOST_TEST(rows.coefficient("again, reading 5", rocking) == 0.5, tt::tolerance(1e-9));
    BOOST_TEST(rows.coefficient("again, reading 5", "level \"long\", gain") == -50 * micro,
               tt::tolerance(1e-9));
    BOOST_TEST(rows.coefficient("again, reading 5", "run, zero") == 0);
    BOOST_TEST(rows.coefficient("again, reading 5", "run, drift") == 0);
    // the rotation itself is one, too
    const std::string shape = "EBX shape 1";
    BOOST_TEST(std::abs(rows.coefficient("run, reading 5", shape)) > micro);
    BOOST_TEST(rows.coefficient("again, reading 5", shape) ==
                   rows.coefficient("run, reading 5", shape),
               tt::tolerance(1e-9));
}

BOOST_AUTO_TEST_CASE(repeats_average_and_the_last_digit_does_not) {
    Indicator indicator{"lever", 2e-6, 0.01, Evidence::typical, 1.5e-6, 0, Evidence::typical, {}};
    // one reading: the indicator's own repeatability and half a digit either way
    auto parts = noise(indicator, 0, 1);
    BOOST_REQUIRE(parts.size() == 2U);
    BOOST_TEST(sigma(parts[0]) == 1.5e-6, tt::tolerance(1e-9));
    BOOST_TEST(half_width(parts[1]) == 1e-6, tt::tolerance(1e-9));
    // five repeats that wander over the digits hold the last digit themselves
    parts = noise(indicator, 1.2e-6, 5);
    BOOST_REQUIRE(parts.size() == 1U);
    BOOST_TEST(sigma(parts[0]) == 1.2e-6 / std::sqrt(5.0), tt::tolerance(1e-9));
    BOOST_CHECK(parts[0].evidence == Evidence::measured);
    // five that do not: averaging brings nothing below the digit
    parts = noise(indicator, 0.9e-6, 5);
    BOOST_REQUIRE(parts.size() == 2U);
    BOOST_TEST(sigma(parts[0]) == 0.9e-6 / std::sqrt(5.0), tt::tolerance(1e-9));
    BOOST_TEST(half_width(parts[1]) == 1e-6, tt::tolerance(1e-9));
}

BOOST_AUTO_TEST_CASE(repeats_that_are_all_the_same_hide_behind_the_last_digit) {
    // s = 0 is below half a digit: averaging cannot bring the doubt below the digit's 1/√12,
    // whatever is known of the indicator's repeatability.
    for (const double repeatability : {0.5e-6, 1e-6, 3e-6}) {
        const auto parts =
            noise({"lever", 2e-6, 0.01, Evidence::typical, repeatability, 0, Evidence::typical, {}},
                  0,
                  5);
        BOOST_REQUIRE(parts.size() == 2U);
        BOOST_TEST(sigma(parts[0]) == repeatability / std::sqrt(5.0), tt::tolerance(1e-9));
        BOOST_TEST(half_width(parts[1]) == 1e-6, tt::tolerance(1e-9));
    }
}

BOOST_AUTO_TEST_CASE(repeats_of_one_check_have_one_spread) {
    // A spread of three readings says little by itself: one station would weigh a hundred times
    // another by luck. Pooled: √((3 × 2² + 1 × 6² + 3 × 0²) / 7) = √(48/7) µm, 7 degrees of
    // freedom.
    auto check = turned_check();
    check.settings[0].edge_spread = {2e-6, 6e-6, 0, 0, 0};
    check.settings[0].edge_repeats = {4, 2, 4, 1, 1};
    const Rows rows(shop_with(check));
    const double pooled = std::sqrt(48.0 / 7) * micro;
    for (const auto& [station, repeats] : {std::pair{1, 4}, {2, 2}, {3, 4}}) {
        const auto& noise =
            rows.reading("ZX, setting 1, edge reading " + std::to_string(station)).noise;
        BOOST_REQUIRE(noise.size() == 1U);
        BOOST_TEST(sigma(noise[0]) == pooled / std::sqrt(double(repeats)), tt::tolerance(1e-9));
        BOOST_TEST(noise[0].scale == "ZX, spread of repeats");
        BOOST_TEST(noise[0].scale_dof == 7);
        BOOST_CHECK(noise[0].evidence == Evidence::measured);
    }
    // what was read once keeps the indicator's own
    const auto& once = rows.reading("ZX, setting 1, edge reading 4").noise;
    BOOST_TEST(once.size() == 2U);
    BOOST_TEST(sigma(once.at(0)) == 0.5e-6, tt::tolerance(1e-9));
    BOOST_TEST(once[0].scale.empty());
}

BOOST_AUTO_TEST_CASE(repeats_are_counted_for_each_station) {
    auto check = turned_check();
    check.settings[0].edge_repeats = {3, 3};
    check.settings[0].edge_spread = {micro, micro};
    try {
        Rows{shop_with(check)};
        BOOST_ERROR("accepted");
    } catch (const InputError& error) {
        BOOST_TEST(error.diagnostics().at(0).id == "check-shape");
    }
}

BOOST_AUTO_TEST_CASE(readings_of_one_indicator_share_the_doubt_of_its_repeatability) {
    Indicator indicator{"lever", 2e-6, 0.01, Evidence::typical, 1.5e-6, 4, Evidence::measured, {}};
    auto parts = noise(indicator, 0, 1);
    BOOST_TEST(parts.at(0).scale == "indicator \"lever\", repeatability");
    BOOST_TEST(parts.at(0).scale_dof == 4);
    BOOST_TEST(parts.at(1).scale.empty());
}

BOOST_AUTO_TEST_CASE(a_low_spot_tilts_by_twice_its_depth_over_the_base) {
    auto check = turned_check(); // base 100 mm
    check.low_spot = 3e-6;
    const auto known = Rows(shop_with(check)).unknown("ZX, setting 2, low spot");
    BOOST_TEST(half_width(known) == 60e-6, tt::tolerance(1e-9));
    BOOST_CHECK(known.evidence == Evidence::measured);
    // not known: of the class's 20 µm over 400 mm a quarter, never more than all of it
    check.low_spot.reset();
    const auto guess = Rows(shop_with(check)).unknown("ZX, setting 2, low spot");
    BOOST_TEST(half_width(guess) == 100e-6, tt::tolerance(1e-9));
    BOOST_CHECK(guess.evidence == Evidence::assumed);
    check.base = 0.8;
    BOOST_TEST(half_width(Rows(shop_with(check)).unknown("ZX, setting 2, low spot")) == 50e-6,
               tt::tolerance(1e-9));
}

BOOST_AUTO_TEST_CASE(a_square_is_known_by_its_certificate_or_its_grade) {
    auto shop = shop_with(turned_check());
    const Rows graded(shop);
    BOOST_TEST(half_width(graded.unknown("square \"black\"")) == 40e-6, tt::tolerance(1e-9));
    BOOST_TEST(half_width(graded.unknown("square \"black\", form at 130.0 mm")) == 0.5e-6,
               tt::tolerance(1e-9)); // 1 µm from peak to valley
    BOOST_TEST(half_width(graded.unknown("indicator \"lever\", gain")) == 0.01);
    BOOST_TEST(half_width(graded.unknown("ZX, approach")) == 5e-6, tt::tolerance(1e-9));
    BOOST_TEST(half_width(graded.unknown("ZX, setting 1, bend by warmth")) == 2.9e-6,
               tt::tolerance(1e-9)); // 0.1 K across a beam 40 × 200 mm: 28.8 µrad/K (recomputed)
    shop.squares[0].lean = -12e-6;
    shop.squares[0].standard = 5e-6;
    const auto certified = Rows(shop).unknown("square \"black\"");
    BOOST_TEST(sigma(certified) == 5e-6, tt::tolerance(1e-9));
    BOOST_TEST(stats::mean(certified.law) == -12e-6, tt::tolerance(1e-9));
}

BOOST_AUTO_TEST_CASE(a_certified_square_wears_from_its_calibration_on) {
    // 1 µm a year over 250 mm of edge, 4 µrad; it acts like the lean, times the years to the check.
    auto shop = shop_with(turned_check());
    const std::string wear = "square \"black\", change in a year";
    BOOST_TEST(!Rows(shop).has(wear)); // a grade's limit holds as long as the grade
    shop.squares[0].standard = 5e-6;
    const auto years = [&](const char* calibrated, const char* due) {
        Certificate certificate;
        if (calibrated != nullptr)
            certificate.date = parse_date(calibrated);
        if (due != nullptr)
            certificate.due = parse_date(due);
        shop.squares[0].certificate = certificate;
        const Rows rows(shop);
        BOOST_TEST(sigma(rows.unknown(wear)) == 4e-6, tt::tolerance(1e-9));
        const auto* what = "ZX, setting 2, edge reading 3";
        return rows.coefficient(what, wear) / rows.coefficient(what, "square \"black\"");
    };
    BOOST_TEST(years("2024-11-20", nullptr) == 730 / 365.2425, tt::tolerance(1e-9));
    BOOST_TEST(years("2026-11-22", nullptr) == 0); // the check came before
    BOOST_TEST(years(nullptr, "2027-05-20") == 1 - 181 / 365.2425, tt::tolerance(1e-9));
    BOOST_TEST(years(nullptr, nullptr) == 1);
}

BOOST_AUTO_TEST_CASE(checks_made_after_the_job_are_not_known_yet) {
    auto shop = shop_with(turned_check());
    shop.level_checks = {pitching_run()};
    BOOST_TEST(Rows(shop).all.size() == 21U);
    shop.square_checks[0].date = parse_date("2026-11-26");
    BOOST_TEST(Rows(shop).all.size() == 5U);
    shop.level_checks[0].date = parse_date("2026-11-26");
    BOOST_TEST(Rows(shop).all.empty());
}

BOOST_AUTO_TEST_SUITE_END()
