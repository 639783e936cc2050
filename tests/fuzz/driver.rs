//! Runs a target on its corpus and on what is made from it, and keeps what breaks it.

use std::collections::HashSet;
use std::fs::{self, File};
use std::hash::{DefaultHasher, Hash as _, Hasher as _};
use std::io::{Seek as _, Write as _};
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex};
use std::time::{Duration, Instant};

use fastrand::Rng;

use crate::mutate::mutate;

/// An input that takes longer is taken for one that never ends, on the slowest machine and beside other work.
const HANGS: Duration = Duration::from_secs(120);
/// More memory than any refusal may take, in KiB: the pool, the program and the largest limits together stay below.
const MOST_KIB: u64 = 2 << 20;
/// The most inputs that are gone on from.
const POOL: usize = 3000;

/// Takes an input and says in a few words what came of it.
type Door = Box<dyn FnMut(&[u8]) -> String>;

/// The input that a target has in hand, and since when.
type UnderWay = Arc<Mutex<Option<(Instant, Vec<u8>)>>>;

/// A door and what is sent through it.
pub struct Target {
    /// Its name, which is its folder in the corpus.
    pub name: &'static str,
    /// Inputs to begin with, beside the corpus.
    pub seeds: Vec<Vec<u8>>,
    /// Words of its format.
    pub words: &'static [&'static str],
    /// The longest input.
    pub most: usize,
    /// How many inputs are made in a run of all tests, and the fewest that are made when it is told how long to go on.
    pub rounds: usize,
    /// Takes an input and says in a few words what came of it. It panics where the program breaks a promise.
    pub run: Door,
}

/// Sends the corpus and then made inputs through a target.
pub fn fuzz(target: Target) {
    let Target { name, seeds, words, most, rounds, mut run } = target;
    let seconds = variable("STEMCLOCK_FUZZ_SECONDS");
    let fewest = variable("STEMCLOCK_FUZZ_INPUTS").map_or(rounds, |n| usize::try_from(n).unwrap());
    let seed = variable("STEMCLOCK_FUZZ_SEED").unwrap_or(8);
    let under_way: UnderWay = Arc::default();
    watch(name, Arc::clone(&under_way));
    let mut in_hand = InHand::new(name);
    let mut outcomes = HashSet::new();
    let mut pool = Vec::new();
    let mut one = |input: Vec<u8>, pool: &mut Vec<Vec<u8>>, outcomes: &mut HashSet<u64>, is_kept: bool| {
        in_hand.hold(&input);
        *under_way.lock().unwrap() = Some((Instant::now(), input.clone()));
        let came = catch_unwind(AssertUnwindSafe(|| run(&input)));
        *under_way.lock().unwrap() = None;
        let Ok(came) = came else {
            let path = keep(name, "broken", &input);
            in_hand.let_go();
            panic!("{name} breaks on the input kept in {} (seed {seed})", path.display());
        };
        if outcomes.insert(rough(&came)) || is_kept {
            if pool.len() < POOL {
                pool.push(input);
            } else {
                let at = pool.len() - 1 - outcomes.len() % (POOL / 2);
                pool[at] = input;
            }
        }
    };
    for input in corpus(name).into_iter().chain(seeds) {
        one(input, &mut pool, &mut outcomes, true);
    }
    assert!(!pool.is_empty(), "{name} has nothing to begin with");
    let (kept, begun) = (pool.len(), Instant::now());
    let mut rng = Rng::with_seed(seed);
    let mut made = 0_usize;
    let mut told = Told::default();
    let mut first = String::new();
    let is_time = |begun: Instant| seconds.is_some_and(|s| begun.elapsed() < Duration::from_secs(s));
    while made < fewest || is_time(begun) {
        let input = mutate(&mut rng, &pool, words, most);
        told.take(&input);
        one(input, &mut pool, &mut outcomes, false);
        made += 1;
        if made == fewest {
            first = format!("{:016x}", told.0);
        }
    }
    in_hand.let_go();
    println!(
        "fuzz {name}: {kept} kept inputs, {made} made ones in {} s, {} outcomes; seed {seed}, the first {fewest} are {first}",
        begun.elapsed().as_secs(),
        outcomes.len()
    );
}

