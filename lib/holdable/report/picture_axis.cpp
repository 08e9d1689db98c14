// SPDX-License-Identifier: MIT
// An error motion along its axis. Which readings see it is asked of their own equations: a reading
// that holds the curve at one place q has, over the unknowns of the curve, a row in proportion to
// the curve's own there. Of a straightness or positioning these are readings of length, of a roll,
// pitch or yaw readings of slope: what a lever makes of a tilt is not drawn as the tilt. Drawn is
// the curve at q plus what the solve left of the reading, turned to the curve's unit.
#include "holdable/machine/checks.hpp"
#include "holdable/report/picture.ipp"

#include <algorithm>
#include <array>
#include <cctype>
#include <cmath>
#include <map>
#include <optional>
#include <utility>

namespace holdable {
namespace {

using Eigen::Index;
using Eigen::RowVectorXd;

constexpr double coverage = 1.96;  // standard uncertainties, 95 %
constexpr int drawn = 121;         // places of the curve
constexpr double one_place = 1e-6; // what may be left of a row that holds the curve at one place

/// A reading as the curve sees it.
struct Seen {
    std::size_t check = 0; ///< in the order of what is listed
    double at = 0;         ///< coordinate of the axis (m)
    double value = 0;      ///< of the curve (m or rad)
};

/// All of them.
struct Readings {
    std::vector<std::string> checks;
    std::vector<Seen> seen;
};

bool is_angle(int motion) {
    return motion % 6 >= 3;
}

const Travel& travel_of(const MachineState& state, int motion) {
    return state.model.shop().travel[static_cast<std::size_t>(motion / 6)];
}

/// The rows of the curve at its knots on a day, over those unknowns that are its own, each in its
/// own standard uncertainties.
struct Knots {
    Eigen::MatrixXd rows; ///< 41 × unknowns of the curve
    std::vector<Index> own;
    Eigen::RowVectorXd spread; ///< standard uncertainties of these before any reading
    Eigen::VectorXd at;        ///< coordinates (m)

    Knots(const MachineModel& model, const Travel& travel, int motion, Date day) : at(curve_knots) {
        Eigen::MatrixXd all(curve_knots, static_cast<Index>(model.unknowns().size()));
        for (Index k = 0; k < curve_knots; ++k) {
            at[k] = travel.low +
                    (travel.high - travel.low) * static_cast<double>(k) / (curve_knots - 1);
            all.row(k) = model.parameter(motion, at[k], day);
        }
        for (Index i = 0; i < all.cols(); ++i)
            if (!all.col(i).isZero(0))
                own.push_back(i);
        spread.resize(static_cast<Index>(own.size()));
        for (std::size_t i = 0; i < own.size(); ++i)
            spread[static_cast<Index>(i)] =
                std::sqrt(variance(model.unknowns()[static_cast<std::size_t>(own[i])]));
        rows = all(Eigen::all, own) * spread.asDiagonal();
    }

    /// The same of a reading's row.
    RowVectorXd of(const RowVectorXd& row) const { return row(own).cwiseProduct(spread); }
};

/// A place of the curve, and how much of it stands in a reading.
struct Place {
    double at = 0;
    double weight = 0;
};

/// Where a reading's row holds the curve, if that is one place.
std::optional<Place> place_of(const RowVectorXd& row, const Knots& knots) {
    const double size = row.norm();
    if (size < 1e-9 * knots.rows.rowwise().norm().maxCoeff()) // at the reference it is nothing
        return std::nullopt;
    std::optional<Place> best;
    double left = one_place * size;
    for (Index k = 0; k + 1 < curve_knots; ++k) {
        const auto a = knots.rows.row(k), b = knots.rows.row(k + 1);
        const double aa = a.dot(a), bb = b.dot(b);
        double u = 0, v = 0; // row = u a + v b
        double weight = 0, share = -1;
        if (aa > 1e-18 * bb && bb > 1e-18 * aa) {
            const RowVectorXd across = b - a.dot(b) / aa * a;
            const double cc = across.dot(across);
            if (cc > 1e-18 * bb)
                v = row.dot(across) / cc;
            u = (row - v * b).dot(a) / aa;
            weight = u + v;
            share = weight == 0 ? -1 : v / weight;
        } else { // the reference: the curve is nothing there, and readings hold it once
            (aa > bb ? u : v) = aa > bb ? row.dot(a) / aa : row.dot(b) / bb;
            weight = u + v < 0 ? -1 : 1;
            share = aa > bb ? 1 - std::abs(u) : std::abs(v);
        }
        const double rest = (row - u * a - v * b).norm();
        if (rest < left && share > -1e-6 && share < 1 + 1e-6) {
            left = rest;
            best = Place{knots.at[k] + share * (knots.at[k + 1] - knots.at[k]), weight};
        }
    }
    return best;
}

/// The equations of all readings, as the solve had them.
struct Equations {
    MachineModel model;
    std::vector<Observation> observations;
    std::map<std::string, Date> days; ///< of the checks

