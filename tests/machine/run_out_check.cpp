// SPDX-License-Identifier: MIT
// Run-out. Rows against vectors worked by hand; a worked example, recomputed by complex numbers;
// the scatter of seats against sums by hand; recovery of spindles from needles that are turned
// round in whole degrees and read to whole steps; the formula budget against the information form.
// Tolerances: exact algebra 1e-9; others said beside.
#include "holdable/machine/run_out_check.hpp"

#include "holdable/base/error.hpp"
#include "holdable/machine/spindle.hpp"
#include "holdable/machine/state.hpp"
#include "honesty/true_machine.hpp"
#include "laws.hpp"
#include "machine/budget_file.hpp"
#include "machine/rows.hpp"
#include "machine/workshop.hpp"

#include <complex>
#include <numbers>

using namespace holdable;
using namespace holdable::tests;
namespace tt = boost::test_tools;

namespace {

const Date day = parse_date("2026-11-20");
constexpr double micro = 1e-6;
constexpr double degree = std::numbers::pi / 180;
const std::vector<std::string> state_names = {"run-out at the nose, cosine",
                                              "run-out at the nose, sine",
                                              "run-out, tilt of a bar, cosine",
                                              "run-out, tilt of a bar, sine"};

RunOutReading reading(double total, double degrees) {
    return {total * micro, degrees * degree};
}

RunOutCheck seats(std::vector<RunOutSeat> all) {
    RunOutCheck check;
    check.name = "run";
    check.date = day;
    check.indicator = "lever";
    check.length = 0.3;
    check.seats = std::move(all);
    return check;
}

/// Those of budgets/methods/run-out.json.
RunOutCheck five() {
    return seats({{0, reading(4, 30), reading(14, 100)},
                  {0, reading(5, 45), reading(12, 110)},
                  {0, reading(3, 20), reading(16, 95)},
                  {0, reading(4, 50), reading(13, 90)},
                  {0, reading(5, 15), reading(15, 105)}});
}

Shop shop_with(const RunOutCheck& check) {
    auto shop = workshop();
    shop.run_out_checks = {check};
    return shop;
}

} // namespace

BOOST_AUTO_TEST_SUITE(run_out)

BOOST_AUTO_TEST_CASE(a_reading_is_its_equation) {
    const NamedRows rows(shop_with(seats({{90 * degree, reading(4, 30), reading(14, 100)}})), day);
    for (const bool far : {false, true})
        for (const bool across : {false, true}) {
            const auto what = std::string("run, seat 1, ") + (far ? "length" : "nose") +
                              (across ? ", across the high spot" : ", along the high spot");
            const auto c = [&](const std::string& name) { return rows.coefficient(what, name); };
            const auto close = tt::tolerance(1e-9);
            const double angle = (far ? 100 : 30) + (across ? 90 : 0);
            const double x = std::cos(angle * degree);
            const double y = std::sin(angle * degree);
            const double length = far ? 0.3 : 0;
            BOOST_TEST(c(state_names[0]) == x, close);
            BOOST_TEST(c(state_names[1]) == y, close);
            BOOST_TEST(c(state_names[2]) == length * x, close);
            BOOST_TEST(c(state_names[3]) == length * y, close);
            // the bar turned by 90°: its first component points to +Y, its second to -X
            const std::string bar = far ? "run, bar at the length, " : "run, bar at the nose, ";
            BOOST_TEST(c(bar + "1") == y, close);
            BOOST_TEST(c(bar + "2") == -x, close);
            BOOST_TEST(c("run, seat 1, shift, 1") == x, close);
            BOOST_TEST(c("run, seat 1, shift, 2") == y, close);
            BOOST_TEST(c("run, seat 1, tilt, 1") == length * x, close);
            BOOST_TEST(c("run, seat 1, tilt, 2") == length * y, close);
            const double e = across ? 0 : (far ? 7 : 2) * micro;
            BOOST_TEST(rows.reading(what).value == e, close);
            BOOST_TEST(c("indicator \"lever\", gain") == -e, close);
        }
}

