// SPDX-License-Identifier: MIT
// How far contributors would have to shrink, and what a check may come out as.
#include "holdable/answer/improve.hpp"
#include "holdable/answer/verdicts.hpp"
#include "holdable/propagate/parallel.hpp"
#include "holdable/stats/normal.hpp"
#include "holdable/stats/random.hpp"

#include <Eigen/Eigenvalues>
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <functional>
#include <map>

namespace holdable {
namespace {

constexpr double said_from = 0.02;    // of the first-order variance: less is not named
constexpr std::size_t most_named = 8; // contributors by themselves
constexpr int halvings = 12;

/// The part with some inputs and known errors scaled.
PartModel scaled(const PartModel& part,
                 const std::function<bool(const Input&)>& input,
                 const std::function<bool(std::size_t)>& known,
                 double factor) {
    auto changed = part;
    auto& one = changed.characteristics.front();
    for (std::size_t i = 0; i < part.inputs.size(); ++i)
        if (input(part.inputs[i]))
            one.effect.col(static_cast<Eigen::Index>(i)) *= factor;
    for (Eigen::Index r = 0; r < one.known_parts.cols(); ++r)
        if (known(static_cast<std::size_t>(r)))
            one.known_parts.col(r) *= factor;
    if (one.known_parts.cols() > 0)
        one.known = one.known_parts.rowwise().sum(); // exactly, down to nothing
    return changed;
}

/// Groups of inputs, with their shares of the first-order variance, the weightiest first.
struct Group {
    std::string name, meaning;
    Evidence evidence = Evidence::measured;
    double weight = 0;
};

const std::string& group_of(const Input& input) {
    return input.group.empty() ? input.name : input.group;
}

std::vector<Group> groups_of(const PartModel& part) {
    std::map<std::string, Group> by_name;
    const auto& effect = part.characteristics.front().effect;
    double all = 0;
    for (std::size_t i = 0; i < part.inputs.size(); ++i) {
        const auto& input = part.inputs[i];
        const double v = effect.col(static_cast<Eigen::Index>(i)).squaredNorm() * variance(input);
        auto& group = by_name[group_of(input)];
        group.name = group_of(input);
        group.meaning = input.meaning;
        group.evidence = std::max(group.evidence, input.evidence);
        group.weight += v;
        all += v;
    }
    std::vector<Group> groups;
    for (auto& [name, group] : by_name)
        if (group.weight > said_from * all)
            groups.push_back(std::move(group));
    std::stable_sort(groups.begin(), groups.end(), [](const auto& a, const auto& b) {
        return a.weight > b.weight;
    });
    if (groups.size() > most_named)
        groups.resize(most_named);
    return groups;
}

bool none(std::size_t) {
    return false;
}

bool no_input(const Input&) {
    return false;
}

} // namespace

std::vector<Shrink>
required_shrinks(const PartModel& part, double target, const PromiseOptions& options) {
    struct Task {
        Shrink shrink;
        std::function<bool(const Input&)> input;
        std::function<bool(std::size_t)> known;
    };

    std::vector<Task> tasks;
    const auto add = [&](const std::string& what,
                         const std::function<bool(const Input&)>& input,
                         const std::function<bool(std::size_t)>& known) -> Shrink& {
        auto& task = tasks.emplace_back();
        task.shrink.what = what;
        task.shrink.several = true;
        task.input = input;
        task.known = known;
        return task.shrink;
    };
    for (const auto& group : groups_of(part)) {
        auto& one = add(
            group.meaning,
            [name = group.name](const Input& i) { return group_of(i) == name; },
            none);
        one.evidence = group.evidence;
        one.several = false;
    }
    const bool several_setups = options.several_setups;
    const auto is_part = [several_setups](const Input& i) {
        return i.sharing == Sharing::part ||
               (several_setups && (i.sharing == Sharing::setup || i.sharing == Sharing::tool));
    };
    const auto all = [](std::size_t) { return true; };
    if (part.characteristics.front().known_parts.cols() > 0)
        add("all known errors", no_input, all).known = true;
    add(
        "all that is not known", [is_part](const Input& i) { return !is_part(i); }, none);
    add("all that differs from part to part", is_part, none);
    add(
        "everything", [](const Input&) { return true; }, all);
    auto quiet = options;
    quiet.threads = 1;
    propagate::parallel(tasks.size(), options.threads, [&](std::size_t i) {
        auto& task = tasks[i];
        const auto t = [&](double factor) {
            return first_look(scaled(part, task.input, task.known, factor), quiet, true)[0]
                .smallest;
        };
        task.shrink.at_zero = t(0);
        if (task.shrink.at_zero > target)
            return;
        if (t(1) <= target) {
            task.shrink.factor = 1;
            return;
        }
        double fits = 0;
        double fails = 1;
        for (int k = 0; k < halvings; ++k) {
            const double middle = (fits + fails) / 2;
            (t(middle) <= target ? fits : fails) = middle;
        }
        task.shrink.factor = fits;
    });
    std::vector<Shrink> shrinks;
    for (auto& task : tasks)
        shrinks.push_back(std::move(task.shrink));
    return shrinks;
}

double chance_of_yes(const PartModel& before,
                     const PartModel& after,
                     bool disagreement,
                     const Job& job,
                     const AnswerOptions& o,
                     std::size_t outcomes) {
    const auto covariance = [](const PartModel& part) {
        const auto& effect = part.characteristics.front().effect;
        Eigen::VectorXd variances(effect.cols());
        for (Eigen::Index j = 0; j < effect.cols(); ++j)
            variances[j] = variance(part.inputs[static_cast<std::size_t>(j)]);
        return Eigen::MatrixXd(effect * variances.asDiagonal() * effect.transpose());
    };
    // C - C': what the check takes away is what the estimate may move by.
    const Eigen::SelfAdjointEigenSolver<Eigen::MatrixXd> moves(covariance(before) -
                                                               covariance(after));
    const Eigen::VectorXd deviations = moves.eigenvalues().cwiseMax(0).cwiseSqrt();
    const double largest = deviations.maxCoeff();
    std::vector<Eigen::Index> directions;
    for (Eigen::Index j = 0; j < deviations.size(); ++j)
        if (deviations[j] > 1e-3 * largest && largest > 0)
            directions.push_back(j);
    std::vector<std::vector<double>> draws(directions.size(), std::vector<double>(outcomes));
    for (std::size_t j = 0; j < directions.size(); ++j) {
        // the weightiest first, so that its draws do not hang on how many others there are
        stats::fill_uniform(o.seed,
                            stats::name_hash(fmt::format("outcome of a check, direction {}",
                                                         directions.size() - j)),
                            0,
                            draws[j]);
        for (double& u : draws[j])
            u = stats::normal_quantile(u);
    }
    auto options = promise_options(job, o);
    options.threads = 1;
    if (o.trials == 0)
        options.worlds = options.parts_in_world = 500; // a glance
    std::vector<unsigned char> yes(outcomes, 0);
    propagate::parallel(outcomes, o.threads, [&](std::size_t t) {
        auto seen = after;
        auto& one = seen.characteristics[0];
        one.known_parts.resize(one.known.size(), 0); // what it is made of is not asked
        one.known_names.clear();
        one.known_evidence.clear();
        for (std::size_t j = 0; j < directions.size(); ++j)
            one.known +=
                draws[j][t] * deviations[directions[j]] * moves.eigenvectors().col(directions[j]);
        const auto p = first_look(seen, options, false)[0];
        yes[t] = rule(p, o, disagreement).verdict == Verdict::yes ? 1 : 0;
    });
    return static_cast<double>(std::count(yes.begin(), yes.end(), 1)) /
           static_cast<double>(outcomes);
}

} // namespace holdable
