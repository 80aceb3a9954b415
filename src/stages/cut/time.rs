//! How long the moves take: speeds within what the machine's acceleration allows.
//!
//! Between two stops each straight or arc is run up, held and run down at constant acceleration. Where the direction
//! changes, the speed falls to what the machine can turn within a hundredth of a second; on an arc it stays below what
//! holds it on its radius. What is run with the beam off or the cutter lifted counts as travel, all else to the
//! operation under way.

use crate::geometry::{Point, Segment, Vec2, trig};
use crate::shop::Machine;

use super::{Move, Operation, Steps};

/// A machine takes up a change of velocity within about this time without a stop, s (common practice, no source).
const GIVE_S: f64 = 0.01;

/// Slower than this, mm/s, nothing moves: keeps a feed of nothing from taking for ever.
const SLOWEST_MM_S: f64 = 1e-3;

/// One straight or arc, at most so fast.
struct Leg {
    length: f64,
    top: f64,
    begins: Vec2,
    ends: Vec2,
}

/// Time of the moves, from the sheet's origin.
pub(super) fn steps(moves: &[Move], machine: &Machine) -> Steps {
    let accelerates = machine.acceleration_mm_s2.max(SLOWEST_MM_S);
    let mut clock = Clock {
        accelerates,
        steps: Steps::default(),
        doing: None,
        legs: Vec::new(),
        at: Point::ORIGIN,
        z: 0.0,
    };
    for step in moves {
        clock.step(step, machine.rapid_mm_min);
    }
    clock.stop();
    clock.steps
}

struct Clock {
    accelerates: f64,
    steps: Steps,
    /// The operation under way; none while travelling.
    doing: Option<Operation>,
    /// Legs since the machine last stood still.
    legs: Vec<Leg>,
    at: Point,
    z: f64,
}

impl Clock {
    fn step(&mut self, step: &Move, rapid: f64) {
        match *step {
            Move::Begin { operation, .. } => {
                self.stop();
                self.doing = Some(operation);
            }
            Move::Beam { .. } | Move::BeamOff => {}
            Move::Dwell { seconds } => {
                self.stop();
                self.steps.add(self.doing, seconds);
            }
            Move::Rapid { to, z } => {
                self.stop();
                self.leg(Segment::line(self.at, to), z, rapid);
                let doing = self.doing.take();
                self.stop();
                self.doing = doing;
            }
            Move::Line { to, z, feed } => self.leg(Segment::line(self.at, to), z, feed),
            Move::Arc { to, z, centre, counter_clockwise, feed } => {
                self.leg(Segment::about(self.at, to, centre, counter_clockwise), z, feed);
            }
        }
    }

    fn leg(&mut self, segment: Segment, z: f64, mm_min: f64) {
        let length = trig::hypot(segment.length(), z - self.z);
        let mut top = (mm_min / 60.0).max(SLOWEST_MM_S);
        if !segment.is_line() {
            top = top.min((self.accelerates * segment.radius()).sqrt()).max(SLOWEST_MM_S);
        }
        if length > 0.0 {
            // A move straight down has no direction along the wood: it joins as a full turn.
            let flat = segment.length() / length;
            let (begins, ends) = (segment.tangent(0.0) * flat, segment.tangent(1.0) * flat);
            self.legs.push(Leg { length, top, begins, ends });
        }
        (self.at, self.z) = (segment.to, z);
    }

    /// The machine stands still: what was run since it last did is counted.
    fn stop(&mut self) {
        let legs = std::mem::take(&mut self.legs);
        let speeds = self.speeds(&legs);
        for (leg, pair) in legs.iter().zip(speeds.windows(2)) {
            self.steps.add(self.doing, leg_seconds(leg, pair[0], pair[1], self.accelerates));
        }
    }

    /// Speed before, between and after the legs, mm/s: none at the ends, and reachable in between.
    fn speeds(&self, legs: &[Leg]) -> Vec<f64> {
        let mut speeds = vec![0.0; legs.len() + 1];
        for (i, pair) in legs.windows(2).enumerate() {
            speeds[i + 1] = self.corner_speed(&pair[0], &pair[1]);
        }
        let reach = |from: f64, length: f64| (from * from + 2.0 * self.accelerates * length).sqrt();
        for (i, leg) in legs.iter().enumerate() {
            speeds[i + 1] = speeds[i + 1].min(reach(speeds[i], leg.length));
        }
        for (i, leg) in legs.iter().enumerate().rev() {
            speeds[i] = speeds[i].min(reach(speeds[i + 1], leg.length));
        }
        speeds
    }

    fn corner_speed(&self, before: &Leg, after: &Leg) -> f64 {
        let change = (after.begins - before.ends).hypot();
        let top = before.top.min(after.top);
        if change <= 0.0 { top } else { top.min(self.accelerates * GIVE_S / change) }
    }
}

/// Time of one leg that is entered and left at these speeds.
fn leg_seconds(leg: &Leg, enters: f64, leaves: f64, accelerates: f64) -> f64 {
    let squares = enters * enters + leaves * leaves;
    let peak = (accelerates * leg.length + squares / 2.0).sqrt().min(leg.top).max(SLOWEST_MM_S);
    let ramps = (2.0 * peak * peak - squares) / (2.0 * accelerates);
    let held = (leg.length - ramps).max(0.0) / peak;
    (2.0 * peak - enters - leaves).max(0.0) / accelerates + held
}
