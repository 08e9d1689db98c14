// SPDX-License-Identifier: MIT
// The verdict of a callout and what goes with it, on jobs small enough to say beforehand what must
// come out: a wide tolerance is YES, a hopeless one NO, one that hangs on a guess CAN'T SAY, a
// missing fact or a critical part CAN'T SAY; and YES is the same statement as t(P, C) ≤ tolerance.
#include "holdable/answer/answer.hpp"

#include "holdable/answer/distributions.hpp"
#include "holdable/machine/state.hpp"
#include "machine/workshop.hpp"

#include <boost/test/unit_test.hpp>

#include <cmath>
#include <map>
#include <string_view>
#include <vector>

using namespace holdable;
using namespace holdable::tests;

namespace {

Job bore_job(double tolerance) {
    Job job;
    job.name = "bracket";
    job.material = "steel";
    job.quantity = 6;
    job.date = parse_date("2026-11-25");
    job.process_typical = true;
    job.part = Extent{0.3, 0.5, 0.1, 0.3};
    Callout c;
    c.name = "bore";
    c.tolerance = tolerance;
    c.hole().x = 0.4;
    c.hole().y = 0.2;
    c.hole().top = 0.15;
    c.hole().depth = 0.075;
    c.hole().tool_length = 0.15;
    c.datum = PlaneDatum{PlaneDatum::Kind::face, "A", {job.part, 0.15, 0.1, {}}};
    job.callouts = {c};
    return job;
}

/// A shop that has checked Z in both planes with the square turned round and its leg swept.
Shop checked_shop(double lean = 20e-6) {
    auto shop = workshop();
    for (const auto across : {Axis::x, Axis::y}) {
        auto check = square_check(across);
        for (const bool plus : {true, false}) {
            SquareSetting s;
            s.leg_towards_plus = plus;
            for (const double z : check.stations)
                s.edge_readings.push_back(((plus ? 10e-6 : -10e-6) - lean) *
                                          (z - check.stations[0]));
            for (int i = 0; i < 5; ++i) {
                s.leg_stations.push_back(check.place[static_cast<int>(across)] +
                                         (plus ? 0.03 : -0.03) * (i + 1));
                s.leg_readings.push_back(0);
            }
            check.settings.push_back(s);
        }
        shop.square_checks.push_back(check);
    }
    return shop;
}

CalloutAnswer answer_to(const Shop& shop, const Job& job) {
    return answer(shop, job, {}).callouts.at(0);
}

} // namespace

BOOST_AUTO_TEST_SUITE(answers)

BOOST_AUTO_TEST_CASE(wide_yes_narrow_no) {
    const auto wide = answer_to(checked_shop(), bore_job(30e-6));
    BOOST_TEST(word(wide.verdict) == "YES");
    BOOST_TEST(wide.promise.smallest < 30e-6);
    BOOST_TEST(wide.promise.next_part > 0.99);
    const auto narrow = answer_to(checked_shop(), bore_job(0.5e-6));
    BOOST_TEST(word(narrow.verdict) == "NO");
    BOOST_TEST(narrow.promise.smallest > 0.5e-6);
}

BOOST_AUTO_TEST_CASE(yes_says_the_same_as_the_smallest_tolerance) {
    const double t = answer_to(checked_shop(), bore_job(30e-6)).promise.smallest;
    BOOST_TEST(word(answer_to(checked_shop(), bore_job(1.08 * t)).verdict) == "YES");
    BOOST_TEST(word(answer_to(checked_shop(), bore_job(0.92 * t)).verdict) != "YES");
}

BOOST_AUTO_TEST_CASE(what_hangs_on_a_guess_cannot_be_said) {
    // Nothing measured: the class alone says that Z may lean by 60 µrad, 6 µm in 75 mm with both
    // planes; with the guess at its middle the bore is perfect.
    const auto a = answer_to(workshop(), bore_job(4e-6));
    BOOST_TEST(word(a.verdict) == "CAN'T SAY");
    BOOST_TEST(a.reason.find("nobody measured: ") != std::string::npos, a.reason);
    BOOST_TEST(!a.to_fix.empty());
}

