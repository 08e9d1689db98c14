// SPDX-License-Identifier: MIT
// What `holdable new` writes, against the readers, the solver and the questions themselves: each
// scaffold is read as it stands, in both unit systems, means the same in both within what a shop
// calls the same, and can be asked of. Facts stand where they belong, whatever they are; what the
// readers refuse is refused. All but the two comparisons is exact; those allow 6 %, as 16 in and
// 400 mm are both a usual travel.
#include "holdable/files/scaffold.hpp"

#include "files/schema.hpp"
#include "holdable/answer/answer.hpp"
#include "holdable/answer/budget.hpp"
#include "holdable/answer/gauging.hpp"
#include "holdable/files/read_budget.hpp"
#include "holdable/files/read_gauging.hpp"
#include "holdable/files/read_job.hpp"
#include "holdable/files/read_machine.hpp"

#include <boost/test/data/test_case.hpp>
#include <boost/test/unit_test.hpp>

#include <algorithm>
#include <string>
#include <variant>

using namespace holdable;
namespace data = boost::unit_test::data;

namespace {

const Date day = parse_date("2025-05-01");

ScaffoldFor of(ScaffoldKind kind, bool inch) {
    return {kind, inch, day};
}

Node tree_of(ScaffoldKind kind, bool inch, const ScaffoldFacts& facts = {}) {
    return parse_document(scaffold(of(kind, inch), facts), "f");
}

Shop shop_of(bool inch, const ScaffoldFacts& facts = {}) {
    return read_machine(tree_of(ScaffoldKind::machine, inch, facts), "f", day);
}

Job job_of(bool inch, const ScaffoldFacts& facts = {}) {
    return read_job(tree_of(ScaffoldKind::job, inch, facts), "f");
}

ScaffoldQuestion question(const ScaffoldFor& what, const std::string& key) {
    for (const auto& one : scaffold_questions(what))
        if (one.key == key)
            return one;
    BOOST_FAIL("no question " << key);
    return {};
}

std::string accepted(const ScaffoldFor& what,
                     const std::string& key,
                     const std::string& typed,
                     const ScaffoldFacts& facts = {}) {
    return accepted_fact(what, facts, question(what, key), typed);
}

std::string refused(const ScaffoldFor& what, const std::string& key, const std::string& typed) {
    try {
        return "taken as " + accepted(what, key, typed);
    } catch (const InputError& error) {
        BOOST_TEST(error.diagnostics().at(0).id == "answer-refused");
        const auto& wrong = error.diagnostics().at(0);
        return wrong.message + (wrong.hint.empty() ? "" : "; " + wrong.hint);
    }
}

const ScaffoldFor inch_machine = of(ScaffoldKind::machine, true);

} // namespace

BOOST_AUTO_TEST_SUITE(scaffold_files)

BOOST_DATA_TEST_CASE(a_machine_is_right_as_it_stands, data::make({true, false}), inch) {
    const auto shop = shop_of(inch);
    BOOST_TEST(fits(tree_of(ScaffoldKind::machine, inch), "machine"));
    BOOST_TEST(shop.inch == inch);
    BOOST_TEST(count_checks(shop) == 2U);
    BOOST_REQUIRE(shop.notes.size() == 1U);
    BOOST_TEST(shop.notes[0] ==
               "invented until you put in your own, all that is called EXAMPLE: the shop, the "
               "machine, 3 instruments, 1 gauge, 2 checks");
}

BOOST_DATA_TEST_CASE(a_job_is_answered_with_it, data::make({true, false}), inch) {
    const auto job = job_of(inch);
    BOOST_TEST(fits(tree_of(ScaffoldKind::job, inch), "job"));
    BOOST_TEST(job.notes.empty());
    BOOST_TEST(job.inch == inch);
    AnswerOptions options;
    options.trials = 500;
    const auto result = answer(shop_of(inch), job, options);
    BOOST_REQUIRE(result.callouts.size() == 2U);
    for (const auto& callout : result.callouts) {
        BOOST_TEST(callout.computed);
        BOOST_TEST(callout.promise.smallest > 0);
    }
}

