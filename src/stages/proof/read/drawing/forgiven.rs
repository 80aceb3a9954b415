//! What the drawing stage's reader had to say, as it counts here.

use crate::problem::{Problem, Problems, Severity};
use crate::stages::drawing::Found;

/// Problems of these codes are about what a person can say and a machine sets by hand.
const CAN_BE_SAID: [&str; 1] = ["units-missing"];

/// The reader's problems and what it left out. In a strict file all of it is wrong, save mere notes; in another one, a
/// missing unit is only told, and millimetres are taken.
pub(super) fn judged(problems: Problems, found: Option<&Found>, name: &str, strict: bool) -> Vec<Problem> {
    let mut judged: Vec<Problem> = problems.into_iter().map(|problem| weighed(problem, strict)).collect();
    if let Some(found) = found {
        judged.extend(left_out(found, strict).map(|problem| problem.in_file(name)));
    }
    judged
}

fn weighed(problem: Problem, strict: bool) -> Problem {
    let severity = match problem.severity {
        Severity::Warning if strict => Severity::Error,
        Severity::Error if !strict && CAN_BE_SAID.contains(&problem.code) => Severity::Warning,
        as_it_is => as_it_is,
    };
    let severity_changed = severity != problem.severity && !strict;
    let message = if severity_changed {
        format!("{}; it was read in millimetres", problem.message)
    } else {
        problem.message
    };
    Problem { severity, message, ..problem }
}

/// What a machine may see and the proof does not: texts, points, hidden layers, entities of other kinds.
fn left_out(found: &Found, strict: bool) -> Option<Problem> {
    let (texts, points) = (found.texts.len(), found.points.len());
    let mut seen: Vec<String> = found.unused.iter().map(|(kind, count)| format!("{count} {kind}")).collect();
    seen.extend((texts > 0).then(|| format!("{texts} texts")));
    seen.extend((points > 0).then(|| format!("{points} points")));
    if seen.is_empty() {
        return None;
    }
    let message = format!("the file holds what is not judged: {}", seen.join(", "));
    let hint = "a machine may burn it all the same; take it out, or turn texts into lines";
    Some(weighed(Problem::warning("not-judged", message).hint(hint), strict))
}
