//! What can be typed, with help that teaches by example.

use std::path::PathBuf;

use clap::{Args, Parser, Subcommand};
use clap_complete::Shell;

use crate::stages::job::size::parse_sheet;
use crate::stages::job::{DEFAULT_MACHINE, Effort};
use crate::stages::picture::{Paper, Print};
use crate::units::Unit;

const EXAMPLES: &str = "\
Examples:
  grainwise make samples/fenwren/laser.yaml
      cut files, a picture, a cut list and a report of a whole kit, in cut/laser
  grainwise make ribs.dxf --wood balsa-medium --thickness 2 --sheet 1000x100
      the same for one drawing, without a job file
  grainwise start ribs.dxf tail.svg --wood balsa-light --thickness 3 -o glider.yaml
      a job file to begin from
  grainwise show glider.yaml -o glider.png
      what would be cut, before a sheet is spent
  grainwise prove sheet-1.nc --against glider.yaml
      what a cut file would do, whoever wrote it, held against the plan

Exit codes: 0 done; 1 the job has problems and nothing was written, or a proof failed; 2 could not run.
Cut only what you have looked at: feeds and powers are starting points, to be tried on a scrap of the same wood.";

/// From the outlines on a model-aircraft plan to cut files that can be trusted.
#[derive(Debug, Parser)]
#[command(name = "grainwise", version, about, after_long_help = EXAMPLES, after_help = EXAMPLES)]
#[command(arg_required_else_help = true, subcommand_required = false)]
pub(crate) struct Arguments {
    /// Print completions for a shell and stop
    #[arg(long, value_name = "SHELL")]
    pub completions: Option<Shell>,
    /// Print the manual page and stop
    #[arg(long)]
    pub man: bool,
    #[command(subcommand)]
    pub verb: Option<Verb>,
}

#[derive(Debug, Subcommand)]
pub(crate) enum Verb {
    /// Write the cut files, a picture, a cut list and a report into a folder
    #[command(after_help = "\
Examples:
  grainwise make glider.yaml                       writes into cut/glider
  grainwise make laser.yaml router.yaml -o kit     writes into kit/laser and kit/router
  grainwise make tail.svg --wood balsa-light --thickness 5 --sheet 1000x100 --machine desktop-laser")]
    Make(Make),
    /// Do all that make does, short of writing
    #[command(after_help = "\
Examples:
  grainwise check glider.yaml
  grainwise check plan.dxf --units inch --wood light-ply --thickness 3 --json")]
    Check(Check),
    /// Draw the job: parts, sheets, kerf, tabs, order
    #[command(after_help = "\
Examples:
  grainwise show glider.yaml -o glider.html       a page to zoom, measure and play the cuts in, offline
  grainwise show glider.yaml --live                the same page, which follows every change to the job
  grainwise show glider.yaml -o glider.pdf --paper a4
      cut list, operator's sheets, and every sheet and part at true size, on paper
  grainwise show glider.yaml -o glider.svg
  grainwise show ribs.dxf --wood balsa-medium --thickness 2 -o ribs.png")]
    Show(Show),
    /// Write a job file to begin from, with every outline that the drawings hold
    #[command(after_help = "\
Examples:
  grainwise start ribs.dxf tail.svg -o glider.yaml
  grainwise start ribs.dxf --wood balsa-medium --thickness 2 --machine workshop-router")]
    Start(Start),
    /// Read cut files back, written by anyone, and compare what they would cut with a job
    #[command(after_help = "\
Examples:
  grainwise prove sheet-1.nc sheet-2.nc --against glider.yaml
      what would come off the machine, piece by piece, held against the job's parts
  grainwise prove cut/glider --against glider.yaml -o proof.png
      every cut file that make wrote into a folder, and a picture with the worst places under a lens
  grainwise prove from-a-friend.dxf --against glider.yaml --kerf 0.2 --units mm
      a drawing from elsewhere; what it does not say is said by flags
  grainwise prove unknown.nc --post laser-scaled
      without a job: what it touches, how deep, how long, and what a machine should refuse")]
    Prove(Prove),
    /// Cut a test piece for kerf, fit, power or depth, or take its reading into your own shop folder
    #[command(after_help = "\
Examples:
  grainwise coupon kerf --machine desktop-laser --wood balsa-medium --thickness 3
      cut files, a picture and coupon.txt, which says what to measure, in cut/coupon-kerf
  grainwise coupon kerf --machine desktop-laser --wood balsa-medium --thickness 3 --reading 99.62 0.176
      ten strips were 99.62 mm wide and are marked K0.176: the kerf goes into shop/measured/balsa-medium.yaml
  grainwise coupon fit --wood light-ply --thickness 3 --measured 2.93
  grainwise coupon power --machine desktop-laser --wood birch-ply --thickness 1.5
  grainwise coupon depth --machine workshop-router --wood balsa-hard --thickness 6 --cutter 2")]
    Coupon(Coupon),
    /// List what the shop knows and where it comes from
    #[command(after_help = "\
Examples:
  grainwise shop
  grainwise shop --wood balsa-medium               every value of its tables, and where it comes from
  grainwise shop --try-post garage.yaml            cuts a standard part through a post, and proves it
  grainwise shop --schema job > job.schema.json    what a job file may hold, for an editor
  grainwise shop --machine workshop-router --json")]
    Shop(Shop),
}

