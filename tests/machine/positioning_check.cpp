// SPDX-License-Identifier: MIT
// Positioning. Rows against coefficients worked by hand, for both directions of approach and of the
// standard; a worked example of expansion, recomputed; lost motion and scale by least squares from
// exact readings; recovery of machines with known errors; the formula budget against the
// information form. Tolerances: exact algebra 1e-9; others said beside.
#include "holdable/machine/positioning_check.hpp"

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
const auto closely = tt::tolerance(1e-9);

LengthStandard step_gauge() {
    LengthStandard bar;
    bar.name = "bar";
    bar.kind = LengthKind::step_gauge;
    bar.lengths = {0, 0.1, 0.2, 0.3, 0.4};
    bar.deviations = {0, 1 * micro, -0.5 * micro, 2 * micro, 0};
    bar.standard = 0.3 * micro;
    bar.scale_standard = 0.5 * micro;
    bar.evidence = Evidence::certificate;
    bar.expansion = 11.5e-6;
    bar.expansion_doubt = 1e-6;
    return bar;
}

LengthStandard laser() {
    LengthStandard one;
    one.name = "beam";
    one.kind = LengthKind::displacement;
    one.scale_limit = 2 * micro;
    one.resolution = 0.1 * micro;
    return one;
}

/// Of X, from 100 to 500 mm, readings zero, one run each way.
PositioningCheck check_of_x() {
    PositioningCheck check;
    check.name = "pos";
    check.date = day;
    check.axis = Axis::x;
    check.standard = "bar";
    check.indicator = "lever";
    check.place = {0, 0.2, -0.35};
    check.gauge_length = 0.1;
    check.targets = {0.1, 0.2, 0.3, 0.4, 0.5};
    check.lengths = {0, 0.1, 0.2, 0.3, 0.4};
    check.lead = 0.00508;
    check.scale_expansion = 10.5e-6;
    check.scale_expansion_doubt = 1e-6;
    check.scale_warmer = 3;
    check.standard_warmer = 2;
    check.runs = {{true, std::vector<double>(5, 0.0)}, {false, std::vector<double>(5, 0.0)}};
    return check;
}

Shop shop_with(const PositioningCheck& check) {
    auto shop = workshop();
    shop.length_standards = {step_gauge(), laser()};
    shop.positioning_checks = {check};
    return shop;
}

} // namespace

BOOST_AUTO_TEST_SUITE(positioning)

