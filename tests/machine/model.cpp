// SPDX-License-Identifier: MIT
// What is known of a machine beforehand, and of its past: rows of parameters on a day, laws of
// their unknowns, and which event changes what. Against the figures of the class (σ = upper/2 of a
// squareness, upper/3.4 of an angle, upper/2.6 of a straightness) and rows worked by hand. Exact
// arithmetic: 1e-9 relative, but 1e-3 for curves, of which 1e-6 of the variance is left out.
#include "holdable/machine/model.hpp"

#include "holdable/stats/distribution.hpp"
#include "machine/workshop.hpp"

#include <boost/test/unit_test.hpp>

#include <algorithm>
#include <cmath>
#include <set>

using namespace holdable;
using namespace holdable::tests;
namespace tt = boost::test_tools;

namespace {

const Date job_day = parse_date("2026-11-25");
const Date before = parse_date("2024-11-25"); // two years

int index_of(const MachineModel& model, const std::string& name) {
    const auto& u = model.unknowns();
    const auto at =
        std::find_if(u.begin(), u.end(), [&](const Input& i) { return i.name == name; });
    BOOST_REQUIRE_MESSAGE(at != u.end(), "no unknown " << name);
    return static_cast<int>(at - u.begin());
}

double sigma(const MachineModel& model, const std::string& name) {
    return stats::standard_uncertainty(
        model.unknowns()[static_cast<std::size_t>(index_of(model, name))].law);
}

/// Standard deviation of a form before anything was read.
double spread(const MachineModel& model, const Eigen::RowVectorXd& row) {
    double sum = 0;
    for (Eigen::Index j = 0; j < row.size(); ++j)
        sum += std::pow(
            row[j] * stats::standard_uncertainty(model.unknowns()[static_cast<std::size_t>(j)].law),
            2);
    return std::sqrt(sum);
}

/// The parameters that an event changed.
std::set<std::string> changed(EventKind kind, std::optional<Axis> axis = {}) {
    auto shop = workshop();
    shop.events = {{kind, parse_date("2026-01-01"), axis, ""}};
    const MachineModel model(shop, job_day);
    std::set<std::string> names;
    for (int i = 0; i < geometric_parameters; ++i) {
        // at a quarter of the travel, and less the scale and the rates, which no event changes
        const auto& travel = shop.travel[static_cast<std::size_t>(i < 18 ? i / 6 : 0)];
        const double q = travel.low + (travel.high - travel.low) / 4;
        const auto then = model.parameter(i, q, parse_date("2025-12-31"));
        const auto since = model.parameter(i, q, parse_date("2026-01-01"));
        for (Eigen::Index j = 0; j < then.size(); ++j)
            if (model.unknowns()[static_cast<std::size_t>(j)].name.find(" jump 1") !=
                std::string::npos) {
                BOOST_TEST(since[j] == 0);
                if (then[j] != 0)
                    names.insert(parameter_name(i));
            }
    }
    return names;
}

std::set<std::string> motions(const std::string& letters, const std::string& axes) {
    std::set<std::string> names;
    for (const char letter : letters)
        for (const char axis : axes)
            names.insert({'E', letter, axis});
    return names;
}

std::set<std::string> both(std::set<std::string> a, const std::set<std::string>& b) {
    a.insert(b.begin(), b.end());
    return a;
}

using Names = std::set<std::string>;

} // namespace

BOOST_AUTO_TEST_SUITE(model)

