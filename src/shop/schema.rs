//! JSON Schemas (draft 2020-12) of post, table and machine files, for editors. The keys are those that the readers take:
//! the same lists serve both, so that a schema cannot fall behind.

use serde_json::{Map, Value, json};

use super::craft::RELIEFS;
use super::machine::read as machine;
use super::post::read as post;
use super::table::read::{COUNTS, ROW_KEYS, TABLE_KEYS, TABLES};
use super::table::row::Column;
use super::wood;
use super::{DrawingFormat, LaserWish, RouterWish, TabShape};

/// The dialect that schemas are written in.
pub const DIALECT: &str = "https://json-schema.org/draft/2020-12/schema";

/// A map with these keys and no others; `of` says what each holds.
pub fn map(keys: &[&str], of: impl Fn(&str) -> Value) -> Value {
    let properties: Map<String, Value> = keys.iter().map(|key| ((*key).to_owned(), of(key))).collect();
    json!({"type": "object", "additionalProperties": false, "properties": properties})
}

/// The same, where all of `needed` have to be there.
pub fn map_with(keys: &[&str], needed: &[&str], of: impl Fn(&str) -> Value) -> Value {
    let mut map = map(keys, of);
    map["required"] = json!(needed);
    map
}

/// A whole schema.
pub fn whole(title: &str, mut body: Value) -> Value {
    body["$schema"] = json!(DIALECT);
    body["title"] = json!(title);
    body
}

/// A number within bounds.
pub fn number(least: f64, most: f64) -> Value {
    json!({"type": "number", "minimum": least, "maximum": most})
}

/// A whole number within bounds.
pub fn whole_number(least: u32, most: u32) -> Value {
    json!({"type": "integer", "minimum": least, "maximum": most})
}

/// A text that says something; a bare number is one as well.
pub fn text() -> Value {
    json!({"type": ["string", "number"], "minLength": 1})
}

/// One of a kind, or a list of them.
pub fn one_or_more(of: &Value) -> Value {
    json!({"anyOf": [of, {"type": "array", "items": of}]})
}

/// Files that may extend another need everything only where they do not.
fn unless_extends(mut body: Value, otherwise: Value) -> Value {
    body["if"] = json!({"not": {"required": ["extends"]}});
    body["then"] = otherwise;
    body
}

/// Of a wood's file.
pub fn table() -> Value {
    let body = map(&wood::KEYS, |key| match key {
        "density_kg_m3" => number(wood::DENSITIES.0, wood::DENSITIES.1),
        "thicknesses_mm" => json!({"type": "array", "items": number(wood::SOLD.0, wood::SOLD.1)}),
        key => match TABLES.iter().find(|(table, _)| *table == key) {
            Some((_, columns)) => rows(key, columns),
            None => text(),
        },
    });
    let tables: Map<String, Value> =
        TABLES.iter().map(|(table, _)| ((*table).to_owned(), json!({"required": ["rows"]}))).collect();
    let needed = ["about", "density_kg_m3", "source", "thicknesses_mm"];
    let otherwise = json!({"required": needed, "properties": tables});
    whole("Wood and how it is cut", unless_extends(body, otherwise))
}

fn rows(table: &str, columns: &[Column]) -> Value {
    let names: Vec<&str> = columns.iter().map(|column| column.0).collect();
    let named: Vec<&str> = names.iter().copied().chain(ROW_KEYS).collect();
    let row = map_with(&named, &[names[0]], |key| match columns.iter().find(|column| column.0 == key) {
        Some((name, least, most)) if COUNTS.contains(name) => {
            json!({"type": "integer", "minimum": least, "maximum": most})
        }
        Some((_, least, most)) => number(*least, *most),
        None if key == "measured" => {
            json!({"type": "string", "pattern": "^[0-9]{4}-(0[1-9]|1[0-2])-(0[1-9]|[12][0-9]|3[01])$"})
        }
        None => text(),
    });
    let listed = json!({"type": "array", "maxItems": names.len(), "items": {"type": "number"}});
    let craft = match table {
        "laser" => Some(LaserWish::TABLE_KEYS),
        "router" => Some(RouterWish::TABLE_KEYS),
        _ => None,
    };
    let keys = if craft.is_some() { &TABLE_KEYS[..] } else { &TABLE_KEYS[..2] };
    let mut body = map(keys, |key| match key {
        "columns" => json!({"type": "array", "items": {"enum": names}, "uniqueItems": true}),
        "rows" => json!({"type": "array", "items": {"anyOf": [listed, row]}}),
        _ => map(craft.unwrap_or_default(), |key| match key {
            "climb" | "finish_climb" => json!({"type": "boolean"}),
            "ramp_deg" | "helix_deg" => number(0.5, 90.0),
            "lead_mm" => number(0.0, 20.0),
            "finish_mm" | "skin_mm" => number(0.0, 2.0),
            "relief" => json!({"enum": RELIEFS.map(|(name, _)| name)}),
            "corner_feed" => number(0.1, 1.0),
            "overlap" => number(0.5, 0.95),
            "thin_feed" => number(1.0, 2.5),
            "relief_most_mm" => number(0.0, 100.0),
            "tab_shape" => json!({"enum": TabShape::ALL.map(|(name, _)| name)}),
            _ => json!({}),
        }),
    });
    body["anyOf"] = json!([{"required": ["rows"]}, {"required": ["craft"]}]);
    body
}

