// SPDX-License-Identifier: MIT
// The linear kinematic model. Against full homogeneous transforms composed here from rotation
// matrices, which know no small angles and no lever arms, for all six orders of the axes; against
// values derived for the same states by hand (rounded to 0.01 µm); and against the apparent
// squareness by differences of two points. Tolerance against the transforms: the neglected products
// of errors, at most (Σ angles)² × (Σ lengths) = 8 nm here, 60 nm for the random states; they must
// also fall with the square of the errors.
#include "holdable/machine/kinematics.hpp"

#include "holdable/base/error.hpp"

#include <Eigen/Geometry>
#include <boost/test/unit_test.hpp>

#include <algorithm>
#include <random>
#include <string>

using namespace holdable;
namespace tt = boost::test_tools;

namespace {

using Parameters = Eigen::Matrix<double, geometric_parameters, 1>;

/// δ of the tool point by exact transforms: each axis moves along its real direction, then its
/// tool-side body is turned about and shifted at its reference point.
Eigen::Vector3d by_transforms(const AxisOrder& order,
                              const Parameters& p,
                              const Eigen::Vector3d& position,
                              const Eigen::Vector3d& tool) {
    const Eigen::Vector3d directions[] = {
        {1, 0, 0}, {-p[c0y_index], 1, 0}, {p[b0z_index], -p[a0z_index], 1}};
    Eigen::Isometry3d chain = Eigen::Isometry3d::Identity();
    for (const auto axis : order) {
        const int a = static_cast<int>(axis);
        const Eigen::Vector3d shift = p.segment<3>(6 * a);
        const Eigen::Vector3d turn = p.segment<3>(6 * a + 3);
        chain.translate(Eigen::Vector3d(position[a] * directions[a] + shift));
        if (turn.norm() > 0)
            chain.rotate(Eigen::AngleAxisd(turn.norm(), turn.normalized()));
    }
    return chain * tool - (position + tool);
}

/// The state of the cases derived by hand: µm and µrad.
Parameters worked_state() {
    Parameters p;
    p << 8, -3, 5, 20, -30, 15, /**/ 2, -6, 4, -25, 10, 12, /**/ -1, 3, 7, 8, -12, 5, /**/ 50, -35,
        40;
    return p * 1e-6;
}

const Eigen::Vector3d worked_position(0.300, 0.150, -0.200);

Parameters random_state(std::mt19937_64& random, double size) {
    Parameters p;
    for (int i = 0; i < geometric_parameters; ++i)
        p[i] = size * (static_cast<double>(random() >> 11) * 0x1p-52 - 1);
    return p;
}

} // namespace

BOOST_AUTO_TEST_SUITE(kinematics)

BOOST_AUTO_TEST_CASE(worked_case_with_the_tool_on_the_spindle_axis) {
    // Derived by hand from the law above and by transforms: 14.090, 1.360, 19.000 µm.
    const Eigen::Vector3d tool(0, 0, -0.120);
    const Eigen::Vector3d d =
        point_rows(parse_axis_order("XYZ"), worked_position, tool) * worked_state() * 1e6;
    BOOST_TEST(d.x() == 14.090, tt::tolerance(1e-9));
    BOOST_TEST(d.y() == 1.360, tt::tolerance(1e-9));
    BOOST_TEST(d.z() == 19.000, tt::tolerance(1e-9));
}

BOOST_AUTO_TEST_CASE(worked_case_in_every_order_of_the_axes) {
    struct Case {
        const char* order;
        Eigen::Vector3d micrometres; // derived with transforms, printed to 0.01 µm
    };

    const Case cases[] = {{"XYZ", {14.41, 2.16, 19.77}},
                          {"XZY", {15.66, 7.16, 20.97}},
                          {"YXZ", {16.66, 5.76, 13.77}},
                          {"YZX", {10.66, 3.26, 17.37}},
                          {"ZXY", {9.66, 4.66, 24.57}},
                          {"ZYX", {11.91, 8.26, 18.57}}};
    const Eigen::Vector3d tool(0.025, -0.010, -0.120);
    for (const auto& c : cases) {
        const auto order = parse_axis_order(c.order);
        const Eigen::Vector3d d = point_rows(order, worked_position, tool) * worked_state();
        BOOST_TEST((d * 1e6 - c.micrometres).norm() < 0.01, c.order << ": " << d.transpose() * 1e6);
        const auto exact = by_transforms(order, worked_state(), worked_position, tool);
        BOOST_TEST((d - exact).norm() < 8e-9, c.order);
    }
}

