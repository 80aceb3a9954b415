//! Sheets: strips of free length beside a published optimiser, kits in the fewest sheets, random kits judged by GEOS, and
//! how long the first answer takes. `cargo bench -- sheets FOLDER [SECONDS...]`; FOLDER holds the sets of strips,
//! `GRAINWISE_PYTHON` names a Python that has the packages spyrrow and shapely.

mod generator;
mod geos;
mod kits;
mod large;
mod strips;

use std::path::Path;

/// Runs all of it; `large`, `geos`, `kits` or `strips` among the arguments only these.
pub(crate) fn run() {
    let arguments: Vec<String> = std::env::args().skip(1).filter(|a| !a.starts_with('-')).collect();
    let seconds: Vec<f64> = arguments.iter().filter_map(|a| a.parse().ok()).collect();
    let asked = |name: &str| {
        let parts = ["geos", "kits", "large", "strips"];
        arguments.iter().any(|a| a == name) || !arguments.iter().any(|a| parts.contains(&a.as_str()))
    };
    if asked("large") {
        large::run();
    }
    if asked("geos") {
        geos::run();
    }
    if asked("kits") {
        kits::run(seconds.first().copied().unwrap_or(kits::SECONDS));
    }
    if asked("strips") {
        match arguments.iter().find(|a| Path::new(a).is_dir()) {
            Some(folder) => {
                let seconds = if seconds.is_empty() { vec![10.0, 60.0] } else { seconds };
                strips::run(Path::new(folder), &seconds);
            }
            None => println!("strips: left out, name the folder that holds albano.json and the others"),
        }
    }
}
