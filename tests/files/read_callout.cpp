// SPDX-License-Identifier: MIT
// Callouts of job files: each requirement, feature and datum against SI numbers typed by hand; cut
// and scrambled files, which must be read or refused. What is wrong with them:
// tests/files/wrong_callouts.cpp, wrong_features.cpp. General tolerances of form are typed from ISO
// 2768-2 (memory). Tolerance 1e-12 relative: some roundings of a double.
#include "files/callout_text.hpp"
#include "files/job_text.hpp"

#include <boost/test/data/test_case.hpp>
#include <boost/test/unit_test.hpp>

#include <cctype>
#include <cmath>
#include <set>
#include <string>

using namespace holdable;
using namespace holdable::callouts;
using job_texts::in;
using job_texts::is;
namespace tt = boost::test_tools;

namespace {

void is(const Eigen::Vector2d& found, double x, double y) {
    BOOST_TEST((found - Eigen::Vector2d(x, y)).norm() < 1e-12);
}

} // namespace

BOOST_AUTO_TEST_SUITE(reading_callouts)

BOOST_AUTO_TEST_CASE(features_of_holes) {
    const auto c = only(callout(R"("roundness": "5 µm")", milled_hole));
    const auto& h = c.hole();
    is(h.x, 0.15);
    is(h.y, 0.1);
    is(h.top, 0.06);
    is(h.depth, 0.04);
    is(h.tool_length, 0.12);
    BOOST_TEST((h.making == HoleMaking::interpolated));
    is(h.diameter, 0.025);
    is(h.feed, 0.01);
    is(h.tool_diameter, 0.016);
    is(h.tool_reach.value(), 0.05);
    BOOST_TEST(!h.outside);

    const auto b = only(callout(R"("cylindricity": "5 µm")", boss));
    BOOST_TEST(b.hole().outside);
    is(b.hole().diameter, in);
    is(b.hole().feed, 0.01);
    BOOST_TEST(!b.hole().tool_reach.has_value());

    const auto two = only(callout(R"("position": "0.05 mm")", two_holes, on_edges));
    const auto& places = std::get<Holes>(two.feature);
    BOOST_REQUIRE(places.size() == 2U);
    is(places[0].x, 0.12);
    is(places[0].y, 0.06);
    is(places[1].x, 0.15);
    for (const auto& one : places) {
        is(one.top, 0.06);
        is(one.depth, 0.04);
        is(one.tool_length, 0.12);
        BOOST_TEST((one.making == HoleMaking::reamed));
    }

    // Three on a circle of radius 30, the first at the top: cos 30° = √3/2, sin 30° = 1/2.
    const auto round = only(callout(R"("position": "0.05 mm")", circle, each_other));
    const auto& of_circle = std::get<Holes>(round.feature);
    BOOST_REQUIRE(of_circle.size() == 3U);
    const double across = 0.03 * std::sqrt(3.0) / 2;
    is(Eigen::Vector2d(of_circle[0].x, of_circle[0].y), 0.15, 0.13);
    is(Eigen::Vector2d(of_circle[1].x, of_circle[1].y), 0.15 - across, 0.085);
    is(Eigen::Vector2d(of_circle[2].x, of_circle[2].y), 0.15 + across, 0.085);
    BOOST_TEST((of_circle[2].making == HoleMaking::tapped));
    is(of_circle[2].depth, 0.01);
}

BOOST_AUTO_TEST_CASE(features_of_faces_and_walls) {
    const auto f = std::get<Face>(only(callout(R"("flatness": "0.02 mm")", face)).feature);
    is(f.extent, {0.11, 0.19, 0.06, 0.14});
    is(f.height, 0.06);
    is(f.tool_length, 0.09);
    is(f.cutter.value().diameter, 0.05);
    is(f.cutter->step_over, 0.03);
    BOOST_TEST((f.cutter->feed == Axis::y));

    const auto w = std::get<Wall>(only(callout(R"("flatness": "0.02 mm")", wall)).feature);
    is(w.from, 0.1, 0.06);
    is(w.to, 0.1, 0.14);
    is(w.normal, -1, 0);
    is(w.top, 0.06);
    is(w.depth, 0.02);
    is(w.tool_length, 0.11);
    BOOST_TEST(w.flank);
    is(w.tool_diameter, 0.02);
    is(w.tool_reach, 0.045);
    is(w.tool_modulus, 210e9);

    // From (110, 60) to (140, 100): 30 and 40 of 50; towards +Y the normal is (-0.8, 0.6).
    const auto o = std::get<Wall>(only(callout(R"("straightness": "0.02 mm")", oblique)).feature);
    is(o.from, 0.11, 0.06);
    is(o.to, 0.14, 0.1);
    is(o.normal, -0.8, 0.6);
    BOOST_TEST(!o.flank);
    BOOST_TEST(o.tool_diameter == 0);
    is(o.tool_modulus, 600e9);

    const auto both =
        std::get<Walls>(only(callout(R"("length": "80 ±0.05 mm")", walls)).feature).wall;
    is(both[0].normal, -1, 0);
    is(both[1].normal, 1, 0);
    is(both[0].from, 0.1, 0.06);
    is(both[1].to, 0.18, 0.14);
    is(both[1].depth, 0.03);
    is(both[1].tool_length, 0.115);
    BOOST_TEST((both[0].flank && !both[1].flank));
}

