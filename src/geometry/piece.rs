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

    /// Radius of an arc; infinite for a line.
    pub(crate) fn radius(&self) -> f64 {
        self.arc.map_or(f64::INFINITY, |arc| arc.radius)
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

    /// Square of a point's distance from the centre less that of the radius; the point is given from the first one.
    fn power(&self, from_first: Vec2) -> f64 {
        from_first.hypot2() + 2.0 * from_first.dot(self.first)
    }

    /// How far outside the circle a point lies, given from the arc's first point.
    fn outside(&self, from_first: Vec2) -> f64 {
        self.power(from_first) / ((from_first + self.first).hypot() + self.radius)
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
    let (Some(round), chord) = (arc.arc, line.segment.chord()) else { return [None; 2] };
    // |w + t chord + first|^2 = radius^2, with the radius taken out of both sides, so that flat arcs keep their digits.
    let w = line.segment.from - arc.segment.from;
    let (square, half, rest) = (chord.hypot2(), chord.dot(w + round.first), round.power(w));
    let root = half * half - square * rest;
    if square == 0.0 || root < 0.0 {
        return [None; 2];
    }
    let larger = -(half + root.sqrt().copysign(half));
    let on_both = |t: f64| {
        let at = line.segment.from + chord * t;
        let within = (0.0..=1.0).contains(&t);
        (within && round.spans(at - arc.segment.from, at - arc.segment.to)).then_some(at)
    };
    [on_both(larger / square), on_both(if larger == 0.0 { 0.0 } else { rest / larger })]
}

fn arc_arc(a: &Piece, b: &Piece) -> [Option<Point>; 2] {
    let (Some(ra), Some(rb)) = (a.arc, b.arc) else { return [None; 2] };
    if ra.radius > rb.radius {
        return arc_arc(b, a);
    }
    // From the centre of the smaller circle, so that the other one may be as flat as it likes.
    let w = (a.segment.from - b.segment.from) - ra.first;
    let between = -(w + rb.first);
    let square = between.hypot2();
    if square == 0.0 {
        return [None; 2];
    }
    let reach = ra.radius * ra.radius;
    let along = (rb.power(w) + reach) / (2.0 * square);
    let half = reach / square - along * along;
    if half < 0.0 {
        return [None; 2];
    }
    let on_both = |side: f64| {
        let ray = between * along + Vec2::new(-between.y, between.x) * side;
        let at = a.segment.from + (ray - ra.first);
        let on_a = ra.spans(at - a.segment.from, at - a.segment.to);
        (on_a && rb.spans(at - b.segment.from, at - b.segment.to)).then_some(at)
    };
    [on_both(half.sqrt()), on_both(-half.sqrt())]
}
