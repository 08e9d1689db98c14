// SPDX-License-Identifier: MIT
// Promises: threads, shares, what is frozen, sampling and refusals. Shares against differences of
// t itself with scales moved by ±10 % on the same draws, and against the closed form's derivatives;
// tolerance: the noise of such differences, stated beside. Threads: the same bits.
#include "holdable/base/error.hpp"
#include "holdable/propagate/outer.hpp"
#include "holdable/propagate/promise.hpp"
#include "promise_models.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <random>
#include <vector>

using namespace holdable;
using namespace holdable::promise_models;

namespace {

/// Position of a hole with two ends, four sources, one of them without a normal law.
PartModel hole() {
    PartModel m;
    m.inputs = {input("lean", normal(3e-6)),
                input("scale", stats::Rectangular{0, 8e-6, {}}),
                input("place x", normal(2e-6), Sharing::part),
                input("place y", normal(2e-6), Sharing::part),
                input("edge", normal(2e-6), Sharing::setup)};
    m.inputs[1].evidence = Evidence::assumed;
    m.inputs[2].scale = m.inputs[3].scale = "place";
    m.inputs[2].scale_dof = m.inputs[3].scale_dof = 14;
    Characteristic c;
    c.name = "hole";
    c.reduction = Reduction::twice_worst;
    c.known = Eigen::Vector4d(4e-6, 0, 4e-6, 2e-6);
    c.known_parts = Eigen::MatrixXd::Zero(4, 2);
    c.known_parts.col(0) << 4e-6, 0, 4e-6, 0;
    c.known_parts.col(1) << 0, 0, 0, 2e-6;
    c.known_names = {"warmth", "lean found"};
    c.effect = Eigen::MatrixXd::Zero(4, 5);
    c.effect << 0, 1, 1, 0, 1, 0, 0, 0, 1, 0, 1, 1, 1, 0, 1, 0, 0, 0, 1, 0;
    c.upper = 40e-6;
    m.characteristics = {c};
    return m;
}

double share_of(const Promise& p, const std::string& name) {
    for (const Share& s : p.shares)
        if (s.name == name)
            return s.share;
    return 0;
}

double sum_of_shares(const Promise& p) {
    double sum = 0;
    for (const Share& s : p.shares)
        sum += s.share;
    return sum;
}

std::vector<double> bits(const PromiseResult& r) {
    std::vector<double> all{r.whole_part,
                            r.whole_part_assured,
                            r.all_good,
                            r.expected_out,
                            double(r.out_at_most),
                            double(r.worlds),
                            double(r.parts_in_world)};
    for (const Promise& p : r.promises) {
        all.insert(all.end(),
                   {p.smallest,
                    p.smallest_error,
                    p.smallest_9973,
                    p.smallest_9973_error,
                    p.next_part,
                    p.assured_yield,
                    p.gamma,
                    p.gamma_error,
                    p.gamma_without_guesses,
                    p.next_part_limit,
                    p.first_order_limit});
        for (const Share& s : p.shares)
            all.push_back(s.share);
    }
    return all;
}

void refused(const PartModel& m, const PromiseOptions& o, const std::string& word) {
    BOOST_CHECK_EXCEPTION(promise(m, o), NumericError, [&](const NumericError& error) {
        return std::string(error.what()).find(word) != std::string::npos;
    });
}

} // namespace

BOOST_AUTO_TEST_SUITE(promise_rules)

BOOST_AUTO_TEST_CASE(threads_change_no_digit) {
    PartModel m = hole();
    Characteristic c = m.characteristics[0];
    c.name = "size";
    c.reduction = Reduction::signed_value;
    c.known = Eigen::VectorXd::Constant(1, 1e-6);
    c.known_parts.resize(0, 0);
    c.known_names.clear();
    c.effect = Eigen::RowVectorXd::Ones(5);
    c.lower = -20e-6;
    c.upper = 20e-6;
    m.characteristics.push_back(c);
    PromiseOptions o = levels(0.95, 0.95, 2000);
    o.most_worlds = 2500;
    o.quantity = 20;
    std::vector<double> one;
    for (const unsigned threads : {1U, 2U, 8U}) {
        o.threads = threads;
        const auto seen = bits(promise(m, o));
        if (threads == 1)
            one = seen;
        BOOST_TEST(seen == one, boost::test_tools::per_element());
    }
    o.seed = 2;
    BOOST_TEST((bits(promise(m, o)) != one));
}

