//! What the shop knows, listed, each value with where it comes from.

use std::fmt::Write as _;
use std::path::Path;

use serde_json::{Value, json};

use super::args::Shop as Asked;
use super::{PROBLEMS, answer, request, say, tell, trial};
use crate::problem::Problems;
use crate::shop::shelf::Stocked;
use crate::shop::table::{Listed, Tables};
use crate::shop::{self, Given, Machine, Shelf, Tool};
use crate::stages::job;

/// Lists woods, machines and posts with their sources.
pub(super) fn shop(asked: &Asked) -> u8 {
    if let Some(kind) = &asked.schema {
        return answer(&(serde_json::to_string_pretty(&schema_of(kind)).unwrap_or_default() + "\n"));
    }
    let mut problems = Problems::new();
    let here = Path::new("");
    let shelf = match request::shelf(asked.own.as_deref(), here, &mut problems) {
        Ok(shelf) => shelf,
        Err(error) => return say(&error.to_string()),
    };
    if let Some(post) = &asked.try_post {
        return trial::try_post(post, asked, &shelf, problems);
    }
    let names = asked.machine.clone().map_or_else(|| shelf.machine_names(), |name| vec![name]);
    let machines: Vec<Machine> =
        names.iter().filter_map(|name| shelf.machine(name, here, &mut problems)).collect();
    let posts = shelf.post_names();
    // Read for what is wrong with them: nobody asked for one of them.
    for post in &posts {
        shelf.post(post, here, &mut problems);
    }
    let known = shelf.wood_names();
    if let Some(wood) = asked.wood.as_deref().filter(|wood| !known.contains(wood)) {
        problems.push(shop::unknown_wood(wood, &shelf.woods()));
    }
    let stocked: Vec<&Stocked> =
        shelf.stocked().filter(|s| asked.wood.as_ref().is_none_or(|wood| *wood == s.wood.name)).collect();
    eprint!("{}", tell::problems(&problems));
    let told = answer(&match (asked.json, &asked.wood) {
        (true, _) => as_json(&shelf, &stocked, &machines, &posts),
        (false, Some(_)) => stocked.iter().map(|stocked| tables_of(stocked)).collect(),
        (false, None) => as_text(&shelf, &stocked, &machines, &posts),
    });
    if problems.stop() { PROBLEMS } else { told }
}

/// What a kind of file may hold. The arguments take no other kinds.
fn schema_of(kind: &str) -> Value {
    match kind {
        "post" => shop::schema::post(),
        "table" => shop::schema::table(),
        "machine" => shop::schema::machine(),
        _ => job::schema::job(),
    }
}

fn as_json(shelf: &Shelf, stocked: &[&Stocked], machines: &[Machine], posts: &[String]) -> String {
    let woods: Vec<_> = stocked.iter().map(|stocked| &stocked.wood).collect();
    let tables: serde_json::Map<String, Value> =
        stocked.iter().map(|stocked| (stocked.wood.name.clone(), json_of(stocked))).collect();
    let files = |folder: &str, names: Vec<&str>| -> serde_json::Map<String, Value> {
        names.into_iter().map(|name| (name.to_owned(), json!(shelf.file_of(folder, name)))).collect()
    };
    let from = json!({
        "machines": files("machines", machines.iter().map(|m| m.name.as_str()).collect()),
        "posts": files("posts", posts.iter().map(String::as_str).collect()),
    });
    let own = shelf.folder().map(|folder| folder.to_string_lossy());
    let all = json!({
        "shop": own, "woods": woods, "tables": tables, "machines": machines, "posts": posts, "from": from,
    });
    serde_json::to_string_pretty(&all).unwrap_or_default() + "\n"
}

/// The tables of a wood: each row with its values, and by column the person's own file that a value comes from.
fn json_of(stocked: &Stocked) -> Value {
    let mut tables = serde_json::Map::new();
    for table in stocked.tables.listed() {
        let rows: Vec<Value> = table.rows.iter().map(|row| json_row(&table, row, &stocked.tables)).collect();
        tables.insert(table.table.to_owned(), json!(rows));
    }
    json!({"files": stocked.files, "rows": tables})
}

fn json_row(table: &Listed, row: &[f64], tables: &Tables) -> Value {
    let mut values = serde_json::Map::new();
    let mut own = serde_json::Map::new();
    for (column, value) in table.columns.iter().zip(row) {
        values.insert((*column).to_owned(), json!(value));
        if let Some(given) = tables.source(table.table, &row[..table.by], column) {
            own.insert((*column).to_owned(), json!(given));
        }
    }
    if !own.is_empty() {
        values.insert("own".to_owned(), Value::Object(own));
    }
    Value::Object(values)
}

