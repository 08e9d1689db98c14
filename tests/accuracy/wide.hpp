// SPDX-License-Identifier: MIT
/// Distribution functions to 50 digits, written for this comparison alone: power series and
/// continued fractions from the definitions, so that nothing is shared with what the library uses.
/// Source of the formulas: Abramowitz and Stegun, 6.1.40, 6.5.29, 6.5.31, 26.5.8 (from memory;
/// `main.cpp` first checks them against closed forms).
#pragma once

#include <boost/math/constants/constants.hpp>
#include <boost/math/quadrature/gauss.hpp>
#include <boost/multiprecision/cpp_bin_float.hpp>

#include <functional>

namespace wide {

using Big = boost::multiprecision::cpp_bin_float_50;

inline const Big pi = boost::math::constants::pi<Big>();
inline const Big epsilon = std::numeric_limits<Big>::epsilon();

/// ln Γ(x), x > 0, by Stirling's series from 100 on.
inline Big log_gamma(Big x) {
    static const Big bernoulli[] = {Big(1) / 6,
                                    Big(-1) / 30,
                                    Big(1) / 42,
                                    Big(-1) / 30,
                                    Big(5) / 66,
                                    Big(-691) / 2730,
                                    Big(7) / 6,
                                    Big(-3617) / 510,
                                    Big(43867) / 798,
                                    Big(-174611) / 330,
                                    Big(854513) / 138,
                                    Big(-236364091) / 2730,
                                    Big(8553103) / 6,
                                    Big(-23749461029LL) / 870,
                                    Big(8615841276005LL) / 14322};
    Big before = 1;
    for (; x < 100; x += 1)
        before *= x;
    Big sum = (x - 0.5) * log(x) - x + log(2 * pi) / 2 - log(before);
    Big power = x;
    for (int k = 1; k <= 15; ++k) {
        sum += bernoulli[k - 1] / (2 * k * (2 * k - 1) * power);
        power *= x * x;
    }
    return sum;
}

/// A continued fraction b₀ + a₁/(b₁ + a₂/(b₂ + …)), term(k) giving {a_k, b_k}; Lentz's way.
template <class Term>
Big continued_fraction(Big b, Term term) {
    const Big tiny = 1e-300;
    Big f = b == 0 ? tiny : b, c = f, d = 0;
    for (int k = 1; k < 100'000; ++k) {
        const auto [a, next] = term(k);
        d = next + a * d;
        c = next + a / c;
        d = 1 / (d == 0 ? tiny : d);
        if (c == 0)
            c = tiny;
        f *= c * d;
        if (abs(c * d - 1) < epsilon)
            break;
    }
    return f;
}

struct Tails {
    Big below, above;
};

/// Of the gamma law of shape a and scale 1 about x > 0.
inline Tails gamma_tails(const Big& a, const Big& x) {
    const Big front = exp(a * log(x) - x - log_gamma(a));
    if (x < a + 1) {
        Big term = 1 / a, sum = term;
        for (int n = 1; term > sum * epsilon; ++n) {
            term *= x / (a + n);
            sum += term;
        }
        return {front * sum, 1 - front * sum};
    }
    const Big above = front / continued_fraction(x + 1 - a, [&](int k) {
                          return std::pair<Big, Big>(-k * (k - a), x + 2 * k + 1 - a);
                      });
    return {1 - above, above};
}

/// I_x(a, b) and 1 − I_x(a, b).
inline Tails beta_tails(const Big& x, const Big& a, const Big& b) {
    if (x > (a + 1) / (a + b + 2)) {
        const auto [below, above] = beta_tails(1 - x, b, a);
        return {above, below};
    }
    const Big front =
        exp(a * log(x) + b * log(1 - x) + log_gamma(a + b) - log_gamma(a) - log_gamma(b)) / a;
    const Big below =
        front / continued_fraction(1, [&](int k) {
            const int m = k / 2;
            const Big by = k % 2 == 0 ? Big(m * (b - m) * x / ((a + k - 1) * (a + k)))
                                      : Big(-(a + m) * (a + b + m) * x / ((a + k - 1) * (a + k)));
            return std::pair<Big, Big>(by, 1);
        });
    return {below, 1 - below};
}

/// Φ(z).
inline Big normal_cdf(const Big& z) {
    if (z == 0)
        return Big(0.5);
    const auto tails = gamma_tails(Big(0.5), z * z / 2);
    return z < 0 ? Big(tails.above / 2) : Big((1 + tails.below) / 2);
}

inline Big normal_density(const Big& z) {
    return exp(-z * z / 2) / sqrt(2 * pi);
}

/// P(T ≤ x) of Student's law.
inline Big student_cdf(const Big& x, const Big& nu) {
    const auto tails = beta_tails(nu / (nu + x * x), nu / 2, Big(0.5));
    return x < 0 ? Big(tails.below / 2) : Big(1 - tails.below / 2);
}

inline Big student_density(const Big& x, const Big& nu) {
    return exp(log_gamma((nu + 1) / 2) - log_gamma(nu / 2) - log(nu * pi) / 2 -
               (nu + 1) / 2 * log(1 + x * x / nu));
}

inline Big gamma_density(const Big& x, const Big& a) {
    return exp((a - 1) * log(x) - x - log_gamma(a));
}

/// ∫ f from a to b, in panels of 30 points.
inline Big integral(const std::function<Big(Big)>& f, const Big& a, const Big& b, int panels) {
    Big sum = 0;
    const Big step = (b - a) / panels;
    for (int i = 0; i < panels; ++i)
        sum += boost::math::quadrature::gauss<Big, 30>::integrate(
            f, Big(a + i * step), Big(a + (i + 1) * step));
    return sum;
}

/// Density of √(χ²_ν/ν).
inline Big deviation_density(const Big& u, int nu) {
    const Big half = Big(nu) / 2;
    return 2 * exp(half * log(half) - log_gamma(half) + (nu - 1) * log(u) - half * u * u);
}

/// Where that has less than 1e-40 on either side.
inline Big deviation_low(int nu) {
    const Big low = 1 - 14 / sqrt(Big(nu));
    return low > 0 ? low : Big(0);
}

inline Big deviation_high(int nu) {
    return 1 + 14 / sqrt(Big(nu));
}

/// P(T ≤ t) of the noncentral t law, by its definition (Z + δ)/√(χ²_ν/ν); t > 0. Cut where the
/// chance of one deviation falls, which it may do steeply.
inline Big noncentral_t_cdf(const Big& t, int nu, const Big& delta) {
    const auto f = [&](const Big& u) {
        return Big(normal_cdf(t * u - delta) * deviation_density(u, nu));
    };
    Big from = deviation_low(nu), sum = 0;
    for (const Big& cut :
         {Big((delta - 10) / t), Big(delta / t), Big((delta + 10) / t), deviation_high(nu)}) {
        const Big to = cut < deviation_high(nu) ? cut : deviation_high(nu);
        if (to > from) {
            sum += integral(f, from, to, 3);
            from = to;
        }
    }
    return sum;
}

} // namespace wide