#[derive(Debug, Args)]
pub(crate) struct Make {
    #[command(flatten)]
    pub asked: Asked,
    /// Folder for the files; several jobs get a folder each in it [default: cut/JOB]
    #[arg(short, long, value_name = "DIR")]
    pub output: Option<PathBuf>,
    /// Replace files that make did not write
    #[arg(long)]
    pub force: bool,
}

#[derive(Debug, Args)]
pub(crate) struct Check {
    #[command(flatten)]
    pub asked: Asked,
}

#[derive(Debug, Args)]
pub(crate) struct Show {
    #[command(flatten)]
    pub asked: Asked,
    /// The picture to write: .html to look around in, .pdf to print at true size, .svg or .png
    #[arg(short, long, value_name = "FILE", required_unless_present = "live")]
    pub output: Option<PathBuf>,
    /// Replace the picture if it is there
    #[arg(long)]
    pub force: bool,
    /// Width of a PNG in pixels
    #[arg(long, value_name = "PIXELS", default_value_t = 2000, value_parser = clap::value_parser!(u32).range(16..=20_000))]
    pub width: u32,
    /// Paper of a PDF: a4, a3, letter, or whole for pages as large as the sheets
    #[arg(long, value_name = "SIZE", default_value = "a4", value_parser = paper)]
    pub paper: Paper,
    /// What your printer made of the square of 100 mm, in mm, so that a PDF comes out true
    #[arg(long, value_name = "ACROSSxUP", default_value = "100x100", value_parser = printed)]
    pub printed: (f64, f64),
    /// Mark pin pricks on the patterns of a PDF, at corners and no farther apart than this
    #[arg(long, value_name = "MM", value_parser = prick)]
    pub pricks: Option<f64>,
    /// Serve the page to this machine's own browser, and follow every change to the job, its drawings and the shop
    #[arg(long, conflicts_with = "output")]
    pub live: bool,
    /// Port of the page that is served [default: any that is free]
    #[arg(long, value_name = "PORT", default_value_t = 0, hide_default_value = true, requires = "live")]
    pub port: u16,
}

impl Show {
    /// How a PDF is printed.
    pub(crate) fn print(&self) -> Print {
        let (across, up) = self.printed;
        Print { paper: self.paper, printed_mm: [across, up], pricks_mm: self.pricks }
    }
}

#[derive(Debug, Args)]
pub(crate) struct Start {
    #[command(flatten)]
    pub asked: Asked,
    /// The job file to write [default: standard output]
    #[arg(short, long, value_name = "FILE")]
    pub output: Option<PathBuf>,
    /// Replace the job file if it is there
    #[arg(long)]
    pub force: bool,
}

#[derive(Debug, Args)]
pub(crate) struct Prove {
    /// Cut files (G-code, .dxf, .svg), or folders that make wrote
    #[arg(value_name = "FILE", required = true)]
    pub files: Vec<PathBuf>,
    /// The job whose pieces should come off
    #[arg(long, value_name = "JOB")]
    pub against: Option<PathBuf>,
    /// Machine by name or file
    #[arg(long, value_name = "NAME|FILE")]
    pub machine: Option<String>,
    /// Post whose G-code it is, by name or file
    #[arg(long, value_name = "NAME|FILE")]
    pub post: Option<String>,
    /// Width that the beam removes
    #[arg(long, value_name = "MM", value_parser = zero_or_more)]
    pub kerf: Option<f64>,
    /// Diameter of the cutter
    #[arg(long, value_name = "MM", value_parser = above_zero)]
    pub cutter: Option<f64>,
    /// Folder of your own woods, machines and posts [default: shop, beside the job]
    #[arg(long, value_name = "DIR")]
    pub shop: Option<PathBuf>,
    /// Unit of drawings that do not say theirs, or say a wrong one
    #[arg(long, value_name = "UNIT")]
    pub units: Option<Unit>,
    /// A picture of the proof to write: .svg or .png
    #[arg(short, long, value_name = "FILE")]
    pub output: Option<PathBuf>,
    /// Replace the picture if it is there
    #[arg(long)]
    pub force: bool,
    /// Width of a PNG in pixels
    #[arg(long, value_name = "PIXELS", default_value_t = 2000, value_parser = clap::value_parser!(u32).range(16..=20_000))]
    pub width: u32,
    /// Print the report as JSON instead of the table
    #[arg(long)]
    pub json: bool,
}

