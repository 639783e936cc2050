//! What comes of pictures: photos added by the one write path, brought for the window, made ready for the report.

use std::collections::BTreeSet;
use std::path::Path;

use super::paths;
use super::pictures::Came;
use super::shell::Shell;
use crate::edit::{Command, PhotoHome, decide};
use crate::machine::MachineId;
use crate::photo::{Keep, PhotoRef};
use crate::ui::{PhotoSource, Place};

/// The pictures that are being added.
#[derive(Debug, Default)]
pub(super) struct Batch {
    /// How many were asked for.
    count: usize,
    /// How many have been looked at.
    done: usize,
    /// How many were added.
    added: usize,
    /// What was done to them, in words, each once.
    words: BTreeSet<String>,
}

impl Shell {
    /// Begins to add pictures, where the house allows it.
    pub(super) fn add_photos(&mut self, machine: MachineId, home: PhotoHome, from: Vec<PhotoSource>, keep: Keep) {
        let Some(folder) = self.folder.clone() else { return };
        if let Some(why) = self.read_only.clone() {
            self.trouble("No photo can be added", why);
            return;
        }
        if self.saver.is_copying() {
            self.trouble(
                "No photo can be added yet",
                "Expected the garage in one place, found that its copy is being written: add the photo when it is there.",
            );
            return;
        }
        // What is forbidden is said before a file is written.
        let trial = Command::PutPhoto(machine.clone(), home.clone(), PhotoRef::default());
        if let Err(rejected) = decide(&self.garage, &self.catalogue, trial) {
            self.trouble("No photo can be added", rejected.to_string());
            return;
        }
        self.batch.count += from.len();
        self.tell_batch();
        // A typed path may begin with `~` or stand in quotes.
        let meant = |source| match source {
            PhotoSource::File(path) => PhotoSource::File(paths::meant(&path)),
            PhotoSource::Pixels(image) => PhotoSource::Pixels(image),
        };
        let from = from.into_iter().map(meant).collect();
        self.pictures.take(&folder, machine, home, from, keep);
    }

    /// Writes a copy with its marks burnt in. Nothing that is there is written over before the user has seen its name.
    pub(super) fn save_photo_copy(&mut self, machine: MachineId, photo: PhotoRef, typed: &str) {
        let Some(folder) = self.folder.clone() else { return };
        let path = paths::meant(Path::new(typed));
        if path.starts_with(&folder) {
            self.to_replace = None;
            self.trouble(
                "The copy does not go into the garage",
                "Expected a place outside the garage's folder, found one inside: type another path.",
            );
            return;
        }
        let is_jpeg = path.extension().is_some_and(|e| e.eq_ignore_ascii_case("jpeg"));
        let ending = if is_jpeg { None } else { Some("jpg") };
        let name = Path::new(&photo.file).with_extension("jpg").to_string_lossy().into_owned();
        if let Some(path) = self.agreed(Path::new(typed), &name, ending) {
            self.pictures.copy(&folder, machine, photo, path);
        }
    }

    /// Asks for what came into view, and for the photos that the report shows.
    pub(super) fn bring_photos(&mut self) {
        let Some(folder) = self.folder.clone() else { return };
        for key in self.state.photos.shelf.wanted() {
            self.pictures.show(&folder, key);
        }
        if self.state.place != Place::Report {
            return;
        }
        let Some(bay) = self.state.machine.as_ref().and_then(|id| self.garage.bay(id)) else { return };
        for (file, marks) in self.state.report.wanted_photos(bay) {
            self.pictures.ready(&folder, bay.machine.id.clone(), file, marks);
        }
    }

    /// Takes what the threads have brought. Pixels need the window's graphics; without it they wait.
    pub(super) fn hear_pictures(&mut self, ctx: Option<&egui::Context>) {
        self.came.extend(self.pictures.poll());
        for (folder, came) in std::mem::take(&mut self.came) {
            // A copy outside is no photo of a garage.
            if self.folder.as_ref() != Some(&folder) && !matches!(came, Came::Copied(..)) {
                log::info!("a picture came for another garage: {came:?}");
                continue;
            }
            match (came, ctx) {
                (Came::Shown(key, result), Some(ctx)) => self.state.photos.shelf.put(ctx, key, result),
                (came @ Came::Shown(..), None) => self.came.push((folder, came)),
                (came, _) => self.hear_picture(came),
            }
        }
    }

    fn hear_picture(&mut self, came: Came) {
        match came {
            Came::Taken { machine, home, name, result } => {
                self.batch.done += 1;
                match result {
                    Ok((file, words)) => {
                        let known = crate::edit::photos(&self.garage, &machine, &home).unwrap_or_default();
                        if known.iter().any(|photo| photo.file == file) {
                            self.tell(format!("{name} is there already"), "");
                        } else if self.edit(Command::PutPhoto(machine, home, PhotoRef::new(file))) {
                            self.batch.added += 1;
                        }
                        if !words.is_empty() {
                            self.batch.words.insert(words);
                        }
                    }
                    Err(why) => self.trouble(format!("{name} was not added"), why),
                }
                self.tell_batch();
            }
            Came::TakenAll { left } => {
                self.batch.done += left;
                if self.batch.done >= self.batch.count {
                    self.end_batch();
                }
                self.tell_batch();
            }
            Came::Ready { machine, file, marks, result } => {
                if let Err(why) = &result {
                    log::warn!("the photo {file} is not shown: {why}");
                }
                if result.as_ref().is_err_and(|why| why == super::pictures::STOPPED) {
                    self.state.report.note_stopped();
                }
                self.state.report.take_photo(&machine, &file, marks, result);
            }
            Came::Copied(path, Ok(())) => self.tell(format!("The copy is in {}", path.display()), ""),
            Came::Copied(path, Err(why)) => {
                self.trouble(format!("The copy could not be written to {}", path.display()), why);
            }
            Came::Shown(..) => {}
        }
    }

    fn end_batch(&mut self) {
        let batch = std::mem::take(&mut self.batch);
        let added = match batch.added {
            0 => return,
            1 => "1 photo added".to_owned(),
            n => format!("{n} photos added"),
        };
        let words: Vec<String> = batch.words.into_iter().collect();
        self.tell(added, words.join("; "));
    }

    fn tell_batch(&mut self) {
        let Batch { done, count, .. } = self.batch;
        self.state.photos.at_work = (count > 0).then_some((done, count));
    }
}
