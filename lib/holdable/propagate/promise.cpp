// SPDX-License-Identifier: MIT
#include "holdable/propagate/promise.hpp"

#include "holdable/base/error.hpp"
#include "holdable/propagate/bend.hpp"
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
#include <numeric>

namespace holdable {
namespace {

using namespace propagate;
using Eigen::Index;

constexpr double gamma_wanted = 0.005;   ///< standard error of γ that ends the sampling
constexpr double smallest_wanted = 0.01; ///< relative standard error of t that ends it
constexpr double most_products = 3.2e7;  ///< worlds × parts at most
constexpr double most_floating = 4e6; ///< the same, where a zone floats and each part is searched
constexpr double share_shown = 1e-3;  ///< smaller ones are left out
constexpr double bend_borne = 0.01;   ///< of the first-order limit: less is not made up for

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

/// The part with one of its characteristics, and the inputs that act on it. The draws of an input
/// hang on its name alone, so they are those of the whole part.
PartModel only(const PartModel& part, std::size_t c) {
    const Characteristic& one = part.characteristics[c];
    PartModel model;
    std::vector<Index> acting;
    for (Index i = 0; i < one.effect.cols(); ++i)
        if (!one.effect.col(i).isZero(0)) {
            acting.push_back(i);
            model.inputs.push_back(part.inputs[static_cast<std::size_t>(i)]);
        }
    model.characteristics.push_back(one);
    model.characteristics[0].effect = one.effect(Eigen::all, acting);
    model.characteristics[0].bend = {}; // made up for by now
    return model;
}

/// The part with its limits narrowed by what its linear numbers leave out, and by how much (m).
class Straightened {
  public:
    Straightened(const PartModel& part, const PromiseOptions& options)
        : left_out(part.characteristics.size(), 0.0) {
        for (std::size_t c = 0; c < left_out.size(); ++c)
            if (part.characteristics[c].bend.radius > 0)
                look_at(part, c, options);
        if (!narrowed_.characteristics.empty())
            narrowed_.inputs = part.inputs;
    }

    const PartModel& part_of(const PartModel& asked) const {
        return narrowed_.characteristics.empty() ? asked : narrowed_;
    }

    std::vector<double> left_out; ///< of each characteristic; 0 where it does not matter

  private:
    void look_at(const PartModel& part, std::size_t c, const PromiseOptions& options) {
        const double most = left_out_by_bending(part, c, options);
        if (most <= bend_borne * first_order(part, c, options.parts).limit)
            return;
        left_out[c] = most;
        if (narrowed_.characteristics.empty())
            narrowed_.characteristics = part.characteristics;
        auto& limits = narrowed_.characteristics[c];
        const double off = limits.lower ? std::min(most, 0.49 * (limits.upper - *limits.lower))
                                        : most;
        limits.upper -= off;
        if (limits.lower)
            *limits.lower += off;
    }

    PartModel narrowed_; // empty where nothing matters
};

/// One stage for the part's only characteristic: the draws, and what decides whether they suffice.
class Sampling {
  public:
    Sampling(const PartModel& part, const PromiseOptions& options, const Stack& stack, Size wanted)
        : size(wanted),
          draws(draw(stack, options.seed, wanted.worlds, wanted.parts, options.threads)),
          inner(part.characteristics[0], part, stack, 0, draws.all) {
        const double p = options.parts;
        const auto chance_in = [&](const Inner& in, const std::vector<double>& y) {
            return chance(y, p, in.exact() ? 0 : size.parts);
        };
        stage.yields = yields(inner, size.worlds, options.threads);
        stage.gamma = chance_in(inner, stage.yields);
        stage.gamma_sure = stage.gamma;
        if (draws.sure.count() > 0) {
            const Inner sure(part.characteristics[0], part, stack, 0, draws.sure);
            stage.gamma_sure = chance_in(sure, yields(sure, size.worlds, options.threads));
        }
    }

    Sampling(const Sampling&) = delete; // `inner` refers to `draws`

    /// Finds t(P, C) as well.
    void find_smallest(const PartModel& part, const PromiseOptions& options) {
        const double p = options.parts;
        stage.smallest = assured(inner, stage.yields, p, options.confidence, options.threads);
        stage.scale =
            std::max(std::abs(stage.smallest.value), first_order(part, 0, p).standard_uncertainty);
    }

    /// How many times the worlds and the parts that are needed for the errors wanted; 1 = enough.
    std::pair<double, double> growth() const {
        if (stage.excess() <= 1)
            return {1, 1};
        // Half of the squared error is left to each of the two, and a tenth to chance.
        const auto times = [](double excess) {
            return std::clamp(2.2 * excess * excess, 1.0, 8.0);
        };
        return {times(stage.outer_excess()), times(stage.inner_excess())};
    }

