// SPDX-License-Identifier: MIT
#include "holdable/files/instruments.hpp"

#include "holdable/files/fields.hpp"
#include "holdable/files/readings.hpp"
#include "holdable/standards/expansion.hpp"
#include "holdable/standards/reference_gear.hpp"

#include <fmt/format.h>

#include <cmath>
#include <numbers>

namespace holdable {
namespace {

constexpr double typical_gain = 0.03;               // of a lever indicator: see the header
constexpr double typical_edge_form = 2e-6;          // of a certified square, peak to valley (m)
constexpr double typical_straightedge_form = 10e-6; // of its length; common practice, no source

constexpr double typical_setting = 0.5e-6; // of a gauge block against a stop, half-width (m)

// Beyond it the square of the doubt counts beside a linear term: a worn-out instrument.
constexpr Range gain_range = {.low = 0, .high = 0.15, .low_open = true};
constexpr Range some_range = {.low = 0, .high = 0.1, .low_open = true};
constexpr Range some_scale_error = {.low = 0, .high = 1e-3, .low_open = true};
constexpr double steepest = 0.01; // 10 mm/m: no square and no level is worse (rad)

/// A rectangular law as wide as a standard uncertainty.
double half_width(double standard) {
    return std::numbers::sqrt3 * standard;
}

Certificate read_certificate(const Reader& field) {
    Certificate certificate;
    certificate.reference = read_name(field.at("number"));
    if (const auto due = field.find("due"))
        certificate.due = read_date(*due);
    if (const auto date = field.find("date")) {
        certificate.date = read_date(*date);
        if (certificate.date && certificate.due && *certificate.due < *certificate.date)
            date->report(
                Diagnostic{"date-order",
                           {},
                           "the certificate ran out before it was made",
                           "\"date\" is the day of the calibration, \"due\" its last day"});
    }
    return certificate;
}

/// The k beside a certificate's U [certificate-k].
double read_k(const Reader& certificate) {
    if (const auto k = certificate.find("k"))
        return k->number(Range::closed(1, 20));
    certificate.report(Diagnostic{"certificate-k",
                                  {},
                                  "the certificate's U stands without its k",
                                  "the certificate states it beside U, mostly as \"k\": 2"});
    return 1;
}

/// Whether the field is a quantity of that dimension; if it is none, that is reported elsewhere.
bool is_in(const Reader& field, const Dimension& dimension) {
    try {
        return field.node() != nullptr && field.node()->kind == Node::Kind::string &&
               parse_quantity(field.node()->text).unit.dimension == dimension;
    } catch (const InputError&) {
        return false;
    }
}

/// A relative U: in percent, or a length over the range it was found in.
double read_gain_of_indicator(const Reader& certificate) {
    const auto U = certificate.at("U");
    if (!certificate.has("over") && !is_in(U, {1, 0, 0, 0, 0}))
        return read_percent(U, gain_range);
    const double range = certificate.at("over").quantity(Measure::length, some_length);
    if (range == 0)
        return 0;
    return U.quantity(Measure::length, {.low = 0, .high = range / 2, .low_open = true}) / range;
}

/// A relative U: in percent, or as a slope beside the slope of a division.
double read_gain_of_level(const Reader& certificate, double division) {
    const auto U = certificate.at("U");
    const bool slope = U.node() != nullptr && U.node()->kind == Node::Kind::string &&
                       U.node()->text.find('%') == std::string::npos;
    if (!slope)
        return read_percent(U, gain_range);
    if (division == 0)
        return 0;
    return U.quantity(Measure::angle, {.low = 0, .high = division / 2, .low_open = true}) /
           division;
}

/// An error of a square: a slope, or a length over its edge. @param low_open it is more than 0
double read_lean(const Reader& field, double length, bool low_open) {
    Range range = {.low = 0, .high = steepest, .low_open = low_open};
    if (is_in(field, Dimension{}))
        return field.quantity(Measure::angle, range);
    if (length == 0)
        return 0;
    range.high *= length;
    return field.quantity(Measure::length, range) / length;
}

/// The lengths of a standard and what each is off by.
void read_lengths(const Reader& item, LengthStandard& standard) {
    const auto lengths = item.at("lengths");
    const bool read =
        sound(item, [&] { standard.lengths = lengths.quantities(Measure::length, some_height); });
    standard.deviations.assign(standard.lengths.size(), 0.0);
    const auto unit = read_unit(item.find("unit"), Measure::length);
    const auto deviations = item.find("deviations");
    if (!deviations)
        return;
    const auto found = read_single_readings(*deviations, unit);
    if (read && found.size() != standard.lengths.size())
        deviations->report(Diagnostic{
            "readings-count",
            {},
            fmt::format("{} deviations for {} lengths", found.size(), standard.lengths.size()),
            "each length has its deviation, in the same order"});
    else
        standard.deviations = found;
}

/// What is known of the lengths of a standard, by its certificate or by a limit.
void read_evidence_of(const Reader& item, LengthStandard& standard) {
    const bool reads = standard.kind == LengthKind::displacement;
    if (const auto certificate = item.find("certificate")) {
        standard.certificate = read_certificate(*certificate);
        standard.evidence = Evidence::certificate;
        const double k = read_k(*certificate);
        if (!reads)
            standard.standard = certificate->at("U").quantity(Measure::length, some_form) / k;
        const auto rate = reads ? std::optional(certificate->at("U_per_length"))
                                : certificate->find("U_per_length");
        if (rate)
            standard.scale_standard = rate->quantity(Measure::angle, some_scale_error) / k;
        return;
    }
    const auto limit = item.find(reads ? "limit_per_length" : "limit");
    if (limit && !reads)
        standard.limit = limit->quantity(Measure::length, some_form);
    const auto rate = item.find("limit_per_length");
    if (rate)
        standard.scale_limit = rate->quantity(Measure::angle, some_scale_error);
    if (!limit)
        item.report(Diagnostic{"evidence-missing",
                               {},
                               "the length standard has neither a certificate nor a limit",
                               reads ? "\"limit_per_length\" says how far it may be off"
                                     : "\"limit\" says how far each length may be off, as its "
                                       "grade allows"});
}

} // namespace

Indicator read_indicator(const Reader& item, std::vector<std::string>& notes) {
    Indicator indicator;
    indicator.resolution = item.at("resolution").quantity(Measure::length, some_form);
    indicator.repeatability = indicator.resolution / 2;
    if (const auto repeat = item.find("repeatability")) {
        const auto* node = repeat->node();
        if (node->kind == Node::Kind::object) {
            const auto unit = read_unit(repeat->find("unit"), Measure::length);
            const auto readings = read_repeats(repeat->at("readings"), unit, notes);
            if (readings.spread > 0) {
                indicator.repeatability = readings.spread;
                indicator.repeatability_dof = readings.repeats - 1;
                indicator.repeatability_evidence = Evidence::measured;
            }
        } else {
            indicator.repeatability = repeat->quantity(Measure::length, some_form);
            indicator.repeatability_evidence = Evidence::specification;
        }
    }
    indicator.gain_doubt = typical_gain;
    if (const auto certificate = item.find("certificate")) {
        indicator.certificate = read_certificate(*certificate);
        indicator.gain_doubt =
            half_width(read_gain_of_indicator(*certificate) / read_k(*certificate));
        indicator.gain_evidence = Evidence::certificate;
    } else if (const auto gain = item.find("gain")) {
        indicator.gain_doubt = read_percent(*gain, gain_range);
        indicator.gain_evidence = Evidence::specification;
    }
    if (const auto range = item.find("range")) {
        indicator.range = range->quantity(Measure::length, some_range);
        if (indicator.range > 0 && indicator.range < 2 * indicator.resolution)
            range->report(Diagnostic{"value-range",
                                     {},
                                     "a range of less than two of its divisions",
                                     "the range is how far it reads from end to end"});
    }
    return indicator;
}

Square read_square(const Reader& item) {
    Square square;
    square.length = item.at("length").quantity(Measure::length, Range::closed(0.01, 2));
    double form = typical_edge_form;
    const auto grade = item.find("grade");
    if (grade) {
        const auto word = grade->string();
        if (!word.empty() && square.length > 0)
            grade->attempt([&] {
                const double limit = square_grade_limit(word, square.length);
                square.limit = limit / square.length;
                form = limit / 2;
            });
    }
    if (const auto certificate = item.find("certificate")) {
        square.certificate = read_certificate(*certificate);
        square.evidence = Evidence::certificate;
        square.lean = read_lean(certificate->at("deviation"), square.length, false);
        if (square.lean > 0)
            square.lean *= certificate->at("leans").word<int>(
                {{"toward the leg", 1}, {"away from the leg", -1}});
        else
            certificate->has("leans");
        square.standard =
            read_lean(certificate->at("U"), square.length, true) / read_k(*certificate);
        square.limit = 0;
        form = typical_edge_form;
    } else if (!grade) {
        item.report(Diagnostic{"evidence-missing",
                               {},
                               "the square has neither a certificate nor a grade",
                               "write \"grade\": \"2\" if nothing else is known of it"});
    }
    square.edge_form = form;
    if (const auto edge = item.find("edge_form")) {
        square.edge_form = edge->quantity(Measure::length, some_form);
        square.form_evidence = Evidence::specification;
    }
    return square;
}

Straightedge read_straightedge(const Reader& item) {
    Straightedge edge;
    edge.length = item.at("length").quantity(Measure::length, Range::closed(0.05, 5));
    edge.form = typical_straightedge_form * edge.length;
    const auto form = item.find("form");
    if (form) {
        edge.form = form->quantity(Measure::length, some_form);
        edge.form_evidence = Evidence::specification;
    }
    if (const auto certificate = item.find("certificate")) {
        edge.certificate = read_certificate(*certificate);
        if (form)
            edge.form_evidence = Evidence::certificate;
        else
            certificate->report(Diagnostic{"key-missing",
                                           {},
                                           "the straightedge has a certificate and no \"form\"",
                                           "write the straightness it was found to have"});
    }
    return edge;
}

Level read_level(const Reader& item) {
    Level level;
    level.division = item.at("division")
                         .quantity(Measure::angle, {.low = 0, .high = steepest, .low_open = true});
    if (const auto read_to = item.find("read_to"))
        level.read_to = read_to->number({.low = 0, .high = 1, .low_open = true});
    if (const auto certificate = item.find("certificate")) {
        level.certificate = read_certificate(*certificate);
        level.gain_doubt =
            half_width(read_gain_of_level(*certificate, level.division) / read_k(*certificate));
        level.gain_evidence = Evidence::certificate;
    } else if (const auto gain = item.find("gain")) {
        level.gain_doubt = read_percent(*gain, gain_range);
        level.gain_evidence = Evidence::specification;
    }
    return level;
}

LengthStandard read_length_standard(const Reader& item) {
    LengthStandard standard;
    standard.kind = item.at("type").word<LengthKind>({{"blocks", LengthKind::blocks},
                                                      {"step gauge", LengthKind::step_gauge},
                                                      {"displacement", LengthKind::displacement}});
    const auto material = item.at("material");
    if (const auto word = material.string(); !word.empty() && word != "none")
        material.attempt([&] {
            const auto& expansion = expansion_of(word);
            standard.expansion = expansion.coefficient;
            standard.expansion_doubt = expansion.half_width;
        });
    if (standard.kind == LengthKind::displacement)
        standard.resolution = item.at("resolution").quantity(Measure::length, some_form);
    else
        read_lengths(item, standard);
    if (standard.kind == LengthKind::blocks) {
        standard.setting = typical_setting;
        if (const auto setting = item.find("setting")) {
            standard.setting = setting->quantity(Measure::length, some_form);
            standard.setting_evidence = Evidence::specification;
        }
    }
    read_evidence_of(item, standard);
    return standard;
}

} // namespace holdable
