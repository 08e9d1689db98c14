// SPDX-License-Identifier: MIT
/// Collects what the characteristics of a job depend on: known errors, inputs, effects.
///
/// A characteristic has signed numbers d (propagate/promise.hpp), each a linear form of the errors
/// of the tool point where it cut. `spot` adds w · a·δ for a place, a direction a and a weight w;
/// with the error of the machine come what belongs to a place: warmth over the length from there,
/// and the short wave of the screws. Whatever belongs to an approach, a tool or a set-up is added
/// by name, as a column of the d of the characteristic; one name is one input in all of them, so
/// that callouts share what they share.
///
/// Conventions. d counts the material left too much along the outward normal of a surface, or the
/// displacement of an axis along +X and +Y, or a size larger than nominal, + each. Lost motion: an
/// axis that moves towards + falls short by h, half of its lost motion, one that moves towards -
/// stops h too far to +; columns are per h (m).
///
/// Source of expansion: e = -L (α_p θ_p - α_s θ_s), ISO/TR 16015.
#pragma once

#include "holdable/machine/state.hpp"
#include "holdable/part/features.hpp"
#include "holdable/part/job.hpp"

#include <Eigen/Core>

#include <map>
#include <optional>
#include <set>
#include <string>
#include <tuple>
#include <utility>
#include <vector>

namespace holdable {

/// A place of the tool's tip.
struct Spot {
    Eigen::Vector3d tip; ///< X, Y and height over the table (m)
    double tool_length = 0;
    std::string what; ///< for messages: "the hole"
};

/// What passes over a feature.
enum class Passing {
    tool, ///< that cuts it, with all that the process adds
    probe ///< that touches it on the machine: errors of the machine alone, and its warmth
};

class Collector {
  public:
    /// @param refine multiplies the density of sampled points
    Collector(const MachineState& state,
              const Job& job,
              int refine = 1,
              Passing passing = Passing::tool);

    /// A probe passes: nothing of the process is collected, and nothing is said.
    bool probing() const { return passing_ == Passing::probe; }

    /// How many points where `usual` are the rule, both ends among them; and on a closed line.
    Eigen::Index points(Eigen::Index usual) const { return (usual - 1) * refine_ + 1; }

    Eigen::Index points_round(Eigen::Index usual) const { return usual * refine_; }

    // ---- one characteristic

    /// Begins the next one.
    void begin(const Callout& callout, HoleMaking making);

    /// Its reduction and the number of its d; all zero so far.
    void shape(Reduction reduction, Eigen::Index elements);

    /// Its d lie on curves of this radius: as many elements follow, how far each point moves across
    /// (Bend). Directly after `shape`.
    void bend(double radius);

    /// How far the free motions, of unit size, move each point across, points × f as
    /// `current().free`: what fits best is taken off what moves across.
    void across_of_free(Eigen::MatrixXd moves) { across_of_free_ = std::move(moves); }

    /// Ends it: adds the machine's known errors, and takes the least-squares fit off if asked.
    void end();

    PartQuestion finish();

    // clang-format off
    const MachineState& state() const { return state_; }
    const Job& job() const { return job_; }
    const Process& process() const { return process_; }
    const Callout& callout() const { return *callout_; }
    Characteristic& current() { return current_; }
    Eigen::Index elements() const { return machine_rows_.rows(); } ///< with those across
    Eigen::VectorXd zero() const { return Eigen::VectorXd::Zero(elements()); }

    // clang-format on

    /// The process, where what is typical is that of another way of making.
    Process process_of(HoleMaking making) const;

    // ---- errors of the machine

    /// d[e] += weight · along·δ(spot), with warmth and short wave. @param along unit vector
    void spot(Eigen::Index e, const Spot& spot, const Eigen::Vector3d& along, double weight = 1);

    /// Short wave of an axis's screw at a coordinate, in d[e].
    void wave(Eigen::Index e, Axis axis, double coordinate, double weight);

    /// d[e] is so much longer than what was touched: it grows with warmth (m).
    void length(Eigen::Index e, double more) { lengths_[e] += more; }

    /// d[e] of a size counts from the middle of its limits: adds the aim, where that is another.
    void aim(Eigen::Index e, const SizeLimits& size);

    /// d += column · form. @param form over the unknowns of the machine, 1 × n
    void machine(const Eigen::VectorXd& column, const Eigen::RowVectorXd& form);