BOOST_AUTO_TEST_CASE(the_word_follows_from_the_numbers_beside_it) {
    // The rules in their order, by the printed numbers; a threshold nearer than two standard errors
    // counts as missed. Tolerances from hopeless to comfortable, on machines that differ in what
    // was measured, so that every rule ends some answer.
    const auto ruled = [](const Promise& p) {
        if (p.gamma - 2 * p.gamma_error >= 0.95)
            return "YES";
        if (p.gamma_without_guesses - 2 * p.gamma_without_guesses_error < 0.5)
            return "NO";
        if (p.gamma_without_guesses >= 0.95)
            return "CAN'T SAY";
        return p.gamma - 2 * p.gamma_error >= 0.5 ? "MARGINAL" : "NO";
    };
    std::map<std::string_view, int> seen;
    int nearly_yes = 0;
    int nearly_even = 0; // γ without guesses at one half within its error
    int late_no = 0;
    const std::vector<std::vector<double>> factors = {
        {0.3, 0.5, 1.2}, {1.0, 1.003}, {0.5, 0.8, 1.003}, {0.496, 0.53}};
    for (std::size_t machine = 0; machine < factors.size(); ++machine) {
        const auto shop = machine == 1 ? workshop() : checked_shop();
        auto job = bore_job(100e-6);
        // Scatter measured on five parts: known by halves and no guess. In the last machine it is
        // as large as what was guessed.
        if (machine >= 2)
            job.process.hole_direction =
                Scatter{machine == 2 ? 200e-6 : 60e-6, 4, 0, 5, Evidence::measured, "trial"};
        const double t = answer_to(shop, job).promise.smallest;
        for (const double factor : factors.at(machine)) {
            job.callouts[0].tolerance = factor * t;
            const auto a = answer_to(shop, job);
            const auto& p = a.promise;
            BOOST_TEST(word(a.verdict) == ruled(p),
                       factor << ": γ = " << p.gamma << ", " << p.gamma_without_guesses);
            // a NO that no guess could mend says so
            BOOST_TEST((a.reason.find("every guess at its middle") != std::string::npos) ==
                       (a.verdict == Verdict::no &&
                        p.gamma_without_guesses - 2 * p.gamma_without_guesses_error < 0.5));
            nearly_even +=
                std::abs(p.gamma_without_guesses - 0.5) < 2 * p.gamma_without_guesses_error;
            late_no += a.verdict == Verdict::no && p.gamma > 0.4 && p.gamma_without_guesses > 0.52;
            ++seen[word(a.verdict)];
            nearly_yes += p.gamma >= 0.95 && a.verdict != Verdict::yes;
        }
    }
    BOOST_TEST(seen.size() == 4U);
    BOOST_TEST(nearly_yes > 0);
    BOOST_TEST(nearly_even > 0);
    BOOST_TEST(late_no > 0);
}

BOOST_AUTO_TEST_CASE(a_missing_fact_is_named) {
    auto job = bore_job(30e-6);
    job.process_typical = false;
    const auto a = answer_to(checked_shop(), job);
    BOOST_TEST(word(a.verdict) == "CAN'T SAY");
    BOOST_TEST(!a.computed);
    BOOST_TEST(a.reason.find("hole_direction") != std::string::npos, a.reason);
}

BOOST_AUTO_TEST_CASE(a_critical_part_waits_for_the_customers_rule) {
    auto job = bore_job(30e-6);
    job.critical = true;
    const auto a = answer_to(checked_shop(), job);
    BOOST_TEST(word(a.verdict) == "CAN'T SAY");
    BOOST_TEST(a.reason.find("customer's own decision rule") != std::string::npos);
}

BOOST_AUTO_TEST_CASE(checks_that_disagree_are_marginal_at_best) {
    auto shop = checked_shop();
    shop.square_checks[0].settings[0].edge_readings[2] += 30e-6;
    const auto a = answer_to(shop, bore_job(200e-6));
    BOOST_TEST(word(a.verdict) == "MARGINAL");
    BOOST_TEST(a.reason.find("disagree") != std::string::npos);
}

