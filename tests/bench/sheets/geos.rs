//! 1,000 random kits, laid and then judged by GEOS (through shapely): overlaps, distances, margins, grain.

use std::fmt::Write as _;
use std::io::Write as _;
use std::process::{Command, Stdio};

use grainwise::geometry::{Outline, Point, Region};
use grainwise::problem::Problems;
use grainwise::stages::job::Effort;
use grainwise::stages::part::Part;
use grainwise::stages::sheet::{Layout, Room, lay};

use super::generator::{Dice, job, kit};

/// How many kits.
const KITS: u64 = 1000;

/// Points that stand for a full circle: chords of a 30 mm circle stray by 0.00004 mm.
const CHORDS: f64 = 2000.0;

/// Reads a kit a line: length, width, spacing, margin, and for each sheet its pieces: rings and the grain's direction.
const JUDGE: &str = r"
import json, sys
from shapely.geometry import Polygon, box
from shapely.strtree import STRtree
kits = pieces = 0
overlap = short = edge = grain = 0.0
for line in sys.stdin:
    length, width, spacing, margin, sheets = json.loads(line)
    kits += 1
    inner = box(margin, margin, length - margin, width - margin)
    for sheet in sheets:
        shapes = [Polygon(rings[0], rings[1:]) for rings, _ in sheet]
        tree = STRtree(shapes)
        for i, (shape, (_, lies)) in enumerate(zip(shapes, sheet)):
            pieces += 1
            x0, y0, x1, y1 = shape.bounds
            edge = max(edge, margin - x0, margin - y0, x1 - length + margin, y1 - width + margin)
            if lies is not None:
                grain = max(grain, min(lies % 180, 180 - lies % 180))
            for j in tree.query(shape.buffer(spacing + 1)):
                if j > i:
                    overlap = max(overlap, shape.intersection(shapes[j]).area)
                    short = max(short, spacing - shape.distance(shapes[j]))
print(f'{kits} kits, {pieces} pieces: overlap at most {overlap:.6f} mm2, spacing short by at most {max(short, 0):.6f} mm, '
      f'margin by {max(edge, 0):.6f} mm, grain off by at most {grain:.6f} degrees')
";

pub(super) fn run() {
    let Some(python) = std::env::var_os("GRAINWISE_PYTHON") else {
        println!("random kits: left out, GRAINWISE_PYTHON names no Python with shapely");
        return;
    };
    let judge = Command::new(python).args(["-c", JUDGE]).stdin(Stdio::piped()).spawn();
    let Ok(mut judge) = judge else { return };
    let mut told = 0;
    if let Some(mut to) = judge.stdin.take() {
        for seed in 0..KITS {
            let mut dice = Dice(seed);
            let room = Room { spacing_mm: dice.between(0.0, 3.0), margin_mm: dice.between(0.0, 5.0) };
            let parts = kit(4 + (seed % 17) as usize, seed);
            let (length, width) = (dice.between(280.0, 700.0), dice.between(110.0, 320.0));
            let mut problems = Problems::new();
            let layout = lay(&parts, &job(length, width, Effort::Quick), room, &mut problems);
            told += problems.len();
            writeln!(to, "{}", line(&layout, &parts, room, (length, width))).unwrap();
        }
    }
    judge.wait().unwrap();
    println!("problems told by the program itself: {told}");
}

fn line(layout: &Layout, parts: &[Part], room: Room, (length, width): (f64, f64)) -> String {
    let mut text = format!("[{length},{width},{},{},[", room.spacing_mm, room.margin_mm);
    for (i, sheet) in layout.sheets.iter().enumerate() {
        text.push_str(if i > 0 { ",[" } else { "[" });
        for (k, placed) in sheet.placed.iter().enumerate() {
            let part = &parts[placed.part];
            let lies = part.grain_deg.map(|grain| placed.placement.grain_deg(grain));
            let lies = lies.map_or_else(|| "null".to_owned(), |lies| lies.to_string());
            let rings = rings(&part.region.placed(&placed.placement));
            let _ = write!(text, "{}[[{rings}],{lies}]", if k > 0 { "," } else { "" });
        }
        text.push(']');
    }
    text + "]]"
}

fn rings(region: &Region) -> String {
    let ring = |outline: &Outline| {
        let points: Vec<String> = points(outline).iter().map(|p| format!("[{},{}]", p.x, p.y)).collect();
        format!("[{}]", points.join(","))
    };
    region.outlines().map(ring).collect::<Vec<_>>().join(",")
}

fn points(outline: &Outline) -> Vec<Point> {
    let mut points = Vec::new();
    for segment in outline.segments() {
        let chords = (segment.sweep().abs() / std::f64::consts::TAU * CHORDS).ceil().max(1.0);
        points.extend((0..chords as usize).map(|k| segment.at(k as f64 / chords)));
    }
    points
}
