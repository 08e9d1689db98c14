// SPDX-License-Identifier: MIT
// How many digits the library's functions reach, against 50-digit references (wide.hpp): a table in
// Markdown, which docs/accuracy.md holds. An error is not taken as a difference of two roundings:
// the library's x is put into the wide distribution function, and one step of Newton's method from
// there gives its distance from the true x, to twice the digits it agrees to.
//
//   accuracy               prints the table
//   accuracy PAGE          writes it into the page
//   accuracy --check PAGE  exit status 1 if an error is beyond its bound, or the page says another
//                          function, domain or bound; the errors themselves may differ by the C
//                          library
#include "holdable/decide/capability.hpp"
#include "holdable/decide/rule.hpp"
#include "holdable/decide/tolerance_interval.hpp"
#include "holdable/model/formula.hpp"
#include "holdable/propagate/closed_forms.hpp"
#include "holdable/propagate/gum.hpp"
#include "holdable/stats/distribution.hpp"
#include "holdable/stats/minimum_zone.hpp"
#include "holdable/stats/normal.hpp"
#include "holdable/stats/regression.hpp"
#include "holdable/stats/sample.hpp"
#include "table.hpp"

#include <Eigen/LU>
#include <fmt/format.h>

#include <cmath>
#include <cstdio>
#include <fstream>
#include <iterator>
#include <limits>
#include <numbers>
#include <string>
#include <string_view>
#include <vector>

// What Eigen needs to know of a number of 50 digits.
template <>
struct Eigen::NumTraits<wide::Big> : Eigen::GenericNumTraits<wide::Big> {
    enum {
        IsComplex = 0,
        IsInteger = 0,
        IsSigned = 1,
        RequireInitialization = 1,
        ReadCost = 4,
        AddCost = 8,
        MulCost = 16
    };

    static wide::Big epsilon() { return wide::epsilon; }

    static wide::Big dummy_precision() { return wide::Big(1e-40); }

    static int digits10() { return 50; }
};

using namespace holdable;