BOOST_AUTO_TEST_CASE(a_reading_is_its_equation) {
    auto check = check_of_x();
    for (auto& run : check.runs)
        run.readings = {1 * micro, 2 * micro, 3 * micro, 4 * micro, 5 * micro};
    const NamedRows rows(shop_with(check), day);
    BOOST_REQUIRE(rows.all.size() == 10U);
    for (const bool plus : {true, false}) {
        const auto what = std::string("pos, target 4 towards ") + (plus ? "+" : "-");
        const auto c = [&](const std::string& name) { return rows.coefficient(what, name); };
        // 300 mm from the first target: x = 2 µm of the certificate less the reading of 4 µm; the
        // scale has grown by 31.5 and the bar by 23 µm/m; half of 1/2 (1 mrad)² of 300 mm by skew
        BOOST_TEST(rows.reading(what).value == (2 - 4 - 0.3 * (31.5 - 23) + 0.075) * micro,
                   closely);
        BOOST_TEST(c("EXX scale") == 0.4 - 0.3, closely);
        BOOST_TEST(c("EYY scale") == 0);
        BOOST_TEST(c("lost motion X") == (plus ? -0.5 : 0.5));
        BOOST_TEST(c("scale of X, expansion") == 3 * 0.3, closely);
        BOOST_TEST(c("pos, temperature of the scale") == 10.5e-6 * 0.3, closely);
        BOOST_TEST(c("length standard \"bar\", expansion") == -2 * 0.3, closely);
        BOOST_TEST(c("pos, temperature of the standard") == -11.5e-6 * 0.3, closely);
        BOOST_TEST(c("pos, thermometer") == -1e-6 * 0.3, closely);
        BOOST_TEST(c("pos, skew") == -0.3, closely);
        BOOST_TEST(c("length standard \"bar\", all lengths") == -0.3, closely);
        BOOST_TEST(c("length standard \"bar\", 300 mm") == -1);
        BOOST_TEST(c("length standard \"bar\", 200 mm") == 0);
        BOOST_TEST(c("indicator \"lever\", gain") == 4 * micro, closely);
        BOOST_TEST(c("pos, offset") == 1);
        // read fourth of ten going out, and seventh: times 3/9 and 6/9
        BOOST_TEST(c("pos, drift") == (plus ? 3.0 : 6.0) / 9, closely);
        const double turns = 2 * std::numbers::pi * 0.4 / 0.00508;
        BOOST_TEST(c("short wave of X, cosine") == std::cos(turns), closely);
        BOOST_TEST(c("short wave of X, sine") == std::sin(turns), closely);
        // Abbe: the tip is 150 + 100 mm below the reference of X's pitch, by its full row
        const Eigen::RowVectorXd at =
            rows.model.point_error({0.4, 0.2, -0.35}, {0, 0, -0.1}, day).row(0);
        for (const auto* name : {"EBX shape 1", "ECX shape 1", "EXX shape 1"})
            BOOST_TEST(c(name) == at[rows.index(name)], closely);
        BOOST_TEST(std::abs(at[rows.index("EBX shape 1")]) > 0);
    }
    BOOST_TEST(!rows.has("length standard \"bar\", 0 mm")); // the zero face is where it begins
    BOOST_TEST(!rows.has("pos, setting at target 2"));
}

BOOST_AUTO_TEST_CASE(lengths_that_grow_towards_minus) {
    // The zero face at +X: at 200 mm the face of 300 mm stands. A face certified 2 µm too far then
    // lies 2 µm towards -.
    auto check = check_of_x();
    check.lengths = {0.4, 0.3, 0.2, 0.1, 0};
    check.standard_warmer = check.scale_warmer = 0;
    check.skew = 0;
    const NamedRows rows(shop_with(check), day);
    const auto& reading = rows.reading("pos, target 2 towards +");
    BOOST_TEST(reading.value == -2 * micro, closely);
    BOOST_TEST(rows.coefficient(reading.what, "length standard \"bar\", 300 mm") == 1);
    BOOST_TEST(rows.coefficient(reading.what, "length standard \"bar\", all lengths") == -0.1,
               closely);
}

BOOST_AUTO_TEST_CASE(blocks_and_what_reads_by_itself) {
    auto check = check_of_x();
    auto shop = shop_with(check);
    shop.length_standards[0].kind = LengthKind::blocks;
    shop.length_standards[0].setting = 0.5 * micro;
    const NamedRows blocks(shop, day);
    BOOST_TEST(blocks.coefficient("pos, target 3 towards +", "pos, setting at target 3") == -1);
    BOOST_TEST(half_width(blocks.unknown("pos, setting at target 3")) == 0.5 * micro, closely);
    BOOST_TEST(!blocks.has("pos, setting at target 1")); // the stop
    check.standard = "beam";
    check.indicator.clear();
    check.lengths.clear();
    check.lead.reset();
    check.runs[0].readings[3] = 7 * micro;
    const NamedRows beam(shop_with(check), day);
    // a deviation as it is read, less what the scale has grown
    BOOST_TEST(beam.reading("pos, target 4 towards +").value == (7 - 0.3 * 31.5 + 0.075) * micro,
               closely);
    BOOST_TEST(!beam.has("indicator \"lever\", gain"));
    BOOST_TEST(!beam.has("short wave of X, sine"));
    BOOST_TEST(half_width(beam.unknown("length standard \"beam\", all lengths")) == 2 * micro,
               closely);
}

