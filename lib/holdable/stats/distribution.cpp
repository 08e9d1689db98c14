// SPDX-License-Identifier: MIT
#include "holdable/stats/distribution.hpp"

#include "holdable/base/error.hpp"
#include "holdable/stats/boost_policy.ipp"
#include "holdable/base/clones.ipp"
#include "holdable/stats/normal.hpp"
#include "holdable/stats/quantile_table.hpp"

#include <boost/math/distributions/gamma.hpp>
#include <boost/math/distributions/students_t.hpp>
#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cassert>
#include <cmath>
#include <numbers>
#include <numeric>
#include <string>

namespace holdable::stats {
namespace {

template <class... Cases>
struct Overloaded : Cases... {
    using Cases::operator()...;
};
template <class... Cases>
Overloaded(Cases...) -> Overloaded<Cases...>; // clang needs it said

// Below these the tables lose their digits and Boost is asked at every draw.
constexpr double table_dof = 1.0;
constexpr double table_shape = 0.5;

/// t_{n−1}(x̄, s²/n) of readings. Two passes: shop readings share their leading digits.
Student student(const Readings& readings) {
    const auto n = static_cast<double>(readings.values.size());
    const double first = readings.values.front();
    double sum = 0;
    for (const double x : readings.values)
        sum += x - first;
    const double centre = first + sum / n;
    double squares = 0;
    for (const double x : readings.values)
        squares += (x - centre) * (x - centre);
    return {centre, std::sqrt(squares / (n - 1.0) / n), n - 1.0};
}

/// x of the t law with Student's argument, any p in (0, 1).
double student_quantile(double nu, double p) {
    const double tail = std::min(p, 1.0 - p);
    if (tail == 0.5)
        return 0.0;
    const boost::math::students_t_distribution<double, BoostPolicy> law(nu);
    return std::copysign(boost::math::quantile(law, tail), p - 0.5);
}

/// Quantile on half-width 1 of the triangle about 0.
double triangle(double p) {
    return p < 0.5 ? std::sqrt(2.0 * p) - 1.0 : 1.0 - std::sqrt(2.0 * (1.0 - p));
}

/// Quantile on half-width 1 of the trapezoid with top β: flat with density 1/(1 + β), slopes
/// outside ±β.
double trapezoid(double beta, double p) {
    const double tail = std::min(p, 1.0 - p);
    const double size = tail < 0.5 * (1.0 - beta) / (1.0 + beta)
                            ? 1.0 - std::sqrt(2.0 * (1.0 - beta * beta) * tail)
                            : (0.5 - tail) * (1.0 + beta);
    return p < 0.5 ? -size : size;
}

/// Quantile about 0 of the curvilinear trapezoid. With c = w + d the upper tail probability is
/// (c − x − x ln(c/x))/(4d) beyond w − d; between, the density is ln(c/(w − d))/(4d).
double curvilinear(double w, double d, double p) {
    const double tail = std::min(p, 1.0 - p);
    const double density = std::log1p(2.0 * d / (w - d)) / (4.0 * d);
    const double flat = 0.5 - (w - d) * density;
    const double size = tail < flat ? (w + d) * (1.0 - curved_end(4.0 * d * tail / (w + d)))
                                    : (0.5 - tail) / density;
    return p < 0.5 ? -size : size;
}

double gamma_shape(const Gamma& g) {
    return (g.mean / g.standard) * (g.mean / g.standard);
}

double gamma_quantile(const Gamma& g, double p) {
    const boost::math::gamma_distribution<double, BoostPolicy> law(gamma_shape(g));
    const double x = p <= 0.5 ? boost::math::quantile(law, p)
                              : boost::math::quantile(boost::math::complement(law, 1.0 - p));
    return x * (g.standard / g.mean) * g.standard;
}

double of_student(const Student& t, double p) {
    return t.mean + t.scale * student_quantile(t.dof, p);
}

/// (−1)^k/(2k + 1)!, the series of sin x / x in x².
constexpr auto sine_series = [] {
    std::array<double, 12> c{1};
    for (std::size_t k = 1; k < c.size(); ++k)
        c[k] = -c[k - 1] / (2.0 * double(k) * (2.0 * double(k) + 1.0));
    return c;
}();

/// sin x for |x| ≤ π/2 to 3e-16, without branches, so that a loop over it vectorises.
[[gnu::always_inline]] inline double sine(double x) {
    const double square = x * x;
    double sum = sine_series.back();
    for (std::size_t k = sine_series.size() - 1; k-- > 0;)
        sum = sum * square + sine_series[k];
    return std::max(-1.0, std::min(x * sum, 1.0));
}

HOLDABLE_CLONES
void arcsine_block(std::span<double> p, double mean, double half_width) {
    for (double& x : p)
        x = mean + half_width * sine(std::numbers::pi * (x - 0.5));
}

// One overload a law: x with P(X ≤ x) = p.

double law_quantile(const Fixed& f, double /*p*/) {
    return f.mean;
}

double law_quantile(const Normal& n, double p) {
    return n.dof ? of_student({n.mean, n.standard, *n.dof}, p)
                 : n.mean + n.standard * normal_quantile(p);
}

double law_quantile(const Student& t, double p) {
    return of_student(t, p);
}

double law_quantile(const Rectangular& r, double p) {
    return r.mean + r.half_width * (2.0 * p - 1.0);
}

double law_quantile(const Triangular& t, double p) {
    return t.mean + t.half_width * triangle(p);
}

double law_quantile(const Arcsine& a, double p) {
    return a.mean + a.half_width * sine(std::numbers::pi * (p - 0.5));
}

double law_quantile(const Trapezoid& t, double p) {
    return t.mean + t.half_width * trapezoid(t.top, p);
}

double law_quantile(const InexactRectangular& r, double p) {
    return r.half_width_doubt > 0 ? r.mean + curvilinear(r.half_width, r.half_width_doubt, p)
                                  : r.mean + r.half_width * (2.0 * p - 1.0);
}

double law_quantile(const Exponential& e, double p) {
    return -e.mean * std::log1p(-p);
}

double law_quantile(const Gamma& g, double p) {
    return gamma_quantile(g, p);
}

double law_quantile(const Readings& r, double p) {
    return of_student(student(r), p);
}

HOLDABLE_CLONES
void rectangular_block(std::span<double> p, const Rectangular r) {
    for (double& x : p)
        x = law_quantile(r, x);
}

/// A sampler that applies `f` to each value.
template <class F>
std::function<void(std::span<double>)> each(F f) {
    return [f](std::span<double> block) {
        for (double& p : block)
            p = f(p);
    };
}

/// The curvilinear trapezoid with its ends from the table. No branch depends on chance: a processor
/// guesses such a branch wrongly every other time.
class CurvilinearSampler {
  public:
    explicit CurvilinearSampler(const InexactRectangular& r)
        : mean_(r.mean), w_(r.half_width), d_(r.half_width_doubt) {}

