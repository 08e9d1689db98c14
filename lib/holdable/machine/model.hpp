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
///
/// The spindle is not among the 21 errors of the axes. Its average line stands along
/// (B0C, -A0C, 1), so that a tool of length L has its tip at (-L B0C, +L A0C); tilts are those of
/// the class, change by 20 µrad a year (common practice, no source), and jump at a crash, at
/// spindle work and where Z, or no axis by name, was adjusted. Its run-out is the place of a true
/// bar's centre in a frame that turns with the spindle: e(ℓ) = n + ℓ t at ℓ from the nose, |e| half
/// of the total indicator reading. The phase of an unmeasured one is unknown, so its components are
/// normal around zero, with the figure of the class as the 95 % point of 2|e|; a crash and spindle
/// work make it jump, and no yearly change of it is known.
///
/// Nor is the lost motion of an axis among the 21: how much farther it stands, at the same target,
/// when it comes from the + side than from the - side. The error motions are the mean of both. It
/// has a sign of its own: before a reading it lies evenly between the figures of the class, from 0
/// where that knows only a bound; it changes by 1 µm a year (common practice, no source), and jumps
/// at a crash and where the axis, or none by name, was adjusted.
///
/// Nor is the lag of X behind Y: under way an axis stands where it was sent to a time τ ago, and
/// what bends a path is the difference of both, τ_X - τ_Y (s). It is of the control, so one unknown
/// at every feed; normal, below 1 ms in 95 of 100 machines (common practice, no source). No yearly
/// change of it is known; it jumps where X or Y, or no axis by name, was adjusted.
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

    /// Multiplies the doubt of an unknown whose law is normal or rectangular, else leaves it.
    void scale_doubt(int unknown, double factor);

    const std::vector<Input>& unknowns() const { return unknowns_; }

    const Shop& shop() const { return shop_; }

    const MachineClass& assumed_class() const { return *class_; }

    Date job() const { return job_; }

    /// A zero form over all unknowns declared so far, shape n.
    Eigen::RowVectorXd zero() const;

    /// Variance of a form before any reading. @param row over the unknowns, or the first of them
    double prior_variance(const Eigen::RowVectorXd& row) const;

    /// A geometric parameter at a coordinate of its axis, on a day (m or rad).
    /// @param index      0 … 20 as in kinematics.hpp
    /// @param coordinate of the axis the parameter belongs to, ignored for squarenesses (m)
    Eigen::RowVectorXd parameter(int index, double coordinate, Date day) const;

    /// The tilt of the table against the motion of X or Y, one unknown for all that stands on it: a
    /// rotation that lifts the table's - end of that axis (rad). Not among the unknowns until
    /// something adds it.
    Input table_against_motion(Axis axis) const;

    /// The error of the tool point, shape 3 × n.
    /// @param position coordinates of the axes (m) @param tool from the gauge point to the tip (m)
    Eigen::MatrixXd
    point_error(const Eigen::Vector3d& position, const Eigen::Vector3d& tool, Date day) const;

    /// Tilt of the spindle's average line against the normal of the X-Y plane on a day: A0C or B0C,
    /// right-handed (rad); not in `point_error`. @param about X for A0C, Y for B0C
    Eigen::RowVectorXd spindle_tilt(Axis about, Date day) const;

    /// Run-out of the spindle on a day: cosine and sine of a true bar's centre against the mark on
    /// the spindle, shape 2 × n. @param length from the nose (m)
    Eigen::MatrixXd run_out(double length, Date day) const;

    /// Whether a check made by the day of the job maps the table: only then its form is among the
    /// unknowns.
    bool has_table() const { return table_.has_value(); }

    /// Height of the table over its own least-squares plane, as a form. Needs `has_table`.
    /// @param x,y machine coordinates of X and Y with the tool above the place (m)
    Eigen::RowVectorXd table_form(double x, double y) const;

    /// Takes in what the maps say of the table's form before a check that needs it. @param shapes
    /// mean and covariance of the unknowns that `table_form` is over
    void learn_table(TableKnowledge shapes) { table_knowledge_ = std::move(shapes); }

    /// Nothing if no map was taken in.
    const std::optional<TableKnowledge>& table_knowledge() const { return table_knowledge_; }

    int first_table_shape() const { return first_table_shape_; }

    const TableField& table() const { return *table_; }

    /// Lost motion of an axis on a day: arriving towards -, less arriving towards + (m), which is
    /// -B of ISO 230-2; not in `point_error`.
    Eigen::RowVectorXd lost_motion(Axis axis, Date day) const;

    /// By how much longer X lags behind where it is sent than Y on a day, τ_X - τ_Y (s); not in
    /// `point_error`.
    Eigen::RowVectorXd lag_mismatch(Date day) const;

  private:
    struct Curve {
        int first = 0;                           // of its shapes among the unknowns
        Eigen::MatrixXd basis;                   // 41 × k
        std::vector<std::pair<int, Date>> jumps; // first shape of each change by an event
        int scale = -1;                          // positioning: multiplies (q - reference)
        int scale_rate = -1;
    };

    struct Ageing {
        int value = -1;                                // on the day of the job
        int rate = -1;                                 // none: not known to change by itself
        std::vector<std::pair<int, Date>> jumps;       // change by each event
        std::vector<std::pair<int, Date>> corrections; // what the shop changed on purpose
    };

    void add_squarenesses();
    void add_curves();
    void add_spindle();
    void add_lost_motion();
    void add_lag();
    Ageing add_scalar(const std::string& name,
                      const std::string& meaning,
                      double sigma,
                      std::optional<double> yearly,
                      bool (*changes)(const Event&, int),
                      int index);
    Eigen::RowVectorXd scalar(const Ageing& scalar, Date day) const;
    void add_table();

    Shop shop_;
    Date job_;
    const MachineClass* class_;
    double prior_factor_;
    std::vector<Input> unknowns_;
    std::map<std::string, int> by_name_;
    std::array<Curve, 18> curves_;
    std::array<Ageing, 3> squareness_;
    std::array<Ageing, 2> spindle_tilt_;
    std::array<Ageing, 4> run_out_; // at the nose cosine, sine; tilt of the bar cosine, sine
    std::array<Ageing, 3> lost_motion_;
    Ageing lag_;
    std::optional<TableField> table_;
    int first_table_shape_ = 0;
    std::optional<TableKnowledge> table_knowledge_;
};

} // namespace holdable
