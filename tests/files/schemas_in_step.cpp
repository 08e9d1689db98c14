// SPDX-License-Identifier: MIT
// The schemas of docs/ against the readers, key by key, so that neither can be changed alone. A key
// that no reader knows is put into every object of a right file; the reader refuses each, and says
// which keys it knows at that place. Over all files of budgets/, all examples of docs/ and the
// files that `holdable new` begins, what the readers know of one object of a schema must be the
// properties of that object: a key of the reader's that the schema lacks, one of the schema's that
// no reader knows, and an object of the schema that no file has, all fail. The readers write no
// list of their keys: a key is known because it is asked for. The schema is walked by
// files/schema.hpp, written from the text of JSON Schema. Everything is exact.
#include "files/schema.hpp"
#include "holdable/files/limits.hpp"
#include "holdable/files/read_budget.hpp"
#include "holdable/files/read_gauging.hpp"
#include "holdable/files/read_job.hpp"
#include "holdable/files/read_machine.hpp"
#include "holdable/files/scaffold.hpp"

#include <boost/test/unit_test.hpp>

#include <algorithm>
#include <filesystem>
#include <functional>
#include <map>
#include <set>
#include <string>
#include <utility>
#include <vector>

using namespace holdable;

namespace {

const Date day = parse_date("2026-05-01");      // after every date in the files
const std::string odd = "q0q0q0q0q0q0q0q0q0q0"; // near no word

using Keys = std::set<std::string>;

/// What of the schema holds for each object of the file, by its JSON Pointer: the object there, or
/// the `oneOf` it is a branch of; branches are taken together. Readers tell branches apart by the
/// keys they find, so each branch knows the keys of the others, to refuse them with a reason.
using Holds = std::map<std::string, const Node*>;

void walk(const Node& value,
          const Node& schema,
          const Node& root,
          const std::string& pointer,
          Holds& holds,
          const Node* choice = nullptr) {
    if (const auto* ref = find(schema, "$ref"))
        walk(value, *find(*find(root, "$defs"), ref->text.substr(8)), root, pointer, holds, choice);
    if (const auto* one_of = find(schema, "oneOf"))
        for (const Node& branch : one_of->elements)
            if (fits(value, branch, root))
                walk(value, branch, root, pointer, holds, choice == nullptr ? one_of : choice);
    if (value.kind == Node::Kind::array)
        if (const auto* items = find(schema, "items"))
            for (std::size_t i = 0; i < value.elements.size(); ++i)
                walk(value.elements[i], *items, root, pointer + "/" + std::to_string(i), holds);
    if (value.kind != Node::Kind::object)
        return;
    const auto* properties = find(schema, "properties");
    const auto* others = find(schema, "additionalProperties");
    if (properties != nullptr)
        holds[pointer] = choice == nullptr ? &schema : choice;
    for (const Member& member : value.members) {
        const auto* known = properties == nullptr ? nullptr : find(*properties, member.key);
        if (known != nullptr)
            walk(member.value, *known, root, pointer + pointer_step(member.key), holds);
        else if (others != nullptr && others->kind == Node::Kind::object)
            walk(member.value, *others, root, pointer + pointer_step(member.key), holds);
    }
}

/// Puts the odd key into every object that the schema describes, each in a line of its own: what
/// stands in one place is reported once. @param holds of these alone, fewer than mistakes are told
void make_odd(Node& value, const std::string& pointer, const Holds& holds, int& line) {
    for (std::size_t i = 0; i < value.elements.size(); ++i)
        make_odd(value.elements[i], pointer + "/" + std::to_string(i), holds, line);
    for (Member& member : value.members)
        make_odd(member.value, pointer + pointer_step(member.key), holds, line);
    if (holds.contains(pointer)) {
        Member member;
        member.key = odd;
        member.place.line = ++line;
        value.members.push_back(member);
    }
}

/// The keys in a hint: known here: "a", "b".
Keys in_hint(const std::string& hint) {
    Keys keys;
    for (auto at = hint.find('"'); at != std::string::npos;) {
        const auto end = hint.find('"', at + 1);
        keys.insert(hint.substr(at + 1, end - at - 1));
        at = hint.find('"', end + 1);
    }
    return keys;
}

/// What a schema says and what the reader knows, object by object of the schema.
class Keeping {
  public:
    Keeping(const std::string& kind, std::function<void(const Node&, const std::string&)> read)
        : kind_(kind), schema_(tree("docs/" + kind + ".schema.json")), read_(std::move(read)) {}

