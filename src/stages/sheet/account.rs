//! What the sheets of a wood come to: how many, what they cost, how much of them is used, what stands against one less.

use std::collections::BTreeSet;

use super::{Layout, Sheet, alike};
use crate::stages::job::Stock;
use crate::stages::part::Part;

/// No layout of many parts fills more of its sheets than this: beyond it one sheet less is out of reach.
pub(super) const FULLEST: f64 = 0.97;

/// The sheets of one wood and thickness.
#[derive(Clone, Debug, PartialEq)]
pub struct Account {
    /// Wood by name.
    pub wood: String,
    /// Thickness, mm.
    pub thickness_mm: f64,
    /// How many sheets are used.
    pub sheets: usize,
    /// The fewest sheets in stock, the largest first, whose area is that of the parts.
    pub least_sheets: usize,
    /// Area of the pieces, mm².
    pub pieces_mm2: f64,
    /// Area of the sheets, mm².
    pub sheets_mm2: f64,
    /// What they cost together; none where the price of one is not known.
    pub cost: Option<f64>,
    /// What stands against one sheet less; none where there is but one.
    pub one_less: Option<OneLess>,
}

/// What would have to change for one sheet less.
#[derive(Clone, Debug, PartialEq)]
pub struct OneLess {
    /// The sheet that would go: the emptiest.
    pub sheet: usize,
    /// Names of the parts that lie on it.
    pub parts: Vec<String>,
    /// Area of its pieces, mm².
    pub pieces_mm2: f64,
    /// By how much all pieces are too large for the other sheets, however they lie, mm²; 0 where they are not.
    pub too_much_mm2: f64,
}

impl Account {
    /// Share of the sheets' area that is material, 0 to 1.
    pub fn used_fraction(&self) -> f64 {
        self.pieces_mm2 / self.sheets_mm2
    }
}

/// The accounts of a layout, in the order in which woods and thicknesses first appear.
pub fn accounts(layout: &Layout, parts: &[Part], stock: &[Stock]) -> Vec<Account> {
    let mut groups: Vec<Vec<&Sheet>> = Vec::new();
    for sheet in &layout.sheets {
        match groups.iter_mut().find(|group| alike(of(group[0]), of(sheet))) {
            Some(group) => group.push(sheet),
            None => groups.push(vec![sheet]),
        }
    }
    groups.iter().map(|group| account(group, parts, stock)).collect()
}

/// Wood and thickness of a sheet.
fn of(sheet: &Sheet) -> (&str, f64) {
    (&sheet.wood, sheet.thickness_mm)
}

fn account(sheets: &[&Sheet], parts: &[Part], stock: &[Stock]) -> Account {
    let on = |sheet: &Sheet| sheet.placed.iter().map(|p| parts[p.part].region.area()).sum::<f64>();
    let pieces_mm2: f64 = sheets.iter().map(|sheet| on(sheet)).sum();
    let emptiest = sheets.iter().copied().reduce(|a, b| if on(b) < on(a) { b } else { a });
    let others = |gone: &Sheet| sheets.iter().map(|s| s.area_mm2()).sum::<f64>() - gone.area_mm2();
    let one_less = emptiest.filter(|_| sheets.len() > 1).map(|sheet| {
        let names: BTreeSet<&str> = sheet.placed.iter().map(|p| parts[p.part].id.as_str()).collect();
        OneLess {
            sheet: sheet.number,
            parts: names.into_iter().map(str::to_owned).collect(),
            pieces_mm2: on(sheet),
            too_much_mm2: (pieces_mm2 - FULLEST * others(sheet)).max(0.0),
        }
    });
    Account {
        wood: sheets[0].wood.clone(),
        thickness_mm: sheets[0].thickness_mm,
        sheets: sheets.len(),
        least_sheets: least_sheets(sheets[0], pieces_mm2, stock),
        pieces_mm2,
        sheets_mm2: sheets.iter().map(|sheet| sheet.area_mm2()).sum(),
        cost: sheets.iter().map(|sheet| sheet.price).sum(),
        one_less,
    }
}

/// The fewest sheets in stock of this kind that have so much area.
fn least_sheets(like: &Sheet, pieces_mm2: f64, stock: &[Stock]) -> usize {
    let mut sizes: Vec<(f64, Option<u32>)> = stock
        .iter()
        .filter(|stock| alike(of(like), (&stock.wood, stock.thickness_mm)))
        .map(|stock| (stock.area_mm2(), stock.count))
        .collect();
    sizes.sort_by(|a, b| b.0.total_cmp(&a.0));
    let (mut left, mut count) = (pieces_mm2, 0);
    for (area, there) in sizes {
        let takes = (left / area).ceil().max(0.0) as usize;
        let used = there.map_or(takes, |there| takes.min(there as usize));
        count += used;
        left -= area * used as f64;
    }
    count
}
