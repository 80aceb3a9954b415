//! G-code to [`Program`], by the dialect of its post.

use super::Reading;
use super::traces::Traces;
use crate::stages::proof::ngc::{self, Dialect, Step};
use crate::stages::proof::totals::Sum;
use crate::stages::proof::way::Way;
use crate::stages::proof::{Program, Source};

/// Reads a program.
pub(super) fn read(source: Source<'_>, reading: &Reading) -> Program {
    let dialect = reading.post.map_or_else(Dialect::standard, Dialect::of);
    let beam = dialect.beam.is_some();
    let rapid = reading.limits.rapid_mm_min;
    let mut traces = Traces::new(beam, rapid.unwrap_or(0.0));
    let mut sum = Sum::new(beam, rapid);
    let faults = ngc::read(source.bytes, &dialect, &mut |step: &Step| {
        let way = Way::of(&step.motion, beam.then_some(0.0));
        traces.step(step, way.as_ref());
        sum.step(step, way.as_ref());
    });
    Program {
        traces: traces.into_traces(),
        totals: sum.totals(),
        problems: faults.iter().map(|fault| fault.problem(source.name)).collect(),
    }
}