BOOST_AUTO_TEST_CASE(worked_example_of_expansion_recomputed) {
    // 200 mm of aluminium at 26 °C by a steel scale at 24 °C: 19.120 µm, u = 2.754 µm.
    auto check = check_of_x();
    check.scale_expansion = 11.5e-6;
    check.scale_warmer = 4;
    check.standard_warmer = 6;
    check.skew = 0;
    check.thermometer = 0;
    check.scale_doubt = check.standard_doubt = 0.5 * std::sqrt(3.0);
    auto shop = shop_with(check);
    shop.length_standards[0].expansion = 23.6e-6;
    shop.length_standards[0].deviations.assign(5, 0.0);
    const NamedRows rows(shop, day);
    const auto* what = "pos, target 3 towards +";
    BOOST_TEST(rows.reading(what).value == 19.120 * micro, tt::tolerance(1e-6));
    double sum = 0;
    for (const auto* name : {"scale of X, expansion",
                             "length standard \"bar\", expansion",
                             "pos, temperature of the scale",
                             "pos, temperature of the standard",
                             "pos, thermometer"})
        sum += std::pow(rows.coefficient(what, name), 2) * variance(rows.unknown(name));
    BOOST_TEST(std::sqrt(sum) == 2.754 * micro, tt::tolerance(2e-4));
}

BOOST_AUTO_TEST_CASE(both_directions_part_lost_motion_from_scale) {
    // EXX of 20 µm/m and 6 µm lost, read with an offset: surface minus tool is -x.
    auto check = check_of_x();
    check.scale_warmer = check.standard_warmer = 0;
    check.skew = 0;
    auto shop = shop_with(check);
    shop.length_standards[0].deviations.assign(5, 0.0);
    for (auto& run : shop.positioning_checks[0].runs)
        for (std::size_t i = 0; i < 5; ++i)
            run.readings[i] =
                -(20 * (check.targets[i] - 0.3) + (run.towards_plus ? -3 : 3) + 11) * micro;
    const NamedRows rows(shop, day);
    const auto found = rows.least_squares({"EXX scale", "lost motion X", "pos, offset"});
    BOOST_TEST(found[0] == 20 * micro, closely);
    BOOST_TEST(found[1] == 6 * micro, closely);
    BOOST_TEST(found[2] == 11 * micro, closely);
    // the reversal of ISO 230-2 is towards + less towards -
    const auto iso = iso_230_2(deviations(shop, shop.positioning_checks[0]));
    BOOST_TEST(iso.both.value().mean_reversal == -6 * micro, closely);
    BOOST_TEST(iso.both->mean_range == 8 * micro, closely);
}

BOOST_AUTO_TEST_CASE(doubt_of_a_mean_of_runs) {
    // s of one direction at one target from 0, 2, 4 µm: 2 µm; pooled with four targets that repeat
    // exactly: √(8/10) µm of ten degrees of freedom; a mean of three. The digit of 1 µm is in it.
    auto check = check_of_x();
    check.runs.clear();
    for (const double r : {0.0, 2.0, 4.0})
        check.runs.push_back({true, {0, 0, r * micro, 0, 0}});
    NamedRows rows(shop_with(check), day);
    const auto& mean = rows.reading("pos, target 3 towards +");
    BOOST_REQUIRE(mean.noise.size() == 1U);
    BOOST_TEST(sigma(mean.noise[0]) == std::sqrt(0.8 / 3) * micro, closely);
    BOOST_TEST(mean.noise[0].scale == "pos, repeatability");
    BOOST_TEST(mean.noise[0].scale_dof == 10);
    BOOST_TEST(rows.coefficient(mean.what, "indicator \"lever\", gain") == 2 * micro, closely);
    // one run: the upper figure of the class, 2.5 µm, and the digit
    check.runs.resize(1);
    rows = NamedRows(shop_with(check), day);
    const auto& single = rows.reading("pos, target 3 towards +").noise;
    BOOST_REQUIRE(single.size() == 2U);
    BOOST_TEST(sigma(single[0]) == 2.5 * micro, closely);
    BOOST_CHECK(single[0].evidence == Evidence::assumed);
    BOOST_TEST(half_width(single[1]) == 0.5 * micro, closely);
    // runs that are all the same hide behind the digit
    check.runs.assign(3, check.runs[0]);
    rows = NamedRows(shop_with(check), day);
    const auto& same = rows.reading("pos, target 3 towards +").noise;
    BOOST_REQUIRE(same.size() == 2U);
    BOOST_TEST(sigma(same[0]) == 0);
}

