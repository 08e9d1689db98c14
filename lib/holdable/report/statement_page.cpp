// SPDX-License-Identifier: MIT
#include "holdable/report/statement_page.hpp"

#include "holdable/base/digest.hpp"
#include "holdable/report/answer_text.hpp"
#include "holdable/report/gauging_parts.ipp"
#include "holdable/report/machine_summary.hpp"
#include "holdable/report/wording.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace holdable {
namespace {

/// Everything that depends on the units asked for.
class Words {
  public:
    Words(const Statement& s, const Edition& e)
        : s_(s), e_(e), habit_(e.units == PageUnits::inch     ? Habit::inch
                               : e.units == PageUnits::metric ? Habit::metric
                                                              : habit(s.answer.inch)) {}

    StatementPage make() {
        StatementPage page;
        page.title = "Shop capability statement";
        page.number = number();
        page.sheet = s_.sheet;
        page.subtitle = s_.sheet ? "capability sheet of the machine" : s_.answer.job;
        page.head = head();
        page.promise = fmt::format(
            "Capability: the tolerance that {} of the parts keep, with {} confidence. Offered: the "
            "smallest tolerance that can be cut so and shown by the inspection named, under the "
            "decision rule below. A position is the diameter of its zone; a size is ± about its "
            "middle.",
            chosen_percent(s_.answer.parts),
            chosen_percent(s_.answer.confidence));
        for (const auto& claim : s_.claims)
            page.claims.push_back(claim_words(claim));
        page.blocks = blocks();
        if (e_.shop_copy)
            page.to_help = to_help();
        if (e_.shop_copy || e_.audit)
            page.remarks = s_.answer.notes;
        page.responsible = responsible();
        page.caution = std::string(answer_caution()) +
                       " It applies to the features stated, and is void without its conditions.";
        page.edition = edition();
        if (e_.audit) {
            for (const auto& claim : s_.claims)
                page.appendix.push_back(appendix(claim));
            page.readings = readings();
            page.checks = checks();
        }
        return page;
    }

  private:
    std::string length(double m, int digits = 2, Rounding rounding = Rounding::nearest) const {
        return e_.units == PageUnits::both ? length_in_both(m, habit_, digits, rounding)
                                           : length_text(m, habit_, digits, rounding);
    }

    std::string size(double m) const {
        return e_.units == PageUnits::both ? fmt::format("{} ({})",
                                                         exact_length(m, habit_, 5),
                                                         exact_length(m, other(habit_), 3))
                                           : exact_length(m, habit_, habit_ == Habit::inch ? 5 : 3);
    }

    std::string zone(double m, double doubt, const Callout& callout) const {
        auto text = claimed(m, doubt, callout, habit_);
        if (e_.units == PageUnits::both)
            text += fmt::format(" ({})", claimed(m, doubt, callout, other(habit_)));
        return text;
    }

    /// From the day and what it was made of, so that another edition has another number.
    std::string number() const {
        std::string all;
        for (const auto& [name, digest] : e_.digests)
            all += digest;
        return fmt::format("{}-{}", to_string(s_.issued), sha256(all).substr(0, 6));
    }

    std::vector<std::pair<std::string, std::string>> head() const {
        std::vector<std::pair<std::string, std::string>> lines;
        const auto add = [&](const char* label, const std::string& text) {
            if (!text.empty())
                lines.emplace_back(label, text);
        };
        add("Shop",
            s_.card.address.empty() ? s_.answer.shop : s_.answer.shop + ", " + s_.card.address);
        add("Contact", s_.card.contact);
        add("Machine", s_.answer.machine);
        add("Travel checked", travel());
        add("Customer", s_.customer);
        add("Drawing",
            s_.revision.empty()  ? s_.drawing
            : s_.drawing.empty() ? "revision " + s_.revision
                                 : s_.drawing + ", revision " + s_.revision);
        add("Quote", s_.quote);
        add("Material", s_.material);
        add("Issued", to_string(s_.issued));
        add("Valid until", to_string(s_.valid_until));
        return lines;
    }

