//! What tells without a search that pieces do not fit: those longer than half a sheet cannot lie end to end, so that all of
//! them cross its middle line.

use super::state::{Model, Size};
use crate::geometry::Point;

/// Beside a corner rather than through it, mm.
const BESIDE: f64 = 1e-6;

/// Sums may be this much too long, mm: rounding must not cost a sheet.
const SLACK: f64 = 1e-3;

/// Which way a middle line runs.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Line {
    /// At half of a sheet's length, across it.
    Across,
    /// At half of its width, along it.
    Along,
}

impl Line {
    /// Where a point lies: from the line's own, and on it.
    fn of(self, p: &Point) -> (f64, f64) {
        match self {
            Self::Across => (p.x, p.y),
            Self::Along => (p.y, p.x),
        }
    }

    /// The sheet's side that the line halves, and its own length.
    fn sides(self, size: &Size) -> (f64, f64) {
        match self {
            Self::Across => (size.length, size.width),
            Self::Along => (size.width, size.length),
        }
    }
}

/// Whether there is no room on the middle lines of the sheets for all that crosses them.
pub(super) fn crowded(sizes: &[Size], model: &Model) -> bool {
    [Line::Across, Line::Along].into_iter().any(|line| {
        let open = || sizes.iter().filter(|size| size.stock.is_some()).map(|size| line.sides(size));
        let longest = open().map(|sides| sides.0).fold(0.0, f64::max);
        let room: f64 = open().map(|sides| sides.1).sum();
        let least = |way: &usize| model.shapes[*way].on_middle(line, longest);
        let items = model.items.iter().filter(|item| !item.fast);
        let needed: f64 = items.map(|item| item.ways.iter().map(least).fold(f64::INFINITY, f64::min)).sum();
        needed > room + SLACK
    })
}

/// How much of the middle line of a sheet, `side` mm long, a polygon takes wherever it lies, mm: none where it may lie clear
/// of it, without end where it does not fit.
pub(super) fn on_middle(points: &[Point], line: Line, side: f64) -> f64 {
    let at = |p: &Point| line.of(p).0;
    let (first, last) =
        points.iter().map(at).fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), x| (a.min(x), b.max(x)));
    // The line meets the polygon somewhere between these.
    let (low, high) = (last - side / 2.0, first + side / 2.0);
    if low > high + SLACK {
        return f64::INFINITY;
    }
    if low <= first {
        return 0.0;
    }
    // Between corners the section changes evenly: the least is at a corner.
    let corners = points.iter().map(at).filter(|x| (low..=high).contains(x));
    let near = corners.chain([low, high]).flat_map(|x| [x - BESIDE, x + BESIDE]);
    near.map(|x| section(points, line, x)).fold(f64::INFINITY, f64::min)
}

/// How much of a line lies in a polygon, mm.
fn section(points: &[Point], line: Line, at: f64) -> f64 {
    let mut crossings: Vec<f64> = Vec::new();
    for (i, a) in points.iter().enumerate() {
        let (a, b) = (line.of(a), line.of(&points[(i + 1) % points.len()]));
        if (a.0 > at) != (b.0 > at) {
            crossings.push(a.1 + (b.1 - a.1) * (at - a.0) / (b.0 - a.0));
        }
    }
    crossings.sort_by(f64::total_cmp);
    crossings.chunks_exact(2).map(|pair| pair[1] - pair[0]).sum()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn l_shape() -> Vec<Point> {
        [(0.0, 0.0), (80.0, 0.0), (80.0, 10.0), (30.0, 10.0), (30.0, 40.0), (0.0, 40.0)]
            .map(Point::from)
            .to_vec()
    }

    /// The foot of an L that is 80 mm long always lies on the middle of a sheet of 100 mm, its leg need not.
    #[test]
    fn the_least_section_within_reach_counts() {
        assert!((on_middle(&l_shape(), Line::Across, 100.0) - 10.0).abs() < 1e-9);
        assert!((on_middle(&l_shape(), Line::Across, 80.0) - 10.0).abs() < 1e-9);
        assert!(on_middle(&l_shape(), Line::Across, 160.0).abs() < 1e-9);
        assert!(on_middle(&l_shape(), Line::Across, 79.0).is_infinite());
        assert!((on_middle(&l_shape(), Line::Along, 50.0) - 30.0).abs() < 1e-9);
    }
}
