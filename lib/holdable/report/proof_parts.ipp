// SPDX-License-Identifier: MIT
/// PROVE on the page of an answer and in its JSON. For .cpp files only.
#pragma once

#include "holdable/answer/answer.hpp"
#include "holdable/report/gauging_parts.ipp"

#include <fmt/format.h>

#include <cmath>
#include <string>
#include <vector>

namespace holdable {

/// The word and its reason, and where a part can be made that cannot be proved, that.
inline std::string proof_sentence(const CalloutAnswer& c, Habit h) {
    const auto& p = c.proof;
    auto text = fmt::format("{}: {}", word(p.verdict), p.reason);
    const bool costly = !p.cost.guard || p.cost.lost > 0.25; // and not only out of calibration
    if (costly && c.verdict == Verdict::yes &&
        (p.verdict == Verdict::no || p.verdict == Verdict::marginal))
        text += p.verdict == Verdict::no ? ". Can make it, cannot prove it with this gauge"
                                         : ". Can make it; proving it is tight";
    if (p.wanted && p.verdict != Verdict::yes)
        text += fmt::format(". A gauge with U up to {} would do",
                            length_text(*p.wanted, h, 2, Rounding::down));
    return text;
}

/// A reading at a limit, a place finer than the print. @param inward rounding that accepts less
inline std::string reading_text(double m, Habit h, bool size, Rounding inward) {
    if (!size)
        return length_text(m, h, 2, inward);
    const auto unit = length_unit(h, 0.01);
    return fmt::format(
        "{} {}", number_in(unit, m, h == Habit::inch ? -5 : -4, inward), unit.spelling);
}

/// What can be offered: cut and proved, in the terms of the callout.
inline std::string tightest_text(const CalloutAnswer& c, Habit h) {
    if (c.proof.offered)
        return fmt::format("{}, cut and proved",
                           zone_promised_in_both(*c.proof.offered, c.callout, h));
    if (!c.computed)
        return {};
    const auto cut = zone_promised_in_both(c.promise.smallest, c.callout, h);
    return c.proof.gauge.empty() ? fmt::format("{} cut; how it is proved is open", cut)
                                 : fmt::format("{} cut, but not proved with this gauge", cut);
}

/// U, limits, risks and what limits the gauge. @param of_job habit of its units
inline void proof_section(Page& page, const Answer& answer, const CalloutAnswer& c, Habit of_job) {
    const auto& p = c.proof;
    const auto h = habit_of(c.callout, of_job);
    const auto tightest = tightest_text(c, of_job);
    if (!p.judged) {
        if (!tightest.empty())
            page.beside("Tightest", tightest);
        return;
    }
    page.fact("Prove by",
              p.gauge,
              fmt::format("U = {}, k = {}",
                          length_in_both(p.expanded, h, 2, Rounding::up),
                          to_digits(p.k, 3)));
    page.fact("",
              p.limits == 2 ? "tolerance over 2 U" : "tolerance over U",
              to_digits(p.ratio, 2, Rounding::down) + " to 1");
    if (std::abs(p.known_error) > 0.01 * p.standard)
        page.fact(
            "",
            "known error, not corrected",
            fmt::format("{}{}", p.known_error > 0 ? "+" : "", length_in_both(p.known_error, h)));
    const bool size = p.limits == 2;
    const auto& readings = p.acceptance;
    const bool some = p.cost.guard && readings.low < readings.high && readings.high > 0;
    page.fact("",
              "readings that prove",
              !some  ? std::string("none")
              : size ? fmt::format("{} … {}",
                                   reading_text(readings.low, h, size, Rounding::up),
                                   reading_text(readings.high, h, size, Rounding::down))
                     : "up to " + reading_text(readings.high, h, size, Rounding::down));
    if (p.cost.guard)
        page.fact("", "tolerance lost", whole_percent(p.cost.lost));
    if (p.parts) {
        page.fact("", "good parts refused", percent_up(p.parts->refused_good));
        page.fact("", "bad parts passed", percent_up(p.parts->accepted_bad));
    }
    if (p.unseen && p.unseen->share > 0.005)
        page.fact("",
                  "this machine does not see",
                  fmt::format("{} of what the part may be off by{}",
                              whole_percent(p.unseen->share),
                              p.unseen->first.empty() ? "" : ", first: " + p.unseen->first));
    if (!tightest.empty())
        page.fact("", "tightest to offer here", tightest);
    page.beside("Rule",
                rule_sentence(p.cost,
                              answer.rule,
                              "a part is proved good",
                              "reading",
                              p.cost.guard
                                  ? length_text(*p.cost.guard * p.standard, h, 2, Rounding::up)
                                  : std::string()));
    std::vector<LimitLine> lines;
    constexpr std::size_t most_lines = 4;
    for (const auto& source : p.sources)
        if (lines.size() < most_lines)
            lines.push_back(
                {"", source.meaning, source.contribution, source.share, {}, source.evidence});
    if (!lines.empty())
        limits_table(page, lines, length_unit(h, lines.front().contribution), "What limits proof");
    page.gap();
}

inline Json measured_json(const std::optional<MeasuredParts>& parts) {
    if (!parts)
        return nullptr;
    const auto risk = [](double value, double error) {
        return Json{{"value", finite(value, "risk")},
                    {"standard_error", finite(error, "risk")},
                    {"text", percent_up(value)}};
    };
    return {{"bad", finite(parts->bad, "bad")},
            {"accepted", finite(parts->accepted, "accepted")},
            {"accepted_bad", risk(parts->accepted_bad, parts->accepted_bad_error)},
            {"refused_good", risk(parts->refused_good, parts->refused_good_error)},
            {"worlds", parts->worlds},
            {"parts_in_world", parts->parts_in_world}};
}

inline Json proof_json(const CalloutAnswer& c, Habit of_job) {
    const auto& p = c.proof;
    const auto h = habit_of(c.callout, of_job);
    Json json = {{"verdict", word(p.verdict)},
                 {"reason", p.reason},
                 {"text", proof_sentence(c, h)},
                 {"gauge", p.gauge.empty() ? Json(nullptr) : Json(p.gauge)},
                 {"wanted", p.wanted ? Json(finite(*p.wanted, "wanted")) : Json(nullptr)},
                 {"tightest",
                  p.offered ? Json{{"value", finite(*p.offered, "tightest")},
                                   {"text", zone_promised(*p.offered, c.callout, of_job)}}
                            : Json(nullptr)},
                 {"measurement", nullptr}};
    if (!p.judged)
        return json;
    Json sources = Json::array();
    for (const auto& source : p.sources)
        sources.push_back({{"meaning", source.meaning},
                           {"contribution", finite(source.contribution, "contribution")},
                           {"share", finite(source.share, "share")},
                           {"evidence", word(source.evidence)}});
    Json acceptance = nullptr;
    if (p.cost.guard && p.acceptance.low < p.acceptance.high)
        acceptance = Json::array(
            {finite(p.acceptance.low, "acceptance"), finite(p.acceptance.high, "acceptance")});
    json["measurement"] = {
        {"standard", finite(p.standard, "standard")},
        {"dof", p.dof ? Json(finite(*p.dof, "dof")) : Json(nullptr)},
        {"k", finite(p.k, "k")},
        {"expanded", finite(p.expanded, "expanded")},
        {"known_error", finite(p.known_error, "known_error")},
        {"tolerance", finite(p.tolerance, "tolerance")},
        {"ratio", finite(p.ratio, "ratio")},
        {"guard", p.cost.guard ? Json(finite(*p.cost.guard, "guard")) : Json(nullptr)},
        {"lost", finite(p.cost.lost, "lost")},
        {"acceptance", std::move(acceptance)},
        {"sources", std::move(sources)},
        {"parts", measured_json(p.parts)},
        {"unseen",
         p.unseen ? Json{{"share", finite(p.unseen->share, "unseen")}, {"first", p.unseen->first}}
                  : Json(nullptr)},
        {"must_be_true", p.must_be_true},
        {"notes", p.notes}};
    return json;
}

} // namespace holdable
