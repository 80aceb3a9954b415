//! YAML text to [`Job`]: what to cut, from what drawings, on which machine.
//!
//! Takes the text of a job file, or the flags that stand for one. Gives a [`Job`] whose lengths are in millimetres.
//! Refuses unknown keys (naming the nearest known one), values out of range, and files that are not YAML, each with line
//! and column.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use crate::geometry::Point;
use crate::problem::{Problem, Problems};
use crate::shop::{LaserWish, RouterWish};
use crate::units::Unit;

mod blank;
mod cutting;
mod depth;
mod effort;
pub mod fit;
mod lying;
pub mod measured;
mod named;
mod parse;
mod parts;
pub mod ribs;
pub mod schema;
pub mod size;
pub mod slots;
mod stock;
pub mod stretch;

pub use blank::{Blank, Clamp};
pub use depth::Depth;
pub use effort::Effort;
pub use fit::Fit;
pub use lying::{Lying, Pin, Turn};
pub use measured::Measured;
pub use ribs::RibSet;
pub use stretch::Stretch;

/// The machine where the job names none.
pub const DEFAULT_MACHINE: &str = "makerspace-laser";

/// Ends of lines this far apart are one point, mm: more than drawing programs round, less than the finest detail of a part.
pub const DEFAULT_JOIN: f64 = 0.05;

/// How far a curve may stray when it becomes lines and arcs, mm: a tenth of a beam's kerf.
pub const DEFAULT_TOLERANCE: f64 = 0.01;

/// The seed where the job names none.
pub const DEFAULT_SEED: u64 = 1;

/// Pixels an inch where an SVG has no physical size: CSS says so.
pub const DEFAULT_PX_PER_INCH: f64 = 96.0;

/// Reads a job file's text. `file` is its name as the person gave it, `folder` where the files it names start from.
///
/// Everything wrong is added to `problems`, each with line and column. A job comes back where the text is a map at all,
/// with defaults in place of what could not be read; while [`Problems::stop`] says so nothing may be cut from it.
pub fn parse(text: &str, file: &str, folder: &Path, problems: &mut Problems) -> Option<Job> {
    parse_among(text, file, folder, &crate::shop::wood_names(), problems)
}

/// The same, where the shop knows these woods.
pub fn parse_among(
    text: &str,
    file: &str,
    folder: &Path,
    woods: &[&str],
    problems: &mut Problems,
) -> Option<Job> {
    parse::job(text, file, folder, woods, problems)
}

/// Everything that a person asks for.
#[derive(Clone, Debug, PartialEq)]
pub struct Job {
    /// Its title, for headers and pictures.
    pub title: String,
    /// The file it came from, as the person named it; none where flags say it all.
    pub file: Option<String>,
    /// The folder that file names in it start from.
    pub folder: PathBuf,
    /// Where outlines come from.
    pub drawings: Vec<DrawingSource>,
    /// Pieces that are written down here, without a drawing.
    pub measured: Vec<Measured>,
    /// Ribs from sections.
    pub ribs: Vec<RibSet>,
    /// Which layers and colours mean what.
    pub layers: LayerRules,
    /// What to do with the outlines found; none takes every outline.
    pub parts: Option<Vec<PartRule>>,
    /// What a part is cut from where no rule says so.
    pub default_part: PartRule,
    /// What has to fit together.
    pub fits: Vec<Fit>,
    /// Sheets on the shelf.
    pub stock: Vec<Stock>,
    /// Machine by name or path.
    pub machine: String,
    /// Post by name or path, instead of the machine's own.
    pub post: Option<String>,
    /// What replaces the shop's values.
    pub cutting: Cutting,
    /// Ends this far apart are one point, mm.
    pub join_mm: f64,
    /// How far curves may stray when they become lines and arcs, mm.
    pub tolerance_mm: f64,
    /// Seed of everything random.
    pub seed: u64,
    /// How long better sheets are looked for.
    pub effort: Effort,
}

impl Default for Job {
    fn default() -> Self {
        Self {
            title: String::new(),
            file: None,
            folder: PathBuf::new(),
            drawings: Vec::new(),
            measured: Vec::new(),
            ribs: Vec::new(),
            layers: LayerRules::default(),
            parts: None,
            default_part: PartRule::default(),
            fits: Vec::new(),
            stock: Vec::new(),
            machine: DEFAULT_MACHINE.to_owned(),
            post: None,
            cutting: Cutting::default(),
            join_mm: DEFAULT_JOIN,
            tolerance_mm: DEFAULT_TOLERANCE,
            seed: DEFAULT_SEED,
            effort: Effort::default(),
        }
    }
}

impl Job {
    /// The job that takes every outline of these drawings, with defaults for everything else.
    pub fn of_drawings(files: Vec<String>) -> Self {
        let drawings = files.into_iter().map(DrawingSource::of).collect();
        Self { drawings, ..Self::default() }
    }

    /// A problem with what stands at this line and column of the job file, both 0 where there is none.
    pub fn placed(&self, problem: Problem, (line, column): (usize, usize)) -> Problem {
        let problem = match &self.file {
            Some(file) => problem.in_file(file),
            None => problem,
        };
        if line > 0 { problem.at_line(line, column) } else { problem }
    }
}