BOOST_AUTO_TEST_CASE(shares_of_the_example) {
    // t(0.9973, 0.95) = 16.566; ∂t/∂u_K = 1.69248, ∂t/∂σ = 2.78215, ∂t/∂bias = 0.94702 (recomputed
    // by differences of the closed form). 1 %: what 32 000 worlds leave of the mean over t.
    const Promise p = promise(example(), levels(0.9973, 0.95)).promises.front();
    BOOST_TEST(std::abs(share_of(p, "geometry") - 1.692481811 * 4 / 16.566) < 0.01);
    BOOST_TEST(std::abs(share_of(p, "repeat") - 2.782150454 * 2.5 / 16.566) < 0.01);
    BOOST_TEST(std::abs(share_of(p, "known: errors not corrected") - 0.9470188726 * 3 / 16.566) <
               0.01);
    BOOST_TEST(std::abs(sum_of_shares(p) - 1) < 0.003);
    BOOST_TEST(p.shares.front().name == "repeat");
    BOOST_TEST(p.shares.back().known);
}

BOOST_AUTO_TEST_CASE(shares_are_the_derivatives_of_t) {
    PromiseOptions o = levels(0.95, 0.95, 6000);
    o.parts_in_world = 2000;
    o.most_worlds = 6000;
    const PartModel model = hole();
    const Promise p = promise(model, o).promises.front();
    BOOST_TEST(std::abs(sum_of_shares(p) - 1) < 0.01);
    const auto t = [&](const PartModel& m) { return promise(m, o).promises.front().smallest; };
    // A step of 10 % of a share of 0.3 moves t by 3 %, which the common draws leave uncertain to
    // about 0.15 %: 0.03 of the share, and the window of t as much again.
    for (std::size_t i = 0; i < model.inputs.size(); ++i) {
        PartModel up = model, down = model;
        up.characteristics[0].effect.col(static_cast<Eigen::Index>(i)) *= 1.1;
        down.characteristics[0].effect.col(static_cast<Eigen::Index>(i)) *= 0.9;
        const double difference = (t(up) - t(down)) / 0.2 / p.smallest;
        BOOST_TEST(std::abs(share_of(p, model.inputs[i].name) - difference) < 0.05,
                   model.inputs[i].name << ": " << share_of(p, model.inputs[i].name)
                                        << ", by differences " << difference);
    }
    for (Eigen::Index r = 0; r < 2; ++r) {
        PartModel up = model, down = model;
        const Eigen::VectorXd step = 0.1 * model.characteristics[0].known_parts.col(r);
        up.characteristics[0].known_parts.col(r) += step;
        up.characteristics[0].known += step;
        down.characteristics[0].known_parts.col(r) -= step;
        down.characteristics[0].known -= step;
        const double difference = (t(up) - t(down)) / 0.2 / p.smallest;
        const std::string name = "known: " + model.characteristics[0].known_names[std::size_t(r)];
        BOOST_TEST(std::abs(share_of(p, name) - difference) < 0.05,
                   name << ": " << share_of(p, name) << ", by differences " << difference);
    }
}

BOOST_AUTO_TEST_CASE(limits_off_the_aim_are_a_line_of_their_own) {
    PartModel m = example();
    m.characteristics = {size(3, -10.0, 14, 2)}; // middle 2
    const Promise p = promise(m, levels(0.95, 0.95)).promises.front();
    const Promise same = [] {
        PartModel centred = example();
        centred.characteristics = {size(1, -12.0, 12, 2)};
        return promise(centred, levels(0.95, 0.95)).promises.front();
    }();
    BOOST_TEST(p.smallest == same.smallest, boost::test_tools::tolerance(1e-12));
    BOOST_TEST(share_of(p, "known: limits not centred on the aim") < 0);
    BOOST_TEST(std::abs(sum_of_shares(p) - 1) < 0.003);
}

