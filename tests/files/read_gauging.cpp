// SPDX-License-Identifier: MIT
// Gauging files: the example of docs/gauging.md and those of budgets/gauging/ against SI numbers
// typed by hand (1e-12 relative, roundings of a double), against the schema, and what is wrong with
// changed ones by its id. Every key of the schema stands on the page.
#include "holdable/files/read_gauging.hpp"

#include "files/schema.hpp"

#include <boost/test/unit_test.hpp>

#include <cmath>
#include <filesystem>

using namespace holdable;
namespace tt = boost::test_tools;

namespace {

std::string page_example() {
    return examples("docs/gauging.md").front();
}

const Date day = parse_date("2025-05-01");

decide::Inspection inspection(const Node& root) {
    return std::get<decide::Inspection>(read_gauging(root, "f", day));
}

std::string said(const std::string& text) {
    return holdable::said<decide::Inspection>(text, inspection);
}

void refused(const std::string& from, const std::string& to, const std::string& id) {
    const auto words = said(changed(page_example(), {{from, to}}));
    BOOST_TEST(words.find("[" + id + "]") != std::string::npos, words);
}

const std::string scatter =
    "\"scatter\": {\"readings\": \"0 1 -1 2 0 1 0 -1 1 0\", \"unit\": \"1 µm\"},";
const std::string operators =
    "\"operators\": {\"plus_minus\": \"1 µm\", \"evidence\": \"typical\"},";

const std::string title = "\"title\": \"bearing seat (invented)\", ";

/// The key of a study of the gauge's error, R standing for a certificate.
std::string with_reference(std::string key) {
    for (auto at = key.find(" R"); at != std::string::npos; at = key.find(" R"))
        key.replace(at, 2, R"( {"number": "n", "U": "0.4 µm", "k": 2, "due": "2025-04-30"})");
    return "\"repeats\": 3, " + key + ",";
}

void found_refused(const std::string& key, const std::string& id) {
    refused("\"repeats\": 3,", with_reference(key), id);
}

void study_refused(const std::string& readings, const std::string& id) {
    const auto words = said(changed(
        page_example(),
        {{scatter, ""},
         {operators,
          R"("study": {"kind": "crossed", "unit": "µm", "readings": )" + readings + "},"}}));
    BOOST_TEST(words.find("[" + id + "]") != std::string::npos, words);
}

} // namespace

BOOST_AUTO_TEST_SUITE(reading_gaugings)

BOOST_AUTO_TEST_CASE(the_example_of_the_page) {
    BOOST_REQUIRE(examples("docs/gauging.md").size() == 2U); // the other is of a planned check
    const auto root = parse_document(page_example(), "f");
    BOOST_TEST(fits(root, "gauging"));
    const auto i = inspection(root);
    BOOST_TEST(i.title == "bearing seat (invented)");
    BOOST_TEST(i.characteristic == "diameter of the bore");
    BOOST_TEST(i.nominal == 0.04, tt::tolerance(1e-12));
    BOOST_TEST(i.lower.value() == 0.04, tt::tolerance(1e-12));
    BOOST_TEST(i.upper == 0.040025, tt::tolerance(1e-12));
    BOOST_TEST(i.instrument == "two-point bore gauge");
    BOOST_TEST(i.resolution == 1e-6, tt::tolerance(1e-12));
    BOOST_TEST(i.certificate.value().standard == 1e-6, tt::tolerance(1e-12));
    BOOST_TEST(!i.max_error.has_value());
    BOOST_TEST(i.master == "setting ring");
    BOOST_TEST(i.master_doubt.standard == 0.5e-6, tt::tolerance(1e-12));
    BOOST_TEST(i.repeats == 3);
    BOOST_TEST(i.scatter.standard == std::sqrt(8.1 / 9) * 1e-6, tt::tolerance(1e-12));
    BOOST_TEST(i.scatter.dof.value() == 9.0);
    BOOST_TEST(i.operators.standard == 1e-6 / std::sqrt(3.0), tt::tolerance(1e-12));
    BOOST_TEST((i.operators.evidence == Evidence::typical));
    BOOST_TEST(i.part.temperature == 293.65, tt::tolerance(1e-12));
    BOOST_TEST(i.gauge.expansion == 11.7e-6, tt::tolerance(1e-12));
    BOOST_TEST(i.temperature_limit == 0.5, tt::tolerance(1e-12));
    BOOST_TEST(!i.corrected);
    BOOST_TEST(i.process_scatter.value() == 4e-6, tt::tolerance(1e-12));
    BOOST_TEST(!i.inch);
    BOOST_TEST(i.notes.empty());
}

