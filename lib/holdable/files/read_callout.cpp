// SPDX-License-Identifier: MIT
#include "holdable/files/read_callout.hpp"

#include "holdable/base/words.hpp"
#include "holdable/files/check_callout.hpp"
#include "holdable/files/general_form.hpp"

#include <fmt/format.h>

#include <cmath>
#include <numbers>
#include <string_view>
#include <utility>

namespace holdable {
namespace {

constexpr long long most_places = 100;

constexpr std::pair<std::string_view, Requirement> requirements[] = {
    {"position", Requirement::position},
    {"perpendicularity", Requirement::perpendicularity},
    {"parallelism", Requirement::parallelism},
    {"angularity", Requirement::angularity},
    {"flatness", Requirement::flatness},
    {"straightness", Requirement::straightness},
    {"roundness", Requirement::roundness},
    {"cylindricity", Requirement::cylindricity},
    {"profile", Requirement::profile},
    {"coaxiality", Requirement::coaxiality},
    {"run_out", Requirement::run_out},
    {"diameter", Requirement::diameter},
    {"distance", Requirement::distance},
    {"height", Requirement::height},
    {"depth", Requirement::height},
    {"width", Requirement::width},
    {"length", Requirement::length},
};

/// One callout under construction.
class CalloutReader {
  public:
    CalloutReader(const Reader& item, const TitleBlock& block, Job& job)
        : item_(item), block_(block), job_(job) {}

    Callout read(Ids& ids) {
        c_.name = ids.take(item_);
        const auto found = requirement();
        if (!found) {
            item_.allow_other_keys();
            feature();
            return std::move(c_);
        }
        const bool whole = sound(item_, [&] {
            feature();
            datum();
            options();
        });
        const bool goes = !whole || goes_together(item_, c_);
        if ((goes || !is_size(c_.kind)) && sound(item_, [&] { limits(*found, whole && goes); }) &&
            whole && goes)
            check_callout(item_, *found, c_);
        return std::move(c_);
    }

  private:
    // ---- what is asked

    /// The one key that names a requirement.
    std::optional<Reader> requirement() {
        std::optional<Reader> found;
        int count = 0;
        for (const auto& [key, kind] : requirements)
            if (const auto field = item_.find(key)) {
                ++count;
                found = field;
                c_.kind = kind;
            }
        if (item_.node()->kind == Node::Kind::object && count != 1)
            item_.report(Diagnostic{"callout-kind",
                                    {},
                                    count > 1 ? "one callout has one requirement"
                                              : "the callout states no requirement",
                                    count > 1 ? "a feature with two is two callouts" : meant()});
        return count == 1 ? found : std::nullopt;
    }

    /// What to write where there is no requirement: the one a key nearly names, or some.
    std::string meant() const {
        std::vector<std::string_view> words;
        for (const auto& [key, kind] : requirements)
            words.push_back(key);
        for (const auto& member : item_.node()->members)
            if (const auto near = nearest(member.key, words); !near.empty())
                return fmt::format("did you mean \"{}\"?", near);
        return "write \"position\", \"perpendicularity\", \"flatness\", \"diameter\", …";
    }

    /// @param sound nothing was wrong with the feature, which a general tolerance goes by
    void limits(const Reader& field, bool sound) {
        const auto* node = field.node();
        if (node->kind != Node::Kind::string)
            field.quantity(Measure::length);
        else if (is_size(c_.kind))
            size(field, node->text);
        else
            zone(field, node->text, sound);
    }

    /// With or without "Ø" before it: whether a zone is round lies in its kind.
    void zone(const Reader& field, std::string_view text, bool sound) {
        for (const std::string_view sign : {"\u00d8", "\u2300", " "})
            if (text.starts_with(sign))
                text.remove_prefix(sign.size());
        c_.written = text;
        if (text == "title block" && (!sound || block_.wrong))
            return;
        double value = 0;
        if (!field.attempt([&] {
                value = text == "title block" ? general_form(c_, block_, job_.part)
                                              : parse_as(Measure::length, text);
            }))
            return;
        if (!(value > 0))
            field.report(Diagnostic{
                "tolerance-zero",
                {},
                fmt::format("a tolerance of {} leaves no room for any part", in_quotes(text)),
                "ask the customer which number was meant"});
        else if (value > some_length.high)
            field.report(Diagnostic{
                "value-range", {}, fmt::format("{} is no tolerance", in_quotes(text)), ""});
        else
            odd(field, text, value);
        c_.tolerance = value;
    }

