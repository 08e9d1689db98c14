// SPDX-License-Identifier: MIT
#include "holdable/base/words.hpp"
#include "holdable/files/read_checks.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <numbers>
#include <utility>

namespace holdable {
namespace {

constexpr Range half_circle = {.low = 0, .high = std::numbers::pi / 2, .low_open = true};
constexpr Range some_total = {.low = 0, .high = 5e-3};

class RunOutReader {
  public:
    explicit RunOutReader(CheckFields& fields) : fields_(fields) {}

    RunOutCheck read(const Reader& item, std::string name);

  private:
    static double total(const Reader& item);
    RunOutReading place(const Reader& item, double upper) const;
    void compare_seats(const Reader& field, const RunOutCheck& check);

    CheckFields& fields_;
};

/// The total indicator reading, from "total" or "plus_minus", of which one must stand there.
double RunOutReader::total(const Reader& item) {
    const auto total = item.find("total");
    const auto half = item.find("plus_minus");
    if (total && half)
        item.report(Diagnostic{"given-twice",
                               {},
                               "\"total\" and \"plus_minus\" say the same thing twice",
                               "leave one out"});
    if (total)
        return total->quantity(Measure::length, some_total);
    if (half)
        return 2 * half->quantity(Measure::length, some_total);
    return item
        .at("total", "or \"plus_minus\": how far the needle goes from end to end, or half of it")
        .quantity(Measure::length, some_total);
}

RunOutReading RunOutReader::place(const Reader& item, double upper) const {
    RunOutReading reading;
    reading.total = total(item);
    reading.high_at = item.at("high_at").quantity(Measure::angle, some_turn);
    fields_.check_range(item, {0, reading.total});
    if (reading.total > surely_wrong * upper)
        item.report(Diagnostic{
            "readings-size",
            {},
            fmt::format("a run-out of {:.3g} mm is more than {} times the figure of the class "
                        "\"{}\"",
                        reading.total * 1e3,
                        surely_wrong,
                        class_of(fields_.shop()).name),
            "is the unit right (µm meant)? or does the class flatter the machine?"});
    return reading;
}

void RunOutReader::compare_seats(const Reader& field, const RunOutCheck& check) {
    const auto n = check.seats.size();
    if (n < 3)
        fields_.notes().push_back(
            remark(field,
                   n == 1 ? "one seat tells nothing of how the next will sit: a typical spread is "
                            "taken; seat the bar five times"
                          : "two seats tell little of how the next will sit: take three or more"));
    if (check.planned)
        return;
    const auto same = [](const RunOutReading& a, const RunOutReading& b) {
        return a.total == b.total && a.high_at == b.high_at;
    };
    if (n > 1 && std::all_of(check.seats.begin(), check.seats.end(), [&](const RunOutSeat& seat) {
            return same(seat.nose, check.seats[0].nose);
        }))
        fields_.notes().push_back(remark(field,
                                         "all seats are the same: their spread hides behind the "
                                         "last digit, and is not taken as zero"));
}

RunOutCheck RunOutReader::read(const Reader& item, std::string name) {
    RunOutCheck check;
    check.name = std::move(name);
    const auto date = fields_.date(item);
    check.date = date.value_or(Date{});
    check.indicator =
        fields_.instrument(item.at("indicator"), fields_.shop().indicators, "indicator", date);
    if (const auto bar = item.find("bar"))
        check.bar_total = total(*bar);
    if (const auto doubt = item.find("angle_doubt"))
        check.angle_doubt = doubt->quantity(Measure::angle, half_circle);
    const auto field = item.at("seats");
    const auto seats = field.elements();
    check.planned = fields_.planned();
    const bool far = check.planned // the length then says that it will be read there
                         ? item.has("length")
                         : std::any_of(seats.begin(), seats.end(), [](const Reader& one) {
                               return one.has("at_length");
                           });
    const auto length = far ? std::optional(item.at("length")) : item.find("length");
    if (length)
        check.length = length->quantity(Measure::length, some_length);
    if (field.node() != nullptr && seats.empty())
        field.report(Diagnostic{"stations-few", {}, "the bar was not seated", ""});
    const auto& c = class_of(fields_.shop());
    const bool read = sound(item, [&] {
        for (const Reader& one : seats) {
            RunOutSeat seat;
            if (const auto turned = one.find("bar_turned"))
                seat.bar_turned = turned->quantity(Measure::angle, some_turn);
            if (const auto nose = fields_.readings(one, "nose"))
                seat.nose = place(*nose, c.runout_nose.high);
            if (far)
                seat.at_length = RunOutReading{};
            if (const auto end =
                    far || check.planned ? fields_.readings(one, "at_length") : std::nullopt)
                seat.at_length =
                    place(*end, c.runout_300_mm.high * std::max(1.0, check.length / 0.300));
            check.seats.push_back(seat);
        }
    });
    if (read && !seats.empty())
        compare_seats(field, check);
    return check;
}

} // namespace

RunOutCheck read_run_out_check(const Reader& item, std::string name, CheckFields& fields) {
    return RunOutReader(fields).read(item, std::move(name));
}

} // namespace holdable
