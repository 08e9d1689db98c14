// SPDX-License-Identifier: MIT
// Reading of quantities and units. Against exact definitions (1 in = 25.4 mm; SI Brochure, 9th
// ed.; NIST SP 811 App. B), typed here as arithmetic on the definitions and not taken from the
// table under test. Tolerance 4e-16 relative: two roundings of a double.
#include "holdable/base/quantity.hpp"

#include "holdable/base/error.hpp"

#include <boost/test/data/test_case.hpp>
#include <boost/test/unit_test.hpp>

#include <ostream>
#include <string>

using namespace holdable;
namespace data = boost::unit_test::data;
namespace tt = boost::test_tools;

namespace {

constexpr double pi = 3.14159265358979323846;

struct Accepted {
    Measure measure;
    std::string text;
    double si;
};

std::ostream& operator<<(std::ostream& out, const Accepted& a) {
    return out << a.text;
}

const Accepted accepted[] = {
    {Measure::length, "0.0002 in", 5.08e-6},
    {Measure::length, ".0002in", 5.08e-6},
    {Measure::length, "-3 thou", -7.62e-5},
    {Measure::length, "\u22123 thou", -7.62e-5},
    {Measure::length, "12 µm", 12e-6},
    {Measure::length, "12 \u03bcm", 12e-6},
    {Measure::length, "1.2e1 um", 12e-6},
    {Measure::length, "8 µin", 2.032e-7},
    {Measure::length, "2 ft", 0.6096},
    {Measure::length, "75 nm", 75e-9},
    {Measure::length, "3 pm", 3e-12},
    {Measure::length, "2 km", 2e3},
    {Measure::length, "0.0005 in", 0.0127e-3},
    {Measure::angle, "0.0005 in/ft", 0.0005 / 12},
    {Measure::angle, "0.0008 in/12in", 0.0008 / 12},
    {Measure::angle, "0.02 mm/300mm", 0.02 / 300},
    {Measure::angle, "0.02 mm / 300 mm", 0.02 / 300},
    {Measure::angle, "20 µm/m", 20e-6},
    {Measure::angle, "1 in/in", 1},
    {Measure::angle, "1 arcsec", pi / 180 / 3600},
    {Measure::angle, "1 arcmin", pi / 180 / 60},
    {Measure::angle, "90 °", pi / 2},
    {Measure::angle, "90 deg", pi / 2},
    {Measure::angle, "40 µrad", 40e-6},
    {Measure::number, "5 %", 0.05},
    {Measure::number, "12 ppm", 12e-6},
    {Measure::temperature, "20 °C", 293.15},
    {Measure::temperature, "68 °F", 293.15},
    {Measure::temperature, "68 degF", 293.15},
    {Measure::temperature, "-40 °F", 233.15},
    {Measure::temperature_difference, "2 K", 2},
    {Measure::temperature_difference, "3.6 Δ°F", 2},
    {Measure::expansion, "11.5 µm/m/K", 11.5e-6},
    {Measure::expansion, "11.5 ppm/K", 11.5e-6},
    {Measure::expansion, "11.5e-6 1/K", 11.5e-6},
    {Measure::expansion, "11.5e-6 1/°C", 11.5e-6},
    {Measure::expansion, "9 µin/in/°F", 9e-6 * 9 / 5},
    {Measure::time, "20 min", 1200},
    {Measure::mass, "1 lb", 0.45359237},
    {Measure::mass, "240 µg", 240e-9},
    {Measure::number, "1 GΩ/kΩ", 1e6},
    {Measure::number, "1 µΩ/mΩ", 1e-3},
    {Measure::number, "1 GHz/MHz", 1e3},
    {Measure::number, "1 µW/mW", 1e-3},
    {Measure::number, "1 MW/kW", 1e3},
    {Measure::number, "1 nA/µA", 1e-3},
    {Measure::number, "1 nV/µV", 1e-3},
    {Measure::force, "1 lbf", 0.45359237 * 9.80665},
    {Measure::stiffness, "20 N/µm", 20e6},
    {Measure::speed, "500 mm/min", 0.5 / 60},
    {Measure::rotation_rate, "3000 rev/min", 50},
    {Measure::rotation_rate, "3000 rpm", 50},
};

struct Refused {
    Measure measure;
    std::string text;
    std::string id;
    std::string says; ///< part of message or hint
};

std::ostream& operator<<(std::ostream& out, const Refused& r) {
    return out << r.text;
}

const Refused refused[] = {
    {Measure::length, "3 tenths", "unit-refused", "0.0001 in in one shop and 0.1 mm"},
    {Measure::length, "2 mil", "unit-refused", "0.001 in"},
    {Measure::length, "2 \"", "unit-refused", "inches and for seconds of arc"},
    {Measure::temperature, "20 C", "unit-refused", "degC"},
    {Measure::angle, "0.0005 in", "unit-wrong", "a slope needs its length"},
    {Measure::temperature_difference, "2 °C", "unit-wrong", "write a difference"},
    {Measure::temperature, "2 K", "unit-wrong", "write a temperature"},
    {Measure::length, "2 kg", "unit-wrong", "is not a length"},
    {Measure::angle, "2 kg", "unit-wrong", "is not an angle"},
    {Measure::length, "2 MM", "unit-unknown", "did you mean \"mm\"?"},
    {Measure::length, "2 furlong", "unit-unknown", "holdable units"},
    {Measure::length, "12", "unit-missing", "has no unit"},
    {Measure::length, "", "quantity-syntax", "number with a unit"},
    {Measure::length, "mm", "quantity-syntax", "number with a unit"},
    {Measure::length, "1,5 mm", "quantity-syntax", "comma"},
    {Measure::length, "1e400 mm", "quantity-syntax", "number with a unit"},
    {Measure::length, "nan mm", "quantity-syntax", "number with a unit"},
    {Measure::length, "1e308 GPa", "quantity-syntax", "out of range"},
    {Measure::temperature, "-300 °C", "quantity-syntax", "absolute zero"},
    {Measure::length, "1 mm^0", "unit-syntax", "exponents"},
    {Measure::length, "1 mm/", "unit-syntax", "a unit is missing"},
    {Measure::length, "1 mm/300", "unit-syntax", "needs its unit"},
    {Measure::length, "1 mm m", "unit-syntax", "between two units"},
    {Measure::angle, "1 mm/-3mm", "unit-syntax", "must be positive"},
};

} // namespace

