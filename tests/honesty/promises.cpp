// SPDX-License-Identifier: MIT
// Whether a promise is kept. Machines are drawn whose every error is known to the test; their shop
// reads them with square, indicator and level, quantised and noisy, and writes its files; the
// library reads the files and promises a tolerance; then parts are cut on the true machine. The
// promise "95 % of the parts with 95 % confidence" must hold on at least 95 % of the machines,
// within the error of the count, and must not be absurdly wide.
//
// Independence: machine, readings and parts are made by full homogeneous transforms and plain
// random numbers (true_machine.hpp). What the library is told beforehand (class, grade, typical
// values) is true of the population drawn, as a prior must be for its statement to mean anything.
//
// Count: with 500 machines and a true coverage of exactly 95 %, fewer than 448 kept promises have a
// probability below 1e-6 (binomial). The seed is fixed.
#include "holdable/files/document.hpp"
#include "holdable/files/read_job.hpp"
#include "holdable/files/read_machine.hpp"
#include "holdable/machine/state.hpp"
#include "holdable/part/features.hpp"
#include "holdable/propagate/promise.hpp"
#include "honesty/shop_files.hpp"
#include "honesty/true_machine.hpp"

#include <boost/test/unit_test.hpp>

#include <algorithm>
#include <array>
#include <string>
#include <vector>

using namespace holdable;
using namespace holdable::tests;

namespace {

constexpr int machines = 500;
constexpr int parts = 1000;

Shop shop_from(const std::string& checks) {
    return read_machine(parse_document(machine_file(checks), "machine.json"), "machine.json");
}

double quantile_95(std::vector<double> values) {
    const auto at = values.begin() + static_cast<std::ptrdiff_t>(0.95 * double(values.size()));
    std::nth_element(values.begin(), at, values.end());
    return *at;
}

/// The value that 95 % of the parts cut on the true machine do not exceed, bore and hole.
std::array<double, 2> cut_parts(const TrueMachine& m, const Job& j, Luck& luck) {
    const auto& c = j.callouts[0];
    // Geometry of this machine: axis and face by least squares over points of their own.
    Eigen::Vector2d axis = Eigen::Vector2d::Zero();
    double spread = 0;
    for (int i = 0; i <= 40; ++i) {
        const double from_middle = c.hole().depth * (0.5 - i / 40.0);
        axis += from_middle * m.tip_error(c.hole().x,
                                          c.hole().y,
                                          c.hole().top - c.hole().depth / 2 + from_middle,
                                          c.hole().tool_length)
                                  .head<2>();
        spread += from_middle * from_middle;
    }
    axis /= spread;
    constexpr int side = 9;
    Eigen::MatrixXd plane(side * side, 3);
    Eigen::VectorXd heights(side * side);
    for (int i = 0; i < side; ++i)
        for (int k = 0; k < side; ++k) {
            const double x = j.part->x_low + (j.part->x_high - j.part->x_low) * i / (side - 1);
            const double y = j.part->y_low + (j.part->y_high - j.part->y_low) * k / (side - 1);
            plane.row(i * side + k) << 1, x, y;
            heights[i * side + k] =
                m.tip_error(x, y, c.plane().face.height, c.plane().face.tool_length).z();
        }
    const Eigen::Vector3d fit = plane.colPivHouseholderQr().solve(heights);
    const Eigen::Vector2d tilt = c.hole().depth * (axis + fit.tail<2>());

    const auto& h = j.callouts[1];
    const Eigen::Vector2d datum =
        m.tip_error(h.edges().x, h.edges().y, h.edges().height, h.edges().tool_length).head<2>();
    const Eigen::Vector2d top =
        m.tip_error(h.hole().x, h.hole().y, h.hole().top, h.hole().tool_length).head<2>() - datum;
    const Eigen::Vector2d bottom =
        m.tip_error(h.hole().x, h.hole().y, h.hole().top - h.hole().depth, h.hole().tool_length)
            .head<2>() -
        datum;
    // One set-up: zero, lost motion and warmth are the same behind all its parts.
    Eigen::Vector2d common;
    const double warm_part = luck.within(j.temperatures.doubt);
    const double warm_scale = luck.within(j.temperatures.doubt);
    const double askew = luck.within(j.process.line_up->half_width);
    const double lengths[] = {h.hole().x - h.edges().x, h.hole().y - h.edges().y};
    const double turned[] = {-askew * lengths[1], askew * lengths[0]};
    for (int a = 0; a < 2; ++a)
        common[a] = turned[a] + luck.within(j.process.work_zero->half_width) +
                    luck.within(j.process.reversal->half_width) -
                    lengths[a] * (11.7e-6 * warm_part - 11.5e-6 * warm_scale);

    std::vector<double> bores;
    std::vector<double> holes;
    for (int p = 0; p < parts; ++p) {
        const double s = j.process.hole_direction->standard_deviation;
        bores.push_back(
            (tilt + c.hole().depth * Eigen::Vector2d(luck.normal(s), luck.normal(s))).norm());
        Eigen::Vector2d shift = common;
        Eigen::Vector2d lean;
        for (int a = 0; a < 2; ++a) {
            shift[a] += luck.within(j.process.location->half_width) +
                        luck.within(j.process.drift->half_width) +
                        luck.normal(j.process.axis_repeat->standard_deviation) +
                        luck.normal(j.process.hole_place->standard_deviation);
            lean[a] = -h.hole().depth * luck.normal(s);
        }
        holes.push_back(2 * std::max((top + shift).norm(), (bottom + shift + lean).norm()));
    }
    return {quantile_95(bores), quantile_95(holes)};
}
} // namespace

