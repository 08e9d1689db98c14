// SPDX-License-Identifier: MIT
#include "holdable/files/ask_check.hpp"

#include "holdable/base/words.hpp"
#include "holdable/files/ask_words.hpp"
#include "holdable/files/read_size.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace holdable {
namespace {

constexpr double largest = 100;        // as all lengths (m)
constexpr double no_tolerance = 0.025; // a width beyond it is a slip of the unit (m)
constexpr int most_holes = 100;

/// A number in its one form: no zero before the point of inches, one before that of others.
std::string canonical_number(std::string number, bool inch) {
    std::string sign;
    if (!number.empty() && (number[0] == '-' || number[0] == '+')) {
        sign = number.substr(0, 1);
        number.erase(0, 1);
    }
    if (number.starts_with('.') && !inch)
        number.insert(0, 1, '0');
    else if (number.starts_with("0.") && inch)
        number.erase(0, 1);
    return sign + number;
}

std::string canonical_in(const std::string& number, AskedUnit unit) {
    return canonical_number(number, unit == AskedUnit::inch);
}

/// What a kind wants.
enum class Wants { nothing, allowed, needed };

struct Rules {
    Wants round = Wants::nothing; ///< "Ø" before the zone
    Wants over = Wants::nothing;
    Wants extent = Wants::nothing;
    Wants planes = Wants::nothing; ///< a face or the seat as datum
    Wants edges = Wants::nothing;  ///< edges, or each other
    bool many = false;             ///< of several holes made alike
    bool of = false;
};

Rules rules_of(const AskedCallout& c) {
    Rules r;
    switch (c.kind) {
    case Requirement::position:
        return {Wants::needed, Wants::needed, {}, {}, Wants::needed, true, false};
    case Requirement::perpendicularity:
        return {Wants::needed, Wants::needed, {}, Wants::allowed, {}, false, false};
    case Requirement::parallelism:
        r.extent = r.planes = Wants::needed;
        return r;
    case Requirement::flatness:
        r.extent = Wants::needed;
        return r;
    case Requirement::straightness:
        r.round = Wants::allowed;
        r.over = Wants::needed;
        return r;
    case Requirement::roundness:
        return {{}, Wants::allowed, {}, {}, {}, false, true};
    case Requirement::cylindricity:
        return {{}, Wants::needed, {}, {}, {}, false, true};
    case Requirement::diameter:
        return {Wants::allowed, Wants::allowed, {}, {}, {}, true, false};
    case Requirement::distance:
        return {{}, Wants::allowed, {}, {}, {}, false, false};
    default: // height
        r.extent = r.planes = Wants::needed;
        return r;
    }
}

std::string_view name(const AskedCallout& c) {
    return c.kind == Requirement::height && c.depth ? "depth" : word(c.kind);
}

class Check {
  public:
    Check(AskLine& line, AskedCallout& callout, const Mentioned& mentioned)
        : line_(line), c_(callout), m_(mentioned) {}

    void all() {
        if (!settle_kind())
            return;
        rules_ = rules_of(c_);
        amount();
        round();
        length();
        datum();
        holes();
        others();
    }

  private:
    void wrong(int column, Diagnostic diagnostic) { line_.wrong_in(column, std::move(diagnostic)); }

    bool settle_kind() {
        if (m_.kind)
            return true;
        if (c_.size && m_.between) {
            c_.kind = Requirement::distance;
            return true;
        }
        if (c_.size && c_.size->form == AskedSize::Form::fit) {
            c_.kind = Requirement::diameter;
            return true;
        }
        if (!m_.fault)
            wrong(m_.column,
                  Diagnostic{"ask-kind",
                             {},
                             c_.size ? "a size of what?" : "what is asked of it?",
                             c_.size ? "Ø for a diameter, \"between 3,6 and 13,6\" for two holes, "
                                       "\"height\" or \"depth\""
                                     : "pos, perp, par, flat, str, round, cyl, a size"});
        return false;
    }

