//! The schemas' keys are those that the readers take: each reader is asked for its keys with one that is none, and lists
//! them in its hint.

use std::path::Path;

use grainwise::problem::{Problem, Problems};
use grainwise::shop::{Post, machine, schema, wood};
use grainwise::stages::job;
use serde_json::Value;

/// A key like no other.
const NONE: &str = "0000000000";

/// What a reader has to say of a text.
type Read = fn(&str, &mut Problems);

fn read_job(text: &str, problems: &mut Problems) {
    job::parse(text, "x.yaml", Path::new("."), problems);
}

fn read_table(text: &str, problems: &mut Problems) {
    wood::read("x", text, "x.yaml", problems);
}

fn read_machine(text: &str, problems: &mut Problems) {
    machine::read::read("x", text, "x.yaml", problems);
}

fn read_post(text: &str, problems: &mut Problems) {
    Post::from_text("x.yaml", text, problems);
}

/// The keys that the reader takes where a text has `{KEY: 1}` in the place of `@`.
fn taken(read: Read, text: &str) -> Vec<String> {
    let mut problems = Problems::new();
    read(&text.replace('@', &format!("{{\"{NONE}\": 1}}")), &mut problems);
    let unknown = |p: &&Problem| p.code.ends_with("key-unknown") || p.code == "unknown-key";
    let told: Vec<&Problem> = problems.iter().filter(unknown).filter(|p| p.message.contains(NONE)).collect();
    assert_eq!(told.len(), 1, "{text}: {problems:#?}");
    let (_, list) = told[0].hint.split_once(": ").unwrap_or_else(|| panic!("{}", told[0].hint));
    let mut keys: Vec<String> = list.split(", ").map(str::to_owned).collect();
    keys.sort();
    keys
}

/// The keys of the map at a place of a schema: of itself, or of the first choice that is a map.
fn described(schema: &Value, place: &[&str]) -> Vec<String> {
    let mut here = schema;
    for key in place {
        here = if *key == "[]" {
            &map_in(here, "items")["items"]
        } else {
            &map_in(here, "properties")["properties"][key]
        };
    }
    let mut keys: Vec<String> =
        map_in(here, "properties")["properties"].as_object().unwrap().keys().cloned().collect();
    keys.sort();
    keys
}

/// The schema itself where it has this keyword, else the first of its choices that has.
fn map_in<'s>(schema: &'s Value, keyword: &str) -> &'s Value {
    choice(schema, keyword).unwrap_or_else(|| panic!("no {keyword} in {schema}"))
}

fn choice<'s>(schema: &'s Value, keyword: &str) -> Option<&'s Value> {
    if schema.get(keyword).is_some() {
        return Some(schema);
    }
    schema.get("anyOf")?.as_array()?.iter().find_map(|one| choice(one, keyword))
}

fn same(read: Read, schema: &Value, cases: &[(&str, &[&str])]) {
    for (text, place) in cases {
        assert_eq!(taken(read, text), described(schema, place), "{text}");
    }
}

#[test]
fn a_job_s_keys() {
    let cases: &[(&str, &[&str])] = &[
        ("@", &[]),
        ("drawings: [@]", &["drawings"]),
        ("layers: @", &["layers"]),
        ("parts: [@]", &["parts", "[]"]),
        ("parts: [{cutting: @}]", &["parts", "[]", "cutting"]),
        ("parts: [{pin: @}]", &["parts", "[]", "pin"]),
        ("stock: [@]", &["stock", "[]"]),
        ("stock: [{clamp: @}]", &["stock", "[]", "clamp"]),
        ("stock: [{avoid: [@]}]", &["stock", "[]", "avoid", "[]"]),
        ("machine: @", &["machine"]),
        ("cutting: @", &["cutting"]),
    ];
    same(read_job, &job::schema::job(), cases);
}

#[test]
fn a_table_s_keys() {
    let cases: &[(&str, &[&str])] = &[
        ("@", &[]),
        ("laser: @", &["laser"]),
        ("laser: {rows: [@]}", &["laser", "rows", "[]"]),
        ("laser_tabs: @", &["laser_tabs"]),
        ("router: @", &["router"]),
        ("router: {rows: [@]}", &["router", "rows", "[]"]),
        ("router: {craft: @, rows: []}", &["router", "craft"]),
        ("router_tabs: {rows: [@]}", &["router_tabs", "rows", "[]"]),
        ("router_kerf: {rows: [@]}", &["router_kerf", "rows", "[]"]),
        ("fits: {rows: [@]}", &["fits", "rows", "[]"]),
    ];
    same(read_table, &schema::table(), cases);
}

#[test]
fn a_machine_s_keys() {
    let cases: &[(&str, &[&str])] = &[
        ("@", &[]),
        ("laser: @", &["laser"]),
        ("router: @", &["router"]),
        ("router: {cutters: [@]}", &["router", "cutters", "[]"]),
        ("layers: @", &["layers"]),
        ("layers: {mark: @}", &["layers", "mark"]),
    ];
    same(read_machine, &schema::machine(), cases);
}

#[test]
fn a_post_s_keys() {
    let cases: &[(&str, &[&str])] = &[
        ("@", &[]),
        ("extends: router-mm\nline: @", &["line"]),
        ("extends: router-mm\nline: {numbers: @}", &["line", "numbers"]),
        ("extends: router-mm\nwords: @", &["words"]),
        ("extends: router-mm\nnumbers: @", &["numbers"]),
        ("extends: router-mm\ncomments: @", &["comments"]),
        ("extends: router-mm\narcs: @", &["arcs"]),
        ("extends: router-mm\nspindle: @", &["spindle"]),
        ("extends: laser-steady\nbeam: @", &["beam"]),
    ];
    same(read_post, &schema::post(), cases);
}
