// SPDX-License-Identifier: MIT
// Gauge studies. Two published crossed studies, a published nested one and a published linearity
// study (tests/reference/, with provenance), to the digits of their recomputation; degrees of
// freedom recomputed from the printed mean squares; the bias of constructed readings recomputed in
// a spreadsheet's way. The intervals have no printed reference here: simulated studies with known
// variances count how often they hold it, threshold five standard errors below 94 %.
#include "holdable/decide/gauge_study.hpp"

#include "holdable/base/error.hpp"
#include "reference.hpp"

#include <boost/test/unit_test.hpp>

#include <cmath>
#include <random>

using namespace holdable;
using namespace holdable::decide;
namespace tt = boost::test_tools;

namespace {

stats::Crossed published(const std::string& name) {
    for (const auto& set : reference::sets("analysis_of_variance", "two_way"))
        if (set["name"] == name)
            return {set["first"].get<std::size_t>(),
                    set["second"].get<std::size_t>(),
                    set["repeats"].get<std::size_t>(),
                    reference::numbers(set["readings"])};
    throw std::runtime_error("no study " + name);
}

bool holds(const stats::Interval& interval, double value) {
    return interval.low <= value && value <= interval.high;
}

} // namespace

BOOST_AUTO_TEST_SUITE(gauge_study)

BOOST_AUTO_TEST_CASE(crossed_with_interaction) {
    const auto study = crossed_study(published("thermal impedance"));
    BOOST_TEST(!study.pooled);
    BOOST_TEST(study.interaction_p == 5.1e-7, tt::tolerance(0.02));
    BOOST_TEST(study.repeatability.variance == 0.5111, tt::tolerance(1e-4));
    BOOST_TEST(study.operators.variance == 0.5646, tt::tolerance(1e-4));
    BOOST_TEST(study.interaction.variance == 0.7280, tt::tolerance(1e-4));
    BOOST_TEST(study.parts.variance == 48.293, tt::tolerance(1e-4));
    BOOST_TEST(study.reproducibility.variance == 0.5646 + 0.7280, tt::tolerance(1e-4));
    BOOST_TEST(std::sqrt(study.gauge.variance) == 1.3430, tt::tolerance(1e-4));
    BOOST_TEST(100 * study.share_of_spread() == 18.97, tt::tolerance(1e-3));
    BOOST_TEST(study.distinct_categories().value() == 7);
    BOOST_TEST(study.repeatability.dof == 60.0, tt::tolerance(1e-12));
    BOOST_TEST(study.notes.empty());
}

BOOST_AUTO_TEST_CASE(crossed_with_pooled_interaction) {
    const auto study = crossed_study(published("measurement system"));
    BOOST_TEST(study.pooled);
    BOOST_TEST(study.repeatability.variance == 0.03997327635, tt::tolerance(1e-8));
    BOOST_TEST(study.parts.variance == 1.08645, tt::tolerance(1e-5));
    BOOST_TEST(study.operators.variance == 0.05146, tt::tolerance(1e-3));
    BOOST_TEST(study.gauge.variance == 0.09143, tt::tolerance(1e-3));
    BOOST_TEST(100 * study.share_of_spread() == 27.86, tt::tolerance(1e-3));
    BOOST_TEST(study.distinct_categories().value() == 4); // 4.875
    BOOST_TEST(study.gauge.dof == 5.918364943, tt::tolerance(1e-8));
    BOOST_TEST(holds(study.gauge.interval, study.gauge.variance));
    BOOST_TEST(study.gauge.interval.high > 5 * study.gauge.variance); // three operators
}

BOOST_AUTO_TEST_CASE(nested) {
    for (const auto& set : reference::sets("gauge_studies", "nested")) {
        const auto study = nested_study({set["operators"].get<std::size_t>(),
                                         set["parts"].get<std::size_t>(),
                                         set["repeats"].get<std::size_t>(),
                                         reference::numbers(set["readings"])});
        const auto& expected = set["expected"];
        BOOST_TEST(study.repeatability.variance == expected["repeat"].get<double>(),
                   tt::tolerance(1e-9));
        BOOST_TEST(study.parts.variance == expected["parts"].get<double>(), tt::tolerance(1e-9));
        BOOST_TEST(study.operators.variance == expected["operators"].get<double>(),
                   tt::tolerance(1e-9));
        BOOST_TEST(study.gauge.variance == study.operators.variance + study.repeatability.variance,
                   tt::tolerance(1e-12));
    }
}

BOOST_AUTO_TEST_CASE(what_is_negative_is_zero_and_said) {
    // Both operators read the same on average, exactly: their mean square is nothing.
    const auto crossed = crossed_study({3, 2, 2, {1, 2, 2, 1, 5, 6, 6, 5, 9, 8, 8, 9}});
    BOOST_TEST(crossed.operators.estimate < 0);
    BOOST_TEST(crossed.operators.variance == 0.0);
    BOOST_TEST(crossed.operators.dof == 0.0);
    BOOST_TEST(crossed.gauge.variance == crossed.repeatability.variance, tt::tolerance(1e-12));
    BOOST_REQUIRE(crossed.notes.size() == 1U);
    BOOST_TEST(crossed.notes[0].find("between operators comes out negative") != std::string::npos);
    const auto nested = nested_study({2, 2, 2, {1, 2, 5, 6, 5, 6, 1, 2}});
    BOOST_TEST(nested.operators.variance == 0.0);
    BOOST_TEST(nested.gauge.variance == 0.5, tt::tolerance(1e-12));
    BOOST_TEST(nested.notes.size() == 1U);
    BOOST_CHECK_THROW(nested_study({2, 1, 2, {1, 2, 3, 4}}), NumericError);
}