    void amount() {
        if (m_.fault) // a number may be a stand-in
            return;
        if (c_.tolerance) {
            const auto& t = *c_.tolerance;
            if (!(t.value() > 0))
                wrong(t.column,
                      Diagnostic{"tolerance-zero",
                                 {},
                                 fmt::format("a tolerance of {} leaves no room for any part",
                                             in_quotes(t.number)),
                                 "ask the customer which number was meant"});
            else if (t.value() > no_tolerance)
                wrong(t.column,
                      Diagnostic{"ask-range",
                                 {},
                                 fmt::format("{} {} is no tolerance", t.number, word(t.unit)),
                                 "is the unit right?"});
        } else if (c_.size && is_size(c_.kind)) {
            if (apart_as_a_fraction())
                return;
            line_.attempt(c_.size->first.column,
                          [&] { parse_size(size_text(*c_.size), true, {}); });
        } else if (!c_.size) {
            wrong(m_.kind_at,
                  Diagnostic{"ask-tolerance",
                             {},
                             fmt::format("{} within what?", name(c_)),
                             is_size(c_.kind) ? "as 10.000 ±.0005, 1.0005/1.0000, 42 H7"
                                              : "the width of the zone: .001, Ø0.02 mm"});
        }
    }

    /// "1/2": limits that far apart are none.
    bool apart_as_a_fraction() {
        if (c_.size->form != AskedSize::Form::limits)
            return false;
        const auto second = AskedLength{c_.size->second, c_.size->first.unit, 0}.value();
        const double first = c_.size->first.value();
        if (std::abs(first - second) <= 0.1 * std::max(first, second))
            return false;
        wrong(c_.size->first.column,
              Diagnostic{"ask-tolerance",
                         {},
                         fmt::format("{}/{}: a fraction, or limits that far apart?",
                                     c_.size->first.number,
                                     c_.size->second),
                         "write fractions as decimals: .500"});
        return true;
    }

    void round() {
        if (c_.kind == Requirement::straightness)
            c_.axis = m_.round;
        if (m_.fault || (!c_.tolerance && !c_.size))
            return;
        if (rules_.round == Wants::needed && !m_.round)
            wrong(c_.tolerance ? c_.tolerance->column : m_.kind_at,
                  Diagnostic{
                      "ask-diameter",
                      {},
                      fmt::format("{}: a zone of that diameter, or that far off centre?", name(c_)),
                      "of a hole it is a diameter: write Ø; .0015 off centre is Ø.003. Walls "
                      "are asked in a job file"});
        if (rules_.round == Wants::nothing && m_.round)
            wrong(m_.kind_at,
                  Diagnostic{"ask-diameter",
                             {},
                             fmt::format("{} has no Ø", name(c_)),
                             "its number is a width or a length, no diameter"});
    }

    void length() {
        const bool face = !of_holes(c_) && c_.kind != Requirement::straightness;
        if (face && c_.over)
            wrong(m_.over_at,
                  Diagnostic{"ask-length",
                             {},
                             fmt::format("{}: a face has a length and a width", name(c_)),
                             "over 10 x 6, along X first"});
        else if (!face && c_.extent)
            wrong(
                m_.over_at,
                Diagnostic{
                    "ask-length", {}, fmt::format("{} is over one length", name(c_)), "over 3.00"});
        else if (!m_.fault && face && !c_.extent)
            wrong(m_.kind_at,
                  Diagnostic{"ask-length",
                             {},
                             fmt::format("{} over what face?", name(c_)),
                             "over 10 x 6, along X first"});
        else if (!m_.fault && !face && !c_.over && rules_.over == Wants::needed)
            wrong(m_.kind_at,
                  Diagnostic{"ask-length",
                             {},
                             fmt::format("{} over what length?", name(c_)),
                             "the depth of the hole, as over 3.00"});
    }

    void datum() {
        const bool plane = c_.datum == AskedDatum::plane || c_.datum == AskedDatum::seat;
        const bool edges = c_.datum == AskedDatum::edges || c_.datum == AskedDatum::each_other;
        if ((plane && rules_.planes == Wants::nothing) ||
            (edges && rules_.edges == Wants::nothing)) {
            const bool any = rules_.planes != Wants::nothing || rules_.edges != Wants::nothing;
            wrong(m_.datum_at,
                  Diagnostic{"ask-datum",
                             {},
                             any ? fmt::format("{} is not to that datum", name(c_))
                                 : fmt::format("{} has no datum", name(c_)),
                             rules_.edges != Wants::nothing
                                 ? "a hole is placed by edges: to A|B|C; or by the others: to each "
                                   "other"
                             : any ? "one plane: to A, to seat"
                                   : "leave it out"});
        } else if (c_.depth && c_.datum == AskedDatum::seat) {
            wrong(
                m_.datum_at,
                Diagnostic{"ask-datum", {}, "a depth is under a face, not over the seat", "to A"});
        } else if (!m_.fault && !m_.datum &&
                   (rules_.planes == Wants::needed || rules_.edges == Wants::needed)) {
            wrong(m_.kind_at,
                  Diagnostic{"ask-datum",
                             {},
                             fmt::format("{} to what?", name(c_)),
                             rules_.edges == Wants::needed
                                 ? "to A|B|C for edges, or to each other"
                                 : "to A for a face cut with it, or to seat"});
        }
    }

