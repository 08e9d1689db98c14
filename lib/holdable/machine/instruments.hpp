// SPDX-License-Identifier: MIT
/// The shop's measuring gear, as certificates, grades or the maker describe it.
#pragma once

#include "holdable/base/date.hpp"
#include "holdable/propagate/input.hpp"

#include <optional>
#include <string>
#include <vector>

namespace holdable {

/// Who calibrated an instrument, and until when that holds.
struct Certificate {
    std::string reference;    ///< number on the certificate
    std::optional<Date> due;  ///< day on which it runs out
    std::optional<Date> date; ///< day of the calibration
};

/// A lever or plunger indicator.
struct Indicator {
    std::string name;
    double resolution = 0; ///< smallest difference read (m)
    double gain_doubt = 0; ///< relative half-width of its gain, rectangular (pure number)
    Evidence gain_evidence = Evidence::typical;
    double repeatability = 0;     ///< standard deviation of one reading (m)
    double repeatability_dof = 0; ///< its degrees of freedom; 0 = well known
    Evidence repeatability_evidence = Evidence::typical;
    std::optional<Certificate> certificate;
    double range = 0; ///< from end to end of its measurement; 0 = not stated (m)
};

/// A square. Its error σ is the lean of the edge towards the side its base leg points to, so that
/// the included angle is 90° - σ.
struct Square {
    std::string name;
    double length = 0;    ///< of the edge (m)
    double lean = 0;      ///< σ as certified, else 0 (rad)
    double standard = 0;  ///< standard uncertainty of σ if certified (rad)
    double limit = 0;     ///< half-width of σ, rectangular, if only a grade is known (rad)
    double edge_form = 0; ///< straightness of its edge, peak to valley (m)
    Evidence evidence = Evidence::specification;
    Evidence form_evidence = Evidence::typical;
    std::optional<Certificate> certificate;
};

/// A straightedge.
struct Straightedge {
    std::string name;
    double length = 0; ///< of its edge (m)
    double form = 0;   ///< straightness of its edge, peak to valley (m)
    Evidence form_evidence = Evidence::typical;
    std::optional<Certificate> certificate;
};

/// A spirit or electronic level.
struct Level {
    std::string name;
    double division = 0;      ///< slope of one division (rad)
    double read_to = 0.2;     ///< smallest part of a division read
    double gain_doubt = 0.05; ///< relative half-width of its sensitivity, rectangular
    Evidence gain_evidence = Evidence::typical;
    std::optional<Certificate> certificate;
};

/// What a length standard is.
enum class LengthKind {
    blocks,      ///< gauge blocks, set against a stop one after the other
    step_gauge,  ///< one bar with many faces, set once
    displacement ///< it reads how far the axis went: a scale with its reader, a laser
};

/// What the travel of an axis is compared with.
struct LengthStandard {
    std::string name;
    LengthKind kind = LengthKind::blocks;
    std::vector<double> lengths;    ///< from its zero face, nominal; displacement: empty (m)
    std::vector<double> deviations; ///< of each, as certified, else 0 (m)
    double standard = 0;            ///< standard uncertainty of each length by itself (m)
    double limit = 0;               ///< half-width of each, rectangular, if not certified (m)
    double scale_standard = 0;      ///< standard uncertainty common to all lengths (m/m)
    double scale_limit = 0;         ///< half-width of it, rectangular, if not certified (m/m)
    Evidence evidence = Evidence::specification;
    double setting = 0; ///< of a length each time it is set, half-width, rectangular (m)
    Evidence setting_evidence = Evidence::typical;
    double expansion = 0;       ///< coefficient; 0 where it does not expand (1/K)
    double expansion_doubt = 0; ///< half-width of it, rectangular (1/K)
    double resolution = 0;      ///< displacement: smallest difference read (m)
    std::optional<Certificate> certificate;
};

} // namespace holdable
