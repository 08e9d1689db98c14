// SPDX-License-Identifier: MIT
// The circle trace by a path made step by step in time (true_round.hpp), which shares no formula
// with the rows: closed forms of the signatures, recomputed; the sign of each error; lobes of a
// disc; recovery of machines with known errors. Tolerance 5e-3, for the discrete lag and products
// of errors; others said beside.
#include "holdable/machine/circle_check.hpp"
#include "holdable/machine/doubt.hpp"
#include "holdable/machine/state.hpp"
#include "machine/rows.hpp"
#include "machine/true_round.hpp"

using namespace holdable;
using namespace holdable::tests;
namespace tt = boost::test_tools;

namespace {

const Date day = circle_day;
constexpr double micro = 1e-6;

const std::vector<std::string> told = {"C0Y",
                                       "EXX scale",
                                       "lost motion X",
                                       "lost motion Y",
                                       "lag of X behind Y",
                                       "ring, centre in X",
                                       "ring, centre in Y",
                                       "ring, radius"};

/// Both directions of a machine, without noise.
NamedRows seen(const TrueRound& truth, CircleCheck check) {
    for (auto& run : check.runs)
        run.readings = truth.radii(check, run.counterclockwise);
    return {shop_with(check), day};
}

std::string in_degrees(double turned) {
    return std::to_string(static_cast<int>(turned)) + "°";
}

double peak_to_valley(const std::vector<double>& readings, const std::vector<double>& stations) {
    const auto mean = circle_through(stations, readings);
    double low = 1;
    double high = -1;
    for (std::size_t i = 0; i < readings.size(); ++i) {
        const double left = readings[i] - mean[0] - mean[1] * std::cos(stations[i]) -
                            mean[2] * std::sin(stations[i]);
        low = std::min(low, left);
        high = std::max(high, left);
    }
    return high - low;
}

} // namespace

BOOST_AUTO_TEST_SUITE(circle_path)

BOOST_AUTO_TEST_CASE(signatures_recomputed) {
    // Closed forms, worked by hand: on 100 mm of diameter 40 µrad are 2.000 µm radial, 4.000 µm
    // between diameters at 45° and 135°; with scales of 100 and 40 µm/m beside, 3.606 µm and a mean
    // of 3.500 µm; a lag of 0.4 ms at 600 mm/min is 4.000 µm; lost motion of 6 µm in X steps by
    // 6 µm at 0°. The path is made in time and space; 1e-3.
    auto check = circle(0.5, 1);
    check.radius = 0.05;
    check.feed = 0.01;
    const auto exactly = tt::tolerance(1e-3);
    TrueRound round(perfect(workshop()));
    round.machine.c0y = 40 * micro;
    auto r = round.radii(check, true);
    BOOST_TEST(peak_to_valley(r, check.stations) == 2 * micro, exactly);
    BOOST_TEST(r[135] + r[315] - r[45] - r[225] == 4 * micro, exactly);
    round.machine.scale[0] = 100 * micro;
    round.machine.scale[1] = 40 * micro;
    r = round.radii(check, true);
    BOOST_TEST(peak_to_valley(r, check.stations) == 3.6056 * micro, exactly);
    round = TrueRound(round.machine);
    round.lag = {1e-9, 1e-9}; // no radius lost
    BOOST_TEST(circle_through(check.stations, round.radii(check, true))[0] == 3.5 * micro, exactly);
    TrueRound late(perfect(workshop()));
    late.lag = {0.0204, 0.02};
    r = late.radii(check, true);
    BOOST_TEST(peak_to_valley(r, check.stations) == 4 * micro, tt::tolerance(5e-3));
    BOOST_TEST(r[45] > r[135]);
    // both axes late by 20 ms at 10 mm/s on 50 mm: 0.4 µm smaller
    BOOST_TEST(circle_through(check.stations, r)[0] == -0.4 * micro, tt::tolerance(0.05));
    TrueRound loose(perfect(workshop()));
    loose.lost = {6 * micro, 0};
    r = loose.radii(circle(0.5, 1), true);
    BOOST_TEST(r[1] - r[358] == 6 * micro, tt::tolerance(5e-3)); // 1.5° after less 1.5° before
}

