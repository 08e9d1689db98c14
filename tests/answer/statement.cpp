// SPDX-License-Identifier: MIT
// The page for the quote. Its numbers against the answer to the same callouts asked one by one, and
// against the rule at the tolerance offered; its refusals in cases made for them. The audit against
// the first-order propagation of a part whose input was made wider, which takes another way. Exact
// but for the sampled numbers, which are the same draws and so the same numbers.
#include "holdable/answer/statement.hpp"

#include "holdable/answer/sheet.hpp"
#include "holdable/base/error.hpp"
#include "holdable/decide/rule.hpp"
#include "holdable/files/document.hpp"
#include "holdable/files/read_job.hpp"
#include "holdable/files/read_machine.hpp"
#include "holdable/files/text.hpp"
#include "holdable/propagate/first_order.hpp"
#include "machine/workshop.hpp"

#include <boost/test/unit_test.hpp>

#include <algorithm>
#include <chrono>
#include <cmath>
#include <string>

using namespace holdable;
using namespace holdable::tests;
namespace tt = boost::test_tools;

namespace {

const auto day = parse_date("2026-11-25");

Shop checked_shop() {
    auto shop = workshop();
    for (const auto across : {Axis::x, Axis::y}) {
        auto check = square_check(across);
        SquareSetting setting;
        setting.edge_readings = {0, 1e-6, 2e-6, 3e-6, 4e-6};
        check.settings = {setting};
        shop.square_checks.push_back(check);
    }
    decide::PartGauge gauge;
    gauge.name = "bore gauge";
    gauge.how.instrument = "two-point gauge";
    gauge.how.resolution = 1e-6;
    gauge.how.certificate = decide::Doubt{0.5e-6, {}, Evidence::certificate};
    gauge.how.calibrations = {{"two-point gauge", "B-1", parse_date("2027-06-30")}};
    gauge.how.due = parse_date("2027-06-30");
    gauge.how.scatter = {0.5e-6, 9.0, Evidence::measured};
    gauge.how.operators = {0.3e-6, {}, Evidence::typical};
    gauge.how.gauge = {293.15, 11.5e-6, 1e-6};
    gauge.how.temperature_limit = 0.5;
    gauge.smallest = 0.01;
    gauge.largest = 0.06;
    shop.gauges = {gauge};
    return shop;
}

Job bore_job() {
    Job job;
    job.name = "bracket";
    job.material = "steel";
    job.date = day;
    job.process_typical = true;
    job.part = Extent{0.3, 0.5, 0.1, 0.3};
    Callout c;
    c.kind = Requirement::diameter;
    c.name = "bore";
    c.size = {0.04, -20e-6, 20e-6, {}, "as written"};
    c.tolerance = 20e-6;
    Hole hole;
    hole.x = 0.4;
    hole.y = 0.2;
    hole.top = 0.15;
    hole.depth = 0.04;
    hole.tool_length = 0.15;
    hole.diameter = 0.04;
    c.feature = Holes{hole};
    c.gauge = "bore gauge";
    job.callouts = {c};
    return job;
}

StatementOptions options() {
    StatementOptions o;
    o.answer.on = day;
    return o;
}

std::string id_of(const Shop& shop, const StatementOptions& o = options()) {
    try {
        statement(shop, bore_job(), o);
    } catch (const InputError& error) {
        return error.diagnostics().front().id;
    }
    return "none";
}

} // namespace

BOOST_AUTO_TEST_SUITE(statements)

BOOST_AUTO_TEST_CASE(numbers_of_a_job_are_those_of_its_answer_on_the_last_day) {
    const auto shop = checked_shop();
    const auto s = statement(shop, bore_job(), options());
    BOOST_TEST(to_string(s.issued) == "2026-11-25");
    BOOST_TEST(to_string(s.valid_until) == "2027-02-23"); // 90 days
    auto last = bore_job();
    last.date = s.valid_until;
    const auto a = answer(shop, last, {});
    BOOST_REQUIRE(s.claims.size() == 1U);
    const auto& claim = s.claims.front();
    BOOST_TEST(claim.not_offered == "");
    BOOST_TEST(claim.capability.value() == a.callouts[0].promise.smallest);
    BOOST_TEST(claim.offered.value() == a.callouts[0].proof.offered.value());
    BOOST_TEST(claim.expanded.value() == a.callouts[0].proof.expanded);
    BOOST_TEST(claim.offered.value() > claim.capability.value());
}

