//! One way of lying of a part, as the search sees it: its outline in convex pieces to tell whether it overlaps another,
//! and circles to tell how much. Its lower left corner is the origin.

use super::bound::{self, Line};
use super::convex::{self, Convex};
use super::poles::{self, Pole};
use crate::geometry::{Placement, Point, Vec2};

/// How many circles are reckoned with at once.
const LANES: usize = 8;

/// A part in one of its ways.
#[derive(Clone, Debug)]
pub(super) struct Shape {
    /// Length along x, mm.
    pub(super) width: f64,
    /// Length along y, mm.
    pub(super) height: f64,
    /// Area of its outline, mm².
    pub(super) area: f64,
    /// The least quality of its sheet.
    pub(super) quality: u32,
    /// Square root of the area of its hull, mm: what is large costs more to have lie wrong.
    pub(super) heavy: f64,
    points: Vec<Point>,
    pieces: Vec<Convex>,
    circles: Circles,
}

/// What a shape is made from, however it is turned.
#[derive(Clone, Debug)]
pub(super) struct Plain {
    points: Vec<Point>,
    pieces: Vec<Vec<Point>>,
    poles: Vec<Pole>,
}

impl Plain {
    /// Of a simple polygon, whichever way it runs.
    pub(super) fn new(points: &[Point]) -> Self {
        let points = convex::anticlockwise(points.to_vec());
        let (pieces, poles) = (convex::pieces(&points), poles::poles(&points));
        Self { points, pieces, poles }
    }

    /// The shape mirrored and turned so, and where its lower left corner then lies.
    pub(super) fn turned(&self, turn: &Placement) -> (Shape, Point) {
        let all = |points: &[Point]| {
            let mut points: Vec<Point> = points.iter().map(|&p| turn.point(p)).collect();
            if turn.mirrored {
                points.reverse();
            }
            points
        };
        let points = all(&self.points);
        let [x0, y0, x1, y1] = convex::bounds(&points);
        let corner = Vec2::new(x0, y0);
        let piece = |piece: &Vec<Point>| {
            let points: Vec<Point> = all(piece).into_iter().map(|p| p - corner).collect();
            Convex::new(&points)
        };
        let pole = |pole: &Pole| Pole { centre: turn.point(pole.centre) - corner, ..*pole };
        let shape = Shape {
            width: x1 - x0,
            height: y1 - y0,
            area: convex::area(&points),
            quality: 0,
            heavy: convex::area(&convex::hull(&points)).max(0.0).sqrt(),
            points: points.iter().map(|&p| p - corner).collect(),
            pieces: self.pieces.iter().map(piece).collect(),
            circles: Circles::new(&self.poles.iter().map(pole).collect::<Vec<_>>()),
        };
        (shape, corner.to_point())
    }
}

/// Circles, in groups of lanes; a group is filled up with circles of no size.
#[derive(Clone, Debug, Default)]
struct Circles {
    count: usize,
    groups: Vec<Group>,
}

#[derive(Clone, Copy, Debug)]
struct Group {
    x: [f32; LANES],
    y: [f32; LANES],
    radius: [f32; LANES],
}

impl Shape {
    /// The shape of a simple polygon.
    pub(super) fn new(points: &[Point]) -> Self {
        Plain::new(points).turned(&Placement::HERE).0
    }

    /// Its longer side, mm.
    pub(super) fn longest(&self) -> f64 {
        self.width.max(self.height)
    }

    /// Its shorter side, mm.
    pub(super) fn least(&self) -> f64 {
        self.width.min(self.height)
    }

    /// How much of the middle line of a sheet whose halved side is so long it takes at least, mm.
    pub(super) fn on_middle(&self, line: Line, side: f64) -> f64 {
        bound::on_middle(&self.points, line, side)
    }

    /// How much work it is to see whether it overlaps another, in convex pieces.
    pub(super) fn work(&self) -> u64 {
        self.pieces.len() as u64
    }