BOOST_AUTO_TEST_CASE(each_sign_by_a_path_in_time) {
    const auto check = circle();

    struct Case {
        std::size_t index;
        double value;
        void (*set)(TrueRound&, double);
    };

    const Case cases[] = {{0, 40 * micro, [](TrueRound& t, double v) { t.machine.c0y = v; }},
                          {1, 60 * micro, [](TrueRound& t, double v) { t.machine.scale[0] = v; }},
                          {2, 6 * micro, [](TrueRound& t, double v) { t.lost[0] = v; }},
                          {3, 5 * micro, [](TrueRound& t, double v) { t.lost[1] = v; }},
                          {4, 0.3e-3, [](TrueRound& t, double v) { t.lag[0] += v; }},
                          {4, -0.3e-3, [](TrueRound& t, double v) { t.lag[1] -= v; }},
                          {5, -20 * micro, [](TrueRound& t, double v) { t.pivot.x() = -v; }},
                          {6, 30 * micro, [](TrueRound& t, double v) { t.pivot.y() = -v; }}};
    for (const auto& one : cases) {
        TrueRound truth(perfect(workshop()));
        one.set(truth, one.value);
        const auto found = seen(truth, check).least_squares(told);
        for (std::size_t k = 0; k < 7; ++k) {
            const double left =
                found[static_cast<Eigen::Index>(k)] - (k == one.index ? one.value : 0);
            const double size = k == 4 ? 0.3e-3 : k < 2 ? 40 * micro : 6 * micro;
            BOOST_TEST(std::abs(left) < 5e-3 * size, told[k] << " off by " << left);
        }
    }
    // Y longer than X by as much as X was
    TrueRound truth(perfect(workshop()));
    truth.machine.scale[1] = 60 * micro;
    auto names = told;
    names[1] = "EYY scale";
    BOOST_TEST(seen(truth, check).least_squares(names)[1] == 60 * micro, tt::tolerance(5e-3));
    // all at once, and turned through: pivot off by much more than the errors
    truth.machine.c0y = -25 * micro;
    truth.machine.scale[0] = 20 * micro;
    truth.lost = {4 * micro, 7 * micro};
    truth.lag = {0.0047, 0.005};
    truth.pivot = {150 * micro, -100 * micro};
    const auto found = seen(truth, check).least_squares(told);
    BOOST_TEST(found[0] == -25 * micro, tt::tolerance(5e-3));
    BOOST_TEST(found[1] == -40 * micro, tt::tolerance(5e-3));
    BOOST_TEST(found[2] == 4 * micro, tt::tolerance(5e-3));
    BOOST_TEST(found[3] == 7 * micro, tt::tolerance(5e-3));
    BOOST_TEST(found[4] == -0.3e-3, tt::tolerance(5e-3));
}

BOOST_AUTO_TEST_CASE(a_centre_far_off) {
    // 0.5 mm off, read from a pivot: 1.25 µm longer across it, which is no scale.
    TrueRound truth(perfect(workshop()));
    truth.pivot = {500 * micro, 0};
    const auto found = seen(truth, circle()).least_squares(told);
    BOOST_TEST(std::abs(found[1]) < 0.3 * micro); // 25 µm/m if it were left in
    BOOST_TEST(std::abs(found[0]) < 0.3 * micro);
    // a true disc on a turning table, 0.5 mm off: as far as its edge is along the ray
    auto check = circle();
    check.trace = CircleTrace::disc;
    check.runs.resize(1);
    const double e = 500 * micro;
    for (std::size_t i = 0; i < check.stations.size(); ++i) {
        const double across = e * std::sin(check.stations[i]);
        check.runs[0].readings[i] =
            e * std::cos(check.stations[i]) + std::sqrt(0.01 - across * across) - check.radius;
    }
    const NamedRows rows(shop_with(check), day);
    auto names = told;
    for (std::size_t k = 5; k < 8; ++k)
        names[k].insert(4, ", counterclockwise");
    names.erase(names.begin() + 2, names.begin() + 5);
    const auto disc = rows.least_squares(names);
    BOOST_TEST(std::abs(disc[1]) < 0.3 * micro);
    BOOST_TEST(disc[2] == e, tt::tolerance(1e-4));
}

