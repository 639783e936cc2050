//! The workshop calculators through the built program: published check values as rows, words, and bad input.

use crate::bench::run;
use crate::reckon::{hold, refused};

#[test]
fn chains_and_belts() {
    let rule = "number rule and 100 (L − Np)/(Np)";
    let chain = |number: &'static str, length: &'static str| {
        ["chain", "--number", number, "--pitches", "20", "--length", length]
    };
    hold(&[
        (&chain("520", "321 mm"), "new_length_mm", 317.5, 1e-9, rule),
        (&chain("520", "320.675 mm"), "elongation_percent", 1.0, 1e-9, rule),
        (&chain("520", "321 mm"), "length_at_1_percent_mm", 320.675, 1e-9, rule),
        (&chain("520", "321 mm"), "length_at_2_percent_mm", 323.85, 1e-9, rule),
        (&chain("520", "321 mm"), "length_at_3_percent_mm", 327.025, 1e-9, rule),
        (&chain("428", "255 mm"), "new_length_mm", 254.0, 1e-9, rule),
        (&chain("428", "255 mm"), "length_at_2_percent_mm", 259.08, 1e-9, rule),
        (&chain("630", "382 mm"), "length_at_2_percent_mm", 388.62, 1e-9, rule),
        (&chain("525", "318 mm"), "pitch_mm", 15.875, 1e-9, rule),
        (&chain("525", "318 mm"), "inner_width_by_number_mm", 7.9375, 1e-9, rule),
        // 100 × 3.5 / 317.5, by hand.
        (
            &["chain", "--pitch", "15.875 mm", "--pitches", "20", "--length", "321 mm"],
            "elongation_percent",
            1.102_362,
            1e-6,
            "derived by hand",
        ),
        // More than 66 teeth: 200 / 80 = 2.5 %.
        (
            &["chain", "--number", "520", "--pitches", "20", "--length", "321 mm", "--teeth", "80"],
            "limit_percent",
            2.5,
            1e-9,
            "ANSI B29.1 practice",
        ),
        (
            &["chain", "--number", "520", "--slack", "31 mm", "--slack", "26 mm"],
            "slack_tightest_mm",
            26.0,
            0.0,
            "the tightest counts",
        ),
        (&["belt", "8 mm", "7 mm", "9 mm", "8 mm"], "least_mm", 7.0, 0.0, "the tightest counts"),
        (&["belt", "8 mm"], "force_n", 44.482_216, 1e-6, "10 lbf; NIST SP 811"),
    ]);
    for (arguments, field, expected) in [
        (vec!["chain", "--number", "520", "--pitches", "20", "--length", "328 mm"], "over_limit", true),
        (vec!["chain", "--number", "520", "--pitches", "20", "--length", "327.025 mm"], "over_limit", false),
        (
            vec!["chain", "--number", "520", "--slack", "20 mm", "--slack", "30 mm", "--slack-min", "25 mm"],
            "too_tight",
            true,
        ),
        (vec!["belt", "--min", "6.3 mm", "--max", "9.5 mm", "6 mm", "8 mm"], "too_tight", true),
        (vec!["belt", "--min", "6.3 mm", "--max", "9.5 mm", "10 mm", "11 mm"], "too_loose", true),
    ] {
        assert_eq!(answer(&arguments)[field], expected, "{arguments:?}");
    }
}

