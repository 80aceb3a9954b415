//! A plain DXF, read to the letter: in millimetres, with nothing in it that takes more than this to know where a beam goes.
//! Everything else is left to the drawing stage's reader.

use std::collections::BTreeMap;

use super::Path;
use super::colours::Colour;
use super::pairs::{Pair, Slip, pairs, real, whole};
use crate::geometry::{FARTHEST, Point, Segment, Vec2, trig};

/// What came of reading a file so.
#[derive(Debug)]
pub(super) enum Plain {
    /// All of it.
    Read(Vec<Path>),
    /// Something in it is beyond this reader.
    Beyond,
    /// It does not keep to the reference.
    Slipped(Slip),
}

/// The colour number of what has the colour of its layer (DXF reference).
const BY_LAYER: i64 = 256;

/// The colour number that stands for black or white, which is that of what says nothing (DXF reference).
const BLACK_OR_WHITE: i64 = 7;

/// Stops reading: a slip, or none where something is beyond this reader.
type Stop = Option<Slip>;

/// Reads a DXF file.
pub(super) fn read(bytes: &[u8]) -> Plain {
    let Ok(text) = std::str::from_utf8(bytes) else { return Plain::Beyond };
    match pairs(text).map_err(Some).and_then(|pairs| paths(&pairs)) {
        Ok(paths) if paths.is_empty() => Plain::Beyond,
        Ok(paths) => Plain::Read(paths),
        Err(None) => Plain::Beyond,
        Err(Some(slip)) => Plain::Slipped(slip),
    }
}

fn paths(pairs: &[Pair]) -> Result<Vec<Path>, Stop> {
    let mut paths = Vec::new();
    let (mut section, mut millimetres) = ("", false);
    let mut layers = BTreeMap::new();
    let mut polyline: Option<Polyline> = None;
    for record in records(pairs) {
        let (head, fields) = (record[0], &record[1..]);
        match (section, head.value) {
            ("", "SECTION") => section = fields.first().filter(|name| name.code == 2).ok_or(None)?.value,
            (_, "ENDSEC") if polyline.is_none() => section = "",
            ("TABLES", "LAYER") => layers.extend(seen(fields)?),
            ("", "EOF") | ("BLOCKS", "BLOCK" | "ENDBLK") | ("TABLES" | "CLASSES" | "OBJECTS", _) => {}
            ("ENTITIES", "VERTEX") => polyline.as_mut().ok_or(None)?.vertex(&Entity::of(record)?)?,
            ("ENTITIES", "SEQEND") => paths.push(polyline.take().ok_or(None)?.path()?),
            ("ENTITIES", "POLYLINE") if polyline.is_none() => {
                polyline = Some(Polyline::of(&Entity::of(record)?)?);
            }
            ("ENTITIES", "LWPOLYLINE") if polyline.is_none() => paths.push(light(record)?),
            ("ENTITIES", _) if polyline.is_none() => paths.push(Entity::of(record)?.path()?),
            _ => return Err(None),
        }
        if section == "HEADER" {
            let unit = fields.windows(2).find(|two| (two[0].code, two[0].value) == (9, "$INSUNITS"));
            millimetres = unit.is_some_and(|two| two[1].code == 70 && whole(two[1].value) == Some(4));
        }
    }
    for path in &mut paths {
        coloured(path, &layers);
    }
    if millimetres { Ok(paths) } else { Err(None) }
}

/// Gives a path the colour of its layer where it has that.
fn coloured(path: &mut Path, layers: &BTreeMap<String, i64>) {
    match path.colour {
        Colour::Number(BY_LAYER) => {
            let by_layer = layers.get(&path.layer.to_ascii_lowercase());
            path.colour = Colour::Number(by_layer.copied().unwrap_or(BLACK_OR_WHITE));
        }
        Colour::Number(0) => path.colour = Colour::Number(BLACK_OR_WHITE),
        _ => {}
    }
}

/// Pairs from one code 0 up to the next.
fn records<'p, 'a>(pairs: &'p [Pair<'a>]) -> impl Iterator<Item = &'p [Pair<'a>]> {
    pairs.chunk_by(|_, next| next.code != 0)
}

