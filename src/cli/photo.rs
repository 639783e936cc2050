//! `stemclock photo`: pictures into a garage, and copies with their marks burnt in out of it.

use std::path::Path;

use serde_json::{Value, json};

use super::answer::{Answer, Exit, Failure};
use super::args::{PhotoAddArgs, PhotoCommand, PhotoCopyArgs};
use super::garage;
use crate::edit::{Command, PhotoHome, decide};
use crate::garage::Bay;
use crate::machine::MachineId;
use crate::photo::{Keep, PhotoRef, marked_copy, take_in};
use crate::report::content::photos_of;
use crate::store::{self, Form, Opened};

/// Carries out what was asked.
pub fn photo(command: &PhotoCommand) -> Result<Answer, Failure> {
    match command {
        PhotoCommand::Add(args) => add(args),
        PhotoCommand::Copy(args) => copy(args),
    }
}

/// Adds pictures. One that is refused does not keep the others out; the exit code says that there was one.
fn add(args: &PhotoAddArgs) -> Result<Answer, Failure> {
    let mut opened = store::open(&args.folder).map_err(|e| Failure(e.to_string()))?;
    if let Some(why) = &opened.lock.read_only_because {
        return Err(Failure(why.clone()));
    }
    let bay = garage::machine(&opened.garage, &args.machine)?;
    let (machine, home) = (bay.machine.id.clone(), home(bay, args)?);
    // What the house forbids is said before a file is written.
    decide(&opened.garage, &opened.catalogue, Command::PutPhoto(machine.clone(), home.clone(), PhotoRef::default()))
        .map_err(|e| Failure(e.to_string()))?;
    let keep = if args.keep_everything { Keep::Everything } else { Keep::PictureOnly };
    let mut answer = Answer { warnings: garage::warnings(&opened), ..Answer::default() };
    let mut rows = Vec::new();
    for path in &args.files {
        match one(&mut opened, args, path, (&machine, &home), keep) {
            Ok((line, row)) => {
                answer.text.push_str(&line);
                rows.push(row);
            }
            Err(Failure(why)) => {
                answer.exit = Exit::Failed;
                rows.push(json!({ "from": path.display().to_string(), "refused": why }));
                answer.warnings.push(format!("{} is left out: {why}", path.display()));
            }
        }
    }
    answer.json = json!({ "machine": machine.0, "photos": rows });
    Ok(answer)
}

fn one(
    opened: &mut Opened,
    args: &PhotoAddArgs,
    path: &Path,
    (machine, home): (&MachineId, &PhotoHome),
    keep: Keep,
) -> Result<(String, Value), Failure> {
    let told = |e: &dyn std::fmt::Display| Failure(e.to_string());
    let bytes = store::read_picture(path).map_err(|e| told(&e))?;
    let name = path.file_name().map_or_else(String::new, |name| name.to_string_lossy().into_owned());
    let taken = take_in(&name, &bytes, keep).map_err(|e| told(&e))?;
    let file = store::keep_photo(&args.folder, machine, &taken.bytes, taken.kind).map_err(|e| told(&e))?;
    let words = args.words.clone().unwrap_or_default();
    let photo = PhotoRef { words, ..PhotoRef::new(&file) };
    let command = Command::PutPhoto(machine.clone(), home.clone(), photo);
    let change = decide(&opened.garage, &opened.catalogue, command).map_err(|e| told(&e))?;
    store::save(&args.folder, &change).map_err(|e| told(&e))?;
    opened.garage.evolve(&change);
    let done = taken.words();
    let after = if done.is_empty() { String::new() } else { format!("; {done}") };
    let line = format!("{} is {file}, {} × {} pixels{after}.\n", path.display(), taken.width, taken.height);
    let row = json!({
        "from": path.display().to_string(),
        "file": file,
        "width_px": taken.width,
        "height_px": taken.height,
        "size_bytes": taken.bytes.len(),
        "left_out": taken.removed,
        "turned_upright": taken.is_turned,
    });
    Ok((line, row))
}

/// What the photos are of: the finding that was named, else the machine.
fn home(bay: &Bay, args: &PhotoAddArgs) -> Result<PhotoHome, Failure> {
    let Some(wanted) = &args.finding else {
        if args.inspection.is_some() {
            return Err(Failure::expected(
                "a finding with the inspection",
                "none",
                "name one as in --finding 3f, or leave the inspection out for photos of the machine",
            ));
        }
        return Ok(PhotoHome::Machine);
    };
    let inspection = garage::inspection(bay, args.inspection.as_deref())?.0;
    let matching: Vec<_> = inspection.findings.iter().filter(|f| f.id.0.starts_with(wanted.trim())).collect();
    match matching[..] {
        [finding] => Ok(PhotoHome::Finding(inspection.id.clone(), finding.id.clone())),
        _ => {
            let known: Vec<&str> = inspection.findings.iter().map(|f| f.id.0.as_str()).collect();
            let known = if known.is_empty() { "it has none".to_owned() } else { known.join(", ") };
            Err(Failure::expected(
                &format!("a finding of the inspection {}, only one", inspection.id),
                format!("{} for \"{wanted}\"", matching.len()),
                &format!("name one by its id or the beginning of it: {known}"),
            ))
        }
    }
}

/// Writes copies of a machine's photos, each as a JPEG with its marks burnt in and nothing beside its picture.
fn copy(args: &PhotoCopyArgs) -> Result<Answer, Failure> {
    let opened = garage::read(&args.folder)?;
    let bay = garage::machine(&opened.garage, &args.machine)?;
    let mut answer = Answer { warnings: garage::warnings(&opened), ..Answer::default() };
    let photos = photos_of(bay);
    let stem = |file: &str| file.rsplit_once('.').map_or(file, |(stem, _)| stem).to_owned();
    let names = photos.keys().map(|file| format!("{}.jpg", stem(file)));
    let paths = store::may_fill(&args.out, Form::Jpeg, names).map_err(|e| Failure(e.to_string()))?;
    store::make_folder(&args.out).map_err(|e| Failure(e.to_string()))?;
    let mut written = Vec::new();
    for ((file, marks), path) in photos.iter().zip(paths) {
        let read = store::photo_bytes(&args.folder, &bay.machine.id, file).map_err(|e| e.to_string());
        match read.and_then(|bytes| marked_copy(&bytes, marks).map_err(|e| e.to_string())) {
            Ok(jpeg) => {
                store::write_file(&path, &jpeg).map_err(|e| Failure(e.to_string()))?;
                written.push(path.display().to_string());
            }
            Err(why) => {
                answer.exit = Exit::Failed;
                answer.warnings.push(format!("{file} is left out: {why}"));
            }
        }
    }
    answer.text = written.iter().map(|path| format!("{path}\n")).collect();
    if written.is_empty() {
        answer.text = format!("{} has no photos.\n", bay.machine.name);
    }
    answer.json = json!({ "machine": bay.machine.id.0, "written": written });
    Ok(answer)
}