#[test]
fn wrenches_and_bolts() {
    let navy = "US Navy training text";
    hold(&[
        (&["torque", "100 N.m", "--length", "12 in", "--extension", "6 in"], "setting_nm", 66.667, 0.001, navy),
        (
            &["torque", "30 ft-lb", "--length", "1 ft", "--extension", "0.25 ft"],
            "setting_lbf_ft",
            24.0,
            1e-9,
            "aircraft manual",
        ),
        (
            &["torque", "80 N.m", "--length", "12 in", "--extension", "6 in", "--angle", "90"],
            "setting_nm",
            80.0,
            1e-9,
            "L/(L + E cos 90°): square changes nothing",
        ),
        // Pointing back: 100 × 12 / (12 − 6) = 200.
        (
            &["torque", "100 N.m", "--length", "12 in", "--extension", "6 in", "--angle", "180"],
            "setting_nm",
            200.0,
            1e-9,
            "derived by hand",
        ),
        (
            &["bolt", "--size", "M8", "--class", "8.8", "--k", "0.15", "--share", "90", "--proof", "600 MPa"],
            "torque_nm",
            23.72,
            0.01,
            "L/(L + E), by hand",
        ),
        (&["bolt", "--size", "M10", "--class", "8.8"], "torque_nm", 50.46, 0.01, "ISO 898-1 and K·F·d, by hand"),
        (&["bolt", "--size", "M10", "--class", "8.8"], "stress_area_mm2", 57.99, 0.005, "ISO 898-1, table 5"),
        (&["bolt", "--size", "M8", "--class", "10.9"], "torque_nm", 36.5, 0.05, "ISO 898-1"),
        (&["bolt", "--size", "m12", "--class", "8.8"], "torque_nm", 88.0, 0.05, "ISO 898-1"),
        // The table reckons with the area as printed, 115 mm²; half of its last digit is 0.9 N·m.
        (&["bolt", "--size", "M14", "--class", "10.9"], "torque_nm", 200.5, 0.9, "ISO 898-1"),
    ]);
    assert!(run(&["reckon", "bolt", "--size", "M8", "--class", "8.8"]).out.contains("manual's figure goes first"));
}

#[test]
fn brakes_and_their_fluid() {
    let braking = ["braking", "--speed", "50 km/h", "--distance", "20 m"];
    let roller = ["braking", "--force", "110 kgf", "--mass", "297 kg"];
    let law = "Directive 93/14/EEC";
    hold(&[
        (&braking, "deceleration_m_s2", 4.8225, 0.0001, "v²/2s and g, by hand"),
        (&braking, "efficiency_percent", 49.18, 0.005, "v²/2s and g, by hand"),
        (&roller, "efficiency_percent", 37.04, 0.005, "110/297, by hand"),
        (&["braking", "--decelerometer", "0.52"], "efficiency_percent", 52.0, 1e-9, "a reading in g, by hand"),
        (&["braking", "--decelerometer", "0.5", "--brakes", "front"], "type_approval_distance_m", 37.304, 0.001, law),
        (&["braking", "--decelerometer", "0.5", "--brakes", "rear"], "type_approval_distance_m", 54.0, 0.001, law),
        (&["brake-fluid", "--grade", "dot4", "--boiling", "150 C"], "wet_minimum_c", 155.0, 0.0, "FMVSS 116"),
        (&["brake-fluid", "--grade", "DOT 5.1", "--boiling", "200 C"], "dry_minimum_c", 260.0, 0.0, "FMVSS 116"),
    ]);
    // Directive 2014/45/EU item 1.2.2: below the minimum major, below half of it dangerous
    for (arguments, severity) in [
        (vec!["--decelerometer", "0.49", "--brakes", "both"], Some("major")),
        (vec!["--decelerometer", "0.50", "--brakes", "both"], None),
        (vec!["--decelerometer", "0.24", "--brakes", "both"], Some("dangerous")),
        (vec!["--decelerometer", "0.25", "--brakes", "rear"], None),
        (vec!["--decelerometer", "0.12", "--brakes", "rear"], Some("dangerous")),
        (vec!["--decelerometer", "0.44", "--category", "L7e"], None),
        (vec!["--decelerometer", "0.41", "--category", "l1e"], Some("major")),
        (vec!["--decelerometer", "0.10", "--brakes", "front"], None),
    ] {
        let mut all = vec!["braking"];
        all.extend(&arguments);
        assert_eq!(answer(&all)["severity"].as_str(), severity, "{arguments:?}");
    }
    assert!(
        run(&["reckon", "braking", "--decelerometer", "0.1", "--brakes", "front"])
            .out
            .contains("no figure for the front brake alone")
    );
    for (arguments, replace) in [
        (vec!["--boiling", "150 C"], true),
        (vec!["--boiling", "155 C"], false),
        // By the calendar: changed on 2024-03-01, 24 months, due 2026-03-01.
        (vec!["--changed", "2024-03-01", "--on", "2026-02-28"], false),
        (vec!["--changed", "2024-03-01", "--on", "2026-03-01"], true),
    ] {
        let mut all = vec!["brake-fluid", "--grade", "DOT 4"];
        all.extend(&arguments);
        assert_eq!(answer(&all)["replace"], replace, "{arguments:?}");
    }
}