    void holes() {
        const int places = static_cast<int>(c_.places.size());
        if (c_.kind == Requirement::distance) {
            if (!m_.fault && !(m_.between && places == 2) && !m_.place)
                wrong(m_.kind_at,
                      Diagnostic{"ask-place",
                                 {},
                                 "a distance between which places?",
                                 "between 3,6 and 13,6"});
            else if (m_.place && !m_.between)
                wrong(m_.place_at,
                      Diagnostic{"ask-place",
                                 {},
                                 "a distance is between two places",
                                 "between 3,6 and 13,6"});
            if (c_.count > 2)
                wrong(m_.count, Diagnostic{"ask-count", {}, "a distance is that of two holes", ""});
            c_.count = 1;
            return;
        }
        if (m_.between) {
            wrong(m_.place_at,
                  Diagnostic{"ask-place",
                             {},
                             fmt::format("{} is at a place, not between two", name(c_)),
                             "at 6,4"});
            return;
        }
        if (c_.count > 1 && !rules_.many) {
            wrong(m_.count,
                  Diagnostic{"ask-count",
                             {},
                             fmt::format("{} is asked of one feature", name(c_)),
                             "a callout for each, ; between"});
            return;
        }
        if (c_.count > most_holes) {
            wrong(m_.count,
                  Diagnostic{
                      "holes-many",
                      {},
                      fmt::format("{} holes; at most {} are one pattern", c_.count, most_holes),
                      ""});
            return;
        }
        const bool circle = c_.circle.has_value();
        if (circle && (!rules_.many || c_.count < 2))
            wrong(m_.column,
                  Diagnostic{"ask-count",
                             {},
                             "holes on a circle are two or more",
                             "6X pos Ø.014 on Ø5.000 at 8,6"});
        else if (circle ? places > 1 : places > 1 && places != c_.count)
            wrong(m_.place_at,
                  Diagnostic{"ask-count",
                             {},
                             circle ? "a circle has one centre"
                                    : fmt::format("{} places, and {} feature{}",
                                                  places,
                                                  c_.count,
                                                  c_.count > 1 ? "s" : ""),
                             "4X before the callout for four places; one place is two numbers with "
                             "decimal points"});
        else if (!circle && c_.count > 1 && places != c_.count && !m_.fault)
            wrong(m_.count,
                  Diagnostic{"ask-place",
                             {},
                             fmt::format("{}X: where are they?", c_.count),
                             "at 5,5 and 11,5 and 11,9 and 5,9; or on Ø5.000 at 8,6"});
        if (c_.datum == AskedDatum::each_other && c_.count < 2)
            wrong(m_.datum_at,
                  Diagnostic{"ask-count", {}, "one hole has no place to itself", "4X …"});
    }

    void others() {
        const auto refuse = [&](bool said, std::string_view what) {
            if (said)
                wrong(m_.column,
                      Diagnostic{
                          "ask-clause", {}, fmt::format("{}: {}", name(c_), what), "leave it out"});
        };
        refuse(c_.making && !of_holes(c_), "a face is neither bored nor drilled; it is milled");
        refuse(c_.of && !rules_.of, "no nominal diameter goes with it");
        const bool line = c_.kind == Requirement::straightness && !c_.axis;
        refuse(m_.along && !line, "it does not run along an axis");
        if (line && !m_.along && !m_.fault)
            wrong(m_.kind_at,
                  Diagnostic{"ask-clause",
                             {},
                             "straightness of a line along X or along Y?",
                             "along X; of the axis of a hole the zone is round: Ø"});
        const bool form = c_.kind == Requirement::roundness || c_.kind == Requirement::cylindricity;
        if (form && c_.making == HoleMaking::interpolated && !c_.of)
            wrong(m_.kind_at,
                  Diagnostic{"ask-clause",
                             {},
                             fmt::format("{}: milled round what diameter?", name(c_)),
                             "of Ø2.000"});
    }

