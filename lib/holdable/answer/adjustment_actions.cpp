// SPDX-License-Identifier: MIT
// Adjustments: what is known of an error is taken out, and a check shows what is left of it.
#include "holdable/answer/action_families.ipp"
#include "holdable/machine/corrections.hpp"
#include "holdable/machine/plan_check.hpp"

#include <fmt/format.h>

#include <cmath>

namespace holdable {
namespace {

constexpr double known = 0.5; // of its standard uncertainty: less is not known at all

/// What of a machine can be set right.
Eigen::RowVectorXd row_of(const MachineModel& model, int parameter, Date day) {
    if (parameter == a0c_index || parameter == b0c_index)
        return model.spindle_tilt(parameter == a0c_index ? Axis::x : Axis::y, day);
    if (parameter >= c0y_index)
        return model.parameter(parameter, 0, day);
    const auto& travel = model.shop().travel[static_cast<std::size_t>(parameter / 6)];
    return (model.parameter(parameter, travel.high, day) -
            model.parameter(parameter, travel.low, day)) /
           (travel.high - travel.low);
}

/// Takes out what is known of a parameter on a day.
void correct(Shop& shop, const Job& job, int parameter, Date day) {
    const auto state = state_for(shop, job, day);
    const auto now = state.of(row_of(state.model, parameter, day));
    shop.corrections.push_back({parameter, -now.value, day});
}

/// A check more, which reads what is expected then.
template <class Check>
void show(Shop& shop, const Job& job, std::vector<Check> Shop::*checks, Check check, Date day) {
    check.name = free_name(shop, "after it: " + check.name);
    foretell(state_for(shop, job, day), check);
    (shop.*checks).push_back(std::move(check));
}

void show_square(Shop& shop, const Job& job, Axis across, Date day) {
    add_usual_gear(shop);
    auto check = plan_square(shop, across, best_square(shop), day);
    check.name = fmt::format("Z square to {}", letter(across));
    show(shop, job, &Shop::square_checks, std::move(check), day);
}

void show_flat_square(Shop& shop, const Job& job, Date day) {
    add_usual_gear(shop);
    auto check = plan_flat_square(shop, best_square(shop), day);
    check.name = "Y square to X";
    show(shop, job, &Shop::flat_square_checks, std::move(check), day);
}

Action adjustment(std::string name, std::string what, double minutes, std::string rests_on) {
    Action action;
    action.name = std::move(name);
    action.what = std::move(what);
    action.kind = ActionKind::adjustment;
    action.minutes = minutes;
    action.rests_on = std::move(rests_on);
    return action;
}

constexpr const char* stays =
    "what is known of it is taken out whole; its doubt stays but for what the check shows";

/// What is worth an adjustment: known, and not nothing.
class Known {
  public:
    explicit Known(const Facts& facts)
        : state_(state_for(facts.shop, facts.job, facts.day)), day_(facts.day) {}

    bool operator()(int parameter) const {
        const auto now = state_.of(row_of(state_.model, parameter, day_));
        return std::abs(now.value) > known * now.standard_uncertainty;
    }

  private:
    MachineState state_;
    Date day_;
};

void add_squareness(const Facts& facts, const Known& is_known, std::vector<Action>& all) {
    const auto day = facts.day;
    const double minutes = facts.minutes_of("correct a squareness");
    for (const auto across : {Axis::x, Axis::y}) {
        const int parameter = across == Axis::x ? b0z_index : a0z_index;
        if (!is_known(parameter))
            continue;
        auto action = adjustment(
            fmt::format("correct-z-to-{}", across == Axis::x ? "x" : "y"),
            fmt::format("correct in the control how Z leans in {}, and check it by a square",
                        letter(across)),
            minutes + facts.minutes_of("square check"),
            fmt::format("the control moves {} along with Z; {}", letter(across), stays));
        action.instead = across == Axis::x ? "lean of Z in X" : "lean of Z in Y";
        action.carry_out = [parameter, across, day](Shop& shop, Job& job) {
            correct(shop, job, parameter, day);
            show_square(shop, job, across, day);
        };
        all.push_back(std::move(action));
    }
    if (is_known(c0y_index)) {
        auto action = adjustment("correct-y-to-x",
                                 "correct in the control how Y leans in X, and check it by a "
                                 "square lying flat",
                                 minutes + facts.minutes_of("flat square check"),
                                 fmt::format("the control moves X along with Y; {}", stays));
        action.carry_out = [day](Shop& shop, Job& job) {
            correct(shop, job, c0y_index, day);
            show_flat_square(shop, job, day);
        };
        all.push_back(std::move(action));
    }
    if (is_known(b0z_index) || is_known(a0z_index)) {
        auto action = adjustment("square-the-column",
                                 "set the column square by shims, and check it by a square in "
                                 "both planes",
                                 facts.minutes_of("square the column"),
                                 "what was known of how Z goes ends with it, but for what the "
                                 "checks show");
        action.instead = "lean of Z in X"; // with that in Y it is rarely worth combining
        action.carry_out = [day](Shop& shop, Job& job) {
            correct(shop, job, b0z_index, day);
            correct(shop, job, a0z_index, day);
            shop.events.push_back(
                {EventKind::adjustment, day, Axis::z, "the column was set square"});
            show_square(shop, job, Axis::x, day);
            show_square(shop, job, Axis::y, day);
        };
        all.push_back(std::move(action));
    }
}

void add_scales(const Facts& facts, const Known& is_known, std::vector<Action>& all) {
    for (const auto axis : {Axis::x, Axis::y, Axis::z}) {
        const int parameter = motion_index(static_cast<int>(axis), axis);
        if (!is_known(parameter))
            continue;
        auto action = adjustment(
            kebab(fmt::format("correct-scale-{}", letter(axis))),
            fmt::format("correct the scale of {} in the pitch table, and check its positioning",
                        letter(axis)),
            facts.minutes_of("correct a scale") + facts.minutes_of("positioning check"),
            stays);
        const double scatter = class_of(facts.shop).repeatability.high;
        action.carry_out = [parameter, axis, scatter, day = facts.day](Shop& shop, Job& job) {
            correct(shop, job, parameter, day);
            add_usual_gear(shop);
            if (auto check = plan_positioning(shop, axis, best_standard(shop), scatter, day)) {
                check->name = fmt::format("positioning of {}", letter(axis));
                show(shop, job, &Shop::positioning_checks, *check, day);
            }
        };
        all.push_back(std::move(action));
    }
}

void add_tram(const Facts& facts, const Known& is_known, std::vector<Action>& all) {
    if (!is_known(a0c_index) && !is_known(b0c_index))
        return;
    auto action = adjustment("tram-the-spindle",
                             "tram the spindle, and sweep it on a block, both ways",
                             facts.minutes_of("tram the spindle"),
                             stays);
    action.carry_out = [day = facts.day](Shop& shop, Job& job) {
        correct(shop, job, a0c_index, day);
        correct(shop, job, b0c_index, day);
        add_usual_gear(shop);
        auto check = plan_tram(shop, day);
        check.name = "sweep of the spindle";
        show(shop, job, &Shop::tram_checks, std::move(check), day);
    };
    all.push_back(std::move(action));
}

} // namespace

void add_adjustments(const Facts& facts, std::vector<Action>& all) {
    const Known is_known(facts);
    add_squareness(facts, is_known, all);
    add_scales(facts, is_known, all);
    add_tram(facts, is_known, all);
}

} // namespace holdable