BOOST_AUTO_TEST_CASE(the_class_is_the_95_percent_point) {
    const MachineModel model(workshop(), job_day); // entry vmc: 60 µrad, 60 µrad, 15 µm in 300 mm
    BOOST_TEST(sigma(model, "B0Z") == 30e-6, tt::tolerance(1e-9));
    BOOST_TEST(sigma(model, "EXX scale") == 25e-6, tt::tolerance(1e-9)); // 50 µm/m halved
    const auto angle = [&](double q) {
        return model.parameter(motion_index(4, Axis::x), q, job_day);
    };
    // over the whole travel of three correlation lengths: 2 σ² (1 - ρ), ρ = (1 + 3√3) exp(-3√3)
    const double rho = (1 + std::sqrt(27.0)) * std::exp(-std::sqrt(27.0));
    BOOST_TEST(spread(model, angle(0.6) - angle(0)) == 60e-6 / 3.4 * std::sqrt(2 * (1 - rho)),
               tt::tolerance(1e-3));
    BOOST_TEST(angle(0.3).norm() < 1e-12); // the reference
}

BOOST_AUTO_TEST_CASE(positioning_grows_with_the_travel_and_straightness_does_not) {
    // Both without slope: their spreads are as their figures: 15 µm × 600/300 to 12 µm along X,
    // and no less than 15 µm on a short axis. The scale is apart.
    auto shop = workshop();
    shop.travel[1] = {0, 0.2, 0.1};
    const MachineModel model(shop, job_day);
    const auto of = [&](int direction, Axis axis) {
        auto row = model.parameter(motion_index(direction, axis), 0.15, job_day);
        if (direction == static_cast<int>(axis))
            row[index_of(model,
                         std::string("E") + "XYZ"[direction] + "XYZ"[direction] + " scale")] = 0;
        return spread(model, row);
    };
    BOOST_TEST(of(0, Axis::x) / of(1, Axis::x) == 30.0 / 12, tt::tolerance(1e-6));
    BOOST_TEST(of(1, Axis::y) / of(0, Axis::y) == 15.0 / 12, tt::tolerance(1e-6));
}

BOOST_AUTO_TEST_CASE(a_wider_prior_widens_all_that_was_not_measured) {
    const MachineModel one(workshop(), job_day);
    const MachineModel three(workshop(), job_day, {}, 3);
    BOOST_TEST(sigma(three, "A0Z") == 3 * sigma(one, "A0Z"), tt::tolerance(1e-9));
    BOOST_TEST(sigma(three, "EYY scale") == 3 * sigma(one, "EYY scale"), tt::tolerance(1e-9));
    for (const int direction : {1, 5}) {
        const int index = motion_index(direction, Axis::z);
        BOOST_TEST(spread(three, three.parameter(index, -0.1, job_day)) ==
                       3 * spread(one, one.parameter(index, -0.1, job_day)),
                   tt::tolerance(1e-9));
    }
}

BOOST_AUTO_TEST_CASE(a_parameter_was_another_by_its_rate_times_its_age) {
    const MachineModel model(workshop(), job_day);
    auto then = model.parameter(b0z_index, 0, before);
    BOOST_TEST(then[index_of(model, "B0Z")] == 1);
    BOOST_TEST(then[index_of(model, "B0Z change in a year")] == -2, tt::tolerance(2e-3));
    then = model.parameter(motion_index(0, Axis::x), 0.5, before);
    BOOST_TEST(then[index_of(model, "EXX scale")] == 0.2, tt::tolerance(1e-9)); // 500 - 300 mm
    BOOST_TEST(then[index_of(model, "EXX scale change in a year")] == -0.4, tt::tolerance(2e-3));
    BOOST_TEST(sigma(model, "EXX scale change in a year") == 3e-6);
    BOOST_TEST(model.parameter(b0z_index, 0, job_day)[index_of(model, "B0Z change in a year")] ==
               0);
}

BOOST_AUTO_TEST_CASE(rates_are_those_of_the_class) {
    // Per year: common practice, no source.
    struct Case {
        const char* name;
        double rate;
    };

    for (const auto& c : {Case{"benchtop", 45e-6},
                          Case{"knee mill", 30e-6},
                          Case{"entry vmc", 10e-6},
                          Case{"good vmc", 10e-6},
                          Case{"jig borer", 5e-6},
                          Case{"", 45e-6}}) { // none declared: the coarsest
        auto shop = workshop();
        shop.machine_class = c.name;
        BOOST_TEST(sigma(MachineModel(shop, job_day), "C0Y change in a year") == c.rate);
    }
}

