// SPDX-License-Identifier: MIT
#include "holdable/files/check_callout.hpp"

#include "holdable/part/features.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <optional>
#include <string>
#include <string_view>
#include <variant>

namespace holdable {
namespace {

/// "a position", "an angularity".
std::string one(Requirement kind) {
    const auto name = word(kind);
    const bool vowel = std::string_view("aeiou").find(name.front()) != std::string_view::npos;
    return fmt::format("{} {}", vowel ? "an" : "a", name);
}

/// Whether a requirement of this kind may be asked of a pattern as a whole.
bool of_a_pattern(Requirement kind) {
    return kind == Requirement::position || kind == Requirement::distance ||
           kind == Requirement::diameter;
}

/// How far apart places and heights put what the size is between (m); none where they do not say.
std::optional<double> apart(const Callout& c) {
    if (const auto* holes = std::get_if<Holes>(&c.feature)) {
        if (c.kind != Requirement::distance)
            return std::nullopt;
        return std::hypot((*holes)[1].x - (*holes)[0].x, (*holes)[1].y - (*holes)[0].y);
    }
    if (const auto* walls = std::get_if<Walls>(&c.feature)) {
        const auto& [first, second] = walls->wall;
        return std::abs((second.from - first.from).dot(second.normal));
    }
    if (const auto* wall = std::get_if<Wall>(&c.feature)) {
        const auto& edges = std::get<EdgeDatum>(c.datum);
        return std::abs((wall->from - Eigen::Vector2d(edges.x, edges.y)).dot(wall->normal));
    }
    const auto& plane = std::get<PlaneDatum>(c.datum);
    if (plane.kind == PlaneDatum::Kind::seat)
        return std::nullopt;
    return std::abs(std::get<Face>(c.feature).height - plane.face.height);
}

void check_size(const Reader& item, const Reader& requirement, const Callout& c) {
    if (const auto far = apart(c))
        check_apart(requirement, *far, c);
    if (const auto aim = item.find("aim");
        aim && (*c.size.aim < c.size.nominal + c.size.lower - 1e-12 ||
                *c.size.aim > c.size.nominal + c.size.upper + 1e-12))
        aim->report(Diagnostic{"aim-outside",
                               {},
                               "it lies outside the limits",
                               "the size the program is set to, as \"25.010 mm\""});
}

/// A tool in a slot or a hole that it mills.
void tool_goes_in(const Reader& item, const Callout& c) {
    const auto width = [&](const char* feature) {
        const auto found = item.find(feature);
        const auto tool = found ? found->find("tool") : std::nullopt;
        return tool ? std::optional(tool->at("diameter")) : std::nullopt;
    };
    if (const auto at = width("slot")) {
        const auto& slot = std::get<Walls>(c.feature);
        const double tool = slot.wall[0].tool_diameter;
        const double off = tool - c.size.nominal;
        if (slot.plunged && std::abs(off) > std::max(1e-4, 2 * c.tolerance))
            at->report(Diagnostic{"tool-wide",
                                  {},
                                  fmt::format("the tool is {:.6g} mm wide, the slot {:.6g} mm",
                                              tool * 1e3,
                                              c.size.nominal * 1e3),
                                  "\"in the tool's width\" is a slot as wide as its tool"});
        else if (!slot.plunged && off >= 0)
            at->report(Diagnostic{"tool-wide",
                                  {},
                                  "it is as wide as the slot or wider",
                                  "a slot of one pass is cut \"in the tool's width\""});
    }
    for (const char* feature : {"hole", "holes"})
        if (const auto at = width(feature)) {
            const auto& hole = c.hole();
            if (hole.diameter > 0 && hole.tool_diameter >= hole.diameter)
                at->report(Diagnostic{"tool-wide",
                                      {},
                                      "it is as wide as the hole or wider",
                                      "a hole milled round leaves the tool room to go round"});
        }
}

} // namespace

void check_apart(const Reader& requirement, double apart, const Callout& callout) {
    const auto& size = callout.size;
    if (std::abs(apart - size.nominal) <= std::max(1e-4, 2 * callout.tolerance))
        return;
    requirement.report(
        Diagnostic{"size-places",
                   {},
                   callout.kind == Requirement::diameter
                       ? fmt::format("the diameter is {:.6g} mm beside the feature, here {:.6g} mm",
                                     apart * 1e3,
                                     size.nominal * 1e3)
                       : fmt::format("the features are {:.6g} mm apart, the size is {:.6g} mm",
                                     apart * 1e3,
                                     size.nominal * 1e3),
                   "places and size come from the same print"});
}

bool goes_together(const Reader& item, const Callout& c) {
    const auto refuse = [&](std::string why, std::string_view hint) {
        item.report(Diagnostic{"callout-shape", {}, std::move(why), std::string(hint)});
        return false;
    };
    const auto* holes = std::get_if<Holes>(&c.feature);
    if (!suits(c))
        return refuse(
            fmt::format("{} cannot be asked of this feature{}",
                        one(c.kind),
                        std::holds_alternative<std::monostate>(c.datum) ? "" : " and this datum"),
            "docs/files.md lists which features and datums go with it");
    if (holes == nullptr)
        return true;
    if (c.kind == Requirement::distance && holes->size() != 2)
        return refuse("a distance is that of two holes",
                      "\"holes\": {\"places\": [[x, y], [x, y]], …}");
    if (std::holds_alternative<EachOther>(c.datum) && holes->size() < 2)
        return refuse("one hole has no place to itself", "\"holes\" to each other are a pattern");
    if (holes->size() > 1 && !of_a_pattern(c.kind))
        return refuse(fmt::format("{} is asked of one hole", one(c.kind)),
                      "write a callout for each \"hole\"");
    return true;
}

void check_callout(const Reader& item, const Reader& requirement, const Callout& callout) {
    if (is_size(callout.kind))
        check_size(item, requirement, callout);
    tool_goes_in(item, callout);
}

} // namespace holdable
