// SPDX-License-Identifier: MIT
#include "holdable/propagate/promise.hpp"

#include "holdable/base/error.hpp"
#include "holdable/propagate/first_order.hpp"
#include "holdable/propagate/inner.hpp"
#include "holdable/propagate/outer.hpp"
#include "holdable/propagate/parallel.hpp"
#include "holdable/propagate/worlds.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <memory>

namespace holdable {
namespace {

using namespace propagate;
using Eigen::Index;

constexpr double gamma_wanted = 0.005;   ///< standard error of γ that ends the sampling
constexpr double smallest_wanted = 0.01; ///< relative standard error of t that ends it
constexpr double most_products = 6.4e7;  ///< worlds × parts at most
constexpr double share_shown = 1e-3;     ///< smaller ones are left out

void check(const PromiseOptions& o) {
    const auto level = [](double p, const char* what) {
        if (!(p > 0.5 && p < 1))
            throw NumericError(
                fmt::format("{} is {}; it must lie between 0.5 and 1, both excluded", what, p));
    };
    level(o.parts, "share of the parts");
    level(o.confidence, "confidence");
    if (o.quantity < 1)
        throw NumericError(fmt::format("quantity is {}; a batch has at least 1 part", o.quantity));
}

/// Size of a stage of the sampling.
struct Size {
    std::size_t worlds, parts;

    bool operator==(const Size&) const = default;
};

/// One characteristic after one stage.
struct Stage {
    std::vector<double> yields;
    Chance gamma, gamma_sure;
    Assured smallest;
    double scale = 0; ///< what the error of t is compared with (m)

    /// Errors from the number of worlds and of parts, over those wanted.
    double outer_excess() const {
        return std::max({gamma.outer_error / gamma_wanted,
                         gamma_sure.outer_error / gamma_wanted,
                         relative(smallest.outer_error)});
    }

    double inner_excess() const {
        return std::max({gamma.inner_error / gamma_wanted,
                         gamma_sure.inner_error / gamma_wanted,
                         relative(smallest.inner_error)});
    }

    double excess() const { return std::hypot(outer_excess(), inner_excess()); }

  private:
    double relative(double error) const {
        return scale > 0 ? error / scale / smallest_wanted : 0.0;
    }
};

/// One stage: the draws, and what decides whether they suffice.
class Sampling {
  public:
    Sampling(const PartModel& part, const PromiseOptions& options, const Stack& stack, Size wanted)
        : size(wanted),
          draws(draw(stack, options.seed, wanted.worlds, wanted.parts, options.threads)) {
        const std::size_t n = part.characteristics.size();
        stages.resize(n);
        for (std::size_t c = 0; c < n; ++c) {
            inner.emplace_back(part.characteristics[c], part, stack, c, draws.all);
            if (draws.sure.count() > 0)
                inner_sure.emplace_back(part.characteristics[c], part, stack, c, draws.sure);
        }
        const double p = options.parts;
        for (std::size_t c = 0; c < n; ++c) {
            Stage& s = stages[c];
            s.yields = yields(inner[c], size.worlds, options.threads);
            s.gamma = chance(s.yields, p, inner[c].exact() ? 0 : size.parts);
            s.gamma_sure = s.gamma;
            if (!inner_sure.empty())
                s.gamma_sure = chance(yields(inner_sure[c], size.worlds, options.threads),
                                      p,
                                      inner_sure[c].exact() ? 0 : size.parts);
        }
        parallel(n, options.threads, [&](std::size_t c) {
            stages[c].smallest = assured(inner[c], size.worlds, p, options.confidence);
            stages[c].scale = std::max(std::abs(stages[c].smallest.value),
                                       first_order(part, c, p).standard_uncertainty);
        });
    }

    Sampling(const Sampling&) = delete; // `inner` refers to `draws`

    /// How many times the worlds and the parts that are needed for the errors wanted; 1 = enough.
    std::pair<double, double> growth() const {
        double worlds = 1, parts = 1;
        for (const Stage& s : stages) {
            if (s.excess() <= 1)
                continue;
            // Half of the squared error is left to each of the two, and a tenth to chance.
            worlds = std::max(worlds, 2.2 * std::pow(s.outer_excess(), 2));
            parts = std::max(parts, 2.2 * std::pow(s.inner_excess(), 2));
        }
        return {std::min(worlds, 8.0), std::min(parts, 8.0)};
    }

    /// A verdict hangs on a γ within two standard errors of what it is compared with.
    bool near_threshold(const PromiseOptions& options) const {
        const auto near = [&](const Chance& c) {
            return c.near(options.confidence) || c.near(0.5);
        };
        return std::any_of(stages.begin(), stages.end(), [&](const Stage& s) {
            return near(s.gamma) || near(s.gamma_sure);
        });
    }