#[derive(Debug, Args)]
pub(crate) struct Shop {
    /// Only this machine, by name or file
    #[arg(long, value_name = "NAME|FILE")]
    pub machine: Option<String>,
    /// The tables of this wood, every value with where it comes from
    #[arg(long, value_name = "NAME")]
    pub wood: Option<String>,
    /// Folder of your own woods, machines and posts [default: shop]
    #[arg(long = "shop", value_name = "DIR")]
    pub own: Option<PathBuf>,
    /// Cut a standard part through this post, by name or file, and prove what it writes
    #[arg(long, value_name = "NAME|FILE")]
    pub try_post: Option<String>,
    /// Where to put what the tried post wrote [default: nowhere]
    #[arg(short, long, value_name = "FILE", requires = "try_post")]
    pub output: Option<PathBuf>,
    /// Replace that file if it is there
    #[arg(long)]
    pub force: bool,
    /// Print the JSON Schema of a kind of file, for editors
    #[arg(long, value_name = "KIND", value_parser = ["job", "post", "table", "machine"])]
    pub schema: Option<String>,
    /// Print as JSON
    #[arg(long)]
    pub json: bool,
}

#[derive(Debug, Args)]
pub(crate) struct Coupon {
    /// What it measures
    #[arg(value_name = "KIND", value_parser = ["kerf", "fit", "power", "depth"])]
    pub kind: String,
    /// Machine by name or file
    #[arg(long, value_name = "NAME|FILE", default_value = DEFAULT_MACHINE)]
    pub machine: String,
    /// Wood by name
    #[arg(long, value_name = "NAME")]
    pub wood: String,
    /// Thickness that the wood is sold as
    #[arg(long, value_name = "MM", value_parser = above_zero)]
    pub thickness: f64,
    /// Thickness as measured, for a fit coupon [default: as sold]
    #[arg(long, value_name = "MM", value_parser = above_zero)]
    pub measured: Option<f64>,
    /// A sheet of this size [default: a scrap of 200x100]
    #[arg(long, value_name = "LENGTHxWIDTH", value_parser = sheet_size)]
    pub sheet: Option<(f64, f64)>,
    /// Post by name or file
    #[arg(long, value_name = "NAME|FILE")]
    pub post: Option<String>,
    /// Width that the beam removes
    #[arg(long, value_name = "MM", value_parser = zero_or_more)]
    pub kerf: Option<f64>,
    /// Diameter of the cutter
    #[arg(long, value_name = "MM", value_parser = above_zero)]
    pub cutter: Option<f64>,
    /// Folder of your own woods, machines and posts; a reading goes into it [default: shop]
    #[arg(long, value_name = "DIR")]
    pub shop: Option<PathBuf>,
    /// What was measured, as coupon.txt says: goes into the shop folder, and nothing is cut
    #[arg(long, value_name = "VALUE", num_args = 1..=4, allow_negative_numbers = true, value_parser = number)]
    pub reading: Vec<f64>,
    /// The day of the reading [default: today]
    #[arg(long, value_name = "YYYY-MM-DD", requires = "reading", value_parser = day)]
    pub date: Option<String>,
    /// Folder for the files [default: cut/coupon-KIND]
    #[arg(short, long, value_name = "DIR")]
    pub output: Option<PathBuf>,
    /// Replace files that make did not write
    #[arg(long)]
    pub force: bool,
    /// Print the report as JSON instead of the table
    #[arg(long)]
    pub json: bool,
}

