//! Pieces that are alike: one part, one hand, and the ways in which it may lie on a sheet.

use std::sync::OnceLock;

use super::bits::Bits;
use super::raster::{self, Grid};
use crate::geometry::{Placement, Point, Rect, Region, Vec2};
use crate::stages::job::{Pin, Turn};
use crate::stages::part::Part;

/// A size that is this much too long still fits, mm: rounding in a drawing must not cost a sheet. A tenth of what a
/// margin may fall short by.
pub(super) const SIZE_SLACK_MM: f64 = 1e-7;

/// All pieces of one part and one hand.
#[derive(Clone, Debug)]
pub(super) struct Kind {
    /// Which of the parts.
    pub(super) part: usize,
    /// Number of its first piece, from 1.
    pub(super) first_copy: u32,
    /// How many pieces.
    pub(super) count: u32,
    /// Area of the material of one piece, mm².
    pub(super) area: f64,
    /// The ways in which it may lie.
    pub(super) ways: Vec<Way>,
    /// The least quality of its sheet.
    pub(super) quality: u32,
    /// All kinds with this word lie on one sheet.
    pub(super) together: Option<String>,
    /// Where it lies, said by hand: then it is one piece that may lie in one way.
    pub(super) pin: Option<Pin>,
}

/// One way of lying: mirrored or not, turned so far, not yet shifted.
#[derive(Clone, Debug)]
pub(super) struct Way {
    /// Mirror and turn.
    pub(super) placement: Placement,
    /// The part so mirrored and turned.
    pub(super) region: Region,
    /// Its bounds.
    pub(super) bounds: Rect,
    body: OnceLock<Footprint>,
}

/// Turns that keep the grain along the sheet's, or all quarter turns where the part has none; and those between, in steps,
/// where the part allows them.
fn turns(grain_deg: Option<f64>, turn: Turn, mirrored: bool) -> Vec<f64> {
    let lies = grain_deg.map_or(0.0, |grain| if mirrored { 180.0 - grain } else { grain });
    let quarters: &[f64] = if grain_deg.is_none() || turn == Turn::Any { &QUARTERS } else { &QUARTERS[..2] };
    let (steps, step) = match turn {
        Turn::Grain => (0, 0.0),
        Turn::Within(degrees) => {
            let steps = (degrees / STEP_DEG).ceil();
            (steps as i32, if steps > 0.0 { degrees / steps } else { 0.0 })
        }
        Turn::Any => (ANY_STEPS, 45.0 / f64::from(ANY_STEPS)),
    };
    // Straight first; the half step short of the next quarter's own.
    let mut offs = vec![0.0];
    let last = if turn == Turn::Any { steps - 1 } else { steps };
    offs.extend((1..=steps).map(|k| f64::from(k) * step));
    offs.extend((1..=last).map(|k| -f64::from(k) * step));
    offs.iter().flat_map(|off| quarters.iter().map(move |q| (q - lies + off).rem_euclid(360.0))).collect()
}

/// Half turns first: what has a grain may do no more.
const QUARTERS: [f64; 4] = [0.0, 180.0, 90.0, 270.0];

/// Turns between are tried in steps of no more than this, degrees: finer ones win less than they take time.
const STEP_DEG: f64 = 5.0;

/// Into how many steps half of a quarter turn is cut where any turn will do.
const ANY_STEPS: i32 = 3;

impl Way {
    fn new(region: &Region, mirrored: bool, turn_deg: f64) -> Self {
        let placement = Placement { mirrored, turn_deg, shift: Vec2::ZERO };
        let region = region.placed(&placement);
        let bounds = region.bounds();
        Self { placement, region, bounds, body: OnceLock::new() }
    }

    /// Its lower left corner before it is shifted.
    pub(super) fn corner(&self) -> Point {
        self.bounds.origin()
    }

