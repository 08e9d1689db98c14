// SPDX-License-Identifier: MIT
// Questions in one line, against the tables of docs/ask.md, which a person wrote: what is read, as
// its one canonical line, and what is refused, with column, words and id. Beside them numbers typed
// here by hand, questions put together by chance without the reader, and the corpus of the fuzz
// target with what lies near it. Texts must be equal; lengths to 1e-12 of themselves, some
// roundings of a double.
#include "holdable/files/ask.hpp"

#include "fuzz/ask.hpp"
#include "holdable/base/error.hpp"
#include "holdable/files/text.hpp"
#include "holdable/standards/expansion.hpp"

#include <boost/test/unit_test.hpp>

#include <algorithm>
#include <filesystem>
#include <random>
#include <set>
#include <string>
#include <vector>

using namespace holdable;

namespace {

using Row = std::vector<std::string>;

/// The rows of the tables below a heading whose first cell is code; without backquotes, `\|` as |.
std::vector<Row> rows_below(const std::string& heading) {
    const auto page = read_text(HOLDABLE_ROOT "/docs/ask.md");
    auto at = page.find("\n## " + heading + "\n");
    BOOST_REQUIRE(at != std::string::npos);
    const auto end = std::min(page.find("\n## ", at + 1), page.size());
    std::vector<Row> rows;
    while ((at = page.find("\n| `", at)) < end) {
        const auto line = page.substr(at + 1, page.find('\n', at + 1) - at - 1);
        Row row(1);
        for (std::size_t i = 2; i < line.size(); ++i) {
            const bool escaped = line[i] == '\\' && i + 1 < line.size() && line[i + 1] == '|';
            if (escaped)
                row.back() += line[++i];
            else if (line[i] == '|')
                row.emplace_back();
            else
                row.back() += line[i];
        }
        row.pop_back();
        for (auto& cell : row) {
            const auto from = cell.find('`');
            const auto to = cell.rfind('`');
            if (from != std::string::npos)
                cell = cell.substr(from + 1, to - from - 1);
            else
                cell = cell.substr(1, cell.size() - 2);
        }
        rows.push_back(row);
        ++at;
    }
    return rows;
}

std::string read_as(const std::string& line, bool inch) {
    try {
        return write_ask(read_ask(line, inch));
    } catch (const InputError& error) {
        return error.what();
    }
}

std::vector<Diagnostic> refused(std::string_view line, bool inch = true) {
    try {
        read_ask(line, inch);
    } catch (const InputError& error) {
        return error.diagnostics();
    }
    return {};
}

std::vector<std::string> ids(const std::vector<Diagnostic>& diagnostics) {
    std::vector<std::string> all;
    for (const auto& d : diagnostics)
        all.push_back(d.id);
    return all;
}

/// Questions by chance: every field that may be there sometimes is.
class Chance {
  public:
    explicit Chance(unsigned seed) : engine_(seed) {}

    AskedQuestion question() {
        AskedQuestion q;
        inch_ = coin();
        mixed_ = one_of(6) == 0;
        q.inch = inch_;
        for (int n = 1 + one_of(3); n > 0; --n)
            q.callouts.push_back(callout());
        if (coin())
            q.part = AskedExtent{length(), length()};
        if (coin())
            q.corner = place();
        if (coin()) {
            const auto all = expansions();
            q.material =
                all[static_cast<std::size_t>(one_of(static_cast<int>(all.size())))].material;
        }
        if (coin())
            q.quantity = 1 + one_of(1000);
        q.critical = one_of(5) == 0;
        const auto& first = q.callouts.front();
        q.inch = of_inch(first.tolerance ? first.tolerance->unit : first.size->first.unit);
        return q;
    }

  private:
    int one_of(int n) { return std::uniform_int_distribution<int>(0, n - 1)(engine_); }

    bool coin() { return one_of(2) == 0; }

    AskedUnit unit() {
        const bool inch = mixed_ ? coin() : inch_;
        return inch ? AskedUnit::inch : AskedUnit::mm;
    }

