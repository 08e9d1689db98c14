// SPDX-License-Identifier: MIT
/// What the tests of the checks in machine files share: a text read as one on a fixed day.
#pragma once

#include "files/shop_text.hpp"
#include "holdable/files/read_machine.hpp"

#include <string>

namespace holdable {

inline const Date day = parse_date("2025-05-01");

inline Shop read(const std::string& text) {
    return read_machine(parse_document(text, "f"), "f", day);
}

inline std::string said(const std::string& text) {
    return said<Shop>(text, [](const Node& root) { return read_machine(root, "f", day); });
}

} // namespace holdable
