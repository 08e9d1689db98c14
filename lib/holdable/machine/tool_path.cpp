// SPDX-License-Identifier: MIT
#include "holdable/machine/tool_path.hpp"

#include "holdable/base/error.hpp"
#include "holdable/machine/model.hpp"

#include <fmt/format.h>

namespace holdable {
namespace {

constexpr int along_bore = 9;
constexpr int along_face = 9; // each side

} // namespace

Eigen::MatrixXd tip_error(const MachineModel& model,
                          const Eigen::Vector3d& tip,
                          double tool_length,
                          Date day,
                          const std::string& whose,
                          const std::string& what) {
    const auto& shop = model.shop();
    const Eigen::Vector3d position(tip.x(), tip.y(), tip.z() + tool_length - shop.nose_to_table);
    for (int axis = 0; axis < 3; ++axis) {
        const auto& travel = shop.travel[static_cast<std::size_t>(axis)];
        constexpr double slack = 1e-9;
        if (position[axis] < travel.low - slack || position[axis] > travel.high + slack)
            throw InputError(
                "feature-outside",
                fmt::format("\"{}\": {} needs {} at {:.4g} mm, beyond its travel of {:.4g} to "
                            "{:.4g} mm",
                            whose,
                            what,
                            "XYZ"[axis],
                            position[axis] * 1e3,
                            travel.low * 1e3,
                            travel.high * 1e3),
                axis == 2 ? "a tool of another length, or another height on the table, changes Z"
                          : "");
    }
    return model.point_error(position, {0, 0, -tool_length}, day);
}

Eigen::MatrixXd
axis_slope(const MachineModel& model, const Bore& bore, Date day, const std::string& whose) {
    Eigen::MatrixXd slope = Eigen::MatrixXd::Zero(2, model.zero().size());
    double spread = 0;
    for (int i = 0; i < along_bore; ++i) {
        const double from_middle = bore.depth * (0.5 - double(i) / (along_bore - 1));
        spread += from_middle * from_middle;
        slope += from_middle * tip_error(model,
                                         {bore.x, bore.y, bore.top - bore.depth / 2 + from_middle},
                                         bore.tool_length,
                                         day,
                                         whose,
                                         "the hole")
                                   .topRows(2);
    }
    return slope / spread;
}

Eigen::MatrixXd
face_slope(const MachineModel& model, const MilledFace& face, Date day, const std::string& whose) {
    Eigen::MatrixXd slope = Eigen::MatrixXd::Zero(2, model.zero().size());
    Eigen::Vector2d spread = Eigen::Vector2d::Zero();
    const Eigen::Vector2d middle((face.x_low + face.x_high) / 2, (face.y_low + face.y_high) / 2);
    const Eigen::Vector2d size(face.x_high - face.x_low, face.y_high - face.y_low);
    for (int i = 0; i < along_face; ++i)
        for (int j = 0; j < along_face; ++j) {
            const Eigen::Vector2d off = size.cwiseProduct(Eigen::Vector2d(
                double(i) / (along_face - 1) - 0.5, double(j) / (along_face - 1) - 0.5));
            const Eigen::RowVectorXd z =
                tip_error(model,
                          {middle.x() + off.x(), middle.y() + off.y(), face.height},
                          face.tool_length,
                          day,
                          whose,
                          "the datum face")
                    .row(2);
            slope += off * z;
            spread += off.cwiseProduct(off);
        }
    slope.row(0) /= spread.x();
    slope.row(1) /= spread.y();
    return slope;
}

} // namespace holdable
