// SPDX-License-Identifier: MIT
// Analysis of variance. Against the NIST Statistical Reference Datasets (tests/reference/
// analysis_of_variance.json), certified to 15 digits; each set asks for the digits that its
// readings keep in double precision, and for 11 of the result for the very doubles, which was
// computed in exact rational arithmetic. Against GUM H.5 to its printed digits; two published gauge
// studies to the digits of their recomputation by sequential least squares (8); small tables worked
// by hand: rounding.
#include "holdable/stats/analysis_of_variance.hpp"

#include "holdable/base/error.hpp"
#include "holdable/stats/sample.hpp"
#include "reference.hpp"

#include <boost/test/unit_test.hpp>

#include <cmath>

using namespace holdable;
using namespace holdable::stats;
namespace tt = boost::test_tools;

namespace {

using Groups = std::vector<std::vector<double>>;

Groups groups_of(const nlohmann::json& set) {
    if (!set.contains("generated"))
        return set["groups"].get<Groups>();
    // Written as decimals first: each reading is the double next to its decimal number.
    const double offset = set["generated"]["offset"].get<double>();
    const int repeats = set["generated"]["repeats"].get<int>();
    const double whole = std::floor(offset);
    const auto reading = [&](int tenths) {
        return std::stod(std::to_string(static_cast<long long>(whole)) + "." +
                         std::to_string(tenths));
    };
    Groups groups;
    for (int i = 0; i < 9; ++i) {
        const int middle = i == 0 ? 4 : i % 2 != 0 ? 3 : 5;
        std::vector<double> y{reading(middle)};
        for (int k = 1; k < repeats; ++k)
            y.push_back(reading(k % 2 != 0 ? middle - 1 : middle + 1));
        groups.push_back(y);
    }
    return groups;
}

} // namespace

BOOST_AUTO_TEST_SUITE(analysis_of_variance)

BOOST_AUTO_TEST_CASE(reference_datasets) {
    for (const auto& set : reference::sets("analysis_of_variance", "one_way")) {
        const auto name = set["name"].get<std::string>();
        const OneWay a = one_way(groups_of(set));
        const double wanted = set["digits"].get<double>();
        const auto near = [&](double x, const char* what) {
            const double got = reference::digits(x, set[what].get<double>());
            BOOST_TEST(got >= wanted, name << " " << what << ": " << got << " digits");
        };
        near(a.between.sum_of_squares, "sum_of_squares_between");
        near(a.within.sum_of_squares, "sum_of_squares_within");
        near(a.test.ratio, "f");
        const double own = reference::digits(a.test.ratio, set["f_of_doubles"].get<double>());
        BOOST_TEST(own >= 11, name << " of the doubles: " << own << " digits");
    }
}

BOOST_AUTO_TEST_CASE(voltages_of_ten_days) {
    // GUM H.5, Table H.9 (text): means and standard deviations of five readings on each of ten
    // days. Any five readings with that mean and deviation give the same table.
    const double mean[] = {172, 116, 13, 144, 106, 31, 60, 125, 163, 41}; // µV above 10 V
    const double s[] = {60, 77, 111, 101, 67, 93, 80, 73, 88, 86};
    Groups days;
    for (std::size_t j = 0; j < 10; ++j)
        days.push_back({mean[j] - s[j], mean[j] - s[j], mean[j], mean[j] + s[j], mean[j] + s[j]});
    const OneWay a = one_way(days);
    const auto prints = [](double x, double printed) {
        BOOST_TEST(std::round(x) == printed, x << ", not " << printed);
    };
    prints(a.mean, 97);
    prints(std::sqrt(a.between.mean_square()), 128);
    prints(std::sqrt(a.within.mean_square()), 85);
    BOOST_TEST(a.between.dof == 9.0);
    BOOST_TEST(a.within.dof == 40.0);
    // F is printed 2.25; 2.26 from the unrounded table, 2.27 from 128 and 85.
    BOOST_TEST(std::abs(a.test.ratio - 2.25) < 0.02);
    // Between F_0.95(9, 40) = 2.12 and F_0.975 = 2.45.
    BOOST_TEST(a.test.p < 0.05);
    BOOST_TEST(a.test.p > 0.025);
    prints(std::sqrt(a.group_variance), 43);
    prints(std::sqrt(a.between.mean_square() / 50), 18);
    // Without an effect of the day: all 50 readings, 49 degrees of freedom.
    prints(std::sqrt((a.between.sum_of_squares + a.within.sum_of_squares) / 49 / 50), 13);
}

BOOST_AUTO_TEST_CASE(the_chance_of_a_ratio) {
    // The quantiles printed in GUM H.5.2.2 (text) and closed forms: P(F_2,ν ≥ f) = (1 +
    // 2f/ν)^(−ν/2).
    const auto p = [](double f, double nu1, double nu2) {
        return f_test({f * nu1, nu1}, {nu2, nu2}).p;
    };
    BOOST_TEST(std::abs(p(2.12, 9, 40) - 0.05) < 0.001);
    BOOST_TEST(std::abs(p(2.45, 9, 40) - 0.025) < 0.0005);
    for (const double nu : {1.0, 7.0, 30.0})
        BOOST_TEST(p(3.3, 2, nu) == std::pow(1 + 6.6 / nu, -nu / 2), tt::tolerance(1e-13));
    BOOST_TEST(f_test({4, 2}, {0, 3}).p == 0.0);
    BOOST_TEST(f_test({0, 2}, {0, 3}).p == 1.0);
    BOOST_CHECK_THROW(f_test({1, 0}, {1, 3}), NumericError);
    BOOST_CHECK_THROW(f_test({1, 2}, {1, 0}), NumericError);
}

