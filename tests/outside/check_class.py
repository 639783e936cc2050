"""The figures of a class and its spreadsheet, against scikit-learn, statsmodels, pandas and published examples."""

import io
import json
import pathlib
import re
import random
import shutil
import subprocess
import tempfile

import numpy
import pandas
from sklearn.metrics import cohen_kappa_score
from statsmodels.stats.inter_rater import cohens_kappa
from statsmodels.stats.proportion import proportion_confint

from stemclock import PROGRAM

DOOR = pathlib.Path(PROGRAM).parent / "examples" / "class-figures"
SAMPLE = pathlib.Path(__file__).parents[2] / "sample-garage"
CLASSES = ["minor", "major", "dangerous"]


def asked(lines):
    """The door's answer to each line: a list of numbers, or none."""
    done = subprocess.run([DOOR], input="\n".join(lines) + "\n", capture_output=True, text=True, check=True)
    answers = [None if line == "none" else [float(n) for n in line.split()] for line in done.stdout.splitlines()]
    assert len(answers) == len(lines), done.stderr
    return answers


def tables():
    """Random square tables of two to five classes, some of them thin."""
    rng = random.Random(1968)
    made = []
    for case in range(90):
        size = rng.randint(2, 5)
        most = rng.choice([2, 6, 40])
        table = [[rng.randint(0, most) + (most if i == j and case % 2 else 0) for j in range(size)] for i in range(size)]
        made.append(table)
    return made


def kappa_line(table):
    return "kappa " + ";".join(" ".join(map(str, row)) for row in table)


def check_kappa_value():
    """sklearn.metrics.cohen_kappa_score with linear weights on 90 random tables (seed 1968)."""
    made = tables()
    for case, (table, answer) in enumerate(zip(made, asked([kappa_line(t) for t in made]))):
        pairs = [(i, j) for i, row in enumerate(table) for j, n in enumerate(row) for _ in range(n)]
        one, other = zip(*pairs)
        expected = cohen_kappa_score(one, other, labels=range(len(table)), weights="linear")
        if answer is None:
            yield f"table {case}: nothing for chance to disagree on", bool(numpy.isnan(expected)), True
        else:
            yield f"table {case}", answer[0], float(expected), 1e-12


def check_kappa_interval():
    """statsmodels cohens_kappa with linear weights: standard error and 95 per cent interval on 90 random tables."""
    made = tables()
    for case, (table, answer) in enumerate(zip(made, asked([kappa_line(t) for t in made]))):
        if answer is None:
            continue
        with numpy.errstate(invalid="ignore"):
            result = cohens_kappa(numpy.array(table), wt="linear")
        if not numpy.isfinite(result.std_kappa):
            # Where one judge says one class only the variance is nought, and rounding may make it negative there.
            yield f"standard error of table {case}", answer[1], 0.0, 1e-6
            continue
        yield f"standard error of table {case}", answer[1], float(result.std_kappa), 1e-10
        # The program cuts the interval at -1 and 1, where a kappa cannot lie.
        yield f"low of table {case}", answer[2], max(-1.0, float(result.kappa_low)), 1e-9
        yield f"high of table {case}", answer[3], min(1.0, float(result.kappa_upp)), 1e-9


def check_kappa_published():
    """R package statpsych, ci.kappa(.05, 31, 12, 4, 58) as printed in its manual; R package vcd on the couples of Agresti (1990), from memory."""
    two, four = asked([kappa_line([[31, 12], [4, 58]]), kappa_line([[7, 7, 2, 3], [2, 8, 3, 7], [1, 5, 4, 9], [2, 8, 9, 14]])])
    for what, found, expected in zip(["value", "error", "low", "high"], two, [0.6756757, 0.07344761, 0.5317210, 0.8196303]):
        yield f"statpsych: {what}", found, expected, 5e-8
    yield "vcd: value", four[0], 0.2374, 5e-5
    yield "vcd: error", four[1], 0.0783, 5e-5


def check_wilson():
    """statsmodels proportion_confint, method "wilson", on every share of up to 12 and on 60 larger ones (seed 1927)."""
    rng = random.Random(1927)
    shares = [(part, whole) for whole in range(1, 13) for part in range(whole + 1)]
    for _ in range(60):
        whole = rng.randint(13, 5000)
        shares.append((rng.randint(0, whole), whole))
    for (part, whole), answer in zip(shares, asked([f"wilson {part} {whole}" for part, whole in shares])):
        low, high = proportion_confint(part, whole, alpha=0.05, method="wilson")
        yield f"low of {part} of {whole}", answer[0], float(low), 1e-12
        yield f"high of {part} of {whole}", answer[1], float(high), 1e-12


def check_wilson_published():
    """R. G. Newcombe, Statistics in Medicine 17 (1998) 857-872, table I, method 3 (from memory)."""
    published = [(81, 263, 0.2553, 0.3662), (15, 148, 0.0624, 0.1605), (0, 20, 0.0, 0.1611), (1, 29, 0.0061, 0.1718)]
    answers = asked([f"wilson {part} {whole}" for part, whole, _, _ in published])
    for (part, whole, low, high), answer in zip(published, answers):
        yield f"low of {part} of {whole}", answer[0], low, 5e-5
        yield f"high of {part} of {whole}", answer[1], high, 5e-5


