//! Records of an older schema: brought up to the newest one step after the other when they are read, and kept as they
//! were when they are first saved over. Must not know what the records mean.

use std::fs::File;
use std::io::Read as _;
use std::path::{Path, PathBuf};

use super::{Medium, StoreError, atomic, codec};

/// From one schema to the next.
pub(super) struct Step {
    /// The schema that it takes.
    pub(super) from: u32,
    /// Changes the text of a record, by what it is (`machine`). It keeps the lines where it can, so that a problem is
    /// still told at its place. Errors: why it cannot, as expected, found, way out.
    pub(super) apply: fn(what: &str, text: &str) -> Result<String, String>,
}

/// Every step, from the first schema on. So far every record that was ever written is of schema 1: what was added since
/// is left out where it says nothing, so that older files read as they are.
pub(super) const STEPS: &[Step] = &[];

/// A record's text in the form of the schema `to`. Errors: a step that cannot, or that is not there.
pub(super) fn bring_up(what: &str, text: &str, steps: &[Step], to: u32) -> Result<String, String> {
    let mut text = text.to_owned();
    while let Some(found) = codec::schema_at_head(&text).filter(|found| *found < to) {
        let step = steps.iter().find(|step| step.from == found).ok_or_else(|| {
            format!("expected a way from schema {found} to {}, found none: please report this", found + 1)
        })?;
        let stepped = (step.apply)(what, &text)?;
        let number = |n: u32| format!("schema: {n}");
        text = stepped.replacen(&number(found), &number(found + 1), 1);
        if codec::schema_at_head(&text) != Some(found + 1) {
            return Err(format!(
                "expected \"schema: {found}\" at the head of the record, found it written otherwise: write it so"
            ));
        }
    }
    Ok(text)
}

/// Keeps a file of an older schema than `known` beside itself as `….schema-N`, before it is written over. One that is
/// kept already stays. Errors: the disk; then nothing has changed.
pub(super) fn keep_older(on: &dyn Medium, path: &Path, known: u32) -> Result<Option<PathBuf>, StoreError> {
    let fail = |e: std::io::Error| StoreError::from_io("read the file", path, &e);
    // A pipe would keep the save waiting for ever; what is no plain file is no record of an older schema.
    if std::fs::metadata(path).is_ok_and(|about| !about.is_file()) {
        return Ok(None);
    }
    let mut head = Vec::new();
    match File::open(path) {
        Ok(file) => file.take(HEAD).read_to_end(&mut head).map_err(fail)?,
        Err(e) if e.kind() == std::io::ErrorKind::NotFound => return Ok(None),
        Err(e) => return Err(fail(e)),
    };
    let Some(found) = codec::schema_at_head(&String::from_utf8_lossy(&head)).filter(|n| *n > 0 && *n < known) else {
        return Ok(None);
    };
    let name = path.file_name().map(|n| n.to_string_lossy().into_owned()).unwrap_or_default();
    let kept = path.with_file_name(format!("{name}.schema-{found}"));
    let bytes = atomic::read_within(path, codec::FILE_CAP, "restore the file from a backup")?;
    atomic::write_new(on, &kept, &bytes)?;
    Ok(Some(kept))
}

/// How far into a file its schema is looked for, in bytes.
const HEAD: u64 = 4096;

#[cfg(test)]
mod tests {
    use super::*;
    use crate::machine::SCHEMA;
    use crate::store::RealDisk;

    /// Two invented schemas: the second calls a thing by another name, the third puts one in.
    const INVENTED: &[Step] = &[
        Step { from: 1, apply: |_, text| Ok(text.replace("title:", "name:")) },
        Step {
            from: 2,
            apply: |what, text| match what {
                "machine" => Ok(text.replace("(\n", "(\n    wheels: 2,\n")),
                _ => Err("expected a machine, found something else: correct it".into()),
            },
        },
    ];

    #[test]
    fn there_is_a_step_from_every_schema_that_ever_was() {
        assert!(STEPS.iter().map(|step| step.from).eq(1..SCHEMA), "one step a schema, in their order");
    }

    #[test]
    fn a_record_goes_from_schema_to_schema() {
        let old = "// a head\n(\n    schema: 1,\n    title: \"Standard\",\n)";
        let new = "// a head\n(\n    wheels: 2,\n    schema: 3,\n    name: \"Standard\",\n)";
        assert_eq!(bring_up("machine", old, INVENTED, 3).as_deref(), Ok(new));
        assert_eq!(bring_up("machine", new, INVENTED, 3).as_deref(), Ok(new), "what is new stays");
        assert!(bring_up("event", old, INVENTED, 3).is_err_and(|e| e.starts_with("expected a machine")));
        assert!(bring_up("machine", old, &INVENTED[..1], 3).is_err_and(|e| e.contains("from schema 2 to 3")));
        assert!(bring_up("machine", "(schema:1)", INVENTED, 2).is_err_and(|e| e.contains("written otherwise")));
    }

    #[test]
    fn an_older_file_is_kept_once_as_it_was() -> Result<(), Box<dyn std::error::Error>> {
        let dir = tempfile::tempdir()?;
        let path = dir.path().join("machine.ron");
        let old = "// a head\n(\n    schema: 1,\n)";
        std::fs::write(&path, old)?;
        assert_eq!(keep_older(&RealDisk, &path, 1)?, None, "the newest schema needs no copy");
        let kept = keep_older(&RealDisk, &path, 2)?;
        assert_eq!(kept, Some(dir.path().join("machine.ron.schema-1")));
        std::fs::write(&path, "(schema: 1, by: \"hand\")")?;
        keep_older(&RealDisk, &path, 2)?;
        assert_eq!(std::fs::read_to_string(dir.path().join("machine.ron.schema-1"))?, old, "the first copy stays");
        assert_eq!(keep_older(&RealDisk, &dir.path().join("none.ron"), 2)?, None);
        Ok(())
    }
}
