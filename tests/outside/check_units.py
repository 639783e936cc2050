"""Unit conversion against Python's pint and against the definitions."""

import random

import pint

from stemclock import reckon

UREG = pint.UnitRegistry(autoconvert_offset_to_baseunit=True)
# The program's symbol, and the same unit for pint.
UNITS = {
    "pressure": {"kPa": "kilopascal", "psi": "psi", "bar": "bar", "kgf/cm²": "kilogram_force/cm**2", "atm": "atm"},
    "length": {"mm": "mm", "in": "inch", "cm": "cm", "m": "m", "ft": "foot"},
    "distance": {"km": "km", "mi": "mile"},
    "temperature": {"°C": "degC", "°F": "degF", "K": "kelvin"},
    "torque": {"N·m": "newton*meter", "lbf·ft": "force_pound*foot", "lbf·in": "force_pound*inch", "kgf·m": "kilogram_force*meter"},
    "mass": {"kg": "kg", "lb": "pound"},
    "speed": {"km/h": "km/hour", "mph": "mile/hour", "m/s": "m/s"},
    "force": {"N": "newton", "lbf": "force_pound", "kgf": "kilogram_force"},
}


def converted(text, unit):
    answer = reckon("convert", text, unit)
    (number,) = (v for k, v in answer.items() if k.startswith("to_") and k != "to_unit")
    return number


def check_random_conversions():
    """Python package pint, 120 random conversions over every dimension (seed 1978)."""
    rng = random.Random(1978)
    for _ in range(120):
        dimension = rng.choice(sorted(UNITS))
        source, target = rng.sample(sorted(UNITS[dimension]), 2)
        amount = round(10 ** rng.uniform(-2, 4), 4)
        expected = UREG.Quantity(amount, UNITS[dimension][source]).to(UNITS[dimension][target]).magnitude
        number = converted(f"{amount} {source}", target)
        yield f"{amount} {source} to {target}", number, expected, abs(expected) * 1e-9 + 1e-9


def check_definitions():
    """NIST SP 811 appendix B, factors exact by definition."""
    for text, unit, expected, tolerance in [
        ("36 psi", "kPa", 248.2112626, 1e-6),
        ("2.5 bar", "psi", 36.2594, 1e-4),
        ("65 N·m", "lbf·ft", 47.9415, 1e-4),
        ("5 kgf·m", "N·m", 49.03325, 1e-9),
        ("12000 mi", "km", 19312.128, 1e-9),
        ("-40 °F", "°C", -40.0, 1e-9),
        ("10 lbf", "N", 44.482216, 1e-6),
        ("1/32 in", "mm", 0.79375, 1e-12),
        ("2/32 in", "mm", 1.5875, 1e-12),
    ]:
        yield f"{text} to {unit}", converted(text, unit), expected, tolerance
