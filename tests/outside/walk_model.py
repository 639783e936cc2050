"""The walk's problem as a constraint model, written from its statement, and random instances of it.

The statement: each task takes seconds and has a value; it is done at one station, in one of its states. Going on costs
the change of state and the walk. Tasks in `after` come before where both are done; tasks in `needs` are done before.
Tasks with the same states and the same relations to all others are a round: those of them that are done follow one
another without a gap, in one state. Within the seconds there are, the value is greatest; of these the shortest.
"""

import time

from ortools.sat.python import cp_model


def closed(table):
    """A table of costs in which no detour is shorter than the direct way (Floyd 1962)."""
    n = len(table)
    for k in range(n):
        for i in range(n):
            for j in range(n):
                if table[i][k] is not None and table[k][j] is not None:
                    way = table[i][k] + table[k][j]
                    if table[i][j] is None or way < table[i][j]:
                        table[i][j] = way
    return table


def instance(rng, tasks, states, stations):
    """A random instance. From the states above a threshold nothing leads back below it, as with a cold engine."""
    change = [[0 if a == b else rng.choice([3, 6, 30, 60, 90, 120]) for b in range(states)] for a in range(states)]
    threshold = rng.randrange(states)
    for a in range(threshold, states):
        for b in range(threshold):
            change[a][b] = None
    walk = [[0] * stations for _ in range(stations)]
    for a in range(stations):
        for b in range(a):
            walk[a][b] = walk[b][a] = rng.choice([3, 6, 9, 12, 15])
    every = []
    for i in range(tasks):
        first = rng.randrange(states)
        several = rng.random() < 0.25
        task = {
            "seconds": rng.choice([18, 30, 60, 90, 120, 180, 240]),
            "value": rng.choice([10, 30, 30, 90]) + 5 * rng.randrange(4),
            "required": rng.random() < 0.15,
            "station": rng.randrange(stations),
            "states": sorted({first, rng.randrange(states)}) if several else [first],
            "after": [],
            "needs": [],
        }
        for j in range(i):
            if rng.random() < 0.06 and min(every[j]["states"]) <= max(task["states"]):
                task["after" if rng.random() < 0.6 else "needs"].append(j)
        every.append(task)
    seconds = int(sum(t["seconds"] for t in every) * rng.uniform(0.3, 1.1))
    return {
        "change": closed(change),
        "walk": closed(walk),
        "start": (0, rng.randrange(stations)),
        "tasks": every,
        "seconds": seconds,
    }


def kin(tasks, i):
    """What tasks of one round have in common."""
    named = [frozenset(j for j, t in enumerate(tasks) if i in t[key]) for key in ("after", "needs")]
    t = tasks[i]
    return frozenset(t["states"]), frozenset(t["after"]), frozenset(t["needs"]), *named


def best(problem, limit=60.0):
    """The greatest value and its least seconds by CP-SAT on one core; None where the required tasks do not fit."""
    tasks, change, walk = problem["tasks"], problem["change"], problem["walk"]
    count = range(len(tasks))
    model = cp_model.CpModel()
    done = [model.new_bool_var(f"done {i}") for i in count]
    place = [model.new_int_var(1, len(tasks), f"place {i}") for i in count]
    nodes = [(i, s) for i in count for s in sorted(set(tasks[i]["states"]))]
    number = {node: at + 1 for at, node in enumerate(nodes)}
    there = {node: model.new_bool_var(f"there {node}") for node in nodes}
    rounds = [kin(tasks, i) for i in count]
    entries = {}
    arcs, costs = [], []
    nothing = model.new_bool_var("nothing is done")
    arcs.append((0, 0, nothing))
    for i in count:
        model.add(sum(there[node] for node in nodes if node[0] == i) == done[i])
        model.add_implication(nothing, done[i].negated())
        if tasks[i]["required"]:
            model.add(done[i] == 1)
    state, station = problem["start"]
    for i, s in nodes:
        here = tasks[i]["station"]
        arcs.append((number[i, s], number[i, s], there[i, s].negated()))
        arcs.append((number[i, s], 0, model.new_bool_var("last")))
        if change[state][s] is not None:
            first = model.new_bool_var("first")
            arcs.append((0, number[i, s], first))
            costs.append((change[state][s] + walk[station][here], first))
            entries.setdefault(rounds[i], []).append(first)
        for j, r in nodes:
            same = rounds[i] == rounds[j]
            if i == j or change[s][r] is None or (same and s != r):
                continue
            follows = model.new_bool_var("follows")
            arcs.append((number[i, s], number[j, r], follows))
            costs.append((change[s][r] + walk[here][tasks[j]["station"]], follows))
            model.add(place[j] == place[i] + 1).only_enforce_if(follows)
            if not same:
                entries.setdefault(rounds[j], []).append(follows)
    model.add_circuit(arcs)
    for into in entries.values():
        model.add(sum(into) <= 1)
    for j in count:
        for i in tasks[j]["after"]:
            model.add(place[i] < place[j]).only_enforce_if([done[i], done[j]])
        for i in tasks[j]["needs"]:
            model.add_implication(done[j], done[i])
            model.add(place[i] < place[j]).only_enforce_if(done[j])
    seconds = sum(tasks[i]["seconds"] * done[i] for i in count) + sum(cost * arc for cost, arc in costs)
    value = sum(tasks[i]["value"] * done[i] for i in count)
    most = sum(t["seconds"] for t in tasks) + len(tasks) * max((cost for cost, _ in costs), default=0) + 1
    if problem["seconds"] is not None:
        model.add(seconds <= problem["seconds"])
    model.maximize(value * most - seconds)
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.max_time_in_seconds = limit
    solver.parameters.random_seed = 1
    before = time.process_time()
    status = solver.solve(model)
    spent = time.process_time() - before
    if status == cp_model.INFEASIBLE:
        return None
    found = status in (cp_model.OPTIMAL, cp_model.FEASIBLE)
    return {
        "optimal": status == cp_model.OPTIMAL,
        "value": round(solver.value(value)) if found else -1,
        "seconds": round(solver.value(seconds)) if found else -1,
        "ms": spent * 1000.0,
    }
