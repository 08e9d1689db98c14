// SPDX-License-Identifier: MIT
// A check that is only planned. Against the same check made, with readings of zero, judged by
// itself by the code for made checks (1e-9: the same algebra); against the formula budgets of
// budgets/methods/, which share no step with the solve (a machine of the finest class, whose own
// curves add little: 3 %); against guard bands worked by hand. Levers against checks changed here
// by hand (1e-9).
#include "holdable/answer/planned_check.hpp"

#include "machine/budget_file.hpp"
#include "machine/workshop.hpp"

#include <boost/test/unit_test.hpp>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <set>
#include <string>

using namespace holdable;
using namespace holdable::tests;
namespace tt = boost::test_tools;

namespace {

const Date day = parse_date("2026-11-20");
constexpr double micro = 1e-6;

/// The workshop with gear for every kind of check, and no checks.
Shop geared() {
    auto shop = workshop();
    shop.straightedges.push_back(
        {"granite", 0.5, 5 * micro, Evidence::specification, std::nullopt});
    LengthStandard gauge;
    gauge.name = "bar";
    gauge.kind = LengthKind::step_gauge;
    gauge.lengths = {0, 0.1, 0.2, 0.3, 0.4};
    gauge.deviations.assign(5, 0.0);
    gauge.limit = 1 * micro;
    gauge.expansion = 11.5e-6;
    gauge.expansion_doubt = 1e-6;
    shop.length_standards.push_back(gauge);
    return shop;
}

SquareCheck square() {
    auto check = square_check(Axis::x);
    SquareSetting setting;
    setting.edge_readings.assign(check.stations.size(), 0);
    check.settings = {setting};
    return check;
}

FlatSquareCheck flat_square() {
    FlatSquareCheck check;
    check.name = "XY";
    check.date = day;
    check.square = "black";
    check.indicator = "lever";
    check.z = -0.35;
    check.gauge_length = 0.1;
    FlatSquareSetting setting;
    setting.corner = {0.3, 0.1};
    for (const double d : {0.02, 0.07, 0.12, 0.17}) {
        setting.leg.stations.push_back(0.3 + d);
        setting.edge.stations.push_back(0.1 + d);
    }
    setting.leg.readings = setting.edge.readings = {0, 0, 0, 0};
    check.settings = {setting};
    return check;
}

StraightnessCheck straightness() {
    StraightnessCheck check;
    check.name = "straight";
    check.date = day;
    check.straightedge = "granite";
    check.indicator = "lever";
    check.place = {0, 0.2, -0.3};
    check.gauge_length = 0.1;
    check.marked_end = 0.05;
    check.stations = {0.1, 0.2, 0.3, 0.4, 0.5};
    StraightnessSetting setting;
    setting.readings.assign(5, 0);
    check.settings = {setting};
    return check;
}

LevelCheck level() {
    auto check = level_check(Axis::y);
    check.readings.assign(check.stations.size(), 0);
    return check;
}

TramCheck tram() {
    TramCheck check;
    check.name = "tram";
    check.date = day;
    check.indicator = "lever";
    check.place = {0.25, 0.2, -0.35};
    check.gauge_length = 0.1;
    check.sweep_diameter = 0.2;
    for (int i = 0; i < 4; ++i)
        check.angles.push_back(i * std::numbers::pi / 2);
    check.readings.assign(4, 0);
    check.both_ways = true;
    return check;
}

/// A link that goes round, one way and the other by turns.
CircleCheck circle(int runs) {
    CircleCheck check;
    check.name = "round";
    check.date = day;
    check.indicator = "lever";
    check.centre = {0.3, 0.2, -0.3};
    check.radius = 0.15;
    check.gauge_length = 0.1;
    check.feed = 0.02;
    check.scale_expansion = 11.5e-6;
    check.scale_expansion_doubt = 1e-6;
    check.planned = true;
    for (int i = 0; i < 24; ++i)
        check.stations.push_back((15 * i + 5) * std::numbers::pi / 180);
    for (int i = 0; i < runs; ++i)
        check.runs.push_back({i % 2 == 0, 0, std::vector<double>(24, 0.0)});
    return check;
}

TestBarCheck test_bar() {
    TestBarCheck check;
    check.name = "bar";
    check.date = day;
    check.indicator = "lever";
    check.x = 0.25;
    check.y = 0.2;
    check.height = 0.3;
    check.stations = {-0.25, -0.2, -0.15, -0.1, -0.05};
    TestBarSetting setting;
    setting.readings.assign(5, 0);
    check.settings = {setting};
    return check;
}

RunOutCheck run_out(std::size_t seats) {
    RunOutCheck check;
    check.name = "run-out";
    check.date = day;
    check.indicator = "lever";
    check.length = 0.2;
    check.seats.assign(seats, {0, {}, RunOutReading{}});
    check.planned = true;
    return check;
}

TableCheck table() {
    TableCheck check;
    check.name = "table";
    check.date = day;
    check.indicator = "lever";
    check.gauge_length = 0.3;
    check.x = {0.1, 0.3, 0.5};
    check.y = {0.1, 0.2, 0.3};
    check.readings.assign(9, 0);
    return check;
}

PositioningCheck positioning(int runs) {
    PositioningCheck check;
    check.name = "pos";
    check.date = day;
    check.standard = "bar";
    check.indicator = "lever";
    check.place = {0, 0.2, -0.35};
    check.gauge_length = 0.1;
    check.targets = {0.1, 0.2, 0.3, 0.4, 0.5};
    check.lengths = {0, 0.1, 0.2, 0.3, 0.4};
    check.scale_expansion = 10.5e-6;
    check.scale_expansion_doubt = 1e-6;
    check.scale_warmer = 3;
    check.standard_warmer = 2;
    for (int i = 0; i < runs; ++i)
        for (const bool plus : {true, false})
            check.runs.push_back({plus, std::vector<double>(5, 0.0)});
    check.planned = true;
    return check;
}

void put(Shop& shop, const SquareCheck& check) {
    shop.square_checks = {check};
}

void put(Shop& shop, const FlatSquareCheck& check) {
    shop.flat_square_checks = {check};
}

void put(Shop& shop, const CircleCheck& check) {
    shop.circle_checks = {check};
}

void put(Shop& shop, const StraightnessCheck& check) {
    shop.straightness_checks = {check};
}

void put(Shop& shop, const LevelCheck& check) {
    shop.level_checks = {check};
}

void put(Shop& shop, const TramCheck& check) {
    shop.tram_checks = {check};
}

void put(Shop& shop, const TestBarCheck& check) {
    shop.test_bar_checks = {check};
}

void put(Shop& shop, const RunOutCheck& check) {
    shop.run_out_checks = {check};
}

void put(Shop& shop, const TableCheck& check) {
    shop.table_checks = {check};
}

void put(Shop& shop, const PositioningCheck& check) {
    shop.positioning_checks = {check};
}

template <class Check>
PlannedCheck plan(const Check& check, double within = 100 * micro) {
    PlannedCheck planned;
    planned.title = "plan";
    planned.machine = geared();
    planned.day = day;
    planned.within = within;
    put(planned.check, check);
    return planned;
}

/// All kinds, each once.
std::vector<PlannedCheck> of_all_kinds() {
    return {plan(square()),
            plan(flat_square()),
            plan(straightness(), 5 * micro),
            plan(level()),
            plan(tram()),
            plan(test_bar()),
            plan(run_out(1), 10 * micro),
            plan(table(), 10 * micro),
            plan(positioning(1)),
            plan(circle(2))};
}

template <class Check>
void is_as_made(const Check& made, Check planned) {
    Shop shop = geared();
    put(shop, made);
    const auto by_itself = check_doubts(shop, day);
    const auto plans = plan(planned);
    const auto foretold = planned_doubts(plans.machine, plans.check, day);
    BOOST_REQUIRE(by_itself.size() == foretold.size());
    for (std::size_t i = 0; i < foretold.size(); ++i) {
        BOOST_TEST(foretold[i].meaning == by_itself[i].meaning);
        BOOST_TEST(foretold[i].standard == by_itself[i].standard, tt::tolerance(1e-9));
        BOOST_REQUIRE(foretold[i].sources.size() == by_itself[i].sources.size());
        for (std::size_t k = 0; k < foretold[i].sources.size(); ++k)
            BOOST_TEST(foretold[i].sources[k].share == by_itself[i].sources[k].share,
                       tt::tolerance(1e-6));
    }
}

const Lever& lever(const PlannedAnswer& answer, const std::string& start) {
    const auto at = std::find_if(answer.levers.begin(), answer.levers.end(), [&](const Lever& l) {
        return l.action.find(start) == 0;
    });
    BOOST_REQUIRE_MESSAGE(at != answer.levers.end(), "no lever " << start);
    return *at;
}

/// U of a check changed by hand.
template <class Check>
double expanded(const Check& check, const Shop& machine) {
    auto planned = plan(check);
    planned.machine = machine;
    return worth(planned).expanded;
}

} // namespace

