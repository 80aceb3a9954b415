//! SVG to what is drawn in it.
//!
//! Two readers share the work. `usvg` resolves the document: styles, classes, `use`, nested viewports, transforms, what is
//! seen and in what colour. It carries coordinates in single precision and turns arcs into curves within a tenth of a
//! pixel, which is too coarse for what is cut. So every shape is given to it as a small token that carries the shape's
//! number; where and how the token comes back tells where and how the shape is drawn, and the shape's own geometry is
//! read from the document in double precision, arcs as arcs.

mod size;
mod xml;
mod path;
mod shape;
mod words;
mod tree;
mod place;

use usvg::roxmltree::{Document, ParsingOptions};

use super::Found;
use super::role::Roles;
use super::talk::Talk;
use crate::problem::Problem;
use crate::stages::job::DrawingSource;

/// So many nodes may a document have.
const MOST_NODES: u32 = 3_000_000;

/// So many bytes may entities that the document declares make of it.
const MOST_EXPANDED: usize = 256 << 20;

/// Reads an SVG file.
pub(super) fn read(source: &DrawingSource, text: &str, roles: &Roles, talk: &mut Talk) -> Option<Found> {
    if expands_to(text) > MOST_EXPANDED {
        talk.push(
            Problem::error("too-large", "the entities that the file declares would swell it beyond reason")
                .hint("export the drawing again as plain SVG"),
        );
        return None;
    }
    let options = ParsingOptions { allow_dtd: true, nodes_limit: MOST_NODES, ..ParsingOptions::default() };
    let document = match Document::parse_with_options(text, options) {
        Ok(document) => document,
        Err(error) => {
            let place = error.pos();
            let message = format!("the file is no well-formed XML: {error}");
            let problem = Problem::error("unreadable", message).hint("export the drawing again as SVG");
            talk.push(problem.at_line(place.row as usize, place.col as usize));
            return None;
        }
    };
    let root = document.root_element();
    if !xml::is_svg(root) || root.tag_name().name() != "svg" {
        let message = format!("the file is XML, but its root is '{}', not svg", root.tag_name().name());
        talk.push(Problem::error("unknown-format", message).hint("give an SVG or DXF file"));
        return None;
    }
    let page = size::of(root, source, talk)?;
    let plan = xml::plan(&document, &page);
    let placed = match tree::resolve(&plan) {
        Ok(placed) => placed,
        Err(why) => {
            talk.push(Problem::error("unreadable", format!("the SVG could not be read: {why}")).hint(
                "look for groups nested a thousand deep or uses that contain each other, or export plain SVG",
            ));
            return None;
        }
    };
    let finds = place::run(&plan, &placed, &page, roles, talk);
    Some(finds.into_found(page.unit))
}

/// An upper bound of the bytes that the document's own entities make. A reference within a reference is followed at most
/// 255 times by the XML reader.
fn expands_to(text: &str) -> usize {
    let declared: Vec<&str> = text
        .split("<!ENTITY")
        .skip(1)
        .map(|after| after.split_once('>').map_or(after, |(declaration, _)| declaration))
        .collect();
    let longest = declared.iter().map(|d| d.len()).max().unwrap_or(0);
    let nested = declared.iter().any(|d| d.contains('&'));
    let references = text.matches('&').count();
    longest.saturating_mul(references).saturating_mul(if nested { 255 } else { 1 })
}
