// SPDX-License-Identifier: MIT
// The readings of a check that is yet to come, as the present estimate predicts them.
#include "holdable/machine/observation.hpp"
#include "holdable/machine/plan_check.hpp"
#include "holdable/stats/distribution.hpp"

#include <algorithm>
#include <cmath>
#include <functional>

namespace holdable {
namespace {

constexpr double same_reading = 1e-13; // (m or rad)
constexpr int most_rounds = 20;

/// The unknowns as estimated, those of the new check at their means and its drifts as is typical.
Eigen::VectorXd expected(const MachineState& state, const MachineModel& with, double drift) {
    const auto known = state.estimate.size();
    Eigen::VectorXd all(static_cast<Eigen::Index>(with.unknowns().size()));
    all.head(known) = state.estimate;
    for (auto j = known; j < all.size(); ++j) {
        const auto& unknown = with.unknowns()[static_cast<std::size_t>(j)];
        // a run that closes shows its drift; the readings between follow it
        const bool drifts =
            unknown.name.ends_with(", drift") && unknown.evidence == Evidence::measured;
        all[j] = drifts ? drift : stats::mean(unknown.law);
    }
    return all;
}

/// Moves each reading by what its row leaves, until nothing is left: rows hang on the readings by
/// gains alone. @param move takes the check and, in the order of its rows, what each leaves
template <class Check, class Move>
void settle(const MachineState& state, Check& check, double drift, Move move) {
    for (int round = 0; round < most_rounds; ++round) {
        auto model = state.model;
        std::vector<Observation> rows;
        observe(model, check, rows);
        const auto xi = expected(state, model, drift);
        std::vector<double> left;
        double most = 0;
        for (const auto& row : rows) {
            left.push_back(row.row.dot(xi.head(row.row.size())) - row.value);
            most = std::max(most, std::abs(left.back()));
        }
        if (most < same_reading)
            return;
        move(check, left);
    }
}

/// Hands out what is left, one after the other.
class Each {
  public:
    explicit Each(const std::vector<double>& left) : left_(left) {}

    void operator()(double& reading) { reading += left_.at(at_++); }

    void operator()(std::vector<double>& readings) {
        for (double& reading : readings)
            (*this)(reading);
    }

    void operator()(std::optional<double>& reading) {
        if (reading)
            (*this)(*reading);
    }

    double next() { return left_.at(at_++); }

