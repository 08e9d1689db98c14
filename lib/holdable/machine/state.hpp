// SPDX-License-Identifier: MIT
/// The state of a machine: what all its checks together say, and how far that may be wrong.
///
/// Method. With prior mean m₀ and variances C₀ of the unknowns ξ, rows H, values y and noise
/// variances R, the gain is K = C₀Hᵀ(H C₀ Hᵀ + R)⁻¹ and ξ̂ = m₀ + K (y - H m₀). The estimator being
/// linear,
///
///     ξ - ξ̂ = (I - K H) (ξ - m₀) - K e,
///
/// a known map of the unknowns' own deviations and the reading noises e, whatever their laws: it
/// serves the first-order budget and Monte Carlo alike, and every part of the doubt keeps its name.
/// These are error laws of the estimator, not posterior distributions; C uses variances only.
///
/// Disagreement. A reading whose residual, given all others, exceeds 3.5 of its standard deviations
/// is named. A check that all others and the priors make improbable (χ² beyond its 99.9 % point)
/// has its noise scaled by χ²/ν, and says so; nothing is dropped.
///
/// A class too kind. Where the readings exceed what the declared class allows (χ² of all beyond the
/// 99 % point) the next coarser class is used for what was not measured, and that is said.
#pragma once

#include "holdable/machine/checks.hpp"
#include "holdable/machine/model.hpp"

#include <Eigen/Core>

#include <optional>
#include <string>
#include <vector>

namespace holdable {

/// A reading that does not fit.
struct Outlier {
    std::string what;      ///< which reading
    double residual = 0;   ///< observed minus what all other readings say (m or rad)
    double normalised = 0; ///< in its standard deviations
};

/// A reading and what is left of it after the solve.
struct Residual {
    std::string what;    ///< which reading
    double value = 0;    ///< observed minus what the estimate says (m or rad)
    double observed = 0; ///< as it was read, turned into the sense of its row (m or rad)
};

/// A sum of readings that must vanish whatever the machine is like.
struct Balance {
    double value = 0;    ///< what it came to (m)
    double standard = 0; ///< what noise, drift and form let expect, one standard deviation (m)
    bool fails = false;  ///< it exceeds 3.5 of them, by the class declared
};

/// What became of one check.
struct CheckOutcome {
    std::string name;
    int readings = 0;
    double chi_squared = 0; ///< of its readings, given all else
    int degrees_of_freedom = 0;
    double noise_factor = 1; ///< by which its noise variance was multiplied, 1 if it agrees
    std::vector<Outlier> outliers;
    bool angle = false;                   ///< its readings are slopes (rad), not lengths (m)
    std::vector<Residual> residuals = {}; ///< of every reading, in order
    std::vector<double> closures = {};    ///< of each closed run: its end less its start
    std::optional<Balance> balance = {};  ///< of a sweep of four readings
};

/// An estimate with what it rests on.
struct Estimate {
    double value = 0;
    double standard_uncertainty = 0;
};

/// The state of a machine on a day.
struct MachineState {
    MachineModel model; ///< the unknowns, and rows for any place
    std::vector<Input>
        inputs; ///< unknowns (deviations from the prior mean), then noises; shape n + m
    Eigen::VectorXd estimate;  ///< ξ̂, shape n
    Eigen::MatrixXd error_map; ///< ξ - ξ̂ = error_map · inputs, shape n × (n + m)
    std::vector<CheckOutcome> checks;
    std::vector<std::string> notes;
    bool disagreement = false; ///< some check does not fit: at best marginal until resolved

    /// Value and uncertainty of a form. @param row over the unknowns, shape n
    Estimate of(const Eigen::RowVectorXd& row) const;

    /// How far each input moves a form's error, shape n + m.
    Eigen::RowVectorXd sensitivity(const Eigen::RowVectorXd& row) const;
};

/// Solves all checks of a shop together, for the day of the job.
/// @throws InputError as `observe` and MachineModel; NumericError if the equations have no solution
MachineState solve(const Shop& shop, Date job);

/// What these observations say of one form by themselves: the prior is told nothing of it, and as
/// always of all else. With c = C₀ rowᵀ, κ² c cᵀ / (row c) is added to C₀ for the gain, κ = 1000.
/// @param row the form, over the unknowns; the prior must leave it some variance
MachineState solve_freed(MachineModel model,
                         std::vector<Observation> observations,
                         const Eigen::RowVectorXd& row);

/// The same with the spread of all that was not measured multiplied: what the readings say without
/// the class (30 is wide), or with a class declared wider or narrower.
MachineState solve_with_prior(const Shop& shop, Date job, double prior_factor);

} // namespace holdable
