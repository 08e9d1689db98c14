// SPDX-License-Identifier: MIT
#include "holdable/answer/sheet.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <optional>
#include <utility>

namespace holdable {
namespace {

/// What the plain part of a sheet is like, in round numbers of the shop's unit (m).
struct Plain {
    double height;    ///< of its top above the table
    double beyond;    ///< a tool is that much longer than its work is deep
    double face;      ///< side of a face that is only a datum, and of a wall
    double hole;      ///< depth of a hole whose depth hardly matters
    double diameter;  ///< of the cutter of a face
    double step_over; ///< of that
    double below_top; ///< where edges are touched
    double rough;     ///< sizes between are rounded to it
};

constexpr Plain metric = {0.1, 0.075, 0.1, 0.02, 0.08, 0.06, 0.012, 0.001};
constexpr Plain inch = {0.1016, 0.0762, 0.1016, 0.01905, 0.0762, 0.05715, 0.0127, 0.00635};

class Sheet {
  public:
    Sheet(const Shop& shop, double tolerance)
        : shop_(shop), plain_(shop.inch ? inch : metric), tolerance_(tolerance) {
        if (shop.card.height)
            plain_.height = *shop.card.height;
    }

    SheetJob make() {
        auto& job = made_.job;
        job.name = "capability sheet";
        job.material = shop_.card.material.empty() ? "steel" : shop_.card.material;
        job.process_typical = true;
        job.inch = shop_.inch;
        made_.lines = shop_.card.sheet;
        if (made_.lines.empty())
            for (const auto& feature : sheet_features())
                made_.lines.push_back({std::string(feature.name), {}, {}, {}});
        for (std::size_t i = 0; i < made_.lines.size(); ++i)
            line(i);
        return std::move(made_);
    }

  private:
    double low(Axis axis) const { return shop_.travel[static_cast<std::size_t>(axis)].low; }

    double high(Axis axis) const { return shop_.travel[static_cast<std::size_t>(axis)].high; }

    void line(std::size_t i) {
        auto& line = made_.lines[i];
        const auto& feature = feature_of(line);
        const auto& usual = shop_.inch ? feature.inch : feature.metric;
        double least = usual[0], usual_most = usual[1];
        for (const auto& gauge : shop_.gauges) // of a size it decides what can be measured
            if (gauge.name == line.gauge && is_size(feature.kind)) {
                least = std::max(least, gauge.smallest.value_or(least));
                usual_most = std::min(usual_most, gauge.largest.value_or(usual_most));
            }
        if (!line.from)
            line.from = line.to ? std::min(least, *line.to / 2) : least;
        if (!line.to) { // not farther than the travel lets it lie
            const double room =
                std::min(high(Axis::x) - low(Axis::x), high(Axis::y) - low(Axis::y));
            const double most = std::floor(0.6 * room / plain_.rough) * plain_.rough;
            line.to = std::max(std::min(usual_most, most), *line.from * 1.2);
        }
        const double middle = std::round((*line.from + *line.to) / 2 / plain_.rough) * plain_.rough;
        std::string why;
        for (const double size : {*line.from, middle, *line.to})
            if (why.empty())
                why = ask(i, feature, size);
        if (!why.empty()) {
            while (!made_.places.empty() && made_.places.back().line == i) {
                made_.places.pop_back();
                made_.job.callouts.pop_back();
            }
        }
        made_.out_of_reach.push_back(std::move(why));
    }

