//! A sheet of wood as it looks: its tint, and fine lines along the grain.

use super::pen::{self, PathData, number};
use crate::geometry::Point;

/// Distance between grain lines, mm, about, on all but the narrowest sheets.
const GAP: f64 = 5.0;

/// Pieces of each line along a sheet.
const PIECES: u32 = 14;

/// Numbers that look random and are the same each time (a linear congruential generator; multiplier and increment as in
/// Knuth's MMIX, from memory).
#[derive(Debug)]
struct Chance(u64);

impl Chance {
    /// The next one, 0 to 1.
    fn next(&mut self) -> f64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 11) as f64 / (1u64 << 53) as f64
    }
}

/// The sheet without anything on it, y up.
pub(super) fn blank(sheet: usize, wood: &str, size_mm: [f64; 2]) -> String {
    let [length_mm, width_mm] = size_mm;
    let tint = if wood.contains("ply") { pen::PLY } else { pen::SOLID_WOOD };
    let (length, width) = (number(length_mm), number(width_mm));
    let thin = (width_mm / 400.0).min(0.3);
    let edge = format!("stroke=\"{}\" stroke-width=\"{}\"", pen::GRAIN, number(2.0 * thin));
    let fine = format!("stroke=\"{}\" stroke-width=\"{}\" stroke-opacity=\"0.45\"", pen::GRAIN, number(thin));
    format!(
        "<rect width=\"{length}\" height=\"{width}\" fill=\"{tint}\" {edge}/>\n{}",
        grain(sheet, size_mm).element(&fine)
    )
}

/// Lines along the grain: nearly straight, never crossing, denser here and there.
fn grain(sheet: usize, [length_mm, width_mm]: [f64; 2]) -> PathData {
    let mut chance = Chance(sheet as u64 + 17);
    let mut lines = PathData::default();
    let gap = (width_mm / 20.0).min(GAP).max(width_mm / 200.0);
    let mut y = gap * 0.4;
    while y < width_mm - 0.3 * gap {
        grain_line([length_mm, width_mm], y, 0.1 * gap, &mut chance, &mut lines);
        y += gap * (0.55 + 0.9 * chance.next());
    }
    lines
}

fn grain_line([length_mm, _]: [f64; 2], y: f64, sway: f64, chance: &mut Chance, lines: &mut PathData) {
    let step = length_mm / f64::from(PIECES);
    // Some lines run the whole way, some end within the sheet as early wood does.
    let (from, to) = match chance.next() {
        share if share < 0.2 => (0, PIECES / 2 + (share * 20.0) as u32),
        share if share > 0.8 => (PIECES / 2 - ((1.0 - share) * 20.0) as u32, PIECES),
        _ => (0, PIECES),
    };
    lines.begin(Point::new(f64::from(from) * step, y));
    for i in from + 1..=to {
        lines.line(Point::new(f64::from(i) * step, y + sway * (2.0 * chance.next() - 1.0)));
    }
}
