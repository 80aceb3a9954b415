//! What a line is for: the job's patterns over layer names and colours.

use globset::{GlobBuilder, GlobSet, GlobSetBuilder};

use super::Role;
use super::talk::Talk;
use crate::problem::Problem;
use crate::stages::job::LayerRules;

/// What the rules make of a line.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Verdict {
    /// Used, in this role.
    Is(Role),
    /// On the list of what is left out.
    Ignored,
    /// On no list.
    Unmatched,
}

/// One list of the rules: patterns over layers, and over colours.
#[derive(Debug)]
struct List {
    layers: GlobSet,
    colours: GlobSet,
}

/// The lists, ready to match, in the order in which they are asked.
#[derive(Debug)]
pub(super) struct Roles {
    lists: Vec<(Verdict, List)>,
}

impl Roles {
    /// The rules made ready; a pattern that cannot be understood is a problem.
    pub(super) fn new(rules: &LayerRules, talk: &mut Talk) -> Self {
        let mut list = |patterns: &[String]| {
            let (colours, layers): (Vec<&String>, Vec<&String>) =
                patterns.iter().partition(|pattern| is_colour(pattern));
            List { layers: set_of(&layers, talk), colours: set_of(&colours, talk) }
        };
        let mut lists = vec![
            (Verdict::Ignored, list(&rules.ignore)),
            (Verdict::Is(Role::Grain), list(&rules.grain)),
            (Verdict::Is(Role::Mark), list(&rules.mark)),
            (Verdict::Is(Role::Score), list(&rules.score)),
        ];
        let recesses = rules.recess.iter();
        lists.extend(recesses.map(|(layers, depth)| (Verdict::Is(Role::Recess(*depth)), list(layers))));
        lists.push((Verdict::Is(Role::Cut), list(&rules.cut)));
        Self { lists }
    }

    /// What a line is for whose layer (or groups, from the nearest outwards) has these names, and which has these colours
    /// (see [`colour_name`] and [`colour_number`]). The first list wins on which any of them stands.
    pub(super) fn verdict<S: AsRef<str>>(&self, names: &[S], colours: &[String]) -> Verdict {
        let on = |list: &List| {
            names.iter().any(|name| list.layers.is_match(name.as_ref()))
                || colours.iter().any(|colour| list.colours.is_match(colour))
        };
        self.lists.iter().find(|(_, list)| on(list)).map_or(Verdict::Unmatched, |(verdict, _)| *verdict)
    }
}

/// A colour as patterns name it.
pub(super) fn colour_name(rgb: u32) -> String {
    format!("#{:06x}", rgb & 0x00ff_ffff)
}

/// A colour number of a DXF file as patterns name it.
pub(super) fn colour_number(number: i16) -> String {
    format!("colour:{number}")
}

/// Whether a pattern is one over colours.
fn is_colour(pattern: &str) -> bool {
    let lower = pattern.trim().to_lowercase();
    lower.starts_with('#') || lower.starts_with("colour:")
}

fn set_of(patterns: &[&String], talk: &mut Talk) -> GlobSet {
    let mut builder = GlobSetBuilder::new();
    for pattern in patterns {
        match GlobBuilder::new(&escaped(pattern)).case_insensitive(true).literal_separator(false).build() {
            Ok(glob) => {
                builder.add(glob);
            }
            Err(error) => talk.push(bad_pattern(pattern, &error.kind().to_string())),
        }
    }
    builder.build().unwrap_or_else(|error| {
        talk.push(bad_pattern("the list", &error.to_string()));
        GlobSet::empty()
    })
}

/// Only `*`, `?` and `{a,b}` mean something.
fn escaped(pattern: &str) -> String {
    let mut escaped = String::with_capacity(pattern.len());
    for c in pattern.trim().chars() {
        if matches!(c, '[' | ']' | '\\') {
            escaped.push('\\');
        }
        escaped.push(c);
    }
    escaped
}

fn bad_pattern(pattern: &str, why: &str) -> Problem {
    Problem::error("layer-pattern", format!("'{pattern}' is no pattern over layers: {why}"))
        .hint("use * for anything, ? for one letter, {a,b} for a choice, #rrggbb or colour:N for a colour")
}