    void size(const Reader& field, std::string_view text) {
        auto* holes = std::get_if<Holes>(&c_.feature);
        const bool inside = holes != nullptr ? !c_.hole().outside : slot_;
        c_.written = text;
        if (!field.attempt([&] { c_.size = parse_size(text, inside, block_); }))
            return;
        c_.size.aim = aim_;
        c_.tolerance = c_.size.half_width();
        odd(field, text, c_.size.upper - c_.size.lower);
        if (holes != nullptr && c_.kind == Requirement::diameter)
            for (auto& hole : *holes) {
                if (hole.diameter > 0)
                    check_apart(field, hole.diameter, c_);
                hole.diameter = c_.size.nominal;
            }
        if (!slot_ && !rib_)
            return;
        for (auto& wall : std::get<Walls>(c_.feature).wall) { // they stand where the size puts them
            const Eigen::Vector2d away = c_.size.nominal / 2 * (rib_ ? 1 : -1) * wall.normal;
            wall.from += away;
            wall.to += away;
        }
    }

    void odd(const Reader& field, std::string_view text, double value) {
        if (value < tight_tolerance || value > wide_tolerance)
            job_.notes.push_back(
                remark(field,
                       fmt::format("a tolerance of {} is unusually {}: is the unit right?",
                                   in_quotes(text),
                                   value < tight_tolerance ? "tight" : "wide")));
    }

    // ---- features

    void feature() {
        int count = 0;
        const auto one = [&](const char* key, auto read) {
            if (const auto found = item_.find(key)) {
                ++count;
                read(*found);
            }
        };
        one("hole", [&](const Reader& r) { c_.feature = Holes{hole(r, false)}; });
        one("boss", [&](const Reader& r) { c_.feature = Holes{hole(r, true)}; });
        one("holes", [&](const Reader& r) { holes(r); });
        one("face", [&](const Reader& r) { c_.feature = face(r, true); });
        one("wall", [&](const Reader& r) { c_.feature = wall(r); });
        one("walls", [&](const Reader& r) { walls(r); });
        one("slot", [&](const Reader& r) { slot(r, false); });
        one("rib", [&](const Reader& r) { slot(r, true); });
        if (count != 1 && item_.node()->kind == Node::Kind::object)
            item_.report(Diagnostic{"callout-feature",
                                    {},
                                    count == 0 ? "the callout names no feature"
                                               : "one callout has one feature",
                                    "\"hole\", \"holes\", \"boss\", \"face\", \"wall\", "
                                    "\"walls\", \"slot\" or \"rib\""});
    }

    void
    inside_part(const Reader& field, double x, double y, std::string_view what = "the hole") const {
        const auto& part = job_.part;
        constexpr double near = 1e-9; // what arithmetic on two units may leave (m)
        if (part && field.node() != nullptr &&
            (x < part->x_low - near || x > part->x_high + near || y < part->y_low - near ||
             y > part->y_high + near))
            field.report(Diagnostic{"outside-part",
                                    {},
                                    fmt::format("{} is outside the outline of the part", what),
                                    "both are coordinates of the machine"});
    }

    /// Top, depth and tool: what all that is cut down from a height has.
    template <class T>
    void going_down(const Reader& r, T& it) const {
        const auto depth = r.at("depth");
        const auto before = r.faults();
        it.top = r.at("top").quantity(Measure::length, some_height);
        it.depth = depth.quantity(Measure::length, some_length);
        if (r.faults() == before && depth.node() != nullptr && it.depth > it.top * (1 + 1e-12))
            depth.report(Diagnostic{"hole-depth",
                                    {},
                                    "it would end below the table",
                                    "\"top\" is the height of its upper end above the table"});
        it.tool_length = r.at("gauge_length").quantity(Measure::length, some_length);
    }