/// What is to be cut, and what replaces the job's and the shop's values.
#[derive(Debug, Default, Args)]
pub(crate) struct Asked {
    /// A job (.yaml), or drawings (.dxf, .svg) straight away
    #[arg(value_name = "INPUT", required = true)]
    pub inputs: Vec<PathBuf>,
    /// Wood of parts that have none
    #[arg(long, value_name = "NAME")]
    pub wood: Option<String>,
    /// Thickness of parts that have none
    #[arg(long, value_name = "MM", value_parser = above_zero)]
    pub thickness: Option<f64>,
    /// Sheets of this size, as many as it takes; the grain runs along LENGTH
    #[arg(long, value_name = "LENGTHxWIDTH", value_parser = sheet_size)]
    pub sheet: Option<(f64, f64)>,
    /// Machine by name or file
    #[arg(long, value_name = "NAME|FILE")]
    pub machine: Option<String>,
    /// Post by name or file
    #[arg(long, value_name = "NAME|FILE")]
    pub post: Option<String>,
    /// Folder of your own woods, machines and posts [default: shop, beside the job]
    #[arg(long, value_name = "DIR")]
    pub shop: Option<PathBuf>,
    /// Unit of the drawings, where they do not say or are wrong
    #[arg(long, value_name = "UNIT")]
    pub units: Option<Unit>,
    /// How far apart ends may be and still be one point [default: 0.05]
    #[arg(long, value_name = "MM", value_parser = above_zero)]
    pub join: Option<f64>,
    /// How far lines and arcs may stray from a curve [default: 0.01]
    #[arg(long, value_name = "MM", value_parser = above_zero)]
    pub tolerance: Option<f64>,
    /// Width that the beam removes
    #[arg(long, value_name = "MM", value_parser = zero_or_more)]
    pub kerf: Option<f64>,
    /// Diameter of the cutter
    #[arg(long, value_name = "MM", value_parser = above_zero)]
    pub cutter: Option<f64>,
    /// Tabs on each part; 0 for none
    #[arg(long, value_name = "N")]
    pub tabs: Option<u32>,
    /// Leave out outlines that cannot be cut (open, branching, crossing), with a warning for each, instead of refusing
    #[arg(long)]
    pub leave_out: bool,
    /// Resolution of an SVG that has no physical size [default: 96]
    #[arg(long, value_name = "PIXELS", value_parser = above_zero)]
    pub px_per_inch: Option<f64>,
    /// Seed of whatever is left to chance
    #[arg(long, value_name = "N")]
    pub seed: Option<u64>,
    /// How long better sheets are looked for: quick, normal, long, or so many seconds (then the layout may differ from run
    /// to run) [default: quick]
    #[arg(long, value_name = "EFFORT")]
    pub effort: Option<Effort>,
    /// Print the report as JSON instead of the table
    #[arg(long)]
    pub json: bool,
}

fn number(text: &str) -> Result<f64, String> {
    let value: f64 = text.trim().parse().map_err(|_| format!("'{text}' is not a number"))?;
    if value.is_finite() && value.abs() <= 1.0e6 {
        Ok(value)
    } else {
        Err(format!("{text} is beyond all measure"))
    }
}

fn above_zero(text: &str) -> Result<f64, String> {
    number(text).and_then(|v| if v > 0.0 { Ok(v) } else { Err(format!("{text} is not above 0")) })
}

fn zero_or_more(text: &str) -> Result<f64, String> {
    number(text).and_then(|v| if v >= 0.0 { Ok(v) } else { Err(format!("{text} is below 0")) })
}

fn day(text: &str) -> Result<String, String> {
    let known = crate::shop::table::is_date(text);
    known.then(|| text.to_owned()).ok_or_else(|| format!("'{text}' is not a day such as 2026-05-30"))
}

fn sheet_size(text: &str) -> Result<(f64, f64), String> {
    parse_sheet(text, Unit::Millimetre).map_err(|e| e.to_string())
}

fn paper(text: &str) -> Result<Paper, String> {
    let known = Paper::ALL.iter().find(|(name, _)| name.eq_ignore_ascii_case(text));
    known.map(|(_, paper)| *paper).ok_or_else(|| format!("'{text}' is none of a4, a3, letter, whole"))
}

/// No printer is farther off than this, in mm of 100: beyond it, something else was measured.
const PRINTED_OFF: f64 = 10.0;

fn printed(text: &str) -> Result<(f64, f64), String> {
    let (across, up) = sheet_size(text)?;
    let near = |side: f64| (side - 100.0).abs() <= PRINTED_OFF;
    if near(across) && near(up) {
        Ok((across, up))
    } else {
        Err(format!("{text} is far from the 100x100 that was printed: was it fitted to the page?"))
    }
}

/// Pin pricks closer than this tear the paper, mm.
const CLOSEST_PRICKS: f64 = 1.0;

fn prick(text: &str) -> Result<f64, String> {
    let apart = number(text)?;
    if apart >= CLOSEST_PRICKS { Ok(apart) } else { Err(format!("pricks {text} mm apart tear the paper")) }
}