    /// Whether it fits into this room, mm.
    pub(super) fn fits(&self, length: f64, width: f64) -> bool {
        self.bounds.width() <= length + SIZE_SLACK_MM && self.bounds.height() <= width + SIZE_SLACK_MM
    }

    /// The part there when its lower left corner is at `corner`.
    pub(super) fn region_at(&self, corner: Point) -> Region {
        self.region.placed(&Placement { shift: corner - self.corner(), ..Placement::HERE })
    }

    /// Where the piece comes to lie when its lower left corner is at `corner`.
    pub(super) fn at(&self, corner: Point) -> Placement {
        Placement { shift: corner - self.corner(), ..self.placement }
    }

    /// What it needs free of other pieces' material, `spacing` mm around it.
    pub(super) fn reach(&self, spacing: f64, grid: Grid) -> Footprint {
        Footprint::new(&raster::cells(&self.region, false, spacing, self.corner(), grid))
    }

    /// What its material takes, found once: every task has its own kinds and one grid.
    pub(super) fn body(&self, grid: Grid) -> &Footprint {
        let cells = || raster::cells(&self.region, true, 0.0, self.corner(), grid);
        self.body.get_or_init(|| Footprint::new(&cells()))
    }
}

impl Kind {
    /// The kinds of a part: as drawn, and of the other hand; those of no piece left out, pinned pieces by themselves.
    pub(super) fn of(part: usize, source: &Part) -> Vec<Self> {
        let mirrored = source.mirrored.min(source.copies);
        let drawn = source.copies - mirrored;
        let mut pins = source.lying.pins.iter().copied();
        let mut kinds = Vec::new();
        for (hand, mut first_copy, count) in [(false, 1, drawn), (true, drawn + 1, mirrored)] {
            let end = first_copy + count;
            while first_copy < end
                && let Some(pin) = pins.next()
            {
                kinds.push(Self::pinned(part, source, hand, first_copy, pin));
                first_copy += 1;
            }
            if first_copy < end {
                let ways = Self::ways(source, hand);
                kinds.push(Self::new(part, source, first_copy, end - first_copy, ways));
            }
        }
        kinds
    }

    /// The pieces of a part that are made where there is room: as drawn.
    pub(super) fn spare(part: usize, source: &Part) -> Option<Self> {
        let count = source.lying.spares;
        (count > 0).then(|| {
            let ways = Self::ways(source, false);
            Self { together: None, ..Self::new(part, source, source.copies + 1, count, ways) }
        })
    }

    fn new(part: usize, source: &Part, first_copy: u32, count: u32, ways: Vec<Way>) -> Self {
        let (quality, together) = (source.lying.quality, source.lying.together.clone());
        Self { part, first_copy, count, area: source.region.area(), ways, quality, together, pin: None }
    }

    fn pinned(part: usize, source: &Part, hand: bool, copy: u32, pin: Pin) -> Self {
        let along = || turns(source.grain_deg, source.lying.turn, hand).first().copied().unwrap_or(0.0);
        let turn = pin.turn_deg.map_or_else(along, |turn| turn.rem_euclid(360.0));
        let ways = vec![Way::new(&source.region, hand, turn)];
        Self { pin: Some(pin), ..Self::new(part, source, copy, 1, ways) }
    }

    fn ways(source: &Part, hand: bool) -> Vec<Way> {
        let faces: &[bool] = if source.lying.flip { &[hand, !hand] } else { &[hand] };
        let ways = faces.iter().flat_map(|&face| {
            let turns = turns(source.grain_deg, source.lying.turn, face);
            turns.into_iter().map(move |turn| Way::new(&source.region, face, turn))
        });
        ways.collect()
    }

    /// Whether it fits into this room one way or another, mm.
    pub(super) fn fits(&self, length: f64, width: f64) -> bool {
        self.ways.iter().any(|way| way.fits(length, width))
    }