BOOST_AUTO_TEST_CASE(validity_ends_when_the_verdict_would_change) {
    // A planned adjustment in 100 days voids the checks of Z and what they say of its lean.
    auto shop = checked_shop(60e-6);
    const auto comfortable = answer(shop, bore_job(100e-6), {});
    BOOST_TEST(comfortable.valid_until_is_limit);
    BOOST_TEST((comfortable.valid_until == comfortable.day + std::chrono::days(365)));
    const auto planned = comfortable.day + std::chrono::days(100);
    shop.events.push_back({EventKind::adjustment, planned, Axis::z, "gib of Z"});
    const double t = answer_to(shop, bore_job(100e-6)).promise.smallest;
    auto later = bore_job(100e-6);
    later.date = planned;
    const double t_later = answer_to(shop, later).promise.smallest;
    BOOST_TEST(std::abs(t_later - t) > 0.02 * t);
    const auto tight = answer(shop, bore_job((t + t_later) / 2), {});
    BOOST_TEST(!tight.valid_until_is_limit);
    BOOST_TEST((tight.valid_until < planned));
    BOOST_TEST((tight.valid_until >= planned - std::chrono::days(8)));
}

BOOST_AUTO_TEST_CASE(what_is_asked_reaches_the_promise) {
    auto job = bore_job(10e-6);
    AnswerOptions options;
    const auto plain = answer(checked_shop(), job, options);
    BOOST_TEST((plain.day == *job.date));
    BOOST_TEST(plain.quantity == 6);
    const auto& p = plain.callouts.at(0).promise;
    options.parts = 0.9973; // that of the second line of every answer
    BOOST_TEST(answer(checked_shop(), job, options).callouts[0].promise.smallest == p.smallest_9973,
               boost::test_tools::tolerance(0.03));
    BOOST_TEST(p.smallest_9973 > 1.05 * p.smallest);
    options = {};
    options.confidence = 0.7;
    BOOST_TEST(answer(checked_shop(), job, options).callouts[0].promise.smallest <
               0.9 * p.smallest);
    // one part is as good as the next, six are less surely all good
    BOOST_TEST(plain.whole.all_good < plain.whole.whole_part - 0.003);
    job.quantity = 1;
    const auto one = answer(checked_shop(), job, {});
    BOOST_TEST(std::abs(one.whole.all_good - one.whole.whole_part) < 1e-9);
}

BOOST_AUTO_TEST_CASE(over_several_setups_the_seat_is_scatter_and_no_longer_one_unknown) {
    // ± 200 µrad of seat outweigh all else: in one set-up they are all parts' fate, 95 % of them
    // with 95 % confidence as of one; over several the yield is known and nearly the same for all.
    auto job = bore_job(20e-6);
    job.callouts[0].plane().kind = PlaneDatum::Kind::seat;
    job.process.seat = Allowance{200e-6, Evidence::measured, "swept"};
    const auto one = answer_to(checked_shop(), job).promise;
    job.several_setups = true;
    const auto several = answer_to(checked_shop(), job).promise;
    BOOST_TEST(one.next_part == several.next_part, boost::test_tools::tolerance(0.02));
    BOOST_TEST(several.assured_yield > one.assured_yield + 0.1);
}

BOOST_AUTO_TEST_CASE(each_callout_has_its_own_answer) {
    // The first lacks the extent of its face; the third is twice as deep as the second.
    auto job = bore_job(30e-6);
    job.part.reset();
    job.callouts.resize(3, job.callouts[0]);
    job.callouts[0].name = "no face";
    job.callouts[0].plane().face.extent.reset();
    job.callouts[1].name = "shallow";
    job.callouts[1].hole().depth = 0.03;
    job.callouts[2].name = "deep";
    job.callouts[2].hole().depth = 0.06;
    const auto a = answer(checked_shop(), job, {});
    BOOST_TEST(!a.callouts.at(0).computed);
    BOOST_TEST(word(a.callouts[0].verdict) == "CAN'T SAY");
    BOOST_TEST(a.callouts[0].reason.find("extent of the datum face") != std::string::npos);
    for (const std::size_t i : {1U, 2U}) {
        BOOST_TEST(a.callouts.at(i).computed);
        BOOST_TEST(a.callouts[i].promise.name == job.callouts[i].name);
    }
    BOOST_TEST(a.callouts[2].promise.smallest > 1.7 * a.callouts[1].promise.smallest);
}