BOOST_AUTO_TEST_SUITE(honesty)

BOOST_AUTO_TEST_CASE(promises_are_kept_as_often_as_they_say) {
    Luck luck(20261125);
    const auto empty = shop_from("");
    const auto job = read_job(parse_document(job_file(), "job.json"), "job.json");
    std::array<int, 2> kept{};
    std::array<std::vector<double>, 2> width;
    int disagreements = 0;
    for (int i = 0; i < machines; ++i) {
        const TrueMachine truth(empty, luck);
        std::vector<double> form(5);
        for (auto& f : form)
            f = luck.within(empty.squares[0].edge_form / 2);
        const auto shop =
            shop_from(square_check(truth, Axis::x, form, luck) + ",\n" +
                      square_check(truth, Axis::y, form, luck) + ",\n" + level_check(truth, luck));
        const auto state = solve(shop, *job.date);
        disagreements += state.disagreement;
        const auto asked = question(state, job);
        BOOST_REQUIRE(asked.readiness[0].missing.empty());
        BOOST_REQUIRE(asked.readiness[1].missing.empty());
        PromiseOptions options;
        options.worlds = options.most_worlds = 1000;
        options.parts_in_world = 400;
        options.seed = static_cast<std::uint64_t>(i) + 1;
        const auto promised = promise(asked.model, options);
        const auto cut = cut_parts(truth, job, luck);
        for (std::size_t k = 0; k < 2; ++k) {
            kept[k] += cut[k] <= promised.promises[k].smallest;
            width[k].push_back(promised.promises[k].smallest / cut[k]);
        }
    }
    for (std::size_t k = 0; k < 2; ++k) {
        std::nth_element(width[k].begin(), width[k].begin() + machines / 2, width[k].end());
        const double median = width[k][machines / 2];
        const auto& name = job.callouts[k].name;
        BOOST_TEST_MESSAGE(name << ": kept " << kept[k] << " of " << machines << ", median width "
                                << median);
        BOOST_TEST(kept[k] >= 448, name << " kept " << kept[k]);
        // A statement that knows the machine's true errors would be 1 wide.
        BOOST_TEST(median < 4, name << " is " << median << " wide");
    }
    // A check is called wrong beyond its 99.9 % point: of 1500 a few, not tens.
    BOOST_TEST(disagreements < 15);
}

BOOST_AUTO_TEST_SUITE_END()
