//! Small drawings written by the tests, and what is found in them.

use grainwise::geometry::curve::Curve;
use grainwise::geometry::{Point, Rect, Segment};
use grainwise::problem::{Problem, Problems, Severity};
use grainwise::stages::drawing::Found;
use grainwise::stages::drawing::find::find;
use grainwise::stages::job::{DrawingSource, LayerRules};
use grainwise::units::Unit;

/// What came out of one file.
#[derive(Debug)]
pub(super) struct Read {
    pub(super) found: Option<Found>,
    pub(super) problems: Vec<Problem>,
}

/// Reads bytes as a file in this unit.
pub(super) fn read_as(bytes: &[u8], units: Option<Unit>, rules: &LayerRules) -> Read {
    let source = DrawingSource { file: "test".to_owned(), units, px_per_inch: 96.0, stretch: None };
    let mut problems = Problems::new();
    let found = find(&source, bytes, rules, &mut problems);
    Read { found, problems: problems.into_iter().collect() }
}

/// Reads bytes that say their unit, or an SVG.
pub(super) fn read(bytes: impl AsRef<[u8]>) -> Read {
    read_as(bytes.as_ref(), None, &LayerRules::default())
}

/// Reads a DXF file with these entities, in millimetres.
pub(super) fn entities(groups: &str) -> Read {
    read(dxf(groups))
}

/// A DXF file in millimetres with these entities, in the short form `0 LINE|10 1|20 2`.
pub(super) fn dxf(groups: &str) -> String {
    file("", "", groups)
}

/// A DXF file in millimetres with these layers, blocks and entities.
pub(super) fn file(layers: &str, blocks: &str, entities: &str) -> String {
    let parts = [
        "0 SECTION|2 HEADER|9 $ACADVER|1 AC1015|9 $INSUNITS|70 4|0 ENDSEC",
        "0 SECTION|2 TABLES|0 TABLE|2 LAYER",
        layers,
        "0 ENDTAB|0 ENDSEC|0 SECTION|2 BLOCKS",
        blocks,
        "0 ENDSEC|0 SECTION|2 ENTITIES",
        entities,
        "0 ENDSEC|0 EOF",
    ];
    lines(&parts.map(str::trim).into_iter().filter(|part| !part.is_empty()).collect::<Vec<_>>().join("|"))
}

/// Code and value on lines of their own.
pub(super) fn lines(groups: &str) -> String {
    pairs(groups).iter().map(|(code, value)| format!("{code}\n{value}\n")).collect::<Vec<_>>().concat()
}

/// Codes and values of the short form.
pub(super) fn pairs(groups: &str) -> Vec<(i32, String)> {
    groups
        .split('|')
        .map(|group| {
            let (code, value) = group.trim().split_once(' ').unwrap_or((group.trim(), ""));
            (code.parse().unwrap(), value.to_owned())
        })
        .collect()
}

impl Read {
    /// What was found; the file must have been read.
    pub(super) fn found(&self) -> &Found {
        self.found.as_ref().unwrap_or_else(|| panic!("nothing was read: {:?}", self.problems))
    }

    /// What was found in a file in which nothing is wrong.
    pub(super) fn clean(&self) -> &Found {
        assert_eq!(self.problems, Vec::new());
        self.found()
    }

    /// The curves of the only stroke.
    pub(super) fn only(&self) -> &[Curve] {
        let strokes = &self.found().strokes;
        assert_eq!(strokes.len(), 1, "{strokes:?} {:?}", self.problems);
        &strokes[0].item.curves
    }

    /// Whether the only stroke is closed.
    pub(super) fn closed(&self) -> bool {
        self.found().strokes[0].item.closed
    }

    /// The first problem of this code.
    pub(super) fn problem(&self, code: &str) -> &Problem {
        let met = self.problems.iter().find(|problem| problem.code == code);
        met.unwrap_or_else(|| panic!("no {code} among {:?}", self.problems))
    }

    /// Whether anything stops the job.
    pub(super) fn stops(&self) -> bool {
        self.problems.iter().any(|problem| problem.severity == Severity::Error)
    }

    /// How many of a kind were used.
    pub(super) fn used(&self, kind: &str) -> usize {
        self.found().used.get(kind).copied().unwrap_or(0)
    }

    /// How many of a kind were not used.
    pub(super) fn unused(&self, kind: &str) -> usize {
        self.found().unused.get(kind).copied().unwrap_or(0)
    }

    /// The rectangle around all curves.
    pub(super) fn bounds(&self) -> Rect {
        let curves = self.found().strokes.iter().flat_map(|stroke| &stroke.item.curves);
        curves.map(Curve::bounds).reduce(|a, b| a.union(b)).unwrap()
    }
}

/// The line or arc that a curve is.
pub(super) fn segment(curve: &Curve) -> Segment {
    match curve {
        Curve::Segment(segment) => *segment,
        other => panic!("{other:?} is no line and no circular arc"),
    }
}

/// Asserts that two points are the same within `within` millimetres.
#[track_caller]
pub(super) fn near_by(a: Point, b: (f64, f64), within: f64) {
    assert!(a.distance(Point::new(b.0, b.1)) <= within, "{a:?} is not {b:?}");
}

/// Asserts that two points are the same within a millionth of a millimetre.
#[track_caller]
pub(super) fn near(a: Point, b: (f64, f64)) {
    near_by(a, b, 1e-6);
}

/// Asserts that a rectangle has these corners, within a millionth of a millimetre.
#[track_caller]
pub(super) fn spans(rect: Rect, low: (f64, f64), high: (f64, f64)) {
    near(rect.origin(), low);
    near(Point::new(rect.x1, rect.y1), high);
}
