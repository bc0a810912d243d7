//! The typesetter's world: embedded sources, three fonts, virtual files.
//!
//! The only module that knows the typesetter. It reads no disk, no network and
//! no clock, so that the same data gives the same pages.

use std::collections::BTreeMap;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::LazyLock;

use measure::Problem;
use typst::diag::{FileError, FileResult, SourceDiagnostic};
use typst::foundations::{Bytes, Datetime, Duration, Smart};
use typst::syntax::{FileId, RootedPath, Source, VirtualPath, VirtualRoot};
use typst::text::{Font, FontBook};
use typst::utils::LazyHash;
use typst::{Library, LibraryExt, World};
use typst_layout::PagedDocument;
use typst_pdf::PdfOptions;

/// The sources that every document may import, by their virtual path.
const SOURCES: [(&str, &str); 8] = [
    ("/look.typ", include_str!("../typ/look.typ")),
    ("/summary.typ", include_str!("../typ/summary.typ")),
    ("/wood.typ", include_str!("../typ/wood.typ")),
    ("/sawing.typ", include_str!("../typ/sawing.typ")),
    ("/template.typ", include_str!("../typ/template.typ")),
    ("/bench.typ", include_str!("../typ/bench.typ")),
    ("/packet.typ", include_str!("../typ/packet.typ")),
    ("/scale.typ", include_str!("../typ/scale.typ")),
];

/// The weights of the one typeface.
const FONTS: [&[u8]; 3] = [
    include_bytes!("../../../assets/fonts/Inter-Regular.otf"),
    include_bytes!("../../../assets/fonts/Inter-SemiBold.otf"),
    include_bytes!("../../../assets/fonts/Inter-Bold.otf"),
];

/// What never changes from one document to the next.
struct Press {
    library: LazyHash<Library>,
    book: LazyHash<FontBook>,
    fonts: Vec<Font>,
}

static PRESS: LazyLock<Press> = LazyLock::new(|| {
    let fonts: Vec<Font> = FONTS.into_iter().flat_map(|bytes| Font::iter(Bytes::new(bytes))).collect();
    Press {
        library: LazyHash::new(Library::default()),
        book: LazyHash::new(FontBook::from_fonts(&fonts)),
        fonts,
    }
});

/// One document: its main source and the files made for it.
struct Document {
    main: FileId,
    files: BTreeMap<String, Bytes>,
}

impl World for Document {
    fn library(&self) -> &LazyHash<Library> {
        &PRESS.library
    }

    fn book(&self) -> &LazyHash<FontBook> {
        &PRESS.book
    }

    fn main(&self) -> FileId {
        self.main
    }

    fn source(&self, id: FileId) -> FileResult<Source> {
        let path = id.get().vpath().get_with_slash();
        match SOURCES.iter().find(|(name, _)| *name == path) {
            Some((_, text)) => Ok(Source::new(id, (*text).to_owned())),
            None => Err(FileError::AccessDenied),
        }
    }

    fn file(&self, id: FileId) -> FileResult<Bytes> {
        let path = id.get().vpath().get_with_slash();
        self.files.get(path).cloned().ok_or(FileError::AccessDenied)
    }

    fn font(&self, index: usize) -> Option<Font> {
        PRESS.fonts.get(index).cloned()
    }

    fn today(&self, _: Option<Duration>) -> Option<Datetime> {
        None
    }
}

/// Sets one document: `main` names its source, `files` its data and pictures by
/// virtual path.
///
/// # Errors
/// The typesetter refuses the document or fails on it.
pub(crate) fn set(main: &str, files: BTreeMap<String, Vec<u8>>) -> Result<Vec<u8>, Problem> {
    let files = files.into_iter().map(|(path, bytes)| (path, Bytes::new(bytes))).collect();
    let path = VirtualPath::new(main).map_err(|_| Problem::new(format!("no document is called “{main}”")))?;
    let document = Document { main: RootedPath::new(VirtualRoot::Project, path).intern(), files };
    let set = catch_unwind(AssertUnwindSafe(|| pages(&document)));
    typst::comemo::evict(0);
    set.unwrap_or_else(|_| {
        Err(Problem::new("the typesetter failed on this packet")
            .hint("take the pictures out one by one to find what it cannot set"))
    })
}

fn pages(document: &Document) -> Result<Vec<u8>, Problem> {
    let laid = typst::compile::<PagedDocument>(document).output.map_err(|faults| refused(&faults))?;
    let options = PdfOptions { creator: Smart::Custom(Some("Treen".to_owned())), ..PdfOptions::default() };
    typst_pdf::pdf(&laid, &options).map_err(|faults| refused(&faults))
}

fn refused(faults: &[SourceDiagnostic]) -> Problem {
    let first = faults.first().map_or("no reason given", |fault| fault.message.as_str());
    let more = faults.len().saturating_sub(1);
    Problem::new(format!("the packet could not be set: {first} ({more} more)"))
        .hint("plan the job again, and print again")
}
