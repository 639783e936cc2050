"""Every unit the program converts, against Python's pint, at random amounts."""

import random
import re
import subprocess

import pint

from stemclock import PROGRAM, reckon

UREG = pint.UnitRegistry(autoconvert_offset_to_baseunit=True)
# The program's symbol, and the same unit for pint. A unit that is not here fails the check below.
UNITS = {
    "kPa": "kilopascal", "psi": "psi", "bar": "bar", "kgf/cm²": "kilogram_force/cm**2", "atm": "atm", "Pa": "pascal",
    "MPa": "megapascal", "mm": "mm", "/32 in": "inch/32", "in": "inch", "cm": "cm", "m": "m", "ft": "foot",
    "µm": "micrometer", "thou": "thou", "km": "km", "mi": "mile", "°C": "degC", "°F": "degF", "K": "kelvin",
    "N·m": "newton*meter", "lbf·ft": "force_pound*foot", "lbf·in": "force_pound*inch", "kgf·m": "kilogram_force*meter",
    "kg": "kg", "lb": "pound", "g": "gram", "km/h": "km/hour", "mph": "mile/hour", "m/s": "m/s", "V": "volt",
    "mV": "millivolt", "N": "newton", "lbf": "force_pound", "kgf": "kilogram_force", "daN": "decanewton",
    "L": "liter", "mL": "milliliter", "US gal": "gallon", "imp gal": "imperial_gallon", "US qt": "quart",
    "US fl oz": "fluid_ounce",
}


def dimensions():
    """The program's own units by dimension, as its message lists them."""
    done = subprocess.run([PROGRAM, "reckon", "convert", "1 parsec", "kPa"], capture_output=True, text=True, check=False)
    found = re.search(r"in (.*), found the unit", done.stderr.replace("\n", " "))
    return [[unit.strip() for unit in group.split(",")] for group in found.group(1).split(";")]


def converted(text, unit):
    answer = reckon("convert", text, unit)
    (number,) = (v for k, v in answer.items() if k.startswith("to_") and k != "to_unit")
    return number


def check_every_unit_against_its_neighbours():
    """Python package pint, every unit of every dimension to every other, at random amounts (seed 811)."""
    rng = random.Random(811)
    for units in dimensions():
        for source in units:
            for target in units:
                if source == target:
                    continue
                amount = round(10 ** rng.uniform(-1, 3), 3)
                expected = UREG.Quantity(amount, UREG.parse_units(UNITS[source]) if "/32" not in source else UREG("inch").units)
                if "/32" in source:
                    expected = UREG.Quantity(amount / 32, "inch")
                if "/32" in target:
                    expected = expected.to("inch").magnitude * 32
                else:
                    expected = expected.to(UREG.parse_units(UNITS[target])).magnitude
                text = f"{amount}{source}" if source.startswith("/") else f"{amount} {source}"
                yield f"{text} to {target}", converted(text, target), expected, abs(expected) * 1e-9 + 1e-9


def check_lengths_and_distances():
    """Python package pint, a distance travelled as a length and the other way round."""
    for text, target, quantity, unit in [
        ("1 mi", "m", "1 mile", "m"), ("5280 ft", "mi", "5280 foot", "mile"), ("0.25 km", "ft", "0.25 km", "foot"),
    ]:
        yield f"{text} to {target}", converted(text, target), UREG.Quantity(quantity).to(unit).magnitude, 1e-6