namespace {

// ---- laws

void normal_law() {
    Worst cdf, quantile;
    for (double z = -37; z <= 37; z += 0.3713)
        cdf.relative(stats::normal_cdf(z), wide::normal_cdf(z));
    cdf.add("`normal_cdf`", "z from -37 to 37", "relative", 2e-13);
    for (const double p : chances()) {
        const double z = stats::normal_quantile(p);
        if (z != 0)
            quantile(off(wide::normal_cdf(z), p, wide::normal_density(z)) / z);
    }
    quantile.add("`normal_quantile`", "p from 2^-53 to 1 - 2^-53", "relative", 1e-15);
}

void student_law() {
    Worst worst, table;
    for (const double nu : {1.0, 1.5, 2.0, 3.0, 7.0, 30.0, 1000.0}) {
        const stats::Student law{0, 1, nu};
        const auto draw = stats::sampler(law);
        for (const double p : chances(3)) {
            const double x = stats::quantile(law, p);
            if (x == 0)
                continue;
            worst(off(wide::student_cdf(x, nu), p, wide::student_density(x, nu)) / x);
            double drawn = p;
            draw({&drawn, 1});
            table(off(wide::student_cdf(drawn, nu), p, wide::student_density(drawn, nu)) /
                  std::max(1.0, std::abs(drawn)));
        }
    }
    worst.add(
        "`quantile` of `Student`", "1 to 1000 degrees of freedom, p as above", "relative", 1e-13);
    table.add("its table for draws", "the same", "of u or x, the larger", 1e-9);
    Worst factor;
    for (const double nu : {1.0, 2.0, 4.5, 10.0, 50.0, 200.0, 1e5})
        for (const double p : {0.5, 0.6827, 0.90, 0.95, 0.9545, 0.99, 0.9973, 0.999999}) {
            const double k = propagate::coverage_factor(p, nu);
            factor(off(2 * wide::student_cdf(k, nu) - 1, p, 2 * wide::student_density(k, nu)) / k);
        }
    for (const double p : {0.5, 0.6827, 0.90, 0.95, 0.9545, 0.99, 0.9973, 0.999999}) {
        const double k = propagate::coverage_factor(p, {});
        factor(off(2 * wide::normal_cdf(k) - 1, p, 2 * wide::normal_density(k)) / k);
    }
    factor.add("`coverage_factor`",
               "1 to infinitely many degrees of freedom, 50 % to 99.9999 %",
               "relative",
               1e-13);
}

void gamma_law() {
    Worst worst, table;
    for (const double shape : {0.5, 1.0, 2.5, 8.0, 50.0, 1000.0}) {
        const stats::Gamma law{shape, std::sqrt(shape), {}};
        const auto draw = stats::sampler(law);
        // The shape is that of the two numbers as they are rounded, and so is the scale.
        const Big deviation = law.standard, a = Big(shape) * shape / (deviation * deviation),
                  scale = deviation * deviation / shape;
        const auto error = [&](double x, double p) {
            const auto tails = wide::gamma_tails(a, x / scale);
            const Big f = wide::gamma_density(x / scale, a) / scale;
            return p < 0.5 ? off(tails.below, p, f) : -off(tails.above, 1 - Big(p), f);
        };
        for (const double p : chances(3)) {
            const double x = stats::quantile(law, p);
            worst(error(x, p) / x);
            double drawn = p;
            draw({&drawn, 1});
            if (drawn > 0)
                table(error(drawn, p) / std::max(law.standard, std::abs(drawn - shape)));
        }
    }
    worst.add("`quantile` of `Gamma`", "shape 0.5 to 1000, p as above", "relative", 1e-13);
    table.add("its tables for draws", "the same", "of u or x - mean, the larger", 1e-9);
}

void bounded_laws() {
    Worst rectangle, triangle, arcsine, trapezoid, curved, curved_table, exponential;
    for (const double p : chances()) {
        const Big tail = std::min(p, 1 - p), sign = p < 0.5 ? -1 : 1;
        rectangle(stats::quantile(stats::Rectangular{0, 1, {}}, p) - (2 * Big(p) - 1));
        triangle(stats::quantile(stats::Triangular{0, 1, {}}, p) - sign * (1 - sqrt(2 * tail)));
        arcsine(stats::quantile(stats::Arcsine{0, 1, {}}, p) - sin(wide::pi * (Big(p) - 0.5)));
        for (const double top : {0.0, 0.25, 0.9, 1.0}) {
            const Big beta = top, slope = (1 - beta) / (1 + beta) / 2;
            const Big x = tail < slope ? Big(1 - sqrt(2 * (1 - beta * beta) * tail))
                                       : Big((Big(0.5) - tail) * (1 + beta));
            trapezoid(stats::quantile(stats::Trapezoid{0, 1, top, {}}, p) - sign * x);
        }
        for (const double doubt : {1e-6, 0.1, 0.5, 0.99}) {
            const stats::InexactRectangular law{0, 1, doubt, {}};
            // P(X > x) = (c − x − x ln(c/x))/4d beyond 1 − d, with c = 1 + d
            const Big d = doubt, c = 1 + d;
            const auto error = [&](double value) {
                const Big x = abs(Big(value));
                const Big flat = log(c / (1 - d)) / (4 * d);
                const Big above =
                    x > 1 - d ? Big((c - x - x * log(c / x)) / (4 * d)) : Big(Big(0.5) - x * flat);
                const Big f = x > 1 - d ? Big(log(c / x) / (4 * d)) : flat;
                return f > 0 ? Big(off(1 - above, 1 - tail, f)) : Big(0);
            };
            curved(error(stats::quantile(law, p)));
            double drawn = p;
            stats::sampler(law)({&drawn, 1});
            curved_table(error(drawn));
        }
        const double e = stats::quantile(stats::Exponential{1, {}}, p);
        exponential.relative(e, -log(1 - Big(p)));
    }
    rectangle.add("`quantile` of `Rectangular`", "p as above", "of the half-width", 1e-15);
    triangle.add("`quantile` of `Triangular`", "p as above", "of the half-width", 1e-15);
    arcsine.add("`quantile` of `Arcsine`", "p as above", "of the half-width", 1e-15);
    trapezoid.add(
        "`quantile` of `Trapezoid`", "top 0 to 1, p as above", "of the half-width", 1e-15);
    curved.add("`quantile` of `InexactRectangular`",
               "doubt 1e-6 to 0.99 of the half-width, p as above",
               "of the half-width",
               1e-13);
    curved_table.add("its table for draws", "the same", "of the half-width", 1e-10);
    exponential.add("`quantile` of `Exponential`", "p as above", "relative", 1e-15);
}

// ---- tolerance intervals, indices

void tolerance_factors() {
    Worst one, index, needed;
    const auto relative = [](const auto& cdf, double x, const Big& p) {
        const Big step = 1e-12 * std::max(1.0, std::abs(x)), here = cdf(Big(x));
        return Big(off(here, p, (cdf(Big(x) + step) - here) / step) / x);
    };
    for (const int n : {2, 5, 50})
        for (const double coverage : {0.5, 0.9973}) {
            const Big root = sqrt(Big(n));
            const auto basis = decide::Basis::of_readings(n);
            const Big z = stats::normal_quantile(coverage);
            const double k = decide::one_sided_factor(coverage, 0.95, basis);
            one(relative(
                [&](const Big& x) { return wide::noncentral_t_cdf(x * root, n - 1, z * root); },
                k,
                0.95));
        }
    one.add("`one_sided_factor`",
            "2 to 50 readings, 50 % to 99.73 % of the parts, 95 % confidence",
            "relative",
            1e-12);
    for (const int n : {5, 30})
        for (const double estimate : {0.4, 1.33}) {
            const auto basis = decide::Basis::of_readings(n);
            const Big root = 3 * sqrt(Big(n));
            const double low = decide::one_limit_index_lower(estimate, basis, 0.95);
            index(relative(
                [&](const Big& x) {
                    return wide::noncentral_t_cdf(estimate * root, n - 1, x * root);
                },
                low,
                0.95));
            const double wanted = decide::one_limit_index_needed(estimate, basis, 0.9);
            needed(relative(
                [&](const Big& x) {
                    return wide::noncentral_t_cdf(x * root, n - 1, estimate * root);
                },
                wanted,
                0.9));
        }
    index.add(
        "`one_limit_index_lower`", "5 and 30 readings, index 0.4 and 1.33", "relative", 1e-12);
    needed.add("`one_limit_index_needed`", "the same, 90 % confidence", "relative", 1e-12);

    // The other order of integration than the library's: over the deviation, outside. At u the mean
    // may lie d off, Φ(d + k u) − Φ(d − k u) = P; v² = u less where that begins, as d rises by a
    // root there.
    Worst two;
    for (const int n : {2, 15})
        for (const double coverage : {0.8, 0.99}) {
            const double k = decide::two_sided_factor(coverage, 0.9, decide::Basis::of_readings(n));
            const Big start = stats::normal_quantile((1 + coverage) / 2);
            const auto confidence = [&](const Big& factor) {
                const Big from = start / factor, reach = sqrt(wide::deviation_high(n - 1) - from);
                return wide::integral(
                    [&](const Big& v) {
                        const Big u = from + v * v, half = factor * u;
                        Big d = half; // falls off from one half at d = k u to nearly nothing: begin
                                      // beyond
                        for (int step = 0; step < 60; ++step) {
                            const Big inside =
                                wide::normal_cdf(half - d) + wide::normal_cdf(half + d) - 1;
                            const Big slope =
                                wide::normal_density(half + d) - wide::normal_density(half - d);
                            const Big move = slope == 0 ? Big(0) : Big((inside - coverage) / slope);
                            d -= move;
                            if (d < 0)
                                d = 0;
                            if (abs(move) < 1e-12 * (1 + d)) // the next would be below 1e-24
                                break;
                        }
                        return Big((2 * wide::normal_cdf(d * sqrt(Big(n))) - 1) *
                                   wide::deviation_density(u, n - 1) * 2 * v);
                    },
                    Big(0),
                    reach,
                    5);
            };
            const Big step = 1e-6 * k, here = confidence(k);
            two((here - 0.9) / ((confidence(k + step) - here) / step) / k);
        }
    two.add("`two_sided_factor`",
            "2 and 15 readings, 80 % and 99 % of the parts, 90 % confidence",
            "relative",
            1e-8);

    int wrong = 0;
    for (const double coverage : {0.5, 0.8, 0.95, 0.99})
        for (const double confidence : {0.5, 0.9, 0.95, 0.99}) {
            const int one_limit = decide::smallest_sample_one_limit(coverage, confidence);
            const int both = decide::smallest_sample_two_limits(coverage, confidence);
            const auto short_of_one = [&](int n) {
                return pow(Big(coverage), n) > 1 - Big(confidence);
            };
            const auto short_of_both = [&](int n) {
                return n < 2 || pow(Big(coverage), n - 1) * (n - (n - 1) * Big(coverage)) >
                                    1 - Big(confidence);
            };
            // A tie of the decimals that the doubles stand for may be rounded either way.
            const auto tie = [&](int n) {
                return abs(pow(Big(coverage), n) - (1 - Big(confidence))) < 1e-12;
            };
            wrong += !tie(one_limit) &&
                     (short_of_one(one_limit) || (one_limit > 1 && !short_of_one(one_limit - 1)));
            wrong += short_of_both(both) || !short_of_both(both - 1);
        }
    Worst sizes;
    sizes(wrong);
    sizes.add("`smallest_sample_one_limit`, `…_two_limits`",
              "50 % to 99 % of the parts and confidence",
              "wrong ones of 32",
              0);
}

void zones_and_rules() {
    Worst folded, folded_quantile;
    for (const double mean : {0.0, 0.3, 2.0, 9.0}) {
        for (double t = 0.05; t < 14; t *= 1.4)
            folded(propagate::folded_cdf(t, mean, 1) -
                   (wide::normal_cdf(t - mean) - wide::normal_cdf(-t - Big(mean))));
        for (const double p : {0.5, 0.9, 0.95, 0.9973, 0.999999}) {
            const double t = propagate::folded_quantile(p, mean, 1);
            folded_quantile(
                off(wide::normal_cdf(Big(t) - mean) - wide::normal_cdf(-Big(t) - mean),
                    p,
                    wide::normal_density(Big(t) - mean) + wide::normal_density(Big(t) + mean)) /
                t);
        }
    }
    folded.add(
        "`folded_cdf`", "mean 0 to 9, limit 0.05 to 14 standard deviations", "absolute", 1e-15);
    folded_quantile.add("`folded_quantile`", "mean 0 to 9, 50 % to 99.9999 %", "relative", 2e-11);

    Worst oblique, round;
    for (const double ratio : {1.0, 0.3, 0.02})
        for (const double t : {0.1, 1.0, 2.5, 5.0}) {
            // The axes turned by 0.7: P(R > t) is a mean over the angle of exp(−t² g/2)/(s₁ s₂ g).
            Eigen::Matrix2d turn;
            turn << std::cos(0.7), -std::sin(0.7), std::sin(0.7), std::cos(0.7);
            const Eigen::Matrix2d covariance =
                turn * Eigen::Vector2d(1, ratio * ratio).asDiagonal() * turn.transpose();
            constexpr int points = 2000;
            Big sum = 0;
            for (int i = 0; i < points; ++i) {
                const Big angle = wide::pi * i / points;
                const Big g =
                    cos(angle) * cos(angle) + sin(angle) * sin(angle) / (Big(ratio) * ratio);
                sum += exp(-Big(t) * t * g / 2) / (g * ratio);
            }
            oblique(propagate::disk_cdf(t, {0, 0}, covariance) - (1 - sum / points));
        }
    oblique.add("`disk_cdf`, centred",
                "axes 1 : 1 to 1 : 0.02, limit 0.1 to 5 of the longer",
                "absolute",
                1e-8);
    for (const double mean : {0.5, 3.0})
        for (const double t : {0.5, 2.0, 4.0, 7.0}) {
            // Noncentral χ² with two degrees of freedom, as Poisson's mixture of gamma laws.
            const Big half = Big(mean) * mean / 2, x = Big(t) * t / 2;
            Big weight = exp(-half), tail = 1 - exp(-x), term = exp(-x), sum = 0;
            for (int j = 0; j < 200; ++j) {
                sum += weight * tail;
                weight *= half / (j + 1);
                term *= x / (j + 1);
                tail -= term;
            }
            round(propagate::disk_cdf(t, {0.6 * mean, 0.8 * mean}, Eigen::Matrix2d::Identity()) -
                  sum);
        }
    round.add("`disk_cdf`, round",
              "middle 0.5 and 3 standard deviations off, limit 0.5 to 7",
              "absolute",
              1e-8);

    Worst guard, risk;
    for (const double wide_by : {3.95, 5.0, 10.0, 40.0})
        for (const double p : {0.9, 0.95}) {
            const double g = *decide::guard_factor(p, wide_by);
            guard(off(wide::normal_cdf(g) - wide::normal_cdf(Big(g) - wide_by),
                      p,
                      wide::normal_density(g) - wide::normal_density(Big(g) - wide_by)));
        }
    guard.add("`guard_factor`",
              "tolerance 3.95 to 40 standard uncertainties, 90 % and 95 %",
              "absolute",
              1e-13);
    for (const double u : {0.02, 0.1, 0.4}) {
        // By what was read, not by what was made: the size given a reading is normal too.
        const decide::Limits limits{-1, 1}, accepted{-0.9, 0.9};
        const double scatter = 0.4, mean = 0.2;
        const auto computed = decide::global_risk(mean, scatter, u, limits, accepted);
        const Big both = sqrt(Big(scatter) * scatter + Big(u) * u), left = Big(scatter) * u / both;
        const Big bad = wide::integral(
            [&](const Big& reading) {
                const Big centre =
                    mean + (reading - mean) * (Big(scatter) * scatter) / (both * both);
                return Big(wide::normal_density((reading - mean) / both) / both *
                           (wide::normal_cdf((-1 - centre) / left) +
                            wide::normal_cdf((centre - 1) / left)));
            },
            Big(-0.9),
            Big(0.9),
            40);
        risk(computed.accepted_bad - bad);
    }
    risk.add("`global_risk`, bad parts accepted",
             "u 0.05 to 1 of the scatter of the parts",
             "absolute",
             1e-12);
}

// ---- data

void samples() {
    Worst mean, deviation;
    for (const double offset : {0.0, 1e3, 1e6, 1e9}) {
        std::vector<double> y;
        for (int i = 0; i < 1001; ++i)
            y.push_back(offset + 0.1 * std::sin(i * 1.7) + (i % 2 == 0 ? 0.1 : -0.1));
        Big sum = 0, squares = 0;
        for (const double x : y)
            sum += x;
        const Big m = sum / static_cast<int>(y.size());
        for (const double x : y)
            squares += (x - m) * (x - m);
        const auto moments = stats::moments(y);
        mean.relative(moments.mean, m);
        deviation.relative(moments.standard_deviation(), sqrt(squares / 1000));
    }
    mean.add("`moments`: mean", "1001 readings of spread 0.1 on 0 to 1e9", "relative", 1e-13);
    deviation.add("`moments`: standard deviation", "the same readings", "relative", 1e-14);
}

using Matrix = Eigen::Matrix<Big, Eigen::Dynamic, Eigen::Dynamic>;

/// Powers of x from a to b: the columns hang together the more, the narrower and the farther from
/// 0.
Eigen::MatrixXd powers(double a, double b, int degree, int points) {
    Eigen::MatrixXd design(points, degree + 1);
    for (int i = 0; i < points; ++i)
        for (int j = 0; j <= degree; ++j)
            design(i, j) = std::pow(a + (b - a) * i / (points - 1), j);
    return design;
}

void fits() {
    const auto worst_of = [](double a, double b, int degree) {
        const auto design = powers(a, b, degree, 40);
        Eigen::VectorXd y(40);
        for (int i = 0; i < 40; ++i)
            y[i] = 1 + design(i, 1) / 3 + 0.01 * std::sin(2.3 * i);
        std::vector<std::string> names(static_cast<std::size_t>(degree) + 1, "x");
        const auto fit = stats::fit(design, y, names);
        const Matrix x = design.cast<Big>(), right = y.cast<Big>();
        const Matrix normal = x.transpose() * x;
        const Matrix b_wide = normal.partialPivLu().solve(Matrix(x.transpose() * right));
        Worst worst;
        for (int j = 0; j <= degree; ++j)
            worst.relative(fit.coefficients[j], b_wide(j, 0));
        return worst;
    };
    worst_of(-1, 1, 3).add("`fit`: coefficients", "cubic over -1 to 1", "relative", 1e-12);
    worst_of(2, 3, 3).add("`fit`: coefficients", "cubic over 2 to 3", "relative", 1e-11);
    worst_of(100, 101, 2).add("`fit`: coefficients", "parabola over 100 to 101", "relative", 1e-9);
    worst_of(-9, -3, 10).add("`fit`: coefficients", "power 10 over -9 to -3", "relative", 1e-5);
}

void zones() {
    // The contacts are solved anew with 50 digits; that no point lies outside proves that it is the
    // narrowest.
    const auto worst_of = [](double extent, double offset, double form, bool& proved) {
        Eigen::MatrixXd design(49, 3);
        Eigen::VectorXd z(49);
        for (int i = 0; i < 49; ++i) {
            const double x = offset + extent * (i % 7 + 0.2 * std::sin(2.0 * i));
            const double y = offset + extent * (i / 7 + 0.2 * std::cos(3.0 * i));
            design.row(i) << 1, x, y;
            z[i] = 0.25 + 1e-3 * x - 2e-3 * y + form * std::sin(3.1 * i + 0.4 * i * i);
        }
        const auto zone = stats::minimum_zone(design, z);
        const auto count = static_cast<Eigen::Index>(zone.contacts.size());
        Matrix a(4, 4), right(4, 1);
        proved = count == 4;
        if (!proved) {
            Worst none;
            none(1);
            return none;
        }
        for (Eigen::Index k = 0; k < 4; ++k) {
            for (Eigen::Index j = 0; j < 3; ++j)
                a(k, j) = design(zone.contacts[static_cast<std::size_t>(k)], j);
            a(k, 3) = zone.weights[k] > 0 ? 1 : -1;
            right(k, 0) = z[zone.contacts[static_cast<std::size_t>(k)]];
        }
        const Matrix solution = a.fullPivLu().solve(right);
        for (int i = 0; i < 49; ++i) {
            Big left = z[i];
            for (int j = 0; j < 3; ++j)
                left -= Big(design(i, j)) * solution(j, 0);
            proved = proved && abs(left) <= solution(3, 0) * (1 + Big(1e-20));
        }
        Worst worst;
        worst.relative(zone.width, 2 * solution(3, 0));
        return worst;
    };
    bool proved[3];
    const Worst near = worst_of(0.05, 0, 1e-5, proved[0]);
    const Worst far = worst_of(0.05, 10, 1e-5, proved[1]);
    const Worst fine = worst_of(0.05, 0, 1e-9, proved[2]);
    near.add("`minimum_zone`: width",
             "a plane, 49 points over 0.3 m, form 20 µm, at 0.25 m",
             "relative",
             1e-12);
    far.add("`minimum_zone`: width", "the same, 10 m from the origin", "relative", 1e-10);
    fine.add("`minimum_zone`: width", "the same at the origin, form 2 nm", "relative", 1e-7);
    Worst certificate;
    for (const bool one : proved)
        certificate(one ? 0 : 1);
    certificate.add("`minimum_zone`: contacts", "these three", "wrong ones of 3", 0);
}

// ---- formulas

void formulas() {
    struct One {
        const char* formula;
        const char* domain;
        std::vector<double> x;
        Big (*wide)(const Big&);
    };

    const std::vector<double> wide_range{
        -700, -30.5, -1, -1e-9, 1e-300, 1e-9, 0.3, 1, 2.7, 50.1, 700};
    const std::vector<double> above_0{1e-300, 1e-9, 0.3, 0.999999, 1.000001, 2.7, 50.1, 1e300};
    const std::vector<double> in_circle{-1, -0.999999, -0.5, -1e-9, 1e-300, 0.3, 0.999999, 1};
    const std::vector<double> turns{-1e6, -3.1, -1, -1e-9, 1e-300, 0.7, 1.57, 22, 1e6};
    const One table[] = {
        {"sqrt(x)", "1e-300 to 1e300", above_0, [](const Big& x) { return Big(sqrt(x)); }},
        {"exp(x)", "-700 to 700", wide_range, [](const Big& x) { return Big(exp(x)); }},
        {"log(x)", "1e-300 to 1e300", above_0, [](const Big& x) { return Big(log(x)); }},
        {"log10(x)", "1e-300 to 1e300", above_0, [](const Big& x) { return Big(log10(x)); }},
        {"sin(x)", "-1e6 to 1e6", turns, [](const Big& x) { return Big(sin(x)); }},
        {"cos(x)", "-1e6 to 1e6", turns, [](const Big& x) { return Big(cos(x)); }},
        {"tan(x)", "-1e6 to 1e6", turns, [](const Big& x) { return Big(tan(x)); }},
        {"asin(x)", "-1 to 1", in_circle, [](const Big& x) { return Big(asin(x)); }},
        {"acos(x)", "-1 to 1", in_circle, [](const Big& x) { return Big(acos(x)); }},
        {"atan(x)", "-1e6 to 1e6", turns, [](const Big& x) { return Big(atan(x)); }},
        {"sinh(x)",
         "-700 to 700",
         wide_range,
         [](const Big& x) { return Big((exp(x) - exp(-x)) / 2); }},
        {"cosh(x)",
         "-700 to 700",
         wide_range,
         [](const Big& x) { return Big((exp(x) + exp(-x)) / 2); }},
        {"tanh(x)",
         "-700 to 700",
         wide_range,
         [](const Big& x) { return Big((exp(x) - exp(-x)) / (exp(x) + exp(-x))); }},
        {"x^1.7",
         "1e-300 to 1e100",
         {1e-180, 1e-9, 0.3, 2.7, 50.1, 1e100},
         [](const Big& x) { return Big(exp(Big(1.7) * log(x))); }},
        {"hypot(x, 3)",
         "1e-300 to 1e300",
         above_0,
         [](const Big& x) { return Big(sqrt(x * x + 9)); }},
        {"atan2(x, -3)",
         "1e-300 to 1e300",
         above_0,
         [](const Big& x) { return Big(wide::pi - atan(x / 3)); }},
    };
    for (const auto& [formula, domain, xs, reference] : table) {
        model::Compiler compiler(model::numbers({"x"}));
        compiler.output(formula);
        Worst worst;
        for (const double x : xs) {
            Big wanted = reference(x);
            // Near 0 the difference of exponentials has lost its digits: the first terms have not.
            if (std::abs(x) < 1e-8 && std::string_view(formula).substr(1, 3) == "inh")
                wanted = Big(x) + Big(x) * x * x / 6;
            if (std::abs(x) < 1e-8 && std::string_view(formula).substr(0, 4) == "tanh")
                wanted = Big(x) - Big(x) * x * x / 3;
            worst.relative(model::values(compiler.tape(), {x}).front(), wanted);
        }
        worst.add(
            fmt::format("formula `{}`", formula), fmt::format("x {}", domain), "relative", 1e-15);
    }
}

/// The references themselves, where they have closed forms.
bool references_stand() {
    const auto same = [](const Big& a, const Big& b) { return abs(a - b) < 1e-44 * (1 + abs(b)); };
    bool good = same(wide::log_gamma(Big(0.5)), log(wide::pi) / 2) &&
                same(wide::log_gamma(Big(5)), log(Big(24)));
    for (const double x : {0.01, 0.8, 3.0, 40.0}) {
        good = good && same(wide::gamma_tails(1, x).above, exp(-Big(x)));
        good = good && same(wide::student_cdf(x, 1), Big(0.5) + atan(Big(x)) / wide::pi);
        good = good && same(wide::student_cdf(-x, 2), (1 - x / sqrt(2 + Big(x) * x)) / 2);
    }
    for (const double x : {0.1, 0.5, 0.97})
        good = good && same(wide::beta_tails(x, Big(0.5), Big(0.5)).below,
                            2 / wide::pi * asin(sqrt(Big(x))));
    // With δ = 0 it is Student's law.
    good = good && abs(wide::noncentral_t_cdf(1.25, 6, 0) - wide::student_cdf(1.25, 6)) < 1e-25;
    return good;
}

std::string number(double x) {
    return x == 0 ? "0" : fmt::format("{:.1e}", x);
}

/// What must not change from machine to machine.
std::string promised(const Row& row) {
    return fmt::format(
        "| {} | {} | {} | {} |", row.function, row.domain, row.measure, number(row.bound));
}

std::string page_table() {
    std::string text = "| function | domain | error | held to | largest found | digits "
                       "|\n|---|---|---|---|---|---|\n";
    for (const Row& row : rows)
        text += fmt::format("{} {} | {} |\n",
                            promised(row),
                            number(row.worst),
                            row.worst == 0   ? "all"
                            : row.bound == 0 ? "none"
                                             : fmt::format("{:.1f}", -std::log10(row.worst)));
    return text;
}

constexpr std::string_view begin = "<!-- table -->\n", end = "<!-- end of the table -->";

std::string read(const char* path) {
    std::ifstream file(path);
    return {std::istreambuf_iterator<char>(file), {}};
}

} // namespace

