// SPDX-License-Identifier: MIT
#include "holdable/stats/first_contacts.hpp"

#include <Eigen/LU>
#include <Eigen/QR>

namespace holdable::stats {

std::optional<FirstContacts> first_contacts(const Eigen::MatrixXd& design) {
    const Eigen::Index n = design.cols();
    const Eigen::ColPivHouseholderQR<Eigen::MatrixXd> qr(design.transpose());
    if (qr.rank() < n)
        return std::nullopt;
    FirstContacts first;
    first.order = qr.colsPermutation().indices().head(n + 1);
    first.rows.resize(n + 1, n);
    for (Eigen::Index k = 0; k <= n; ++k)
        first.rows.row(k) = design.row(first.order[k]);
    first.relation.resize(n + 1);
    first.relation << first.rows.topRows(n).transpose().fullPivLu().solve(
        -first.rows.row(n).transpose()),
        1;
    return first;
}

} // namespace holdable::stats
