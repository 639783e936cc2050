//! The process is killed while it saves, again and again: every change whose save had returned is there, no file is
//! half, and what a save has left of itself is cleared away when the garage is opened.
//!
//! A thousand times in every run; `STEMCLOCK_KILLS=10000` asks for more.

use std::collections::BTreeMap;
use std::io::{Read as _, Write as _};
use std::path::{Path, PathBuf};
use std::process::{Child, Command as Process, Stdio};
use std::sync::atomic::{AtomicUsize, Ordering};
use std::time::Duration;

use stemclock::edit::{Change, Record, RecordKey};
use stemclock::garage::Garage;
use stemclock::inspection::{EventId, EventKind, InspectionId};
use stemclock::machine::{Layout, Machine, MachineId};
use stemclock::photo::{Kind, PhotoRef};
use stemclock::store;
use stemclock::units::Distance;

use crate::commands::outfit;
use crate::{fixture, half_written};

const FOLDER: &str = "STEMCLOCK_TEST_SAVES_IN";
const FROM: &str = "STEMCLOCK_TEST_SAVES_FROM";
const ELSEWHERE: &str = "STEMCLOCK_TEST_SAVES_WHOLE";

/// After so many turns the garage is as it was so many turns before.
const ROUND: usize = 100;

/// What is saved in one turn: every kind of file is written anew, written over and taken away, under names and lengths
/// that change. What a turn adds, a later one of the round takes out.
fn turn(garage: &Garage, turn: usize) -> (Change, Option<Vec<u8>>) {
    let (decade, step) = (turn / 10, turn % 10);
    let machine = || garage.bay(&outfit()).unwrap().machine.clone();
    let guest = MachineId(format!("guest-{decade}"));
    let inspection = InspectionId(format!("2026-10-0{decade}-ride-x{decade}"));
    let key = RecordKey::Inspection(outfit(), inspection.clone());
    let mut photo = None;
    let (key, after) = match step {
        0 => {
            let mut machine = machine();
            machine.name = "long name ".repeat(1 + decade * 40);
            (RecordKey::Machine(outfit()), Some(Record::Machine(Box::new(machine))))
        }
        1 => (key, Some(Record::Inspection(Box::new(fixture::inspection(&inspection.0, "2026-10-01"))))),
        2 => {
            let mut changed = garage.bay(&outfit()).unwrap().inspection(&inspection).unwrap().clone();
            changed.note = "seen again ".repeat(decade * 30);
            changed.odometer = Some(Distance::km(60_000.0 + turn as f64));
            (key, Some(Record::Inspection(Box::new(changed))))
        }
        3 | 8 => {
            let id = EventId(format!("e-fall-{decade}"));
            let event = fixture::event(&id.0, EventKind::Fall { note: "at a kerb".into() });
            (RecordKey::Event(outfit(), id), (step == 3).then(|| Record::Event(Box::new(event))))
        }
        4 => {
            let bytes = picture(decade);
            let mut machine = machine();
            machine.photos = vec![PhotoRef::new(photo_name(&bytes))];
            photo = Some(bytes);
            (RecordKey::Machine(outfit()), Some(Record::Machine(Box::new(machine))))
        }
        5 => {
            let mut info = garage.info.clone();
            info.name = format!("Bay {decade}");
            (RecordKey::Garage, Some(Record::Garage(Box::new(info))))
        }
        6 => (key, None),
        7 => {
            let machine = Machine::new(guest.clone(), "A guest", Layout::Solo);
            (RecordKey::Machine(guest), Some(Record::Machine(Box::new(machine))))
        }
        _ => (RecordKey::Machine(guest), None),
    };
    (Change { before: garage.record(&key), key, after, label: String::new() }, photo)
}

/// The bytes of the photo of ten turns.
fn picture(decade: usize) -> Vec<u8> {
    vec![decade as u8; 20_000 + 7_000 * decade]
}

/// The name that the store gives a photo with these bytes; asked of it once, and then known.
fn photo_name(bytes: &[u8]) -> String {
    use std::sync::Mutex;
    static NAMES: Mutex<BTreeMap<u8, String>> = Mutex::new(BTreeMap::new());
    let mut names = NAMES.lock().unwrap();
    let name = names.entry(bytes[0]).or_insert_with(|| {
        let dir = tempfile::tempdir().unwrap();
        let disk = crate::faulty::Faulty::default();
        store::Store::on(&disk).keep_photo(dir.path(), &outfit(), bytes, Kind::Jpeg).unwrap()
    });
    name.clone()
}

