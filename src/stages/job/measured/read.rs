//! The `measured` of a job file: a list of pieces without a drawing.
//!
//! | key | value |
//! | --- | --- |
//! | `name` | what it is called: needed |
//! | `rectangle` | `[length, width]`, its corner at 0, 0 |
//! | `circle` | its diameter, its middle at 0, 0 |
//! | `edges`, `from` | the outline edge by edge, see below, from a point (0, 0 where there is none); the last comes back |
//! | `points` | a fair curve all round through pricked points: a list of them, or a file |
//! | `half` | `true`: the other half is its mirror image across the line from the first point to the last |
//! | `round`, `cut` | a radius for all corners between straights, or how far they are cut off |
//! | `reading_error` | how far pricked points may lie off |
//! | `holes` | a list of maps of `rectangle`, `circle`, `slot: [length, width]`, `edges` or `points`, with `at` (a point or a list of them), `angle`, `round`, `cut`; with a `depth` (a length, or `half` of the wood) it is a recess, and may reach over the edge |
//! | `notches` | a list of maps of `at`, `width`, `depth`, `angle` |
//! | `scores`, `marks` | lists of lines, each a list of points |
//! | `grain` | degrees from the x axis |
//!
//! An edge is a point `[x, y]`, or a map of one of `to`, `by: [x, y]`, `length` (with `angle` from the x axis or `turn` to
//! the left) and `curve` (points or a file, with `start` and `end`: degrees, `running`, `free`, `tangent`), with `rise` (an
//! arc so far to the right of its chord) and `round` or `cut` for the corner at its end. A pricked point is `[x, y]`,
//! `[x, y, corner]` or `[x, y, straight]`, straight on from there.

use super::{Corner, Edge, Form, Hole, Lead, Measured, Notch, Prick, Pricks, Way};
use crate::geometry::{FARTHEST, Point};
use crate::stages::job::depth;
use crate::units::Unit;
use crate::yaml::{Fields, Node, Reader, What};

pub(in super::super) const PIECE: [&str; 15] = [
    "name",
    "rectangle",
    "circle",
    "edges",
    "from",
    "points",
    "half",
    "round",
    "cut",
    "reading_error",
    "holes",
    "notches",
    "scores",
    "marks",
    "grain",
];
pub(in super::super) const HOLE: [&str; 11] =
    ["rectangle", "circle", "slot", "edges", "from", "points", "at", "angle", "round", "cut", "depth"];
pub(in super::super) const EDGE: [&str; 11] =
    ["to", "by", "length", "angle", "turn", "curve", "start", "end", "rise", "round", "cut"];
pub(in super::super) const NOTCH: [&str; 4] = ["at", "width", "depth", "angle"];
/// The keys that give a form.
const FORMS: [&str; 5] = ["rectangle", "circle", "slot", "edges", "points"];
/// The words that may follow a pricked point.
pub(in super::super) const TREATED: [&str; 2] = ["corner", "straight"];

/// No length of a piece is longer, mm: the longest edge of a sheet.
const LONGEST: f64 = 10_000.0;
/// No length of a piece is shorter, mm: a tenth of the finest beam.
const SHORTEST: f64 = 0.01;
/// Whoever reads worse than this, mm, had better measure again.
const WORST_READING: f64 = 5.0;

/// Reads the pieces.
pub(in super::super) fn pieces(node: Node, unit: Unit, reader: &mut Reader) -> Vec<Measured> {
    let mut pieces: Vec<Measured> = Vec::new();
    for node in reader.list(node, "measured").unwrap_or_default() {
        let place = node.place;
        let Some(piece) = piece(node, &mut Tape { unit, reader }) else { continue };
        if pieces.iter().any(|other| other.name == piece.name) {
            let message = format!("two measured pieces are called '{}'", piece.name);
            reader.wrong("duplicate-name", place, message, "give each a name of its own");
            continue;
        }
        pieces.push(piece);
    }
    pieces
}

