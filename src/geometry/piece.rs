//! A segment made ready for many questions about distance: no sine or arctangent is needed for any of them.

use super::{Point, Rect, Segment, Vec2};

/// A segment with its arc worked out.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Piece {
    pub(crate) segment: Segment,
    arc: Option<Arc>,
}

/// The arc of a piece. Everything is measured from its ends, so that a very flat arc, whose centre is far away, loses no
/// digits.
#[derive(Clone, Copy, Debug)]
struct Arc {
    /// From the centre to the first point.
    first: Vec2,
    /// From the centre to the last point.
    last: Vec2,
    radius: f64,
    counter_clockwise: bool,
    /// More than a half circle.
    wide: bool,
}

/// A circle, given from a point on it, so that a very large one loses no digits near that point.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Circle {
    /// A point on it.
    pub(crate) on: Point,
    /// From the centre to that point.
    pub(crate) ray: Vec2,
    pub(crate) radius: f64,
}

impl Circle {
    /// The circle about a point.
    pub(crate) fn about(centre: Point, radius: f64) -> Self {
        let ray = Vec2::new(radius, 0.0);
        Self { on: centre + ray, ray, radius }
    }

    /// Square of a point's distance from the centre less that of the radius; the point is given from the one on it.
    fn power(&self, from_on: Vec2) -> f64 {
        from_on.hypot2() + 2.0 * from_on.dot(self.ray)
    }

    /// Where the line `from + t chord` meets it: the two values of `t`.
    pub(crate) fn meets_line(&self, from: Point, chord: Vec2) -> [Option<f64>; 2] {
        // |w + t chord + ray|^2 = radius^2, with the radius taken out of both sides.
        let w = from - self.on;
        let (square, half, rest) = (chord.hypot2(), chord.dot(w + self.ray), self.power(w));
        let root = half * half - square * rest;
        if square == 0.0 || root < 0.0 {
            return [None; 2];
        }
        let larger = -(half + root.sqrt().copysign(half));
        [Some(larger / square), Some(if larger == 0.0 { 0.0 } else { rest / larger })]
    }

    /// Where two circles meet.
    pub(crate) fn meets(&self, other: &Self) -> [Option<Point>; 2] {
        if self.radius > other.radius {
            return other.meets(self);
        }
        // From the centre of the smaller circle, so that the other one may be as flat as it likes.
        let w = (self.on - other.on) - self.ray;
        let between = -(w + other.ray);
        let square = between.hypot2();
        if square == 0.0 {
            return [None; 2];
        }
        let reach = self.radius * self.radius;
        let along = (other.power(w) + reach) / (2.0 * square);
        let half = reach / square - along * along;
        if half < 0.0 {
            return [None; 2];
        }
        let at = |side: f64| {
            let ray = between * along + Vec2::new(-between.y, between.x) * side;
            Some(self.on + (ray - self.ray))
        };
        [at(half.sqrt()), at(-half.sqrt())]
    }
}

impl Piece {
    pub(crate) fn new(segment: Segment) -> Self {
        let round = !segment.is_line() && segment.from != segment.to;
        let arc = round.then(|| Arc::of(segment));
        Self { segment, arc }
    }

    /// Centre of an arc; none for a line.
    pub(crate) fn centre(&self) -> Option<Point> {
        self.arc.map(|arc| self.segment.from - arc.first)
    }

    /// The circle of an arc; none for a line.
    pub(crate) fn circle(&self) -> Option<Circle> {
        self.arc.map(|arc| Circle { on: self.segment.from, ray: arc.first, radius: arc.radius })
    }

    pub(crate) fn is_line(&self) -> bool {
        self.arc.is_none()
    }

    /// Whether an arc lies in the direction of a point from its centre; for a line always.
    pub(crate) fn spans(&self, point: Point) -> bool {
        self.arc.is_none_or(|arc| arc.spans(point - self.segment.from, point - self.segment.to))
    }

    /// The point half way along.
    pub(crate) fn middle(&self) -> Point {
        let Segment { from, to, bulge } = self.segment;
        let chord = to - from;
        let sagitta = if self.arc.is_some() { bulge * 0.5 } else { 0.0 };
        from + chord * 0.5 + Vec2::new(chord.y, -chord.x) * sagitta
    }

    /// Direction of travel at the first point; not a unit vector.
    pub(crate) fn leaving(&self) -> Vec2 {
        self.arc.map_or_else(|| self.segment.chord(), |arc| arc.along(arc.first))
    }

    /// Direction of travel at the last point; not a unit vector.
    pub(crate) fn arriving(&self) -> Vec2 {
        self.arc.map_or_else(|| self.segment.chord(), |arc| arc.along(arc.last))
    }

    /// The nearest point of the piece.
    pub(crate) fn nearest(&self, point: Point) -> Point {
        let Segment { from, to, .. } = self.segment;
        let Some(arc) = self.arc else {
            let chord = to - from;
            let square = chord.hypot2();
            let t = if square > 0.0 { (point - from).dot(chord) / square } else { 0.0 };
            return if t >= 1.0 { to } else { from + chord * t.max(0.0) };
        };
        if arc.spans(point - from, point - to) {
            let ray = point - from + arc.first;
            let length = ray.hypot();
            if length > 0.0 {
                return point - ray * (arc.outside(point - from) / length);
            }
        }
        if (point - from).hypot2() <= (point - to).hypot2() { from } else { to }
    }

    /// Distance to the nearest point of the piece.
    pub(crate) fn distance(&self, point: Point) -> f64 {
        let Segment { from, to, .. } = self.segment;
        if let Some(arc) = self.arc
            && arc.spans(point - from, point - to)
        {
            return arc.outside(point - from).abs();
        }
        if self.arc.is_none() {
            return self.nearest(point).distance(point);
        }
        (point - from).hypot2().min((point - to).hypot2()).sqrt()
    }

