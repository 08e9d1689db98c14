// SPDX-License-Identifier: MIT
// Correlation matrices and joint moments.
// Three coefficients can hold together exactly if r12 lies within r13 r23 ± √((1 − r13²)(1 −
// r23²)): the closed form is asked just inside and outside. Factors against L Lᵀ = R: 1e-9, the
// pivot that passes for 0. Joint moments against the scalar ones and against whole numbers worked
// by hand: 1e-12, rounding.
#include "holdable/stats/covariance.hpp"

#include "holdable/base/error.hpp"
#include "holdable/stats/normal.hpp"
#include "holdable/stats/random.hpp"
#include "holdable/stats/sample.hpp"

#include <boost/test/unit_test.hpp>

#include <cmath>
#include <string>
#include <vector>

using namespace holdable;
using namespace holdable::stats;
using Eigen::MatrixXd;

namespace {

MatrixXd three(double r12, double r13, double r23) {
    MatrixXd r(3, 3);
    r << 1, r12, r13, r12, 1, r23, r13, r23, 1;
    return r;
}

std::string refusal(const MatrixXd& r, const std::vector<std::string>& names) {
    try {
        correlation_factor(r, names);
    } catch (const NumericError& error) {
        return error.what();
    }
    return "";
}

bool has(const std::string& text, const std::string& word) {
    return text.find(word) != std::string::npos;
}

/// One quantity a row, one trial a column.
JointMoments joint_moments(const MatrixXd& y) {
    const Eigen::Index n = y.rows();
    JointMoments m{static_cast<double>(y.cols()), Eigen::VectorXd(n), MatrixXd(n, n)};
    const Eigen::Matrix<double, Eigen::Dynamic, Eigen::Dynamic, Eigen::RowMajor> rows = y;
    const auto row = [&](Eigen::Index i) {
        return std::span(rows.row(i).data(), static_cast<std::size_t>(y.cols()));
    };
    for (Eigen::Index i = 0; i < n; ++i) {
        m.mean(i) = moments(row(i)).mean;
        for (Eigen::Index j = 0; j <= i; ++j)
            m.sum2(i, j) = m.sum2(j, i) = sum_of_products(row(i), m.mean(i), row(j), m.mean(j));
    }
    return m;
}

} // namespace

BOOST_AUTO_TEST_SUITE(covariances)

BOOST_AUTO_TEST_CASE(three_coefficients_hold_exactly_within_their_limits) {
    for (const double a : {-0.9, 0.0, 0.3, 0.8}) {
        for (const double b : {-0.5, 0.1, 0.95}) {
            const double half = std::sqrt((1 - a * a) * (1 - b * b));
            for (const double end : {a * b - half, a * b + half}) {
                const double out = end < a * b ? -1e-6 : 1e-6;
                BOOST_TEST(contradiction(three(end - out, a, b)).members.empty());
                BOOST_TEST(contradiction(three(end, a, b)).members.empty());
                BOOST_TEST(contradiction(three(end + out, a, b)).members.size() == 3U);
            }
        }
    }
}

BOOST_AUTO_TEST_CASE(only_those_at_fault_are_named) {
    MatrixXd r = MatrixXd::Identity(6, 6);
    const auto set = [&](int i, int j, double value) { r(i, j) = r(j, i) = value; };
    set(0, 1, 0.5);
    set(1, 3, 0.9);
    set(3, 5, 0.9);
    set(1, 5, -0.9);
    const auto found = contradiction(r);
    BOOST_TEST(found.members == (std::vector<int>{1, 3, 5}), boost::test_tools::per_element());
    // The least eigenvalue of the three is 1 − 2 × 0.9.
    BOOST_TEST(found.shrink == 1 / 1.8, boost::test_tools::tolerance(1e-12));
    const std::string text = refusal(r, {"a", "b", "c", "d", "e", "f"});
    BOOST_TEST(has(text, "\"b\", \"d\" and \"f\" contradict"));
    BOOST_TEST(has(text, "0.555"));
}

BOOST_AUTO_TEST_CASE(a_coefficient_beyond_one_is_named) {
    MatrixXd r = MatrixXd::Identity(2, 2);
    r(0, 1) = r(1, 0) = 1.2;
    BOOST_TEST(has(refusal(r, {"u", "i"}), "\"u\" and \"i\" is 1.2"));
    r(0, 1) = r(1, 0) = std::nan("");
    BOOST_TEST(has(refusal(r, {"u", "i"}), "between -1 and 1"));
}