BOOST_AUTO_TEST_CASE(the_demonstrations) {
    int files = 0;
    for (const auto& file : std::filesystem::directory_iterator(HOLDABLE_ROOT "/budgets/gauging")) {
        const auto name = file.path().filename().string();
        BOOST_TEST(fits(tree("budgets/gauging/" + name), "gauging"), name);
        ++files;
    }
    BOOST_TEST(files > 0);
    const auto shaft = inspection(tree("budgets/gauging/shaft-marginal.json"));
    BOOST_REQUIRE(shaft.study.has_value());
    BOOST_TEST(shaft.inch);
    BOOST_TEST(shaft.scatter.standard == std::sqrt(shaft.study->repeatability.variance));
    BOOST_TEST(shaft.operators.standard == std::sqrt(shaft.study->reproducibility.variance));
    BOOST_TEST(shaft.max_error.value() == 2.54e-6, tt::tolerance(1e-12));
}

BOOST_AUTO_TEST_CASE(what_is_wrong) {
    refused("40.025 mm", "39.9 mm", "limits-order");
    refused("\"nominal\"", "\"zone\": \"5 µm\", \"nominal\"", "given-twice");
    refused("\"U\": \"2 µm\", \"k\": 2", "\"U\": \"2 µm\"", "certificate-k");
    refused("0 1 -1 2 0 1 0 -1 1 0", "1 1 1", "repeats-same");
    refused(operators, "", "key-missing");
    refused("\"inspection\"", "\"show\": {}, \"inspection\"", "given-twice");
    refused("\"inspection\": {", "\"inspections\": {", "key-unknown");
    refused(title, title + "\"rule\": {\"name\": \"r\"},", "key-missing");
    refused(title,
            title + R"("rule": {"name": "r", "guard_band": "1 µm", "guard_band_in_U": 1},)",
            "given-twice");
    refused(title, title + R"("rule": {"name": "", "guard_band": "1 µm"},)", "name-empty");
    refused(title, title + R"("rule": {"name": "r", "guard_band": "1 µm/m"},)", "unit-wrong");
    refused(title, title + R"("rule": {"name": "r", "guard_band_in_U": -1},)", "value-range");
    refused(title, title + R"("critical": "yes",)", "field-kind");
    refused(title, title + R"("date": "today",)", "date-syntax");
    found_refused(R"("bias": {"readings": "1", "unit": "µm", "reference": R})", "repeats-few");
    found_refused(R"("bias": {"readings": "1 1 1", "unit": "µm", "reference": R})", "repeats-same");
    found_refused(R"("bias": {"readings": "1 2 1", "reference": R})", "unit-missing");
    found_refused(R"("bias": {"readings": "1 2 1", "unit": "µm"})", "key-missing");
    found_refused(R"("linearity": {"sizes": ["1 mm"], "readings": [[1], [2]], "unit": "µm",
                     "reference": R})",
                  "readings-count");
    found_refused(R"("linearity": {"sizes": ["1 mm", "2 mm"], "readings": [[1], [2]], "unit": "µm",
                     "reference": R})",
                  "study-shape");
    found_refused(R"("linearity": {"sizes": ["1 mm"], "readings": [[1]], "unit": "µm",
                     "reference": R}, "bias": {"readings": "1 2", "unit": "µm", "reference": R})",
                  "given-twice");
    refused("\"steel\"", "\"stainless\"", "material-unknown");
    refused("\"0.5 K\"", "\"0.5 mm\"", "unit-wrong");
    refused("\"repeats\"", "\"repeat\"", "key-unknown");
    refused("gauging/1", "job/1", "file-format");
    refused(
        operators,
        operators +
            R"("study": {"kind": "nested", "unit": "µm", "readings": [[[1,2],[3,4]],[[1,2],[3,5]]]},)",
        "given-twice");
    study_refused("[[[1, 2], [3, 4]], [[1, 2], [3]]]", "study-shape");
    study_refused("[[[1, 2], [3, 4]]]", "study-shape");
    study_refused("[[[1, 1], [3, 3]], [[2, 2], [4, 4]]]", "repeats-same");
}