#[test]
fn batteries() {
    for (arguments, field, expected, source) in [
        (vec!["--kind", "flooded", "--rest", "12.45 V"], "charge", "75 to 81 %", "tables A, B, C"),
        (vec!["--kind", "agm", "--rest", "12.45 V"], "charge", "50 to 75 %", "owner's manual table"),
        (vec!["--kind", "agm", "--rest", "12.45 V"], "state", "needs-charge", "owner's manual table"),
        (vec!["--kind", "lifepo4", "--rest", "13.2 V"], "charge", "middle", "chart"),
        (vec!["--kind", "flooded", "--nominal", "6 V", "--rest", "6.225 V"], "charge", "75 to 81 %", "house rule 9"),
        (vec!["--kind", "agm", "--charging", "14.2 V"], "charging_state", "within", "common practice"),
        (vec!["--kind", "agm", "--charging", "15.1 V"], "charging_state", "too-high", "common practice"),
        (vec!["--kind", "lithium", "--charging", "14.7 V"], "charging_state", "too-high", "14.6 V most"),
        (vec!["--kind", "agm", "--charging", "12.9 V"], "charging_state", "not-charging", "common practice"),
    ] {
        let mut all = vec!["battery"];
        all.extend(&arguments);
        assert_eq!(answer(&all)[field], expected, "{arguments:?} ({source})");
    }
    let drain = |capacity: &'static str, drain: &'static str| {
        ["battery", "--kind", "agm", "--capacity", capacity, "--drain", drain]
    };
    hold(&[
        (&drain("10 Ah", "20 mA"), "drain_hours", 250.0, 1e-9, "capacity over current, by hand"),
        (&drain("10 Ah", "20 mA"), "drain_days", 10.4, 0.02, "capacity over current, by hand"),
        (&drain("12 Ah", "5 mA"), "drain_days", 50.0, 1e-9, "capacity over current, by hand"),
    ]);
    let cold = run(&["reckon", "battery", "--kind", "lithium", "--rest", "13.2 V", "--temperature", "-5 C"]);
    assert!(cold.out.contains("Below 0 °C"), "{}", cold.out);
}

#[test]
fn suspension_lamps_tyres_and_numbers() {
    let sag = ["sag", "--extended", "560 mm", "--down", "524 mm", "--up", "530 mm"];
    let lamp = ["headlamp", "--lamp", "900 mm", "--edge", "850 mm", "--distance", "5 m"];
    hold(&[
        (&sag, "sag_mm", 33.0, 1e-9, "L1 minus the mean of L2 and L3, by hand"),
        (&sag, "friction_mm", 6.0, 1e-9, "L1 minus the mean of L2 and L3, by hand"),
        (
            &["sag", "--extended", "560 mm", "--down", "524 mm", "--up", "524 mm", "--travel", "120 mm"],
            "sag_percent",
            30.0,
            1e-9,
            "rider sag over travel, by hand",
        ),
        (
            &["sag", "--extended", "560 mm", "--down", "515 mm", "--up", "515 mm", "--travel", "120 mm"],
            "sag_percent",
            37.5,
            1e-9,
            "rider sag over travel, by hand",
        ),
        (&lamp, "drop_percent", 1.0, 1e-9, "drop over distance, by hand"),
        (
            &["headlamp", "--lamp", "900 mm", "--edge", "800 mm", "--distance", "10 m"],
            "window_from_mm",
            50.0,
            1e-9,
            "drop over distance, by hand",
        ),
        (
            &["headlamp", "--lamp", "900 mm", "--edge", "800 mm", "--distance", "10 m"],
            "window_to_mm",
            250.0,
            1e-9,
            "drop over distance, by hand",
        ),
        (&["tin", "4819", "--on", "2026-11-25"], "week", 48.0, 0.0, "49 CFR 574.5"),
        // Made in the week of Sunday 1 December 2019: 83 whole months to 25 November 2026, by hand.
        (&["tin", "4819", "--on", "2026-11-25"], "age_months", 83.0, 0.0, "derived by hand"),
        (&["vin", "1G4AH59H45G118341"], "weighted_sum", 411.0, 0.0, "49 CFR 565 table V"),
        (&["vin", "1M8GDM9AXKP042788"], "weighted_sum", 351.0, 0.0, "worked example"),
        (
            &["vin", "11111111111111111"],
            "weighted_sum",
            89.0,
            0.0,
            "49 CFR 565.15: every value of 1 is 1, and the weights sum to 89",
        ),
    ]);
    assert_eq!(
        answer(&["sag", "--extended", "560 mm", "--down", "515 mm", "--up", "515 mm", "--travel", "120 mm"])["street_band"],
        "above"
    );
    assert_eq!(answer(&["tin", "2319"])["years"], serde_json::json!([2019]), "49 CFR 574.5");
    for (vin, agrees, wanted) in [
        ("1G4AH59H45G118341", true, "4"),
        ("1m8gdm9axkp042788", true, "X"),
        ("11111111111111111", true, "1"),
        ("1M8GDM9A4KP042788", false, "X"),
    ] {
        let json = answer(&["vin", vin]);
        assert_eq!(
            (json["check_digit_agrees"].as_bool(), json["check_digit_expected"].as_str()),
            (Some(agrees), Some(wanted)),
            "{vin}"
        );
    }
    let hint = run(&["reckon", "vin", "1M8GDM9A4KP042788"]).out;
    assert!(hint.contains("only a hint"), "{hint}");
    assert!(!run(&["reckon", "vin", "1M8GDM9A4KP042788", "--north-america"]).out.contains("only a hint"));
    assert_eq!(
        answer(&["vin", "11111111111111111"])["model_years"],
        serde_json::json!([2001, 2031]),
        "49 CFR 565.15, table VII"
    );
}