BOOST_AUTO_TEST_CASE(both_units_mean_the_same_shop) {
    const auto inch = shop_of(true);
    const auto metric = shop_of(false);
    for (std::size_t i = 0; i < 3; ++i)
        BOOST_TEST(inch.travel[i].high - inch.travel[i].low ==
                       metric.travel[i].high - metric.travel[i].low,
                   boost::test_tools::tolerance(0.06));
    BOOST_TEST(inch.nose_to_table == metric.nose_to_table, boost::test_tools::tolerance(0.06));
    BOOST_TEST(inch.square_checks[0].gauge_length == metric.square_checks[0].gauge_length,
               boost::test_tools::tolerance(0.06));
    BOOST_TEST(inch.squares[0].length == metric.squares[0].length,
               boost::test_tools::tolerance(0.06));
}

BOOST_DATA_TEST_CASE(the_gauge_of_the_machine_proves_the_bore_of_the_job,
                     data::make({true, false}),
                     inch) {
    auto text = scaffold(of(ScaffoldKind::job, inch));
    text = changed(text, {{"// \"gauge\"", "\"gauge\""}});
    const auto job = read_job(parse_document(text, "f"), "f");
    AnswerOptions options;
    options.trials = 500;
    const auto result = answer(shop_of(inch), job, options);
    BOOST_TEST(result.callouts[1].proof.gauge == "EXAMPLE bore gauge");
    BOOST_TEST((result.callouts[1].proof.verdict == Verdict::yes ||
                result.callouts[1].proof.verdict == Verdict::marginal));
}

BOOST_DATA_TEST_CASE(a_gauging_is_answered, data::make({true, false}), inch) {
    const auto root = tree_of(ScaffoldKind::gauging, inch);
    BOOST_TEST(fits(root, "gauging"));
    const auto read = read_gauging(root, "f", day);
    const auto& set_up = std::get<decide::Inspection>(read);
    BOOST_TEST(set_up.notes.empty());
    BOOST_TEST((gauging(set_up).verdict != Verdict::cant_say));
}

BOOST_DATA_TEST_CASE(a_budget_is_evaluated, data::make({true, false}), inch) {
    const auto root = tree_of(ScaffoldKind::budget, inch);
    BOOST_TEST(fits(root, "budget"));
    BudgetOptions options;
    options.run.trials = 20000;
    const auto result = evaluate(read_budget(root, "f"), options);
    BOOST_TEST(result.notes.empty());
    BOOST_REQUIRE(result.gum.outputs.size() == 1U);
}

BOOST_AUTO_TEST_CASE(lock_out_stands_before_any_check) {
    for (const bool inch : {true, false}) {
        const auto machine = scaffold(of(ScaffoldKind::machine, inch));
        const auto at = machine.find("lock out the spindle");
        const auto block = machine.find("vertical head that may sink on a block");
        BOOST_REQUIRE(at != std::string::npos);
        BOOST_REQUIRE(block != std::string::npos);
        BOOST_TEST(std::max(at, block) < machine.find("\"checks\": ["));
        const auto gauging = scaffold(of(ScaffoldKind::gauging, inch));
        BOOST_TEST(gauging.find("spindle locked out") != std::string::npos);
    }
}

BOOST_AUTO_TEST_CASE(no_mark_is_left_and_each_line_fits_a_window) {
    for (std::size_t kind = 0; kind < scaffold_kinds().size(); ++kind)
        for (const bool inch : {true, false}) {
            const auto text = scaffold(of(static_cast<ScaffoldKind>(kind), inch));
            BOOST_TEST(text.find("<<") == std::string::npos);
            BOOST_TEST(text.find(">>") == std::string::npos);
            std::size_t from = 0;
            for (auto end = text.find('\n'); end != std::string::npos;
                 from = end + 1, end = text.find('\n', from))
                BOOST_TEST(end - from <= 110U, text.substr(from, end - from));
        }
}