    std::string travel() const {
        std::string text;
        constexpr Axis axes[] = {Axis::x, Axis::y, Axis::z};
        const auto place = [&](double m) { return exact_length(m, habit_, 3); };
        for (std::size_t i = 0; i < 3; ++i) {
            const auto& t = s_.travel[i];
            const auto& span = s_.checked[i];
            text += fmt::format("{}{} {}",
                                i == 0 ? "" : "; ",
                                letter(axes[i]),
                                span ? fmt::format("{} to {} (of {} to {})",
                                                   place(span->low),
                                                   place(span->high),
                                                   place(t.low),
                                                   place(t.high))
                                     : "not moved by any check");
        }
        return text;
    }

    const CalloutAnswer& answer_of(const Claim& claim) const {
        return s_.answer.callouts.at(claim.callout);
    }

    ClaimWords claim_words(const Claim& claim) const {
        const auto& c = answer_of(claim);
        const double doubt = claim.expanded.value_or(0);
        ClaimWords words;
        words.feature = claim.feature;
        words.detail = s_.sheet ? claim.detail : requirement_in_short(c.callout, habit_);
        words.range = s_.sheet
                          ? fmt::format("{} to {} {}", size(claim.from), size(claim.to), claim.size)
                          : zone_asked(c.callout, habit_);
        words.capability = claim.capability
                               ? zone(*claim.capability,
                                      std::max(doubt, claim.capability_error.value_or(0)),
                                      c.callout)
                               : "-";
        words.inspection = claim.expanded ? fmt::format("{}, k = {}",
                                                        length(*claim.expanded, 2, Rounding::up),
                                                        to_digits(claim.k, 3))
                                          : "-";
        words.offered = claim.offered ? zone(*claim.offered, doubt, c.callout) : "not offered";
        words.remark = remark(claim, c);
        return words;
    }

    std::string remark(const Claim& claim, const CalloutAnswer& c) const {
        if (!claim.not_offered.empty())
            return claim.not_offered;
        std::string text = "shown by " + claim.gauge;
        if (!s_.sheet)
            text += *claim.offered <= c.callout.tolerance ? "; offered as asked"
                                                          : "; finer is asked than is offered";
        return text;
    }

    std::string temperatures() const {
        const auto& t = s_.temperatures;
        const auto at = [&](double kelvin) {
            return habit_ == Habit::inch ? fmt::format("{:.3g} °F", (kelvin - 273.15) * 1.8 + 32)
                                         : fmt::format("{:.3g} °C", kelvin - 273.15);
        };
        const auto by = habit_ == Habit::inch ? fmt::format("{:.2g} °F", t.doubt * 1.8)
                                              : fmt::format("{:.2g} K", t.doubt);
        return fmt::format("part at {}, machine at {} while cutting, each within {}{}",
                           at(t.part),
                           at(t.scale),
                           by,
                           t.stated ? "" : " (usual, not stated)");
    }

    std::vector<WordBlock> blocks() const {
        std::vector<WordBlock> all;
        WordBlock conditions{"Conditions", {temperatures()}};
        conditions.lines.emplace_back(s_.several_setups ? "over several set-ups"
                                                        : "all features of a claim in one set-up");
        if (!s_.card.holding.empty())
            conditions.lines.push_back("held by " + s_.card.holding);
        conditions.lines.insert(conditions.lines.end(), s_.conditions.begin(), s_.conditions.end());
        all.push_back(std::move(conditions));
        all.push_back({"Decision rule", {rule()}});
        all.push_back({"Traceability", traceability()});
        WordBlock excluded{"Not included", s_.excluded};
        if (const auto unmeasured = not_checked(); !unmeasured.empty())
            excluded.lines.push_back("not checked on this machine, and taken from its class: " +
                                     unmeasured);
        excluded.lines.emplace_back(
            "finish, threads, thin walls, heat treatment, stress relief, unless stated");
        all.push_back(std::move(excluded));
        all.push_back({"Validity", {validity()}});
        return all;
    }