/// The input that is tried, on disk while it is tried: where one ends the whole process, nobody is left to keep it.
struct InHand {
    file: File,
    path: PathBuf,
}

impl InHand {
    fn new(name: &str) -> Self {
        let path = folder(name).join(format!("in-hand-{}", std::process::id()));
        Self { file: File::create(&path).unwrap(), path }
    }
    fn hold(&mut self, input: &[u8]) {
        self.file.rewind().unwrap();
        self.file.write_all(input).unwrap();
        self.file.set_len(u64::try_from(input.len()).unwrap()).unwrap();
    }
    fn let_go(&self) {
        fs::remove_file(&self.path).unwrap();
    }
}

/// A number for inputs in their order: FNV-1a with 64 bits, which is the same on every machine.
struct Told(u64);

impl Default for Told {
    fn default() -> Self {
        Self(0xcbf2_9ce4_8422_2325)
    }
}

impl Told {
    fn take(&mut self, input: &[u8]) {
        let length = u64::try_from(input.len()).unwrap().to_le_bytes();
        for byte in length.iter().chain(input) {
            self.0 = (self.0 ^ u64::from(*byte)).wrapping_mul(0x0100_0000_01b3);
        }
    }
}

fn variable(name: &str) -> Option<u64> {
    std::env::var(name).ok().map(|text| text.parse().unwrap_or_else(|_| panic!("expected a number in {name}")))
}

/// An outcome without its figures and the words that were typed: what is new must be new in kind.
fn rough(came: &str) -> u64 {
    let mut hasher = DefaultHasher::new();
    let mut is_quoted = false;
    let mut letters = 0;
    for c in came.chars() {
        match c {
            '"' => is_quoted = !is_quoted,
            c if is_quoted || c.is_numeric() => {}
            c => {
                c.hash(&mut hasher);
                letters += 1;
            }
        }
        if letters > 200 {
            break;
        }
    }
    hasher.finish()
}

/// The kept inputs of a target.
fn corpus(name: &str) -> Vec<Vec<u8>> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/fuzz/corpus").join(name);
    let mut files: Vec<PathBuf> =
        fs::read_dir(&folder).into_iter().flatten().map(|entry| entry.unwrap().path()).collect();
    files.sort();
    let mut inputs = Vec::new();
    for file in files {
        let bytes = fs::read(&file).unwrap();
        if file.extension().is_some_and(|ending| ending == "lines") {
            inputs.extend(bytes.split(|b| *b == b'\n').filter(|line| !line.is_empty()).map(<[u8]>::to_vec));
        } else {
            inputs.push(bytes);
        }
    }
    inputs
}

/// Where what breaks a target is kept.
fn folder(name: &str) -> PathBuf {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("target/fuzz").join(name);
    fs::create_dir_all(&folder).unwrap();
    folder
}

fn keep(name: &str, what: &str, input: &[u8]) -> PathBuf {
    let mut hasher = DefaultHasher::new();
    input.hash(&mut hasher);
    let path = folder(name).join(format!("{what}-{:016x}", hasher.finish()));
    fs::write(&path, input).unwrap();
    path
}

/// Ends the process where an input never ends or fills the memory: no panic could.
fn watch(name: &'static str, under_way: UnderWay) {
    std::thread::spawn(move || {
        loop {
            std::thread::sleep(Duration::from_millis(500));
            let now = under_way.lock().unwrap().clone();
            let Some((begun, input)) = now else { continue };
            let memory = resident_kib().unwrap_or(0);
            if begun.elapsed() > HANGS || memory > MOST_KIB {
                let path = keep(name, if memory > MOST_KIB { "large" } else { "endless" }, &input);
                eprintln!("{name}: {memory} KiB after {:?} on {}", begun.elapsed(), path.display());
                std::process::abort();
            }
        }
    });
}

fn resident_kib() -> Option<u64> {
    let status = fs::read_to_string("/proc/self/status").ok()?;
    let line = status.lines().find_map(|line| line.strip_prefix("VmRSS:"))?;
    line.trim().trim_end_matches("kB").trim().parse().ok()
}