BOOST_AUTO_TEST_CASE(doubts_of_one_seat_and_of_five) {
    // One seat: half of a difference of two repeats (0.5 µm) and of two digits (1 µm), and the
    // angle across; typical seats. Five: their spread holds all that.
    NamedRows rows(shop_with(seats({{0, reading(4, 30), {}}})), day);
    const auto& along = rows.reading("run, seat 1, nose, along the high spot").noise;
    BOOST_REQUIRE(along.size() == 3U);
    BOOST_TEST(sigma(along[0]) == 0.5 * micro / std::sqrt(2.0), tt::tolerance(1e-9));
    BOOST_TEST(half_width(along[1]) == 0.25 * micro, tt::tolerance(1e-9));
    BOOST_TEST(half_width(along[2]) == 0.25 * micro, tt::tolerance(1e-9));
    const auto& across = rows.reading("run, seat 1, nose, across the high spot").noise;
    BOOST_REQUIRE(across.size() == 4U);
    BOOST_TEST(half_width(across[3]) == 15 * degree * 2 * micro, tt::tolerance(1e-9));
    BOOST_CHECK(rows.unknown("run, seat 1, shift, 1").evidence == Evidence::typical);
    BOOST_TEST(rows.unknown("run, seat 1, shift, 1").scale.empty());
    rows = NamedRows(shop_with(five()), day);
    BOOST_TEST(rows.reading("run, seat 1, nose, across the high spot").noise.empty());
    const auto& shift = rows.unknown("run, seat 3, shift, 2");
    BOOST_TEST(shift.scale == "run, shift of the seats");
    BOOST_TEST(shift.scale_dof == 8);
    BOOST_CHECK(shift.evidence == Evidence::measured);
    BOOST_TEST(rows.unknown("run, seat 1, tilt, 1").scale == "run, tilt of the seats");
    // entry vmc: 6 µm total is the 95 % point at the nose, 20 µm at 300 mm
    const double point = std::sqrt(-2 * std::log(0.05));
    const double nose = sigma(rows.unknown(state_names[0]));
    BOOST_TEST(nose * point == 3 * micro, tt::tolerance(1e-4));
    BOOST_TEST(std::hypot(nose, 0.3 * sigma(rows.unknown(state_names[2]))) * point == 10 * micro,
               tt::tolerance(1e-4));
}

BOOST_AUTO_TEST_CASE(worked_example_recomputed) {
    // 4 µm at 30° and 14 µm at 100°, 300 mm apart: 21.97 µm/m, not (7 - 2)/0.3 = 16.67; 7.911 µm
    // in the middle.
    const NamedRows rows(shop_with(seats({{0, reading(4, 30), reading(14, 100)}})), day);
    const auto v = rows.least_squares(state_names);
    BOOST_TEST(std::hypot(v[2], v[3]) == 21.97 * micro, tt::tolerance(3e-4));
    BOOST_TEST(2 * std::hypot(v[0] + 0.15 * v[2], v[1] + 0.15 * v[3]) == 7.911 * micro,
               tt::tolerance(1e-4));
    const auto by_hand = std::polar(7.0, 100 * degree) - std::polar(2.0, 30 * degree);
    BOOST_TEST(v[2] == by_hand.real() / 0.3 * micro, tt::tolerance(1e-9));
    BOOST_TEST(v[3] == by_hand.imag() / 0.3 * micro, tt::tolerance(1e-9));
}

BOOST_AUTO_TEST_CASE(half_a_turn_parts_the_bar_from_the_spindle) {
    // Spindle 3 µm at 20°, bar 1 µm at 130°: half a turn of the bar changes its sign.
    const auto spindle = std::polar(3.0, 20 * degree);
    const auto bar = std::polar(1.0, 130 * degree);
    const auto seat = [&](double turned) {
        const auto v = spindle + std::polar(1.0, turned * degree) * bar;
        return RunOutSeat{turned * degree, {2 * std::abs(v) * micro, std::arg(v)}, {}};
    };
    const NamedRows rows(shop_with(seats({seat(0), seat(180)})), day);
    const auto found = rows.least_squares(
        {state_names[0], state_names[1], "run, bar at the nose, 1", "run, bar at the nose, 2"});
    BOOST_TEST(found[0] == spindle.real() * micro, tt::tolerance(1e-9));
    BOOST_TEST(found[1] == spindle.imag() * micro, tt::tolerance(1e-9));
    BOOST_TEST(found[2] == bar.real() * micro, tt::tolerance(1e-9));
    BOOST_TEST(found[3] == bar.imag() * micro, tt::tolerance(1e-9));
}

BOOST_AUTO_TEST_CASE(the_scatter_of_seats) {
    // Vectors 1, 3 and 2 µm along X: variance 2/4 of a component about the mean; four degrees.
    const auto three =
        seats({{0, reading(2, 0), {}}, {0, reading(6, 0), {}}, {0, reading(4, 0), {}}});
    auto scatter = seat_scatter(three);
    BOOST_TEST(scatter.degrees_of_freedom == 4);
    BOOST_TEST(scatter.shift == std::sqrt(2.0 / 4) * micro, tt::tolerance(1e-9));
    BOOST_TEST(scatter.tilt == typical_seat_scatter().tilt);
    // the same with the bar turned in the second: two vectors explained, one left: 1 and 2 differ
    // from their mean 1.5, 3 is explained
    auto turned = three;
    turned.seats[1].bar_turned = 180 * degree;
    scatter = seat_scatter(turned);
    BOOST_TEST(scatter.degrees_of_freedom == 2);
    BOOST_TEST(scatter.shift == std::sqrt(0.5 / 2) * micro, tt::tolerance(1e-9));
    BOOST_TEST(seat_scatter(seats({three.seats[0]})).degrees_of_freedom == 0);
    // tilts: (3 - 1)/0.3 and (1 - 1)/0.3 µm/m
    scatter =
        seat_scatter(seats({{0, reading(2, 0), reading(6, 0)}, {0, reading(2, 0), reading(2, 0)}}));
    BOOST_TEST(scatter.shift < 1e-15);
    BOOST_TEST(scatter.tilt == std::sqrt(2 * std::pow(2 / 0.3 / 2, 2) / 2) * micro,
               tt::tolerance(1e-9));
}