BOOST_AUTO_TEST_CASE(disagreement_does_not_end_a_validity_it_began_with) {
    auto shop = checked_shop();
    shop.square_checks[0].settings[0].edge_readings[2] += 30e-6;
    const auto a = answer(shop, bore_job(200e-6), {});
    BOOST_TEST(a.valid_until_is_limit);
    // A check planned in 50 days that disagrees makes a YES of today MARGINAL.
    shop = checked_shop();
    auto later = shop.square_checks[0];
    later.name = "ZX again";
    later.date = parse_date("2026-11-25") + std::chrono::days(50);
    later.settings[0].edge_readings[2] += 30e-6;
    shop.square_checks.push_back(later);
    const auto b = answer(shop, bore_job(200e-6), {});
    BOOST_TEST(word(b.callouts[0].verdict) == "YES");
    BOOST_TEST((b.valid_until < later.date));
    BOOST_TEST((b.valid_until >= later.date - std::chrono::days(8)));
}

BOOST_AUTO_TEST_CASE(the_same_question_has_the_same_digits_on_any_number_of_threads) {
    AnswerOptions one;
    one.threads = 1;
    AnswerOptions two;
    two.threads = 2;
    const auto a = answer(checked_shop(), bore_job(8e-6), one).callouts[0].promise;
    const auto b = answer(checked_shop(), bore_job(8e-6), two).callouts[0].promise;
    BOOST_TEST(a.smallest == b.smallest);
    BOOST_TEST(a.gamma == b.gamma);
    BOOST_TEST(a.assured_yield == b.assured_yield);
}

namespace {

/// A bore of 42 H7, whose head is set to a doubt of u and whose size scatters by s.
Job size_job(double half_width, double scatter, double measuring) {
    Callout c;
    c.kind = Requirement::diameter;
    c.name = "seat";
    c.hole().x = 0.3;
    c.hole().y = 0.2;
    c.hole().top = 0.15;
    c.hole().depth = 0.02;
    c.hole().tool_length = 0.15;
    c.hole().diameter = 0.042;
    c.size = {0.042, 0, 25e-6, {}, "H7"};
    c.tolerance = c.size.half_width();
    Job job;
    job.name = "size";
    job.material = "steel";
    job.quantity = 10;
    job.temperatures = {293.15, 293.15, 1e-9, Evidence::measured, true};
    job.process.hole_size = Span{-half_width, half_width, Evidence::measured, ""};
    job.process.size_repeat = Scatter{scatter, 0, 0, 0, Evidence::measured, ""};
    job.process.wear = Span{0, 0, Evidence::measured, ""};
    job.process.first_piece = Allowance{measuring, Evidence::measured, ""};
    job.callouts = {c};
    return job;
}

} // namespace

BOOST_AUTO_TEST_CASE(an_offset_after_the_first_piece_leaves_its_own_scatter) {
    // Knowledge u = 6/√3 µm, scatter s = 1 µm, measured to 0.5/√3 µm: w = u²/(u² + s² + m²). What
    // is left behind all parts is (1 - w) k - w (v₁ + e), of variance (1 - w)² u² + w² (s² + m²);
    // with the part's own s the tolerance for 95 % with 95 % follows from a normal law for both, a
    // root of Φ((t - 1.645 u')/s) … solved here by bisection. The rectangle's tails are shorter: 4
    // %.
    const double u = 6e-6 / std::sqrt(3.0), s = 1e-6, m = 0.5e-6 / std::sqrt(3.0);
    const double w = u * u / (u * u + s * s + m * m);
    const double left = std::sqrt((1 - w) * (1 - w) * u * u + w * w * (s * s + m * m));
    const double shift = 1.95996 * left; // |N(0, left)| is below it in 95 of 100
    const auto phi = [](double z) { return 0.5 * std::erfc(-z / std::sqrt(2.0)); };
    double low = 0, high = 1e-4;
    for (int i = 0; i < 80; ++i) {
        const double t = (low + high) / 2;
        (phi((t - shift) / s) - phi((-t - shift) / s) < 0.95 ? low : high) = t;
    }
    const auto a = answer_to(workshop(), size_job(6e-6, 1e-6, 0.5e-6));
    BOOST_REQUIRE(a.after_first_piece.has_value());
    BOOST_TEST(*a.after_first_piece == low, boost::test_tools::tolerance(0.04));
    BOOST_TEST(*a.after_first_piece < 0.7 * a.promise.smallest);
    // an edge that will wear by up to 8 µm a side has not worn at the first piece
    auto wearing = size_job(6e-6, 1e-6, 0.5e-6);
    wearing.process.wear = Span{0, 8e-6, Evidence::measured, ""};
    const auto worn = answer_to(workshop(), wearing);
    BOOST_REQUIRE(worn.after_first_piece.has_value());
    BOOST_TEST(*worn.after_first_piece > 0.9 * 2 * 8e-6); // 95 of 100 are below 0.95 of it
    // one part has no first piece to learn from; several set-ups have none yet
    auto job = size_job(6e-6, 1e-6, 0.5e-6);
    job.quantity = 1;
    BOOST_TEST(!answer_to(workshop(), job).after_first_piece.has_value());
    job.quantity = 10;
    job.several_setups = true;
    BOOST_TEST(!answer_to(workshop(), job).after_first_piece.has_value());
}

