//! Curvature along a batten.

use kurbo::ParamCurveCurvature;

use crate::geometry::curve::Curve;
use crate::geometry::{Point, Vec2};

/// So many teeth a piece: curvature changes evenly within one.
const TEETH: u32 = 8;

/// A change of curvature smaller than this, in 1/mm, is none: over 10 mm it moves nothing by more than 0.00002 mm.
const FLAT: f64 = 1e-6;

/// Curvature at one place.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Tooth {
    /// Where.
    pub at: Point,
    /// To the left of the direction of travel, a unit vector.
    pub left: Vec2,
    /// Curvature, 1/mm; positive where it turns left.
    pub curvature: f64,
}

/// Curvature along curves that follow each other smoothly.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Comb {
    /// From the first point to the last.
    pub teeth: Vec<Tooth>,
}

impl Comb {
    /// Of these curves.
    pub fn of(curves: &[Curve]) -> Self {
        let last = curves.len().saturating_sub(1);
        let tooth = |curve: &Curve, t: f64| {
            let (at, along) = curve.at_with_derivative(t);
            let along = along / along.hypot().max(f64::MIN_POSITIVE);
            Tooth { at, left: Vec2::new(-along.y, along.x), curvature: curvature(curve, t) }
        };
        let of_piece = |(i, curve): (usize, &Curve)| {
            let steps = if i == last { TEETH + 1 } else { TEETH };
            (0..steps).map(|k| tooth(curve, f64::from(k) / f64::from(TEETH))).collect::<Vec<_>>()
        };
        Self { teeth: curves.iter().enumerate().flat_map(of_piece).collect() }
    }

    /// How often it turns from one side to the other.
    pub fn inflections(&self) -> usize {
        let sides = self.teeth.iter().map(|t| t.curvature).filter(|k| k.abs() > FLAT).map(|k| k > 0.0);
        let sides: Vec<bool> = sides.collect();
        sides.windows(2).filter(|pair| pair[0] != pair[1]).count()
    }

    /// How often its curvature stops growing and begins to fall, or the other way round.
    pub fn turning_points(&self) -> usize {
        let Some(first) = self.teeth.first() else { return 0 };
        let (mut count, mut low, mut high) = (0, first.curvature, first.curvature);
        let mut rising = None;
        for tooth in &self.teeth {
            let k = tooth.curvature;
            (low, high) = (low.min(k), high.max(k));
            if rising != Some(true) && k > low + FLAT {
                count += usize::from(rising.is_some());
                (rising, high) = (Some(true), k);
            } else if rising != Some(false) && k < high - FLAT {
                count += usize::from(rising.is_some());
                (rising, low) = (Some(false), k);
            }
        }
        count
    }

    /// The tightest bend, mm; infinite where it is straight.
    pub fn least_radius(&self) -> f64 {
        1.0 / self.teeth.iter().map(|t| t.curvature.abs()).fold(0.0, f64::max)
    }
}

fn curvature(curve: &Curve, t: f64) -> f64 {
    match curve {
        // The library counts bends to the right as positive.
        Curve::Cubic(cubic) => -cubic.curvature(t),
        Curve::Segment(s) if !s.is_line() => s.bulge.signum() / s.radius(),
        _ => 0.0,
    }
}
