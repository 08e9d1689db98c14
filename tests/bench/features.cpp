// SPDX-License-Identifier: MIT
// Twelve features of 24 to 200 points, six planes and six circles, moved by sixty inputs: how long
// the engine takes for a part, beside peers/feature_numpy.py, which reads the same model.
//
//   bench_features FILE TRIALS THREADS   writes the model to FILE, then draws and judges the parts
//   bench_features assured THREADS       yields of 2000 worlds × 2000 parts, good in all features
//
// One line of JSON. The points' normals and the least-squares fit are folded into the effects once;
// a part is then a product and a range (part/collector.cpp does so for what is asked by least
// squares). Nothing else of the library is left out: draws are by name, block by block.
#include "holdable/propagate/inner.hpp"
#include "holdable/propagate/outer.hpp"
#include "holdable/propagate/parallel.hpp"
#include "holdable/propagate/promise.hpp"
#include "holdable/propagate/worlds.hpp"

#include <Eigen/QR>

#include <algorithm>
#include <chrono>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <ctime>
#include <fstream>
#include <numeric>
#include <random>
#include <string>
#include <vector>

#if defined(__GLIBC__)
#include <malloc.h>
#endif

using namespace holdable;
using Eigen::Index;
using Eigen::MatrixXd;

namespace {

constexpr Index inputs = 60;
constexpr double effect_of_one = 3e-4; // mm per u, as the peer's script

struct Feature {
    bool circle;
    MatrixXd points;  ///< n × 3 (mm)
    MatrixXd effects; ///< 3n × 60 (mm per u of the input)
};

std::vector<Feature> make_features() {
    std::mt19937_64 engine(77);
    std::normal_distribution<double> normal;
    std::uniform_real_distribution<double> place(-25, 25);
    std::vector<Feature> features;
    for (const Index n : {24, 24, 32, 40, 48, 48, 64, 64, 80, 100, 120, 200}) {
        Feature f{features.size() % 2 == 1, MatrixXd::Zero(n, 3), MatrixXd(3 * n, inputs)};
        for (Index i = 0; i < n; ++i) {
            const double turn =
                2 * std::acos(-1.0) * static_cast<double>(i) / static_cast<double>(n);
            if (f.circle)
                f.points.row(i) << 20 * std::cos(turn), 20 * std::sin(turn), 0;
            else
                f.points.row(i) << place(engine), place(engine), 0;
        }
        for (Index r = 0; r < 3 * n; ++r)
            for (Index c = 0; c < inputs; ++c)
                f.effects(r, c) = effect_of_one * normal(engine);
        features.push_back(std::move(f));
    }
    return features;
}

void write(const std::vector<Feature>& features, const std::string& path) {
    std::ofstream file(path, std::ios::binary);
    const auto put = [&](double x) { file.write(reinterpret_cast<const char*>(&x), sizeof x); };
    for (const auto& f : features) {
        put(static_cast<double>(f.points.rows()));
        put(f.circle ? 1 : 0);
        for (const auto* matrix : {&f.points, &f.effects})
            for (Index r = 0; r < matrix->rows(); ++r)
                for (Index c = 0; c < matrix->cols(); ++c)
                    put((*matrix)(r, c));
    }
}

/// Rows along the normals, less what a least-squares fit takes off, n × 60.
MatrixXd folded(const Feature& f) {
    const Index n = f.points.rows();
    MatrixXd rows(n, inputs), free = MatrixXd::Ones(n, 3);
    for (Index i = 0; i < n; ++i)
        if (f.circle) {
            const auto normal = f.points.row(i).head(2).normalized();
            rows.row(i) = normal[0] * f.effects.row(3 * i) + normal[1] * f.effects.row(3 * i + 1);
            free.row(i).tail(2) = normal;
        } else {
            rows.row(i) = f.effects.row(3 * i + 2);
            free.row(i).tail(2) = f.points.row(i).head(2);
        }
    const MatrixXd q =
        Eigen::HouseholderQR<MatrixXd>(free).householderQ() * MatrixXd::Identity(n, 3);
    return rows - q * (q.transpose() * rows);
}

/// The features as characteristics. @param knowledge the first so many inputs are the job's
PartModel model_of(const std::vector<Feature>& features, Index knowledge) {
    PartModel part;
    for (Index i = 0; i < inputs; ++i) {
        Input input;
        input.name = "input " + std::to_string(i);
        input.law = i < inputs / 2 ? stats::Distribution(stats::Normal{0, 1, {}})
                                   : stats::Distribution(stats::Rectangular{0, std::sqrt(3.0), {}});
        input.sharing = i % 3 == 0 && i / 3 < knowledge ? Sharing::job : Sharing::part;
        part.inputs.push_back(std::move(input));
    }
    for (const auto& f : features) {
        Characteristic c;
        c.name = "feature " + std::to_string(part.characteristics.size());
        c.reduction = Reduction::width;
        c.known = Eigen::VectorXd::Zero(f.points.rows());
        c.effect = folded(f);
        c.upper = 0.0135;
        part.characteristics.push_back(std::move(c));
    }
    return part;
}

double cpu_seconds() {
    timespec t{};
    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &t);
    return static_cast<double>(t.tv_sec) + 1e-9 * static_cast<double>(t.tv_nsec);
}