BOOST_AUTO_TEST_CASE(a_closed_check) {
    auto check = check_of_x();
    check.closing = 3 * micro; // surface minus tool: the deviation went down by 3 µm
    const NamedRows rows(shop_with(check), day);
    BOOST_REQUIRE(rows.all.size() == 11U);
    BOOST_TEST(rows.all.back().closure.value() == -3 * micro, closely);
    BOOST_TEST(rows.all.back().offsets == 2);
    BOOST_TEST(rows.coefficient("pos, closing reading", "pos, drift") == 1);
    BOOST_TEST(rows.coefficient("pos, closing reading", "lost motion X") == -0.5);
    BOOST_TEST(rows.coefficient("pos, target 5 towards +", "pos, drift") == 0.4, closely);
}

BOOST_AUTO_TEST_CASE(whole_leads) {
    BOOST_TEST(whole_leads_apart({0.1, 0.15, 0.4}, 0.005));
    BOOST_TEST(whole_leads_apart({0.1, 0.15009, 0.4}, 0.005)); // within 2 %
    BOOST_TEST(!whole_leads_apart({0.1, 0.1525, 0.4}, 0.005));
    BOOST_TEST(!whole_leads_apart({0.1, 0.15, 0.4}, 0.00508));
    // Where they are, the short wave is the same in every row: no reading says anything of it.
    auto check = check_of_x();
    check.lead = 0.005;
    const NamedRows blind(shop_with(check), day);
    BOOST_TEST(blind.coefficient("pos, target 1 towards +", "short wave of X, cosine") ==
                   blind.coefficient("pos, target 5 towards -", "short wave of X, cosine"),
               closely);
}

BOOST_AUTO_TEST_CASE(lost_motion_before_any_reading) {
    const auto shop = workshop(); // entry vmc: 2 to 8 µm
    const MachineModel model(shop, day);
    const auto state = solve(shop, day);
    for (const auto axis : {Axis::x, Axis::y, Axis::z}) {
        const auto lost = state.of(state.model.lost_motion(axis, day));
        BOOST_TEST(lost.value == 5 * micro, closely);
        BOOST_TEST(lost.standard_uncertainty == 3 * micro / std::sqrt(3.0), closely);
    }
    // a bound alone, 1 µm of a jig borer: from 0 to it
    auto fine = shop;
    fine.machine_class = "jig borer";
    const auto small = solve(fine, day);
    BOOST_TEST(small.of(small.model.lost_motion(Axis::x, day)).value == 0.5 * micro, closely);
    // an adjustment of Y, or of all, voids what was read of Y
    for (const auto axis :
         {std::optional<Axis>(), std::optional(Axis::x), std::optional(Axis::y)}) {
        auto adjusted = shop;
        adjusted.events = {{EventKind::adjustment, parse_date("2026-11-25"), axis, ""}};
        const auto later = parse_date("2026-12-01");
        const MachineModel then(adjusted, later);
        const auto row = then.lost_motion(Axis::y, day);
        double jumps = 0;
        for (Eigen::Index j = 0; j < row.size(); ++j)
            jumps += then.unknowns()[static_cast<std::size_t>(j)].name == "lost motion Y jump 1"
                         ? row[j]
                         : 0;
        BOOST_TEST(jumps == (axis == Axis::x ? 0 : -1));
    }
}