/// A layer's name and colour number, where it is on, thawed, and not of another file.
fn seen(fields: &[Pair]) -> Result<Option<(String, i64)>, Stop> {
    let number = |code| fields.iter().find(|f| f.code == code).and_then(|f| whole(f.value));
    let colour = number(62).unwrap_or(BLACK_OR_WHITE);
    if number(70).unwrap_or(0) != 0 || colour <= 0 {
        return Err(None);
    }
    let name = fields.iter().find(|field| field.code == 2);
    Ok(name.map(|name| (name.value.to_ascii_lowercase(), colour)))
}

/// An entity by its fields, each of which stands once.
struct Entity<'a> {
    kind: &'a str,
    layer: &'a str,
    line: usize,
    /// Its colour number.
    colour: i64,
    /// Numbers by their codes.
    numbers: Vec<(u16, f64)>,
}

impl<'a> Entity<'a> {
    fn of(record: &[Pair<'a>]) -> Result<Self, Stop> {
        let mut entity = Self {
            kind: record[0].value,
            layer: "",
            line: record[0].line,
            colour: BY_LAYER,
            numbers: Vec::new(),
        };
        for pair in &record[1..] {
            match pair.code {
                8 => entity.layer = layer(pair.value)?,
                62 => entity.colour = whole(pair.value).ok_or(None)?,
                // Handles, owner, class, line type, line weight: they do not move a beam.
                5 | 6 | 100 | 330 | 370 => {}
                10..=79 => {
                    let number = real(pair.value).ok_or(None)?;
                    if entity.numbers.iter().any(|(code, _)| *code == pair.code) {
                        return Err(None);
                    }
                    entity.numbers.push((pair.code, number));
                }
                _ => return Err(None),
            }
        }
        Ok(entity)
    }

    /// Whether its numbers have no other codes than these.
    fn has_only(&self, codes: &[u16]) -> Result<(), Stop> {
        if self.numbers.iter().all(|(code, _)| codes.contains(code)) { Ok(()) } else { Err(None) }
    }

    fn number(&self, code: u16) -> Result<f64, Stop> {
        let found = self.numbers.iter().find(|(held, _)| *held == code);
        let missing = || Some(Slip::new(self.line, format!("a {} has no group code {code}", self.kind)));
        found.map(|(_, number)| *number).filter(|n| n.abs() <= FARTHEST).ok_or_else(missing)
    }

    fn or_zero(&self, code: u16) -> f64 {
        self.numbers.iter().find(|(held, _)| *held == code).map_or(0.0, |(_, number)| *number)
    }

    fn point(&self, code: u16) -> Result<Point, Stop> {
        Ok(Point::new(self.number(code)?, self.number(code + 10)?))
    }

    fn path(&self) -> Result<Path, Stop> {
        let (segments, closed) = match self.kind {
            "LINE" => {
                self.has_only(&[10, 20, 30, 11, 21, 31])?;
                (vec![Segment::line(self.point(10)?, self.point(11)?)], false)
            }
            "CIRCLE" => {
                self.has_only(&[10, 20, 30, 40])?;
                (circle(self.point(10)?, self.radius()?), true)
            }
            "ARC" => {
                self.has_only(&[10, 20, 30, 40, 50, 51])?;
                let angles = [self.number(50)?, self.number(51)?];
                (arc(self.point(10)?, self.radius()?, angles)?, false)
            }
            _ => return Err(None),
        };
        Ok(Path { layer: self.layer.to_owned(), segments, closed, colour: Colour::Number(self.colour) })
    }

    fn radius(&self) -> Result<f64, Stop> {
        let radius = self.number(40)?;
        if radius > 0.0 { Ok(radius) } else { Err(None) }
    }
}

/// A layer's name that holds no code for another letter.
fn layer(name: &str) -> Result<&str, Stop> {
    if name.is_ascii() && !name.contains(['\\', '^', '%']) { Ok(name) } else { Err(None) }
}

/// Two half circles from the eastmost point.
fn circle(centre: Point, radius: f64) -> Vec<Segment> {
    let (east, west) = (centre + Vec2::new(radius, 0.0), centre - Vec2::new(radius, 0.0));
    vec![Segment::arc(east, west, 1.0), Segment::arc(west, east, 1.0)]
}

/// Counter-clockwise from one angle to another, degrees, in pieces of at most half a circle.
fn arc(centre: Point, radius: f64, [from, to]: [f64; 2]) -> Result<Vec<Segment>, Stop> {
    let sweep = (to - from).rem_euclid(360.0);
    if sweep < 1e-9 {
        return Err(None);
    }
    let pieces: u32 = if sweep > 180.0 { 2 } else { 1 };
    let step = sweep / f64::from(pieces);
    let at = |i: u32| {
        let (sin, cos) = trig::sin_cos_deg(from + step * f64::from(i));
        centre + Vec2::new(cos, sin) * radius
    };
    let bulge = trig::tan(step.to_radians() / 4.0);
    Ok((0..pieces).map(|i| Segment::arc(at(i), at(i + 1), bulge)).collect())
}

/// A polyline's corners, each with the bulge of what follows it.
struct Polyline {
    layer: String,
    colour: i64,
    closed: bool,
    corners: Vec<(Point, f64)>,
}

impl Polyline {
    fn of(head: &Entity) -> Result<Self, Stop> {
        head.has_only(&[10, 20, 30, 66, 70])?;
        Ok(Self {
            layer: head.layer.to_owned(),
            colour: head.colour,
            closed: closed(head.or_zero(70))?,
            corners: Vec::new(),
        })
    }

