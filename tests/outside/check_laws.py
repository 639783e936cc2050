"""Tread laws, braking minima and the other limits of the trade, each against the document that gives them."""

from stemclock import reckon

ROUND = ["12:00", "1:30", "3:00", "4:30", "6:00", "7:30", "9:00", "10:30"]


def tread(region, depth, *options):
    """The class of the same depth in all zones at eight clock positions."""
    readings = [f"{clock} {depth} {depth} {depth} {depth} {depth}" for clock in ROUND]
    return reckon("tread", "--region", region, *options, *readings)


def severity(region, depth, *options):
    return tread(region, depth, *options)["severity"]


def check_wear_bar():
    """FMVSS 119 S6.4 and 139: 1/32 in is 0.79375 mm, 2/32 in 1.5875 mm, printed 0.8 and 1.6."""
    yield "1/32 in", reckon("convert", "1/32 in", "mm")["to_mm"], 0.79375, 1e-9
    yield "2/32 in", reckon("convert", "2/32 in", "mm")["to_mm"], 1.5875, 1e-9


def check_maryland():
    """COMAR 11.14.03.05 A: less than 1/32 in at the thinnest point of any groove is rejected."""
    found = reckon("tread", "--region", "US-MD", "12:00 2/32 1/32 3/32")
    yield "2, 1 and 3 thirty-seconds", found["severity"], None
    yield "it meets the law", found["outcome"], "sound"
    yield "0.7 mm", severity("US-MD", "0.7"), "dangerous"
    yield "an outer groove counts too", reckon("tread", "--region", "US-MD", "12:00 0.7 3 3 3 3")["severity"], "dangerous"


def check_germany():
    """StVZO section 36(3): 1.6 mm in the main grooves; 1.0 mm for mopeds and Leichtkraftraeder up to 125 cm3."""
    for depth, cc, category, expected in [
        ("1.2", 125, "L3e", None),
        ("0.9", 125, "L3e", "dangerous"),
        ("1.2", 126, "L3e", "dangerous"),
        ("1.6", 650, "L3e", None),
        ("1.5", 650, "L3e", "dangerous"),
        ("1.0", 50, "L1e", None),
    ]:
        yield f"{depth} mm, {cc} cc, {category}", severity("DE", depth, "--cc", cc, "--category", category), expected


def check_great_britain():
    """SI 1986/1078 regulation 27: 1.0 mm over a continuous three quarters of the breadth, all round."""
    yield "650 cc at 1.2 mm", severity("GB", "1.2", "--cc", 650), None
    yield "0.9 mm", severity("GB", "0.9", "--cc", 650), "dangerous"
    worn_edges = [f"{clock} 0.4 1.2 1.2 1.2 0.4" for clock in ROUND]
    yield "worn shoulders are let be", reckon("tread", "--region", "GB", *worn_edges)["severity"], None
    one_edge = [f"{clock} 0.4 0.4 1.2 1.2 1.2" for clock in ROUND]
    yield "less than three quarters is left", reckon("tread", "--region", "GB", *one_edge)["severity"], "dangerous"
    yield "one thin place", reckon("tread", "--region", "GB", *worn_edges[1:], "12:00 1.2 1.2 0.9 1.2 1.2")["severity"], "dangerous"


def check_france():
    """French order JORFARTI000038987859: at most one of four evenly spread points below 1 mm."""
    four = ["12:00", "3:00", "6:00", "9:00"]
    for below, expected in [(0, None), (1, None), (2, "dangerous"), (4, "dangerous")]:
        readings = [f"{clock} {'0.9' if i < below else '1.4'}" for i, clock in enumerate(four)]
        found = reckon("tread", "--region", "FR", *readings)
        yield f"{below} of four below", found["severity"], expected
        if below == 1:
            yield "the least is named though it does not decide", "0.90 mm" in found["sentence"] or "0.9 mm" in found["sentence"], True


def check_other_places():
    """SA Government Rider's Handbook 1.5 mm; Manitoba Public Insurance 0.8 mm; CQLR c. C-24.2 r. 32 s. 159 1.6 mm."""
    yield "AU 1.5", severity("AU", "1.5"), None
    yield "AU 1.4", severity("AU", "1.4"), "dangerous"
    yield "CA-MB 0.8", severity("CA-MB", "0.8"), None
    yield "CA-MB 0.7", severity("CA-MB", "0.7"), "dangerous"
    yield "CA-QC 1.6", severity("CA-QC", "1.6"), None
    yield "CA-QC 1.5", severity("CA-QC", "1.5"), "dangerous"
    yield "no US federal figure binds", tread("US", "2")["law_binds"], False
    yield "no EU figure binds", tread("EU", "2")["law_binds"], False
    yield "nor a Spanish one", tread("ES", "2")["law_binds"], False


