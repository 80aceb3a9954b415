//! Outlines made by numbers: regular parts as a builder draws them, and nasty ones as drawings hold them. The same number
//! always gives the same region.

use std::f64::consts::{PI, TAU};

use grainwise::geometry::{Outline, Placement, Point, Rect, Region, Segment, Vec2, Vertex};

/// Half kerfs of beams, and radii of small and of common cutters, in millimetres.
pub(crate) const DISTANCES: [f64; 6] = [0.05, 0.1, 0.5, 1.0, 1.5875, 3.175];

/// A small generator of numbers (`SplitMix64`: Steele, Lea and Flood, 2014).
#[derive(Debug)]
pub(crate) struct Dice(u64);

impl Dice {
    pub(crate) fn new(seed: u64) -> Self {
        Self(seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) ^ 0x5DEE_CE66)
    }

    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    /// Between `low` and `high`.
    pub(crate) fn range(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * (self.next() >> 11) as f64 / (1u64 << 53) as f64
    }

    /// One of 0 to `count` - 1.
    pub(crate) fn below(&mut self, count: usize) -> usize {
        (self.next() % count as u64) as usize
    }

    pub(crate) fn pick<T: Copy>(&mut self, from: &[T]) -> T {
        from[self.below(from.len())]
    }
}

/// A region and how far to offset it.
#[derive(Debug)]
pub(crate) struct Case {
    pub(crate) region: Region,
    /// The same material with clean outlines, where those of the region overlap or share an edge.
    pub(crate) clean: Region,
    pub(crate) distance: f64,
}

/// The case of a number: every other one is a regular part, the rest nasty.
pub(crate) fn case(number: usize) -> Case {
    let mut dice = Dice::new(number as u64);
    let distance = DISTANCES[number % DISTANCES.len()];
    let (region, clean) = match (number.is_multiple_of(2), number / 2) {
        (true, kind) => (regular(kind, &mut dice), None),
        (false, kind) => match kind % 14 {
            9 => overlapping_holes(&mut dice),
            13 => hole_sharing_an_edge(&mut dice),
            _ => (nasty(kind, &mut dice, distance), None),
        },
    };
    let placement = somewhere(&mut dice);
    let clean = clean.as_ref().unwrap_or(&region).placed(&placement);
    Case { region: region.placed(&placement), clean, distance }
}

/// A part as kits are made of: a rib, a former, a side, a plate, a ring.
pub(crate) fn regular(kind: usize, dice: &mut Dice) -> Region {
    match kind % 5 {
        0 => rib(dice),
        1 => former(dice),
        2 => plate_with_holes(dice),
        3 => ring(dice),
        _ => tail_piece(dice),
    }
}

fn nasty(kind: usize, dice: &mut Dice, distance: f64) -> Region {
    match kind % 14 {
        0 => star(dice),
        1 => comb(dice, distance),
        2 => blob_of_arcs(dice),
        3 => spikes(dice),
        4 => repeats_and_collinear(dice),
        5 => nearly_a_full_circle(dice),
        6 => arcs_of_the_distance(dice, distance),
        7 => noisy_trace(dice),
        8 => touching_hole(dice),
        10 => web_of_the_distance(dice, distance),
        11 => dumbbell(dice, distance),
        _ => nearly_collinear_box(dice),
    }
}

/// Left as it is, in half of all cases; else turned, mirrored and moved.
fn somewhere(dice: &mut Dice) -> Placement {
    if dice.below(2) == 0 {
        return Placement::HERE;
    }
    let shift = Vec2::new(dice.range(-500.0, 500.0), dice.range(-500.0, 500.0));
    Placement { mirrored: dice.below(2) == 0, turn_deg: dice.range(0.0, 360.0), shift }
}

fn outline(vertices: Vec<Vertex>) -> Outline {
    Outline::new(vertices).unwrap()
}

fn solid(vertices: Vec<Vertex>) -> Region {
    Region::new(outline(vertices), Vec::new())
}

fn box_of(x: f64, y: f64, width: f64, height: f64) -> Outline {
    Outline::rectangle(Rect::new(x, y, x + width, y + height))
}

