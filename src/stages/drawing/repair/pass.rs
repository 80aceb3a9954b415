//! The pass over all records of a file.

use std::collections::BTreeMap;

use super::ascii::TextPairs;
use super::binary::BinaryPairs;
use super::letters::Letters;
use super::pair::Pair;
use super::record::{Fault, Record};
use super::{Block, Origin, Proper, entity, out};
use crate::problem::Problem;
use crate::stages::drawing::talk::Talk;

/// So many entities of a file are read: a plan of 5,000 parts has a tenth of it, each takes about a kilobyte of memory.
const MOST_ENTITIES: usize = 1_000_000;

/// So many fields may an entity have: a polyline of two million vertices.
const MOST_FIELDS: usize = 8_000_000;

enum Pairs<'a> {
    Text(TextPairs<'a>),
    Binary(BinaryPairs<'a>),
}

impl<'a> Pairs<'a> {
    fn next(&mut self, talk: &mut Talk) -> Option<Pair<'a>> {
        match self {
            Self::Text(pairs) => pairs.next(talk),
            Self::Binary(pairs) => pairs.next(talk),
        }
    }

    fn cut_off(&self) -> bool {
        match self {
            Self::Text(pairs) => pairs.cut_off,
            Self::Binary(pairs) => pairs.cut_off,
        }
    }
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Section {
    None,
    Tables,
    Blocks,
    Entities,
    /// One that nothing is read from.
    Other,
}

/// What was gathered for a block or for the drawing itself.
#[derive(Debug, Default)]
struct Gathered {
    text: Vec<u8>,
    origins: Vec<Origin>,
    unread: BTreeMap<String, usize>,
}

/// A polyline whose vertices are still coming.
#[derive(Debug)]
struct OpenPolyline {
    text: Vec<u8>,
    origin: Origin,
    fault: Option<Fault>,
}

#[derive(Debug)]
struct OpenBlock {
    head: Vec<u8>,
    block: Block,
    inside: Gathered,
}

struct Pass {
    proper: Proper,
    letters: Letters,
    section: Section,
    model: Gathered,
    blocks: Vec<u8>,
    block: Option<OpenBlock>,
    polyline: Option<OpenPolyline>,
    entities: usize,
    ended: bool,
    sections: usize,
}

/// Goes through the file once.
pub(super) fn run(bytes: &[u8], binary: bool, talk: &mut Talk) -> Option<Proper> {
    let mut pairs =
        if binary { Pairs::Binary(BinaryPairs::new(bytes)) } else { Pairs::Text(TextPairs::new(bytes)) };
    let mut pass = Pass::new();
    let mut record = Record::default();
    let mut last_place = 1;
    while let Some(pair) = pairs.next(talk) {
        last_place = pair.place;
        if pair.code == 0 {
            pass.take(&mut record, talk);
            if pass.ended || pass.is_too_much(talk) {
                break;
            }
            record.name = pair.word().to_uppercase();
            record.place = pair.place;
        } else if pass.wants(&record) && pair.code != 999 {
            if record.fields.len() >= MOST_FIELDS {
                talk.push_at(record.place, too_large(&format!("a {} has too many fields", record.name)));
                return None;
            }
            record.fields.push(pair);
        }
    }
    if !pass.ended {
        pass.take(&mut record, talk);
    }
    pass.close(pairs.cut_off(), last_place, talk)
}

impl Pass {
    fn new() -> Self {
        Self {
            proper: Proper::default(),
            letters: Letters::new(),
            section: Section::None,
            model: Gathered::default(),
            blocks: Vec::new(),
            block: None,
            polyline: None,
            entities: 0,
            ended: false,
            sections: 0,
        }
    }

    /// Whether the fields of this record are needed.
    fn wants(&self, record: &Record) -> bool {
        record.name == "SECTION" || self.section != Section::Other
    }

    fn is_too_much(&self, talk: &mut Talk) -> bool {
        let layers = self.proper.layers.len();
        // The strict reader looks every entity's layer up in a list.
        let too_many = self.entities > MOST_ENTITIES || layers > 20_000;
        if too_many {
            talk.push(too_large(&format!("it holds more than {MOST_ENTITIES} entities or 20000 layers")));
        }
        too_many
    }

    /// Takes a whole record and empties it.
    fn take(&mut self, record: &mut Record<'_>, talk: &mut Talk) {
        if !record.name.is_empty() {
            self.sort(record, talk);
        }
        record.name.clear();
        record.fields.clear();
    }

    fn sort(&mut self, record: &mut Record, talk: &mut Talk) {
        match record.name.as_str() {
            "SECTION" => {
                self.end_section(record.place, talk);
                self.begin_section(record, talk);
            }
            "ENDSEC" => {
                self.end_section(record.place, talk);
                self.section = Section::None;
            }
            "EOF" => self.ended = true,
            _ => match self.section {
                Section::Tables if record.name == "LAYER" => {
                    record.trim_layer();
                    self.proper.layers.add(record, &mut self.letters, talk);
                }
                Section::Tables | Section::Other => {}
                Section::Blocks => self.in_blocks(record, talk),
                Section::Entities => self.entity(record, talk),
                Section::None => self.homeless(record, talk),
            },
        }
    }

    fn begin_section(&mut self, record: &Record, talk: &mut Talk) {
        self.sections += 1;
        let name = record.first(2).map(Pair::word).unwrap_or_default().to_uppercase();
        self.section = match name.as_str() {
            "TABLES" => Section::Tables,
            "BLOCKS" => Section::Blocks,
            "ENTITIES" => Section::Entities,
            _ => Section::Other,
        };
        if name == "HEADER" {
            self.header(record, talk);
        }
    }

    fn header(&mut self, record: &Record, talk: &mut Talk) {
        let mut variable = String::new();
        for pair in &record.fields {
            match (pair.code, variable.as_str()) {
                (9, _) => variable = pair.word().to_uppercase(),
                (_, "$DWGCODEPAGE") => self.letters.set_page(&pair.word()),
                (_, "$INSUNITS") => self.proper.insunits = header_number(pair, &variable, talk),
                (_, "$MEASUREMENT") => self.proper.measurement = header_number(pair, &variable, talk),
                _ => {}
            }
        }
    }

    fn end_section(&mut self, place: usize, talk: &mut Talk) {
        self.end_polyline(talk);
        if self.block.is_some() {
            talk.push_at(place, unfinished("a block ends without ENDBLK"));
        }
        self.end_block(talk);
    }

    /// A record outside of any section: an entity there counts as one of the drawing.
    fn homeless(&mut self, record: &mut Record, talk: &mut Talk) {
        if entity::is_read(&record.name) {
            talk.push_at(
                record.place,
                Problem::warning("no-section", "entities stand outside of any section; they were read"),
            );
            self.section = Section::Entities;
            self.entity(record, talk);
        }
    }

    fn in_blocks(&mut self, record: &mut Record, talk: &mut Talk) {
        match record.name.as_str() {
            "BLOCK" => {
                if self.block.is_some() {
                    talk.push_at(record.place, unfinished("a block ends without ENDBLK"));
                }
                self.end_polyline(talk);
                self.end_block(talk);
                self.begin_block(record, talk);
            }
            "ENDBLK" => {
                self.end_polyline(talk);
                self.end_block(talk);
            }
            _ => self.entity(record, talk),
        }
    }

    fn begin_block(&mut self, record: &mut Record, talk: &mut Talk) {
        record.trim();
        let name = record.text(2, &mut self.letters, talk).unwrap_or_default();
        let mut head = Vec::new();
        out::text(&mut head, 0, "BLOCK");
        out::text(&mut head, 8, "0");
        out::text(&mut head, 2, &name);
        let mut base_lost = None;
        for code in [10, 20] {
            match record.real(code) {
                Ok(number) => out::real(&mut head, code, number.unwrap_or(0.0)),
                Err(fault) => base_lost = Some(fault),
            }
        }
        if let Some(fault) = &base_lost {
            talk.push_at(fault.place, fault.problem("BLOCK"));
        }
        let flags = record.whole(70, talk).unwrap_or(0);
        // A block whose base point is lost cannot be put in its place: it is left empty, under no name.
        let name = if base_lost.is_some() { String::new() } else { name };
        let block = Block { name, external: flags & 4 != 0, ..Block::default() };
        self.block = Some(OpenBlock { head, block, inside: Gathered::default() });
    }

    fn end_block(&mut self, _talk: &mut Talk) {
        if let Some(OpenBlock { head, mut block, inside }) = self.block.take() {
            self.blocks.extend(head);
            self.blocks.extend(inside.text);
            out::text(&mut self.blocks, 0, "ENDBLK");
            block.origins = inside.origins;
            block.unread = inside.unread;
            self.proper.blocks.push(block);
        }
    }

    /// Where entities go now.
    fn here(&mut self) -> &mut Gathered {
        match &mut self.block {
            Some(open) => &mut open.inside,
            None => &mut self.model,
        }
    }

    fn entity(&mut self, record: &mut Record, talk: &mut Talk) {
        self.entities += 1;
        record.trim();
        match record.name.as_str() {
            "VERTEX" => self.vertex(record, talk),
            "SEQEND" => self.end_polyline(talk),
            name => {
                if self.polyline.is_some() {
                    talk.push_at(record.place, unfinished("a POLYLINE ends without SEQEND"));
                    self.end_polyline(talk);
                }
                if entity::is_read(name) {
                    self.read_entity(record, talk);
                } else {
                    let kind = unread_kind(record, talk);
                    *self.here().unread.entry(kind).or_default() += 1;
                }
            }
        }
    }

    fn read_entity(&mut self, record: &Record, talk: &mut Talk) {
        let mut text = Vec::new();
        let done = entity::write(record, &mut self.letters, talk, &mut text);
        let origin = origin_of(record, talk);
        if origin.kind == "POLYLINE" {
            self.polyline = Some(OpenPolyline { text, origin, fault: done.err() });
            return;
        }
        match done {
            Ok(()) => {
                let here = self.here();
                here.text.extend(text);
                here.origins.push(origin);
            }
            Err(fault) => self.broken(&origin, &fault, talk),
        }
    }

    fn broken(&mut self, origin: &Origin, fault: &Fault, talk: &mut Talk) {
        talk.push_at(fault.place, fault.problem(origin.kind));
        *self.here().unread.entry(format!("{} (broken)", origin.kind)).or_default() += 1;
    }

    fn vertex(&mut self, record: &Record, talk: &mut Talk) {
        let Some(open) = &mut self.polyline else {
            talk.push_at(
                record.place,
                Fault::new(record.place, "it belongs to no POLYLINE").problem("VERTEX"),
            );
            *self.here().unread.entry("VERTEX (stray)".to_owned()).or_default() += 1;
            return;
        };
        let done = entity::vertex(record, talk, &mut open.text);
        if open.fault.is_none() {
            open.fault = done.err();
        }
    }

    fn end_polyline(&mut self, talk: &mut Talk) {
        let Some(mut open) = self.polyline.take() else { return };
        if let Some(fault) = &open.fault {
            self.broken(&open.origin, fault, talk);
            return;
        }
        out::text(&mut open.text, 0, "SEQEND");
        let here = self.here();
        here.text.extend(open.text);
        here.origins.push(open.origin);
    }

    fn close(mut self, cut_off: bool, place: usize, talk: &mut Talk) -> Option<Proper> {
        let midway = self.polyline.is_some() || self.section != Section::None;
        self.end_polyline(talk);
        self.end_block(talk);
        if self.sections == 0 && self.model.origins.is_empty() {
            talk.push(
                Problem::error(
                    "unreadable",
                    "the file has no sections: it is no DXF file that could be read",
                )
                .hint("export the drawing again as DXF"),
            );
            return None;
        }
        if !self.ended {
            talk.push_at(place, no_end(cut_off, midway));
        }
        let mut proper = self.proper;
        proper.text = out::drawing(&self.blocks, &self.model.text);
        proper.origins = self.model.origins;
        proper.unread = self.model.unread;
        Some(proper)
    }
}

impl Record<'_> {
    /// Drops extended data of a layer.
    fn trim_layer(&mut self) {
        self.fields.retain(|pair| pair.code < 1000);
    }
}