    /// Whether the table reaches.
    bool possible() const { return half_k_ * flat_ < largest; }

    void operator()(std::span<double> p) const {
        std::array<double, 256> end;
        while (!p.empty()) {
            const auto part = p.first(std::min(end.size(), p.size()));
            fill(part, end);
            p = p.subspan(part.size());
        }
    }

  private:
    HOLDABLE_CLONES
    void fill(std::span<double> p, std::span<double> end) const {
        // Copies: for all the compiler knows, p might hold the members.
        const double half_k = half_k_, mean = mean_, c = w_ + d_, slope = slope_, flat = flat_;
        const double end_flat = end_flat_;
        const double smallest = 0x1p-53; // of the table
        bool beyond = false;
        for (std::size_t i = 0; i < p.size(); ++i) {
            const double q = 1.0 - p[i], tail = p[i] < q ? p[i] : q;
            const double at = half_k * (tail < flat ? tail : flat);
            beyond |= at < smallest;
            end[i] = at;
        }
        table_->values(end.first(p.size()));
        for (std::size_t i = 0; beyond && i < p.size(); ++i)
            if (const double at = half_k * std::min(p[i], 1.0 - p[i]); at < smallest)
                end[i] = 2.0 * std::sqrt(at);
        for (std::size_t i = 0; i < p.size(); ++i) {
            const double q = 1.0 - p[i], tail = p[i] < q ? p[i] : q;
            const double in_flat = tail < flat ? flat : tail;
            const double size = c * (end_flat - end[i]) + (0.5 - in_flat) * slope;
            p[i] = mean + std::copysign(size, p[i] - 0.5);
        }
    }