BOOST_AUTO_TEST_CASE(what_references_showed) {
    // 1, 2, 3 µm: mean 2, s 1, over √3; the certificate of the reference ran out the day before.
    const auto biased = changed(
        page_example(),
        {{"\"repeats\": 3,",
          with_reference(R"("bias": {"readings": "1 2 3", "unit": "µm", "reference": R})")}});
    const auto i = inspection(parse_document(biased, "f"));
    BOOST_REQUIRE(i.found.has_value());
    BOOST_TEST(i.found->value == 2e-6, tt::tolerance(1e-12));
    BOOST_TEST(i.found->doubt.standard == 1e-6 / std::sqrt(3.0), tt::tolerance(1e-12));
    BOOST_TEST(i.found->doubt.dof.value() == 2.0);
    BOOST_TEST(i.found->reference.standard == 0.2e-6, tt::tolerance(1e-12));
    BOOST_TEST(!i.found->corrected);
    BOOST_TEST(said(biased).find("certificate \"n\" of the reference ran out on 2025-04-30") !=
                   std::string::npos,
               said(biased));
    // Errors 1, 3, 2 µm at 30, 40, 50 mm: the line is 2 µm at its middle, 40 mm, with slope 0.5 µm
    // over 10 mm; residuals -0.5, 1, -0.5 µm, one degree of freedom, s² = 1.5 µm², s/√3 there.
    const auto line = inspection(parse_document(
        changed(page_example(),
                {{"\"repeats\": 3,",
                  with_reference(R"("linearity": {"sizes": ["30 mm", "40 mm", "50 mm"],
                     "readings": [[1], [3], [2]], "unit": "µm", "reference": R,
                     "corrected": true})")}}),
        "f"));
    BOOST_REQUIRE(line.found.has_value());
    BOOST_TEST(line.found->value == 2e-6, tt::tolerance(1e-9));
    BOOST_TEST(line.found->linearity.value().slope == 0.5e-4, tt::tolerance(1e-9));
    BOOST_TEST(line.found->doubt.standard == std::sqrt(1.5 / 3) * 1e-6, tt::tolerance(1e-9));
    BOOST_TEST(line.found->doubt.dof.value() == 1.0, tt::tolerance(1e-9));
    BOOST_TEST(line.found->corrected);
}

BOOST_AUTO_TEST_CASE(rules_and_days) {
    auto text = changed(
        page_example(),
        {{title, title + R"("critical": true, "rule": {"name": "7.2", "guard_band_in_U": 0.5},)"}});
    auto i = inspection(parse_document(text, "f"));
    BOOST_TEST(i.critical);
    BOOST_TEST(i.rule.value().name == "7.2");
    BOOST_TEST(i.rule->of_expanded == 0.5);
    text = changed(page_example(),
                   {{title, title + R"("rule": {"name": "r", "guard_band": "2 µm"},)"}});
    i = inspection(parse_document(text, "f"));
    BOOST_TEST(i.rule.value().band.value() == 2e-6, tt::tolerance(1e-12));
    BOOST_TEST(!i.critical);
    // A certificate is good on its last day, and by the day of the file where that says one.
    const auto due =
        changed(page_example(), {{"\"U\": \"2 µm\"", R"("due": "2025-05-01", "U": "2 µm")"}});
    BOOST_TEST(said(due) == "nothing");
    const auto later = changed(due, {{title, title + R"("date": "2025-05-02",)"}});
    BOOST_TEST(said(later).find("of the two-point bore gauge ran out on 2025-05-01") !=
                   std::string::npos,
               said(later));
}

BOOST_AUTO_TEST_CASE(every_key_stands_on_the_page) {
    const auto page = read_text(HOLDABLE_ROOT "/docs/gauging.md");
    std::vector<std::string> keys;
    keys_of(tree("docs/gauging.schema.json"), keys);
    BOOST_TEST(keys.size() > 30U);
    for (const auto& key : keys)
        BOOST_TEST(page.find('`' + key + '`') != std::string::npos, key);
}

BOOST_AUTO_TEST_SUITE_END()
