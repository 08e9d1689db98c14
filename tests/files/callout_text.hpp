// SPDX-License-Identifier: MIT
/// Callouts of job files, put together from features and datums: what their tests share.
#pragma once

#include "files/shop_text.hpp"
#include "holdable/files/read_job.hpp"

#include <boost/test/unit_test.hpp>

#include <ostream>
#include <regex>
#include <set>
#include <string>
#include <utility>
#include <vector>

namespace holdable::callouts {

/// A job of one callout or more; the callouts begin in line 4.
inline std::string job_of(const std::string& callouts) {
    return R"({
  "holdable": "job/1", "name": "N", "material": "steel", "quantity": 5, "title_block": "ISO 2768-mK",
  "part": {"x": ["100 mm", "200 mm"], "y": ["50 mm", "150 mm"]}, "callouts": [
)" + callouts +
           "\n]}\n";
}

inline Job read(const std::string& callouts) {
    const auto text = job_of(callouts);
    try {
        return read_job(parse_document(text, "f"), "f");
    } catch (const InputError& error) {
        BOOST_FAIL(error.what() << " in\n" << text);
        throw;
    }
}

inline Callout only(const std::string& callout) {
    return read(callout).callouts.at(0);
}

inline std::string said_of(const std::string& callouts) {
    return holdable::said<Job>(job_of(callouts),
                               [](const Node& root) { return read_job(root, "f"); });
}

// Features and datums that the callouts below are put together from.
inline const std::string hole =
    R"("hole": {"place": ["150 mm", "100 mm"], "top": "60 mm", "depth": "40 mm",
   "gauge_length": "120 mm", "made_by": "boring"})";
inline const std::string milled_hole =
    R"("hole": {"place": ["150 mm", "100 mm"], "top": "60 mm", "depth": "40 mm",
   "gauge_length": "120 mm", "made_by": "interpolating", "diameter": "25 mm", "feed": "600 mm/min",
   "tool": {"diameter": "16 mm", "reach": "50 mm"}})";
inline const std::string boss =
    R"("boss": {"place": ["150 mm", "100 mm"], "top": "60 mm", "depth": "40 mm",
   "gauge_length": "120 mm", "made_by": "interpolating", "diameter": "1 in", "feed": "10 mm/s"})";
inline const std::string two_holes =
    R"("holes": {"places": [["120 mm", "60 mm"], ["150 mm", "100 mm"]], "top": "60 mm",
   "depth": "40 mm", "gauge_length": "120 mm", "made_by": "reaming"})";
inline const std::string circle =
    R"("holes": {"circle": {"centre": ["150 mm", "100 mm"], "diameter": "60 mm", "count": 3,
   "first": "90 deg"}, "top": "60 mm", "depth": "10 mm", "gauge_length": "120 mm",
   "made_by": "tapping"})";
inline const std::string face =
    R"("face": {"x": ["110 mm", "190 mm"], "y": ["60 mm", "140 mm"], "height": "60 mm",
   "gauge_length": "90 mm", "cutter": {"diameter": "50 mm", "step_over": "30 mm", "feed": "Y"}})";
inline const std::string wall =
    R"("wall": {"facing": "-X", "at": "100 mm", "from": "60 mm", "to": "140 mm", "top": "60 mm",
   "depth": "20 mm", "gauge_length": "110 mm", "cut": "full depth",
   "tool": {"diameter": "20 mm", "reach": "45 mm", "material": "steel"}})";
inline const std::string oblique =
    R"("wall": {"facing": "+Y", "between": [["110 mm", "60 mm"], ["140 mm", "100 mm"]],
   "top": "60 mm", "depth": "20 mm", "gauge_length": "110 mm", "cut": "in steps"})";
inline const std::string walls =
    R"("walls": [
   {"facing": "-X", "at": "100 mm", "from": "60 mm", "to": "140 mm", "top": "60 mm",
    "depth": "20 mm", "gauge_length": "110 mm", "cut": "full depth"},
   {"facing": "+X", "at": "180 mm", "from": "60 mm", "to": "140 mm", "top": "60 mm",
    "depth": "30 mm", "gauge_length": "115 mm", "cut": "in steps"}])";