    /// Takes in a right file. @param file name, beside which others may be sought
    void take(const std::string& text, const std::string& file) {
        const auto right = parse_document(text, file);
        BOOST_TEST(fits(right, schema_, schema_), file << " fits " << kind_);
        Holds holds;
        walk(right, schema_, schema_, "", holds);
        std::map<std::string, Keys> known;
        for (auto next = holds.begin(); next != holds.end();) {
            Holds some;
            while (next != holds.end() && some.size() < most_mistakes)
                some.insert(*next++);
            auto root = right;
            int line = 100000;
            make_odd(root, "", some, line);
            try {
                read_(root, file);
                BOOST_ERROR(file << ": an unknown key was taken");
            } catch (const InputError& error) {
                for (const auto& one : error.diagnostics()) {
                    BOOST_TEST(one.id == "key-unknown", file << ": " << one.message);
                    const auto& pointer = one.location.pointer;
                    known[pointer.substr(0, pointer.rfind('/'))] = in_hint(one.hint);
                }
            }
        }
        for (const auto& [pointer, choice] : holds) {
            BOOST_TEST(known.contains(pointer), file << pointer << " is read");
            known_[choice].merge(Keys(known[pointer]));
        }
    }

    /// Both ways, over all that was taken in.
    void compare() {
        gather(schema_, nullptr, "#");
        std::map<const Node*, Keys> said, known;
        for (const auto& [choice, keys] : said_)
            said[first_of(choice)].insert(keys.begin(), keys.end());
        for (const auto& [choice, keys] : known_)
            known[first_of(choice)].insert(keys.begin(), keys.end());
        for (const auto& [choice, keys] : said) {
            const auto& place = kind_ + places_[choice];
            if (!known.contains(choice))
                BOOST_ERROR(place << ": no file has such an object");
            for (const auto& key : keys)
                BOOST_TEST(known[choice].contains(key),
                           place << ": no reader knows \"" << key << '"');
            for (const auto& key : known[choice])
                BOOST_TEST(keys.contains(key), place << ": the schema lacks \"" << key << '"');
        }
        BOOST_TEST(said.size() >= 4U);
    }

  private:
    /// What the schema says of each choice, by the same way as `walk`.
    void gather(const Node& schema, const Node* choice, const std::string& place) {
        if (!seen_.insert({&schema, choice}).second)
            return;
        if (const auto* ref = find(schema, "$ref"))
            gather(*find(*find(schema_, "$defs"), ref->text.substr(8)), choice, ref->text);
        if (const auto* one_of = find(schema, "oneOf"))
            for (const Node& branch : one_of->elements)
                gather(branch, choice == nullptr ? one_of : choice, place);
        if (const auto* items = find(schema, "items"))
            gather(*items, nullptr, place + "/items");
        if (const auto* others = find(schema, "additionalProperties"))
            gather(*others, nullptr, place + "/*");
        if (const auto* properties = find(schema, "properties"))
            for (const Member& member : properties->members) {
                said_[&schema].insert(member.key);
                places_.emplace(&schema, place);
                if (choice != nullptr) {
                    places_.emplace(choice, place);
                    if (first_of(&schema) != first_of(choice))
                        same_[first_of(&schema)] = first_of(choice);
                }
                gather(member.value, nullptr, place + pointer_step(member.key));
            }
    }

    /// The one that stands for all that are taken together.
    const Node* first_of(const Node* choice) const {
        for (auto at = same_.find(choice); at != same_.end(); at = same_.find(choice))
            choice = at->second;
        return choice;
    }

