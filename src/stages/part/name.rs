//! What a part is called: a text in its material, else a number in reading order.

use std::collections::{BTreeMap, BTreeSet};

use super::tree::Tree;
use crate::geometry::Rect;
use crate::stages::drawing::{Drawn, Text};

/// Longer names are cut: nobody marks a part with more.
const LONGEST: usize = 60;

/// A text that names a part, or does not.
#[derive(Debug, Default)]
pub(super) struct Texts {
    /// For each outer outline, the text that names it.
    pub(super) names: BTreeMap<usize, String>,
    /// Texts that name nothing, by number.
    pub(super) unused: Vec<usize>,
}

/// Finds the text that names each part: of those in its material the one with the largest letters, then the first.
pub(super) fn texts(tree: &Tree, texts: &[Drawn<Text>]) -> Texts {
    let mut found = Texts::default();
    let mut inside: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
    for (number, text) in texts.iter().enumerate() {
        match tree.at(text.item.at) {
            Some(outer) if !tree.is_hole(outer) && tidy(&text.item.text).is_some() => {
                inside.entry(outer).or_default().push(number);
            }
            _ => found.unused.push(number),
        }
    }
    for (outer, mut numbers) in inside {
        numbers.sort_by(|&a, &b| texts[b].item.height.total_cmp(&texts[a].item.height).then(a.cmp(&b)));
        if let Some(name) = tidy(&texts[numbers[0]].item.text) {
            found.names.insert(outer, name);
        }
        found.unused.extend(&numbers[1..]);
    }
    found.unused.sort_unstable();
    found
}

/// The first line of a text that says something, its blanks made single.
fn tidy(text: &str) -> Option<String> {
    let plain = |line: &str| {
        let line: String = line.chars().map(|c| if c.is_control() { ' ' } else { c }).collect();
        line.split_whitespace().collect::<Vec<_>>().join(" ")
    };
    let name = text.lines().map(plain).find(|line| !line.is_empty())?;
    Some(name.chars().take(LONGEST).collect())
}

/// Boxes in reading order: rows from the top, each from left to right. A row takes in whatever has its middle above the
/// lower edge of the row's topmost box.
pub(super) fn reading_order(boxes: &[Rect]) -> Vec<usize> {
    let middle = |i: usize| boxes[i].center().y;
    let mut order: Vec<usize> = (0..boxes.len()).collect();
    order.sort_by(|&a, &b| {
        boxes[b].y1.total_cmp(&boxes[a].y1).then(boxes[a].x0.total_cmp(&boxes[b].x0)).then(a.cmp(&b))
    });
    let mut rows: Vec<Vec<usize>> = Vec::new();
    let mut floor = f64::INFINITY;
    for i in order {
        if middle(i) < floor || rows.is_empty() {
            rows.push(Vec::new());
            floor = boxes[i].y0;
        }
        if let Some(row) = rows.last_mut() {
            row.push(i);
        }
    }
    for row in &mut rows {
        row.sort_by(|&a, &b| boxes[a].x0.total_cmp(&boxes[b].x0).then(a.cmp(&b)));
    }
    rows.concat()
}

/// Names that are taken.
#[derive(Debug, Default)]
pub(super) struct Taken {
    names: BTreeSet<String>,
    next: BTreeMap<String, usize>,
}

impl Taken {
    /// Takes a name.
    pub(super) fn take(&mut self, name: &str) {
        self.names.insert(name.to_owned());
    }

    /// The next number that is no name yet.
    pub(super) fn number(&mut self) -> String {
        let mut next = self.next.get("").copied().unwrap_or(1);
        while !self.names.insert(next.to_string()) {
            next += 1;
        }
        self.next.insert(String::new(), next + 1);
        next.to_string()
    }

    /// The name with a number behind it that makes it different from all others.
    pub(super) fn numbered(&mut self, name: &str) -> String {
        let mut next = self.next.get(name).copied().unwrap_or(2);
        while !self.names.insert(format!("{name}-{next}")) {
            next += 1;
        }
        self.next.insert(name.to_owned(), next + 1);
        format!("{name}-{next}")
    }
}
