// SPDX-License-Identifier: MIT
// The next part's distribution and its yields, against closed forms written here: one signed value
// with normal knowledge and normal scatter, and the magnitude of two equal normals (Rayleigh). The
// yields of these are exact but for the drawn knowledge, so without knowledge they must agree to
// 1e-9. What is drawn has its error beside: of a mean σ/√n with n the draws of the knowledge, or of
// the parts, which are common to all worlds; 6.2 of them, as in promise_models.hpp.
#include "holdable/propagate/distribution.hpp"

#include "holdable/stats/normal.hpp"
#include "propagate/promise_models.hpp"

#include <boost/test/unit_test.hpp>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <numeric>

using namespace holdable;
using namespace holdable::promise_models;
using stats::normal_cdf;

namespace {

constexpr double allowed = promise_models::alarm; // standard errors
constexpr double sigma = 2;

/// Two equal normal numbers, drawn for each part.
PartModel rayleigh(double upper) {
    PartModel m;
    m.inputs = {input("x", normal(sigma), Sharing::part), input("y", normal(sigma), Sharing::part)};
    Characteristic c;
    c.name = "lean";
    c.reduction = Reduction::magnitude;
    c.known = Eigen::VectorXd::Zero(2);
    c.effect = Eigen::MatrixXd::Identity(2, 2);
    c.upper = upper;
    m.characteristics = {c};
    return m;
}

double rayleigh_cdf(double x) {
    return 1 - std::exp(-x * x / (2 * sigma * sigma));
}

void within(double seen, double expected, double error, const char* what) {
    BOOST_TEST(std::abs(seen - expected) < allowed * error,
               what << ": " << seen << " wanted " << expected << " +- " << error);
}

double total(const std::vector<double>& x) {
    return std::accumulate(x.begin(), x.end(), 0.0);
}

} // namespace

BOOST_AUTO_TEST_SUITE(distribution)

BOOST_AUTO_TEST_CASE(one_normal_value) {
    // Bias 3, knowledge 4, scatter 2.5, limits ±12: the next part is normal, mean 3, σ 4.717.
    const auto d = distribution_of(example(), 0, {});
    const double s = std::hypot(4, 2.5);
    const double error =
        std::hypot(4 / std::sqrt(double(d.worlds)), 2.5 / std::sqrt(double(d.parts_in_world)));
    within(d.mean, 3, error, "mean");
    within(d.median, 3, 1.25 * error, "median");
    within(d.standard_deviation, s, error / std::sqrt(2.0), "standard deviation");
    // the error of a 2.5 % point is 2.67 σ/√n
    within(d.symmetric.high, 3 + 1.959964 * s, 2.67 * error, "upper end");
    BOOST_TEST(std::abs(d.symmetric.low - (3 - 1.959964 * s)) < allowed * 2.67 * error);
    BOOST_TEST(d.shortest.width() <= d.symmetric.width());
    BOOST_TEST(d.shortest.width() > 0.95 * 2 * 1.959964 * s);
    const double above = normal_cdf((3 - 12) / s), below = normal_cdf((-12 - 3) / s);
    BOOST_TEST(std::abs(d.above - above) < 0.012); // its derivative by the mean is 0.014 a unit
    BOOST_TEST(d.above > 0.5 * above);
    BOOST_TEST(std::abs(d.below - below) < 0.0012);
    for (std::size_t i = 0; i < d.tolerance.size(); ++i) {
        const double t = d.tolerance[i];
        const double y = normal_cdf((t - 3) / s) - normal_cdf((-t - 3) / s);
        // the yield of a world is drawn with a standard deviation of at most a half
        BOOST_TEST(std::abs(d.expected[i] - y) < allowed * 0.5 / std::sqrt(double(d.worlds)));
    }
}

BOOST_AUTO_TEST_CASE(assured_yield) {
    // Y falls with |3 + 4 k|, so its 5 % point is the yield at the 95 % point of that.
    const auto d = distribution_of(example(), 0, {});
    const auto inside = [](double q) { return normal_cdf((q - 3) / 4) - normal_cdf((-q - 3) / 4); };
    double low = 0, high = 50;
    while (high - low > 1e-9)
        (inside((low + high) / 2) < 0.95 ? low : high) = (low + high) / 2;
    const double step = std::sqrt(0.95 * 0.05 / double(d.worlds)); // of a rank
    const double density = (inside(low + 1e-4) - inside(low)) / 1e-4;
    const double error = allowed * step / density;
    const auto yield = [](double t, double m) {
        return normal_cdf((t - m) / 2.5) - normal_cdf((-t - m) / 2.5);
    };
    int tested = 0;
    for (std::size_t i = 0; i < d.tolerance.size(); ++i) {
        BOOST_TEST(d.assured[i] >= yield(d.tolerance[i], low + error) - 1e-9);
        BOOST_TEST(d.assured[i] <= yield(d.tolerance[i], low - error) + 1e-9);
        tested += d.assured[i] > 0.1 && d.assured[i] < 0.9 ? 1 : 0;
    }
    BOOST_TEST(error < 1.5); // of 9.6
    BOOST_TEST(tested > 4);
}

