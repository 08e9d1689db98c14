// SPDX-License-Identifier: MIT
// Gauging files: the example of docs/gauging.md and those of budgets/gauging/ against SI numbers
// typed by hand (1e-12 relative, roundings of a double), against the schema, and what is wrong with
// changed ones by its id. Every key of the schema stands on the page.
#include "holdable/files/read_gauging.hpp"

#include "files/schema.hpp"

#include <boost/test/unit_test.hpp>

#include <cmath>

using namespace holdable;
namespace tt = boost::test_tools;

namespace {

std::string page_example() {
    return examples("docs/gauging.md").front();
}

std::string said(const std::string& text) {
    return holdable::said<decide::Inspection>(
        text, [](const Node& root) { return read_gauging(root, "f"); });
}

void refused(const std::string& from, const std::string& to, const std::string& id) {
    const auto words = said(changed(page_example(), {{from, to}}));
    BOOST_TEST(words.find("[" + id + "]") != std::string::npos, words);
}

const std::string scatter =
    "\"scatter\": {\"readings\": \"0 1 -1 2 0 1 0 -1 1 0\", \"unit\": \"1 µm\"},";
const std::string operators =
    "\"operators\": {\"plus_minus\": \"1 µm\", \"evidence\": \"typical\"},";

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
    BOOST_REQUIRE(examples("docs/gauging.md").size() == 1U);
    const auto root = parse_document(page_example(), "f");
    BOOST_TEST(fits(root, "gauging"));
    const auto i = read_gauging(root, "f");
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
    for (const char* name : {"bore-yes", "shaft-marginal", "plate-no"})
        BOOST_TEST(fits(tree("budgets/gauging/" + std::string(name) + ".json"), "gauging"), name);
    const auto shaft = read_gauging(tree("budgets/gauging/shaft-marginal.json"), "f");
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
    refused(",\n      \"certificate\": {\"number\": \"invented 17\", \"U\": \"2 µm\", \"k\": 2}",
            "",
            "evidence-missing");
    refused("0 1 -1 2 0 1 0 -1 1 0", "1 1 1", "repeats-same");
    refused(operators, "", "key-missing");
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

BOOST_AUTO_TEST_CASE(every_key_stands_on_the_page) {
    const auto page = read_text(HOLDABLE_ROOT "/docs/gauging.md");
    std::vector<std::string> keys;
    keys_of(tree("docs/gauging.schema.json"), keys);
    BOOST_TEST(keys.size() > 30U);
    for (const auto& key : keys)
        BOOST_TEST(page.find('`' + key + '`') != std::string::npos, key);
}

BOOST_AUTO_TEST_SUITE_END()