    /// A verdict hangs on a γ within two standard errors of what it is compared with.
    bool near_threshold(const PromiseOptions& options) const {
        const auto near = [&](const Chance& c) {
            return c.near(options.confidence) || c.near(0.5);
        };
        return near(stage.gamma) || near(stage.gamma_sure);
    }

    /// The size grown so many times, as far as the caps allow.
    Size grown(const PromiseOptions& options, double worlds, double parts) const {
        worlds *= static_cast<double>(size.worlds);
        parts *= static_cast<double>(size.parts);
        const auto most = static_cast<double>(options.most_worlds);
        worlds = std::max(std::min(worlds, most), static_cast<double>(size.worlds));
        parts = std::max(std::min(parts, most), static_cast<double>(size.parts));
        const double products = inner.floats() ? most_floating : most_products;
        if (!inner.exact() && worlds * parts > products) {
            // Both give way alike, but neither shrinks.
            const double much = std::sqrt(worlds * parts / products);
            worlds = std::max(worlds / much, static_cast<double>(size.worlds));
            parts = std::max(std::min(parts, products / worlds), static_cast<double>(size.parts));
            worlds = std::max(std::min(worlds, products / parts), static_cast<double>(size.worlds));
        }
        return {static_cast<std::size_t>(worlds), static_cast<std::size_t>(parts)};
    }

