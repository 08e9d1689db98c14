// SPDX-License-Identifier: MIT
#include "holdable/machine/scale_unknowns.hpp"

#include "holdable/machine/typical.hpp"

#include <fmt/format.h>

#include <cmath>

namespace holdable {

int shared_scale_expansion(MachineModel& model, Axis axis, double half_width) {
    return model.shared(job_input(fmt::format("scale of {}, expansion", letter(axis)),
                                  {},
                                  fmt::format("expansion of the scale of {}", letter(axis)),
                                  rectangular_law(half_width),
                                  Evidence::typical));
}

std::array<int, 2> shared_short_wave(MachineModel& model, Axis axis) {
    std::array<int, 2> both{};
    for (const std::size_t k : {std::size_t{0}, std::size_t{1}})
        both[k] = model.shared(
            job_input(fmt::format("short wave of {}, {}", letter(axis), k == 1 ? "sine" : "cosine"),
                      fmt::format("short wave of {}", letter(axis)),
                      fmt::format("error of {} within a turn of its screw", letter(axis)),
                      normal_law(short_wave_part * model.assumed_class().lead_per_300_mm.high /
                                 magnitude_point),
                      Evidence::assumed));
    return both;
}

std::vector<Input> runs_noise(const MachineModel& model,
                              const std::string& check,
                              const std::string& what,
                              const RunScatter& scatter,
                              double resolution,
                              int runs) {
    const auto group = check + ", reading noise";
    const auto meaning = "reading noise of the check " + check;
    const bool measured = scatter.degrees_of_freedom > 0;
    const double s = measured ? scatter.standard : model.assumed_class().repeatability.high;
    Input repeat = job_input(what + ", repeat",
                             group,
                             meaning,
                             normal_law(s / std::sqrt(static_cast<double>(runs))),
                             measured ? Evidence::measured : Evidence::assumed);
    if (measured) {
        repeat.scale = check + ", repeatability";
        repeat.scale_dof = scatter.degrees_of_freedom;
    }
    std::vector<Input> parts = {std::move(repeat)};
    if (runs == 1 || s < resolution / 2)
        parts.push_back(job_input(what + ", last digit",
                                  group,
                                  meaning,
                                  rectangular_law(resolution / 2),
                                  Evidence::measured));
    return parts;
}

} // namespace holdable
