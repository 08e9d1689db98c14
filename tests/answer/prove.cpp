// SPDX-License-Identifier: MIT
// PROVE: the verdict on the gauge that a job names, and what goes with it. Against the gauging of
// the same inspection by itself (`decide::worth`), closed forms of the guard band, and cases of
// which it can be said beforehand what must come out. Sampled numbers within the standard errors
// returned.
#include "holdable/answer/answer.hpp"
#include "holdable/answer/gauging.hpp"
#include "holdable/base/error.hpp"
#include "holdable/files/document.hpp"
#include "holdable/files/read_job.hpp"
#include "holdable/files/read_machine.hpp"
#include "holdable/files/text.hpp"
#include "holdable/machine/state.hpp"
#include "machine/workshop.hpp"

#include <boost/test/unit_test.hpp>

#include <algorithm>
#include <cmath>
#include <string>
#include <string_view>

using namespace holdable;
using namespace holdable::tests;
namespace tt = boost::test_tools;

namespace {

/// A bore gauge by its certificate, read at 20 °C.
decide::PartGauge bore_gauge(double U = 2e-6) {
    decide::PartGauge gauge;
    gauge.name = "bore gauge";
    gauge.how.instrument = "two-point gauge";
    gauge.how.resolution = 1e-6;
    gauge.how.certificate = decide::Doubt{U / 2, {}, Evidence::certificate};
    gauge.how.scatter = {0.5e-6, 9.0, Evidence::measured};
    gauge.how.operators = {0.3e-6, {}, Evidence::typical};
    gauge.how.repeats = 2;
    gauge.how.gauge = {293.15, 11.5e-6, 1e-6};
    gauge.how.temperature_limit = 0.5;
    gauge.smallest = 0.02;
    gauge.largest = 0.06;
    return gauge;
}

Hole bore(double depth = 0.04) {
    Hole hole;
    hole.x = 0.4;
    hole.y = 0.2;
    hole.top = 0.15;
    hole.depth = depth;
    hole.tool_length = 0.15;
    hole.diameter = 0.04;
    return hole;
}

Job job_of(Callout callout) {
    Job job;
    job.name = "bracket";
    job.material = "steel";
    job.quantity = 6;
    job.date = parse_date("2026-11-25");
    job.process_typical = true;
    job.part = Extent{0.3, 0.5, 0.1, 0.3};
    job.callouts = {std::move(callout)};
    return job;
}

/// 40 mm + width/0.
Job size_job(double width, const std::string& gauge = "bore gauge") {
    Callout c;
    c.kind = Requirement::diameter;
    c.name = "bore";
    c.size = {0.04, 0, width, {}, "as written"};
    c.tolerance = width / 2;
    c.feature = Holes{bore()};
    c.gauge = gauge;
    return job_of(std::move(c));
}

/// The lean of a bore 40 mm deep to the face around it.
Job lean_job(double tolerance, const std::string& gauge) {
    Callout c;
    c.kind = Requirement::perpendicularity;
    c.name = "bore";
    c.tolerance = tolerance;
    c.feature = Holes{bore()};
    c.gauge = gauge;
    c.datum = PlaneDatum{PlaneDatum::Kind::face, "A", {Extent{0.3, 0.5, 0.1, 0.3}, 0.15, 0.1, {}}};
    return job_of(std::move(c));
}

Shop shop_with(decide::PartGauge gauge) {
    auto shop = workshop();
    shop.gauges.push_back(std::move(gauge));
    return shop;
}

CalloutAnswer ask(const Shop& shop, const Job& job) {
    AnswerOptions few;
    few.trials = 1000;
    return answer(shop, job, few).callouts.at(0);
}

Proof proof_of(const Shop& shop, const Job& job) {
    return ask(shop, job).proof;
}

std::string refused(const Shop& shop, const Job& job) {
    try {
        (void)proof_of(shop, job);
    } catch (const InputError& error) {
        return error.diagnostics().front().id;
    }
    return {};
}

bool has(std::string_view text, std::string_view words) {
    return text.find(words) != std::string_view::npos;
}

} // namespace

