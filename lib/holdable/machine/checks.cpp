// SPDX-License-Identifier: MIT
#include "holdable/machine/checks.hpp"

namespace holdable {

std::vector<Observation> observe(MachineModel& model) {
    std::vector<Observation> observations;
    for_each_check(model.shop(), [&](const auto& check) {
        if (check.date <= model.job())
            observe(model, check, observations);
    });
    return observations;
}

} // namespace holdable
