//! Sheets of one size in stock: their room, what is blocked on them, what they count for.

use super::Room;
use super::blocked::blocked;
use super::kind::{Kind, SIZE_SLACK_MM};
use crate::geometry::{Outline, Rect, Region, Vec2};
use crate::stages::job::{Blank, Clamp, Stock};

/// Sheets of one size.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Size {
    /// Length along the grain, mm.
    pub(super) length: f64,
    /// Width across it, mm.
    pub(super) width: f64,
    /// How many there are; none for as many as it takes.
    pub(super) count: Option<u32>,
    /// What pieces keep their spacing from as if it were a piece, in the sheet's coordinates: what is not there of the
    /// rectangle, what is to be avoided.
    pub(super) blocked: Vec<Region>,
    /// What it is like.
    pub(super) blank: Blank,
    /// What one sheet costs; none where nobody said.
    pub(super) price: Option<f64>,
    /// What it counts for where sheets are chosen.
    pub(super) counts: f64,
    /// How good it is.
    pub(super) quality: u32,
}

impl Size {
    /// The size of the stock.
    pub(super) fn of(stock: &Stock, room: Room) -> Self {
        let (length, width) = (stock.length_mm, stock.width_mm);
        let whole = || vec![Region::new(Outline::rectangle(Rect::new(0.0, 0.0, length, width)), Vec::new())];
        Self {
            length,
            width,
            count: stock.count,
            // What cannot be reckoned is not used.
            blocked: blocked(&stock.blank, (length, width), room).unwrap_or_else(whole),
            blank: stock.blank.clone(),
            price: stock.price,
            counts: stock.area_mm2(),
            quality: stock.quality,
        }
    }

    /// Room within the margins and clear of the clamps, mm: along, across.
    pub(super) fn within(&self, room: Room) -> (f64, f64) {
        let Clamp { left, right, bottom, top } = self.blank.clamp;
        let margins = 2.0 * room.margin_mm;
        (self.length - margins - left - right, self.width - margins - bottom - top)
    }

    /// Where that room begins on the sheet.
    pub(super) fn corner(&self, room: Room) -> Vec2 {
        Vec2::new(room.margin_mm + self.blank.clamp.left, room.margin_mm + self.blank.clamp.bottom)
    }

    /// Area that pieces may take, mm², with half of the spacing around them.
    pub(super) fn free_area(&self, room: Room) -> f64 {
        let (length, width) = self.within(room);
        let within = (length + room.spacing_mm) * (width + room.spacing_mm);
        self.blank.outline.as_ref().map_or(within, |outline| within.min(outline.area()))
    }

    fn area(&self) -> f64 {
        self.blank.area_mm2(self.length, self.width)
    }

    /// Whether a piece of this kind may lie on it, were it empty and nothing blocked.
    pub(super) fn takes(&self, kind: &Kind, room: Room) -> bool {
        let (length, width) = self.within(room);
        let there = || match kind.pin {
            None => kind.fits(length, width),
            Some(pin) => {
                let bounds = Rect::from_origin_size(pin.at, kind.ways[0].bounds.size());
                let all = Rect::from_origin_size(self.corner(room).to_point(), (length, width));
                all.inflate(SIZE_SLACK_MM, SIZE_SLACK_MM).union(bounds)
                    == all.inflate(SIZE_SLACK_MM, SIZE_SLACK_MM)
            }
        };
        kind.quality <= self.quality && there()
    }
}

/// Gives each size what it counts for: its price, or where nobody said one its area at the lowest price for it that is
/// known; its area alone where no price is known.
pub(super) fn count_prices(sizes: &mut [Size]) {
    let rate = |size: &Size| size.price.map(|price| price / size.area());
    let rates = sizes.iter().filter_map(rate).filter(|rate| *rate > 0.0);
    let least = rates.fold(f64::INFINITY, f64::min);
    let rate = if least.is_finite() { least } else { 1.0 };
    for size in sizes {
        // What costs nothing is not to be wasted either.
        let floor = size.area() * rate * FREE_SHARE;
        size.counts = size.price.unwrap_or(size.area() * rate).max(floor);
    }
}

/// What a sheet that costs nothing counts for, as a share of the lowest price.
const FREE_SHARE: f64 = 1e-3;