BOOST_AUTO_TEST_SUITE(planned_check)

BOOST_AUTO_TEST_CASE(a_plan_is_worth_what_the_check_is_that_reads_zeros) {
    is_as_made(square(), square());
    auto swept = square();
    swept.settings[0].leg_stations = {0.32, 0.35, 0.38};
    swept.settings[0].leg_readings = {0, 0, 0};
    swept.settings[0].closing = 2 * micro;
    swept.settings.push_back(swept.settings[0]);
    swept.settings[1].leg_towards_plus = false;
    swept.settings[1].leg_stations = {0.28, 0.25, 0.22};
    is_as_made(swept, swept);
    is_as_made(flat_square(), flat_square());
    is_as_made(straightness(), straightness());
    is_as_made(level(), level());
    is_as_made(tram(), tram());
    is_as_made(test_bar(), test_bar());
    is_as_made(table(), table());
    // One seat and one run each way tell no scatter, made or not.
    auto seat = run_out(1);
    seat.planned = false;
    is_as_made(seat, run_out(1));
    auto runs = positioning(1);
    runs.planned = false;
    is_as_made(runs, positioning(1));
    auto round = circle(2);
    round.planned = false;
    is_as_made(round, circle(2));
}

BOOST_AUTO_TEST_CASE(what_readings_would_have_shown_is_expected_instead) {
    // Repeats: as the indicator repeats; made ones with that spread come to the same.
    auto made = level();
    made.repeats.assign(5, 4);
    made.spread.assign(5, 0.2 * 20 * micro);
    auto planned = level();
    planned.repeats.assign(5, 4);
    is_as_made(made, planned);
    // What the last digit hides is not averaged where the indicator repeats within it.
    auto machine = geared();
    machine.indicators[0].repeatability = 1e-9;
    auto often = straightness();
    const double once = expanded(often, machine);
    often.settings[0].repeats.assign(5, 100);
    BOOST_TEST(expanded(often, machine) == once, tt::tolerance(1e-4));
    // Seats scatter as is typical: four are better than one, and not without any doubt of it.
    const double one = worth(plan(run_out(1))).doubt.standard;
    const double four = worth(plan(run_out(4))).doubt.standard;
    BOOST_TEST(four < one);
    auto bare = run_out(4);
    bare.bar_total = 1e-12;
    // Half of the total reading: 0.6 µm a component (run_out_check.cpp), over √4, and what the last
    // digit of 1 µm hides at either end.
    BOOST_TEST(worth(plan(bare)).doubt.standard > 2 * 0.6 * micro / 2);
    // Runs scatter as the class does, 2.5 µm for an entry vmc, and average.
    const double lost_1 = planned_doubts(geared(), plan(positioning(1)).check, day)[1].standard;
    const double round_2 = worth(plan(circle(2))).doubt.standard;
    const double round_8 = worth(plan(circle(8))).doubt.standard;
    BOOST_TEST(round_8 < round_2);
    BOOST_TEST(round_8 > round_2 / 2); // no more than the noise is averaged
    const double lost_9 = planned_doubts(geared(), plan(positioning(9)).check, day)[1].standard;
    BOOST_TEST(lost_9 < 0.5 * lost_1);
    BOOST_TEST(lost_9 > 2.5 * micro * std::sqrt(2.0 / 45) * 0.9); // 2 × 5 targets, nine of each
    // A lever swept one way lags, also where the plan reads zeros.
    auto lagging = tram();
    lagging.planned = true;
    lagging.both_ways = false;
    BOOST_TEST(worth(plan(lagging)).doubt.standard > worth(plan(tram())).doubt.standard);
}

