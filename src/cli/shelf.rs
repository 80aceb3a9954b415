//! What the shop knows, listed.

use std::fmt::Write as _;
use std::path::Path;

use serde_json::json;

use super::args::Shop as Asked;
use super::{PROBLEMS, answer, tell};
use crate::problem::Problems;
use crate::shop::{self, Machine, Post, Tool, Wood};

/// Lists woods, machines and posts with their sources.
pub(super) fn shop(asked: &Asked) -> u8 {
    let mut problems = Problems::new();
    let names = match &asked.machine {
        Some(name) => vec![name.clone()],
        None => shop::machine_names().into_iter().map(str::to_owned).collect(),
    };
    let machines: Vec<Machine> =
        names.iter().filter_map(|name| shop::open_machine(name, Path::new(""), &mut problems)).collect();
    eprint!("{}", tell::problems(&problems));
    let woods = shop::woods();
    let posts = Post::shipped();
    let told = answer(&if asked.json {
        as_json(&woods, &machines, &posts)
    } else {
        as_text(&woods, &machines, &posts)
    });
    if problems.stop() { PROBLEMS } else { told }
}

fn as_json(woods: &[Wood], machines: &[Machine], posts: &[String]) -> String {
    let all = json!({"woods": woods, "machines": machines, "posts": posts});
    serde_json::to_string_pretty(&all).unwrap_or_default() + "\n"
}

fn as_text(woods: &[Wood], machines: &[Machine], posts: &[String]) -> String {
    let mut rows = vec![["wood", "kg/m3", "thicknesses in mm"].map(str::to_owned)];
    rows.extend(
        woods
            .iter()
            .map(|wood| [wood.name.clone(), wood.density_kg_m3.to_string(), list(&wood.thicknesses_mm)]),
    );
    let mut told = "Woods, from post/tables\n".to_owned() + &tell::table(&rows);
    for wood in woods {
        let _ = writeln!(told, "  {}: {}", wood.name, wood.source);
    }
    let mut rows = vec![["machine", "reach in mm", "cuts with", "takes"].map(str::to_owned)];
    rows.extend(machines.iter().map(machine_row));
    told += "\nMachines, from post/machines\n";
    told += &tell::table(&rows);
    for machine in machines {
        let _ = writeln!(told, "  {}: {}", machine.name, machine.about);
    }
    let _ = writeln!(told, "\nPosts, from post\n  {}", posts.join(", "));
    told += "\nFeeds, depths, powers and kerfs are starting points: try them on a scrap of the same sheet.\n";
    told
}

fn machine_row(machine: &Machine) -> [String; 4] {
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
    [machine.name.clone(), reach, tool, takes.join(", ")]
}

fn list(values: &[f64]) -> String {
    values.iter().map(ToString::to_string).collect::<Vec<_>>().join(", ")
}