BOOST_AUTO_TEST_CASE(a_size_tells_its_grade_and_its_index) {
    auto job = size_job(1e-6, 2e-6, 1e-6);
    auto a = answer_to(workshop(), job);
    BOOST_TEST(!a.index.has_value());
    // t is about 1.96 · 2 + 1 µm: 2 t below 11 µm, IT5 of 30 to 50 mm, and above 7, IT4 (ISO 286-1)
    BOOST_REQUIRE(a.grade.has_value());
    BOOST_TEST(*a.grade == 5);
    job.indices = true;
    a = answer_to(workshop(), job);
    BOOST_REQUIRE(a.index.has_value());
    // ± 12.5 µm, off by at most 1, s = 2: between (12.5 - 1)/6 and 12.5/6, and a little less for
    // two tails
    BOOST_TEST(a.index->expected > 1.85);
    BOOST_TEST(a.index->expected < 12.5 / 6);
    BOOST_TEST(a.index->assured <= a.index->expected);
    BOOST_TEST(a.index->assured > 1.85);
}

BOOST_AUTO_TEST_CASE(a_typical_scatter_is_a_guess_too) {
    // With the scatter frozen the bore is good, with it not: it hangs on what nobody measured.
    auto job = size_job(1e-6, 9e-6, 1e-6);
    job.process.size_repeat->evidence = Evidence::typical;
    const auto a = answer_to(workshop(), job);
    BOOST_TEST(a.promise.gamma < 0.5);
    BOOST_TEST(a.promise.gamma_without_guesses > 0.99);
    BOOST_TEST(word(a.verdict) == "CAN'T SAY");
    BOOST_TEST(a.reason.find("size from part to part") != std::string::npos);
}

BOOST_AUTO_TEST_CASE(a_distribution_is_that_of_its_promise) {
    // Both are drawn with the same seed, 2000 worlds of it or more: half a percent of yield.
    auto job = bore_job(0.02e-3);
    job.callouts.push_back(job.callouts[0]);
    job.callouts[1].name = "unknown";
    job.callouts[1].hole().making = HoleMaking::drilled;
    job.callouts[1].hole().tool_length = 0.16;
    job.process_typical = false;
    const auto shop = checked_shop();
    auto typical = job;
    typical.process_typical = true;
    const auto promise = answer(shop, typical, {}).callouts.at(0).promise;
    const auto drawn = distributions(shop, typical, {}, {0, 1, 0});
    BOOST_REQUIRE(drawn.size() == 3u);
    BOOST_REQUIRE((drawn[0] && drawn[1] && drawn[2]));
    const auto at = [&](const std::vector<double>& yields, double tolerance) {
        const auto& t = drawn[0]->tolerance;
        std::size_t i = 1;
        while (i + 1 < t.size() && t[i] < tolerance)
            ++i;
        const double share = (tolerance - t[i - 1]) / (t[i] - t[i - 1]);
        return yields[i - 1] + share * (yields[i] - yields[i - 1]);
    };
    BOOST_TEST(drawn[0]->name == "bore");
    BOOST_TEST(std::abs(at(drawn[0]->expected, 0.02e-3) - promise.next_part) < 0.005);
    BOOST_TEST(std::abs(at(drawn[0]->expected, promise.next_part_limit) - 0.95) < 0.005);
    BOOST_TEST(std::abs(at(drawn[0]->assured, promise.smallest) - 0.95) < 0.02);
    BOOST_TEST(drawn[2]->mean == drawn[0]->mean); // asked for twice
    BOOST_TEST(drawn[1]->mean != drawn[0]->mean);
    // without a process nothing is known of either
    const auto none = distributions(shop, job, {}, {0});
    BOOST_REQUIRE(none.size() == 1u);
    BOOST_TEST(!none[0]);
}

BOOST_AUTO_TEST_SUITE_END()
