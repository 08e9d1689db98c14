// SPDX-License-Identifier: MIT
#include "holdable/files/ask.hpp"

#include "holdable/base/printable.hpp"
#include "holdable/base/quantity.hpp"
#include "holdable/base/words.hpp"
#include "holdable/files/ask_check.hpp"
#include "holdable/files/ask_line.hpp"
#include "holdable/files/ask_words.hpp"
#include "holdable/standards/expansion.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <utility>

namespace holdable {
namespace {

constexpr int most_parts = 1'000'000;

/// The bytes can be stepped through: UTF-8, one line, not endless.
void check_text(std::string_view line) {
    const auto refuse = [](int column, std::string why, std::string hint) {
        throw InputError(std::vector{Diagnostic{
            "ask-text", {std::string(ask_file), 1, column, ""}, std::move(why), std::move(hint)}});
    };
    if (line.size() > ask_bytes)
        refuse(1,
               fmt::format("{} bytes are more than the {} of a line", line.size(), ask_bytes),
               "a longer question is a job file");
    int column = 1;
    for (std::size_t at = 0; at < line.size(); ++column) {
        const auto length = utf8_sequence(line.substr(at));
        const auto byte = static_cast<unsigned char>(line[at]);
        if (length == 0 || (byte < 0x20 && byte != '\t') || byte == 0x7F)
            refuse(column,
                   fmt::format("the byte 0x{:02X} does not belong into a line in UTF-8", byte),
                   "");
        if (const auto character = line.substr(at, length); byte != '\t' && !printable(character))
            refuse(column,
                   fmt::format("the character {} does not belong into a line",
                               code_point_name(character)),
                   "it is not seen, and steers how the rest is shown");
        at += length;
    }
}

/// Reads one callout, and what is said of the whole part beside it.
class CalloutLine {
  public:
    CalloutLine(AskLine& line, AskedQuestion& question) : line_(line), question_(question) {}

    /// Reads the part of the line that was chosen. @return whether it asks anything
    bool read() {
        line_.more();
        count();
        while (line_.more())
            clause();
        return asks_;
    }

    AskedCallout callout;
    Mentioned mentioned;

  private:
    /// Says it of the callout, once. @return whether it is the first time
    bool once(bool& said, std::size_t at, std::string_view what) {
        asks_ = true;
        if (said)
            twice(at, what);
        return !std::exchange(said, true);
    }

    void twice(std::size_t at, std::string_view what) {
        line_.wrong(at,
                    Diagnostic{"ask-twice",
                               {},
                               fmt::format("{} is said twice", what),
                               "one callout is one line between semicolons"});
    }

    /// "4X" before all else.
    void count() {
        const auto rest = line_.rest();
        std::size_t end = 0;
        while (end < rest.size() && is_digit(rest[end]))
            ++end;
        if (end == 0 || end == rest.size() || (rest[end] != 'X' && rest[end] != 'x'))
            return;
        const auto at = line_.at();
        callout.count = line_.whole(1, most_parts);
        line_.skip(1);
        mentioned.count = line_.column(at);
        asks_ = true;
    }

    void clause() {
        const auto at = line_.at();
        if (line_.take_round())
            return amount(at, true);
        if (line_.take_plus_minus())
            return total(at, "±");
        if (line_.number_next())
            return bare_number(at);
        if (line_.take_times())
            return over(at);
        const std::string word(line_.peek_word());
        if (word.empty())
            return unknown_sign(at);
        line_.skip(word.size());
        const auto lower = lower_case(word);
        if (const auto* kind = asked_kind(word))
            return kind_named(at, *kind);
        if (const auto making = asked_making(word)) {
            if (once(mentioned.making, at, "how it is made"))
                callout.making = making;
            return;
        }
        if (lower == "at" || lower == "between")
            return places(at, lower == "between");
        if (lower == "over")
            return over(at);
        if (lower == "to")
            return datum(at);
        if (lower == "on")
            return circle(at);
        if (lower == "of")
            return nominal(at);
        if (lower == "along")
            return along(at);
        if (lower == "in")
            return material(at);
        if (lower == "qty" || lower == "quantity")
            return quantity(at, line_.whole(0, most_parts));
        if (lower == "part")
            return part(at);
        if (lower == "from")
            return corner(at);
        if (lower == "critical") {
            question_.critical = true;
            return;
        }
        if (lower == "r" && line_.number_next())
            return radius(at);
        if (lower == "tir" || lower == "fim" || lower == "total")
            return total(at, word);
        if (edges_named(at, word) || says_nothing(word))
            return;
        unknown(at, word);
    }

