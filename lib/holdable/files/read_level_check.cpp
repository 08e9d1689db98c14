// SPDX-License-Identifier: MIT
#include "holdable/base/words.hpp"
#include "holdable/files/read_checks.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

namespace holdable {
namespace {

class LevelReader {
  public:
    explicit LevelReader(CheckFields& fields) : fields_(fields) {}

    LevelCheck read(const Reader& item, std::string name);

  private:
    /// All that one level read. @param level its id @param prefix of the keys, "" or "head_"
    void run(const Reader& item,
             const std::string& level,
             const std::string& prefix,
             const std::vector<double>& at,
             std::vector<double>& readings,
             std::vector<double>& spread,
             std::vector<int>& repeats,
             std::optional<double>& closing);
    void turned(const Reader& item, LevelCheck& check) const;

    CheckFields& fields_;
    int sign_ = 1; ///< of the check being read: slope = sign · reading
};

void LevelReader::run(const Reader& item,
                      const std::string& level,
                      const std::string& prefix,
                      const std::vector<double>& at,
                      std::vector<double>& readings,
                      std::vector<double>& spread,
                      std::vector<int>& repeats,
                      std::optional<double>& closing) {
    const auto unit = read_unit(item.find("unit"), Measure::angle, fields_.division_of(level));
    const auto field = fields_.run(item,
                                   {unit, static_cast<double>(sign_)},
                                   item.at("stations"),
                                   "stations",
                                   {readings, spread, repeats, closing},
                                   prefix);
    if (field && at.size() == readings.size()) {
        const auto [least, most] = std::minmax_element(readings.begin(), readings.end());
        fields_.check_size(*field, *most - *least, class_of(fields_.shop()).angular.high);
        fields_.check_trace(*field, readings);
    }
}

void LevelReader::turned(const Reader& item, LevelCheck& check) const {
    const auto field = item.find("turned");
    if (!field)
        return;
    LevelTurned turned;
    const auto station = field->at("station");
    const bool good =
        sound(item, [&] { turned.at = station.quantity(Measure::length, any_place); });
    const auto unit =
        read_unit(item.find("unit"), Measure::angle, fields_.division_of(check.level));
    if (const auto reading = fields_.readings(*field, "reading"))
        turned.reading = sign_ * read_single_reading(*reading, unit);
    if (good && station.node() != nullptr && !check.stations.empty() &&
        std::none_of(check.stations.begin(), check.stations.end(), [&](double one) {
            return std::abs(one - turned.at) < touching;
        }))
        station.report(Diagnostic{"turned-elsewhere",
                                  {},
                                  "the level is turned where it was not read before",
                                  "turn it end for end at one of the stations"});
    check.turned = turned;
}

LevelCheck LevelReader::read(const Reader& item, std::string name) {
    LevelCheck check;
    check.name = std::move(name);
    const auto date = fields_.date(item);
    check.date = date.value_or(Date{});
    check.level = fields_.instrument(item.at("level"), fields_.shop().levels, "level", date);
    const auto rides = item.at("rides");
    const bool known = sound(item, [&] {
        check.rides = rides.word<LevelRides>(
            {{"table", LevelRides::table}, {"head", LevelRides::head}, {"both", LevelRides::both}});
        check.axis = item.at("axis").word<Axis>({{"X", Axis::x}, {"Y", Axis::y}, {"Z", Axis::z}});
    });
    if (known && rides.node() != nullptr)
        if (auto still = level_stands_still(fields_.shop(), check.axis, check.rides);
            !still.empty())
            rides.report(Diagnostic{"level-still",
                                    {},
                                    std::move(still),
                                    "lay it on what moves, or one on each: \"rides\": \"both\"; "
                                    "\"ground\" says what stands still"});
    check.points = item.at("points").word<Axis>({{"X", Axis::x}, {"Y", Axis::y}});
    sign_ = read_end(item.at("plus_when_high"), check.points == Axis::x ? "X" : "Y", " end").sign;
    check.place = fields_.place(item, check.axis);
    check.stations = fields_.stations(item, check.axis);
    run(item,
        check.level,
        "",
        check.stations,
        check.readings,
        check.spread,
        check.repeats,
        check.closing);
    if (check.rides != LevelRides::both) {
        turned(item, check);
        return check;
    }
    const auto head = item.at("head_level");
    check.head_level = fields_.instrument(head, fields_.shop().levels, "level", date);
    if (!check.level.empty() && check.head_level == check.level)
        head.report(Diagnostic{"level-twice",
                               {},
                               in_quotes(check.level) + " cannot lie on table and head at once",
                               "two levels are read together; give the other an id of its own"});
    run(item,
        check.head_level,
        "head_",
        check.stations,
        check.head_readings,
        check.head_spread,
        check.head_repeats,
        check.head_closing);
    if (check.closing.has_value() != check.head_closing.has_value())
        item.at(check.closing ? "head_readings" : "readings")
            .report(Diagnostic{"closing-one",
                               {},
                               "one of the two levels was read again at the end, the other not",
                               "read both again: \"closing\" and \"head_closing\""});
    return check;
}

} // namespace

LevelCheck read_level_check(const Reader& item, std::string name, CheckFields& fields) {
    return LevelReader(fields).read(item, std::move(name));
}

} // namespace holdable
