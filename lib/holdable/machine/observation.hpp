// SPDX-License-Identifier: MIT
/// What every check is made of: rows over the unknowns, the drift of a run, the noise of a reading.
///
/// A check's `observe` builds its rows from these; nothing else needs them.
#pragma once

#include "holdable/machine/model.hpp"

#include <Eigen/Core>

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace holdable {

/// One reading as an equation: value = row · ξ + noise.
struct Observation {
    std::string check;        ///< name of its check
    std::string what;         ///< which reading, in words
    Eigen::RowVectorXd row;   ///< shape of the unknowns declared when it was made
    double value = 0;         ///< (m or rad)
    std::vector<Input> noise; ///< what is new in this reading alone, zero mean
    int offsets = 0;          ///< free offsets and drifts of its run, on one reading of the run
    bool angle = false;       ///< the reading is a slope (rad), not a length (m)
    std::optional<double> closure = {}; ///< a station read again: less its first reading (m or rad)
    double balance = 0; ///< its weight in the sum of its check that no tilt moves (pure number)
};

/// What a check measures, one of its numbers.
struct Measurand {
    std::string meaning;      ///< shop words
    bool angle = true;        ///< rad, not m
    Eigen::RowVectorXd row;   ///< over the unknowns
    Eigen::RowVectorXd freed; ///< of this form the class is told to say nothing
    bool magnitude = false;   ///< has no sign: never below zero
};

/// A run's free offset: so wide that any reading decides it. @param size its standard uncertainty
Input offset_input(std::string name, double size);

inline constexpr double free_offset = 1e-3;     ///< for `offset_input` and `Drift` of lengths (m)
inline constexpr double free_level_zero = 1e-2; ///< the same of slopes (rad)

/// Refuses a check whose parts do not fit together. @throws InputError [check-shape]
void require_shape(bool holds, const std::string& check, const std::string& what);

/// Refuses repeats of another number than the readings of their run. A run that is only planned has
/// repeats without a spread: that of a single reading is expected. @throws InputError [check-shape]
void require_repeats(const std::string& check,
                     std::size_t readings,
                     const std::vector<double>& spread,
                     const std::vector<int>& repeats);

/// @throws InputError [instrument-unknown]
[[noreturn]] void
instrument_missing(const std::string& name, std::string_view kind, const std::string& check);

/// The instrument a check names. @throws InputError [instrument-unknown]
template <class Instrument>
const Instrument& find_instrument(const std::vector<Instrument>& all,
                                  const std::string& name,
                                  std::string_view kind,
                                  const std::string& check) {
    for (const auto& instrument : all)
        if (instrument.name == name)
            return instrument;
    instrument_missing(name, kind, check);
}

/// The gain of an indicator or a level, one unknown in every check that uses it; a row has -reading
/// times it. @param kind "indicator" or "level" @return index of the unknown
template <class Instrument>
int shared_gain(MachineModel& model, const Instrument& instrument, std::string_view kind) {
    const auto whose = std::string(kind) + " \"" + instrument.name + "\"";
    return model.shared(job_input(whose + ", gain",
                                  {},
                                  "gain of the " + whose,
                                  rectangular_law(instrument.gain_doubt),
                                  instrument.gain_evidence));
}

/// An observation under construction: coefficients by unknown, so that unknowns may still be added.
class Row {
  public:
    explicit Row(Eigen::RowVectorXd start) : row_(std::move(start)) {}

    /// Adds to the coefficient of an unknown, wherever that was declared.
    void add(int unknown, double coefficient);

    /// Adds a multiple of a form.
    void add(const Eigen::RowVectorXd& form, double factor);

    Eigen::RowVectorXd take() { return std::move(row_); }

  private:
    Eigen::RowVectorXd row_;
};

/// By how much a run failed to close, if it was closed (m or rad).
std::optional<double> moved(const std::optional<double>& closing,
                            const std::vector<double>& readings);

/// Drift over one run of readings: linear in time, and bent where only a straight line was closed.
class Drift {
  public:
    /// @param stem      name of the run
    /// @param typical   half-width of a run that was not closed (m or rad)
    /// @param free_size `free_offset` or `free_level_zero`
    /// @param closing   what `moved` gives
    Drift(MachineModel& model,
          const std::string& stem,
          double typical,
          double free_size,
          std::optional<double> closing);

    /// Whether the drift is as free as an offset: the closing reading decides it.
    bool closed() const { return closed_; }

    /// @param time 0 at the first reading, 1 at the last @param weight of it in a mean of readings
    void apply(Row& row, double time, double weight = 1) const;

  private:
    bool closed_;
    int linear_ = 0;
    int bend_ = 0;
};

inline constexpr double typical_drift = 2e-6; ///< over one run that was not closed, half-width (m);
                                              ///< common practice, no source
inline constexpr double typical_level_drift = 5e-6; ///< the same of a level's zero (rad)

/// The readings of one indicator or level in one check, some of them means of repeats. One standard
/// deviation is pooled over all repeats of the check: that of few readings says little.
class IndicatorNoise {
  public:
    IndicatorNoise(std::string check, const Indicator& indicator);

    /// A single reading of a level is as good as the part of a division that is read, as one
    /// standard deviation; all else as for an indicator.
    IndicatorNoise(std::string check, const Level& level);

    /// Takes in the repeats of one run. @param spread standard deviation at each station (m); empty
    /// where the readings are yet to come: each then scatters as a single one
    /// @param repeats readings averaged at each station; both empty where there are none
    void pool(const std::vector<double>& spread, const std::vector<int>& repeats);

    /// What is new in one reading: its repeat, and what the last digit hides.
    /// @param what which reading @param repeats of which it is the mean
    std::vector<Input> operator()(const std::string& what, int repeats) const;

  private:
    std::string check_;
    double step_;              // smallest difference read (m or rad)
    bool step_in_single_;      // what it hides is in the law of a single reading
    double single_;            // standard deviation of a single reading (m or rad)
    double single_dof_;        // of that, 0 = well known
    std::string single_scale_; // name of its doubt
    Evidence single_evidence_;
    double sum_ = 0; // Σ (n - 1) s²
    double dof_ = 0;
    bool expected_ = false; // the repeats are yet to come
};

} // namespace holdable