double elapsed_seconds() {
    return std::chrono::duration<double>(std::chrono::steady_clock::now().time_since_epoch())
        .count();
}

struct Results {
    std::vector<double> mean, standard, low, high;
};

/// Mean and both 95 % ends of each feature's values, which it sorts in part.
Results results_of(std::vector<std::vector<double>>& values) {
    Results r;
    for (auto& v : values) {
        const auto n = static_cast<double>(v.size());
        const double mean = std::accumulate(v.begin(), v.end(), 0.0) / n;
        double squares = 0;
        for (const double x : v)
            squares += (x - mean) * (x - mean);
        r.mean.push_back(mean);
        r.standard.push_back(std::sqrt(squares / n));
        const auto at = [&](double p) {
            const auto place = v.begin() + static_cast<std::ptrdiff_t>(p * (n - 1));
            std::nth_element(v.begin(), place, v.end());
            return *place;
        };
        r.low.push_back(at(0.025));
        r.high.push_back(at(0.975));
    }
    return r;
}

std::string list(const std::vector<double>& x) {
    std::string text;
    for (const double value : x) {
        char number[32];
        std::snprintf(number, sizeof number, "%s%.10g", text.empty() ? "" : ", ", value);
        text += number;
    }
    return "[" + text + "]";
}

int judge_parts(const std::string& path, std::size_t trials, unsigned threads) {
    const auto features = make_features();
    write(features, path);
    const double cpu = cpu_seconds(), elapsed = elapsed_seconds();
    const auto part = model_of(features, 0);
    const propagate::Stack stack(part, false);
    const std::size_t chunk = 256; // parts whose points stay in the caches
    std::vector<std::vector<double>> values(features.size(), std::vector<double>(trials));
    propagate::parallel((trials + chunk - 1) / chunk, threads, [&](std::size_t block) {
        const std::size_t first = block * chunk, count = std::min(chunk, trials - first);
        const auto draws = propagate::draw(stack, 1 + block, 1, count, 1).all;
        for (std::size_t c = 0; c < features.size(); ++c)
            propagate::Inner(part.characteristics[c], part, stack, c, draws)
                .values(0, std::span(values[c]).subspan(first, count));
    });
    const auto r = results_of(values);
    std::printf("{\"cpu\": %.6g, \"elapsed\": %.6g, \"mean\": %s, \"standard\": %s, \"low\": %s, "
                "\"high\": %s}\n",
                cpu_seconds() - cpu,
                elapsed_seconds() - elapsed,
                list(r.mean).c_str(),
                list(r.standard).c_str(),
                list(r.low).c_str(),
                list(r.high).c_str());
    return 0;
}

/// The yield of the whole part, world by world, and with confidence: 2000 worlds × 2000 parts of
/// all twelve, as `promise` judges a part of several characteristics.
int assured_yield(unsigned threads) {
    const auto part = model_of(make_features(), 10);
    const double cpu = cpu_seconds(), elapsed = elapsed_seconds();
    const propagate::Stack stack(part, false);
    constexpr std::size_t worlds = 2000, parts = 2000;
    const auto draws = propagate::draw(stack, 1, worlds, parts, threads).all;
    std::vector<propagate::Inner> inner;
    for (std::size_t c = 0; c < part.characteristics.size(); ++c)
        inner.emplace_back(part.characteristics[c], part, stack, c, draws);
    const auto joint = propagate::joint_yields(inner, worlds, parts, threads);
    std::printf("{\"cpu\": %.6g, \"elapsed\": %.6g, \"yield\": %.6g, \"assured\": %.6g}\n",
                cpu_seconds() - cpu,
                elapsed_seconds() - elapsed,
                propagate::mean(joint),
                propagate::quantile(joint, 0.05));
    return 0;
}

} // namespace

int main(int argc, char** argv) {
#if defined(__GLIBC__) // as the program does: what is freed is taken again, without the system
    mallopt(M_MMAP_THRESHOLD, 1 << 30);
    mallopt(M_TRIM_THRESHOLD, 1 << 30);
#endif
    if (argc == 3 && std::string(argv[1]) == "assured")
        return assured_yield(static_cast<unsigned>(std::atoi(argv[2])));
    if (argc == 4)
        return judge_parts(argv[1],
                           static_cast<std::size_t>(std::atof(argv[2])),
                           static_cast<unsigned>(std::atoi(argv[3])));
    std::fprintf(stderr, "usage: bench_features FILE TRIALS THREADS | assured THREADS\n");
    return 2;
}
