// SPDX-License-Identifier: MIT
#include "holdable/base/words.hpp"
#include "holdable/files/read_checks.hpp"
#include "holdable/machine/observation.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <utility>

namespace holdable {
namespace {

constexpr double turn = 2 * std::numbers::pi;
constexpr double degree = std::numbers::pi / 180;
constexpr double nearest_angles = 0.5 * degree; // nearer ones are one station
constexpr Range once_round = {.low = 0, .high = turn * (1 + 1e-12)};
constexpr Range some_step = {.low = 1 * degree, .high = 90 * degree};
constexpr Range some_feed = {.low = 1e-5, .high = 2}; // (m/s)
constexpr Range some_radius = {.low = 5e-3, .high = 10};
constexpr Range some_lobes = {.low = 0, .high = 1e-3};
constexpr double best_centred = 0.01; // of the radius: beyond, terms of the third order count

class CircleReader {
  public:
    explicit CircleReader(CheckFields& fields) : fields_(fields) {}

    CircleCheck read(const Reader& item, std::string name);

  private:
    void where(const Reader& item, CircleCheck& check);
    static void feed(const Reader& item, CircleCheck& check);
    void stations(const Reader& item, CircleCheck& check);
    static void spread_stations(const Reader& field, CircleCheck& check);
    void reach(const Reader& field, const CircleCheck& check) const;
    static void warmth(const Reader& item, CircleCheck& check);
    static void doubts(const Reader& item, CircleCheck& check);
    void runs(const Reader& item, CircleCheck& check);
    void check_trace(const Reader& readings, const CircleCheck& check, const CircleRun& run);
    void compare_runs(const Reader& field, const CircleCheck& check);

