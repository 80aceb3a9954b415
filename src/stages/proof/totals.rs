//! What the steps of a program come to.

use super::ngc::{Motion, Step};
use super::program::Totals;
use super::way::Way;
use crate::geometry::{Point, Rect};

/// Seconds in a minute.
const MINUTE_S: f64 = 60.0;

/// Adds up what a program comes to. Lengths are in space: what is cut is below the wood's face or under the beam, all
/// else is travel, at whatever feed.
#[derive(Debug)]
pub(super) struct Sum {
    beam: bool,
    /// Fastest travel, mm/min; travel takes no time where it is not known.
    rapid_mm_min: Option<f64>,
    totals: Totals,
}

impl Sum {
    pub(super) fn new(beam: bool, rapid_mm_min: Option<f64>) -> Self {
        Self { beam, rapid_mm_min, totals: Totals::default() }
    }

    /// One step, with its way where that is known.
    pub(super) fn step(&mut self, step: &Step, way: Option<&Way>) {
        let feed = match step.motion {
            Motion::Line { feed, .. } | Motion::Arc { feed, .. } => Some(feed),
            Motion::Rapid { to, .. } => {
                self.reached(to);
                self.rapid_mm_min
            }
            Motion::Dwell { seconds } => {
                self.totals.time_s += seconds;
                None
            }
            _ => None,
        };
        if let Some(way) = way {
            self.way(way, step.beam > 0.0, feed);
        }
    }

    pub(super) fn totals(&self) -> Totals {
        self.totals
    }

    fn way(&mut self, way: &Way, burns: bool, feed: Option<f64>) {
        let length = way.length();
        let share = match way.sunk() {
            _ if self.beam => f64::from(u8::from(burns)),
            Some((begin, end)) => end - begin,
            None => 0.0,
        };
        let totals = &mut self.totals;
        totals.cut_length_mm += length * share;
        totals.travel_length_mm += length * (1.0 - share);
        totals.lowest_mm = totals.lowest_mm.min(way.lowest());
        if let Some(feed) = feed.filter(|feed| *feed > 0.0) {
            totals.time_s += length / feed * MINUTE_S;
        }
        self.touched(way.bounds());
    }

    fn reached(&mut self, to: [Option<f64>; 3]) {
        if let [Some(x), Some(y), _] = to {
            let at = Point::new(x, y);
            self.touched(Rect::from_points(at, at));
        }
    }

    fn touched(&mut self, bounds: Rect) {
        self.totals.bounds = Some(self.totals.bounds.map_or(bounds, |all| all.union(bounds)));
    }
}