inline const std::string slot =
    R"("slot": {"across": "Y", "middle": "100 mm", "from": "120 mm", "to": "170 mm",
   "top": "60 mm", "depth": "15 mm", "gauge_length": "110 mm", "cut": "full depth",
   "tool": {"diameter": "6 mm", "reach": "20 mm"}})";
inline const std::string rib =
    R"("rib": {"across": "X", "middle": "150 mm", "from": "60 mm", "to": "90 mm",
   "top": "60 mm", "depth": "15 mm", "gauge_length": "110 mm", "cut": "in steps"})";

inline const std::string on_face =
    R"("datum": {"name": "A", "kind": "face", "x": ["100 mm", "200 mm"],
   "y": ["50 mm", "150 mm"], "height": "40 mm", "gauge_length": "95 mm"})";
inline const std::string on_seat = R"("datum": {"name": "A", "kind": "seat"})";
inline const std::string on_touched =
    R"("datum": {"name": "A", "kind": "touched", "height": "35 mm",
   "gauge_length": "80 mm"})";
inline const std::string on_edges =
    R"("datum": {"name": "A|B|C", "kind": "picked up", "x": "100 mm", "y": "50 mm",
   "height": "55 mm", "gauge_length": "85 mm"})";
inline const std::string on_cut_edges =
    R"("datum": {"name": "A|B|C", "kind": "cut", "x": "2 in", "y": "50 mm",
   "height": "55 mm", "gauge_length": "85 mm"})";
inline const std::string on_wall =
    R"("datum": {"name": "B", "kind": "wall", "facing": "-Y", "at": "50 mm",
   "from": "110 mm", "to": "190 mm", "top": "60 mm", "depth": "25 mm", "gauge_length": "110 mm",
   "cut": "in steps"})";
inline const std::string on_bore =
    R"("datum": {"name": "D", "kind": "bore", "hole": {"place": ["150 mm", "100 mm"],
   "top": "70 mm", "depth": "30 mm", "gauge_length": "130 mm", "made_by": "reaming"}})";
inline const std::string turned_over =
    R"("datum": {"name": "D", "kind": "bore", "hole": {"place": ["150 mm", "100 mm"],
   "top": "70 mm", "depth": "30 mm", "gauge_length": "130 mm", "made_by": "reaming"},
   "turned_over": {"about": "Y", "thickness": "45 mm", "found_by": "the bore",
   "found_at": "44 mm"}})";
inline const std::string each_other = R"("datum": {"name": "pattern", "kind": "each other"})";

/// {"id": "a", "flatness": "0.02 mm", …}
inline std::string callout(const std::string& requirement,
                           const std::string& feature,
                           const std::string& datum = "",
                           const std::string& id = "a") {
    return "{\"id\": \"" + id + "\", " + requirement + ",\n  " + feature +
           (datum.empty() ? "" : ",\n  ") + datum + "}";
}

/// A callout put together from its parts, then changed, and what is said of it.
struct Wrong {
    std::string requirement, feature, datum;
    std::vector<std::pair<std::string, std::string>> changes;
    std::string expected;
};

inline std::ostream& operator<<(std::ostream& out, const Wrong& w) {
    out << w.requirement << "; " << w.feature << "; " << w.datum;
    for (const auto& [from, to] : w.changes)
        out << "; " << from << " -> " << to;
    return out;
}

/// The ids in what the cases expect.
template <std::size_t N>
std::set<std::string> ids_in(const Wrong (&cases)[N]) {
    std::set<std::string> ids;
    const std::regex pattern(R"( \[([a-z]+-[a-z0-9-]+)\](\n|$))");
    for (const auto& one : cases)
        for (std::sregex_iterator at(one.expected.begin(), one.expected.end(), pattern), end;
             at != end;
             ++at)
            ids.insert((*at)[1]);
    return ids;
}

inline std::string said_of(const Wrong& w) {
    return said_of(changed(callout(w.requirement, w.feature, w.datum), w.changes));
}

} // namespace holdable::callouts
