// SPDX-License-Identifier: MIT
#include "holdable/report/improve_text.hpp"

#include "holdable/report/page.hpp"
#include "holdable/report/wording.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace holdable {
namespace {

constexpr std::size_t most_told = 8; // of what helps
constexpr double worth_saying = 0.99;

std::string time_text(double minutes) {
    if (minutes < 100)
        return fmt::format("{:.0f} min", std::ceil(minutes - 1e-9));
    return to_place(minutes / 60, -1, Rounding::up) + " h";
}

class Text {
  public:
    explicit Text(const Improvement& of) : of_(of), habit_(habit(of.inch)), page_(usual_margin) {}

    std::string all() {
        head();
        if (of_.all_yes()) {
            page_.gap();
            page_.beside("Nothing", "is wanted: all is YES already.");
            notes();
            return page_.text();
        }
        actions();
        least();
        shrinks();
        chances();
        notes();
        return page_.text();
    }

  private:
    const Callout& callout(std::size_t i) const { return of_.callouts[i]; }

    std::string zone(std::size_t i, const Outlook& seen) const {
        return seen.computed ? zone_promised(seen.smallest, callout(i), habit_) : std::string("-");
    }

    void head() {
        page_.full(of_.job + ": what to fix or measure next, and what it buys");
        page_.full(fmt::format("{}, {}, for {}; {} of the parts, with {} confidence",
                               of_.machine,
                               of_.shop,
                               to_string(of_.day),
                               chosen_percent(of_.parts),
                               chosen_percent(of_.confidence)));
        page_.gap();
        page_.beside("Caution",
                     "Before any of it: lock out the spindle and turn it by hand, put a vertical "
                     "head that may sink on a block, and nobody reaches between table, column "
                     "and spindle while an axis can move.");
        page_.gap();
        page_.row("    callout                        asked      promised  MAKE      PROVE");
        for (std::size_t i = 0; i < of_.now.size(); ++i)
            page_.row(fmt::format("{:>2}  {}{} {}  {}{}",
                                  i + 1,
                                  fitted(callout(i).name, 22),
                                  fitted_right(zone_asked(callout(i), habit_), 14),
                                  fitted_right(zone(i, of_.now[i]), 13),
                                  fitted(word(of_.now[i].verdict), 10),
                                  of_.now[i].prove ? word(*of_.now[i].prove)
                                                   : std::string_view("no gauge")));
    }

    /// Callouts on which it is worth a line.
    bool changes(std::size_t i, const Outlook& then) const {
        const auto& now = of_.now[i];
        return then.verdict != now.verdict || then.prove != now.prove || proves_cheaper(i, then) ||
               (now.verdict != Verdict::yes && now.computed && then.computed &&
                then.smallest < worth_saying * now.smallest);
    }

    bool proves_cheaper(std::size_t i, const Outlook& then) const {
        const auto& now = of_.now[i];
        return now.prove && then.prove && *now.prove != Verdict::yes &&
               then.lost < worth_saying * now.lost;
    }

    static std::string from_to(Verdict now, Verdict then) {
        return now == then ? std::string(word(now))
                           : fmt::format("{} to {}", word(now), word(then));
    }

    /// A line for MAKE, one for PROVE, of what an action changes.
    void tell(std::size_t i, const Outlook& then) {
        const auto& now = of_.now[i];
        if (now.prove != then.prove || proves_cheaper(i, then)) {
            const auto cost = [](const Outlook& seen) {
                return to_place(100 * seen.lost, 0) + " %";
            };
            page_.row(fmt::format("    {} {} to {}  PROVE {}",
                                  fitted(callout(i).name, 24),
                                  fitted_right(cost(now), 12),
                                  fitted(cost(then), 12),
                                  from_to(now.prove.value_or(Verdict::cant_say),
                                          then.prove.value_or(Verdict::cant_say))));
        }
        if (then.verdict != now.verdict ||
            (now.verdict != Verdict::yes && now.computed && then.computed &&
             then.smallest < worth_saying * now.smallest))
            page_.row(" " + change(i, then));
    }

    std::string change(std::size_t i, const Outlook& then) const {
        const auto& now = of_.now[i];
        return fmt::format("   {} {} to {}  {}",
                           fitted(callout(i).name, 24),
                           fitted_right(zone(i, now), 12),
                           fitted(zone(i, then), 12),
                           from_to(now.verdict, then.verdict));
    }