    Hole common(const Reader& r, bool outside) const {
        Hole hole;
        hole.outside = outside;
        going_down(r, hole);
        const auto made_by = r.at("made_by");
        const bool known = sound(made_by, [&] {
            hole.making = made_by.word<HoleMaking>({{"boring", HoleMaking::bored},
                                                    {"reaming", HoleMaking::reamed},
                                                    {"drilling", HoleMaking::drilled},
                                                    {"tapping", HoleMaking::tapped},
                                                    {"interpolating", HoleMaking::interpolated}});
        });
        if (known && outside && hole.making != HoleMaking::interpolated)
            made_by.report(
                Diagnostic{"callout-shape", {}, "a boss is milled round: \"interpolating\"", ""});
        const bool round = c_.kind == Requirement::roundness ||
                           c_.kind == Requirement::cylindricity || c_.kind == Requirement::run_out;
        const bool milled = hole.making == HoleMaking::interpolated;
        if (const auto d = r.find("diameter"))
            hole.diameter = d->quantity(Measure::length, some_length);
        else if (round && milled)
            r.at("diameter", "of the path round it");
        if (const auto feed = r.find("feed"))
            hole.feed = feed->quantity(Measure::speed, {.low = 0, .high = 2, .low_open = true});
        else if ((round || c_.kind == Requirement::diameter) && milled)
            r.at("feed", "along the path, as \"500 mm/min\"");
        if (const auto tool = r.find("tool")) {
            hole.tool_diameter = tool->at("diameter").quantity(Measure::length, some_length);
            hole.tool_reach = tool->at("reach").quantity(Measure::length, some_length);
        }
        return hole;
    }

    Hole hole(const Reader& r, bool outside) const {
        const auto place = r.at("place");
        const auto before = r.faults();
        const auto xy = read_two(place, any_place);
        if (r.faults() == before)
            inside_part(place, xy[0], xy[1]);
        Hole hole = common(r, outside);
        hole.x = xy[0];
        hole.y = xy[1];
        return hole;
    }

    void holes(const Reader& r) {
        Holes all;
        const auto add = [&](const Reader& at, double x, double y) {
            inside_part(at, x, y);
            auto& hole = all.emplace_back();
            hole.x = x;
            hole.y = y;
        };
        if (const auto circle = r.find("circle")) {
            const auto before = r.faults();
            const auto centre = read_two(circle->at("centre"), any_place);
            const double diameter = circle->at("diameter").quantity(Measure::length, some_length);
            const auto count = circle->at("count").integer(2, most_places);
            const double first =
                circle->find("first") ? circle->at("first").quantity(Measure::angle) : 0;
            if (r.faults() == before)
                for (long long k = 0; k < count; ++k) {
                    const double angle = first + 2 * std::numbers::pi * static_cast<double>(k) /
                                                     static_cast<double>(count);
                    add(*circle,
                        centre[0] + diameter / 2 * std::cos(angle),
                        centre[1] + diameter / 2 * std::sin(angle));
                }
        } else {
            const auto places = r.at("places", "or \"circle\", for holes on a circle");
            const auto list = places.elements();
            if (list.size() < 2 && places.node() != nullptr &&
                places.node()->kind == Node::Kind::array)
                places.report(Diagnostic{
                    "holes-few", {}, "a pattern has two holes or more", "one is a \"hole\""});
            const bool many = list.size() > static_cast<std::size_t>(most_places);
            if (many)
                places.report(Diagnostic{
                    "holes-many",
                    {},
                    fmt::format("{} holes; at most {} are one pattern", list.size(), most_places),
                    ""});
            for (const Reader& one : many ? std::vector<Reader>() : list) {
                const auto before = one.faults();
                const auto xy = read_two(one, any_place);
                if (one.faults() == before)
                    add(one, xy[0], xy[1]);
            }
        }
        const Hole made = common(r, false);
        for (auto& hole : all) {
            const double x = hole.x;
            const double y = hole.y;
            hole = made;
            hole.x = x;
            hole.y = y;
        }
        if (all.empty())
            all.push_back(made);
        c_.feature = std::move(all);
    }

    /// @param own it is the feature @param within the part's outline
    Face face(const Reader& r, bool own, bool within = true) const {
        Face face;
        if (r.has("x") || r.has("y"))
            face.extent = read_extent(r);
        if (face.extent && within) {
            inside_part(r, face.extent->x_low, face.extent->y_low, "the face");
            inside_part(r, face.extent->x_high, face.extent->y_high, "the face");
        }
        face.height = r.at("height").quantity(Measure::length, some_height);
        face.tool_length = r.at("gauge_length").quantity(Measure::length, some_length);
        const auto cutter = own ? r.find("cutter") : std::nullopt;
        if (!cutter)
            return face;
        FaceCutter used;
        const auto before = r.faults();
        used.diameter = cutter->at("diameter").quantity(Measure::length, some_length);
        const auto step = cutter->at("step_over");
        used.step_over = step.quantity(Measure::length, some_length);
        used.feed = cutter->at("feed").word<Axis>({{"X", Axis::x}, {"Y", Axis::y}});
        if (r.faults() == before && step.node() != nullptr &&
            used.step_over > used.diameter * (1 + 1e-9))
            step.report(Diagnostic{
                "step-over", {}, "it is wider than the cutter: a ridge would stand", ""});
        face.cutter = used;
        return face;
    }