BOOST_AUTO_TEST_CASE(the_formula_budgets_come_to_the_same) {
    auto fine = geared();
    fine.machine_class = "jig borer";
    const auto compare = [&](const auto& check, const char* file, const char* name) {
        auto planned = plan(check);
        planned.machine = fine;
        BOOST_TEST(worth(planned).doubt.standard ==
                       output(method_budget(file), name).standard * micro,
                   tt::tolerance(0.03));
    };
    auto standing = square();
    standing.settings[0].leg_stations = {0.32, 0.35, 0.38};
    standing.settings[0].leg_readings = {0, 0, 0};
    standing.low_spot = 1e-3; // how the square stands is only known from its leg
    compare(standing, "square", "b0z");
    compare(flat_square(), "flat-square", "c0y");
}

BOOST_AUTO_TEST_CASE(zones_and_limits) {
    auto planned = plan(square());
    const double u = worth(planned).doubt.standard;
    planned.within = 5 * u; // T/u = 10: g is that of one limit
    auto w = worth(planned);
    BOOST_TEST(w.tolerance == 10 * u, tt::tolerance(1e-9));
    BOOST_TEST(w.k == 1.959964, tt::tolerance(1e-6));
    BOOST_TEST(w.expanded == 1.959964 * u, tt::tolerance(1e-6));
    BOOST_TEST(w.ratio == 10 / (2 * 1.959964), tt::tolerance(1e-6));
    BOOST_TEST(w.cost.guard.value() == 1.644854, tt::tolerance(1e-6));
    BOOST_TEST(w.cost.lost == 2 * 1.644854 / 10, tt::tolerance(1e-6));
    BOOST_TEST(w.shown_to == (5 - 1.644854) * u, tt::tolerance(1e-6));
    BOOST_TEST((gauging(planned).verdict == Verdict::marginal));
    planned.within = 6.7 * u;
    BOOST_TEST((gauging(planned).verdict == Verdict::yes));
    planned.within = 1.9 * u; // T/u = 3.8 < 3.92: not even zero is proof
    w = worth(planned);
    BOOST_TEST(!w.cost.guard.has_value());
    BOOST_TEST(w.shown_to < 0);
    BOOST_TEST((gauging(planned).verdict == Verdict::no));
    BOOST_TEST(gauging(planned).reason.find("no result shows it") != std::string::npos);
    // A run-out has one limit.
    auto round = plan(run_out(1));
    round.within = 5 * worth(round).doubt.standard;
    w = worth(round);
    BOOST_TEST(w.doubt.magnitude);
    BOOST_TEST(w.tolerance == round.within);
    BOOST_TEST(w.cost.lost == 1.644854 / 5, tt::tolerance(1e-6));
    BOOST_TEST(w.ratio == 5 / 1.959964, tt::tolerance(1e-6));
}

