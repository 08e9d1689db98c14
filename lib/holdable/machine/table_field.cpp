// SPDX-License-Identifier: MIT
#include "holdable/machine/table_field.hpp"

#include <Eigen/Eigenvalues>
#include <Eigen/QR>

#include <algorithm>
#include <cassert>
#include <cmath>
#include <vector>

namespace holdable {
namespace {

constexpr double left_out = 1e-3; // of the variance
constexpr int knots = curve_knots;

/// Eigenshapes of one side, shape knots × knots; their variances ascend.
Eigen::SelfAdjointEigenSolver<Eigen::MatrixXd> side_shapes(double side, double correlation) {
    Eigen::MatrixXd covariance(knots, knots);
    for (int i = 0; i < knots; ++i)
        for (int j = 0; j < knots; ++j) {
            const double r = std::sqrt(3.0) * side * std::abs(i - j) / (knots - 1) / correlation;
            covariance(i, j) = (1 + r) * std::exp(-r);
        }
    return Eigen::SelfAdjointEigenSolver<Eigen::MatrixXd>(covariance);
}

/// The sign of an eigenvector is the library's whim; draws must not depend on it.
Eigen::VectorXd with_fixed_sign(Eigen::VectorXd shape) {
    Eigen::Index largest = 0;
    shape.cwiseAbs().maxCoeff(&largest);
    return shape[largest] < 0 ? Eigen::VectorXd(-shape) : shape;
}

/// An orthonormal basis of the planes over the knots, shape knots² × 3.
Eigen::MatrixXd planes() {
    Eigen::MatrixXd plane(knots * knots, 3);
    for (int i = 0; i < knots; ++i)
        for (int j = 0; j < knots; ++j)
            plane.row(i * knots + j) << 1, i - (knots - 1) / 2.0, j - (knots - 1) / 2.0;
    plane.colwise().normalize(); // orthogonal already, by symmetry
    return plane;
}

} // namespace

void TableArea::include(const TableArea& other) {
    x_low = std::min(x_low, other.x_low);
    x_high = std::max(x_high, other.x_high);
    y_low = std::min(y_low, other.y_low);
    y_high = std::max(y_high, other.y_high);
}

bool TableArea::contains(double x, double y) const {
    constexpr double touching = 1e-6;
    return x >= x_low - touching && x <= x_high + touching && y >= y_low - touching &&
           y <= y_high + touching;
}

TableArea travel_area(const Travel& x, const Travel& y) {
    return {x.low, x.high, y.low, y.high};
}

TableField::TableField(const TableArea& area, double sigma) : area_(area) {
    const double along_x = area.x_high - area.x_low;
    const double along_y = area.y_high - area.y_low;
    assert(along_x > 0 && along_y > 0);
    const double correlation = std::max(along_x, along_y) / 3;
    const auto x = side_shapes(along_x, correlation);
    const auto y = side_shapes(along_y, correlation);

    struct Product {
        double variance;
        int i, j;
    };

    std::vector<Product> products;
    for (int i = 0; i < knots; ++i)
        for (int j = 0; j < knots; ++j)
            products.push_back({x.eigenvalues()[i] * y.eigenvalues()[j], i, j});
    std::stable_sort(products.begin(), products.end(), [](const Product& a, const Product& b) {
        return a.variance > b.variance;
    });
    std::size_t kept = 0;
    const double total = x.eigenvalues().sum() * y.eigenvalues().sum();
    for (double rest = total; kept < products.size() && rest > left_out * total; ++kept)
        rest -= products[kept].variance;
    basis_.resize(knots * knots, static_cast<Eigen::Index>(kept));
    for (std::size_t k = 0; k < kept; ++k) {
        const auto& p = products[k];
        const Eigen::VectorXd u = with_fixed_sign(x.eigenvectors().col(p.i));
        const Eigen::VectorXd v = with_fixed_sign(y.eigenvectors().col(p.j));
        for (int i = 0; i < knots; ++i)
            basis_.col(static_cast<Eigen::Index>(k)).segment(i * knots, knots) =
                sigma * std::sqrt(p.variance) * u[i] * v;
    }
    const Eigen::MatrixXd plane = planes();
    basis_ -= plane * (plane.transpose() * basis_);
}

Eigen::RowVectorXd TableField::weights(double x, double y) const {
    const auto place = [](double at, double low, double high) {
        const double s = std::clamp((at - low) / (high - low), 0.0, 1.0) * (knots - 1);
        const int left = std::min(static_cast<int>(s), knots - 2);
        return std::pair(left, s - left);
    };
    const auto [i, u] = place(x, area_.x_low, area_.x_high);
    const auto [j, v] = place(y, area_.y_low, area_.y_high);
    const auto at = [&](int a, int b) { return basis_.row(a * knots + b); };
    return (1 - u) * ((1 - v) * at(i, j) + v * at(i, j + 1)) +
           u * ((1 - v) * at(i + 1, j) + v * at(i + 1, j + 1));
}

double table_sigma(double upper) {
    return upper / 4;
}

} // namespace holdable