    void actions() {
        page_.gap();
        if (of_.actions.empty()) {
            page_.full("Nothing that is known here helps by 1 %.");
            return;
        }
        page_.full("What helps, most verdicts first, then least time; each by itself");
        std::size_t told = 0;
        for (std::size_t a = 0; a < of_.actions.size(); ++a) {
            const auto& one = of_.actions[a];
            const auto& least = of_.least.actions;
            const bool wanted = std::find(least.begin(), least.end(), a) != least.end();
            bool any = false;
            for (std::size_t i = 0; i < one.after.size(); ++i)
                any = any || changes(i, one.after[i]);
            if (!wanted && (told >= most_told || !any))
                continue;
            ++told;
            for (bool first = true;
                 const auto& line :
                 wrapped(fmt::format("{} ({}); {}",
                                     one.action.what,
                                     time_text(one.action.minutes),
                                     one.action.rests_on.empty() ? std::string("nothing is assumed")
                                                                 : "if " + one.action.rests_on),
                         page_width - 4)) {
                page_.row(fmt::format("{} {}", first ? fmt::format("{:>2}.", a + 1) : "   ", line));
                first = false;
            }
            for (std::size_t i = 0; i < one.after.size(); ++i)
                tell(i, one.after[i]);
        }
        if (told < of_.actions.size())
            page_.row(fmt::format("    {} more help less; --json has them all",
                                  of_.actions.size() - told));
    }

    void least() {
        const auto& least = of_.least;
        page_.gap();
        if (!least.actions.empty()) {
            std::string which;
            for (const auto a : least.actions)
                which += fmt::format("{}{}", which.empty() ? "" : " + ", a + 1);
            page_.beside("Least that",
                         fmt::format("{} of them: {}, {}{}",
                                     least.actions.size(),
                                     which,
                                     time_text(least.minutes),
                                     least.exact ? "" : "; there may be something shorter"));
            page_.beside("does it",
                         least.reaches ? "answered in full after it:"
                                       : "answered in full after it, which is not quite enough:");
            for (std::size_t i = 0; i < least.after.size(); ++i)
                if (!of_.now[i].yes())
                    tell(i, least.after[i]);
        }
        for (const auto i : least.out_of_reach) {
            if (least.best[i].verdict == Verdict::yes) {
                page_.beside(i == least.out_of_reach.front() ? "No way" : "",
                             fmt::format("{}: with all that helps proving still costs {} %",
                                         callout(i).name,
                                         to_place(100 * least.best[i].lost, 0)));
                continue;
            }
            page_.beside(
                i == least.out_of_reach.front() ? "No way" : "",
                fmt::format("{}: with all that helps still {}, {} asked",
                            callout(i).name,
                            least.best[i].computed
                                ? zone_promised_in_both(least.best[i].smallest, callout(i), habit_)
                                : std::string("not known"),
                            zone_asked(callout(i), habit_)));
        }
    }

    void shrinks() {
        if (!of_.worst || of_.shrinks.empty())
            return;
        const auto w = *of_.worst;
        page_.gap();
        page_.full(fmt::format("One alone would have to shrink, for {} to promise {}",
                               callout(w).name,
                               zone_asked(callout(w), habit_)));
        for (const auto& shrink : of_.shrinks) {
            Outlook without;
            without.computed = true;
            without.smallest = shrink.at_zero;
            const auto to =
                shrink.factor
                    ? fmt::format("to {} %", to_place(100 * *shrink.factor, 0, Rounding::down))
                    : fmt::format("cannot: {} without it", zone(w, without));
            page_.row(fmt::format("  {}{}", fitted(shrink.what, 44), to));
        }
    }

    void chances() {
        bool first = true;
        for (std::size_t a = 0; a < of_.actions.size(); ++a) {
            const auto& one = of_.actions[a];
            for (std::size_t i = 0; i < one.chance.size(); ++i) {
                if (!one.chance[i])
                    continue;
                if (first) {
                    page_.gap();
                    page_.full("What a check may come out as, by what is known now");
                }
                first = false;
                page_.row(fmt::format("{:>2}. {} as expected {}; YES in {} % of the outcomes",
                                      a + 1,
                                      fitted(callout(i).name, 20),
                                      word(one.after[i].verdict),
                                      to_place(100 * *one.chance[i], 0, Rounding::down)));
            }
        }
    }

    void notes() {
        page_.gap();
        page_.list("Note", of_.notes);
        page_.beside("Limits",
                     "Not a certificate of conformity, calibration or accreditation. A check not "
                     "made yet may read otherwise than expected; minutes are what is usual "
                     "unless the machine file says otherwise.");
    }

    const Improvement& of_;
    Habit habit_;
    Page page_;
};

} // namespace

std::string improve_text(const Improvement& improvement) {
    return Text(improvement).all();
}

} // namespace holdable
