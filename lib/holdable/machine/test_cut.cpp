// SPDX-License-Identifier: MIT
#include "holdable/machine/test_cut.hpp"

#include "holdable/machine/observation.hpp"
#include "holdable/standards/expansion.hpp"

#include <fmt/format.h>

#include <cmath>

namespace holdable {
namespace {


struct Spread {
    double mean = 0;
    double standard = 0; // of one part
    double count = 0;
};

Spread spread_of(const TestCut& cut) {
    require_shape(cut.readings.size() >= 2, cut.name, "two parts or more show a scatter");
    Spread s;
    s.count = static_cast<double>(cut.readings.size());
    for (const double r : cut.readings)
        s.mean += r / s.count;
    for (const double r : cut.readings)
        s.standard += (r - s.mean) * (r - s.mean) / (s.count - 1);
    s.standard = std::sqrt(s.standard);
    return s;
}

/// The direction of a distance, from the first hole to the second.
Eigen::Vector2d direction(const TestCut& cut) {
    const Eigen::Vector2d apart(cut.second.x - cut.first.x, cut.second.y - cut.first.y);
    require_shape(apart.norm() > 0, cut.name, "both holes are at one place");
    if (cut.quantity == CutQuantity::distance)
        return apart.normalized();
    const int axis = cut.quantity == CutQuantity::along_x ? 0 : 1;
    Eigen::Vector2d v = Eigen::Vector2d::Zero();
    v[axis] = apart[axis] < 0 ? -1 : 1; // a distance grows outward
    return v;
}

/// The deviation by the machine's errors, as a form.
Eigen::RowVectorXd form(const MachineModel& model, const TestCut& cut) {
    if (is_lean(cut.quantity)) {
        const int axis = cut.quantity == CutQuantity::lean_x ? 0 : 1;
        return axis_slope(model, cut.first, cut.date, cut.name).row(axis) +
               face_slope(model, cut.face, cut.date, cut.name).row(axis);
    }
    const auto at = [&](const Bore& bore, const char* which) -> Eigen::MatrixXd {
        return tip_error(
                   model, {bore.x, bore.y, bore.top}, bore.tool_length, cut.date, cut.name, which)
            .topRows(2);
    };
    return direction(cut).transpose() *
           (at(cut.second, "the second hole") - at(cut.first, "the first hole"));
}

class CutRow {
  public:
    CutRow(MachineModel& model, const TestCut& cut)
        : model_(model), cut_(cut), spread_(spread_of(cut)), row_(form(model, cut)) {}

    Observation take() {
        double value = spread_.mean;
        add("gauge",
            fmt::format("gauge \"{}\" that measured the test cuts", cut_.gauge.name),
            normal_law(cut_.gauge.standard),
            cut_.gauge.evidence,
            1);
        if (!is_lean(cut_.quantity))
            value -= distance_effects();
        const auto group = cut_.name + ", reading noise";
        auto scatter = job_input(cut_.name + ", mean of the parts",
                                 group,
                                 "reading noise of the check " + cut_.name,
                                 normal_law(spread_.standard / std::sqrt(spread_.count)),
                                 Evidence::measured);
        scatter.scale = cut_.name + ", scatter of the parts";
        scatter.scale_dof = spread_.count - 1;
        return {cut_.name,
                cut_.name + ", mean of the parts",
                row_.take(),
                value,
                {std::move(scatter)},
                0,
                is_lean(cut_.quantity)};
    }

  private:
    void add(const std::string& what,
             const std::string& meaning,
             stats::Distribution law,
             Evidence evidence,
             double weight) {
        if (weight != 0)
            row_.add(model_.add(
                         job_input(cut_.name + ", " + what, {}, meaning, std::move(law), evidence)),
                     weight);
    }

    /// Adds the doubts about warmth and approach. @return the known growth (m)
    double distance_effects() {
        const auto& w = cut_.warmth;
        const auto& part = expansion_of(w.material);
        const auto& scale = expansion_of("ball-screw steel");
        const double part_warm = w.part - reference_temperature;
        const double scale_warm = w.scale - reference_temperature;
        const Eigen::Vector2d apart(cut_.second.x - cut_.first.x, cut_.second.y - cut_.first.y);
        const double length = apart.dot(direction(cut_));
        const auto evidence = w.doubt_stated ? Evidence::measured : Evidence::typical;
        add("temperature of the part",
            "temperature of the test cuts",
            rectangular_law(w.doubt),
            evidence,
            -length * part.coefficient);
        add("temperature of the scales",
            "temperature of the screws at the test cuts",
            rectangular_law(w.doubt),
            evidence,
            length * scale.coefficient);
        add("expansion of the part",
            "expansion of the material of the test cuts",
            rectangular_law(part.half_width),
            Evidence::typical,
            -length * part_warm);
        add("expansion of the scales",
            "expansion of the screws",
            rectangular_law(scale.half_width),
            Evidence::typical,
            length * scale_warm);
        if (!cut_.one_side)
            add("approach",
                "lost motion between the holes of the test cuts",
                rectangular_law(model_.assumed_class().reversal.high),
                Evidence::assumed,
                1);
        return -length * (part.coefficient * part_warm - scale.coefficient * scale_warm);
    }

    MachineModel& model_;
    const TestCut& cut_;
    Spread spread_;
    Row row_;
};

} // namespace

CutScatter cut_scatter(const TestCut& cut) {
    const auto spread = spread_of(cut);
    const double own =
        spread.standard * spread.standard - cut.gauge.repeatability * cut.gauge.repeatability;
    return own > 0 ? CutScatter{std::sqrt(own), spread.count - 1, false}
                   : CutScatter{spread.standard, spread.count - 1, true};
}

void observe(MachineModel& model, const TestCut& cut, std::vector<Observation>& observations) {
    observations.push_back(CutRow(model, cut).take());
}

std::vector<Measurand> measured_by(const MachineModel& model, const TestCut& cut) {
    const auto row = form(model, cut);
    return {{is_lean(cut.quantity) ? "lean of such a bore" : "deviation of such a distance",
             is_lean(cut.quantity),
             row,
             row}};
}

} // namespace holdable
