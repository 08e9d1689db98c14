# SPDX-License-Identifier: MIT
"""What a user would write with numpy for the budgets that tests/bench/compare times.

usage: formula_numpy.py MODEL TRIALS SEED
MODEL is end_gauge, additive, inverse (additive by scipy's inverse distribution functions) or
nonlinear. One line of JSON: CPU seconds for draws, formula and results, and the results.
"""
import json
import sys
import time

import numpy as np

COVERAGE = 0.95


def curvilinear(rng, n, half_width, doubt):
    """Rectangular limits that are themselves uncertain (JCGM 101, 6.4.3)."""
    low = -half_width + doubt * (2 * rng.random(n) - 1)
    return low + rng.random(n) * (-2 * low)


def end_gauge(rng, n):
    """JCGM 101, 9.5, in nm and K."""
    standard = 50_000_623 + 25 * rng.standard_t(18, n)
    difference = 215 + 6 * rng.standard_t(24, n) + 4 * rng.standard_t(5, n) + 7 * rng.standard_t(8, n)
    expansion = rng.uniform(9.5e-6, 13.5e-6, n)
    mean_temperature = rng.normal(-0.1, 0.2, n)
    cycle = 0.5 * np.sin(2 * np.pi * rng.random(n))
    expansion_step = curvilinear(rng, n, 1e-6, 0.1e-6)
    temperature_step = curvilinear(rng, n, 0.05, 0.025)
    warm = mean_temperature + cycle
    grown = standard * (1 + expansion * (warm - temperature_step)) + difference
    return grown / (1 + (expansion + expansion_step) * warm) - 50_000_000


def additive(rng, n):
    """Six normal and six rectangular terms of u = 1."""
    y = np.zeros(n)
    for _ in range(6):
        y += rng.standard_normal(n)
    for _ in range(6):
        y += rng.uniform(-np.sqrt(3), np.sqrt(3), n)
    return y


def inverse(rng, n):
    """The same by inverse distribution functions of scipy."""
    from scipy import stats

    y = np.zeros(n)
    for _ in range(6):
        y += stats.norm.ppf(rng.random(n))
    for _ in range(6):
        y += stats.uniform.ppf(rng.random(n), -np.sqrt(3), 2 * np.sqrt(3))
    return y


def nonlinear(rng, n):
    """Ten times a exp(b)/(1 + c²): a normal and correlated in pairs, b rectangular, c a t law."""
    y = np.zeros(n)
    for _ in range(5):
        first = rng.standard_normal(n)
        second = 0.5 * first + np.sqrt(0.75) * rng.standard_normal(n)
        for a in (first, second):
            b = rng.uniform(-0.1, 0.1, n)
            c = 0.1 * np.sqrt(0.8) * rng.standard_t(10, n)
            y += (1 + 0.05 * a) * np.exp(b) / (1 + c * c)
    return y


def results(y):
    """Mean, standard deviation and both intervals (JCGM 101, 7.6 and 7.7)."""
    n = y.size
    y = np.sort(y)
    steps = int(COVERAGE * n + 0.5)
    low = (n - steps + 1) // 2 - 1
    narrowest = int(np.argmin(y[steps:] - y[: n - steps]))
    return {
        "value": float(y.mean()),
        "standard": float(y.std(ddof=1)),
        "interval": [float(y[low]), float(y[low + steps])],
        "shortest": [float(y[narrowest]), float(y[narrowest + steps])],
    }


def main():
    model = {"end_gauge": end_gauge, "additive": additive, "inverse": inverse, "nonlinear": nonlinear}[sys.argv[1]]
    n = int(float(sys.argv[2]))
    rng = np.random.Generator(np.random.PCG64(int(sys.argv[3])))
    model(rng, 10)  # imports and first calls are not timed
    begun = time.process_time()
    found = results(model(rng, n))
    found["cpu"] = time.process_time() - begun
    print(json.dumps(found))


main()