    /// The smallest upright rectangle around it.
    pub(crate) fn bounds(&self) -> Rect {
        let Segment { from, to, .. } = self.segment;
        let bounds = Rect::from_points(from, to);
        let Some(arc) = self.arc else { return bounds };
        let r = arc.radius;
        [Vec2::new(r, 0.0), Vec2::new(0.0, r), Vec2::new(-r, 0.0), Vec2::new(0.0, -r)]
            .into_iter()
            .filter(|&ray| arc.spans(ray - arc.first, ray - arc.last))
            .fold(bounds, |bounds, ray| bounds.union_pt(from + (ray - arc.first)))
    }

    /// The points where two pieces cross; none where they lie on one another.
    pub(crate) fn crossings(&self, other: &Self) -> impl Iterator<Item = Point> + use<> {
        let found = match (&self.arc, &other.arc) {
            (None, None) => [line_line(self.segment, other.segment), None],
            (None, Some(_)) => line_arc(self, other),
            (Some(_), None) => line_arc(other, self),
            (Some(_), Some(_)) => arc_arc(self, other),
        };
        found.into_iter().flatten()
    }

    /// The two points, on this piece and on the other, that are nearest to each other, and their distance.
    pub(crate) fn gap(&self, other: &Self) -> (f64, Point, Point) {
        if let Some(at) = self.crossings(other).next() {
            return (0.0, at, at);
        }
        let mut best = (f64::INFINITY, self.segment.from, other.segment.from);
        for point in self.turning_points(other) {
            let distance = other.distance(point);
            if distance < best.0 {
                best = (distance, point, other.nearest(point));
            }
        }
        for point in other.turning_points(self) {
            let distance = self.distance(point);
            if distance < best.0 {
                best = (distance, self.nearest(point), point);
            }
        }
        best
    }

    /// The points of this piece that may be nearest to the other where the two do not cross: the ends, and the points
    /// of an arc in line with the other's centre, or square to the other's line.
    fn turning_points(&self, other: &Self) -> impl Iterator<Item = Point> + use<> {
        let Segment { from, to, .. } = self.segment;
        let axis = match (self.arc, other.centre()) {
            (Some(_), None) => {
                let chord = other.segment.chord();
                Vec2::new(-chord.y, chord.x)
            }
            (Some(arc), Some(centre)) => centre - (from - arc.first),
            (None, _) => Vec2::ZERO,
        };
        let length = axis.hypot();
        let on_axis = move |sign: f64| {
            let arc = self.arc.filter(|_| length > 0.0)?;
            let ray = axis * (sign * arc.radius / length);
            arc.spans(ray - arc.first, ray - arc.last).then(|| from + (ray - arc.first))
        };
        [Some(from), Some(to), on_axis(1.0), on_axis(-1.0)].into_iter().flatten()
    }
}

impl Arc {
    fn of(segment: Segment) -> Self {
        let chord = segment.chord();
        let bulge = segment.bulge;
        let up = (1.0 - bulge * bulge) / (4.0 * bulge);
        let centre = chord * 0.5 + Vec2::new(-chord.y, chord.x) * up;
        Self {
            first: -centre,
            last: chord - centre,
            radius: chord.hypot() * (1.0 + bulge * bulge) / (4.0 * bulge.abs()),
            counter_clockwise: bulge > 0.0,
            wide: bulge.abs() > 1.0,
        }
    }

    /// Whether the arc lies in the direction of a point, given from its first and from its last point.
    fn spans(&self, from_first: Vec2, from_last: Vec2) -> bool {
        let sign = if self.counter_clockwise { 1.0 } else { -1.0 };
        let after_first = sign * self.first.cross(from_first) >= 0.0;
        let before_last = sign * from_last.cross(self.last) >= 0.0;
        if self.wide { after_first || before_last } else { after_first && before_last }
    }

    /// How far outside the circle a point lies, given from the arc's first point.
    fn outside(&self, from_first: Vec2) -> f64 {
        let power = from_first.hypot2() + 2.0 * from_first.dot(self.first);
        power / ((from_first + self.first).hypot() + self.radius)
    }

    /// Direction of travel at the end of a ray from the centre.
    fn along(&self, ray: Vec2) -> Vec2 {
        if self.counter_clockwise { Vec2::new(-ray.y, ray.x) } else { Vec2::new(ray.y, -ray.x) }
    }
}

fn line_line(a: Segment, b: Segment) -> Option<Point> {
    let (r, s) = (a.chord(), b.chord());
    let turn = r.cross(s);
    if turn == 0.0 {
        return None;
    }
    let across = b.from - a.from;
    let (t, u) = (across.cross(s) / turn, across.cross(r) / turn);
    let met = (0.0..=1.0).contains(&t) && (0.0..=1.0).contains(&u);
    met.then(|| a.from + r * t)
}

fn line_arc(line: &Piece, arc: &Piece) -> [Option<Point>; 2] {
    let (Some(circle), chord) = (arc.circle(), line.segment.chord()) else { return [None; 2] };
    circle.meets_line(line.segment.from, chord).map(|t| {
        let t = t.filter(|t| (0.0..=1.0).contains(t))?;
        Some(line.segment.from + chord * t).filter(|&at| arc.spans(at))
    })
}

fn arc_arc(a: &Piece, b: &Piece) -> [Option<Point>; 2] {
    let (Some(first), Some(second)) = (a.circle(), b.circle()) else { return [None; 2] };
    first.meets(&second).map(|at| at.filter(|&at| a.spans(at) && b.spans(at)))
}