    Size size;
    BothWorlds draws;
    Inner inner;
    Stage stage;
};

/// Reads "what limits it" from the parts near t in the worlds near t.
///
/// t is homogeneous of degree 1 in the known errors and all scales, and its derivative by ln scale
/// of an input is the mean of x's own derivative over what lies at t.
std::vector<Share> shares(const PartModel& part,
                          const PromiseOptions& options,
                          const Stack& stack,
                          const Sampling& sampling) {
    Weights weights;
    weights.on_shared.setZero(static_cast<Index>(sampling.size.worlds), stack.elements());
    weights.on_constant.setZero(stack.elements());
    for (const Eigen::MatrixXd& own : sampling.draws.all.own)
        weights.on_own.emplace_back(Eigen::MatrixXd::Zero(own.rows(), own.cols()));
    double total = 0;
    Eigen::VectorXd scatter = Eigen::VectorXd::Zero(stack.inputs());
    for (const auto& [k, weight] : sampling.stage.smallest.window)
        total += weight * sampling.inner.add_gradient(k, options.parts, weight, weights, scatter);
    if (total == 0)
        return {};
    const Eigen::MatrixXd by_element = contributions(
        stack, weights, options.seed, sampling.size.worlds, sampling.size.parts, options.threads);
    const Characteristic& one = part.characteristics[0];
    std::vector<Share> list;
    const auto known = [&](const std::string& what, double amount, Evidence evidence) {
        if (std::abs(amount / total) < share_shown)
            return;
        Share& share = list.emplace_back();
        share.name = "known: " + what;
        share.meaning = what;
        share.share = amount / total;
        share.known = true;
        share.evidence = evidence;
    };
    for (Index r = 0; r < one.known_parts.cols(); ++r) {
        const auto at = static_cast<std::size_t>(r);
        known(one.known_names[at],
              weights.on_constant.dot(one.known_parts.col(r)),
              one.known_evidence.empty() ? Evidence::measured : one.known_evidence.at(at));
    }
    if (one.known_parts.cols() == 0)
        known("errors not corrected", weights.on_constant.dot(one.known), Evidence::measured);
    known("limits not centred on the aim",
          -weights.on_constant.sum() * sampling.inner.middle(),
          Evidence::measured);

    std::map<std::string, std::size_t> place;
    std::vector<Share> groups;
    std::vector<double> largest;
    for (std::size_t i = 0; i < part.inputs.size(); ++i) {
        const Input& input = part.inputs[i];
        const double amount =
            (by_element.col(static_cast<Index>(i)).sum() + scatter[static_cast<Index>(i)]) / total;
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
    return list;
}

/// Joint yield of all characteristics, world by world.
std::vector<double>
yields_of_all(const PartModel& part, const Stack& stack, const PromiseOptions& options, Size size) {
    const BothWorlds draws = draw(stack, options.seed, size.worlds, size.parts, options.threads);
    std::vector<Inner> inner;
    for (std::size_t c = 0; c < part.characteristics.size(); ++c)
        inner.emplace_back(part.characteristics[c], part, stack, c, draws.all);
    return joint_yields(inner, size.worlds, size.parts, options.threads);
}

/// The sampling to begin with: at least 20 worlds and 20 parts beyond the quantiles asked for.
Size first_size(const PromiseOptions& options) {
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
    return {at_least(options.worlds, options.confidence, "a confidence"),
            at_least(options.parts_in_world, options.parts, "a share of the parts")};
}

void set_chances(Promise& p, const Stage& stage) {
    p.gamma = stage.gamma.value;
    p.gamma_error = stage.gamma.error();
    p.gamma_without_guesses = stage.gamma_sure.value;
    p.gamma_without_guesses_error = stage.gamma_sure.error();
    p.smallest = stage.smallest.value;
    p.smallest_error = stage.smallest.error();
}

/// All that is promised of the part's only characteristic.
struct One {
    Promise promise;
    std::vector<double> yields; ///< world by world
};

/// @param notes gets what fell short
One promise_one(const PartModel& part,
                const PromiseOptions& options,
                std::vector<std::string>& notes) {
    const Stack stack(part, options.several_setups);
    const auto sampled = [&](Size size) {
        auto sampling = std::make_unique<Sampling>(part, options, stack, size);
        sampling->find_smallest(part, options);
        return sampling;
    };
    auto sampling = sampled(first_size(options));
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
        sampling = sampled(next);
    }
    const Stage& stage = sampling->stage;
    const Size size = sampling->size;
    Promise p;
    p.name = part.characteristics[0].name;
    p.worlds = size.worlds;
    p.parts_in_world = sampling->inner.exact() ? 0 : size.parts;
    set_chances(p, stage);
    const Assured wide =
        assured(sampling->inner, stage.yields, 0.9973, options.confidence, options.threads);
    p.smallest_9973 = wide.value;
    p.smallest_9973_error = wide.error();
    p.next_part = mean(stage.yields);
    p.assured_yield = quantile(stage.yields, 1 - options.confidence);
    const FirstOrder first = first_order(part, 0, options.parts);
    p.first_order_limit = first.limit;
    p.first_order_applies = first.applies;
    p.known_value = first.value;
    p.standard_uncertainty = first.standard_uncertainty;
    p.next_part_limit = next_part_limit(sampling->inner,
                                        size.worlds,
                                        size.parts,
                                        options.parts,
                                        stage.smallest.value,
                                        stage.scale,
                                        options.threads);
    p.shares = shares(part, options, stack, *sampling);
    if (stage.excess() > 1)
        notes.push_back(fmt::format(
            "'{}': the sampling ended at its cap with a standard error of {:.2g} in the "
            "confidence (wanted {}) and of {:.2g} % in the smallest tolerance (wanted {} %)",
            p.name,
            std::max(stage.gamma.error(), stage.gamma_sure.error()),
            gamma_wanted,
            stage.scale > 0 ? 100 * stage.smallest.error() / stage.scale : 0.0,
            100 * smallest_wanted));
    return {std::move(p), stage.yields};
}

} // namespace

PromiseResult promise(const PartModel& asked, const PromiseOptions& options) {
    check(options);
    const Straightened straightened(asked, options);
    const PartModel& part = straightened.part_of(asked);
    const Stack stack(part, options.several_setups);
    PromiseResult result;
    std::vector<double> joint;
    const auto count = part.characteristics.size();
    Told told(options.progress, "simulating parts", count > 1 ? count + 1 : count);
    for (std::size_t c = 0; c < count; ++c) {
        auto one = promise_one(only(part, c), options, result.notes);
        if (const double more = straightened.left_out[c]; more > 0) {
            one.promise.smallest += more;
            one.promise.smallest_9973 += more;
            one.promise.next_part_limit += more;
            result.notes.push_back(
                fmt::format("'{}': what moves across the direction measured counts as well here, "
                            "up to {:.2g} % of what is promised: added there, taken off the "
                            "tolerance",
                            one.promise.name,
                            100 * more / one.promise.smallest));
        }
        result.promises.push_back(std::move(one.promise));
        joint = std::move(one.yields);
        told.add();
    }
    result.worlds = result.promises[0].worlds;
    result.parts_in_world = result.promises[0].parts_in_world;
    if (part.characteristics.size() > 1) {
        Size size = first_size(options);
        size.worlds = std::min(4 * size.worlds, std::max(size.worlds, options.most_worlds));
        size.parts *= 2;
        joint = yields_of_all(part, stack, options, size);
        result.worlds = size.worlds;
        result.parts_in_world = size.parts;
    }
    result.whole_part = mean(joint);
    result.whole_part_assured = quantile(joint, 1 - options.confidence);
    result.all_good = all_good(joint, options.quantity);
    result.expected_out = options.quantity * (1 - result.whole_part);
    result.out_at_most = out_at_most(joint, options.quantity, options.confidence);
    return result;
}

std::vector<Promise>
first_look(const PartModel& asked, const PromiseOptions& options, bool smallest) {
    check(options);
    const Straightened straightened(asked, options);
    const PartModel& part = straightened.part_of(asked);
    std::vector<Promise> promises;
    for (std::size_t c = 0; c < part.characteristics.size(); ++c) {
        const PartModel one = only(part, c);
        const Stack stack(one, options.several_setups);
        Sampling sampling(one, options, stack, first_size(options));
        if (smallest)
            sampling.find_smallest(one, options);
        promises.emplace_back().name = one.characteristics[0].name;
        set_chances(promises.back(), sampling.stage);
        if (smallest)
            promises.back().smallest += straightened.left_out[c];
    }
    return promises;
}

} // namespace holdable
