//! The ground of a recess and the ways over it: loops one within the other, each a step farther in than the one around
//! it, run from the middle outwards, so that the cutter widens what it has opened and the wall comes last.
//!
//! No loop lies farther from the next than half of the cutter's diameter, so that no ridge stays between them (geometry:
//! what lies farther from all loops than the cutter's radius would have room for one more).

use crate::geometry::offset::{self, NoGround};
use crate::geometry::{Chain, Outline, Placement, Region, Segment};
use crate::problem::Problem;
use crate::stages::part::{Part, Recess};

use super::means::Means;
use super::tabs;
use super::track::{NOTHING_MM, Track};

/// A way from one loop to the next is no longer than the step between them by more than this share: else it would leave
/// the ground.
const STEP_SHARE: f64 = 1.01;

/// Ground, and what of it lies a step farther in.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Nest {
    region: Region,
    inner: Vec<Nest>,
    step_mm: f64,
}

/// The ground of each recess of a part, with its depth, mm. What cannot be cleared is a problem.
pub(super) fn nests(part: &Part, means: &Means) -> Result<Vec<(Nest, f64)>, Vec<Problem>> {
    if part.recesses.is_empty() {
        return Ok(Vec::new());
    }
    if !means.is_router() {
        return Err(vec![by_beam(part)]);
    }
    let step_mm = means.kerf_mm * (1.0 - means.router.overlap);
    let mut found = Vec::new();
    let mut problems = Vec::new();
    for recess in &part.recesses {
        let ground = offset::ground(&recess.region, &part.region, means.kerf_mm / 2.0);
        let nests = ground.and_then(|regions| {
            let nest = |region| Nest::of(region, step_mm);
            regions.into_iter().map(nest).collect::<Result<Vec<Nest>, _>>().map_err(NoGround::Refused)
        });
        match nests {
            Ok(nests) => found.extend(nests.into_iter().map(|nest| (nest, recess.depth_mm))),
            Err(why) => problems.push(no_ground(part, recess, means, why)),
        }
    }
    if problems.is_empty() { Ok(found) } else { Err(problems) }
}

fn by_beam(part: &Part) -> Problem {
    let at = part.recesses[0].region.outer().vertices()[0].at;
    let message = format!("part '{}' has a recess, which a beam cannot clear to a depth", part.id);
    let hint = "cut the part on a router, or put the lines on a score, mark or ignored layer ('layers')";
    Problem::error("recess-by-beam", message).of_part(&part.id).at(at).hint(hint)
}

fn no_ground(part: &Part, recess: &Recess, means: &Means, why: NoGround) -> Problem {
    match why {
        NoGround::Narrow(at) => {
            let message = format!(
                "part '{}' has a recess too narrow at ({:.2}, {:.2}) for {}",
                part.id,
                at.x,
                at.y,
                means.tool()
            );
            let hint = "take a smaller cutter with --cutter, or widen it in the drawing";
            Problem::error("too-narrow", message).of_part(&part.id).at(at).hint(hint)
        }
        NoGround::Refused(why) => {
            Problem::error("recess-not-cleared", format!("part '{}', its recess: {why}", part.id))
                .of_part(&part.id)
                .at(recess.region.outer().vertices()[0].at)
                .hint("mend the outline there: lines that cross, touch or run twice")
        }
    }
}

impl Nest {
    fn of(region: Region, step_mm: f64) -> Result<Self, offset::Refused> {
        let inner = offset::offset(&region, -step_mm)?.regions;
        let inner = inner.into_iter().map(|region| Self::of(region, step_mm)).collect::<Result<_, _>>()?;
        Ok(Self { region, inner, step_mm })
    }

    /// The same at its place on a sheet.
    pub(super) fn placed(&self, place: &Placement) -> Self {
        Self {
            region: self.region.placed(place),
            inner: self.inner.iter().map(|nest| nest.placed(place)).collect(),
            step_mm: self.step_mm,
        }
    }

    /// The ways that clear it. A cutter that climbs has the walls on its right: it runs counter-clockwise around the
    /// ground and clockwise around what stays in it.
    pub(super) fn ways(&self, climb: bool) -> Vec<Chain> {
        let mut ways = Vec::new();
        let last = self.clear(climb, &mut ways);
        ways.push(last);
        ways.iter().filter_map(|way| Chain::from_segments(way).ok()).collect()
    }

    /// Clears what lies within, then the loops of this ground; gives the way that ends with the outer one.
    fn clear(&self, climb: bool, ways: &mut Vec<Vec<Segment>>) -> Vec<Segment> {
        let mut way: Vec<Segment> = Vec::new();
        for nest in &self.inner {
            let next = nest.clear(climb, ways);
            let before = std::mem::replace(&mut way, next);
            ways.extend(Some(before).filter(|way| !way.is_empty()));
        }
        for island in self.region.holes() {
            ways.push(run(island, 0.0, climb));
        }
        let outer = self.region.outer();
        let track = Track::of_outline(outer);
        let near = way.last().map(|last| (last.to, track.nearest(last.to)));
        match near {
            Some((from, (s, off))) if off <= STEP_SHARE * self.step_mm => {
                let to = track.point(s);
                if off > NOTHING_MM {
                    way.push(Segment::line(from, to));
                }
                way.extend(run(outer, s, climb));
            }
            Some(_) => ways.push(std::mem::replace(&mut way, run(outer, 0.0, climb))),
            None => way = run(outer, 0.0, climb),
        }
        way
    }
}

/// Once round a loop from a place on it, the ground's way round where the cutter climbs.
fn run(outline: &Outline, from: f64, climb: bool) -> Vec<Segment> {
    let track = Track::of_outline(outline);
    let begun = if from > NOTHING_MM && from < track.length() - NOTHING_MM {
        tabs::begun_at(outline, &track, from)
    } else {
        outline.clone()
    };
    // A region has its material on the left: around the ground that is counter-clockwise.
    let begun = if climb { begun } else { begun.reversed() };
    begun.segments().collect()
}
