// SPDX-License-Identifier: MIT
#include "holdable/files/ask_job.hpp"

#include "holdable/base/error.hpp"
#include "holdable/base/quantity.hpp"
#include "holdable/files/fields.hpp"
#include "holdable/files/read_size.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <cmath>
#include <numbers>
#include <utility>

namespace holdable {
namespace {

constexpr double near = 1e-9;    // what arithmetic on two units may leave (m)

/// What is taken where the line is silent, in round numbers of the line's own unit.
struct Usual {
    double unit;        ///< (m)
    double under_part;  ///< parallels or a vise under the part
    double beyond_hole; ///< a tool is that much longer than its hole is deep
    double beside;      ///< a face mill beside the part: its length is that more than `beyond_hole`
    double below_top;   ///< where edges are touched
    double depth;       ///< of holes whose depth hardly matters
    double cutter;      ///< diameter of a face mill
    double step_over;
    double rough; ///< a height over the table is rounded up to it
    double feed;  ///< along a round path, in a minute
};

constexpr Usual inches = {0.0254, 1, 3, 1, 0.5, 1, 3, 2.25, 0.25, 20};
constexpr Usual millimetres = {1e-3, 25, 75, 25, 12, 25, 80, 60, 5, 500};

/// Builds the job in the unit of the line, so that 3 in and 1 in are 4 in and no rounding less.
class JobOfLine {
  public:
    JobOfLine(const AskedQuestion& question, const Shop& shop)
        : q_(question), shop_(shop), u_(question.inch ? inches : millimetres) {}

    AskedJob make() {
        auto& job = made_.job;
        job.name = "one-line question";
        job.material = q_.material.empty() ? "steel" : q_.material;
        job.quantity = q_.quantity.value_or(1);
        job.critical = q_.critical;
        job.process_typical = true;
        job.inch = q_.inch;
        places();
        outline();
        heights();
        finish_if_wrong();
        job.part = extent(part_);
        say_all();
        for (std::size_t c = 0; c < q_.callouts.size(); ++c)
            job.callouts.push_back(callout(q_.callouts[c], c));
        finish_if_wrong();
        return std::move(made_);
    }

  private:
    /// A rectangle in the unit of the line.
    struct Box {
        double x_low = 0, x_high = 0, y_low = 0, y_high = 0;
    };

    double in_units(const AskedLength& length) const {
        const bool own = length.unit == (q_.inch ? AskedUnit::inch : AskedUnit::mm);
        if (!own)
            return length.value() / u_.unit;
        double number = 0; // a number in the line's own unit stays as it was written
        std::from_chars(length.number.data(), length.number.data() + length.number.size(), number);
        return number;
    }

    Extent extent(const Box& box) const {
        return {
            box.x_low * u_.unit, box.x_high * u_.unit, box.y_low * u_.unit, box.y_high * u_.unit};
    }

    double low(Axis axis) const {
        return shop_.travel[static_cast<std::size_t>(axis)].low / u_.unit;
    }

    double high(Axis axis) const {
        return shop_.travel[static_cast<std::size_t>(axis)].high / u_.unit;
    }

    double middle(Axis axis) const { return neat((low(axis) + high(axis)) / 2); }

    /// What a conversion of units left is taken off.
    static double neat(double value) { return std::round(value * 1e6) / 1e6; }

    // ---- in plan

    /// Places of the holes of each callout, the middle of each face.
    void places() {
        for (const auto& c : q_.callouts) {
            std::vector<std::pair<double, double>> at;
            for (const auto& place : c.places)
                at.emplace_back(in_units(place.x), in_units(place.y));
            if (c.kind == Requirement::distance) {
                check_apart(c, at);
            } else if (at.empty()) {
                at.emplace_back(middle(Axis::x), middle(Axis::y));
            }
            if (c.circle) {
                const auto [x, y] = at.front();
                const double radius = in_units(*c.circle) / 2;
                at.clear();
                for (int k = 0; k < c.count; ++k) {
                    const double angle = 2 * std::numbers::pi * k / c.count;
                    at.emplace_back(x + radius * std::cos(angle), y + radius * std::sin(angle));
                }
            }
            for (std::size_t k = 0; k < at.size(); ++k) {
                const auto [x, y] = at[k];
                Box box{x, x, y, y};
                if (c.extent || line_on_face(c)) {
                    const auto [length, width] = size_of_face(c);
                    box = {x - length / 2, x + length / 2, y - width / 2, y + width / 2};
                }
                inside_travel(box, column_of(c, k));
                boxes_.push_back({box, column_of(c, k)});
            }
            at_.push_back(std::move(at));
        }
    }