    std::string rule() const {
        const auto& r = s_.answer.rule;
        if (!r)
            return "A part is passed where its reading leaves at most a 5 % chance that the part "
                   "is "
                   "out: the limits of the print, moved inward by what the inspection's "
                   "uncertainty "
                   "asks for (after ISO 14253-1). The shop's own rule; the customer named none.";
        if (!r->of_customer)
            return "A part is passed up to the very limits of the print (simple acceptance): of "
                   "parts that read at a limit, up to half are out. The shop's own rule.";
        std::string how;
        if (r->ratio)
            how = fmt::format("up to the limits of the print where tolerance over uncertainty is "
                              "{:.3g} to 1 or more; {}",
                              *r->ratio,
                              r->guarded_below ? "below it, at most a 5 % chance that a part is out"
                                               : "below it, no reading passes a part");
        else if (r->band)
            how = *r->band == 0 ? "up to the very limits of the print"
                                : fmt::format("limits moved inward by {}", length(*r->band));
        else
            how = r->of_expanded == 0
                      ? "up to the very limits of the print"
                      : fmt::format("limits moved inward by {:.3g} U", r->of_expanded);
        return fmt::format("The customer's own, {}: {}.", r->name, how);
    }

    static std::string certificate(const std::string& reference, const std::optional<Date>& due) {
        return fmt::format("certificate {}{}",
                           reference,
                           due ? ", due " + to_string(*due) : std::string(", no due date stated"));
    }

    std::vector<std::string> traceability() const {
        std::vector<std::string> lines;
        std::string bare;
        const auto join = [](std::string& list, const std::string& one) {
            list += (list.empty() ? "" : ", ") + one;
        };
        for (const auto& one : s_.instruments)
            if (one.certificate)
                lines.push_back(
                    fmt::format("{}: {}",
                                one.name,
                                certificate(one.certificate->reference, one.certificate->due)));
            else
                join(bare,
                     one.grade_or_limit.empty()
                         ? one.name
                         : fmt::format("{} ({})", one.name, one.grade_or_limit));
        for (const auto& one : s_.gauges) {
            const bool there =
                std::any_of(s_.instruments.begin(), s_.instruments.end(), [&](const auto& i) {
                    return i.certificate && i.certificate->reference == one.reference;
                });
            if (!there)
                lines.push_back(fmt::format("{}: {}", one.of, certificate(one.reference, one.due)));
        }
        if (!bare.empty())
            lines.push_back("without a certificate, their doubt carried: " + bare);
        std::string checked;
        for (const auto& check : s_.checks)
            if (!check.self_check.empty() && check.date <= s_.issued)
                join(checked, check.kind);
        if (!checked.empty())
            lines.push_back("self-checked, the instrument turned between two settings: " + checked);
        std::string days;
        for (const auto& check : s_.checks)
            if (check.date <= s_.issued && days.find(to_string(check.date)) == std::string::npos)
                join(days, to_string(check.date));
        lines.push_back("checks of the machine: " + days);
        return lines;
    }

    std::string not_checked() const {
        std::string text;
        const auto all = summary(*s_.state);
        const auto add = [&](const MotionSummary& motion) {
            if (motion.assumed_only)
                text += (text.empty() ? "" : ", ") + motion.meaning;
        };
        for (const auto& motion : all.motions)
            add(motion);
        return text;
    }

    std::string validity() const {
        return fmt::format("Until {}{}; or until the machine crashes, is moved, re-levelled or "
                           "adjusted, its spindle is worked on, or the room is over 5 K from what "
                           "it was, whichever comes first.",
                           to_string(s_.valid_until),
                           s_.ends_it.empty() ? "" : ", when " + s_.ends_it);
    }

    std::vector<WordBlock> to_help() const {
        std::vector<WordBlock> all;
        for (const auto& claim : s_.claims) {
            const auto& c = answer_of(claim);
            WordBlock block{claim.feature, {}};
            for (const auto& fix : c.to_fix)
                block.lines.push_back(fix.smallest_after
                                          ? fmt::format("{}: then {}",
                                                        fix.action,
                                                        zone(*fix.smallest_after, 0, c.callout))
                                          : fix.action);
            if (c.proof.judged && c.proof.verdict != Verdict::yes && c.proof.wanted && !s_.sheet)
                block.lines.push_back(fmt::format("a gauge with U up to {}",
                                                  length(*c.proof.wanted, 2, Rounding::down)));
            if (!block.lines.empty())
                all.push_back(std::move(block));
        }
        return all;
    }

    std::string responsible() const {
        if (s_.card.responsible.empty())
            return s_.card.role;
        return s_.card.role.empty() ? s_.card.responsible
                                    : s_.card.responsible + ", " + s_.card.role;
    }