    static constexpr double largest = 0.25; // of k/2, where the table is exact
    double mean_, w_, d_;
    double density_ = std::log1p(2.0 * d_ / (w_ - d_)) / (4.0 * d_);
    double slope_ = 1.0 / density_;
    double flat_ = 0.5 - (w_ - d_) * density_;
    double half_k_ = 2.0 * d_ / (w_ + d_);
    const TailTable* table_ = &curved_end_table();
    double end_flat_ = (*table_)(half_k_ * flat_);
};

std::function<void(std::span<double>)> student_sampler(const Student& t) {
    if (t.dof < table_dof)
        return each([t](double p) { return law_quantile(t, p); });
    return [t, table = student_table(t.dof)](std::span<double> block) {
        table->symmetric(block, t.mean, t.scale);
    };
}

[[noreturn]] void refuse(const std::string& message, const std::string& hint) {
    throw InputError("distribution-parameter", message, hint);
}

void check_finite(double x, const char* name) {
    if (!std::isfinite(x))
        refuse(fmt::format("{} is not a finite number", name), "give a number");
}

void check_spread(double x, const char* name) {
    check_finite(x, name);
    if (x < 0)
        refuse(fmt::format("{} is {}, below 0", name, x), "a spread is 0 or more");
}

void check_positive(double x, const char* name) {
    check_finite(x, name);
    if (x <= 0)
        refuse(fmt::format("{} is {}, not above 0", name, x), "give a number above 0");
}

template <class Law>
void check_common(const Law& law) {
    check_finite(law.mean, "the value");
    if constexpr (requires { law.half_width; })
        check_spread(law.half_width, "\"half_width\"");
    if constexpr (requires { law.dof.has_value(); }) {
        if (law.dof)
            check_positive(*law.dof, "\"dof\"");
    }
}

} // namespace

void check(const Distribution& law) {
    std::visit(Overloaded{[](const Readings& r) {
                              if (r.values.size() < 2)
                                  refuse(
                                      fmt::format("{} reading(s) show no scatter", r.values.size()),
                                      "give two readings or more, or another kind");
                              for (const double x : r.values)
                                  check_finite(x, "a reading");
                          },
                          [](const Normal& n) {
                              check_common(n);
                              check_spread(n.standard, "\"standard\"");
                          },
                          [](const Student& t) {
                              check_common(t);
                              check_spread(t.scale, "\"scale\"");
                              check_positive(t.dof, "\"dof\"");
                          },
                          [](const Trapezoid& t) {
                              check_common(t);
                              if (!(0 <= t.top && t.top <= 1))
                                  refuse(fmt::format("\"top\" is {}, not within 0 and 1", t.top),
                                         "it is the top width over the base width");
                          },
                          [](const InexactRectangular& r) {
                              check_common(r);
                              check_spread(r.half_width_doubt, "\"half_width_doubt\"");
                              if (r.half_width_doubt > 0 && r.half_width_doubt >= r.half_width)
                                  refuse("\"half_width_doubt\" is not below \"half_width\"",
                                         "the half-width must be above 0 with its doubt taken off");
                          },
                          [](const Exponential& e) {
                              check_common(e);
                              check_positive(e.mean, "\"mean\"");
                          },
                          [](const Gamma& g) {
                              check_common(g);
                              check_positive(g.mean, "\"mean\"");
                              check_positive(g.standard, "\"standard\"");
                          },
                          [](const auto& other) { check_common(other); }},
               law);
}

double mean(const Distribution& law) {
    return std::visit(Overloaded{[](const Readings& r) { return student(r).mean; },
                                 [](const auto& other) { return other.mean; }},
                      law);
}

double standard_uncertainty(const Distribution& law) {
    return std::visit(
        Overloaded{[](const Fixed&) { return 0.0; },
                   [](const Normal& n) { return n.standard; },
                   [](const Student& t) { return t.scale; },
                   [](const Rectangular& r) { return r.half_width / std::sqrt(3.0); },
                   [](const Triangular& t) { return t.half_width / std::sqrt(6.0); },
                   [](const Arcsine& a) { return a.half_width / std::numbers::sqrt2; },
                   [](const Trapezoid& t) {
                       return t.half_width * std::sqrt((1.0 + t.top * t.top) / 6.0);
                   },
                   [](const InexactRectangular& r) {
                       return std::hypot(r.half_width / std::sqrt(3.0), r.half_width_doubt / 3.0);
                   },
                   [](const Exponential& e) { return e.mean; },
                   [](const Gamma& g) { return g.standard; },
                   [](const Readings& r) { return student(r).scale; }},
        law);
}

std::optional<double> standard_deviation(const Distribution& law) {
    const bool is_t = std::holds_alternative<Normal>(law) || std::holds_alternative<Student>(law) ||
                      std::holds_alternative<Readings>(law);
    const double u = standard_uncertainty(law);
    const auto nu = degrees_of_freedom(law);
    if (!is_t || !nu)
        return u;
    if (*nu <= 2.0)
        return std::nullopt;
    return u * std::sqrt(*nu / (*nu - 2.0));
}

std::optional<double> degrees_of_freedom(const Distribution& law) {
    return std::visit(
        Overloaded{[](const Fixed&) -> std::optional<double> { return {}; },
                   [](const Readings& r) -> std::optional<double> {
                       return static_cast<double>(r.values.size()) - 1.0;
                   },
                   [](const auto& other) -> std::optional<double> { return other.dof; }},
        law);
}

double quantile(const Distribution& law, double p) {
    assert(0.0 < p && p < 1.0);
    return std::visit([p](const auto& kind) { return law_quantile(kind, p); }, law);
}

std::function<void(std::span<double>)> sampler(const Distribution& law) {
    using Sampler = std::function<void(std::span<double>)>;
    return std::visit(
        Overloaded{[](const Normal& n) -> Sampler {
                       if (n.dof)
                           return student_sampler({n.mean, n.standard, *n.dof});
                       return [n](std::span<double> block) {
                           normal_table().symmetric(block, n.mean, n.standard);
                       };
                   },
                   [](const Student& t) -> Sampler { return student_sampler(t); },
                   [](const Readings& r) -> Sampler { return student_sampler(student(r)); },
                   [](const Gamma& g) -> Sampler {
                       if (gamma_shape(g) < table_shape)
                           return each([g](double p) { return law_quantile(g, p); });
                       return each([g, tables = gamma_tables(gamma_shape(g))](double p) {
                           const double z = p < 0.5 ? tables->lower(p) : tables->upper(1.0 - p);
                           return std::max(0.0, g.mean + g.standard * z);
                       });
                   },
                   [](const Rectangular& r) -> Sampler {
                       return [r](std::span<double> block) { rectangular_block(block, r); };
                   },
                   [](const Arcsine& a) -> Sampler {
                       return [a](std::span<double> block) {
                           arcsine_block(block, a.mean, a.half_width);
                       };
                   },
                   [](const InexactRectangular& r) -> Sampler {
                       if (r.half_width_doubt > 0)
                           if (const CurvilinearSampler fast(r); fast.possible())
                               return fast;
                       return each([r](double p) { return law_quantile(r, p); });
                   },
                   [](const auto& closed) -> Sampler {
                       return each([closed](double p) { return law_quantile(closed, p); });
                   }},
        law);
}

} // namespace holdable::stats
