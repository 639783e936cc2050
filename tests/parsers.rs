//! Whatever is typed or stands in a file, the parsers answer: a value or a message, never a panic, and what was read
//! survives its own text form.

use std::fs;

use proptest::prelude::*;
use stemclock::clock::{ClockTime, Side};
use stemclock::inspection::CheckRef;
use stemclock::store;
use stemclock::tyre::{SpeedSymbol, TinDate, TyreMarking};
use stemclock::units::{
    Dimension, Distance, Length, Mass, Pressure, Quantity, Temperature, Torque, convert, parse_number,
};

/// Text as hands, phones and damaged files make it: the signs that the parsers know, shuffled, or anything at all.
fn entry() -> impl Strategy<Value = String> {
    prop_oneof![
        "[0-9.,/ ½¼−–+eE'\"″°ºµ·⋅²()%-]{0,12} {0,2}[a-zA-Z°µ·/²\"'. -]{0,8}",
        "[MHJLNPRTUVZBD0-9./, ()-]{0,20}",
        "[a-z-]{0,8}@[a-z.-]{0,14}",
        any::<String>(),
        prop::collection::vec(any::<u8>(), 0..40).prop_map(|b| String::from_utf8_lossy(&b).into_owned()),
    ]
}

/// A file that begins as a record may and then is cut, filled or mixed up.
fn record() -> impl Strategy<Value = Vec<u8>> {
    prop_oneof![
        prop::collection::vec(any::<u8>(), 0..200),
        "\\(schema: [0-9]{1,3}, [a-zA-Z0-9:,(){}\"\\[\\] \n.-]{0,120}".prop_map(String::into_bytes),
        "[(\\[{]{0,300}".prop_map(String::into_bytes),
    ]
}

/// What was read prints as text that reads the same; nine decimals are kept, far finer than any gauge.
fn survives<D: Dimension>(like: Quantity<D>, text: &str) -> Result<(), TestCaseError> {
    if let Ok(read) = Quantity::<D>::parse(text, Some(like.unit())) {
        let again = read.to_string().parse::<Quantity<D>>();
        let same = |a: &Quantity<D>| (a.amount() - read.amount()).abs() <= 1e-9 * read.amount().abs().max(1.0);
        prop_assert!(again.as_ref().is_ok_and(same), "{text}: {read} became {again:?}");
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 2000, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn entries_are_read_or_refused(text in entry()) {
        if let Ok(number) = parse_number(&text) {
            prop_assert!(number.is_finite(), "{text}");
        }
        survives(Pressure::kpa(0.0), &text)?;
        survives(Length::mm(0.0), &text)?;
        survives(Distance::km(0.0), &text)?;
        survives(Temperature::celsius(0.0), &text)?;
        survives(Torque::newton_metres(0.0), &text)?;
        survives(Mass::kg(0.0), &text)?;
        for unit in ["kPa", "mm", "°F", "", "/32 in"] {
            if let Ok((_, _, found, _)) = convert(&text, unit) {
                prop_assert!(!found.is_nan(), "{text} in {unit}");
            }
        }
    }

    #[test]
    fn markings_and_references_survive_their_text_form(text in entry()) {
        if let Ok(marking) = TyreMarking::parse(&text) {
            let shown = marking.to_string();
            prop_assert_eq!(TyreMarking::parse(&shown).map(|m| m.to_string()), Ok(shown), "{}", text);
        }
        if let Ok(code) = TinDate::parse(&text) {
            prop_assert_eq!(TinDate::parse(&code.to_string()), Ok(code));
        }
        if let Ok(time) = ClockTime::parse(&text) {
            prop_assert_eq!(ClockTime::parse(&time.to_string()), Ok(time));
        }
        if let Ok(check) = CheckRef::try_from(text.clone()) {
            prop_assert_eq!(check.to_string(), text.clone());
        }
        let side: Result<Side, String> = text.parse();
        prop_assert!(side.is_ok() || side.is_err_and(|why| why.contains("expected")));
        prop_assert!(SpeedSymbol::parse(&text).map_or(true, |symbol| symbol.kmh() > 0.0));
    }
}

/// A file of a garage's own kinds or regions: nearly right, or anything at all.
fn addition() -> impl Strategy<Value = String> {
    prop_oneof![
        "\\((id|name|checks|tread|laws|own_checks|replaces): [a-zA-Z0-9:,(){}\"\\[\\] \n.%-]{0,160}",
        "\\(id: \"[a-z-]{0,6}\", name: \"x\", directive_in_force: false, tread: \\[[(){}a-z:0-9. ,\"]{0,80}\\]\\)",
        "[(\\[{]{0,200}",
        any::<String>(),
    ]
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 300, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_text_in_a_garages_own_kinds_and_regions_is_taken_or_told(text in addition()) {
        let builtin = stemclock::catalogue::Catalogue::builtin();
        let mut with = builtin.clone();
        if let Err(error) = with.add_region("regions/own.ron", &text) {
            prop_assert!(error.to_string().starts_with("regions/own.ron:"), "{error}");
            prop_assert_eq!(&with.regions, &builtin.regions, "what is told changes nothing");
        }
        for error in with.add_kinds(&[("kinds/own.ron".to_owned(), text.clone())]) {
            prop_assert!(error.to_string().starts_with("kinds/own.ron:"), "{error}");
        }
        prop_assert!(with.verify().is_ok(), "what is taken leaves the catalogue sound");
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 60, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_bytes_in_a_garage_are_named_and_left_as_they_are(bytes in record()) {
        let folder = tempfile::tempdir().expect("a folder");
        fs::write(folder.path().join("garage.ron"), "(schema: 1, name: \"Yard\")").expect("written");
        let path = folder.path().join("machines/m-1/machine.ron");
        fs::create_dir_all(path.parent().expect("a parent")).expect("made");
        fs::write(&path, &bytes).expect("written");
        let opened = store::read(folder.path()).expect("the rest opens");
        prop_assert!(opened.garage.bays.is_empty() && opened.unreadable.len() == 1, "{:?}", opened.unreadable);
        prop_assert!(opened.unreadable[0].message.contains("expected"), "{}", opened.unreadable[0]);
        prop_assert_eq!(fs::read(&path).expect("still there"), bytes);
    }
}
