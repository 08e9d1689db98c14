// SPDX-License-Identifier: MIT
/// What is not known of a square, one unknown in every check that uses it: its error σ, wear since
/// its certificate, the form of its edge.
#pragma once

#include "holdable/base/date.hpp"
#include "holdable/machine/observation.hpp"

#include <optional>
#include <utility>

namespace holdable {

/// The error σ of a square as an input, its mean the certified one (rad).
Input square_error(const Square& square);

/// What a certified square may have changed since: an input of a year's change (rad), and for how
/// many years; none without certificate.
std::optional<std::pair<Input, double>> square_wear(const Square& square, Date day);

class SquareUnknowns {
  public:
    /// @param day of the check, to which the square has worn
    SquareUnknowns(MachineModel& model, const Square& square, Date day);

    /// Adds the lean of the edge at a distance along it, and its form there.
    /// @param turned +1 where the edge as it stands leans by σ towards +, else -1
    /// @param distance along the edge from the leg (m)
    void apply(Row& row, double turned, double distance) const;

  private:
    MachineModel* model_;
    const Square* square_;
    int lean_ = 0;
    int wear_ = -1;
    double years_ = 0; // since the certificate
};

} // namespace holdable
