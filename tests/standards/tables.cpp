// SPDX-License-Identifier: MIT
// The tables of the trade: that every row is in SI and in order, that a few cells hold what the
// stated source says (ISO 3650 for gauge-block steel; the ranges of machine classes are common
// practice, no source), and that a name not known is refused with what could be meant. Exact.
#include "holdable/base/error.hpp"
#include "holdable/standards/expansion.hpp"
#include "holdable/standards/machine_class.hpp"
#include "holdable/standards/reference_gear.hpp"

#include <boost/test/unit_test.hpp>

#include <string>

using namespace holdable;
namespace tt = boost::test_tools;

BOOST_AUTO_TEST_SUITE(tables)

BOOST_AUTO_TEST_CASE(classes_run_from_coarse_to_fine) {
    const auto all = machine_classes();
    BOOST_TEST(all.size() == 5U);
    for (std::size_t i = 0; i < all.size(); ++i) {
        for (const auto member : {&MachineClass::squareness,
                                  &MachineClass::straightness,
                                  &MachineClass::angular,
                                  &MachineClass::lead_per_300_mm,
                                  &MachineClass::runout_nose,
                                  &MachineClass::runout_300_mm,
                                  &MachineClass::table_flatness,
                                  &MachineClass::rocking,
                                  &MachineClass::reversal,
                                  &MachineClass::repeatability,
                                  &MachineClass::tram,
                                  &MachineClass::spindle_growth,
                                  &MachineClass::drift_8_h}) {
            const auto range = all[i].*member;
            BOOST_TEST(range.low > 0, all[i].name);
            BOOST_TEST(range.low <= range.high, all[i].name);
            BOOST_TEST(range.high < 1e-3, all[i].name); // metres and radians, not µm and µrad
            if (i >= 2)                                 // the two hand machines overlap
                BOOST_TEST(range.high < (all[i - 1].*member).high, all[i].name);
        }
    }
}

BOOST_AUTO_TEST_CASE(a_class_is_found_by_name) {
    BOOST_TEST(machine_class("entry vmc").squareness.high == 60e-6, tt::tolerance(1e-15));
    BOOST_TEST(machine_class("good vmc").straightness.low == 2e-6, tt::tolerance(1e-15));
}

BOOST_AUTO_TEST_CASE(an_unknown_class_names_all) {
    try {
        machine_class("toy");
        BOOST_ERROR("accepted");
    } catch (const InputError& error) {
        BOOST_TEST(error.diagnostics().at(0).id == "class-unknown");
        for (const auto& c : machine_classes())
            BOOST_TEST(error.diagnostics()[0].hint.find(c.name) != std::string::npos);
    }
}

BOOST_AUTO_TEST_CASE(gauge_blocks_expand_as_iso_3650_says) {
    BOOST_TEST(expansion_of("gauge-block steel").coefficient == 11.5e-6); // ISO 3650, from memory
    BOOST_TEST(expansion_of("gauge-block steel").half_width == 1.0e-6);   // ISO 3650, from memory
    for (const auto& row : expansions()) {
        BOOST_TEST(row.coefficient < 30e-6, row.material);
        BOOST_TEST(row.half_width < row.coefficient, row.material);
        BOOST_TEST(expansion_of(row.material).coefficient == row.coefficient, row.material);
    }
}

BOOST_AUTO_TEST_CASE(stainless_alone_is_refused_with_its_kinds) {
    for (const auto* name : {"stainless", "stainless 303", "wood", ""}) {
        try {
            expansion_of(name);
            BOOST_ERROR("accepted");
        } catch (const InputError& error) {
            const auto& d = error.diagnostics().at(0);
            BOOST_TEST(d.id == "material-unknown");
            BOOST_TEST(d.hint.find("stainless 304") != std::string::npos, d.hint);
        }
    }
}

BOOST_AUTO_TEST_CASE(a_square_of_200_mm_by_its_grade) {
    // DIN 875, limits from memory: 4, 9, 20, 40 µm at 200 mm
    BOOST_TEST(square_grade_limit("00", 0.2) == 4e-6, tt::tolerance(1e-12));
    BOOST_TEST(square_grade_limit("0", 0.2) == 9e-6, tt::tolerance(1e-12));
    BOOST_TEST(square_grade_limit("1", 0.2) == 20e-6, tt::tolerance(1e-12));
    BOOST_TEST(square_grade_limit("2", 0.2) == 40e-6, tt::tolerance(1e-12));
    for (const auto& [grade, length] : {std::pair{"3", 0.2}, {"0", 0.005}, {"0", 2.0}, {"", 0.2}}) {
        try {
            square_grade_limit(grade, length);
            BOOST_ERROR("accepted");
        } catch (const InputError& error) {
            BOOST_TEST(error.diagnostics().at(0).id == "grade-unknown");
        }
    }
}

BOOST_AUTO_TEST_SUITE_END()
