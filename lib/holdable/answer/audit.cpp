// SPDX-License-Identifier: MIT
#include "holdable/answer/audit.hpp"

#include "holdable/propagate/agreement.hpp"
#include "holdable/stats/distribution.hpp"

#include <algorithm>
#include <cmath>
#include <map>

namespace holdable {

using Eigen::Index;

Audit audit(const PartModel& part, std::size_t c, const Promise& p, double parts) {
    const auto& characteristic = part.characteristics[c];
    const auto first = propagate::first_order(part, c, parts);
    Audit audit;
    audit.value = first.value;
    audit.standard = first.standard_uncertainty;
    audit.dof = first.dof;
    audit.limit = first.limit;
    audit.two_sided = characteristic.lower.has_value();
    if (audit.two_sided)
        audit.middle = (characteristic.upper + *characteristic.lower) / 2;
    audit.applies = first.applies;
    audit.simulated_limit = p.next_part_limit;
    audit.numerical_tolerance = propagate::numerical_tolerance(audit.standard, 2);
    audit.valid =
        audit.applies && std::abs(audit.limit - audit.simulated_limit) <= audit.numerical_tolerance;
    audit.parts = parts;
    for (std::size_t i = 0; i < part.inputs.size(); ++i) {
        const auto& input = part.inputs[i];
        AuditLine line{input, stats::standard_uncertainty(input.law), {}, 0, 0, 0};
        line.sensitivity = first.sensitivity[static_cast<Index>(i)];
        line.contribution = std::abs(line.sensitivity) * line.standard;
        if (line.contribution == 0)
            continue;
        if (!input.scale.empty())
            line.dof = input.scale_dof;
        else if (const auto dof = stats::degrees_of_freedom(input.law))
            line.dof = *dof;
        line.share = std::pow(line.contribution / audit.standard, 2);
        audit.lines.push_back(std::move(line));
    }
    std::stable_sort(audit.lines.begin(), audit.lines.end(), [](const auto& a, const auto& b) {
        return a.contribution > b.contribution;
    });
    for (Index r = 0; r < characteristic.known_parts.cols(); ++r) {
        const auto at = static_cast<std::size_t>(r);
        // To first order: the value less what it is without this error.
        auto without = part;
        without.characteristics = {characteristic};
        without.characteristics[0].known -= characteristic.known_parts.col(r);
        const double effect = first.value - propagate::first_order(without, 0, parts).value;
        if (std::abs(effect) > 1e-3 * std::max(std::abs(first.value), audit.standard))
            audit.known.push_back({characteristic.known_names[at],
                                   effect,
                                   characteristic.known_evidence.empty()
                                       ? Evidence::measured
                                       : characteristic.known_evidence[at]});
    }
    std::stable_sort(audit.known.begin(), audit.known.end(), [](const auto& a, const auto& b) {
        return std::abs(a.effect) > std::abs(b.effect);
    });
    return audit;
}

double limit_after(const Audit& audit, const std::vector<double>& times) {
    double variance = 0, quartic = 0;
    std::map<std::string, std::pair<double, double>> scaled; // variance, dof
    for (std::size_t i = 0; i < audit.lines.size(); ++i) {
        const auto& line = audit.lines[i];
        const double v = std::pow(line.contribution * (times.empty() ? 1 : times[i]), 2);
        variance += v;
        if (!line.input.scale.empty()) {
            auto& [sum, dof] = scaled[line.input.scale];
            sum += v;
            dof = line.input.scale_dof;
        } else if (line.dof) {
            quartic += v * v / *line.dof;
        }
    }
    for (const auto& [name, term] : scaled)
        quartic += term.first * term.first / term.second;
    return propagate::first_order_limit(audit.value,
                                        std::sqrt(variance),
                                        quartic > 0 ? variance * variance / quartic : 0,
                                        audit.two_sided ? std::optional(audit.middle)
                                                        : std::nullopt,
                                        audit.parts);
}

} // namespace holdable