    /// How the tool went down a wall, and what it is. @param flank whether in one pass @param
    /// narrow where no holder follows the tool
    template <class Cut>
    void milled(const Reader& r, Wall& wall, const Cut& flank, bool narrow = false) const {
        bool right = sound(r, [&] { going_down(r, wall); });
        wall.flank = flank();
        const auto tool = r.find("tool");
        if (!tool)
            return;
        const auto reach = tool->at("reach");
        right = sound(r,
                      [&] {
                          wall.tool_diameter =
                              tool->at("diameter").quantity(Measure::length, some_length);
                          wall.tool_reach = reach.quantity(Measure::length, some_length);
                          if (const auto material = tool->find("material"))
                              wall.tool_modulus =
                                  material->word<double>({{"carbide", 600e9}, {"steel", 210e9}});
                      }) &&
                right && reach.node() != nullptr;
        if (right && wall.tool_reach < wall.depth * (1 - 1e-12) && (wall.flank || narrow))
            reach.report(Diagnostic{"tool-reach",
                                    {},
                                    "the tool is shorter out of its holder than the wall is deep",
                                    ""});
        if (right && wall.tool_reach > wall.tool_length * (1 + 1e-12))
            reach.report(Diagnostic{"tool-reach",
                                    {},
                                    "the tool is longer out of its holder than from the spindle",
                                    "\"gauge_length\" is from the spindle's nose to the tip"});
    }

    Wall wall(const Reader& r) const {
        Wall wall;
        const bool placed = sound(r, [&] { place(r, wall); });
        if (placed && r.node() != nullptr) {
            inside_part(r, wall.from.x(), wall.from.y(), "the wall");
            inside_part(r, wall.to.x(), wall.to.y(), "the wall");
        }
        milled(r, wall, [&] {
            return r.at("cut").word<bool>({{"full depth", true}, {"in steps", false}});
        });
        return wall;
    }

    /// The line of a wall in plan, and the side without material.
    void place(const Reader& r, Wall& wall) const {
        const auto facing = read_end(r.at("facing"), "XY");
        Eigen::Vector2d out(0, 0);
        out[static_cast<int>(facing.axis)] = facing.sign;
        wall.normal = out;
        if (const auto between = r.find("between")) {
            const auto ends = between->elements();
            const auto before = r.faults();
            if (ends.size() != 2 && between->node() != nullptr) {
                between->report(
                    Diagnostic{"wall-line", {}, "a line in plan has two ends", "[[x, y], [x, y]]"});
            } else if (ends.size() == 2) {
                const auto a = read_two(ends[0], any_place);
                const auto b = read_two(ends[1], any_place);
                wall.from = {a[0], a[1]};
                wall.to = {b[0], b[1]};
                const Eigen::Vector2d t = wall.to - wall.from;
                if (r.faults() == before && t.norm() > 0) {
                    Eigen::Vector2d n(t.y(), -t.x());
                    n.normalize();
                    if (n.dot(out) < 0)
                        n = -n;
                    if (std::abs(n.dot(out)) < 1e-6)
                        between->report(Diagnostic{"wall-line",
                                                   {},
                                                   "the wall runs along the way it faces",
                                                   "\"facing\" says on which side of the line "
                                                   "there is no material"});
                    wall.normal = n;
                } else if (r.faults() == before) {
                    between->report(Diagnostic{"wall-line", {}, "both ends are one place", ""});
                }
            }
        } else {
            const double at = r.at("at", "or \"between\" two places in plan")
                                  .quantity(Measure::length, any_place);
            const auto [from, to] = line(r);
            const bool x = facing.axis == Axis::x;
            wall.from = x ? Eigen::Vector2d(at, from) : Eigen::Vector2d(from, at);
            wall.to = x ? Eigen::Vector2d(at, to) : Eigen::Vector2d(to, at);
        }
    }

