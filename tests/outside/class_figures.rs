//! A door for the outside checks of a class's figures: reads one question a line and prints the answer as numbers, or
//! `none`. `kappa 31 12;4 58` asks for the weighted kappa of a table with its standard error and interval, `wilson 81 263`
//! for the interval of a share.

use std::io::{BufRead as _, Write as _};

use stemclock::stats::{weighted_kappa, wilson};

fn answer(line: &str) -> Option<Vec<f64>> {
    let (what, rest) = line.split_once(' ')?;
    match what {
        "kappa" => {
            let table: Vec<Vec<u32>> =
                rest.split(';').map(|row| row.split_whitespace().filter_map(|n| n.parse().ok()).collect()).collect();
            let kappa = weighted_kappa(&table)?;
            Some(vec![kappa.value, kappa.standard_error, kappa.interval.low, kappa.interval.high])
        }
        "wilson" => {
            let (part, whole) = rest.split_once(' ')?;
            let interval = wilson(part.parse().ok()?, whole.trim().parse().ok()?)?;
            Some(vec![interval.low, interval.high])
        }
        _ => None,
    }
}

fn main() -> std::io::Result<()> {
    let mut out = std::io::stdout().lock();
    for line in std::io::stdin().lock().lines() {
        match answer(&line?) {
            Some(numbers) => {
                writeln!(out, "{}", numbers.iter().map(ToString::to_string).collect::<Vec<_>>().join(" "))?;
            }
            None => writeln!(out, "none")?,
        }
    }
    Ok(())
}
