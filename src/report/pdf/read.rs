//! A PDF read back: how many pages, which files it carries, which photos it shows. Made for files from strangers: what a
//! file may be, how far a stream may unpack and how many pages there may be are all limited.
//!
//! It must not know what a report says.

use std::collections::BTreeSet;
use std::time::Duration;

use lopdf::{Dictionary, Document, Object, ObjectId, Stream, decode_text_string};

use super::load;
use crate::guard::limits::{PDF_ATTACHED, PDF_BYTES, PDF_DEPTH, PDF_PAGES, PDF_PART, PDF_SECONDS};

/// The largest file that is read, in bytes.
pub const FILE_MOST: usize = PDF_BYTES.size();
/// The most that one stream may unpack to, in bytes.
pub const UNPACKED_MOST: usize = PDF_PART.size();
/// The most pages that are looked at.
pub const PAGES_MOST: usize = PDF_PAGES.size();
/// The most files that are looked at.
const ATTACHED_MOST: usize = PDF_ATTACHED.size();
/// The longest that a file may take to be read.
pub const LONGEST: Duration = Duration::from_secs(PDF_SECONDS.most);
/// How deep a tree of names or of pages may be.
const DEEPEST: usize = PDF_DEPTH.size();

/// Why a PDF cannot be read.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum ReadError {
    /// It does not begin as a PDF does.
    #[error("expected a PDF file, found something else: choose the file that was sent to you")]
    NoPdf,
    /// It is too large.
    #[error("expected a file of at most {} MB, found {found} bytes: no report is that large", FILE_MOST >> 20)]
    TooLarge {
        /// Its size in bytes.
        found: usize,
    },
    /// It has too many pages.
    #[error("expected at most {PAGES_MOST} pages, found {found}: no report is that long")]
    TooManyPages {
        /// How many it has.
        found: usize,
    },
    /// It asks for a password.
    #[error("expected a report as it was saved, found a PDF locked with a password: ask for the file without it")]
    Locked,
    /// A part unpacks to more than any report holds.
    #[error(
        "expected a report, found a file with a part that unpacks to more than {} MB: it is not opened, as it may be made to fill the memory",
        UNPACKED_MOST >> 20
    )]
    Bomb,
    /// It carries too many files.
    #[error(
        "expected at most {ATTACHED_MOST} attached files, found more: a report carries one; ask for the file as it was saved"
    )]
    TooManyFiles,
    /// Reading it takes too long.
    #[error(
        "expected a report, found a file that takes longer than {} s to be read: it is not opened, as it may be made to keep the program busy",
        .0.as_secs_f64()
    )]
    TooSlow(Duration),
    /// It is cut short or damaged.
    #[error("expected a whole PDF file, found a damaged one ({0}): ask for it to be sent again")]
    Damaged(String),
}

impl From<lopdf::Error> for ReadError {
    fn from(error: lopdf::Error) -> Self {
        match error {
            lopdf::Error::Decompress(lopdf::DecompressError::MemoryLimitExceeded { .. }) => Self::Bomb,
            lopdf::Error::InvalidPassword | lopdf::Error::Decryption(_) => Self::Locked,
            other => Self::Damaged(other.to_string()),
        }
    }
}

/// A PDF that was read.
#[derive(Debug)]
pub struct Read {
    pub(super) document: Document,
    pub(super) pages: Vec<ObjectId>,
}

/// Reads a PDF within [`LONGEST`].
///
/// # Errors
/// When it is no PDF, damaged, locked, larger than any report, or made to be slow.
pub fn read(bytes: &[u8]) -> Result<Read, ReadError> {
    read_within(bytes, LONGEST)
}

/// Reads a PDF within a time.
///
/// # Errors
/// As [`read`].
pub fn read_within(bytes: &[u8], most: Duration) -> Result<Read, ReadError> {
    if bytes.len() > FILE_MOST {
        return Err(ReadError::TooLarge { found: bytes.len() });
    }
    // Viewers accept a header within the first kilobyte (ISO 32000-1, annex H, note 13).
    if !bytes[..bytes.len().min(1024)].windows(5).any(|w| w == b"%PDF-") {
        return Err(ReadError::NoPdf);
    }
    let document = load::parse(bytes, most)?;
    if document.is_encrypted() || document.was_encrypted() {
        return Err(ReadError::Locked);
    }
    let pages: Vec<ObjectId> = document.page_iter().take(PAGES_MOST + 1).collect();
    match pages.len() {
        0 => Err(ReadError::Damaged("it has no pages".into())),
        found if found > PAGES_MOST => Err(ReadError::TooManyPages { found }),
        _ => Ok(Read { document, pages }),
    }
}

/// A file inside a PDF, still packed.
#[derive(Debug)]
pub struct Carried<'a> {
    /// Its name.
    pub name: String,
    stream: &'a Stream,
}