def scored(garage, *words):
    """The scores of the class as data."""
    command = [PROGRAM, "class", str(garage), "--key", "autumn", "--json", *words]
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    if done.returncode != 0:
        raise RuntimeError(f"class: exit code {done.returncode}: {done.stderr.strip()}")
    return json.loads(done.stdout)


def check_class_of_the_sample():
    """The sample's class end to end: kappa by scikit-learn, intervals by statsmodels, medians by numpy, from its own pairs."""
    data = scored(SAMPLE)
    figures, students = data["class"], data["students"]
    found = [pairing for student in students for pairing in student["findings"]]
    by_key = [CLASSES.index(p["key_severity"]) for p in found]
    by_student = [CLASSES.index(p["severity"]) for p in found]
    kappa = figures["severity_kappa"]
    yield "pairs", kappa["count"], len(found)
    yield "kappa", kappa["value"], float(cohen_kappa_score(by_key, by_student, labels=[0, 1, 2], weights="linear")), 1e-12
    table = numpy.zeros((3, 3))
    for pair in zip(by_key, by_student):
        table[pair] += 1
    result = cohens_kappa(table, wt="linear")
    yield "standard error of kappa", kappa["standard_error"], float(result.std_kappa), 1e-10
    for what, share in (("recall", figures["recall"]), ("precision", figures["precision"])):
        low, high = proportion_confint(share["part"], share["whole"], alpha=0.05, method="wilson")
        yield f"low of {what}", share["low"], float(low), 1e-12
        yield f"high of {what}", share["high"], float(high), 1e-12
    right = sum(p["outcome"] == "found" for p in found)
    yield "found", figures["recall"]["part"], right
    yield "to be found", figures["recall"]["whole"], len(found) + sum(len(s["missed"]) for s in students)
    yield "written down", figures["precision"]["whole"], len(found) + sum(len(s["false_alarms"]) for s in students)
    for field in ("minutes_off", "millimetres_off"):
        median = float(numpy.median([p[field] for p in found if p[field] is not None]))
        yield f"median of {field}", figures[f"{field}_median"], median, 1e-9


ODD = {
    "alma-3f1c": 'Zoë "the second", of Ayr',
    "bertil-90ab": "=SUM(A1:A9)",
    "ciara-51d7": "Лена Łuk; 2",
    "dov-c2e8": "-1",
}


def check_spreadsheet():
    """pandas.read_csv on the class's table, with names that need quoting and names that look like formulas."""
    with tempfile.TemporaryDirectory() as home:
        garage = pathlib.Path(home) / "garage"
        shutil.copytree(SAMPLE, garage)
        sheets = next(garage.glob("exercises/*/sheets"))
        for sheet, name in ODD.items():
            path = sheets / f"{sheet}.ron"
            text = path.read_text(encoding="utf-8")
            old = sheet.split("-")[0].capitalize()
            escaped = name.replace("\\", "\\\\").replace('"', '\\"')
            changed = text.replace(f'student: "{old}"', f'student: "{escaped}"')
            assert changed != text, sheet
            path.write_text(changed, encoding="utf-8")
        table = pathlib.Path(home) / "scores.csv"
        data = scored(garage, "--csv", str(table))
        raw = table.read_bytes()
        frame = pandas.read_csv(io.BytesIO(raw))
    students = data["students"]
    yield "rows", len(frame), len(students)
    yield "columns once each", len(set(frame.columns)), len(frame.columns)
    for at, student in enumerate(students):
        row = frame.iloc[at]
        name = student["student"]
        # A name that a spreadsheet would run is written as text; a plain number runs nothing and stays one.
        would_run = name[0] in "=+-@" and not re.fullmatch(r"[+-]\d+", name)
        yield f"name of row {at}", str(row["student"]), f"'{name}" if would_run else name
        for column, expected in (
            ("earned", student["earned"]),
            ("out_of", student["out_of"]),
            ("percent", student["percent"]),
            ("recall", student["recall"]),
            ("precision", student["precision"]),
            ("minutes", student["minutes"]),
        ):
            # Four decimals are written.
            yield f"{column} of {name}", float(row[column]), float(expected), 5.1e-5
        yield f"missed of {name}", int(row["missed"]), len(student["missed"])
        yield f"false alarms of {name}", int(row["false_alarms"]), len(student["false_alarms"])
        yield f"verdict of {name}", (row["verdict"], bool(row["verdict_right"])), (student["verdict"], student["verdict_right"])
    numbers = ["earned", "out_of", "percent", "found", "misplaced", "missed", "false_alarms", "recall", "precision", "minutes"]
    for column in numbers:
        yield f"{column} is a column of numbers", pandas.api.types.is_numeric_dtype(frame[column]), True
