//! A door for the outside checks: reads tables of costs, one a line, rows parted by semicolons, and prints for each
//! the column of every row, `-` for a row left over, or `none` where nothing fits.

use std::io::{BufRead as _, Write as _};

use stemclock::stats::assign;

fn main() -> std::io::Result<()> {
    let mut out = std::io::stdout().lock();
    for line in std::io::stdin().lock().lines() {
        let costs: Vec<Vec<f64>> = line?
            .split(';')
            .map(|row| row.split_whitespace().map(|c| c.parse().unwrap_or(f64::NAN)).collect())
            .collect();
        match assign(&costs) {
            Ok(columns) => {
                let words: Vec<String> = columns.iter().map(|c| c.map_or("-".to_owned(), |c| c.to_string())).collect();
                writeln!(out, "{}", words.join(" "))?;
            }
            Err(_) => writeln!(out, "none")?,
        }
    }
    Ok(())
}
