//! From a pose that is about right to the one whose distances are least: Gauss and Newton's method on the distances from
//! the piece's points to the part's outline, each point weighed down by how far off it is: a little at first, so that a few
//! points can turn a round part, then more and more.

use super::pose::Pose;
use super::shape::{Sample, Shape};
use crate::geometry::{Point, Vec2};

/// A distance smaller than this, mm, has no direction of its own: the outline's normal is taken.
const ON_LINE_MM: f64 = 1e-7;

/// Done when a step moves nothing by more than this, mm: a hundredth of what matters.
const STILL_MM: f64 = 1e-6;

/// No step turns by more than this, radians: the method is made for small ones.
const LARGEST_TURN: f64 = 0.3;

/// Distances below this weigh alike however small the others are, mm.
const FINE_MM: f64 = 1e-3;

/// A part of the whole that is added to each diagonal term, so that a round part, whose turn is free, is not turned.
const DAMPING: f64 = 1e-9;

/// A point of the piece and what lies nearest to it on the part.
struct Row {
    /// How far the piece's point lies from the part's, mm; signed along `normal`.
    distance: f64,
    normal: Vec2,
    /// The part's point, on the sheet.
    at: Point,
    weight: f64,
}

/// The pose after at most so many steps. `centre` is where turns are about, `reach` how far the piece reaches from it.
pub(super) fn refined(
    shape: &Shape,
    samples: &[Sample],
    mut pose: Pose,
    (centre, reach): (Point, f64),
    steps: usize,
) -> Pose {
    let mut share = 1.0;
    for _ in 0..steps {
        let mut rows: Vec<Row> = samples.iter().filter_map(|sample| row(shape, sample, &pose)).collect();
        let settled = weigh(&mut rows, share);
        share /= 2.0;
        let Some([x, y, turn]) = step(&rows, centre, reach) else { break };
        let turn = (turn / reach).clamp(-LARGEST_TURN, LARGEST_TURN);
        let shift = Vec2::new(x, y);
        pose = pose.moved(centre, turn, shift);
        if settled && shift.hypot() + turn.abs() * reach < STILL_MM {
            break;
        }
    }
    pose
}

fn row(shape: &Shape, sample: &Sample, pose: &Pose) -> Option<Row> {
    let here = pose.back(sample.at);
    let near = shape.index.nearest(here)?;
    let away = here - near.at;
    let (normal, distance) = if near.distance > ON_LINE_MM {
        (away / near.distance, near.distance)
    } else {
        let normal = normal(shape, near.segment, near.at);
        (normal, away.dot(normal))
    };
    let (normal, at) = (pose.direction(normal), pose.point(near.at));
    Some(Row { distance, normal, at, weight: sample.weight })
}

/// Across a segment, at a point on it.
fn normal(shape: &Shape, segment: usize, at: Point) -> Vec2 {
    let segment = shape.index.segment(segment);
    let across = match segment.centre() {
        Some(centre) => at - centre,
        None => Vec2::new(-segment.chord().y, segment.chord().x),
    };
    let length = across.hypot();
    if length > 0.0 { across / length } else { Vec2::ZERO }
}

/// What is much farther off than most counts little: one hole in the wrong place does not pull the whole part. What counts
/// as much is a share of the root mean square, and no less than a few times what is usual; true where it is that.
fn weigh(rows: &mut [Row], share: f64) -> bool {
    if rows.is_empty() {
        return true;
    }
    let mut sizes: Vec<f64> = rows.iter().map(|row| row.distance.abs()).collect();
    let middle = sizes.len() / 2;
    let (_, median, _) = sizes.select_nth_unstable_by(middle, f64::total_cmp);
    let usual = (3.0 * *median).max(FINE_MM);
    let whole: f64 = rows.iter().map(|row| row.weight).sum();
    let squares: f64 = rows.iter().map(|row| row.weight * row.distance * row.distance).sum();
    let much = usual.max(share * (squares / whole).sqrt());
    for row in rows {
        let times = row.distance / much;
        row.weight /= (1.0 + times * times) * (1.0 + times * times);
    }
    much <= usual
}

/// Shift x, y, and turn by the reach, mm, that make the weighed squares least.
fn step(rows: &[Row], centre: Point, reach: f64) -> Option<[f64; 3]> {
    let mut sides = [[0.0; 4]; 3];
    for row in rows {
        let lever = (row.at - centre).cross(row.normal) / reach;
        let terms = [row.normal.x, row.normal.y, lever, row.distance];
        for i in 0..3 {
            for j in 0..4 {
                sides[i][j] += row.weight * terms[i] * terms[j];
            }
        }
    }
    let damping = DAMPING * (sides[0][0] + sides[1][1]);
    for (i, side) in sides.iter_mut().enumerate() {
        side[i] += damping;
    }
    solved(sides)
}

/// Three equations with three unknowns, by elimination; the matrix is symmetric and positive, so that no row need be
/// exchanged.
fn solved(mut rows: [[f64; 4]; 3]) -> Option<[f64; 3]> {
    for i in 0..3 {
        if rows[i][i] <= 0.0 {
            return None;
        }
        for j in i + 1..3 {
            let times = rows[j][i] / rows[i][i];
            let above = rows[i];
            for (term, from) in rows[j].iter_mut().zip(above) {
                *term -= times * from;
            }
        }
    }
    let z = rows[2][3] / rows[2][2];
    let y = (rows[1][3] - rows[1][2] * z) / rows[1][1];
    let x = (rows[0][3] - rows[0][1] * y - rows[0][2] * z) / rows[0][0];
    [x, y, z].iter().all(|v| v.is_finite()).then_some([x, y, z])
}
