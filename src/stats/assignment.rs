//! Optimal assignment: rows to columns, one to one, at the least total cost.
//!
//! The shortest augmenting path form of the Hungarian method with potentials (Kuhn, Naval Research Logistics Quarterly
//! 2 (1955) 83–97; Jonker and Volgenant, Computing 38 (1987) 325–340), on floats and on rectangles. A greedy choice of
//! the nearest pair first can take the only partner that another row had.

use thiserror::Error;

/// Why no assignment can be given.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum AssignmentError {
    /// The rows are not all of one length.
    #[error("expected rows of one length, found row {row} with {found} columns instead of {expected}")]
    Ragged {
        /// The row, from 0.
        row: usize,
        /// Its length.
        found: usize,
        /// The length of the first row.
        expected: usize,
    },
    /// A cost is not a number, or minus infinity.
    #[error("expected costs that are numbers, found {found} in row {row}, column {column}")]
    NotANumber {
        /// The row, from 0.
        row: usize,
        /// The column, from 0.
        column: usize,
        /// What stands there.
        found: String,
    },
    /// Pairs at infinite cost are forbidden, and what is left pairs too few.
    #[error("expected that every row or every column can be paired, found too many forbidden pairs")]
    NothingFits,
}

/// Pairs as many rows with columns as the shorter side has, at the least total cost. The cost of row `i` with column
/// `j` is `costs[i][j]`; an infinite one forbids the pair. Answers with the column of each row; none for a row that is
/// left over because there are more rows than columns. Takes on the order of rows² × columns steps.
///
/// # Errors
/// Rows of different lengths, a cost that is no number, or forbidden pairs that leave no full assignment.
pub fn assign(costs: &[Vec<f64>]) -> Result<Vec<Option<usize>>, AssignmentError> {
    check(costs)?;
    let (rows, columns) = (costs.len(), costs.first().map_or(0, Vec::len));
    if rows <= columns {
        return Ok(columns_of_rows(rows, columns, |i, j| costs[i][j])?.into_iter().map(Some).collect());
    }
    let rows_of_columns = columns_of_rows(columns, rows, |j, i| costs[i][j])?;
    let mut answer = vec![None; rows];
    for (column, row) in rows_of_columns.into_iter().enumerate() {
        answer[row] = Some(column);
    }
    Ok(answer)
}

/// Pairs rows with columns at the least total cost, where leaving a row alone costs `alone`: no pair is made that is
/// dearer than leaving both alone would be. Answers with the column of each row, none for a row left alone.
///
/// # Errors
/// As [`assign`]; infinite costs are allowed here everywhere, since every row can be left alone.
pub fn pair_up(costs: &[Vec<f64>], alone: f64) -> Result<Vec<Option<usize>>, AssignmentError> {
    check(costs)?;
    let columns = costs.first().map_or(0, Vec::len);
    let widened: Vec<Vec<f64>> =
        costs.iter().map(|row| row.iter().copied().chain(std::iter::repeat_n(alone, costs.len())).collect()).collect();
    Ok(assign(&widened)?.into_iter().map(|column| column.filter(|j| *j < columns)).collect())
}

fn check(costs: &[Vec<f64>]) -> Result<(), AssignmentError> {
    let expected = costs.first().map_or(0, Vec::len);
    for (row, line) in costs.iter().enumerate() {
        if line.len() != expected {
            return Err(AssignmentError::Ragged { row, found: line.len(), expected });
        }
        if let Some(column) = line.iter().position(|c| c.is_nan() || *c == f64::NEG_INFINITY) {
            return Err(AssignmentError::NotANumber { row, column, found: line[column].to_string() });
        }
    }
    Ok(())
}

