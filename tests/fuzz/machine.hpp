// SPDX-License-Identifier: MIT
/// What must hold of any bytes as a machine file: it is refused with places, or its checks are
/// solved together, or what cannot be computed is said; and what comes of it prints.
#pragma once

#include "fuzz/whole.hpp"
#include "holdable/files/read_machine.hpp"
#include "holdable/files/read_minutes.hpp"
#include "holdable/machine/state.hpp"
#include "holdable/report/machine_json.hpp"
#include "holdable/report/machine_summary.hpp"
#include "holdable/report/machine_text.hpp"

#include <chrono>
#include <string>
#include <string_view>

namespace holdable::fuzz {

/// The day on which all files are read.
inline const Date day = Date(std::chrono::sys_days(std::chrono::year(2025) / 6 / 1));

/// What does not hold; empty if all does.
inline std::string fault_of_machine(std::string_view text) {
    Shop shop;
    try {
        const auto root = parse_document(text, file_name);
        shop = read_machine(root, file_name, day);
        read_minutes(root, file_name);
    } catch (const InputError& error) {
        return fault_of_refusal(error, text);
    }
    try {
        const auto state = solve(shop, day);
        if (!state.estimate.allFinite() || !state.error_map.allFinite())
            return "an estimate that is not finite";
        const auto without_class = solve_with_prior(shop, day, 30);
        auto result = summary(state, &without_class);
        result.notes.insert(result.notes.begin(), shop.notes.begin(), shop.notes.end());
        if (auto fault = fault_of_page(machine_text(result)); !fault.empty())
            return fault;
        return fault_of_json(machine_json(result));
    } catch (const InputError& error) { // a question of the day of the job, without a place
        return unprintable(error.what());
    } catch (const NumericError& error) {
        return unprintable(error.what());
    }
}

} // namespace holdable::fuzz
