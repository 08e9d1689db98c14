// SPDX-License-Identifier: MIT
/// The lines of a capability sheet: kinds of features over a range of sizes, anywhere on the table.
///
/// Each line stands for a plain part: it lies `part_height` above the table at its top, and is cut
/// in one set-up with tools as long as the work asks for. The feature is asked at both ends of the
/// range and in the middle, each at the four corners and the middle of where it can lie.
#pragma once

#include "holdable/machine/shop.hpp"
#include "holdable/part/job.hpp"

#include <array>
#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

namespace holdable {

/// A kind of feature that a sheet may have a line for.
struct SheetFeature {
    std::string_view name;  ///< in a machine file: "hole square to a face"
    std::string_view words; ///< on the page
    std::string_view size;  ///< what its size is: "deep"
    std::string_view part;  ///< what it is measured on, and to
    Requirement kind;
    std::array<double, 2> metric; ///< usual sizes, from and to (m)
    std::array<double, 2> inch;   ///< the same of a shop in inches (m)
};

/// All there are, in the order of a sheet.
const std::vector<SheetFeature>& sheet_features();

/// A callout of a sheet's job, and what it stands for.
struct SheetPlace {
    std::size_t line = 0; ///< of the lines asked, from 0
    double size = 0;      ///< (m)
    double x = 0, y = 0;  ///< middle of the feature (m)
};

/// A job that asks every line at all its sizes and places.
struct SheetJob {
    std::vector<SheetLine> lines; ///< those asked, with their sizes
    Job job;
    std::vector<SheetPlace> places;        ///< of each callout
    std::vector<std::string> out_of_reach; ///< of each line why it has no callout, else empty
};

/// The sheet of a shop's card; without one, all features over their usual sizes as far as the
/// travel goes. Tolerances stand at `tolerance`, for want of any. @param tolerance (m)
SheetJob sheet_job(const Shop& shop, double tolerance);

/// The feature of a line.
const SheetFeature& feature_of(const SheetLine& line);

} // namespace holdable