    std::string kind_;
    Node schema_;
    std::function<void(const Node&, const std::string&)> read_;
    std::map<const Node*, Keys> known_;       // of each choice, by the readers
    std::map<const Node*, Keys> said_;        // by the schema
    std::map<const Node*, const Node*> same_; // branches of one choice, and choices that share some
    std::map<const Node*, std::string> places_;
    std::set<std::pair<const Node*, const Node*>> seen_;
};

/// All files of budgets/ that are of that format.
void take_budgets(Keeping& in_step, const std::string& format) {
    for (const auto& entry :
         std::filesystem::recursive_directory_iterator(HOLDABLE_ROOT "/budgets")) {
        if (entry.path().extension() != ".json")
            continue;
        const auto text = read_text(entry.path().string());
        const auto root = parse_document(text, "f");
        const auto* name = find(root, "holdable");
        if (name != nullptr && name->text == format)
            in_step.take(text, entry.path().string());
    }
}

void take_scaffolds(Keeping& in_step, ScaffoldKind kind) {
    for (const bool inch : {true, false})
        in_step.take(scaffold({kind, inch, day}), inch ? "inch scaffold" : "metric scaffold");
}

std::vector<std::string> pages_of(const std::string& folder) {
    std::vector<std::string> pages;
    for (const auto& entry : std::filesystem::directory_iterator(HOLDABLE_ROOT "/docs/" + folder))
        if (entry.path().extension() == ".md")
            pages.push_back("docs/" + folder + "/" + entry.path().filename().string());
    std::sort(pages.begin(), pages.end());
    return pages;
}

std::string inside(const std::string& block) {
    const auto from = block.find('{') + 1;
    return block.substr(from, block.rfind('}') - from);
}

/// What is rare in the files of the repository: every key of it stands on a page of docs/.
const std::string rare_machine = R"({
  "holdable": "machine/1", "shop": "S", "machine": "M", "axes": "XYZ",
  "travel": {
    "X": {"from": "0 mm", "to": "400 mm"},
    "Y": {"from": "0 mm", "to": "300 mm"},
    "Z": {"from": "-300 mm", "to": "0 mm"}
  },
  "nose_to_table": "450 mm", "class": "entry vmc",
  "instruments": [
    {"id": "I", "kind": "indicator", "resolution": "1 µm",
     "certificate": {"number": "1", "date": "2025-01-01", "U": "1 %", "k": 2}},
    {"id": "E", "kind": "straightedge", "length": "500 mm", "form": "4 µm", "certificate": {"number": "2"}},
    {"id": "L", "kind": "level", "division": "0.02 mm/m",
     "certificate": {"number": "3", "U": "2 %", "k": 2}},
    {"id": "B", "kind": "length standard", "type": "blocks", "material": "gauge-block steel",
     "lengths": ["0 mm", "100 mm", "200 mm"], "setting": "0.5 µm", "limit": "0.8 µm"},
    {"id": "D", "kind": "length standard", "type": "displacement", "material": "none",
     "resolution": "0.1 µm", "limit_per_length": "2 µm/m"}
  ],
  "gauges": [
    {"id": "one", "instrument": {"name": "gauge", "resolution": "1 µm"},
     "bias": {"readings": "0 1 0", "unit": "1 µm", "reference": {"number": "4", "U": "0.3 µm", "k": 2}},
     "scatter": {"readings": "0 1 -1 0", "unit": "1 µm"},
     "operators": {"plus_minus": "1 µm", "evidence": "typical"},
     "temperature": {"part": "21 °C", "gauge": "21 °C", "gauge_material": "steel", "doubt": "1 K",
                     "corrected": false}},
    {"id": "two", "instrument": {"name": "gauge", "resolution": "1 µm"},
     "linearity": {"sizes": ["5 mm", "10 mm", "20 mm"], "readings": ["0 1 0", "1 1 2", "1 2 2"],
                   "unit": "1 µm", "reference": {"number": "5", "U": "0.3 µm", "k": 2}},
     "study": {"kind": "crossed", "unit": "1 µm",
               "readings": [[[2, 3], [3, 3]], [[-4, -3], [-3, -2]]]},
     "temperature": {"part": "21 °C", "gauge": "21 °C", "gauge_material": "steel", "doubt": "1 K",
                     "corrected": false}}
  ],
  "checks": [
    {"id": "C", "kind": "circle", "date": "2025-04-01", "trace": "disc", "indicator": "I",
     "centre": {"X": "200 mm", "Y": "150 mm"}, "radius": "100 mm", "gauge_length": "250 mm",
     "feed": "600 mm/min", "stations": {"first": "5°", "every": "45°"}, "lead": "5 mm",
     "scale_material": "ball-screw steel", "scale_temperature": {"X": "22 °C", "Y": "22 °C"},
     "spring_back": "1 µm", "surface": "0.5 µm", "outward_reads": "plus", "unit": "µm",
     "runs": [
       {"direction": "counterclockwise", "readings": "1 2 3 4 5 6 7 8"},
       {"direction": "clockwise", "turned": "90°", "readings": "2 2 3 4 5 6 7 8"}]},
    {"id": "S", "kind": "straightness", "date": "2025-04-01", "axis": "Y", "direction": "X",
     "straightedge": "E", "indicator": "I", "place": {"X": "100 mm", "Z": "-200 mm"},
     "gauge_length": "140 mm", "marked_end": "290 mm", "stations": ["50 mm", "150 mm", "250 mm"],
     "unit": "µm", "pressed_reads": "plus",
     "settings": [{"touches": "+X face", "readings": "0 1 2"}, {"touches": "-X face", "readings": "0 -3 -5"}]},
    {"id": "R", "kind": "level", "date": "2025-04-01", "level": "L", "axis": "X", "rides": "table",
     "points": "Y", "plus_when_high": "+Y end", "stations": ["50 mm", "200 mm", "350 mm"],
     "place": {"Y": "100 mm", "Z": "-200 mm"}, "unit": "division", "readings": "0.4 0.6 1"},
    {"id": "Q", "kind": "level", "date": "2025-04-01", "level": "L", "axis": "Y", "rides": "table",
     "points": "Y", "plus_when_high": "+Y end", "stations": ["50 mm", "150 mm", "250 mm"],
     "place": {"X": "100 mm"}, "unit": "division", "readings": "0.4 0.6 1"}
  ],
  "events": [{"kind": "adjusted", "date": "2025-02-20", "axis": "X"}]
})";

} // namespace