fn as_text(shelf: &Shelf, stocked: &[&Stocked], machines: &[Machine], posts: &[String]) -> String {
    let mut rows = vec![["wood", "kg/m3", "thicknesses in mm", "from"].map(str::to_owned)];
    rows.extend(stocked.iter().map(|Stocked { wood, files, .. }| {
        let density = wood.density_kg_m3.to_string();
        [wood.name.clone(), density, list(&wood.thicknesses_mm), files.join(", then ")]
    }));
    let mut told = "Woods\n".to_owned() + &tell::table(&rows);
    for Stocked { wood, .. } in stocked {
        let _ = writeln!(told, "  {}: {}", wood.name, tell::printable(&wood.source));
    }
    told += &own_values(stocked);
    let mut rows = vec![["machine", "reach in mm", "cuts with", "takes", "from"].map(str::to_owned)];
    rows.extend(machines.iter().map(|machine| machine_row(machine, shelf)));
    told += "\nMachines\n";
    told += &tell::table(&rows);
    for machine in machines {
        let _ = writeln!(told, "  {}: {}", machine.name, tell::printable(&machine.about));
    }
    let mut rows = vec![["post", "from"].map(str::to_owned)];
    rows.extend(posts.iter().map(|post| [post.clone(), shelf.file_of("posts", post)]));
    told += "\nPosts\n";
    told += &tell::table(&rows);
    told += "\nFeeds, depths, powers and kerfs are starting points: try them on a scrap of the same sheet.\n";
    told += "--wood NAME lists every value of a wood's tables with where it comes from.\n";
    told
}

/// What a person's own files say in place of shipped values.
fn own_values(stocked: &[&Stocked]) -> String {
    let mut told = String::new();
    for Stocked { wood, tables, .. } in stocked {
        for given in &tables.given {
            let columns = given.columns.join(", ");
            let at = list(&given.key);
            let _ =
                writeln!(told, "  {} {} at {at}: {columns} from {}", wood.name, given.table, place(given));
        }
    }
    if told.is_empty() { told } else { format!("\nValues of your own\n{told}") }
}

/// `shop/measured/balsa-medium.yaml:7, measured 2026-05-30, kerf coupon`.
fn place(given: &Given) -> String {
    let mut place = format!("{}:{}", given.file, given.line);
    if let Some(day) = &given.measured {
        let _ = write!(place, ", measured {day}");
    }
    if let Some(note) = &given.note {
        let _ = write!(place, ", {}", tell::printable(note));
    }
    place
}

/// Every row of a wood's tables; a value of one's own carries a letter, and below the table stands where it comes from.
fn tables_of(stocked: &Stocked) -> String {
    let Stocked { wood, tables, files } = stocked;
    let mut told = format!("{}, {} kg/m3, from {}\n", wood.name, wood.density_kg_m3, files.join(", then "));
    let shipped = files.first().map_or("", String::as_str);
    for table in tables.listed() {
        let mut places: Vec<String> = Vec::new();
        let mut rows = vec![table.columns.iter().map(|&column| column.to_owned()).collect::<Vec<_>>()];
        for row in &table.rows {
            let cell = |(column, value): (&&str, &f64)| {
                let value = format!("{value:.4}");
                let value = value.trim_end_matches('0').trim_end_matches('.');
                let Some(given) = tables.source(table.table, &row[..table.by], column) else {
                    return value.to_owned();
                };
                let place = place(given);
                let known = places.iter().position(|known| *known == place);
                let at = known.unwrap_or_else(|| {
                    places.push(place);
                    places.len() - 1
                });
                format!("{value} [{}]", at + 1)
            };
            rows.push(table.columns.iter().zip(row).map(cell).collect());
        }
        let _ = writeln!(told, "\n{}, from {shipped} but where a number says otherwise", table.table);
        told += &tell::columns(&rows);
        for (i, place) in places.iter().enumerate() {
            let _ = writeln!(told, "  [{}] {place}", i + 1);
        }
    }
    told
}

fn machine_row(machine: &Machine, shelf: &Shelf) -> [String; 5] {
    let [x, y, z] = machine.reach_mm;
    let reach = if z > 0.0 { format!("{x} x {y} x {z}") } else { format!("{x} x {y}") };
    let tool = match &machine.tool {
        Tool::Laser { power_w } => format!("beam of {power_w} W"),
        Tool::Router { cutters, .. } => {
            format!("cutters of {} mm", list(&cutters.iter().map(|c| c.diameter_mm).collect::<Vec<_>>()))
        }
    };
    let mut takes: Vec<String> = machine
        .drawings
        .iter()
        .map(|format| {
            serde_json::to_value(format).ok().and_then(|v| v.as_str().map(str::to_owned)).unwrap_or_default()
        })
        .collect();
    takes.extend(machine.post.iter().map(|post| format!("G-code by {post}")));
    let from = shelf.file_of("machines", &machine.name);
    [machine.name.clone(), reach, tool, takes.join(", "), from]
}

fn list(values: &[f64]) -> String {
    values.iter().map(ToString::to_string).collect::<Vec<_>>().join(", ")
}