BOOST_AUTO_TEST_CASE(what_a_state_says) {
    auto check = check_of_x();
    check.runs.clear();
    for (int k = 0; k < 5; ++k)
        for (const bool plus : {true, false}) {
            PositioningRun run{plus, {}};
            for (std::size_t i = 0; i < 5; ++i)
                run.readings.push_back((plus ? 2 : -2) * micro +
                                       ((k + static_cast<int>(i)) % 3 - 1) * micro);
            check.runs.push_back(run);
        }
    const auto shop = shop_with(check);
    const auto state = solve(shop, day);
    // surface minus tool is 4 µm more towards +: 4 µm short of it
    const auto lost = state.of(state.model.lost_motion(Axis::x, day));
    BOOST_TEST(std::abs(lost.value - 4 * micro) < 0.5 * lost.standard_uncertainty + 0.1 * micro);
    BOOST_TEST(lost.standard_uncertainty < 0.6 * micro);
    const auto other = state.of(state.model.lost_motion(Axis::y, day));
    BOOST_TEST(other.value == 5 * micro, closely);
    const auto s = repeatability(shop, Axis::x, day);
    BOOST_TEST(s.degrees_of_freedom == 40);
    BOOST_TEST(s.standard > 0.7 * micro);
    BOOST_TEST(s.standard < 1.0 * micro);
    BOOST_TEST(repeatability(shop, Axis::y, day).degrees_of_freedom == 0);
    BOOST_TEST(repeatability(shop, Axis::y, day).standard == 2.5 * micro, closely);
    // as old as the last adjustment of that axis
    auto adjusted = shop;
    adjusted.events = {{EventKind::adjustment, parse_date("2026-11-25"), Axis::x, ""}};
    const auto later = parse_date("2026-12-01");
    BOOST_TEST(repeatability(adjusted, Axis::x, later).degrees_of_freedom == 0);
    adjusted.events[0].axis = Axis::y;
    BOOST_TEST(repeatability(adjusted, Axis::x, later).degrees_of_freedom == 40);
    const auto doubts = measured_by(state.model, check);
    BOOST_REQUIRE(doubts.size() == 2U);
    BOOST_TEST(doubts[0].meaning == "scale of X at 20 °C");
    BOOST_TEST(doubts[1].meaning == "lost motion of X");
    check.runs.erase(std::remove_if(check.runs.begin(),
                                    check.runs.end(),
                                    [](const auto& run) { return !run.towards_plus; }),
                     check.runs.end());
    BOOST_TEST(measured_by(state.model, check).size() == 1U);
    // one direction says nothing of lost motion
    const auto single = solve(shop_with(check), day);
    BOOST_TEST(single.of(single.model.lost_motion(Axis::x, day)).standard_uncertainty ==
                   3 * micro / std::sqrt(3.0),
               tt::tolerance(1e-3));
}