BOOST_AUTO_TEST_CASE(guesses_are_frozen_at_their_mean) {
    // γ without guesses is γ of a part that has not the input, with its mean known: by the normal
    // law, 1 for knowledge 0.5 and scatter 2.5 at bias 3.
    PartModel m = example();
    m.inputs[0].evidence = Evidence::assumed;
    m.inputs.push_back(input("lean", stats::Normal{1, 0.5, {}}));
    m.characteristics = {size(2, -12.0, 12, 3)};
    const Promise p = promise(m, levels(0.95, 0.95, 4000)).promises.front();
    BOOST_TEST(p.gamma < 0.92);
    BOOST_TEST(p.gamma_without_guesses == 1.0);
    m.inputs[0].evidence = Evidence::typical;
    BOOST_TEST(promise(m, levels(0.95, 0.95, 4000)).promises.front().gamma_without_guesses == 1.0);
    m.inputs[0].evidence = Evidence::certificate;
    const Promise q = promise(m, levels(0.95, 0.95, 4000)).promises.front();
    BOOST_TEST(q.gamma_without_guesses == q.gamma);
    // A guess whose law is not centred is frozen at its mean, not at 0.
    PartModel off = example();
    off.inputs[0] = input("lost motion", stats::Rectangular{9, 1, {}});
    off.inputs[0].evidence = Evidence::typical;
    const Promise r = promise(off, levels(0.95, 0.95, 1000)).promises.front();
    BOOST_TEST(r.gamma_without_guesses == 0.0);
}

BOOST_AUTO_TEST_CASE(setups_are_knowledge_or_not) {
    // Over several set-ups only the 4 remain knowledge and the scatter is √(2.5² + 3²).
    PartModel m = example();
    m.inputs.push_back(input("edge", normal(3), Sharing::setup));
    m.characteristics = {size(3, std::nullopt, 12, 3)};
    PromiseOptions o = levels(0.95, 0.95);
    const double z = 1.6448536;
    const Promise one = promise(m, o).promises.front();
    near(one.smallest, 3 + z * (5 + 2.5), one.smallest_error, 0, "one set-up");
    o.several_setups = true;
    const Promise several = promise(m, o).promises.front();
    near(several.smallest,
         3 + z * (4 + std::hypot(2.5, 3.0)),
         several.smallest_error,
         0,
         "several set-ups");
    m.inputs[2].sharing = Sharing::tool;
    BOOST_TEST(promise(m, o).promises.front().smallest == several.smallest);
}

BOOST_AUTO_TEST_CASE(the_mean_of_a_scatter_counts) {
    // 1 known and a scatter about 2 are 3 known and a scatter about 0.
    PartModel m = example();
    m.inputs[1].law = stats::Normal{2, 2.5, {}};
    m.characteristics = {size(1, -12.0, 12, 2)};
    const Promise moved = promise(m, levels(0.95, 0.95, 2000)).promises.front();
    const Promise plain = promise(example(), levels(0.95, 0.95, 2000)).promises.front();
    BOOST_TEST(moved.smallest == plain.smallest, boost::test_tools::tolerance(1e-12));
    BOOST_TEST(moved.next_part == plain.next_part, boost::test_tools::tolerance(1e-12));
    BOOST_TEST(moved.known_value == 3.0);
    BOOST_TEST(std::abs(sum_of_shares(moved) - 1) < 0.01);
}

BOOST_AUTO_TEST_CASE(one_part_is_good_in_all_at_once) {
    // Two sizes off by the same error in opposite directions, one-sided: good if |e| ≤ 12 − 3.
    PartModel m = example();
    m.characteristics = {size(3, std::nullopt, 12, 2), size(3, std::nullopt, 12, 2)};
    m.characteristics[1].effect *= -1;
    const PromiseResult r = promise(m, levels(0.95, 0.95, 8000));
    const double s = std::sqrt(22.25);
    const double joint = std::erf(9 / s / std::sqrt(2.0)); // not Φ²(9/s), which is 0.9444
    const auto parts = static_cast<double>(r.parts_in_world);
    near(r.whole_part,
         joint,
         std::hypot(0.1 / std::sqrt(8000.0), std::sqrt(joint * (1 - joint) / parts)),
         0,
         "whole part");
    BOOST_TEST(r.whole_part_assured < r.promises[0].assured_yield + 0.02);
}

BOOST_AUTO_TEST_CASE(sampling_grows_until_it_suffices_or_says_so) {
    PromiseOptions o;
    o.worlds = 2000;
    const PromiseResult r = promise(hole(), o);
    for (const Promise& p : r.promises) {
        BOOST_TEST(p.gamma_error < 0.005);
        BOOST_TEST(p.smallest_error < 0.01 * p.smallest);
    }
    BOOST_TEST(r.notes.empty());
    o.most_worlds = 2000;
    PartModel near_half = example(); // γ near a half has the largest error
    near_half.characteristics[0].upper = 7.5;
    near_half.characteristics[0].lower = -7.5;
    const PromiseResult cut = promise(near_half, o);
    BOOST_TEST(cut.worlds == 2000U);
    BOOST_TEST_REQUIRE(!cut.notes.empty());
    BOOST_TEST(cut.notes[0].find("cap") != std::string::npos);
}