    AskLine& line_;
    AskedCallout& c_;
    const Mentioned& m_;
    Rules rules_;
};

} // namespace

void canonical(AskedLength& length) {
    length.number = canonical_in(length.number, length.unit);
}

void settle_units(AskLine& line, AskedQuestion& question, bool inch_shop) {
    bool inch = false, metric = false, base_inch = false, base_metric = false;
    const auto bare = [&](const AskedLength& length) { return line.bare.contains(length.column); };
    for_each_length(question, [&](const AskedLength& length) {
        if (bare(length))
            return;
        (of_inch(length.unit) ? inch : metric) = true;
        base_inch = base_inch || length.unit == AskedUnit::inch;
        base_metric = base_metric || length.unit == AskedUnit::mm;
    });
    const bool stated = base_inch || base_metric;
    const bool as_inch = stated ? base_inch : inch_shop;
    for_each_length(question, [&](AskedLength& length) {
        if (!bare(length))
            return;
        length.unit = as_inch ? AskedUnit::inch : AskedUnit::mm;
        if (inch && metric)
            line.wrong_in(
                length.column,
                Diagnostic{"ask-unit",
                           {},
                           fmt::format("{} has no unit, and the line has both", length.number),
                           "in a line with mm and in each number has its own"});
        else if (!stated && (inch || metric) && inch != inch_shop)
            line.wrong_in(length.column,
                          Diagnostic{"ask-unit",
                                     {},
                                     fmt::format("{}: in or mm? The machine's file is in {}",
                                                 length.number,
                                                 inch_shop ? "inches" : "millimetres"),
                                     "write in or mm once in the line"});
    });
    for (auto& c : question.callouts)
        if (c.size && c.size->form == AskedSize::Form::fit && !stated && inch_shop &&
            bare(c.size->first))
            line.wrong_in(c.size->first.column,
                          Diagnostic{"ask-unit",
                                     {},
                                     fmt::format("{} {}: in or mm? Fits are of millimetres, the "
                                                 "machine's file is in inches",
                                                 c.size->first.number,
                                                 c.size->second),
                                     "write in or mm once in the line"});
    if (!question.callouts.empty()) {
        const auto& first = question.callouts.front();
        question.inch = first.tolerance ? of_inch(first.tolerance->unit)
                        : first.size    ? of_inch(first.size->first.unit)
                                        : inch_shop;
    }
}

void check(AskLine& line, AskedCallout& callout, const Mentioned& mentioned) {
    if (auto& size = callout.size) {
        if (size->form != AskedSize::Form::fit) {
            size->second = canonical_in(size->second, size->first.unit);
            size->third = canonical_in(size->third, size->first.unit);
        }
        const auto value = [&](const std::string& number) {
            return AskedLength{number, size->first.unit, 0}.value();
        };
        if (size->form == AskedSize::Form::deviations && value(size->second) < value(size->third))
            std::swap(size->second, size->third);
    }
    Check(line, callout, mentioned).all();
}

void check_lengths(AskLine& line, AskedQuestion& question) {
    std::vector<int> places, tolerances;
    const auto add_place = [&](const AskedPlace& place) {
        places.push_back(place.x.column);
        places.push_back(place.y.column);
    };
    for (const auto& c : question.callouts) {
        std::for_each(c.places.begin(), c.places.end(), add_place);
        if (c.tolerance)
            tolerances.push_back(c.tolerance->column);
        if (c.size)
            tolerances.push_back(c.size->first.column); // parse_size has seen it
    }
    if (question.corner)
        add_place(*question.corner);
    const auto among = [](const std::vector<int>& list, int column) {
        return std::find(list.begin(), list.end(), column) != list.end();
    };
    for_each_length(question, [&](const AskedLength& length) {
        if (among(tolerances, length.column))
            return;
        const double value = length.value();
        if (std::abs(value) > largest || (!among(places, length.column) && !(value > 0)))
            line.wrong_in(
                length.column,
                Diagnostic{"ask-range",
                           {},
                           fmt::format("{} {} is no {}",
                                       length.number,
                                       word(length.unit),
                                       among(places, length.column) ? "coordinate" : "length"),
                           "above zero, and no machine is over 100 m"});
    });
}

} // namespace holdable