/// The outline with its corners rounded.
fn rounded_box(x: f64, y: f64, width: f64, height: f64, radius: f64) -> Outline {
    let r = radius.min(width / 2.001).min(height / 2.001);
    let quarter = (PI / 8.0).tan();
    let (x1, y1) = (x + width, y + height);
    outline(vec![
        Vertex::new(x + r, y, 0.0),
        Vertex::new(x1 - r, y, quarter),
        Vertex::new(x1, y + r, 0.0),
        Vertex::new(x1, y1 - r, quarter),
        Vertex::new(x1 - r, y1, 0.0),
        Vertex::new(x + r, y1, quarter),
        Vertex::new(x, y1 - r, 0.0),
        Vertex::new(x, y + r, quarter),
    ])
}

/// Arcs through every second point of a curve, through the one between them.
fn arcs_through(curve: impl Fn(f64) -> Point, from: f64, to: f64, count: usize) -> Vec<Vertex> {
    let at = |k: f64| curve(from + (to - from) * k / count as f64);
    (0..count)
        .map(|k| {
            let (a, m, b) = (at(k as f64), at(k as f64 + 0.5), at(k as f64 + 1.0));
            let chord = b - a;
            let sagitta = (m - a).cross(chord) / chord.hypot();
            Vertex { at: a, bulge: 2.0 * sagitta / chord.hypot() }
        })
        .collect()
}

/// A wing rib: arcs along a section (the thickness form of NACA 4-digit sections), spar notches, lightening holes.
fn rib(dice: &mut Dice) -> Region {
    let chord = dice.range(90.0, 220.0);
    let thick = dice.range(0.09, 0.15) * chord;
    let half = |x: f64| {
        let x = x.clamp(0.0, 1.0);
        5.0 * thick
            * (0.2969 * x.sqrt() - 0.1260 * x - 0.3516 * x * x + 0.2843 * x.powi(3) - 0.1015 * x.powi(4))
    };
    let camber = |x: f64| dice_free_camber(x, chord);
    let count = 6 + dice.below(6);
    let upper = move |u: f64| Point::new(chord * u * u, camber(u * u) + half(u * u));
    let lower = move |u: f64| Point::new(chord * u * u, camber(u * u) - half(u * u));
    let notch = dice.pick(&[2.0, 3.0, 3.175, 5.0]);
    let spar = 0.3 * chord;
    let u = |x: f64| (x / chord).sqrt();
    let mut vertices = vec![];
    vertices.extend(arcs_through(upper, 1.0, u(spar + notch), count));
    vertices.extend(notch_at(upper(u(spar + notch)), upper(u(spar)), -3.0));
    vertices.extend(arcs_through(upper, u(spar), 0.0, count));
    vertices.extend(arcs_through(lower, 0.0, u(spar), count));
    vertices.extend(notch_at(lower(u(spar)), lower(u(spar + notch)), 3.0));
    vertices.extend(arcs_through(lower, u(spar + notch), 1.0, count));
    vertices.push(Vertex { at: lower(1.0), bulge: 0.0 });
    let holes = [0.15, 0.45, 0.6]
        .into_iter()
        .map(|x| Outline::circle(Point::new(x * chord, camber(x)), 0.55 * half(x)))
        .collect();
    Region::new(outline(vertices), holes)
}

fn dice_free_camber(x: f64, chord: f64) -> f64 {
    0.02 * chord * 4.0 * x * (1.0 - x)
}

/// Down by `depth`, along, and up again.
fn notch_at(from: Point, to: Point, depth: f64) -> Vec<Vertex> {
    let down = Vec2::new(0.0, depth);
    [from, from + down, to + down].map(|at| Vertex { at, bulge: 0.0 }).to_vec()
}

fn former(dice: &mut Dice) -> Region {
    let (width, height) = (dice.range(30.0, 70.0), dice.range(40.0, 90.0));
    let outer = rounded_box(0.0, 0.0, width, height, dice.range(2.0, 12.0));
    let slot = dice.pick(&[2.0, 3.0, 3.175]);
    let mut holes = vec![rounded_box(width * 0.25, height * 0.3, width * 0.5, height * 0.4, 4.0)];
    holes.push(box_of(width * 0.2, height * 0.8, slot, 6.0));
    holes.push(box_of(width * 0.7, height * 0.8, slot, 6.0));
    holes.push(Outline::circle(Point::new(width * 0.5, height * 0.15), dice.range(1.0, 4.0)));
    Region::new(outer, holes)
}