/// The garage before each turn of a round.
fn states() -> Vec<Garage> {
    let mut garage = fixture::garage();
    // Once round, so that the first turn finds what the last one leaves.
    for number in 0..ROUND {
        garage.evolve(&turn(&garage, number).0);
    }
    let mut states = Vec::with_capacity(ROUND);
    for number in 0..ROUND {
        states.push(garage.clone());
        garage.evolve(&turn(&garage, number).0);
    }
    assert!(garage == states[0], "a round ends where it began");
    states
}

/// Saves turn after turn until it is killed, and says so after each with one byte. Runs only when a test below starts
/// this program again with the folder in its environment.
#[test]
fn helper_that_saves_until_it_is_killed() {
    let Ok(folder) = std::env::var(FOLDER) else { return };
    let folder = PathBuf::from(folder);
    let mut number: usize = std::env::var(FROM).unwrap().parse().unwrap();
    let mut garage = fixture::garage();
    // The ten turns before the ones of this decade leave the garage as any earlier ones would.
    let decade = number / 10 * 10;
    for before in (ROUND + decade - 10..ROUND + number).map(|n| n % ROUND) {
        garage.evolve(&turn(&garage, before).0);
    }
    // Straight to the pipe: what the tests' own printing holds back would die with the process.
    let mut pipe = std::fs::OpenOptions::new().write(true).open("/dev/stdout").unwrap();
    loop {
        let (change, photo) = turn(&garage, number);
        if let Some(bytes) = photo {
            store::keep_photo(&folder, &outfit(), &bytes, Kind::Jpeg).unwrap();
        }
        let saved = store::save_record(&folder, &change).unwrap();
        assert_eq!(saved.set_aside, None);
        pipe.write_all(b".").unwrap();
        garage.evolve(&change);
        number = (number + 1) % ROUND;
    }
}

fn helper(name: &str) -> Process {
    let mut process = Process::new(std::env::current_exe().unwrap());
    process.args(["--exact", name, "--nocapture", "--test-threads=1"]).stdout(Stdio::piped()).stderr(Stdio::null());
    process
}

/// Kills after some acknowledged saves and a moment more. Gives how many saves were acknowledged in all.
fn kill(mut child: Child, saves: usize, moment: Duration) -> usize {
    let mut pipe = child.stdout.take().unwrap();
    let mut said = 0;
    let mut byte = [0];
    // The runner's own lines hold no such byte in a row before the first save: it is counted from its line's end.
    let mut words = Vec::new();
    while said < saves && pipe.read(&mut byte).unwrap() == 1 {
        words.push(byte[0]);
        said = dots(&words);
    }
    std::thread::sleep(moment);
    child.kill().unwrap(); // SIGKILL
    pipe.read_to_end(&mut words).unwrap();
    child.wait().unwrap();
    dots(&words)
}

/// The acknowledgements behind what the test runner prints before it runs the helper.
fn dots(words: &[u8]) -> usize {
    let head = b"helper_that_";
    let Some(at) = words.windows(head.len()).position(|w| w == head) else { return 0 };
    let after = words[at..].windows(5).position(|w| w == b" ... ").map(|behind| at + behind + 5);
    after.map_or(0, |after| words[after..].iter().filter(|b| **b == b'.').count())
}

/// How often to kill.
fn kills() -> usize {
    std::env::var("STEMCLOCK_KILLS").map_or(1000, |n| n.parse().unwrap())
}

