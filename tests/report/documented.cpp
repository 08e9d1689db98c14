// SPDX-License-Identifier: MIT
// docs/results.md against the JSON that is printed: every key of an answer, of a machine and of a
// place stands on the page between backquotes.
#include "holdable/files/document.hpp"
#include "holdable/files/read_job.hpp"
#include "holdable/files/read_machine.hpp"
#include "holdable/files/text.hpp"
#include "holdable/machine/state.hpp"
#include "holdable/report/answer_json.hpp"
#include "holdable/report/improve_json.hpp"
#include "holdable/report/machine_json.hpp"
#include "holdable/report/statement_json.hpp"
#include "holdable/report/where_json.hpp"
#include "machine/workshop.hpp"
#include "report/answer_samples.hpp"
#include "report/improve_samples.hpp"
#include "report/where_samples.hpp"

#include <boost/test/unit_test.hpp>

#include <set>
#include <string>

using namespace holdable;

namespace {

void collect(const Node& node, std::set<std::string>& keys) {
    for (const auto& [key, place, value] : node.members) {
        keys.insert(key);
        collect(value, keys);
    }
    for (const auto& element : node.elements)
        collect(element, keys);
}

/// A shop with one check, so that all kinds of lines are there.
MachineState state() {
    auto shop = tests::workshop();
    auto check = tests::square_check(Axis::x);
    SquareSetting setting;
    setting.edge_readings = {0, 1e-6, 2e-6, 3e-6, 40e-6};
    check.settings = {setting};
    shop.square_checks = {check};
    LevelCheck run;
    run.name = "run";
    run.date = check.date;
    run.level = "long";
    run.stations = {0.0, 0.3, 0.6};
    run.readings = {0, 0, 0};
    run.turned = LevelTurned{0.3, 0};
    shop.level_checks = {run};
    TableCheck map;
    map.name = "map";
    map.date = check.date;
    map.level = "long";
    map.foot = 0.15;
    for (const double y : {0.1, 0.3})
        map.lines.push_back({Axis::x, {0, y}, {0, -60e-6, 60e-6, 0}, {}, {}, {}});
    shop.table_checks = {map};
    auto& beam = shop.length_standards.emplace_back();
    beam.name = "beam";
    beam.kind = LengthKind::displacement;
    PositioningCheck sent;
    sent.name = "X";
    sent.date = check.date;
    sent.standard = "beam";
    sent.place = {0, 0.2, -0.2};
    sent.targets = {0.1, 0.5};
    sent.runs = {{true, {0, 1e-6}}, {false, {0, 1e-6}}};
    shop.positioning_checks = {sent};
    return solve(shop, parse_date("2026-11-20"));
}

/// A statement of the demonstration shop, and keys of words left out: they are labels of the page.
Statement stated() {
    const std::string machine = HOLDABLE_ROOT "/budgets/demo/machine.json";
    const std::string job = HOLDABLE_ROOT "/budgets/demo/job-inch.json";
    return statement(read_machine(parse_document(read_text(machine), machine), machine),
                     read_job(parse_document(read_text(job), job), job),
                     {});
}

/// An answer with a callout of each kind of feature and datum.
Answer every_feature() {
    auto answer = samples::many();
    auto& all = answer.callouts;
    const auto add = [&](Requirement kind, Feature feature, Datum datum) {
        auto one = all.front();
        one.callout.kind = kind;
        one.callout.feature = std::move(feature);
        one.callout.datum = std::move(datum);
        one.index = PredictedIndex{1.5, 1.2, false};
        all.push_back(one);
    };
    Face face;
    face.extent = Extent{0, 0.1, 0, 0.1};
    face.cutter = FaceCutter{0.05, 0.04, Axis::x};
    add(Requirement::flatness, face, {});
    add(Requirement::height, face, PlaneDatum{PlaneDatum::Kind::face, "A", face});
    add(Requirement::perpendicularity, Wall{}, WallDatum{"B", {}});
    add(Requirement::width, Walls{}, {});
    add(Requirement::coaxiality, Holes{Hole{}}, BoreDatum{"C", {}, Axis::x, true, 0, 0});
    add(Requirement::position, Holes{Hole{}, Hole{}}, EachOther{"D"});
    return answer;
}

} // namespace

BOOST_AUTO_TEST_SUITE(documented_results)

BOOST_AUTO_TEST_CASE(every_key_stands_on_the_page) {
    std::set<std::string> keys;
    for (const auto& answer : {samples::yes(), samples::cant_say(), samples::many()})
        collect(parse_document(answer_json(answer, {"1.2.3", {{"f", "0"}}}), "answer"), keys);
    collect(parse_document(answer_json(every_feature()), "answer"), keys);
    collect(parse_document(machine_json(summary(state())), "machine"), keys);
    collect(parse_document(where_json(samples::moved()), "where"), keys);
    collect(parse_document(improve_json(samples::improvement()), "improvement"), keys);
    collect(parse_document(statement_json(stated(), {"1.2.3", {{"f", "0"}}}), "statement"), keys);
    BOOST_TEST(keys.size() > 60U);
    const auto page = read_text(std::string(HOLDABLE_ROOT) + "/docs/results.md");
    for (const auto& key : keys)
        if (key != "holdable")
            BOOST_TEST(page.find('`' + key + '`') != std::string::npos, key << " is not explained");
}

BOOST_AUTO_TEST_SUITE_END()
