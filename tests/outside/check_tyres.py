"""Tyre sizes and places on them against published tables and worked examples."""

from stemclock import reckon


def check_sizes():
    """Published worked examples: 245/55-18 is 726.7 mm; MT90-16 has a sidewall of 117 mm and equals 130/90-16."""
    for size, field, expected, tolerance in [
        ("245/55-18", "outer_diameter_mm", 726.7, 0.05),
        ("MT90-16", "section_height_mm", 117.0, 0.05),
        ("MT90-16", "outer_diameter_mm", 640.4, 0.05),
        ("130/90-16", "outer_diameter_mm", 640.4, 0.05),
        ("120/70-17", "outer_diameter_mm", 599.8, 0.05),
        ("120/70-17", "circumference_mm", 1884.3, 0.1),
        ("120/70 ZR17 M/C 58W", "load_kg", 236.0, 0.0),
        ("120/70 ZR17 M/C 58W", "speed_kmh", 270.0, 0.0),
        ("180/55 ZR17 M/C 73W", "load_kg", 365.0, 0.0),
        ("110/80 17 54H", "load_kg", 212.0, 0.0),
        ("110/80 17 54H", "speed_kmh", 210.0, 0.0),
        ("mt90b16", "width_mm", 130.0, 0.0),
        ("3.25-19", "rim_in", 19.0, 0.0),
    ]:
        yield f"{size} {field}", reckon("tyre", size)[field], expected, tolerance


def check_load_index_series():
    """ISO 3 preferred numbers, series R80, which the load indices follow: ten-fold over 80 steps, within its rounding."""
    loads = {i: reckon("tyre", f"120/70-17 {i}H")["load_kg"] for i in range(20, 101, 10)}
    yield "LI 100 / LI 20", loads[100] / loads[20], 10.0, 0.0
    for index in range(20, 100, 10):
        yield f"LI {index + 10} / LI {index}", loads[index + 10] / loads[index], 10 ** (10 / 80), 0.03


def check_the_clock():
    """The house's worked example: 4:30 from the right on a 120/70-17 is 707 mm ahead, 1178 mm behind, 7:30 from the left."""
    found = reckon("clock", "--tyre", "120/70-17", "--at", "4:30", "--side", "right")
    yield "ahead", found["ahead_mm"], 706.6, 0.5
    yield "behind", found["behind_mm"], 1177.7, 0.5
    yield "from the left", found["clock_from_left"], "7:30"
    yield "from the right", found["clock_from_right"], "4:30"
