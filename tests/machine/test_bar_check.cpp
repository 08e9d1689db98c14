// SPDX-License-Identifier: MIT
// The test bar. Signs of each term by hand; the reversal that takes the bar out; a worked example,
// recomputed; recovery of machines by full transforms and plain random numbers, without the
// library's rows; the formula budget against the information form of the same rows.
// Tolerances: exact algebra 1e-9; others said beside.
#include "holdable/machine/test_bar_check.hpp"

#include "holdable/base/error.hpp"
#include "holdable/machine/state.hpp"
#include "honesty/true_machine.hpp"
#include "laws.hpp"
#include "machine/budget_file.hpp"
#include "machine/rows.hpp"
#include "machine/workshop.hpp"

#include <numbers>

using namespace holdable;
using namespace holdable::tests;
namespace tt = boost::test_tools;

namespace {

const Date day = parse_date("2026-11-20");
constexpr double micro = 1e-6;
constexpr double half_turn = std::numbers::pi;

/// Z from -0.35 to -0.15, the tip 50 to 250 mm from the nose: 0.6 + z - 0.2.
TestBarCheck bar(Axis across = Axis::x) {
    TestBarCheck check;
    check.name = "bar";
    check.date = day;
    check.across = across;
    check.indicator = "lever";
    check.x = 0.3;
    check.y = 0.2;
    check.height = 0.2;
    check.stations = {-0.35, -0.30, -0.25, -0.20, -0.15};
    check.bar_form = 2 * micro;
    check.settings = {{0, {0, 2 * micro, 3 * micro, 5 * micro, 8 * micro}, {}, {}, {}},
                      {half_turn, {0, -1 * micro, -3 * micro, -4 * micro, -5 * micro}, {}, {}, {}}};
    return check;
}

Shop shop_with(const TestBarCheck& check) {
    auto shop = workshop();
    shop.test_bar_checks = {check};
    return shop;
}

} // namespace

BOOST_AUTO_TEST_SUITE(test_bar)

BOOST_AUTO_TEST_CASE(a_reading_is_its_equation) {
    for (const auto across : {Axis::x, Axis::y})
        for (const bool plus : {true, false}) {
            auto check = bar(across);
            check.on_plus_face = plus;
            check.settings[0].closing = 1 * micro;
            if (across == Axis::y) // 0° shows the second component there
                check.settings[0].turned = half_turn / 2;
            const NamedRows rows(shop_with(check), day);
            for (std::size_t i = 0; i < 5; ++i)
                for (const int setting : {1, 2}) {
                    const auto stem = "bar, setting " + std::to_string(setting);
                    const auto what = stem + ", reading " + std::to_string(i + 1);
                    const auto c = [&](const std::string& n) { return rows.coefficient(what, n); };
                    const auto close = tt::tolerance(1e-9);
                    const double z = check.stations[i];
                    const double along = z + 0.4;
                    const double face = plus ? 1 : -1;
                    BOOST_TEST(c("B0C") == (across == Axis::x ? -along : 0), close);
                    BOOST_TEST(c("A0C") == (across == Axis::y ? along : 0), close);
                    BOOST_TEST(c("B0Z") == (across == Axis::x ? z + 0.2 : 0), close);
                    BOOST_TEST(c("A0Z") == (across == Axis::y ? -(z + 0.2) : 0), close);
                    BOOST_TEST(c("bar, radius of the bar at station " + std::to_string(i + 1)) ==
                               face);
                    BOOST_TEST(std::abs(c("bar, taper of the bar") - face * (z + 0.25) / 0.1) <
                               1e-9);
                    BOOST_TEST(std::abs(c("bar, approach") - (z + 0.35)) < 1e-12);
                    BOOST_TEST(c("indicator \"lever\", gain") ==
                                   -check.settings[std::size_t(setting - 1)].readings[i],
                               close);
                    BOOST_TEST(c(stem + ", offset") == 1);
                    BOOST_TEST(c(stem + ", drift") == double(i) / (setting == 1 ? 5 : 4), close);
                    if (across == Axis::x) {
                        const double turned = setting == 1 ? 1 : -1;
                        BOOST_TEST(c("bar, tilt of the bar, 1") == turned * along, close);
                        BOOST_TEST(c("bar, axis of the bar at station " + std::to_string(i + 1) +
                                     ", 1") == turned,
                                   close);
                        BOOST_TEST(!rows.has("bar, tilt of the bar, 2"));
                    } else if (setting == 1) { // a quarter turn brings +X of the bar to +Y
                        BOOST_TEST(c("bar, tilt of the bar, 1") == along, close);
                        BOOST_TEST(std::abs(c("bar, tilt of the bar, 2")) < 1e-12);
                    } else
                        BOOST_TEST(c("bar, tilt of the bar, 2") == -along, close);
                }
            BOOST_TEST(
                rows.coefficient("bar, setting 1, closing reading", "bar, setting 1, drift") == 1);
        }
}

