// SPDX-License-Identifier: MIT
#include "holdable/base/words.hpp"
#include "holdable/files/read_checks.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <utility>

namespace holdable {
namespace {

class StraightnessReader {
  public:
    StraightnessReader(CheckFields& fields, Reader item)
        : fields_(fields), item_(std::move(item)) {}

    StraightnessCheck read(std::string name);

  private:
    void place_on_edge();
    StraightnessSetting setting(const Reader& item);

    CheckFields& fields_;
    Reader item_;
    StraightnessCheck check_;
};

/// Where the straightedge lies, and that all stations are on it.
void StraightnessReader::place_on_edge() {
    const auto end = item_.at("marked_end");
    if (!sound(item_, [&] { check_.marked_end = end.quantity(Measure::length, any_place); }) ||
        end.node() == nullptr || check_.stations.empty())
        return;
    double length = 0;
    for (const auto& edge : fields_.shop().straightedges)
        if (edge.name == check_.straightedge)
            length = edge.length;
    const auto [low, high] = std::minmax_element(check_.stations.begin(), check_.stations.end());
    const bool before = *low > check_.marked_end - touching;
    const bool behind = *high < check_.marked_end + touching;
    const double far =
        std::max(std::abs(*low - check_.marked_end), std::abs(*high - check_.marked_end));
    if (!before && !behind)
        end.report(Diagnostic{"outside-straightedge",
                              {},
                              "the marked end lies between the stations",
                              "it is where the moving axis has the tip over that end"});
    else if (length > 0 && far > length + touching)
        end.report(Diagnostic{"outside-straightedge",
                              {},
                              fmt::format("the stations reach beyond the straightedge {}",
                                          in_quotes(check_.straightedge)),
                              "its \"length\" counts from the marked end"});
}

StraightnessSetting StraightnessReader::setting(const Reader& item) {
    StraightnessSetting setting;
    auto touched = fields_.touch({item, item_});
    const auto face =
        read_end(item.at("touches"), std::string(1, letter(check_.direction)), " face");
    setting.faces_plus = face.sign > 0;
    touched.sign *= face.sign;
    const auto field =
        fields_.run(item,
                    touched,
                    item_.at("stations"),
                    "stations",
                    {setting.readings, setting.spread, setting.repeats, setting.closing});
    const auto& at = check_.stations;
    const auto& r = setting.readings;
    if (!field || r.size() != at.size() || r.size() < 3 || at.back() == at.front())
        return setting;
    double off = 0; // from the line through first and last: how it was laid down is not the error
    for (std::size_t i = 0; i < r.size(); ++i) {
        const double share = (at[i] - at.front()) / (at.back() - at.front());
        off = std::max(off, std::abs(r[i] - (1 - share) * r.front() - share * r.back()));
    }
    const double run = std::abs(at.back() - at.front());
    fields_.check_size(*field, off / run, class_of(fields_.shop()).straightness.high / run);
    fields_.check_trace(*field, r);
    return setting;
}

StraightnessCheck StraightnessReader::read(std::string name) {
    check_.name = std::move(name);
    const auto date = fields_.date(item_);
    check_.date = date.value_or(Date{});
    check_.straightedge = fields_.instrument(
        item_.at("straightedge"), fields_.shop().straightedges, "straightedge", date);
    check_.indicator =
        fields_.instrument(item_.at("indicator"), fields_.shop().indicators, "indicator", date);
    const bool known = sound(item_, [&] {
        const std::vector<std::pair<std::string_view, Axis>> axes = {
            {"X", Axis::x}, {"Y", Axis::y}, {"Z", Axis::z}};
        check_.axis = item_.at("axis").word(axes);
        check_.direction = item_.at("direction").word(axes);
    });
    if (known && check_.axis == check_.direction)
        item_.at("direction")
            .report(Diagnostic{"direction-own",
                               {},
                               "how far an axis goes along itself is its positioning",
                               "straightness is read across the moving axis"});
    check_.gauge_length = item_.at("gauge_length").quantity(Measure::length, some_length);
    if (const auto sag = item_.find("sag"))
        check_.sag = sag->quantity(Measure::length, some_form);
    check_.place = fields_.place(item_, check_.axis);
    check_.stations = fields_.stations(item_, check_.axis);
    place_on_edge();
    for (const auto* of_runs : {"unit", "pressed_reads"}) // read where the readings are
        (void)item_.find(of_runs);
    const auto settings = item_.at("settings");
    if (settings.node() != nullptr && settings.elements().empty())
        settings.report(
            Diagnostic{"stations-few", {}, "there is no setting of the straightedge", ""});
    for (const Reader& one : settings.elements())
        check_.settings.push_back(setting(one));
    return check_;
}

} // namespace

StraightnessCheck
read_straightness_check(const Reader& item, std::string name, CheckFields& fields) {
    return StraightnessReader(fields, item).read(std::move(name));
}

} // namespace holdable