BOOST_AUTO_TEST_CASE(an_event_changes_what_it_touches) {
    const Names squarenesses = {"C0Y", "B0Z", "A0Z"};
    BOOST_CHECK(changed(EventKind::spindle_work).empty());
    BOOST_CHECK(changed(EventKind::crash) == squarenesses);
    for (const auto kind : {EventKind::move, EventKind::relevel}) // the bed twists, X and Y stay
        BOOST_CHECK(changed(kind) == both(motions("ABC", "XYZ"), {"B0Z", "A0Z"}));
    BOOST_CHECK(changed(EventKind::adjustment) == both(motions("XYZABC", "XYZ"), squarenesses));
    BOOST_CHECK(changed(EventKind::adjustment, Axis::x) ==
                both(motions("XYZABC", "X"), {"C0Y", "B0Z"}));
    BOOST_CHECK(changed(EventKind::adjustment, Axis::y) ==
                both(motions("XYZABC", "Y"), {"C0Y", "A0Z"}));
    BOOST_CHECK(changed(EventKind::adjustment, Axis::z) ==
                both(motions("XYZABC", "Z"), {"B0Z", "A0Z"}));
}

BOOST_AUTO_TEST_CASE(a_jump_is_as_wide_as_the_class_and_undone_in_the_past) {
    auto shop = workshop();
    shop.events = {{EventKind::adjustment, parse_date("2026-01-01"), Axis::z, ""}};
    const MachineModel model(shop, job_day);
    const auto then = model.parameter(b0z_index, 0, before);
    BOOST_TEST(then[index_of(model, "B0Z jump 1")] == -1);
    BOOST_TEST(sigma(model, "B0Z jump 1") == 30e-6, tt::tolerance(1e-9));
    const auto yaw = model.parameter(motion_index(5, Axis::z), -0.1, before);
    const int now = index_of(model, "ECZ shape 1");
    const int jump = index_of(model, "ECZ jump 1 shape 1");
    BOOST_TEST(std::abs(yaw[now]) > 1e-7);
    BOOST_TEST(yaw[jump] == -yaw[now]);
    BOOST_TEST(sigma(model, "ECZ jump 1 shape 1") == 1);
}

BOOST_AUTO_TEST_CASE(what_will_happen_after_the_job_is_no_unknown_of_it) {
    auto shop = workshop();
    const auto count = MachineModel(shop, job_day).unknowns().size();
    const Date later = parse_date("2026-11-26");
    shop.events = {{EventKind::adjustment, later, {}, ""}};
    shop.corrections = {{c0y_index, 10e-6, later}};
    BOOST_TEST(MachineModel(shop, job_day).unknowns().size() == count);
    BOOST_TEST(MachineModel(shop, later).unknowns().size() > count);
}

BOOST_AUTO_TEST_CASE(a_correction_is_in_the_parameter_from_its_day_on) {
    auto shop = workshop();
    shop.corrections = {{a0z_index, 12e-6, parse_date("2026-06-01")}};
    const MachineModel model(shop, job_day);
    const int at = index_of(model, "A0Z correction 1");
    BOOST_TEST(model.parameter(a0z_index, 0, parse_date("2026-05-31"))[at] == 0);
    BOOST_TEST(model.parameter(a0z_index, 0, parse_date("2026-06-01"))[at] == 1);
    BOOST_TEST(model.parameter(b0z_index, 0, job_day)[at] == 0);
    BOOST_TEST(stats::mean(model.unknowns()[static_cast<std::size_t>(at)].law) == 12e-6);
    BOOST_TEST(sigma(model, "A0Z correction 1") == 0);
}

BOOST_AUTO_TEST_SUITE_END()
