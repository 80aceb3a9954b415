//! How far a chain and the curves it stands for lie apart, and how smooth it is: by brute force, with nothing of the
//! fitter's.

use grainwise::geometry::curve::Curve;
use grainwise::geometry::{Point, Segment, turn_between};

/// How many points a curve is looked at.
const FINE: usize = 12_000;

fn fine(curves: &[Curve]) -> Vec<Point> {
    let each = FINE / curves.len() + 2;
    curves.iter().flat_map(|c| (0..=each).map(move |i| c.at(i as f64 / each as f64))).collect()
}

fn to_line(p: Point, a: Point, b: Point) -> f64 {
    Segment::line(a, b).nearest(p).1
}

/// The largest distance from any point of the curves to the chain.
pub(crate) fn curves_to_chain(curves: &[Curve], chain: &[Segment]) -> f64 {
    let nearest = |p: Point| chain.iter().map(|s| s.nearest(p).1).fold(f64::INFINITY, f64::min);
    fine(curves).into_iter().map(nearest).fold(0.0, f64::max)
}

/// The largest distance from any point of the chain to the curves (as fine polygons).
pub(crate) fn chain_to_curves(curves: &[Curve], chain: &[Segment]) -> f64 {
    let fine = fine(curves);
    let nearest = |p: Point| {
        // First among every twentieth point, then between the fine ones near the best of those.
        let coarse = (0..fine.len()).step_by(20).map(|i| (fine[i].distance_squared(p), i));
        let mut best: Vec<(f64, usize)> = coarse.collect();
        best.sort_by(|a, b| a.0.total_cmp(&b.0));
        let around = |i: usize| i.saturating_sub(21)..(i + 21).min(fine.len() - 1);
        let near = best.iter().take(6).flat_map(|(_, i)| around(*i));
        near.map(|i| to_line(p, fine[i], fine[i + 1])).fold(f64::INFINITY, f64::min)
    };
    let points = chain.iter().flat_map(|s| (0..=60).map(|i| s.at(f64::from(i) / 60.0)));
    points.map(nearest).fold(0.0, f64::max)
}

/// The largest of both.
pub(crate) fn deviation(curves: &[Curve], chain: &[Segment]) -> f64 {
    curves_to_chain(curves, chain).max(chain_to_curves(curves, chain))
}

/// The kinks in degrees at the joints of a chain.
pub(crate) fn kinks(chain: &[Segment], closed: bool) -> Vec<f64> {
    let count = if closed { chain.len() } else { chain.len() - 1 };
    let kink = |i: usize| {
        let (a, b) = (chain[i], chain[(i + 1) % chain.len()]);
        turn_between(a.tangent(1.0), b.tangent(0.0)).to_degrees().abs()
    };
    (0..count).map(kink).collect()
}