BOOST_AUTO_TEST_SUITE(prove)

BOOST_AUTO_TEST_CASE(no_gauge_named) {
    const auto proof = proof_of(workshop(), size_job(40e-6, ""));
    BOOST_TEST(word(proof.verdict) == "CAN'T SAY");
    BOOST_TEST(!proof.judged);
    // U with which a quarter of the tolerance is lost: 1.96 · 0.25 T/(2 · 1.6449)
    BOOST_TEST(*proof.wanted == 1.959964 * 0.25 * 40e-6 / (2 * 1.644854), tt::tolerance(1e-5));
    Answer all;
    all.callouts.resize(1);
    all.callouts[0].verdict = Verdict::yes;
    BOOST_TEST(all_yes(all)); // nothing is asked of a gauge
    all.callouts[0].proof.gauge = "calliper";
    BOOST_TEST(!all_yes(all));
    all.callouts[0].proof.verdict = Verdict::yes;
    BOOST_TEST(all_yes(all));
}

BOOST_AUTO_TEST_CASE(the_same_as_the_gauging_by_itself) {
    const auto shop = shop_with(bore_gauge());
    for (const double width : {40e-6, 12e-6, 6e-6}) {
        const auto proof = proof_of(shop, size_job(width));
        auto alone = bore_gauge().how;
        alone.nominal = 0.04;
        alone.lower = 0.04;
        alone.upper = 0.04 + width;
        alone.part = {293.15, 11.5e-6, 1e-6}; // steel, as in standards/expansion.hpp
        const auto worth = decide::worth(alone);
        BOOST_TEST(proof.standard == worth.error.standard, tt::tolerance(0.02));
        BOOST_TEST(proof.cost.lost == worth.cost.lost, tt::tolerance(0.02));
        BOOST_TEST(word(proof.verdict) == word(verdict_of(worth.cost)));
        BOOST_TEST(proof.acceptance.high == worth.acceptance.high, tt::tolerance(1e-5));
        double shares = 0;
        for (const auto& source : proof.sources)
            shares += source.share;
        BOOST_TEST(shares == 1.0, tt::tolerance(1e-9));
    }
}

BOOST_AUTO_TEST_CASE(yes_marginal_no) {
    const auto shop = shop_with(bore_gauge());
    BOOST_TEST(word(proof_of(shop, size_job(60e-6)).verdict) == "YES");
    BOOST_TEST(word(proof_of(shop, size_job(12e-6)).verdict) == "MARGINAL");
    BOOST_TEST(word(proof_of(shop, size_job(5e-6)).verdict) == "NO");
}

BOOST_AUTO_TEST_CASE(a_gauge_of_which_nothing_is_stated) {
    auto gauge = bore_gauge();
    gauge.how.certificate.reset();
    const auto proof = proof_of(shop_with(gauge), size_job(60e-6));
    BOOST_TEST(word(proof.verdict) == "CAN'T SAY");
    BOOST_TEST(has(proof.reason, "neither certificate nor limit of error"));
    BOOST_TEST(!proof.offered.has_value());
    BOOST_TEST(word(proof_of(shop_with(gauge), size_job(2e-6)).verdict) == "NO"); // NO without it
}