    // ---- what is asked

    void kind_named(std::size_t at, const AskedKind& kind) {
        asks_ = true;
        if (mentioned.kind) {
            line_.wrong(at,
                        Diagnostic{"ask-kind",
                                   {},
                                   fmt::format("{} is a second kind in one callout",
                                               in_quotes(line_.text(at))),
                                   "a feature with two requirements is two callouts, ; between"});
            return;
        }
        mentioned.kind = true;
        mentioned.kind_at = line_.column(at);
        callout.kind = kind.kind;
        callout.depth = kind.depth;
        if (callout.size && !is_size(kind.kind)) // "Ø2.000 ±.001 perp"
            twice(at, "what is asked");
        if (kind.kind == Requirement::diameter) {
            mentioned.round = true;
            if (line_.number_next())
                amount(at, false);
        }
    }

    /// A number that no word explains: what the kind before it asks for.
    void bare_number(std::size_t at) {
        const auto known = line_.bare;
        const auto faults = line_.faults();
        { // "20 deep", "50 off"
            const auto length = line_.length();
            if (line_.take_word("deep"))
                return deep(at, length);
            const bool bare = line_.bare.contains(length.column);
            if (bare && line_.faults() == faults && line_.take_word("off")) {
                line_.back_to(at);
                const int parts = line_.whole(0, most_parts);
                line_.take_word("off");
                line_.bare = known;
                return quantity(at, parts);
            }
            if (line_.faults() != faults) { // told already; what belongs to it goes with it
                line_.take_word("off");
                asks_ = true;
                return;
            }
        }
        const bool wanted = mentioned.kind ? !callout.tolerance && !callout.size : !callout.size;
        if (!wanted) {
            const auto text = std::string(line_.text(at));
            line_.wrong(at,
                        Diagnostic{"ask-word",
                                   {},
                                   fmt::format("{} stands there without a word", in_quotes(text)),
                                   "a depth is \"over 3.00\", a place \"at 6,4\", several are "
                                   "parted by \"and\", parts are \"qty 6\""});
            asks_ = true;
            return;
        }
        line_.back_to(at);
        line_.bare = known;
        amount(at, false);
    }

    /// A tolerance, or a size with its limits. @param round Ø stands before it
    void amount(std::size_t at, bool round) {
        const bool zone = mentioned.kind && !is_size(callout.kind);
        if (!mentioned.kind && round) {
            mentioned.kind = true;
            mentioned.kind_at = line_.column(at);
            callout.kind = Requirement::diameter;
        }
        if (round && mentioned.round && zone)
            twice(at, "Ø");
        mentioned.round = mentioned.round || round;
        if (!zone) {
            auto size = this->size();
            if (once(mentioned.amount, at, "the size"))
                callout.size = std::move(size);
            return;
        }
        const auto tolerance = line_.length();
        if (once(mentioned.amount, at, "the tolerance"))
            callout.tolerance = tolerance;
    }

    AskedSize size() {
        AskedSize size;
        size.first = line_.length();
        const bool bare_first = line_.bare.contains(size.first.column);
        line_.blanks();
        bool limits = true;
        if (line_.take_plus_minus()) {
            size.second = line_.number();
        } else if (line_.rest().starts_with("+") || line_.rest().starts_with("-") ||
                   line_.rest().starts_with("\u2212") || zero_deviation()) {
            size.form = AskedSize::Form::deviations;
            size.second = deviation();
            line_.blanks();
            line_.take("/");
            line_.blanks();
            size.third = deviation();
        } else if (line_.take("/")) {
            size.form = AskedSize::Form::limits;
            size.second = line_.number();
        } else if (const auto fit = fit_here(); !fit.empty()) {
            size.form = AskedSize::Form::fit;
            size.second = fit;
        } else {
            limits = false;
            line_.wrong_in(size.first.column,
                           Diagnostic{"ask-tolerance",
                                      {},
                                      fmt::format("{} has no limits", size.first.number),
                                      "as 10.000 ±.0005, .250 +.001/-0, 1.0005/1.0000, 42 H7; no "
                                      "title block is assumed"});
        }
        if (!limits || size.form == AskedSize::Form::fit)
            return size;
        const auto unit_at = line_.at();
        if (const auto own = line_.unit()) {
            if (!bare_first && *own != size.first.unit)
                line_.wrong(unit_at,
                            Diagnostic{"ask-unit", {}, "a size has two units", "write it once"});
            size.first.unit = *own;
            line_.bare.erase(size.first.column);
        }
        return size;
    }