    static bool line_on_face(const AskedCallout& c) {
        return c.kind == Requirement::straightness && !c.axis;
    }

    /// Along X and along Y; a line lies on one pass of the cutter.
    std::pair<double, double> size_of_face(const AskedCallout& c) const {
        if (c.extent)
            return {in_units(c.extent->x), in_units(c.extent->y)};
        const double length = in_units(*c.over);
        return c.along_y ? std::pair(u_.step_over, length) : std::pair(length, u_.step_over);
    }

    static int column_of(const AskedCallout& c, std::size_t k) {
        if (!c.places.empty())
            return c.places[std::min(k, c.places.size() - 1)].x.column;
        if (c.extent)
            return c.extent->x.column;
        if (c.over)
            return c.over->column;
        return c.tolerance ? c.tolerance->column : c.size->first.column;
    }

    void check_apart(const AskedCallout& c, const std::vector<std::pair<double, double>>& at) {
        const double apart =
            std::hypot(at[1].first - at[0].first, at[1].second - at[0].second) * u_.unit;
        const auto size = parse_size(size_text(*c.size), true, {});
        if (std::abs(apart - size.nominal) > std::max(1e-4, 2 * size.half_width()))
            wrong(c.size->first.column,
                  Diagnostic{"size-places",
                             {},
                             fmt::format("the places are {:.6g} mm apart, the size is {:.6g} mm",
                                         apart * 1e3,
                                         size.nominal * 1e3),
                             "places and size come from the same print"});
    }

    void inside_travel(const Box& box, int column) {
        const auto check = [&](Axis axis, double from, double to) {
            if (from * u_.unit < shop_.travel[static_cast<std::size_t>(axis)].low - near ||
                to * u_.unit > shop_.travel[static_cast<std::size_t>(axis)].high + near)
                wrong(column,
                      Diagnostic{"ask-travel",
                                 {},
                                 from == to
                                     ? fmt::format("{} {} is outside the travel of {}, {} to {}",
                                                   letter(axis),
                                                   number(from),
                                                   letter(axis),
                                                   number(low(axis)),
                                                   range_end(axis))
                                     : fmt::format("{} {} to {} is outside the travel of {}, {} to "
                                                   "{}",
                                                   letter(axis),
                                                   number(from),
                                                   number(to),
                                                   letter(axis),
                                                   number(low(axis)),
                                                   range_end(axis)),
                                 "places are coordinates of the machine"});
        };
        check(Axis::x, box.x_low, box.x_high);
        check(Axis::y, box.y_low, box.y_high);
    }

    std::string range_end(Axis axis) const {
        return number(high(axis)) + (q_.inch ? " in" : " mm");
    }

    /// As stated, else over the middle half of the travel, and over all that is asked.
    void outline() {
        const double x = middle(Axis::x);
        const double y = middle(Axis::y);
        const double half_x =
            q_.part ? in_units(q_.part->x) / 2 : neat((high(Axis::x) - low(Axis::x)) / 4);
        const double half_y =
            q_.part ? in_units(q_.part->y) / 2 : neat((high(Axis::y) - low(Axis::y)) / 4);
        part_ = {x - half_x, x + half_x, y - half_y, y + half_y};
        if (q_.corner) {
            part_.x_low = in_units(q_.corner->x);
            part_.y_low = in_units(q_.corner->y);
            const double end_x = part_.x_low + 2 * half_x;
            const double end_y = part_.y_low + 2 * half_y;
            part_.x_high = q_.part ? end_x : std::min(end_x, neat(high(Axis::x)));
            part_.y_high = q_.part ? end_y : std::min(end_y, neat(high(Axis::y)));
        }
        for (const auto& [box, column] : boxes_) {
            const bool beyond = box.x_low < part_.x_low - near ||
                                box.x_high > part_.x_high + near ||
                                box.y_low < part_.y_low - near || box.y_high > part_.y_high + near;
            const bool before = box.x_low < part_.x_low - near || box.y_low < part_.y_low - near;
            if (q_.part ? beyond : q_.corner && before)
                wrong(column,
                      Diagnostic{"outside-part",
                                 {},
                                 fmt::format("it is outside the part, X {} to {}, Y {} to {}",
                                             number(part_.x_low),
                                             number(part_.x_high),
                                             number(part_.y_low),
                                             number(part_.y_high)),
                                 "\"from 5,4\" is the corner of least X and Y, on the machine"});
            if (q_.part)
                continue;
            part_.x_high = std::max(part_.x_high, box.x_high);
            part_.y_high = std::max(part_.y_high, box.y_high);
            if (q_.corner)
                continue;
            part_.x_low = std::min(part_.x_low, box.x_low);
            part_.y_low = std::min(part_.y_low, box.y_low);
        }
        if (q_.part || q_.corner)
            inside_travel(part_, q_.corner ? q_.corner->x.column : q_.part->x.column);
    }