BOOST_AUTO_TEST_CASE(kinds_have_names) {
    BOOST_TEST((scaffold_kind("job") == ScaffoldKind::job));
    BOOST_TEST(!scaffold_kind("jobs"));
}

BOOST_AUTO_TEST_CASE(facts_stand_where_they_belong) {
    const ScaffoldFacts facts = {{"shop", "Say \"when\" \\ Co"},
                                 {"x", "508 mm"},
                                 {"y", "20 in"},
                                 {"z", "20 in"},
                                 {"nose", "30 in"},
                                 {"square", "12 in"},
                                 {"ground", "after Z"},
                                 {"class", "knee mill"}};
    const auto shop = shop_of(true, facts);
    BOOST_TEST(shop.name == "Say \"when\" \\ Co");
    BOOST_TEST((shop.ground == 3));
    BOOST_TEST(shop.machine_class == "knee mill");
    BOOST_TEST(shop.travel[0].high == 0.508);
    BOOST_TEST(shop.travel[2].low == -0.508);
    // The example follows: the square in the middle, the tip within reach of its foot and its top.
    const auto& check = shop.square_checks[0];
    BOOST_TEST(check.place[0] == 0.254, boost::test_tools::tolerance(1e-12));
    BOOST_TEST(check.place[1] == 0.254, boost::test_tools::tolerance(1e-12));
    for (const double z : check.stations) {
        BOOST_TEST(z > -0.508);
        BOOST_TEST(z < 0);
    }
    const auto low = check.stations.front() + shop.nose_to_table - check.gauge_length;
    BOOST_TEST(low > 0);
    BOOST_TEST(low < 0.1);
}

BOOST_AUTO_TEST_CASE(the_example_fits_machines_of_any_size) {
    // nose to table and travel of Z, in
    const double machines[][2] = {{18, 14}, {24, 20}, {30, 18}, {40, 12}, {12, 10}, {16, 5}};
    for (const auto& [nose, z] : machines)
        for (const double square : {4.0, 8.0, 16.0}) {
            const auto shop = shop_of(true,
                                      {{"nose", std::to_string(nose) + " in"},
                                       {"z", std::to_string(z) + " in"},
                                       {"square", std::to_string(square) + " in"}});
            BOOST_TEST(shop.notes.size() == 1U, nose << ' ' << z << ' ' << square);
        }
}

BOOST_AUTO_TEST_CASE(what_is_usual_follows_the_facts) {
    const auto what = of(ScaffoldKind::gauging, false);
    const auto questions = scaffold_questions(what, {{"nominal", "62 mm"}, {"lower", "62.01 mm"}});
    const auto at = [&](const std::string& key) {
        return std::find_if(
                   questions.begin(), questions.end(), [&](const auto& q) { return q.key == key; })
            ->usual;
    };
    BOOST_TEST(at("lower") == "62.01 mm");
    BOOST_TEST(at("upper") == "62.035 mm");
    BOOST_TEST(question(of(ScaffoldKind::job, true), "from_x").usual == "5 in");
}

BOOST_AUTO_TEST_CASE(every_question_has_an_example_that_is_taken) {
    for (std::size_t kind = 0; kind < scaffold_kinds().size(); ++kind)
        for (const bool inch : {true, false}) {
            const auto what = of(static_cast<ScaffoldKind>(kind), inch);
            ScaffoldFacts facts;
            for (const auto& one : scaffold_questions(what)) {
                BOOST_TEST_CONTEXT(one.key) {
                    BOOST_TEST(!one.text.empty());
                    BOOST_TEST(!one.more.empty());
                    facts[one.key] = accepted_fact(what, facts, one, one.example);
                    BOOST_TEST(accepted_fact(what, {}, one, "") ==
                               accepted_fact(what, {}, one, one.usual));
                }
            }
            BOOST_TEST(scaffold(what, facts).find("<<") == std::string::npos);
        }
}