fn plate_with_holes(dice: &mut Dice) -> Region {
    let outer = box_of(0.0, 0.0, 120.0, 60.0);
    let holes = (0..8)
        .map(|k| {
            let centre = Point::new(15.0 + 30.0 * f64::from(k % 4), 15.0 + 30.0 * f64::from(k / 4));
            let r = dice.range(2.0, 12.0);
            match dice.below(3) {
                0 => Outline::circle(centre, r),
                1 => rounded_box(centre.x - r, centre.y - r, 2.0 * r, 1.5 * r, r / 3.0),
                _ => ngon(centre, r, 3 + dice.below(5), dice.range(0.0, 1.0)),
            }
        })
        .collect();
    Region::new(outer, holes)
}

fn ngon(centre: Point, radius: f64, sides: usize, turn: f64) -> Outline {
    let at = |k: usize| turn + TAU * k as f64 / sides as f64;
    outline(
        (0..sides).map(|k| Vertex { at: centre + Vec2::from_angle(at(k)) * radius, bulge: 0.0 }).collect(),
    )
}

fn ring(dice: &mut Dice) -> Region {
    let radius = dice.range(12.0, 60.0);
    let inner = radius - dice.range(3.0, 8.0);
    Region::new(Outline::circle(Point::ORIGIN, radius), vec![Outline::circle(Point::ORIGIN, inner)])
}

/// A fin: straight edges and one sweeping curve.
fn tail_piece(dice: &mut Dice) -> Region {
    let (base, height) = (dice.range(60.0, 120.0), dice.range(60.0, 140.0));
    let bend = dice.range(0.1, 0.35);
    solid(vec![
        Vertex::new(0.0, 0.0, 0.0),
        Vertex::new(base, 0.0, 0.0),
        Vertex::new(base * 0.95, height * 0.8, bend),
        Vertex::new(base * 0.7, height, 0.1),
        Vertex::new(base * 0.5, height * 0.97, -bend * 0.5),
    ])
}

fn star(dice: &mut Dice) -> Region {
    let count = 8 + dice.below(40);
    let low = dice.range(0.15, 0.9);
    let vertices = (0..count)
        .map(|k| {
            let radius = 40.0 * dice.range(low, 1.0);
            Vertex {
                at: Point::ORIGIN + Vec2::from_angle(TAU * k as f64 / count as f64) * radius,
                bulge: 0.0,
            }
        })
        .collect();
    solid(vertices)
}

/// Teeth and slots of widths around twice the distance, one of them exactly that.
fn comb(dice: &mut Dice, distance: f64) -> Region {
    let widths =
        [2.0 * distance, 2.0 * distance + 0.01, 2.0 * distance - 0.01, 4.0 * distance, 1.0 * distance];
    let mut x = 0.0;
    let mut points = vec![(0.0, 0.0)];
    let mut top = Vec::new();
    for k in 0..6 {
        let (tooth, slot) = (dice.pick(&widths), dice.pick(&widths));
        let depth = dice.range(1.0, 12.0);
        top.push((x, 20.0));
        x += tooth;
        top.push((x, 20.0));
        if k < 5 {
            top.push((x, 20.0 - depth));
            x += slot;
            top.push((x, 20.0 - depth));
        }
    }
    points.push((x, 0.0));
    points.extend(top.into_iter().rev());
    Region::new(Outline::polygon(&points).unwrap(), Vec::new())
}

/// A star of arcs, each bulging in or out, not so far that it meets another.
fn blob_of_arcs(dice: &mut Dice) -> Region {
    let count = 5 + dice.below(12);
    let vertices = (0..count)
        .map(|k| {
            let radius = dice.range(22.0, 30.0);
            let at = Point::ORIGIN + Vec2::from_angle(TAU * k as f64 / count as f64) * radius;
            Vertex { at, bulge: dice.range(-0.35, 0.6) }
        })
        .collect();
    solid(vertices)
}

