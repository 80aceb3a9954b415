//! A straight spar through many parts: do the places that it runs through lie in a line?

use super::bench::Bench;
use super::{Row, measure};
use crate::stages::job::fit::{Fit, Station};

/// Stations nearer to each other than this, mm, are the same.
const SAME: f64 = 1e-6;

impl Bench<'_> {
    /// A row for each place: where it is, and where the straight line through them has it.
    pub(super) fn line(&mut self, fit: &Fit, stations: &[Station]) -> Option<Vec<Row>> {
        let mut places = Vec::with_capacity(stations.len());
        let mut parts = Vec::with_capacity(stations.len());
        for station in stations {
            let part = self.part(&station.part, fit)?;
            let target = (station.target, station.along_deg);
            let Some(place) = measure::place(&self.parts[part].region, station.from, target) else {
                self.nowhere(fit, part);
                return None;
            };
            parts.push(part);
            places.push((station.station_mm, place));
        }
        let Some(line) = straight(&places) else {
            self.wrong(fit, "fit-line", "all stations are the same", "give each its distance from the root");
            return None;
        };
        let row = |(part, (station, is)): (&usize, &(f64, f64))| {
            let name = format!("{} at {}", fit.name, round(*station));
            self.row(fit, name, *part, (line.0 + line.1 * station, *is))
        };
        Some(parts.iter().zip(&places).map(row).collect())
    }
}

fn round(station: f64) -> f64 {
    (station * 10.0).round() / 10.0
}

/// Offset and slope of the line from which the places are off by the least sum: it runs through two of them (Barrodale and
/// Roberts, SIAM J. Numer. Anal. 10, 1973), so that one rib that is wrong does not draw it away from all the others.
fn straight(places: &[(f64, f64)]) -> Option<(f64, f64)> {
    let mut best: Option<(f64, (f64, f64))> = None;
    for (i, a) in places.iter().enumerate() {
        for b in &places[i + 1..] {
            if (b.0 - a.0).abs() < SAME {
                continue;
            }
            let slope = (b.1 - a.1) / (b.0 - a.0);
            let line = (a.1 - slope * a.0, slope);
            let off: f64 = places.iter().map(|p| (p.1 - line.0 - line.1 * p.0).abs()).sum();
            if best.is_none_or(|(least, _)| off < least) {
                best = Some((off, line));
            }
        }
    }
    best.map(|(_, line)| line)
}
