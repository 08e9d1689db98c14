// SPDX-License-Identifier: MIT
/// The worlds and the parts in them: draws of all inputs, carried through the linear map to the
/// signed numbers of all characteristics.
///
/// In world k part p has d = shared[k] + Σ_s factor[k, s] own_s[p], one row of elements for all
/// characteristics, with s = 0 for the inputs without `scale` (factor 1). Nothing of size worlds ×
/// parts is ever stored.
#pragma once

#include "holdable/propagate/promise.hpp"

#include <functional>
#include <span>

namespace holdable::propagate {

/// The elements of all characteristics stacked, and the inputs sorted by how far they reach.
class Stack {
  public:
    /// Checks shapes and numbers. @throws NumericError, InputError `distribution-parameter`
    Stack(const PartModel& part, bool several_setups);

    Eigen::Index elements() const { return effect.rows(); }

    Eigen::Index inputs() const { return effect.cols(); }

    Eigen::MatrixXd effect;            ///< Q × n (m per unit of the input)
    Eigen::VectorXd known;             ///< Q (m)
    std::vector<Eigen::Index> first;   ///< first element of each characteristic, and Q
    Eigen::VectorXd mean;              ///< of each input's law
    std::vector<bool> knowledge;       ///< the input has one value a world
    std::vector<bool> guess;           ///< its evidence is typical or assumed
    std::vector<std::size_t> scale_of; ///< place in `scales`, 0 = none
    std::vector<std::string> scales;   ///< names; the first is empty
    std::vector<double> scale_dof;
    std::vector<std::uint64_t> hash; ///< by which the input's draws are named
    std::vector<std::function<void(std::span<double>)>> sampler;
};

/// The draws of one stage of the sampling.
struct Worlds {
    Eigen::MatrixXd shared;           ///< M × Q (m)
    Eigen::MatrixXd factor;           ///< M × scales (pure number); column 0 is 1
    std::vector<Eigen::MatrixXd> own; ///< N × Q a scale (m); 0 × 0 where no input of a part has it

    std::size_t count() const { return static_cast<std::size_t>(shared.rows()); }

    std::size_t parts() const { return parts_; }

    std::size_t parts_ = 0;
    bool without_guesses = false; ///< inputs whose evidence is typical or assumed are at their mean
};

/// Draws M worlds and N parts with all inputs free, and the same with guesses at their mean.
struct BothWorlds {
    Worlds all;
    Worlds sure; ///< empty where no input is a guess
};

BothWorlds draw(const Stack& stack,
                std::uint64_t seed,
                std::size_t worlds,
                std::size_t parts,
                unsigned threads);

/// Weights of a linear functional of the draws: Σ_k,e on_shared[k, e] (effect of k's knowledge) +
/// Σ_s,p,e on_own_s[p, e] (effect of p's own) + Σ_e on_constant[e] (effect of what is constant).
struct Weights {
    Eigen::MatrixXd on_shared;           ///< M × Q
    std::vector<Eigen::MatrixXd> on_own; ///< N × Q a scale, as `Worlds::own`
    Eigen::VectorXd on_constant;         ///< Q
};

/// The part of each input in that functional, element by element, Q × n: the transposed map.
Eigen::MatrixXd contributions(const Stack& stack,
                              const Weights& weights,
                              std::uint64_t seed,
                              std::size_t worlds,
                              std::size_t parts,
                              unsigned threads);

} // namespace holdable::propagate
