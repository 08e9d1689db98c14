// SPDX-License-Identifier: MIT
// Linear least squares. Against the NIST Statistical Reference Datasets (tests/reference/
// regression.json), certified to 15 digits by multiple-precision arithmetic: each set asks for the
// digits that its condition leaves to double precision. Against GUM H.3 to its printed digits, a
// linearity study, and closed forms worked here. Weights against the same readings repeated.
#include "holdable/stats/regression.hpp"

#include "holdable/base/error.hpp"
#include "reference.hpp"

#include <boost/test/unit_test.hpp>

#include <cmath>

using namespace holdable;
using namespace holdable::stats;
using Eigen::MatrixXd;
using Eigen::VectorXd;
namespace tt = boost::test_tools;

namespace {

VectorXd vector(const nlohmann::json& list) {
    const auto x = reference::numbers(list);
    return Eigen::Map<const VectorXd>(x.data(), static_cast<Eigen::Index>(x.size()));
}

/// Columns x^low … x^high.
MatrixXd powers(const VectorXd& x, int low, int high) {
    MatrixXd design(x.size(), high - low + 1);
    for (int k = low; k <= high; ++k)
        design.col(k - low) = x.array().pow(k);
    return design;
}

MatrixXd design_of(const nlohmann::json& set) {
    const auto model = set["model"].get<std::string>();
    if (model.rfind("powers ", 0) == 0)
        return powers(vector(set["x"][0]), model[7] - '0', model[9] - '0');
    MatrixXd design = MatrixXd::Ones(static_cast<Eigen::Index>(set["y"].size()),
                                     static_cast<Eigen::Index>(set["x"].size()) + 1);
    for (std::size_t j = 0; j < set["x"].size(); ++j)
        design.col(static_cast<Eigen::Index>(j) + 1) = vector(set["x"][j]);
    return design;
}

std::vector<std::string> names(Eigen::Index count) {
    std::vector<std::string> result;
    for (Eigen::Index j = 0; j < count; ++j)
        result.push_back("b" + std::to_string(j));
    return result;
}

std::string refusal(const MatrixXd& design, const VectorXd& y, const VectorXd& weights = {}) {
    try {
        fit(design, y, names(design.cols()), weights);
    } catch (const NumericError& error) {
        return error.what();
    }
    return "";
}

bool has(const std::string& text, const std::string& word) {
    return text.find(word) != std::string::npos;
}

} // namespace

BOOST_AUTO_TEST_SUITE(regression)

BOOST_AUTO_TEST_CASE(reference_datasets) {
    for (const auto& set : reference::sets("regression", "sets")) {
        const auto name = set["name"].get<std::string>();
        const MatrixXd design = design_of(set);
        const LinearFit f = fit(design, vector(set["y"]), names(design.cols()));
        const VectorXd b = vector(set["coefficients"]), sd = vector(set["standard"]);
        const double wanted = set["digits"].get<double>();
        BOOST_TEST(f.dof == static_cast<double>(design.rows() - design.cols()), name);
        const MatrixXd c = f.covariance();
        for (Eigen::Index j = 0; j < b.size(); ++j) {
            const double got = reference::digits(f.coefficients(j), b(j));
            BOOST_TEST(got >= wanted, name << " b" << j << ": " << got << " digits");
            // A fit without residuals leaves rounding only: its size against that of y.
            const double own = std::sqrt(c(j, j));
            if (sd(j) == 0)
                BOOST_TEST(own < 1e-9, name << " s(b" << j << ") = " << own);
            else
                BOOST_TEST(reference::digits(own, sd(j)) >= wanted,
                           name << " s(b" << j << "): " << reference::digits(own, sd(j)));
        }
        const double s = set["residual_standard_deviation"].get<double>();
        if (s > 0)
            BOOST_TEST(reference::digits(f.residual_standard_deviation, s) >= wanted,
                       name << " s: " << reference::digits(f.residual_standard_deviation, s));
    }
}

BOOST_AUTO_TEST_CASE(thermometer_line) {
    // GUM H.3, Table H.6: y1 = -0.1712, s 0.0029; y2 = 0.00218, s 0.00067; r = -0.930; s = 0.0035;
    // b(30 °C) = -0.1494, u = 0.0041, 9 degrees of freedom (text).
    VectorXd t(11), b(11);
    t << 21.521, 22.012, 22.512, 23.003, 23.507, 23.999, 24.513, 25.002, 25.503, 26.010, 26.511;
    b << -0.171, -0.169, -0.166, -0.159, -0.164, -0.165, -0.156, -0.157, -0.159, -0.161, -0.160;
    const LinearFit f = fit_line(t, b, 20);
    const MatrixXd c = f.covariance();
    const auto prints = [](double x, double printed, double digit) {
        BOOST_TEST(std::abs(x - printed) <= 0.5 * digit, x << ", not " << printed);
    };
    prints(f.coefficients(0), -0.1712, 1e-4);
    prints(std::sqrt(c(0, 0)), 0.0029, 1e-4);
    prints(f.coefficients(1), 0.00218, 1e-5);
    prints(std::sqrt(c(1, 1)), 0.00067, 1e-5);
    prints(c(0, 1) / std::sqrt(c(0, 0) * c(1, 1)), -0.930, 1e-3);
    prints(f.residual_standard_deviation, 0.0035, 1e-4);
    BOOST_TEST(f.dof == 9.0);
    const Prediction at = predict(f, Eigen::Vector2d(1, 10));
    prints(at.value, -0.1494, 1e-4);
    prints(at.standard, 0.0041, 1e-4);
    BOOST_TEST(at.standard_of_reading == std::hypot(at.standard, f.residual_standard_deviation),
               tt::tolerance(1e-14));
}

