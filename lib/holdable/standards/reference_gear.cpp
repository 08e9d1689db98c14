// SPDX-License-Identifier: MIT
#include "holdable/standards/reference_gear.hpp"

#include "holdable/base/error.hpp"

#include <fmt/format.h>

namespace holdable {
namespace {

struct SquareGrade {
    std::string_view grade;
    double constant; // m
    double slope;    // m/m
};

constexpr SquareGrade square_grades[] = {
    {"00", 2e-6, 1e-5}, {"0", 5e-6, 2e-5}, {"1", 10e-6, 5e-5}, {"2", 20e-6, 1e-4}};

} // namespace

double square_grade_limit(std::string_view grade, double length) {
    for (const auto& row : square_grades)
        if (row.grade == grade && length >= 0.01 && length <= 1)
            return row.constant + row.slope * length;
    throw InputError(
        "grade-unknown",
        fmt::format("no limit for a square of grade \"{}\" and {:.4g} mm", grade, length * 1e3),
        "grades are \"00\", \"0\", \"1\" and \"2\", for edges of 10 mm to 1 m");
}

} // namespace holdable