BOOST_AUTO_TEST_CASE(errors_are_found_again_as_often_as_is_said) {
    // 200 machines, X by a step gauge and Z by what reads by itself; scale and lost motion are even
    // over ranges that are not the prior's. 10 are expected outside 1.96 u; Binomial(200, 0.05)
    // exceeds 36 with less than 1e-9. The sum of z² of lost motion is about 200; over 330 it would
    // be by more than six of its standard deviations. That of the displacement may be smaller.
    Luck luck(41);
    int far_scale = 0;
    int far_lost = 0;
    double squares = 0;
    for (int run = 0; run < 200; ++run) {
        const bool beam = run % 2 == 1;
        auto check = check_of_x();
        check.runs.clear();
        if (beam) {
            check.axis = Axis::z;
            check.place = {0.3 + luck.within(0.2), 0.2 + luck.within(0.15), 0};
            check.targets = {-0.38, -0.31, -0.22, -0.13, -0.05};
            check.standard = "beam";
            check.indicator.clear();
            check.lengths.clear();
        } else {
            check.place = {0, 0.2 + luck.within(0.15), -0.35};
        }
        auto shop = shop_with(check);
        TrueMachine truth(shop, luck);
        const int a = static_cast<int>(check.axis);
        truth.scale[a] = luck.within(40 * micro);
        const double lost = 6 * micro + luck.within(3 * micro);
        const auto& gear = shop.length_standards[beam ? 1 : 0];
        const double thermometer = luck.within(0.3);
        const double scale_warmer = check.scale_warmer + thermometer + luck.within(2);
        const double gear_warmer = check.standard_warmer + thermometer + luck.within(0.5);
        const double scale_alpha = check.scale_expansion + luck.within(1e-6);
        const double gear_alpha = gear.expansion + luck.within(gear.expansion_doubt);
        const double common = beam ? luck.within(2 * micro) : luck.normal(0.5 * micro);
        const double skew = luck.within(1e-3);
        const double wave[] = {luck.normal(1.532 * micro), luck.normal(1.532 * micro)};
        std::vector<double> errors(5, 0.0);
        for (std::size_t i = 1; i < 5 && !beam; ++i)
            errors[i] = luck.normal(0.3 * micro);
        const double zero = luck.within(10 * micro);
        const double drift = luck.within(2 * micro);
        int taken = 0;
        for (int k = 0; k < 5; ++k)
            for (const bool plus : {true, false}) {
                PositioningRun one{plus, std::vector<double>(5, 0.0)};
                for (int j = 0; j < 5; ++j, ++taken) {
                    const auto i = static_cast<std::size_t>(plus ? j : 4 - j);
                    const double c = check.targets[i];
                    Eigen::Vector3d at = check.place;
                    at[a] = c;
                    const double phase = 2 * std::numbers::pi * c / 0.00508;
                    const double stands = c + truth.error(at, {0, 0, -0.1})[a] +
                                          (plus ? -0.5 : 0.5) * lost +
                                          scale_alpha * scale_warmer * (c - check.targets[0]) +
                                          wave[0] * std::cos(phase) + wave[1] * std::sin(phase) +
                                          luck.normal(1.1 * micro) + drift * taken / 49 + zero;
                    const double went = stands - check.targets[0];
                    if (beam) {
                        const double shown =
                            went * std::cos(skew) / ((1 + common) * (1 + gear_alpha * gear_warmer));
                        one.readings[i] =
                            read(shown - (c - check.targets[0]), 0, 0, gear.resolution, luck);
                    } else {
                        const double length = check.lengths[i];
                        const double face =
                            (length * (1 + common) + gear.deviations[i] + errors[i]) *
                            (1 + gear_alpha * gear_warmer) / std::cos(skew);
                        one.readings[i] =
                            read(face - went, truth.gain, 0.5 * micro, 1 * micro, luck);
                    }
                }
                check.runs.push_back(one);
            }
        shop.positioning_checks = {check};
        const auto state = solve_with_prior(shop, day, 1);
        const int index = motion_index(a, check.axis);
        const auto scale = state.of(state.model.parameter(index, check.targets[4], day) -
                                    state.model.parameter(index, check.targets[0], day));
        const double truly =
            truth.curve(a, a, check.targets[4]) - truth.curve(a, a, check.targets[0]);
        far_scale += std::abs(scale.value - truly) > 1.96 * scale.standard_uncertainty;
        const auto found = state.of(state.model.lost_motion(check.axis, day));
        const double z = (found.value - lost) / found.standard_uncertainty;
        far_lost += std::abs(z) > 1.96;
        squares += z * z;
    }
    BOOST_TEST(far_scale <= 36);
    BOOST_TEST(far_lost <= 36);
    BOOST_TEST(far_lost + far_scale > 2); // not far too wide
    BOOST_TEST(squares > 90);
    BOOST_TEST(squares < 330);
}

