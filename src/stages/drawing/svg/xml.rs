//! The document rewritten for `usvg`: every shape becomes a token that carries its number, every group an id.

use std::collections::{BTreeMap, BTreeSet};

use usvg::roxmltree::{Document, Node};

use super::size::Page;

const SVG: &str = "http://www.w3.org/2000/svg";
const XLINK: &str = "http://www.w3.org/1999/xlink";
const XML: &str = "http://www.w3.org/XML/1998/namespace";

/// Geometry of shapes, which the token replaces, and what would add to it or change it.
const GEOMETRY: [&str; 18] = [
    "d",
    "x",
    "y",
    "width",
    "height",
    "rx",
    "ry",
    "cx",
    "cy",
    "r",
    "x1",
    "y1",
    "x2",
    "y2",
    "points",
    "pathLength",
    "dx",
    "dy",
];

/// What is laid over every style: none of it changes where a shape lies, and each could make `usvg` drop a token.
const PLAIN: &str = ";filter:none;mask:none;clip-path:none;marker:none";

/// What is laid over the style of a text: its size comes back as the width of a stroke.
const SIZED: &str = ";stroke:#000;stroke-width:1em;stroke-opacity:1";

/// A document ready for `usvg`, and what its tokens and ids stand for.
#[derive(Debug)]
pub(super) struct Plan<'a, 'input> {
    /// The document with tokens for shapes.
    pub(super) text: String,
    /// Shapes and texts by the number of their token.
    pub(super) shapes: Vec<Node<'a, 'input>>,
    /// Groups by id, the ones given to groups without included.
    pub(super) groups: BTreeMap<String, Node<'a, 'input>>,
    /// Elements that draw something which is not read, by name.
    pub(super) unread: BTreeMap<String, usize>,
}

/// Whether an element belongs to SVG: by its name space, or where the whole document has none.
pub(super) fn is_svg(node: Node) -> bool {
    let bare = || node.document().root_element().tag_name().namespace().is_none();
    node.is_element() && node.tag_name().namespace().map_or_else(bare, |space| space == SVG)
}

/// Whether an element is a shape or a text.
fn is_drawn(name: &str) -> bool {
    matches!(name, "path" | "rect" | "circle" | "ellipse" | "line" | "polyline" | "polygon" | "text")
}

/// Elements that draw nothing themselves.
fn is_silent(name: &str) -> bool {
    const SILENT: [&str; 27] = [
        "svg",
        "g",
        "a",
        "defs",
        "symbol",
        "use",
        "switch",
        "style",
        "title",
        "desc",
        "metadata",
        "script",
        "view",
        "clipPath",
        "mask",
        "pattern",
        "marker",
        "linearGradient",
        "radialGradient",
        "stop",
        "filter",
        "tspan",
        "textPath",
        "tref",
        "set",
        "cursor",
        "font",
    ];
    SILENT.contains(&name) || name.starts_with("fe") || name.starts_with("animate")
}

/// Whether an element may bear an id that comes back.
fn is_group(name: &str) -> bool {
    matches!(name, "g" | "a" | "use")
}

struct Writer<'a, 'input> {
    plan: Plan<'a, 'input>,
    taken: BTreeSet<&'a str>,
    given: usize,
}

/// Rewrites a document.
pub(super) fn plan<'a, 'input>(document: &'a Document<'input>, page: &Page) -> Plan<'a, 'input> {
    let plan =
        Plan { text: String::new(), shapes: Vec::new(), groups: BTreeMap::new(), unread: BTreeMap::new() };
    let taken = document.descendants().filter_map(|node| node.attribute("id")).collect();
    let mut writer = Writer { plan, taken, given: 0 };
    // The stack stands for recursion, as documents may be nested deeper than a thread's stack.
    let mut stack = vec![Step::Open(document.root_element())];
    while let Some(step) = stack.pop() {
        match step {
            Step::Close(name) => {
                writer.plan.text.push_str("</");
                writer.plan.text.push_str(name);
                writer.plan.text.push('>');
            }
            Step::Open(node) if node.is_element() => {
                if let Some(name) = writer.open(node, page) {
                    stack.push(Step::Close(name));
                    stack.extend(node.children().rev().map(Step::Open));
                }
            }
            Step::Open(node) => writer.words(node),
        }
    }
    writer.plan
}

