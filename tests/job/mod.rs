//! Tests of job.

mod craft;
mod hostile;
mod read;
mod refuse;

use std::path::Path;

use grainwise::problem::{Problem, Problems};
use grainwise::stages::job::{self, Job};

/// The job of a text that has nothing wrong with it.
fn good(text: &str) -> Job {
    let mut problems = Problems::new();
    let job = job::parse(text, "job.yaml", Path::new("shelf"), &mut problems);
    assert_eq!(problems, Problems::new());
    job.unwrap()
}

/// Everything wrong with a text.
fn problems(text: &str) -> Vec<Problem> {
    let mut problems = Problems::new();
    job::parse(text, "job.yaml", Path::new("."), &mut problems);
    problems.into_iter().collect()
}

/// The only problem of a text: code, line and column.
fn only(text: &str) -> (Problem, usize, usize) {
    let mut found = problems(text);
    assert_eq!(found.len(), 1, "{found:#?}");
    let problem = found.remove(0);
    assert_eq!(problem.file.as_deref(), Some("job.yaml"));
    let (line, column) = (problem.line.unwrap(), problem.column.unwrap());
    (problem, line, column)
}
