"""The walk's choice and order against published instances and against OR-Tools."""

import json
import os
import pathlib
import random
import subprocess
from concurrent.futures import ProcessPoolExecutor

from walk_model import best, instance

DOOR = os.environ.get(
    "WALK_ORDERS", str(pathlib.Path(os.environ["STEMCLOCK"]).parent / "examples" / "walk-orders")
)
INSTANCES = 220


def solved(problems):
    """The solver's answers."""
    done = subprocess.run([DOOR], input=json.dumps(problems), capture_output=True, text=True, check=False)
    if done.returncode != 0:
        raise RuntimeError(f"walk-orders: exit code {done.returncode}: {done.stderr.strip()}")
    return json.loads(done.stdout)


def check_published_order():
    """TSPLIB (Reinelt 1991), sequential ordering problem ESC07: the published optimum is 2125."""
    rows = """0 0 0 0 0 0 0 0 1000000
-1 0 100 200 75 0 300 100 0
-1 400 0 500 325 400 600 0 0
-1 700 800 0 550 700 900 800 0
-1 -1 250 225 0 275 525 250 0
-1 -1 100 200 -1 0 -1 -1 0
-1 -1 1100 1200 1075 1000 0 1100 0
-1 -1 0 500 325 400 600 0 0
-1 -1 -1 -1 -1 -1 -1 -1 0"""
    table = [[int(cell) for cell in row.split()] for row in rows.splitlines()]
    nodes = range(len(table))
    # A node is a task in a state of its own; -1 in row i, column j says that j comes before i.
    problem = {
        "change": [[None if cell < 0 else cell for cell in row] for row in table],
        "walk": [[0]],
        "start": (0, 0),
        "seconds": None,
        "tasks": [
            {"seconds": 0, "value": 0, "required": True, "states": [i], "after": [j for j in nodes if table[i][j] == -1]}
            for i in nodes
        ],
    }
    answer = solved([problem])[0]
    order = [task for task, _ in answer["order"]]
    yield "cost", answer["seconds"], 2125
    yield "proven", answer["no_less_than"], 2125
    yield "cost of the order by the table", sum(table[a][b] for a, b in zip(order, order[1:])), 2125
    kept = all(order.index(j) < order.index(i) for i in nodes for j in nodes if table[i][j] == -1)
    yield "precedence", (sorted(order), kept), (list(nodes), True)


# name: capacity, weights, profits, optimum.
KNAPSACKS = {
    "p01": (165, [23, 31, 29, 44, 53, 38, 63, 85, 89, 82], [92, 57, 49, 68, 60, 43, 67, 84, 87, 72], 309),
    "p02": (26, [12, 7, 11, 8, 9], [24, 13, 23, 15, 16], 51),
    "p03": (190, [56, 59, 80, 64, 75, 17], [50, 50, 64, 46, 50, 5], 150),
    "p04": (50, [31, 10, 20, 19, 4, 3, 6], [70, 20, 39, 37, 7, 5, 10], 107),
    "p05": (104, [25, 35, 45, 5, 25, 3, 2, 2], [350, 400, 450, 20, 70, 8, 5, 5], 900),
}


# The worked example of the OR-Tools guide, data from memory, its optimum published: 7534.
GUIDE_WEIGHTS = """7 0 30 22 80 94 11 81 70 64 59 18 0 36 3 8 15 42 9 0 42 47 52 32 26 48 55 6 29 84 2 4 18 56 7 29
93 44 71 3 86 66 31 65 0 79 20 65 52 13"""
GUIDE_PROFITS = """360 83 59 130 431 67 230 52 93 125 670 892 600 38 48 147 78 256 63 17 120 164 432 35 92 110 22 42
50 323 514 28 87 73 78 15 26 78 210 36 85 189 274 43 33 10 19 389 276 312"""
KNAPSACKS["guide"] = (850, [int(w) for w in GUIDE_WEIGHTS.split()], [int(p) for p in GUIDE_PROFITS.split()], 7534)