BOOST_AUTO_TEST_CASE(unequal_groups, *boost::unit_test::tolerance(1e-14)) {
    // 1 3 | 4 6 8 | 9 by hand: means 2, 6, 9, of all 31/6; Σ(n (m − M)²) = 2·(19/6)² + 3·(5/6)² +
    // (23/6)² = 1326/36; within 2 + 8 + 0; n_0 = (6 − 14/6)/2.
    const OneWay a = one_way(Groups{{1, 3}, {8, 4, 6}, {9}});
    BOOST_TEST(a.mean == 31.0 / 6);
    BOOST_TEST(a.between.sum_of_squares == 1326.0 / 36);
    BOOST_TEST(a.within.sum_of_squares == 10.0);
    BOOST_TEST(a.between.dof == 2.0);
    BOOST_TEST(a.within.dof == 3.0);
    BOOST_TEST(a.group_size == 11.0 / 6);
    BOOST_TEST(a.repeat_variance == 10.0 / 3);
    BOOST_TEST(a.group_variance == (1326.0 / 72 - 10.0 / 3) / (11.0 / 6));
}

BOOST_AUTO_TEST_CASE(gauge_studies) {
    for (const auto& set : reference::sets("analysis_of_variance", "two_way")) {
        const auto name = set["name"].get<std::string>();
        const TwoWay a =
            two_way({set["first"].get<std::size_t>(),
                     set["second"].get<std::size_t>(),
                     set["repeats"].get<std::size_t>(),
                     reference::numbers(set["readings"])},
                    set["interaction"] == "kept" ? Interaction::kept : Interaction::pooled);
        const std::pair<const char*, double> all[] = {
            {"first_ss", a.first.sum_of_squares},
            {"second_ss", a.second.sum_of_squares},
            {"interaction_ss", a.interaction.sum_of_squares},
            {"repeat_ss", a.repeat.sum_of_squares},
            {"first_variance", a.first_variance},
            {"second_variance", a.second_variance},
            {"repeat_variance", a.repeat_variance},
            {"interaction_f", a.interaction_test.ratio},
            {"interaction_p", a.interaction_test.p}};
        int asked = 0;
        for (const auto& [what, x] : all)
            if (set["expected"].contains(what)) {
                BOOST_TEST(reference::digits(x, set["expected"][what].get<double>()) > 8,
                           name << " " << what << " " << x);
                ++asked;
            }
        BOOST_TEST(static_cast<std::size_t>(asked) == set["expected"].size(), name);
    }
}

BOOST_AUTO_TEST_CASE(a_crossed_table_by_hand, *boost::unit_test::tolerance(1e-13)) {
    // Cells (1 3)(4 6) | (5 5)(12 14): cell means 2 5 5 13, rows 3.5 9, columns 3.5 9, all 6.25.
    const Crossed table{2, 2, 2, {1, 3, 4, 6, 5, 5, 12, 14}};
    const TwoWay a = two_way(table);
    BOOST_TEST(a.mean == 6.25);
    BOOST_TEST(a.first.sum_of_squares == 2 * 4 * 2.75 * 2.75);
    BOOST_TEST(a.second.sum_of_squares == 2 * 4 * 2.75 * 2.75);
    BOOST_TEST(a.interaction.sum_of_squares == 2 * 4 * 1.25 * 1.25);
    BOOST_TEST(a.repeat.sum_of_squares == 6.0);
    BOOST_TEST(a.interaction_variance == (12.5 - 1.5) / 2);
    BOOST_TEST(a.first_variance == (60.5 - 12.5) / 4);
    BOOST_TEST(a.first_test.ratio == 60.5 / 12.5);
    BOOST_TEST(a.interaction_test.ratio == 12.5 / 1.5);
    const TwoWay pooled = two_way(table, Interaction::pooled);
    BOOST_TEST(pooled.repeat.mean_square() == 18.5 / 5);
    BOOST_TEST(pooled.interaction_variance == 0.0);
    BOOST_TEST(pooled.second_test.ratio == 60.5 / 3.7);
    BOOST_TEST(pooled.second_variance == (60.5 - 3.7) / 4);
    // The squares are those about the common mean.
    const double total = moments(table.readings).sum2;
    BOOST_TEST(a.first.sum_of_squares + a.second.sum_of_squares + a.interaction.sum_of_squares +
                   a.repeat.sum_of_squares ==
               total);
}

BOOST_AUTO_TEST_CASE(too_little_is_refused) {
    BOOST_CHECK_THROW(one_way(Groups{{1, 2}}), NumericError);
    BOOST_CHECK_THROW(one_way(Groups{{1}, {2}}), NumericError);
    BOOST_CHECK_THROW(one_way(Groups{{1, 2}, {}}), NumericError);
    BOOST_CHECK_THROW(two_way({1, 2, 2, {1, 2, 3, 4}}), NumericError);
    BOOST_CHECK_THROW(two_way({2, 1, 2, {1, 2, 3, 4}}), NumericError);
    BOOST_CHECK_THROW(two_way({2, 2, 1, {1, 2, 3, 4}}), NumericError);
}

BOOST_AUTO_TEST_SUITE_END()
