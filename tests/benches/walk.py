"""The walk's solver against CP-SAT on the same instances, as a ratio in one run, and its own time from 20 to 200 checks.

Needs the door and the program without debug checks, and OR-Tools:
    cargo build --release --example walk-orders
    WALK_ORDERS=target/release/examples/walk-orders target/venv/bin/python tests/benches/walk.py
It prints figures and judges none. Times are processor times on one core; the target is 100 ms for 120 checks.
"""

import json
import os
import pathlib
import random
import resource
import subprocess
import sys

sys.path.insert(0, str(pathlib.Path(__file__).parent.parent / "outside"))
from walk_model import best, instance  # noqa: E402

DOOR = os.environ["WALK_ORDERS"]
POSES = {"side": (6, 6), "upright": (6, 6), "centre": (30, 21), "front": (120, 60), "rear": (90, 45), "aboard": (12, 12)}
AT_REST = ["cold", "off", "warm", "hot"]
# Stance, engine, ignition, covers off, and how often of a hundred a check of the catalogue asks for it.
WANTED = [
    ("side", "rest", 0, 0, 30), ("side", "rest", 1, 0, 10), ("side", "cold", 0, 0, 4), ("side", "cold", 0, 1, 2),
    ("side", "rest", 0, 1, 4), ("upright", "rest", 0, 0, 7), ("upright", "rest", 1, 0, 1), ("front", "rest", 0, 0, 12),
    ("rear", "rest", 0, 0, 12), ("aboard", "rest", 0, 0, 2), ("aboard", "rest", 1, 0, 1), ("side", "run", 1, 0, 4),
    ("upright", "run", 1, 0, 1), ("upright", "warm", 0, 0, 1), ("aboard", "road", 1, 0, 7), ("side", "hot", 0, 0, 1),
]
# Places on the ring of twelve steps round the machine, with the seconds to get into each.
PLACES = [(0, 0), (11, 0), (3, 0), (5, 0), (6, 0), (8, 0), (9, 0), (9, 3), (8, 6)]


def engine(a, b):
    """Seconds from one state of the engine to another, as the program has them."""
    if a == b:
        return 0
    if b == "cold" or (b == "hot" and a != "road"):
        return None
    if a == "road":
        return {"hot": 60, "run": 60, "warm": 660}.get(b)
    if b == "run":
        return 21
    if b == "road":
        return 300 if a == "run" else 321
    if b == "warm":
        return {"run": 246, "hot": 600, "cold": 267, "off": 267}[a]
    return 6 if a == "run" else None


def change(x, y):
    (pose, a, ignition, covers), (to, b, ignited, uncovered) = x, y
    seconds = engine(a, b)
    if seconds is None:
        return None
    if pose != to:
        seconds += POSES[pose][1] + POSES[to][0]
    seconds += 120 * (covers != uncovered)
    if b in AT_REST:
        seconds += 3 * (ignition != ignited if a in AT_REST else ignited)
    return seconds


def walk(a, b):
    way = abs(a[0] - b[0])
    return 0 if a == b else min(way, 12 - way) * 3 + a[1] + b[1]


def like_ours(rng, count, share):
    """A walk as the catalogue makes them, with so many checks and a share of the time that all of them take."""
    wanted = rng.choices(WANTED, weights=[w[4] for w in WANTED], k=count)
    engines = lambda e: AT_REST if e == "rest" else [e]
    states = sorted({("side", "cold", 0, 0)} | {(p, e, i, c) for p, k, i, c, _ in wanted for e in engines(k)})
    home = {w[:4]: rng.sample(range(len(PLACES)), 2 if w[0] in ("front", "rear") else 9) for w in WANTED}
    tasks = []
    for pose, kind, ignition, covers, _ in wanted:
        tasks.append({
            "seconds": rng.choice([18, 30, 30, 60, 60, 90, 120, 120, 180, 240, 360]),
            "value": rng.choice([10, 30, 30, 90, 90]),
            "required": rng.random() < 0.05,
            "station": 5 if kind == "road" else rng.choice(home[pose, kind, ignition, covers]),
            "states": [states.index((pose, e, ignition, covers)) for e in sorted(engines(kind))],
            "after": [],
            "needs": [],
        })
    total = sum(t["seconds"] for t in tasks)
    return {
        "change": [[change(a, b) for b in states] for a in states],
        "walk": [[walk(a, b) for b in PLACES] for a in PLACES],
        "start": (states.index(("side", "cold", 0, 0)), 0),
        "tasks": tasks,
        "seconds": int(total * share),
    }


def spent():
    return resource.getrusage(resource.RUSAGE_CHILDREN).ru_utime


def solved(problems):
    """Answers with the milliseconds of processor time that each took, so that other work on the machine counts little.
    Starting the program and reading the problem are in them."""
    answers = []
    for problem in problems:
        before = spent()
        done = subprocess.run([DOOR], input=json.dumps([problem]), capture_output=True, text=True, check=True)
        answers.append({**json.loads(done.stdout)[0], "ms": (spent() - before) * 1000.0})
    return answers


def main():
    rng = random.Random(20261125)
    small = [instance(rng, rng.randint(8, 11), rng.randint(2, 5), rng.randint(1, 4)) for _ in range(40)]
    ours, theirs = solved(small), [best(problem) for problem in small]
    pairs = [(a["ms"], b["ms"]) for a, b in zip(ours, theirs) if b and b["optimal"]]
    ratio = sum(b for _, b in pairs) / sum(a for a, _ in pairs)
    print(f"{len(pairs)} random walks of 8 to 11 checks: CP-SAT takes {ratio:.0f} times as long")
    print("checks    median ms    worst ms    worst gap %    proven best")
    for count in (20, 40, 60, 80, 100, 120, 160, 200):
        problems = [like_ours(rng, count, share) for share in (0.15, 0.3, 0.5, 0.7, 0.9) for _ in range(4)]
        answers = [a for a in solved(problems) if "error" not in a and a["missing"] is None]
        times = sorted(a["ms"] for a in answers)
        gaps = [100.0 * (a["bound"] - a["value"]) / max(1, a["bound"]) for a in answers]
        median = times[len(times) // 2]
        proven = f"{sum(g == 0 for g in gaps)} of {len(gaps)}"
        print(f"{count:6d}    {median:9.1f}    {times[-1]:8.1f}    {max(gaps):11.2f}    {proven}")


if __name__ == "__main__":
    main()