BOOST_AUTO_TEST_CASE(few_readings_widen_it) {
    // A repeatability from three readings: two degrees of freedom for what it makes of u².
    auto planned = plan(straightness());
    planned.machine.straightedges[0].form = 1e-9;
    planned.machine.indicators[0].repeatability = 10 * micro;
    planned.machine.indicators[0].repeatability_dof = 2;
    const auto w = worth(planned);
    double readings = 0;
    for (const auto& source : w.doubt.sources)
        if (source.name == "straight, reading noise")
            readings = source.share;
    BOOST_TEST(readings > 0.9);
    // All noise has that scale but the last digit, 1 µm/√12 against 10 µm.
    const double scaled = readings / (1 + 1 / 12.0 / 100);
    BOOST_TEST(w.doubt.dof.value() == 2 / (scaled * scaled), tt::tolerance(1e-6));
    BOOST_TEST(w.k > 2.5);
}

BOOST_AUTO_TEST_CASE(gear_of_which_nothing_is_stated) {
    auto planned = plan(straightness());
    planned.machine.straightedges[0].form_evidence = Evidence::typical;
    const double u = worth(planned).doubt.standard;
    planned.within = 7 * u; // would be YES
    const auto answer = gauging(planned);
    BOOST_TEST((answer.verdict == Verdict::cant_say));
    BOOST_TEST(answer.reason.find("form of the straightedge \"granite\"") != std::string::npos,
               answer.reason);
    BOOST_TEST((lever(answer, "have the straightedge calibrated").verdict == Verdict::yes));
    BOOST_TEST((lever(answer, "turn the straightedge over").verdict == Verdict::yes));
    planned.within = 0.01 * u; // NO with any straightedge
    BOOST_TEST((gauging(planned).verdict == Verdict::no));
    // A bar, too; of a square there is always a grade.
    auto bar = plan(run_out(5), 50 * micro);
    BOOST_TEST((gauging(bar).verdict == Verdict::cant_say));
    bar.check.run_out_checks[0].bar_total = 2 * micro;
    BOOST_TEST((gauging(bar).verdict == Verdict::yes));
}

