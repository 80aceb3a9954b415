//! The JSON Schema of a job file, for editors: its keys are those that the reader takes.

use serde_json::{Value, json};

use super::{Effort, blank, cutting, fit, lying, measured, parse, parts, ribs, slots, stock, stretch};
use crate::shop::TabShape;
use crate::shop::craft::RELIEFS;
use crate::shop::schema::{map, map_with, number, one_or_more, text, whole, whole_number};
use crate::units::Unit;

/// Of a job file.
pub fn job() -> Value {
    let mut body = map(&parse::KEYS, |key| match key {
        "units" => units(),
        "drawings" => one_or_more(&json!({"anyOf": [text(), drawing()]})),
        "layers" => map(&parse::LAYERS, |key| one_or_more(&if key == "recess" { recess() } else { text() })),
        "measured" => json!({"type": "array", "items": piece()}),
        "ribs" => json!({"type": "array", "items": rib_set()}),
        "parts" => json!({"type": "array", "items": part()}),
        "fit" => list_of(&fit_value()),
        "stock" => json!({"type": "array", "items": sheets()}),
        "machine" => json!({"anyOf": [text(), map(&parse::MACHINE, |_| text())]}),
        "cutting" => map(&cutting::job_keys(), cutting_value),
        _ => text(),
    });
    let sources = parse::OTHER_WAYS.iter().chain(&["drawings"]);
    body["anyOf"] = sources.map(|key| json!({"required": [key]})).collect();
    whole("Job: what to cut, from what, on which machine", body)
}

fn units() -> Value {
    json!({"enum": Unit::ALL.map(Unit::name)})
}

/// A number in the job's unit, or a text that carries its own, such as `3/32 inch`.
fn length() -> Value {
    let written = r"^\s*[-+]?[0-9.]+([eE][-+]?[0-9]+)?(\s+[0-9.]+)?(\s*/\s*[0-9.]+)?\s*[A-Za-zµ]*\s*$";
    json!({"anyOf": [{"type": "number"}, {"type": "string", "pattern": written}]})
}

/// How deep a recess is.
fn depth() -> Value {
    json!({"anyOf": [{"enum": ["half"]}, length()]})
}

/// A layer of recesses.
fn recess() -> Value {
    let with_depth = map_with(&parse::RECESS, &["layer"], |key| match key {
        "depth" => depth(),
        _ => one_or_more(&text()),
    });
    json!({"anyOf": [text(), with_depth]})
}

fn drawing() -> Value {
    map_with(&parse::DRAWING, &["file"], |key| match key {
        "units" => units(),
        "px_per_inch" => number(1.0, 10_000.0),
        "stretch" => stretch_value(),
        _ => text(),
    })
}

fn stretch_value() -> Value {
    let known = map_with(&stretch::LENGTH, &["is"], |key| match key {
        "from" | "to" => point(),
        "angle" | "is_angle" => number(-360.0, 360.0),
        _ => length(),
    });
    let pair = map_with(&stretch::PAIR, &stretch::PAIR, |_| point());
    map(&stretch::STRETCH, |key| match key {
        "lengths" => list_of(&known),
        "points" => list_of(&pair),
        "reading_error" => length(),
        _ => text(),
    })
}

fn point() -> Value {
    json!({"type": "array", "items": length(), "minItems": 2, "maxItems": 2})
}

fn list_of(of: &Value) -> Value {
    json!({"type": "array", "items": of})
}

/// Pricked points: a list of them, or a file.
fn pricks() -> Value {
    let word = json!({"enum": measured::TREATED});
    let prick = json!({"type": "array", "prefixItems": [length(), length()], "items": word, "minItems": 2});
    json!({"anyOf": [text(), list_of(&prick)]})
}