BOOST_AUTO_TEST_CASE(what_is_offered_can_be_cut_and_proved) {
    const auto shop = checked_shop();
    const auto s = statement(shop, bore_job(), options());
    auto job = bore_job();
    job.date = s.valid_until;
    const double offered = s.claims.front().offered.value();
    job.callouts[0].tolerance = offered * (1 + 1e-9);
    job.callouts[0].size.lower = -job.callouts[0].tolerance;
    job.callouts[0].size.upper = job.callouts[0].tolerance;
    const auto a = answer(shop, job, {});
    const auto& proof = a.callouts[0].proof;
    BOOST_TEST((a.callouts[0].verdict == Verdict::yes));
    BOOST_TEST((proof.verdict == Verdict::yes));
    BOOST_TEST(proof.cost.lost <= 0.25 + 1e-6);
    BOOST_TEST(proof.parts->outermost <= offered - *proof.cost.guard * proof.standard + 1e-9);
    // and nothing smaller can: one of the two holds with equality
    const bool tight =
        proof.cost.lost > 0.25 - 1e-6 ||
        std::abs(proof.parts->outermost - (offered - *proof.cost.guard * proof.standard)) < 1e-9;
    BOOST_TEST(tight);
}

BOOST_AUTO_TEST_CASE(refused_as_a_whole) {
    auto shop = checked_shop();
    BOOST_TEST(id_of(shop) == "none");
    auto late = options();
    late.until = parse_date("2026-11-24");
    BOOST_TEST(id_of(shop, late) == "statement-until");

    shop.events = {{EventKind::crash, parse_date("2026-11-19"), {}, ""}};
    BOOST_TEST(id_of(shop) == "none"); // the checks are of the 20th
    for (const auto* when : {"2026-11-20", "2026-11-25"}) {
        shop.events[0].date = parse_date(when);
        BOOST_TEST(id_of(shop) == "statement-void");
    }
    shop.events[0].date = parse_date("2026-11-26"); // after the day of the page
    BOOST_TEST(id_of(shop) == "none");

    shop = checked_shop();
    for (auto& check : shop.square_checks)
        check.date = parse_date("2025-11-24");
    BOOST_TEST(id_of(shop) == "statement-expired");
    shop.square_checks[0].date = parse_date("2025-11-25");
    BOOST_TEST(id_of(shop) == "none");
    BOOST_TEST(id_of(workshop()) == "statement-expired");
}

BOOST_AUTO_TEST_CASE(refused_in_one_line) {
    const auto why = [](const Shop& shop, const Job& job) {
        const auto s = statement(shop, job, options());
        BOOST_TEST(s.claims.front().offered.has_value() == s.claims.front().not_offered.empty());
        return s.claims.front().not_offered;
    };
    auto shop = checked_shop();
    auto job = bore_job();
    job.callouts[0].gauge.clear();
    BOOST_TEST(why(shop, job) == "no gauge is named that proves it");
    job = bore_job();
    job.critical = true;
    BOOST_TEST(why(shop, job) == "a critical part needs the customer's own decision rule");
    shop.gauges[0].how.due = parse_date("2026-11-01");
    BOOST_TEST(why(shop, bore_job()) == "the calibration of \"bore gauge\" ran out on 2026-11-01");
    shop = checked_shop();
    shop.gauges[0].how.certificate.reset(); // nothing is stated of its error
    BOOST_TEST(why(shop, bore_job()).find("nothing is stated of the error") != std::string::npos);

    // One check whose readings are at odds with what the square may be.
    shop = checked_shop();
    shop.square_checks[0].settings[0].edge_readings = {0, 100e-6, -100e-6, 100e-6, 0};
    BOOST_TEST(why(shop, bore_job()) == "the checks of the machine do not agree: read again first");

    // The lean of a bore on a machine that nobody checked but for one level.
    shop = workshop();
    shop.gauges = checked_shop().gauges;
    auto run = level_check(Axis::y);
    run.readings = {0, 0, 0, 0, 0};
    shop.level_checks = {run};
    job = bore_job();
    auto& c = job.callouts[0];
    c.kind = Requirement::perpendicularity;
    c.datum = PlaneDatum{PlaneDatum::Kind::face, "A", {Extent{0.3, 0.5, 0.1, 0.3}, 0.15, 0.1, {}}};
    BOOST_TEST(why(shop, job).starts_with("not measured well enough: "));
}