BOOST_AUTO_TEST_CASE(the_size_puts_the_walls_of_slots_and_ribs) {
    const auto s = only(callout(R"("width": "8 +0.03/-0 mm")", slot));
    const auto& sw = std::get<Walls>(s.feature);
    BOOST_TEST(!sw.plunged);
    is(sw.wall[0].from, 0.12, 0.096); // 4 either side of 100; they face each other
    is(sw.wall[0].to, 0.17, 0.096);
    is(sw.wall[0].normal, 0, 1);
    is(sw.wall[1].from, 0.12, 0.104);
    is(sw.wall[1].normal, 0, -1);
    for (const auto& one : sw.wall) {
        BOOST_TEST(one.flank);
        is(one.depth, 0.015);
        is(one.tool_diameter, 0.006);
        is(one.tool_reach, 0.02);
        is(one.tool_modulus, 600e9);
    }
    is(s.size.nominal, 0.008);
    is(s.tolerance, 0.015e-3);

    const auto r = only(callout(R"("width": "10 h9")", rib));
    const auto& rw = std::get<Walls>(r.feature);
    is(rw.wall[0].from, 0.145, 0.06); // 5 either side of 150; they face away
    is(rw.wall[0].normal, -1, 0);
    is(rw.wall[1].to, 0.155, 0.09);
    is(rw.wall[1].normal, 1, 0);
    BOOST_TEST(!rw.wall[0].flank);
    is(r.size.lower, -36e-6); // h9 of ISO 286-2 over 6 to 10 mm: 0, -36 µm (memory)
    BOOST_TEST(r.size.upper == 0);

    const auto plunged =
        only(callout(R"("width": "6 P9")", changed(slot, {{"full depth", "in the tool's width"}})));
    BOOST_TEST(std::get<Walls>(plunged.feature).plunged);
    is(plunged.size.upper, -12e-6); // P9 over 3 to 6 mm: -12, -42 µm (memory)
    is(plunged.size.lower, -42e-6);
}

BOOST_AUTO_TEST_CASE(datums) {
    const auto f = only(callout(R"("perpendicularity": "0.02 mm")", hole, on_face)).plane();
    BOOST_TEST((f.kind == PlaneDatum::Kind::face));
    BOOST_TEST(f.name == "A");
    is(f.face.extent, {0.1, 0.2, 0.05, 0.15});
    is(f.face.height, 0.04);
    is(f.face.tool_length, 0.095);
    BOOST_TEST(!f.face.cutter.has_value());

    const auto s = only(callout(R"("perpendicularity": "0.02 mm")", wall, on_seat)).plane();
    BOOST_TEST((s.kind == PlaneDatum::Kind::seat));

    const auto t = only(callout(R"("height": "25 ±0.05 mm")", face, on_touched)).plane();
    BOOST_TEST((t.kind == PlaneDatum::Kind::touched));
    BOOST_TEST(!t.face.extent.has_value());
    is(t.face.height, 0.035);
    is(t.face.tool_length, 0.08);

    const auto e = only(callout(R"("position": "0.05 mm")", hole, on_edges)).edges();
    BOOST_TEST((e.kind == EdgeDatum::Kind::picked_up));
    BOOST_TEST(e.name == "A|B|C");
    is(e.x, 0.1);
    is(e.y, 0.05);
    is(e.height, 0.055);
    is(e.tool_length, 0.085);
    const auto cut = only(callout(R"("position": "0.05 mm")", hole, on_cut_edges)).edges();
    BOOST_TEST((cut.kind == EdgeDatum::Kind::cut));
    is(cut.x, 2 * in);

    const auto w =
        std::get<WallDatum>(only(callout(R"("perpendicularity": "0.02 mm")", wall, on_wall)).datum);
    BOOST_TEST(w.name == "B");
    is(w.wall.from, 0.11, 0.05);
    is(w.wall.to, 0.19, 0.05);
    is(w.wall.normal, 0, -1);
    is(w.wall.depth, 0.025);

    const auto b =
        std::get<BoreDatum>(only(callout(R"("coaxiality": "0.02 mm")", hole, on_bore)).datum);
    BOOST_TEST(b.name == "D");
    is(b.hole.top, 0.07);
    is(b.hole.depth, 0.03);
    BOOST_TEST((b.hole.making == HoleMaking::reamed));
    BOOST_TEST(!b.flipped.has_value());
    const auto over =
        std::get<BoreDatum>(only(callout(R"("coaxiality": "0.02 mm")", hole, turned_over)).datum);
    BOOST_TEST((over.flipped == Axis::y));
    is(over.thickness, 0.045);
    BOOST_TEST(over.indicated);
    is(over.indicated_at, 0.044);
    const auto by_edges = std::get<BoreDatum>(
        only(callout(R"("coaxiality": "0.02 mm")",
                     hole,
                     changed(turned_over,
                             {{"\"the bore\",\n   \"found_at\": \"44 mm\"", "\"the edges\""}})))
            .datum);
    BOOST_TEST(!by_edges.indicated);

    BOOST_TEST(
        std::get<EachOther>(only(callout(R"("position": "0.05 mm")", two_holes, each_other)).datum)
            .name == "pattern");
}