    // ---- upwards

    /// How high the part is, and how high it lies: all tips are within the travel of Z.
    void heights() {
        int column = 1;
        for (const auto& c : q_.callouts) {
            double high = of_holes(c) ? depth_of(c) : 0;
            if (c.kind == Requirement::height)
                high = nominal(c);
            if (high > part_height_) {
                part_height_ = high;
                column = of_holes(c) && c.over ? c.over->column : column_of(c, 0);
            }
        }
        if (part_height_ == 0)
            part_height_ = u_.depth;
        const double nose = shop_.nose_to_table / u_.unit; // with Z at 0
        const double lowest = nose + low(Axis::z);         // tip height + tool length, at least
        const double highest = nose + high(Axis::z);
        under_ = u_.under_part;
        if (under_ + part_height_ + u_.beyond_hole < lowest)
            under_ =
                std::ceil((lowest - u_.beyond_hole - part_height_) / u_.rough - 1e-9) * u_.rough;
        top_ = under_ + part_height_;
        const double most = top_ + u_.beyond_hole + std::max(part_height_, u_.beside);
        if (most > highest + 1e-9)
            wrong(column,
                  Diagnostic{"ask-reach",
                             {},
                             fmt::format("a part {} high and a tool {} long do not fit between "
                                         "table and spindle",
                                         number(part_height_),
                                         number(u_.beyond_hole + part_height_)),
                             "a job file states where the part lies and how long the tool is"});
    }

    double depth_of(const AskedCallout& c) const { return c.over ? in_units(*c.over) : u_.depth; }

    /// Of a height, in the unit of the line.
    double nominal(const AskedCallout& c) const {
        const double m = parse_size(size_text(*c.size), true, {}).nominal;
        return neat(m / u_.unit);
    }

    // ---- callouts

    std::string name_of(const AskedCallout& c, std::size_t index) const {
        const auto of = [&](const AskedCallout& one) -> std::string {
            if (!of_holes(one))
                return one.kind == Requirement::height && one.depth ? "the floor" : "the face";
            const std::string_view kind = !one.making || *one.making == HoleMaking::bored ? "bore"
                                          : *one.making == HoleMaking::reamed  ? "reamed hole"
                                          : *one.making == HoleMaking::drilled ? "drilled hole"
                                          : *one.making == HoleMaking::tapped  ? "tapped hole"
                                                                               : "milled hole";
            if (one.kind == Requirement::distance)
                return fmt::format("the two {}s", kind);
            return one.count > 1 ? fmt::format("the {} {}s", one.count, kind)
                                 : fmt::format("the {}", kind);
        };
        const auto name = of(c);
        const auto alike = std::count_if(
            q_.callouts.begin(), q_.callouts.end(), [&](const auto& o) { return of(o) == name; });
        return alike > 1 ? fmt::format("{}, {}", name, index + 1) : name;
    }

    Callout callout(const AskedCallout& c, std::size_t index) {
        Callout made;
        made.kind = c.kind;
        made.name = name_of(c, index);
        if (of_holes(c))
            made.feature = holes(c, at_[index]);
        else
            made.feature = face(c, at_[index].front());
        if (c.size) {
            made.written = size_text(*c.size);
            made.size = parse_size(made.written, true, {});
            made.tolerance = made.size.half_width();
            if (c.kind == Requirement::diameter)
                for (auto& hole : std::get<Holes>(made.feature))
                    hole.diameter = made.size.nominal;
            odd(*c.size, made);
        } else {
            made.written = fmt::format("{} {}", c.tolerance->number, word(c.tolerance->unit));
            made.tolerance = c.tolerance->value();
            odd(made.written, made.tolerance);
        }
        made.along_y = c.along_y;
        made.datum = datum(c);
        return made;
    }

    Holes holes(const AskedCallout& c, const std::vector<std::pair<double, double>>& at) const {
        Hole hole;
        hole.top = top_ * u_.unit;
        hole.depth = depth_of(c) * u_.unit;
        hole.tool_length = (depth_of(c) + u_.beyond_hole) * u_.unit;
        hole.making = c.making.value_or(HoleMaking::bored);
        if (c.of)
            hole.diameter = c.of->value();
        const bool feed_counts = c.kind == Requirement::diameter ||
                                 c.kind == Requirement::roundness ||
                                 c.kind == Requirement::cylindricity;
        if (hole.making == HoleMaking::interpolated && feed_counts)
            hole.feed = u_.feed * u_.unit / 60;
        Holes all;
        for (const auto& [x, y] : at) {
            hole.x = x * u_.unit;
            hole.y = y * u_.unit;
            all.push_back(hole);
        }
        return all;
    }

