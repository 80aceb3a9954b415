//! Reads a machine's file. The grammar stands in `post/README.md`.

use super::{Cutter, DrawingFormat, LayerStyle, Layers, Machine, Tool};
use crate::problem::Problems;
use crate::yaml::{self, Fields, Node, Reader};

/// The keys of a machine's file.
pub const KEYS: [&str; 12] = [
    "extends",
    "about",
    "reach_mm",
    "rapid_mm_min",
    "acceleration_mm_s2",
    "laser",
    "router",
    "drawings",
    "post",
    "layers",
    "spacing_mm",
    "margin_mm",
];

pub(in crate::shop) const LASER: [&str; 1] = ["power_w"];
pub(in crate::shop) const ROUTER: [&str; 4] = ["min_rpm", "max_rpm", "clearance_mm", "cutters"];
pub(in crate::shop) const CUTTER: [&str; 3] = ["diameter_mm", "flutes", "flute_length_mm"];
pub(in crate::shop) const LAYERS: [&str; 4] = ["cut_inside", "cut_outside", "score", "mark"];
pub(in crate::shop) const STYLE: [&str; 3] = ["name", "dxf_colour", "svg_colour"];

/// Reads the file of one machine. Everything wrong with it is added to `problems`; none comes back where anything is.
pub fn read(name: &str, text: &str, file: &str, problems: &mut Problems) -> Option<Machine> {
    let node = yaml::parse(text, file, problems)?;
    from_tree(name, node, file, problems)
}

/// Reads a machine from its tree, to which whatever it extends has been added.
pub(in crate::shop) fn from_tree(
    name: &str,
    node: Node,
    file: &str,
    problems: &mut Problems,
) -> Option<Machine> {
    let mut reader = Reader::new(file, problems);
    let before = reader.count();
    let mut fields = reader.map(node, "a machine", &KEYS)?;
    fields.take("extends");
    let machine = machine(name, &mut fields, &mut reader);
    (reader.count() == before).then_some(machine?)
}

fn machine(name: &str, fields: &mut Fields, reader: &mut Reader) -> Option<Machine> {
    let place = fields.place;
    let about = fields.need("about", "a machine", reader).and_then(|node| reader.word(node, "about"));
    let tool = tool(fields, reader);
    let laser = matches!(tool, Some(Tool::Laser { .. }));
    let reach = fields.need("reach_mm", "a machine", reader).and_then(|node| reach(node, laser, reader));
    let mut number = |key: &str, least: f64, most: f64| {
        let node = fields.need(key, "a machine", reader)?;
        reader.number(&node, key, least..=most)
    };
    let rapid = number("rapid_mm_min", 10.0, 200_000.0);
    let acceleration = number("acceleration_mm_s2", 1.0, 100_000.0);
    let spacing = number("spacing_mm", 0.0, 100.0);
    let margin = number("margin_mm", 0.0, 100.0);
    let drawings = fields.take("drawings").map(|node| drawings(node, reader)).unwrap_or_default();
    let post = fields.take("post").and_then(|node| reader.word(node, "post"));
    let layers = fields.take("layers").map(|node| layers(node, reader)).unwrap_or_default();
    if drawings.is_empty() && post.is_none() {
        let hint = "give 'post' for G-code, or 'drawings' for DXF or SVG";
        reader.wrong("missing-key", place, "a machine needs to take some kind of file", hint);
    }
    Some(Machine {
        name: name.to_owned(),
        about: about?,
        reach_mm: reach?,
        rapid_mm_min: rapid?,
        acceleration_mm_s2: acceleration?,
        tool: tool?,
        drawings,
        post,
        layers,
        spacing_mm: spacing?,
        margin_mm: margin?,
    })
}

fn reach(node: Node, laser: bool, reader: &mut Reader) -> Option<[f64; 3]> {
    let place = node.place;
    let axes: Vec<f64> = reader
        .list(node, "reach_mm")?
        .iter()
        .filter_map(|node| reader.number(node, "reach_mm", 0.0..=10_000.0))
        .collect();
    match axes[..] {
        [x, y, z] if x > 0.0 && y > 0.0 && (laser || z > 0.0) => Some([x, y, z]),
        [x, y] if laser && x > 0.0 && y > 0.0 => Some([x, y, 0.0]),
        _ => {
            let hint = "give three lengths: along x, along y, and up z (0 for a laser)";
            reader.wrong("wrong-type", place, "'reach_mm' does not say how far the machine reaches", hint);
            None
        }
    }
}

fn tool(fields: &mut Fields, reader: &mut Reader) -> Option<Tool> {
    let place = fields.place;
    match (fields.take("laser"), fields.take("router")) {
        (Some(node), None) => {
            let mut fields = reader.map(node, "a laser", &LASER)?;
            let node = fields.need("power_w", "a laser", reader)?;
            Some(Tool::Laser { power_w: reader.number(&node, "power_w", 0.1..=5000.0)? })
        }
        (None, Some(node)) => router(node, reader),
        _ => {
            let hint = "say 'laser' or 'router', and what it cuts with";
            reader.wrong("missing-key", place, "a machine is either a laser or a router", hint);
            None
        }
    }
}

