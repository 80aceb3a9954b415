//! Problems as data: what is wrong, where, and what to do about it. Stages collect them; only `cli` prints them.

use serde::Serialize;

use crate::geometry::Point;

/// How much a problem matters.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Severity {
    /// Nothing is written while it stands.
    Error,
    /// Files are written; the person should know.
    Warning,
    /// Told for completeness.
    Note,
}

/// One thing wrong.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Problem {
    /// A short name that stays the same, such as `open-outline`.
    pub code: &'static str,
    /// How much it matters.
    pub severity: Severity,
    /// The file it lies in, as the person named it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub file: Option<String>,
    /// Line in that file, from 1.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub line: Option<usize>,
    /// Column in that line, from 1.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub column: Option<usize>,
    /// The layer of the drawing.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub layer: Option<String>,
    /// The part.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub part: Option<String>,
    /// Where, in drawing coordinates, millimetres.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub at_mm: Option<[f64; 2]>,
    /// What is wrong, in one sentence.
    pub message: String,
    /// What to do about it.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub hint: String,
}

impl Problem {
    fn new(code: &'static str, severity: Severity, message: impl Into<String>) -> Self {
        Self {
            code,
            severity,
            file: None,
            line: None,
            column: None,
            layer: None,
            part: None,
            at_mm: None,
            message: message.into(),
            hint: String::new(),
        }
    }

    /// A problem that stops the job.
    pub fn error(code: &'static str, message: impl Into<String>) -> Self {
        Self::new(code, Severity::Error, message)
    }

    /// A problem that the person should know.
    pub fn warning(code: &'static str, message: impl Into<String>) -> Self {
        Self::new(code, Severity::Warning, message)
    }

    /// Something told for completeness.
    pub fn note(code: &'static str, message: impl Into<String>) -> Self {
        Self::new(code, Severity::Note, message)
    }

    /// In this file.
    #[must_use]
    pub fn in_file(mut self, file: impl Into<String>) -> Self {
        self.file = Some(file.into());
        self
    }

    /// At this line and column, both from 1.
    #[must_use]
    pub fn at_line(mut self, line: usize, column: usize) -> Self {
        (self.line, self.column) = (Some(line), Some(column));
        self
    }

    /// On this layer.
    #[must_use]
    pub fn on_layer(mut self, layer: impl Into<String>) -> Self {
        self.layer = Some(layer.into());
        self
    }

    /// Of this part.
    #[must_use]
    pub fn of_part(mut self, part: impl Into<String>) -> Self {
        self.part = Some(part.into());
        self
    }

    /// At this point of the drawing, in millimetres.
    #[must_use]
    pub fn at(mut self, point: Point) -> Self {
        self.at_mm = Some([point.x, point.y]);
        self
    }

    /// With what to do about it.
    #[must_use]
    pub fn hint(mut self, hint: impl Into<String>) -> Self {
        self.hint = hint.into();
        self
    }
}

/// All problems met so far, in the order met.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Problems(Vec<Problem>);

impl Problems {
    /// None so far.
    pub const fn new() -> Self {
        Self(Vec::new())
    }

    /// One more.
    pub fn push(&mut self, problem: Problem) {
        self.0.push(problem);
    }

    /// All of another stage's.
    pub fn extend(&mut self, others: impl IntoIterator<Item = Problem>) {
        self.0.extend(others);
    }

    /// Problems of one kind: one by one up to a number, the rest counted in one more.
    pub fn extend_counted(&mut self, alike: Vec<Problem>, told: usize) {
        let more = alike.len().saturating_sub(told);
        let last = alike.get(told).map(|p| (p.code, p.severity, p.file.clone()));
        self.0.extend(alike.into_iter().take(told));
        if let Some((code, severity, file)) = last {
            let mut problem = Problem::new(code, severity, format!("and {more} more like this"));
            problem.file = file;
            self.0.push(problem);
        }
    }

    /// Whether any of them stops the job.
    pub fn stop(&self) -> bool {
        self.0.iter().any(|p| p.severity == Severity::Error)
    }

    /// Errors of these codes become warnings: what they speak of is left out.
    pub fn soften(&mut self, codes: &[&str]) {
        for problem in &mut self.0 {
            if problem.severity == Severity::Error && codes.contains(&problem.code) {
                problem.severity = Severity::Warning;
                problem.message.push_str("; it is left out");
            }
        }
    }

    /// All of them.
    pub fn iter(&self) -> std::slice::Iter<'_, Problem> {
        self.0.iter()
    }

    /// All of them, as a slice.
    pub fn as_slice(&self) -> &[Problem] {
        &self.0
    }

    /// How many.
    pub fn len(&self) -> usize {
        self.0.len()
    }

    /// Whether there is none.
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }
}

impl IntoIterator for Problems {
    type Item = Problem;
    type IntoIter = std::vec::IntoIter<Problem>;

    fn into_iter(self) -> Self::IntoIter {
        self.0.into_iter()
    }
}

impl<'a> IntoIterator for &'a Problems {
    type Item = &'a Problem;
    type IntoIter = std::slice::Iter<'a, Problem>;

    fn into_iter(self) -> Self::IntoIter {
        self.0.iter()
    }
}
