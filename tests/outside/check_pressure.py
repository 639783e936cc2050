"""The air in a tyre and the air round it against reference libraries."""

import random

from ambiance import Atmosphere
from CoolProp.CoolProp import PropsSI

from stemclock import reckon


def check_standard_atmosphere():
    """Python package ambiance (ICAO standard atmosphere), geopotential altitudes 0 to 4000 m."""
    for h in range(0, 4001, 250):
        # ambiance takes the geometric altitude; the program's altitude is geopotential (ICAO Doc 7488).
        geometric = 6356766.0 * h / (6356766.0 - h)
        expected = Atmosphere(geometric).pressure[0] / 1000.0
        found = reckon("pressure", "--set", "250 kPa", "--set-at", "20 C", "--now", "20 C", "--altitude", f"{h} m")
        yield f"ambient at {h} m", found["ambient_now_kpa"], expected, 0.005
        # A sealed tyre at the same temperature: its gauge reading rises by what the ambient falls.
        yield f"gauge at {h} m", found["reads_kpa"], 250.0 + 101.325 - expected, 0.01


def check_air_in_the_tyre():
    """Python package CoolProp (real air at constant density); the ideal gas may differ by 0.3 per cent of the reading."""
    rng = random.Random(116)
    for _ in range(40):
        set_kpa, t1, t2 = rng.uniform(120, 320), rng.uniform(-10, 40), rng.uniform(-15, 70)
        density = PropsSI("D", "P", (set_kpa + 101.325) * 1000.0, "T", t1 + 273.15, "Air")
        expected = PropsSI("P", "D", density, "T", t2 + 273.15, "Air") / 1000.0 - 101.325
        found = reckon("pressure", "--set", f"{set_kpa} kPa", "--set-at", f"{t1} C", "--now", f"{t2} C")
        yield f"{set_kpa:.1f} kPa from {t1:.1f} to {t2:.1f} °C", found["reads_kpa"], expected, 0.003 * (expected + 101.325)


def check_worked_examples():
    """Gay-Lussac on absolute pressure, worked by hand; the gauge-ratio error would give 258.53 kPa in the first row."""
    for set_at, t1, t2, expected, tolerance in [
        ("250 kPa", "20 C", "30 C", 261.984, 0.001),
        ("250 kPa", "20 C", "0 C", 226.031, 0.001),
        ("250 kPa", "20 C", "60 C", 297.938, 0.001),
        ("36 psi", "68 F", "78 F", 36.9608 * 6.894757293, 0.001),
        ("42 psi", "68 F", "158 F", 51.6701 * 6.894757293, 0.001),
        ("36 psi", "68 F", "41 F", 33.4 * 6.894757293, 0.05 * 6.9),
    ]:
        found = reckon("pressure", "--set", set_at, "--set-at", t1, "--now", t2)
        yield f"{set_at} at {t1}, now {t2}", found["reads_kpa"], expected, tolerance
