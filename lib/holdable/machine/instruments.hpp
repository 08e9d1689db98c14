// SPDX-License-Identifier: MIT
/// The shop's measuring gear, as certificates, grades or the maker describe it.
#pragma once

#include "holdable/base/date.hpp"
#include "holdable/propagate/input.hpp"

#include <optional>
#include <string>

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

} // namespace holdable
