// SPDX-License-Identifier: MIT
#include "holdable/report/answer_text.hpp"

#include "holdable/base/error.hpp"
#include "holdable/report/page.hpp"
#include "holdable/report/proof_parts.ipp"
#include "holdable/report/wording.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <tuple>

namespace holdable {
namespace {

constexpr std::size_t most_doubts = 9; // lines of the table of doubts; what is left is one line
constexpr double enough_told = 0.05;   // share that may be left for that line
constexpr double least_share = 0.005;  // prints as 1 %

/// 0 for the best verdict … 3 for the worst.
int badness(Verdict verdict) {
    switch (verdict) {
    case Verdict::yes:
        return 0;
    case Verdict::marginal:
        return 1;
    case Verdict::cant_say:
        return 2;
    case Verdict::no:
        return 3;
    }
    return 3;
}

double used_up(const CalloutAnswer& callout) {
    return callout.computed ? callout.promise.smallest / callout.callout.tolerance : 0;
}

/// Short enough for the table.
std::string_view kind_word(Requirement kind) {
    switch (kind) {
    case Requirement::position:
        return "pos";
    case Requirement::perpendicularity:
        return "perp";
    case Requirement::parallelism:
        return "par";
    case Requirement::angularity:
        return "ang";
    case Requirement::flatness:
        return "flat";
    case Requirement::straightness:
        return "str";
    case Requirement::roundness:
        return "round";
    case Requirement::cylindricity:
        return "cyl";
    case Requirement::profile:
        return "prof";
    case Requirement::coaxiality:
        return "coax";
    case Requirement::run_out:
        return "run";
    case Requirement::diameter:
    case Requirement::distance:
    case Requirement::height:
    case Requirement::width:
    case Requirement::length:
        return "";
    }
    return {};
}

void table_of_callouts(Page& page, const Answer& answer) {
    const auto line = [&](const std::string& number,
                          const std::string& name,
                          std::string asked,
                          const std::string& promised,
                          const std::string& next,
                          std::string_view make,
                          std::string_view prove) {
        constexpr std::size_t both = 33; // name and what is asked share them
        constexpr std::size_t widest = 17;
        if (columns(asked) >= widest) // the column beside it has the unit too
            for (const std::string_view unit : {" in", " mm"})
                if (asked.ends_with(unit))
                    asked.erase(asked.size() - unit.size());
        const auto width = std::clamp<std::size_t>(columns(asked) + 1, 15, widest);
        page.row(fitted_right(number, 2) + "  " + fitted(name, both - width) +
                 fitted_right(asked, width) + fitted_right(promised, 12) + fitted_right(next, 10) +
                 "  " + fitted(make, 10) + std::string(prove));
    };
    line("", "callout", "asked", "promised", "next part", "MAKE", "PROVE");
    int number = 0;
    for (const auto& c : answer.callouts) {
        const auto h = habit(answer.inch);
        line(std::to_string(++number),
             c.callout.name,
             is_size(c.callout.kind)
                 ? zone_asked(c.callout, h)
                 : fmt::format("{} {}", kind_word(c.callout.kind), zone_asked(c.callout, h)),
             c.computed ? zone_promised(c.promise.smallest, c.callout, h) : "-",
             c.computed ? percent_down(c.promise.next_part) : "-",
             word(c.verdict),
             word(c.proof.verdict));
    }
}

void batch(Page& page, const Answer& answer) {
    if (answer.quantity < 2)
        return;
    page.fact("",
              fmt::format("of {}, expect about", answer.quantity),
              fmt::format("{} out; {} sure of no more than {}",
                          average_count(answer.whole.expected_out),
                          chosen_percent(answer.confidence),
                          answer.whole.out_at_most));
    page.fact("", fmt::format("all {} good", answer.quantity), percent_down(answer.whole.all_good));
}

void whole_part(Page& page, const Answer& answer) {
    const auto computed = std::count_if(
        answer.callouts.begin(), answer.callouts.end(), [](const auto& c) { return c.computed; });
    if (computed == 0)
        return;
    const auto all = std::ssize(answer.callouts);
    page.fact("Whole part",
              computed == all ? "next part all good"
                              : fmt::format("next part good in {} of {}", computed, all),
              percent_down(answer.whole.whole_part) + ", the yield to expect");
    page.fact("",
              "yield assured",
              fmt::format("{}, with {} confidence",
                          percent_down(answer.whole.whole_part_assured),
                          chosen_percent(answer.confidence)));
    batch(page, answer);
}

void how_sure(Page& page, const Answer& answer, const CalloutAnswer& c) {
    const auto& p = c.promise;
    const auto parts = chosen_percent(answer.parts);
    const auto confidence = chosen_percent(answer.confidence);
    const auto h = habit(answer.inch);
    page.fact("How sure", "next part good", percent_down(p.next_part) + ", the yield to expect");
    page.fact("",
              "yield assured",
              fmt::format("{}, with {} confidence", percent_down(p.assured_yield), confidence));
    page.fact("",
              fmt::format("{} of the parts good", parts),
              fmt::format("{} confidence; {} wanted", percent_down(p.gamma), confidence));
    if (std::abs(p.gamma_without_guesses - p.gamma) >= least_share)
        page.fact("", "  if no guess were wrong", percent_down(p.gamma_without_guesses));
    page.fact("",
              fmt::format("for {} of the parts", chosen_percent(0.9973)),
              zone_promised_in_both(p.smallest_9973, c.callout, h));
    if (c.after_first_piece)
        page.fact("",
                  "after first-piece offset",
                  zone_promised_in_both(*c.after_first_piece, c.callout, h));
    if (c.index)
        page.fact("",
                  "predicted index, no Cpk",
                  fmt::format("{}{}; {} with {} confidence",
                              c.index->at_least ? "at least " : "",
                              index_text(c.index->expected),
                              index_text(c.index->assured),
                              confidence));
    if (c.grade)
        page.fact("", "standard grade held", fmt::format("IT{}", *c.grade));
    if (answer.callouts.size() == 1)
        batch(page, answer);
    page.fact("",
              fmt::format("{} of next parts within", parts),
              fmt::format("{}; first order {}",
                          zone_promised(p.next_part_limit, c.callout, h),
                          p.first_order_applies ? zone_promised(p.first_order_limit, c.callout, h)
                                                : "does not apply here"));
    page.fact("",
              "simulated",
              p.parts_in_world > 0
                  ? fmt::format("{} × {} parts, seed {}", p.worlds, p.parts_in_world, answer.seed)
                  : fmt::format("{} × all parts, seed {}", p.worlds, answer.seed));
}

/// A table: meaning, amount, share, evidence.
class LimitTable {
  public:
    LimitTable(Page& page, const ShopUnit& unit, double smallest, double largest_share)
        : page_(page), unit_(unit), smallest_(smallest),
          place_(place_in(unit, largest_share * smallest, 2)) {}