    /// What takes the first way to another.
    pub(super) fn way_from_first(&self, way: usize) -> Placement {
        let (first, to) = (self.ways[0].placement, self.ways[way].placement);
        let mirrored = first.mirrored != to.mirrored;
        // Mirrored back before it is turned back, a turn goes the other way round.
        let back = if mirrored { first.turn_deg } else { -first.turn_deg };
        Placement { mirrored, turn_deg: (to.turn_deg + back).rem_euclid(360.0), ..Placement::HERE }
    }

    /// The longer side of its bounds, mm.
    pub(super) fn longest(&self) -> f64 {
        self.ways[0].bounds.width().max(self.ways[0].bounds.height())
    }
}

/// Cells that must be free, as runs of each column, in the order in which a test tells most at once.
#[derive(Clone, Debug)]
pub(super) struct Footprint {
    /// Its columns: which one, counted like a board's from the pad on, and where its runs lie in `runs`.
    columns: Vec<(u32, u32, u32)>,
    runs: Vec<(u16, u16)>,
    /// Its cores, the tallest first.
    pub(super) cores: Vec<Core>,
    /// Its lowest run, cells.
    pub(super) least: usize,
}

/// A stretch of columns that are all at least this tall.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Core {
    /// Its first column.
    pub(super) first: usize,
    /// The column after its last.
    pub(super) end: usize,
    /// A run of at least this many cells is in each.
    pub(super) height: usize,
}

/// Shares of the tallest column for which a footprint's cores are looked for.
const CORE_SHARES: [f64; 4] = [0.95, 0.75, 0.5, 0.25];

impl Footprint {
    fn new(cells: &raster::Cells) -> Self {
        let count = cells.columns.len();
        let mut footprint = Self {
            columns: Vec::with_capacity(count),
            runs: Vec::with_capacity(count),
            cores: cores(cells),
            least: usize::MAX,
        };
        for index in spread_order(count) {
            let start = footprint.runs.len() as u32;
            for (low, high) in cells.columns[index].runs() {
                footprint.runs.push((low as u16, high as u16));
                footprint.least = footprint.least.min(high - low);
            }
            let column = (cells.first + index) as u32;
            footprint.columns.push((column, start, footprint.runs.len() as u32));
        }
        footprint
    }

    /// Each column with its runs.
    pub(super) fn columns(&self) -> impl Iterator<Item = (usize, &[(u16, u16)])> {
        self.columns
            .iter()
            .map(|&(column, from, to)| (column as usize, &self.runs[from as usize..to as usize]))
    }
}

/// For each share of the tallest column, the longest stretch of columns that are at least so tall.
fn cores(cells: &raster::Cells) -> Vec<Core> {
    let tall = |bits: &Bits| bits.runs().map(|(low, high)| high - low).max().unwrap_or(0);
    let heights: Vec<usize> = cells.columns.iter().map(tall).collect();
    let most = heights.iter().max().map_or(0, |&most| most);
    let core = |share: f64| core(&heights, ((most as f64 * share).ceil() as usize).max(1), cells.first);
    CORE_SHARES.into_iter().filter_map(core).collect()
}

fn core(heights: &[usize], least: usize, offset: usize) -> Option<Core> {
    let stretches = heights.chunk_by(|&a, &b| (a < least) == (b < least));
    let (mut best, mut first) = (None, 0);
    for stretch in stretches {
        let tall = stretch[0] >= least;
        if tall && best.is_none_or(|(_, length)| stretch.len() > length) {
            best = Some((first, stretch.len()));
        }
        first += stretch.len();
    }
    let (first, length) = best?;
    let height = heights[first..first + length].iter().min().copied()?;
    Some(Core { first: offset + first, end: offset + first + length, height })
}

/// 0 up to but without `count`, each once: every 32nd first, then what lies half-way between, and so on.
fn spread_order(count: usize) -> impl Iterator<Item = usize> {
    let coarse = (0..count).step_by(32);
    let finer = [16usize, 8, 4, 2, 1].into_iter().flat_map(move |step| (step..count).step_by(2 * step));
    coarse.chain(finer)
}
