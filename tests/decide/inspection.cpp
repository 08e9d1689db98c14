// SPDX-License-Identifier: MIT
// An inspection against sums worked by hand (1e-6: figures of four products), and u of its budget
// against errors simulated without the library, each law drawn by the standard library's own
// generator: 400 000 draws tell a standard deviation to 0.15 %, 1 % is allowed.
#include "holdable/decide/inspection.hpp"

#include "holdable/base/error.hpp"

#include <boost/test/unit_test.hpp>

#include <cmath>
#include <random>

using namespace holdable;
using namespace holdable::decide;
namespace tt = boost::test_tools;

namespace {

/// A size of 40 µm tolerance, u = √(1 + 9/9) µm, no temperature.
Inspection plain() {
    Inspection i;
    i.lower = 0.01;
    i.upper = 0.01004;
    i.instrument = "gauge";
    i.resolution = 1e-6;
    i.certificate = Doubt{1e-6, {}, Evidence::certificate};
    i.repeats = 9;
    i.scatter = {3e-6, {}, Evidence::measured};
    i.temperature_limit = 1;
    return i;
}

/// An aluminium plate at 27 °C by a steel caliper at 22 °C.
Inspection warm() {
    auto i = plain();
    i.nominal = 0.2;
    i.lower = 0.1998;
    i.upper = 0.2002;
    i.part = {300.15, 23.6e-6, 1e-6};
    i.gauge = {295.15, 11.7e-6, 1e-6};
    i.temperature_limit = 2;
    return i;
}

} // namespace

BOOST_AUTO_TEST_SUITE(inspection)

BOOST_AUTO_TEST_CASE(what_proving_costs) {
    const auto w = worth(plain());
    const double u = std::sqrt(2.0) * 1e-6;
    BOOST_TEST(w.error.standard == u, tt::tolerance(1e-9));
    BOOST_TEST(w.known_error == 0.0);
    BOOST_TEST(w.cost.guard.value() == 1.644854, tt::tolerance(1e-6));
    BOOST_TEST(w.cost.lost == 2 * 1.644854 * u / 40e-6, tt::tolerance(1e-6));
    BOOST_TEST(w.ratio == 40e-6 / (2 * 1.959964 * u), tt::tolerance(1e-6));
    BOOST_TEST(w.acceptance.low - 0.01 == 1.644854 * u, tt::tolerance(1e-6));
    BOOST_TEST(0.01004 - w.acceptance.high == 1.644854 * u, tt::tolerance(1e-6));
    BOOST_TEST(!w.risk.has_value());
}

BOOST_AUTO_TEST_CASE(a_zone_has_one_limit) {
    auto i = plain();
    i.lower.reset();
    i.upper = 40e-6;
    const auto w = worth(i);
    BOOST_TEST(w.cost.lost == 1.644854 * std::sqrt(2.0) / 40, tt::tolerance(1e-6));
    BOOST_TEST(w.acceptance.low == 0.0);
}

BOOST_AUTO_TEST_CASE(resolution_counts_where_repeats_do_not_show_it) {
    auto i = plain();
    i.resolution = 10e-6; // half of it is more than 3 µm
    BOOST_TEST(worth(i).error.standard == std::sqrt(2e-12 + 100e-12 / 12), tt::tolerance(1e-9));
    i.resolution = 5.9e-6;
    BOOST_TEST(worth(i).error.standard == std::sqrt(2.0) * 1e-6, tt::tolerance(1e-9));
}

BOOST_AUTO_TEST_CASE(a_warm_part_reads_large) {
    auto i = warm();
    const double b = 0.2 * (23.6e-6 * 7 - 11.7e-6 * 2); // 28.36 µm
    const auto w = worth(i);
    BOOST_TEST(w.known_error == b, tt::tolerance(1e-9));
    BOOST_TEST(w.cost.lost == (2 * *w.cost.guard * w.error.standard + b) / 400e-6,
               tt::tolerance(1e-9));
    BOOST_TEST(w.acceptance.low - 0.1998 == *w.cost.guard * w.error.standard + b,
               tt::tolerance(1e-6));
    BOOST_TEST(0.2002 - w.acceptance.high == *w.cost.guard * w.error.standard, tt::tolerance(1e-6));
    i.corrected = true;
    const auto corrected = worth(i);
    BOOST_TEST(corrected.known_error == 0.0);
    BOOST_TEST(corrected.error.standard == w.error.standard, tt::tolerance(1e-12));
}

BOOST_AUTO_TEST_CASE(simulated_errors_scatter_as_stated) {
    auto i = warm();
    i.operators = {2e-6, {}, Evidence::typical};
    i.master_doubt = {1.5e-6, {}, Evidence::certificate};
    i.certificate.reset();
    i.max_error = 4e-6;
    std::mt19937_64 random(11);
    std::normal_distribution<double> normal;
    std::uniform_real_distribution<double> even(-1, 1);
    double sum = 0, squares = 0;
    constexpr int n = 400'000;
    for (int k = 0; k < n; ++k) {
        double mean = 0;
        for (int r = 0; r < 9; ++r)
            mean += 3e-6 * normal(random) / 9;
        const double part = (23.6e-6 + 1e-6 * even(random)) * (7 + 2 * even(random));
        const double gauge = (11.7e-6 + 1e-6 * even(random)) * (2 + 2 * even(random));
        const double e = 4e-6 * even(random) + 1.5e-6 * normal(random) + mean +
                         2e-6 * normal(random) + 0.2 * (part - gauge);
        sum += e;
        squares += e * e;
    }
    const double simulated = std::sqrt(squares / n - sum * sum / n / n);
    const auto w = worth(i);
    BOOST_TEST(w.error.standard == simulated, tt::tolerance(0.01));
    BOOST_TEST(w.known_error == sum / n, tt::tolerance(0.01));
}

