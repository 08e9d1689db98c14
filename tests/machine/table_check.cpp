// SPDX-License-Identifier: MIT
// Maps of the table. Rows by hand; heights by the level against sums, and the doubts of a grid,
// both worked examples, recomputed; loops; the formula budget of budgets/methods/table.json against
// the solve; and recovery: tables that are products of sines, not drawn from the prior, read by a
// forward model with gain, drift, feet, noise and whole steps. 150 of them: fewer than 84 % of the
// 95 % intervals holding the truth is six standard deviations of chance, and the seed is fixed.
#include "holdable/machine/table_check.hpp"

#include "holdable/base/error.hpp"
#include "holdable/machine/state.hpp"
#include "laws.hpp"
#include "machine/budget_file.hpp"
#include "machine/rows.hpp"
#include "machine/workshop.hpp"

#include <boost/test/unit_test.hpp>

#include <cmath>
#include <functional>
#include <random>

using namespace holdable;
using namespace holdable::tests;
namespace tt = boost::test_tools;

namespace {

const Date day = parse_date("2026-11-25");
constexpr double micro = 1e-6;

/// A grid of lines over the table of 600 × 400 mm, every 100 mm, for readings by a function of foot
/// and next foot.
using Rise = std::function<double(const Eigen::Vector2d&, const Eigen::Vector2d&)>;

TableCheck grid(const Rise& reading, int along_x = 6, int along_y = 4) {
    TableCheck check;
    check.name = "grid";
    check.date = day;
    check.level = "long";
    check.foot = 0.1;
    const auto add = [&](Axis along, const Eigen::Vector2d& from, int steps) {
        TableLine line;
        line.along = along;
        line.from = from;
        const Eigen::Vector2d step = 0.1 * Eigen::Vector2d::Unit(static_cast<int>(along));
        for (int i = 0; i < steps; ++i)
            line.readings.push_back(reading(from + i * step, from + (i + 1) * step));
        check.lines.push_back(line);
    };
    for (int j = 0; j <= along_y; ++j)
        add(Axis::x, {0, 0.1 * j}, along_x);
    for (int i = 0; i <= along_x; ++i)
        add(Axis::y, {0.1 * i, 0}, along_y);
    return check;
}

TableCheck map_of(const std::function<double(double, double)>& reading) {
    TableCheck check;
    check.name = "map";
    check.date = day;
    check.indicator = "lever";
    check.gauge_length = 0.3;
    check.x = {0, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6};
    check.y = {0, 0.1, 0.2, 0.3, 0.4};
    for (const double y : check.y)
        for (const double x : check.x)
            check.readings.push_back(reading(x, y));
    return check;
}

Shop shop_with(const TableCheck& check) {
    auto shop = workshop();
    shop.table_checks = {check};
    return shop;
}

/// Heights at places over the least-squares plane of the whole table, 41 × 41 places.
double over_plane(const std::function<double(double, double)>& h, double x, double y) {
    double sum = 0;
    double by_x = 0;
    double by_y = 0;
    double xx = 0;
    double yy = 0;
    for (int i = 0; i <= 40; ++i)
        for (int j = 0; j <= 40; ++j) {
            const double u = 0.6 * i / 40 - 0.3;
            const double v = 0.4 * j / 40 - 0.2;
            const double height = h(u + 0.3, v + 0.2);
            sum += height;
            by_x += height * u;
            by_y += height * v;
            xx += u * u;
            yy += v * v;
        }
    return h(x, y) - sum / (41 * 41) - by_x / xx * (x - 0.3) - by_y / yy * (y - 0.2);
}

std::string refused(const TableCheck& check) {
    try {
        NamedRows(shop_with(check), day);
        return "accepted";
    } catch (const InputError& error) {
        return error.diagnostics().at(0).id + ": " + error.diagnostics().at(0).message;
    }
}

} // namespace

BOOST_AUTO_TEST_SUITE(table_check)

