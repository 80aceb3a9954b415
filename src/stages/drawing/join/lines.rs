//! Lines that are drawn on parts, not cut through: scores, marks, grain.

use super::net::Net;
use super::{Joining, Removed, Stroke, close, double, is_closed, layer_of, meet, outlines, walk};
use crate::geometry::{Chain, fit};
use crate::stages::drawing::Drawn;

/// The lines of one role, joined end to end; closed ones are opened at their first vertex.
pub(super) fn lines(
    strokes: &[&Drawn<Stroke>],
    joining: Joining,
    removed: &mut Removed,
) -> Vec<Drawn<Chain>> {
    let Some(first) = strokes.first() else { return Vec::new() };
    let (closed, open): (Vec<usize>, Vec<usize>) =
        (0..strokes.len()).partition(|&number| is_closed(&strokes[number].item));
    let curves = open.iter().flat_map(|&n| strokes[n].item.curves.iter().cloned().map(move |c| (c, n)));
    let mut net = Net::new(curves);
    let doubled = double::remove(&mut net, joining.join_mm);
    meet::pair(&mut net, joining.join_mm);
    removed.doubled += doubled.0;
    removed.specks += net.specks;
    removed.at = removed.at.or(doubled.1);

    let mut rows = Vec::new();
    for number in closed {
        let (ring, dropped) = outlines::closed_stroke(&strokes[number].item, number);
        removed.specks += dropped;
        rows.extend(ring.map(|ring| (ring.curves, number)));
    }
    for steps in walk::runs(&net) {
        let number = steps.iter().map(|step| net.edges[step.edge].stroke).min().unwrap_or(0);
        rows.push((close::run(&net, &steps, joining.join_mm), number));
    }
    rows.sort_by_key(|row| row.1);
    rows.into_iter()
        .filter_map(|(curves, number)| {
            let item = fit::chain(&curves, joining.tolerance_mm).ok()?;
            Some(Drawn { item, layer: layer_of(strokes, number), role: first.role })
        })
        .collect()
}
