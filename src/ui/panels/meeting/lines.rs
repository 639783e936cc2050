//! Two texts side by side: which lines they share, and which only one has. Must not know what the lines mean.

/// One row of two texts beside each other.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Row {
    /// The line of the first text; none where only the second has one.
    pub mine: Option<String>,
    /// The line of the second text.
    pub theirs: Option<String>,
}

impl Row {
    /// Whether both texts have this line.
    pub fn is_shared(&self) -> bool {
        self.mine == self.theirs
    }
}

/// Lines that are compared at most, as a product of both sides; beyond it all of one side stands before all of the
/// other.
const MOST: usize = 4_000_000;

/// The rows of two texts, with the longest common sequence of lines in step, and nothing but the lines that differ, each
/// with one shared line before and after.
pub fn differing(mine: &str, theirs: &str) -> Vec<Row> {
    let (a, b): (Vec<&str>, Vec<&str>) = (mine.lines().collect(), theirs.lines().collect());
    let rows = rows(&a, &b);
    let near = |index: usize| {
        let around = index.saturating_sub(1)..(index + 2).min(rows.len());
        rows[around].iter().any(|row| !row.is_shared())
    };
    (0..rows.len()).filter(|index| near(*index)).map(|index| rows[index].clone()).collect()
}

fn rows(a: &[&str], b: &[&str]) -> Vec<Row> {
    let head = a.iter().zip(b).take_while(|(x, y)| x == y).count();
    let tail = a[head..].iter().rev().zip(b[head..].iter().rev()).take_while(|(x, y)| x == y).count();
    let (left, right) = (&a[head..a.len() - tail], &b[head..b.len() - tail]);
    let shared = |line: &&str| Row { mine: Some((*line).to_owned()), theirs: Some((*line).to_owned()) };
    let mut rows: Vec<Row> = a[..head].iter().map(shared).collect();
    rows.extend(between(left, right));
    rows.extend(a[a.len() - tail..].iter().map(shared));
    rows
}

/// The rows between the first and the last line that differ.
fn between(a: &[&str], b: &[&str]) -> Vec<Row> {
    let mut common = Vec::new();
    if a.len().saturating_mul(b.len()) <= MOST {
        // The lengths of the longest common sequences of what is left, from the end.
        let width = b.len() + 1;
        let mut best = vec![0u32; (a.len() + 1) * width];
        for i in (0..a.len()).rev() {
            for j in (0..b.len()).rev() {
                best[i * width + j] = if a[i] == b[j] {
                    best[(i + 1) * width + j + 1] + 1
                } else {
                    best[(i + 1) * width + j].max(best[i * width + j + 1])
                };
            }
        }
        let (mut i, mut j) = (0, 0);
        while i < a.len() && j < b.len() {
            if a[i] == b[j] {
                common.push((i, j));
                (i, j) = (i + 1, j + 1);
            } else if best[(i + 1) * width + j] >= best[i * width + j + 1] {
                i += 1;
            } else {
                j += 1;
            }
        }
    }
    common.push((a.len(), b.len()));
    let (mut i, mut j) = (0, 0);
    let mut rows = Vec::new();
    for (to_i, to_j) in common {
        // Lines that stand in for each other share a row.
        for step in 0..(to_i - i).max(to_j - j) {
            let line = |lines: &[&str], from: usize, to: usize| lines[from..to].get(step).map(|l| (*l).to_owned());
            rows.push(Row { mine: line(a, i, to_i), theirs: line(b, j, to_j) });
        }
        if to_i < a.len() {
            rows.push(Row { mine: Some(a[to_i].to_owned()), theirs: Some(b[to_j].to_owned()) });
        }
        (i, j) = (to_i + 1, to_j + 1);
    }
    rows
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn shared_lines_stand_in_step_and_only_those_about_a_difference_are_shown() {
        let row = |mine: &str, theirs: &str| {
            let line = |text: &str| (!text.is_empty()).then(|| text.to_owned());
            Row { mine: line(mine), theirs: line(theirs) }
        };
        let shown = differing("a\nb\nc\nd\ne\nf\ng", "a\nb\nc\nD\ne\nf\nx\ng");
        let wanted = [row("c", "c"), row("d", "D"), row("e", "e"), row("f", "f"), row("", "x"), row("g", "g")];
        assert_eq!(shown, wanted);
        assert_eq!(differing("a\nb", "a\nb"), vec![]);
        assert_eq!(differing("", "a"), vec![row("", "a")]);
        assert_eq!(differing("a\nb\nc", "c"), vec![row("a", ""), row("b", ""), row("c", "c")]);
    }

    #[test]
    fn every_line_of_both_is_somewhere() {
        let (a, b): (Vec<_>, Vec<_>) = ((0..50).map(|n| n * 7 % 13).collect(), (0..40).map(|n| n * 5 % 11).collect());
        let text = |numbers: &[i32]| numbers.iter().map(i32::to_string).collect::<Vec<_>>();
        let (a, b) = (text(&a), text(&b));
        let (a, b): (Vec<&str>, Vec<&str>) =
            (a.iter().map(String::as_str).collect(), b.iter().map(String::as_str).collect());
        let rows = rows(&a, &b);
        let side = |of: fn(&Row) -> Option<&String>| rows.iter().filter_map(of).map(String::as_str).collect::<Vec<_>>();
        assert_eq!(side(|r| r.mine.as_ref()), a);
        assert_eq!(side(|r| r.theirs.as_ref()), b);
    }
}