    Face face(const AskedCallout& c, std::pair<double, double> at) const {
        const auto [length, width] = size_of_face(c);
        Face face;
        face.extent = extent({at.first - length / 2,
                              at.first + length / 2,
                              at.second - width / 2,
                              at.second + width / 2});
        face.height = face_height(c) * u_.unit;
        face.tool_length = face_tool(c) * u_.unit;
        if (c.kind != Requirement::height)
            face.cutter = FaceCutter{u_.cutter * u_.unit, u_.step_over * u_.unit, feed_of(c)};
        return face;
    }

    /// Along a line, else along the longer side.
    Axis feed_of(const AskedCallout& c) const {
        const auto [length, width] = size_of_face(c);
        const bool x = line_on_face(c) ? !c.along_y : length >= width;
        return x ? Axis::x : Axis::y;
    }

    /// A height over the seat stands on what is under the part; one over A is the top.
    double face_height(const AskedCallout& c) const {
        if (c.kind != Requirement::height)
            return top_;
        if (c.datum == AskedDatum::seat)
            return under_ + nominal(c);
        return c.depth ? top_ - nominal(c) : top_;
    }

    /// Long enough to reach down beside a step.
    double face_tool(const AskedCallout& c) const {
        return u_.beyond_hole +
               (c.kind == Requirement::height ? std::max(u_.beside, nominal(c)) : u_.beside);
    }

    Datum datum(const AskedCallout& c) const {
        const bool by_default = c.kind == Requirement::perpendicularity;
        switch (c.datum) {
        case AskedDatum::none:
            if (!by_default)
                return std::monostate{};
            return PlaneDatum{PlaneDatum::Kind::face, "A", datum_face(c)};
        case AskedDatum::plane:
            return PlaneDatum{PlaneDatum::Kind::face, c.datum_name, datum_face(c)};
        case AskedDatum::seat:
            return PlaneDatum{PlaneDatum::Kind::seat, "the seat", {}};
        case AskedDatum::edges:
            return EdgeDatum{EdgeDatum::Kind::picked_up,
                             c.datum_name,
                             part_.x_low * u_.unit,
                             part_.y_low * u_.unit,
                             (top_ - u_.below_top) * u_.unit,
                             (u_.beyond_hole + u_.beside) * u_.unit};
        case AskedDatum::each_other:
            return EachOther{"each other"};
        }
        return std::monostate{};
    }

    /// The top of the part; under a height what it stands over.
    Face datum_face(const AskedCallout& c) const {
        Face face;
        face.extent = extent(part_);
        face.height =
            (c.kind == Requirement::height && !c.depth ? top_ - nominal(c) : top_) * u_.unit;
        face.tool_length = face_tool(c) * u_.unit;
        return face;
    }

    void odd(const AskedSize& size, const Callout& made) {
        odd(size_text(size), made.size.upper - made.size.lower);
    }

    void odd(const std::string& text, double value) {
        if (value < tight_tolerance || value > wide_tolerance)
            made_.job.notes.push_back(fmt::format("a tolerance of {} is unusually {}: is the unit "
                                                  "right?",
                                                  text,
                                                  value < tight_tolerance ? "tight" : "wide"));
    }

    // ---- what is said

    /// As a shop writes it, without unit.
    std::string number(double value) const {
        auto text = fmt::format("{:.4f}", neat(value));
        text.erase(text.find_last_not_of('0') + 1);
        if (text.ends_with('.'))
            text.pop_back();
        if (q_.inch && text.starts_with("0."))
            text.erase(0, 1);
        if (text == "-0")
            text = "0";
        return text;
    }

    std::string length(double value) const { return number(value) + (q_.inch ? " in" : " mm"); }

    template <class Which>
    bool any(const Which& which) const {
        return std::any_of(q_.callouts.begin(), q_.callouts.end(), which);
    }

    void say(std::string text) { made_.assumed.push_back(std::move(text)); }

    void say_all() {
        say_part();
        say_datums();
        say_places();
        say_tools();
        std::string batch = q_.material.empty() ? "steel" : "";
        if (!q_.quantity)
            batch += batch.empty() ? "one part" : ", one part";
        if (!batch.empty())
            say(batch);
        say(fmt::format("part and machine within {}; the rest of the process as is typical for the "
                        "trade",
                        q_.inch ? "5.4 °F of 68 °F" : "3 K of 20 °C"));
    }

