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

const Date day = parse_date("2025-05-01");
const std::string odd = "q0q0q0q0q0q0q0q0q0q0"; // near no word

using Keys = std::set<std::string>;

/// Which object of the schema holds for each object of the file, by its JSON Pointer.
using Holds = std::map<std::string, const Node*>;

void walk(const Node& value,
          const Node& schema,
          const Node& root,
          const std::string& pointer,
          Holds& holds) {
    if (const auto* ref = find(schema, "$ref"))
        walk(value, *find(*find(root, "$defs"), ref->text.substr(8)), root, pointer, holds);
    if (const auto* one_of = find(schema, "oneOf"))
        for (const Node& branch : one_of->elements)
            if (fits(value, branch, root))
                walk(value, branch, root, pointer, holds);
    if (value.kind == Node::Kind::array)
        if (const auto* items = find(schema, "items"))
            for (std::size_t i = 0; i < value.elements.size(); ++i)
                walk(value.elements[i], *items, root, pointer + "/" + std::to_string(i), holds);
    if (value.kind != Node::Kind::object)
        return;
    const auto* properties = find(schema, "properties");
    const auto* others = find(schema, "additionalProperties");
    if (properties != nullptr)
        holds[pointer] = &schema;
    for (const Member& member : value.members) {
        const auto* known = properties == nullptr ? nullptr : find(*properties, member.key);
        if (known != nullptr)
            walk(member.value, *known, root, pointer + pointer_step(member.key), holds);
        else if (others != nullptr && others->kind == Node::Kind::object)
            walk(member.value, *others, root, pointer + pointer_step(member.key), holds);
    }
}

/// Puts the odd key into every object that the schema describes.
void make_odd(Node& value, const std::string& pointer, const Holds& holds) {
    for (std::size_t i = 0; i < value.elements.size(); ++i)
        make_odd(value.elements[i], pointer + "/" + std::to_string(i), holds);
    for (Member& member : value.members)
        make_odd(member.value, pointer + pointer_step(member.key), holds);
    if (holds.contains(pointer)) {
        Member member;
        member.key = odd;
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
class Step {
  public:
    Step(const std::string& kind, std::function<void(const Node&, const std::string&)> read)
        : kind_(kind), schema_(tree("docs/" + kind + ".schema.json")), read_(std::move(read)) {}

    /// Takes in a right file. @param file name, beside which others may be sought
    void take(const std::string& text, const std::string& file) {
        auto root = parse_document(text, file);
        BOOST_TEST(fits(root, schema_, schema_), file << " fits " << kind_);
        Holds holds;
        walk(root, schema_, schema_, "", holds);
        make_odd(root, "", holds);
        std::map<std::string, Keys> known;
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
        for (const auto& [pointer, schema] : holds) {
            BOOST_TEST(known.contains(pointer), file << pointer << " is read");
            known_[schema].merge(Keys(known[pointer]));
            where_[schema].insert(file + pointer);
        }
        ++files_;
    }

    std::size_t files() const { return files_; }

    void compare() const { compare(schema_, "#"); }

  private:
    void compare(const Node& schema, const std::string& place) const {
        if (const auto* properties = find(schema, "properties")) {
            Keys said;
            for (const Member& member : properties->members)
                said.insert(member.key);
            const auto at = known_.find(&schema);
            if (at == known_.end()) {
                BOOST_ERROR(kind_ << place << ": no file has such an object");
            } else {
                for (const auto& key : said)
                    BOOST_TEST(at->second.contains(key),
                               kind_ << place << ": no reader knows \"" << key << '"');
                for (const auto& key : at->second)
                    BOOST_TEST(said.contains(key),
                               kind_ << place << ": the schema lacks \"" << key << "\", as in "
                                     << *where_.at(&schema).begin());
            }
        }
        for (const Member& member : schema.members)
            compare(member.value, place + pointer_step(member.key));
        for (std::size_t i = 0; i < schema.elements.size(); ++i)
            compare(schema.elements[i], place + "/" + std::to_string(i));
    }

    std::string kind_;
    Node schema_;
    std::function<void(const Node&, const std::string&)> read_;
    std::map<const Node*, Keys> known_;
    std::map<const Node*, std::set<std::string>> where_;
    std::size_t files_ = 0;
};

/// All files of budgets/ that are of that format.
void take_budgets(Step& step, const std::string& format) {
    for (const auto& entry :
         std::filesystem::recursive_directory_iterator(HOLDABLE_ROOT "/budgets")) {
        if (entry.path().extension() != ".json")
            continue;
        const auto text = read_text(entry.path().string());
        const auto root = parse_document(text, "f");
        const auto* name = find(root, "holdable");
        if (name != nullptr && name->text == format)
            step.take(text, entry.path().string());
    }
}

void take_scaffolds(Step& step, ScaffoldKind kind) {
    for (const bool inch : {true, false})
        step.take(scaffold({kind, inch, day}), inch ? "inch scaffold" : "metric scaffold");
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

} // namespace

BOOST_AUTO_TEST_SUITE(schemas_in_step)

BOOST_AUTO_TEST_CASE(machine_files) {
    Step step("machine",
              [](const Node& root, const std::string& file) { read_machine(root, file, day); });
    take_budgets(step, "machine/1");
    take_scaffolds(step, ScaffoldKind::machine);
    const auto blocks = examples("docs/files.md");
    BOOST_REQUIRE(blocks.size() == 8U);
    const auto with = [&](const std::vector<std::pair<std::string, std::string>>& changes) {
        return changed(blocks[0], changes);
    };
    step.take(with({{"\"instruments\": []", "\"instruments\": " + blocks[1]},
                    {"\"events\": [], \"corrections\": []",
                     inside(blocks[3]) + ", \"gauges\": [" + blocks[4] + "]"}}),
              "docs/files.md");
    for (const auto& page : pages_of("checks"))
        step.take(with({{"\"instruments\": [], \"checks\": []", inside(examples(page)[0])}}), page);
    step.compare();
}

BOOST_AUTO_TEST_CASE(job_files) {
    Step step("job", [](const Node& root, const std::string& file) { read_job(root, file); });
    take_budgets(step, "job/1");
    take_scaffolds(step, ScaffoldKind::job);
    const auto blocks = examples("docs/files.md");
    step.take(changed(blocks[5],
                      {{"\"process\": \"typical\"", inside(blocks[6])},
                       {"\n  ]", ",\n" + blocks[7] + "]"}}),
              "docs/files.md");
    for (const auto& page : pages_of("features"))
        step.take(examples(page)[0], page);
    step.take(examples("docs/where.md")[0], "docs/where.md");
    step.compare();
}

BOOST_AUTO_TEST_CASE(gauging_files) {
    Step step("gauging",
              [](const Node& root, const std::string& file) { read_gauging(root, file, day); });
    take_budgets(step, "gauging/1");
    take_scaffolds(step, ScaffoldKind::gauging);
    for (const auto& block : examples("docs/gauging.md"))
        if (block.find("gauging/1") != std::string::npos)
            step.take(block, "docs/gauging.md");
    step.compare();
}

BOOST_AUTO_TEST_CASE(budget_files) {
    Step step("budget", [](const Node& root, const std::string& file) { read_budget(root, file); });
    take_budgets(step, "budget/1");
    take_scaffolds(step, ScaffoldKind::budget);
    for (const auto& block : examples("docs/budget-file.md"))
        if (block.find("budget/1") != std::string::npos)
            step.take(block, "docs/budget-file.md");
    step.compare();
}

BOOST_AUTO_TEST_SUITE_END()
