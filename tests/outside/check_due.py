"""What falls due: dates against dateutil, the calendar file against a parser and the rules of RFC 5545."""

import datetime
import json
import pathlib
import random
import subprocess
import tempfile

import icalendar
from dateutil.relativedelta import relativedelta

from stemclock import PROGRAM

MACHINE = """(
    schema: 1,
    id: "bench-0001",
    name: "Bench; one, two\\\\three",
    layout: Solo,
    category: L3e,
    region: "generic",
    power: Combustion,
    final_drive: Chain,
    front_brake: Hydraulic,
    rear_brake: Hydraulic,
    stands: (side: true, centre: false),
    battery: None,
    wheels: [
        (position: Front, rim: (kind: Cast, material: Aluminium)),
        (position: Rear, rim: (kind: Cast, material: Aluminium)),
    ],
    services: [
%s
    ],
)
"""


def due(services, today, ics=None):
    with tempfile.TemporaryDirectory() as folder:
        garage = pathlib.Path(folder) / "garage"
        bay = garage / "machines" / "bench-0001"
        bay.mkdir(parents=True)
        (garage / "garage.ron").write_text('(schema: 1, name: "Bänk, \\"x\\"; y")\n')
        (bay / "machine.ron").write_text(MACHINE % "\n".join(services))
        words = [PROGRAM, "due", str(garage), "--on", str(today), "--json"]
        if ics:
            words += ["--ics", ics]
        done = subprocess.run(words, capture_output=True, text=True, check=False)
        if done.returncode != 0:
            raise RuntimeError(f"{words}: {done.stderr}")
        answer = json.loads(done.stdout)
        assert not answer["unreadable"], answer["unreadable"]
        return answer["due"]


def service(what, months, last):
    return f'        (what: "{what}", every_months: {months}, last_on: "{last}", source: CommonPractice),'


def check_dates():
    """dateutil.relativedelta: 200 intervals in months, month ends and leap days among them (seed 2024)."""
    rng = random.Random(2024)
    cases = []
    for n in range(200):
        day = datetime.date(2000, 1, 1) + datetime.timedelta(days=rng.randint(0, 9400))
        if n % 3 == 0:
            day = (day.replace(day=1) + relativedelta(months=1)) - datetime.timedelta(days=1)
        if n % 20 == 0:
            day = datetime.date(rng.choice([2000, 2004, 2016, 2020, 2024]), 2, 29)
        cases.append((f"S{n}", rng.randint(1, 130), day))
    found = {item["what"]: item["date"] for item in due([service(*case) for case in cases], "2026-11-25")}
    for what, months, day in cases:
        yield f"{day} and {months} months", found[what], str(day + relativedelta(months=months))


def check_calendar():
    """RFC 5545 by the Python package icalendar, and its rules of folding, line ends and escaping."""
    words = ["Öl; Filter, Ring\\\\ und «Dichtung» — 🏍 " * 4, "plain", "a" * 74, "line: one"]
    services = [service(w, 12, "2026-01-31") for w in words] + [service("late", 6, "2024-08-31")]
    with tempfile.TemporaryDirectory() as folder:
        path = str(pathlib.Path(folder) / "due.ics")
        items = due(services, "2026-11-25", path)
        data = pathlib.Path(path).read_bytes()
        again = str(pathlib.Path(folder) / "again.ics")
        due(services, "2026-11-26", again)
        later = pathlib.Path(again).read_bytes()
    lines = data.split(b"\r\n")
    yield "ends with a line end", lines[-1], b""
    yield "no bare line feed or carriage return", b"\n" in data.replace(b"\r\n", b"") or b"\r" in data.replace(b"\r\n", b""), False
    yield "longest line in octets", max(map(len, lines)) <= 75, True
    yield "each line is whole characters", all(line.decode("utf-8") is not None for line in lines), True
    calendar = icalendar.Calendar.from_ical(data)
    yield "version", str(calendar["VERSION"]), "2.0"
    yield "has a product id", bool(str(calendar["PRODID"])), True
    events = calendar.walk("VEVENT")
    yield "entries", len(events), len(items)
    by_uid = {str(e["UID"]): e for e in events}
    yield "ids are used once", len(by_uid), len(events)
    for item in items:
        event = by_uid[f"bench-0001.{item['id']}@stemclock"]
        late = item["when"] == "overdue"
        summary = f"{'Overdue: ' if late else ''}{item['name']}: {item['what']}"
        yield f"summary of {item['id'][:20]}", str(event["SUMMARY"]), summary
        day = datetime.date(2026, 11, 25) if late else datetime.date.fromisoformat(item["date"])
        yield f"day of {item['id'][:20]}", event.decoded("DTSTART"), day
        yield f"end of {item['id'][:20]}", event.decoded("DTEND"), day + datetime.timedelta(days=1)
        yield f"stamp of {item['id'][:20]}", event.decoded("DTSTAMP").date(), datetime.date(2026, 11, 25)
        yield f"why of {item['id'][:20]}", item["why"] in str(event["DESCRIPTION"]), True
    ids = {str(e["UID"]) for e in icalendar.Calendar.from_ical(later).walk("VEVENT")}
    yield "ids stay from day to day", ids, set(by_uid)
