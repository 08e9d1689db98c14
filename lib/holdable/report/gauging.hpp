// SPDX-License-Identifier: MIT
/// The answer to "is this measuring set-up good enough?" as a page and as JSON.
#pragma once

#include "holdable/answer/gauging.hpp"
#include "holdable/answer/planned_check.hpp"
#include "holdable/report/origin.hpp"

#include <string>

namespace holdable {

/// A page of 80 columns: verdict, U against the tolerance, rule and risk, what limits it, what
/// would help.
std::string gauging_text(const GaugingAnswer& answer);

/// `gauging-result/1`: SI units, every number unrounded; keys in docs/gauging.md.
std::string gauging_json(const GaugingAnswer& answer, const Origin& origin = {});

/// The same of a planned check of a machine: what may not be forgotten before it stands first.
std::string gauging_text(const PlannedAnswer& answer);

std::string gauging_json(const PlannedAnswer& answer, const Origin& origin = {});

} // namespace holdable
