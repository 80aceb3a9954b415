//! The walk over the drawing's entities and all that is inserted.

use std::collections::{BTreeMap, BTreeSet};

use dxf::Drawing;
use dxf::entities::{Entity, EntityType, Insert};

use super::frame::Frame;
use super::shape::{self, MESH, Shape, own_frame, triple};
use super::unit::Scale;
use super::{spline, words};
use crate::geometry::{FARTHEST, Point};
use crate::problem::Problem;
use crate::stages::drawing::repair::{Colour, Layers, Origin, Proper};
use crate::stages::drawing::role::{Roles, Verdict, colour_name, colour_number};
use crate::stages::drawing::talk::{Finds, Talk};
use crate::stages::drawing::{Drawn, Role, Stroke, Text};

/// Blocks within blocks go no deeper than this; what drawing programs write goes to five or so.
const DEEPEST: usize = 40;

/// So many curves, and so many inserted things, are drawn at most: a plan of 5,000 parts has a tenth of it.
const MOST_DRAWN: usize = 2_000_000;

/// Where and how an entity is drawn.
#[derive(Clone, Debug)]
struct Place<'a> {
    frame: Frame,
    /// Layer and colour of the insert that it stands in.
    around: Option<(&'a str, Colour)>,
    /// Blocks that it stands in, from the outermost.
    blocks: Vec<usize>,
}

/// How many things a block draws, with all that it inserts.
#[derive(Clone, Copy, Debug)]
enum Size {
    Unknown,
    /// Being counted: met again, the block contains itself.
    Counting,
    Known(usize),
}

struct Walk<'a, 't, 'f> {
    layers: &'a Layers,
    proper: &'a Proper,
    entities: Vec<&'a [Entity]>,
    by_name: BTreeMap<String, usize>,
    inserted: Vec<bool>,
    roles: &'a Roles,
    talk: &'t mut Talk<'f>,
    finds: Finds,
    sizes: Vec<Size>,
    drawn: usize,
    full: bool,
    leaning: usize,
    hidden: BTreeSet<&'a str>,
}

/// Everything that is drawn.
pub(super) fn run(proper: &Proper, drawing: &Drawing, scale: Scale, roles: &Roles, talk: &mut Talk) -> Finds {
    let mut by_name = BTreeMap::new();
    for (i, block) in proper.blocks.iter().enumerate() {
        by_name.entry(block.name.to_uppercase()).or_insert(i);
    }
    let mut walk = Walk {
        layers: &proper.layers,
        proper,
        entities: drawing.blocks().map(|block| block.entities.as_slice()).collect(),
        by_name,
        inserted: vec![false; proper.blocks.len()],
        roles,
        talk,
        finds: Finds::default(),
        sizes: vec![Size::Unknown; proper.blocks.len()],
        drawn: 0,
        full: false,
        leaning: 0,
        hidden: BTreeSet::new(),
    };
    let bases: Vec<[f64; 3]> = drawing.blocks().map(|block| triple(&block.base_point)).collect();
    let top = Place { frame: Frame::scaled(scale.millimetres), around: None, blocks: Vec::new() };
    for (entity, origin) in drawing.entities().zip(&proper.origins) {
        walk.entity(entity, origin, &top, &bases);
    }
    for (kind, count) in &proper.unread {
        walk.finds.unused(kind, *count);
    }
    walk.never_inserted();
    walk.tell();
    walk.finds
}

impl<'a> Walk<'a, '_, '_> {
    fn entity(&mut self, entity: &'a Entity, origin: &'a Origin, place: &Place<'a>, bases: &[[f64; 3]]) {
        if self.full {
            return self.finds.unused_as(origin.kind, "too many");
        }
        let layer = match place.around {
            Some((around, _)) if entity.common.layer == "0" => around,
            _ => entity.common.layer.as_str(),
        };
        if let Some(why) = self.unseen(entity, origin, layer) {
            if why.starts_with("layer") {
                self.hidden.insert(layer);
            }
            return self.finds.unused_as(origin.kind, why);
        }
        let colour = self.colour(entity, origin, layer, place);
        if let EntityType::Insert(insert) = &entity.specific {
            return self.insert(insert, origin, layer, colour, place, bases);
        }
        match self.roles.verdict(&[layer], &colour_names(colour)) {
            Verdict::Ignored => self.finds.unused_as(origin.kind, "ignored layer"),
            Verdict::Unmatched if !is_text(entity) => {
                self.finds.unused_as(origin.kind, "layer that no rule names");
            }
            verdict => {
                let role = if let Verdict::Is(role) = verdict { role } else { Role::Mark };
                self.draw(entity, origin, layer, role, place);
            }
        }
    }