/// Reads lengths in the job's unit.
struct Tape<'a, 'b> {
    unit: Unit,
    reader: &'a mut Reader<'b>,
}

impl Tape<'_, '_> {
    fn size(&mut self, node: &Node, name: &str) -> Option<f64> {
        self.reader.length(node, name, self.unit, SHORTEST..=LONGEST)
    }

    fn degrees(&mut self, fields: &mut Fields, name: &str) -> Option<f64> {
        let node = fields.take(name)?;
        self.reader.number(&node, name, -360.0..=360.0)
    }

    /// Two lengths.
    fn two(&mut self, node: Node, name: &str, least: f64) -> Option<(f64, f64)> {
        let place = node.place;
        let nodes = self.reader.list(node, name)?;
        if nodes.len() != 2 {
            let message = format!("'{name}' is a list of two lengths");
            self.reader.wrong("wrong-type", place, message, "such as [40, 12.5]");
            return None;
        }
        let a = self.reader.length(&nodes[0], name, self.unit, least..=FARTHEST);
        let b = self.reader.length(&nodes[1], name, self.unit, least..=FARTHEST);
        a.zip(b)
    }

    fn point(&mut self, node: Node, name: &str) -> Option<Point> {
        self.two(node, name, -FARTHEST).map(Point::from)
    }

    fn points(&mut self, node: Node, name: &str) -> Vec<Point> {
        let nodes = self.reader.list(node, name).unwrap_or_default();
        nodes.into_iter().filter_map(|node| self.point(node, name)).collect()
    }

    /// One point, or a list of them.
    fn point_or_more(&mut self, node: Node, name: &str) -> Vec<Point> {
        let many = matches!(&node.what, What::List(nodes) if matches!(nodes.first(), Some(Node { what: What::List(_), .. })));
        if many { self.points(node, name) } else { self.point(node, name).into_iter().collect() }
    }

    fn lines(&mut self, fields: &mut Fields, name: &str) -> Vec<Vec<Point>> {
        let Some(node) = fields.take(name) else { return Vec::new() };
        let mut lines = Vec::new();
        for node in self.reader.list(node, name).unwrap_or_default() {
            let place = node.place;
            let points = self.points(node, name);
            if points.len() < 2 {
                self.reader.wrong("wrong-type", place, format!("a line of '{name}' needs two points"), "");
            } else {
                lines.push(points);
            }
        }
        lines
    }

    fn corner(&mut self, fields: &mut Fields) -> Option<Corner> {
        let both = fields.place_of("round").filter(|_| fields.place_of("cut").is_some());
        if let Some(place) = both {
            self.reader.wrong("conflicting-keys", place, "'round' stands beside 'cut'", "say one of them");
        }
        let zero = |node: &Node, reader: &mut Reader, name: &str, unit| {
            reader.length(node, name, unit, 0.0..=LONGEST)
        };
        let round = fields.take("round").and_then(|node| zero(&node, self.reader, "round", self.unit));
        let cut = fields.take("cut").and_then(|node| zero(&node, self.reader, "cut", self.unit));
        let treated =
            |size: f64, corner: fn(f64) -> Corner| if size > 0.0 { corner(size) } else { Corner::Sharp };
        round.map(|r| treated(r, Corner::Round)).or_else(|| cut.map(|c| treated(c, Corner::Cut)))
    }

