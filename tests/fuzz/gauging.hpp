// SPDX-License-Identifier: MIT
/// What must hold of any bytes as a gauging file: it is refused with places, or the set-up is
/// judged, or what cannot be computed is said; and what comes of it prints.
#pragma once

#include "fuzz/machine.hpp"
#include "holdable/answer/gauging.hpp"
#include "holdable/answer/planned_check.hpp"
#include "holdable/files/read_gauging.hpp"
#include "holdable/report/gauging.hpp"

#include <algorithm>
#include <string>
#include <string_view>
#include <variant>

namespace holdable::fuzz {

/// What does not hold; empty if all does. A file that names another one for its machine is left
/// out: which files there are is not in these bytes.
inline std::string fault_of_gauging(std::string_view text) {
    Gauging asked;
    try {
        const auto root = parse_document(text, file_name);
        if (std::any_of(root.members.begin(), root.members.end(), [](const Member& member) {
                return member.key == "machine" && member.value.kind == Node::Kind::string;
            }))
            return {};
        asked = read_gauging(root, file_name, day);
    } catch (const InputError& error) {
        return fault_of_refusal(error, text);
    }
    try {
        return std::visit(
            [](const auto& set_up) {
                const auto answer = gauging(set_up);
                if (auto fault = fault_of_page(gauging_text(answer)); !fault.empty())
                    return fault;
                return fault_of_json(gauging_json(answer));
            },
            asked);
    } catch (const InputError& error) {
        return unprintable(error.what());
    } catch (const NumericError& error) {
        return unprintable(error.what());
    }
}

} // namespace holdable::fuzz