    /// Of that many thousandths, with three places, as its unit writes it.
    static std::string number(int thousandths, AskedUnit unit) {
        auto digits = std::to_string(std::abs(thousandths));
        digits.insert(0, digits.size() < 4 ? 4 - digits.size() : 0, '0');
        digits.insert(digits.size() - 3, 1, '.');
        if (unit == AskedUnit::inch && digits.starts_with("0."))
            digits.erase(0, 1);
        return (thousandths < 0 ? "-" : "") + digits;
    }

    AskedLength length() {
        const auto u = unit();
        return {coin() ? std::to_string(1 + one_of(400)) : number(1 + one_of(20000), u), u, 0};
    }

    AskedLength tolerance() {
        if (one_of(4) == 0)
            return {std::to_string(1 + one_of(50)),
                    mixed_ || !inch_ ? AskedUnit::um : AskedUnit::thou,
                    0};
        const auto u = unit();
        return {number(1 + one_of(30), u), u, 0};
    }

    AskedPlace place() {
        const auto coordinate = [&]() -> AskedLength {
            const auto u = unit();
            return {
                coin() ? std::to_string(one_of(500)) : number(1 + one_of(30000) - 15000, u), u, 0};
        };
        auto x = coordinate();
        return {x, coordinate()};
    }

    AskedSize size(bool fit_allowed) {
        AskedSize s;
        const auto u = unit();
        const int thousandths = 2000 + one_of(18000);
        s.first = {number(thousandths, u), u, 0};
        switch (one_of(fit_allowed ? 4 : 3)) {
        case 0:
            s.second = number(1 + one_of(9), u);
            break;
        case 1:
            s.form = AskedSize::Form::deviations;
            s.second = "+" + number(5 + one_of(9), u);
            s.third = coin() ? "0" : "-" + number(1 + one_of(9), u);
            break;
        case 2:
            s.form = AskedSize::Form::limits;
            s.second = number(thousandths - 1 - one_of(9), u);
            break;
        default:
            s.form = AskedSize::Form::fit;
            s.first = {std::to_string(1 + one_of(18)), u, 0};
            s.second = "H" + std::to_string(6 + one_of(4));
        }
        return s;
    }

    void many_holes(AskedCallout& c) {
        if (one_of(3) == 0) {
            c.count = 2 + one_of(8);
            c.circle = length();
            if (coin())
                c.places = {place()};
        } else {
            for (int n = 1 + one_of(4); n > 0; --n)
                c.places.push_back(place());
            c.count = static_cast<int>(c.places.size());
        }
    }

    void plane(AskedCallout& c) {
        c.datum = coin() && !c.depth ? AskedDatum::seat : AskedDatum::plane;
        if (c.datum == AskedDatum::plane)
            c.datum_name = std::string(1, static_cast<char>('A' + one_of(26)));
    }

    AskedCallout callout() {
        constexpr Requirement kinds[] = {Requirement::position,
                                         Requirement::perpendicularity,
                                         Requirement::parallelism,
                                         Requirement::flatness,
                                         Requirement::straightness,
                                         Requirement::roundness,
                                         Requirement::cylindricity,
                                         Requirement::diameter,
                                         Requirement::distance,
                                         Requirement::height};
        AskedCallout c;
        c.kind = kinds[one_of(10)];
        c.axis = c.kind == Requirement::straightness && coin();
        c.depth = c.kind == Requirement::height && coin();
        const bool sized = c.kind == Requirement::diameter || c.kind == Requirement::distance ||
                           c.kind == Requirement::height;
        if (sized)
            c.size = size(c.kind == Requirement::diameter);
        else
            c.tolerance = tolerance();
        if (c.kind == Requirement::position || c.kind == Requirement::diameter)
            many_holes(c);
        else if (c.kind == Requirement::distance)
            c.places = {place(), place()};
        else if (coin())
            c.places = {place()};
        if (!of_holes(c) && c.kind != Requirement::straightness)
            c.extent = AskedExtent{length(), length()};
        else
            c.over = length();
        c.along_y = c.kind == Requirement::straightness && !c.axis && coin();
        if (c.kind == Requirement::roundness || c.kind == Requirement::cylindricity)
            c.of = length();
        if (of_holes(c) && coin())
            c.making = static_cast<HoleMaking>(one_of(5));
        if (c.kind == Requirement::position && c.count > 1 && coin()) {
            c.datum = AskedDatum::each_other;
        } else if (c.kind == Requirement::position) {
            c.datum = AskedDatum::edges;
            c.datum_name = coin() ? "A|B|C" : "B|D";
        } else if (c.kind == Requirement::parallelism || c.kind == Requirement::height ||
                   (c.kind == Requirement::perpendicularity && coin())) {
            plane(c);
        }
        return c;
    }

