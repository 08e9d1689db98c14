// SPDX-License-Identifier: MIT
// General tolerances. Cells as printed (tests/reference/tolerance_tables.json, with provenance),
// cells from memory where the header says so, exact; that each table grows with size and from class
// to class, which one wrong cell mostly breaks; and that it refuses what has no value, saying why.
#include "holdable/standards/general_tolerances.hpp"

#include "holdable/base/error.hpp"
#include "reference.hpp"

#include <boost/test/unit_test.hpp>

#include <cmath>
#include <string>
#include <string_view>

using namespace holdable;
namespace tt = boost::test_tools;

namespace {

using Table = double (*)(double, char);

template <class Call>
Diagnostic refused(const Call& call) {
    try {
        call();
    } catch (const InputError& error) {
        return error.diagnostics().at(0);
    }
    BOOST_ERROR("accepted");
    return {};
}

void printed(const char* name, const char* size, Table table) {
    for (const auto& set : reference::sets("tolerance_tables", name))
        BOOST_TEST(table(set[size].get<double>() * 1e-3, set["class"].get<std::string>().at(0)) ==
                       set["expected"].get<double>() * 1e-3,
                   tt::tolerance(1e-12));
}

} // namespace

BOOST_AUTO_TEST_SUITE(general_tolerances)

BOOST_AUTO_TEST_CASE(printed_cells) {
    printed("general_length", "size_mm", general_length);
    printed("general_flatness", "length_mm", general_flatness);
    printed("general_perpendicularity", "length_mm", general_perpendicularity);
}

BOOST_AUTO_TEST_CASE(cells_from_memory) {
    // ISO 2768-1 and -2, from memory
    BOOST_TEST(general_edge(0.002, 'f') == 0.2e-3, tt::tolerance(1e-12));
    BOOST_TEST(general_edge(0.0061, 'v') == 2e-3, tt::tolerance(1e-12));
    BOOST_TEST(general_edge(0.2, 'm') == 1e-3, tt::tolerance(1e-12));
    const double degree = std::acos(-1) / 180;
    BOOST_TEST(general_angle(0.01, 'm') == degree, tt::tolerance(1e-12));
    BOOST_TEST(general_angle(0.05, 'c') == degree, tt::tolerance(1e-12));
    BOOST_TEST(general_angle(0.3, 'f') == degree / 6, tt::tolerance(1e-12));
    BOOST_TEST(general_angle(1, 'v') == degree / 3, tt::tolerance(1e-12));
    BOOST_TEST(general_symmetry(0.2, 'H') == 0.5e-3, tt::tolerance(1e-12));
    BOOST_TEST(general_symmetry(0.5, 'K') == 0.8e-3, tt::tolerance(1e-12));
    BOOST_TEST(general_symmetry(2, 'L') == 2e-3, tt::tolerance(1e-12));
    BOOST_TEST(general_run_out('H') == 0.1e-3, tt::tolerance(1e-12));
    BOOST_TEST(general_run_out('K') == 0.2e-3, tt::tolerance(1e-12));
    BOOST_TEST(general_run_out('L') == 0.5e-3, tt::tolerance(1e-12));
}

BOOST_AUTO_TEST_CASE(tables_grow) {
    const auto grows =
        [](Table table, std::string_view classes, double from, double to, double sign) {
            for (std::size_t c = 0; c < classes.size(); ++c)
                for (double size = from; size <= to; size *= 1.3) {
                    const double here = table(size, classes[c]);
                    if (size * 1.3 <= to)
                        BOOST_TEST(sign * table(size * 1.3, classes[c]) >= sign * here);
                    if (c > 0)
                        BOOST_TEST(here >= table(size, classes[c - 1]));
                    BOOST_TEST(here > 0);
                    BOOST_TEST(here < 0.06); // metres and radians
                }
        };
    grows(general_length, "fmcv", 0.0035, 2, 1);
    grows(general_edge, "fmcv", 0.0005, 1, 1);
    grows(general_angle, "fmcv", 0.001, 1, -1);
    grows(general_flatness, "HKL", 0.0001, 3, 1);
    grows(general_perpendicularity, "HKL", 0.0001, 3, 1);
    grows(general_symmetry, "HKL", 0.0001, 3, 1);
    // a limit belongs to the step below it, however it was computed
    BOOST_TEST(general_length(0.03 * (1 + 1e-12), 'm') == general_length(0.02, 'm'));
    BOOST_TEST(general_length(0.0301, 'm') > general_length(0.03, 'm'));
}

BOOST_AUTO_TEST_CASE(where_there_is_none) {
    const auto says = [](const Diagnostic& d, const char* why) {
        BOOST_TEST(d.id == "general-tolerance");
        BOOST_TEST(d.hint.find(why) != std::string::npos, d.hint);
    };
    says(refused([] { general_length(0.00049, 'm'); }), "begins at 0.5 mm");
    says(refused([] { general_edge(0.0004, 'm'); }), "begins at 0.5 mm");
    says(refused([] { general_length(-1, 'm'); }), "begins at 0.5 mm");
    says(refused([] { general_length(std::nan(""), 'm'); }), "begins at 0.5 mm");
    says(refused([] { general_length(4.001, 'm'); }), "ends at 4000 mm");
    says(refused([] { general_length(2.5, 'f'); }), "class f of ISO 2768 has no value here");
    says(refused([] { general_length(0.002, 'v'); }), "class v of ISO 2768 has no value here");
    says(refused([] { general_flatness(3.1, 'K'); }), "ends at 3000 mm");
    says(refused([] { general_perpendicularity(0, 'K'); }), "begins above 0");
    says(refused([] { general_angle(0, 'm'); }), "begins above 0");
    says(refused([] { general_length(0.01, 'H'); }), "\"f\", \"m\", \"c\", \"v\"");
    says(refused([] { general_flatness(0.01, 'm'); }), "\"H\", \"K\", \"L\"");
    says(refused([] { general_run_out('M'); }), "\"H\", \"K\", \"L\"");
    BOOST_TEST(general_length(0.0005, 'm') == 1e-4, tt::tolerance(1e-12));
}

BOOST_AUTO_TEST_CASE(text_of_the_classes) {
    const auto both = general_class("mK");
    BOOST_TEST(both.dimension == 'm');
    BOOST_TEST(both.geometry.value() == 'K');
    BOOST_TEST(general_class("v").dimension == 'v');
    BOOST_TEST(!general_class("v").geometry.has_value());
    for (const char* wrong : {"", "K", "km", "Km", "M", "mk", "mKE", "m K", "2768-mK", "x"}) {
        const auto d = refused([&] { general_class(wrong); });
        BOOST_TEST(d.id == "general-tolerance", wrong);
        BOOST_TEST(d.hint.find("mK") != std::string::npos);
    }
}

BOOST_AUTO_TEST_SUITE_END()
