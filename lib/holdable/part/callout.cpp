// SPDX-License-Identifier: MIT
#include "holdable/part/callout.hpp"

#include <cassert>

namespace holdable {
namespace {

template <class T, class... Ts>
T& made(std::variant<Ts...>& any) {
    auto* found = std::get_if<T>(&any);
    return found != nullptr ? *found : any.template emplace<T>();
}

} // namespace

std::string_view word(HoleMaking making) {
    switch (making) {
    case HoleMaking::bored:
        return "boring";
    case HoleMaking::reamed:
        return "reaming";
    case HoleMaking::drilled:
        return "drilling";
    case HoleMaking::tapped:
        return "tapping";
    case HoleMaking::interpolated:
        return "interpolating";
    }
    return {};
}

std::string_view word(Requirement requirement) {
    switch (requirement) {
    case Requirement::position:
        return "position";
    case Requirement::perpendicularity:
        return "perpendicularity";
    case Requirement::parallelism:
        return "parallelism";
    case Requirement::angularity:
        return "angularity";
    case Requirement::flatness:
        return "flatness";
    case Requirement::straightness:
        return "straightness";
    case Requirement::roundness:
        return "roundness";
    case Requirement::cylindricity:
        return "cylindricity";
    case Requirement::profile:
        return "profile";
    case Requirement::coaxiality:
        return "coaxiality";
    case Requirement::run_out:
        return "run-out";
    case Requirement::diameter:
        return "diameter";
    case Requirement::distance:
        return "distance";
    case Requirement::height:
        return "height";
    case Requirement::width:
        return "width";
    case Requirement::length:
        return "length";
    }
    return {};
}

bool is_size(Requirement requirement) {
    switch (requirement) {
    case Requirement::diameter:
    case Requirement::distance:
    case Requirement::height:
    case Requirement::width:
    case Requirement::length:
        return true;
    default:
        return false;
    }
}

bool is_diametral(Requirement requirement, const Feature& feature) {
    const bool hole = std::holds_alternative<Holes>(feature);
    switch (requirement) {
    case Requirement::position:
    case Requirement::coaxiality:
        return true;
    case Requirement::perpendicularity:
    case Requirement::parallelism:
    case Requirement::angularity:
    case Requirement::straightness:
        return hole;
    default:
        return false;
    }
}

Hole& Callout::hole() {
    auto& holes = made<Holes>(feature);
    if (holes.empty())
        holes.emplace_back();
    return holes.front();
}

const Hole& Callout::hole() const {
    const auto& holes = std::get<Holes>(feature);
    assert(!holes.empty());
    return holes.front();
}

PlaneDatum& Callout::plane() {
    return made<PlaneDatum>(datum);
}

const PlaneDatum& Callout::plane() const {
    return std::get<PlaneDatum>(datum);
}

EdgeDatum& Callout::edges() {
    return made<EdgeDatum>(datum);
}

const EdgeDatum& Callout::edges() const {
    return std::get<EdgeDatum>(datum);
}

std::string_view datum_name(const Callout& callout) {
    return std::visit(
        [](const auto& datum) -> std::string_view {
            if constexpr (std::is_same_v<std::decay_t<decltype(datum)>, std::monostate>)
                return {};
            else
                return datum.name;
        },
        callout.datum);
}

} // namespace holdable
