// SPDX-License-Identifier: MIT
#include "holdable/base/words.hpp"
#include "holdable/files/read_checks.hpp"
#include "holdable/standards/expansion.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <iterator>
#include <string_view>
#include <tuple>
#include <utility>

namespace holdable {
namespace {

constexpr Range some_size_error = {.low = 0, .high = 0.01, .low_open = true};
constexpr Range some_degrees = {.low = 0, .high = 30, .low_open = true};
constexpr double large = 0.5e-3; // a deviation of a test cut beyond it: "mm" for "µm"? (m or rad)

constexpr std::string_view unsigned_words[] = {"position",
                                               "flatness",
                                               "perpendicularity",
                                               "roundness",
                                               "parallelism",
                                               "straightness",
                                               "profile",
                                               "cylindricity",
                                               "angularity",
                                               "run-out",
                                               "concentricity",
                                               "coaxiality"};

constexpr std::pair<std::string_view, CutQuantity> quantities[] = {
    {"distance", CutQuantity::distance},
    {"along X", CutQuantity::along_x},
    {"along Y", CutQuantity::along_y},
    {"lean to +X", CutQuantity::lean_x},
    {"lean to +Y", CutQuantity::lean_y}};

class TestCutReader {
  public:
    explicit TestCutReader(CheckFields& fields) : fields_(fields) {}

    TestCut read(const Reader& item, std::string name);

  private:
    static std::optional<CutQuantity> quantity(const Reader& item);
    Bore bore(const Reader& item) const;
    MilledFace face(const Reader& item) const;
    void holes(const Reader& item);
    void readings(const Reader& item);
    void gauge(const Reader& item);
    void warmth(const Reader& item);
    void covered(const Reader& item);

    Measure measure() const { return is_lean(cut_.quantity) ? Measure::angle : Measure::length; }

