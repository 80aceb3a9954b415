//! The files that a job names.

use std::path::PathBuf;

use super::measured::{Form, Measured, Pricks, Way};
use super::ribs::{RibSet, Source};
use super::{DEFAULT_MACHINE, Job};

impl Job {
    /// Every file that may be named in it: drawings, points, sections, planforms, and a machine or a post that may be a name
    /// instead. In the order of the job, as paths from where the command runs; none twice.
    pub fn files(&self) -> Vec<PathBuf> {
        let drawings = self.drawings.iter().map(|drawing| drawing.file.as_str());
        let measured = self.measured.iter().flat_map(pricked);
        let ribs = self.ribs.iter().flat_map(sections);
        let remnants = self.stock.iter().filter_map(|stock| stock.outline_file.as_deref());
        let machine = Some(self.machine.as_str()).filter(|name| *name != DEFAULT_MACHINE);
        let shop = machine.into_iter().chain(self.post.as_deref());
        let mut found: Vec<PathBuf> = Vec::new();
        let named = drawings.chain(measured).chain(ribs).chain(remnants).chain(shop);
        for file in named.map(|name| self.folder.join(name)) {
            if !found.contains(&file) {
                found.push(file);
            }
        }
        found
    }
}

/// Files of pricked points.
fn pricked(piece: &Measured) -> Vec<&str> {
    let forms = std::iter::once(&piece.form).chain(piece.holes.iter().map(|hole| &hole.form));
    let curves = forms.flat_map(|form| match form {
        Form::Pricked(pricks) => vec![pricks],
        Form::Edges(_, edges) => edges
            .iter()
            .filter_map(|edge| match &edge.way {
                Way::Curve(pricks, ..) => Some(pricks),
                _ => None,
            })
            .collect(),
        _ => Vec::new(),
    });
    curves
        .filter_map(|pricks| match pricks {
            Pricks::File(file, _) => Some(file.as_str()),
            Pricks::List(_) => None,
        })
        .collect()
}

/// Files of sections, and the drawing of the wing from above.
fn sections(set: &RibSet) -> impl Iterator<Item = &str> {
    let ends = [&set.root, &set.tip].into_iter().filter_map(|end| match &end.section {
        Source::Coordinates(file) | Source::Drawn(file, _) => Some(file.as_str()),
        Source::Naca(_) => None,
    });
    ends.chain(set.planform.as_deref())
}
