// SPDX-License-Identifier: MIT
/// Draws of the inputs of a budget, correlated ones together.
///
/// The draw of an input in a trial depends on the seed, its name and the number of the trial, and
/// within a correlated group on the names before it in the group. Each part of an input has one
/// uniform number a trial, under the name of the input, or name#1, name#2, … for several parts.
/// Low-discrepancy ones (holdable/stats/sobol.hpp) depend on the number of those before it too, for
/// each is a dimension of its own.
///
/// A correlated group is drawn as: a multivariate normal, where all its laws are normal; a
/// multivariate t, where it is readings taken together, x̄ + S z √(ν/χ²_ν) with ν = n − N and
/// S Sᵀ = (n − 1)/(n − N) times the covariance of the means (JCGM 102 5.3.2, 9.4); else its own
/// laws joined by a Gaussian copula whose coefficients are adjusted to the stated ones.
#pragma once

#include "holdable/propagate/budget.hpp"
#include "holdable/stats/sobol.hpp"

#include <cstdint>
#include <functional>
#include <optional>
#include <span>
#include <string>
#include <vector>

namespace holdable::propagate {

/// Draws of a budget's inputs; may be used from several threads at once.
class Draws {
  public:
    /// @param wanted whether input i is needed; others are left out where nothing hangs on them
    /// @param quasi low-discrepancy numbers in place of random ones
    /// @throws NumericError where correlations cannot hold, readings taken together are too few, or
    /// there are more low-discrepancy dimensions needed than known
    Draws(const Budget& budget,
          std::uint64_t seed,
          const std::vector<bool>& wanted,
          bool quasi = false);

    /// Whether `fill` writes the row of input i; if not, it always has its estimate or is unwanted.
    bool draws(std::size_t i) const { return drawn_[i]; }

    /// Degrees of freedom of the t law that input i is drawn from, the fewest of its parts; none if
    /// it is drawn from no t law.
    std::optional<double> student_dof(std::size_t i) const { return student_dof_[i]; }

    /// What the reader should know, one sentence each.
    const std::vector<std::string>& notes() const { return notes_; }

    /// Writes trials first … first + count − 1 (inside units): row i of the inputs × count values
    /// `rows` is input i.
    void fill(std::uint64_t first, std::size_t count, std::span<double> rows) const;

  private:
    using Row = std::span<double>;
    using Rows = std::function<Row(std::size_t)>; // row of an input

    /// The uniform numbers of one name.
    struct Source {
        std::uint64_t name;
        std::optional<stats::Sobol> sobol; // none: random
    };

    struct Single {
        std::size_t input;
        double value;                // added
        std::vector<Source> sources; // of the parts
        std::vector<std::function<void(Row)>> samplers;
    };

    struct Joint {
        std::vector<std::size_t> members;
        std::vector<Source> sources;
        Eigen::MatrixXd root; // L, of what is mixed
        // Either the scales and means of a linear law …
        std::vector<double> means, scales;
        std::optional<double> nu; // multivariate t
        std::optional<Source> scale;
        std::function<void(Row)> chi_square; // mean ν
        // … or the laws of a copula.
        std::vector<std::function<void(Row)>> samplers;
    };

    Source source(const std::string& name);
    void uniform(const Source& source, std::uint64_t first, Row row) const;
    void add_single(const BudgetInput& input, std::size_t i);
    Joint joint(const Budget& budget, const CorrelatedGroup& group);
    void fill_single(const Single& single, std::uint64_t first, Row row) const;
    void fill_joint(const Joint& joint, std::uint64_t first, const Rows& rows) const;

    std::uint64_t seed_;
    bool quasi_;
    std::size_t dimensions_ = 0; // of low discrepancy in use
    std::vector<bool> drawn_;
    std::vector<std::optional<double>> student_dof_;
    std::vector<Single> singles_;
    std::vector<Joint> joints_;
    std::vector<std::string> notes_;
};

} // namespace holdable::propagate
