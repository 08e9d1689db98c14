# SPDX-License-Identifier: MIT
"""What a user would write with numpy for the features that tests/bench/compare times.

usage: feature_numpy.py FILE TRIALS nonlinear|linear

FILE is what bench_features wrote: of each feature the number of points, 0 for a plane or 1 for a
circle, the points (n x 3, mm) and the effects of 60 inputs on them (3n x 60, row by row). Half of
the inputs are normal, half rectangular, all of u = 1. A trial moves the points, fits by least
squares and takes the range of what is left: nonlinear by the fits themselves, linear by normals and
fit folded into the effects once. One line of JSON: CPU seconds of draws, products, fits and results,
and of each feature the mean and both 95 % ends.
"""
import json
import sys
import time

import numpy as np

INPUTS = 60
CHUNK = 2000


def read(path):
    raw = np.fromfile(path)
    features, at = [], 0
    while at < raw.size:
        n, circle = int(raw[at]), int(raw[at + 1])
        at += 2
        points = raw[at : at + 3 * n].reshape(n, 3)
        at += 3 * n
        effects = raw[at : at + 3 * n * INPUTS].reshape(3 * n, INPUTS)
        at += 3 * n * INPUTS
        features.append((n, circle, points, effects))
    return features


def plane(x):
    y = x - x.mean(1, keepdims=True)
    _, axes = np.linalg.eigh(np.matmul(y.transpose(0, 2, 1), y))
    return np.ptp(np.einsum("mnk,mk->mn", y, axes[:, :, 0]), axis=1)


def solved(a, z):
    turned = a.transpose(0, 2, 1)
    return np.linalg.solve(np.matmul(turned, a), np.matmul(turned, z[:, :, None]))[:, :, 0]


def circle(points):
    x, y = points[:, :, 0], points[:, :, 1]
    c = solved(np.stack([x, y, np.ones_like(x)], 2), x * x + y * y)
    a, b = c[:, 0] / 2, c[:, 1] / 2
    r = np.sqrt(c[:, 2] + a * a + b * b)
    for _ in range(2):  # Gauss and Newton, on distances
        dx, dy = x - a[:, None], y - b[:, None]
        rho = np.sqrt(dx * dx + dy * dy)
        s = solved(np.stack([dx / rho, dy / rho, np.ones_like(x)], 2), rho - r[:, None])
        a, b, r = a + s[:, 0], b + s[:, 1], r + s[:, 2]
    return np.ptp(np.hypot(x - a[:, None], y - b[:, None]), axis=1)


def folded(feature):
    n, is_circle, points, effects = feature
    if is_circle:
        c, s = points[:, 0], points[:, 1]
        r = np.hypot(c, s)
        c, s = c / r, s / r
        free = np.c_[np.ones(n), c, s]
        along = c[:, None] * effects[0::3] + s[:, None] * effects[1::3]
    else:
        free = np.c_[np.ones(n), points[:, :2]]
        along = effects[2::3]
    return along - free @ np.linalg.lstsq(free, along, rcond=None)[0]


def main():
    features, trials, linear = read(sys.argv[1]), int(float(sys.argv[2])), sys.argv[3] == "linear"
    rows = [folded(f) for f in features] if linear else None
    rng = np.random.Generator(np.random.PCG64(1))
    values = np.empty((len(features), trials))
    begun = time.process_time()
    for first in range(0, trials, CHUNK):
        m = min(CHUNK, trials - first)
        draws = np.vstack(
            [
                rng.standard_normal((INPUTS // 2, m)),
                (rng.random((INPUTS // 2, m)) - 0.5) * 12**0.5,
            ]
        )
        for k, (n, is_circle, points, effects) in enumerate(features):
            if linear:
                moved = rows[k] @ draws
                values[k, first : first + m] = moved.max(0) - moved.min(0)
            else:
                moved = (effects @ draws).T.reshape(m, n, 3) + points
                values[k, first : first + m] = circle(moved) if is_circle else plane(moved)
    ends = np.quantile(values, [0.025, 0.975], axis=1)
    cpu = time.process_time() - begun
    print(
        json.dumps(
            {
                "cpu": cpu,
                "mean": values.mean(1).tolist(),
                "standard": values.std(1).tolist(),
                "low": ends[0].tolist(),
                "high": ends[1].tolist(),
            }
        )
    )


main()
