//! Where each rib stands in the wing, how long it is and how it is turned.

use super::Bench;
use crate::geometry::curve::Curve;
use crate::geometry::{Affine, Point, trig};

/// So many places are looked at on each piece of a drawn edge before a crossing is narrowed.
const LOOKS: u32 = 64;

/// How often an interval is halved: down to the last bits.
const HALVINGS: u32 = 50;

/// So far within its ends a planform is looked at, mm: at the very root its edge runs along the rib.
const WITHIN: f64 = 1e-3;

/// One rib's place. The x axis runs back along the chord, the same for all ribs of a set; y is up.
#[derive(Clone, Copy, Debug)]
pub(super) struct Frame {
    /// From the root, mm.
    pub(super) station: f64,
    /// The share of the way from root to tip, 0 to 1.
    pub(super) share: f64,
    /// The share of the tip's section in the rib's.
    pub(super) blend: f64,
    /// Chord, mm.
    pub(super) chord: f64,
    /// Nose before it is turned.
    pub(super) leading: f64,
    /// Nose up, degrees.
    twist_deg: f64,
    /// The fraction of the chord about which it is turned.
    straight: f64,
}

impl Frame {
    /// From a section of chord 1 to the wing.
    pub(super) fn map(&self) -> Affine {
        let (sin, cos) = trig::sin_cos_deg(-self.twist_deg);
        let (about, pivot) = (Point::new(self.straight, 0.0), self.x(self.straight));
        Affine::translate((pivot, 0.0))
            * Affine::new([cos, sin, -sin, cos, 0.0, 0.0])
            * Affine::scale(self.chord)
            * Affine::translate(-about.to_vec2())
    }

    /// A fraction of the chord in the wing.
    pub(super) fn x(&self, fraction: f64) -> f64 {
        self.leading + fraction * self.chord
    }
}

impl Bench<'_> {
    /// The places of all ribs. None where a planform does not reach them; it is told.
    pub(super) fn frames(&mut self) -> Option<Vec<Frame>> {
        let set = self.set;
        let planform = match &set.planform {
            Some(file) => Some(self.planform(file)?),
            None => None,
        };
        let (first, last) = (set.stations.first()?, set.stations.last()?);
        let mut frames = Vec::with_capacity(set.stations.len());
        for station in &set.stations {
            let share = if last > first { (station - first) / (last - first) } else { 0.0 };
            let (leading, chord, blend) = if let Some(lines) = &planform {
                let (leading, chord) = self.edges(lines, station - first)?;
                (leading, chord, share)
            } else {
                let chord = set.root.chord_mm + (set.tip.chord_mm - set.root.chord_mm) * share;
                let leading = set.straight * (set.root.chord_mm - chord) + set.sweep_mm * share;
                // So that every point of the surface runs straight from root to tip, as spars and sheeting do.
                (leading, chord, set.tip.chord_mm * share / chord)
            };
            let twist_deg = set.root.twist_deg + (set.tip.twist_deg - set.root.twist_deg) * share;
            frames.push(Frame {
                station: *station,
                share,
                blend,
                chord,
                leading,
                twist_deg,
                straight: set.straight,
            });
        }
        Some(frames)
    }

    /// The lines of a planform: the wing's outline, or what there is of its edges where they are open lines.
    fn planform(&mut self, file: &str) -> Option<Vec<Curve>> {
        let lines = self.lines(file)?;
        if lines.is_empty() {
            let hint = "draw the wing as one closed outline, or its leading and trailing edge as two lines";
            self.wrong("rib-planform", "the planform holds no line to be cut", hint);
            return None;
        }
        Some(lines)
    }

    /// Nose and chord so far from the root of a planform.
    fn edges(&mut self, lines: &[Curve], out: f64) -> Option<(f64, f64)> {
        let bounds = lines.iter().map(Curve::bounds).reduce(|a, b| a.union(b))?;
        let x = (bounds.x0 + out).clamp(bounds.x0 + WITHIN, bounds.x1 - WITHIN);
        let crossed = crossings(lines, x);
        let high = crossed.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let low = crossed.iter().copied().fold(f64::INFINITY, f64::min);
        if bounds.x0 + out > bounds.x1 + WITHIN || high - low < 1.0 {
            let message = format!("the planform has no chord {out:.2} mm from its root");
            let hint = "draw it with the span along x from the root, nose up; leave the tip's end off";
            self.wrong("rib-planform", &message, hint);
            return None;
        }
        Some((bounds.y1 - high, high - low))
    }
}

/// Where lines cross an upright.
fn crossings(lines: &[Curve], x: f64) -> Vec<f64> {
    let mut found = Vec::new();
    for segment in lines {
        let place = |k: u32| f64::from(k) / f64::from(LOOKS);
        for k in 0..LOOKS {
            let (mut low, mut high) = (place(k), place(k + 1));
            let left = segment.at(low).x <= x;
            if left == (segment.at(high).x <= x) {
                continue;
            }
            for _ in 0..HALVINGS {
                let middle = f64::midpoint(low, high);
                if (segment.at(middle).x <= x) == left {
                    low = middle;
                } else {
                    high = middle;
                }
            }
            found.push(segment.at(high).y);
        }
    }
    found
}
