//! Changes to DXF files. The reader here knows just what our own files hold: enough to find a place and to see how large a
//! change is.

mod form;
mod harmless;
mod shape;

use std::f64::consts::TAU;

use grainwise::geometry::{Point, Segment};

use super::dice::Dice;
use super::kit::{Change, Form, Good};
use super::table::Kind;

/// Every kind of change to DXF files.
pub(super) const KINDS: &[&[Kind]] = &[shape::KINDS, form::KINDS, harmless::KINDS];

/// A group: its code and its value, as they are written.
type Group = (String, String);

/// A corner of a polyline: where its groups stand.
#[derive(Clone, Debug)]
struct Corner {
    /// First group of it and the first that is no longer of it.
    groups: (usize, usize),
    x: usize,
    y: usize,
    bulge: Option<usize>,
}

/// A polyline or circle.
#[derive(Clone, Debug)]
struct Entity {
    groups: (usize, usize),
    layer: String,
    corners: Vec<Corner>,
    /// Where it says whether it is closed.
    flag: Option<usize>,
    radius: Option<usize>,
}

#[derive(Clone, Debug)]
struct Drawing {
    groups: Vec<Group>,
    entities: Vec<Entity>,
}

impl Drawing {
    /// The drawing in a good file; none where it is no DXF file.
    fn of(good: &Good) -> Option<Self> {
        [Form::R2000, Form::R12].contains(&good.form).then(|| Self::read(&good.text))
    }

    fn read(text: &str) -> Self {
        let lines: Vec<&str> = text.lines().collect();
        let groups = lines.chunks_exact(2).map(|pair| (pair[0].to_owned(), pair[1].to_owned())).collect();
        Self::from_groups(groups)
    }

    fn from_groups(groups: Vec<Group>) -> Self {
        let mut drawing = Self { groups, entities: Vec::new() };
        let mut at = drawing.groups.iter().position(|(_, value)| value == "ENTITIES").unwrap_or(0) + 1;
        while at < drawing.groups.len() && drawing.groups[at].1 != "ENDSEC" {
            let end = drawing.end_of(at);
            drawing.entities.push(drawing.entity(at, end));
            at = end;
        }
        drawing
    }

    /// Where the entity that begins here ends; one with vertices ends after its SEQEND.
    fn end_of(&self, begin: usize) -> usize {
        let mut end = begin + 1;
        let heavy = self.groups[begin].1 == "POLYLINE";
        let mut last = false;
        while let Some((code, value)) = self.groups.get(end) {
            if code.trim() == "0" {
                let goes_on = heavy && !last && ["VERTEX", "SEQEND"].contains(&value.as_str());
                if !goes_on {
                    break;
                }
                last = value == "SEQEND";
            }
            end += 1;
        }
        end
    }

    fn entity(&self, begin: usize, end: usize) -> Entity {
        let first = |code: &str| (begin..end).find(|i| self.groups[*i].0.trim() == code);
        let layer = first("8").map(|i| self.groups[i].1.clone()).unwrap_or_default();
        let starts: Vec<usize> = match self.groups[begin].1.as_str() {
            "LWPOLYLINE" => (begin..end).filter(|i| self.groups[*i].0 == "10").collect(),
            "POLYLINE" => (begin..end).filter(|i| self.groups[*i].1 == "VERTEX").collect(),
            _ => vec![begin],
        };
        let ends =
            |i: usize| starts.get(i + 1).copied().unwrap_or_else(|| self.last_corner_ends(starts[i], end));
        let corners = (0..starts.len()).map(|i| self.corner(starts[i], ends(i))).collect();
        Entity { groups: (begin, end), layer, corners, flag: first("70"), radius: first("40") }
    }

    fn last_corner_ends(&self, begin: usize, end: usize) -> usize {
        (begin + 1..end).find(|i| self.groups[*i].1 == "SEQEND").unwrap_or(end)
    }

