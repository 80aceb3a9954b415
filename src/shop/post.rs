//! Posts: the G-code dialects that the YAML files in `post/` describe. The grammar is `post/README.md`.
//!
//! Takes the name of a shipped post or the path of a person's own. Gives a [`Post`] that has been checked against
//! RS-274/NGC as far as its blocks go. Refuses unknown keys and placeholders (naming the nearest known one), values out
//! of range, words that are neither standard nor declared, and blocks that would leave the machine in another unit,
//! plane, distance or feed mode than the moves are written for; each with line and column.

mod fields;
pub(super) mod read;
mod template;
mod tree;
mod words;

use std::path::{Path, PathBuf};

use include_dir::{Dir, include_dir};

use crate::files;
use crate::problem::{Problem, Problems};
pub use template::{Placeholder, Template};
use tree::Node;

/// What lies in `post/`.
static SHIPPED: Dir<'_> = include_dir!("$CARGO_MANIFEST_DIR/post");

/// Largest post that is read, bytes: a hundred times the longest shipped one.
const LARGEST: u64 = 400_000;

/// How many posts may extend each other in a row.
const LONGEST_CHAIN: usize = 8;

/// A G-code dialect.
#[derive(Clone, Debug, PartialEq)]
pub struct Post {
    /// Its name, the file's name without its ending.
    pub name: String,
    /// One line about it.
    pub about: String,
    /// Ending of the files it writes, without the dot.
    pub extension: String,
    /// Unit of lengths and feeds.
    pub units: PostUnits,
    /// How lines look.
    pub line: LineForm,
    /// Which words are written.
    pub words: Words,
    /// How numbers look.
    pub numbers: Numbers,
    /// How comments look.
    pub comments: Comments,
    /// How arcs are written.
    pub arcs: Arcs,
    /// Comments at the top; the cautions follow them.
    pub header: Vec<Template>,
    /// First words: units, plane, modes.
    pub start: Vec<BlockLine>,
    /// Puts the tool in.
    pub tool: Vec<BlockLine>,
    /// What turns or burns.
    pub drive: Drive,
    /// Before the moves of a sheet.
    pub sheet: Vec<BlockLine>,
    /// Before each cut.
    pub cut: Vec<BlockLine>,
    /// Waits.
    pub dwell: Vec<BlockLine>,
    /// Last words.
    pub end: Vec<BlockLine>,
}

/// Unit of a post.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PostUnits {
    /// Millimetres (G21).
    Mm,
    /// Inches (G20).
    Inch,
}

impl PostUnits {
    /// How many millimetres one of it is.
    pub const fn millimetres(self) -> f64 {
        match self {
            Self::Mm => 1.0,
            Self::Inch => 25.4,
        }
    }
}

/// How lines look.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LineForm {
    /// What ends a line.
    pub end: LineEnd,
    /// Most characters on a line, its end not counted.
    pub most: usize,
    /// Whether words are kept apart by spaces.
    pub spaces: bool,
    /// Whether a percent sign stands alone on the first and on the last line.
    pub percent: bool,
    /// Line numbers, if any.
    pub numbers: Option<LineNumbers>,
}

/// What ends a line.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LineEnd {
    /// Line feed.
    Lf,
    /// Carriage return and line feed.
    Crlf,
}

impl LineEnd {
    /// Its characters.
    pub const fn text(self) -> &'static str {
        match self {
            Self::Lf => "\n",
            Self::Crlf => "\r\n",
        }
    }
}

/// Line numbers: N words, which begin again at `start` rather than pass 99999.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct LineNumbers {
    /// The first.
    pub start: usize,
    /// From one to the next.
    pub step: usize,
}

/// Which words are written.
#[derive(Clone, Debug, PartialEq)]
pub struct Words {
    /// Whether words are repeated although nothing changed.
    pub repeat: bool,
    /// Whether heights are written.
    pub z: bool,
    /// Words beyond RS-274/NGC that the controller knows, as letter and number.
    pub extra: Vec<String>,
    /// Words that the controller does not know because it is always in that state.
    pub implied: Vec<String>,
    /// Travel: G0.
    pub rapid: String,
    /// Straight cut: G1.
    pub line: String,
    /// Clockwise arc: G2.
    pub clockwise: String,
    /// Counter-clockwise arc: G3.
    pub counter_clockwise: String,
}

