// SPDX-License-Identifier: MIT
// Worked examples of standards: each file of budgets/published/ is read and evaluated, and must
// come to what tests/reference/published.json says, to as many digits as stand there. Independent:
// the figures are printed in the standards; those from memory or recomputed say so there.
// Tolerance: half a unit of the last digit printed. Monte Carlo's figures (a million trials) have
// three of their own standard errors besides, and the `noise` of a printed figure that came from
// draws itself.
#include "holdable/answer/budget.hpp"
#include "holdable/files/document.hpp"
#include "holdable/files/read_budget.hpp"
#include "holdable/files/reader.hpp"
#include "holdable/files/text.hpp"

#include <boost/test/unit_test.hpp>

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <set>
#include <sstream>
#include <string>
#include <vector>

using namespace holdable;

namespace {

const std::string root = HOLDABLE_ROOT;

/// A result, and its standard error where it is drawn.
struct Found {
    double value = 0;
    double error = 0;
};

double end_of(const stats::Interval& interval, const std::string& end) {
    return end == "low" ? interval.low : end == "high" ? interval.high : interval.width();
}

Found gum_value(const propagate::GumOutput& out, const std::string& what, const std::string& end) {
    if (what == "standard")
        return {out.standard};
    if (what == "second_order_standard")
        return {out.second_order_standard.value()};
    if (what == "dof")
        return {out.dof.value()};
    if (what == "k")
        return {out.k};
    if (what == "expanded")
        return {out.expanded};
    BOOST_TEST_REQUIRE(what == "interval");
    return {end_of(out.interval, end)};
}

Found drawn_value(const propagate::MonteCarloOutput& out,
                  const std::string& what,
                  const std::string& end) {
    if (what == "value")
        return {out.value, out.value_error};
    if (what == "standard")
        return {out.standard.value(), out.standard_error.value()};
    if (what == "interval")
        return {end_of(out.interval, end), end_of(out.interval_error, end)};
    BOOST_TEST_REQUIRE(what == "shortest");
    return {end_of(out.shortest, end)};
}

/// The figure that a reference names, as "gum.interval.low".
Found figure(const BudgetAnswer& answer, const std::string& output, const std::string& name) {
    std::vector<std::string> path;
    std::istringstream words(name);
    for (std::string word; std::getline(words, word, '.');)
        path.push_back(word);
    path.resize(3);
    const auto place_of = [&](const std::string& wanted) {
        const auto& all = answer.gum.outputs;
        const auto at = std::find_if(
            all.begin(), all.end(), [&](const auto& one) { return one.name == wanted; });
        BOOST_TEST_REQUIRE((at != all.end()), wanted);
        return static_cast<std::size_t>(at - all.begin());
    };
    const auto k = place_of(output);
    const auto& gum = answer.gum.outputs[k];
    const auto& drawn = answer.monte_carlo->outputs[k];
    if (path[0] == "value")
        return {gum.value};
    if (path[0] == "gum")
        return gum_value(gum, path[1], path[2]);
    if (path[0] == "monte_carlo")
        return drawn_value(drawn, path[1], path[2]);
    if (path[0] == "correlation")
        return {answer.gum.correlation(static_cast<Eigen::Index>(k),
                                       static_cast<Eigen::Index>(place_of(path[1])))};
    if (path[0] == "joint")
        return {path[1] == "ellipsoid" ? answer.monte_carlo->ellipsoid_factor.value()
                                       : answer.monte_carlo->rectangle_factor.value()};
    if (path[0] == "agreement" && path[1] == "gum_valid") {
        BOOST_TEST(answer.agreement[k].certain);
        return {answer.agreement[k].gum_valid ? 1.0 : 0.0};
    }
    if (path[0] == "agreement")
        return {end_of(answer.agreement[k].difference, path[2]),
                end_of(drawn.interval_error, path[2])};
    BOOST_TEST_REQUIRE(path[0] == "contribution");
    for (const auto& line : gum.contributions)
        if (line.input == path[1])
            return {line.contribution};
    BOOST_FAIL(name << " is no figure");
    return {};
}

/// Half a unit of the last digit.
double half_digit(const std::string& printed) {
    const auto point = printed.find('.');
    const auto decimals = point == std::string::npos ? 0 : printed.size() - point - 1;
    return 0.5 * std::pow(10.0, -static_cast<double>(decimals));
}

void check_provenance(const Reader& item, const std::string& provenance) {
    BOOST_TEST((provenance == "text" || provenance == "memory" || provenance == "recomputed"));
    if (provenance == "recomputed" || item.has("noise"))
        BOOST_TEST(!item.at("why").string().empty());
}

void check_example(const Reader& example) {
    const auto file = example.at("file").string();
    const auto provenance = example.at("provenance").string();
    BOOST_TEST(!example.at("source").string().empty());
    BOOST_TEST(!example.at("clause").string().empty());
    const auto path = root + "/budgets/published/" + file;
    BudgetOptions options;
    options.run.trials = 1'000'000;
    if (const auto coverage = example.find("coverage"))
        options.coverage = coverage->number();
    const auto budget = read_budget(parse_document(read_text(path), path), path);
    BOOST_TEST(!budget.source.empty(), file);
    const auto answer = evaluate(budget, options);
    for (const Reader& item : example.at("expected").elements()) {
        const auto own = item.find("provenance");
        check_provenance(item, own ? own->string() : provenance);
        const auto printed = item.at("printed").string();
        const auto output = item.at("output").string();
        const auto name = item.at("quantity").string();
        const auto noise = item.find("noise");
        const auto found = figure(answer, output, name);
        const double allowed =
            half_digit(printed) * (1 + 1e-9) + (noise ? noise->number() : 0.0) + 3 * found.error;
        BOOST_TEST(std::abs(found.value - std::stod(printed)) <= allowed,
                   file << ": " << output << " " << name << " = " << found.value << ", printed "
                        << printed);
    }
}

} // namespace

BOOST_AUTO_TEST_SUITE(published_budgets)

BOOST_AUTO_TEST_CASE(each_comes_to_what_is_printed) {
    const auto path = root + "/tests/reference/published.json";
    const auto tree = parse_document(read_text(path), path);
    const Reader references(tree, path);
    std::set<std::string> named;
    for (const Reader& example : references.elements()) {
        named.insert(example.at("file").string());
        check_example(example);
        example.allow_other_keys();
    }
    references.finish();
    std::set<std::string> present;
    for (const auto& entry : std::filesystem::directory_iterator(root + "/budgets/published"))
        present.insert(entry.path().filename().string());
    BOOST_TEST(present == named, boost::test_tools::per_element());
    BOOST_TEST(present.size() > 25U);
}

BOOST_AUTO_TEST_SUITE_END()
