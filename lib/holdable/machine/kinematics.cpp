// SPDX-License-Identifier: MIT
#include "holdable/machine/kinematics.hpp"

#include "holdable/base/error.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cassert>

namespace holdable {
namespace {

constexpr std::string_view axis_letters = "XYZ";

/// The matrix of ε → ε × r.
Eigen::Matrix3d cross_with(const Eigen::Vector3d& r) {
    Eigen::Matrix3d m;
    // clang-format off
    m <<    0,  r.z(), -r.y(),
       -r.z(),      0,  r.x(),
        r.y(), -r.x(),      0;
    // clang-format on
    return m;
}

} // namespace

std::string parameter_name(int index) {
    assert(index >= 0 && index < geometric_parameters);
    switch (index) {
    case c0y_index:
        return "C0Y";
    case b0z_index:
        return "B0Z";
    case a0z_index:
        return "A0Z";
    default:
        break;
    }
    constexpr std::string_view directions = "XYZABC";
    return {'E',
            directions[static_cast<std::size_t>(index % 6)],
            axis_letters[static_cast<std::size_t>(index / 6)]};
}

std::string parameter_meaning(int index) {
    assert(index >= 0 && index < geometric_parameters);
    switch (index) {
    case c0y_index:
        return "Y square to X";
    case b0z_index:
        return "Z square to X";
    case a0z_index:
        return "Z square to Y";
    default:
        break;
    }
    const int direction = index % 6;
    const int axis = index / 6;
    const char letter = axis_letters[static_cast<std::size_t>(axis)];
    if (direction < 3)
        return direction == axis ? fmt::format("positioning of {}", letter)
                                 : fmt::format("straightness of {} in {}",
                                               letter,
                                               axis_letters[static_cast<std::size_t>(direction)]);
    // Roll is about the axis itself; pitch lifts a horizontal axis, yaw turns it in the plane.
    const int about = direction - 3;
    if (about == axis)
        return fmt::format("roll of {}", letter);
    if (axis == 2)
        return fmt::format("nod of Z in the {}Z plane", about == 0 ? 'Y' : 'X');
    return fmt::format("{} of {}", about == 2 ? "yaw" : "pitch", letter);
}

AxisOrder parse_axis_order(std::string_view text) {
    std::string upper(text);
    for (auto& c : upper)
        c = static_cast<char>(c >= 'a' && c <= 'z' ? c - 'a' + 'A' : c);
    if (!std::is_permutation(upper.begin(), upper.end(), axis_letters.begin(), axis_letters.end()))
        throw InputError("axes-order",
                         fmt::format("\"{}\" is no order of the axes", text),
                         "name X, Y and Z once each, from the work to the tool: \"XYZ\" for an X "
                         "table on a Y saddle with Z in the column");
    AxisOrder order{};
    for (std::size_t i = 0; i < order.size(); ++i)
        order[i] = static_cast<Axis>(axis_letters.find(upper[i]));
    return order;
}

int usual_ground(const AxisOrder& order) {
    const auto z = std::find(order.begin(), order.end(), Axis::z) - order.begin();
    return z == 0 ? 1 : static_cast<int>(z);
}

bool moves_over_floor(const AxisOrder& order, int ground, Axis axis, bool table) {
    const auto at = std::find(order.begin(), order.end(), axis) - order.begin();
    return table ? at < ground : at >= ground;
}

PointRows
point_rows(const AxisOrder& order, const Eigen::Vector3d& position, const Eigen::Vector3d& tool) {
    PointRows rows = PointRows::Zero();
    Eigen::Vector3d arm = tool; // what lies between the axis and the tool point
    for (std::size_t i = order.size(); i-- > 0;) {
        const auto axis = static_cast<int>(order[i]);
        rows.middleCols<3>(6 * axis).setIdentity();
        rows.middleCols<3>(6 * axis + 3) = cross_with(arm);
        arm[axis] += position[axis];
    }
    rows(0, c0y_index) = -position.y();
    rows(0, b0z_index) = position.z();
    rows(1, a0z_index) = -position.z();
    return rows;
}

PointRows orientation_rows() {
    PointRows rows = PointRows::Zero();
    for (int axis = 0; axis < 3; ++axis)
        rows.middleCols<3>(6 * axis + 3).setIdentity();
    return rows;
}

} // namespace holdable