    /// "0/-.001", "0 +.1": a deviation of nothing goes without its sign.
    bool zero_deviation() const {
        const auto rest = line_.rest();
        const auto end = std::min(rest.find_first_not_of("0."), rest.size());
        if (end == 0 || rest.find('0') >= end)
            return false;
        const auto next = std::min(rest.find_first_not_of(' ', end), rest.size());
        return next < rest.size() && (rest[next] == '/' || rest[next] == '+' || rest[next] == '-');
    }

    /// With its sign; nothing is a plain 0.
    std::string deviation() {
        const auto at = line_.at();
        const bool plus = line_.take("+");
        const bool minus = !plus && (line_.take("-") || line_.take("\u2212"));
        const auto digits = line_.number();
        if (digits.find_first_of("123456789") == std::string::npos)
            return "0";
        if (!plus && !minus)
            line_.wrong(at,
                        Diagnostic{"ask-tolerance",
                                   {},
                                   fmt::format("the deviation {} has no sign", digits),
                                   "as +.0005/-.0000 or 0/-.001"});
        return (minus ? "-" : "+") + digits;
    }

    /// "H7", right here.
    std::string fit_here() {
        const auto rest = line_.rest();
        std::size_t letters = 0;
        while (letters < rest.size() && ((rest[letters] >= 'A' && rest[letters] <= 'Z') ||
                                         (rest[letters] >= 'a' && rest[letters] <= 'z')))
            ++letters;
        auto end = letters;
        while (end < rest.size() && is_digit(rest[end]))
            ++end;
        if (letters == 0 || letters > 2 || end == letters || end > letters + 2 || rest[0] == 'x' ||
            rest[0] == 'X')
            return {};
        line_.skip(end);
        return std::string(rest.substr(0, end));
    }

    // ---- where and how

    void places(std::size_t at, bool between) {
        const bool first = once(mentioned.place, at, "the place");
        std::vector<AskedPlace> found;
        do
            found.push_back(line_.place());
        while (line_.take_word("and"));
        if (line_.number_next() && pair_next()) { // "6,4 13,6", or is it "152,4 101,6"?
            const auto behind = line_.at();
            line_.place();
            line_.wrong(behind,
                        Diagnostic{"ask-comma",
                                   {},
                                   "another pair of numbers stands beside the place",
                                   "two places are parted by \"and\"; one place has points as "
                                   "decimal signs: 152.4,101.6"});
        }
        if (between && found.size() != 2)
            line_.wrong(
                at,
                Diagnostic{
                    "ask-place", {}, "a distance is between two places", "between 3,6 and 13,6"});
        if (!first)
            return;
        mentioned.between = between;
        mentioned.place_at = line_.column(at);
        callout.places = std::move(found);
    }

    bool pair_next() const {
        const auto rest = line_.rest();
        const auto end = std::min(rest.find_first_not_of("0123456789.-"), rest.size());
        return end > 0 && end + 1 < rest.size() && rest[end] == ',' && is_digit(rest[end + 1]);
    }

    void deep(std::size_t at, const AskedLength& length) {
        if (once(mentioned.over, at, "the length"))
            callout.over = length;
        mentioned.over_at = line_.column(at);
    }

    /// "over 3.00", "over 10 x 6", "x 20 deep".
    void over(std::size_t at) {
        const auto x = line_.length();
        if (line_.take_times()) {
            const auto y = line_.length();
            if (once(mentioned.over, at, "the length"))
                callout.extent = AskedExtent{x, y};
            mentioned.over_at = line_.column(at);
            return;
        }
        line_.take_word("deep");
        deep(at, x);
    }

