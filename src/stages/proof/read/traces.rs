//! Steps of a machine to the stretches in which beam or cutter is in the wood.

use crate::geometry::{Point, Segment};
use crate::stages::proof::ngc::{Motion, Step};
use crate::stages::proof::program::{Corner, Does, Trace};
use crate::stages::proof::way::{ON_FACE_MM, Way};

/// A trace of up to so many corners is copied to its own size when it is done; a larger one keeps the memory that it grew
/// in, so that there are never two of it.
const COPIED: usize = 1 << 14;

/// Gathers traces. A cutter's runs from where it goes below the wood's face to where it is back on it; a beam's as long
/// as it is on with one power and one feed.
#[derive(Debug)]
pub(super) struct Traces {
    /// Whether a beam cuts, and not a cutter.
    beam: bool,
    /// What a beam does on travel, mm/min: it should be off there.
    rapid_mm_min: f64,
    done: Vec<Trace>,
    corners: Vec<Corner>,
    lines: Vec<u32>,
    /// Power and feed of the beam's trace.
    burns: (f64, f64),
}

impl Traces {
    pub(super) const fn new(beam: bool, rapid_mm_min: f64) -> Self {
        Self {
            beam,
            rapid_mm_min,
            done: Vec::new(),
            corners: Vec::new(),
            lines: Vec::new(),
            burns: (0.0, 0.0),
        }
    }

    /// One step of the machine, with its way where that is known.
    pub(super) fn step(&mut self, step: &Step, way: Option<&Way>) {
        let feed = match step.motion {
            Motion::Line { feed, .. } | Motion::Arc { feed, .. } => feed,
            Motion::Rapid { .. } => self.rapid_mm_min,
            Motion::End => return self.finish(),
            _ => return,
        };
        if self.beam { self.burn(step, way, feed) } else { self.mill(step, way) }
    }

    /// All traces, the last one finished.
    pub(super) fn into_traces(mut self) -> Vec<Trace> {
        self.finish();
        self.done
    }

    fn burn(&mut self, step: &Step, way: Option<&Way>, feed: f64) {
        let burns = (step.beam, feed);
        let same = |a: f64, b: f64| a.total_cmp(&b).is_eq();
        if step.beam <= 0.0 || !same(burns.0, self.burns.0) || !same(burns.1, self.burns.1) {
            self.finish();
        }
        if step.beam > 0.0 {
            self.burns = burns;
            match way {
                Some(way) => self.add(way, (0.0, 1.0), step.line),
                None => self.finish(),
            }
        }
    }

    fn mill(&mut self, step: &Step, way: Option<&Way>) {
        let Some(way) = way else {
            self.finish();
            return self.unknown(&step.motion);
        };
        match way.sunk() {
            None => self.finish(),
            Some(part) => {
                self.add(way, part, step.line);
                if part.1 < 1.0 || way.to[2] >= -ON_FACE_MM {
                    self.finish();
                }
            }
        }
    }

    /// A rapid from an unknown height into the wood: the trace begins where it ends.
    fn unknown(&mut self, motion: &Motion) {
        if let Motion::Rapid { to: [Some(x), Some(y), Some(z)], .. } = motion
            && *z < -ON_FACE_MM
        {
            self.corner(Point::new(*x, *y), *z);
        }
    }

    /// Part of a motion goes on the trace, or begins one.
    fn add(&mut self, way: &Way, part: (f64, f64), line: usize) {
        if self.corners.is_empty() {
            self.corner(way.at(part.0), sunk(way.height(part.0)));
        }
        for (segment, end) in way.segments(part) {
            self.segment(&segment, sunk(way.height(end)), line);
        }
    }

    fn segment(&mut self, segment: &Segment, z: f64, line: usize) {
        let (Some(corner), Some(of_line)) = (self.corners.last_mut(), self.lines.last_mut()) else { return };
        let still = corner.at.distance_squared(segment.to) <= 0.0 && (corner.z - z).abs() <= 0.0;
        if still {
            return;
        }
        corner.bulge = segment.bulge;
        *of_line = u32::try_from(line).unwrap_or(u32::MAX);
        self.corner(segment.to, z);
    }

    fn corner(&mut self, at: Point, z: f64) {
        self.corners.push(Corner { at, z, bulge: 0.0 });
        self.lines.push(0);
    }

    /// The trace ends here, if one has begun.
    fn finish(&mut self) {
        if self.corners.len() > 1 {
            let does =
                if self.beam { Does::Burns { power: self.burns.0, feed: self.burns.1 } } else { Does::Mills };
            self.done.push(Trace { corners: own(&mut self.corners), lines: own(&mut self.lines), does });
        }
        self.corners.clear();
        self.lines.clear();
    }
}

/// A height within rounding of the wood's face is on it.
fn sunk(z: f64) -> f64 {
    if z.abs() <= ON_FACE_MM { 0.0 } else { z }
}

/// What has been gathered, in no more memory than it needs; the room it was gathered in stays for the next.
fn own<T: Copy>(gathered: &mut Vec<T>) -> Vec<T> {
    if gathered.len() <= COPIED {
        return gathered.clone();
    }
    let mut own = std::mem::take(gathered);
    own.shrink_to_fit();
    own
}
