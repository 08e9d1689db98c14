// SPDX-License-Identifier: MIT
/// Questions and answers, from which a file comes.
#pragma once

#include "holdable/files/scaffold.hpp"

#include <iosfwd>
#include <optional>
#include <string>

namespace holdable::cli {

/// Asks for the facts of a file, one a line. An empty answer takes what is usual, `?` explains, and
/// what cannot be is explained and asked again. @param inch asked for first if it is not known
/// @return the text of the file; none where the answers end before the last question
std::optional<std::string> ask_facts(ScaffoldKind kind,
                                     std::optional<bool> inch,
                                     Date day,
                                     std::istream& answers,
                                     std::ostream& questions);

} // namespace holdable::cli
