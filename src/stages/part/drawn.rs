//! Lines to be scored or marked: each to the part in whose material it lies.

use super::tree::boxes;
use crate::geometry::distance::{SegmentIndex, Visit};
use crate::geometry::{Chain, Rect, Region, Segment};
use crate::stages::drawing::Drawn;

/// A piece of a line shorter than this, in millimetres, is not worth drawing, nor missing.
const SPECK: f64 = 0.05;

/// The pieces of the lines that lie in each region's material, and how much of each line lies in none.
#[derive(Debug)]
pub(super) struct Shares {
    /// For each region: `(line, piece)`.
    pub(super) pieces: Vec<Vec<(usize, Chain)>>,
    /// For each line, length in millimetres outside all material.
    pub(super) outside: Vec<f64>,
}

/// Shares the lines out among the regions.
pub(super) fn shares(regions: &[(&Region, &SegmentIndex)], lines: &[&Drawn<Chain>]) -> Shares {
    let mut shares = Shares { pieces: vec![Vec::new(); regions.len()], outside: Vec::new() };
    let index = boxes(regions.iter().map(|(region, _)| region.bounds()));
    for (number, line) in lines.iter().enumerate() {
        let b = line.item.bounds();
        let mut left = line.item.length();
        let mut near = index.as_ref().map(|index| index.query(b.x0, b.y0, b.x1, b.y1)).unwrap_or_default();
        near.sort_unstable();
        for region in near {
            for piece in within(&line.item, regions[region].1) {
                left -= piece.length();
                shares.pieces[region].push((number, piece));
            }
        }
        shares.outside.push(if left > SPECK { left } else { 0.0 });
    }
    shares
}

/// The pieces of a chain that lie in the material between the outlines of an index.
fn within(chain: &Chain, index: &SegmentIndex) -> Vec<Chain> {
    let mut pieces: Vec<Vec<Segment>> = vec![Vec::new()];
    for segment in chain.segments() {
        for part in parted(segment, index) {
            let row = pieces.len() - 1;
            if index.winding(part.at(0.5)) != 0 {
                pieces[row].push(part);
            } else if !pieces[row].is_empty() {
                pieces.push(Vec::new());
            }
        }
    }
    let chains = pieces.iter().filter_map(|row| Chain::from_segments(row).ok());
    chains.filter(|chain| chain.length() > SPECK).collect()
}

/// A segment cut where it crosses the outlines; whole where it crosses none.
fn parted(segment: Segment, index: &SegmentIndex) -> Vec<Segment> {
    let mut stops = vec![0.0, 1.0];
    let alone = SegmentIndex::new([segment]);
    let area: Rect = alone.bounds();
    index.visit(area, |which| {
        stops.extend(alone.piece(0).crossings(index.piece(which)).map(|at| segment.nearest(at).0));
        Visit::Go
    });
    stops.sort_by(f64::total_cmp);
    stops.dedup();
    if stops.len() == 2 {
        return vec![segment];
    }
    stops.windows(2).map(|pair| segment.between(pair[0], pair[1])).collect()
}