BOOST_AUTO_TEST_CASE(factors_give_the_matrix_back) {
    std::vector<MatrixXd> cases{MatrixXd(0, 0),
                                MatrixXd::Identity(1, 1),
                                three(0.3, -0.2, 0.5),
                                three(1, 0.4, 0.4),
                                three(1, 1, 1),
                                three(-1, 0, 0),
                                three(-0.5, -0.5, -0.5)};
    // Ten quantities from three causes: rank 3.
    std::vector<double> u(30);
    fill_uniform(3, 3, 0, u);
    const MatrixXd causes = Eigen::Map<const MatrixXd>(u.data(), 10, 3).array() - 0.5;
    cases.push_back(correlation(causes * causes.transpose()));
    for (const MatrixXd& r : cases) {
        const std::vector<std::string> names(static_cast<std::size_t>(r.rows()), "q");
        const MatrixXd l = correlation_factor(r, names);
        BOOST_TEST(l.isLowerTriangular());
        BOOST_TEST(((l * l.transpose() - r).array().abs() < 1e-9).all(), r);
    }
}

BOOST_AUTO_TEST_CASE(an_added_quantity_leaves_the_rows_before_it) {
    const std::vector<std::string> names{"a", "b", "c"};
    const MatrixXd r = three(0.3, -0.2, 0.5);
    const MatrixXd two = r.topLeftCorner(2, 2);
    const MatrixXd all = correlation_factor(r, names);
    BOOST_TEST((correlation_factor(two, std::span(names).first(2)) == all.topLeftCorner(2, 2)));
}

BOOST_AUTO_TEST_CASE(joint_moments_of_whole_numbers) {
    MatrixXd y(2, 4);
    y << 1, 2, 3, 6, 2, 0, 2, 4; // means 3 and 2; deviations −2 −1 0 3 and 0 −2 0 2
    const JointMoments m = joint_moments(y);
    MatrixXd expected(2, 2);
    expected << 14, 8, 8, 8;
    BOOST_TEST(m.mean(0) == 3.0);
    BOOST_TEST(m.mean(1) == 2.0);
    BOOST_TEST((m.sum2 == expected));
    BOOST_TEST(m.covariance()(0, 1) == 8.0 / 3);
    BOOST_TEST(correlation(m.covariance())(0, 1) == 8 / std::sqrt(112.0),
               boost::test_tools::tolerance(1e-14));
}

BOOST_AUTO_TEST_CASE(merged_blocks_are_the_whole_and_agree_with_single_moments) {
    const MatrixXd r = three(0.7, -0.3, 0.1);
    const std::vector<std::string> names{"a", "b", "c"};
    constexpr Eigen::Index n = 200000;
    MatrixXd z(3, n);
    for (Eigen::Index i = 0; i < 3; ++i) {
        std::vector<double> u(n);
        fill_uniform(1, static_cast<std::uint64_t>(i), 0, u);
        normal_quantile(u);
        z.row(i) = Eigen::Map<const Eigen::RowVectorXd>(u.data(), n);
    }
    const MatrixXd y = ((correlation_factor(r, names) * z).array() + 1e3).matrix();
    const JointMoments whole = joint_moments(y);
    JointMoments parts;
    for (Eigen::Index at = 0; at < n; at += 2048)
        merge_into(parts, joint_moments(y.middleCols(at, std::min<Eigen::Index>(2048, n - at))));
    BOOST_TEST(parts.count == whole.count);
    BOOST_TEST(((parts.mean - whole.mean).array().abs() < 1e-11).all());
    BOOST_TEST(((parts.sum2 - whole.sum2).array().abs() < 1e-12 * static_cast<double>(n)).all());
    for (Eigen::Index i = 0; i < 3; ++i) {
        const Eigen::RowVectorXd row = y.row(i);
        const Moments single = moments({row.data(), static_cast<std::size_t>(n)});
        BOOST_TEST(single.sum2 == whole.sum2(i, i), boost::test_tools::tolerance(1e-11));
    }
    // The drawn coefficients: 6.2 standard errors (1 − r²)/√n, by chance once in 1.8e9.
    const MatrixXd seen = correlation(whole.covariance());
    for (const auto& [i, j] : {std::pair{0, 1}, {0, 2}, {1, 2}})
        BOOST_TEST(std::abs(seen(i, j) - r(i, j)) <
                   6.2 * (1 - r(i, j) * r(i, j)) / std::sqrt(double{n}));
}

BOOST_AUTO_TEST_CASE(a_quantity_without_variance_is_uncorrelated) {
    MatrixXd c = MatrixXd::Zero(2, 2);
    c(0, 0) = 4;
    BOOST_TEST(correlation(c).isIdentity(0));
    BOOST_TEST(joint_moments(MatrixXd::Ones(2, 1)).covariance().isZero(0));
}

BOOST_AUTO_TEST_SUITE_END()
