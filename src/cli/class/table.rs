//! The table of scores to a file. Must not know its columns.

use std::path::Path;

use crate::class::{Score, TABLE_BEGINS, table};
use crate::cli::answer::Failure;
use crate::exercise::Key;
use crate::store::{self, Form};

/// Its form on disk.
pub(super) const FORM: Form = Form::Table(TABLE_BEGINS);

/// Writes one row a student.
pub(super) fn write(to: &Path, key: &Key, scores: &[Score], name: &dyn Fn(&Score) -> String) -> Result<(), Failure> {
    let bytes = table(key, scores, name).map_err(Failure)?;
    store::write_file(to, &bytes).map_err(|e| Failure(e.to_string()))
}