/// One drawing file.
#[derive(Clone, Debug, PartialEq)]
pub struct DrawingSource {
    /// Path as written.
    pub file: String,
    /// Unit, where the file does not say or is wrong.
    pub units: Option<Unit>,
    /// Pixels an inch of an SVG that has no physical size.
    pub px_per_inch: f64,
    /// How it is brought to true scale.
    pub stretch: Option<Stretch>,
}

impl DrawingSource {
    /// This file, with nothing said about it.
    pub fn of(file: String) -> Self {
        Self { file, units: None, px_per_inch: DEFAULT_PX_PER_INCH, stretch: None }
    }
}

/// Patterns (`*`, `?`, `{a,b}`; case ignored) over layer names, or colours as `#rrggbb`, or `colour:N` for a DXF number,
/// that give each line its role. The first list that matches wins, in the order ignore, grain, mark, score, recess, cut.
#[derive(Clone, Debug, PartialEq)]
pub struct LayerRules {
    /// Cut through.
    pub cut: Vec<String>,
    /// Cut part of the way.
    pub score: Vec<String>,
    /// Drawn on the part.
    pub mark: Vec<String>,
    /// Milled away down to a depth: lists of patterns, each with how deep.
    pub recess: Vec<(Vec<String>, Depth)>,
    /// Grain direction.
    pub grain: Vec<String>,
    /// Left out.
    pub ignore: Vec<String>,
}

impl LayerRules {
    /// No pattern at all.
    pub fn none() -> Self {
        let [cut, score, mark, grain, ignore] = Default::default();
        Self { cut, score, mark, recess: Vec::new(), grain, ignore }
    }

    /// Everything is cut.
    pub fn all_cut() -> Self {
        Self { cut: vec!["*".to_owned()], ..Self::none() }
    }
}

impl Default for LayerRules {
    fn default() -> Self {
        let list = |patterns: &[&str]| patterns.iter().map(|&p| p.to_owned()).collect();
        Self {
            cut: list(&["*"]),
            score: list(&["*score*"]),
            mark: list(&["*mark*", "*engrave*"]),
            recess: vec![(list(&["*recess*", "*halving*"]), Depth::Asked)],
            grain: list(&["*grain*"]),
            ignore: list(&["*dim*", "*note*", "*frame*", "defpoints"]),
        }
    }
}

/// What to do with the outlines whose name matches.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct PartRule {
    /// Pattern over part names; empty in the default rule.
    pub name: String,
    /// Only outlines of this drawing (file as written in the job).
    pub drawing: Option<String>,
    /// Wood by name.
    pub wood: Option<String>,
    /// Thickness, mm.
    pub thickness_mm: Option<f64>,
    /// How many pieces as drawn.
    pub copies: Option<u32>,
    /// How many more of the other hand.
    pub mirrored: Option<u32>,
    /// Grain direction.
    pub grain: GrainWish,
    /// How it may lie on its sheet.
    pub lying: Lying,
    /// Tabs.
    pub tabs: TabWish,
    /// Whether the part's name and arrow are put on it; the default is yes.
    pub mark: Option<bool>,
    /// What replaces the shop's values for these parts.
    pub cutting: Cutting,
    /// Leave these outlines out.
    pub skip: bool,
    /// Line and column in the job file, for problems; 0 where there is none.
    pub line: (usize, usize),
}

/// Where a part's grain direction comes from.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub enum GrainWish {
    /// A grain line inside the outline, else along the longest straight.
    #[default]
    Drawn,
    /// This direction in the drawing, degrees from its x axis.
    Degrees(f64),
    /// The part has none: any quarter turn will do.
    Free,
}

/// How a part is held in its sheet.
#[derive(Clone, Debug, Default, PartialEq)]
pub enum TabWish {
    /// As the shop's table says.
    #[default]
    Table,
    /// This many; 0 for none.
    Count(u32),
    /// At the places of the outline nearest to these points, in drawing coordinates.
    At(Vec<Point>),
}

/// Sheets of one kind.
#[derive(Clone, Debug, PartialEq)]
pub struct Stock {
    /// Wood by name.
    pub wood: String,
    /// Thickness, mm.
    pub thickness_mm: f64,
    /// Length along the grain, mm.
    pub length_mm: f64,
    /// Width across the grain, mm.
    pub width_mm: f64,
    /// How many there are; none for as many as it takes.
    pub count: Option<u32>,
    /// Thickness as it was measured, mm.
    pub measured_mm: Option<f64>,
    /// What one of them weighs, g.
    pub weight_g: Option<f64>,
    /// What one of them costs; none where nobody said.
    pub price: Option<f64>,
    /// How good it is, the more the better.
    pub quality: u32,
    /// The drawing that a remnant's outline and size are read from.
    pub outline_file: Option<String>,
    /// What it is like.
    pub blank: Blank,
    /// Line and column in the job file, for problems; 0 where there is none.
    pub line: (usize, usize),
}

