//! Chips: how thick a tooth cuts them where it has little wood before it.
//!
//! A cutter of diameter D that takes `a` of wood from the side, less than half of D, meets it along an arc that ends at the
//! wall; with a feed of `f` per tooth its thickest chip is `2 f sqrt(a/D - (a/D)^2)` (geometry: the sine of the angle at which the
//! tooth leaves the wood, whose cosine is `1 - 2 a/D`). From half of D on it is `f`. Teeth that cut less than they are made for
//! rub and burn; so much faster the feed may be.

/// The thickest chip as a share of the feed per tooth, 0 to 1.
#[must_use]
pub fn share(engagement_mm: f64, diameter_mm: f64) -> f64 {
    let part = engagement_mm / diameter_mm;
    if part >= 0.5 {
        return 1.0;
    }
    2.0 * (part - part * part).max(0.0).sqrt()
}

/// How many times faster the feed may be so that the chips are as thick as where the cutter has wood all around it: at most
/// `most` times, and never slower.
#[must_use]
pub fn faster(engagement_mm: f64, diameter_mm: f64, most: f64) -> f64 {
    let share = share(engagement_mm, diameter_mm);
    if share > 0.0 { (1.0 / share).min(most).max(1.0) } else { 1.0 }
}