BOOST_AUTO_TEST_CASE(laws_of_what_a_bar_leaves_open) {
    auto check = bar();
    NamedRows rows(shop_with(check), day);
    BOOST_TEST(half_width(rows.unknown("bar, approach")) == 5 * micro, tt::tolerance(1e-9));
    BOOST_TEST(half_width(rows.unknown("bar, taper of the bar")) == 0.5 * micro,
               tt::tolerance(1e-9));
    BOOST_TEST(half_width(rows.unknown("bar, radius of the bar at station 1")) == 0.5 * micro,
               tt::tolerance(1e-9));
    BOOST_TEST(half_width(rows.unknown("bar, axis of the bar at station 1, 1")) == 1 * micro,
               tt::tolerance(1e-9));
    BOOST_CHECK(rows.unknown("bar, taper of the bar").evidence == Evidence::specification);
    // entry vmc: 20 µm total over 300 mm is the 95 % point of the vector
    BOOST_TEST(sigma(rows.unknown("bar, tilt of the bar, 1")) * std::sqrt(-2 * std::log(0.05)) ==
                   10 * micro / 0.3,
               tt::tolerance(1e-4));
    check.bar_form.reset();
    rows = NamedRows(shop_with(check), day);
    BOOST_CHECK(rows.unknown("bar, taper of the bar").evidence == Evidence::typical);
}

BOOST_AUTO_TEST_CASE(longer_tools_are_moved_farther) {
    // Worked example, recomputed: B0C = 80 µrad, tools of 150 and 60 mm: -7.2 µm between them.
    auto check = bar();
    check.stations = {-0.34, -0.30, -0.25};
    check.settings = {{0, {0, 0, 0}, {}, {}, {}}};
    const NamedRows rows(shop_with(check), day); // 60, 100, 150 mm from the nose
    BOOST_TEST((rows.coefficient("bar, setting 1, reading 3", "B0C") -
                rows.coefficient("bar, setting 1, reading 1", "B0C")) *
                       80 ==
                   -7.2e-6 / micro,
               tt::tolerance(1e-9));
}

BOOST_AUTO_TEST_CASE(the_slope_is_the_difference_and_half_a_turn_takes_the_bar_out) {
    // k = B0Z - B0C = 55 - 80 in XZ, -(A0Z - A0C) = -(30 - 48) in YZ, the bar tilted by 21.97.
    for (const auto across : {Axis::x, Axis::y}) {
        const double k = (across == Axis::x ? 55.0 - 80 : -(30.0 - 48)) * micro;
        auto check = bar(across);
        for (std::size_t s = 0; s < 2; ++s) {
            check.settings[s].readings.clear();
            for (const double z : check.stations)
                check.settings[s].readings.push_back((k + (s == 0 ? 21.97e-6 : -21.97e-6)) *
                                                     (z + 0.35));
        }
        const NamedRows rows(shop_with(check), day);
        const auto* tilt =
            across == Axis::x ? "bar, tilt of the bar, 1" : "bar, tilt of the bar, 2";
        const auto of_z = rows.least_squares({across == Axis::x ? "B0Z" : "A0Z",
                                              tilt,
                                              "bar, setting 1, offset",
                                              "bar, setting 2, offset"});
        BOOST_TEST(of_z[0] == (across == Axis::x ? k : -k), tt::tolerance(1e-9));
        BOOST_TEST(of_z[1] == 21.97e-6, tt::tolerance(1e-9));
        const auto of_spindle = rows.least_squares({across == Axis::x ? "B0C" : "A0C",
                                                    tilt,
                                                    "bar, setting 1, offset",
                                                    "bar, setting 2, offset"});
        BOOST_TEST(of_spindle[0] == (across == Axis::x ? -k : k), tt::tolerance(1e-9));
    }
}