/// How numbers look.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[allow(clippy::struct_excessive_bools, reason = "each is a key of its own in the file")]
pub struct Numbers {
    /// Digits after the point of coordinates.
    pub decimals: u32,
    /// The same of feeds.
    pub feed_decimals: u32,
    /// The same of spindle speeds.
    pub speed_decimals: u32,
    /// The same of beam power.
    pub power_decimals: u32,
    /// The same of seconds.
    pub seconds_decimals: u32,
    /// Whether zeros at the end of a fraction are kept.
    pub trailing_zeros: bool,
    /// Whether a fraction below one begins with a zero.
    pub leading_zero: bool,
    /// Whether a number that lost its fraction keeps the point.
    pub point: bool,
    /// Whether coordinates that are not negative carry a plus.
    pub plus: bool,
}

/// How comments look.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Comments {
    /// What marks them.
    pub form: CommentForm,
    /// What becomes of letters beyond ASCII.
    pub other_letters: OtherLetters,
    /// Whether they are written in capitals.
    pub upper_case: bool,
}

/// What marks a comment.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CommentForm {
    /// `(like this)`.
    Parentheses,
    /// `; like this`.
    Semicolon,
    /// Comments are left out.
    None,
}

/// What becomes of letters beyond ASCII in comments.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum OtherLetters {
    /// The nearest plain letters are written.
    Transliterate,
    /// They are left out.
    Drop,
}

/// How arcs are written.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Arcs {
    /// Which words say where the arc runs.
    pub form: ArcForm,
    /// Longest arc of one line, degrees; longer ones are split evenly.
    pub most_deg: f64,
    /// How far the radii at its two ends may differ after rounding, mm.
    pub agree_mm: f64,
    /// How far lines written instead may stray from the arc, mm.
    pub tolerance_mm: f64,
}

/// Which words say where an arc runs.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ArcForm {
    /// I and J, from the start to the centre.
    Centre,
    /// R, the radius.
    Radius,
    /// None: lines are written instead.
    Lines,
}

/// One line of a block.
#[derive(Clone, Debug, PartialEq)]
pub enum BlockLine {
    /// A comment, in the post's own form.
    Comment(Template),
    /// Words.
    Words {
        /// The words.
        text: Template,
        /// Whether they may leave the machine elsewhere or in another motion mode.
        moves: bool,
        /// Whether they set the feed.
        feed: bool,
        /// Whether they set the spindle's speed or the beam's power.
        speed: bool,
    },
}

/// What turns or burns.
#[derive(Clone, Debug, PartialEq)]
pub enum Drive {
    /// A spindle.
    Spindle {
        /// Starts it.
        on: Vec<BlockLine>,
        /// Stops it.
        off: Vec<BlockLine>,
    },
    /// A beam.
    Beam {
        /// Turns it on.
        on: Vec<BlockLine>,
        /// Turns it off.
        off: Vec<BlockLine>,
        /// The number that stands for full power.
        scale: f64,
        /// Where the power is said.
        power: PowerPlace,
    },
}

/// Where a beam's power is said.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PowerPlace {
    /// In the block that turns it on.
    Block,
    /// By this letter on the lines that cut.
    Line(char),
}

impl Post {
    /// Names of the posts that come with the program, in order.
    pub fn shipped() -> Vec<String> {
        let files = SHIPPED.files().map(include_dir::File::path);
        let posts = files.filter(|path| path.extension().is_some_and(|e| e == "yaml"));
        let mut names: Vec<String> =
            posts.filter_map(|path| path.file_stem()?.to_str()).map(str::to_owned).collect();
        names.sort();
        names
    }

    /// Whether it is for a laser.
    pub const fn drives_beam(&self) -> bool {
        matches!(self.drive, Drive::Beam { .. })
    }

    /// A shipped post by its name, or a person's own by the path of its file (ending in `.yaml`), relative to `folder`.
    /// Everything wrong with it is added to `problems`; none comes back where it cannot be used.
    pub fn open(name_or_path: &str, folder: &Path, problems: &mut Problems) -> Option<Self> {
        Self::open_among(name_or_path, folder, None, problems)
    }