fn header_number(pair: &Pair, variable: &str, talk: &mut Talk) -> Option<i64> {
    pair.whole()
        .map_err(|bad| {
            let message = format!("{variable} was passed over: {}", Fault::number(pair, &bad).what);
            talk.push_at(pair.place, Problem::warning("spoilt-field", message));
        })
        .ok()
}

/// The kind under which an entity that is not read is counted.
fn unread_kind(record: &Record, talk: &mut Talk) -> String {
    let name: String = record.name.chars().take(40).collect();
    if record.whole(67, talk) == Some(1) { format!("{name} (paper space)") } else { name }
}

fn origin_of(record: &Record, talk: &mut Talk) -> Origin {
    const READ: [&str; 13] = [
        "LINE",
        "3DLINE",
        "POINT",
        "CIRCLE",
        "ARC",
        "ELLIPSE",
        "TEXT",
        "ATTRIB",
        "MTEXT",
        "INSERT",
        "LWPOLYLINE",
        "POLYLINE",
        "SPLINE",
    ];
    let kind = READ.into_iter().find(|kind| *kind == record.name).unwrap_or("ENTITY");
    let rgb = record.whole(420, talk).map(|rgb| (rgb & 0x00ff_ffff) as u32);
    let hidden = kind == "ATTRIB" && record.whole(70, talk).is_some_and(|flags| flags & 1 != 0);
    Origin { kind, place: record.place, rgb, hidden }
}

fn unfinished(what: &str) -> Problem {
    Problem::warning("unfinished", format!("{what}; what came before was kept"))
        .hint("check that nothing is missing")
}

fn no_end(cut_off: bool, midway: bool) -> Problem {
    if cut_off {
        Problem::error("cut-off", "the file breaks off in the middle: what came after is missing")
            .hint("export or copy the drawing again")
    } else if midway {
        Problem::warning("no-end", "the file ends within a section: it may have been cut short")
            .hint("check that no part is missing, or export the drawing again")
    } else {
        Problem::warning("no-end", "the file ends without EOF").hint("check that no part is missing")
    }
}

fn too_large(what: &str) -> Problem {
    Problem::error("too-large", format!("the drawing is too large: {what}"))
        .hint("leave out what is not cut, or split the drawing")
}