    fn vertex(&mut self, vertex: &Entity) -> Result<(), Stop> {
        vertex.has_only(&[10, 20, 30, 42])?;
        self.corners.push((vertex.point(10)?, vertex.or_zero(42)));
        Ok(())
    }

    fn path(self) -> Result<Path, Stop> {
        let ends = self.corners.windows(2);
        let mut segments: Vec<Segment> = ends.map(|two| Segment::arc(two[0].0, two[1].0, two[0].1)).collect();
        let (first, last) = (self.corners.first().ok_or(None)?, self.corners.last().ok_or(None)?);
        if segments.is_empty() {
            return Err(None);
        }
        if self.closed && (first.0 != last.0 || last.1 != 0.0) {
            segments.push(Segment::arc(last.0, first.0, last.1));
        }
        let colour = Colour::Number(self.colour);
        Ok(Path { layer: self.layer, segments, closed: self.closed, colour })
    }
}

/// Whether the flags of a polyline close it; other flags, save the one for line types, make another thing of it.
fn closed(flags: f64) -> Result<bool, Stop> {
    let flags = flags as i64;
    if flags & !(1 | 128) == 0 { Ok(flags & 1 == 1) } else { Err(None) }
}

/// A light polyline, whose corners stand one after the other in its record.
fn light(record: &[Pair]) -> Result<Path, Stop> {
    let first = record.iter().position(|pair| pair.code == 10).ok_or(None)?;
    let (head, corners) = record.split_at(first);
    let says = head.iter().find(|pair| pair.code == 90).and_then(|pair| whole(pair.value));
    let head: Vec<Pair> = head.iter().filter(|pair| pair.code != 90).copied().collect();
    let head = Entity::of(&head)?;
    head.has_only(&[43, 70])?;
    let mut line = Polyline {
        layer: head.layer.to_owned(),
        colour: head.colour,
        closed: closed(head.or_zero(70))?,
        corners: Vec::with_capacity(corners.len() / 2),
    };
    for corner in corners.chunk_by(|_, next| next.code != 10) {
        let number = |at: usize, code: u16| {
            let pair = corner.get(at).filter(|pair| pair.code == code);
            pair.and_then(|pair| real(pair.value)).filter(|n| n.abs() <= FARTHEST)
        };
        let missing = || Some(Slip::new(corner[0].line, "a corner of a LWPOLYLINE is not whole"));
        let (x, y) = (number(0, 10).ok_or_else(missing)?, number(1, 20).ok_or_else(missing)?);
        let bulge = match corner.len() {
            2 => 0.0,
            3 => number(2, 42).ok_or(None)?,
            _ => return Err(None),
        };
        line.corners.push((Point::new(x, y), bulge));
    }
    let count = line.corners.len();
    match says {
        Some(says) if usize::try_from(says) == Ok(count) => line.path(),
        Some(says) => Err(Some(Slip::new(
            head.line,
            format!("a LWPOLYLINE says that it has {says} corners, and has {count}"),
        ))),
        None => Err(None),
    }
}
