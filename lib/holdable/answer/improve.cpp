// SPDX-License-Identifier: MIT
#include "holdable/answer/improve.hpp"

#include "holdable/answer/action_families.ipp"
#include "holdable/answer/verdicts.hpp"
#include "holdable/base/error.hpp"
#include "holdable/propagate/parallel.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <set>

namespace holdable {
namespace {

constexpr double worth_saying = 0.99;  // of t(P, C) now
constexpr std::size_t most_tried = 14; // actions of which sets are made
constexpr std::size_t at_most = 3;     // of one set that is tried with all others
constexpr std::size_t most_sets = 240; // looked at
constexpr double at_least_won = 0.5;   // of what is missing in t², by the members alone
constexpr std::size_t most_chances = 6;
constexpr double good_cost = 0.25; // of proving, share of the tolerance

using Set = std::vector<std::size_t>; // of actions, ascending

/// What is asked, and the facts it is asked of.
struct Asked {
    const Shop& shop;
    const Job& job;
    Date day;
    const ImproveOptions& options;
};

int yes_count(const std::vector<Outlook>& callouts) {
    return static_cast<int>(std::count_if(
        callouts.begin(), callouts.end(), [](const Outlook& callout) { return callout.yes(); }));
}

/// How far a verdict is from YES; NO and CAN'T SAY are equally far.
int distance(Verdict verdict) {
    return verdict == Verdict::yes ? 0 : verdict == Verdict::marginal ? 1 : 2;
}

int distance(const Outlook& callout) {
    return distance(callout.verdict) + (callout.prove ? distance(*callout.prove) : 0);
}

int distance(const std::vector<Outlook>& callouts) {
    int sum = 0;
    for (const auto& callout : callouts)
        sum += distance(callout);
    return sum;
}

/// A gauge is named and is not good enough.
bool wants_gauge(const Outlook& callout) {
    return callout.prove.value_or(Verdict::yes) != Verdict::yes;
}

/// Changed facts.
struct Changed {
    Shop shop;
    Job job;
};

Changed after(const Asked& asked, const std::vector<const Action*>& several) {
    Changed changed{asked.shop, asked.job};
    carry_out(several, changed.shop, changed.job);
    return changed;
}

/// A look at the facts as some actions leave them; none where one of them cannot be done.
std::optional<Look> look_after(const Asked& asked, const std::vector<const Action*>& several) {
    auto quiet = asked.options.answer;
    quiet.threads = 1; // many looks are taken at once
    quiet.progress = {};
    try {
        const auto changed = after(asked, several);
        return look(changed.shop, changed.job, asked.day, quiet);
    } catch (const InputError&) { // it does not fit the machine
    } catch (const NumericError&) {
    }
    return std::nullopt;
}

/// Whether an action is worth a line.
bool helps(const std::vector<Outlook>& now, const std::vector<Outlook>& then) {
    for (std::size_t i = 0; i < now.size(); ++i) {
        if (distance(then[i]) < distance(now[i]))
            return true;
        if (wants_gauge(now[i]) && then[i].lost < worth_saying * now[i].lost)
            return true;
        if (!now[i].computed)
            continue;
        if (then[i].computed && then[i].smallest < worth_saying * now[i].smallest)
            return true;
    }
    return false;
}

/// By how much it narrows what is not YES yet, as a sum of logarithms.
double narrowing(const std::vector<Outlook>& now, const std::vector<Outlook>& then) {
    double sum = 0;
    for (std::size_t i = 0; i < now.size(); ++i) {
        if (now[i].verdict != Verdict::yes && now[i].computed && then[i].computed &&
            now[i].smallest > 0 && then[i].smallest > 0)
            sum += std::log(now[i].smallest / then[i].smallest);
        if (wants_gauge(now[i]) && then[i].lost > 0)
            sum += std::log(now[i].lost / then[i].lost);
    }
    return sum;
}

void rank(std::vector<Improved>& all, const std::vector<Outlook>& now) {
    std::stable_sort(all.begin(), all.end(), [&](const Improved& a, const Improved& b) {
        if (a.won != b.won)
            return a.won > b.won;
        const auto far_a = distance(a.after);
        const auto far_b = distance(b.after);
        if (far_a != far_b)
            return far_a < far_b;
        if (a.action.minutes != b.action.minutes)
            return a.action.minutes < b.action.minutes;
        return narrowing(now, a.after) > narrowing(now, b.after);
    });
}

/// Finds the least set that does it.
class Search {
  public:
    Search(const Asked& asked,
           const std::vector<Outlook>& now,
           const std::vector<Improved>& actions)
        : asked_(asked), now_(now), actions_(actions) {
        for (std::size_t i = 0; i < actions.size(); ++i)
            if (narrowing(now, actions[i].after) > 0 || actions[i].won > 0)
                tried_.push_back(i);
        std::stable_sort(tried_.begin(), tried_.end(), [&](std::size_t a, std::size_t b) {
            return narrowing(now, actions[a].after) > narrowing(now, actions[b].after);
        });
    }