def check_published_knapsacks():
    """Burkardt's KNAPSACK_01 (p03, p04 from memory) and the example of the OR-Tools guide: the published optima."""
    problems = [
        {
            "change": [[0]],
            "walk": [[0]],
            "start": (0, 0),
            "seconds": capacity,
            "tasks": [{"seconds": w, "value": p, "states": [0]} for w, p in zip(weights, profits)],
        }
        for capacity, weights, profits, _ in KNAPSACKS.values()
    ]
    for (name, (*_, optimum)), answer in zip(KNAPSACKS.items(), solved(problems)):
        yield name, (answer["value"], answer["bound"]), (optimum, optimum)


def chosen_first(problem):
    """The tasks chosen as a knapsack of their own seconds, then those that are dropped until the order fits."""
    tasks, room = problem["tasks"], problem["seconds"]
    needs = lambda i: {i}.union(*(needs(j) for j in tasks[i]["needs"]))
    must = set().union(set(), *(needs(i) for i in range(len(tasks)) if tasks[i]["required"]))
    # By dynamic programming over seconds; what a task needs comes with it only later, which favours this baseline.
    table = {sum(tasks[i]["seconds"] for i in must): (sum(tasks[i]["value"] for i in must), frozenset(must))}
    for i in set(range(len(tasks))) - must:
        for used, (value, chosen) in list(table.items()):
            more = used + tasks[i]["seconds"]
            if more <= room and value + tasks[i]["value"] > table.get(more, (-1,))[0]:
                table[more] = (value + tasks[i]["value"], chosen | {i})
    _, chosen = max(table.values(), key=lambda entry: entry[0])
    chosen = set().union(*(needs(i) for i in chosen)) if chosen else set()
    worth = lambda i: tasks[i]["value"] / tasks[i]["seconds"]
    sets = [chosen]
    while sets[-1] - must:
        out = min(sets[-1] - must, key=worth)
        sets.append({i for i in sets[-1] if out not in needs(i)})
    return sets


def only(problem, kept):
    """The problem with some of its tasks, all required, for as long as it takes."""
    place = {task: at for at, task in enumerate(sorted(kept))}
    tasks = []
    for task in sorted(kept):
        old = problem["tasks"][task]
        names = {key: [place[i] for i in old[key] if i in place] for key in ("after", "needs")}
        tasks.append({**old, **names, "required": True})
    return {**problem, "tasks": tasks, "seconds": None}


def check_random_walks():
    """OR-Tools CP-SAT: the greatest value of random walks, from a model written from the statement."""
    rng = random.Random(20261125)
    problems = [instance(rng, rng.randint(6, 11), rng.randint(2, 5), rng.randint(1, 4)) for _ in range(INSTANCES)]
    ours = solved(problems)
    with ProcessPoolExecutor(max_workers=2) as pool:
        theirs = list(pool.map(best, problems, chunksize=8))
    equal, lost, compared = 0, 0, []
    for at, (problem, answer, theirs_at) in enumerate(zip(problems, ours, theirs)):
        if theirs_at is None:
            fits = "error" in answer or answer["missing"] is not None
            yield f"walk {at}: the required tasks do not fit", fits, True
            continue
        if not theirs_at["optimal"]:
            continue
        yield f"walk {at}: value, bound", (answer.get("value"), answer.get("bound")), (theirs_at["value"],) * 2
        yield f"walk {at}: not shorter than the shortest", answer["seconds"] >= theirs_at["seconds"], True
        equal += answer.get("value") == theirs_at["value"]
        compared.append((problem, theirs_at["value"]))
    yield "walks equal in value to CP-SAT, at least 200", equal >= 200, True
    # Choosing first and ordering after: how often it takes away less than the best.
    series = [chosen_first(problem) for problem, _ in compared]
    flat = [only(problem, kept) for (problem, _), sets in zip(compared, series) for kept in sets]
    answers = iter(solved(flat))
    for (problem, optimum), sets in zip(compared, series):
        found = [(kept, next(answers)) for kept in sets]
        fits = [kept for kept, a in found if "error" not in a and a["seconds"] <= problem["seconds"]]
        value = max((sum(problem["tasks"][i]["value"] for i in kept) for kept in fits), default=0)
        lost += value < optimum
    yield f"walks where choosing first loses ({lost}), at least 50", lost >= 50, True
    print(f"   walks equal to CP-SAT: {equal}; choosing first and ordering after loses in {lost}")
