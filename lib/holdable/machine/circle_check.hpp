// SPDX-License-Identifier: MIT
/// Circle trace: the radius against the angle while X and Y go round a circle, read by a link
/// between table and spindle, or off a disc that the machine has cut.
///
/// Equation. The axes are sent round the centre c on the radius R; at the angle θ, 0 at +X and on
/// to +Y seen from above, n = (cos θ, sin θ), and s = +1 counterclockwise, -1 clockwise. The radial
/// deviation, outward positive, is
///
///     r = n · δ(c + R n) - ½ (L_X n_x sign v_x + L_Y n_y sign v_y)
///         + s (F/2) (τ_X - τ_Y) sin 2θ + R (α_X θ_X n_x² + α_Y θ_Y n_y²)
///         + n · (e + d t) + ρ + two-lobed + short wave + drift - g r,    v = s F (-sin θ, cos θ)
///
/// δ holds all error motions at that place and that tool length, so that yaw and pitch act over
/// their arms. L: lost motion (`MachineModel::lost_motion`), which keeps an axis out after it has
/// turned round; τ_X - τ_Y: lag of X behind Y (`lag_mismatch`) at the feed F, nothing where every
/// reading was taken at a stop; α θ: what the screw or scale of each axis has grown over 20 °C; e:
/// centre; d: it moves in time; ρ: radius; g: gain of the indicator. The short wave of a screw is
/// that of positioning_check.hpp.
///
/// Signatures, with δ of a squareness and of scales a, b alone:
///
///     squareness           -(C0Y R/2) sin 2θ            the same in both directions
///     scales a, b           R (a + b)/2 + R (a - b)/2 cos 2θ
///     lag                  ±(F/2) (τ_X - τ_Y) sin 2θ    the sign goes with the direction
///     lost motion of X     ±(L_X/2) cos θ sign sin θ    a step outward at 0° and 180°
///     lost motion of Y     ∓(L_Y/2) sin θ sign cos θ    a step outward at 90° and 270°
///
/// So one direction alone tells squareness from lag by the prior of the lag only. Where an axis is
/// turning round, within acos(1 - L/R), L the most that the class allows, and a degree more, it
/// stands somewhere in its lost motion: the reading there gets that as noise and no sign.
///
/// A centre off by e makes r longer by e_t²/2R across it; of a disc read on a turning table shorter
/// by as much. It is taken out with the centre that the readings show.
///
/// Link: one centre and one ρ for the whole check; ρ is free unless the length of the link is
/// known. Its pivot adds two lobes of unknown direction. Disc: each trace has a centre and a ρ of
/// its own. Two lobes come twice: those of the chuck and the turning of the disc while it is read
/// stay with the chuck, so that a disc turned in it parts them from the machine; those by which
/// the disc sprang when it was let go stay with the disc and look like squareness. Roughness and
/// chatter are new at every reading.
///
/// A row is the mean of the runs of one trace at one angle, their scatter pooled over the check, of
/// a disc without what a centre and a radius explain; with one run a trace it is the upper figure
/// of the class for repeatability.
///
/// Source: ISO 230-4 for the procedure. Typical values of what was not stated are common practice,
/// no source.
#pragma once

#include "holdable/base/date.hpp"

#include <Eigen/Core>

#include <array>
#include <optional>
#include <string>
#include <vector>

namespace holdable {

class MachineModel;
struct Measurand;
struct Observation;

/// What is read.
enum class CircleTrace {
    link, ///< an indicator in a link from a pivot on the table to the spindle, while axes move
    disc  ///< a disc or a bore that was cut by going round, read on a turning table afterwards
};

/// One time round.
struct CircleRun {
    bool counterclockwise = true; ///< the way X and Y went, seen from above
    double turned = 0; ///< disc: in its chuck while read, counterclockwise from above (rad)
    std::vector<double> readings; ///< in the order of the stations, whichever way; outward + (m)
};

/// Radius against angle.
struct CircleCheck {
    std::string name;
    Date date;
    CircleTrace trace = CircleTrace::link;
    std::string indicator;
    Eigen::Vector3d centre = Eigen::Vector3d::Zero(); ///< coordinates of the axes (m)
    double radius = 0;                                ///< that the axes are sent round on (m)
    double gauge_length = 0;          ///< spindle gauge point to the link's ball, or to where
                                      ///< the cutter cut what is read (m)
    double feed = 0;                  ///< along the path; 0: read at stops (m/s)
    std::vector<double> stations;     ///< 0 at +X, counterclockwise from above (rad)
    std::optional<double> lead;       ///< of both screws; none: no screws decide the place (m)
    double scale_expansion = 0;       ///< of the machine's own scales or screws (1/K)
    double scale_expansion_doubt = 0; ///< half-width (1/K)
    std::array<double, 2> scale_warmer = {}; ///< of X and Y, than 20 °C (K)
    std::optional<double> scale_doubt;       ///< of each of them (K)
    std::optional<double> thermometer;       ///< how far it may be off, the same for both (K)
    std::optional<double> radius_doubt; ///< of the link where it reads 0, half-width (m); none:
                                        ///< its length is not known
    std::optional<double> two_lobed;    ///< amplitude of what the reading adds twice a turn (m)
    std::optional<double> spring_back;  ///< disc: amplitude of its two lobes once let go (m)
    std::optional<double> surface;      ///< disc: roughness and chatter, peak to valley (m)
    std::vector<CircleRun> runs;        ///< in the order of time
    std::optional<double> closing;      ///< link: first reading of all taken again at the end (m)
    bool planned = false; ///< the readings are yet to come, zeros: they scatter as the class does
};

inline constexpr std::size_t circle_stations = 8; ///< fewer do not part the signatures

/// The angle from the first to the last of the stations, round the side where they lie (rad).
double circle_arc(const std::vector<double>& stations);

/// Radius and centre of a trace by least squares: r = ρ + a cos θ + b sin θ, shape 3: (ρ, a, b).
/// @param readings outward + (m)
Eigen::Vector3d circle_through(const std::vector<double>& stations,
                               const std::vector<double>& readings);

/// Adds the rows of the check to `observations`, and to the model the unknowns it brings in.
/// @throws InputError [check-shape], [instrument-unknown]
void observe(MachineModel& model, const CircleCheck& check, std::vector<Observation>& observations);

/// The squareness of Y to X and by how much the scale of X exceeds that of Y, as a least-squares
/// fit of the signatures finds them at these angles (rad); the mean of both scales where the length
/// of the link is known; with both directions the lost motions of X and Y and how far X lags
/// behind Y at that feed (m). All on the day of the check.
std::vector<Measurand> measured_by(const MachineModel& model, const CircleCheck& check);

} // namespace holdable