BOOST_AUTO_TEST_CASE(answers_are_taken_as_they_are_typed_in_a_shop) {
    BOOST_TEST(accepted(inch_machine, "x", " 20 ") == "20 in");
    BOOST_TEST(accepted(of(ScaffoldKind::machine, false), "x", "508") == "508 mm");
    BOOST_TEST(accepted(inch_machine, "x", "508 mm") == "508 mm");
    BOOST_TEST(accepted(inch_machine, "resolution", ".0001") == ".0001 in");
    BOOST_TEST(accepted(inch_machine, "ground", "knee") == "after Z");
    BOOST_TEST(accepted(inch_machine, "shop", "  Elm & Sons ") == "Elm & Sons");
    const auto job = of(ScaffoldKind::job, true);
    BOOST_TEST(accepted(job, "lean", "Ø.0008") == ".0008 in");
    BOOST_TEST(accepted(job, "lean", "Ø 0.02 mm") == "0.02 mm");
    BOOST_TEST(accepted(job, "quantity", "12") == "12");
    BOOST_TEST(accepted(job, "part_temperature", "72") == "72 °F");
}

BOOST_AUTO_TEST_CASE(what_cannot_be_is_refused_with_the_reason) {
    BOOST_TEST(refused(inch_machine, "ground", "nee") ==
               "\"nee\" is none of the answers; did you mean knee?");
    BOOST_TEST(refused(inch_machine, "ground", "both") ==
               "\"both\" is none of the answers; one of: head, knee");
    BOOST_TEST(refused(inch_machine, "x", "a foot").find("taken") == std::string::npos);
    BOOST_TEST(refused(inch_machine, "x", "3 tenths").find("a tenth is 0.0001 in in one shop") !=
               std::string::npos);
    BOOST_TEST(refused(inch_machine, "x", "-4").find("taken") == std::string::npos);
    BOOST_TEST(refused(inch_machine, "x", "16 °F").find("taken") == std::string::npos);
    BOOST_TEST(refused(inch_machine, "division", ".0005 in").find("taken") == std::string::npos);
    const auto job = of(ScaffoldKind::job, true);
    BOOST_TEST(refused(job, "quantity", "six") == "\"six\" is no number; a number alone, as 6");
    BOOST_TEST(refused(job, "quantity", "0").find("taken") == std::string::npos);
    BOOST_TEST(refused(job, "material", "stainless").find("say which") != std::string::npos);
    BOOST_TEST(refused(job, "size", "1.5").find("taken") == std::string::npos);
    const auto gauging = of(ScaffoldKind::gauging, true);
    BOOST_TEST(refused(gauging, "upper", "1.4").find("taken") == std::string::npos);
    BOOST_TEST(refused(gauging, "repeats", "1.5").find("taken") == std::string::npos);
}

BOOST_AUTO_TEST_CASE(only_names_of_the_example_are_examples) {
    BOOST_TEST(is_example("EXAMPLE square"));
    BOOST_TEST(!is_example("my EXAMPLE"));
    BOOST_TEST(!is_example("Example square"));
}

BOOST_AUTO_TEST_CASE(no_page_for_a_customer_rests_on_an_example) {
    const auto id = [](const Shop& shop, const Job& job) {
        try {
            refuse_examples(shop, job);
        } catch (const InputError& error) {
            return error.diagnostics().front().id;
        }
        return std::string("none");
    };
    Shop shop;
    shop.name = "a shop";
    Job job;
    job.name = "a block";
    BOOST_TEST(id(shop, job) == "none");
    job.name = "EXAMPLE block";
    BOOST_TEST(id(shop, job) == "statement-example");
    job.name = "a block";
    shop.squares.push_back({"EXAMPLE square", 0.2, 0, 0, 0, 0, {}, {}, {}});
    BOOST_TEST(id(shop, job) == "statement-example");
}

BOOST_AUTO_TEST_SUITE_END()
