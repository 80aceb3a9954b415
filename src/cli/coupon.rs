//! Cuts a coupon, or takes its reading into the person's own shop folder.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::time::{SystemTime, UNIX_EPOCH};

use super::args::Coupon as Asked;
use super::progress::{self, Progress};
use super::report::Report;
use super::{DONE, PROBLEMS, answer, request, say, tell, verbs};
use crate::coupon::{self, Coupon, Kind, Wish, reading, record};
use crate::files;
use crate::problem::Problems;
use crate::shop::{Shelf, Shop, shelf};
use crate::stages::job::Cutting;

/// Cuts the coupon, or reads it.
pub(super) fn coupon(asked: &Asked) -> u8 {
    progress::heed_interrupts();
    let mut problems = Problems::new();
    let here = Path::new("");
    let known = match open(asked, &mut problems) {
        Ok(known) => known,
        Err(error) => return say(&error.to_string()),
    };
    let shop = known.shop(&asked.machine, asked.post.as_deref(), here, &mut problems);
    let Some(shop) = shop.filter(|_| !problems.stop()) else {
        eprint!("{}", tell::problems(&problems));
        return PROBLEMS;
    };
    let wish = wish_of(asked);
    if asked.reading.is_empty() {
        cut(asked, &wish, &shop, problems)
    } else {
        read(asked, &wish, &shop, problems)
    }
}

/// The shelf; a folder that a reading will make need not be there yet.
fn open(asked: &Asked, problems: &mut Problems) -> Result<Shelf, files::Error> {
    let new = asked.shop.as_deref().filter(|folder| !asked.reading.is_empty() && !files::is_there(folder));
    if new.is_some() {
        Ok(Shelf::shipped())
    } else {
        request::shelf(asked.shop.as_deref(), Path::new(""), problems)
    }
}

fn wish_of(asked: &Asked) -> Wish {
    // The arguments take no other names.
    let kind = Kind::ALL.iter().find(|(name, _)| *name == asked.kind).map_or(Kind::Kerf, |(_, kind)| *kind);
    Wish {
        kind,
        wood: asked.wood.clone(),
        thickness_mm: asked.thickness,
        measured_mm: asked.measured,
        sheet_mm: asked.sheet,
        cutting: Cutting { kerf_mm: asked.kerf, cutter_mm: asked.cutter, ..Cutting::default() },
    }
}

fn cut(asked: &Asked, wish: &Wish, shop: &Shop, mut problems: Problems) -> u8 {
    let watch = Progress::new();
    let Coupon { job, kit, text } = coupon::make(wish, shop, &watch, &mut problems);
    watch.finish();
    eprint!("{}", tell::problems(&problems));
    let report = Report::new(&job.title, &kit, &problems).json();
    if asked.json {
        answer(&report);
    } else {
        answer(&tell::kit(&job.title, &kit, &problems));
    }
    if problems.stop() {
        return PROBLEMS;
    }
    let folder =
        asked.output.clone().unwrap_or_else(|| PathBuf::from("cut").join(format!("coupon-{}", asked.kind)));
    let put = verbs::put_kit(&kit, BTreeMap::new(), report, &folder, asked.force);
    if put == DONE && !asked.json {
        return answer(&format!("\n{text}"));
    }
    put
}

/// The arithmetic, and the row it gives.
fn read(asked: &Asked, wish: &Wish, shop: &Shop, mut problems: Problems) -> u8 {
    let found = match reading::found(wish, shop, &asked.reading) {
        Ok(found) if shop.wood(&wish.wood).is_some() => Some(found),
        Ok(_) => {
            problems.push(crate::shop::unknown_wood(&wish.wood, &shop.woods));
            None
        }
        Err(problem) => {
            problems.push(problem);
            None
        }
    };
    let folder = asked.shop.clone().unwrap_or_else(|| PathBuf::from(shelf::FOLDER)).join("measured");
    let (name, path) = (format!("{}.yaml", wish.wood), folder.join(format!("{}.yaml", wish.wood)));
    let before = match files::read_text(&path) {
        Ok(text) => text,
        Err(files::Error::Missing(_)) => String::new(),
        Err(error) => return say(&error.to_string()),
    };
    let day = asked.date.clone().unwrap_or_else(today);
    let note = format!("{} coupon, {}", asked.kind, shop.machine.name);
    let text = found.as_ref().and_then(|found| {
        record::with(&before, &path.to_string_lossy(), &wish.wood, found, &day, &note, &mut problems)
    });
    eprint!("{}", tell::problems(&problems));
    let (Some(found), Some(text)) = (found, text) else { return PROBLEMS };
    let put = progress::while_writing(|| files::write_into_folder(&folder, &name, text.as_bytes()));
    if let Err(error) = put {
        return say(&format!("{error}; nothing was written"));
    }
    let told = if asked.json {
        let values: serde_json::Map<String, serde_json::Value> = found
            .key
            .iter()
            .chain(&found.values)
            .map(|(key, value)| ((*key).to_owned(), serde_json::json!(value)))
            .collect();
        serde_json::json!({
            "file": path, "table": found.table, "wood": wish.wood, "measured": day, "row": values,
        })
        .to_string()
    } else {
        format!("{} {} mm: {}\n  now in {}", wish.wood, wish.thickness_mm, found.told, path.display())
    };
    answer(&(told + "\n"))
}

/// Today's date by the clock of the computer, in universal time.
fn today() -> String {
    let seconds = SystemTime::now().duration_since(UNIX_EPOCH).map_or(0, |since| since.as_secs());
    date(seconds / 86_400)
}

/// The day so many days after 1970-01-01, as `2026-05-30`. Counted in years that begin in March, so that the day of a leap
/// year comes last; 146097 days are 400 years of the Gregorian calendar.
fn date(days: u64) -> String {
    let days = days + 719_468;
    let (era, of_era) = (days / 146_097, days % 146_097);
    let year = (of_era - of_era / 1460 + of_era / 36_524 - of_era / 146_096) / 365;
    let of_year = of_era - (365 * year + year / 4 - year / 100);
    let march = (5 * of_year + 2) / 153;
    let day = of_year - (153 * march + 2) / 5 + 1;
    let month = if march < 10 { march + 3 } else { march - 9 };
    let year = era * 400 + year + u64::from(month <= 2);
    format!("{year:04}-{month:02}-{day:02}")
}
