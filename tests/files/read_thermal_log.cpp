// SPDX-License-Identifier: MIT
// Logs of drift and warm-up in machine files: SI numbers by hand; the sign of each side; what is
// wrong, with its place. Tolerance 1e-12 relative: some roundings of a double. The wording of the
// diagnostics is recorded from the program after reading it.
#include "files/machine_text.hpp"

#include <boost/test/data/test_case.hpp>
#include <boost/test/unit_test.hpp>

#include <set>
#include <string>

using namespace holdable;
namespace tt = boost::test_tools;

namespace {

const std::string base = mill + R"(
  "instruments": [{"id": "I", "kind": "indicator", "resolution": "2 µm"}],
  "checks": [
    {"id": "D", "kind": "drift", "date": "2025-04-01", "every": "1 h", "room": "68 °F",
     "X": {"indicator": "I", "touches": "+X face", "pressed_reads": "plus", "unit": "µm",
           "readings": "0 2 4 3 5"},
     "Z": {"indicator": "I", "touches": "-Z face", "pressed_reads": "plus", "unit": "µm",
           "readings": "0 1 2 2 1"},
     "temperatures": ["20 °C", "21 °C", "22 °C", "22 °C", "21 °C"]},
    {"id": "W", "kind": "warm-up", "date": "2025-04-02", "speed": "3000 rev/min",
     "times": "0 5 10 20 30 60", "time_unit": "min",
     "Y": {"indicator": "I", "touches": "+Y face", "pressed_reads": "minus", "unit": "µm",
           "readings": "0 6 10 16 18 20"}}
  ]
}
)";

} // namespace

BOOST_AUTO_TEST_SUITE(reading_thermal_logs)

BOOST_AUTO_TEST_CASE(every_key) {
    const auto shop = read(base);
    const auto close = tt::tolerance(1e-12);
    BOOST_REQUIRE(shop.thermal_logs.size() == 2U);
    const auto& d = shop.thermal_logs[0];
    BOOST_TEST(d.name == "D");
    BOOST_TEST((d.date == parse_date("2025-04-01")));
    BOOST_TEST(!d.spindle_runs);
    BOOST_TEST((d.times == std::vector<double>{0, 3600, 7200, 10800, 14400}));
    BOOST_REQUIRE(d.traces.size() == 2U);
    BOOST_TEST((d.traces[0].axis == Axis::x));
    BOOST_TEST(d.traces[0].indicator == "I");
    BOOST_TEST(d.traces[0].readings[2] == 4e-6, close);
    BOOST_TEST(d.traces[1].readings[2] == -2e-6, close); // the other side
    BOOST_TEST(d.temperatures.size() == 5U);
    BOOST_TEST(d.temperatures[1] == 294.15, close);
    BOOST_TEST(shop.room_temperatures.at("D") == 293.15, close);
    const auto& w = shop.thermal_logs[1];
    BOOST_TEST(w.spindle_runs);
    BOOST_TEST(w.speed == 50, close);
    BOOST_TEST(w.times[3] == 1200, close);
    BOOST_TEST(w.traces[0].readings[5] == -20e-6, close); // pressed reads minus
    BOOST_TEST(shop.room_temperatures.count("W") == 0U);
    BOOST_TEST(shop.notes.empty());
}