BOOST_AUTO_TEST_CASE(what_cannot_be_proved) {
    auto i = plain();
    i.upper = *i.lower + 5e-6; // T/u = 3.5
    const auto w = worth(i);
    BOOST_TEST(!w.cost.guard.has_value());
    BOOST_TEST(w.cost.lost == 1.0);
    BOOST_TEST(w.acceptance.low > w.acceptance.high);
    i = plain();
    i.certificate.reset();
    i.scatter = {};
    i.resolution = 0;
    BOOST_CHECK_THROW(worth(i), NumericError);
}

BOOST_AUTO_TEST_CASE(the_customers_rule_replaces_the_guard_band) {
    // u = √2 µm, U = 1.959964 u; T = 40 µm.
    auto i = plain();
    const double u = std::sqrt(2.0) * 1e-6;
    i.rule = CustomerRule{"simple acceptance", 0.0};
    BOOST_TEST(worth(i).cost.guard.value() == 0.0);
    BOOST_TEST(worth(i).cost.lost == 0.0);
    BOOST_TEST(worth(i).acceptance.high == i.upper);
    i.rule = CustomerRule{"3 µm", 3e-6};
    BOOST_TEST(worth(i).cost.lost == 2 * 3.0 / 40, tt::tolerance(1e-9));
    BOOST_TEST(worth(i).acceptance.high == i.upper - 3e-6, tt::tolerance(1e-9));
    i.rule = CustomerRule{"one U", {}, 1};
    BOOST_TEST(worth(i).cost.guard.value() == 1.959964, tt::tolerance(1e-6));
    BOOST_TEST(worth(i).cost.lost == 2 * 1.959964 * u / 40e-6, tt::tolerance(1e-6));
    // No rule proves what even the middle does not: T/u = 3.5.
    i.upper = *i.lower + 3.5 * u;
    i.rule = CustomerRule{"simple acceptance", 0.0};
    BOOST_TEST(!worth(i).cost.guard.has_value());
    BOOST_TEST(worth(i).cost.lost == 1.0);
}

BOOST_AUTO_TEST_CASE(what_references_showed_goes_before_the_certificate) {
    // The certificate's 1 µm is out, 2 µm of scatter and 0.5 µm of the reference are in; the
    // repeats of plain() are 1 µm.
    auto i = plain();
    FoundError found;
    found.value = 4e-6;
    found.doubt = {2e-6, 5.0, Evidence::measured};
    found.reference = {0.5e-6, {}, Evidence::certificate};
    i.found = found;
    const auto w = worth(i);
    BOOST_TEST(w.error.standard == std::sqrt(4 + 0.25 + 1.0) * 1e-6, tt::tolerance(1e-9));
    // Welch and Satterthwaite: (5.25)²/(4²/5).
    BOOST_TEST(w.error.dof.value() == 5.25 * 5.25 / (16.0 / 5), tt::tolerance(1e-9));
    BOOST_TEST(w.known_error == 4e-6, tt::tolerance(1e-9));
    BOOST_TEST(w.acceptance.high == i.upper - *w.cost.guard * w.error.standard,
               tt::tolerance(1e-9));
    BOOST_TEST(w.acceptance.low == *i.lower + *w.cost.guard * w.error.standard + 4e-6,
               tt::tolerance(1e-9));
    i.found->corrected = true;
    BOOST_TEST(worth(i).known_error == 0.0);
    BOOST_TEST(i.error_stated());
    i.found.reset();
    i.certificate.reset();
    BOOST_TEST(!i.error_stated());
}

BOOST_AUTO_TEST_CASE(risks_of_the_process) {
    auto i = plain();
    i.process_scatter = 10e-6;
    const auto w = worth(i);
    BOOST_REQUIRE(w.risk.has_value());
    BOOST_TEST(w.risk->bad == 0.0455003, tt::tolerance(1e-5)); // beyond two standard deviations
    BOOST_TEST(w.risk->accepted_bad < 0.05 * w.risk->bad);
}

BOOST_AUTO_TEST_CASE(risks_with_a_known_error_are_those_of_parts_drawn) {
    // Readings stand b too high. Parts and readings drawn without the library; 2e6 of them tell a
    // chance to 6 of its standard errors (a false alarm below 1e-8; seed fixed).
    for (const double b : {4e-6, -4e-6}) {
        auto i = plain();
        i.process_scatter = 10e-6;
        i.certificate.reset();
        i.found = FoundError{b, Doubt{1e-6, {}, Evidence::certificate}};
        const auto w = worth(i);
        BOOST_REQUIRE(w.risk.has_value());
        BOOST_TEST(w.known_error == b);
        constexpr int parts = 2'000'000;
        std::mt19937_64 engine(7);
        std::normal_distribution<double> size((*i.lower + i.upper) / 2, 10e-6);
        std::normal_distribution<double> error(b, w.error.standard);
        int passed_bad = 0, refused_good = 0;
        for (int k = 0; k < parts; ++k) {
            const double x = size(engine);
            const double read = x + error(engine);
            const bool good = x >= *i.lower && x <= i.upper;
            const bool passed = read >= w.acceptance.low && read <= w.acceptance.high;
            passed_bad += passed && !good;
            refused_good += !passed && good;
        }
        const auto near = [&](double chance, int count) {
            const double seen = static_cast<double>(count) / parts;
            BOOST_TEST(std::abs(seen - chance) < 6 * std::sqrt((chance + 1e-6) / parts),
                       "b " << b << ": " << chance << ", drawn " << seen);
        };
        near(w.risk->accepted_bad, passed_bad);
        near(w.risk->rejected_good, refused_good);
    }
}

BOOST_AUTO_TEST_SUITE_END()