BOOST_AUTO_TEST_CASE(magnitude_of_two_normals) {
    const auto d = distribution_of(rayleigh(5), 0, {});
    BOOST_TEST(d.edges.front() == 0.0);
    for (std::size_t i = 0; i < d.tolerance.size(); ++i) {
        BOOST_TEST(std::abs(d.expected[i] - rayleigh_cdf(d.tolerance[i])) < 1e-9);
        BOOST_TEST(std::abs(d.assured[i] - d.expected[i]) < 1e-12); // nothing is unknown
    }
    const double n = double(d.parts_in_world);
    within(d.mean, sigma * std::sqrt(std::numbers::pi / 2), 0.655 * sigma / std::sqrt(n), "mean");
    within(d.median, sigma * std::sqrt(2 * std::log(2.0)), 0.85 * sigma / std::sqrt(n), "median");
    // The shortest interval with 0.95, of equal density at both ends: found by bisection in Python.
    BOOST_TEST(std::abs(d.shortest.width() - sigma * 2.389714) < 0.25 * sigma);
    BOOST_TEST(d.shortest.low < d.symmetric.low);
    BOOST_TEST(std::abs(d.above - (1 - rayleigh_cdf(5))) < allowed * std::sqrt(0.044 * 0.956 / n));
    BOOST_TEST(d.below == 0.0);
    for (std::size_t i = 0; i < d.share.size(); ++i) {
        const double p = rayleigh_cdf(d.edges[i + 1]) - rayleigh_cdf(d.edges[i]);
        BOOST_TEST(std::abs(d.share[i] - p) < allowed * std::sqrt(p / n) + 1 / n);
    }
    BOOST_TEST(total(d.share) <= 1.0);
    BOOST_TEST(total(d.share) > 0.997);
}

BOOST_AUTO_TEST_CASE(tolerances_reach_the_drawing) {
    const auto wide = distribution_of(rayleigh(5), 0, {});
    BOOST_TEST(wide.tolerance.front() == 0.0);
    BOOST_TEST(wide.tolerance.back() > 5.0);
    const auto tight = distribution_of(rayleigh(0.1), 0, {});
    BOOST_TEST(tight.tolerance.back() > 3.5 * sigma); // all but a thousandth: 3.7 σ
    const auto far = distribution_of(rayleigh(1000), 0, {});
    BOOST_TEST(far.tolerance.back() < 15 * sigma);
}

BOOST_AUTO_TEST_CASE(the_draws_are_the_inputs_own) {
    PromiseOptions options;
    options.threads = 1;
    const auto one = distribution_of(example(), 0, options);
    options.threads = 3;
    auto more = example();
    more.inputs.push_back(input("of no effect", normal(1)));
    more.characteristics[0].effect.conservativeResize(1, 3);
    more.characteristics[0].effect(0, 2) = 0;
    const auto other = distribution_of(more, 0, options);
    BOOST_TEST(one.share == other.share, boost::test_tools::per_element());
    BOOST_TEST(one.expected == other.expected, boost::test_tools::per_element());
    BOOST_TEST(one.symmetric.low == other.symmetric.low);
    options.seed = 2;
    BOOST_TEST(distribution_of(example(), 0, options).mean != one.mean);
}

BOOST_AUTO_TEST_CASE(all_parts_alike) {
    PartModel m;
    m.inputs = {input("none", stats::Fixed{0})};
    m.characteristics = {size(3e-6, -12e-6, 12e-6, 1)};
    const auto d = distribution_of(m, 0, {});
    for (std::size_t i = 1; i < d.edges.size(); ++i)
        BOOST_TEST(d.edges[i - 1] < d.edges[i]);
    BOOST_TEST(total(d.share) == 1.0);
    BOOST_TEST(d.symmetric.low == 3e-6);
    BOOST_TEST(d.symmetric.high == 3e-6);
    BOOST_TEST(d.expected.front() == 0.0);
    BOOST_TEST(d.expected.back() == 1.0);
}

BOOST_AUTO_TEST_SUITE_END()
