// SPDX-License-Identifier: MIT
/// The four words of an answer.
#pragma once

#include <string_view>

namespace holdable {

enum class Verdict { yes, marginal, no, cant_say };

/// "YES", "MARGINAL", "NO", "CAN'T SAY".
std::string_view word(Verdict verdict);

} // namespace holdable
