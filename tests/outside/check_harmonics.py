"""Run-out surveys: full rings against numpy's FFT, rings with gaps against numpy's least squares."""

import math
import random

import numpy as np

from stemclock import reckon


def clock(degrees):
    minutes = round(degrees * 2)  # Half a degree is one minute of the hour-hand clock.
    return f"{minutes // 60}:{minutes % 60:02d}"


def survey(degrees, readings, side="right"):
    words = [f"{clock(d)} {r:.4f}" for d, r in zip(degrees, readings)]
    return reckon("runout", "--side", side, *words)


def ring(rng, n):
    size, high, local = rng.uniform(0.05, 0.6), rng.uniform(0, 2 * math.pi), rng.uniform(0, 0.3)
    values = [0.1 + size * math.cos(2 * math.pi * i / n - high) + rng.gauss(0, 0.02) for i in range(n)]
    values[rng.randrange(n)] += local
    return [round(v, 4) for v in values]


def apart(found, expected):
    """The smaller angle between two directions in degrees."""
    return abs((found - expected + 180) % 360 - 180)


def check_full_rings():
    """Python package numpy, numpy.fft.rfft of evenly spread readings: the first coefficient is the first harmonic."""
    rng = random.Random(52)
    for _ in range(30):
        n = rng.choice([4, 6, 8, 12, 24])
        readings = ring(rng, n)
        found = survey([360 * i / n for i in range(n)], readings)
        first = np.fft.rfft(readings)[1]
        # An even number of four readings puts the Nyquist coefficient at two; the first one is alone at half the ring.
        yield f"{n} places: amplitude", found["first_harmonic_mm"], 2 * abs(first) / n, 1e-9
        yield f"{n} places: mean", found["mean_mm"], float(np.mean(readings)), 1e-9
        high = math.degrees(-np.angle(first)) % 360
        yield f"{n} places: high spot", apart(found["high_spot_clockwise_from_right_deg"], high), 0.0, 1e-6
        yield f"{n} places: total", found["total_mm"], max(readings) - min(readings), 1e-9


def check_rings_with_gaps():
    """Python package numpy, numpy.linalg.lstsq on [1, cos, sin] at the places that were read."""
    rng = random.Random(53)
    for _ in range(30):
        n = 12
        readings = ring(rng, n)
        keep = sorted(rng.sample(range(n), rng.randrange(5, n)))
        degrees = [30 * i for i in keep]
        values = [readings[i] for i in keep]
        angles = np.radians(degrees)
        basis = np.column_stack([np.ones(len(keep)), np.cos(angles), np.sin(angles)])
        (mean, a, b), *_ = np.linalg.lstsq(basis, np.array(values), rcond=None)
        found = survey(degrees, values)
        if "first_harmonic_mm" not in found:
            # The program says that the places fix nothing; least squares must then be badly conditioned.
            yield f"{keep}: fixes nothing", float(np.linalg.cond(basis)) > 20, True
            continue
        yield f"{keep}: amplitude", found["first_harmonic_mm"], math.hypot(a, b), 1e-8
        yield f"{keep}: mean", found["mean_mm"], mean, 1e-8
        yield f"{keep}: high spot", apart(found["high_spot_clockwise_from_right_deg"], math.degrees(math.atan2(b, a))), 0.0, 1e-4
        residuals = np.array(values) - basis @ np.array([mean, a, b])
        yield f"{keep}: left over", abs(found["largest_left_over_mm"]), float(np.max(np.abs(residuals))), 1e-8


def check_the_other_side_is_the_mirror():
    """House rule 12 by hand: from the left the clock runs the other way, so the high spot's angle turns."""
    right = survey([0, 90, 180, 270], [0.0, 0.2, 0.0, -0.2])
    left = survey([0, 90, 180, 270], [0.0, 0.2, 0.0, -0.2], side="left")
    yield "from the right", right["high_spot_clockwise_from_right_deg"], 90.0, 1e-6
    yield "from the left", left["high_spot_clockwise_from_right_deg"], 270.0, 1e-6
    yield "read again", left["high_spot_at"], "3:00"