/// Of a machine's file.
pub fn machine() -> Value {
    let style = map(&machine::STYLE, |key| match key {
        "dxf_colour" => whole_number(1, 255),
        "svg_colour" => json!({"type": "string", "pattern": "^#[0-9a-fA-F]{6}$"}),
        _ => json!({"type": ["string", "number"], "minLength": 1, "maxLength": 31}),
    });
    let formats: Vec<&str> = DrawingFormat::ALL.iter().map(|(name, _)| *name).collect();
    let body = map(&machine::KEYS, |key| match key {
        "reach_mm" => {
            json!({"type": "array", "items": number(0.0, 10_000.0), "minItems": 2, "maxItems": 3})
        }
        "rapid_mm_min" => number(10.0, 200_000.0),
        "acceleration_mm_s2" => number(1.0, 100_000.0),
        "laser" => or_none(&map(&machine::LASER, |_| number(0.1, 5000.0))),
        "router" => or_none(&router()),
        "drawings" => one_or_more(&json!({"enum": formats})),
        "layers" => map(&machine::LAYERS, |_| style.clone()),
        "spacing_mm" | "margin_mm" => number(0.0, 100.0),
        "post" => or_none(&text()),
        _ => text(),
    });
    let needed = ["about", "reach_mm", "rapid_mm_min", "acceleration_mm_s2", "spacing_mm", "margin_mm"];
    let otherwise = json!({
        "required": needed,
        "oneOf": [{"required": ["laser"]}, {"required": ["router"]}],
        "anyOf": [{"required": ["post"]}, {"required": ["drawings"]}],
        "properties": {
            "laser": {"required": machine::LASER},
            "router": {"required": machine::ROUTER},
        },
    });
    whole("Machine", unless_extends(body, otherwise))
}

/// Nothing takes away what an extended file says.
fn or_none(of: &Value) -> Value {
    json!({"anyOf": [of, {"type": "null"}]})
}

fn router() -> Value {
    let cutter = map_with(&machine::CUTTER, &machine::CUTTER, |key| match key {
        "flutes" => whole_number(1, 12),
        "diameter_mm" => number(0.1, 50.0),
        _ => number(0.5, 200.0),
    });
    map(&machine::ROUTER, |key| match key {
        "min_rpm" => number(0.0, 200_000.0),
        "max_rpm" => number(100.0, 200_000.0),
        "clearance_mm" => number(0.5, 200.0),
        _ => json!({"type": "array", "items": cutter, "minItems": 1}),
    })
}

/// Of a post.
pub fn post() -> Value {
    let flag = json!({"type": "boolean"});
    let line = json!({"anyOf": [
        {"type": ["string", "number"]},
        {"type": "object", "properties": {"comment": text()}, "required": ["comment"], "additionalProperties": false},
    ]});
    let block = one_or_more(&line);
    let body = map(&post::TOP, |key| match key {
        "about" | "extends" => text(),
        "extension" => json!({"type": "string", "pattern": "^[A-Za-z0-9]{1,8}$"}),
        "units" => json!({"enum": ["mm", "inch"]}),
        "line" => map(&post::LINE, |key| match key {
            "end" => json!({"enum": ["lf", "crlf"]}),
            "most" => whole_number(60, 256),
            "numbers" => json!({"anyOf": [
                {"const": "none"},
                map_with(&post::STEPS, &post::STEPS, |_| whole_number(0, 99_999)),
            ]}),
            _ => flag.clone(),
        }),
        "words" => map(&post::WORDS, |key| match key {
            "repeat" | "z" => flag.clone(),
            "extra" | "implied" => one_or_more(&json!({"type": "string", "pattern": "^[GMgm][0-9.]+$"})),
            _ => json!({"type": "string", "pattern": "^[Gg]0?[0-3]$"}),
        }),
        "numbers" => map(&post::NUMBERS, |key| match key {
            "decimals" => whole_number(3, 6),
            key if key.ends_with("_decimals") => whole_number(0, 4),
            _ => flag.clone(),
        }),
        "comments" => map(&post::COMMENTS, |key| match key {
            "form" => json!({"enum": ["parentheses", "semicolon", "none"]}),
            "other_letters" => json!({"enum": ["transliterate", "drop"]}),
            _ => flag.clone(),
        }),
        "arcs" => map(&post::ARCS, |key| match key {
            "form" => json!({"enum": ["centre", "radius", "lines"]}),
            "most_deg" => number(5.0, 180.0),
            "agree_mm" => number(0.0001, 0.002),
            _ => number(0.0005, 0.05),
        }),
        "spindle" => map(&post::SPINDLE, |_| block.clone()),
        "beam" => map(&post::BEAM, |key| match key {
            "scale" => number(1.0, 100_000.0),
            "power" => json!({"enum": ["block", "line"]}),
            "word" => json!({"enum": ["P", "Q", "S"]}),
            _ => block.clone(),
        }),
        "header" => one_or_more(&json!({"type": ["string", "number"]})),
        _ => block.clone(),
    });
    whole("Post: a G-code dialect", unless_extends(body, post_alone()))
}

/// What a post needs that extends no other: everything.
fn post_alone() -> Value {
    let drives = ["spindle", "beam"];
    let needed: Vec<&str> =
        post::TOP.into_iter().filter(|key| *key != "extends" && !drives.contains(key)).collect();
    json!({
        "required": needed,
        "oneOf": [{"required": ["spindle"]}, {"required": ["beam"]}],
        "properties": {
            "line": {"required": post::LINE},
            "words": {"required": post::WORDS},
            "numbers": {"required": post::NUMBERS},
            "comments": {"required": post::COMMENTS},
            "arcs": {"required": post::ARCS},
            "spindle": {"required": post::SPINDLE},
            "beam": {"required": post::BEAM},
        },
    })
}