namespace {

struct Asked {
    std::string text, feature, datum;
    Requirement kind;
    double tolerance; // of a size its half-width (m)
};

std::ostream& operator<<(std::ostream& out, const Asked& a) {
    return out << a.text;
}

const Asked asked[] = {
    {R"("position": "Ø 0.05 mm")", hole, on_edges, Requirement::position, 50e-6},
    {R"("position": "⌀.002 in")", boss, on_cut_edges, Requirement::position, 0.002 * in},
    {R"("perpendicularity": "0.02 mm")", hole, on_seat, Requirement::perpendicularity, 20e-6},
    {R"("perpendicularity": "0.02 mm")", wall, on_edges, Requirement::perpendicularity, 20e-6},
    {R"("parallelism": "10 µm")", hole, on_bore, Requirement::parallelism, 10e-6},
    {R"("parallelism": "10 µm")", face, on_face, Requirement::parallelism, 10e-6},
    {R"("parallelism": "10 µm")", wall, on_wall, Requirement::parallelism, 10e-6},
    {R"("angularity": "0.1 mm")", oblique, on_edges, Requirement::angularity, 100e-6},
    {R"("flatness": ".0005 in")", face, "", Requirement::flatness, 0.0005 * in},
    {R"("flatness": ".0005 in")", wall, "", Requirement::flatness, 0.0005 * in},
    {R"("straightness": "15 µm")", hole, "", Requirement::straightness, 15e-6},
    {R"("straightness": "15 µm")", wall, "", Requirement::straightness, 15e-6},
    {R"("straightness": "15 µm", "along": "Y")", face, "", Requirement::straightness, 15e-6},
    {R"("roundness": "4 µm")", hole, "", Requirement::roundness, 4e-6},
    {R"("cylindricity": "6 µm")", milled_hole, "", Requirement::cylindricity, 6e-6},
    {R"("profile": "0.1 mm")", oblique, on_edges, Requirement::profile, 100e-6},
    {R"("profile": "0.1 mm")", face, on_touched, Requirement::profile, 100e-6},
    {R"("coaxiality": "0.02 mm")", hole, on_bore, Requirement::coaxiality, 20e-6},
    {R"("run_out": "0.03 mm")", hole, on_bore, Requirement::run_out, 30e-6},
    {R"("diameter": "25 H7")", hole, "", Requirement::diameter, 10.5e-6},
    {R"("diameter": "1.000 ±.002 in")", boss, "", Requirement::diameter, 0.002 * in},
    {R"("distance": "50.00 ±0.02 mm")", two_holes, "", Requirement::distance, 20e-6},
    {R"("height": "20 +0.1/-0 mm")", face, on_face, Requirement::height, 50e-6},
    {R"("depth": "60 ±.1 mm")", face, on_seat, Requirement::height, 100e-6},
    {R"("width": "8 H9")", slot, "", Requirement::width, 18e-6}, // H9 over 6 to 10 mm: 36 µm
    {R"("width": "80 ±0.1 mm")", walls, "", Requirement::width, 100e-6},
    {R"("length": "80 ±0.1 mm")", walls, "", Requirement::length, 100e-6},
    // The wall at X = 100 mm, the edge at 2 in = 50.8 mm: 49.2 mm.
    {R"("length": "49.2 ±0.1 mm")", wall, on_cut_edges, Requirement::length, 100e-6},
};

} // namespace

BOOST_DATA_TEST_CASE(requirements, boost::unit_test::data::make(asked)) {
    const auto job = read(callout(sample.text, sample.feature, sample.datum));
    const auto& c = job.callouts.at(0);
    BOOST_TEST((c.kind == sample.kind));
    is(c.tolerance, sample.tolerance);
    BOOST_TEST(is_size(c.kind) == (c.size.nominal > 0));
    BOOST_TEST(c.along_y == (sample.text.find("along") != std::string::npos));
    BOOST_TEST(job.notes.empty());
}

