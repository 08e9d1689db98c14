// SPDX-License-Identifier: MIT
/// What must hold of any bytes as a job file: it is refused with places, or its parts are put on
/// the machine of the demonstration and looked at with a few draws, or what cannot be asked or
/// computed is said.
#pragma once

#include "fuzz/machine.hpp"
#include "holdable/files/read_job.hpp"
#include "holdable/part/features.hpp"
#include "holdable/propagate/promise.hpp"

#include <cmath>
#include <string>
#include <string_view>

namespace holdable::fuzz {

/// A promise by a few draws: what is looked for is not a digit.
inline PromiseOptions a_few_draws() {
    PromiseOptions options;
    options.worlds = 16;
    options.parts_in_world = 16;
    options.most_worlds = 16;
    options.threads = 1;
    return options;
}

/// What does not hold; empty if all does. @param state of the machine that shall cut it
inline std::string fault_of_job(std::string_view text, const MachineState& state) {
    Job job;
    try {
        job = read_job(parse_document(text, file_name), file_name);
    } catch (const InputError& error) {
        return fault_of_refusal(error, text);
    }
    try {
        const auto asked = question(state, job);
        if (asked.readiness.size() != job.callouts.size())
            return "a callout without an answer";
        // What lacks something has no characteristic to be looked at.
        for (const auto& one : asked.readiness)
            if (!one.missing.empty())
                return {};
        for (const auto& one : asked.model.characteristics)
            if (!one.known.allFinite() || !one.effect.allFinite())
                return "an effect that is not finite";
        for (const auto& one : first_look(asked.model, a_few_draws(), true))
            if (!std::isfinite(one.smallest) || one.smallest < 0 || one.gamma < 0 || one.gamma > 1)
                return "a promise that is none";
        return {};
    } catch (const InputError& error) { // a place off the travel, say
        return unprintable(error.what());
    } catch (const NumericError& error) {
        return unprintable(error.what());
    }
}

} // namespace holdable::fuzz