    void say_part() {
        const auto stands = fmt::format("X {} to {}, Y {} to {}",
                                        number(part_.x_low),
                                        number(part_.x_high),
                                        number(part_.y_low),
                                        length(part_.y_high));
        const auto lies = fmt::format("its top {} over the table", length(top_));
        const bool counts = any([](const AskedCallout& c) {
            return c.datum == AskedDatum::plane || c.datum == AskedDatum::edges ||
                   (c.datum == AskedDatum::none && c.kind == Requirement::perpendicularity);
        });
        if (q_.part && q_.corner)
            say("part with " + lies);
        else if (counts || q_.part || q_.corner)
            say(fmt::format("part at {}, {}", stands, lies));
        else
            say("part with " + lies);
    }

    void say_datums() {
        std::vector<std::string> said;
        const auto once = [&](const std::string& text) {
            if (std::find(said.begin(), said.end(), text) != said.end())
                return;
            said.push_back(text);
            say(text);
        };
        for (const auto& c : q_.callouts) {
            const bool plane =
                c.datum == AskedDatum::plane ||
                (c.datum == AskedDatum::none && c.kind == Requirement::perpendicularity);
            const std::string name = c.datum_name.empty() ? "A" : c.datum_name;
            if (plane && c.kind == Requirement::height)
                once(
                    fmt::format("{}: a face as large as the part, milled in the same set-up by the "
                                "same tool, {} long",
                                name,
                                length(face_tool(c))));
            else if (plane)
                once(fmt::format("{}: the whole top of the part, milled in the same set-up by a "
                                 "tool {} long",
                                 name,
                                 length(face_tool(c))));
            else if (c.datum == AskedDatum::edges)
                once(fmt::format("{}: edges picked up at the part's corner, X {}, Y {}",
                                 name,
                                 number(part_.x_low),
                                 length(part_.y_low)));
        }
    }

    void say_places() {
        for (std::size_t i = 0; i < q_.callouts.size(); ++i) {
            const auto& c = q_.callouts[i];
            const auto name = name_of(c, i);
            if (c.places.empty())
                say(fmt::format("{} at the middle of the travel, X {}, Y {}",
                                name,
                                number(middle(Axis::x)),
                                length(middle(Axis::y))));
            if (of_holes(c) && !c.over)
                say(fmt::format("{} {} deep", name, length(u_.depth)));
        }
    }

    void say_tools() {
        for (std::size_t i = 0; i < q_.callouts.size(); ++i) {
            const auto& c = q_.callouts[i];
            const auto name = name_of(c, i);
            if (of_holes(c)) {
                const bool feed =
                    c.making == HoleMaking::interpolated && c.kind != Requirement::position &&
                    c.kind != Requirement::perpendicularity && c.kind != Requirement::distance &&
                    c.kind != Requirement::straightness;
                say(fmt::format("{}{} its tool {} from spindle to tip{}",
                                name,
                                c.making ? ":" : ": bored,",
                                length(depth_of(c) + u_.beyond_hole),
                                feed ? fmt::format(", feed {}/min", length(u_.feed)) : ""));
            } else if (c.kind != Requirement::height) {
                say(fmt::format("{}: face mill Ø{}, step {}, along {}, {} long",
                                name,
                                number(u_.cutter),
                                number(u_.step_over),
                                letter(feed_of(c)),
                                length(face_tool(c))));
            } else if (c.datum == AskedDatum::seat) {
                say(fmt::format("{} by a tool {} long", name, length(face_tool(c))));
            }
        }
    }

    // ---- what is wrong

    void wrong(int column, Diagnostic diagnostic) {
        diagnostic.location = {std::string(ask_file), 1, column, ""};
        wrong_.push_back(std::move(diagnostic));
    }

    void finish_if_wrong() {
        std::stable_sort(wrong_.begin(), wrong_.end(), [](const auto& a, const auto& b) {
            return a.location.column < b.location.column;
        });
        if (!wrong_.empty())
            throw InputError(std::move(wrong_));
    }

    const AskedQuestion& q_;
    const Shop& shop_;
    const Usual& u_;
    AskedJob made_;
    std::vector<std::vector<std::pair<double, double>>> at_; // of each callout, units of the line
    std::vector<std::pair<Box, int>> boxes_; // what lies on the part, and its column
    Box part_;
    double part_height_ = 0;
    double under_ = 0;
    double top_ = 0;
    std::vector<Diagnostic> wrong_;
};

} // namespace

AskedJob job_from(const AskedQuestion& question, const Shop& shop) {
    return JobOfLine(question, shop).make();
}

} // namespace holdable