BOOST_AUTO_TEST_CASE(the_formula_budget_agrees) {
    // One block of 300 mm against a stop, five runs each way, as in the file.
    auto shop = workshop();
    shop.indicators[0].gain_doubt = 0.03;
    LengthStandard block;
    block.name = "block";
    block.lengths = {0.3};
    block.deviations = {0.4 * micro};
    block.standard = 0.15 * micro;
    block.scale_standard = 0.5 * micro;
    block.setting = 0.5 * micro;
    block.expansion = 11.5e-6;
    block.expansion_doubt = 1e-6;
    shop.length_standards = {block};
    auto check = check_of_x();
    check.standard = "block";
    check.targets = {0.1, 0.4};
    check.lengths = {0, 0.3};
    check.scale_expansion = 11.5e-6;
    check.scale_warmer = 2.5;
    check.standard_warmer = 1.5;
    check.runs.clear();
    const double up0[] = {0, 1, 0, -1, 0};
    const double up3[] = {-6, -7, -5, -6, -6};
    const double down0[] = {-4, -4, -5, -3, -4};
    const double down3[] = {-10, -11, -10, -9, -10};
    for (int k = 0; k < 5; ++k) {
        check.runs.push_back({true, {up0[k] * micro, up3[k] * micro}});
        check.runs.push_back({false, {down0[k] * micro, down3[k] * micro}});
    }
    shop.positioning_checks = {check};
    const NamedRows rows(shop, day);
    const auto budget = method_budget("positioning");
    const std::vector<std::string> wide = {"EXX scale", "lost motion X"};
    const auto scale = rows.standard(rows.model.parameter(0, 0.4, day) / 0.1, wide);
    const auto lost = rows.standard(rows.model.lost_motion(Axis::x, day), wide);
    BOOST_TEST(output(budget, "scale").standard * micro == scale, tt::tolerance(0.01));
    BOOST_TEST(output(budget, "lost").standard * micro == lost, tt::tolerance(0.01));
    const auto found = rows.least_squares({"EXX scale", "lost motion X", "pos, offset"});
    BOOST_TEST(output(budget, "scale").value * micro == found[0], tt::tolerance(1e-6));
    BOOST_TEST(output(budget, "lost").value * micro == found[1], tt::tolerance(1e-6));
}

BOOST_AUTO_TEST_CASE(what_does_not_fit_together_is_refused) {
    const auto refused = [](auto change) {
        auto check = check_of_x();
        change(check);
        try {
            solve(shop_with(check), day);
        } catch (const InputError& error) {
            return std::string(error.what());
        }
        return std::string("nothing");
    };
    const auto says = [](const std::string& text, const std::string& part) {
        BOOST_TEST(text.find(part) != std::string::npos, text);
    };
    says(refused([](auto& c) { c.targets = {0.1}; }), "two targets or more [check-shape]");
    says(refused([](auto& c) { c.runs.clear(); }), "there is no run [check-shape]");
    says(refused([](auto& c) { c.runs[1].readings.pop_back(); }),
         "4 readings for 5 targets [check-shape]");
    says(refused([](auto& c) { c.lengths.clear(); }), "each target has its length");
    says(refused([](auto& c) { c.indicator.clear(); }), "an indicator is named");
    says(refused([](auto& c) { c.standard = "beam"; }), "unless the standard reads by itself");
    says(refused([](auto& c) { c.lengths[2] = 0.2005; }), "no length of 200.5 mm [check-shape]");
    says(refused([](auto& c) {
             c.targets = {0.3, 0.2, 0.1, 0.4, 0.5};
             c.lengths = {0.2, 0.3, 0, 0.1, 0.4};
         }),
         "target 2 is not where its length ends [check-shape]");
    says(refused([](auto& c) { c.targets.assign(5, 0.2); }), "all targets are at one place");
    says(refused([](auto& c) { c.standard = "none such"; }), "[instrument-unknown]");
    says(refused([](auto& c) { c.indicator = "none such"; }), "[instrument-unknown]");
}

BOOST_AUTO_TEST_SUITE_END()
