//! One wanted piece held against what is left of it: how deep the cut goes into it, and how far wood stands out.

use crate::geometry::distance::{SegmentIndex, Visit, gap};
use crate::geometry::{Outline, Point, Region, Vec2};

use super::super::Worst;
use super::super::plan::Wanted;
use super::super::sweep::{self, Polygon};
use super::field::Field;
use super::reach::clear_place;
use super::runs::Gap;

/// Places on a part's edge are looked at no farther apart than this, mm. What is narrower shows at the corners of the
/// piece that is left.
const STEP_MM: f64 = 2.0;

/// Wood that stands out less than this is not looked at any closer, mm: far below what counts.
const NOTHING_MM: f64 = 1e-4;

/// The same at the corners of a piece that is left: they are no surer than the sweep.
const SWEPT_MM: f64 = 2.0 * sweep::CHORD_MM;

/// A corner that keeps more wood than this, mm, is one that beam or cutter does not reach.
const CORNER_MM: f64 = 0.02;

/// What was found of a piece.
#[derive(Clone, Debug, Default)]
pub(super) struct Found {
    pub(super) gouge: Worst,
    pub(super) excess: Worst,
    pub(super) unreachable_corners: usize,
    /// Outlines (0 the outer one, then the holes) of which nothing is cut.
    pub(super) uncut: Vec<usize>,
}

/// A piece with its edge ready to be asked.
pub(super) struct Piece<'a> {
    pub(super) wanted: &'a Wanted,
    edge: SegmentIndex,
    /// Outer outline and holes, each with half the width that is removed beside them, mm; empty where that is the same.
    sides: Vec<(SegmentIndex, f64)>,
    /// Half the width that is removed beside the outer outline and beside holes, mm.
    half_mm: [f64; 2],
    /// Tabs at its edge.
    pub(super) gaps: Vec<&'a Gap>,
}

impl<'a> Piece<'a> {
    pub(super) fn new(wanted: &'a Wanted, gaps: Vec<&'a Gap>, half_mm: [f64; 2]) -> Self {
        let [around, inside] = half_mm;
        let sides = if (around - inside).abs() < NOTHING_MM {
            Vec::new()
        } else {
            let holes = wanted.region.holes().iter().flat_map(Outline::segments);
            let outer = SegmentIndex::of_outline(wanted.region.outer());
            vec![(outer, around), (SegmentIndex::new(holes), inside)]
        };
        Self { wanted, edge: SegmentIndex::of_region(&wanted.region), sides, half_mm, gaps }
    }

    /// Half the width that is removed beside an outline, mm.
    fn half(&self, outline: usize) -> f64 {
        self.half_mm[outline.min(1)]
    }

    /// Half the width that is removed beside the outline that a segment of the edge belongs to, mm.
    fn half_beside(&self, segment: usize) -> f64 {
        if self.sides.is_empty() { self.half(0) } else { self.half(outline_of(&self.wanted.region, segment)) }
    }

    /// Holds it against the field and against its island.
    pub(super) fn found(&self, field: &Field, island: Option<&Polygon>) -> Found {
        let mut found = Found { gouge: self.gouge(field), ..Found::default() };
        self.edge_to_cut(field, &mut found);
        if let Some(island) = island {
            self.island_to_edge(island, &mut found);
        }
        found
    }

    /// How deep the cut goes into the material.
    fn gouge(&self, field: &Field) -> Worst {
        let whole = [(&self.edge, self.half(0))];
        let sides: Vec<(&SegmentIndex, f64)> = self.sides.iter().map(|(edge, half)| (edge, *half)).collect();
        let mut nearest: Option<Worst> = None;
        let mut crossed = false;
        for &(edge, half) in if sides.is_empty() { whole.as_slice() } else { sides.as_slice() } {
            let Some(near) = gap(edge, &field.all, half) else { continue };
            crossed |= near.distance <= 0.0;
            let here = Worst { mm: half - near.distance, at: near.from };
            nearest = Some(nearest.filter(|held| held.mm >= here.mm).unwrap_or(here));
        }
        let mut worst = nearest.unwrap_or_default();
        let mut look = |at: Point| {
            if self.edge.winding(at) != 0
                && let Some(near) = self.edge.nearest(at)
            {
                let mm = self.half_beside(near.segment) + near.distance;
                if mm > worst.mm {
                    worst = Worst { mm, at };
                }
            }
        };
        let bounds = self.wanted.region.bounds();
        if crossed {
            field.all.visit(bounds, |which| {
                let segment = field.all.segment(which);
                for t in [0.0, 0.5, 1.0] {
                    look(segment.at(t));
                }
                Visit::Go
            });
        } else {
            // What does not cross the edge lies on one side of it from beginning to end.
            field.beginnings(bounds, &mut look);
        }
        worst
    }