#[cfg(unix)]
#[test]
fn a_kill_at_any_moment_loses_nothing_that_was_acknowledged() {
    let states = states();
    let left = AtomicUsize::new(kills());
    let (acknowledged, unsaid, half) = (AtomicUsize::new(0), AtomicUsize::new(0), AtomicUsize::new(0));
    let work = |seed: u64| {
        let mut chance = fastrand::Rng::with_seed(seed);
        let dir = tempfile::tempdir().unwrap();
        let folder = dir.path().join("garage");
        store::save_all(&folder, &states[0]).unwrap();
        store::keep_photo(&folder, &outfit(), &picture(9), Kind::Jpeg).unwrap();
        let mut now = 0;
        while left.fetch_update(Ordering::SeqCst, Ordering::SeqCst, |n| n.checked_sub(1)).is_ok() {
            let child = helper("killed::helper_that_saves_until_it_is_killed")
                .env(FOLDER, &folder)
                .env(FROM, now.to_string())
                .spawn()
                .unwrap();
            let said = kill(child, chance.usize(0..6), Duration::from_micros(chance.u64(0..4000)));
            acknowledged.fetch_add(said, Ordering::SeqCst);
            half.fetch_add(usize::from(!half_written(&folder).is_empty()), Ordering::SeqCst);
            let at = (now + said) % ROUND;
            let next = (at + 1) % ROUND;
            let from = now;
            let what = || format!("seed {seed}, from turn {from}, {said} acknowledged");
            let opened = open_to_write(&folder);
            assert_eq!(opened.unreadable, vec![], "{}", what());
            assert_eq!(opened.set_aside, Vec::<String>::new(), "{}", what());
            assert_eq!(half_written(&folder), Vec::<String>::new(), "{}", what());
            // The save in hand may have been done or not; nothing else.
            now = if opened.garage == states[at] {
                at
            } else {
                assert!(opened.garage == states[next], "{}: neither before nor after the save in hand", what());
                unsaid.fetch_add(1, Ordering::SeqCst);
                next
            };
            let photo = opened.garage.bay(&outfit()).unwrap().machine.photos[0].file.clone();
            let bytes = store::photo_bytes(&folder, &outfit(), &photo).unwrap();
            assert_eq!(photo_name(&bytes), photo, "{}: the photo is whole", what());
        }
    };
    std::thread::scope(|scope| {
        for seed in 1..=4 {
            scope.spawn(move || work(seed));
        }
    });
    let [acknowledged, unsaid, half] = [acknowledged, unsaid, half].map(AtomicUsize::into_inner);
    println!(
        "{} kills, {acknowledged} saves acknowledged before them, {unsaid} done and not yet said, {half} left a \
         half-written file, which opening cleared away",
        kills()
    );
    assert!(acknowledged > kills() / 2 && unsaid > 0 && half > 0, "the kills met saves at work");
}

/// Writes whole garages until it is killed, each into a folder of its own.
#[test]
fn helper_that_writes_whole_garages() {
    let Ok(folder) = std::env::var(ELSEWHERE) else { return };
    for number in 0.. {
        store::save_all(&Path::new(&folder).join(number.to_string()), &fixture::garage()).unwrap();
    }
}

#[cfg(unix)]
#[test]
fn a_kill_while_a_garage_is_written_elsewhere_leaves_a_whole_one_or_none() {
    let mut chance = fastrand::Rng::with_seed(11);
    let (mut whole, mut none) = (0, 0);
    for round in 0..40 {
        let dir = tempfile::tempdir().unwrap();
        let mut child = helper("killed::helper_that_writes_whole_garages").env(ELSEWHERE, dir.path()).spawn().unwrap();
        // By turns in the first garage and in one after it, however slow the machine is.
        let sign = dir.path().join(if round % 2 == 0 { "0" } else { "1" });
        while !sign.exists() {
            std::thread::sleep(Duration::from_micros(200));
        }
        std::thread::sleep(Duration::from_micros(chance.u64(0..20_000)));
        child.kill().unwrap();
        child.wait().unwrap();
        for entry in std::fs::read_dir(dir.path()).unwrap() {
            let folder = entry.unwrap().path();
            if store::is_garage(&folder) {
                let opened = open_to_write(&folder);
                assert!(opened.unreadable.is_empty() && opened.garage == fixture::garage());
                whole += 1;
            } else {
                none += 1;
            }
        }
    }
    println!("{whole} whole garages and {none} that were not begun to be one");
    assert!(whole > 0 && none > 0);
}

/// Opens a garage as the one that may write. A child that another thread has just begun holds this process's open files,
/// and with them the lock, until it has become its own program; then the garage is free.
fn open_to_write(folder: &std::path::Path) -> store::Opened {
    for _ in 0..5_000 {
        let opened = store::open(folder).unwrap();
        if opened.lock.read_only_because.is_none() {
            return opened;
        }
        std::thread::sleep(Duration::from_millis(2));
    }
    panic!("expected {} to be free, found it held for ten seconds", folder.display());
}
