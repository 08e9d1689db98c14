// SPDX-License-Identifier: MIT
/// "Try a change": a section of a shop's copy in which a doubt is changed and the first-order
/// capability moves at once.
///
/// Its script has no outside resources. It computes what `limit_after` (answer/audit.hpp) does:
/// u² = Σ (times · c_i u_i)², degrees of freedom by Welch and Satterthwaite, the limit by the t
/// law.
#pragma once

#include "holdable/answer/statement.hpp"
#include "holdable/report/statement_page.hpp"

#include <string>
#include <vector>

namespace holdable {

/// A doubt that can be changed: all inputs of one meaning.
struct ChangeableDoubt {
    std::string meaning;
    Evidence evidence = Evidence::measured;
    bool readings = false; ///< a scatter of readings: n times as many divide it by √n
};

/// Those that move any claim most, at most `most`, and the largest certificate, scatter of readings
/// and temperature if they are not among them.
std::vector<ChangeableDoubt> changeable_doubts(const Statement& statement, std::size_t most = 10);

/// The section with its script, a whole element.
std::string try_change_section(const Statement& statement, const Edition& edition);

} // namespace holdable
