// SPDX-License-Identifier: MIT
#include "holdable/files/read_minutes.hpp"

namespace holdable {

Minutes read_minutes(const Reader& field) {
    constexpr Range a_month = {.low = 0, .high = 30 * 24 * 60.0};
    Minutes minutes;
    for (const auto& work : works())
        if (const auto stated = field.find(work.name))
            minutes[std::string(work.name)] = stated->number(a_month);
    return minutes;
}

Minutes read_minutes(const Node& root, const std::string& file) {
    const Reader reader(root, file);
    Minutes minutes;
    if (const auto field = reader.find("minutes"))
        minutes = read_minutes(*field);
    reader.allow_other_keys();
    reader.finish();
    return minutes;
}

} // namespace holdable