BOOST_AUTO_TEST_CASE(seats_that_are_all_the_same_hide_behind_the_last_digit) {
    const NamedRows rows(
        shop_with(
            seats({{0, reading(4, 30), {}}, {0, reading(4, 30), {}}, {0, reading(4, 30), {}}})),
        day);
    const auto& noise = rows.reading("run, seat 2, nose, along the high spot").noise;
    BOOST_REQUIRE(noise.size() == 2U);
    BOOST_TEST(half_width(noise[0]) == 0.25 * micro, tt::tolerance(1e-9));
}

BOOST_AUTO_TEST_CASE(what_a_state_says_of_the_run_out) {
    const auto state = solve(shop_with(five()), day);
    const auto nose = run_out_at(state, 0);
    const auto middle = run_out_at(state, 0.15);
    const auto far = run_out_at(state, 0.3);
    // means of the vectors, shrunk a little by the class and the bar: within one doubt
    BOOST_TEST(std::abs(nose.total - 2 * std::hypot(1.72195, 1.09199) * micro) < nose.standard);
    BOOST_TEST(std::abs(far.total - 2 * std::hypot(1.18121, 6.84916) * micro) < far.standard);
    BOOST_TEST(std::abs(far.high_at - (180 * degree - std::atan(6.84916 / 1.18121))) < 10 * degree);
    BOOST_TEST(middle.total < far.total);
    BOOST_TEST(nose.seats_measured);
    BOOST_TEST(nose.seat_scatter == 2 * 0.49526 * micro, tt::tolerance(1e-4));
    BOOST_TEST(far.seat_scatter == 2 * std::hypot(0.49526, 0.3 * 4.40944) * micro,
               tt::tolerance(1e-4));
    BOOST_TEST(nose.standard < nose.standard_by_class / 2);
    BOOST_TEST(run_out_reach(state.model.shop()) == 0.3);
    const auto unread = solve(workshop(), day);
    BOOST_TEST(run_out_reach(unread.model.shop()) == 0.3);
    const auto unknown = run_out_at(unread, 0.3);
    BOOST_TEST(unknown.total == 0);
    BOOST_TEST(!unknown.seats_measured);
    BOOST_TEST(unknown.standard == unknown.standard_by_class, tt::tolerance(1e-9));
    // a crash and spindle work void it
    for (const auto kind : {EventKind::crash, EventKind::spindle_work, EventKind::adjustment}) {
        auto shop = shop_with(five());
        shop.events = {{kind, parse_date("2026-12-24"), {}, ""}};
        const auto later = run_out_at(solve(shop, parse_date("2027-01-20")), 0.3);
        if (kind == EventKind::adjustment)
            BOOST_TEST(later.standard == far.standard, tt::tolerance(1e-6));
        else
            BOOST_TEST(later.standard > later.standard_by_class / 2);
    }
}

