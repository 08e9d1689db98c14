// SPDX-License-Identifier: MIT
/// Words of the user in our messages: what was probably meant, and quoting.
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace holdable {

/// The candidate that `word` was probably meant to be, empty if none is near. Near: up to a third
/// of its letters, and at least one, are wrong, missing, too many or swapped with their neighbour.
/// Case, and `-` or blank for `_`, make no difference. Of several equally near, the first.
std::string_view nearest(std::string_view word, const std::vector<std::string_view>& candidates);

/// The text in double quotes for a message: as it may be printed on one line (`shown`), and cut
/// after 60 characters with `...`.
std::string in_quotes(std::string_view text);

} // namespace holdable
