//! All pages together: the file in the making.

use krilla::metadata::Metadata;
use krilla::page::PageSettings;
use krilla::{Document, SerializeSettings};

use super::leaf::{Leaf, UNITS};
use super::letters::Letters;
use super::size::Format;

/// Why there is no PDF.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum NoPdf {
    /// The typeface cannot be read.
    #[error("the typeface of the paper cannot be read")]
    Letters,
    /// The library that packs the file refused.
    #[error("the paper cannot be packed: {0}")]
    Unpackable(String),
    /// It would take more pages than anybody prints.
    #[error("{0} pages are more than a file should have; a larger paper needs fewer")]
    Pages(usize),
}

/// Most pages of a file: beyond them something is wrong with the job or the paper.
const MOST_PAGES: usize = 5000;

/// The file in the making.
pub(super) struct Book {
    document: Document,
    pub(super) letters: Letters,
    /// What stands at the foot of every page.
    title: String,
    pages: usize,
}

impl std::fmt::Debug for Book {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Book").field("title", &self.title).field("pages", &self.pages).finish_non_exhaustive()
    }
}

impl Book {
    /// A file without pages.
    ///
    /// # Errors
    /// [`NoPdf::Letters`].
    pub(super) fn new(title: &str) -> Result<Self, NoPdf> {
        let letters = Letters::new().ok_or(NoPdf::Letters)?;
        let title = letters.writable(title);
        let settings = SerializeSettings { enable_tagging: false, ..SerializeSettings::default() };
        let mut document = Document::new_with(settings);
        // No date: the same job gives the same bytes.
        let about = Metadata::new().title(title.clone()).creator("Grainwise".to_owned());
        document.set_metadata(about.language("en".to_owned()));
        Ok(Self { document, letters, title, pages: 0 })
    }

    /// The job's title.
    pub(super) fn title(&self) -> &str {
        &self.title
    }

    /// Adds a page and draws on it.
    pub(super) fn leaf(&mut self, format: Format, draw: impl FnOnce(&mut Leaf<'_, '_>)) {
        self.pages += 1;
        let [width, height] = format.paper_mm.map(|side| (side * UNITS) as f32);
        let Some(settings) = PageSettings::from_wh(width, height).filter(|_| self.pages <= MOST_PAGES) else {
            return;
        };
        let mut page = self.document.start_page_with(settings);
        draw(&mut Leaf { surface: page.surface(), letters: &self.letters, format });
        page.finish();
    }

    /// The whole file.
    ///
    /// # Errors
    /// [`NoPdf`].
    pub(super) fn finish(self) -> Result<Vec<u8>, NoPdf> {
        if self.pages > MOST_PAGES {
            return Err(NoPdf::Pages(self.pages));
        }
        self.document.finish().map_err(|error| NoPdf::Unpackable(format!("{error:?}")))
    }
}
