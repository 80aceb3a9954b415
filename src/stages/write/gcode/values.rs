//! What the placeholders of a post stand for on one sheet.

use super::number;
use crate::shop::post::{Placeholder, Post};
use crate::shop::{Machine, Tool};
use crate::stages::cut::{Settings, SheetCuts};
use crate::stages::job::Job;

/// What is known of the sheet that is being written.
pub(super) struct Values<'a> {
    pub(super) job: &'a Job,
    pub(super) machine: &'a Machine,
    pub(super) post: &'a Post,
    pub(super) cuts: &'a SheetCuts,
    pub(super) sheets: usize,
}

/// What changes from one block to the next.
#[derive(Clone, Copy, Default)]
pub(super) struct Now<'a> {
    pub(super) part: &'a str,
    pub(super) operation: &'a str,
    /// Fraction of full power.
    pub(super) power: f64,
    /// Power that stands for full.
    pub(super) scale: f64,
    pub(super) seconds: f64,
}

/// A value with what it measures.
enum Value {
    Text(String),
    Whole(usize),
    /// Millimetres.
    Length(f64),
    /// Millimetres, never to be rounded down.
    Height(f64),
    /// Millimetres a minute.
    Feed(f64),
    Speed(f64),
    Power(f64),
    Seconds(f64),
}

impl Values<'_> {
    /// For people: lengths in millimetres.
    pub(super) fn in_comment(&self, hole: Placeholder, now: Now<'_>) -> String {
        match self.of(hole, now) {
            Value::Text(text) => text,
            Value::Whole(n) => n.to_string(),
            Value::Length(v)
            | Value::Height(v)
            | Value::Feed(v)
            | Value::Speed(v)
            | Value::Power(v)
            | Value::Seconds(v) => number::plain(v),
        }
    }

    /// For the machine: in the post's unit and format.
    pub(super) fn in_words(&self, hole: Placeholder, now: Now<'_>) -> String {
        let n = &self.post.numbers;
        let unit = self.post.units.millimetres();
        let (value, decimals, plus) = match self.of(hole, now) {
            Value::Text(text) => return text,
            Value::Whole(whole) => return whole.to_string(),
            Value::Height(v) => {
                let count = number::count_up(v / unit, n.decimals).unwrap_or_default();
                return number::text(count, n.decimals, n, n.plus);
            }
            Value::Length(v) => (v / unit, n.decimals, n.plus),
            Value::Feed(v) => (v / unit, n.feed_decimals, false),
            Value::Speed(v) => (v, n.speed_decimals, false),
            Value::Power(v) => (v, n.power_decimals, false),
            Value::Seconds(v) => (v, n.seconds_decimals, false),
        };
        number::count(value, decimals)
            .map_or_else(|| "0".into(), |count| number::text(count, decimals, n, plus))
    }

    fn of(&self, hole: Placeholder, now: Now<'_>) -> Value {
        let sheet = &self.cuts.sheet;
        match hole {
            Placeholder::Title => Value::Text(self.job.title.clone()),
            Placeholder::Machine => Value::Text(self.machine.name.clone()),
            Placeholder::Post => Value::Text(self.post.name.clone()),
            Placeholder::Part => Value::Text(now.part.to_owned()),
            Placeholder::Operation => Value::Text(now.operation.to_owned()),
            Placeholder::Wood => Value::Text(sheet.wood.clone()),
            Placeholder::Sheet => Value::Whole(sheet.number),
            Placeholder::Sheets => Value::Whole(self.sheets),
            Placeholder::Pieces => Value::Whole(sheet.placed.len()),
            Placeholder::Thickness => Value::Length(sheet.thickness_mm),
            Placeholder::Length => Value::Length(sheet.length_mm),
            Placeholder::Width => Value::Length(sheet.width_mm),
            Placeholder::Kerf | Placeholder::Cutter => Value::Length(self.cuts.kerf_mm),
            Placeholder::Clearance => Value::Height(clearance_mm(self.machine)),
            Placeholder::Power => Value::Power(now.power * now.scale),
            Placeholder::Seconds => Value::Seconds(now.seconds),
            Placeholder::Milliseconds => Value::Whole((now.seconds * 1000.0).round() as usize),
            Placeholder::Overcut
            | Placeholder::Feed
            | Placeholder::Plunge
            | Placeholder::Speed
            | Placeholder::Passes
            | Placeholder::Percent => self.of_settings(hole),
        }
    }

    /// What the tables say; 0 for what a beam or a spindle does not have (the post's check has refused it there).
    fn of_settings(&self, hole: Placeholder) -> Value {
        match (hole, &self.cuts.settings) {
            (Placeholder::Feed, Settings::Laser(s)) => Value::Feed(s.feed_mm_min),
            (Placeholder::Passes, Settings::Laser(s)) => Value::Whole(s.passes as usize),
            (Placeholder::Percent, Settings::Laser(s)) => Value::Power(s.power * 100.0),
            (Placeholder::Feed, Settings::Router(s)) => Value::Feed(s.feed_mm_min),
            (Placeholder::Plunge, Settings::Router(s)) => Value::Feed(s.plunge_mm_min),
            (Placeholder::Speed, Settings::Router(s)) => Value::Speed(s.rpm),
            (Placeholder::Overcut, Settings::Router(s)) => Value::Length(s.overcut_mm),
            _ => Value::Whole(0),
        }
    }
}

/// Height at which a router travels; 0 on a laser.
pub(super) fn clearance_mm(machine: &Machine) -> f64 {
    match &machine.tool {
        Tool::Router { clearance_mm, .. } => *clearance_mm,
        Tool::Laser { .. } => 0.0,
    }
}