BOOST_AUTO_TEST_CASE(a_step_of_the_level_is_its_equation) {
    auto check = grid([](auto&, auto&) { return 20 * micro; });
    check.lines[0].closing = 26 * micro;
    const NamedRows rows(shop_with(check), day);
    const std::string what = "grid, line 1, reading 3"; // from X 200 to 300 mm at Y 0
    const auto form =
        Eigen::RowVectorXd((rows.model.table_form(0.3, 0) - rows.model.table_form(0.2, 0)) / 0.1);
    const auto& o = rows.reading(what);
    for (const char* shape : {"table shape 1", "table shape 5", "table shape 40"})
        BOOST_TEST(rows.coefficient(what, shape) == form[rows.index(shape)], tt::tolerance(1e-9));
    BOOST_TEST(rows.coefficient(what, "grid, stand along X") == 1);
    BOOST_TEST(rows.coefficient(what, "grid, stand along Y") == 0);
    BOOST_TEST(rows.coefficient(what, "level \"long\", gain") == -20 * micro, tt::tolerance(1e-9));
    BOOST_TEST(rows.coefficient(what, "grid, line 1, drift") == 2.0 / 6, tt::tolerance(1e-9));
    BOOST_TEST(rows.coefficient("grid, line 6, reading 1", "grid, stand along Y") == 1);
    BOOST_REQUIRE(o.noise.size() == 2U);
    BOOST_TEST(sigma(o.noise[0]) == 4 * micro, tt::tolerance(1e-9));
    BOOST_TEST(half_width(o.noise[1]) == 15 * micro, tt::tolerance(1e-9)); // 1.5 µm over 100 mm
    // nothing of the axes, for they stand still
    BOOST_TEST(rows.coefficient(what, "EZX shape 1") == 0);
    BOOST_TEST(rows.coefficient(what, "EAX shape 1") == 0);
}

BOOST_AUTO_TEST_CASE(a_reading_of_the_indicator_is_its_equation) {
    auto check = map_of([](double x, double y) { return 10 * micro * x + 20 * micro * y; });
    const NamedRows rows(shop_with(check), day);
    const std::string what = "map, run 4, reading 6"; // X 500, Y 300
    const Eigen::Vector3d tool(0, 0, -0.3);
    const auto expected =
        Eigen::RowVectorXd(rows.model.table_form(0.5, 0.3) -
                           rows.model.point_error({0.5, 0.3, 0.3 - 0.6}, tool, day).row(2));
    for (const char* one : {"table shape 2", "EZX shape 1", "EZY shape 3", "EAX shape 1"})
        BOOST_TEST(rows.coefficient(what, one) == expected[rows.index(one)], tt::tolerance(1e-9));
    BOOST_TEST(std::abs(rows.coefficient(what, "EAX shape 1")) > 0);
    BOOST_TEST(rows.coefficient(what, "table against the motion of X") == -0.2,
               tt::tolerance(1e-9));
    BOOST_TEST(rows.coefficient(what, "table against the motion of Y") == -0.1,
               tt::tolerance(1e-9));
    BOOST_TEST(rows.coefficient(what, "map, offset") == 1);
    BOOST_TEST(rows.coefficient(what, "map, drift") == 26.0 / 34, tt::tolerance(1e-9));
    BOOST_TEST(rows.coefficient(what, "indicator \"lever\", gain") == -11 * micro,
               tt::tolerance(1e-9));
}

BOOST_AUTO_TEST_CASE(the_table_is_unknown_only_where_a_check_maps_it) {
    BOOST_TEST(!NamedRows(workshop(), day).model.has_table());
    auto check = grid([](auto&, auto&) { return 0; });
    const NamedRows rows(shop_with(check), day);
    BOOST_TEST(rows.model.has_table());
    BOOST_TEST(rows.model.table().shapes() > 60);
    check.date = parse_date("2026-11-26");
    BOOST_TEST(!NamedRows(shop_with(check), day).model.has_table());
    // Before a reading the 95 % point of its peak to valley is the class's: σ is a quarter of it.
    double variance = 0;
    for (int i = 0; i <= 40; ++i)
        for (int j = 0; j <= 40; ++j)
            variance += rows.model.table_form(0.015 * i, 0.01 * j).squaredNorm() / (41 * 41);
    // of the variance the plane has taken a part
    BOOST_TEST(variance < std::pow(5 * micro, 2));
    BOOST_TEST(variance > 0.25 * std::pow(5 * micro, 2));
}

BOOST_AUTO_TEST_CASE(heights_are_sums_of_steps) {
    // Worked example, recomputed: slopes 30 22 14 -4 -12 -20 every 100 mm; heights over the line
    // through the ends 0 2.5 4.2 5.1 4.2 2.5 0 µm, whatever the zero of the level.
    const double slopes[] = {30, 22, 14, -4, -12, -20};
    TableCheck check;
    check.name = "line";
    check.date = day;
    check.level = "long";
    check.foot = 0.1;
    TableLine line;
    line.from = {0, 0.2};
    for (const double s : slopes)
        line.readings.push_back((s + 70) * micro);
    check.lines = {line};
    auto shop = shop_with(check);
    shop.levels[0].gain_doubt = 1e-6;
    shop.levels[0].read_to = 1e-3;
    const auto state = solve_with_prior(shop, day, 1000);
    const double expected[] = {0, 2.5, 4.2, 5.1, 4.2, 2.5, 0};
    const auto height = [&](double x) {
        return state.model.table_form(x, 0.2).dot(
            state.estimate.head(state.model.zero().size()).transpose());
    };
    for (int i = 0; i <= 6; ++i) {
        const double over = height(0.1 * i) - (1 - i / 6.0) * height(0) - i / 6.0 * height(0.6);
        // the line's drift, 5 µrad, is of the prior: it may take some of the bend
        BOOST_TEST(std::abs(over - expected[i] * micro) < 0.05 * micro);
    }
}