    explicit Equations(const MachineState& state)
        : model(state.model.shop(), state.model.job(), state.model.assumed_class().name),
          observations(observe(model)) {
        for_each_check(state.model.shop(),
                       [&](const auto& check) { days.emplace(check.name, check.date); });
    }
};

Readings readings_of(const MachineState& state, const Equations& equations, int motion) {
    Readings readings;
    std::map<Date, Knots> on_days;
    for (const auto& o : equations.observations) {
        const auto day = equations.days.find(o.check);
        if (day == equations.days.end() || o.angle != is_angle(motion))
            continue;
        const auto& knots =
            on_days
                .try_emplace(
                    day->second, equations.model, travel_of(state, motion), motion, day->second)
                .first->second;
        RowVectorXd row = RowVectorXd::Zero(state.estimate.size());
        row.head(o.row.size()) = o.row;
        const auto place = place_of(knots.of(row), knots);
        if (!place)
            continue;
        auto check = std::find(readings.checks.begin(), readings.checks.end(), o.check);
        if (check == readings.checks.end())
            check = readings.checks.insert(readings.checks.end(), o.check);
        const auto curve = state.of(state.model.parameter(motion, place->at, state.model.job()));
        const double residual = o.value - row.dot(state.estimate);
        readings.seen.push_back({static_cast<std::size_t>(check - readings.checks.begin()),
                                 place->at,
                                 curve.value + residual / place->weight});
    }
    return readings;
}

/// The curve at even places.
struct Curve {
    std::vector<double> at, value, standard;