BOOST_AUTO_TEST_CASE(whose_rule) {
    auto planned = plan(square());
    planned.within = 5 * worth(planned).doubt.standard;
    planned.critical = true;
    BOOST_TEST((gauging(planned).verdict == Verdict::cant_say));
    planned.rule = decide::CustomerRule{"clause 4", 0.0};
    BOOST_TEST((gauging(planned).verdict == Verdict::yes));
    BOOST_TEST(worth(planned).shown_to == planned.within);
    planned.rule->band = 0.5 * planned.within;
    BOOST_TEST((gauging(planned).verdict == Verdict::marginal));
    BOOST_TEST(worth(planned).cost.lost == 0.5, tt::tolerance(1e-9));
}

BOOST_AUTO_TEST_CASE(levers_of_a_square_are_the_checks_they_say) {
    const auto answer = gauging(plan(square()));
    auto turned = square();
    turned.settings.push_back(turned.settings[0]);
    turned.settings[1].leg_towards_plus = false;
    BOOST_TEST(lever(answer, "turn the square round").expanded == expanded(turned, geared()),
               tt::tolerance(1e-9));
    auto swept = square(); // base 100 mm from X 0.3: 15 % … 95 % of it
    swept.settings[0].leg_stations = {0.315, 0.335, 0.355, 0.375, 0.395};
    swept.settings[0].leg_readings.assign(5, 0);
    BOOST_TEST(lever(answer, "sweep the leg").expanded == expanded(swept, geared()),
               tt::tolerance(1e-9));
    auto often = square();
    often.settings[0].edge_repeats.assign(5, 4);
    auto machine = geared();
    machine.squares[0].standard = 0.2 * 40 * micro / 2; // U a fifth of the limit, k = 2
    machine.squares[0].limit = 0;
    machine.squares[0].certificate = Certificate{"new", {}, day};
    machine.squares[0].evidence = Evidence::certificate;
    BOOST_TEST(lever(answer, "have the square calibrated").expanded == expanded(square(), machine),
               tt::tolerance(1e-9));
    // Sorted, and all of them together at least as good as any.
    for (std::size_t i = 1; i + 1 < answer.levers.size(); ++i)
        BOOST_TEST(answer.levers[i - 1].lost <= answer.levers[i].lost);
    BOOST_TEST(answer.levers.back().action == "all of these");
    for (const auto& l : answer.levers)
        BOOST_TEST(answer.levers.back().expanded <= l.expanded);
    // What is done already is no lever.
    turned.settings[0].leg_stations = {0.32, 0.35, 0.38};
    turned.settings[1].leg_stations = {0.28, 0.25, 0.22};
    for (auto& s : turned.settings)
        s.leg_readings.assign(3, 0);
    for (const auto& l : gauging(plan(turned)).levers)
        BOOST_TEST((l.action.find("turn ") != 0 && l.action.find("sweep ") != 0), l.action);
}