    std::pair<double, double> line(const Reader& r) const {
        const auto end = r.at("to");
        const auto before = r.faults();
        const double from = r.at("from").quantity(Measure::length, any_place);
        const double to = end.quantity(Measure::length, any_place);
        if (r.faults() == before && end.node() != nullptr && from >= to)
            end.report(Diagnostic{"extent-empty",
                                  {},
                                  "it ends where it begins, or before",
                                  "the smaller coordinate comes first"});
        return {from, r.faults() == before ? to : from + 1e-3};
    }

    void walls(const Reader& r) {
        const auto list = r.elements();
        Walls both;
        if (list.size() != 2 && r.node() != nullptr)
            r.report(Diagnostic{"wall-line", {}, "a length is between two walls", ""});
        for (std::size_t w = 0; w < std::min<std::size_t>(2, list.size()); ++w)
            both.wall[w] = wall(list[w]);
        if (list.size() == 2 && std::abs(both.wall[0].normal.dot(both.wall[1].normal)) < 1 - 1e-9)
            r.report(Diagnostic{"wall-line", {}, "the two walls are not parallel", ""});
        c_.feature = both;
    }

    /// Two walls either side of a line; the size moves them apart.
    void slot(const Reader& r, bool rib) {
        (rib ? rib_ : slot_) = true;
        Walls both;
        Wall wall;
        bool x = true;
        const bool placed = sound(r, [&] {
            x = r.at("across").word<bool>({{"X", true}, {"Y", false}});
            const double at = r.at("middle").quantity(Measure::length, any_place);
            const auto [from, to] = line(r);
            wall.from = x ? Eigen::Vector2d(at, from) : Eigen::Vector2d(from, at);
            wall.to = x ? Eigen::Vector2d(at, to) : Eigen::Vector2d(to, at);
        });
        if (placed && r.node() != nullptr) {
            inside_part(r, wall.from.x(), wall.from.y(), rib ? "the rib" : "the slot");
            inside_part(r, wall.to.x(), wall.to.y(), rib ? "the rib" : "the slot");
        }
        milled(
            r,
            wall,
            [&] {
                enum class Cut { plunged, full, steps };
                const auto cut = rib ? r.at("cut").word<Cut>(
                                           {{"full depth", Cut::full}, {"in steps", Cut::steps}})
                                     : r.at("cut").word<Cut>({{"in the tool's width", Cut::plunged},
                                                              {"full depth", Cut::full},
                                                              {"in steps", Cut::steps}});
                both.plunged = cut == Cut::plunged;
                return cut == Cut::full;
            },
            !rib);
        for (std::size_t w = 0; w < 2; ++w) {
            both.wall[w] = wall;
            // the walls of a rib face away from its middle, those of a slot towards it
            const double side = (w == 0 ? -1.0 : 1.0) * (rib ? 1 : -1);
            both.wall[w].normal = x ? Eigen::Vector2d(side, 0) : Eigen::Vector2d(0, side);
        }
        c_.feature = both;
    }

    // ---- datums

    void datum() {
        const bool none =
            c_.kind == Requirement::flatness || c_.kind == Requirement::straightness ||
            c_.kind == Requirement::roundness || c_.kind == Requirement::cylindricity ||
            c_.kind == Requirement::diameter || c_.kind == Requirement::distance ||
            c_.kind == Requirement::width || std::holds_alternative<Walls>(c_.feature);
        if (none)
            return;
        const auto item = item_.at("datum");
        const auto name = read_name(item.at("name"));
        enum class Kind { face, seat, touched, picked_up, cut, wall, bore, each_other };
        const auto kind = read_kind<Kind>(item,
                                          "kind",
                                          {{"face", Kind::face},
                                           {"seat", Kind::seat},
                                           {"touched", Kind::touched},
                                           {"picked up", Kind::picked_up},
                                           {"cut", Kind::cut},
                                           {"wall", Kind::wall},
                                           {"bore", Kind::bore},
                                           {"each other", Kind::each_other}});
        if (!kind)
            return;
        switch (*kind) {
        case Kind::face:
            c_.datum = PlaneDatum{PlaneDatum::Kind::face, name, face(item, false)};
            break;
        case Kind::seat:
            c_.datum = PlaneDatum{PlaneDatum::Kind::seat, name, {}};
            break;
        case Kind::touched:
            c_.datum = PlaneDatum{PlaneDatum::Kind::touched, name, face(item, false, false)};
            break;
        case Kind::picked_up:
        case Kind::cut:
            c_.datum = edges(item, name, *kind == Kind::cut);
            break;
        case Kind::wall:
            c_.datum = WallDatum{name, wall(item)};
            break;
        case Kind::bore:
            c_.datum = bore(item, name);
            break;
        case Kind::each_other:
            c_.datum = EachOther{name};
            break;
        }
    }