fn router(node: Node, reader: &mut Reader) -> Option<Tool> {
    let place = node.place;
    let mut fields = reader.map(node, "a router", &ROUTER)?;
    let mut number = |key: &str, least: f64, most: f64| {
        let node = fields.need(key, "a router", reader)?;
        reader.number(&node, key, least..=most)
    };
    let min_rpm = number("min_rpm", 0.0, 200_000.0);
    let max_rpm = number("max_rpm", 100.0, 200_000.0);
    let clearance = number("clearance_mm", 0.5, 200.0);
    let nodes = fields.need("cutters", "a router", reader).and_then(|node| reader.list(node, "cutters"));
    let cutters: Vec<Cutter> =
        nodes.unwrap_or_default().into_iter().filter_map(|node| cutter(node, reader)).collect();
    let (min_rpm, max_rpm) = (min_rpm?, max_rpm?);
    if cutters.is_empty() || min_rpm > max_rpm {
        let hint = "give at least one cutter, and 'min_rpm' no more than 'max_rpm'";
        reader.wrong("out-of-range", place, "this router cannot cut", hint);
        return None;
    }
    Some(Tool::Router { min_rpm, max_rpm, clearance_mm: clearance?, cutters })
}

fn cutter(node: Node, reader: &mut Reader) -> Option<Cutter> {
    let mut fields = reader.map(node, "a cutter", &CUTTER)?;
    let diameter = fields.need("diameter_mm", "a cutter", reader);
    let diameter = diameter.and_then(|node| reader.number(&node, "diameter_mm", 0.1..=50.0));
    let flutes = fields.need("flutes", "a cutter", reader);
    let flutes = flutes.and_then(|node| reader.whole(&node, "flutes", 1..=12));
    let length = fields.need("flute_length_mm", "a cutter", reader);
    let length = length.and_then(|node| reader.number(&node, "flute_length_mm", 0.5..=200.0));
    Some(Cutter { diameter_mm: diameter?, flutes: flutes?, flute_length_mm: length? })
}

fn drawings(node: Node, reader: &mut Reader) -> Vec<DrawingFormat> {
    let known: Vec<&str> = DrawingFormat::ALL.iter().map(|(name, _)| *name).collect();
    let mut found = Vec::new();
    for node in reader.one_or_more(node) {
        let place = node.place;
        let Some(word) = reader.word(node, "drawings") else { continue };
        match DrawingFormat::ALL.iter().find(|(name, _)| *name == word) {
            Some((_, format)) => found.push(*format),
            None => reader.unknown("unknown-format", place, "a kind of drawing file", &word, &known),
        }
    }
    found
}

fn layers(node: Node, reader: &mut Reader) -> Layers {
    let mut layers = Layers::default();
    let Some(mut fields) = reader.map(node, "layers", &LAYERS) else {
        return layers;
    };
    let slots = [
        ("cut_inside", &mut layers.cut_inside),
        ("cut_outside", &mut layers.cut_outside),
        ("score", &mut layers.score),
        ("mark", &mut layers.mark),
    ];
    for (key, slot) in slots {
        if let Some(node) = fields.take(key) {
            style(node, key, slot, reader);
        }
    }
    layers
}

fn style(node: Node, key: &str, style: &mut LayerStyle, reader: &mut Reader) {
    let Some(mut fields) = reader.map(node, key, &STYLE) else { return };
    if let Some(node) = fields.take("name") {
        let place = node.place;
        if let Some(name) = reader.word(node, "name") {
            // The DXF reference forbids these in names; R12 is stricter still, which its writer sees to.
            if name.len() > 31 || name.chars().any(|c| c.is_control() || r#"<>/\":;?*|=`,"#.contains(c)) {
                let hint = r#"at most 31 characters, and none of < > / \ " : ; ? * | = ` ,"#;
                reader.wrong("out-of-range", place, format!("'{name}' cannot name a layer"), hint);
            }
            style.name = name;
        }
    }
    if let Some(number) =
        fields.take("dxf_colour").and_then(|node| reader.whole(&node, "dxf_colour", 1..=255))
    {
        style.dxf_colour = number as u8;
    }
    if let Some(node) = fields.take("svg_colour") {
        let place = node.place;
        if let Some(colour) = reader.word(node, "svg_colour") {
            if !is_colour(&colour) {
                let message = format!("'{colour}' is not a colour");
                reader.wrong("wrong-type", place, message, "write it as \"#rrggbb\", in quotes");
            }
            style.svg_colour = colour;
        }
    }
}

fn is_colour(text: &str) -> bool {
    text.len() == 7 && text.starts_with('#') && text[1..].chars().all(|c| c.is_ascii_hexdigit())
}