namespace {

const Changed wrong[] = {
    {{{"\"every\": \"1 h\", ", ""}},
     "f:11:5: error: the key \"times\" is missing [key-missing]\n"
     "    at /checks/0\n"
     "    hint: or \"every\": the time from one reading to the next"},
    {{{"\"every\": \"1 h\"", "\"every\": \"1 h\", \"times\": \"0 1 2 3 4\""}},
     "f:11:5: error: \"every\" and \"times\" say the same thing twice [given-twice]\n"
     "    at /checks/0\n"
     "    hint: leave one out"},
    {{{"\"every\": \"1 h\"", "\"every\": \"1 mm\""}},
     "f:11:65: error: \"1 mm\" is not a time, as in \"20 min\" or \"8 h\" [unit-wrong]\n"
     "    at /checks/0/every"},
    {{{"\"every\": \"1 h\"", "\"every\": \"0 s\""}},
     "f:11:65: error: \"0 s\" is out of range: it must be more than 0 s and at most "
     "86400 s [value-range]\n"
     "    at /checks/0/every"},
    {{{"\"times\": \"0 5 10 20 30 60\"", "\"times\": \"0 5 5 20 30 60\""}},
     "f:18:15: error: time 3 is not after the one before it, or not within 30 days "
     "[times-order]\n"
     "    at /checks/1/times\n"
     "    hint: times run from the start of the log: 0, 10, 20 with \"time_unit\": \"min\""},
    {{{"\"times\": \"0 5 10 20 30 60\"", "\"times\": \"-5 0 5 20 30 60\""}},
     "f:18:15: error: time 1 is not after the one before it, or not within 30 days "
     "[times-order]\n"
     "    at /checks/1/times\n"
     "    hint: times run from the start of the log: 0, 10, 20 with \"time_unit\": \"min\""},
    {{{"\"times\": \"0 5 10 20 30 60\"", "\"times\": \"0 5 10 20 30 60000\""}},
     "f:18:15: error: time 6 is not after the one before it, or not within 30 days "
     "[times-order]\n"
     "    at /checks/1/times\n"
     "    hint: times run from the start of the log: 0, 10, 20 with \"time_unit\": \"min\""},
    {{{", \"time_unit\": \"min\"", ""}},
     "f:18:15: error: the times are numbers without a unit [unit-missing]\n"
     "    at /checks/1/times\n"
     "    hint: write \"time_unit\" beside them, as in \"min\""},
    {{{"\"times\": \"0 5 10 20 30 60\"", "\"times\": \"0 5 10 20 30\""}},
     "f:20:24: error: 6 readings for 5 times [readings-count]\n"
     "    at /checks/1/Y/readings\n"
     "    hint: every trace has a reading at every time"},
    {{{"\"0 2 4 3 5\"", "\"0 2 4 3\""}},
     "f:13:24: error: 4 readings for 5 times [readings-count]\n"
     "    at /checks/0/X/readings\n"
     "    hint: every trace has a reading at every time"},
    {{{"\"0 2 4 3 5\"", "\"0 2\""}},
     "f:13:24: error: 2 readings are no log [stations-few]\n"
     "    at /checks/0/X/readings\n"
     "    hint: log 3 times or more"},
    {{{"\"0 6 10 16 18 20\"", "\"0 6 10 16 18\""}},
     "f:20:24: error: 5 readings are no log [stations-few]\n"
     "    at /checks/1/Y/readings\n"
     "    hint: log 6 times or more"},
    {{{"\"0 2 4 3 5\"", "\"0 2 4000 3 5\""}},
     "f:13:24: error: the readings differ by 4 mm, more than 10 times the figure of "
     "the class \"entry vmc\" [readings-size]\n"
     "    at /checks/0/X/readings\n"
     "    hint: is the unit right (µm meant)? or does the class flatter the machine?"},
    {{{"\"speed\": \"3000 rev/min\",", ""}},
     "f:17:5: error: the key \"speed\" is missing [key-missing]\n"
     "    at /checks/1"},
    {{{"\"3000 rev/min\"", "\"3000 mm/min\""}},
     "f:17:67: error: \"3000 mm/min\" is not a rotation rate, as in \"3000 rev/min\" "
     "[unit-wrong]\n"
     "    at /checks/1/speed"},
    {{{"\"touches\": \"+X face\"", "\"touches\": \"+Y face\""}},
     "f:12:41: error: unknown word \"+Y face\" [word-unknown]\n"
     "    at /checks/0/X/touches\n"
     "    hint: did you mean \"+X face\"?"},
    {{{"\"X\": {\"indicator\": \"I\"", "\"A\": {\"indicator\": \"I\""},
      {"\"Z\": {\"indicator\": \"I\"", "\"B\": {\"indicator\": \"I\""}},
     "f:11:5: error: the key \"Z\" is missing [key-missing]\n"
     "    at /checks/0\n"
     "    hint: or \"X\" or \"Y\": along which axis it was read\n"
     "f:12:6: error: unknown key \"A\" [key-unknown]\n"
     "    at /checks/0/A\n"
     "    hint: known here: \"id\", \"kind\", \"room\", \"date\", \"X\", \"Y\", \"Z\", \"every\", "
     "\"times\", \"time_unit\", \"temperatures\"\n"
     "f:14:6: error: unknown key \"B\" [key-unknown]\n"
     "    at /checks/0/B\n"
     "    hint: known here: \"id\", \"kind\", \"room\", \"date\", \"X\", \"Y\", \"Z\", \"every\", "
     "\"times\", \"time_unit\", \"temperatures\""},
    {{{"\"21 °C\"]}", "\"21 °C\", \"20 °C\"]}"}},
     "f:16:22: error: 6 temperatures for 5 times [readings-count]\n"
     "    at /checks/0/temperatures\n"
     "    hint: the room is read with every reading, or not at all"},
    {{{"\"21 °C\"]}", "\"2 K\"]}"}},
     "f:16:59: error: \"2 K\" is not a temperature, as in \"20 °C\" or \"68 °F\" "
     "[unit-wrong]\n"
     "    at /checks/0/temperatures/4\n"
     "    hint: K and Δ°F are differences: write a temperature as \"20 °C\" or \"68 °F\""},
    {{{"\"room\": \"68 °F\"", "\"room\": \"680 °F\""}},
     "f:11:80: error: \"680 °F\" is out of range: it must be at least 14 °F and at most "
     "140 °F [value-range]\n"
     "    at /checks/0/room"},
    {{{"\"indicator\": \"I\", \"touches\": \"+Y face\"",
       "\"indicator\": \"J\", \"touches\": \"+Y face\""}},
     "f:19:25: error: no indicator among the instruments has the id \"J\" "
     "[instrument-unknown]\n"
     "    at /checks/1/Y/indicator"},
    {{{"\"date\": \"2025-04-01\"", "\"date\": \"2035-04-01\""}},
     "f:11:42: error: 2035-04-01 is yet to come [date-future]\n"
     "    at /checks/0/date\n"
     "    hint: today is 2025-05-01"},
};

} // namespace