BOOST_AUTO_TEST_CASE(no_longer_than_a_gauge_is_calibrated) {
    auto shop = checked_shop();
    shop.gauges[0].how.due = parse_date("2026-12-24");
    const auto s = statement(shop, bore_job(), options());
    BOOST_TEST(to_string(s.valid_until) == "2026-12-24");
    BOOST_TEST(s.ends_it == "the calibration of \"bore gauge\" runs out");
    BOOST_REQUIRE(s.gauges.size() == 1U);
    BOOST_TEST(s.gauges[0].reference == "B-1");
}

BOOST_AUTO_TEST_CASE(a_sheet_quotes_the_worst_of_its_sizes_and_places) {
    auto shop = checked_shop();
    shop.card.sheet = {{"hole square to a face", 0.03, 0.06, ""}};
    const auto s = statement(shop, options());
    BOOST_REQUIRE(s.claims.size() == 1U);
    const auto sheet = sheet_job(shop, 20e-6);
    BOOST_TEST(sheet.job.callouts.size() == 15U); // three depths at five places
    double worst = 0, deepest = 0;
    AnswerOptions quick;
    quick.validity = false;
    for (std::size_t i = 0; i < sheet.job.callouts.size(); ++i) {
        auto job = sheet.job;
        job.callouts = {sheet.job.callouts[i]};
        job.date = s.valid_until;
        const auto a = answer(shop, job, quick);
        worst = std::max(worst, a.callouts[0].promise.smallest);
        deepest = std::max(deepest, sheet.places[i].size);
    }
    BOOST_TEST(deepest == 0.06);
    BOOST_TEST(s.claims[0].capability.value() == worst, tt::tolerance(0.01)); // standard error of t
    BOOST_TEST(s.claims[0].not_offered != "");
}

BOOST_AUTO_TEST_CASE(a_sheet_of_every_feature_that_fits) {
    auto shop = checked_shop();
    shop.travel[1] = {0, 0.15, 0.075}; // a narrow saddle
    shop.card.sheet = {{"face flat", 0.3, 0.35, ""}, {"bore diameter", {}, {}, "bore gauge"}};
    const auto s = statement(shop, options());
    BOOST_REQUIRE(s.claims.size() == 1U);
    BOOST_TEST(s.claims[0].feature == "Bored hole, diameter");
    BOOST_TEST(std::count(s.excluded.begin(),
                          s.excluded.end(),
                          "Milled face, flatness: it does not fit in the travel") == 1);
    for (const auto& feature : sheet_features()) {
        shop = checked_shop();
        shop.card.sheet = {{std::string(feature.name), {}, {}, ""}};
        const auto sheet = sheet_job(shop, 20e-6);
        BOOST_TEST(sheet.out_of_reach[0] == "", feature.name);
        BOOST_TEST(sheet.lines[0].from.value() < sheet.lines[0].to.value());
        const auto state = solve(shop, day);
        const auto asked = question(state, sheet.job);
        for (const auto& ready : asked.readiness)
            BOOST_TEST(ready.missing.empty(), feature.name);
    }
}

BOOST_AUTO_TEST_CASE(audit_adds_up_and_follows_a_change) {
    const auto shop = checked_shop();
    auto job = bore_job();
    const auto state = solve(shop, day);
    const auto asked = question(state, job);
    const auto& part = asked.model;
    Promise p;
    const auto a = audit(part, 0, p, 0.95);
    double shares = 0;
    for (const auto& line : a.lines)
        shares += line.share;
    BOOST_TEST(shares == 1, tt::tolerance(1e-12));
    BOOST_TEST(a.limit == propagate::first_order(part, 0, 0.95).limit);
    BOOST_TEST(limit_after(a, {}) == a.limit, tt::tolerance(1e-9));
    for (std::size_t i = 0; i < std::min<std::size_t>(a.lines.size(), 4); ++i) {
        auto changed = part;
        const auto at =
            std::find_if(changed.inputs.begin(), changed.inputs.end(), [&](const auto& input) {
                return input.name == a.lines[i].input.name;
            });
        changed.characteristics[0].effect.col(at - changed.inputs.begin()) *= 3;
        // that moves the value where the input's mean is not zero; the limit is of the spread
        std::vector<double> times(a.lines.size(), 1);
        times[i] = 3;
        auto moved = a;
        moved.value = propagate::first_order(changed, 0, 0.95).value;
        BOOST_TEST(limit_after(moved, times) == propagate::first_order(changed, 0, 0.95).limit,
                   tt::tolerance(1e-9));
    }
}

BOOST_AUTO_TEST_SUITE_END()