BOOST_AUTO_TEST_CASE(intervals_hold_the_truth) {
    std::mt19937_64 random(5);
    std::normal_distribution<double> normal;
    constexpr int studies = 2000;
    const double least = 0.94 - 5 * std::sqrt(0.05 * 0.95 / studies);
    int repeat = 0, crossed_gauge = 0, crossed_parts = 0, nested_gauge = 0, nested_operators = 0;
    for (int s = 0; s < studies; ++s) {
        // Crossed, 8 × 4 × 3: parts 4, operators 1, interaction 1, repeats 0.25.
        stats::Crossed crossed{8, 4, 3, {}};
        std::vector<double> operators(4);
        for (double& o : operators)
            o = normal(random);
        for (int i = 0; i < 8; ++i) {
            const double part = 2 * normal(random);
            for (const double o : operators) {
                const double both = normal(random);
                for (int k = 0; k < 3; ++k)
                    crossed.readings.push_back(part + o + both + 0.5 * normal(random));
            }
        }
        const auto c = crossed_study(crossed);
        repeat += holds(c.repeatability.interval, 0.25);
        crossed_gauge += holds(c.gauge.interval, 2.25);
        crossed_parts += holds(c.parts.interval, 4);
        // Nested, 6 × 5 × 2: operators 4, parts 1, repeats 0.25.
        Nested nested{6, 5, 2, {}};
        for (int i = 0; i < 6; ++i) {
            const double o = 2 * normal(random);
            for (int j = 0; j < 5; ++j) {
                const double part = normal(random);
                for (int k = 0; k < 2; ++k)
                    nested.readings.push_back(o + part + 0.5 * normal(random));
            }
        }
        const auto n = nested_study(nested);
        nested_gauge += holds(n.gauge.interval, 4.25);
        nested_operators += holds(n.operators.interval, 4);
    }
    for (const int count : {repeat, crossed_gauge, crossed_parts, nested_gauge, nested_operators}) {
        BOOST_TEST(count >= least * studies);
        BOOST_TEST(count < 0.99 * studies); // an interval that is never wrong says nothing
    }
}

BOOST_AUTO_TEST_CASE(bias) {
    const std::vector<double> readings{20.001, 20.002, 20.001, 20.0,   20.002, 20.003, 20.001,
                                       20.0,   20.001, 20.002, 20.001, 20.002, 20.001, 20.003,
                                       20.002, 20.001, 20.0,   20.001, 20.002, 20.001, 20.002,
                                       20.001, 20.001, 20.002, 20.0};
    const auto study = bias_study(readings, 20.0005);
    BOOST_TEST(study.bias == 0.00082, tt::tolerance(1e-8));
    BOOST_TEST(study.scatter == 0.000852, tt::tolerance(1e-3));
    BOOST_TEST(study.t == 4.809680605, tt::tolerance(1e-7));
    BOOST_TEST(study.p < 1e-4);
    BOOST_TEST(study.interval.low > 0);
    BOOST_CHECK_THROW(bias_study(std::vector<double>{1.0, 1.0}, 1), NumericError);
    BOOST_CHECK_THROW(bias_study(std::vector<double>{1.0}, 1), NumericError);
}

BOOST_AUTO_TEST_CASE(linearity) {
    const auto set = reference::load("linearity");
    std::vector<double> references, readings;
    for (std::size_t i = 0; i < 5; ++i)
        for (const auto& reading : set["readings"][i]) {
            references.push_back(2 * static_cast<double>(i + 1));
            readings.push_back(reading.get<double>());
        }
    const auto line = linearity_study(
        Eigen::VectorXd::Map(references.data(), static_cast<Eigen::Index>(references.size())),
        Eigen::VectorXd::Map(readings.data(), static_cast<Eigen::Index>(readings.size())));
    BOOST_TEST(line.slope == -0.1316666667, tt::tolerance(1e-9));
    BOOST_TEST(line.intercept == 0.7366666667, tt::tolerance(1e-9));
    BOOST_TEST(line.scatter == 0.2395397886, tt::tolerance(1e-9));
    BOOST_TEST(line.t == -12.04255941, tt::tolerance(1e-8));
    BOOST_TEST(line.p < 1e-15);
    // The line at a size: s √(1/n + (x - x̄)²/Σ(x - x̄)²), twelve readings at each of 2, 4 … 10.
    BOOST_REQUIRE(readings.size() == 60U);
    for (const double x : {6.0, 10.0, 0.0}) {
        BOOST_TEST(line.at(x) == 0.7366666667 - 0.1316666667 * x, tt::tolerance(1e-8));
        BOOST_TEST(line.standard_at(x) ==
                       0.2395397886 * std::sqrt(1 / 60.0 + (x - 6) * (x - 6) / 480),
                   tt::tolerance(1e-8));
    }
}

BOOST_AUTO_TEST_CASE(resolution) {
    BOOST_TEST(resolves(1e-6, 20e-6));
    BOOST_TEST(!resolves(1.01e-6, 20e-6));
}

BOOST_AUTO_TEST_SUITE_END()
