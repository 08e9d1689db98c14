// SPDX-License-Identifier: MIT
#include "holdable/files/edition.hpp"

#include <fmt/format.h>

namespace holdable {

bool is_other_edition(std::string_view found, std::string_view format) {
    const auto kind = format.substr(0, format.find('/') + 1);
    return found != format && found.starts_with(kind) && found.size() > kind.size() &&
           found.find_first_not_of("0123456789", kind.size()) == std::string_view::npos;
}

std::string other_edition(std::string_view format) {
    return fmt::format("this program reads edition {} of a {} file and no other",
                       format.substr(format.find('/') + 1),
                       format.substr(0, format.find('/')));
}

} // namespace holdable