BOOST_AUTO_TEST_CASE(differences_are_found_again_as_often_as_is_said) {
    // 200 machines a plane; the tilt of the spindle is even over ± the class's figure. 10 are
    // expected outside 1.96 u; Binomial(200, 0.05) exceeds 36 with less than 1e-9. The sum of z² is
    // about 200; below 90 or over 330 it would be by more than six of its standard deviations.
    for (const auto across : {Axis::x, Axis::y}) {
        Luck luck(across == Axis::x ? 21 : 22);
        int outside = 0;
        double squares = 0;
        for (int run = 0; run < 200; ++run) {
            const auto shop = workshop();
            const TrueMachine truth(shop, luck);
            const Eigen::Vector3d lean(luck.within(60 * micro), luck.within(60 * micro), 0);
            const Eigen::Vector2d tilt(luck.within(20 * micro), luck.within(20 * micro));
            auto check = bar(across);
            check.on_plus_face = run % 2 == 0;
            check.x = 0.3 + luck.within(0.2);
            check.y = 0.2 + luck.within(0.15);
            const double taper = luck.within(0.5 * micro);
            const double clearance = luck.within(5 * micro);
            std::vector<double> radius;
            std::vector<Eigen::Vector2d> axis;
            for (int i = 0; i < 5; ++i) {
                radius.push_back(luck.within(0.5 * micro));
                axis.emplace_back(luck.within(1 * micro), luck.within(1 * micro));
            }
            for (auto& setting : check.settings) {
                setting.readings.clear();
                const double zero = luck.within(5 * micro);
                const double drift = luck.within(2 * micro);
                double first = 0;
                for (std::size_t i = 0; i < 5; ++i) {
                    const double z = check.stations[i];
                    const double along = z + shop.nose_to_table - check.height;
                    const Eigen::Vector2d off = along * tilt + axis[i];
                    const Eigen::Vector3d tool =
                        Eigen::AngleAxisd(lean.norm(), lean.normalized()) *
                        (Eigen::AngleAxisd(setting.turned, Eigen::Vector3d::UnitZ()) *
                         Eigen::Vector3d(off.x(), off.y(), -along));
                    const double face = check.on_plus_face ? 1 : -1;
                    const double at =
                        (truth.error({check.x, check.y, z}, tool) +
                         tool)[static_cast<int>(across)] +
                        face * (radius[i] + taper * (static_cast<double>(i) / 2 - 1)) +
                        clearance * (z - check.stations[0]) + drift * static_cast<double>(i) / 4;
                    if (i == 0)
                        first = at;
                    setting.readings.push_back(
                        read(at - first - zero, truth.gain, 0.5 * micro, 1 * micro, luck));
                }
            }
            const auto state = solve_with_prior(shop_with(check), day, 1);
            const bool x = across == Axis::x;
            const auto found = state.of(state.model.parameter(x ? b0z_index : a0z_index, 0, day) -
                                        state.model.spindle_tilt(x ? Axis::y : Axis::x, day));
            const double truly = x ? truth.b0z - lean.y() : truth.a0z - lean.x();
            const double z = (found.value - truly) / found.standard_uncertainty;
            outside += std::abs(z) > 1.96;
            squares += z * z;
        }
        BOOST_TEST(outside <= 36);
        BOOST_TEST(squares > 90);
        BOOST_TEST(squares < 330);
    }
}

BOOST_AUTO_TEST_CASE(the_formula_budget_agrees) {
    // The best estimate weighs the five places by all it knows of them, least squares does not: up
    // to 2 % apart.
    auto shop = shop_with(bar());
    shop.indicators[0].resolution = 2 * micro;
    shop.indicators[0].repeatability = 1 * micro;
    shop.indicators[0].gain_doubt = 0.03;
    const NamedRows rows(shop, day);
    const auto budget = method_budget("test-bar");
    const auto& k = output(budget, "k");
    // slopes 19/500 and -13/500 µm/mm: (2·8 + 5 - 2)/500 and (-2·5 - 4 + 1)/500
    BOOST_TEST(k.value == (19.0 - 13) / 500 / 2 * 1000, tt::tolerance(1e-9));
    const Eigen::RowVectorXd form =
        rows.model.parameter(b0z_index, 0, day) - rows.model.spindle_tilt(Axis::y, day);
    BOOST_TEST(k.standard * micro == rows.standard(form, {"B0Z", "B0C", "bar, tilt of the bar, 1"}),
               tt::tolerance(0.02));
}

BOOST_AUTO_TEST_CASE(what_does_not_fit_together_is_refused) {
    const auto refused = [](const TestBarCheck& check) {
        try {
            solve(shop_with(check), day);
        } catch (const InputError& error) {
            return std::string(error.what());
        }
        return std::string("nothing");
    };
    auto check = bar();
    check.settings[1].readings.pop_back();
    BOOST_TEST(refused(check).find("4 readings for 5 stations [check-shape]") != std::string::npos);
    check = bar();
    check.settings.clear();
    BOOST_TEST(refused(check).find("no setting of the bar") != std::string::npos);
    check = bar();
    check.stations.resize(2);
    BOOST_TEST(refused(check).find("three stations or more") != std::string::npos);
    check = bar();
    check.across = Axis::z;
    BOOST_TEST(refused(check).find("XZ or YZ") != std::string::npos);
    check = bar();
    check.settings[0].repeats = {2};
    BOOST_TEST(refused(check).find("for every reading or for none") != std::string::npos);
    check = bar();
    check.stations.assign(5, -0.3);
    BOOST_TEST(refused(check).find("all stations are at one place") != std::string::npos);
    check = bar();
    check.indicator = "other";
    BOOST_TEST(refused(check).find("[instrument-unknown]") != std::string::npos);
}

BOOST_AUTO_TEST_SUITE_END()