    fn corner(&self, begin: usize, end: usize) -> Corner {
        let first = |code: &str| (begin..end).find(|i| self.groups[*i].0 == code);
        let (x, y) = (first("10").unwrap_or(begin), first("20").unwrap_or(begin));
        Corner { groups: (begin, end), x, y, bulge: first("42") }
    }

    fn number(&self, group: usize) -> f64 {
        self.groups[group].1.trim().parse().unwrap_or(f64::NAN)
    }

    fn closed(&self, entity: &Entity) -> bool {
        entity.flag.is_some_and(|flag| self.number(flag) == 1.0)
    }

    fn points(&self, entity: &Entity) -> Vec<(Point, f64)> {
        let at = |corner: &Corner| Point::new(self.number(corner.x), self.number(corner.y));
        let bulge = |corner: &Corner| corner.bulge.map_or(0.0, |group| self.number(group));
        entity.corners.iter().map(|corner| (at(corner), bulge(corner))).collect()
    }

    fn segments(&self, entity: &Entity) -> Vec<Segment> {
        let points = self.points(entity);
        if let Some(radius) = entity.radius {
            return circle(points[0].0, self.number(radius));
        }
        let count = if self.closed(entity) { points.len() } else { points.len().saturating_sub(1) };
        let next = |i: usize| points[(i + 1) % points.len()].0;
        (0..count).map(|i| Segment::arc(points[i].0, next(i), points[i].1)).collect()
    }

    fn through(&self) -> Vec<Segment> {
        self.entities.iter().filter(|e| e.is_through()).flat_map(|e| self.segments(e)).collect()
    }

    fn pick(&self, dice: &mut Dice, fits: impl Fn(&Entity) -> bool) -> Option<&Entity> {
        dice.pick(&self.entities.iter().filter(|entity| fits(entity)).collect::<Vec<_>>()).copied()
    }

    /// The file with these groups.
    fn written(groups: &[Group], what: impl Into<String>) -> Change {
        let text: String = groups.iter().map(|(code, value)| format!("{code}\n{value}\n")).collect();
        Change::new(text, what)
    }

    fn changed(&self, at: usize, value: impl Into<String>) -> Change {
        let mut groups = self.groups.clone();
        groups[at].1 = value.into();
        let (code, now) = &groups[at];
        let what = format!("line {}: code {code}, '{}' -> '{now}'", 2 * at + 2, self.groups[at].1);
        Self::written(&groups, what)
    }

    fn without(&self, (begin, end): (usize, usize)) -> Change {
        let mut groups = self.groups.clone();
        groups.drain(begin..end);
        Self::written(&groups, format!("lines {} to {} left out", 2 * begin + 1, 2 * end))
    }

    fn inserted(&self, at: usize, more: &[(&str, &str)]) -> Change {
        let mut groups = self.groups.clone();
        let more = more.iter().map(|(code, value)| ((*code).to_owned(), (*value).to_owned()));
        groups.splice(at..at, more.clone());
        Self::written(&groups, format!("before line {}: {:?}", 2 * at + 1, more.collect::<Vec<_>>()))
    }

    fn if_harmed(&self, good: &Good, change: Change) -> Option<Change> {
        let now = Self::read(std::str::from_utf8(&change.bytes).unwrap());
        good.harmed(&self.through(), &now.through()).then_some(change)
    }
}

impl Entity {
    fn is_through(&self) -> bool {
        self.layer.starts_with("cut")
    }

    fn is_polyline(&self) -> bool {
        self.radius.is_none()
    }
}

/// A circle as four arcs.
fn circle(centre: Point, radius: f64) -> Vec<Segment> {
    let at = |i: u32| {
        let (sin, cos) = (TAU * f64::from(i) / 4.0).sin_cos();
        Point::new(centre.x + radius * cos, centre.y + radius * sin)
    };
    (0..4).map(|i| Segment::about(at(i), at(i + 1), centre, true)).collect()
}
