//! G-code to [`Program`], by the dialect of its post.

use std::io::{self, BufRead};

use super::Reading;
use super::traces::Traces;
use crate::problem::Severity;
use crate::stages::proof::Program;
use crate::stages::proof::ngc::{self, Dialect, Fault, LineRead, Listener, Step};
use crate::stages::proof::sense::{Form, Sense, Tally};
use crate::stages::proof::totals::Sum;
use crate::stages::proof::way::Way;

/// Reads a program line after line.
pub(super) fn stream(
    reader: impl BufRead,
    name: &str,
    reading: &Reading,
    keep_traces: bool,
) -> io::Result<Program> {
    let dialect = reading.post.map_or_else(Dialect::standard, Dialect::of);
    let beam = dialect.beam.is_some();
    let rapid = reading.limits.rapid_mm_min;
    let mut watching = Watching {
        unsaid_height: beam.then_some(0.0),
        traces: keep_traces.then(|| Traces::new(beam, rapid.unwrap_or(0.0))),
        sum: Sum::new(beam, rapid),
        sense: Sense::new(reading.limits, reading.post, beam, reading.strict),
        form: reading.post.filter(|_| reading.strict).map(Form::new),
        tally: Tally::new(name),
    };
    ngc::stream(reader, &dialect, &mut watching)?;
    Ok(watching.program())
}

/// Everything that looks at a program while it is read.
struct Watching<'a> {
    /// The height of a program that names none: a beam's.
    unsaid_height: Option<f64>,
    traces: Option<Traces>,
    sum: Sum,
    sense: Sense<'a>,
    form: Option<Form>,
    tally: Tally,
}

impl Listener for Watching<'_> {
    fn step(&mut self, step: &Step) {
        let way = Way::of(&step.motion, self.unsaid_height);
        if let Some(traces) = &mut self.traces {
            traces.step(step, way.as_ref());
        }
        self.sum.step(step, way.as_ref());
        self.sense.step(step, way.as_ref(), &mut self.tally);
    }

    fn fault(&mut self, fault: Fault) {
        if let Some(form) = &mut self.form {
            form.fault(fault.line);
        }
        self.tally.add(fault.code, Severity::Error, || fault.problem(""));
    }

    fn line(&mut self, line: LineRead) {
        if let Some(form) = &mut self.form {
            form.line(line, &mut self.tally);
        }
    }
}

impl Watching<'_> {
    fn program(mut self) -> Program {
        self.sense.finish(&mut self.tally);
        Program {
            traces: self.traces.map(Traces::into_traces).unwrap_or_default(),
            totals: self.sum.totals(),
            problems: self.tally.into_problems(),
        }
    }
}
