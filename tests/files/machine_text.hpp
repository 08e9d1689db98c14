// SPDX-License-Identifier: MIT
/// What the tests of the checks in machine files share: a text read as one on a fixed day.
#pragma once

#include "files/shop_text.hpp"
#include "holdable/files/read_machine.hpp"

#include <string>

namespace holdable {

inline const Date day = parse_date("2025-05-01");

/// A machine file up to its lists: eight lines, a metric mill.
inline const std::string mill = R"({
  "holdable": "machine/1", "shop": "S", "machine": "M", "axes": "XYZ",
  "travel": {
    "X": {"from": "0 mm", "to": "400 mm"},
    "Y": {"from": "0 mm", "to": "300 mm"},
    "Z": {"from": "-300 mm", "to": "0 mm"}
  },
  "nose_to_table": "450 mm", "class": "entry vmc",)";

inline Shop read(const std::string& text) {
    return read_machine(parse_document(text, "f"), "f", day);
}

inline std::string said(const std::string& text) {
    return said<Shop>(text, [](const Node& root) { return read_machine(root, "f", day); });
}

} // namespace holdable