    /// At all its places. @return why it cannot be asked, else nothing
    std::string ask(std::size_t i, const SheetFeature& feature, double size) {
        const auto box = outline(feature, size);
        const double depth = depth_of(feature, size);
        const double highest = shop_.nose_to_table + high(Axis::z);
        const double bottom = plain_.height - depth;
        if (bottom < 0)
            return "it is deeper than the part is high";
        // As short as the work lets it be, and long enough for the spindle to come down.
        const double tool = std::max(plain_.beyond + depth, reaching(bottom));
        if (plain_.height + tool > highest)
            return "part and tool do not fit between table and spindle";
        const double free_x = high(Axis::x) - low(Axis::x) - box[0];
        const double free_y = high(Axis::y) - low(Axis::y) - box[1];
        if (free_x < 0 || free_y < 0)
            return "it does not fit in the travel";
        const double left = low(Axis::x) + box[0] / 2, front = low(Axis::y) + box[1] / 2;
        for (const auto& [u, v] :
             {std::pair{0.0, 0.0}, {1.0, 0.0}, {0.0, 1.0}, {1.0, 1.0}, {0.5, 0.5}}) {
            const double x = left + u * free_x, y = front + v * free_y;
            for (const bool turned : {false, true}) {
                if (turned && feature.kind != Requirement::distance &&
                    !(feature.kind == Requirement::perpendicularity && feature.size == "high"))
                    continue;
                auto callout = make(feature, size, x, y, tool, turned);
                callout.name = fmt::format("{}, {}", feature.name, made_.places.size() + 1);
                callout.kind = feature.kind;
                callout.tolerance = tolerance_;
                callout.gauge = made_.lines[i].gauge;
                if (is_size(callout.kind))
                    callout.size = {size, -tolerance_, tolerance_, {}, "as written"};
                made_.job.callouts.push_back(std::move(callout));
                made_.places.push_back({i, size, x, y});
            }
        }
        return {};
    }

    /// Length of a tool that the spindle can bring down to a height.
    double reaching(double height) const {
        return std::max(plain_.beyond, shop_.nose_to_table + low(Axis::z) - height);
    }

    /// How much room a feature takes in X and in Y.
    std::array<double, 2> outline(const SheetFeature& feature, double size) const {
        switch (feature.kind) {
        case Requirement::position:
        case Requirement::distance: // along X or along Y
        case Requirement::flatness:
        case Requirement::parallelism:
            return {size, size};
        case Requirement::diameter:
            return {size, size};
        default: // round a wall the cutter goes outside
            return {plain_.face + (feature.size == "high" ? 2 * plain_.below_top : 0),
                    plain_.face + (feature.size == "high" ? 2 * plain_.below_top : 0)};
        }
    }

    double depth_of(const SheetFeature& feature, double size) const {
        if (feature.size == "deep" || feature.size == "high")
            return size;
        return feature.kind == Requirement::diameter || feature.kind == Requirement::position ||
                       feature.kind == Requirement::distance
                   ? plain_.hole
                   : 0;
    }

    Face face(double x, double y, double side, double height, double tool) const {
        return {Extent{x - side / 2, x + side / 2, y - side / 2, y + side / 2},
                height,
                tool,
                FaceCutter{plain_.diameter, plain_.step_over, Axis::x}};
    }

    Hole hole(double x, double y, double depth, double tool) const {
        Hole hole;
        hole.x = x;
        hole.y = y;
        hole.top = plain_.height;
        hole.depth = depth;
        hole.tool_length = tool;
        hole.making = HoleMaking::bored;
        return hole;
    }