/// What pieces, holes and edges have in common.
fn measured_value(key: &str) -> Value {
    match key {
        "rectangle" | "slot" | "from" | "to" | "by" => point(),
        "circle" | "round" | "cut" | "length" | "rise" | "width" | "depth" | "reading_error" => length(),
        "angle" | "turn" | "grain" => number(-360.0, 360.0),
        "points" | "curve" => pricks(),
        "edges" => {
            let edge = map(&measured::EDGE, measured_value);
            list_of(&json!({"anyOf": [point(), edge]}))
        }
        "start" | "end" => {
            json!({"anyOf": [number(-360.0, 360.0), {"enum": ["running", "free", "tangent"]}]})
        }
        "half" => json!({"type": "boolean"}),
        "scores" | "marks" => list_of(&list_of(&point())),
        "at" => json!({"anyOf": [point(), list_of(&point())]}),
        "holes" => list_of(&map(&measured::HOLE, |key| match key {
            "depth" => depth(),
            _ => measured_value(key),
        })),
        "notches" => list_of(&map_with(&measured::NOTCH, &["at", "width", "depth"], measured_value)),
        _ => text(),
    }
}

fn piece() -> Value {
    map_with(&measured::PIECE, &["name"], measured_value)
}

/// What a set of ribs and its parts hold.
fn rib_value(key: &str) -> Value {
    let fraction = || number(0.0, 1.0);
    match key {
        "section" => {
            json!({"anyOf": [text(), map_with(&ribs::SECTION, &["drawing"], |_| text())]})
        }
        "root" | "tip" => map(&ribs::END, rib_value),
        "twist" | "lean" => number(-45.0, 45.0),
        "stations" => list_of(&length()),
        "count" => whole_number(1, 500),
        "straight" | "from" | "to" => fraction(),
        "at" | "pins" => {
            let two = json!({"type": "array", "items": fraction(), "minItems": 2, "maxItems": 2});
            json!({"anyOf": [fraction(), two]})
        }
        "side" => json!({"enum": ribs::SIDES}),
        "sheeting" => list_of(&map_with(&ribs::COVERING, &["thickness"], rib_value)),
        "spars" => list_of(&map_with(&ribs::SPAR, &["at", "width", "depth"], rib_value)),
        "holes" => list_of(&map(&ribs::HOLE, rib_value)),
        "feet" => list_of(&map_with(&ribs::FOOT, &["at", "width", "down"], rib_value)),
        "block" => map(&ribs::BLOCK, rib_value),
        "name" | "planform" | "drawing" => text(),
        _ => length(),
    }
}

fn rib_set() -> Value {
    map_with(&ribs::SET, &["name"], rib_value)
}

fn part() -> Value {
    let flag = json!({"type": "boolean"});
    let pin = map_with(&lying::PIN, &["at"], |key| match key {
        "sheet" => whole_number(1, 1000),
        "at" => point(),
        _ => number(-360.0, 360.0),
    });
    map_with(&parts::KEYS, &["name"], |key| match key {
        "name" => one_or_more(&text()),
        "thickness" => length(),
        "copies" | "mirrored" | "pairs" => whole_number(0, 10_000),
        "grain" => json!({"anyOf": [{"enum": ["along", "free"]}, number(-360.0, 360.0)]}),
        "turn" => json!({"anyOf": [{"enum": ["any"]}, number(0.0, 45.0)]}),
        "tabs" => json!({"anyOf": [whole_number(0, 200), list_of(&point())]}),
        "mark" | "skip" | "flip" => flag.clone(),
        "quality" => quality(),
        "pin" => one_or_more(&pin),
        "spares" => whole_number(0, lying::MOST_SPARES),
        "drawing" | "wood" | "together" => text(),
        "slots" => slots_value(),
        "cutting" => map(&cutting::part_keys(), cutting_value),
        _ => json!({}),
    })
}

fn slots_value() -> Value {
    let wood = map_with(&slots::MATE, &slots::MATE, |key| if key == "wood" { text() } else { length() });
    map_with(&slots::KEYS, &["for"], |key| match key {
        "for" => json!({"anyOf": [length(), wood.clone()]}),
        _ => json!({"anyOf": [{"enum": slots::FITS}, length()]}),
    })
}