BOOST_AUTO_TEST_CASE(every_requirement_is_among_them) {
    std::set<Requirement> kinds;
    for (const auto& a : asked)
        kinds.insert(a.kind);
    BOOST_TEST(kinds.size() == 16U);
}

BOOST_AUTO_TEST_CASE(what_else_may_be_said) {
    const auto bore = only(callout(R"("diameter": "25 H7", "aim": "25.008 mm")", hole));
    is(bore.size.aim.value(), 25.008e-3);
    is(bore.hole().diameter, 0.025); // from the size
    BOOST_TEST(bore.size.source == "H7 of ISO 286-1");
    BOOST_TEST(bore.written == "25 H7");
    BOOST_TEST(bore.setup.empty());
    BOOST_TEST((bore.evaluation == Evaluation::minimum_zone));

    const auto flat =
        only(callout(R"("flatness": "0.02 mm", "evaluated": "least squares", "setup": "2")", face));
    BOOST_TEST((flat.evaluation == Evaluation::least_squares));
    BOOST_TEST(flat.setup == "2");
    BOOST_TEST(only(callout(R"("distance": "50 ±0.02 mm", "one_way": true)", two_holes)).one_way);
    BOOST_TEST(!only(callout(R"("distance": "50 ±0.02 mm")", two_holes)).one_way);

    const auto job =
        read(callout(R"("position": "0.05 mm", "maximum_material": "size")", hole, on_edges) +
             ",\n" + callout(R"("diameter": "25 H7")", hole, "", "size"));
    BOOST_TEST(job.callouts.at(0).bonus_from == "size");
}

BOOST_AUTO_TEST_CASE(general_tolerances_of_form) {
    // ISO 2768-2, class K: flatness and straightness over 30 to 100 mm 0.2, over 10 to 30 mm 0.1;
    // perpendicularity up to 100 mm 0.4, over 100 to 300 mm 0.6; run-out 0.2.
    const auto of = [](const std::string& requirement,
                       const std::string& feature,
                       const std::string& datum = "") {
        return only(callout("\"" + requirement + "\": \"title block\"", feature, datum)).tolerance;
    };
    is(of("flatness", face), 0.2e-3);
    is(of("flatness", changed(face, {{"\"190 mm\"", "\"120 mm\""}})),
       0.2e-3); // 10 × 80: the longer
    is(of("straightness", wall), 0.2e-3);
    const auto narrow = changed(face, {{"\"190 mm\"", "\"120 mm\""}}); // 10 along X, 80 along Y
    is(only(callout(R"("straightness": "title block", "along": "Y")", narrow)).tolerance, 0.2e-3);
    is(only(callout(R"("straightness": "title block", "along": "X")", narrow)).tolerance, 0.05e-3);
    is(of("perpendicularity", wall, on_seat), 0.4e-3);
    is(of("run_out", hole, on_bore), 0.2e-3);
    // The shorter leg: 20 deep, however long the wall.
    const auto long_wall =
        changed(wall, {{"\"60 mm\", \"to\"", "\"50 mm\", \"to\""}, {"\"140 mm\"", "\"150 mm\""}});
    is(of("perpendicularity", long_wall, on_seat), 0.4e-3);
    is(of("straightness", changed(hole, {{"40 mm", "25 mm"}})), 0.1e-3);
}

BOOST_AUTO_TEST_CASE(cut_files_are_refused) {
    const auto whole = job_of(callout(R"("position": "0.05 mm")", circle, on_edges) + ",\n" +
                              callout(R"("width": "8 H9")", slot, "", "b"));
    int refused = 0;
    for (std::size_t end = 0; end + 2 < whole.size(); ++end) {
        try {
            read_job(parse_document(whole.substr(0, end), "f"), "f");
            BOOST_ERROR("read up to " << end);
        } catch (const InputError&) {
            ++refused;
        }
    }
    BOOST_TEST(refused > 500);
    // One value or another replaced by what does not belong there: read or refused.
    const std::string odd[] = {"null", "-1", "[]", "{}", "\"\"", "\"1e300 m\"", "true", "\"Ã\""};
    for (std::size_t at = whole.find(": "); at != std::string::npos;
         at = whole.find(": ", at + 1)) {
        std::size_t end = at + 2;
        if (whole[end] == '"')
            end = whole.find('"', end + 1) + 1;
        else if (std::isdigit(static_cast<unsigned char>(whole[end])) != 0)
            ++end;
        else
            continue;
        for (const auto& value : odd) {
            auto text = whole;
            text.replace(at + 2, end - at - 2, value);
            try {
                read_job(parse_document(text, "f"), "f");
            } catch (const InputError& error) {
                BOOST_TEST(!error.diagnostics().empty());
            }
        }
    }
}

BOOST_AUTO_TEST_SUITE_END()