/// Thicknesses nearer than this, mm, are the same: what a fraction of an inch is rounded to.
const SAME_THICKNESS_MM: f64 = 0.005;

impl Stock {
    /// As many sheets as it takes, neither measured nor weighed.
    pub fn new(wood: String, thickness_mm: f64, (length_mm, width_mm): (f64, f64)) -> Self {
        Self {
            wood,
            thickness_mm,
            length_mm,
            width_mm,
            count: None,
            measured_mm: None,
            weight_g: None,
            price: None,
            quality: 1,
            outline_file: None,
            blank: Blank::default(),
            line: (0, 0),
        }
    }

    /// Whether it is of this wood and thickness, as it is sold.
    pub fn is_of(&self, wood: &str, thickness_mm: f64) -> bool {
        self.wood.eq_ignore_ascii_case(wood) && (self.thickness_mm - thickness_mm).abs() <= SAME_THICKNESS_MM
    }

    /// Area of one of them, mm².
    pub fn area_mm2(&self) -> f64 {
        self.blank.area_mm2(self.length_mm, self.width_mm)
    }

    /// Thickness of a wood as one of its sheets was measured; none where none was.
    pub fn measured(shelf: &[Self], wood: &str, thickness_mm: f64) -> Option<f64> {
        let mut these = shelf.iter().filter(|stock| stock.is_of(wood, thickness_mm));
        these.find_map(|stock| stock.measured_mm)
    }

    /// The same; as it is sold where none was.
    pub fn measured_or(shelf: &[Self], wood: &str, thickness_mm: f64) -> f64 {
        Self::measured(shelf, wood, thickness_mm).unwrap_or(thickness_mm)
    }

    /// Density as weighed, kg/m³; none where nobody did.
    pub fn density_kg_m3(&self) -> Option<f64> {
        let volume = self.area_mm2() * self.measured_mm.unwrap_or(self.thickness_mm);
        // g/mm³ are millions of kg/m³.
        self.weight_g.map(|weight| weight / volume * 1e6)
    }
}

/// What replaces the shop's values; none keeps them.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Cutting {
    /// Kerf of the beam, mm.
    pub kerf_mm: Option<f64>,
    /// Kerf of the beam where it goes round a hole, mm.
    pub kerf_inside_mm: Option<f64>,
    /// Cutter diameter, mm.
    pub cutter_mm: Option<f64>,
    /// Tabs on every part.
    pub tabs: Option<u32>,
    /// Tab width, mm.
    pub tab_width_mm: Option<f64>,
    /// Least distance between parts, beyond kerf, mm.
    pub spacing_mm: Option<f64>,
    /// Least distance to the sheet's edge, mm.
    pub margin_mm: Option<f64>,
    /// Feed, mm/min.
    pub feed_mm_min: Option<f64>,
    /// Beam power, 0 to 1.
    pub power: Option<f64>,
    /// Passes of the beam.
    pub passes: Option<u32>,
    /// Spindle speed, turns a minute.
    pub rpm: Option<f64>,
    /// Deepest single pass, mm.
    pub pass_mm: Option<f64>,
    /// How deep recesses are whose layer does not say it.
    pub recess: Option<Depth>,
    /// What the slots of a part are made for.
    pub slots: Option<slots::Slots>,
    /// How a cutter goes about its work.
    pub router: RouterWish,
    /// How a beam goes about its work.
    pub laser: LaserWish,
    /// Leave out what cannot be cut, with a warning for each, instead of refusing the job.
    pub leave_out: bool,
    /// What replaces these values for one wood, by its name.
    pub woods: BTreeMap<String, Cutting>,
}

impl Cutting {
    /// These values, with those of `behind` where they say nothing: nearer wins.
    #[must_use]
    pub fn over(&self, behind: &Self) -> Self {
        Self {
            kerf_mm: self.kerf_mm.or(behind.kerf_mm),
            kerf_inside_mm: self.kerf_inside_mm.or(behind.kerf_inside_mm),
            cutter_mm: self.cutter_mm.or(behind.cutter_mm),
            tabs: self.tabs.or(behind.tabs),
            tab_width_mm: self.tab_width_mm.or(behind.tab_width_mm),
            spacing_mm: self.spacing_mm.or(behind.spacing_mm),
            margin_mm: self.margin_mm.or(behind.margin_mm),
            feed_mm_min: self.feed_mm_min.or(behind.feed_mm_min),
            power: self.power.or(behind.power),
            passes: self.passes.or(behind.passes),
            rpm: self.rpm.or(behind.rpm),
            pass_mm: self.pass_mm.or(behind.pass_mm),
            recess: self.recess.or(behind.recess),
            slots: self.slots.clone().or_else(|| behind.slots.clone()),
            router: self.router.over(behind.router),
            laser: self.laser.over(behind.laser),
            leave_out: self.leave_out || behind.leave_out,
            woods: behind.woods.clone(),
        }
    }

    /// What holds for one wood.
    #[must_use]
    pub fn for_wood(&self, wood: &str) -> Self {
        self.woods.get(wood).map_or_else(|| self.clone(), |nearer| nearer.over(self))
    }
}