    CheckFields& fields_;
    TestCut cut_;
};

/// What was measured; a form or a position, which has no sign, is refused for what it is.
std::optional<CutQuantity> TestCutReader::quantity(const Reader& item) {
    const auto field = item.at("measured");
    if (is(field, Node::Kind::string))
        for (const auto word : unsigned_words)
            if (field.node()->text == word) {
                field.report(Diagnostic{
                    "measured-unsigned",
                    {},
                    fmt::format("a {} has no sign: its mean is not an error of the machine", word),
                    "say how far holes are apart, \"distance\", \"along X\", \"along Y\", or to "
                    "which side a bore leans, \"lean to +X\", \"lean to +Y\""});
                item.allow_other_keys();
                return std::nullopt;
            }
    return read_kind<CutQuantity>(item,
                                  "measured",
                                  std::vector<std::pair<std::string_view, CutQuantity>>(
                                      std::begin(quantities), std::end(quantities)));
}

Bore TestCutReader::bore(const Reader& item) const {
    Bore bore;
    const auto place = item.at("place");
    std::array<double, 2> xy{};
    if (sound(item, [&] { xy = read_two(place, any_place); }) && place.node() != nullptr &&
        fields_.inside(place, Axis::x, xy[0]))
        fields_.inside(place, Axis::y, xy[1]);
    bore.x = xy[0];
    bore.y = xy[1];
    const auto top = item.at("top");
    const auto before = item.faults();
    bore.top = top.quantity(Measure::length, some_height);
    bore.tool_length = item.at("gauge_length").quantity(Measure::length, some_length);
    const auto depth =
        is_lean(cut_.quantity) ? std::optional(item.at("depth")) : item.find("depth");
    if (depth)
        bore.depth = depth->quantity(Measure::length, some_length);
    if (item.faults() != before)
        return bore;
    if (depth && depth->node() != nullptr && bore.depth > bore.top * (1 + 1e-12))
        depth->report(Diagnostic{"hole-depth",
                                 {},
                                 "the hole would end below the table",
                                 "\"top\" is the height of its upper end above the table"});
    else if (fields_.inside(
                 top, Axis::z, bore.top + bore.tool_length - fields_.shop().nose_to_table) &&
             depth)
        fields_.inside(*depth,
                       Axis::z,
                       bore.top - bore.depth + bore.tool_length - fields_.shop().nose_to_table);
    return bore;
}

MilledFace TestCutReader::face(const Reader& item) const {
    MilledFace face;
    const auto before = item.faults();
    const auto x = read_two(item.at("x"), any_place);
    const auto y = read_two(item.at("y"), any_place);
    face.height = item.at("height").quantity(Measure::length, some_height);
    face.tool_length = item.at("gauge_length").quantity(Measure::length, some_length);
    if (item.faults() != before || item.node() == nullptr)
        return face;
    face.x_low = x[0];
    face.x_high = x[1];
    face.y_low = y[0];
    face.y_high = y[1];
    for (const auto& [key, pair, axis] :
         {std::tuple{"x", x, Axis::x}, std::tuple{"y", y, Axis::y}}) {
        const auto field = item.at(key);
        if (pair[0] >= pair[1])
            field.report(Diagnostic{"extent-empty",
                                    {},
                                    "it ends where it begins, or before",
                                    "the smaller coordinate comes first"});
        else if (fields_.inside(field, axis, pair[0]))
            fields_.inside(field, axis, pair[1]);
    }
    fields_.inside(
        item.at("height"), Axis::z, face.height + face.tool_length - fields_.shop().nose_to_table);
    return face;
}

void TestCutReader::holes(const Reader& item) {
    if (is_lean(cut_.quantity)) {
        cut_.first = bore(item.at("hole"));
        cut_.face = face(item.at("face"));
        return;
    }
    cut_.one_side =
        item.at("approached").word<bool>({{"from one side", true}, {"from any side", false}});
    const auto field = item.at("holes");
    const auto before = item.faults();
    const auto elements = field.elements();
    if (field.node() != nullptr && item.faults() == before && elements.size() != 2)
        field.report(
            Diagnostic{"field-kind",
                       {},
                       fmt::format("two holes are a distance apart, found {}", elements.size()),
                       "the one it is measured from, then the one it is measured to"});
    for (std::size_t i = 0; i < elements.size(); ++i) {
        const auto one = bore(elements[i]);
        if (i < 2)
            (i == 0 ? cut_.first : cut_.second) = one;
    }
    if (item.faults() != before || elements.size() != 2)
        return;
    const double x = cut_.second.x - cut_.first.x;
    const double y = cut_.second.y - cut_.first.y;
    const bool apart = cut_.quantity == CutQuantity::along_x   ? x != 0
                       : cut_.quantity == CutQuantity::along_y ? y != 0
                                                               : x != 0 || y != 0;
    if (!apart)
        field.report(Diagnostic{"station-twice", {}, "both holes are at one place", ""});
}

void TestCutReader::readings(const Reader& item) {
    const auto field = item.at("readings");
    const bool read = sound(item, [&] {
        cut_.readings = read_single_readings(field, read_unit(item.find("unit"), measure()));
    });
    if (!read || field.node() == nullptr)
        return;
    const auto& r = cut_.readings;
    if (r.size() < 2) {
        field.report(Diagnostic{"repeats-few",
                                {},
                                fmt::format("{} part shows no scatter", r.size()),
                                "measure two parts or more, better ten"});
        return;
    }
    const auto [low, high] = std::minmax_element(r.begin(), r.end());
    if (std::max(std::abs(*low), std::abs(*high)) > large)
        field.report(Diagnostic{
            "readings-size",
            {},
            fmt::format("a deviation of more than 0.5 {}", is_lean(cut_.quantity) ? "mm/m" : "mm"),
            "is the unit right (µm meant)? readings are measured less nominal"});
    else if (*low == *high)
        field.report(Diagnostic{"repeats-same",
                                {},
                                "all parts are the same: no scatter can be read off them",
                                "measure with a finer gauge"});
    else if (r.size() < 5)
        fields_.notes().push_back(
            remark(field, "few parts tell little of a scatter: five or more, better ten"));
    fields_.check_trace(field, r);
}

void TestCutReader::gauge(const Reader& item) {
    cut_.gauge.name = read_name(item.at("name"));
    if (const auto limit = item.find("max_error")) {
        cut_.gauge.standard = limit->quantity(measure(), some_size_error) / std::sqrt(3.0);
        cut_.gauge.evidence = Evidence::specification;
        if (const bool twice[] = {item.has("U"), item.has("k")}; twice[0] || twice[1])
            item.report(Diagnostic{"given-twice",
                                   {},
                                   "\"max_error\" and \"U\" say the same thing twice",
                                   "a certificate goes before a limit: leave \"max_error\" out"});
    } else {
        const auto expanded =
            item.at("U", "with its \"k\", or \"max_error\": the maker's limit of error");
        cut_.gauge.standard = expanded.quantity(measure(), some_size_error);
        if (const auto k = item.find("k"))
            cut_.gauge.standard /= k->number(Range::closed(1, 20));
        else if (expanded.node() != nullptr)
            item.report(Diagnostic{"certificate-k",
                                   {},
                                   "the gauge's U stands without its k",
                                   "the certificate states it beside U, mostly as \"k\": 2"});
    }
    if (const auto repeat = item.find("repeatability"))
        cut_.gauge.repeatability = repeat->quantity(measure(), some_size_error);
}

void TestCutReader::warmth(const Reader& item) {
    const auto material = item.at("material");
    if (cut_.warmth.material = material.string(); !cut_.warmth.material.empty())
        material.attempt([&] { expansion_of(cut_.warmth.material); });
    const auto field = item.find("temperatures");
    if (!field)
        return;
    cut_.warmth.part = field->at("part").quantity(Measure::temperature, room_temperature);
    cut_.warmth.scale = field->at("scale").quantity(Measure::temperature, room_temperature);
    if (const auto doubt = field->find("doubt")) {
        cut_.warmth.doubt = doubt->quantity(Measure::temperature_difference, some_degrees);
        cut_.warmth.doubt_stated = true;
    }
}

void TestCutReader::covered(const Reader& item) {
    const auto field = item.find("covered");
    if (!field)
        return;
    for (const Reader& one : field->elements())
        cut_.covered.emplace_back(
            one.word<std::string_view>({{"axis_repeat", "axis_repeat"},
                                        {"drift", "drift"},
                                        {"location", "location"},
                                        {"hole_place", "hole_place"},
                                        {"hole_direction", "hole_direction"}}));
}

TestCut TestCutReader::read(const Reader& item, std::string name) {
    cut_.name = std::move(name);
    const auto date = fields_.date(item);
    cut_.date = date.value_or(Date{});
    const auto measured = quantity(item);
    if (!measured)
        return std::move(cut_);
    cut_.quantity = *measured;
    holes(item);
    readings(item);
    gauge(item.at("gauge"));
    if (!is_lean(cut_.quantity))
        warmth(item);
    covered(item);
    return std::move(cut_);
}

} // namespace

TestCut read_test_cut(const Reader& item, std::string name, CheckFields& fields) {
    return TestCutReader(fields).read(item, std::move(name));
}

} // namespace holdable