BOOST_AUTO_TEST_CASE(risks_of_a_part_that_may_be_bad) {
    // A gauge without doubt to speak of: what it accepts is good, what it refuses is bad, but for
    // the guard band.
    auto fine = bore_gauge(0.02e-6);
    fine.how.resolution = 0.01e-6;
    fine.how.scatter = {0.005e-6, {}, Evidence::measured};
    fine.how.operators = {0.001e-6, {}, Evidence::typical};
    fine.how.gauge.expansion_limit = 0;
    fine.how.temperature_limit = 0.001;
    const auto job = size_job(12e-6);
    const auto exact = proof_of(shop_with(fine), job);
    BOOST_REQUIRE(exact.parts.has_value());
    BOOST_TEST(exact.parts->bad > 0.01); // so that there is something to tell
    BOOST_TEST(exact.parts->accepted_bad < 0.01 * exact.parts->bad);
    BOOST_TEST(exact.parts->refused_good < 0.03);
    const auto coarse = proof_of(shop_with(bore_gauge(3e-6)), job);
    BOOST_TEST(coarse.parts->refused_good > 10 * exact.parts->refused_good);
    // The chance that the next part is good is MAKE's.
    const auto made = ask(shop_with(fine), job);
    // 1000 worlds of which a third may be all bad: one standard error is 0.015
    BOOST_TEST(std::abs(1 - exact.parts->bad - made.promise.next_part) < 0.06);
}

BOOST_AUTO_TEST_CASE(rules) {
    const auto shop = shop_with(bore_gauge());
    auto job = size_job(12e-6);
    const auto guarded = proof_of(shop, job);
    job.rule = decide::simple_acceptance();
    const auto simple = proof_of(shop, job);
    BOOST_TEST(word(simple.verdict) == "YES");
    BOOST_TEST(simple.cost.lost == 0.0, tt::tolerance(1e-12));
    BOOST_TEST(simple.acceptance.high == 0.04 + 12e-6, tt::tolerance(1e-9));
    BOOST_TEST(simple.parts->accepted_bad > guarded.parts->accepted_bad);
    BOOST_TEST(simple.parts->refused_good < guarded.parts->refused_good);
    decide::CustomerRule ratio;
    ratio.name = "ten to one";
    ratio.ratio = 10;
    job.rule = ratio;
    const auto missed = proof_of(shop, job);
    BOOST_TEST(word(missed.verdict) == "NO");
    BOOST_TEST(has(missed.reason, "ratio is missed"), missed.reason);
    BOOST_TEST(missed.parts->accepted == 0.0);
    ratio.ratio = 2;
    job.rule = ratio;
    BOOST_TEST(word(proof_of(shop, job).verdict) == "YES");
}

BOOST_AUTO_TEST_CASE(a_critical_part_has_the_customers_rule) {
    const auto shop = shop_with(bore_gauge());
    auto job = size_job(60e-6);
    job.critical = true;
    for (const bool simple : {false, true}) {
        if (simple) // the shop's own choice is no rule of the customer's
            job.rule = decide::simple_acceptance();
        const auto without = ask(shop, job);
        BOOST_TEST(word(without.verdict) == "CAN'T SAY");
        BOOST_TEST(word(without.proof.verdict) == "CAN'T SAY");
        BOOST_TEST(has(without.proof.reason, "customer's own decision rule"));
        BOOST_TEST(!without.proof.offered.has_value());
    }
    decide::CustomerRule rule;
    rule.name = "clause 8";
    rule.of_expanded = 1;
    job.rule = rule;
    const auto with = ask(shop, job);
    BOOST_TEST(word(with.verdict) != "CAN'T SAY");
    BOOST_TEST(word(with.proof.verdict) == "YES");
    // w = U: g = k
    BOOST_TEST(*with.proof.cost.guard == with.proof.k, tt::tolerance(1e-9));
}

BOOST_AUTO_TEST_CASE(out_of_calibration_is_marginal_at_best) {
    auto gauge = bore_gauge();
    gauge.how.due = parse_date("2026-11-25"); // the day itself still counts
    BOOST_TEST(word(proof_of(shop_with(gauge), size_job(60e-6)).verdict) == "YES");
    gauge.how.due = parse_date("2026-11-24");
    const auto late = proof_of(shop_with(gauge), size_job(60e-6));
    BOOST_TEST(word(late.verdict) == "MARGINAL");
    BOOST_TEST(has(late.reason, "ran out on 2026-11-24"));
    BOOST_TEST(word(proof_of(shop_with(gauge), size_job(5e-6)).verdict) == "NO");
}

