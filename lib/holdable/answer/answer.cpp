// SPDX-License-Identifier: MIT
#include "holdable/answer/answer.hpp"

#include "holdable/answer/verdicts.hpp"
#include "holdable/decide/capability.hpp"
#include "holdable/machine/next_check.hpp"
#include "holdable/machine/state.hpp"
#include "holdable/part/features.hpp"
#include "holdable/propagate/parallel.hpp"
#include "holdable/standards/tolerance_grades.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <chrono>
#include <cmath>
#include <functional>
#include <set>

namespace holdable {
namespace {

constexpr int longest_validity = 365; // days

/// The last day on which all verdicts are still those of `day`, at most a year on.
Date last_day(const Shop& shop, const Job& job, Date day, const AnswerOptions& o) {
    const auto now = verdicts_on(shop, job, day, o);
    const auto same = [&](int days) {
        return verdicts_on(shop, job, day + std::chrono::days(days), o) == now;
    };
    if (same(longest_validity))
        return day + std::chrono::days(longest_validity);
    int holds = 0;
    int fails = longest_validity;
    while (fails - holds > 7) { // to a week, on the safe side
        const int middle = (holds + fails) / 2;
        (same(middle) ? holds : fails) = middle;
    }
    return day + std::chrono::days(holds);
}

/// What would help: removing what is known, measuring what is guessed.
std::vector<Fix> fixes(const Computable& c,
                       std::size_t k,
                       const Promise& promise,
                       Verdict verdict,
                       const AnswerOptions& o,
                       const PromiseOptions& options,
                       bool disagreement) {
    std::vector<Fix> found;
    const Share* known = nullptr; // the middle of a guess is not there to be corrected
    for (const auto& share : promise.shares)
        if (share.known && !is_guess(share.evidence) && share.meaning != bonus_room &&
            share.share > (known ? known->share : 0))
            known = &share;
    if (known != nullptr && std::abs(promise.known_value) > 0.02 * promise.smallest) {
        auto corrected = only(c.model, k);
        auto& one = corrected.characteristics[0];
        for (Eigen::Index r = 0; r < one.known_parts.cols(); ++r) {
            const auto at = static_cast<std::size_t>(r);
            if ((!one.known_evidence.empty() && is_guess(one.known_evidence.at(at))) ||
                one.known_names.at(at) == bonus_room)
                continue;
            one.known_parts.col(r).setZero();
        }
        one.known = one.known_parts.rowwise().sum();
        const auto after = first_look(corrected, options, true)[0];
        found.push_back({"correct the known errors, first: " + known->meaning,
                         after.smallest,
                         rule(after, o, disagreement).verdict});
    }
    // What cannot be said for want of knowledge is helped by knowledge first.
    const bool unknown = verdict == Verdict::cant_say;
    int named = 0;
    for (const auto& share : promise.shares)
        if (!share.known && share.share > 0.05 && named < 2 && is_guess(share.evidence)) {
            const auto check = check_that_shows(share.name);
            const auto action = fmt::format("measure it, now only {}: {}{}",
                                            word(share.evidence),
                                            share.meaning,
                                            check.empty() ? "" : ", by " + check);
            if (std::any_of(found.begin(), found.end(), [&](const Fix& fix) {
                    return fix.action == action;
                }))
                continue;
            found.push_back({action, std::nullopt, std::nullopt});
            ++named;
        }
    if (unknown && named > 0)
        std::stable_partition(
            found.begin(), found.end(), [](const Fix& fix) { return !fix.smallest_after; });
    return found;
}

/// Where none of the simulated parts was out, one is taken to have been.
PredictedIndex predicted_index(const Promise& p) {
    PredictedIndex index;
    const auto of = [&](double yield, double parts) {
        const double least = parts > 0 ? 1 / parts : 1e-15;
        index.at_least = index.at_least || 1 - yield < least;
        return decide::equivalent_index(std::clamp(1 - yield, least, 1 - least));
    };
    const auto parts = static_cast<double>(p.parts_in_world);
    index.expected = of(p.next_part, parts * static_cast<double>(p.worlds));
    index.assured = of(p.assured_yield, parts);
    return index;
}

/// The part once the first piece was measured and the program offset by what it showed: of the
/// knowledge k a part w = V_k/(V_k + V_p + V_m) is taken away, and the first piece's own scatter
/// and the error of measuring it come in by as much (docs/theory.md). What grows over the batch has
/// not begun at the first piece: its mean stays. None where nobody would offset, or the promise
/// covers set-ups that have no first piece yet.
std::optional<PartModel> after_first_piece(const Computable& c,
                                           std::size_t k,
                                           const Job& job,
                                           const std::set<std::string>& trends) {
    if (job.several_setups || job.quantity < 2 ||
        job.callouts[c.callouts[k]].kind == Requirement::distance)
        return std::nullopt;
    auto measuring = job.process.first_piece;
    if (!measuring && job.process_typical)
        measuring = typical_process(job.process, HoleMaking::bored, "good vmc").first_piece;
    if (!measuring)
        return std::nullopt;
    PartModel after;
    after.inputs = c.model.inputs;
    after.characteristics.push_back(c.model.characteristics[k]);
    auto& one = after.characteristics[0];
    double shared = 0, own = 0;
    const auto count = after.inputs.size();
    const auto effect_of = [&](std::size_t i) {
        return one.effect(0, static_cast<Eigen::Index>(i));
    };
    for (std::size_t i = 0; i < count; ++i)
        if (!trends.contains(after.inputs[i].name))
            (after.inputs[i].sharing == Sharing::part ? own : shared) +=
                std::pow(effect_of(i), 2) * variance(after.inputs[i]);
    const Input error{"measuring the first piece",
                      {},
                      "measuring the first piece",
                      rectangular_law(measuring->half_width),
                      measuring->evidence,
                      Sharing::setup,
                      {},
                      0};
    const double w = shared / (shared + own + variance(error));
    std::vector<double> more{-w};
    after.inputs.push_back(error);
    for (std::size_t i = 0; i < count; ++i) {
        if (after.inputs[i].sharing != Sharing::part) {
            one.effect(0, static_cast<Eigen::Index>(i)) *= 1 - w;
        } else if (effect_of(i) != 0 && !trends.contains(after.inputs[i].name)) {
            auto first = after.inputs[i];
            first.name += ", first piece";
            first.sharing = Sharing::setup;
            more.push_back(-w * effect_of(i));
            after.inputs.push_back(std::move(first));
        }
    }
    const auto old = one.effect.cols();
    one.effect.conservativeResize(1, static_cast<Eigen::Index>(after.inputs.size()));
    for (std::size_t j = 0; j < more.size(); ++j)
        one.effect(0, old + static_cast<Eigen::Index>(j)) = more[j];
    // What is known is taken out, but for what the first piece does not show yet.
    one.known.setZero();
    for (Eigen::Index r = 0; r < one.known_parts.cols(); ++r) {
        if (!trends.contains(one.known_names[static_cast<std::size_t>(r)]))
            one.known_parts.col(r).setZero();
        one.known += one.known_parts.col(r);
    }
    return after;
}

} // namespace

std::string_view word(Verdict verdict) {
    switch (verdict) {
    case Verdict::yes:
        return "YES";
    case Verdict::marginal:
        return "MARGINAL";
    case Verdict::no:
        return "NO";
    case Verdict::cant_say:
        return "CAN'T SAY";
    }
    return {};
}

Answer answer(const Shop& stated, const Job& job, const AnswerOptions& o) {
    Answer a;
    std::vector<std::string> out_of_season;
    const auto shop =
        job.temperatures.stated ? in_season(stated, job.temperatures.scale, out_of_season) : stated;
    a.shop = shop.name;
    a.machine = shop.machine;
    a.job = job.name;
    a.day = job.date ? *job.date : o.on ? *o.on : today();
    a.parts = o.parts;
    a.confidence = o.confidence;
    a.quantity = job.quantity;
    a.seed = o.seed;
    a.inch = job.inch;
    a.rule = job.rule;
    a.critical = job.critical;

    const auto state = solve(shop, a.day);
    const auto asked = question(state, job);
    const auto c = computable(asked, job);
    const auto options = promise_options(job, o);
    for (std::size_t i = 0; i < job.callouts.size(); ++i) {
        CalloutAnswer answered;
        answered.callout = job.callouts[i];
        answered.must_be_true = asked.readiness[i].must_be_true;
        answered.left_out = asked.readiness[i].left_out;
        answered.left_out.emplace_back("how the customer measures");
        answered.notes = asked.readiness[i].notes;
        answered.computed = false;
        if (lacks_rule(job)) {
            answered.reason = "a critical part needs the customer's own decision rule";
            answered.to_fix.push_back({"ask the customer for the rule that applies", {}, {}});
        } else if (!asked.readiness[i].missing.empty()) {
            answered.reason = "not known: " + asked.readiness[i].missing.front();
            for (const auto& missing : asked.readiness[i].missing)
                answered.to_fix.push_back({"state " + missing, {}, {}});
        }
        a.callouts.push_back(std::move(answered));
    }
    const auto judge = [&] {
        if (!c.callouts.empty())
            a.whole = promise(c.model, options);
        Told helps(o.progress, "looking for what would help", c.callouts.size());
        for (std::size_t k = 0; k < c.callouts.size(); ++k) {
            auto& answered = a.callouts[c.callouts[k]];
            answered.promise = a.whole.promises[k];
            answered.computed = true;
            const auto ruling = rule(answered.promise, o, state.disagreement);
            answered.verdict = ruling.verdict;
            answered.reason = ruling.reason;
            if (job.indices)
                answered.index = predicted_index(answered.promise);
            if (is_size(answered.callout.kind)) {
                answered.grade =
                    grade_held(answered.callout.size.nominal, 2 * answered.promise.smallest);
                if (const auto offset = after_first_piece(c, k, job, asked.trends))
                    answered.after_first_piece = first_look(*offset, options, true)[0].smallest;
            }
            answered.to_fix =
                fixes(c, k, answered.promise, ruling.verdict, o, options, state.disagreement);
            helps.add();
        }
    };
    const auto ask_gauges = [&] {
        Prover prover(state, asked, job, options);
        for (std::size_t i = 0; i < a.callouts.size(); ++i) {
            const bool computed =
                std::find(c.callouts.begin(), c.callouts.end(), i) != c.callouts.end();
            a.callouts[i].proof = prover.prove(i, computed);
        }
    };
    // None of the three waits for another; what is longest begins, and alone tells how far it is.
    const std::array<std::function<void()>, 3> all{judge, ask_gauges, [&] {
                                                       a.valid_until =
                                                           c.callouts.empty() || !o.validity
                                                               ? a.day
                                                               : last_day(shop, job, a.day, o);
                                                   }};
    propagate::parallel(all.size(), o.threads, [&](std::size_t i) { all[i](); });
    a.valid_until_is_limit = a.valid_until == a.day + std::chrono::days(longest_validity);
    for (const auto& answered : a.callouts)
        if (const auto& due = answered.proof.due; due && a.day <= *due && *due < a.valid_until) {
            a.valid_until = *due;
            a.valid_until_is_limit = false;
            a.gauge_that_ends_it = answered.proof.gauge;
        }
    a.notes = out_of_season;
    a.notes.insert(a.notes.end(), state.notes.begin(), state.notes.end());
    a.notes.insert(a.notes.end(), a.whole.notes.begin(), a.whole.notes.end());
    for (const auto& answered : a.callouts)
        for (const auto& what : answered.left_out)
            if (std::find(a.not_included.begin(), a.not_included.end(), what) ==
                a.not_included.end())
                a.not_included.push_back(what);
    return a;
}

bool all_yes(const Answer& answer) {
    return std::all_of(answer.callouts.begin(), answer.callouts.end(), [](const auto& c) {
        return c.verdict == Verdict::yes &&
               (c.proof.gauge.empty() || c.proof.verdict == Verdict::yes);
    });
}

} // namespace holdable