BOOST_AUTO_TEST_CASE(what_makes_no_promise_is_refused) {
    const PromiseOptions o = levels(0.95, 0.95, 1000);
    for (const double level : {0.5, 1.0, 0.3, std::numeric_limits<double>::quiet_NaN()}) {
        refused(example(), levels(level, 0.95), "share of the parts");
        refused(example(), levels(0.95, level), "confidence");
    }
    PromiseOptions none = o;
    none.quantity = 0;
    refused(example(), none, "at least 1 part");
    refused(example(), levels(0.999999, 0.95), "cap");
    refused({}, o, "without characteristics");
    const auto changed = [&](auto change, const std::string& word) {
        PartModel m = example();
        change(m);
        refused(m, o, word);
    };
    changed([](PartModel& m) { m.characteristics[0].effect.resize(1, 3); }, "wanted 1 x 2");
    changed([](PartModel& m) { m.characteristics[0].known.setConstant(2, 0.0); }, "do not fit");
    changed([](PartModel& m) { m.characteristics[0].upper = -13; }, "upper limit above");
    changed([](PartModel& m) { m.characteristics[0].known[0] = std::nan(""); }, "not finite");
    changed([](PartModel& m) { m.characteristics[0].known_names = {"a"}; }, "known_parts");
    changed(
        [](PartModel& m) {
            m.characteristics[0].known_names = {"a"};
            m.characteristics[0].known_parts = Eigen::MatrixXd::Ones(1, 1);
        },
        "do not sum");
    changed([](PartModel& m) { m.inputs[1].name = "geometry"; }, "two inputs");
    changed([](PartModel& m) { m.inputs[1].scale = "s"; }, "degrees of freedom above 0");
    changed(
        [](PartModel& m) {
            m.inputs[0].scale = m.inputs[1].scale = "s";
            m.inputs[0].scale_dof = 3;
            m.inputs[1].scale_dof = 4;
        },
        "3 and 4");
}

BOOST_AUTO_TEST_CASE(scales_of_two_names_are_drawn_apart) {
    // Two scatters of σ = 1, each found from five readings: t is 1.96 times the 0.95-quantile of
    // √(4/χ² + 4/χ'²), drawn here without the library; were both scales one, it would be 6.58.
    std::mt19937_64 engine(11);
    std::chi_squared_distribution<double> chi(4);
    std::vector<double> spread(1'000'000);
    for (auto& s : spread)
        s = std::sqrt(4 / chi(engine) + 4 / chi(engine));
    const auto at = spread.begin() + 950'000;
    std::nth_element(spread.begin(), at, spread.end());
    PartModel m;
    for (const char* name : {"first", "second"}) {
        m.inputs.push_back(input(name, normal(1), Sharing::part));
        m.inputs.back().scale = name;
        m.inputs.back().scale_dof = 4;
    }
    m.characteristics = {size(0, -12.0, 12, 2)};
    const Promise p = promise(m, levels(0.95, 0.95)).promises.front();
    // the reference's own error is a thousandth
    near(p.smallest, 1.959964 * *at, p.smallest_error, 0.006, "t");
    BOOST_TEST(p.smallest < 6.4);
}

BOOST_AUTO_TEST_CASE(how_many_of_a_batch_are_out_turns_where_the_binomial_law_does) {
    // 0.99⁵ = 0.95099 and 0.99⁶ = 0.94148; for 1 of n: n = 35 has 0.95214, n = 36 0.94965 (both by
    // the sum of two terms).
    const std::vector<double> yield{0.99};
    BOOST_TEST(propagate::out_at_most(yield, 5, 0.95) == 0);
    BOOST_TEST(propagate::out_at_most(yield, 6, 0.95) == 1);
    BOOST_TEST(propagate::out_at_most(yield, 35, 0.95) == 1);
    BOOST_TEST(propagate::out_at_most(yield, 36, 0.95) == 2);
}

BOOST_AUTO_TEST_SUITE_END()