BOOST_AUTO_TEST_SUITE(schemas_in_step)

BOOST_AUTO_TEST_CASE(machine_files) {
    Keeping in_step("machine", [](const Node& root, const std::string& file) {
        read_machine(root, file, day);
    });
    take_budgets(in_step, "machine/1");
    take_scaffolds(in_step, ScaffoldKind::machine);
    in_step.take(rare_machine, "rare");
    const auto blocks = examples("docs/files.md");
    BOOST_REQUIRE(blocks.size() == 8U);
    const auto with = [&](const std::vector<std::pair<std::string, std::string>>& changes) {
        return changed(blocks[0], changes);
    };
    in_step.take(with({{"\"instruments\": []", "\"instruments\": " + blocks[1]},
                       {"\"events\": [], \"corrections\": []",
                        inside(blocks[3]) + ", \"gauges\": [" + blocks[4] + "]"}}),
                 "docs/files.md");
    for (const auto& page : pages_of("checks"))
        in_step.take(with({{"\"instruments\": [], \"checks\": []", inside(examples(page)[0])}}),
                     page);
    in_step.compare();
}

BOOST_AUTO_TEST_CASE(job_files) {
    Keeping in_step("job", [](const Node& root, const std::string& file) { read_job(root, file); });
    take_budgets(in_step, "job/1");
    take_scaffolds(in_step, ScaffoldKind::job);
    const auto blocks = examples("docs/files.md");
    in_step.take(changed(blocks[5],
                         {{"\"process\": \"typical\"", inside(blocks[6])},
                          {"\n  ]", ",\n" + blocks[7] + "]"}}),
                 "docs/files.md");
    for (const auto& page : pages_of("features"))
        in_step.take(examples(page)[0], page);
    in_step.take(examples("docs/where.md")[0], "docs/where.md");
    // What is rare: the customer's rule, and scatter by a test cut.
    const auto own_rule = [](const std::string& rule) {
        return std::pair<std::string, std::string>("\"process\": \"typical\"",
                                                   "\"rule\": " + rule +
                                                       ", \"process\": {\"hole_place\": "
                                                       "{\"from\": \"ten plates\"}, "
                                                       "\"others\": \"typical\"}");
    };
    for (const auto* rule : {R"({"name": "terms 7", "guard_band": "1 µm"})",
                             R"({"name": "terms 7", "ratio": 4, "below": "refuse"})"})
        in_step.take(changed(blocks[5], {own_rule(rule)}), rule);
    in_step.compare();
}

BOOST_AUTO_TEST_CASE(gauging_files) {
    Keeping in_step("gauging", [](const Node& root, const std::string& file) {
        read_gauging(root, file, day);
    });
    take_budgets(in_step, "gauging/1");
    take_scaffolds(in_step, ScaffoldKind::gauging);
    for (const auto& block : examples("docs/gauging.md"))
        if (block.find("gauging/1") != std::string::npos)
            in_step.take(block, "docs/gauging.md");
    const auto usual = scaffold({ScaffoldKind::gauging, true, day});
    in_step.take(changed(usual,
                         {{"\"units\": \"inch\",",
                           "\"rule\": {\"name\": \"terms 7\", \"ratio\": 4, \"below\": "
                           "\"refuse\"},"},
                          {"\"repeats\": 3,",
                           "\"repeats\": 3, \"bias\": {\"readings\": \"0 1 0\", \"unit\": \"1 "
                           "µm\", \"reference\": {\"number\": \"4\", \"U\": \"0.3 µm\", "
                           "\"k\": 2}},"},
                          {"\"resolution\": \"0.00005 in\",", "\"resolution\": \"0.00005 in\""},
                          {"\"max_error\": \"0.0001 in\"", ""}}),
                 "bias and ratio");
    in_step.compare();
}

BOOST_AUTO_TEST_CASE(budget_files) {
    Keeping in_step("budget",
                    [](const Node& root, const std::string& file) { read_budget(root, file); });
    take_budgets(in_step, "budget/1");
    take_scaffolds(in_step, ScaffoldKind::budget);
    for (const auto& block : examples("docs/budget-file.md"))
        if (block.find("budget/1") != std::string::npos)
            in_step.take(block, "docs/budget-file.md");
    in_step.take(R"({"holdable": "budget/1", "inputs": {
                     "a": {"kind": "exponential", "mean": "1 µm"},
                     "b": {"kind": "gamma", "mean": "2 µm", "standard": "1 µm"}},
                     "outputs": {"c": {"formula": "a + b", "unit": "µm"}}})",
                 "exponential and gamma");
    in_step.compare();
}

BOOST_AUTO_TEST_SUITE_END()
