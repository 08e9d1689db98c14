// SPDX-License-Identifier: MIT
#include "holdable/model/derivatives.hpp"

#include <limits>
#include <numbers>

namespace holdable::model {
namespace {

// A Taylor series in two small quantities i and j with i² = 0 and j³ = 0:
//   c0 + ci·i + cj·j + cij·ij + cjj·j² + cijj·ij².
// With x_i + i and x_j + j as inputs (both on the same input if i = j) the output's coefficients
// are f, f_i, f_j, f_ij, f_jj/2 and f_ijj/2. A coefficient of degree d depends on those of degree
// ≤ d only, so a pole of a higher derivative does not spoil the lower ones.
struct Series {
    double c0 = 0, ci = 0, cj = 0, cij = 0, cjj = 0, cijj = 0;

    Series() = default;

    explicit Series(double constant) : c0(constant) {}

    Series(double a, double b, double c, double d, double e, double f)
        : c0(a), ci(b), cj(c), cij(d), cjj(e), cijj(f) {}

    bool operator==(const Series&) const = default;

    bool is_constant() const { return *this == Series(c0); }
};

// No derivative of any order, as at a kink.
Series broken(double value) {
    constexpr double nan = std::numeric_limits<double>::quiet_NaN();
    return {value, nan, nan, nan, nan, nan};
}

// A function of one argument by its value and three derivatives there (Faà di Bruno's formula).
Series compose(const Series& n, double f, double f1, double f2, double f3) {
    if (n.is_constant())
        return Series(f);
    return {f,
            f1 * n.ci,
            f1 * n.cj,
            f1 * n.cij + f2 * (n.ci * n.cj),
            f1 * n.cjj + f2 * (n.cj * n.cj) / 2,
            f1 * n.cijj + f2 * (n.ci * n.cjj + n.cj * n.cij) + f3 * (n.ci * n.cj * n.cj) / 2};
}

Series operator-(const Series& a) {
    return {-a.c0, -a.ci, -a.cj, -a.cij, -a.cjj, -a.cijj};
}

Series operator+(const Series& a, const Series& b) {
    return {a.c0 + b.c0, a.ci + b.ci, a.cj + b.cj, a.cij + b.cij, a.cjj + b.cjj, a.cijj + b.cijj};
}

Series operator-(const Series& a, const Series& b) {
    return a + -b;
}

Series operator*(const Series& a, const Series& b) {
    return {a.c0 * b.c0,
            a.c0 * b.ci + a.ci * b.c0,
            a.c0 * b.cj + a.cj * b.c0,
            a.c0 * b.cij + a.ci * b.cj + a.cj * b.ci + a.cij * b.c0,
            a.c0 * b.cjj + a.cj * b.cj + a.cjj * b.c0,
            a.c0 * b.cijj + a.ci * b.cjj + a.cj * b.cij + a.cij * b.cj + a.cjj * b.ci +
                a.cijj * b.c0};
}

// The same series with the value the plain operation gives, so that f has no other rounding.
Series with_value(Series a, double value) {
    a.c0 = value;
    return a;
}

Series operator/(const Series& a, const Series& b) {
    const double r = 1 / b.c0;
    return with_value(a * compose(b, r, -r * r, 2 * r * r * r, -6 * r * r * r * r), a.c0 / b.c0);
}

Series sqrt(const Series& a) {
    const double s = std::sqrt(a.c0);
    return compose(a, s, 0.5 / s, -0.25 / (a.c0 * s), 0.375 / (a.c0 * a.c0 * s));
}

Series exp(const Series& a) {
    const double e = elementary::exp(a.c0);
    return compose(a, e, e, e, e);
}

Series log(const Series& a) {
    const double r = 1 / a.c0;
    return compose(a, elementary::log(a.c0), r, -r * r, 2 * r * r * r);
}

Series log10(const Series& a) {
    const double r = 1 / a.c0, m = std::numbers::log10e;
    return compose(a, std::log10(a.c0), m * r, -m * r * r, 2 * m * r * r * r);
}

// k(k−1)… x^(k−order): no pole at zero where the factor is zero.
double power_derivative(double x, double k, int order) {
    double factor = 1;
    for (int n = 0; n < order; ++n)
        factor *= k - n;
    return factor == 0 ? 0 : factor * std::pow(x, k - order);
}

Series pow(const Series& a, const Series& b) {
    const double value = std::pow(a.c0, b.c0), k = b.c0;
    if (b.is_constant())
        return compose(a,
                       value,
                       power_derivative(a.c0, k, 1),
                       power_derivative(a.c0, k, 2),
                       power_derivative(a.c0, k, 3));
    return with_value(exp(b * log(a)), value);
}

Series sin(const Series& a) {
    const double s = std::sin(a.c0), c = std::cos(a.c0);
    return compose(a, s, c, -s, -c);
}

Series cos(const Series& a) {
    const double s = std::sin(a.c0), c = std::cos(a.c0);
    return compose(a, c, -s, -c, s);
}

Series tan(const Series& a) {
    const double t = std::tan(a.c0), d = 1 + t * t;
    return compose(a, t, d, 2 * t * d, d * (2 + 6 * t * t));
}

Series asin(const Series& a) {
    const double x = a.c0, q = 1 / std::sqrt((1 - x) * (1 + x)), q3 = q * q * q;
    return compose(a, std::asin(x), q, x * q3, (1 + 2 * x * x) * q3 * q * q);
}

Series acos(const Series& a) {
    return with_value(-asin(a), std::acos(a.c0));
}

Series atan(const Series& a) {
    const double x = a.c0, r = 1 / (1 + x * x);
    return compose(a, std::atan(x), r, -2 * x * r * r, (6 * x * x - 2) * r * r * r);
}

// Turned by the angle at the point, where it is the arc tangent of something small.
Series atan2(const Series& y, const Series& x) {
    const double value = std::atan2(y.c0, x.c0);
    if (y.is_constant() && x.is_constant())
        return Series(value);
    const bool on_the_cut = y.c0 == 0 && x.c0 <= 0;
    if (on_the_cut)
        return broken(value);
    const double r = std::hypot(x.c0, y.c0);
    const Series c(x.c0 / r), s(y.c0 / r);
    return with_value(atan((y * c - x * s) / (x * c + y * s)), value);
}

Series sinh(const Series& a) {
    const double s = std::sinh(a.c0), c = std::cosh(a.c0);
    return compose(a, s, c, s, c);
}

Series cosh(const Series& a) {
    const double s = std::sinh(a.c0), c = std::cosh(a.c0);
    return compose(a, c, s, c, s);
}

Series tanh(const Series& a) {
    const double t = std::tanh(a.c0), d = 1 - t * t;
    return compose(a, t, d, -2 * t * d, d * (6 * t * t - 2));
}

Series abs(const Series& a) {
    if (a.c0 == 0 && !a.is_constant())
        return broken(0);
    return a.c0 < 0 ? -a : a;
}

Series min(const Series& a, const Series& b) {
    if (a.c0 == b.c0 && !(a == b))
        return broken(a.c0);
    return b.c0 < a.c0 ? b : a;
}

Series max(const Series& a, const Series& b) {
    if (a.c0 == b.c0 && !(a == b))
        return broken(a.c0);
    return a.c0 < b.c0 ? b : a;
}

// Scaled by the larger side, so that squares neither overflow nor vanish.
Series hypot(const Series& a, const Series& b) {
    const double value = std::hypot(a.c0, b.c0);
    if (a.is_constant() && b.is_constant())
        return Series(value);
    if (value == 0)
        return broken(value);
    const Series down(1 / value), p = a * down, q = b * down;
    return with_value(Series(value) * sqrt(p * p + q * q), value);
}

} // namespace

Derivatives derivatives(const Tape& tape,
                        std::size_t output,
                        const std::vector<double>& inputs,
                        const std::vector<std::size_t>& varying) {
    assert(output < tape.outputs.size());
    Tape one{tape.inputs, tape.code, {tape.outputs[output]}};
    const std::size_t n = varying.size();
    Derivatives result;
    result.value = values(one, inputs).front();
    result.first.resize(n);
    result.second.assign(n, std::vector<double>(n));
    result.third = result.second;

    std::vector<Series> registers(tape.registers());
    for (std::size_t k = 0; k < tape.inputs; ++k)
        registers[k] = Series(inputs[k]);
    for (std::size_t i = 0; i < n; ++i)
        for (std::size_t j = 0; j < n; ++j) {
            auto& x_i = registers[varying[i]];
            auto& x_j = registers[varying[j]];
            x_i.ci = 1;
            x_j.cj = 1;
            evaluate(tape, registers);
            const Series& f = registers[one.outputs.front()];
            result.first[i] = f.ci;
            // Rounding may differ between (i, j) and (j, i); one of them serves both.
            if (i <= j)
                result.second[i][j] = result.second[j][i] = f.cij;
            result.third[i][j] = 2 * f.cijj;
            x_i = Series(inputs[varying[i]]);
            x_j = Series(inputs[varying[j]]);
        }

    const auto finite = [](const std::vector<double>& row) {
        return std::all_of(row.begin(), row.end(), [](double d) { return std::isfinite(d); });
    };
    if (!finite(result.first))
        result.order = 0;
    else if (!std::all_of(result.second.begin(), result.second.end(), finite))
        result.order = 1;
    else if (!std::all_of(result.third.begin(), result.third.end(), finite))
        result.order = 2;
    const std::vector<std::vector<double>> zeros(n, std::vector<double>(n));
    if (result.order < 1)
        result.first.assign(n, 0);
    if (result.order < 2)
        result.second = zeros;
    if (result.order < 3)
        result.third = zeros;
    return result;
}

} // namespace holdable::model
