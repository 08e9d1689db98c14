// SPDX-License-Identifier: MIT
/// What can be promised of parts not yet cut (docs/theory.md, 6).
///
/// Every characteristic of a part is reduced from a few signed numbers, d = known + effect · ξ,
/// with ξ the elementary inputs. Inputs shared by the whole job (and, for a promise over one
/// set-up, by the set-up and the tool) are knowledge k: drawn once for a world of parts. The others
/// are drawn for every part. Y(k) is the yield in one such world. Two numbers, never confused: the
/// chance that the next part is good, which is the mean of Y, and the yield that is assured with
/// confidence C, its (1 - C)-quantile. The smallest tolerance t(P, C) is the C-quantile over
/// knowledge of the P-quantile over parts.
///
/// All characteristics see the same draws, and the parts of every world are the same draws too, so
/// that results compare.
#pragma once

#include "holdable/base/progress.hpp"
#include "holdable/propagate/input.hpp"

#include <Eigen/Core>

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

namespace holdable {

/// How a characteristic's value follows from its signed numbers d.
enum class Reduction {
    signed_value, ///< d has 1 element: the value is d itself (size, distance), of either sign
    magnitude,    ///< value = |d| (2-norm): an axis's perpendicularity, d its tilt times length
    twice_worst, ///< points are pairs (x, y): value = 2 · max |pair|: position, a pair for each end
    width,       ///< value = max − min of the points: orientation of a face, run-out, and form
    twice_largest ///< value = 2 · max |point|: a profile about its true form
};

/// Points on a curve: moved across by t, a point comes out t²/(2 r) larger, which the linear d leaves
/// out. Of the distance of two axes r is the distance; of a round surface its radius, and t counts
/// from the centre that fits best.
struct Bend {
    double radius = 0;     ///< r (m); 0: nothing bends
    Eigen::VectorXd known; ///< known t of each point (m)
    /// t of each point by each input, points × n or fewer: inputs added later move nothing across.
    Eigen::MatrixXd effect;
};

/// One characteristic of the part, with its limits.
///
/// d holds the points, then what is folded, then the bonus. The last three reductions look at
/// z = d_points + folded · |d_folded|.
struct Characteristic {
    std::string name;
    Reduction reduction = Reduction::signed_value;
    Eigen::VectorXd known;  ///< known, uncorrected errors, shape q (m)
    Eigen::MatrixXd effect; ///< effect of each input, shape q × n (m per its unit)
    /// Motions that may be taken off the points, as the zone floats: the value is the least that
    /// any of z − free · c has. Points × f, of `width` (flatness: x, y; roundness: cos, sin; a
    /// constant is always free) and of `twice_worst` (a pattern without further datum: translation
    /// and rotation, two rows a pair). Empty: the zone stands.
    Eigen::MatrixXd free;
    /// Points × r: the r elements of d after the points enter by their magnitude, as the dish of a
    /// milled face follows |tilt|.
    Eigen::MatrixXd folded;
    /// The last element of d is a size less its maximum-material size, + where there is more room:
    /// the value of `twice_worst` is less by it, and may be negative.
    bool bonus = false;
    std::optional<double> lower;          ///< lower limit of a signed value (m)
    double upper = 0;                     ///< upper limit (m)
    std::vector<std::string> known_names; ///< what each column of `known_parts` is, shop words
    Eigen::MatrixXd known_parts;          ///< the known errors apart; rows sum to `known`, q × r
    /// What each of them rests on: the middle of a guess is one too. Empty: all measured.
    std::vector<Evidence> known_evidence = {};
    Bend bend = {}; ///< by what its points lie on
};

/// A part: its inputs and its characteristics. All refer to the same inputs.
struct PartModel {
    std::vector<Input> inputs; ///< shape n; their laws are deviations from the estimate
    std::vector<Characteristic> characteristics;
};

/// What to promise, and how carefully to compute it.
struct PromiseOptions {
    double parts = 0.95;         ///< P: share of the parts that must be good, in (0.5, 1)
    double confidence = 0.95;    ///< C: confidence in that, in (0.5, 1)
    int quantity = 1;            ///< parts of the batch, ≥ 1
    bool several_setups = false; ///< set-up and tool are drawn anew for each part
    std::uint64_t seed = 1;
    std::size_t worlds = 2000;         ///< knowledge draws to begin with
    std::size_t parts_in_world = 1000; ///< part draws to begin with, common to all worlds
    std::size_t most_worlds = 32000;   ///< cap on knowledge draws
    unsigned threads = 0;              ///< 0 = all cores; changes no digit
    Progress progress{};               ///< of `promise`: is told how far it has come
};

/// One line of "what limits it".
struct Share {
    std::string name;    ///< group of inputs, or "known: …"
    std::string meaning; ///< shop words
    double share = 0;    ///< (∂t/∂ln scale)/t; all shares and known errors sum to 1
    Evidence evidence = Evidence::measured;
    bool known = false; ///< a known error, which adds with its sign
    Sharing sharing = Sharing::job;
};

/// What can be promised of one characteristic.
struct Promise {
    std::string name;
    double smallest = 0;              ///< t(P, C): half-width if signed, upper limit if not (m)
    double smallest_error = 0;        ///< its standard error (m)
    double smallest_9973 = 0;         ///< t(0.9973, C) (m)
    double smallest_9973_error = 0;   ///< its standard error (m)
    double next_part = 0;             ///< chance that the next part is good = expected yield
    double assured_yield = 0;         ///< Y with confidence C
    double gamma = 0;                 ///< share of worlds with Y ≥ P
    double gamma_error = 0;           ///< its standard error
    double gamma_without_guesses = 0; ///< the same, assumed and typical inputs at their mean
    double gamma_without_guesses_error = 0; ///< its standard error
    double next_part_limit = 0;      ///< P-quantile of the next part's value (or |value|) (m)
    double first_order_limit = 0;    ///< the same by first-order propagation (m)
    bool first_order_applies = true; ///< value at the estimate at least 2u (always if signed)
    double known_value = 0;          ///< value with every input at its mean (m)
    double standard_uncertainty = 0; ///< first-order u of the next part's value (m)
    std::size_t worlds = 0;          ///< knowledge draws used
    std::size_t parts_in_world = 0;  ///< part draws used, 0 = none, in closed form
    std::vector<Share> shares;       ///< largest first; |share| below 0.1 % left out
};

/// What can be promised of the part as a whole.
struct PromiseResult {
    std::vector<Promise> promises;  ///< in the order of the characteristics
    double whole_part = 0;          ///< chance that the next part is good in all of them
    double whole_part_assured = 0;  ///< joint yield with confidence C
    double all_good = 0;            ///< chance that every part of the batch is good
    double expected_out = 0;        ///< parts of the batch expected out
    int out_at_most = 0;            ///< with confidence C no more of the batch are out
    std::size_t worlds = 0;         ///< knowledge draws behind the numbers of the whole part
    std::size_t parts_in_world = 0; ///< part draws behind them, 0 = none, in closed form
    std::vector<std::string> notes;
};

/// Computes all of it by common draws (knowledge outer, parts inner).
///
/// d is linear in the inputs. Where points bend, 64 parts are looked at both ways in every run; if
/// the largest difference exceeds a hundredth of the first-order limit, it is taken off the limits
/// on each side and added to what is promised, and a note says so.
///
/// Sampling grows until the standard error of γ is below 0.005 and that of t below 1 %, or to the
/// caps, which is noted: `most_worlds` of each, and 3.2e7 worlds × parts (4e6 where a zone floats).
/// Within two standard errors of a threshold it grows once more. It grows for each characteristic
/// by itself; a part of several is judged as a whole by four times the worlds and twice the parts
/// to begin with.
/// @throws NumericError if P or C is outside (0.5, 1), a shape does not fit, or a number is not
/// finite
/// @source JCGM 101:2008 clause 7 for the sampling; ISO 16269-6:2014 is the limit case of few
/// readings and no other doubt (tested)
PromiseResult promise(const PartModel& part, const PromiseOptions& options);

/// A look at the sampling to begin with, which never grows: of each promise γ, γ without guesses
/// and their errors, and, where wanted, t(P, C) with its own; all else is 0.
/// @throws NumericError as `promise`
std::vector<Promise>
first_look(const PartModel& part, const PromiseOptions& options, bool smallest);

} // namespace holdable