    Callout make(const SheetFeature& feature,
                 double size,
                 double x,
                 double y,
                 double tool,
                 bool turned) const {
        Callout callout;
        const double top = plain_.height;
        const auto milled = face(x, y, plain_.face, top, reaching(top));
        switch (feature.kind) {
        case Requirement::diameter: {
            auto one = hole(x, y, plain_.hole, tool);
            one.diameter = size;
            callout.feature = Holes{one};
            break;
        }
        case Requirement::position:
            callout.feature = Holes{hole(x + size / 2, y + size / 2, plain_.hole, tool)};
            callout.datum = EdgeDatum{EdgeDatum::Kind::picked_up,
                                      "A|B|C",
                                      x - size / 2,
                                      y - size / 2,
                                      top - plain_.below_top,
                                      reaching(top - plain_.below_top)};
            break;
        case Requirement::distance: {
            const double dx = turned ? 0 : size / 2, dy = turned ? size / 2 : 0;
            callout.feature = Holes{hole(x - dx, y - dy, plain_.hole, tool),
                                    hole(x + dx, y + dy, plain_.hole, tool)};
            callout.one_way = true;
            break;
        }
        case Requirement::flatness:
            callout.feature = face(x, y, size, top, tool);
            break;
        case Requirement::parallelism:
            callout.feature = face(x, y, size, top, tool);
            callout.datum = PlaneDatum{PlaneDatum::Kind::seat, "A", {}};
            break;
        case Requirement::height: {
            const double side = plain_.face / 2;
            callout.feature = face(x - side / 2, y, side, top, tool);
            callout.datum = PlaneDatum{
                PlaneDatum::Kind::face, "A", face(x + side / 2, y, side, top - size, tool)};
            break;
        }
        default:
            if (feature.size == "deep") {
                callout.feature = Holes{hole(x, y, size, tool)};
            } else {
                Wall wall;
                const double half = plain_.face / 2;
                wall.from = turned ? Eigen::Vector2d(x - half, y - half)
                                   : Eigen::Vector2d(x + half, y - half);
                wall.to = turned ? Eigen::Vector2d(x + half, y - half)
                                 : Eigen::Vector2d(x + half, y + half);
                wall.normal = turned ? Eigen::Vector2d(0, -1) : Eigen::Vector2d(1, 0);
                wall.top = top;
                wall.depth = size;
                wall.tool_length = tool;
                wall.flank = false;
                wall.tool_diameter = plain_.below_top;
                wall.tool_reach = size + plain_.below_top;
                callout.feature = wall;
            }
            callout.datum = PlaneDatum{PlaneDatum::Kind::face, "A", milled};
        }
        return callout;
    }

    const Shop& shop_;
    Plain plain_;
    double tolerance_;
    SheetJob made_;
};

} // namespace

const std::vector<SheetFeature>& sheet_features() {
    static const std::vector<SheetFeature> features = {
        {"bore diameter",
         "Bored hole, diameter",
         "diameter",
         "set by the boring head",
         Requirement::diameter,
         {0.012, 0.05},
         {0.0127, 0.0508}},
        {"hole position",
         "Bored hole, position",
         "from the edges",
         "to two edges picked up in the same set-up",
         Requirement::position,
         {0.025, 0.2},
         {0.0254, 0.2032}},
        {"hole square to a face",
         "Bored hole, square to a face",
         "deep",
         "to a face milled in the same set-up",
         Requirement::perpendicularity,
         {0.025, 0.075},
         {0.0254, 0.0762}},
        {"holes apart",
         "Two bored holes, distance",
         "apart",
         "along X or along Y, in the same set-up",
         Requirement::distance,
         {0.025, 0.2},
         {0.0254, 0.2032}},
        {"face flat",
         "Milled face, flatness",
         "square",
         "in parallel passes along X",
         Requirement::flatness,
         {0.05, 0.2},
         {0.0508, 0.2032}},
        {"face parallel to its seat",
         "Milled face, parallel to its seat",
         "square",
         "to what the part sits on",
         Requirement::parallelism,
         {0.05, 0.2},
         {0.0508, 0.2032}},
        {"step height",
         "Step between two milled faces",
         "deep",
         "in the same set-up",
         Requirement::height,
         {0.005, 0.05},
         {0.00635, 0.0508}},
        {"wall square to a face",
         "Milled wall, square to a face",
         "high",
         "to a face milled in the same set-up; wall milled in steps",
         Requirement::perpendicularity,
         {0.01, 0.04},
         {0.0127, 0.0381}}};
    return features;
}

const SheetFeature& feature_of(const SheetLine& line) {
    const auto& features = sheet_features();
    const auto found = std::find_if(features.begin(), features.end(), [&](const auto& feature) {
        return feature.name == line.feature;
    });
    return found == features.end() ? features.front() : *found;
}

SheetJob sheet_job(const Shop& shop, double tolerance) {
    return Sheet(shop, tolerance).make();
}

} // namespace holdable
