// SPDX-License-Identifier: MIT
#include "holdable/machine/checks.hpp"

#include "holdable/machine/equations.hpp"

#include <Eigen/Core>

#include <iterator>
#include <type_traits>
#include <utility>

namespace holdable {
namespace {

/// Takes in what observations say of the table's shapes: the solve of state.hpp, of these alone.
TableKnowledge table_by(const MachineModel& model, const std::vector<Observation>& observations) {
    const auto e = equations(model, observations);
    const auto f = fit(e, e.noise);
    const auto first = model.first_table_shape();
    const auto shapes = model.table().shapes();
    const auto gain = f.gain.middleRows(first, shapes);
    return {gain * f.readings, // their prior has mean 0 and variance 1
            Eigen::MatrixXd::Identity(shapes, shapes) - gain * f.rows.middleCols(first, shapes)};
}

template <class Check>
constexpr bool stands_on_table = std::is_same_v<Check, SquareCheck>;

/// The checks made by the day of the job, those that need no table or the others.
void observe_some(MachineModel& model, bool on_table, std::vector<Observation>& observations) {
    const auto shop = model.shop();
    for_each_check(shop, [&](const auto& check) {
        if (stands_on_table<std::remove_cvref_t<decltype(check)>> == on_table &&
            check.date <= model.job())
            observe(model, check, observations);
    });
}

} // namespace

std::vector<Observation> observe(MachineModel& model) {
    // A square stands on the table: what is known of that must be known first.
    std::vector<Observation> squares;
    std::vector<Observation> others;
    observe_some(model, false, others);
    if (model.has_table())
        model.learn_table(table_by(model, others));
    observe_some(model, true, squares);
    squares.insert(squares.end(),
                   std::make_move_iterator(others.begin()),
                   std::make_move_iterator(others.end()));
    return squares;
}

void learn_table(MachineModel& model) {
    if (!model.has_table())
        return;
    auto scratch = model;
    std::vector<Observation> others;
    observe_some(scratch, false, others);
    model.learn_table(table_by(scratch, others));
}

} // namespace holdable