BOOST_AUTO_TEST_CASE(doubts_of_a_grid) {
    // Worked example, recomputed: 3 × 3 feet every 100 mm, 12 steps of 5 µrad each, the plane of
    // the nine taken out: corner .2282, middle of a side .2205, centre .2357 µm. Least squares over
    // the rows of the check, the drift of each line left out.
    const NamedRows rows(shop_with(grid([](auto&, auto&) { return 0; }, 2, 2)), day);
    const auto n = static_cast<Eigen::Index>(rows.model.unknowns().size());
    const auto shapes = rows.model.table().shapes();
    Eigen::MatrixXd feet = Eigen::MatrixXd::Zero(9, n); // heights over the plane of the nine
    Eigen::MatrixXd plane(9, 3);
    for (int i = 0; i < 3; ++i)
        for (int j = 0; j < 3; ++j) {
            feet.row(3 * i + j) = rows.model.table_form(0.1 * i, 0.1 * j);
            plane.row(3 * i + j) << 1, i - 1, j - 1;
        }
    plane.colwise().normalize();
    feet -= plane * (plane.transpose() * feet);
    // Nothing known beforehand but the rows: shapes of 1000 times the class, stands of 1 rad.
    Eigen::VectorXd prior = Eigen::VectorXd::Zero(n);
    prior.segment(rows.model.first_table_shape(), shapes).setConstant(1000);
    prior[rows.index("grid, stand along X")] = 1;
    prior[rows.index("grid, stand along Y")] = 1;
    Eigen::MatrixXd h = Eigen::MatrixXd::Zero(12, n);
    for (Eigen::Index i = 0; i < 12; ++i)
        h.row(i).head(rows.all[static_cast<std::size_t>(i)].row.size()) =
            rows.all[static_cast<std::size_t>(i)].row;
    h = h * prior.asDiagonal();
    feet = feet * prior.asDiagonal();
    const Eigen::MatrixXd s =
        h * h.transpose() + std::pow(5 * micro, 2) * Eigen::MatrixXd::Identity(12, 12);
    const Eigen::MatrixXd gain = feet * h.transpose() * s.inverse();
    const Eigen::MatrixXd left = feet - gain * h;
    const auto u = [&](int foot) {
        return std::sqrt(left.row(foot).squaredNorm() +
                         std::pow(5 * micro, 2) * gain.row(foot).squaredNorm());
    };
    BOOST_TEST(u(0) == 0.2282 * micro, tt::tolerance(2e-3));
    BOOST_TEST(u(1) == 0.2205 * micro, tt::tolerance(2e-3));
    BOOST_TEST(u(4) == 0.2357 * micro, tt::tolerance(2e-3));
}

BOOST_AUTO_TEST_CASE(the_formula_budget_is_the_solve) {
    const double slopes[] = {30, 22, 14, -4, -12, -20};
    TableCheck check;
    check.name = "line";
    check.date = day;
    check.level = "long";
    check.foot = 0.1;
    TableLine line;
    line.from = {0, 0.2};
    for (const double s : slopes)
        line.readings.push_back(s * micro);
    check.lines = {line};
    const auto state = solve_with_prior(shop_with(check), day, 1000);
    const auto row =
        Eigen::RowVectorXd(state.model.table_form(0.3, 0.2) - 0.5 * state.model.table_form(0, 0.2) -
                           0.5 * state.model.table_form(0.6, 0.2));
    const auto found = state.of(row);
    const auto budget = method_budget("table");
    BOOST_TEST(found.standard_uncertainty == output(budget, "middle").standard * micro,
               tt::tolerance(5e-3));
    BOOST_TEST(found.value == output(budget, "middle").value * micro, tt::tolerance(5e-3));
}

BOOST_AUTO_TEST_CASE(loops_that_do_not_close_are_found) {
    const auto h = [](const Eigen::Vector2d& p) {
        return 5 * micro * std::sin(9 * p.x()) * std::cos(7 * p.y());
    };
    const auto reading = [&](const Eigen::Vector2d& a, const Eigen::Vector2d& b) {
        // a zero error, and another one along Y, close all the same
        return (h(b) - h(a)) / 0.1 + (b.x() > a.x() ? 30 : -80) * micro;
    };
    const auto shop = workshop();
    auto check = grid(reading);
    auto all = loops(check, shop.levels[0]);
    BOOST_TEST(all.size() == 24U); // the cells
    for (const auto& loop : all) {
        BOOST_TEST(std::abs(loop.error) < 1e-9 * micro);
        BOOST_TEST(loop.steps.size() == 4U);
        // four steps of 100 mm, each 4 µrad and ± 15 µrad
        BOOST_TEST(loop.expected == 0.1 * 2 * std::sqrt(16.0 + 75.0) * micro, tt::tolerance(1e-9));
    }
    check.lines[2].readings[3] += 100 * micro; // a burr of 10 µm
    all = loops(check, shop.levels[0]);
    int open = 0;
    for (const auto& loop : all)
        if (std::abs(loop.error) > open_loop * loop.expected) {
            ++open;
            BOOST_TEST(
                (std::count(loop.steps.begin(), loop.steps.end(), "line 3, reading 4") == 1));
            BOOST_TEST(std::abs(loop.error) == 10 * micro, tt::tolerance(1e-9));
        }
    BOOST_TEST(open == 2); // the cells on both sides
}