#[test]
fn run_out_finds_the_total_the_high_spot_and_the_bend() {
    // 0.10 × cos(θ − 90°) at eight places: total 0.20 mm, amplitude 0.10 mm, high at 3:00 from the right, by hand.
    let pure = [
        "12:00 0",
        "1:30 0.070711",
        "3:00 0.1",
        "4:30 0.070711",
        "6:00 0",
        "7:30 -0.070711",
        "9:00 -0.1",
        "10:30 -0.070711",
    ];
    let mut all = vec!["runout", "--side", "right"];
    all.extend(pure);
    let json = answer(&all);
    for (field, expected) in
        [("total_mm", 0.2), ("first_harmonic_mm", 0.1), ("mean_mm", 0.0), ("largest_left_over_mm", 0.0)]
    {
        assert!((json[field].as_f64().unwrap() - expected).abs() < 1e-5, "{field}: {json}");
    }
    assert_eq!(json["high_spot_at"], "3:00");
    // The same wheel from the left: 3:00 from the right is 9:00 from the left.
    let mirrored = [
        "12:00 0",
        "10:30 0.070711",
        "9:00 0.1",
        "7:30 0.070711",
        "6:00 0",
        "4:30 -0.070711",
        "3:00 -0.1",
        "1:30 -0.070711",
    ];
    let mut all = vec!["runout", "--side", "left"];
    all.extend(mirrored);
    let json = answer(&all);
    assert_eq!(
        (json["high_spot_at"].as_str(), json["high_spot_clockwise_from_right_deg"].as_f64().map(f64::round)),
        (Some("9:00"), Some(90.0))
    );
    // A dent of 0.5 mm at 6:00 on a true wheel is what is left over, and it is at 6:00.
    let json = answer(&[
        "runout", "--side", "right", "12:00 0", "1:30 0", "3:00 0", "4:30 0", "6:00 0.5", "7:30 0", "9:00 0",
        "10:30 0", "--limit", "0.3 mm",
    ]);
    assert_eq!((json["largest_left_over_at"].as_str(), json["over_limit"].as_bool()), (Some("6:00"), Some(true)));
    // A place that was not read is allowed and said (house rule 18).
    let gap = run(&["reckon", "runout", "--side", "right", "12:00 0", "3:00 0.1", "4:30 0", "9:00 0.1"]);
    assert!(gap.code == 0 && gap.out.contains("Nothing was read over 135°"), "{}", gap.out);
}