    static EdgeDatum edges(const Reader& item, const std::string& name, bool cut) {
        EdgeDatum datum;
        datum.name = name;
        datum.kind = cut ? EdgeDatum::Kind::cut : EdgeDatum::Kind::picked_up;
        datum.x = item.at("x").quantity(Measure::length, any_place);
        datum.y = item.at("y").quantity(Measure::length, any_place);
        datum.height = item.at("height").quantity(Measure::length, some_height);
        datum.tool_length = item.at("gauge_length").quantity(Measure::length, some_length);
        return datum;
    }

    BoreDatum bore(const Reader& item, const std::string& name) const {
        BoreDatum datum;
        datum.name = name;
        datum.hole = hole(item.at("hole"), false);
        const auto turned =
            c_.kind == Requirement::coaxiality ? item.find("turned_over") : std::nullopt;
        if (!turned)
            return datum;
        datum.flipped = turned->at("about").word<Axis>({{"X", Axis::x}, {"Y", Axis::y}});
        datum.thickness = turned->at("thickness").quantity(Measure::length, some_length);
        datum.indicated =
            turned->at("found_by").word<bool>({{"the bore", true}, {"the edges", false}});
        if (datum.indicated)
            datum.indicated_at = turned->at("found_at").quantity(Measure::length, some_height);
        return datum;
    }

    // ---- what else may be said

    void options() {
        if (is_size(c_.kind))
            if (const auto aim = item_.find("aim"))
                aim_ = aim->quantity(Measure::length, some_length);
        const bool form = c_.kind == Requirement::flatness ||
                          c_.kind == Requirement::straightness ||
                          c_.kind == Requirement::roundness || c_.kind == Requirement::cylindricity;
        if (const auto evaluated = form ? item_.find("evaluated") : std::nullopt)
            c_.evaluation =
                evaluated->word<Evaluation>({{"minimum zone", Evaluation::minimum_zone},
                                             {"least squares", Evaluation::least_squares}});
        if (c_.kind == Requirement::straightness && std::holds_alternative<Face>(c_.feature))
            c_.along_y = item_.at("along").word<bool>({{"X", false}, {"Y", true}});
        if (c_.kind == Requirement::distance)
            if (const auto way = item_.find("one_way"))
                c_.one_way = way->boolean();
        if (c_.kind == Requirement::position)
            if (const auto material = item_.find("maximum_material"))
                c_.bonus_from = read_name(*material);
        if (const auto setup = item_.find("setup"))
            c_.setup = read_name(*setup);
        if (const auto gauge = item_.find("gauge"))
            c_.gauge = read_name(*gauge);
    }

    const Reader& item_;
    const TitleBlock& block_;
    Job& job_;
    Callout c_;
    std::optional<double> aim_; ///< of a size (m)
    bool slot_ = false;
    bool rib_ = false;
};

} // namespace

/// The rectangle of the keys "x" and "y". @return none where something is wrong with it
std::optional<Extent> read_extent(const Reader& item) {
    const auto before = item.faults();
    const auto x = read_two(item.at("x"), any_place);
    const auto y = read_two(item.at("y"), any_place);
    if (item.faults() != before || item.node() == nullptr)
        return std::nullopt;
    for (const auto& [key, pair] : {std::pair{"x", x}, std::pair{"y", y}})
        if (pair[0] >= pair[1])
            item.at(key).report(Diagnostic{"extent-empty",
                                           {},
                                           "it ends where it begins, or before",
                                           "the smaller coordinate comes first"});
    return item.faults() == before ? std::optional(Extent{x[0], x[1], y[0], y[1]}) : std::nullopt;
}

Callout read_callout(const Reader& item, Ids& ids, const TitleBlock& block, Job& job) {
    return CalloutReader(item, block, job).read(ids);
}

} // namespace holdable