BOOST_AUTO_TEST_CASE(vectors_are_found_again_as_often_as_is_said) {
    // 300 spindles, four numbers each, of a needle turned round: high and low end read to whole
    // steps, the angle to whole 5°. Of 1200 estimates 60 are expected outside the factor of t for
    // the degrees of freedom of the seats. The four of a spindle share one scatter, so that they
    // are not independent: counted by spindle and component, 300 each, of which 15 are expected and
    // Binomial(300, 0.05) exceeds 46 with less than 1e-9. Two seats more and the bar known: the bar
    // itself is turned in half of the runs.
    Luck luck(31);
    std::array<int, 4> outside{};
    const double t8 = 2.306;
    const double t10 = 2.228;
    for (int run = 0; run < 300; ++run) {
        const bool turned = run % 2 == 1;
        const int count = turned ? 7 : 5; // 10 or 8 degrees of freedom
        using Vector = std::complex<double>;
        const auto draw = [&](double half) { return Vector(luck.within(half), luck.within(half)); };
        const Vector nose = draw(3 * micro);
        const Vector tilt = draw(25 * micro);
        const auto part = [&] {
            return Vector(luck.normal(0.408 * micro), luck.normal(0.408 * micro));
        };
        const Vector bar[] = {part(), part()};
        std::vector<RunOutSeat> all;
        for (int i = 0; i < count; ++i) {
            const double theta = turned && i % 2 == 1 ? std::numbers::pi : 0;
            const Vector shift(luck.normal(0.8 * micro), luck.normal(0.8 * micro));
            const Vector lean(luck.normal(5 * micro), luck.normal(5 * micro));
            const auto needle = [&](const Vector& e) {
                double high = -1;
                double low = 1;
                double at = 0;
                for (int k = 0; k < 360; ++k) {
                    // the tip stands still at +X: the spindle turned back by k brings the mark's k
                    // there
                    const double r = (e * std::polar(1.0, -k * degree)).real();
                    if (r > high) {
                        high = r;
                        at = k;
                    }
                    low = std::min(low, r);
                }
                const double step = 0.2 * micro;
                return RunOutReading{(std::round(high / step) - std::round(low / step)) * step,
                                     std::round(at / 5) * 5 * degree};
            };
            all.push_back(
                {theta,
                 needle(nose + std::polar(1.0, theta) * bar[0] + shift),
                 needle(nose + 0.3 * tilt + std::polar(1.0, theta) * bar[1] + shift + 0.3 * lean)});
        }
        auto shop = shop_with(seats(all));
        shop.indicators[0].resolution = 0.2 * micro;
        const auto state = solve_with_prior(shop, day, 1);
        const auto far = state.model.run_out(0.3, day);
        const auto near = state.model.run_out(0, day);
        const double truth[] = {
            nose.real(), nose.imag(), (nose + 0.3 * tilt).real(), (nose + 0.3 * tilt).imag()};
        for (int k = 0; k < 4; ++k) {
            const auto found = state.of(k < 2 ? near.row(k) : far.row(k - 2));
            outside[static_cast<std::size_t>(k)] +=
                std::abs(found.value - truth[k]) > (turned ? t10 : t8) * found.standard_uncertainty;
        }
    }
    for (const int count : outside)
        BOOST_TEST(count <= 46);
    BOOST_TEST(outside[0] + outside[1] + outside[2] + outside[3] > 5); // not far too wide
}

BOOST_AUTO_TEST_CASE(the_formula_budget_agrees) {
    // The mean of the seats is the best estimate too; across the mean vector nothing enters a
    // length in first order. 1 % for the vectors' turn between nose and length.
    auto shop = shop_with(five());
    shop.indicators[0].gain_doubt = 0.03;
    const NamedRows rows(shop, day);
    const auto budget = method_budget("run-out");
    const Eigen::Vector2d nose(1.7219493, 1.0919867);
    const Eigen::Vector2d far(-1.1812094, 6.8491623);
    BOOST_TEST(output(budget, "nose").value == 2 * nose.norm(), tt::tolerance(1e-5));
    BOOST_TEST(output(budget, "far").value == 2 * far.norm(), tt::tolerance(1e-5));
    BOOST_TEST(output(budget, "middle").value == (nose + far).norm(), tt::tolerance(1e-5));
    const auto doubt = [&](double length, const Eigen::Vector2d& along) {
        const auto form = rows.model.run_out(length, day);
        const Eigen::Vector2d u = along.normalized();
        return 2 * rows.standard(u.x() * form.row(0) + u.y() * form.row(1), state_names);
    };
    BOOST_TEST(output(budget, "nose").standard * micro == doubt(0, nose), tt::tolerance(0.01));
    BOOST_TEST(output(budget, "far").standard * micro == doubt(0.3, far), tt::tolerance(0.01));
    BOOST_TEST(output(budget, "middle").standard * micro == doubt(0.15, nose + far),
               tt::tolerance(0.01));
}

BOOST_AUTO_TEST_CASE(what_does_not_fit_together_is_refused) {
    const auto refused = [](const RunOutCheck& check) {
        try {
            solve(shop_with(check), day);
        } catch (const InputError& error) {
            return std::string(error.what());
        }
        return std::string("nothing");
    };
    BOOST_TEST(refused(seats({})).find("not seated [check-shape]") != std::string::npos);
    BOOST_TEST(refused(seats({{0, reading(4, 0), reading(4, 0)}, {0, reading(4, 0), {}}}))
                   .find("or none [check-shape]") != std::string::npos);
    auto check = five();
    check.length = 0;
    BOOST_TEST(refused(check).find("the length is not given [check-shape]") != std::string::npos);
    check = five();
    check.indicator = "other";
    BOOST_TEST(refused(check).find("[instrument-unknown]") != std::string::npos);
}

BOOST_AUTO_TEST_SUITE_END()