    /// From places on the part's edge to the nearest cut.
    fn edge_to_cut(&self, field: &Field, found: &mut Found) {
        let mut near = Near::to(&field.bottom);
        for (number, outline) in self.wanted.region.outlines().enumerate() {
            let mut cut = false;
            let half = self.half(number);
            each_place(outline, |at, out, corner| {
                let enough = found.excess.mm.clamp(NOTHING_MM, CORNER_MM);
                let Some(distance) = near.farther(at, half + enough) else {
                    cut = true;
                    return;
                };
                let off = distance - half;
                if off <= found.excess.mm && !corner || self.held(at, half) {
                    return;
                }
                let best = clear_place(&self.edge, at + out * half, out, half);
                let least = best.map_or(off, |place| place.distance(at) - half);
                found.unreachable_corners += usize::from(corner && least > CORNER_MM);
                if off - least > found.excess.mm {
                    found.excess = Worst { mm: off - least, at };
                }
            });
            if !cut {
                found.uncut.push(number);
            }
        }
    }

    /// From the corners of what is left to the part's edge.
    fn island_to_edge(&self, island: &Polygon, found: &mut Found) {
        let mut worst = Worst { mm: found.excess.mm.max(SWEPT_MM), ..found.excess };
        let least = worst.mm;
        let mut near = Near::to(&self.edge);
        for &at in island.iter().flatten() {
            let Some(distance) = near.farther(at, worst.mm) else { continue };
            let half = self.half_beside(near.hint);
            if self.edge.winding(at) != 0 || self.held(at, half) {
                continue;
            }
            let foot = self.edge.segment(near.hint).nearest(at).0;
            let out = (at - self.edge.segment(near.hint).at(foot)) / distance;
            let mm = self.stands_out(at, distance, out, half);
            if mm > worst.mm {
                worst = Worst { mm, at };
            }
        }
        if worst.mm > least {
            found.excess = worst;
        }
    }

    /// How far a place outside the part stands out from what beam or cutter could not have reached.
    fn stands_out(&self, at: Point, distance: f64, out: Vec2, radius: f64) -> f64 {
        if distance >= radius {
            return distance;
        }
        let best = clear_place(&self.edge, at, out, radius);
        best.map_or(0.0, |place| (radius - place.distance(at)).clamp(0.0, distance))
    }

    /// Whether a tab holds the piece here.
    fn held(&self, at: Point, radius: f64) -> bool {
        self.gaps.iter().any(|gap| gap.distance(at) <= radius + gap.slack + CORNER_MM)
    }

    /// Which outline is nearest to a place: 0 the outer one, then the holes; and how near.
    pub(super) fn nearest_outline(&self, at: Point) -> (usize, f64) {
        let Some(near) = self.edge.nearest(at) else { return (0, f64::INFINITY) };
        (outline_of(&self.wanted.region, near.segment), near.distance)
    }

    /// Whether a place lies in the material, or no farther out than `slack`.
    pub(super) fn holds(&self, at: Point, slack: f64) -> bool {
        self.edge.winding(at) != 0 || self.edge.is_nearer(at, slack)
    }
}

/// Asks for the distances of places that follow each other: the segment that was nearest to the last one is most often
/// near enough to the next.
struct Near<'a> {
    index: &'a SegmentIndex,
    hint: usize,
}

impl<'a> Near<'a> {
    const fn to(index: &'a SegmentIndex) -> Self {
        Self { index, hint: 0 }
    }

    /// The distance of a place to the nearest segment, where it is more than `limit`.
    fn farther(&mut self, at: Point, limit: f64) -> Option<f64> {
        if self.hint < self.index.len() && self.index.piece(self.hint).distance(at) <= limit {
            return None;
        }
        let Some(near) = self.index.nearest(at) else { return Some(f64::INFINITY) };
        self.hint = near.segment;
        (near.distance > limit).then_some(near.distance)
    }
}

/// Which outline of a region its segment of this number belongs to.
fn outline_of(region: &Region, segment: usize) -> usize {
    let mut before = 0;
    for (number, outline) in region.outlines().enumerate() {
        before += outline.vertices().len();
        if segment < before {
            return number;
        }
    }
    0
}

/// Calls with places along an outline: every corner, with the direction between its sides that leads out of the material,
/// and places between them.
fn each_place(outline: &Outline, mut each: impl FnMut(Point, Vec2, bool)) {
    let right = |way: Vec2| Vec2::new(way.y, -way.x);
    let mut before = outline.segments().next_back().map_or(Vec2::ZERO, |s| s.tangent(1.0));
    for segment in outline.segments() {
        let ahead = segment.tangent(0.0);
        let both = right(before) + right(ahead);
        let length = both.hypot();
        let out = if length > NOTHING_MM { both / length } else { right(ahead) };
        each(segment.from, out, true);
        let count = (segment.length() / STEP_MM).ceil().max(1.0);
        for i in 0..count as usize {
            let t = (i as f64 + 0.5) / count;
            each(segment.at(t), right(segment.tangent(t)), false);
        }
        before = segment.tangent(1.0);
    }
}