/// A plate with spikes of five degrees on it, and such clefts in it.
fn spikes(dice: &mut Dice) -> Region {
    let mut points = vec![(0.0, 0.0), (100.0, 0.0)];
    let half = 20.0 * (PI / 72.0).tan();
    for k in (0..5).rev() {
        let x = 12.0 + 18.0 * f64::from(k) + dice.range(-2.0, 2.0);
        let tip = if dice.below(2) == 0 { 50.0 } else { 10.0 };
        points.extend([(x + half, 30.0), (x, tip), (x - half, 30.0)]);
    }
    let corners = [(100.0, 30.0)];
    points.splice(2..2, corners);
    points.push((0.0, 30.0));
    Region::new(Outline::polygon(&points).unwrap(), Vec::new())
}

fn repeats_and_collinear(dice: &mut Dice) -> Region {
    let base = rounded_box(0.0, 0.0, dice.range(20.0, 60.0), dice.range(15.0, 40.0), dice.range(0.5, 6.0));
    let mut vertices = Vec::new();
    for segment in base.segments() {
        vertices.push(Vertex { at: segment.from, bulge: 0.0 });
        let start = Point::new(segment.from.x + dice.range(-1e-6, 1e-6), segment.from.y);
        let cut = dice.range(0.2, 0.8);
        let (a, b) = (segment.between(0.0, cut), segment.between(cut, 1.0));
        vertices.push(Vertex { at: start, bulge: a.bulge });
        vertices.push(Vertex { at: b.from, bulge: b.bulge });
    }
    solid(vertices)
}

fn nearly_a_full_circle(dice: &mut Dice) -> Region {
    let open = dice.pick(&[0.3f64, 1.0, 5.0, 20.0]).to_radians();
    let radius = dice.range(4.0, 20.0);
    let at = |angle: f64| Point::ORIGIN + Vec2::from_angle(angle) * radius;
    let bulge = ((TAU - open) / 4.0).tan();
    let arc = Segment::arc(at(open / 2.0), at(-open / 2.0), bulge);
    if dice.below(2) == 0 {
        return solid(vec![Vertex { at: arc.from, bulge }, Vertex { at: arc.to, bulge: 0.0 }]);
    }
    let hole = outline(vec![Vertex { at: arc.from, bulge }, Vertex { at: arc.to, bulge: 0.0 }]);
    Region::new(box_of(-25.0, -25.0, 50.0, 50.0), vec![hole])
}

/// Inside fillets, round holes and slot ends whose radius is the distance.
fn arcs_of_the_distance(dice: &mut Dice, distance: f64) -> Region {
    let side = 14.0 * distance + 10.0;
    let outer = rounded_box(0.0, 0.0, side, side, distance);
    let d = distance * dice.pick(&[1.0, 1.0, 1.0001, 0.9999]);
    let holes = vec![
        Outline::circle(Point::new(side * 0.25, side * 0.25), d),
        rounded_box(side * 0.5, side * 0.2, side * 0.3, side * 0.3, d),
        rounded_box(side * 0.2, side * 0.6, side * 0.5, 2.0 * d, d),
    ];
    Region::new(outer, holes)
}

fn noisy_trace(dice: &mut Dice) -> Region {
    let (count, radius) = (300 + dice.below(500), dice.range(8.0, 15.0));
    let noise = dice.pick(&[0.002, 0.01, 0.03]);
    let vertices = (0..count)
        .map(|k| {
            let angle = TAU * k as f64 / count as f64;
            let r = radius * (1.0 + 0.2 * (3.0 * angle).sin()) + dice.range(-noise, noise);
            Vertex { at: Point::ORIGIN + Vec2::from_angle(angle) * r, bulge: 0.0 }
        })
        .collect();
    solid(vertices)
}

fn touching_hole(dice: &mut Dice) -> Region {
    let outer = box_of(0.0, 0.0, 50.0, 30.0);
    let r = dice.range(2.0, 10.0);
    let hole = if dice.below(2) == 0 {
        Outline::circle(Point::new(r, 15.0), r)
    } else {
        let y = dice.range(10.0, 20.0);
        Outline::polygon(&[(0.0, y), (r, y - 6.0), (2.0 * r, y), (r, y + 6.0)]).unwrap()
    };
    Region::new(outer, vec![hole])
}

