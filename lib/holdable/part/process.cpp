// SPDX-License-Identifier: MIT
#include "holdable/part/process.hpp"

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

Span span(double low, double high, std::string basis) {
    return {low, high, Evidence::typical, std::move(basis)};
}

/// What a way of making holes is like.
struct Making {
    HoleMaking making;
    double direction;    ///< (rad)
    double place;        ///< (m)
    double small, large; ///< hole less the size set (m)
    double size_repeat;  ///< (m)
    const char* basis;
};

constexpr Making makings[] = {
    {HoleMaking::bored, 10e-6, 1e-6, -5e-6, 5e-6, 1.5e-6, "bored, single point"},
    {HoleMaking::reamed, 50e-6, 5e-6, 0, 8e-6, 2e-6, "reamed after a bored pilot"},
    {HoleMaking::drilled,
     500e-6,
     25e-6,
     20e-6,
     100e-6,
     15e-6,
     "drilled after a spot, 20 to 100 µm of wander in 100 mm"},
    {HoleMaking::tapped, 500e-6, 30e-6, 20e-6, 100e-6, 15e-6, "tapped, float of 10 to 50 µm"},
    {HoleMaking::interpolated, 20e-6, 1e-6, 0, 0, 1e-6, "milled round in steps of Z"},
};

const Making& making_of(HoleMaking making) {
    return makings[static_cast<std::size_t>(making)];
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
    const auto& m = making_of(making);
    fill(p.hole_direction, scatter(m.direction, m.basis));
    fill(p.hole_place, scatter(m.place, m.basis));
    fill(p.hole_size, span(m.small, m.large, m.basis));
    fill(p.size_repeat, scatter(m.size_repeat, m.basis));
    fill(p.seat, allowance(50e-6, "parallels matched to 2 µm, a clean seat"));
    fill(p.tool_size, allowance(5e-6, "tool measured with a micrometer"));
    fill(p.line_up, allowance(20e-6, "vise indicated to 2 µm in 100 mm"));
    fill(p.pick_up, allowance(4e-6, "indicator in the spindle, swept"));
    fill(p.short_wave,
         allowance(c.name == "jig borer" || c.name == "good vmc" ? 1e-6 : 3e-6,
                   "short wave of a ball screw, 1 to 5 µm"));
    fill(p.lobes, allowance(1.5e-6, "error motion of a spindle, 1 to 3 µm"));
    fill(p.tool_length, allowance(15e-6, "touched off on a pad"));
    fill(p.tool_run_out, span(3e-6, 15e-6, "collet or side-lock holder"));
    fill(p.wear, span(0, 5e-6, "a quarter of the life of an edge, which ends at 20 µm"));
    fill(p.side_force, span(20, 150, "finishing cut in steel, light to heavy"));
    fill(p.first_piece, allowance(3e-6, "micrometer or bore gauge"));
    fill(p.distortion, allowance(5e-6, "stiff part, light clamping"));
    return p;
}

} // namespace holdable