    void line(std::string_view meaning,
              std::string_view amount,
              std::string_view share,
              std::string_view evidence) {
        for (const auto& part : wrapped(meaning, meaning_width)) {
            page_.row("  " + fitted(part, meaning_width) + fitted_right(amount, 10) +
                      fitted_right(share, 7) + "  " + std::string(evidence));
            amount = share = evidence = {};
        }
    }

    void line(std::string_view meaning, double share, std::string_view evidence, bool sign) {
        auto amount = number_in(unit_, share * smallest_, place_);
        if (sign && !amount.starts_with('-'))
            amount.insert(0, 1, '+');
        line(meaning, amount, to_place(100 * share, 0) + " %", evidence);
    }

  private:
    static constexpr std::size_t meaning_width = 38;

    Page& page_;
    ShopUnit unit_;
    double smallest_;
    int place_;
};

bool is_guess(Evidence evidence) {
    return evidence == Evidence::assumed || evidence == Evidence::typical;
}

void what_limits(Page& page, const CalloutAnswer& c, Habit h) {
    const auto& p = c.promise;
    const auto known = shares_by_meaning(p.shares, true);
    const auto doubts = shares_by_meaning(p.shares, false);
    double largest = 0;
    for (const auto* list : {&known, &doubts})
        if (!list->empty())
            largest = std::max(largest, std::abs(list->front().share));
    if (p.smallest <= 0 || largest == 0)
        return;
    const auto unit = length_unit(h, std::max(p.smallest, c.callout.tolerance));
    LimitTable table(page, unit, p.smallest, largest);
    page.gap();
    const auto sign = zone_sign(c.callout);
    table.line("What limits it",
               sign.empty() ? unit.spelling : fmt::format("{}, {}", sign, unit.spelling),
               "share",
               "evidence");
    double rest = 1;
    for (const auto& s : known)
        if (std::abs(s.share) >= least_share) {
            table.line((is_guess(s.evidence) ? "to be expected: " : "known error: ") + s.meaning,
                       s.share,
                       evidence_words(s.evidence),
                       true);
            rest -= s.share;
        }
    std::size_t shown = 0;
    for (const auto& s : doubts)
        if (std::abs(s.share) >= least_share && shown < most_doubts && rest > enough_told) {
            table.line(s.meaning, s.share, evidence_words(s.evidence), false);
            rest -= s.share;
            ++shown;
        }
    if (std::abs(rest) >= least_share)
        table.line(doubts.size() > shown ? "all other doubts" : "rounding of the simulation",
                   rest,
                   "",
                   false);
    page.gap();
}

void what_would_fix(Page& page, const CalloutAnswer& c, Habit h) {
    if (c.to_fix.empty())
        return;
    page.beside("Would help",
                "(lock out, and block a vertical head, before reaching between table, column and "
                "spindle)");
    std::vector<std::string> lines;
    for (const auto& fix : c.to_fix) {
        auto line = fix.action;
        if (fix.smallest_after)
            line +=
                fmt::format(": then {}", zone_promised_in_both(*fix.smallest_after, c.callout, h));
        if (fix.verdict_after)
            line +=
                fmt::format("{} {}", fix.smallest_after ? "," : ": then", word(*fix.verdict_after));
        lines.push_back(std::move(line));
    }
    page.list("", lines);
}

void in_full(Page& page, const Answer& answer, const CalloutAnswer& c) {
    const auto h = habit(answer.inch);
    page.beside("MAKE", fmt::format("{}: {}", word(c.verdict), c.reason));
    page.beside("PROVE", proof_sentence(c, habit_of(c.callout, h)));
    page.gap();
    if (c.computed) {
        const auto promised = zone_promised_in_both(c.promise.smallest, c.callout, h);
        const auto asked = zone_asked(c.callout, h);
        page.beside(
            "Promise",
            fmt::format("{}; {} of the parts, with {} confidence",
                        is_size(c.callout.kind)
                            ? fmt::format("{} about the middle; {} allows ±{}",
                                          promised,
                                          asked,
                                          exact_length(c.callout.tolerance, habit_of(c.callout, h)))
                            : fmt::format("{} of {} allowed", promised, asked),
                        chosen_percent(answer.parts),
                        chosen_percent(answer.confidence)));
        how_sure(page, answer, c);
        what_limits(page, c, habit_of(c.callout, h));
    } else {
        page.beside("Promise", "none: nothing was computed");
    }
    proof_section(page, answer, c, h);
    what_would_fix(page, c, h);
    auto conditions = c.must_be_true;
    conditions.insert(conditions.end(), c.proof.must_be_true.begin(), c.proof.must_be_true.end());
    page.list("If", conditions);
}

/// The line that was asked, where there is no file to look it up in.
void asked_line(Page& page, const Answer& answer) {
    if (!answer.asked.empty())
        page.beside("Asked", answer.asked);
}

bool promised(const CalloutAnswer& c) {
    return c.computed && c.promise.smallest <= c.callout.tolerance;
}

/// What to say of one callout.
std::string callout_sentence(const Answer& answer, const CalloutAnswer& c) {
    const auto h = habit(answer.inch);
    const auto asked = zone_asked(c.callout, h);
    const auto number = c.computed ? zone_promised(c.promise.smallest, c.callout, h) : "";
    const auto& name = c.callout.name;
    // what to write into the file is not for the phone
    const auto reason = c.reason.substr(0, c.reason.find(" (\"process\""));
    switch (c.verdict) {
    case Verdict::yes: {
        const auto& proof = c.proof;
        const auto wanted =
            proof.wanted
                ? fmt::format(", with U of {} or less",
                              length_text(*proof.wanted, habit_of(c.callout, h), 2, Rounding::down))
                : std::string();
        const auto tightest = proof.offered ? zone_promised(*proof.offered, c.callout, h) : number;
        switch (proof.verdict) {
        case Verdict::yes:
            return fmt::format("Yes, we can cut {} to {} and prove it; {} is the tightest I "
                               "would offer.",
                               name,
                               asked,
                               tightest);
        case Verdict::marginal:
            return fmt::format(
                "We can cut {} to {}, but proving it is tight: {}.", name, asked, proof.reason);
        case Verdict::no:
            return fmt::format("We can cut {} to {}, but to sign for it I need a better gauge{}.",
                               name,
                               asked,
                               wanted);
        case Verdict::cant_say:
            return fmt::format("Yes, we can cut {} to {}; {} is the finest I would promise. How "
                               "it is proved must be settled{}.",
                               name,
                               asked,
                               number,
                               wanted);
        }
        return {};
    }
    case Verdict::marginal: {
        if (promised(c))
            return fmt::format(
                "{} to {} may go, but I must look again first: {}.", name, asked, c.reason);
        const auto cure = std::find_if(c.to_fix.begin(), c.to_fix.end(), [](const Fix& fix) {
            return fix.verdict_after == Verdict::yes;
        });
        const auto close =
            fmt::format("{} to {} is close; today I promise {}", name, asked, number);
        return cure == c.to_fix.end()
                   ? close + "."
                   : fmt::format("{}; {} after this: {}.", close, asked, cure->action);
    }
    case Verdict::no:
        return c.computed ? fmt::format("Not {} on {} as the machine stands; {} I can promise.",
                                        asked,
                                        name,
                                        number)
                          : fmt::format("Not {} on {}: {}.", asked, name, c.reason);
    case Verdict::cant_say:
        return fmt::format("I cannot say yet whether {} to {} will do: {}.", name, asked, reason);
    }
    return {};
}

} // namespace

std::string_view answer_caution() {
    return "Not a certificate of conformity, calibration or accreditation. Drawing, contract, "
           "local codes and licensed practice come first.";
}

std::size_t worst_callout(const Answer& answer) {
    const auto key = [](const CalloutAnswer& c) {
        return std::make_tuple(badness(c.verdict), badness(c.proof.verdict), used_up(c));
    };
    const auto worst =
        std::max_element(answer.callouts.begin(),
                         answer.callouts.end(),
                         [&](const auto& a, const auto& b) { return key(a) < key(b); });
    return static_cast<std::size_t>(worst - answer.callouts.begin());
}

std::string phone_sentence(const Answer& answer) {
    if (answer.callouts.empty())
        return "Nothing was asked.";
    const auto& worst = answer.callouts[worst_callout(answer)];
    auto sentence = callout_sentence(answer, worst);
    const auto count = std::ssize(answer.callouts);
    if (count == 1)
        return sentence;
    const auto yes = std::count_if(answer.callouts.begin(),
                                   answer.callouts.end(),
                                   [](const auto& c) { return c.verdict == Verdict::yes; });
    return yes == count ? fmt::format("{} will do. The tightest: {}",
                                      count == 2 ? "Both" : fmt::format("All {}", count),
                                      sentence)
                        : fmt::format("Of {} I can promise {}. {}",
                                      count,
                                      yes == 0 ? "none" : std::to_string(yes),
                                      sentence);
}

std::string answer_text(const Answer& answer, std::optional<int> item) {
    const auto count = answer.callouts.size();
    if (item && (*item < 1 || static_cast<std::size_t>(*item) > count))
        throw InputError("item-unknown",
                         fmt::format("there is no callout {}", *item),
                         fmt::format("the job has {}", count));
    Page page(usual_margin);
    const auto h = habit(answer.inch);
    page.full(fmt::format("{}: {} off, on {} of {}, for {}",
                          answer.job,
                          answer.quantity,
                          answer.machine,
                          answer.shop,
                          to_string(answer.day)));
    asked_line(page, answer);
    if (count == 0) {
        page.full("The job has no callouts: nothing to answer.");
        return page.text();
    }
    const auto chosen = item ? static_cast<std::size_t>(*item) - 1 : worst_callout(answer);
    const auto& c = answer.callouts[chosen];
    if (count > 1) {
        page.gap();
        table_of_callouts(page, answer);
        page.gap();
        whole_part(page, answer);
        page.gap();
        page.full(fmt::format("{} {} in full; --item N for another",
                              item ? "Callout" : "The worst, callout",
                              chosen + 1));
    }
    page.full(fmt::format("{}: {}", c.callout.name, requirement(c.callout, h)));
    page.gap();
    in_full(page, answer, c);
    page.list("Assumed", answer.assumed);
    page.list("Left out", c.left_out);
    auto notes = c.notes;
    notes.insert(notes.end(), c.proof.notes.begin(), c.proof.notes.end());
    notes.insert(notes.end(), answer.notes.begin(), answer.notes.end());
    page.list("Note", notes);
    page.beside("Holds to", validity_sentence(answer));
    page.beside("Caution", answer_caution());
    page.gap();
    page.beside("Say", fmt::format("\"{}\"", phone_sentence(answer)));
    return page.text();
}

} // namespace holdable