    /// Lost motion of an axis where it is known which way it came. @param per_half column per h
    void turning(Axis axis, const Eigen::VectorXd& per_half);

    /// The same where it may have come either way: one value for the job, of unknown sign.
    void turning_either_way(Axis axis, const Eigen::VectorXd& column);

    /// Repeatability of an axis in one approach, named after what it approached.
    void repeat(Axis axis, const std::string& who, const Eigen::VectorXd& column);

    /// Drift and warming between setting the zero and the cut.
    void drift(Axis axis, const Eigen::VectorXd& column);

    /// A plane about level as datum: its slopes along X and Y. @param by_slope columns, each d per
    /// slope (m/rad)
    void plane(const PlaneDatum& datum, const Eigen::VectorXd by_slope[2]);

    /// Slopes of the seat alone, in the set-up of that name.
    void seat(const std::string& setup, const Eigen::VectorXd by_slope[2]);

    // ---- the process

    /// d += column · input; the input is made once for all characteristics.
    void affect(Input input, const Eigen::VectorXd& column);

    void allow(const std::string& name,
               const std::string& meaning,
               const Allowance& allowance,
               Sharing sharing,
               const Eigen::VectorXd& column);

    /// A span: its middle is a known error.
    void span(const std::string& name,
              const std::string& meaning,
              const Span& span,
              Sharing sharing,
              const Eigen::VectorXd& column);

    /// What grows over the batch from its low end, where the first piece stands.
    void trend(const std::string& name,
               const std::string& meaning,
               const Span& span,
               const Eigen::VectorXd& column);

    /// A scatter from part to part; where it comes from readings, the error of their mean is
    /// knowledge and shares the doubt of their standard deviation.
    void scatter(const std::string& name,
                 const std::string& meaning,
                 const Scatter& scatter,
                 const Eigen::VectorXd& column);

    void know(const std::string& what, const Eigen::VectorXd& d, Evidence = Evidence::measured);

    /// A scatter taken from test cuts holds that already.
    bool covered(const char* key) const { return covered_.contains(key); }

    /// The name of an input that the callouts of one set-up share.
    std::string in_setup(const std::string& name) const;

    // ---- what is said

    /// Without it there is no answer. @param key of the process
    void need(bool there, const std::string& key, const std::string& what);
    void miss(const std::string& what);
    void note(const std::string& text);
    void given(const std::string& condition);
    void leave_out(const std::string& what);
    Eigen::VectorXd unit(Eigen::Index e, double value = 1) const;

    /// The face with its extent, the whole part's if it has none. @return none: said as missing
    std::optional<Extent> extent_of(const Face& face, const std::string& what);

  private:
    using Effects = std::vector<std::pair<std::size_t, Eigen::VectorXd>>;
    void adopt(std::optional<Scatter>& scatter, bool direction);
    std::optional<Scatter> repeat_of(Axis axis) const;
    std::optional<Allowance> lost_motion_of(Axis axis) const;
    bool lost_motion_read(Axis axis) const;
    void warmth();
    void short_wave();
    void machine_known();
    void take_fit_off();
    void take_fit_off_across();
    void split_off_bend();
    void refuse_guesses_without_class();
    const MachineState& state_;
    const Job& job_;
    int refine_;
    Passing passing_;
    bool of_place_ = false; // what belongs to a place is being added: warmth, short wave
    const Callout* callout_ = nullptr;
    Readiness ready_;
    Process process_;
    std::set<std::string> covered_; // keys of the process that test cuts hold already
    Characteristic current_;
    Eigen::MatrixXd machine_rows_; // q × n
    Effects effects_;
    std::vector<std::tuple<std::string, Eigen::VectorXd, Evidence>> known_;
    Eigen::Index across_ = 0;              // elements at the end that are moves across
    Eigen::MatrixXd across_of_free_;       // points × f
    Eigen::VectorXd lengths_;              // along its direction, of each d (m)
    std::array<Eigen::MatrixXd, 3> waves_; // q × 2: cosine and sine of each axis's short wave
    std::vector<Input> process_inputs_;
    std::set<std::string> trends_; // names
    std::map<std::string, std::size_t> process_by_name_;
    std::vector<Eigen::MatrixXd> machine_effects_; // of each characteristic, q × (n + m)
    std::vector<Effects> process_effects_;
    std::vector<Eigen::MatrixXd> machine_bends_; // of each, how its inputs move points across
    std::vector<Characteristic> characteristics_;
    std::vector<Readiness> readiness_;
};

} // namespace holdable
