// SPDX-License-Identifier: MIT
#include "holdable/answer/verdicts.hpp"

#include "holdable/machine/state.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace holdable {
namespace {

/// The weightiest thing that nobody measured.
const Share* weightiest_guess(const Promise& promise) {
    for (const auto& share : promise.shares)
        if (!share.known && is_guess(share.evidence))
            return &share;
    return nullptr;
}

/// The largest of the known errors or of the doubts that takes from the tolerance.
const Share* largest(const Promise& promise, bool known) {
    const Share* found = nullptr;
    for (const auto& share : promise.shares)
        if (share.known == known && share.share > (found ? found->share : 0))
            found = &share;
    return found;
}

/// What limits: the largest of all; but a known error that others undo, as an aim does that was set
/// against it, limits nothing.
const Share* weightiest(const Promise& promise) {
    const auto* known = largest(promise, true);
    const auto* doubt = largest(promise, false);
    if (known == nullptr || doubt == nullptr)
        return known ? known : doubt;
    double together = 0;
    for (const auto& share : promise.shares)
        if (share.known)
            together += share.share;
    return std::min(known->share, 2 * together) > doubt->share ? known : doubt;
}

bool can_be_computed(const Job& job, const Readiness& ready) {
    return ready.missing.empty() && !lacks_rule(job);
}

/// Whether a chance lies within four standard errors of what its verdict hangs on.
bool leaves_doubt(const Promise& p, const AnswerOptions& o) {
    const auto near = [&](double gamma, double error) {
        return std::abs(gamma - o.confidence) < 4 * error || std::abs(gamma - 0.5) < 4 * error;
    };
    return near(p.gamma, p.gamma_error) ||
           near(p.gamma_without_guesses, p.gamma_without_guesses_error);
}

} // namespace

bool is_guess(Evidence evidence) {
    return evidence == Evidence::assumed || evidence == Evidence::typical;
}

Ruling rule(const Promise& p, const AnswerOptions& o, bool disagreement) {
    const double gamma = p.gamma - 2 * p.gamma_error;
    const double certain = p.gamma_without_guesses;
    const auto* limit = weightiest(p);
    const auto* guess = weightiest_guess(p);
    // at maximum material the hole's own room may be more than enough
    const std::string limited = p.smallest <= 0 && p.smallest_error > 0
                                    ? "nothing: the bonus alone is enough"
                                : limit ? limit->meaning
                                        : "nothing that was named";
    if (gamma >= o.confidence)
        return disagreement ? Ruling{Verdict::marginal, "the checks of the machine disagree"}
                            : Ruling{Verdict::yes, "limited by " + limited};
    if (certain - 2 * p.gamma_without_guesses_error < 0.5)
        return {Verdict::no, "even with every guess at its middle; limited by " + limited};
    if (certain >= o.confidence)
        return {Verdict::cant_say,
                guess ? fmt::format("it hangs on what nobody measured: {}", guess->meaning)
                      : "it hangs on what nobody measured"};
    if (gamma >= 0.5)
        return {Verdict::marginal, "limited by " + limited};
    return {Verdict::no, "limited by " + limited};
}

PromiseOptions promise_options(const Job& job, const AnswerOptions& o) {
    PromiseOptions p;
    p.parts = o.parts;
    p.confidence = o.confidence;
    p.quantity = job.quantity;
    p.several_setups = job.several_setups;
    p.seed = o.seed;
    p.threads = o.threads;
    p.progress = o.progress;
    if (o.trials > 0) {
        p.worlds = o.trials;
        p.most_worlds = std::max(p.most_worlds, o.trials);
    }
    return p;
}

Computable computable(const PartQuestion& question, const Job& job) {
    Computable c;
    c.model.inputs = question.model.inputs;
    for (std::size_t i = 0; i < job.callouts.size(); ++i)
        if (can_be_computed(job, question.readiness[i])) {
            c.model.characteristics.push_back(question.model.characteristics[i]);
            c.callouts.push_back(i);
        }
    return c;
}

PartModel only(const PartModel& part, std::size_t k) {
    PartModel one;
    one.inputs = part.inputs;
    one.characteristics.push_back(part.characteristics[k]);
    return one;
}

std::vector<Verdict>
verdicts_on(const Shop& shop, const Job& job, Date day, const AnswerOptions& o) {
    const auto state = solve(shop, day);
    const auto asked = question(state, job);
    const auto c = computable(asked, job);
    std::vector<Verdict> verdicts(job.callouts.size(), Verdict::cant_say);
    if (c.callouts.empty())
        return verdicts;
    for (std::size_t k = 0; k < c.callouts.size(); ++k) {
        const auto one = only(c.model, k);
        auto options = promise_options(job, o);
        if (o.trials == 0) { // a glance, and a look only where it leaves doubt
            options.worlds = 500;
            options.parts_in_world = 500;
        }
        auto seen = first_look(one, options, false)[0];
        if (o.trials == 0 && leaves_doubt(seen, o))
            seen = first_look(one, promise_options(job, o), false)[0];
        verdicts[c.callouts[k]] = rule(seen, o, state.disagreement).verdict;
    }
    return verdicts;
}

} // namespace holdable