BOOST_AUTO_TEST_CASE(the_rest_falls_with_the_square_of_the_errors) {
    std::mt19937_64 random(1); // the same states in every run
    double worst = 0;
    double worst_of_tenths = 0;
    for (int i = 0; i < 3000; ++i) {
        const auto p = random_state(random, 50e-6);
        const Eigen::Vector3d place = 0.400 * random_state(random, 1).head<3>();
        const Eigen::Vector3d tool = 0.150 * random_state(random, 1).head<3>();
        for (const auto* name : {"XYZ", "ZXY"}) {
            const auto order = parse_axis_order(name);
            const auto rows = point_rows(order, place, tool);
            worst = std::max(worst, (rows * p - by_transforms(order, p, place, tool)).norm());
            const Parameters tenth = p / 10;
            worst_of_tenths = std::max(
                worst_of_tenths, (rows * tenth - by_transforms(order, tenth, place, tool)).norm());
        }
    }
    BOOST_TEST(worst < 60e-9);
    BOOST_TEST(worst > 1e-9); // else both sides share the approximation
    BOOST_TEST(worst_of_tenths < worst / 80);
}

BOOST_AUTO_TEST_CASE(a_table_that_rolls_leans_the_travel_of_z) {
    // dx/dz = B0Z + EBX + EBY, dy/dz = -(A0Z + EAX + EAY), for X and Y below Z.
    const auto p = worked_state();
    const Eigen::Vector3d tool(0, 0, -0.120);
    Eigen::Vector3d higher = worked_position;
    higher.z() += 0.1;
    const auto order = parse_axis_order("XYZ");
    const Eigen::Vector3d slope =
        (point_rows(order, higher, tool) - point_rows(order, worked_position, tool)) * p / 0.1;
    BOOST_TEST(slope.x() == (-35 - 30 + 10) * 1e-6, tt::tolerance(1e-9));
    BOOST_TEST(slope.y() == -(40 + 20 - 25) * 1e-6, tt::tolerance(1e-9));
}

BOOST_AUTO_TEST_CASE(orientation_adds_the_rotations_and_no_squareness) {
    const Eigen::Vector3d turn = orientation_rows() * worked_state() * 1e6;
    BOOST_TEST((turn - Eigen::Vector3d(3, -32, 32)).norm() < 1e-9);
}

BOOST_AUTO_TEST_CASE(names_are_those_of_iso_230_1) {
    BOOST_TEST(parameter_name(motion_index(0, Axis::x)) == "EXX");
    BOOST_TEST(parameter_name(motion_index(3, Axis::y)) == "EAY");
    BOOST_TEST(parameter_name(motion_index(5, Axis::z)) == "ECZ");
    BOOST_TEST(parameter_name(b0z_index) == "B0Z");
    BOOST_TEST(parameter_meaning(motion_index(3, Axis::x)) == "roll of X");
    BOOST_TEST(parameter_meaning(motion_index(4, Axis::x)) == "pitch of X");
    BOOST_TEST(parameter_meaning(motion_index(3, Axis::y)) == "pitch of Y");
    BOOST_TEST(parameter_meaning(motion_index(5, Axis::y)) == "yaw of Y");
    BOOST_TEST(parameter_meaning(motion_index(3, Axis::z)) == "nod of Z in the YZ plane");
    BOOST_TEST(parameter_meaning(motion_index(2, Axis::x)) == "straightness of X in Z");
    BOOST_TEST(parameter_meaning(motion_index(1, Axis::y)) == "positioning of Y");
    BOOST_TEST(parameter_meaning(a0z_index) == "Z square to Y");
}

BOOST_AUTO_TEST_CASE(an_order_names_each_axis_once) {
    BOOST_TEST((parse_axis_order("zxy") == AxisOrder{Axis::z, Axis::x, Axis::y}));
    for (const auto* text : {"", "XY", "XXY", "XYZX", "XYW", "X-Y-Z"}) {
        try {
            parse_axis_order(text);
            BOOST_ERROR("accepted " << text);
        } catch (const InputError& error) {
            BOOST_TEST(error.diagnostics().at(0).id == "axes-order");
        }
    }
}

BOOST_AUTO_TEST_SUITE_END()
