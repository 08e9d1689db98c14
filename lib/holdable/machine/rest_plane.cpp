// SPDX-License-Identifier: MIT
#include "holdable/machine/rest_plane.hpp"

#include "holdable/base/error.hpp"

#include <Eigen/LU>

#include <algorithm>
#include <limits>
#include <set>
#include <vector>

namespace holdable {
namespace {

constexpr double touching = 1e-13; // higher than that above the plane is above it (m)

using Triangle = std::array<std::size_t, 3>;

Eigen::Vector2d place(const BearingPoint& p) {
    return {p.x, p.y};
}

/// Twice the area, with the sense of turning.
double turn(const Eigen::Vector2d& a, const Eigen::Vector2d& b, const Eigen::Vector2d& c) {
    const Eigen::Vector2d u = b - a;
    const Eigen::Vector2d v = c - a;
    return u.x() * v.y() - u.y() * v.x();
}

/// The least of the three weights with which the corners make up the centre; below 0 outside.
double least_weight(std::span<const BearingPoint> points,
                    const Triangle& t,
                    const Eigen::Vector2d& centre) {
    const auto a = place(points[t[0]]);
    const auto b = place(points[t[1]]);
    const auto c = place(points[t[2]]);
    const double area = turn(a, b, c);
    if (area == 0)
        return -1;
    return std::min(
        {turn(centre, b, c) / area, turn(a, centre, c) / area, turn(a, b, centre) / area});
}

std::optional<Triangle> any_triangle(std::span<const BearingPoint> points,
                                     const Eigen::Vector2d& centre) {
    for (std::size_t i = 0; i < points.size(); ++i)
        for (std::size_t j = i + 1; j < points.size(); ++j)
            for (std::size_t k = j + 1; k < points.size(); ++k)
                if (least_weight(points, {i, j, k}, centre) > 0)
                    return Triangle{i, j, k};
    return std::nullopt;
}

Rest plane_through(std::span<const BearingPoint> points,
                   const Triangle& t,
                   const Eigen::Vector2d& centre) {
    Rest rest;
    rest.contacts = t;
    std::sort(rest.contacts.begin(), rest.contacts.end());
    const Eigen::Vector3d heights(
        points[rest.contacts[0]].h, points[rest.contacts[1]].h, points[rest.contacts[2]].h);
    rest.slope = slope_map(points, rest.contacts) * heights;
    rest.height = heights[0] + rest.slope.dot(centre - place(points[rest.contacts[0]]));
    return rest;
}

double above(const BearingPoint& p, const Rest& plane, const Eigen::Vector2d& centre) {
    return p.h - plane.height - plane.slope.dot(place(p) - centre);
}

/// So that the centre stands on no edge that two points make.
Eigen::Vector2d off_the_edges(std::span<const BearingPoint> points, const Eigen::Vector2d& centre) {
    double size = 0;
    for (const auto& p : points)
        size = std::max(size, (place(p) - centre).norm());
    return centre + 1e-7 * size * Eigen::Vector2d(0.7548776662, 0.5698402910);
}

/// Tipped about the side that faces a contact, until the first point beyond it touches; none if no
/// point is there.
std::optional<Rest> tipped(std::span<const BearingPoint> points,
                           const Eigen::Vector2d& centre,
                           const Rest& rest,
                           std::size_t lifted) {
    const auto j = rest.contacts[(lifted + 1) % 3];
    const auto k = rest.contacts[(lifted + 2) % 3];
    const auto from = place(points[j]);
    const auto to = place(points[k]);
    const double length = (to - from).norm();
    const double side = turn(from, to, place(points[rest.contacts[lifted]]));
    std::optional<std::size_t> touched;
    double least = 0;
    for (std::size_t m = 0; m < points.size(); ++m) {
        const double beyond = -turn(from, to, place(points[m])) * (side > 0 ? 1 : -1);
        if (beyond <= 1e-9 * length * length)
            continue;
        const double angle = -above(points[m], rest, centre) / (beyond / length);
        if (!touched || angle < least) {
            touched = m;
            least = angle;
        }
    }
    if (!touched)
        return std::nullopt;
    return plane_through(points, {j, k, *touched}, centre);
}

} // namespace

Eigen::Matrix<double, 2, 3> slope_map(std::span<const BearingPoint> points,
                                      const std::array<std::size_t, 3>& contacts) {
    Eigen::Matrix2d sides;
    for (int k = 0; k < 2; ++k)
        sides.row(k) =
            (place(points[contacts[static_cast<std::size_t>(k) + 1]]) - place(points[contacts[0]]))
                .transpose();
    Eigen::Matrix<double, 2, 3> rises;
    rises << -1, 1, 0, -1, 0, 1;
    return sides.inverse() * rises;
}

Rest rest_on(std::span<const BearingPoint> points, const Eigen::Vector2d& stated) {
    const auto centre = off_the_edges(points, stated);
    auto triangle = any_triangle(points, centre);
    if (!triangle)
        throw NumericError("a base cannot rest: its centre of gravity is not over its footprint");
    for (;;) {
        const auto rest = plane_through(points, *triangle, centre);
        std::size_t highest = 0;
        for (std::size_t i = 1; i < points.size(); ++i)
            if (above(points[i], rest, centre) > above(points[highest], rest, centre))
                highest = i;
        if (above(points[highest], rest, centre) <= touching)
            return plane_through(points, rest.contacts, stated);
        auto next = *triangle;
        double best = -std::numeric_limits<double>::infinity();
        for (std::size_t out = 0; out < 3; ++out) {
            auto tried = *triangle;
            tried[out] = highest;
            if (const double w = least_weight(points, tried, centre); w > best) {
                best = w;
                next = tried;
            }
        }
        *triangle = next;
    }
}

std::optional<Rocking> rocking(std::span<const BearingPoint> points,
                               const Eigen::Vector2d& centre,
                               const Rest& rest,
                               double limit) {
    std::set<Triangle> seen{rest.contacts};
    std::vector<Rest> waiting{rest};
    std::optional<Rocking> farthest;
    while (!waiting.empty()) {
        const auto from = waiting.back();
        waiting.pop_back();
        for (std::size_t lifted = 0; lifted < 3; ++lifted) {
            const auto to = tipped(points, centre, from, lifted);
            if (!to || to->height > rest.height + limit || !seen.insert(to->contacts).second)
                continue;
            waiting.push_back(*to);
            if (!farthest ||
                (to->slope - rest.slope).norm() > (farthest->other.slope - rest.slope).norm())
                farthest = Rocking{*to, std::max(0.0, to->height - rest.height)};
        }
    }
    return farthest;
}

} // namespace holdable