BOOST_AUTO_TEST_CASE(a_line_has_its_closed_form, *boost::unit_test::tolerance(1e-13)) {
    // x = 0 … 4, y = 1 2 2 5 5: x̄ = 2, S_xx = 10, S_xy = 11, ȳ = 3, by hand.
    VectorXd x(5), y(5);
    x << 0, 1, 2, 3, 4;
    y << 1, 2, 2, 5, 5;
    const LinearFit f = fit_line(x, y);
    BOOST_TEST(f.coefficients(1) == 1.1);
    BOOST_TEST(f.coefficients(0) == 0.8);
    BOOST_TEST(f.inverse_normal(1, 1) == 0.1);
    BOOST_TEST(f.inverse_normal(0, 0) == 1.0 / 5 + 4.0 / 10);
    BOOST_TEST(f.inverse_normal(0, 1) == -0.2);
    // Σ e² = S_yy − S_xy²/S_xx = 14 − 12.1.
    BOOST_TEST(f.residual_standard_deviation == std::sqrt(1.9 / 3));
    BOOST_TEST(f.residuals(3) == 0.9);
    BOOST_TEST(predict(f, Eigen::Vector2d(1, 2)).standard == std::sqrt(1.9 / 3 / 5));
}

BOOST_AUTO_TEST_CASE(a_weight_stands_for_repeated_readings, *boost::unit_test::tolerance(1e-12)) {
    VectorXd x(4), y(4), w(4), xx(7), yy(7);
    x << 1, 2, 4, 8;
    y << 0.3, 0.1, 0.7, 1.9;
    w << 3, 1, 2, 1;
    xx << 1, 1, 1, 2, 4, 4, 8;
    yy << 0.3, 0.3, 0.3, 0.1, 0.7, 0.7, 1.9;
    const LinearFit a = fit_line(x, y, 0, w), b = fit_line(xx, yy);
    for (Eigen::Index i = 0; i < 2; ++i) {
        BOOST_TEST(a.coefficients(i) == b.coefficients(i));
        for (Eigen::Index j = 0; j < 2; ++j)
            BOOST_TEST(a.inverse_normal(i, j) == b.inverse_normal(i, j));
    }
    // The same sum of squares over 2 and 5 degrees of freedom.
    BOOST_TEST(std::pow(a.residual_standard_deviation, 2) * 2 ==
               std::pow(b.residual_standard_deviation, 2) * 5);
    // Weights 1/u² with equal u: (Xᵀ W X)⁻¹ is the covariance of that u.
    const LinearFit known = fit_line(x, y, 0, VectorXd::Constant(4, 1 / (0.2 * 0.2)));
    BOOST_TEST(known.inverse_normal(1, 1) == 0.04 * fit_line(x, y).inverse_normal(1, 1));
}

BOOST_AUTO_TEST_CASE(linearity_of_a_gauge) {
    // Five references, twelve readings each: bias = 0.736667 − 0.131667 x, s = 0.23954, t of the
    // slope −12.043 (data and fit from memory, agreeing; t recomputed by another method).
    const double at[] = {2, 4, 6, 8, 10};
    const auto sets = reference::load("linearity");
    VectorXd x(60), y(60);
    for (Eigen::Index i = 0; i < 60; ++i) {
        x(i) = at[i / 12];
        y(i) = sets["readings"][static_cast<std::size_t>(i / 12)][static_cast<std::size_t>(i % 12)]
                   .get<double>() -
               x(i);
    }
    const LinearFit f = fit_line(x, y);
    BOOST_TEST(f.coefficients(1) == -0.1316666667, tt::tolerance(1e-9));
    BOOST_TEST(f.coefficients(0) == 0.7366666667, tt::tolerance(1e-9));
    BOOST_TEST(f.residual_standard_deviation == 0.2395397886, tt::tolerance(1e-9));
    BOOST_TEST(f.coefficients(1) / std::sqrt(f.covariance()(1, 1)) == -12.04255941,
               tt::tolerance(1e-9));
}

BOOST_AUTO_TEST_CASE(what_cannot_be_told_apart_is_named) {
    const VectorXd x = VectorXd::LinSpaced(9, 0, 4);
    MatrixXd design = powers(x, 0, 2);
    BOOST_TEST(refusal(design, x).empty());
    design.col(2) = 3 * x.array() - 1;
    const std::string text = refusal(design, x);
    BOOST_TEST(
        (has(text, "combination") && (has(text, "b0") || has(text, "b1") || has(text, "b2"))));
    // The unit of a column does not matter to "singular".
    design = powers(x, 0, 2);
    design.col(2) *= 1e-30;
    BOOST_TEST(refusal(design, x).empty());
    design.col(1).setZero();
    BOOST_TEST(has(refusal(design, x), "\"b1\": its column is 0"));
    BOOST_CHECK_THROW(fit_line(VectorXd::Ones(4), VectorXd::Ones(4)), NumericError);
    BOOST_TEST(has(refusal(powers(x.head(3), 0, 2), x.head(3)), "needs more than 3 readings"));
    VectorXd w = VectorXd::Ones(9);
    for (const double wrong : {0.0, -1.0, std::nan(""), HUGE_VAL}) {
        w(4) = wrong;
        BOOST_TEST(has(refusal(powers(x, 0, 1), x, w), "weight"));
    }
}

BOOST_AUTO_TEST_SUITE_END()