#[test]
fn what_makes_no_sense_in_the_workshop_is_refused_with_the_way_out() {
    refused(&[
        (&["chain", "--pitch", "15.875 mm"], 1, "something to work out"),
        (&["chain", "--pitches", "20", "--length", "321 mm"], 2, "--number"),
        (&["chain", "--number", "520", "--pitches", "5", "--length", "80 mm"], 1, "at least 6"),
        (&["chain", "--number", "520", "--pitches", "20", "--length", "300 mm"], 1, "count the pitches again"),
        (&["chain", "--number", "520", "--pitches", "20", "--length", "334 mm"], 1, "count the pitches again"),
        (&["chain", "--number", "520", "--slack", "-3 mm"], 1, "zero or more"),
        (&["belt", "0 mm"], 1, "above zero"),
        (&["belt", "--force", "10 mm", "8 mm"], 2, "expected a force"),
        (&["torque", "100 N.m", "--length", "6 in", "--extension", "6 in", "--angle", "180"], 1, "behind the grip"),
        (&["torque", "100 N.m", "--length", "0 in", "--extension", "6 in"], 1, "above zero"),
        (&["torque", "100 N.m", "--length", "12 in", "--extension", "6 in", "--angle", "NaN"], 2, "finite"),
        (&["bolt", "--size", "M7", "--class", "8.8"], 2, "M4 to M20"),
        (&["bolt", "--size", "8", "--class", "8.8"], 2, "metric thread"),
        (&["bolt", "--size", "M8", "--class", "4.6"], 2, "8.8, 10.9 or 12.9"),
        (&["bolt", "--size", "M8", "--class", "8.8", "--k", "2"], 1, "from 0.05 to 0.5"),
        (&["braking", "--speed", "50 km/h", "--distance", "0 m"], 1, "above zero"),
        (&["braking", "--speed", "500 km/h", "--distance", "1 m"], 1, "at most 150 %"),
        (&["braking", "--decelerometer", "-1"], 1, "above zero"),
        (&["braking", "--decelerometer", "0.5", "--category", "M1"], 2, "L3e"),
        (&["battery", "--kind", "agm", "--rest", "48 V"], 1, "--nominal"),
        (&["battery", "--kind", "agm"], 2, "--rest"),
        (&["battery", "--kind", "potato", "--rest", "12 V"], 2, "flooded, agm, gel, lithium"),
        (&["battery", "--kind", "agm", "--drain", "20", "--capacity", "10 Ah"], 2, "20 mA"),
        (&["brake-fluid", "--grade", "DOT 7", "--boiling", "150 C"], 2, "DOT 5.1"),
        (&["brake-fluid", "--grade", "DOT 4", "--boiling", "20 C"], 1, "80 to 350"),
        (&["brake-fluid", "--grade", "DOT 4", "--changed", "2099-01-01"], 1, "on or before"),
        (&["sag", "--extended", "560 mm", "--down", "530 mm", "--up", "524 mm"], 1, "swapped?"),
        (&["sag", "--extended", "500 mm", "--down", "524 mm", "--up", "530 mm"], 1, "extended"),
        (&["headlamp", "--lamp", "900 mm", "--edge", "850 mm", "--distance", "0 m"], 1, "above zero"),
        (&["tin", "5419"], 2, "week from 01 to 53"),
        (&["tin", "4819", "--on", "2019-01-01"], 1, "later"),
        (&["vin", "1M8GDM9AXKP04278O"], 1, "without I, O and Q"),
        (&["vin", "12345"], 1, "seventeen characters"),
        (&["vin", "111111111111111111"], 1, "seventeen characters"),
        (&["runout", "--side", "right", "12:00 0", "3:00 0", "6:00 0"], 1, "4 to 720"),
        (&["runout", "--side", "right", "12:00 0", "3:00 0", "6:00 0", "7:00"], 1, "leave the position out"),
        (&["runout", "--side", "right", "12:00 NaN", "3:00 0", "6:00 0", "9:00 0"], 1, "NaN"),
        (&["runout", "--side", "right", "0:00 1", "3:00 0", "6:00 0", "12:00 0"], 1, "twice"),
    ]);
}

fn answer(arguments: &[&str]) -> serde_json::Value {
    let mut all = vec!["reckon"];
    all.extend(arguments);
    all.push("--json");
    let done = run(&all);
    assert_eq!(done.code, 0, "{arguments:?}: {}", done.err);
    done.json()
}