    /// Why an entity is not to be seen.
    fn unseen(&self, entity: &Entity, origin: &Origin, layer: &str) -> Option<&'static str> {
        let state = self.layers.get(layer);
        let is_insert = matches!(entity.specific, EntityType::Insert(_));
        if entity.common.is_in_paper_space {
            Some("paper space")
        } else if origin.hidden || !entity.common.is_visible {
            Some("invisible")
        } else if state.frozen {
            Some("layer frozen")
        } else if state.off && !is_insert {
            // What an insert on a layer that is off draws has layers of its own.
            Some("layer off")
        } else {
            None
        }
    }

    fn colour(&self, entity: &Entity, origin: &Origin, layer: &str, place: &Place) -> Colour {
        if let Some(rgb) = origin.rgb {
            return Colour::True(rgb);
        }
        let own = &entity.common.color;
        if own.is_by_block() {
            return place.around.map_or(Colour::Number(7), |(_, colour)| colour);
        }
        match own.index() {
            Some(index) => Colour::Number(index.into()),
            None => self.layers.get(layer).colour,
        }
    }

    fn draw(&mut self, entity: &Entity, origin: &Origin, layer: &str, role: Role, place: &Place) {
        let frame = &place.frame;
        let made = match &entity.specific {
            EntityType::Line(line) => Ok(shape::line(frame, line)),
            EntityType::Circle(circle) => shape::circle(frame, circle).map_err(str::to_owned),
            EntityType::Arc(arc) => shape::arc(frame, arc).map_err(str::to_owned),
            EntityType::Ellipse(ellipse) => shape::ellipse(frame, ellipse).map_err(str::to_owned),
            EntityType::LwPolyline(poly) => {
                shape::light_polyline(frame, poly, entity.common.elevation).map_err(str::to_owned)
            }
            EntityType::Polyline(poly) => shape::polyline(frame, poly).map_err(str::to_owned),
            EntityType::Spline(entity) => spline::spline(frame, entity),
            EntityType::Text(text) => {
                return self.text(words::text(frame, text), origin, layer, role);
            }
            EntityType::MText(text) => {
                return self.text(Ok(words::paragraph(frame, text)), origin, layer, role);
            }
            EntityType::ModelPoint(point) => {
                return self.point(frame.flat(triple(&point.location)), origin, layer, role);
            }
            _ => return self.finds.unused(origin.kind, 1),
        };
        match made {
            Ok(shape) => self.stroke(shape, origin, layer, role),
            Err(why) if why == MESH => self.finds.unused_as(origin.kind, "mesh"),
            Err(why) => self.left_out(origin, &why),
        }
    }

    fn stroke(&mut self, shape: Shape, origin: &Origin, layer: &str, role: Role) {
        if !shape.curves.iter().all(crate::geometry::curve::Curve::is_finite) {
            return self.absurd(origin);
        }
        if !self.room(shape.curves.len()) {
            return self.finds.unused_as(origin.kind, "too many");
        }
        self.leaning += usize::from(shape.leans);
        self.finds.used(origin.kind);
        let item = Stroke { curves: shape.curves, closed: shape.closed };
        self.finds.strokes.push(Drawn { item, layer: layer.to_owned(), role });
    }

    fn text(&mut self, made: Result<Text, &'static str>, origin: &Origin, layer: &str, role: Role) {
        match made {
            Err(why) => self.left_out(origin, why),
            Ok(text) if !is_near(text.at) || text.height.abs() > FARTHEST => self.absurd(origin),
            Ok(text) if text.text.is_empty() => self.finds.unused_as(origin.kind, "empty"),
            Ok(_) if !self.room(1) => self.finds.unused_as(origin.kind, "too many"),
            Ok(item) => {
                self.finds.used(origin.kind);
                self.finds.texts.push(Drawn { item, layer: layer.to_owned(), role });
            }
        }
    }

    fn point(&mut self, item: Point, origin: &Origin, layer: &str, role: Role) {
        if !is_near(item) {
            self.absurd(origin);
        } else if self.room(1) {
            self.finds.used(origin.kind);
            self.finds.points.push(Drawn { item, layer: layer.to_owned(), role });
        } else {
            self.finds.unused_as(origin.kind, "too many");
        }
    }

    fn insert(
        &mut self,
        insert: &Insert,
        origin: &Origin,
        layer: &'a str,
        colour: Colour,
        place: &Place<'a>,
        bases: &[[f64; 3]],
    ) {
        let name = insert.name.as_str();
        let Some(&block) = self.by_name.get(&name.to_uppercase()) else {
            return self.left_out(origin, &format!("there is no block '{name}'"));
        };
        if self.proper.blocks[block].external {
            return self.left_out(origin, &format!("the block '{name}' lies in another file"));
        }
        if place.blocks.contains(&block) {
            return self.left_out(origin, &format!("the block '{name}' contains itself"));
        }
        if place.blocks.len() >= DEEPEST {
            return self.left_out(origin, &format!("blocks are nested more than {DEEPEST} deep"));
        }
        let Ok(own) = own_frame(&place.frame, &insert.extrusion_direction) else {
            return self.left_out(origin, "its extrusion direction has no length");
        };
        let scales = [insert.x_scale_factor, insert.y_scale_factor, insert.z_scale_factor];
        if scales[0] == 0.0 || scales[1] == 0.0 {
            return self.left_out(origin, "one of its scales is 0");
        }
        if self.size(block, place.blocks.len()).saturating_mul(copies(insert)) > MOST_DRAWN - self.drawn {
            self.overflow();
            return self.finds.unused_as(origin.kind, "too many");
        }
        self.inserted[block] = true;
        self.finds.used(origin.kind);
        let turned =
            own.after(&Frame::shifted(triple(&insert.location))).after(&Frame::turned(insert.rotation));
        let inner = Frame::stretched(scales[0], scales[1], if scales[2] == 0.0 { 1.0 } else { scales[2] })
            .after(&Frame::shifted(bases[block].map(|x| -x)));
        let mut blocks = place.blocks.clone();
        blocks.push(block);
        for row in 0..insert.row_count.max(1) {
            for column in 0..insert.column_count.max(1) {
                if self.full {
                    return;
                }
                let step =
                    [f64::from(column) * insert.column_spacing, f64::from(row) * insert.row_spacing, 0.0];
                let frame = turned.after(&Frame::shifted(step)).after(&inner);
                let inside = Place { frame, around: Some((layer, colour)), blocks: blocks.clone() };
                self.block(block, &inside, bases);
            }
        }
    }

    fn block(&mut self, block: usize, inside: &Place<'a>, bases: &[[f64; 3]]) {
        if !self.room(1) {
            return;
        }
        let proper = self.proper;
        let entities = self.entities[block];
        for (entity, origin) in entities.iter().zip(&proper.blocks[block].origins) {
            self.entity(entity, origin, inside, bases);
        }
        for (kind, count) in &proper.blocks[block].unread {
            self.finds.unused(kind, *count);
        }
    }

    /// How many things a block draws; a guess from below where blocks contain each other or nest too deep.
    fn size(&mut self, block: usize, depth: usize) -> usize {
        match self.sizes[block] {
            Size::Known(size) => return size,
            Size::Counting => return 1,
            Size::Unknown if depth > DEEPEST => return 1,
            Size::Unknown => self.sizes[block] = Size::Counting,
        }
        let mut size: usize = 1;
        for entity in self.entities[block] {
            let own = match &entity.specific {
                EntityType::Insert(insert) => {
                    let inner = self.by_name.get(&insert.name.to_uppercase()).copied();
                    inner.map_or(1, |inner| self.size(inner, depth + 1)).saturating_mul(copies(insert))
                }
                EntityType::LwPolyline(poly) => poly.vertices.len(),
                EntityType::Polyline(poly) => poly.vertices().count(),
                _ => 1,
            };
            size = size.saturating_add(own);
        }
        self.sizes[block] = Size::Known(size);
        size
    }

    /// Whether there is room for so many more.
    fn room(&mut self, more: usize) -> bool {
        if more > MOST_DRAWN - self.drawn {
            self.overflow();
        } else {
            self.drawn += more;
        }
        !self.full
    }

    fn overflow(&mut self) {
        if !std::mem::replace(&mut self.full, true) {
            self.talk.push(
                Problem::error("too-large", format!("blocks and arrays draw more than {MOST_DRAWN} things"))
                    .hint("look for an insert with too many rows and columns, or blocks within blocks"),
            );
        }
    }

    fn left_out(&mut self, origin: &Origin, why: &str) {
        let message = format!("a {} was left out: {why}", origin.kind);
        self.talk.push_at(
            origin.place,
            Problem::warning("broken-entity", message)
                .hint("correct or delete the entity in the drawing; what it draws is missing"),
        );
        self.finds.unused_as(origin.kind, "broken");
    }

    fn absurd(&mut self, origin: &Origin) {
        let message = format!("a {} was left out: it reaches farther than ten kilometres", origin.kind);
        self.talk.push_at(
            origin.place,
            Problem::error("absurd-number", message).hint("correct or delete the entity in the drawing"),
        );
        self.finds.unused_as(origin.kind, "broken");
    }

    /// Counts what lies in blocks that nothing inserts. The blocks of the two spaces themselves are none.
    fn never_inserted(&mut self) {
        for (block, inserted) in self.proper.blocks.iter().zip(&self.inserted) {
            if *inserted || is_space(&block.name) {
                continue;
            }
            for origin in &block.origins {
                self.finds.unused_as(origin.kind, "block not inserted");
            }
            for (kind, count) in &block.unread {
                self.finds.unused(&format!("{kind} (block not inserted)"), *count);
            }
        }
    }

    fn tell(&mut self) {
        if !self.hidden.is_empty() {
            let names: Vec<&str> = self.hidden.iter().copied().take(20).collect();
            let message =
                format!("what lies on layers that are off or frozen was left out: {}", names.join(", "));
            self.talk.push(
                Problem::note("layers-hidden", message)
                    .hint("switch them on in the drawing if they are to be cut"),
            );
        }
        if self.leaning > 0 {
            let message =
                format!("{} entities do not lie flat; they were read as seen from above", self.leaning);
            self.talk.push(
                Problem::warning("leaning", message)
                    .hint("draw what is to be cut in the plane of the drawing"),
            );
        }
    }
}