fn fit_value() -> Value {
    let term = map(&fit::TERM, |key| match key {
        "from" | "to" | "slot" => point(),
        "along" | "overall" => number(-360.0, 360.0),
        "thickness" => length(),
        _ => text(),
    });
    let place = map_with(&fit::STATION, &["part", "station"], |key| match key {
        "from" | "to" | "slot" => point(),
        "along" => number(-360.0, 360.0),
        "station" => length(),
        _ => text(),
    });
    let half = map_with(&fit::HALF, &fit::HALF, |key| if key == "slot" { point() } else { text() });
    let term = json!({"anyOf": [length(), term]});
    map_with(&fit::FIT, &[], |key| match key {
        "line" => list_of(&place),
        "halving" => list_of(&half),
        "is" => term.clone(),
        "should" | "less" => one_or_more(&term),
        "play" | "within" | "built" => length(),
        "holds" => one_or_more(&text()),
        "until" => json!({"enum": fit::UNTIL}),
        "adjust" => json!({"anyOf": [point(), {"type": "boolean"}]}),
        _ => text(),
    })
}

fn sheets() -> Value {
    let zone = map(&blank::ZONE, |key| match key {
        "circle" => length(),
        "points" => list_of(&point()),
        _ => point(),
    });
    let clamp = map(&blank::CLAMP, |_| length());
    let mut sheets = map_with(&stock::KEYS, &["wood", "thickness"], |key| match key {
        "thickness" | "measured" => length(),
        "outline" => json!({"anyOf": [text(), list_of(&point())]}),
        "avoid" => list_of(&zone),
        "clamp" => json!({"anyOf": [length(), clamp]}),
        "price" => number(*stock::PRICES.start(), *stock::PRICES.end()),
        "quality" => quality(),
        "weight_g" => number(0.01, 1e5),
        "sheet" => json!({"type": "string", "pattern": "[xX×]"}),
        "count" => whole_number(0, 100_000),
        _ => text(),
    });
    sheets["oneOf"] = json!([{"required": ["sheet"]}, {"required": ["outline"]}]);
    sheets
}

fn quality() -> Value {
    whole_number(*stock::QUALITIES.start(), *stock::QUALITIES.end())
}

fn cutting_value(key: &str) -> Value {
    match key {
        "kerf" | "kerf_inside" | "cutter" | "tab_width" | "spacing" | "margin" | "feed" | "pass_depth"
        | "join" | "tolerance" | "apart" | "lead" | "beam_lead" | "overcut" | "finish" | "skin"
        | "relief_most" => length(),
        "recess" => depth(),
        "tabs" => whole_number(0, 200),
        "passes" => whole_number(1, 50),
        "power" => number(0.005, 1.0),
        "bridge" => number(0.0, 50.0),
        "rpm" => number(100.0, 200_000.0),
        "leave_out" | "climb" | "finish_climb" => json!({"type": "boolean"}),
        "ramp" | "helix" => number(0.5, 90.0),
        "relief" => json!({"enum": RELIEFS.map(|(name, _)| name)}),
        "tab_shape" => json!({"enum": TabShape::ALL.map(|(name, _)| name)}),
        "corner_feed" => number(0.1, 1.0),
        "overlap" => number(0.5, 0.95),
        "thin_feed" => number(1.0, 2.5),
        "tab_height" => number(0.05, 1.0),
        "woods" => {
            json!({"type": "object", "additionalProperties": map(&cutting::wood_keys(), cutting_value)})
        }
        "effort" => json!({"anyOf": [{"enum": Effort::WORDS}, number(0.0, 86_400.0)]}),
        "seed" => json!({"type": "integer", "minimum": 0}),
        _ => json!({}),
    }
}