    fn form(&mut self, fields: &mut Fields, what: &str) -> Option<Form> {
        let given: Vec<&str> = FORMS.into_iter().filter(|key| fields.place_of(key).is_some()).collect();
        if given.len() != 1 {
            let said = if given.is_empty() { "no outline".to_owned() } else { given.join(" and ") };
            let hint = "give one of rectangle, circle, edges, points; a hole may be a slot";
            self.reader.wrong("measured-form", fields.place, format!("{what} has {said}"), hint);
            return None;
        }
        let node = fields.take(given[0])?;
        let from = fields.take("from").and_then(|node| self.point(node, "from")).unwrap_or(Point::ZERO);
        match given[0] {
            "circle" => self.size(&node, "circle").map(Form::Circle),
            "rectangle" => self.two(node, "rectangle", SHORTEST).map(|(l, w)| Form::Rectangle(l, w)),
            "slot" => self.two(node, "slot", SHORTEST).map(|(l, w)| Form::Slot(l.max(w), w)),
            "points" => self.pricks(node, "points").map(Form::Pricked),
            _ => {
                let nodes = self.reader.list(node, "edges")?;
                let edges: Vec<Edge> = nodes.into_iter().filter_map(|node| self.edge(node)).collect();
                Some(Form::Edges(from, edges))
            }
        }
    }

    fn edge(&mut self, node: Node) -> Option<Edge> {
        let line = node.place;
        if matches!(node.what, What::List(_)) {
            let way = Way::To(self.point(node, "an edge")?, 0.0);
            return Some(Edge { way, corner: None, line });
        }
        let mut fields = self.reader.map(node, "an edge", &EDGE)?;
        let corner = self.corner(&mut fields);
        let given: Vec<&str> = ["to", "by", "length", "curve"]
            .into_iter()
            .filter(|key| fields.place_of(key).is_some())
            .collect();
        if given.len() != 1 {
            let hint = "an edge goes 'to' a point, 'by' so much, a 'length', or as a 'curve'";
            self.reader.wrong("measured-edge", line, "an edge goes one way", hint);
            return None;
        }
        let node = fields.take(given[0])?;
        let rise =
            fields.take("rise").and_then(|n| self.reader.length(&n, "rise", self.unit, -LONGEST..=LONGEST));
        let rise = rise.unwrap_or(0.0);
        let way = match given[0] {
            "to" => Way::To(self.point(node, "to")?, rise),
            "by" => Way::By(self.point(node, "by")?.to_vec2(), rise),
            "curve" => {
                let (start, end) = (self.lead(&mut fields, "start"), self.lead(&mut fields, "end"));
                Way::Curve(self.pricks(node, "curve")?, start, end)
            }
            _ => {
                let length = self.size(&node, "length")?;
                match (self.degrees(&mut fields, "angle"), self.degrees(&mut fields, "turn")) {
                    (Some(angle), None) => Way::Angle(length, angle),
                    (None, Some(turn)) => Way::Turn(length, turn),
                    _ => {
                        let hint = "an 'angle' from the x axis, or a 'turn' to the left from the edge before";
                        self.reader.wrong("measured-edge", line, "a 'length' needs one direction", hint);
                        return None;
                    }
                }
            }
        };
        Some(Edge { way, corner, line })
    }

    fn lead(&mut self, fields: &mut Fields, name: &str) -> Lead {
        let Some(node) = fields.take(name) else { return Lead::Running };
        let place = node.place;
        if matches!(node.what, What::Number(..)) {
            return self.reader.number(&node, name, -360.0..=360.0).map_or(Lead::Running, Lead::Degrees);
        }
        match self.reader.word(node, name).as_deref() {
            Some("free") => Lead::Free,
            Some("tangent") => Lead::Tangent,
            Some("running") | None => Lead::Running,
            Some(word) => {
                self.reader.unknown(
                    "measured-lead",
                    place,
                    "how a curve ends",
                    word,
                    &["running", "free", "tangent"],
                );
                Lead::Running
            }
        }
    }

    fn pricks(&mut self, node: Node, name: &str) -> Option<Pricks> {
        if let What::List(nodes) = node.what {
            return Some(Pricks::List(nodes.into_iter().filter_map(|node| self.prick(node)).collect()));
        }
        self.reader.word(node, name).map(|file| Pricks::File(file, self.unit.millimetres()))
    }

