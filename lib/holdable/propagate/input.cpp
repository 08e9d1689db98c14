// SPDX-License-Identifier: MIT
#include "holdable/propagate/input.hpp"

namespace holdable {

std::string_view word(Evidence evidence) {
    switch (evidence) {
    case Evidence::measured:
        return "measured";
    case Evidence::certificate:
        return "certificate";
    case Evidence::specification:
        return "specification";
    case Evidence::typical:
        return "typical";
    case Evidence::assumed:
        return "assumed";
    }
    return {};
}

std::string_view word(Sharing sharing) {
    switch (sharing) {
    case Sharing::job:
        return "job";
    case Sharing::setup:
        return "setup";
    case Sharing::tool:
        return "tool";
    case Sharing::part:
        return "part";
    }
    return {};
}

stats::Distribution normal_law(double sigma) {
    return stats::Normal{0, sigma, std::nullopt};
}

stats::Distribution rectangular_law(double half_width) {
    return stats::Rectangular{0, half_width, std::nullopt};
}

Input job_input(std::string name,
                std::string group,
                std::string meaning,
                stats::Distribution law,
                Evidence evidence) {
    return {std::move(name),
            std::move(group),
            std::move(meaning),
            std::move(law),
            evidence,
            Sharing::job,
            {},
            0};
}

double variance(const Input& input) {
    const double u = stats::standard_uncertainty(input.law);
    return u * u;
}

} // namespace holdable
