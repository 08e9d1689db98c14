// SPDX-License-Identifier: MIT
/// The machine as one vector of elementary unknowns ξ, and everything else as linear forms of it.
///
/// An unknown is an input with a name and a law: a shape of a curve, a squareness, the error of a
/// square, the tilt of its base, the gain of an indicator. A form is a row of coefficients; its
/// value is row · ξ. Rows may be shorter than ξ: what was declared later does not occur in them.
///
/// Time. ξ is the state on the day of the job. Where a parameter ages, an unknown rate (its law
/// from the class, its unit the parameter's per year) says what it was on the day of a check; where
/// an event lies between, an unknown jump does.
#pragma once

#include "holdable/machine/shop.hpp"
#include "holdable/machine/table_field.hpp"
#include "holdable/propagate/input.hpp"
#include "holdable/standards/machine_class.hpp"

#include <Eigen/Core>

#include <array>
#include <map>
#include <optional>
#include <string>
#include <vector>

namespace holdable {

/// Prior knowledge of a machine of a class, as unknowns; checks add their own.
class MachineModel {
  public:
    /// @param job           the day for which the state holds
    /// @param prior         class from which the prior is taken; empty = the shop's own
    /// @param prior_factor  multiplies the spread of what was not measured (pure number)
    /// @throws InputError [class-unknown]
    MachineModel(const Shop& shop, Date job, std::string_view prior = {}, double prior_factor = 1);

    /// Adds an unknown. @return its index
    int add(Input input);

    /// Index of an unknown that may be there already, else added: an instrument's error has one
    /// name however many checks use it.
    int shared(const Input& input);

    const std::vector<Input>& unknowns() const { return unknowns_; }

    const Shop& shop() const { return shop_; }

    const MachineClass& assumed_class() const { return *class_; }

    Date job() const { return job_; }

    /// A zero form over all unknowns declared so far, shape n.
    Eigen::RowVectorXd zero() const;

    /// A geometric parameter at a coordinate of its axis, on a day (m or rad).
    /// @param index      0 … 20 as in kinematics.hpp
    /// @param coordinate of the axis the parameter belongs to, ignored for squarenesses (m)
    Eigen::RowVectorXd parameter(int index, double coordinate, Date day) const;

    /// The error of the tool point, shape 3 × n.
    /// @param position coordinates of the axes (m) @param tool from the gauge point to the tip (m)
    Eigen::MatrixXd
    point_error(const Eigen::Vector3d& position, const Eigen::Vector3d& tool, Date day) const;

    /// Whether a check made by the day of the job maps the table: only then its form is among the
    /// unknowns.
    bool has_table() const { return table_.has_value(); }

    /// Height of the table over its own least-squares plane, as a form. Needs `has_table`.
    /// @param x,y machine coordinates of X and Y with the tool above the place (m)
    Eigen::RowVectorXd table_form(double x, double y) const;

    /// The table's slope against the motion of X or Y, one unknown in every check that sees it: the
    /// rotation that a body on it has, so that along X or Y the table falls by it (rad).
    int table_slope(Axis along);

    /// Takes in what the maps say of the table's form before a check that needs it. @param shapes
    /// mean and covariance of the unknowns that `table_form` is over
    void learn_table(TableKnowledge shapes) { table_knowledge_ = std::move(shapes); }

    /// Nothing if no map was taken in.
    const std::optional<TableKnowledge>& table_knowledge() const { return table_knowledge_; }

    int first_table_shape() const { return first_table_shape_; }

    const TableField& table() const { return *table_; }

  private:
    struct Curve {
        int first = 0;                           // of its shapes among the unknowns
        Eigen::MatrixXd basis;                   // 41 × k
        std::vector<std::pair<int, Date>> jumps; // first shape of each change by an event
        int scale = -1;                          // positioning: multiplies (q - reference)
        int scale_rate = -1;
    };

    struct Ageing {
        int rate = -1;
        std::vector<std::pair<int, Date>> jumps;       // change by each event
        std::vector<std::pair<int, Date>> corrections; // what the shop changed on purpose
    };

    void add_squarenesses();
    void add_curves();
    void add_table();

    Shop shop_;
    Date job_;
    const MachineClass* class_;
    double prior_factor_;
    std::vector<Input> unknowns_;
    std::map<std::string, int> by_name_;
    std::array<Curve, 18> curves_;
    std::array<int, 3> squareness_{};
    std::array<Ageing, 3> squareness_ageing_;
    std::optional<TableField> table_;
    int first_table_shape_ = 0;
    std::optional<TableKnowledge> table_knowledge_;
};

} // namespace holdable