BOOST_AUTO_TEST_CASE(what_a_gauge_cannot_do_is_refused) {
    auto gauge = bore_gauge();
    BOOST_TEST(refused(shop_with(gauge), size_job(60e-6, "no such gauge")) == "gauge-unknown");
    gauge.largest = 0.03;
    BOOST_TEST(refused(shop_with(gauge), size_job(60e-6)) == "gauge-range");
    gauge = bore_gauge();
    gauge.smallest = 0.04; // the very end is in
    BOOST_TEST(refused(shop_with(gauge), size_job(60e-6)) == "");
    gauge.square = "black";
    BOOST_TEST(refused(shop_with(gauge), size_job(60e-6)) == "gauge-use");
    const auto deep = lean_job(20e-6, "bore gauge");
    BOOST_TEST(refused(shop_with(gauge), deep) == "");
    auto shop = shop_with(gauge);
    shop.squares[0].length = 0.03; // 40 mm are to be read
    BOOST_TEST(refused(shop, deep) == "gauge-range");
}

BOOST_AUTO_TEST_CASE(a_position_errs_by_twice_its_coordinates) {
    auto job = size_job(60e-6);
    auto& c = job.callouts[0];
    c.kind = Requirement::position;
    c.tolerance = 60e-6;
    c.datum = EdgeDatum{EdgeDatum::Kind::cut, "A|B", 0.4, 0.2, 0.14, 0.1}; // of no length
    auto gauge = bore_gauge();
    const auto position = proof_of(shop_with(gauge), job);
    const auto lean = proof_of(shop_with(gauge), lean_job(60e-6, "bore gauge"));
    BOOST_TEST(position.standard == 2 * lean.standard, tt::tolerance(1e-6));
}

// ---- what is shared with the machine

BOOST_AUTO_TEST_CASE(a_square_errs_with_the_depth) {
    auto gauge = bore_gauge();
    gauge.square = "black"; // ± 40e-6 rad by its grade, form 1 µm
    gauge.how.expands = false;
    const auto without = proof_of(shop_with(bore_gauge()), lean_job(60e-6, "bore gauge"));
    const auto with = proof_of(shop_with(gauge), lean_job(60e-6, "bore gauge"));
    const double lean = 0.04 * 40e-6 / std::sqrt(3.0);
    const double form = 0.5e-6 / std::sqrt(3.0);
    BOOST_TEST(with.standard * with.standard ==
                   without.standard * without.standard + lean * lean + form * form,
               tt::tolerance(1e-6));
    BOOST_TEST(std::any_of(with.sources.begin(), with.sources.end(), [](const auto& s) {
        return has(s.meaning, "error of the square \"black\"");
    }));
}

BOOST_AUTO_TEST_CASE(a_square_that_was_turned_round_on_the_machine_is_known_better) {
    auto shop = workshop();
    auto check = square_check(Axis::x);
    check.low_spot = 1e-7;
    for (const bool plus : {true, false}) {
        SquareSetting s;
        s.leg_towards_plus = plus;
        for (const double z : check.stations)
            s.edge_readings.push_back((plus ? 10e-6 : -10e-6) * (z - check.stations[0]));
        for (int i = 0; i < 5; ++i) {
            s.leg_stations.push_back(check.place[0] + (plus ? 0.03 : -0.03) * (i + 1));
            s.leg_readings.push_back(0);
        }
        check.settings.push_back(s);
    }
    auto gauge = bore_gauge();
    gauge.square = "black";
    shop.gauges.push_back(gauge);
    const auto before = proof_of(shop, lean_job(60e-6, "bore gauge"));
    shop.square_checks.push_back(check);
    const auto after = proof_of(shop, lean_job(60e-6, "bore gauge"));
    BOOST_TEST(after.standard < 0.9 * before.standard);
    // It leans by about 10e-6, which reads 0.4 µm over 40 mm: known, and not corrected.
    BOOST_TEST(std::abs(after.known_error) > 0.2e-6);
    BOOST_TEST(std::abs(before.known_error) < 1e-9);
}

