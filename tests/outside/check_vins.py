"""Vehicle identification numbers against the Python package vininfo and the regulation's own example."""

import random

from vininfo import Vin
from vininfo.exceptions import ValidationError

from stemclock import reckon

# 49 CFR 565.15, tables III and IV, written out again here so that the numbers below are made without the program.
VALUES = dict(zip("0123456789", range(10))) | dict(zip("ABCDEFGH", range(1, 9))) | dict(zip("JKLMN", range(1, 6)))
VALUES |= {"P": 7, "R": 9} | dict(zip("STUVWXYZ", range(2, 10)))
WEIGHTS = [8, 7, 6, 5, 4, 3, 2, 10, 0, 9, 8, 7, 6, 5, 4, 3, 2]
YEAR_CODES = "ABCDEFGHJKLMNPRSTVWXY123456789"


def made_up(rng):
    """Seventeen characters with the right check digit and a model-year code; no maker's own."""
    letters = [rng.choice(sorted(VALUES)) for _ in range(17)]
    letters[9] = rng.choice(YEAR_CODES)
    rest = sum(VALUES[c] * w for c, w in zip(letters, WEIGHTS)) % 11
    letters[8] = "X" if rest == 10 else str(rest)
    return "".join(letters)


def agrees(number):
    """What vininfo says of the check digit; it validates the form only where asked."""
    return Vin(number).verify_checksum(check_year=False)


def check_check_digits():
    """Python package vininfo, its checksum on random numbers, right and with one character changed (seed 565)."""
    rng = random.Random(565)
    for _ in range(40):
        number = made_up(rng)
        yield f"{number}", reckon("vin", number)["check_digit_agrees"], agrees(number)
        at = rng.choice([i for i in range(17) if i not in (8, 9)])
        changed = number[:at] + rng.choice([c for c in VALUES if c != number[at]]) + number[at + 1 :]
        yield f"{changed}", reckon("vin", changed)["check_digit_agrees"], agrees(changed)


def check_model_years():
    """Python package vininfo, the model years of every code, as far as its own table goes (to the coming year)."""
    for code in YEAR_CODES:
        number = "1M8GDM9AX" + code + "P042788"
        ours = reckon("vin", number)["model_years"]
        theirs = Vin(number).years
        # vininfo lists no year that is still to come and may list another cycle; every year it lists is one of ours or
        # thirty years apart from one.
        yield f"{code}: {theirs}", all(any((year - own) % 30 == 0 for own in ours) for year in theirs), True
        yield f"{code}: in the cycle of thirty years from 1980", ours, [1980 + YEAR_CODES.index(code), 2010 + YEAR_CODES.index(code)]


def check_the_form():
    """Python package vininfo refuses the letters I, O and Q and another length than seventeen, and so do we."""
    for number in ["1M8GDM9AIKP042788", "1M8GDM9AOKP042788", "1M8GDM9AQKP042788", "1M8GDM9AXKP04278", "1M8GDM9AXKP0427881"]:
        try:
            reckon("vin", number)
            ours = False
        except RuntimeError as error:
            ours = "expected" in str(error) and "found" in str(error)
        try:
            Vin(number)
            theirs = False
        except ValidationError:
            theirs = True
        yield number, ours, theirs


def check_worked_examples():
    """49 CFR 565.15 table V (sample calculation, sum 411) and two published worked examples."""
    for number, total, wanted in [
        ("1G4AH59H45G118341", 411, "4"),
        ("1M8GDM9AXKP042788", 351, "X"),
        ("11111111111111111", 89, "1"),
    ]:
        found = reckon("vin", number)
        yield f"{number}: sum", found["weighted_sum"], total
        yield f"{number}: check digit", found["check_digit_expected"], wanted
        yield f"{number}: agrees", found["check_digit_agrees"], True
    found = reckon("vin", "1M8GDM9A4KP042788")
    yield "4 instead of X", (found["check_digit_agrees"], found["check_digit_is_binding"]), (False, False)