    std::string edition() const {
        auto text = "holdable " + e_.version;
        for (const auto& [name, digest] : e_.digests)
            text += fmt::format("; {} {}", name, digest.substr(0, 16));
        return text + fmt::format("; seed {}", s_.answer.seed);
    }

    // ---- appendix

    /// What law, and by what its spread is divided, with the reason.
    static std::string law_words(const AuditLine& line) {
        struct Say {
            std::string operator()(const stats::Fixed&) const { return "fixed"; }

            std::string operator()(const stats::Normal& n) const {
                return n.dof ? "normal, of few readings: t" : "normal; standard deviation as it is";
            }

            std::string operator()(const stats::Student&) const { return "t, of few readings"; }

            std::string operator()(const stats::Rectangular&) const {
                return "rectangular, limits only are known: half-width / √3";
            }

            std::string operator()(const stats::Triangular&) const {
                return "triangular: half-width / √6";
            }

            std::string operator()(const stats::Arcsine&) const {
                return "U-shaped, a wave at unknown phase: amplitude / √2";
            }

            std::string operator()(const stats::Trapezoid&) const { return "trapezoid"; }

            std::string operator()(const stats::InexactRectangular&) const {
                return "rectangular, its limits in doubt";
            }

            std::string operator()(const stats::Exponential&) const { return "exponential"; }

            std::string operator()(const stats::Gamma&) const { return "gamma"; }

            std::string operator()(const stats::Readings&) const { return "readings: s / √n, t"; }
        };

        return std::visit(Say{}, line.input.law);
    }

    AppendixWords appendix(const Claim& claim) const {
        const auto& c = answer_of(claim);
        AppendixWords words;
        words.title = claim.feature;
        const auto add = [&](const char* label, const std::string& text) {
            words.facts.emplace_back(label, text);
        };
        add("Claim", requirement(c.callout, habit_));
        add("Model", model_words(c.callout));
        if (!claim.audit) {
            add("Not computed", c.reason);
            return words;
        }
        const auto& a = *claim.audit;
        const auto& p = c.promise;
        const auto exact = [&](double m) { return length(m, 3); };
        add("Value at the means", exact(a.value) + "; standard uncertainty " + length(a.standard));
        add("First order",
            fmt::format("{} of next parts within {}; effective degrees of freedom {}",
                        chosen_percent(a.parts),
                        exact(a.limit),
                        a.dof >= 1e5 ? std::string("over 100 000")
                                     : to_digits(a.dof, 3, Rounding::down)));
        add("Monte Carlo",
            fmt::format("{} of next parts within {}; {} × {} parts, seed {}",
                        chosen_percent(a.parts),
                        exact(a.simulated_limit),
                        p.worlds,
                        p.parts_in_world > 0 ? std::to_string(p.parts_in_world) : "all",
                        s_.answer.seed));
        add("Validation",
            !a.applies ? "first order does not apply: the value has a kink within two standard "
                         "uncertainties; Monte Carlo decides"
            : a.valid  ? fmt::format("both agree within {} (JCGM 101 clause 8, two digits)",
                                    length(a.numerical_tolerance))
                       : fmt::format("they differ by {}, over {} (JCGM 101 clause 8, two digits); "
                                     "Monte Carlo decides",
                                    length(std::abs(a.limit - a.simulated_limit)),
                                    length(a.numerical_tolerance)));
        add("Assured",
            fmt::format("{} of parts within {} with {} confidence; standard error {}",
                        chosen_percent(s_.answer.parts),
                        exact(p.smallest),
                        chosen_percent(s_.answer.confidence),
                        length(p.smallest_error)));
        words.known.head = {"known error, adds with its sign", "effect", "evidence"};
        for (const auto& known : a.known)
            words.known.rows.push_back({known.meaning,
                                        (known.effect > 0 ? "+" : "") + length(known.effect),
                                        std::string(evidence_words(known.evidence))});
        words.inputs.head = {"doubt",
                             "evidence",
                             "law and divisor",
                             "u, SI",
                             "dof",
                             "sensitivity, SI",
                             "contribution",
                             "share"};
        double rest = 0;
        for (const auto& line : a.lines) {
            if (line.share < 1e-3) {
                rest += line.share;
                continue;
            }
            words.inputs.rows.push_back(
                {line.input.meaning.empty() ? line.input.name : line.input.meaning,
                 std::string(word(line.input.evidence)) + ", per " +
                     std::string(word(line.input.sharing)),
                 law_words(line),
                 fmt::format("{:.2e}", line.standard),
                 line.dof ? to_digits(*line.dof, 2, Rounding::down) : "∞",
                 fmt::format("{:.2e}", line.sensitivity),
                 length(line.contribution),
                 to_place(100 * line.share, -1) + " %"});
        }
        if (rest > 0)
            words.inputs.rows.push_back({"all others, each below 0.1 %",
                                         "",
                                         "",
                                         "",
                                         "",
                                         "",
                                         "",
                                         to_place(100 * rest, -1) + " %"});
        words.notes = c.notes;
        if (c.proof.judged) {
            add("Inspection",
                fmt::format("{}: U = {}, k = {}, degrees of freedom {}; known error {}",
                            c.proof.gauge,
                            length(c.proof.expanded, 2, Rounding::up),
                            to_digits(c.proof.k, 3),
                            c.proof.dof ? to_digits(*c.proof.dof, 3, Rounding::down) : "∞",
                            length(c.proof.known_error)));
            std::string sources;
            for (const auto& source : c.proof.sources)
                if (source.share >= 0.005)
                    sources += fmt::format("{}{} {}, {}",
                                           sources.empty() ? "" : "; ",
                                           source.meaning,
                                           length(source.contribution),
                                           word(source.evidence));
            add("of which", sources);
        }
        return words;
    }