    void circle(std::size_t at) {
        line_.more();
        if (!line_.take_round() && !line_.take_word("dia"))
            line_.wrong(at,
                        Diagnostic{"ask-diameter",
                                   {},
                                   "holes are on a circle of a diameter",
                                   "on Ø5.000 at 8,6: the place is its centre"});
        const auto diameter = line_.length();
        line_.take_word("circle");
        if (once(mentioned.circle, at, "the circle"))
            callout.circle = diameter;
    }

    void nominal(std::size_t at) {
        line_.more();
        if (!line_.take_round() && !line_.take_word("dia"))
            line_.wrong(
                at,
                Diagnostic{"ask-diameter", {}, "the size of a round is its diameter", "of Ø2.000"});
        const auto diameter = line_.length();
        if (once(mentioned.of, at, "the diameter"))
            callout.of = diameter;
    }

    void along(std::size_t at) {
        const bool y = line_.take_word("y");
        if (!y && !line_.take_word("x"))
            line_.wrong(at,
                        Diagnostic{"ask-word", {}, "a line runs along X or along Y", "along X"});
        if (once(mentioned.along, at, "the way of the line"))
            callout.along_y = y;
    }

    // ---- datums

    void set_datum(std::size_t at, AskedDatum datum, std::string name) {
        if (!once(mentioned.datum, at, "the datum"))
            return;
        mentioned.datum_at = line_.column(at);
        callout.datum = datum;
        callout.datum_name = std::move(name);
    }

    /// Letters with bars between: "A", "A|B|C".
    std::string letters(std::string name) {
        for (char& c : name)
            c = static_cast<char>(c >= 'a' && c <= 'z' ? c - 'a' + 'A' : c);
        while (line_.rest().starts_with("|")) {
            line_.skip(1);
            const auto next = line_.peek_word();
            if (next.size() != 1)
                break;
            name += '|';
            name += static_cast<char>(next[0] >= 'a' ? next[0] - 'a' + 'A' : next[0]);
            line_.skip(1);
        }
        return name;
    }

    void datum(std::size_t at) {
        line_.more();
        const std::string word(line_.peek_word());
        line_.skip(word.size());
        const auto lower = lower_case(word);
        if (lower == "seat" || lower == "table")
            return set_datum(at, AskedDatum::seat, "");
        if (lower == "each") {
            line_.take_word("other");
            return set_datum(at, AskedDatum::each_other, "");
        }
        if (word.size() != 1) {
            line_.wrong(at,
                        Diagnostic{"ask-datum",
                                   {},
                                   word.empty() ? "to what?"
                                                : fmt::format("{} is no datum", in_quotes(word)),
                                   "to A, to A|B|C, to seat, to each other"});
            mentioned.datum = true;
            return;
        }
        auto name = letters(word);
        const auto kind = name.size() == 1 ? AskedDatum::plane : AskedDatum::edges;
        set_datum(at, kind, std::move(name));
    }

    /// "A|B|C" without "to".
    bool edges_named(std::size_t at, const std::string& word) {
        if (word.size() != 1 || !line_.rest().starts_with("|"))
            return false;
        auto name = letters(word);
        set_datum(at, AskedDatum::edges, std::move(name));
        return true;
    }

    // ---- of the whole part

    void material(std::size_t at) {
        line_.more();
        const auto from = line_.at();
        const auto found = material_at(line_.rest());
        if (!found) {
            while (!line_.rest().empty() && line_.rest()[0] != ' ' && line_.rest()[0] != '\t')
                line_.skip(1);
            const auto name = line_.text(from);
            const auto near = nearest(name, asked_materials());
            if (near.empty())
                line_.attempt(line_.column(from), [&] { expansion_of(lower_case(name)); });
            else
                line_.wrong(from,
                            Diagnostic{"material-unknown",
                                       {},
                                       fmt::format("unknown material {}", in_quotes(name)),
                                       fmt::format("did you mean {}?", in_quotes(near))});
            return;
        }
        line_.skip(found->length);
        if (!question_.material.empty() && question_.material != found->name)
            twice(at, "the material");
        question_.material = found->name;
    }

    void quantity(std::size_t at, int parts) {
        if (parts == 0)
            line_.wrong(at,
                        Diagnostic{"quantity-zero",
                                   {},
                                   "a job of no parts asks nothing",
                                   "write how many are to be made"});
        if (question_.quantity && *question_.quantity != parts)
            twice(at, "the number of parts");
        question_.quantity = std::max(parts, 1);
    }

