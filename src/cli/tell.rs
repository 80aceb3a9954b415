//! Answers and problems as text for people.

use std::fmt::Write as _;
use std::path::Path;

use crate::problem::{Problem, Problems, Severity};
use crate::stages::Kit;
use crate::stages::sheet::Account;

/// How many problems of one kind are told one by one; the rest are counted, and the report holds them all.
const MOST_OF_A_KIND: usize = 12;

/// All problems, errors last, where the eye falls.
pub(super) fn problems(problems: &Problems) -> String {
    let mut told = String::new();
    let mut kinds: Vec<&str> = Vec::new();
    let mut order: Vec<&Problem> = problems.iter().collect();
    order.sort_by_key(|p| std::cmp::Reverse(p.severity));
    for problem in order {
        kinds.push(problem.code);
        if kinds.iter().filter(|code| **code == problem.code).count() <= MOST_OF_A_KIND {
            let _ = writeln!(told, "{}", one(problem));
        }
    }
    kinds.sort_unstable();
    for run in kinds.chunk_by(|a, b| a == b).filter(|run| run.len() > MOST_OF_A_KIND) {
        let _ = writeln!(
            told,
            "... and {} more of {} (--json tells them all)",
            run.len() - MOST_OF_A_KIND,
            run[0]
        );
    }
    told
}

fn one(problem: &Problem) -> String {
    let mut text = match problem.severity {
        Severity::Error => "error",
        Severity::Warning => "warning",
        Severity::Note => "note",
    }
    .to_owned();
    let _ = write!(text, "[{}]", problem.code);
    let mut place: Vec<String> = Vec::new();
    if let Some(file) = &problem.file {
        place.push(match (problem.line, problem.column) {
            (Some(line), Some(column)) => format!("{file}:{line}:{column}"),
            (Some(line), None) => format!("{file}:{line}"),
            _ => file.clone(),
        });
    }
    place.extend(problem.layer.iter().filter(|l| !l.is_empty()).map(|layer| format!("layer {layer}")));
    place.extend(problem.part.iter().map(|part| format!("part {part}")));
    place.extend(problem.at_mm.map(|[x, y]| format!("at ({x:.3}, {y:.3}) mm")));
    if !place.is_empty() {
        let _ = write!(text, " {}", place.join(", "));
    }
    let _ = write!(text, ": {}", problem.message);
    if !problem.hint.is_empty() {
        let _ = write!(text, "\n    {}", problem.hint);
    }
    printable(&text)
}

/// Names from files can hold anything: control characters do not reach the terminal.
pub(super) fn printable(text: &str) -> String {
    text.chars().map(|c| if c.is_control() && c != '\n' { '\u{fffd}' } else { c }).collect()
}

/// What was found and made, as a table.
pub(super) fn kit(title: &str, kit: &Kit, problems: &Problems) -> String {
    let pieces: u32 = kit.parts.iter().map(|part| part.copies).sum();
    // From 0.0, since nothing at all would add up to -0.0.
    let mass = kit.parts.iter().fold(0.0, |sum, part| sum + part.mass_g * f64::from(part.copies));
    let mut told = printable(title) + "\n";
    for drawing in &kit.drawings {
        let count = |kinds: &std::collections::BTreeMap<String, usize>| {
            kinds.iter().map(|(kind, n)| format!("{n} {kind}")).collect::<Vec<_>>().join(", ")
        };
        let unused = if drawing.unused.is_empty() {
            String::new()
        } else {
            format!("; not used: {}", count(&drawing.unused))
        };
        let _ = writeln!(
            told,
            "  {} ({}): {}{unused}",
            printable(&drawing.file),
            drawing.units,
            count(&drawing.used)
        );
        if let Some(stretched) = &drawing.stretched {
            let _ = writeln!(told, "    true scale: {}", printable(&stretched.told()));
        }
    }
    told += &scaled(kit);
    told += &fits(kit);
    let _ = writeln!(told, "  {} parts, {pieces} pieces, {mass:.1} g", kit.parts.len());
    if !kit.layout.sheets.is_empty() {
        told += &sheets(kit);
    }
    if !kit.spares.is_empty() {
        let spare = |&(part, more): &(usize, u32)| format!("{} x {more}", kit.parts[part].id);
        let spares = kit.spares.iter().map(spare).collect::<Vec<_>>().join(", ");
        let _ = writeln!(told, "  spares among them: {}", printable(&spares));
    }
    for account in &kit.accounts {
        let _ = writeln!(told, "  {}", printable(&stock(account)));
    }
    if !kit.proof.files.is_empty() {
        let _ = writeln!(told, "  {}", printable(&kit.proof.verdict()));
    }
    if problems.stop() {
        let _ = writeln!(told, "  the job has problems: nothing was written");
    }
    told
}

