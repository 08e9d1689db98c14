// SPDX-License-Identifier: MIT
// What a milling tool adds to what it cuts, and the part when it is let go.
#include "holdable/part/kinds.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>

namespace holdable {

using Eigen::Index;
using Eigen::VectorXd;

std::string milling_tool(double tool_length) {
    return fmt::format("milling tool of {:.6g} mm gauge length", tool_length * 1e3);
}

void add_tool_size(Collector& c, const std::string& tool, const VectorXd& by_size) {
    const auto& size = c.process().tool_size;
    c.need(size.has_value(), "tool_size", "how well the tool is measured");
    if (size)
        c.allow(
            "size of the " + tool, "diameter of the milling tool", *size, Sharing::tool, by_size);
}

void add_tool_run_out(Collector& c, const std::string& tool, const VectorXd& by_size) {
    const auto& run_out = c.process().tool_run_out;
    c.need(run_out.has_value(), "tool_run_out", "how true the tool runs");
    if (run_out)
        c.span("run-out of the " + tool,
               "run-out of the milling tool",
               *run_out,
               Sharing::tool,
               by_size);
}

void add_wear(Collector& c, const std::string& name, const VectorXd& by_edge) {
    const auto& wear = c.process().wear;
    c.need(wear.has_value(), "wear", "how far the edge wears over the batch");
    if (wear)
        c.trend(name, "wear of the edge", *wear, by_edge);
}

void add_side_force(Collector& c, const VectorXd& by_force) {
    const auto& force = c.process().side_force;
    c.need(force.has_value(), "side_force", "the force on the side of the tool");
    if (force)
        c.span("side force of the milling tool",
               "bending of the tool",
               *force,
               Sharing::job,
               by_force);
}

void add_spring(Collector& c, const std::string& shape, const VectorXd& bow) {
    const auto& distortion = c.process().distortion;
    c.need(distortion.has_value(), "distortion", "how far the part springs when let go");
    if (distortion)
        c.allow("spring of the part, " + shape,
                "part let go after the cut",
                *distortion,
                Sharing::part,
                bow);
}

void add_tool_of_edges(Collector& c, const EdgeDatum& datum, const VectorXd& by_size) {
    const auto tool = milling_tool(datum.tool_length);
    if (const auto& size = c.process().tool_size)
        c.allow(
            "size of the " + tool, "diameter of the milling tool", *size, Sharing::tool, by_size);
    add_tool_run_out(c, tool, by_size);
    c.leave_out("wear and bending of the tool on the datum edges");
}

VectorXd bending(double diameter, double reach, double modulus, const VectorXd& above) {
    constexpr double fluted = 0.8;   // a fluted tool bends like a rod of so much of its diameter
    constexpr double spindle = 5e-8; // give of spindle and holder (m/N)
    const double d = fluted * diameter;
    const double inertia = std::numbers::pi * std::pow(d, 4) / 64;
    const double tip = std::pow(reach, 3) / (3 * modulus * inertia);
    VectorXd give(above.size());
    for (Index k = 0; k < above.size(); ++k) {
        const double x = std::min(1.0, above[k] / reach);
        give[k] = spindle + tip * (1 - 1.5 * x + 0.5 * x * x * x);
    }
    return give;
}

} // namespace holdable