/// Two round holes that overlap, and the same as one hole of two arcs.
fn overlapping_holes(dice: &mut Dice) -> (Region, Option<Region>) {
    let outer = box_of(0.0, 0.0, 50.0, 30.0);
    let (a, b) = (dice.range(3.0, 6.0), dice.range(3.0, 6.0));
    let apart = dice.range((a - b).abs() + 0.5, a + b - 0.2);
    let centres = [15.0, 15.0 + apart].map(|x| Point::new(x, 15.0));
    let holes = vec![Outline::circle(centres[0], a), Outline::circle(centres[1], b)];
    let along = (apart * apart + a * a - b * b) / (2.0 * apart);
    let aside = (a * a - along * along).sqrt();
    let (high, low) = (Point::new(15.0 + along, 15.0 + aside), Point::new(15.0 + along, 15.0 - aside));
    let arcs = [Segment::about(high, low, centres[0], true), Segment::about(low, high, centres[1], true)];
    let one = Outline::from_segments(&arcs).unwrap();
    (Region::new(outer.clone(), holes), Some(Region::new(outer, vec![one])))
}

/// A frame whose bars are exactly twice the distance wide, or nearly.
fn web_of_the_distance(dice: &mut Dice, distance: f64) -> Region {
    let side = 20.0 + 4.0 * distance;
    let web = 2.0 * distance + dice.pick(&[0.0, 0.0, 1e-9, -1e-9, 0.01, -0.01]);
    Region::new(box_of(0.0, 0.0, side, side), vec![box_of(web, web, side - 2.0 * web, side - 2.0 * web)])
}

/// Two bodies with a neck that may part.
fn dumbbell(dice: &mut Dice, distance: f64) -> Region {
    let neck = distance * dice.pick(&[0.5, 0.9, 0.999, 1.0, 1.001, 1.1, 2.0]);
    let body = neck + dice.range(3.0, 12.0);
    let long = dice.range(2.0, 20.0);
    let x = [0.0, 20.0, 20.0 + long, 40.0 + long];
    let points = [
        (x[0], -body),
        (x[1], -body),
        (x[1], -neck),
        (x[2], -neck),
        (x[2], -body),
        (x[3], -body),
        (x[3], body),
        (x[2], body),
        (x[2], neck),
        (x[1], neck),
        (x[1], body),
        (x[0], body),
    ];
    let outline = Outline::polygon(&points).unwrap();
    if dice.below(2) == 0 {
        return Region::new(outline, Vec::new());
    }
    Region::new(box_of(-10.0, -body - 10.0, x[3] + 20.0, 2.0 * body + 20.0), vec![outline])
}

/// A turned rectangle with points on its sides that are off the line by rounding only.
fn nearly_collinear_box(dice: &mut Dice) -> Region {
    let turn = dice.range(0.0, TAU);
    let axis = Vec2::from_angle(turn);
    let at = |x: f64, y: f64| Point::ORIGIN + axis * x + Vec2::new(-axis.y, axis.x) * y;
    let corners = [(0.0, 0.0), (40.0, 0.0), (40.0, 20.0), (0.0, 20.0)];
    let mut vertices = Vec::new();
    for k in 0..4 {
        let (a, b) = (corners[k], corners[(k + 1) % 4]);
        for i in 0..6 {
            let t = f64::from(i) / 6.0;
            vertices.push(Vertex { at: at(a.0 + (b.0 - a.0) * t, a.1 + (b.1 - a.1) * t), bulge: 0.0 });
        }
    }
    solid(vertices)
}

/// A hole with an edge on the outer outline, and the same as a bay.
fn hole_sharing_an_edge(dice: &mut Dice) -> (Region, Option<Region>) {
    let (low, high, deep) = (dice.range(3.0, 8.0), dice.range(10.0, 17.0), dice.range(3.0, 15.0));
    let hole = Outline::polygon(&[(0.0, low), (deep, low), (deep, high), (0.0, high)]).unwrap();
    let corners = [(0.0, 0.0), (20.0, 0.0), (20.0, 20.0), (0.0, 20.0)];
    let points = [&corners[..], &[(0.0, high), (deep, high), (deep, low), (0.0, low)]].concat();
    let bay = Outline::polygon(&points).unwrap();
    (Region::new(box_of(0.0, 0.0, 20.0, 20.0), vec![hole]), Some(Region::new(bay, Vec::new())))
}
