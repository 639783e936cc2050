"""Slopes, prediction and assignment against scipy and published figures."""

import pathlib
import random
import subprocess

import numpy
from scipy import optimize, stats

from stemclock import PROGRAM, reckon

# R data set `cars`: speed, stopping distance (Ezekiel 1930).
CARS = {
    4: [2, 10], 7: [4, 22], 8: [16], 9: [10], 10: [18, 26, 34], 11: [17, 28], 12: [14, 20, 24, 28], 13: [26, 34, 34, 46],
    14: [26, 36, 60, 80], 15: [20, 26, 54], 16: [32, 40], 17: [32, 40, 50], 18: [42, 56, 76, 84], 19: [36, 46, 68],
    20: [32, 48, 52, 56, 64], 22: [66], 23: [54], 24: [70, 92, 93, 120], 25: [85],
}


def trend(points, *words):
    return reckon("trend", *(f"{x} {y}" for x, y in points), *words)


def check_published_slope():
    """R package statpsych, ci.theil: example output 0.5, 95 % 0.3243243 to 0.75."""
    y = [21, 4, 9, 12, 35, 18, 10, 22, 24, 1, 6, 8, 13, 16, 19]
    x = [67, 28, 30, 28, 52, 40, 25, 37, 44, 10, 14, 20, 28, 40, 51]
    answer = trend(zip(x, y), "--confidence", 95)
    yield "slope", answer["slope_mm_per_km"], 0.5, 1e-12
    yield "low", answer["slope_low_mm_per_km"], 0.3243243, 1e-7
    yield "high", answer["slope_high_mm_per_km"], 0.75, 1e-12


def check_random_slopes():
    """scipy.stats.theilslopes on 60 random series with ties, outliers and gaps (seed 1968)."""
    rng = random.Random(1968)
    for case in range(60):
        n = rng.randint(3, 40)
        x = [rng.randint(0, 60) * 50 for _ in range(n)] if case % 2 else sorted(rng.sample(range(9000), n))
        y = [round(7 - 0.0006 * a + rng.gauss(0, 0.3) + (3 if rng.random() < 0.05 else 0), 1 if case % 3 else 4) for a in x]
        if len(set(x)) < 2:
            continue
        confidence = rng.choice([80, 90, 95])
        expected = stats.theilslopes(y, x, confidence / 100)
        answer = trend(zip(x, y), "--confidence", confidence)
        yield f"slope of series {case}", answer["slope_mm_per_km"], expected.slope, 1e-12
        yield f"intercept of series {case}", answer["intercept_mm"], expected.intercept, 1e-9
        if not numpy.isnan(expected.low_slope):
            yield f"low of series {case}", answer["slope_low_mm_per_km"], expected.low_slope, 1e-12
            yield f"high of series {case}", answer["slope_high_mm_per_km"], expected.high_slope, 1e-12


def check_prediction():
    """R lm(dist ~ speed) on cars: -17.579, 3.932, s 15.38; prediction intervals of a published tutorial."""
    points = [(x, y) for x, ys in CARS.items() for y in ys]
    for x, low, high in [(12, -1.75, 61.0), (19, 25.8, 88.5), (24, 44.8, 108.8)]:
        answer = trend(points, "--confidence", 95, "--at", x)
        yield f"low at {x}", answer["next_low_mm"], low, 0.055
        yield f"high at {x}", answer["next_high_mm"], high, 0.055
    yield "intercept", answer["least_squares_intercept"], -17.57909, 1e-5
    yield "slope", answer["least_squares_slope"], 3.93241, 1e-5
    yield "spread", answer["least_squares_spread"], 15.37959, 1e-5


def check_random_prediction():
    """statsmodels OLS get_prediction on 20 random series (seed 501)."""
    import statsmodels.api as sm

    rng = random.Random(501)
    for case in range(20):
        n = rng.randint(3, 25)
        x = rng.sample(range(9000), n)
        y = [round(7 - 0.0006 * a + rng.gauss(0, 0.3), 3) for a in x]
        at = rng.randint(0, 12000)
        confidence = rng.choice([80, 95])
        model = sm.OLS(y, sm.add_constant(numpy.array(x, dtype=float))).fit()
        frame = model.get_prediction(numpy.array([[1.0, at]])).summary_frame(alpha=1 - confidence / 100)
        answer = trend(zip(x, y), "--confidence", confidence, "--at", at)
        yield f"low of series {case}", answer["next_low_mm"], float(frame["obs_ci_lower"].iloc[0]), 1e-6
        yield f"high of series {case}", answer["next_high_mm"], float(frame["obs_ci_upper"].iloc[0]), 1e-6


def check_assignment():
    """scipy.optimize.linear_sum_assignment on 120 random tables, some with forbidden pairs (seed 1955)."""
    program = pathlib.Path(PROGRAM).parent / "examples" / "assignment"
    rng = random.Random(1955)
    tables = []
    for case in range(120):
        rows, columns = rng.randint(1, 25), rng.randint(1, 25)
        tables.append([
            [float("inf") if case % 4 == 3 and rng.random() < 0.2 else rng.choice([rng.uniform(-5, 9), float(rng.randint(0, 4))]) for _ in range(columns)]
            for _ in range(rows)
        ])
    text = "".join(";".join(" ".join(map(repr, row)) for row in table) + "\n" for table in tables)
    done = subprocess.run([program], input=text, capture_output=True, text=True, check=True)
    answers = done.stdout.splitlines()
    assert len(answers) == len(tables), done.stderr
    for case, (table, answer) in enumerate(zip(tables, answers)):
        costs = numpy.array(table)
        try:
            rows, columns = optimize.linear_sum_assignment(costs)
            expected = float(costs[rows, columns].sum())
        except ValueError:
            yield f"table {case} has no full assignment", answer, "none"
            continue
        if answer == "none":
            yield f"table {case}", answer, expected, 1e-9
            continue
        pairs = [(i, int(j)) for i, j in enumerate(answer.split()) if j != "-"]
        one_to_one = len({j for _, j in pairs}) == len(pairs) == min(costs.shape)
        yield f"table {case} is one to one", one_to_one, True
        yield f"total of table {case}", float(sum(costs[i, j] for i, j in pairs)), expected, 1e-9