BOOST_AUTO_TEST_CASE(levers_that_go_where_the_travel_ends_are_not_said) {
    auto at_end = square();
    at_end.place.x() = 0.6; // the leg to + would be beyond X, the edge at its very end
    for (const auto& [action, change] : changes(plan(at_end)))
        BOOST_TEST(action.find("sweep ") != 0, action);
    auto wide = tram();
    wide.sweep_diameter = 0.38; // Y has 400 mm
    for (const auto& [action, change] : changes(plan(wide)))
        BOOST_TEST(action.find("sweep a circle") != 0, action);
}

BOOST_AUTO_TEST_CASE(a_lever_that_proves_nothing_says_so) {
    auto planned = plan(square());
    planned.within = 0.5 * worth(planned).doubt.standard;
    const auto answer = gauging(planned);
    BOOST_TEST(!lever(answer, "turn the square round").proves);
    BOOST_TEST(lever(answer, "turn the square round").lost == 1.0);
    BOOST_TEST((lever(answer, "turn the square round").verdict == Verdict::no));
}

BOOST_AUTO_TEST_CASE(of_every_kind_levers_change_it_and_all_together_help) {
    for (const auto& planned : of_all_kinds()) {
        const auto before = worth(planned);
        std::set<std::string> actions;
        for (const auto& [action, change] : changes(planned)) {
            BOOST_TEST(actions.insert(action).second, action);
            auto changed = planned;
            change(changed);
            // Nothing that is proposed may make the doubt larger by more than what another place
            // of the machine's curves does.
            BOOST_TEST(worth(changed).doubt.standard < 1.1 * before.doubt.standard, action);
        }
        const auto answer = gauging(planned);
        BOOST_TEST(answer.levers.size() >= 3U, answer.name);
        BOOST_TEST(answer.levers.back().action == "all of these", answer.name);
        // Of a bar and a map by indicator most is what other checks must tell: the squareness of Z,
        // the straightness of X.
        BOOST_TEST(answer.levers.back().expanded < 0.96 * before.expanded, answer.name);
    }
}

BOOST_AUTO_TEST_CASE(two_levels_lose_the_rocking) {
    const auto answer = gauging(plan(level()));
    auto both = level();
    both.rides = LevelRides::both;
    both.head_level = "other";
    both.head_readings = both.readings;
    auto machine = geared();
    machine.levels.push_back(machine.levels[0]);
    machine.levels.back().name = "other";
    BOOST_TEST(lever(answer, "a second level").expanded == expanded(both, machine),
               tt::tolerance(1e-9));
}

BOOST_AUTO_TEST_CASE(warmth_is_what_drifts_and_bends) {
    // Alone in doubt but for the readings: half the drift, nearly half the doubt.
    auto planned = plan(straightness());
    planned.machine.straightedges[0].form = 1e-9;
    planned.machine.indicators[0].resolution = planned.machine.indicators[0].repeatability = 1e-9;
    planned.machine.machine_class = "jig borer";
    const double before = worth(planned).doubt.standard;
    planned.warmth = 0.5;
    BOOST_TEST(worth(planned).doubt.standard == before / 2, tt::tolerance(0.05));
}

BOOST_AUTO_TEST_SUITE_END()