    std::mt19937 engine_;
    bool inch_ = true;
    bool mixed_ = false;
};

} // namespace

BOOST_AUTO_TEST_SUITE(asked)

BOOST_AUTO_TEST_CASE(every_row_of_the_page_is_read) {
    const auto rows = rows_below("Read");
    BOOST_REQUIRE(rows.size() > 20U);
    const auto metric = rows.size() - 3; // the second table
    for (std::size_t r = 0; r < rows.size(); ++r) {
        const bool inch = r < metric;
        BOOST_TEST(read_as(rows[r].at(0), inch) == rows[r].at(1), rows[r].at(0));
        for (const bool shop : {true, false})
            BOOST_TEST(read_as(rows[r].at(1), shop) == rows[r].at(1), rows[r].at(1));
    }
}

BOOST_AUTO_TEST_CASE(every_row_of_the_page_is_refused) {
    const auto rows = rows_below("Refused");
    BOOST_REQUIRE(rows.size() > 40U);
    for (const auto& row : rows) {
        const auto found = refused(row.at(0));
        BOOST_TEST_CONTEXT(row.at(0)) {
            BOOST_REQUIRE(!found.empty());
            const auto& first = found.front();
            BOOST_TEST(first.message + " [" + first.id + "]" == row.at(2));
            BOOST_TEST(std::to_string(first.location.column) == row.at(1));
            BOOST_TEST(first.location.file == "--ask");
            BOOST_TEST(first.location.line == 1);
        }
    }
}

BOOST_AUTO_TEST_CASE(each_id_of_a_line_stands_in_the_table) {
    std::set<std::string> seen;
    for (const auto& row : rows_below("Refused"))
        for (const auto& id : ids(refused(row.at(0))))
            seen.insert(id);
    for (const char* id : {"ask-empty",
                           "ask-length",
                           "ask-diameter",
                           "ask-unit",
                           "ask-total",
                           "ask-kind",
                           "ask-word",
                           "ask-comma",
                           "ask-place",
                           "ask-count",
                           "ask-datum",
                           "ask-clause",
                           "ask-range",
                           "ask-job",
                           "ask-twice",
                           "ask-number",
                           "ask-tolerance"})
        BOOST_TEST(seen.contains(id), id);
}

BOOST_AUTO_TEST_CASE(all_is_said_at_once_by_column) {
    const auto found =
        refused("perp .001 to A over -3; flat 0 over 10; pos Ø.003 over .5 in unobtainium");
    BOOST_TEST(ids(found) ==
                   (std::vector<std::string>{
                       "ask-diameter", "ask-range", "tolerance-zero", "ask-length", "ask-word"}),
               boost::test_tools::per_element());
    for (std::size_t i = 1; i < found.size(); ++i)
        BOOST_TEST(found[i - 1].location.column <= found[i].location.column);
}

BOOST_AUTO_TEST_CASE(the_nearest_word_is_named) {
    BOOST_TEST(refused("perp Ø.001 ovr 3").size() == 1U); // the number belongs to the word
    BOOST_TEST(refused("perp Ø.001 ovr 3").front().hint == "did you mean \"over\"?");
    BOOST_TEST(refused("prep Ø.001 over 3").front().hint == "did you mean \"perp\"?");
    BOOST_TEST(refused("perp Ø.001 over 3 to A in ductil").front().hint ==
               "did you mean \"ductile\"?");
}