    Together find() {
        Together found;
        const auto all = everything();
        const auto best = all.empty() ? now_ : seen(all);
        found.best = best;
        for (std::size_t i = 0; i < now_.size(); ++i)
            if (best[i].yes() && !now_[i].yes())
                wanted_.push_back(i);
            else if (!now_[i].yes())
                found.out_of_reach.push_back(i);
        found.reaches = true;
        if (wanted_.empty()) {
            found.after = now_;
            found.reaches = found.out_of_reach.empty();
            return found;
        }
        auto set = small_set();
        found.exact = set.has_value();
        if (!set)
            set = greedy(all);
        found.actions = *set;
        found.minutes = minutes(*set);
        return found;
    }

  private:
    double minutes(const Set& set) const {
        double sum = 0;
        for (const auto i : set)
            sum += actions_[i].action.minutes;
        return sum;
    }

    bool compatible(const Set& set) const {
        std::set<std::string> taken;
        for (const auto i : set) {
            const auto& instead = actions_[i].action.instead;
            if (!instead.empty() && !taken.insert(instead).second)
                return false;
        }
        return true;
    }

    std::vector<Outlook> fresh(const Set& set) const {
        std::vector<const Action*> several;
        for (const auto i : set)
            several.push_back(&actions_[i].action);
        const auto look = look_after(asked_, several);
        return look ? look->callouts : std::vector<Outlook>(now_.size());
    }

    const std::vector<Outlook>& seen(const Set& set) {
        const auto known = seen_.find(set);
        return known != seen_.end() ? known->second : seen_.emplace(set, fresh(set)).first->second;
    }

    void see(const std::vector<Set>& sets) {
        std::vector<const Set*> open;
        for (const auto& set : sets)
            if (!seen_.contains(set))
                open.push_back(&set);
        std::vector<std::vector<Outlook>> looks(open.size());
        Told told(asked_.options.answer.progress, "trying actions together", 0, seen_.size());
        propagate::parallel(open.size(), asked_.options.answer.threads, [&](std::size_t i) {
            looks[i] = fresh(*open[i]);
            told.add();
        });
        for (std::size_t i = 0; i < open.size(); ++i)
            seen_.emplace(*open[i], std::move(looks[i]));
    }

    /// All that narrows, of each that exclude each other the one that narrows most.
    Set everything() const {
        Set all;
        for (const auto i : tried_) {
            all.push_back(i);
            if (!compatible(all))
                all.pop_back();
        }
        std::sort(all.begin(), all.end());
        return all;
    }

    bool reaches(const std::vector<Outlook>& then) const {
        return std::all_of(
            wanted_.begin(), wanted_.end(), [&](std::size_t i) { return then[i].yes(); });
    }

    /// Whether it may reach what is wanted, by what its members win alone.
    bool promising(const Set& set) const {
        return std::all_of(wanted_.begin(), wanted_.end(), [&](std::size_t i) {
            if (wants_gauge(now_[i]) && std::none_of(set.begin(), set.end(), [&](std::size_t a) {
                    return actions_[a].after[i].lost < now_[i].lost;
                }))
                return false;
            if (!now_[i].computed || now_[i].verdict == Verdict::yes)
                return true;
            const auto square = [](double x) { return x * x; };
            const double t = now_[i].smallest;
            const double tolerance = asked_.job.callouts[i].tolerance;
            const double missing = square(t) - square(tolerance);
            double won = 0;
            for (const auto a : set) {
                const auto& then = actions_[a].after[i];
                if (then.verdict == Verdict::yes)
                    return true;
                if (then.computed)
                    won += square(t) - square(then.smallest);
            }
            return won >= at_least_won * missing;
        });
    }

