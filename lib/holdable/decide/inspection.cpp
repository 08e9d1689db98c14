// SPDX-License-Identifier: MIT
#include "holdable/decide/inspection.hpp"

#include "holdable/base/error.hpp"
#include "holdable/standards/expansion.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

namespace holdable::decide {
namespace {


stats::Distribution law(const Doubt& doubt, double divisor = 1) {
    return stats::Normal{0, doubt.standard / divisor, doubt.dof};
}

} // namespace

propagate::Budget budget(const Inspection& i) {
    propagate::Budget budget;
    budget.coverage = 0.95;
    std::string sum;
    const auto input = [&](std::string name,
                           std::string meaning,
                           stats::Distribution of,
                           Evidence evidence,
                           std::string_view unit) {
        budget.inputs.push_back({std::move(name),
                                 {{std::move(of), {}, evidence}},
                                 0,
                                 {parse_unit(unit)},
                                 std::move(meaning)});
    };
    const auto term = [&](const std::string& name,
                          std::string meaning,
                          const stats::Distribution& of,
                          Evidence evidence) {
        if (!(stats::standard_uncertainty(of) > 0))
            return;
        input(name, std::move(meaning), of, evidence, "m");
        sum += name + " + ";
    };
    if (i.found) {
        term("instrument",
             i.instrument + ", scatter of the readings that show its error",
             law(i.found->doubt),
             i.found->doubt.evidence);
        term("reference",
             i.instrument + ", certificate of the reference that shows its error",
             law(i.found->reference),
             i.found->reference.evidence);
    } else if (i.certificate)
        term("instrument",
             i.instrument + ", certificate",
             law(*i.certificate),
             i.certificate->evidence);
    else if (i.max_error)
        term("instrument",
             i.instrument + ", limit of error",
             stats::Rectangular{0, *i.max_error, {}},
             Evidence::specification);
    term("master", i.master + ", certificate", law(i.master_doubt), i.master_doubt.evidence);
    if (i.scatter.standard < i.resolution / 2)
        term("resolution",
             "reading to one division",
             stats::Rectangular{0, i.resolution / 2, {}},
             Evidence::specification);
    term("repeat",
         i.repeats > 1 ? "scatter of the mean of the repeats" : "scatter of one reading",
         law(i.scatter, std::sqrt(i.repeats)),
         i.scatter.evidence);
    term("operators", "who measures", law(i.operators), i.operators.evidence);
    const auto heat = [&](const std::string& suffix, const Body& body, const std::string& what) {
        input("t_" + suffix,
              "temperature of the " + what,
              stats::Rectangular{body.temperature, i.temperature_limit, {}},
              Evidence::measured,
              "K");
        input("a_" + suffix,
              "expansion of the " + what,
              stats::Rectangular{body.expansion, body.expansion_limit, {}},
              Evidence::typical,
              "1/K");
    };
    if (!i.expands) {
        budget.outputs = {{"error", sum + "0 * size", {parse_unit("m")}}};
        input("size", "nominal size", stats::Fixed{i.nominal}, Evidence::specification, "m");
        return budget;
    }
    input("size", "nominal size", stats::Fixed{i.nominal}, Evidence::specification, "m");
    input("t_0", "20 °C", stats::Fixed{reference_temperature}, Evidence::specification, "K");
    heat("part", i.part, "part");
    heat("gauge", i.gauge, "gauge");
    budget.outputs = {{"error",
                       sum + "size * (a_part * (t_part - t_0) - a_gauge * (t_gauge - t_0))",
                       {parse_unit("m")}}};
    return budget;
}

Worth worth(const Inspection& i) {
    Worth worth;
    worth.error = propagate::gum(budget(i)).outputs.front();
    const double u = worth.error.standard, tolerance = i.tolerance();
    if (!(u > 0))
        throw NumericError("nothing of this measurement is in doubt: state the limit of error or "
                           "the certificate of the gauge");
    worth.known_error = i.corrected ? 0 : worth.error.value;
    if (i.found && !i.found->corrected)
        worth.known_error += i.found->value;
    worth.ratio = tolerance / ((i.lower ? 2 : 1) * worth.error.expanded);
    worth.cost = cost_of_proof({u, worth.error.expanded, worth.error.dof},
                               tolerance,
                               i.lower ? 2 : 1,
                               worth.known_error,
                               i.rule);
    worth.acceptance = acceptance(worth.cost, u, worth.known_error, i.lower, i.upper);
    if (!worth.cost.guard)
        return worth;
    const double b = worth.known_error;
    if (i.process_scatter && i.lower) {
        const Limits limits{*i.lower, i.upper};
        // Readings stand at the true size plus b.
        const Limits accepted{worth.acceptance.low - b, worth.acceptance.high - b};
        worth.risk =
            global_risk((limits.low + limits.high) / 2, *i.process_scatter, u, limits, accepted);
    }
    return worth;
}

} // namespace holdable::decide