    /// The size grown so many times, as far as the caps allow.
    Size grown(const PromiseOptions& options, double worlds, double parts) const {
        worlds *= static_cast<double>(size.worlds);
        parts *= static_cast<double>(size.parts);
        const auto most = static_cast<double>(options.most_worlds);
        const bool exact =
            std::all_of(inner.begin(), inner.end(), [](const Inner& i) { return i.exact(); });
        worlds = std::max(std::min(worlds, most), static_cast<double>(size.worlds));
        parts = std::max(std::min(parts, most), static_cast<double>(size.parts));
        if (!exact && worlds * parts > most_products) {
            // Both give way alike, but neither shrinks.
            const double much = std::sqrt(worlds * parts / most_products);
            worlds = std::max(worlds / much, static_cast<double>(size.worlds));
            parts =
                std::max(std::min(parts, most_products / worlds), static_cast<double>(size.parts));
            worlds =
                std::max(std::min(worlds, most_products / parts), static_cast<double>(size.worlds));
        }
        return {static_cast<std::size_t>(worlds), static_cast<std::size_t>(parts)};
    }

    Size size;
    BothWorlds draws;
    std::vector<Inner> inner, inner_sure;
    std::vector<Stage> stages;
};

/// Reads "what limits it" from the parts near t in the worlds near t.
///
/// t is homogeneous of degree 1 in the known errors and all scales, and its derivative by ln scale
/// of an input is the mean of x's own derivative over what lies at t.
std::vector<std::vector<Share>> shares(const PartModel& part,
                                       const PromiseOptions& options,
                                       const Stack& stack,
                                       const Sampling& sampling) {
    const std::size_t n = part.characteristics.size();
    Weights weights;
    weights.on_shared.setZero(static_cast<Index>(sampling.size.worlds), stack.elements());
    weights.on_constant.setZero(stack.elements());
    for (const Eigen::MatrixXd& own : sampling.draws.all.own)
        weights.on_own.emplace_back(Eigen::MatrixXd::Zero(own.rows(), own.cols()));
    std::vector<double> total(n);
    std::vector<Eigen::VectorXd> scatter(n, Eigen::VectorXd::Zero(stack.inputs()));
    parallel(n, options.threads, [&](std::size_t c) {
        for (const auto& [k, weight] : sampling.stages[c].smallest.window)
            total[c] += weight * sampling.inner[c].add_gradient(
                                     k, options.parts, weight, weights, scatter[c]);
    });
    const Eigen::MatrixXd by_element = contributions(
        stack, weights, options.seed, sampling.size.worlds, sampling.size.parts, options.threads);
    std::vector<std::vector<Share>> all(n);
    for (std::size_t c = 0; c < n; ++c) {
        if (total[c] == 0)
            continue;
        const Characteristic& one = part.characteristics[c];
        const Index first = stack.first[c], q = one.known.size();
        const auto weight = weights.on_constant.segment(first, q);
        std::vector<Share>& list = all[c];
        const auto known = [&](const std::string& what, double amount) {
            if (std::abs(amount / total[c]) < share_shown)
                return;
            Share& share = list.emplace_back();
            share.name = "known: " + what;
            share.meaning = what;
            share.share = amount / total[c];
            share.known = true;
        };
        for (Index r = 0; r < one.known_parts.cols(); ++r)
            known(one.known_names[static_cast<std::size_t>(r)], weight.dot(one.known_parts.col(r)));
        if (one.known_parts.cols() == 0)
            known("errors not corrected", weight.dot(one.known));
        known("limits not centred on the aim", -weight.sum() * sampling.inner[c].middle());

        std::map<std::string, std::size_t> place;
        std::vector<Share> groups;
        std::vector<double> largest;
        for (std::size_t i = 0; i < part.inputs.size(); ++i) {
            const Input& input = part.inputs[i];
            const double amount = (by_element.col(static_cast<Index>(i)).segment(first, q).sum() +
                                   scatter[c][static_cast<Index>(i)]) /
                                  total[c];
            if (amount == 0)
                continue;
            const std::string& name = input.group.empty() ? input.name : input.group;
            const auto [at, fresh] = place.emplace(name, groups.size());
            if (fresh) {
                groups.emplace_back().name = name;
                groups.back().evidence = input.evidence;
                largest.push_back(-1);
            }
            Share& share = groups[at->second];
            share.share += amount;
            share.evidence = std::max(share.evidence, input.evidence);
            if (std::abs(amount) > largest[at->second]) {
                largest[at->second] = std::abs(amount);
                share.meaning = input.meaning;
                share.sharing = input.sharing;
            }
        }
        std::copy_if(groups.begin(), groups.end(), std::back_inserter(list), [](const Share& s) {
            return std::abs(s.share) >= share_shown;
        });
        std::stable_sort(list.begin(), list.end(), [](const Share& a, const Share& b) {
            return std::abs(a.share) > std::abs(b.share);
        });
    }
    return all;
}

/// Joint yield of all characteristics, world by world.
std::vector<double> joint_yields(const Sampling& sampling, unsigned threads) {
    if (sampling.inner.size() == 1)
        return sampling.stages[0].yields;
    std::vector<double> joint(sampling.size.worlds);
    constexpr std::size_t chunk = 64;
    parallel((joint.size() + chunk - 1) / chunk, threads, [&](std::size_t b) {
        std::vector<unsigned char> good(sampling.size.parts);
        for (std::size_t k = b * chunk; k < std::min(joint.size(), (b + 1) * chunk); ++k) {
            std::fill(good.begin(), good.end(), static_cast<unsigned char>(1));
            for (const Inner& i : sampling.inner)
                i.and_good(k, good);
            std::size_t count = 0;
            for (const unsigned char g : good)
                count += g;
            joint[k] = static_cast<double>(count) / static_cast<double>(good.size());
        }
    });
    return joint;
}

} // namespace

PromiseResult promise(const PartModel& part, const PromiseOptions& options) {
    check(options);
    const Stack stack(part, options.several_setups);
    // At least 20 worlds and 20 parts beyond the quantiles asked for.
    const auto at_least = [&](std::size_t count, double p, const char* what) {
        const double need = std::ceil(20 / (1 - p));
        if (need > static_cast<double>(options.most_worlds))
            throw NumericError(fmt::format("{} of {} needs {} draws, more than the cap of {}",
                                           what,
                                           p,
                                           need,
                                           options.most_worlds));
        return std::max(count, static_cast<std::size_t>(need));
    };
    Size size{at_least(options.worlds, options.confidence, "a confidence"),
              at_least(options.parts_in_world, options.parts, "a share of the parts")};
    auto sampling = std::make_unique<Sampling>(part, options, stack, size);
    for (bool asked_again = false;;) {
        auto [worlds, parts] = sampling->growth();
        if (worlds == 1 && parts == 1 && !asked_again && sampling->near_threshold(options)) {
            asked_again = true;
            worlds = 4;
            parts = 2;
        }
        const Size next = sampling->grown(options, worlds, parts);
        if (next == sampling->size)
            break;
        sampling = std::make_unique<Sampling>(part, options, stack, next);
    }

    PromiseResult result;
    result.worlds = sampling->size.worlds;
    result.parts_in_world = sampling->size.parts;
    result.promises.resize(part.characteristics.size());
    auto limits = shares(part, options, stack, *sampling);
    parallel(result.promises.size(), options.threads, [&](std::size_t c) {
        const Stage& stage = sampling->stages[c];
        Promise& p = result.promises[c];
        p.name = part.characteristics[c].name;
        p.smallest = stage.smallest.value;
        p.smallest_error = stage.smallest.error();
        const Assured wide =
            assured(sampling->inner[c], sampling->size.worlds, 0.9973, options.confidence);
        p.smallest_9973 = wide.value;
        p.smallest_9973_error = wide.error();
        p.next_part = mean(stage.yields);
        p.assured_yield = quantile(stage.yields, 1 - options.confidence);
        p.gamma = stage.gamma.value;
        p.gamma_error = stage.gamma.error();
        p.gamma_without_guesses = stage.gamma_sure.value;
        p.gamma_without_guesses_error = stage.gamma_sure.error();
        const FirstOrder first = first_order(part, c, options.parts);
        p.first_order_limit = first.limit;
        p.first_order_applies = first.applies;
        p.known_value = first.value;
        p.standard_uncertainty = first.standard_uncertainty;
        p.next_part_limit = next_part_limit(sampling->inner[c],
                                            sampling->size.worlds,
                                            sampling->size.parts,
                                            options.parts,
                                            stage.smallest.value,
                                            stage.scale);
        p.shares = std::move(limits[c]);
    });
    for (std::size_t c = 0; c < result.promises.size(); ++c)
        if (const Stage& s = sampling->stages[c]; s.excess() > 1)
            result.notes.push_back(fmt::format(
                "'{}': the sampling ended at its cap with a standard error of {:.2g} in the "
                "confidence (wanted {}) and of {:.2g} % in the smallest tolerance (wanted {} %)",
                result.promises[c].name,
                std::max(s.gamma.error(), s.gamma_sure.error()),
                gamma_wanted,
                s.scale > 0 ? 100 * s.smallest.error() / s.scale : 0.0,
                100 * smallest_wanted));

    const std::vector<double> joint = joint_yields(*sampling, options.threads);
    result.whole_part = mean(joint);
    result.whole_part_assured = quantile(joint, 1 - options.confidence);
    result.all_good = all_good(joint, options.quantity);
    result.expected_out = options.quantity * (1 - result.whole_part);
    result.out_at_most = out_at_most(joint, options.quantity, options.confidence);
    return result;
}

} // namespace holdable