/// Parts of drawings that were brought to true scale: how large they were drawn and are.
fn scaled(kit: &Kit) -> String {
    let mut rows = vec![["part", "as drawn", "true"].map(str::to_owned)];
    for part in &kit.parts {
        if let Some((width, height)) = kit.drawn_size(part) {
            let bounds = part.region.bounds();
            rows.push([
                printable(&part.id),
                format!("{width:.2} x {height:.2}"),
                format!("{:.2} x {:.2}", bounds.width(), bounds.height()),
            ]);
        }
    }
    if rows.len() == 1 { String::new() } else { table(&rows) }
}

/// What has to fit together.
fn fits(kit: &Kit) -> String {
    if kit.fits.is_empty() {
        return String::new();
    }
    let heads = ["fit", "part to change", "should", "is", "difference", "verdict", "held back"];
    let mut rows = vec![heads.map(str::to_owned)];
    for fit in &kit.fits {
        rows.push([
            printable(&fit.name),
            printable(&fit.part),
            format!("{:.2}{}", fit.should_mm, if fit.built { " built" } else { "" }),
            format!("{:.2}", fit.is_mm),
            // From 0.0, since what rounds to nothing from below would be -0.00.
            format!("{:+.2}", ((fit.is_mm - fit.should_mm) * 100.0).round() / 100.0 + 0.0),
            fit.verdict.told().to_owned(),
            printable(&fit.held.join(" ")),
        ]);
    }
    table(&rows)
}

fn sheets(kit: &Kit) -> String {
    let mut rows =
        vec![["sheet", "wood", "mm", "size", "pieces", "used", "cut m", "time", "files"].map(str::to_owned)];
    for sheet in &kit.layout.sheets {
        let cuts = kit.sheets.iter().find(|cuts| cuts.sheet.number == sheet.number);
        let files: Vec<&str> =
            kit.files.iter().filter(|f| f.sheet == Some(sheet.number)).map(|f| f.name.as_str()).collect();
        rows.push([
            sheet.number.to_string(),
            printable(&sheet.wood),
            sheet.thickness_mm.to_string(),
            format!("{}x{}", sheet.length_mm, sheet.width_mm),
            sheet.placed.len().to_string(),
            format!("{:.0} %", kit.used_fraction(sheet) * 100.0),
            cuts.map_or(String::new(), |c| format!("{:.2}", c.cut_length_mm / 1000.0)),
            cuts.map_or(String::new(), |c| clock(c.time_s)),
            files.join(" "),
        ]);
    }
    table(&rows)
}

/// How many names of parts are told.
const NAMES: usize = 8;

/// What the sheets of one wood come to, and what stands against one less.
fn stock(account: &Account) -> String {
    let sheets = |count: usize| format!("{count} {}", if count == 1 { "sheet" } else { "sheets" });
    let mut told = format!(
        "{} {} mm: {}, {:.0} % used, {} by area alone",
        account.wood,
        account.thickness_mm,
        sheets(account.sheets),
        account.used_fraction() * 100.0,
        account.least_sheets,
    );
    if let Some(cost) = account.cost {
        let _ = write!(told, ", cost {cost:.2}");
    }
    let Some(less) = &account.one_less else { return told };
    if less.too_much_mm2 > 0.0 {
        let _ = write!(told, "; for one less the pieces are {:.1} cm2 too much", less.too_much_mm2 / 100.0);
        return told;
    }
    let mut names = less.parts[..less.parts.len().min(NAMES)].join(" ");
    if less.parts.len() > NAMES {
        let _ = write!(names, " and {} more", less.parts.len() - NAMES);
    }
    let (sheet, area) = (less.sheet, less.pieces_mm2 / 100.0);
    let _ =
        write!(told, "; for one less {names} ({area:.1} cm2 on sheet {sheet}) would have to fit elsewhere");
    told
}

/// Minutes and seconds.
pub(super) fn clock(seconds: f64) -> String {
    let whole = seconds.round() as u64;
    format!("{}:{:02}", whole / 60, whole % 60)
}

/// Columns as wide as their widest cell, two spaces between, two ahead.
pub(super) fn table<const N: usize>(rows: &[[String; N]]) -> String {
    columns(rows)
}

/// The same for rows of any, but one, number of cells.
pub(super) fn columns(rows: &[impl AsRef<[String]>]) -> String {
    let cells = |row: usize| rows.get(row).map_or(&[][..], AsRef::as_ref);
    let width = |column: usize| {
        rows.iter().filter_map(|row| row.as_ref().get(column)).map(|cell| cell.chars().count()).max()
    };
    let widths: Vec<usize> = (0..cells(0).len()).map(|column| width(column).unwrap_or(0)).collect();
    let mut told = String::new();
    for row in rows {
        let cells: Vec<String> =
            row.as_ref().iter().zip(&widths).map(|(cell, &w)| format!("{cell:<w$}")).collect();
        let _ = writeln!(told, "  {}", cells.join("  ").trim_end());
    }
    told
}

/// Where everything was put.
pub(super) fn written(folder: &Path, files: usize) -> String {
    format!("  {files} files in {}; look at the picture before a sheet is spent\n", folder.display())
}
