//! A PDF read back: how many pages, which files it carries, which photos it shows. Made for files from strangers: what a
//! file may be, how far a stream may unpack and how many pages there may be are all limited.
//!
//! It must not know what a report says.

use std::collections::BTreeSet;

use lopdf::{Dictionary, Document, LoadOptions, Object, ObjectId, decode_text_string};

use crate::report::block::Attachment;

/// The largest file that is read, in bytes: twenty times a report of forty pages with sixty photos.
pub const FILE_MOST: usize = 256 << 20;
/// The most that one stream may unpack to, in bytes.
pub const UNPACKED_MOST: usize = 64 << 20;
/// The most pages that are looked at.
pub const PAGES_MOST: usize = 5000;
/// How deep a tree of names may be.
const DEEPEST: usize = 16;

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

/// Reads a PDF.
///
/// # Errors
/// When it is no PDF, damaged, locked, or larger than any report.
pub fn read(bytes: &[u8]) -> Result<Read, ReadError> {
    if bytes.len() > FILE_MOST {
        return Err(ReadError::TooLarge { found: bytes.len() });
    }
    // Viewers accept a header within the first kilobyte (ISO 32000-1, annex H, note 13).
    if !bytes[..bytes.len().min(1024)].windows(5).any(|w| w == b"%PDF-") {
        return Err(ReadError::NoPdf);
    }
    // On a thread of its own, so that a file which makes the parser give up does not end the program.
    let parsed = std::thread::scope(|scope| {
        let options = LoadOptions::with_max_decompressed_size(UNPACKED_MOST);
        scope.spawn(move || Document::load_mem_with_options(bytes, options)).join()
    });
    let document = parsed.map_err(|_| ReadError::Damaged("the parser gave up".into()))??;
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

impl Read {
    /// How many pages there are.
    pub fn page_count(&self) -> usize {
        self.pages.len()
    }

    /// The files that it carries, by the tree of names (ISO 32000-1, 7.11.4).
    ///
    /// # Errors
    /// When one cannot be unpacked.
    pub fn attachments(&self) -> Result<Vec<Attachment>, ReadError> {
        let catalog = self.document.catalog()?;
        let mut found = Vec::new();
        let tree = self.dictionary(catalog, b"Names").and_then(|names| self.dictionary(names, b"EmbeddedFiles"));
        if let Some(tree) = tree {
            self.names(tree, DEEPEST, &mut found)?;
        }
        Ok(found)
    }

    fn names(&self, tree: &Dictionary, depth: usize, found: &mut Vec<Attachment>) -> Result<(), ReadError> {
        for pair in self.array(tree, b"Names").chunks(2) {
            if let Some(spec) = pair.get(1).and_then(|spec| self.as_dictionary(spec)) {
                found.push(self.attachment(spec)?);
            }
        }
        if depth > 0 {
            for kid in self.array(tree, b"Kids") {
                if let Some(kid) = self.as_dictionary(kid) {
                    self.names(kid, depth - 1, found)?;
                }
            }
        }
        Ok(())
    }

    fn attachment(&self, spec: &Dictionary) -> Result<Attachment, ReadError> {
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
        let media_type = stream.dict.get(b"Subtype").and_then(Object::as_name).unwrap_or_default();
        Ok(Attachment {
            name,
            media_type: String::from_utf8_lossy(media_type).into_owned(),
            description: text(b"Desc").unwrap_or_default(),
            bytes: stream.get_plain_content_with_limit(UNPACKED_MOST)?,
        })
    }

    /// The JPEG files that the pages show, each once, in the order of the pages.
    pub fn photos(&self) -> Vec<Vec<u8>> {
        let mut seen = BTreeSet::new();
        let mut photos = Vec::new();
        for page in &self.pages {
            let Some(resources) = self.inherited(*page, b"Resources").and_then(|r| self.as_dictionary(r)) else {
                continue;
            };
            let Some(images) = self.dictionary(resources, b"XObject") else { continue };
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