BOOST_AUTO_TEST_CASE(maps_that_cannot_be_are_refused) {
    auto check = map_of([](double, double) { return 0; });
    check.readings.pop_back();
    BOOST_TEST(refused(check).find("34 readings for 7 × 5 stations") != std::string::npos);
    check = map_of([](double, double) { return 0; });
    check.indicator = "none";
    BOOST_TEST(refused(check).substr(0, 18) == "instrument-unknown");
    check = grid([](auto&, auto&) { return 0; });
    check.lines[0].readings.resize(1);
    BOOST_TEST(refused(check).find("two steps") != std::string::npos);
    check = grid([](auto&, auto&) { return 0; });
    check.foot = 0;
    BOOST_TEST(refused(check).find("feet") != std::string::npos);
    check = grid([](auto&, auto&) { return 0; });
    check.lines[1].repeats = {2};
    BOOST_TEST(refused(check).find("repeats") != std::string::npos);
}

BOOST_AUTO_TEST_CASE(a_level_parts_the_table_from_the_axes) {
    // Swept by the indicator alone, form and straightness share what is seen; with the level's map
    // beside it, the straightness of X in Z is known better.
    const auto doubt = [](const std::vector<TableCheck>& checks) {
        auto shop = workshop();
        shop.table_checks = checks;
        const auto state = solve_with_prior(shop, day, 1);
        return state
            .of(state.model.parameter(motion_index(2, Axis::x), 0.15, day) -
                state.model.parameter(motion_index(2, Axis::x), 0.45, day))
            .standard_uncertainty;
    };
    const auto flat = map_of([](double, double) { return 0; });
    auto level = grid([](auto&, auto&) { return 0; });
    for (auto& line : level.lines) {
        line.repeats.assign(line.readings.size(), 4); // put down anew four times
        line.spread.assign(line.readings.size(), 4 * micro);
    }
    const double prior = doubt({});
    const double swept = doubt({flat});
    const double both = doubt({flat, level});
    BOOST_TEST(doubt({level}) == prior, tt::tolerance(1e-6));
    BOOST_TEST(swept < prior);
    BOOST_TEST(both < 0.8 * swept);
}

BOOST_AUTO_TEST_CASE(known_tables_are_found_again) {
    std::mt19937_64 engine(6);
    std::uniform_real_distribution<double> any(-1, 1);
    std::normal_distribution<double> bell;
    int covered = 0;
    double squares = 0;
    constexpr int tables = 150;
    for (int table = 0; table < tables; ++table) {
        const double a = 4 * micro * any(engine);
        const double b = 3 * micro * any(engine);
        const double phase = 3 * any(engine);
        const auto h = [&](double x, double y) {
            return a * std::sin(9 * x + phase) * std::cos(8 * y) +
                   b * std::cos(5 * x - 6 * y + phase) + 40 * micro * x;
        };
        const double gain = 0.05 * any(engine);
        const double zero = 200 * micro * any(engine);
        const auto check = grid([&](const Eigen::Vector2d& p, const Eigen::Vector2d& q) {
            const double feet = 15 * micro * any(engine);
            const double s = (h(q.x(), q.y()) - h(p.x(), p.y())) / 0.1;
            const double noise = 4 * micro * std::sqrt(1 - 1.0 / 12) * bell(engine);
            return std::round(((s + zero + feet) / (1 + gain) + noise) / (4 * micro)) * 4 * micro;
        });
        const auto state = solve_with_prior(shop_with(check), day, 1);
        const auto found = state.of(state.model.table_form(0.25, 0.33)); // between the feet
        const double off = (found.value - over_plane(h, 0.25, 0.33)) / found.standard_uncertainty;
        covered += std::abs(off) < 1.96;
        squares += off * off / tables;
    }
    BOOST_TEST(covered > 0.84 * tables);
    // Nor are the intervals idle: what they hold for short waves these tables do not have.
    BOOST_TEST(squares > 0.1);
}

BOOST_AUTO_TEST_SUITE_END()
