// SPDX-License-Identifier: MIT
/// The rows of a shop's checks by the names of their unknowns, and two estimates from them that
/// share no step with the library's solve.
#pragma once

#include "holdable/machine/checks.hpp"
#include "holdable/stats/distribution.hpp"

#include <Eigen/Dense>
#include <boost/test/unit_test.hpp>

#include <algorithm>
#include <cmath>
#include <string>
#include <vector>

namespace holdable::tests {

class NamedRows {
  public:
    NamedRows(const Shop& shop, Date job) : model(shop, job), all(observe(model)) {}

    Eigen::Index index(const std::string& name) const {
        const auto& u = model.unknowns();
        const auto at =
            std::find_if(u.begin(), u.end(), [&](const Input& i) { return i.name == name; });
        BOOST_REQUIRE_MESSAGE(at != u.end(), "no unknown " << name);
        return at - u.begin();
    }

    const Input& unknown(const std::string& name) const {
        return model.unknowns()[static_cast<std::size_t>(index(name))];
    }

    bool has(const std::string& name) const {
        const auto& u = model.unknowns();
        return std::any_of(u.begin(), u.end(), [&](const Input& i) { return i.name == name; });
    }

    const Observation& reading(const std::string& what) const {
        const auto at = std::find_if(
            all.begin(), all.end(), [&](const Observation& o) { return o.what == what; });
        BOOST_REQUIRE_MESSAGE(at != all.end(), "no reading " << what);
        return *at;
    }

    double coefficient(const std::string& what, const std::string& name) const {
        const auto at = index(name);
        const auto& row = reading(what).row;
        return at < row.size() ? row[at] : 0;
    }

    /// Least squares over some unknowns, all others being zero.
    Eigen::VectorXd least_squares(const std::vector<std::string>& names) const {
        Eigen::MatrixXd rows(static_cast<Eigen::Index>(all.size()),
                             static_cast<Eigen::Index>(names.size()));
        Eigen::VectorXd values(rows.rows());
        for (Eigen::Index i = 0; i < rows.rows(); ++i) {
            const auto& o = all[static_cast<std::size_t>(i)];
            values[i] = o.value;
            for (Eigen::Index k = 0; k < rows.cols(); ++k)
                rows(i, k) = coefficient(o.what, names[static_cast<std::size_t>(k)]);
        }
        return rows.colPivHouseholderQr().solve(values);
    }

    /// Standard uncertainty of a form where nothing is known beforehand of `wide` and every curve
    /// is straight: (C₀⁻¹ + HᵀR⁻¹H)⁻¹ over what the rows contain.
    double standard(const Eigen::RowVectorXd& form, const std::vector<std::string>& wide) const {
        const auto n = static_cast<Eigen::Index>(model.unknowns().size());
        Eigen::VectorXd prior(n); // standard deviations
        for (Eigen::Index j = 0; j < n; ++j) {
            const auto& u = model.unknowns()[static_cast<std::size_t>(j)];
            const bool silent = u.name.find(" shape ") != std::string::npos;
            prior[j] = silent ? 0 : stats::standard_uncertainty(u.law);
            if (std::find(wide.begin(), wide.end(), u.name) != wide.end())
                prior[j] = 1;
        }
        // in units of the prior: ξ = prior · η, η of unit variance
        Eigen::MatrixXd information = Eigen::MatrixXd::Identity(n, n);
        for (const auto& o : all) {
            double noise = 1e-18; // m², so that a row without noise can be weighed
            for (const auto& part : o.noise)
                noise += std::pow(stats::standard_uncertainty(part.law), 2);
            Eigen::VectorXd h = Eigen::VectorXd::Zero(n);
            h.head(o.row.size()) = o.row.transpose();
            h = h.cwiseProduct(prior);
            information += h * h.transpose() / noise;
        }
        Eigen::VectorXd f = Eigen::VectorXd::Zero(n);
        f.head(form.size()) = form.transpose();
        f = f.cwiseProduct(prior);
        return std::sqrt(f.dot(information.ldlt().solve(f)));
    }

    MachineModel model;
    std::vector<Observation> all;
};

} // namespace holdable::tests