enum Step<'a, 'input> {
    Open(Node<'a, 'input>),
    Close(&'a str),
}

impl<'a, 'input> Writer<'a, 'input> {
    /// Writes an element's head; its name where its children follow.
    fn open(&mut self, node: Node<'a, 'input>, page: &Page) -> Option<&'a str> {
        let name = node.tag_name().name();
        if !is_svg(node) {
            // Its place stays taken, so that selectors by number mean what they meant.
            self.plan.text.push_str("<metadata/>");
            return None;
        }
        if is_drawn(name) {
            self.token(node, name);
            return None;
        }
        if !is_silent(name) {
            *self.plan.unread.entry(name.to_owned()).or_default() += 1;
            self.plan.text.push_str("<metadata/>");
            return None;
        }
        self.plan.text.push('<');
        self.plan.text.push_str(name);
        let is_root = node.parent_element().is_none();
        if is_root {
            let (w, h) = (positive(page.user.x), positive(page.user.y));
            self.attribute("xmlns", SVG);
            self.attribute("xmlns:xlink", XLINK);
            self.attribute("width", &w.to_string());
            self.attribute("height", &h.to_string());
            self.attribute("viewBox", &format!("0 0 {w} {h}"));
        }
        let skip: &[&str] = if is_root {
            &["width", "height", "viewBox", "preserveAspectRatio", "style"]
        } else {
            &["style"]
        };
        self.attributes(node, skip);
        self.style(node, if is_drawing_group(name) { PLAIN } else { "" });
        if is_group(name) {
            self.name_group(node);
        }
        self.plan.text.push('>');
        Some(name)
    }

    /// Writes a shape as a token: something of no size at x = its number.
    fn token(&mut self, node: Node<'a, 'input>, name: &str) {
        let number = self.plan.shapes.len();
        self.plan.shapes.push(node);
        let next = number + 1;
        let is_text = name == "text";
        self.plan.text.push('<');
        self.plan.text.push_str(if is_text { "path" } else { name });
        let geometry = match name {
            "rect" => format!(" x=\"{number}\" y=\"0\" width=\"1\" height=\"1\""),
            "circle" => format!(" cx=\"{number}\" cy=\"0\" r=\"0.25\""),
            "ellipse" => format!(" cx=\"{number}\" cy=\"0\" rx=\"0.25\" ry=\"0.25\""),
            "line" => format!(" x1=\"{number}\" y1=\"0\" x2=\"{next}\" y2=\"1\""),
            "polyline" | "polygon" => format!(" points=\"{number},0 {next},0 {next},1\""),
            _ => format!(" d=\"M{number} 0H{next}V1z\""),
        };
        self.plan.text.push_str(&geometry);
        let mut skip = GEOMETRY.to_vec();
        skip.extend(["style", "marker-start", "marker-mid", "marker-end"]);
        self.attributes(node, &skip);
        self.style(node, if is_text { SIZED } else { "" });
        self.plan.text.push_str("/>");
    }

    fn style(&mut self, node: Node, more: &str) {
        let own = node.attribute("style").unwrap_or_default();
        let shape = is_drawn(node.tag_name().name());
        let style = format!("{own}{more}{}", if shape { PLAIN } else { "" });
        if !style.is_empty() {
            self.attribute("style", style.trim_start_matches(';'));
        }
    }

    fn attributes(&mut self, node: Node, skip: &[&str]) {
        for attribute in node.attributes() {
            let name = attribute.name();
            match attribute.namespace() {
                None | Some(SVG) if !skip.contains(&name) => self.attribute(name, attribute.value()),
                Some(XLINK) if name == "href" => self.attribute("xlink:href", attribute.value()),
                Some(XML) if name == "space" => self.attribute("xml:space", attribute.value()),
                _ => {}
            }
        }
    }

    fn name_group(&mut self, node: Node<'a, 'input>) {
        let id = node.attribute("id").map_or_else(|| self.free_id(), str::to_owned);
        if node.attribute("id").is_none() {
            self.attribute("id", &id);
        }
        self.plan.groups.entry(id).or_insert(node);
    }

    fn free_id(&mut self) -> String {
        loop {
            self.given += 1;
            let id = format!("group-{}", self.given);
            if !self.taken.contains(id.as_str()) {
                return id;
            }
        }
    }

    fn attribute(&mut self, name: &str, value: &str) {
        self.plan.text.push(' ');
        self.plan.text.push_str(name);
        self.plan.text.push_str("=\"");
        escape(value, &mut self.plan.text);
        self.plan.text.push('"');
    }

    /// Text counts only within a style sheet.
    fn words(&mut self, node: Node) {
        if node.parent_element().is_some_and(|parent| parent.tag_name().name() == "style")
            && let Some(words) = node.text()
        {
            escape(words, &mut self.plan.text);
        }
    }
}

/// Whether an element's style may hide what it holds in a way that does not matter here.
fn is_drawing_group(name: &str) -> bool {
    matches!(name, "g" | "a" | "use" | "svg" | "switch" | "symbol")
}

fn positive(size: f64) -> f64 {
    if size.is_finite() && size > 0.0 { size } else { 100.0 }
}

fn escape(value: &str, out: &mut String) {
    for c in value.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\n' => out.push_str("&#10;"),
            '\r' => out.push_str("&#13;"),
            '\t' => out.push_str("&#9;"),
            c => out.push(c),
        }
    }
}
