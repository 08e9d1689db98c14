// SPDX-License-Identifier: MIT
#include "holdable/files/general_form.hpp"

#include "holdable/base/error.hpp"
#include "holdable/standards/general_tolerances.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <variant>

namespace holdable {
namespace {

using Eigen::Vector2d;

Vector2d sides_of(const Extent& extent) {
    return {extent.x_high - extent.x_low, extent.y_high - extent.y_low};
}

/// Of a face along X and Y, of a wall along its line and down, of a hole down (m).
Vector2d sides(const Callout& c, const std::optional<Extent>& part) {
    if (const auto* face = std::get_if<Face>(&c.feature)) {
        const auto& extent = face->extent ? face->extent : part;
        if (!extent)
            throw InputError(
                "size-none",
                "a general tolerance goes by the extent of the face, which is not stated",
                "write \"x\" and \"y\" of the face, or the \"part\" of the job");
        return sides_of(*extent);
    }
    if (const auto* wall = std::get_if<Wall>(&c.feature))
        return {(wall->to - wall->from).norm(), wall->depth};
    return {c.hole().depth, c.hole().depth};
}

/// Of feature and datum, of each the side that runs away from the corner between them (m).
double shorter_leg(const Callout& c, const std::optional<Extent>& part) {
    const auto own = sides(c, part);
    if (const auto* plane = std::get_if<PlaneDatum>(&c.datum)) {
        if (!plane->face.extent)
            return own[1];
        const auto datum = sides_of(*plane->face.extent);
        const auto* wall = std::get_if<Wall>(&c.feature);
        return std::min(own[1],
                        wall != nullptr ? wall->normal.cwiseAbs2().dot(datum) : datum.minCoeff());
    }
    const auto* datum = std::get_if<WallDatum>(&c.datum);
    return datum == nullptr ? own[0] : std::min(own[0], (datum->wall.to - datum->wall.from).norm());
}

} // namespace

double
general_form(const Callout& callout, const TitleBlock& block, const std::optional<Extent>& part) {
    if (!block.general || !block.general->geometry)
        throw InputError("size-none",
                         "the title block of the job names no general tolerance of form",
                         "\"title_block\": \"ISO 2768-mK\"");
    const char geometry = *block.general->geometry;
    switch (callout.kind) {
    case Requirement::perpendicularity:
        return general_perpendicularity(shorter_leg(callout, part), geometry);
    case Requirement::flatness:
        return general_flatness(sides(callout, part).maxCoeff(), geometry);
    case Requirement::straightness:
        return general_flatness(sides(callout, part)[callout.along_y ? 1 : 0], geometry);
    case Requirement::run_out:
        return general_run_out(geometry);
    default:
        throw InputError("general-tolerance",
                         fmt::format("ISO 2768-2 has no value for {} here", word(callout.kind)),
                         "write the tolerance");
    }
}

} // namespace holdable
