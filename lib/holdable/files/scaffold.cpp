// SPDX-License-Identifier: MIT
#include "holdable/files/scaffold.hpp"

#include "holdable/base/error.hpp"
#include "holdable/base/quantity.hpp"
#include "holdable/base/words.hpp"
#include "holdable/files/document.hpp"
#include "holdable/files/read_budget.hpp"
#include "holdable/files/read_gauging.hpp"
#include "holdable/files/read_job.hpp"
#include "holdable/files/read_machine.hpp"
#include "holdable/files/scaffold_texts.ipp"
#include "holdable/propagate/budget.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cassert>
#include <cmath>
#include <utility>

namespace holdable {
namespace {

constexpr double in = 0.0254;

/// How an answer stands in the file.
enum class Stands {
    text,
    length,
    slope,
    temperature,
    zone,  ///< a length that may be typed with Ø
    bare,  ///< a number outside quotes
    choice ///< one of some words
};

/// A fact that can be asked for. In all texts `<<a|b>>` is a in inch files, b in metric ones.
struct Fact {
    std::string_view key;
    Stands stands;
    std::string_view text, more, example, usual;
    std::vector<std::pair<std::string_view, std::string_view>> words = {}; ///< typed, in the file
};

const std::vector<Fact>& rows_of(ScaffoldKind kind) {
    static const std::vector<Fact> machine = {
        {"shop",
         Stands::text,
         "What is the shop called?",
         "The name stands at the top of every page.",
         "Hollow Oak Machine Shop",
         "EXAMPLE shop"},
        {"machine",
         Stands::text,
         "What do you call the machine?",
         "Your own name for it, so that customers and you mean the same one.",
         "the small mill by the window",
         "EXAMPLE mill"},
        {"ground",
         Stands::choice,
         "What goes up and down, the head or a knee with the table on it?",
         "It decides what tilts as an axis moves, and what a level can see.",
         "head",
         "after Y",
         {{"head", "after Y"}, {"knee", "after Z"}}},
        {"class",
         Stands::choice,
         "What sort of machine is it?",
         "Taken for what you have not measured, and said so. When in doubt take\n"
         "the coarser one: benchtop and knee mill are coarse, jig borer is fine.",
         "entry vmc",
         "entry vmc",
         {{"benchtop", "benchtop"},
          {"knee mill", "knee mill"},
          {"entry vmc", "entry vmc"},
          {"good vmc", "good vmc"},
          {"jig borer", "jig borer"}}},
        {"x",
         Stands::length,
         "How far does X travel?",
         "From one soft limit to the other; the file takes X 0 as the left end.",
         "<<16 in|400 mm>>",
         "<<16 in|400 mm>>"},
        {"y",
         Stands::length,
         "How far does Y travel?",
         "From one soft limit to the other; the file takes Y 0 as the front end.",
         "<<12 in|300 mm>>",
         "<<12 in|300 mm>>"},
        {"z",
         Stands::length,
         "How far does Z travel?",
         "The file takes Z 0 as the top, and the bottom as minus this.",
         "<<14 in|350 mm>>",
         "<<14 in|350 mm>>"},
        {"nose",
         Stands::length,
         "With Z at its top, how far is it from the spindle nose to the table?",
         "By a tape is near enough: it says where on Z a height over the table is.",
         "<<18 in|460 mm>>",
         "<<18 in|460 mm>>"},
        {"resolution",
         Stands::length,
         "What is the least that you read on your indicator?",
         "Half a division, if you read halves.",
         "<<.00005 in|1 µm>>",
         "<<0.00005 in|1 µm>>"},
        {"square",
         Stands::length,
         "How long is the edge of your square?",
         "The standing edge, from its foot to its tip.",
         "<<8 in|200 mm>>",
         "<<8 in|200 mm>>"},
        {"grade",
         Stands::choice,
         "Of what grade is it?",
         "00 is a master, 0 an inspection square, 1 a good workshop square, 2 a\n"
         "plain one. If it has a certificate, take the grade now and put the\n"
         "certificate in later.",
         "1",
         "1",
         {{"00", "00"}, {"0", "0"}, {"1", "1"}, {"2", "2"}}},
        {"division",
         Stands::slope,
         "What is one line of your level?",
         "A rise over a length; it is engraved on the vial or on its box. Without\n"
         "a level leave it.",
         "<<.0005 in/ft|0.02 mm/m>>",
         "<<0.0005 in/ft|0.02 mm/m>>"}};
    static const std::vector<Fact> job = {
        {"name",
         Stands::text,
         "What is the job called?",
         "The part or the drawing, as the customer knows it.",
         "bearing block, drawing 1207 C",
         "EXAMPLE block"},
        {"material",
         Stands::text,
         "What is it made of?",
         "It says how much the part grows with warmth.",
         "aluminium 6061",
         "ductile iron"},
        {"quantity", Stands::bare, "How many?", "Parts of the batch.", "6", "6"},
        {"place_x",
         Stands::length,
         "Where on the machine will the axis of the bore be, in X?",
         "The coordinate that the control will show with the spindle over it,\n"
         "from the left end of the travel.",
         "<<8 in|200 mm>>",
         "<<8 in|200 mm>>"},
        {"place_y",
         Stands::length,
         "And in Y?",
         "The same, from the front end of the travel.",
         "<<6 in|150 mm>>",
         "<<6 in|150 mm>>"},
        {"from_x",
         Stands::length,
         "Where does the part begin in X?",
         "Its left end on the table.",
         "<<5 in|125 mm>>",
         ""},
        {"to_x",
         Stands::length,
         "And where does it end?",
         "Its right end.",
         "<<11 in|275 mm>>",
         ""},
        {"from_y",
         Stands::length,
         "Where does it begin in Y?",
         "Its end towards you.",
         "<<4 in|100 mm>>",
         ""},
        {"to_y", Stands::length, "And where does it end?", "Its far end.", "<<8 in|200 mm>>", ""},
        {"top",
         Stands::length,
         "How high above the table is the top of the bore?",
         "With vise or parallels under it.",
         "<<4 in|100 mm>>",
         "<<4 in|100 mm>>"},
        {"depth",
         Stands::length,
         "How deep is the bore?",
         "The length over which the print wants it square.",
         "<<2 in|50 mm>>",
         "<<2 in|50 mm>>"},
        {"lean",
         Stands::zone,
         "Within what must it be square to its face A?",
         "The diameter of the zone on the print, over the whole depth.",
         "<<Ø.001 in|Ø0.02 mm>>",
         "<<.001 in|0.02 mm>>"},
        {"size",
         Stands::text,
         "What is its diameter, with the limits of the print?",
         "As it is printed, with its unit.",
         "<<1.500 +.001/-0 in|40 H7>>",
         "<<1.500 +.001/-0 in|40 H7>>"},
        {"part_temperature",
         Stands::temperature,
         "How warm is the part while it is cut?",
         "By a thermometer on it, if you have one; else that of the room.",
         "<<70 °F|21 °C>>",
         "<<70 °F|21 °C>>"}};
    static const std::vector<Fact> gauging = {
        {"title",
         Stands::text,
         "What is this about?",
         "It stands at the top of the page.",
         "bearing seat, drawing 1207 C",
         "EXAMPLE bearing seat"},
        {"characteristic",
         Stands::text,
         "What is measured?",
         "In words.",
         "diameter of the bore",
         "diameter of the bore"},
        {"nominal",
         Stands::length,
         "What is its size on the print?",
         "Without the limits. Part and gauge grow with warmth over this.",
         "<<1.500 in|40 mm>>",
         "<<1.500 in|40 mm>>"},
        {"lower",
         Stands::length,
         "What is the least that the print allows?",
         "The lower limit as a size.",
         "<<1.500 in|40 mm>>",
         ""},
        {"upper",
         Stands::length,
         "And the most?",
         "The upper limit as a size.",
         "<<1.501 in|40.025 mm>>",
         ""},
        {"instrument",
         Stands::text,
         "With what do you measure it?",
         "Your name for the gauge.",
         "two-point bore gauge",
         "two-point bore gauge"},
        {"resolution",
         Stands::length,
         "What is the least that you read on it?",
         "Half a division, if you read halves.",
         "<<.0001 in|1 µm>>",
         "<<0.00005 in|1 µm>>"},
        {"max_error",
         Stands::length,
         "How far may it be off, by its maker?",
         "Either way, as its papers say. A certificate is put in later and goes\n"
         "before it.",
         "<<.0001 in|2 µm>>",
         "<<0.0001 in|2 µm>>"},
        {"repeats",
         Stands::bare,
         "How often do you measure each part?",
         "The readings are averaged.",
         "3",
         "3"},
        {"material",
         Stands::text,
         "What is the part made of?",
         "It says how much it grows with warmth.",
         "aluminium 6061",
         "steel"},
        {"part_temperature",
         Stands::temperature,
         "How warm is the part when it is measured?",
         "A part straight from the machine may be 10 degrees warmer than the room.",
         "<<70 °F|21 °C>>",
         "<<70 °F|21 °C>>"}};
    static const std::vector<Fact> budget = {{"title",
                                              Stands::text,
                                              "What is measured?",
                                              "It stands at the top of the page.",
                                              "bore of the bushing, by the two-point gauge",
                                              "EXAMPLE bore by two-point gauge and ring"},
                                             {"ring",
                                              Stands::length,
                                              "What is the diameter of the setting ring?",
                                              "By its certificate.",
                                              "<<1.50002 in|40.0012 mm>>",
                                              "<<1.50002 in|40.0012 mm>>"},
                                             {"ring_u",
                                              Stands::length,
                                              "And the uncertainty U of that?",
                                              "It stands beside the value on the certificate.",
                                              "<<.00004 in|1 µm>>",
                                              "<<0.00004 in|1 µm>>"},
                                             {"ring_k",
                                              Stands::bare,
                                              "With what k?",
                                              "The certificate says so; nearly always 2.",
                                              "2",
                                              "2"},
                                             {"max_error",
                                              Stands::length,
                                              "How far may the gauge be off, by its maker?",
                                              "Either way, over the few divisions that are used.",
                                              "<<.0001 in|2 µm>>",
                                              "<<0.0001 in|2 µm>>"},
                                             {"half_digit",
                                              Stands::length,
                                              "What is half of the last digit that you read?",
                                              "Anywhere within half a digit reads the same.",
                                              "<<.00005 in|0.5 µm>>",
                                              "<<0.00005 in|0.5 µm>>"},
                                             {"temperature",
                                              Stands::temperature,
                                              "How warm are part and ring?",
                                              "Both lay side by side long enough to be alike.",
                                              "<<70 °F|21 °C>>",
                                              "<<70 °F|21 °C>>"}};
    switch (kind) {
    case ScaffoldKind::machine:
        return machine;
    case ScaffoldKind::job:
        return job;
    case ScaffoldKind::gauging:
        return gauging;
    case ScaffoldKind::budget:
        break;
    }
    return budget;
}

std::string_view text_of(ScaffoldKind kind) {
    switch (kind) {
    case ScaffoldKind::machine:
        return machine_text;
    case ScaffoldKind::job:
        return job_text;
    case ScaffoldKind::gauging:
        return gauging_text;
    case ScaffoldKind::budget:
        break;
    }
    return budget_text;
}

/// The text with its marks filled in. @param filled of a name
template <class Filled>
std::string fill(std::string_view text, bool inch, const Filled& filled) {
    std::string whole;
    for (;;) {
        const auto at = text.find("<<");
        whole += text.substr(0, at);
        if (at == std::string_view::npos)
            return whole;
        const auto end = text.find(">>", at);
        assert(end != std::string_view::npos);
        const auto mark = text.substr(at + 2, end - at - 2);
        if (const auto bar = mark.find('|'); bar != std::string_view::npos)
            whole += inch ? mark.substr(0, bar) : mark.substr(bar + 1);
        else
            whole += filled(std::string(mark));
        text.remove_prefix(end + 2);
    }
}

std::string in_shop_units(std::string_view text, bool inch) {
    return fill(text, inch, [](const std::string& name) { return name; });
}

/// A length in the unit of the shop, to a thousandth of an inch or a hundredth of a millimetre.
std::string length_text(double m, bool inch) {
    return inch ? fmt::format("{:.7g} in", std::round(m / in * 1e3) / 1e3)
                : fmt::format("{:.7g} mm", std::round(m * 1e5) / 1e2);
}

/// All facts: those stated, and what follows from them or is usual.
ScaffoldFacts complete(const ScaffoldFor& what, const ScaffoldFacts& stated) {
    ScaffoldFacts facts;
    for (const auto& row : rows_of(what.kind)) {
        const auto at = stated.find(std::string(row.key));
        facts[std::string(row.key)] =
            at == stated.end() ? in_shop_units(row.usual, what.inch) : at->second;
    }
    facts["day"] = to_string(what.day);
    facts["invented"] =
        stated.empty() ? "Everything else is INVENTED:" : "What you were not asked is INVENTED:";
    const auto m = [&](const std::string& key) { return parse_as(Measure::length, facts.at(key)); };
    const auto put = [&](const std::string& key, double value) {
        if (!stated.contains(key))
            facts[key] = length_text(value, what.inch);
    };
    if (what.kind == ScaffoldKind::machine) {
        put("mid_x", m("x") / 2);
        put("mid_y", m("y") / 2);
        put("base", 0.75 * m("square"));
        // The tip must come down to the foot of the square and up to its top, within the travel.
        const double foot = std::min(0.1875 * m("square"), 1 * in);
        const double needed = m("nose") - m("z") - foot + 0.2 * in;
        const double reach = std::max(5.2 * in, needed);
        const double high = std::min(0.9375 * m("square"), m("nose") - reach - 0.5 * in);
        const double low = std::min(0.1875 * m("square"), high / 4);
        put("reach", what.inch || needed > 5.2 * in ? reach : 0.13);
        put("low", low);
        put("middle", (low + high) / 2);
        put("high", high);
    } else if (what.kind == ScaffoldKind::job) {
        const double beside = what.inch ? 3 * in : 75e-3;
        const double before = what.inch ? 2 * in : 50e-3;
        put("from_x", m("place_x") - beside);
        put("to_x", m("place_x") + beside);
        put("from_y", m("place_y") - before);
        put("to_y", m("place_y") + before);
    } else if (what.kind == ScaffoldKind::gauging) {
        if (!stated.contains("lower"))
            facts["lower"] = facts["nominal"];
        put("upper", m("lower") + (what.inch ? 0.001 * in : 25e-6));
        if (!what.inch && !stated.contains("upper")) // a micrometre counts here
            facts["upper"] = fmt::format("{:.7g} mm", std::round(m("lower") * 1e6 + 25) / 1e3);
    }
    return facts;
}

/// As it stands between the quotes of JSON.
std::string escaped(std::string_view text) {
    std::string safe;
    for (const char c : text)
        if (c == '"' || c == '\\')
            safe += {'\\', c};
        else if (static_cast<unsigned char>(c) < 0x20)
            safe += fmt::format("\\u{:04x}", static_cast<unsigned>(c));
        else
            safe += c;
    return safe;
}

/// Reads the text as what it is. @throws InputError
void read_as(const ScaffoldFor& what, const std::string& text) {
    const auto root = parse_document(text, {});
    switch (what.kind) {
    case ScaffoldKind::machine:
        read_machine(root, {}, what.day);
        break;
    case ScaffoldKind::job:
        read_job(root, {});
        break;
    case ScaffoldKind::gauging:
        read_gauging(root, {}, what.day);
        break;
    case ScaffoldKind::budget:
        propagate::compile(read_budget(root, {}));
        break;
    }
}

[[noreturn]] void refuse(std::string message, std::string hint) {
    throw InputError("answer-refused", std::move(message), std::move(hint));
}

bool is_number(std::string_view text) {
    const auto digits = text.starts_with('-') ? text.substr(1) : text;
    return digits.find_first_of("0123456789") != std::string_view::npos &&
           digits.find_first_not_of("0123456789.") == std::string_view::npos &&
           std::count(digits.begin(), digits.end(), '.') <= 1;
}

/// The unit that a bare number is taken in; empty: it wants its own.
std::string_view unit_of(Stands stands, bool inch) {
    switch (stands) {
    case Stands::length:
    case Stands::zone:
        return inch ? " in" : " mm";
    case Stands::temperature:
        return inch ? " °F" : " °C";
    default:
        return {};
    }
}

std::string chosen(const Fact& row, std::string_view typed) {
    std::vector<std::string_view> words;
    for (const auto& [word, stands] : row.words) {
        if (word == typed || stands == typed)
            return std::string(stands);
        words.push_back(word);
    }
    const auto near = nearest(typed, words);
    refuse(fmt::format("{} is none of the answers", in_quotes(typed)),
           near.empty() ? fmt::format("one of: {}", fmt::join(words, ", "))
                        : fmt::format("did you mean {}?", near));
}

} // namespace

const std::vector<std::string_view>& scaffold_kinds() {
    static const std::vector<std::string_view> kinds = {"machine", "job", "gauging", "budget"};
    return kinds;
}

std::optional<ScaffoldKind> scaffold_kind(std::string_view name) {
    const auto& kinds = scaffold_kinds();
    const auto at = std::find(kinds.begin(), kinds.end(), name);
    if (at == kinds.end())
        return std::nullopt;
    return static_cast<ScaffoldKind>(at - kinds.begin());
}

std::string scaffold(const ScaffoldFor& what, const ScaffoldFacts& facts) {
    const auto all = complete(what, facts);
    return fill(text_of(what.kind), what.inch, [&](const std::string& name) {
        return escaped(all.at(name));
    });
}

std::vector<ScaffoldQuestion> scaffold_questions(const ScaffoldFor& what,
                                                 const ScaffoldFacts& facts) {
    const auto all = complete(what, facts);
    std::vector<ScaffoldQuestion> questions;
    for (const auto& row : rows_of(what.kind)) {
        ScaffoldQuestion question;
        question.key = row.key;
        question.text = row.text;
        question.more = row.more;
        question.example = in_shop_units(row.example, what.inch);
        question.usual = all.at(question.key);
        for (const auto& [word, stands] : row.words) {
            question.words.emplace_back(word);
            if (stands == question.usual)
                question.usual = word;
        }
        questions.push_back(std::move(question));
    }
    return questions;
}

std::string accepted_fact(const ScaffoldFor& what,
                          const ScaffoldFacts& facts,
                          const ScaffoldQuestion& question,
                          std::string_view typed) {
    const auto& rows = rows_of(what.kind);
    const auto row = std::find_if(
        rows.begin(), rows.end(), [&](const Fact& r) { return r.key == question.key; });
    assert(row != rows.end());
    const auto first = typed.find_first_not_of(" \t\r");
    typed = first == std::string_view::npos
                ? std::string_view(question.usual)
                : typed.substr(first, typed.find_last_not_of(" \t\r") - first + 1);
    if (row->stands == Stands::choice)
        return chosen(*row, typed);
    if (row->stands == Stands::zone && typed.starts_with("Ø")) {
        typed.remove_prefix(std::string_view("Ø").size());
        typed.remove_prefix(std::min(typed.find_first_not_of(' '), typed.size()));
    }
    std::string fact(typed);
    if (row->stands == Stands::bare && !is_number(fact))
        refuse(fmt::format("{} is no number", in_quotes(fact)),
               fmt::format("a number alone, as {}", question.example));
    if (is_number(fact))
        fact += unit_of(row->stands, what.inch);
    auto with = facts;
    with[question.key] = fact;
    try {
        const auto measure = row->stands == Stands::slope         ? Measure::angle
                             : row->stands == Stands::temperature ? Measure::temperature
                                                                  : Measure::length;
        if (row->stands != Stands::text && row->stands != Stands::bare)
            parse_as(measure, fact);
        read_as(what, scaffold(what, with));
    } catch (const InputError& error) {
        const auto& wrong = error.diagnostics().front();
        refuse(wrong.message, wrong.hint);
    }
    return fact;
}

bool is_example(std::string_view name) {
    return name.starts_with("EXAMPLE");
}

void refuse_examples(const Shop& shop, const Job& job) {
    const auto refuse = [](const std::string& name) {
        if (is_example(name))
            throw InputError("statement-example",
                             "what is called \"" + name + "\" is still that of the example",
                             "put in your own facts and a name of your own");
    };
    refuse(shop.name);
    refuse(shop.machine);
    refuse(job.name);
    const auto all = [&](const auto& list) {
        for (const auto& one : list)
            refuse(one.name);
    };
    all(shop.indicators);
    all(shop.squares);
    all(shop.straightedges);
    all(shop.levels);
    all(shop.length_standards);
    all(shop.gauges);
    for_each_check(shop, [&](const auto& check) { refuse(check.name); });
}

} // namespace holdable
