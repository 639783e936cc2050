//! The calculators through the built program: published check values as rows, JSON fields, and bad input.

use crate::bench::run;

/// Arguments, a field of the JSON, the value, the tolerance, the source.
pub type Row<'a> = (&'a [&'a str], &'a str, f64, f64, &'a str);

pub fn hold(rows: &[Row<'_>]) {
    for (arguments, field, expected, tolerance, source) in rows {
        let mut all = vec!["reckon"];
        all.extend(*arguments);
        all.push("--json");
        let done = run(&all);
        assert_eq!(done.code, 0, "{arguments:?}: {}", done.err);
        let found = done.json()[*field].as_f64();
        let close = found.is_some_and(|f| (f - expected).abs() <= *tolerance);
        assert!(close, "{arguments:?} {field}: found {found:?}, expected {expected} ({source})");
    }
}

/// Runs what must be refused: arguments, the exit code, words of the message.
pub fn refused(rows: &[(&[&str], i32, &str)]) {
    for (arguments, code, words) in rows {
        let mut all = vec!["reckon"];
        all.extend(*arguments);
        let done = run(&all);
        assert_eq!((done.code, done.out.as_str()), (*code, ""), "{arguments:?}: {}", done.err);
        assert!(done.err.contains(words), "{arguments:?}: {}", done.err);
    }
}

#[test]
fn tyre_figures_agree_with_the_tables() {
    let tables = "ISO 4000-1 and UN R75 series (load), trade tables (speed)";
    let formula = "outer diameter = rim × 25.4 + 2 × width × aspect / 100";
    hold(&[
        (&["tyre", "120/70 ZR17 M/C 58W"], "load_kg", 236.0, 0.0, tables),
        (&["tyre", "120/70 ZR17 M/C 58W"], "speed_kmh", 270.0, 0.0, tables),
        (&["tyre", "180/55 ZR17 M/C 73W"], "load_kg", 365.0, 0.0, tables),
        (&["tyre", "110/80 17 54H"], "load_kg", 212.0, 0.0, tables),
        (&["tyre", "110/80 17 54H"], "speed_kmh", 210.0, 0.0, tables),
        (&["tyre", "120/70-17"], "outer_diameter_mm", 599.8, 0.05, formula),
        (&["tyre", "120/70-17"], "circumference_mm", 1884.3, 0.05, formula),
        (&["tyre", "mt90-16"], "outer_diameter_mm", 640.4, 0.05, formula),
        // 1 000 000 mm / (π × 599.8 mm), by hand.
        (&["tyre", "120/70-17"], "revolutions_per_km", 530.69, 0.01, "derived by hand"),
        // Both sizes on 17 in: 100 × (613.8 − 599.8) / 599.8.
        (
            &["tyre", "120/70-17", "--compare", "130/70-17"],
            "compare_circumference_percent",
            2.334,
            0.001,
            "derived by hand",
        ),
    ]);
}

#[test]
fn pressures_agree_with_the_gas_law() {
    let law = "Gay-Lussac on absolute pressure";
    let set =
        |p: &'static str, from: &'static str, to: &'static str| ["pressure", "--set", p, "--set-at", from, "--now", to];
    hold(&[
        (&set("250 kPa", "20 C", "30 C"), "reads_kpa", 261.984, 0.001, law),
        (&set("250 kPa", "20 C", "0 C"), "reads_kpa", 226.031, 0.001, law),
        (&set("250 kPa", "20 C", "60 C"), "reads_kpa", 297.938, 0.001, law),
        (&set("36 psi", "68 F", "78 F"), "reads_psi", 36.9608, 0.001, law),
        (&set("42 psi", "68 F", "158 F"), "reads_psi", 51.6701, 0.001, law),
        // 50.695949 × (1 − 15/293.15) − 14.695949 = 33.40597; house rule 1 prints 33.4.
        (&set("36 psi", "68 F", "41 F"), "reads_psi", 33.405_97, 1e-4, "derived by hand"),
        (
            &["pressure", "--set", "250 kPa", "--set-at", "15 C", "--now", "15 C", "--altitude", "2000 m"],
            "reads_kpa",
            271.83,
            0.005,
            law,
        ),
        (
            &["pressure", "--set", "250 kPa", "--set-at", "15 C", "--now", "15 C", "--altitude", "1500 m"],
            "ambient_now_kpa",
            84.5563,
            0.001,
            "ISO 2533",
        ),
        // Set on the mountain and read there: the air round the tyre is the same, so nothing changes.
        (
            &[
                "pressure",
                "--set",
                "36 psi",
                "--set-at",
                "-5 C",
                "--now",
                "-5 C",
                "--altitude",
                "1500 m",
                "--set-altitude",
                "1500 m",
            ],
            "reads_psi",
            36.0,
            1e-6,
            "derived by hand",
        ),
    ]);
    let words = run(&["reckon", "pressure", "--set", "36 psi", "--set-at", "68 F", "--now", "41 F"]).out;
    assert!(words.contains("36 psi set at 68 °F reads 33.4 psi at 41 °F: pump back to 36 psi"), "{words}");
    assert!(words.contains("never bled") && words.contains("excuses no low reading"), "{words}");
}

#[test]
fn conversions_agree_with_sp_811() {
    let sp = "NIST SP 811 appendix B";
    hold(&[
        (&["convert", "36 psi", "kPa"], "to_kpa", 248.211_262_6, 1e-6, sp),
        (&["convert", "2.5 bar", "psi"], "to_psi", 36.2594, 1e-4, sp),
        (&["convert", "65 N·m", "lbf·ft"], "to_lbf_ft", 47.9415, 1e-4, sp),
        (&["convert", "5 kgf·m", "N·m"], "to_nm", 49.033_25, 1e-9, sp),
        (&["convert", "12 000 miles", "km"], "to_km", 19_312.128, 1e-9, sp),
        (&["convert", "-40 F", "C"], "to_c", -40.0, 1e-9, sp),
        (&["convert", "10 lbf", "N"], "to_n", 44.482_216, 1e-6, sp),
        (&["convert", "2/32", "mm"], "to_mm", 1.5875, 1e-12, sp),
    ]);
}

#[test]
fn a_spot_is_told_from_both_sides_with_both_distances_and_its_spokes() {
    // House rules 12, 14 and 15: worked examples of the house.
    let house = "house rules 12, 14, 15";
    let at = ["clock", "--tyre", "120/70-17", "--at", "4:30", "--side", "right"];
    hold(&[
        (&at, "ahead_mm", 706.6, 0.05, "135/360 × π × 599.8, by hand"),
        (&at, "behind_mm", 1177.7, 0.05, "225/360 × π × 599.8, by hand"),
        (
            &["clock", "--tyre", "120/70-17", "--at", "4:30", "--side", "right", "--zone", "rim"],
            "ahead_mm",
            508.7,
            0.05,
            "135/360 × π × 431.8, by hand",
        ),
    ]);
    let parked = |side: &str, at: &str, valve: &str| {
        run(&["reckon", "clock", "--tyre", "120/70-17", "--at", at, "--side", side, "--valve-at", valve, "--json"])
            .json()
    };
    for (side, at, valve, shown) in [("right", "4:30", "2:00", "6:30"), ("left", "7:30", "10:00", "5:30")] {
        let json = parked(side, at, valve);
        assert_eq!((json["clock_from_right"].as_str(), json["clock_from_left"].as_str()), (Some("4:30"), Some("7:30")));
        let parked = &json["parked"];
        assert_eq!((parked["spot_at"].as_str(), parked["underneath"].as_bool()), (Some(shown), Some(true)), "{house}");
        assert!((parked["roll_forward_mm"].as_f64().unwrap() - 864.0).abs() < 0.5, "{house}: {parked}");
        assert!((parked["roll_back_mm"].as_f64().unwrap() - 1021.0).abs() < 0.5, "{house}: {parked}");
    }
    for (spokes, nearest) in [("40", vec![15, 16]), ("36", vec![14])] {
        let json = run(&[
            "reckon",
            "clock",
            "--tyre",
            "180/55 ZR17 M/C 73W",
            "--at",
            "4:30",
            "--side",
            "right",
            "--spokes",
            spokes,
            "--json",
        ])
        .json();
        assert_eq!(json["nearest_spokes"], serde_json::json!(nearest), "{house}");
    }
    // The three ways to name a spot meet: spoke 14 of 36 stands at (14 − ½) × 10° = 135°, which is 4:30.
    for by in [vec!["--spoke", "14", "--spokes", "36"], vec!["--ahead", "706.622 mm"], vec!["--ahead", "-1177.704 mm"]]
    {
        let mut all = vec!["reckon", "clock", "--tyre", "120/70-17", "--json"];
        all.extend(&by);
        assert_eq!(run(&all).json()["clock_from_right"], "4:30", "{by:?}");
    }
}

#[test]
fn tread_is_judged_by_the_law_of_the_place() {
    for (arguments, outcome, source) in [
        (vec!["--region", "us-md", "12:00 2/32 1/32 3/32"], "sound", "COMAR 11.14.03.05"),
        (vec!["--region", "DE", "--cc", "125", "12:00 1.2"], "sound", "StVZO 36(3) sentence 5"),
        (vec!["--region", "DE", "--cc", "650", "12:00 1.2"], "dangerous", "StVZO 36(3): 1.6 mm above 125 cm³"),
        (vec!["--region", "GB", "--cc", "650", "12:00 1.2 1.2 1.2 1.2 1.2"], "sound", "SI 1986/1078 reg 27"),
        (
            vec!["--region", "GB", "--cc", "650", "12:00 0.3 1.2 1.2 1.2 0.3"],
            "sound",
            "reg 27: three quarters of the breadth",
        ),
        (vec!["--region", "GB", "--cc", "650", "12:00 2 2 0.9 2 2"], "dangerous", "reg 27 and 2014/45/EU 5.2.3 e"),
        (vec!["--region", "ca-mb", "12:00 0.8"], "sound", "Manitoba 0.8 mm"),
        (vec!["--region", "ca-mb", "12:00 0.7"], "dangerous", "Manitoba 0.8 mm"),
    ] {
        let mut all = vec!["reckon", "tread", "--json", "--on", "2026-11-25"];
        all.extend(&arguments);
        let done = run(&all);
        assert_eq!(done.code, 0, "{arguments:?}: {}", done.err);
        assert_eq!(done.json()["outcome"], outcome, "{arguments:?} ({source})");
        assert_eq!(done.json()["all_round"], false, "one place is not all round");
    }
}

#[test]
fn what_makes_no_sense_says_what_was_expected_and_the_way_out() {
    let huge = "9".repeat(5000);
    for (arguments, code, words) in [
        (vec!["convert", "36 psi", "mm"], 1, "psi is a pressure"),
        (vec!["convert", "", "kPa"], 1, "expected a number, found nothing"),
        (vec!["convert", "NaN psi", "kPa"], 1, "expected a finite number"),
        (vec!["convert", &huge, "kPa"], 1, "expected a finite number"),
        (vec!["convert", "-300 C", "F"], 1, "absolute zero"),
        (vec!["tyre", ""], 2, "expected a tyre size"),
        (vec!["tyre", "120/70 ZR17 101W"], 2, "10 to 100"),
        (vec!["tyre", &huge], 2, "expected a tyre size"),
        (vec!["pressure", "--set", "36", "--set-at", "68 F", "--now", "41 F"], 2, "with its unit"),
        (vec!["pressure", "--set", "36 mm", "--set-at", "68 F", "--now", "41 F"], 2, "found the unit \"mm\""),
        (vec!["pressure", "--set", "-3 psi", "--set-at", "68 F", "--now", "41 F"], 2, "zero or more"),
        (vec!["pressure", "--set", "0 psi", "--set-at", "68 F", "--now", "41 F"], 1, "above zero"),
        (vec!["pressure", "--set", "36 psi", "--set-at", "68 F", "--now", "-500 C"], 2, "expected a temperature"),
        (
            vec!["pressure", "--set", "36 psi", "--set-at", "68 F", "--now", "41 F", "--altitude", "90 000 m"],
            1,
            "altitude",
        ),
        (vec!["clock", "--tyre", "120/70-17", "--at", "13:00", "--side", "right"], 2, "from 0:00 to 12:00"),
        (vec!["clock", "--tyre", "120/70-17", "--at", "4:30"], 2, "--side"),
        (vec!["clock", "--tyre", "120/70-17", "--at", "4:30", "--side", "up"], 2, "left or right"),
        (vec!["clock", "--tyre", "120/70-17", "--ahead", "3 m"], 1, "at most one turn"),
        (vec!["clock", "--tyre", "120/70-17", "--spoke", "41", "--spokes", "40"], 1, "from 1 to 40"),
        (vec!["clock", "--tyre", "120/70-17", "--spoke", "1", "--spokes", "0"], 1, "2 to 120"),
        (
            vec!["clock", "--tyre", "120/70-17", "--at", "1", "--side", "left", "--zone", "shoulder"],
            2,
            "right-shoulder",
        ),
        (
            vec!["clock", "--tyre", "120/70-17", "--at", "1", "--side", "left", "--zone", "left-disc"],
            1,
            "--disc-diameter",
        ),
        (vec!["tread", "--region", "moon", "12:00 2"], 1, "gb"),
        (vec!["tread", "--region", "gb", "12:00"], 1, "1, 3 or 5 depths"),
        (vec!["tread", "--region", "gb", "12:00 -3"], 1, "from 0 to 30"),
        (vec!["tread", "--region", "gb", "12:00 2 psi"], 1, "found the unit \"psi\""),
        (vec!["tread", "--region", "gb", "0:00 2", "12:00 3"], 1, "twice"),
        (vec!["tread", "--region", "gb"], 2, "<READING>"),
        (vec!["moonphase"], 2, "unrecognized subcommand"),
    ] {
        let mut all = vec!["reckon"];
        all.extend(&arguments);
        let done = run(&all);
        assert_eq!((done.code, done.out.as_str()), (code, ""), "{arguments:?}: {}", done.err);
        assert!(done.err.contains(words), "{arguments:?}: {}", done.err);
    }
}

#[test]
fn a_year_of_two_figures_is_no_day_anywhere_and_a_day_in_words_is_one() {
    let asked =
        |day: &str| run(&["reckon", "brake-fluid", "--grade", "DOT 4", "--changed", day, "--on", "25 Nov 2026"]);
    let refused = asked("24-05-17");
    assert_ne!(refused.code, 0, "{}", refused.out);
    assert!(refused.err.contains("found the year 24: write the year in full"), "{}", refused.err);
    let read = asked("3 Apr 2026");
    assert!(read.code == 0 && read.out.contains("Changed on 2026-04-03"), "{}{}", read.out, read.err);
    let on = run(&["status", "x", "--on", "24-05-17"]);
    assert!(on.code != 0 && on.err.contains("found the year 24"), "{}", on.err);
}