/// How many times an insert draws its block.
fn copies(insert: &Insert) -> usize {
    let times = |count: i16| usize::from(count.max(1).unsigned_abs());
    times(insert.row_count) * times(insert.column_count)
}

fn is_text(entity: &Entity) -> bool {
    matches!(entity.specific, EntityType::Text(_) | EntityType::MText(_))
}

fn is_near(p: Point) -> bool {
    p.x.abs() <= FARTHEST && p.y.abs() <= FARTHEST
}

/// Whether a block stands for one of the spaces, whose entities lie elsewhere in the file.
fn is_space(name: &str) -> bool {
    let upper = name.to_uppercase();
    ["*MODEL_SPACE", "$MODEL_SPACE", "*PAPER_SPACE", "$PAPER_SPACE"]
        .iter()
        .any(|space| upper.starts_with(space))
}

/// The names of a colour: its number, and its value where that is known. The first seven numbers have fixed colours; the
/// seventh is black on white paper.
fn colour_names(colour: Colour) -> Vec<String> {
    const FIXED: [u32; 6] = [0x00ff_0000, 0x00ff_ff00, 0x0000_ff00, 0x0000_ffff, 0x0000_00ff, 0x00ff_00ff];
    match colour {
        Colour::True(rgb) => vec![colour_name(rgb)],
        Colour::Number(7) => vec![colour_number(7), colour_name(0), colour_name(0x00ff_ffff)],
        Colour::Number(number) => {
            let fixed = usize::try_from(number - 1).ok().and_then(|i| FIXED.get(i));
            std::iter::once(colour_number(number)).chain(fixed.map(|rgb| colour_name(*rgb))).collect()
        }
    }
}