/// The column of each row, for at most as many rows as columns.
///
/// Rows are added one at a time. A row that finds its column taken pushes the other row on, along the path of least
/// reduced cost. `row_price` and `column_price` keep every reduced cost at zero or above and at zero on the pairs made,
/// which is what makes the result optimal and not only good.
fn columns_of_rows(
    rows: usize,
    columns: usize,
    cost: impl Fn(usize, usize) -> f64,
) -> Result<Vec<usize>, AssignmentError> {
    let mut row_price = vec![0.0; rows];
    let mut column_price = vec![0.0; columns];
    let mut row_of: Vec<Option<usize>> = vec![None; columns];
    for new in 0..rows {
        let mut dearness = vec![f64::INFINITY; columns];
        let mut came_from: Vec<Option<usize>> = vec![None; columns];
        let mut reached = vec![false; columns];
        let (mut row, mut last) = (new, None);
        let free = loop {
            let (mut step, mut next) = (f64::INFINITY, None);
            for column in (0..columns).filter(|j| !reached[*j]) {
                let reduced = cost(row, column) - row_price[row] - column_price[column];
                if reduced < dearness[column] {
                    dearness[column] = reduced;
                    came_from[column] = last;
                }
                if dearness[column] < step {
                    step = dearness[column];
                    next = Some(column);
                }
            }
            let Some(column) = next else { return Err(AssignmentError::NothingFits) };
            row_price[new] += step;
            for j in 0..columns {
                if !reached[j] {
                    dearness[j] -= step;
                } else {
                    column_price[j] -= step;
                    if let Some(paired) = row_of[j] {
                        row_price[paired] += step;
                    }
                }
            }
            reached[column] = true;
            last = Some(column);
            match row_of[column] {
                Some(paired) => row = paired,
                None => break column,
            }
        };
        let mut column = free;
        while let Some(earlier) = came_from[column] {
            row_of[column] = row_of[earlier];
            column = earlier;
        }
        row_of[column] = Some(new);
    }
    let mut answer = vec![0; rows];
    for (column, row) in row_of.into_iter().enumerate() {
        if let Some(row) = row {
            answer[row] = column;
        }
    }
    Ok(answer)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn total(costs: &[Vec<f64>], pairs: &[Option<usize>]) -> f64 {
        pairs.iter().enumerate().filter_map(|(i, j)| j.map(|j| costs[i][j])).sum()
    }

    /// The least total over every way there is, by trying them all.
    fn least_by_trying(costs: &[Vec<f64>], row: usize, taken: &mut Vec<bool>, left_over: usize) -> f64 {
        if row == costs.len() {
            return 0.0;
        }
        let mut least = f64::INFINITY;
        if left_over > 0 {
            least = least_by_trying(costs, row + 1, taken, left_over - 1);
        }
        for j in 0..taken.len() {
            if !taken[j] {
                taken[j] = true;
                least = least.min(costs[row][j] + least_by_trying(costs, row + 1, taken, left_over));
                taken[j] = false;
            }
        }
        least
    }

    #[test]
    fn the_nearest_first_is_not_always_the_best() {
        // Greedy takes 1 and is left with 100; the best is 2 + 3. By hand.
        let costs = vec![vec![1.0, 2.0], vec![3.0, 100.0]];
        assert_eq!(assign(&costs), Ok(vec![Some(1), Some(0)]));
        // The example of scipy's documentation of linear_sum_assignment: columns 1, 0, 2, total 5.
        let costs = vec![vec![4.0, 1.0, 3.0], vec![2.0, 0.0, 5.0], vec![3.0, 2.0, 2.0]];
        assert_eq!(assign(&costs), Ok(vec![Some(1), Some(0), Some(2)]));
    }

    #[test]
    fn it_is_the_least_of_all_ways_on_small_tables_of_any_shape() {
        let mut random = fastrand::Rng::with_seed(7);
        for case in 0..400 {
            let (rows, columns) = (random.usize(1..6), random.usize(1..6));
            let whole = case % 2 == 0;
            let costs: Vec<Vec<f64>> = (0..rows)
                .map(|_| {
                    (0..columns)
                        .map(|_| if whole { f64::from(random.i32(-3..4)) } else { random.f64() * 10.0 - 5.0 })
                        .collect()
                })
                .collect();
            let pairs = assign(&costs).expect("finite costs can be assigned");
            let mut used: Vec<_> = pairs.iter().flatten().collect();
            used.sort_unstable();
            used.dedup();
            assert_eq!(used.len(), rows.min(columns), "one to one, as many as fit");
            let least = least_by_trying(&costs, 0, &mut vec![false; columns], rows.saturating_sub(columns));
            assert!((total(&costs, &pairs) - least).abs() < 1e-9, "{costs:?}: {pairs:?} is not {least}");
        }
    }

    #[test]
    fn a_row_is_left_alone_rather_than_paired_too_dearly() {
        let far = f64::INFINITY;
        assert_eq!(pair_up(&[vec![1.0, 50.0], vec![2.0, far]], 10.0), Ok(vec![Some(0), None]));
        assert_eq!(pair_up(&[vec![far, far]], 10.0), Ok(vec![None]));
        assert_eq!(pair_up(&[vec![], vec![]], 10.0), Ok(vec![None, None]));
    }

    #[test]
    fn what_cannot_be_assigned_is_said() {
        let far = f64::INFINITY;
        assert_eq!(assign(&[vec![far, far], vec![1.0, 2.0]]), Err(AssignmentError::NothingFits));
        assert_eq!(assign(&[vec![1.0], vec![]]), Err(AssignmentError::Ragged { row: 1, found: 0, expected: 1 }));
        let message = assign(&[vec![f64::NAN]]).expect_err("no number").to_string();
        assert!(message.contains("NaN in row 0, column 0"), "{message}");
        assert_eq!(assign(&[]), Ok(vec![]));
        assert_eq!(assign(&[vec![], vec![]]), Ok(vec![None, None]));
    }
}
