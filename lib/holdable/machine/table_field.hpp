// SPDX-License-Identifier: MIT
/// The form of the table as a smooth field over it, before and after anything was measured.
///
/// Field. The height h(x, y) of the table over its own least-squares plane is bilinear on 41 × 41
/// equal knots over the table. Before a reading it is smooth and of no known shape: zero mean,
/// covariance σ² k(Δx) k(Δy) with k(r) = (1 + √3 r/ℓ) exp(-√3 r/ℓ) (Matérn, 3/2), correlation
/// length ℓ = a third of the longer side. The plane is taken out by a projection on the knots. So
/// doubt between the stations of a map, and beyond them, comes by itself, as along the curves of an
/// axis (curves.hpp).
///
/// Shapes. h = weights · ζ with ζ independent, zero mean and variance 1: products of the
/// eigenshapes of both sides, the widest first, until less than 1e-3 of the variance is left out;
/// about 100.
///
/// Gauge. The plane itself is not of the field: against the motion of X and Y it is two slopes of
/// the model, against gravity it is how the machine stands.
#pragma once

#include "holdable/machine/curves.hpp"

#include <Eigen/Core>

namespace holdable {

/// A rectangle of the table, in machine coordinates of X and Y with the tool above (m).
struct TableArea {
    double x_low = 0, x_high = 0, y_low = 0, y_high = 0;

    /// Grows so that it holds the other, too.
    void include(const TableArea& other);

    bool contains(double x, double y) const;
};

/// What the tool reaches.
TableArea travel_area(const Travel& x, const Travel& y);

/// What maps said of the shapes: mean, shape k, and covariance, shape k × k.
struct TableKnowledge {
    Eigen::VectorXd mean;
    Eigen::MatrixXd covariance;
};

/// A table's form as a linear form of its shapes.
class TableField {
  public:
    /// @param sigma standard deviation before the plane is taken out (m)
    TableField(const TableArea& area, double sigma);

    const TableArea& area() const { return area_; }

    /// How many shapes there are.
    Eigen::Index shapes() const { return basis_.cols(); }

    /// h(x, y) = weights · ζ, shape k; beyond the area the nearer edge counts (m).
    Eigen::RowVectorXd weights(double x, double y) const;

  private:
    TableArea area_;
    Eigen::MatrixXd basis_; // knots (x slow, y fast) × k
};

/// σ of a table whose peak-to-valley over its plane exceeds `upper` in one case of twenty (m): the
/// 95 % point is 3.5 to 4.5 σ for sides of 1 : 2.6 to 1 : 1 (4000 simulated tables each).
double table_sigma(double upper);

} // namespace holdable
