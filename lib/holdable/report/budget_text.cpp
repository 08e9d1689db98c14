// SPDX-License-Identifier: MIT
#include "holdable/report/budget_text.hpp"

#include "holdable/base/error.hpp"
#include "holdable/report/numbers.hpp"
#include "holdable/report/page.hpp"
#include "holdable/report/wording.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numeric>

namespace holdable {
namespace {

using namespace propagate;

constexpr std::size_t bar_width = 20;   // columns of a share of 100 %
constexpr double least_printed = 0.00005; // prints as 0.01 %
constexpr int most_digits = 14;         // of a double, with room for a carry

/// The power of ten of the first digit.
int first_place(double x) {
    return x == 0 ? 0 : static_cast<int>(std::floor(std::log10(std::abs(x))));
}

std::string plain(double x) {
    if (!std::isfinite(x))
        throw NumericError("a number to be printed is not finite");
    return fmt::format("{:.12g}", x);
}

/// x to the place, with a power of ten where plain digits would be too many.
std::string placed(double x, int place, Rounding rounding = Rounding::nearest) {
    const int top = std::max(first_place(x), place);
    if (top - place >= most_digits)
        return fmt::format("{:.{}g}", x, most_digits);
    if (place >= -9 && top < 9)
        return to_place(x, place, rounding);
    if (x == 0)
        return "0";
    // Shifted to a number of one digit before the point, so that rounding happens in one place.
    const auto digits =
        to_place(x / std::pow(10.0, first_place(x)), place - first_place(x), rounding);
    return fmt::format("{}e{}", digits, first_place(x));
}

/// An estimate and its uncertainty to one place (GUM 7.2.6).
Printed printed(double value, double u, Rounding rounding = Rounding::nearest) {
    if (!(u > 0))
        return {plain(value), plain(u)};
    const int place = last_place(u, 2, rounding);
    return {placed(value, place), placed(u, place, rounding)};
}

std::string with_unit(const std::string& number, const BudgetUnit& unit) {
    const auto& spelling = unit.unit.spelling;
    return spelling.empty() ? number : number + " " + spelling;
}

/// As an uncertainty of that size prints it.
std::string at_place_of(double x, double u) {
    return u > 0 ? placed(x, last_place(u, 2)) : plain(x);
}

std::string interval_words(const stats::Interval& interval, double u, const BudgetUnit& unit) {
    return with_unit(
        fmt::format("{} … {}", at_place_of(interval.low, u), at_place_of(interval.high, u)), unit);
}

/// Standard errors of both ends.
std::string widths_words(const stats::Interval& width, const BudgetUnit& unit) {
    const auto one = [](double x) { return x > 0 ? placed(x, last_place(x, 2)) : plain(x); };
    return with_unit(fmt::format("{} and {}", one(width.low), one(width.high)), unit);
}

std::string errors_words(const stats::Interval& error, const BudgetUnit& unit) {
    return widths_words(error, unit) + " (standard errors)";
}

std::string dof_words(const std::optional<double>& dof) {
    if (!dof || *dof >= 1e4)
        return "∞";
    return *dof >= 1 ? fmt::format("{:.0f}", std::floor(*dof * (1 + 1e-12)))
                     : fmt::format("{:.2g}", *dof);
}

/// The plain meaning first, then the name that formulas use.
std::string titled(const std::string& meaning, const std::string& name) {
    return meaning.empty() ? name : fmt::format("{}, {}", meaning, name);
}

std::string_view hatch(Evidence evidence) {
    switch (evidence) {
    case Evidence::measured:
        return "█";
    case Evidence::certificate:
        return "▓";
    case Evidence::specification:
        return "▒";
    case Evidence::typical:
        return "░";
    case Evidence::assumed:
        return "·";
    }
    return " ";
}

std::string repeated(std::string_view sign, std::size_t count) {
    std::string text;
    for (std::size_t i = 0; i < count; ++i)
        text += sign;
    return text;
}

/// A row of a table whose first cell may take several lines, begun `indent` columns to the right.
void row(Page& page,
         std::string_view first,
         std::size_t width,
         std::string_view rest,
         std::size_t indent = 0) {
    for (const auto& part : wrapped(first, width - indent)) {
        page.row(std::string(2 + indent, ' ') + fitted(part, width - indent) + std::string(rest));
        rest = {};
    }
}

constexpr std::size_t input_width = 26;

std::string input_cells(std::string_view value,
                        std::string_view standard,
                        std::string_view unit,
                        std::string_view dof,
                        std::string_view evidence) {
    return fitted_right(value, 13) + fitted_right(standard, 10) + " " + fitted(unit, 8) +
           fitted_right(dof, 5) + "  " + std::string(evidence);
}

void inputs_table(Page& page, const Budget& budget) {
    if (budget.inputs.empty())
        return;
    row(page, "inputs", input_width, input_cells("value", "standard", "unit", "dof", "evidence"));
    for (const auto& input : budget.inputs) {
        const double u = input.unit.difference(standard_uncertainty(input));
        const auto shown = printed(input.unit.number(estimate(input)), u);
        row(page,
            titled(input.meaning, input.name),
            input_width,
            input_cells(shown.value,
                        u > 0 ? shown.uncertainty : "fixed",
                        input.unit.unit.spelling,
                        u > 0 ? dof_words(degrees_of_freedom(input)) : "",
                        u > 0 ? word(evidence(input)) : ""));
        if (input.parts.size() < 2)
            continue;
        for (const auto& part : input.parts) {
            const double own = input.unit.difference(stats::standard_uncertainty(part.law));
            row(page,
                part.meaning.empty() ? "part" : part.meaning,
                input_width,
                input_cells("",
                            own > 0 ? placed(own, last_place(own, 2)) : "0",
                            "",
                            dof_words(stats::degrees_of_freedom(part.law)),
                            word(part.evidence)),
                2);
        }
    }
}

std::string
agreement_words(const Agreement& agreement, const GumOutput& gum, const MonteCarloOutput& mc) {
    if (!gum.applies)
        return "the GUM's law of propagation does not apply: Monte Carlo decides";
    const auto number = [&](double x) {
        return agreement.tolerance > 0 ? placed(x, last_place(agreement.tolerance, 1) - 1)
                                       : plain(x);
    };
    auto text = fmt::format("{} (JCGM 101, clause 8): the ends of its interval are {} and {} from "
                            "those of Monte Carlo, {} is allowed",
                            agreement.gum_valid ? "the GUM's interval may be used"
                                                : "the GUM's interval may not be used",
                            number(agreement.difference.low),
                            number(agreement.difference.high),
                            with_unit(number(agreement.tolerance), gum.unit));
    if (!agreement.gum_valid)
        text += "; quote Monte Carlo's";
    if (!agreement.certain && (mc.interval_error.low > 0 || mc.interval_error.high > 0))
        text += ". Too close to call with these trials: more may turn it";
    return text;
}

void result(Page& page, const BudgetAnswer& answer, std::size_t k) {
    const auto& gum = answer.gum.outputs[k];
    const double p = answer.budget.coverage;
    page.beside(k == 0 ? "Result" : "", budget_sentence(gum, p));
    if (gum.applies) {
        page.fact(
            "", "standard uncertainty", with_unit(printed(0, gum.standard).uncertainty, gum.unit));
        if (gum.second_order_standard && *gum.second_order_standard != gum.standard)
            page.fact("",
                      "with terms of next order",
                      with_unit(printed(0, *gum.second_order_standard).uncertainty, gum.unit));
        page.fact(
            "", "GUM, " + chosen_percent(p), interval_words(gum.interval, gum.standard, gum.unit));
    }
    if (!answer.monte_carlo)
        return;
    const auto& mc = answer.monte_carlo->outputs[k];
    const double u = mc.standard.value_or(gum.standard);
    page.fact("Monte Carlo",
              "value, standard uncertainty",
              with_unit(at_place_of(mc.value, u), mc.unit) + ", " +
                  (mc.standard ? with_unit(printed(0, *mc.standard).uncertainty, mc.unit)
                               : "no standard deviation, see below"));
    page.fact("", "symmetric, " + chosen_percent(p), interval_words(mc.interval, u, mc.unit));
    page.fact("", "its ends are sure to", errors_words(mc.interval_error, mc.unit));
    if (mc.interval_width)
        page.fact("", "read from cells of", widths_words(*mc.interval_width, mc.unit));
    page.fact("", "shortest", interval_words(mc.shortest, u, mc.unit));
    page.fact("", "its ends are sure to", errors_words(mc.shortest_error, mc.unit));
    page.fact("", "trials", fmt::format("{}, seed {}", answer.monte_carlo->trials, answer.seed));
    page.beside("Agreement", agreement_words(answer.agreement[k], gum, mc));
}

std::string share_words(double share, bool sign = false) {
    const int decimals = std::abs(share) >= 0.0995 ? 0 : 1;
    return sign ? fmt::format("{:+.{}f} %", 100 * share, decimals)
                : fmt::format("{:.{}f} %", 100 * share, decimals);
}

void contributions(Page& page, const Budget& budget, const GumOutput& out) {
    auto lines = out.contributions;
    std::stable_sort(lines.begin(), lines.end(), [](const auto& a, const auto& b) {
        return a.contribution > b.contribution;
    });
    if (lines.empty() || !(lines.front().contribution > 0))
        return;
    constexpr std::size_t width = 26;
    const auto cells = [](std::string_view amount,
                          std::string_view share,
                          std::string_view bar,
                          std::string_view evidence) {
        return fitted_right(amount, 10) + fitted_right(share, 7) + "  " +
               fitted(bar, bar_width + 1) + std::string(evidence);
    };
    const int place = last_place(lines.front().contribution, 2) - 1;
    page.gap();
    row(page,
        fmt::format("what {} is made of", out.name),
        width,
        cells(out.unit.unit.spelling, "share", "", "evidence"));
    double told = 0;
    for (const auto& line : lines) {
        if (line.share < least_printed)
            continue;
        const auto input = std::find_if(budget.inputs.begin(),
                                        budget.inputs.end(),
                                        [&](const auto& i) { return i.name == line.input; });
        told += line.share;
        row(page,
            titled(input->meaning, input->name),
            width,
            cells(placed(line.contribution, place),
                  share_words(line.share),
                  repeated(hatch(line.evidence),
                           static_cast<std::size_t>(std::lround(bar_width * line.share))),
                  word(line.evidence)));
    }
    if (const auto left = std::count_if(
            lines.begin(), lines.end(), [](const auto& line) { return line.share < least_printed; });
        left > 0)
        row(page,
            fmt::format("{} more, each below 0.01 %", left),
            width,
            cells("", share_words(std::max(0.0, 1 - told)), "", ""));
    if (out.correlation_share != 0)
        row(page,
            "inputs that vary together",
            width,
            cells("", share_words(out.correlation_share, true), "", ""));
}

void correlations(Page& page, const BudgetAnswer& answer) {
    const auto& outputs = answer.gum.outputs;
    std::vector<std::string> lines;
    for (std::size_t i = 0; i < outputs.size(); ++i)
        for (std::size_t j = i + 1; j < outputs.size(); ++j)
            lines.push_back(fmt::format("{} and {}: {:.3f}",
                                        outputs[i].name,
                                        outputs[j].name,
                                        answer.gum.correlation(static_cast<Eigen::Index>(i),
                                                               static_cast<Eigen::Index>(j))));
    if (lines.empty())
        return;
    page.gap();
    page.list("Correlation", lines);
    if (answer.monte_carlo && answer.monte_carlo->ellipsoid_factor)
        page.beside("Together",
                    fmt::format("{} of the draws lie in the ellipsoid of k = {:.2f}, or all within "
                                "{:.2f} standard uncertainties (JCGM 102, 7.7)",
                                chosen_percent(answer.budget.coverage),
                                *answer.monte_carlo->ellipsoid_factor,
                                *answer.monte_carlo->rectangle_factor));
}

} // namespace

std::string budget_sentence(const GumOutput& out, double coverage) {
    if (!out.applies)
        return fmt::format("{} = {} at the estimates; the GUM gives no uncertainty",
                           out.name,
                           with_unit(plain(out.value), out.unit));
    const auto shown = printed(out.value, out.expanded, Rounding::up);
    return fmt::format("{} = {}, U = {} (k = {}, ν_eff = {}, {})",
                       out.name,
                       with_unit(shown.value, out.unit),
                       with_unit(shown.uncertainty, out.unit),
                       to_digits(out.k, 3),
                       dof_words(out.dof),
                       chosen_percent(coverage));
}

std::string budget_text(const BudgetAnswer& answer) {
    const auto& budget = answer.budget;
    Page page(usual_margin);
    if (!budget.title.empty())
        page.full(budget.title);
    if (!budget.source.empty())
        page.full(budget.source);
    if (!page.text().empty())
        page.gap();
    inputs_table(page, budget);
    bool bars = false;
    for (std::size_t k = 0; k < answer.gum.outputs.size(); ++k) {
        const auto& out = answer.gum.outputs[k];
        page.gap();
        result(page, answer, k);
        contributions(page, budget, out);
        bars = bars || out.standard > 0;
    }
    if (bars) {
        page.gap();
        std::string legend = "Bars: share of the variance, 20 columns are all of it. Hatching:";
        for (const auto evidence : {Evidence::measured,
                                    Evidence::certificate,
                                    Evidence::specification,
                                    Evidence::typical,
                                    Evidence::assumed})
            legend += fmt::format(" {} {}{}",
                                  hatch(evidence),
                                  word(evidence),
                                  evidence == Evidence::assumed ? "." : ",");
        page.full(legend);
    }
    correlations(page, answer);
    if (!answer.notes.empty())
        page.gap();
    page.list("Note", answer.notes);
    return page.text();
}

} // namespace holdable