    CheckFields& fields_;
    bool place_sound_ = false; // of the check being read
    bool stations_sound_ = false;
};

void CircleReader::where(const Reader& item, CircleCheck& check) {
    check.centre.z() = fields_.shop().travel[2].reference;
    place_sound_ = sound(item, [&] {
        const auto centre = item.at("centre");
        for (int i = 0; i < 3; ++i) {
            const std::string axis(1, "XYZ"[i]);
            const auto field = i < 2 ? std::optional(centre.at(axis)) : centre.find(axis);
            if (field && sound(*field, [&] {
                    check.centre[i] = field->quantity(Measure::length, any_place);
                }))
                fields_.inside(*field, static_cast<Axis>(i), check.centre[i]);
        }
        check.radius = item.at("radius").quantity(Measure::length, some_radius);
    });
    check.gauge_length = item.at("gauge_length").quantity(Measure::length, some_length);
}

void CircleReader::feed(const Reader& item, CircleCheck& check) {
    const auto field =
        item.at("feed", "or \"stopped\": every reading was taken while the axes stood still");
    if (is(field, Node::Kind::string) && field.string() == "stopped") {
        if (check.trace == CircleTrace::disc)
            field.report(Diagnostic{"word-unknown", {}, "a disc is not cut at a standstill", ""});
        return;
    }
    check.feed = field.quantity(Measure::speed, some_feed);
}

/// The first angle, the step and perhaps the last.
void CircleReader::spread_stations(const Reader& field, CircleCheck& check) {
    const double first = field.at("first").quantity(Measure::angle, once_round);
    const double every = field.at("every").quantity(Measure::angle, some_step);
    double last = first + turn - nearest_angles;
    if (const auto to = field.find("to"))
        last =
            to->quantity(Measure::angle, {.low = first, .high = once_round.high, .low_open = true});
    for (int k = 0; every > 0 && first + k * every <= last + 1e-9; ++k)
        check.stations.push_back(std::fmod(first + k * every, turn));
}

void CircleReader::stations(const Reader& item, CircleCheck& check) {
    const auto field =
        item.at("stations", "a list of angles, or {\"first\": \"5°\", \"every\": \"10°\"}");
    const bool spread = is(field, Node::Kind::object);
    stations_sound_ = sound(item,
                            [&] {
                                if (spread)
                                    spread_stations(field, check);
                                else
                                    check.stations = field.quantities(Measure::angle, once_round);
                            }) &&
                      field.node() != nullptr;
    if (!stations_sound_)
        return;
    stations_sound_ = sound(item, [&] {
        for (std::size_t i = 0; i < check.stations.size() && !spread; ++i)
            for (std::size_t k = 0; k < i; ++k)
                if (std::abs(std::remainder(check.stations[i] - check.stations[k], turn)) <
                    nearest_angles) {
                    field.elements()[i].report(
                        Diagnostic{"station-twice",
                                   {},
                                   fmt::format("angle {} is where angle {} is", i + 1, k + 1),
                                   "0° and 360° are one; another time round is another run"});
                    break;
                }
        if (check.stations.size() < circle_stations)
            field.report(Diagnostic{"stations-few",
                                    {},
                                    "fewer than eight angles do not part squareness, scales and "
                                    "lost motion",
                                    "take every 10° or 15°, beginning half a step beside 0°"});
        else if (circle_arc(check.stations) < turn / 4 - 1e-6)
            field.report(Diagnostic{"stations-few",
                                    {},
                                    "the angles cover less than a quarter of a turn",
                                    "so short an arc does not show where its centre is"});
    });
    if (!stations_sound_)
        return;
    if (circle_arc(check.stations) < turn / 2)
        fields_.notes().push_back(remark(
            field, "less than half a turn: centre and radius are hardly told from the errors"));
    if (place_sound_)
        reach(item.at("radius"), check);
}

/// The axes go to the stations, and through the quadrants between them.
void CircleReader::reach(const Reader& field, const CircleCheck& check) const {
    auto angles = check.stations;
    const double open = turn - circle_arc(check.stations); // of an arc, they need not go there
    for (int quadrant = 0; quadrant < 4; ++quadrant) {
        const double angle = quadrant * turn / 4;
        double before = turn;
        double after = turn;
        for (const double station : check.stations) {
            const double ahead = std::remainder(station - angle, turn);
            after = std::min(after, ahead >= 0 ? ahead : ahead + turn);
            before = std::min(before, ahead <= 0 ? -ahead : turn - ahead);
        }
        if (before + after < std::max(turn / 4, open) - 1e-6)
            angles.push_back(angle);
    }
    for (int i = 0; i < 2; ++i) {
        double least = check.centre[i];
        double most = least;
        for (const double angle : angles) {
            const double at =
                check.centre[i] + check.radius * (i == 0 ? std::cos(angle) : std::sin(angle));
            least = std::min(least, at);
            most = std::max(most, at);
        }
        if (fields_.inside(field, static_cast<Axis>(i), least))
            fields_.inside(field, static_cast<Axis>(i), most);
    }
}

void CircleReader::warmth(const Reader& item, CircleCheck& check) {
    check.lead = CheckFields::lead(item);
    CheckFields::scale_material(item, check.scale_expansion, check.scale_expansion_doubt);
    const auto field = item.at("scale_temperature");
    for (std::size_t a = 0; a < 2; ++a)
        check.scale_warmer[a] = CheckFields::warmer(
            is(field, Node::Kind::object) ? field.at(a == 0 ? "X" : "Y") : field);
    check.scale_doubt = CheckFields::warmth_doubt(item, "scale_doubt");
    check.thermometer = CheckFields::warmth_doubt(item, "thermometer");
}

void CircleReader::doubts(const Reader& item, CircleCheck& check) {
    const auto length = [&](std::string_view key, const Range& range) {
        const auto field = item.find(key);
        return field ? std::optional(field->quantity(Measure::length, range)) : std::nullopt;
    };
    check.two_lobed = length("two_lobed", some_lobes);
    if (check.trace == CircleTrace::link) {
        check.radius_doubt = length("radius_doubt", some_form);
        return;
    }
    check.spring_back = length("spring_back", some_lobes);
    check.surface = length("surface", some_lobes);
}

/// Refuses readings that no machine of the class gives, and a centre too far off.
void CircleReader::check_trace(const Reader& readings,
                               const CircleCheck& check,
                               const CircleRun& run) {
    const auto circle = circle_through(check.stations, run.readings);
    const double off = std::hypot(circle[1], circle[2]);
    if (off > best_centred * check.radius) {
        readings.report(Diagnostic{
            "readings-size",
            {},
            fmt::format("the centre of the readings is off by {:.3g} mm, more than 1 % of the "
                        "radius",
                        off * 1e3),
            "is the unit right (µm meant)? or set the centre better and read again"});
        return;
    }
    double least = 0;
    double most = 0;
    for (std::size_t i = 0; i < run.readings.size(); ++i) {
        const double theta = check.stations[i];
        const double left =
            run.readings[i] - circle[0] - circle[1] * std::cos(theta) - circle[2] * std::sin(theta);
        least = std::min(least, left);
        most = std::max(most, left);
    }
    const auto& c = class_of(fields_.shop());
    fields_.check_size(readings,
                       (most - least) / check.radius,
                       c.squareness.high + c.lead_per_300_mm.high / 0.300 +
                           c.reversal.high / check.radius);
    fields_.check_trace(readings, run.readings);
}

void CircleReader::compare_runs(const Reader& field, const CircleCheck& check) {
    const auto counterclockwise = std::count_if(
        check.runs.begin(), check.runs.end(), [](const auto& run) { return run.counterclockwise; });
    if (counterclockwise == 0 || counterclockwise == static_cast<std::ptrdiff_t>(check.runs.size()))
        fields_.notes().push_back(remark(
            field,
            check.feed > 0 ? "gone round in one direction only: a lag of X behind Y looks like "
                             "squareness, and is told from it by what is usual only"
                           : "gone round in one direction only: lost motion looks partly like "
                             "squareness, and is told from it by its steps only"));
    const auto alike = [](const CircleRun& a, const CircleRun& b) {
        return a.counterclockwise == b.counterclockwise && a.turned == b.turned;
    };
    const bool repeated =
        std::any_of(check.runs.begin(), check.runs.end(), [&](const CircleRun& run) {
            return std::count_if(check.runs.begin(), check.runs.end(), [&](const auto& other) {
                       return alike(run, other);
                   }) > 1;
        });
    if (!repeated)
        fields_.notes().push_back(
            remark(field,
                   "one run a direction tells nothing of how the path repeats: the class's "
                   "figure is taken; go round twice or more each way"));
    const bool turned = std::any_of(check.runs.begin(), check.runs.end(), [&](const auto& run) {
        return std::abs(std::sin(2 * (run.turned - check.runs[0].turned))) > 0.1 ||
               std::cos(2 * (run.turned - check.runs[0].turned)) < 0.9;
    });
    if (check.trace == CircleTrace::disc && !turned && check.two_lobed.value_or(1) > 0)
        fields_.notes().push_back(
            remark(field,
                   "the disc was never turned in its chuck: two lobes by the chuck look like "
                   "squareness; read it again turned by 90°"));
}

void CircleReader::runs(const Reader& item, CircleCheck& check) {
    const auto field = item.at("runs");
    const auto elements = field.elements();
    if (field.node() != nullptr && elements.empty())
        field.report(Diagnostic{"stations-few", {}, "there is no run", ""});
    check.planned = fields_.planned();
    Touch touched;
    touched.unit = read_unit(item.find("unit"), Measure::length);
    const auto outward = item.find("outward_reads");
    if (outward || !check.planned)
        touched.sign =
            (outward ? *outward : item.at("outward_reads")).word<int>({{"plus", 1}, {"minus", -1}});
    const auto before = item.faults();
    for (const Reader& one : elements) {
        CircleRun run;
        run.counterclockwise =
            one.at("direction").word<bool>({{"counterclockwise", true}, {"clockwise", false}});
        if (check.trace == CircleTrace::disc)
            if (const auto turned = one.find("turned"))
                run.turned = turned->quantity(Measure::angle, {.low = -turn, .high = turn});
        const auto raw = fields_.readings(one);
        if (!raw) {
            run.readings.assign(check.stations.size(), 0);
            check.runs.push_back(std::move(run));
            continue;
        }
        const auto& readings = *raw;
        const bool read = sound(one, [&] {
            for (const double reading : read_single_readings(readings, touched.unit))
                run.readings.push_back(touched.sign * reading);
        });
        if (item.faults() != before)
            touched.unit.size = touched.unit.size.value_or(0); // its absence is said once
        if (read && stations_sound_ && run.readings.size() != check.stations.size())
            readings.report(Diagnostic{"readings-count",
                                       {},
                                       fmt::format("{} readings for {} angles",
                                                   run.readings.size(),
                                                   check.stations.size()),
                                       "each angle has its reading, in the order of \"stations\", "
                                       "whichever way the axes went"});
        else if (read && stations_sound_ && readings.node() != nullptr && check.radius > 0)
            check_trace(readings, check, run);
        check.runs.push_back(std::move(run));
    }
    if (check.trace == CircleTrace::link)
        check.closing = fields_.closing(item, touched, typical_drift);
    if (item.faults() == before && !elements.empty() && !check.planned)
        compare_runs(field, check);
}

CircleCheck CircleReader::read(const Reader& item, std::string name) {
    CircleCheck check;
    check.name = std::move(name);
    const auto date = fields_.date(item);
    check.date = date.value_or(Date{});
    const auto trace = read_kind<CircleTrace>(
        item, "trace", {{"link", CircleTrace::link}, {"disc", CircleTrace::disc}});
    if (!trace)
        return check; // which keys follow is open
    check.trace = *trace;
    check.indicator =
        fields_.instrument(item.at("indicator"), fields_.shop().indicators, "indicator", date);
    where(item, check);
    feed(item, check);
    stations(item, check);
    warmth(item, check);
    doubts(item, check);
    runs(item, check);
    return check;
}

} // namespace

CircleCheck read_circle_check(const Reader& item, std::string name, CheckFields& fields) {
    return CircleReader(fields).read(item, std::move(name));
}

} // namespace holdable