    Curve(const MachineState& state, int motion) {
        const auto& travel = travel_of(state, motion);
        for (int i = 0; i < drawn; ++i) {
            at.push_back(travel.low + (travel.high - travel.low) * i / (drawn - 1));
            const auto e = state.of(state.model.parameter(motion, at.back(), state.model.job()));
            value.push_back(e.value);
            standard.push_back(e.standard_uncertainty);
        }
    }
};

std::string upper_first(std::string text) {
    text[0] = static_cast<char>(std::toupper(static_cast<unsigned char>(text[0])));
    return text;
}

std::string readings_words(const Readings& readings) {
    if (readings.seen.empty())
        return "no reading sees it: the curve is what the class lets expect";
    std::string names;
    for (std::size_t i = 0; i < readings.checks.size(); ++i)
        names += (i == 0 ? "" : ", ") + readings.checks[i];
    return fmt::format("{} {} of {}",
                       readings.seen.size(),
                       readings.seen.size() == 1 ? "reading" : "readings",
                       names);
}

} // namespace

std::vector<int> motions_read(const MachineState& state) {
    const Equations equations(state);
    std::vector<std::pair<std::size_t, int>> counted;
    for (int motion = 0; motion < c0y_index; ++motion)
        if (const auto count = readings_of(state, equations, motion).seen.size(); count > 0)
            counted.emplace_back(count, motion);
    std::stable_sort(counted.begin(), counted.end(), [](const auto& a, const auto& b) {
        return a.first > b.first;
    });
    std::vector<int> motions;
    for (const auto& [count, motion] : counted)
        motions.push_back(motion);
    return motions;
}

Picture axis_picture(const MachineState& state, int motion, std::string_view id) {
    const auto own = id.empty() ? "axis-" + parameter_name(motion) : std::string(id);
    const auto h = habit(state.model.shop().inch);
    const bool angle = is_angle(motion);
    const char axis = "XYZ"[motion / 6];
    const auto readings = readings_of(state, Equations(state), motion);
    const Curve curve(state, motion);
    double low = 0, high = 0;
    for (std::size_t i = 0; i < curve.at.size(); ++i) {
        low = std::min(low, curve.value[i] - coverage * curve.standard[i]);
        high = std::max(high, curve.value[i] + coverage * curve.standard[i]);
    }
    for (const auto& r : readings.seen) {
        low = std::min(low, r.value);
        high = std::max(high, r.value);
    }
    const auto unit = angle ? slope_unit(h) : length_unit(h, std::max(high, -low));
    const auto length = length_unit(h, 1);

    Sheet sheet(own, sheet_width);
    const double left = 74, right = sheet_width - 14;
    double y_at = 16;
    sheet.line(left, y_at - 5, left + 30, y_at - 5, {2.4, ink, {}});
    sheet.text(left + 38, y_at, "fitted curve");
    sheet.rectangle(left + 156, y_at - 13, 30, 16, pale, {1, line_grey, {}});
    sheet.text(left + 194, y_at, "holds it with 95 %");
    y_at += 24;
    for (std::size_t c = 0; c < readings.checks.size(); ++c, y_at += 22) {
        sheet.mark(left + 15, y_at - 5, static_cast<int>(c));
        const auto count = std::count_if(readings.seen.begin(),
                                         readings.seen.end(),
                                         [&](const Seen& s) { return s.check == c; });
        sheet.text(left + 38,
                   y_at,
                   shortened(fmt::format("{}, {} {}",
                                         readings.checks[c],
                                         count,
                                         count == 1 ? "reading" : "readings"),
                             right - left - 40,
                             15));
    }
    const double top = y_at + 12, foot = top + 250;
    const double air = 0.04 * (high - low);
    const Scale x{curve.at.front() / length.size, curve.at.back() / length.size, left, right};
    const Scale along{curve.at.front(), curve.at.back(), left, right};
    const Scale y{(low - air) / unit.size, (high + air) / unit.size, foot, top};
    std::vector<std::pair<double, double>> band, line;
    for (std::size_t i = 0; i < curve.at.size(); ++i) {
        line.emplace_back(along(curve.at[i]), y(curve.value[i] / unit.size));
        band.emplace_back(line.back().first,
                          y((curve.value[i] + coverage * curve.standard[i]) / unit.size));
    }
    for (std::size_t i = curve.at.size(); i-- > 0;)
        band.emplace_back(along(curve.at[i]),
                          y((curve.value[i] - coverage * curve.standard[i]) / unit.size));
    sheet.polyline(band, {1, line_grey, {}}, pale, true);
    sheet.scale_left(y, left, right, unit);
    sheet.polyline(line, {2.4, ink, {}});
    for (const auto& r : readings.seen)
        sheet.mark(along(r.at), y(r.value / unit.size), static_cast<int>(r.check));
    sheet.text(0, top - 14, unit.spelling, {14, Anchor::start, grey});
    sheet.scale_below(x, foot + 10, length, fmt::format("{}, {}", axis, length.spelling));

    const auto [least, most] = std::minmax_element(curve.value.begin(), curve.value.end());
    const auto worst = std::max_element(curve.standard.begin(), curve.standard.end());
    const auto size = [&](double si) { return angle ? slope_text(si, h) : length_text(si, h); };
    const auto title =
        fmt::format("{} ({})", upper_first(parameter_meaning(motion)), parameter_name(motion));
    const auto caption = fmt::format(
        "{} from peak to valley by {}. It is known least at {} {}: ± {} with 95 %.",
        size(*most - *least),
        readings_words(readings),
        axis,
        coordinate_text(curve.at[static_cast<std::size_t>(worst - curve.standard.begin())], h),
        size(coverage * *worst));
    const int place = place_in(unit, *worst);
    auto text = fmt::format("{:>12}  {:>10}  {:>10}  {:>10}  {}; 95 % lies between the last two\n",
                            std::string(1, axis),
                            "curve",
                            "from",
                            "to",
                            unit.spelling);
    for (std::size_t i = 0; i < curve.at.size(); i += (drawn - 1) / 8)
        text += fmt::format("{:>12}  {:>10}  {:>10}  {:>10}\n",
                            coordinate_text(curve.at[i], h),
                            number_in(unit, curve.value[i], place),
                            number_in(unit, curve.value[i] - coverage * curve.standard[i], place),
                            number_in(unit, curve.value[i] + coverage * curve.standard[i], place));
    for (const auto& r : readings.seen)
        text += fmt::format("{:>12}  {:>10}  read: {}\n",
                            coordinate_text(r.at, h),
                            number_in(unit, r.value, place),
                            blanked(readings.checks[r.check]));
    return {"axis", title, caption, text, sheet.finished(foot + 64, title, caption)};
}

} // namespace holdable