    std::optional<Set> small_set() {
        std::vector<Set> sets;
        const auto count = std::min(most_tried, tried_.size());
        const auto add = [&](Set set) {
            std::sort(set.begin(), set.end());
            if (compatible(set) && promising(set))
                sets.push_back(std::move(set));
        };
        static_assert(at_most == 3);
        for (std::size_t a = 0; a < tried_.size(); ++a)
            add({tried_[a]});
        for (std::size_t a = 0; a < count; ++a)
            for (std::size_t b = a + 1; b < count; ++b) {
                add({tried_[a], tried_[b]});
                for (std::size_t c = b + 1; c < count; ++c)
                    add({tried_[a], tried_[b], tried_[c]});
            }
        std::stable_sort(sets.begin(), sets.end(), [&](const Set& a, const Set& b) {
            const double x = minutes(a);
            const double y = minutes(b);
            return x != y ? x < y : a.size() < b.size();
        });
        if (sets.size() > most_sets)
            sets.resize(most_sets);
        constexpr std::size_t at_once = 8; // the number changes nothing but how much is looked at
        for (std::size_t from = 0; from < sets.size(); from += at_once) {
            const auto to = std::min(from + at_once, sets.size());
            const std::vector<Set> some(sets.begin() + static_cast<std::ptrdiff_t>(from),
                                        sets.begin() + static_cast<std::ptrdiff_t>(to));
            see(some);
            for (const auto& set : some)
                if (reaches(seen_.at(set)))
                    return set;
        }
        return std::nullopt;
    }

    /// One after the other what wins most a minute; then those dropped that are not needed.
    Set greedy(const Set& all) {
        Set set;
        const auto lacks = [&](const std::vector<Outlook>& then) {
            double sum = 0;
            for (const auto i : wanted_) {
                if (then[i].verdict != Verdict::yes)
                    sum += then[i].computed ? std::max(1e-3,
                                                       std::log(then[i].smallest /
                                                                asked_.job.callouts[i].tolerance))
                                            : 1;
                if (wants_gauge(then[i]))
                    sum += std::max(1e-3, std::log(then[i].lost / good_cost));
            }
            return sum;
        };
        auto now = now_;
        while (!reaches(now)) {
            std::vector<Set> next;
            for (const auto i : tried_) {
                if (std::find(set.begin(), set.end(), i) != set.end())
                    continue;
                auto with = set;
                with.push_back(i);
                std::sort(with.begin(), with.end());
                if (compatible(with) && next.size() < most_tried)
                    next.push_back(std::move(with));
            }
            see(next);
            const Set* best = nullptr;
            double most = 0;
            for (const auto& with : next) {
                const double won = (lacks(now) - lacks(seen_.at(with))) /
                                   std::max(1.0, minutes(with) - minutes(set));
                if (won > most) {
                    most = won;
                    best = &with;
                }
            }
            if (best == nullptr) { // nothing wins by itself; all together do
                set = all;
                now = seen(all);
                break;
            }
            set = *best;
            now = seen_.at(set);
        }
        auto dearest = set;
        std::stable_sort(dearest.begin(), dearest.end(), [&](std::size_t a, std::size_t b) {
            return actions_[a].action.minutes > actions_[b].action.minutes;
        });
        for (const auto i : dearest) {
            auto without = set;
            std::erase(without, i);
            if (!without.empty() && reaches(seen(without)))
                set = without;
        }
        return set;
    }