BOOST_AUTO_TEST_CASE(a_disc_turned_in_its_chuck) {
    // The chuck presses the disc out by 3 µm at 30° and 210° of its own; the disc was cut by a
    // machine of 40 µrad. Read at 0 and turned by 45° or 90°, both are found.
    TrueRound truth(perfect(workshop()));
    truth.machine.c0y = 40 * micro;
    for (const double turned : {45.0, 90.0, -45.0}) {
        auto check = circle();
        check.trace = CircleTrace::disc;
        const auto cut = truth.radii(check, true);
        check.runs.clear();
        for (const double at : {0.0, turned * degree}) {
            CircleRun run{true, at, cut};
            for (std::size_t i = 0; i < cut.size(); ++i)
                run.readings[i] += 3 * micro * std::cos(2 * (check.stations[i] + at - 30 * degree));
            check.runs.push_back(run);
        }
        const NamedRows rows(shop_with(check), day);
        BOOST_REQUIRE(rows.all.size() == 72U);
        std::vector<std::string> names = {
            "C0Y", "EXX scale", "ring, two lobes, cosine", "ring, two lobes, sine"};
        for (const auto* stem : {"ring, counterclockwise", "ring, counterclockwise turned by "})
            for (const auto* what : {", radius", ", centre in X", ", centre in Y"})
                names.push_back(std::string(stem) +
                                (std::string(stem).back() == ' ' ? in_degrees(turned) : "") + what);
        const auto found = rows.least_squares(names);
        BOOST_TEST(found[0] == 40 * micro, tt::tolerance(5e-3));
        BOOST_TEST(std::abs(found[1]) < 0.2 * micro);
        BOOST_TEST(found[2] == 1.5 * micro, tt::tolerance(5e-3)); // 3 cos 60°
        BOOST_TEST(found[3] == 3 * std::sin(60 * degree) * micro, tt::tolerance(5e-3));
        // what it sprang when it was let go stays with it
        for (const auto* angle : {"25", "115"}) {
            const auto what = std::string("ring, counterclockwise turned by ") +
                              in_degrees(turned) + ", at " + angle + "°";
            BOOST_TEST(rows.coefficient(what, "ring, spring-back, sine") ==
                           std::sin(2 * std::stod(angle) * degree),
                       tt::tolerance(1e-9));
        }
        // and is known no better than before: with it, more than with the chuck alone
        auto held = check;
        held.spring_back = 0.1 * micro;
        const auto loose = check_doubts(shop_with(check), day);
        const auto firm = check_doubts(shop_with(held), day);
        BOOST_TEST(firm[0].standard < loose[0].standard);
        BOOST_TEST(loose[0].standard > 2 * 2 * micro / 2.4477 / 0.1);
    }
}

BOOST_AUTO_TEST_CASE(what_it_measures) {
    TrueRound truth(perfect(workshop()));
    truth.machine.c0y = 30 * micro;
    truth.machine.scale[0] = 50 * micro;
    truth.lost = {4 * micro, 6 * micro};
    truth.lag = {0.0053, 0.005};
    auto check = circle();
    for (auto& run : check.runs)
        run.readings = truth.radii(check, run.counterclockwise);
    const auto doubts = check_doubts(shop_with(check), day);
    BOOST_REQUIRE(doubts.size() == 5U);
    const char* meanings[] = {"Y square to X there",
                              "scale of X over that of Y there, at 20 °C",
                              "lost motion of X",
                              "lost motion of Y",
                              "X behind Y by lag at that feed"};
    const double values[] = {30, 50, 4, 6, 5};
    const double near[] = {1, 1, 0.5, 0.5, 1}; // what the class still says of all else
    for (std::size_t k = 0; k < 5; ++k) {
        BOOST_TEST(doubts[k].meaning == meanings[k]);
        BOOST_TEST(doubts[k].angle == (k < 2));
        BOOST_TEST(std::abs(doubts[k].value - values[k] * micro) < near[k] * micro, meanings[k]);
        BOOST_TEST(doubts[k].standard > 0);
        BOOST_TEST(!doubts[k].sources.empty());
    }
    // the temperatures of both screws decide the scales, 1.15 K · √2 of 10.5 µm/m
    BOOST_TEST(doubts[1].standard > 17 * micro);
    BOOST_TEST(doubts[1].sources[0].meaning.find("temperature of the scale") != std::string::npos);
    check.radius_doubt = 2 * micro;
    check.runs.resize(1);
    const MachineModel model(shop_with(check), day);
    const auto one = measured_by(model, check);
    BOOST_REQUIRE(one.size() == 3U);
    BOOST_TEST(one[2].meaning == "mean scale of X and Y there, at 20 °C");
    // half of each scale
    const auto sum = one[2].row.cwiseAbs().sum();
    BOOST_TEST(sum > 0);
}

