// SPDX-License-Identifier: MIT
#include "holdable/part/job.hpp"
#include "holdable/standards/machine_class.hpp"

namespace holdable {
namespace {

// All figures here are ranges of experience, the upper ends taken: common practice, no source.

Allowance allowance(double half_width, std::string basis) {
    return {half_width, Evidence::typical, std::move(basis)};
}

Scatter scatter(double standard_deviation, std::string basis) {
    return {standard_deviation, 0, 0, 0, Evidence::typical, std::move(basis)};
}

Scatter typical_direction(HoleMaking making) {
    switch (making) {
    case HoleMaking::bored:
        return scatter(10e-6, "bored, single point");
    case HoleMaking::reamed:
        return scatter(50e-6, "reamed after a bored pilot");
    case HoleMaking::drilled:
        return scatter(500e-6, "drilled, 20 to 100 µm of wander in 100 mm");
    }
    return {};
}

Scatter typical_place(HoleMaking making) {
    switch (making) {
    case HoleMaking::bored:
        return scatter(1e-6, "bored, single point");
    case HoleMaking::reamed:
        return scatter(10e-6, "reamed after a bored pilot");
    case HoleMaking::drilled:
        return scatter(25e-6, "drilled after a spot");
    }
    return {};
}

template <class T>
void fill(std::optional<T>& field, T value) {
    if (!field)
        field = std::move(value);
}

} // namespace

Process typical_process(const Process& given, HoleMaking making, std::string_view class_name) {
    const auto& c = machine_class(class_name);
    Process p = given;
    fill(p.work_zero, allowance(8e-6, "electronic edge finder"));
    fill(p.location, allowance(20e-6, "vise with a stop"));
    fill(p.axis_repeat, scatter(c.repeatability.high, "repeatability of the class"));
    fill(p.reversal, allowance(c.reversal.high / 2, "lost motion of the class"));
    fill(p.drift, allowance(c.drift_8_h.high / 2, "drift of the class over a shift"));
    fill(p.hole_direction, typical_direction(making));
    fill(p.hole_place, typical_place(making));
    fill(p.seat, allowance(50e-6, "parallels matched to 2 µm, a clean seat"));
    fill(p.tool_size, allowance(5e-6, "tool measured with a micrometer"));
    return p;
}

} // namespace holdable