    Asked asked_;
    const std::vector<Outlook>& now_;
    const std::vector<Improved>& actions_;
    std::vector<std::size_t> tried_;  // those that narrow what is not YES, most first
    std::vector<std::size_t> wanted_; // callouts that can become YES
    std::map<Set, std::vector<Outlook>> seen_;
};

/// What was found, answered in full. Where the full answer knows better than the looks, it stands.
void verify(const Asked& asked, const std::vector<Improved>& actions, Together& found) {
    if (found.actions.empty())
        return;
    std::vector<const Action*> several;
    for (const auto i : found.actions)
        several.push_back(&actions[i].action);
    const auto changed = after(asked, several);
    auto options = asked.options.answer;
    options.on = asked.day;
    const auto full = answer(changed.shop, changed.job, options);
    found.after.clear();
    for (const auto& callout : full.callouts)
        found.after.push_back(
            {callout.verdict,
             callout.computed,
             callout.promise.smallest,
             callout.promise.gamma,
             callout.proof.gauge.empty() ? std::nullopt : std::optional(callout.proof.verdict),
             callout.proof.cost.lost});
    for (std::size_t i = 0; i < found.after.size(); ++i) {
        const auto& beyond = found.out_of_reach;
        if (!found.after[i].yes() && std::find(beyond.begin(), beyond.end(), i) == beyond.end())
            found.reaches = false;
    }
}

/// The callout that lacks most of its tolerance.
std::optional<std::size_t> worst_of(const Job& job, const std::vector<Outlook>& now) {
    std::optional<std::size_t> worst;
    double most = 0;
    for (std::size_t i = 0; i < now.size(); ++i) {
        if (now[i].verdict == Verdict::yes || !now[i].computed)
            continue;
        const double lack = now[i].smallest / job.callouts[i].tolerance;
        if (!worst || lack > most) {
            most = lack;
            worst = i;
        }
    }
    return worst;
}

std::optional<std::size_t> place_in(const Look& look, std::size_t callout) {
    const auto at = std::find(look.computed.begin(), look.computed.end(), callout);
    if (at == look.computed.end())
        return std::nullopt;
    return static_cast<std::size_t>(at - look.computed.begin());
}

/// The chances of what checks may come out as: of those in the set, and the best others.
void add_chances(const Asked& asked, const Look& now, Improvement& all) {
    std::size_t asked_for = 0;
    Told told(asked.options.answer.progress, "asking what checks may read", all.actions.size());
    for (std::size_t a = 0; a < all.actions.size(); ++a, told.add()) {
        auto& improved = all.actions[a];
        improved.chance.resize(all.callouts.size());
        const auto& least = all.least.actions;
        const bool wanted = std::find(least.begin(), least.end(), a) != least.end();
        if (improved.action.kind != ActionKind::check || (!wanted && asked_for >= most_chances))
            continue;
        const auto then = look_after(asked, {&improved.action});
        if (!then)
            continue;
        bool any = false;
        for (std::size_t i = 0; i < all.callouts.size(); ++i) {
            const auto before_at = place_in(now, i);
            const auto after_at = place_in(*then, i);
            if (all.now[i].verdict == Verdict::yes || !before_at || !after_at)
                continue;
            // What may become YES: at its luckiest no better than a little under t.
            if (improved.after[i].smallest > 1.5 * all.callouts[i].tolerance)
                continue;
            improved.chance[i] = chance_of_yes(only(now.model, *before_at),
                                               only(then->model, *after_at),
                                               then->disagreement,
                                               asked.job,
                                               asked.options.answer,
                                               asked.options.outcomes);
            any = true;
        }
        asked_for += any ? 1 : 0;
    }
}

} // namespace

bool Improvement::all_yes() const {
    return yes_count(now) == static_cast<int>(now.size());
}

Improvement improve(const Shop& shop, const Job& job, const ImproveOptions& options) {
    Improvement all;
    all.shop = shop.name;
    all.machine = shop.machine;
    all.job = job.name;
    const auto& o = options.answer;
    all.day = job.date ? *job.date : o.on ? *o.on : today();
    all.parts = o.parts;
    all.confidence = o.confidence;
    all.seed = o.seed;
    all.inch = job.inch;
    all.callouts = job.callouts;
    const Asked asked{shop, job, all.day, options};
    const auto now = look(shop, job, all.day, o);
    all.now = now.callouts;

    auto could = actions(shop, job, all.day, options.minutes);
    could.insert(could.end(), options.more.begin(), options.more.end());
    if (options.elsewhere && !all.all_yes())
        if (auto elsewhere = move_part({shop, job, all.day, options.minutes}, o))
            could.push_back(std::move(*elsewhere));
    std::vector<std::optional<Look>> looks(could.size());
    {
        Told told(o.progress, "trying one action at a time", could.size());
        propagate::parallel(could.size(), o.threads, [&](std::size_t i) {
            looks[i] = look_after(asked, {&could[i]});
            told.add();
        });
    }
    for (std::size_t i = 0; i < could.size(); ++i)
        if (looks[i] && helps(all.now, looks[i]->callouts))
            all.actions.push_back({std::move(could[i]),
                                   looks[i]->callouts,
                                   yes_count(looks[i]->callouts) - yes_count(all.now),
                                   {}});
    rank(all.actions, all.now);
    if (all.all_yes()) {
        all.least.after = all.least.best = all.now;
        all.least.reaches = true;
        return all;
    }
    all.least = Search(asked, all.now, all.actions).find();
    verify(asked, all.actions, all.least);
    all.worst = worst_of(job, all.now);
    if (all.worst) {
        auto glance = promise_options(job, o);
        all.shrinks = required_shrinks(only(now.model, *place_in(now, *all.worst)),
                                       job.callouts[*all.worst].tolerance,
                                       glance);
    }
    add_chances(asked, now, all);
    return all;
}

} // namespace holdable