int main(int count, char** arguments) {
    const bool check = count > 1 && std::string_view(arguments[1]) == "--check";
    const char* path = count > (check ? 2 : 1) ? arguments[count - 1] : nullptr;
    if (!references_stand()) {
        std::fputs("the references do not have their closed forms\n", stderr);
        return 1;
    }
    normal_law();
    student_law();
    gamma_law();
    bounded_laws();
    tolerance_factors();
    zones_and_rules();
    samples();
    fits();
    zones();
    formulas();

    const auto table = page_table();
    bool good = true;
    for (const Row& row : rows)
        if (!(row.worst <= row.bound)) {
            fmt::print(stderr,
                       "{}, {}: {:.2e}, beyond {}\n",
                       row.function,
                       row.domain,
                       row.worst,
                       row.bound);
            good = false;
        }
    if (path == nullptr) {
        fmt::print("{}", table);
        return good ? 0 : 1;
    }
    const auto page = read(path);
    const auto from = page.find(begin), to = page.find(end);
    if (from == std::string::npos || to == std::string::npos) {
        fmt::print(stderr, "{} has no place for the table\n", path);
        return 1;
    }
    if (check) {
        for (const Row& row : rows)
            if (page.find(promised(row)) == std::string::npos) {
                fmt::print(stderr, "{} does not say: {}\n", path, promised(row));
                good = false;
            }
        return good ? 0 : 1;
    }
    std::ofstream(path) << page.substr(0, from + begin.size()) << table << page.substr(to);
    return good ? 0 : 1;
}