def check_braking_minima():
    """Directive 2014/45/EU annex I, item 1.2.2, as read in RD 920/2017; below half of the minimum is dangerous."""
    for category, least in [("L1e", 42), ("L2e", 40), ("L3e", 50), ("L4e", 46), ("L5e", 44), ("L6e", 40), ("L7e", 44)]:
        for percent, expected in [(least, None), (least - 1, "major"), (least / 2, "major"), (least / 2 - 1, "dangerous")]:
            found = reckon("braking", "--decelerometer", percent / 100, "--category", category)
            yield f"{category} both {percent} %", found["severity"], expected
    for percent, expected in [(25, None), (24, "major"), (12.5, "major"), (12, "dangerous")]:
        found = reckon("braking", "--decelerometer", percent / 100, "--brakes", "rear")
        yield f"rear alone {percent} %", found["severity"], expected


def check_british_brakes():
    """VOSA/DVSA motorcycle inspection manual, brake performance 3.3: 30 and 25 %, one of 30 % before 1927."""
    for percent, expected in [(30, None), (27, None), (24.9, "major"), (12.4, "dangerous")]:
        found = reckon("braking", "--decelerometer", percent / 100, "--brakes", "front", "--region", "GB")
        yield f"front {percent} %", found["severity"], expected
    found = reckon("braking", "--decelerometer", 0.27, "--brakes", "rear", "--region", "GB", "--first-used", "1926-05-01")
    yield "27 % alone before 1927", found["severity"], "major"


def check_manitoba_stop():
    """Manitoba Public Insurance, motorcycle equipment: within 9 m from 30 km/h, a mean of 3.86 m/s2."""
    found = reckon("braking", "--speed", "30 km/h", "--distance", "9 m", "--region", "CA-MB")
    yield "exactly at it", found["severity"], None
    yield "deceleration", found["deceleration_m_s2"], 3.86, 0.005
    yield "9.1 m", reckon("braking", "--speed", "30 km/h", "--distance", "9.1 m", "--region", "CA-MB")["severity"], "major"


def check_type_approval_distances():
    """Directive 93/14/EEC, appendix 1, 2.1: S = 0.1 V + V2/115 front, V2/75 rear, V2/90 a moped's front."""
    for category, brakes, expected in [
        ("L3e", "front", 37.304), ("L3e", "rear", 54.0), ("L1e", "front", 4 + 1600 / 90), ("L1e", "rear", 4 + 1600 / 70),
    ]:
        found = reckon("braking", "--decelerometer", 0.5, "--category", category, "--brakes", brakes)
        yield f"{category} {brakes}", found["type_approval_distance_m"], expected, 0.001


def check_braking_formulas():
    """v2/(2s) and E = 100 a/g with g = 9.80665 (NIST SP 811); a roller reading of 110 kgf at 297 kg is 37 %."""
    found = reckon("braking", "--speed", "50 km/h", "--distance", "20 m")
    yield "deceleration", found["deceleration_m_s2"], 4.8225, 0.0001
    yield "efficiency", found["efficiency_percent"], 49.18, 0.005
    yield "49.18 % of an L3e", found["severity"], "major"
    found = reckon("braking", "--force", "110 kgf", "--mass", "297 kg")
    yield "roller", found["efficiency_percent"], 37.04, 0.005


def check_brake_fluid():
    """FMVSS 116, 49 CFR 571.116 S5.1.2: DOT 4 has a wet boiling point of 155 C; two years is common practice."""
    found = reckon("brake-fluid", "--grade", "DOT 4", "--boiling", "150 C")
    yield "150 C is below the wet minimum", found["replace"], True
    yield "156 C is not", reckon("brake-fluid", "--grade", "DOT 4", "--boiling", "156 C")["replace"], False


def check_sag_and_aim():
    """Common practice: sag = L1 - (L2 + L3)/2. UN R53: 0.5 to 2.5 %; 1 % is 100 mm at 10 m."""
    found = reckon("sag", "--extended", "560 mm", "--down", "524 mm", "--up", "530 mm", "--travel", "120 mm")
    yield "sag", found["sag_mm"], 33.0, 1e-9
    yield "stiction", found["friction_mm"], 6.0, 1e-9
    found = reckon("headlamp", "--lamp", "900 mm", "--edge", "850 mm", "--distance", "5 m")
    yield "drop", found["drop_percent"], 1.0, 1e-9
