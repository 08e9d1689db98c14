// SPDX-License-Identifier: MIT
#include "holdable/answer/statement.hpp"

#include "holdable/answer/sheet.hpp"
#include "holdable/answer/verdicts.hpp"
#include "holdable/base/error.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <chrono>
#include <cmath>
#include <map>

namespace holdable {
namespace {

constexpr int usual_validity = 90;      // days
constexpr int oldest_check = 365;       // days
constexpr double most_assumed = 1. / 3; // share of t that errors nobody measured may carry
constexpr double first_guess = 20e-6;   // tolerance of a sheet's callouts to begin with (m)

std::string_view word(EventKind kind) {
    switch (kind) {
    case EventKind::crash:
        return "crash";
    case EventKind::move:
        return "move";
    case EventKind::relevel:
        return "re-levelling";
    case EventKind::adjustment:
        return "adjustment";
    case EventKind::spindle_work:
        return "work on the spindle";
    }
    return {};
}

/// A statement rests on checks that are still good.
void refuse_if_spent(const Shop& shop, Date day) {
    std::optional<Date> last;
    for (const auto& record : check_records(shop))
        if (record.date <= day && (!last || record.date > *last))
            last = record.date;
    if (!last)
        throw InputError("statement-expired",
                         fmt::format("the machine has no check made by {}", to_string(day)),
                         "check the machine first: a statement rests on its readings");
    for (const auto& event : shop.events)
        if (event.date <= day && event.date >= *last)
            throw InputError("statement-void",
                             fmt::format("no check was made since the {} of {}",
                                         word(event.kind),
                                         to_string(event.date)),
                             "check the machine again, then make the statement");
    if (day - *last > std::chrono::days(oldest_check))
        throw InputError("statement-expired",
                         fmt::format("the last check is of {}, over a year before {}",
                                     to_string(*last),
                                     to_string(day)),
                         "check the machine again, then make the statement");
}

const decide::PartGauge* gauge_named(const Shop& shop, const std::string& name) {
    for (const auto& gauge : shop.gauges)
        if (gauge.name == name && !name.empty())
            return &gauge;
    return nullptr;
}

/// The last day on which it holds: asked, but no longer than any gauge in it is calibrated.
void set_validity(Statement& s, const Shop& shop, const Job& job, const StatementOptions& o) {
    s.valid_until = o.until.value_or(s.issued + std::chrono::days(usual_validity));
    if (s.valid_until < s.issued)
        throw InputError("statement-until",
                         fmt::format("it would end on {}, before its own day {}",
                                     to_string(s.valid_until),
                                     to_string(s.issued)),
                         "\"--until\" is the last day on which it shall hold");
    for (const auto& callout : job.callouts)
        if (const auto* gauge = gauge_named(shop, callout.gauge))
            if (const auto due = gauge->how.due; due && *due >= s.issued && *due < s.valid_until) {
                s.valid_until = *due;
                s.ends_it = "the calibration of \"" + gauge->name + "\" runs out";
            }
}

/// What of t is carried by errors that nobody measured, and the largest of them.
std::pair<double, std::string> assumed_share(const Promise& promise) {
    std::map<std::string, double> by_meaning;
    double sum = 0;
    for (const auto& share : promise.shares)
        if (share.evidence == Evidence::assumed) {
            sum += std::abs(share.share);
            by_meaning[share.meaning.empty() ? share.name : share.meaning] += std::abs(share.share);
        }
    std::string largest;
    double most = 0;
    for (const auto& [meaning, share] : by_meaning)
        if (share > most) {
            most = share;
            largest = meaning;
        }
    return {sum, largest};
}

/// Why a callout is not offered; empty where it is.
std::string why_not(const CalloutAnswer& c, const Answer& answer, const MachineState& state) {
    const auto& shop = state.model.shop();
    const auto day = state.model.job();
    if (answer.critical && !(answer.rule && answer.rule->of_customer))
        return "a critical part needs the customer's own decision rule";
    if (!c.computed)
        return c.reason;
    if (state.disagreement)
        return "the checks of the machine do not agree: read again first";
    if (const auto [share, largest] = assumed_share(c.promise); share > most_assumed)
        return "not measured well enough: " + largest;
    if (c.proof.gauge.empty())
        return "no gauge is named that proves it";
    if (const auto* gauge = gauge_named(shop, c.proof.gauge);
        gauge != nullptr && gauge->how.due && *gauge->how.due < day)
        return fmt::format(
            "the calibration of \"{}\" ran out on {}", gauge->name, to_string(*gauge->how.due));
    if (!c.proof.offered)
        return c.proof.judged && c.proof.verdict == Verdict::cant_say
                   ? c.proof.reason
                   : fmt::format("\"{}\" proves no tolerance of it", c.proof.gauge);
    return {};
}

/// What all claims have in common, once each.
void collect(std::vector<std::string>& into, const std::vector<std::string>& from) {
    for (const auto& one : from)
        if (std::find(into.begin(), into.end(), one) == into.end())
            into.push_back(one);
}

/// The facts of shop and job.
Statement begin(const Shop& shop, const Job& job, const StatementOptions& o) {
    Statement s;
    s.card = shop.card;
    s.drawing = job.drawing;
    s.revision = job.revision;
    s.customer = job.customer;
    s.quote = job.quote;
    s.material = job.material;
    s.issued = job.date ? *job.date : o.answer.on ? *o.answer.on : today();
    s.temperatures = job.temperatures;
    s.several_setups = job.several_setups;
    s.travel = shop.travel;
    s.checked = checked_travel(shop);
    s.checks = check_records(shop);
    s.instruments = instruments_used(shop);
    refuse_if_spent(shop, s.issued);
    set_validity(s, shop, job, o);
    return s;
}

AnswerOptions options_of(const Statement& s, const StatementOptions& o) {
    auto options = o.answer;
    options.on = s.valid_until;
    options.validity = false;
    return options;
}

/// Claims are there: what stands below the table.
void finish(Statement& s, const Shop& shop, const Job& job, const StatementOptions& o) {
    s.answer.valid_until = s.valid_until;
    s.job = job;
    const auto c = computable(question(*s.state, job), job);
    for (auto& claim : s.claims) {
        const auto& callout = s.answer.callouts[claim.callout];
        collect(s.conditions, callout.must_be_true);
        if (claim.offered)
            collect(s.conditions, callout.proof.must_be_true);
        collect(s.excluded, callout.left_out);
        if (const auto* gauge = gauge_named(shop, claim.gauge))
            for (const auto& calibration : gauge->how.calibrations)
                if (std::none_of(s.gauges.begin(), s.gauges.end(), [&](const auto& one) {
                        return one.of == calibration.of && one.reference == calibration.reference;
                    }))
                    s.gauges.push_back(calibration);
        const auto at = std::find(c.callouts.begin(), c.callouts.end(), claim.callout);
        if (callout.computed && at != c.callouts.end())
            claim.audit = audit(c.model,
                                static_cast<std::size_t>(at - c.callouts.begin()),
                                callout.promise,
                                o.answer.parts);
    }
}

void take_capability(Claim& claim, const CalloutAnswer& c, std::size_t index) {
    if (!c.computed || (claim.capability && *claim.capability >= c.promise.smallest))
        return;
    claim.callout = index;
    claim.capability = c.promise.smallest;
    claim.capability_error = c.promise.smallest_error;
}

void take_proof(Claim& claim, const Proof& proof) {
    claim.gauge = proof.gauge;
    if (proof.judged && proof.expanded > claim.expanded.value_or(0)) {
        claim.expanded = proof.expanded;
        claim.k = proof.k;
    }
}

/// Of each line and size the place where least is held.
Job worst_places(const SheetJob& sheet,
                 const Computable& c,
                 const std::vector<Promise>& looks,
                 std::vector<SheetPlace>& places) {
    struct Worst {
        std::size_t callout = 0;
        double smallest = -1;
    };

    std::map<std::pair<std::size_t, double>, Worst> worst;
    for (std::size_t k = 0; k < c.callouts.size(); ++k) {
        const auto i = c.callouts[k];
        auto& one = worst[{sheet.places[i].line, sheet.places[i].size}];
        if (looks[k].smallest > one.smallest)
            one = {i, looks[k].smallest};
    }
    auto job = sheet.job;
    job.callouts.clear();
    for (const auto& [key, one] : worst) {
        auto callout = sheet.job.callouts[one.callout];
        // Wide enough that the gauge is asked over what will be offered, and no more than twice.
        callout.tolerance = 2 * one.smallest;
        if (is_size(callout.kind)) {
            callout.size.lower = -callout.tolerance;
            callout.size.upper = callout.tolerance;
        }
        job.callouts.push_back(std::move(callout));
        places.push_back(sheet.places[one.callout]);
    }
    return job;
}

} // namespace

Statement statement(const Shop& shop, const Job& job, const StatementOptions& o) {
    auto s = begin(shop, job, o);
    auto last = job;
    last.date = s.valid_until;
    s.state = solve(shop, s.valid_until);
    s.answer = answer(shop, last, options_of(s, o));
    for (std::size_t i = 0; i < s.answer.callouts.size(); ++i) {
        const auto& c = s.answer.callouts[i];
        Claim claim;
        claim.callout = i;
        claim.feature = c.callout.name;
        take_capability(claim, c, i);
        take_proof(claim, c.proof);
        claim.not_offered = why_not(c, s.answer, *s.state);
        if (claim.not_offered.empty())
            claim.offered = c.proof.offered;
        s.claims.push_back(std::move(claim));
    }
    finish(s, shop, last, o);
    return s;
}

Statement statement(const Shop& shop, const StatementOptions& o) {
    const auto sheet = sheet_job(shop, first_guess);
    auto s = begin(shop, sheet.job, o);
    s.sheet = true;
    s.state = solve(shop, s.valid_until);
    const auto options = options_of(s, o);
    std::vector<SheetPlace> places;
    Job job = sheet.job;
    job.callouts.clear();
    if (!sheet.job.callouts.empty()) {
        const auto c = computable(question(*s.state, sheet.job), sheet.job);
        auto glance = promise_options(sheet.job, options); // enough to tell places apart
        glance.worlds = glance.parts_in_world = 500;
        const auto looks = first_look(c.model, glance, true);
        job = worst_places(sheet, c, looks, places);
    }
    job.date = s.valid_until;
    s.answer = answer(shop, job, options);
    for (std::size_t i = 0; i < sheet.lines.size(); ++i) {
        const auto& line = sheet.lines[i];
        const auto& feature = feature_of(line);
        Claim claim;
        claim.feature = feature.words;
        claim.detail = feature.part;
        claim.size = feature.size;
        claim.from = *line.from;
        claim.to = *line.to;
        claim.gauge = line.gauge;
        claim.not_offered = sheet.out_of_reach[i];
        bool some = false;
        double offered = 0;
        for (std::size_t k = 0; k < places.size(); ++k) {
            if (places[k].line != i)
                continue;
            some = true;
            const auto& c = s.answer.callouts[k];
            take_capability(claim, c, k);
            take_proof(claim, c.proof);
            if (const auto why = why_not(c, s.answer, *s.state);
                !why.empty() && claim.not_offered.empty())
                claim.not_offered = why;
            offered = std::max(offered, c.proof.offered.value_or(0));
        }
        if (some && claim.not_offered.empty())
            claim.offered = offered;
        if (some)
            s.claims.push_back(std::move(claim));
        else
            s.excluded.push_back(fmt::format("{}: {}", feature.words, claim.not_offered));
    }
    finish(s, shop, job, o);
    return s;
}

} // namespace holdable