BOOST_AUTO_TEST_CASE(errors_are_found_again_as_often_as_is_said) {
    // 200 machines by the path in time, traced by a link, round or over 225°, or off a disc;
    // squareness, scales, lost motion and lag are even over ranges that are not the prior's. 10 are
    // expected outside 1.96 u; Binomial(200, 0.05) exceeds 36 with less than 1e-9.
    Luck luck(43);
    int far[6] = {};
    double squares[6] = {};
    for (int run = 0; run < 200; ++run) {
        const bool disc = run % 4 == 3;
        auto check = circle(7.5, 15);
        if (run % 4 == 2) // an arc
            check.stations.resize(16);
        const auto count = static_cast<Eigen::Index>(check.stations.size());
        check.centre = {0.3 + luck.within(0.15), 0.2 + luck.within(0.08), -0.2 + luck.within(0.1)};
        check.feed = 0.012 + luck.within(0.008);
        check.scale_warmer = {2, 2};
        check.lead = 0.00508;
        auto shop = workshop();
        TrueRound truth(TrueMachine(shop, luck));
        truth.machine.c0y = luck.within(55 * micro);
        truth.machine.scale[0] = luck.within(60 * micro);
        truth.machine.scale[1] = luck.within(60 * micro);
        truth.lost = {5 * micro + luck.within(3 * micro), 5 * micro + luck.within(3 * micro)};
        const double mismatch = luck.within(0.9e-3);
        truth.lag = {0.02 + mismatch, 0.02};
        const double thermometer = luck.within(0.3);
        for (auto& growth : truth.growth)
            growth = (10.5e-6 + luck.within(1e-6)) * (2 + thermometer + luck.within(2));
        truth.wave = {luck.normal(1.532 * micro), luck.normal(1.532 * micro)};
        if (disc)
            check.trace = CircleTrace::disc;
        else
            truth.pivot = {luck.within(50 * micro), luck.within(50 * micro)};
        const auto lobes = [&](double amplitude) {
            return std::array<double, 2>{luck.normal(amplitude / 2.4477),
                                         luck.normal(amplitude / 2.4477)};
        };
        const auto pivot = lobes((disc ? 1 : 0.5) * micro);
        const auto sprung = disc ? lobes(2 * micro) : std::array<double, 2>{0, 0};
        const double drift[] = {
            luck.within(2 * micro), luck.within(2 * micro), luck.within(2 * micro)};
        check.runs.clear();
        int taken = 0;
        for (int k = 0; k < 2; ++k)
            for (const bool ccw : {true, false}) {
                const auto radii = truth.radii(check, ccw);
                CircleRun one{ccw, 0, std::vector<double>(radii.size(), 0.0)};
                for (std::size_t j = 0; j < radii.size(); ++j, ++taken) {
                    const auto i = ccw ? j : radii.size() - 1 - j;
                    const double theta = check.stations[i];
                    const double time =
                        disc ? static_cast<double>(j) / static_cast<double>(count - 1)
                             : taken / static_cast<double>(4 * count - 1);
                    double shown = radii[i] + luck.normal(1.1 * micro) + drift[0] * time +
                                   std::cos(theta) * drift[1] * time +
                                   std::sin(theta) * drift[2] * time +
                                   (pivot[0] + sprung[0]) * std::cos(2 * theta) +
                                   (pivot[1] + sprung[1]) * std::sin(2 * theta);
                    if (disc)
                        shown += luck.within(0.5 * micro);
                    one.readings[i] = read(shown, truth.machine.gain, 0.2 * micro, 1 * micro, luck);
                }
                check.runs.push_back(one);
            }
        shop.circle_checks = {check};
        const auto state = solve_with_prior(shop, day, 1);
        const auto& model = state.model;
        // squareness and scales there: the signatures fitted to the true errors
        Eigen::MatrixXd signatures(count, 5);
        Eigen::VectorXd errors(count);
        for (Eigen::Index i = 0; i < count; ++i) {
            const double theta = check.stations[static_cast<std::size_t>(i)];
            const Eigen::Vector3d n(std::cos(theta), std::sin(theta), 0);
            signatures.row(i) << 1, n.x(), n.y(), -0.05 * std::sin(2 * theta),
                0.05 * std::cos(2 * theta);
            errors[i] = n.dot(truth.machine.error(check.centre + 0.1 * n, {0, 0, -0.12}));
        }
        const Eigen::VectorXd there = signatures.colPivHouseholderQr().solve(errors);
        const auto measured = measured_by(model, check);
        const std::pair<Eigen::RowVectorXd, double> quantities[] = {
            {model.parameter(c0y_index, 0, day), truth.machine.c0y},
            {measured[0].row, there[3]},
            {measured[1].row, there[4]},
            {model.lost_motion(Axis::x, day), truth.lost[0]},
            {model.lost_motion(Axis::y, day), truth.lost[1]},
            {model.lag_mismatch(day), mismatch}};
        for (std::size_t q = 0; q < 6; ++q) {
            const auto found = state.of(quantities[q].first);
            const double z = (found.value - quantities[q].second) / found.standard_uncertainty;
            far[q] += std::abs(z) > 1.96;
            squares[q] += z * z;
        }
    }
    int all = 0;
    for (std::size_t q = 0; q < 6; ++q) {
        BOOST_TEST_MESSAGE("quantity " << q << ": " << far[q] << " far, z² " << squares[q]);
        BOOST_TEST(far[q] <= 36, q);
        BOOST_TEST(squares[q] < 330, q);
        all += far[q];
    }
    BOOST_TEST(all > 8); // not far too wide
}

BOOST_AUTO_TEST_SUITE_END()
