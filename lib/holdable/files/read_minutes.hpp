// SPDX-License-Identifier: MIT
/// The minutes that pieces of work take in a shop: key "minutes" of its machine file.
#pragma once

#include "holdable/answer/works.hpp"
#include "holdable/files/reader.hpp"

#include <string>

namespace holdable {

/// The minutes stated there; a name that is not among `works` is an unknown key.
Minutes read_minutes(const Reader& field);

/// Those of a machine file, whose other keys are not looked at. @throws InputError
Minutes read_minutes(const Node& root, const std::string& file);

} // namespace holdable
