// SPDX-License-Identifier: MIT
#include "holdable/machine/corrections.hpp"

#include <fmt/format.h>

namespace holdable {

std::vector<std::pair<Correction, std::string>>
corrections_of(const Shop& shop, int parameter, Date day) {
    std::vector<std::pair<Correction, std::string>> found;
    for (const auto& correction : shop.corrections) {
        if (correction.parameter != parameter || correction.date > day)
            continue;
        const auto of = parameter == a0c_index   ? std::string("A0C")
                        : parameter == b0c_index ? std::string("B0C")
                        : parameter < c0y_index  ? parameter_name(parameter) + " scale"
                                                 : std::string(parameter_name(parameter));
        found.emplace_back(correction, fmt::format("{} correction {}", of, found.size() + 1));
    }
    return found;
}

} // namespace holdable
