// SPDX-License-Identifier: MIT
// Which check would teach most. What is foretold of a check against what the joint solve leaves
// once such a check stands in the file, by its error map, which shares no step with the variance
// used to foretell; both exact algebra, to 1e-9 relative.
#include "holdable/machine/next_check.hpp"

#include "holdable/machine/equations.hpp"
#include "holdable/machine/state.hpp"
#include "machine/workshop.hpp"

#include <boost/test/unit_test.hpp>

#include <algorithm>

using namespace holdable;
using namespace holdable::tests;
namespace tt = boost::test_tools;

namespace {

const Date job_day = parse_date("2026-11-25");

const NextCheck& named(const std::vector<NextCheck>& checks, const std::string& start) {
    const auto at = std::find_if(
        checks.begin(), checks.end(), [&](const NextCheck& c) { return c.what.find(start) == 0; });
    BOOST_REQUIRE(at != checks.end());
    return *at;
}

LevelCheck roll_of_x() {
    auto check = level_check(Axis::y);
    check.date = job_day;
    check.stations.clear();
    for (int i = 0; i < 7; ++i)
        check.stations.push_back(0.1 * i);
    check.readings.assign(7, 0.0);
    check.closing = 0.0;
    return check;
}

} // namespace

BOOST_AUTO_TEST_SUITE(next_check)

BOOST_AUTO_TEST_CASE(what_is_foretold_is_what_comes) {
    auto shop = workshop();
    shop.level_checks = {roll_of_x()};
    const auto state = solve(shop, job_day);
    MachineModel model(shop, job_day);
    const auto e = equations(model, observe(model));
    // Any forms will do: some errors of the tool point.
    Eigen::MatrixXd forms(3, model.zero().size());
    forms << model.point_error({0.5, 0.35, -0.1}, {0, 0, -0.1}, job_day);
    double by_map = 0;
    for (Eigen::Index i = 0; i < 3; ++i) {
        const double u = state.of(forms.row(i)).standard_uncertainty;
        by_map += u * u;
    }
    BOOST_TEST(variance_left(e, forms) == by_map, tt::tolerance(1e-9));
    // Without readings it is the class's.
    const auto bare = workshop();
    MachineModel untouched(bare, job_day);
    BOOST_TEST(variance_left(equations(untouched, {}), forms.leftCols(untouched.zero().size())) >
               by_map);
}

BOOST_AUTO_TEST_CASE(a_check_that_was_made_teaches_less_than_before) {
    auto shop = workshop();
    const auto before = next_checks(shop, job_day);
    shop.level_checks = {roll_of_x()};
    const auto after = next_checks(shop, job_day);
    BOOST_TEST(named(after, "roll of X").left > named(before, "roll of X").left);
    for (std::size_t i = 1; i < before.size(); ++i)
        BOOST_TEST(before[i - 1].left <= before[i].left);
    for (const auto& c : before) {
        BOOST_TEST(c.left < 1);
        BOOST_TEST(c.left > 0);
        // the test shop has an indicator, a square and a level, and nothing else
        const bool borrowed = c.what.find("positioning") == 0 || c.what.find("straightness") == 0;
        BOOST_TEST(c.own_gear == !borrowed);
    }
}

BOOST_AUTO_TEST_CASE(gear_that_the_shop_lacks_is_said) {
    auto shop = workshop();
    shop.squares.clear();
    const auto checks = next_checks(shop, job_day);
    BOOST_TEST(!named(checks, "Z square to X").own_gear);
    BOOST_TEST(named(checks, "pitch of X").own_gear);
}

BOOST_AUTO_TEST_CASE(every_unknown_of_a_machine_has_a_check_that_shows_it) {
    // The names are those of the model itself; what each check measures stands in docs/checks/.
    const auto state = solve(workshop(), job_day);
    for (const auto& unknown : state.model.unknowns())
        if (unknown.name.find("in a year") == std::string::npos)
            BOOST_TEST(
                !check_that_shows(unknown.group.empty() ? unknown.name : unknown.group).empty(),
                unknown.name);
    BOOST_TEST(check_that_shows("EXX") == "a positioning check of X");
    BOOST_TEST(check_that_shows("EYZ") == "a straightness check of Z in Y");
    BOOST_TEST(check_that_shows("EAX") == "a level check along X");
    BOOST_TEST(check_that_shows("ECY") == "positioning checks of Y along two lines");
    BOOST_TEST(check_that_shows("A0Z") == "a check by square in ZY");
    BOOST_TEST(check_that_shows("seat along X").empty());
    BOOST_TEST(check_that_shows("Edge finder").empty());
}

BOOST_AUTO_TEST_SUITE_END()