    static std::string model_words(const Callout& callout) {
        const std::string chain = "errors of the machine at the points of feature and datum, by "
                                  "its kinematic chain, plus "
                                  "what the process adds; all linear in the inputs. ";
        switch (callout.kind) {
        case Requirement::position:
        case Requirement::coaxiality:
            return chain + "Value: twice the largest distance of the axis from its true place";
        case Requirement::perpendicularity:
        case Requirement::parallelism:
        case Requirement::angularity:
            return chain + (is_diametral(callout.kind, callout.feature)
                                ? "Value: the length of the axis's lean over the depth"
                                : "Value: width of the zone that holds the surface, square or "
                                  "parallel to the datum");
        case Requirement::flatness:
        case Requirement::straightness:
        case Requirement::roundness:
        case Requirement::cylindricity:
            return chain + "Value: least width of the zone that holds all points";
        case Requirement::profile:
            return chain + "Value: twice the largest distance of a point from the true form";
        case Requirement::run_out:
            return chain + "Value: the difference of the highest and the lowest point";
        default:
            return chain + "Value: the size less what the program aims at";
        }
    }

    WordTable readings() const {
        WordTable table{{"reading", "as read", "left after the solve"}, {}};
        for (const auto& check : s_.state->checks)
            for (const auto& r : check.residuals) {
                const auto say = [&](double value) {
                    return check.angle ? slope_text(value, habit_) : length_text(value, habit_);
                };
                table.rows.push_back({check.name + ": " + r.what, say(r.observed), say(r.value)});
            }
        return table;
    }

    WordTable checks() const {
        WordTable table{{"check", "what", "day", "instruments", "self-check"}, {}};
        for (const auto& check : s_.checks) {
            std::string names;
            for (const auto& name : check.instruments)
                names += (names.empty() ? "" : ", ") + name;
            table.rows.push_back(
                {check.name, check.kind, to_string(check.date), names, check.self_check});
        }
        return table;
    }

    const Statement& s_;
    const Edition& e_;
    Habit habit_;
};

} // namespace

std::string claimed(double m, double doubt, const Callout& callout, Habit habit) {
    const auto unit = length_unit(habit, m);
    int place = place_in(unit, m, 2, Rounding::up);
    if (doubt > 0)
        place = std::max(place, place_in(unit, doubt, 1));
    // never so coarse that the first digit is lost
    place = std::min(place, place_in(unit, m, 1, Rounding::up));
    return fmt::format(
        "{}{} {}", zone_sign(callout), number_in(unit, m, place, Rounding::up), unit.spelling);
}

StatementPage statement_page(const Statement& statement, const Edition& edition) {
    return Words(statement, edition).make();
}

} // namespace holdable