    void part(std::size_t at) {
        AskedExtent outline;
        outline.x = outline.y = line_.length();
        if (!line_.take_times())
            line_.wrong(at,
                        Diagnostic{"ask-length",
                                   {},
                                   "the part has a length and a width",
                                   "part 6 x 4, along X first"});
        else
            outline.y = line_.length();
        if (question_.part && *question_.part != outline)
            twice(at, "the part");
        question_.part = std::move(outline);
    }

    void corner(std::size_t at) {
        auto place = line_.place();
        if (question_.corner && *question_.corner != place)
            twice(at, "the corner of the part");
        question_.corner = std::move(place);
    }

    // ---- what is refused

    void radius(std::size_t at) {
        const auto radius = line_.length();
        asks_ = true;
        line_.wrong(at,
                    Diagnostic{"ask-diameter",
                               {},
                               fmt::format("{} is a radius", in_quotes(line_.text(at))),
                               "ask for the diameter, twice as much"});
        line_.bare.erase(radius.column);
    }

    void total(std::size_t at, std::string_view word) {
        asks_ = true;
        if (word == "±" && line_.number_next())
            line_.bare.erase(line_.length().column);
        line_.wrong(at,
                    Diagnostic{"ask-total",
                               {},
                               fmt::format("{}: the whole width of the zone, or half of it?",
                                           in_quotes(word)),
                               "a zone is written by its whole width, without a sign: .001 for "
                               "±.0005; limits belong to a size"});
    }

    void unknown_sign(std::size_t at) {
        const auto rest = line_.rest();
        const auto length = std::max<std::size_t>(1, utf8_sequence(rest));
        line_.skip(std::min(length, rest.size()));
        unknown(at, std::string(line_.text(at)));
    }

    void unknown(std::size_t at, const std::string& word) {
        asks_ = true;
        if (needs_a_file(word) || word == "(") {
            if (word == "(") // "(M)"
                while (line_.more() && line_.rest()[0] != ')')
                    line_.skip(1);
            line_.take(")");
            line_.wrong(
                at,
                Diagnostic{"ask-job",
                           {},
                           fmt::format("{} cannot be asked in one line", in_quotes(line_.text(at))),
                           "write a job file: docs/files.md"});
            return;
        }
        for (const std::string_view twofold : {"tenth", "tenths", "mil", "mils", "\"", "'"})
            if (lower_case(word) == twofold) {
                line_.attempt(line_.column(at), [&] { parse_unit(lower_case(word)); });
                return;
            }
        const auto near = nearest(word, asked_words());
        if (line_.number_next()) // it belongs to that word
            line_.bare.erase(line_.length().column);
        line_.wrong(at,
                    Diagnostic{"ask-word",
                               {},
                               fmt::format("unknown word {}", in_quotes(word)),
                               near.empty() ? "docs/ask.md lists what may be written"
                                            : fmt::format("did you mean {}?", in_quotes(near))});
    }

    AskLine& line_;
    AskedQuestion& question_;
    bool asks_ = false;
};

} // namespace

AskedQuestion read_ask(std::string_view text, bool inch_shop) {
    check_text(text);
    AskLine line(text);
    AskedQuestion question;
    std::vector<Mentioned> mentioned;
    for (std::size_t from = 0; from <= text.size();) {
        const auto end = std::min(text.find(';', from), text.size());
        line.part(from, end);
        const auto before = line.faults();
        CalloutLine one(line, question);
        if (one.read()) {
            one.mentioned.column = line.column(from + (text.substr(from).find_first_not_of(" \t")));
            one.mentioned.fault = line.puzzled(before);
            question.callouts.push_back(std::move(one.callout));
            mentioned.push_back(one.mentioned);
        }
        from = end + 1;
    }
    if (question.callouts.empty())
        line.wrong_in(
            1, Diagnostic{"ask-empty", {}, "nothing is asked", "as perp Ø.001 over 3.00 at 6,4"});
    const auto before = line.faults();
    settle_units(line, question, inch_shop);
    for (auto& one : mentioned)
        one.fault = one.fault || line.faults() != before;
    for_each_length(question, [](AskedLength& length) { canonical(length); });
    for (std::size_t c = 0; c < question.callouts.size(); ++c)
        check(line, question.callouts[c], mentioned[c]);
    check_lengths(line, question);
    line.finish();
    return question;
}

} // namespace holdable