  private:
    const std::vector<double>& left_;
    std::size_t at_ = 0;
};

} // namespace

void foretell(const MachineState& state, SquareCheck& check) {
    settle(state, check, typical_drift, [](SquareCheck& c, const std::vector<double>& left) {
        Each each(left);
        for (auto& s : c.settings) {
            each(s.edge_readings);
            each(s.closing);
            each(s.leg_readings);
        }
    });
}

void foretell(const MachineState& state, FlatSquareCheck& check) {
    settle(state, check, typical_drift, [](FlatSquareCheck& c, const std::vector<double>& left) {
        Each each(left);
        for (auto& s : c.settings)
            for (auto* run : {&s.leg, &s.edge}) {
                each(run->readings);
                each(run->closing);
            }
    });
}

void foretell(const MachineState& state, StraightnessCheck& check) {
    settle(state, check, typical_drift, [](StraightnessCheck& c, const std::vector<double>& left) {
        Each each(left);
        for (auto& s : c.settings) {
            each(s.readings);
            each(s.closing);
        }
    });
}

void foretell(const MachineState& state, LevelCheck& check) {
    settle(state, check, typical_level_drift, [](LevelCheck& c, const std::vector<double>& left) {
        Each each(left);
        // of two, that on the head counts +1: it takes all
        const bool both = c.rides == LevelRides::both;
        each(both ? c.head_readings : c.readings);
        each(both ? c.head_closing : c.closing);
        if (c.turned)
            each(c.turned->reading);
    });
}

void foretell(const MachineState& state, TramCheck& check) {
    settle(state, check, typical_drift, [](TramCheck& c, const std::vector<double>& left) {
        Each each(left);
        each(c.readings);
        each(c.closing);
    });
}

void foretell(const MachineState& state, TestBarCheck& check) {
    settle(state, check, typical_drift, [](TestBarCheck& c, const std::vector<double>& left) {
        Each each(left);
        for (auto& s : c.settings) {
            each(s.readings);
            each(s.closing);
        }
    });
}

void foretell(const MachineState& state, TableCheck& check) {
    if (!state.model.has_table())
        return; // nothing is known of it but that it is flat on average: zeros
    const bool level = !check.level.empty();
    settle(state,
           check,
           level ? typical_level_drift : typical_drift,
           [level](TableCheck& c, const std::vector<double>& left) {
               Each each(left);
               if (!level) {
                   each(c.readings);
                   each(c.closing);
               } else
                   for (auto& line : c.lines) {
                       each(line.readings);
                       each(line.closing);
                   }
           });
}

void foretell(const MachineState& state, PositioningCheck& check) {
    // a surface that is farther reads more, and the axis is less far: see `deviations`
    const double sign = check.indicator.empty() ? 1 : -1;
    settle(
        state, check, typical_drift, [sign](PositioningCheck& c, const std::vector<double>& left) {
            Each each(left);
            for (const bool plus : {true, false})
                for (std::size_t i = 0; i < c.targets.size(); ++i) {
                    if (std::none_of(c.runs.begin(), c.runs.end(), [plus](const auto& run) {
                            return run.towards_plus == plus;
                        }))
                        continue;
                    const double more = sign * each.next();
                    for (auto& run : c.runs)
                        if (run.towards_plus == plus)
                            run.readings[i] += more;
                }
            if (c.closing)
                *c.closing += sign * each.next();
        });
}

void foretell(const MachineState& state, CircleCheck& check) {
    settle(state, check, typical_drift, [](CircleCheck& c, const std::vector<double>& left) {
        Each each(left);
        // Runs of one way round, of a disc turned alike, are one row an angle, in order.
        std::vector<std::pair<bool, double>> seen;
        for (const auto& first : c.runs) {
            const std::pair trace(first.counterclockwise, first.turned);
            if (std::find(seen.begin(), seen.end(), trace) != seen.end())
                continue;
            seen.push_back(trace);
            for (std::size_t i = 0; i < c.stations.size(); ++i) {
                const double more = each.next();
                for (auto& run : c.runs)
                    if (run.counterclockwise == trace.first && run.turned == trace.second)
                        run.readings[i] += more;
            }
        }
        each(c.closing);
    });
}

void foretell(const MachineState& state, RunOutCheck& check) {
    // Each seat as the spindle by itself would read, and apart as seats differ: sums of both
    // patterns and of their product are nothing.
    constexpr double x_pattern[] = {1, -1, 0, -1, 1};
    constexpr double y_pattern[] = {1, 1, 0, -1, -1};
    const auto typical = typical_seat_scatter();
    const auto vector_at = [&](double length) {
        const auto rows = state.model.run_out(length, check.date);
        return Eigen::Vector2d(rows * state.estimate.head(rows.cols()));
    };
    const auto read = [](const Eigen::Vector2d& at) {
        return RunOutReading{2 * at.norm(), at.norm() > 0 ? std::atan2(at.y(), at.x()) : 0};
    };
    for (std::size_t i = 0; i < check.seats.size(); ++i) {
        auto& seat = check.seats[i];
        const bool apart = check.seats.size() == std::size(x_pattern);
        const Eigen::Vector2d step =
            apart ? Eigen::Vector2d(x_pattern[i], y_pattern[i]) : Eigen::Vector2d(0, 0);
        const Eigen::Vector2d across(step.y(), step.x());
        seat.nose = read(vector_at(0) + typical.shift * step);
        if (seat.at_length)
            seat.at_length = read(vector_at(check.length) + typical.shift * step +
                                  check.length * typical.tilt * across);
    }
}

} // namespace holdable
