// SPDX-License-Identifier: MIT
#include "holdable/standards/tolerance_grades.hpp"

#include "holdable/base/error.hpp"
#include "holdable/base/words.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cassert>
#include <cstddef>

namespace holdable {
namespace {

constexpr int coarsest = 14;
constexpr double micrometre = 1e-6;

/// One step of size.
struct Step {
    double up_to;                           // mm, inclusive; above that of the step before
    std::array<double, coarsest> tolerance; // IT1 … IT14 (µm)
};

// clang-format off
constexpr Step steps[] = {
    {  3, {0.8, 1.2, 2,   3,  4,  6,  10, 14, 25,  40,  60,  100, 140, 250}},
    {  6, {1,   1.5, 2.5, 4,  5,  8,  12, 18, 30,  48,  75,  120, 180, 300}},
    { 10, {1,   1.5, 2.5, 4,  6,  9,  15, 22, 36,  58,  90,  150, 220, 360}},
    { 18, {1.2, 2,   3,   5,  8,  11, 18, 27, 43,  70,  110, 180, 270, 430}},
    { 30, {1.5, 2.5, 4,   6,  9,  13, 21, 33, 52,  84,  130, 210, 330, 520}},
    { 50, {1.5, 2.5, 4,   7,  11, 16, 25, 39, 62,  100, 160, 250, 390, 620}},
    { 80, {2,   3,   5,   8,  13, 19, 30, 46, 74,  120, 190, 300, 460, 740}},
    {120, {2.5, 4,   6,   10, 15, 22, 35, 54, 87,  140, 220, 350, 540, 870}},
    {180, {3.5, 5,   8,   12, 18, 25, 40, 63, 100, 160, 250, 400, 630, 1000}},
    {250, {4.5, 7,   10,  14, 20, 29, 46, 72, 115, 185, 290, 460, 720, 1150}},
    {315, {6,   8,   12,  16, 23, 32, 52, 81, 130, 210, 320, 520, 810, 1300}},
    {400, {7,   9,   13,  18, 25, 36, 57, 89, 140, 230, 360, 570, 890, 1400}},
    {500, {8,   10,  15,  20, 27, 40, 63, 97, 155, 250, 400, 630, 970, 1550}},
};
constexpr std::size_t step_count = std::size(steps);

/// Fundamental deviation of a shaft: the nearer limit's distance from the nominal size in each step.
struct Letter {
    std::string_view shaft;
    std::string_view hole;
    int shaft_from, shaft_to;                 // grades offered
    int hole_from, hole_to;
    bool below;                               // the zone of a shaft lies below the nominal size
    std::array<double, step_count> deviation; // µm; r and s above 50 mm: see fine_steps
};

constexpr Letter letters[] = {
    {"d",  "D",  5, 11, 6, 11, true,  {20, 30, 40, 50, 65, 80, 100, 120, 145, 170, 190, 210, 230}},
    {"e",  "E",  5, 10, 5, 10, true,  {14, 20, 25, 32, 40, 50, 60, 72, 85, 100, 110, 125, 135}},
    {"f",  "F",  5, 10, 5, 10, true,  {6, 10, 13, 16, 20, 25, 30, 36, 43, 50, 56, 62, 68}},
    {"g",  "G",  5, 10, 5, 10, true,  {2, 4, 5, 6, 7, 9, 10, 12, 14, 15, 17, 18, 20}},
    {"h",  "H",  1, 14, 1, 14, true,  {}},
    {"js", "JS", 1, 14, 1, 14, false, {}},
    {"k",  "K",  5, 11, 5, 8,  false, {0, 1, 1, 1, 2, 2, 2, 3, 3, 4, 4, 4, 5}},
    {"m",  "M",  5, 9,  5, 10, false, {2, 4, 6, 7, 8, 9, 11, 13, 15, 17, 20, 21, 23}},
    {"n",  "N",  5, 9,  5, 11, false, {4, 8, 10, 12, 15, 17, 20, 23, 27, 31, 34, 37, 40}},
    {"p",  "P",  5, 10, 5, 10, false, {6, 12, 15, 18, 22, 26, 32, 37, 43, 50, 56, 62, 68}},
    {"r",  "R",  5, 10, 5, 10, false, {10, 15, 19, 23, 28, 34}},
    {"s",  "S",  5, 10, 5, 10, false, {14, 19, 23, 28, 35, 43}},
};

/// The steps above 50 mm are finer for r and s.
struct FineStep {
    double up_to; // mm, inclusive
    double r, s;  // µm
};
constexpr FineStep fine_steps[] = {
    { 65,  41,  53}, { 80,  43,  59}, {100,  51,  71}, {120,  54,  79}, {140,  63,  92},
    {160,  65, 100}, {180,  68, 108}, {200,  77, 122}, {225,  80, 130}, {250,  84, 140},
    {280,  94, 158}, {315,  98, 170}, {355, 108, 190}, {400, 114, 208}, {450, 126, 232},
    {500, 132, 252},
};

// clang-format on

/// Whether a size (m) lies at or below a limit in mm, which rounding of either may blur.
bool up_to(double size, double limit) {
    return size * 1e3 <= limit * (1 + 1e-9);
}

/// The step of a size (m). @throws InputError [size-range]
std::size_t step_of(double size) {
    if (size > 0)
        for (std::size_t i = 0; i < step_count; ++i)
            if (up_to(size, steps[i].up_to))
                return i;
    throw InputError("size-range",
                     fmt::format("no standard tolerance for a size of {:.7g} mm", size * 1e3),
                     "the tables of ISO 286 used here are for sizes above 0 up to 500 mm");
}

double tolerance(std::size_t step, int grade) {
    return steps[step].tolerance.at(static_cast<std::size_t>(grade - 1));
}

int coarsest_at(double size) {
    return up_to(size, 1) ? coarsest - 1 : coarsest;
}

const Letter* find(std::string_view name) {
    for (const Letter& letter : letters)
        if (letter.shaft == name || letter.hole == name)
            return &letter;
    return nullptr;
}

std::string known_letters() {
    std::string holes, shafts;
    for (const Letter& letter : letters) {
        holes += fmt::format("{}{}", holes.empty() ? "" : " ", letter.hole);
        shafts += fmt::format("{}{}", shafts.empty() ? "" : " ", letter.shaft);
    }
    return fmt::format(
        "a letter and a grade, such as \"H7\" or \"g6\"; holes: {}; shafts: {}", holes, shafts);
}

/// Distance of the nearer limit of a shaft from the nominal size (µm), signed.
double shaft_deviation(const Letter& letter, std::size_t step, double size, int grade) {
    if (letter.shaft == "k" && grade > 7)
        return 0;
    if ((letter.shaft == "r" || letter.shaft == "s") && !up_to(size, 50)) {
        const auto* row = std::find_if(std::begin(fine_steps),
                                       std::end(fine_steps),
                                       [&](const FineStep& f) { return up_to(size, f.up_to); });
        assert(row != std::end(fine_steps)); // step_of has seen the size
        return letter.shaft == "r" ? row->r : row->s;
    }
    return letter.below ? 0 - letter.deviation.at(step) : letter.deviation.at(step);
}

/// Upper limit of a hole K … S from the nominal size (µm), signed.
double hole_deviation(const Letter& letter, std::size_t step, double size, int grade) {
    const bool above_3 = !up_to(size, 3);
    if (letter.hole == "N" && grade > 8 && above_3)
        return 0;
    if (letter.hole == "M" && grade == 6 && !up_to(size, 250) && up_to(size, 315))
        return -9;
    const int last_with_rise =
        letter.hole == "K" || letter.hole == "M" || letter.hole == "N" ? 8 : 7;
    const double rise = above_3 && grade <= last_with_rise
                            ? tolerance(step, grade) - tolerance(step, grade - 1)
                            : 0;
    // A hole takes the deviation of the shaft of its own letter, also where that shaft has another
    // one in this grade (k, whose letter K ends where that begins to matter).
    return rise - shaft_deviation(letter, step, size, std::min(grade, 7));
}

} // namespace

double tolerance_grade(double size, int grade) {
    const std::size_t step = step_of(size);
    if (grade < 1 || grade > coarsest)
        throw InputError("grade-unknown",
                         fmt::format("no standard tolerance of grade {}", grade),
                         fmt::format("grades go from 1 to {}", coarsest));
    if (grade > coarsest_at(size))
        throw InputError(
            "grade-unknown",
            fmt::format("no standard tolerance of grade {} for {:.7g} mm", grade, size * 1e3),
            "ISO 286 does not use grade 14 for sizes up to 1 mm");
    return micrometre * tolerance(step, grade);
}

std::optional<int> grade_held(double size, double width) {
    const std::size_t step = step_of(size);
    for (int grade = 1; grade <= coarsest_at(size); ++grade)
        if (width <= micrometre * tolerance(step, grade) * (1 + 1e-9))
            return grade;
    return {};
}

ToleranceClass tolerance_class(std::string_view text) {
    const std::size_t digits = std::min(text.find_first_of("0123456789"), text.size());
    const std::string_view name = text.substr(0, digits);
    const std::string_view number = text.substr(digits);
    const Letter* letter = find(name);
    const auto is_digit = [](char c) { return c >= '0' && c <= '9'; };
    if (!letter || number.empty() || number.size() > 2 || number.front() == '0' ||
        !std::all_of(number.begin(), number.end(), is_digit))
        throw InputError(
            "fit-unknown", "unknown tolerance class " + in_quotes(text), known_letters());
    ToleranceClass fit{name == letter->hole, std::string(name), 0};
    for (const char c : number)
        fit.grade = 10 * fit.grade + (c - '0');
    const int from = fit.hole ? letter->hole_from : letter->shaft_from;
    const int to = fit.hole ? letter->hole_to : letter->shaft_to;
    if (fit.grade < from || fit.grade > to)
        throw InputError(
            "fit-unknown",
            fmt::format("no grade {} is known for {}", fit.grade, name),
            fmt::format("\"{}\" is known from {}{} to {}{}", name, name, from, name, to));
    return fit;
}

Deviations fit_limits(double size, const ToleranceClass& fit) {
    const Letter* letter = find(fit.letters);
    assert(letter && (fit.hole ? letter->hole : letter->shaft) == fit.letters);
    const std::size_t step = step_of(size);
    const bool n_too_coarse = letter->hole == "N" && fit.hole && fit.grade > 8;
    if (up_to(size, 1) && (fit.grade == coarsest || n_too_coarse))
        throw InputError("fit-unknown",
                         fmt::format("no {}{} for {:.7g} mm", fit.letters, fit.grade, size * 1e3),
                         fmt::format("ISO 286 does not use {} for sizes up to 1 mm",
                                     n_too_coarse ? "N above grade 8" : "grade 14"));
    const double width = tolerance(step, fit.grade);
    if (letter->shaft == "js")
        return {-micrometre * width / 2, micrometre * width / 2};
    if (!fit.hole) {
        const double nearer = shaft_deviation(*letter, step, size, fit.grade);
        return letter->below ? Deviations{micrometre * (nearer - width), micrometre * nearer}
                             : Deviations{micrometre * nearer, micrometre * (nearer + width)};
    }
    if (letter->below) {
        const double lower = 0 - shaft_deviation(*letter, step, size, fit.grade);
        return {micrometre * lower, micrometre * (lower + width)};
    }
    const double upper = hole_deviation(*letter, step, size, fit.grade);
    return {micrometre * (upper - width), micrometre * upper};
}

Deviations fit_limits(double size, std::string_view text) {
    return fit_limits(size, tolerance_class(text));
}

} // namespace holdable