BOOST_DATA_TEST_CASE(what_is_wrong_is_said, boost::unit_test::data::make(wrong)) {
    BOOST_TEST(said(changed(base, sample.changes)) == sample.expected);
}

BOOST_AUTO_TEST_CASE(an_indicator_reads_no_farther_than_its_range) {
    const auto with = [](const std::string& range) {
        return said(changed(base,
                            {{"\"resolution\": \"2 µm\"",
                              "\"resolution\": \"2 µm\", \"range\": \"" + range + "\""}}));
    };
    BOOST_TEST(with("20 µm") == "nothing"); // the warm-up goes just so far
    const Changed past[] = {
        {{},
         "f:20:24: error: the readings reach over 0.02 mm, and the indicator reads 0.019 mm from "
         "end to end [outside-range]\n"
         "    at /checks/1/Y/readings\n"
         "    hint: is the unit right? or it went once round: set it again and read in pieces"}};
    BOOST_TEST(with("0.019 mm") == past[0].expected);
    BOOST_TEST((ids_in(past) == std::set<std::string>{"outside-range"}));
    BOOST_TEST(with("3 µm").find("[value-range]") != std::string::npos);
}

BOOST_AUTO_TEST_CASE(every_mistake_has_its_id) {
    BOOST_TEST((ids_in(wrong) == std::set<std::string>{"date-future",
                                                       "given-twice",
                                                       "instrument-unknown",
                                                       "key-missing",
                                                       "key-unknown",
                                                       "readings-count",
                                                       "readings-size",
                                                       "stations-few",
                                                       "times-order",
                                                       "unit-missing",
                                                       "unit-wrong",
                                                       "value-range",
                                                       "word-unknown"}));
}

BOOST_AUTO_TEST_SUITE_END()
