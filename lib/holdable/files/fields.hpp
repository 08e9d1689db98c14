// SPDX-License-Identifier: MIT
/// Fields that several kinds of files share: names, dates, evidence, places, ends of axes.
#pragma once

#include "holdable/base/date.hpp"
#include "holdable/files/reader.hpp"
#include "holdable/machine/kinematics.hpp"
#include "holdable/propagate/input.hpp"

#include <array>
#include <map>
#include <numbers>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace holdable {

/// A coordinate: no shop's machine is larger (m).
inline constexpr Range any_place = {.low = -100, .high = 100};

/// A length on machine, instrument or part (m).
inline constexpr Range some_length = {.low = 0, .high = 100, .low_open = true};

/// A height or a distance that may be nothing (m).
inline constexpr Range some_height = {.low = 0, .high = 100};

/// A limit of error or an uncertainty of a gauge (m).
inline constexpr Range some_gauge_error = {.low = 0, .high = 1e-3, .low_open = true};

/// A turn either way (rad).
inline constexpr Range some_turn = {.low = -2 * std::numbers::pi, .high = 2 * std::numbers::pi};

/// A flatness, a straightness, a resolution: never a millimetre (m).
inline constexpr Range some_form = {.low = 0, .high = 1e-3, .low_open = true};

/// A tolerance below it is asked about: "mm" for "µm"? (m)
inline constexpr double tight_tolerance = 0.5e-6;

/// As well as one above it (m).
inline constexpr double wide_tolerance = 2e-3;

/// Beyond so many times what the class has: rather a wrong unit than a bad machine.
inline constexpr double surely_wrong = 10;

/// Of a room, a part, a gauge: -10 … 60 °C (K)
inline constexpr Range room_temperature = {.low = 263.15, .high = 333.15};

/// Stops at a file whose key "holdable" does not say that kind: what else is wrong with it would be
/// every key it has. @throws InputError [file-format]
void expect_format(const Reader& file, std::string_view format);

/// Whether the file's key "units" says "inch"; without it, whether `sample` is written in inches.
bool read_inch(const Reader& file, const Reader& sample);

/// A text that is not empty [name-empty].
std::string read_name(const Reader& field);

/// The ids of things of one kind.
class Ids {
  public:
    /// The item's key "id" [name-empty], which no other has [id-twice].
    std::string take(const Reader& item);

  private:
    std::map<std::string, int> lines_; // of the first
};

/// A date [date-syntax].
std::optional<Date> read_date(const Reader& field);

/// A date that is past [date-future]; a day of grace, for the clocks of other zones.
std::optional<Date> read_past_date(const Reader& field, Date today);

/// A word for what a number rests on.
Evidence read_evidence(const Reader& field);

/// Two lengths in an array [field-kind].
std::array<double, 2> read_two(const Reader& field, const Range& range);

/// A number of percent, with its sign `%` [unit-wrong]. @return pure number
double read_percent(const Reader& field, const Range& range);

/// Does the work. @return whether nothing was found wrong by it
template <class Work>
bool sound(const Reader& reader, const Work& work) {
    const auto before = reader.faults();
    work();
    return reader.faults() == before;
}

/// The word of a key that decides which other keys the item has; none, and any keys pass, where it
/// is wrong or missing.
template <class T>
std::optional<T> read_kind(const Reader& item,
                           std::string_view key,
                           const std::vector<std::pair<std::string_view, T>>& words) {
    std::optional<T> kind;
    if (!sound(item, [&] { kind = item.at(key).word(words); }))
        kind.reset();
    if (!kind || item.node() == nullptr) {
        item.allow_other_keys();
        return std::nullopt;
    }
    return kind;
}

/// One of the two ends of an axis.
struct End {
    Axis axis = Axis::x;
    int sign = 1;
};

/// "+X", "-Y", with `suffix` behind: "+X face". Only ends of the axes named, as "XY".
End read_end(const Reader& field, std::string_view axes, std::string_view suffix = {});

/// A remark about a value, with its place.
std::string remark(const Reader& field, std::string_view text);

} // namespace holdable
