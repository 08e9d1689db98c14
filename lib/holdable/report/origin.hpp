// SPDX-License-Identifier: MIT
/// What a result was made from, so that it can be made again and told from another.
#pragma once

#include <string>
#include <utility>
#include <vector>

namespace holdable {

/// Stands at the end of each result for programs as `version` and `files`; where it is empty, as
/// for a program that has its facts from elsewhere, neither is there.
struct Origin {
    std::string version; ///< of the program
    /// Name of each file without its folder, and its SHA-256 (base/digest.hpp), in the order read.
    std::vector<std::pair<std::string, std::string>> files;
};

} // namespace holdable
