//! Tabs spread evenly around a path, within the places allowed to them.

use super::stretch::Interval;

/// So many beginnings of the even spacing are tried.
const PHASES: u32 = 24;

/// The cost of having no place near where one is due, in the measure of [`Interval::penalty`].
const MISSING: f64 = 4.0;

/// A closed path and the tabs wanted on it.
#[derive(Clone, Copy, Debug)]
pub(super) struct Wanted {
    pub(super) count: usize,
    /// Length of the path, mm.
    pub(super) length: f64,
    /// Least distance between the middles of two tabs, mm.
    pub(super) apart: f64,
}

/// The middles of all the tabs wanted, rising, in millimetres along the path; none where they do not all fit.
pub(super) fn spread(wanted: Wanted, allowed: &[Interval]) -> Option<Vec<f64>> {
    if allowed.is_empty() || wanted.apart * wanted.count as f64 > wanted.length {
        return None;
    }
    if wanted.count == 1 {
        return best_middle(wanted, allowed).map(|s| vec![s]);
    }
    let mut places = evenly(wanted, allowed);
    while places.len() < wanted.count {
        places.push(farthest(wanted, allowed, &places)?);
    }
    places.sort_by(f64::total_cmp);
    Some(places)
}

/// The largest distance between neighbours, as a fraction of the path: 1 for a single tab.
pub(super) fn largest_gap(places: &[f64], length: f64) -> f64 {
    let Some((first, last)) = places.first().zip(places.last()) else { return 1.0 };
    let around = first + length - last;
    places.windows(2).map(|pair| pair[1] - pair[0]).fold(around, f64::max) / length
}

/// The middle of the longest of the intervals that are wanted most.
fn best_middle(wanted: Wanted, allowed: &[Interval]) -> Option<f64> {
    let better = |a: &&Interval, b: &&Interval| {
        let longer = (b.to - b.from).total_cmp(&(a.to - a.from));
        a.penalty.total_cmp(&b.penalty).then(longer)
    };
    allowed.iter().min_by(better).map(|best| f64::midpoint(best.from, best.to) % wanted.length)
}

/// For the best of many beginnings, the place nearest to each point of an even spacing, each within its own share of the
/// path, so that none come too close. Shares without a place are left empty.
fn evenly(wanted: Wanted, allowed: &[Interval]) -> Vec<f64> {
    let share = wanted.length / wanted.count as f64;
    let reach = (share - wanted.apart) / 2.0;
    let mut best = (f64::INFINITY, Vec::new());
    for phase in 0..PHASES {
        let begin = share * f64::from(phase) / f64::from(PHASES);
        let mut cost = 0.0;
        let mut places = Vec::with_capacity(wanted.count);
        for i in 0..wanted.count {
            match nearest(wanted, allowed, begin + share * i as f64, share, reach) {
                Some((place, off)) => {
                    places.push(place);
                    cost += off;
                }
                None => cost += MISSING,
            }
        }
        // A later beginning has to be clearly better: rounding must not choose between equals.
        if cost < best.0 - 1e-9 {
            best = (cost, places);
        }
    }
    best.1
}

/// The cheapest place within `reach` of `due`, and its cost.
fn nearest(w: Wanted, allowed: &[Interval], due: f64, share: f64, reach: f64) -> Option<(f64, f64)> {
    let mut best: Option<(f64, f64)> = None;
    for interval in allowed {
        for turn in [-w.length, 0.0, w.length] {
            let place = (due + turn).clamp(interval.from, interval.to);
            let off = (place - due - turn).abs();
            let cost = (off / share).powi(2) + interval.penalty;
            if off <= reach && best.is_none_or(|(_, least)| cost < least - 1e-9) {
                best = Some((place.rem_euclid(w.length), cost));
            }
        }
    }
    best
}

/// The allowed place farthest from all those taken, wanted ones first; none where each is too close to one of them.
fn farthest(w: Wanted, allowed: &[Interval], taken: &[f64]) -> Option<f64> {
    let mut best: Option<(f64, f64)> = None;
    for interval in allowed {
        for place in candidates(w, interval, taken) {
            let room = taken.iter().map(|t| around(place, *t, w.length)).fold(w.length, f64::min);
            let worth = room / w.length - interval.penalty / w.count as f64;
            if room >= w.apart && best.is_none_or(|(most, _)| worth > most + 1e-9) {
                best = Some((worth, place));
            }
        }
    }
    best.map(|(_, place)| place)
}

/// Where in an interval the distance to those taken can be greatest: its ends, and midway between two of them.
fn candidates(w: Wanted, interval: &Interval, taken: &[f64]) -> Vec<f64> {
    let mut sorted = taken.to_vec();
    sorted.sort_by(f64::total_cmp);
    let mut places = vec![interval.from % w.length, interval.to % w.length];
    for (i, a) in sorted.iter().enumerate() {
        let b = sorted.get(i + 1).copied().unwrap_or(sorted[0] + w.length);
        for middle in [f64::midpoint(*a, b), f64::midpoint(*a, b) - w.length, f64::midpoint(*a, b) + w.length]
        {
            if (interval.from..=interval.to).contains(&middle) {
                places.push(middle.rem_euclid(w.length));
            }
        }
    }
    places
}

/// Distance between two places around the path, the shorter way.
pub(super) fn around(a: f64, b: f64, length: f64) -> f64 {
    let ahead = (a - b).rem_euclid(length);
    ahead.min(length - ahead)
}