BOOST_AUTO_TEST_CASE(what_is_no_line_is_refused) {
    for (const std::string& line : {std::string("perp \xff"),
                                    std::string("perp \xc3"),
                                    std::string("perp\0", 5),
                                    std::string("perp Ø.001\nover 3"),
                                    std::string(ask_bytes + 1, ' '),
                                    std::string(100000, 'x')})
        BOOST_TEST(ids(refused(line)) == std::vector<std::string>{"ask-text"},
                   boost::test_tools::per_element());
    BOOST_TEST(refused("Ø.1 \xff").front().location.column == 5);
    BOOST_TEST(refused("").front().id == "ask-empty");
}

BOOST_AUTO_TEST_CASE(numbers_are_what_they_say) {
    const auto close = boost::test_tools::tolerance(1e-12);
    const auto q = read_ask("4X pos Ø.003 A|B|C over .75 at 5,5 and 11,5 and 11,9 and 5,9 in 6061 "
                            "50 off part 8 x 6 from 4,4",
                            true);
    const auto& c = q.callouts.at(0);
    BOOST_TEST((c.kind == Requirement::position));
    BOOST_TEST(c.tolerance->value() == 0.0762e-3, close);
    BOOST_TEST(c.over->value() == 0.01905, close);
    BOOST_TEST(c.count == 4);
    BOOST_TEST(c.places.at(2).x.value() == 0.2794, close);
    BOOST_TEST(c.places.at(2).y.value() == 0.2286, close);
    BOOST_TEST((c.datum == AskedDatum::edges));
    BOOST_TEST(c.datum_name == "A|B|C");
    BOOST_TEST(!c.making.has_value());
    BOOST_TEST(q.material == "aluminium 6061");
    BOOST_TEST(q.quantity.value() == 50);
    BOOST_TEST(q.part->x.value() == 0.2032, close);
    BOOST_TEST(q.corner->y.value() == 0.1016, close);
    BOOST_TEST(q.inch);
    const auto metric = read_ask("cyl 8 um over 2 thou", false).callouts.at(0);
    BOOST_TEST(metric.tolerance->value() == 8e-6, close);
    BOOST_TEST(metric.over->value() == 50.8e-6, close);
}

BOOST_AUTO_TEST_CASE(columns_are_no_part_of_what_is_asked) {
    const auto near = read_ask("perp Ø.001 in over 3", true);
    const auto far = read_ask("  3 in deep , perpendicularity   Ø.001", true);
    BOOST_TEST((near.callouts.at(0).over->column != far.callouts.at(0).over->column));
    BOOST_TEST((near == far));
}

BOOST_AUTO_TEST_CASE(every_question_is_written_and_read_again) {
    Chance chance(20260);
    std::set<std::string> different;
    for (int n = 0; n < 5000; ++n) {
        const auto question = chance.question();
        const auto line = write_ask(question);
        if (line.size() > ask_bytes)
            continue;
        different.insert(line);
        for (const bool inch : {true, false})
            try {
                BOOST_TEST((read_ask(line, inch) == question), line);
            } catch (const InputError& error) {
                BOOST_FAIL(line << "\n" << error.what());
            }
    }
    BOOST_TEST(different.size() > 4900U);
}

BOOST_AUTO_TEST_CASE(the_corpus_of_the_fuzz_target_holds) {
    int files = 0;
    for (const auto& entry : std::filesystem::directory_iterator(HOLDABLE_ROOT "/tests/fuzz/ask")) {
        const auto line = read_text(entry.path().string());
        ++files;
        for (const bool inch : {true, false}) {
            BOOST_TEST(fuzz::fault_of_ask(line, inch) == "", entry.path());
            const auto length = std::min<std::size_t>(line.size(), 300);
            for (std::size_t at = 0; at < length; ++at) { // cut short, a byte less, a byte changed
                auto without = line;
                without.erase(at, 1);
                auto other = line;
                other[at] = ";,.0-/|X"[at % 8];
                for (const auto& near : {line.substr(0, at), without, other})
                    BOOST_TEST(fuzz::fault_of_ask(near, inch) == "", near);
            }
        }
    }
    BOOST_TEST(files > 10);
}

BOOST_AUTO_TEST_SUITE_END()