    /// Whether it overlaps the other where that lies (`dx`, `dy`) from it.
    pub(super) fn overlaps(&self, other: &Self, dx: f64, dy: f64) -> bool {
        self.pieces.iter().any(|a| {
            let b0 = [a.bounds[0] - dx + convex::TOUCH, a.bounds[1] - dy + convex::TOUCH];
            let b1 = [a.bounds[2] - dx - convex::TOUCH, a.bounds[3] - dy - convex::TOUCH];
            if b0[0] >= other.width || b0[1] >= other.height || b1[0] <= 0.0 || b1[1] <= 0.0 {
                return false;
            }
            other.pieces.iter().any(|b| {
                b.bounds[0] < b1[0]
                    && b.bounds[1] < b1[1]
                    && b.bounds[2] > b0[0]
                    && b.bounds[3] > b0[1]
                    && a.overlaps(b, dx, dy)
            })
        })
    }

    /// How much it overlaps the other, of which it is known that it does: the more the deeper, and never nothing. Circles
    /// that do not reach each other count less and less, but a little (as in J. Gardeyn, G. Vanden Berghe, T. Wauters,
    /// arXiv 2509.13329).
    ///
    /// Once it is clear that it is more than `most`, something more than that is told.
    pub(super) fn depth(&self, other: &Self, dx: f64, dy: f64, most: f64) -> f64 {
        let near = (self.longest().max(other.longest()) * NEAR_SHARE) as f32;
        let heavy = (self.heavy * other.heavy).sqrt();
        let least = f64::from(near) * f64::from(near);
        let enough = ((most / heavy) * (most / heavy) - least) / std::f64::consts::PI;
        let sum = self.circles.depth(&other.circles, dx as f32, dy as f32, near, enough as f32);
        (f64::from(sum) * std::f64::consts::PI + least).sqrt() * heavy
    }
}

/// Circles that overlap by less than this share of the longer shape's length count as if they were drawing apart.
const NEAR_SHARE: f64 = 0.01;

impl Group {
    /// Adds how deep each of the circles reaches into one, to the sum of its lane. Steps of their own and no branches, so
    /// that all lanes are reckoned at once.
    #[inline]
    fn add_depths(&self, x: f32, y: f32, radius: f32, near: f32, sums: &mut [f32; LANES]) {
        let mut square = [0.0_f32; LANES];
        for (lane, square) in square.iter_mut().enumerate() {
            let (a, b) = (self.x[lane] - x, self.y[lane] - y);
            *square = a * a + b * b;
        }
        let mut deep = [0.0_f32; LANES];
        for (lane, deep) in deep.iter_mut().enumerate() {
            *deep = radius + self.radius[lane] - square[lane].sqrt();
        }
        let mut counts = [0.0_f32; LANES];
        for (lane, counts) in counts.iter_mut().enumerate() {
            let deep = deep[lane];
            let (low, high) = if deep < near { (deep, near) } else { (near, deep) };
            // Where it is deep this is the depth, for the rest is nothing; where not, the rest alone.
            *counts = high - near + near * near / (2.0 * near - low);
        }
        for (lane, sum) in sums.iter_mut().enumerate() {
            let other = self.radius[lane];
            *sum += counts[lane] * if other < radius { other } else { radius };
        }
    }
}

impl Circles {
    fn new(poles: &[Pole]) -> Self {
        let group = |poles: &[Pole]| {
            let mut group = Group { x: [0.0; LANES], y: [0.0; LANES], radius: [0.0; LANES] };
            for (i, pole) in poles.iter().enumerate() {
                (group.x[i], group.y[i]) = (pole.centre.x as f32, pole.centre.y as f32);
                group.radius[i] = pole.radius as f32;
            }
            group
        };
        Self { count: poles.len(), groups: poles.chunks(LANES).map(group).collect() }
    }

    fn depth(&self, other: &Self, dx: f32, dy: f32, near: f32, enough: f32) -> f32 {
        let (few, many, dx, dy) =
            if self.count <= other.count { (self, other, dx, dy) } else { (other, self, -dx, -dy) };
        let mut sums = [0.0_f32; LANES];
        let mut sum = 0.0;
        for i in 0..few.count {
            let group = &few.groups[i / LANES];
            let lane = i % LANES;
            let (x, y, radius) = (group.x[lane] - dx, group.y[lane] - dy, group.radius[lane]);
            for group in &many.groups {
                group.add_depths(x, y, radius, near, &mut sums);
            }
            sum = sums.iter().sum();
            if sum > enough {
                return sum;
            }
        }
        sum
    }
}
