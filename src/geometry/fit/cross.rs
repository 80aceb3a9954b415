//! Whether a chain of lines and arcs crosses itself.

use crate::geometry::{Point, Rect, Segment};

/// Meetings this near to where two segments follow each other are that very place, in millimetres.
const JOINT: f64 = 1e-7;

/// Whether any two segments meet elsewhere than where they follow each other.
pub(super) fn crosses(segments: &[Segment], closed: bool) -> bool {
    let mut boxes: Vec<Rect> = segments.iter().map(|s| s.bounds().inflate(JOINT, JOINT)).collect();
    let whole = boxes.iter().copied().reduce(|a, b| a.union(b)).unwrap_or(Rect::ZERO);
    if whole.height() > whole.width() {
        // Sweep along the longer side.
        for b in &mut boxes {
            *b = Rect::new(b.y0, b.x0, b.y1, b.x1);
        }
    }
    let mut order: Vec<usize> = (0..segments.len()).collect();
    order.sort_by(|&i, &j| boxes[i].x0.total_cmp(&boxes[j].x0));
    for (k, &i) in order.iter().enumerate() {
        for &j in order[k + 1..].iter().take_while(|&&j| boxes[j].x0 <= boxes[i].x1) {
            let apart = boxes[i].y1 < boxes[j].y0 || boxes[j].y1 < boxes[i].y0;
            if !apart && meet(segments, i.min(j), i.max(j), closed) {
                return true;
            }
        }
    }
    false
}

fn meet(segments: &[Segment], i: usize, j: usize, closed: bool) -> bool {
    let (a, b) = (segments[i], segments[j]);
    let mut shared = Vec::with_capacity(2);
    if j == i + 1 {
        shared.push(a.to);
    }
    if closed && i == 0 && j + 1 == segments.len() {
        shared.push(a.from);
    }
    let elsewhere = |p: &Point| shared.iter().all(|s| s.distance(*p) > JOINT);
    let on = |s: &Segment, p: &Point| s.nearest(*p).1 <= JOINT / 10.0;
    meetings(&a, &b).iter().flatten().any(|p| elsewhere(p) && on(&a, p) && on(&b, p))
}

/// Where the lines or circles of two segments meet.
fn meetings(a: &Segment, b: &Segment) -> [Option<Point>; 2] {
    match (a.centre(), b.centre()) {
        (None, None) => {
            let (u, v) = (a.chord(), b.chord());
            let across = u.cross(v);
            if across == 0.0 {
                return [None; 2];
            }
            [Some(a.from + u * ((b.from - a.from).cross(v) / across)), None]
        }
        (None, Some(centre)) => line_circle(a, centre, b.radius()),
        (Some(centre), None) => line_circle(b, centre, a.radius()),
        (Some(p), Some(q)) => circles((p, a.radius()), (q, b.radius())),
    }
}

fn line_circle(line: &Segment, centre: Point, radius: f64) -> [Option<Point>; 2] {
    let along = line.chord() / line.chord().hypot();
    let to = centre - line.from;
    let (t, off) = (to.dot(along), to.cross(along));
    let square = radius * radius - off * off;
    if square < 0.0 {
        return [None; 2];
    }
    let half = square.sqrt();
    [Some(line.from + along * (t - half)), Some(line.from + along * (t + half))]
}

fn circles((p, r): (Point, f64), (q, s): (Point, f64)) -> [Option<Point>; 2] {
    let between = q - p;
    let distance = between.hypot();
    if distance == 0.0 {
        return [None; 2];
    }
    let t = (distance * distance + (r - s) * (r + s)) / (2.0 * distance);
    let square = (r - t) * (r + t);
    if square < 0.0 {
        return [None; 2];
    }
    let along = between / distance;
    let side = kurbo::Vec2::new(-along.y, along.x) * square.sqrt();
    [Some(p + along * t + side), Some(p + along * t - side)]
}