impl Carried<'_> {
    /// Its bytes.
    ///
    /// # Errors
    /// When it cannot be unpacked, or is larger than any record.
    pub fn bytes(&self) -> Result<Vec<u8>, ReadError> {
        Ok(self.stream.get_plain_content_with_limit(UNPACKED_MOST)?)
    }
}

impl Read {
    /// How many pages there are.
    pub fn page_count(&self) -> usize {
        self.pages.len()
    }

    /// The files that it carries, by the tree of names (ISO 32000-1, 7.11.4). They are still packed.
    ///
    /// # Errors
    /// When there are too many, or one has no content.
    pub fn attachments(&self) -> Result<Vec<Carried<'_>>, ReadError> {
        let catalog = self.document.catalog()?;
        let mut found = Vec::new();
        let tree = self.dictionary(catalog, b"Names").and_then(|names| self.dictionary(names, b"EmbeddedFiles"));
        if let Some(tree) = tree {
            self.names(tree, DEEPEST, &mut BTreeSet::new(), &mut found)?;
        }
        Ok(found)
    }

    fn names<'a>(
        &'a self,
        tree: &'a Dictionary,
        depth: usize,
        seen: &mut BTreeSet<ObjectId>,
        found: &mut Vec<Carried<'a>>,
    ) -> Result<(), ReadError> {
        for pair in self.array(tree, b"Names").chunks(2) {
            if let Some(spec) = pair.get(1).and_then(|spec| self.as_dictionary(spec)) {
                if found.len() >= ATTACHED_MOST {
                    return Err(ReadError::TooManyFiles);
                }
                found.push(self.attachment(spec)?);
            }
        }
        for kid in self.array(tree, b"Kids").iter().take(if depth > 0 { usize::MAX } else { 0 }) {
            // A branch that hangs in the tree twice is gone through once, or the levels could be endless.
            let is_new = kid.as_reference().map_or(true, |id| seen.insert(id));
            if let Some(kid) = self.as_dictionary(kid).filter(|_| is_new) {
                self.names(kid, depth - 1, seen, found)?;
            }
        }
        Ok(())
    }

    fn attachment<'a>(&'a self, spec: &'a Dictionary) -> Result<Carried<'a>, ReadError> {
        let text = |key: &[u8]| {
            let object = spec.get_deref(key, &self.document).ok()?;
            decode_text_string(object).ok()
        };
        let files = self.dictionary(spec, b"EF");
        let stream = files.and_then(|ef| [&b"UF"[..], b"F"].iter().find_map(|k| ef.get_deref(k, &self.document).ok()));
        let Some(Object::Stream(stream)) = stream else {
            return Err(ReadError::Damaged("an attached file has no content".into()));
        };
        let name = text(b"UF").or_else(|| text(b"F")).unwrap_or_default();
        Ok(Carried { name, stream })
    }

    /// The JPEG files that the pages show, each once, in the order of the pages.
    pub fn photos(&self) -> Vec<Vec<u8>> {
        let mut seen = BTreeSet::new();
        let mut lists = BTreeSet::new();
        let mut photos = Vec::new();
        for page in &self.pages {
            let Some(resources) = self.inherited(*page, b"Resources").and_then(|r| self.as_dictionary(r)) else {
                continue;
            };
            let Some(images) = self.dictionary(resources, b"XObject") else { continue };
            // Thousands of pages may share one list of thousands of pictures: it is gone through once.
            if !lists.insert(std::ptr::from_ref(images)) {
                continue;
            }
            for (_, image) in images.iter() {
                let is_new = image.as_reference().map_or(true, |id| seen.insert(id));
                if let Ok((_, Object::Stream(stream))) = self.document.dereference(image)
                    && is_new
                    && stream.filters().is_ok_and(|filters| filters == [b"DCTDecode"])
                {
                    photos.push(stream.content.clone());
                }
            }
        }
        photos
    }

    /// What a page says under a key, itself or by the nodes above it (ISO 32000-1, 7.7.3.4).
    pub(super) fn inherited(&self, page: ObjectId, key: &[u8]) -> Option<&Object> {
        let mut node = self.document.get_dictionary(page).ok()?;
        for _ in 0..DEEPEST {
            if let Ok(found) = node.get_deref(key, &self.document) {
                return Some(found);
            }
            node = self.dictionary(node, b"Parent")?;
        }
        None
    }

    pub(super) fn dictionary<'a>(&'a self, parent: &'a Dictionary, key: &[u8]) -> Option<&'a Dictionary> {
        self.as_dictionary(parent.get(key).ok()?)
    }

    fn as_dictionary<'a>(&'a self, object: &'a Object) -> Option<&'a Dictionary> {
        self.document.dereference(object).ok()?.1.as_dict().ok()
    }

    fn array<'a>(&'a self, parent: &'a Dictionary, key: &[u8]) -> &'a [Object] {
        parent.get_deref(key, &self.document).and_then(Object::as_array).map_or(&[], Vec::as_slice)
    }
}