BOOST_AUTO_TEST_CASE(the_machine_that_cut_it_does_not_see_itself) {
    auto probe = bore_gauge();
    probe.name = "probe";
    probe.how.expands = false;
    probe.gauge_length = 0.15;
    const auto shop = shop_with(probe); // of the machine nothing was checked
    const auto seen = proof_of(shop, lean_job(6e-6, "probe"));
    BOOST_REQUIRE(seen.unseen.has_value());
    BOOST_TEST(seen.unseen->share > 0.5);
    BOOST_TEST(!seen.unseen->first.empty());
    // Its doubt is that of the machine, more than that of the probe, and so is its verdict.
    const auto gauge = proof_of(shop_with(bore_gauge()), lean_job(6e-6, "bore gauge"));
    BOOST_TEST(seen.standard > 1.3 * gauge.standard);
    BOOST_TEST(word(seen.verdict) != "YES");
    // Read with the print's own limits, parts pass that are bad by the machine.
    auto simple = lean_job(6e-6, "probe");
    simple.rule = decide::simple_acceptance();
    const auto passed = proof_of(shop, simple);
    BOOST_TEST(passed.parts->bad > 0.01);
    BOOST_TEST(passed.parts->accepted_bad > 0.1 * passed.parts->bad);
    BOOST_TEST(std::any_of(seen.must_be_true.begin(), seen.must_be_true.end(), [](const auto& s) {
        return has(s, "before the part is let go");
    }));
}

BOOST_AUTO_TEST_CASE(every_kind_of_callout_is_seen_point_by_point) {
    const auto read = [](const std::string& name) {
        const auto file = std::string(HOLDABLE_ROOT) + "/budgets/demo/" + name;
        return parse_document(read_text(file), file);
    };
    const auto shop = read_machine(read("machine.json"), "machine.json");
    const auto job = read_job(read("job-every-kind.json"), "job.json");
    const auto state = solve(shop, *job.date);
    const auto cut = question(state, job);
    const auto seen = seen_by_machine(state, job, 0.12);
    BOOST_REQUIRE(job.callouts.size() > 15U);
    for (std::size_t i = 0; i < job.callouts.size(); ++i) {
        const auto& of_part = cut.model.characteristics[i];
        const auto& of_machine = seen.model.characteristics[i];
        BOOST_TEST(of_part.known.size() == of_machine.known.size(), job.callouts[i].name);
        BOOST_TEST(of_machine.effect.allFinite(), job.callouts[i].name);
        BOOST_TEST(of_part.effect.cwiseAbs().maxCoeff() > 0.0, job.callouts[i].name);
    }
}

// ---- the tightest to offer

BOOST_AUTO_TEST_CASE(what_is_offered_can_be_cut_and_proved) {
    const auto shop = shop_with(bore_gauge());
    const auto wide = proof_of(shop, size_job(80e-6));
    BOOST_REQUIRE(wide.offered.has_value());
    // asked for that, proving costs a quarter at most, and as many readings are accepted as parts
    // were promised
    const auto at_it = proof_of(shop, size_job(2 * *wide.offered));
    BOOST_TEST(at_it.cost.lost <= 0.25 + 1e-6);
    BOOST_TEST(at_it.parts->accepted > 0.95);
    const auto below = proof_of(shop, size_job(1.6 * *wide.offered));
    BOOST_TEST((below.cost.lost > 0.25 ||
                below.parts->outermost + *below.cost.guard * below.standard > 0.8 * *wide.offered));
    // a better gauge lets it be tighter
    const auto better = proof_of(shop_with(bore_gauge(0.5e-6)), size_job(80e-6));
    BOOST_TEST(*better.offered < *wide.offered);
}

BOOST_AUTO_TEST_SUITE_END()