BOOST_AUTO_TEST_SUITE(quantity)

BOOST_DATA_TEST_CASE(reads, data::make(accepted)) {
    BOOST_TEST(parse_as(sample.measure, sample.text) == sample.si, tt::tolerance(4e-16));
}

BOOST_DATA_TEST_CASE(refuses_and_says_why, data::make(refused)) {
    try {
        parse_as(sample.measure, sample.text);
        BOOST_ERROR("accepted");
    } catch (const InputError& error) {
        BOOST_TEST(error.diagnostics().at(0).id == sample.id);
        BOOST_TEST(std::string(error.what()).find(sample.says) != std::string::npos,
                   error.what() << " does not say: " << sample.says);
    }
}

BOOST_AUTO_TEST_CASE(every_spelling_of_the_table_is_read_as_its_row) {
    for (const auto& row : unit_table()) {
        std::string words(row.spellings);
        for (std::size_t start = 0; start < words.size();) {
            const auto end = std::min(words.find(' ', start), words.size());
            const auto word = words.substr(start, end - start);
            const auto unit = parse_unit(word);
            BOOST_TEST(unit.factor == row.factor, word);
            BOOST_TEST((unit.dimension == row.dimension), word);
            start = end + 1;
        }
    }
}

BOOST_AUTO_TEST_CASE(numbers_return_through_any_unit) {
    for (const auto* spelling : {"in", "°F", "arcsec", "µin/in/°F", "mm/300mm"}) {
        const auto unit = parse_unit(spelling);
        BOOST_TEST(in_unit(parse_quantity(std::string("37.25 ") + spelling).value, unit) == 37.25,
                   tt::tolerance(1e-14));
    }
}

BOOST_AUTO_TEST_SUITE_END()