    fn prick(&mut self, node: Node) -> Option<Prick> {
        let place = node.place;
        let mut nodes = self.reader.list(node, "a pricked point")?;
        let words = nodes.split_off(nodes.len().min(2));
        let at = self.point(Node { place, what: What::List(nodes) }, "a pricked point")?;
        let mut prick = Prick { at, corner: false, straight: false };
        for node in words {
            let place = node.place;
            match self.reader.word(node, "a pricked point")?.as_str() {
                "corner" => prick.corner = true,
                "straight" => prick.straight = true,
                word => {
                    self.reader.unknown(
                        "measured-point",
                        place,
                        "a word for a pricked point",
                        word,
                        &TREATED,
                    );
                }
            }
        }
        Some(prick)
    }

    fn hole(&mut self, node: Node) -> Option<Hole> {
        let line = node.place;
        let mut fields = self.reader.map(node, "a hole", &HOLE)?;
        let at = fields.take("at").map(|node| self.point_or_more(node, "at")).unwrap_or_default();
        let corner = self.corner(&mut fields).unwrap_or_default();
        let turn_deg = self.degrees(&mut fields, "angle").unwrap_or(0.0);
        let depth = fields.take("depth").and_then(|node| depth::read(&node, "depth", self.unit, self.reader));
        let form = self.form(&mut fields, "a hole")?;
        let placed = matches!(form, Form::Edges(..) | Form::Pricked(_));
        if at.is_empty() && !placed {
            self.reader.wrong("missing-key", line, "a hole needs 'at'", "the point at its middle");
            return None;
        }
        let at = if at.is_empty() { vec![Point::ZERO] } else { at };
        Some(Hole { form, corner, at, turn_deg, depth, line })
    }

    fn notch(&mut self, node: Node) -> Option<Notch> {
        let line = node.place;
        let mut fields = self.reader.map(node, "a notch", &NOTCH)?;
        let at = fields.need("at", "a notch", self.reader).and_then(|node| self.point(node, "at"));
        let mut need = |name: &str| {
            let node = fields.need(name, "a notch", self.reader)?;
            self.size(&node, name)
        };
        let (width, depth) = (need("width"), need("depth"));
        let angle_deg = self.degrees(&mut fields, "angle");
        Some(Notch { at: at?, width_mm: width?, depth_mm: depth?, angle_deg, line })
    }
}

fn piece(node: Node, tape: &mut Tape) -> Option<Measured> {
    let line = node.place;
    let mut fields = tape.reader.map(node, "a measured piece", &PIECE)?;
    let name = fields.need("name", "a measured piece", tape.reader);
    let name = name.and_then(|node| tape.reader.word(node, "name"));
    let form = tape.form(&mut fields, "the piece");
    let half = fields.take("half").and_then(|node| tape.reader.flag(&node, "half")).unwrap_or(false);
    if half && !matches!(form, None | Some(Form::Edges(..))) {
        let hint = "give the half as 'edges', from the centre line and back to it";
        tape.reader.wrong("measured-half", line, "only a piece given by its edges can be a half", hint);
    }
    let corner = tape.corner(&mut fields).unwrap_or_default();
    let error = fields.take("reading_error");
    let error = error.and_then(|n| tape.reader.length(&n, "reading_error", tape.unit, 0.0..=WORST_READING));
    let holes = list(&mut fields, "holes", tape).into_iter().filter_map(|node| tape.hole(node)).collect();
    let notches =
        list(&mut fields, "notches", tape).into_iter().filter_map(|node| tape.notch(node)).collect();
    let (scores, marks) = (tape.lines(&mut fields, "scores"), tape.lines(&mut fields, "marks"));
    let grain_deg = tape.degrees(&mut fields, "grain");
    Some(Measured {
        name: name?,
        form: form?,
        half,
        corner,
        reading_error_mm: error.unwrap_or(0.0),
        holes,
        notches,
        scores,
        marks,
        grain_deg,
        line,
    })
}

fn list(fields: &mut Fields, name: &str, tape: &mut Tape) -> Vec<Node> {
    fields.take(name).and_then(|node| tape.reader.list(node, name)).unwrap_or_default()
}