    /// The same, where the posts in the folder `own` come before the shipped ones.
    pub fn open_among(
        name_or_path: &str,
        folder: &Path,
        own: Option<&Path>,
        problems: &mut Problems,
    ) -> Option<Self> {
        let tree = gather(name_or_path, folder, &mut Chain { own, files: Vec::new() }, problems)?;
        read::post(&name_of(name_or_path), &tree, problems)
    }

    /// A post from the text of its file, which may extend shipped ones.
    pub fn from_text(name: &str, text: &str, problems: &mut Problems) -> Option<Self> {
        let mut chain = Chain { own: None, files: Vec::new() };
        let tree = parsed(text, name, Path::new("."), &mut chain, problems)?;
        read::post(&name_of(name), &tree, problems)
    }
}

fn name_of(name_or_path: &str) -> String {
    let stem = Path::new(name_or_path).file_stem().and_then(|stem| stem.to_str());
    if is_path(name_or_path) { stem.unwrap_or(name_or_path) } else { name_or_path }.to_owned()
}

fn is_path(name: &str) -> bool {
    Path::new(name).extension().is_some_and(|e| e == "yaml" || e == "yml")
}

/// The posts that extend each other, and where a person's own lie.
struct Chain<'a> {
    own: Option<&'a Path>,
    files: Vec<PathBuf>,
}

impl Chain<'_> {
    /// The file of a post: named by its path, or one's own by its name unless that is what extends it.
    fn file(&self, name: &str, folder: &Path) -> Option<PathBuf> {
        if is_path(name) {
            return Some(folder.join(name));
        }
        let own = self.own?;
        let file = format!("{name}.yaml");
        let there = files::list(own).unwrap_or_default().iter().any(|(known, _)| *known == file);
        let path = own.join(file);
        (there && !self.files.contains(&path)).then_some(path)
    }
}

/// The tree of a post laid over the trees of those that it extends.
fn gather(name: &str, folder: &Path, chain: &mut Chain<'_>, problems: &mut Problems) -> Option<Node> {
    if let Some(path) = chain.file(name, folder) {
        let text = match files::read(&path, LARGEST).map(String::from_utf8) {
            Ok(Ok(text)) => text,
            Ok(Err(_)) => {
                problems.push(
                    Problem::error("post-file", "the post is not UTF-8 text").in_file(path.to_string_lossy()),
                );
                return None;
            }
            Err(error) => {
                problems.push(Problem::error("post-file", error.to_string()).in_file(path.to_string_lossy()));
                return None;
            }
        };
        chain.files.push(path.clone());
        return parsed(&text, &path.to_string_lossy(), path.parent().unwrap_or(folder), chain, problems);
    }
    let file = format!("{name}.yaml");
    let Some(text) = SHIPPED.get_file(&file).and_then(include_dir::File::contents_utf8) else {
        problems.push(unknown(name));
        return None;
    };
    parsed(text, &file, folder, chain, problems)
}

fn unknown(name: &str) -> Problem {
    let told = Problem::error("unknown-post", format!("there is no post '{name}'"));
    let shipped = Post::shipped();
    match fields::nearest(name, shipped.iter().map(String::as_str)) {
        Some(near) => told
            .hint(format!("did you mean '{near}'? A post of your own is named by its path, ending in .yaml")),
        None => {
            told.hint(format!("there are: {}; a post of your own is named by its path", shipped.join(", ")))
        }
    }
}

fn parsed(
    text: &str,
    file: &str,
    folder: &Path,
    chain: &mut Chain<'_>,
    problems: &mut Problems,
) -> Option<Node> {
    let node = tree::read(text, file, problems)?;
    let Some((base, place)) = read::extends(&node) else { return Some(node) };
    if chain.files.len() > LONGEST_CHAIN {
        problems.push(
            fields::problem("post-extends", place, "too many posts extend each other")
                .hint("a post cannot extend itself, nor one that extends it"),
        );
        return None;
    }
    let under = gather(base, folder, chain, problems)?;
    Some(tree::overlay(under, node))
}
