//! Whether what is drawn has the colour that the machine's file gives to something else: many machines go by colours, not
//! by names. A colour that stands for nothing there is passed over: no machine does the wrong thing by it unasked.

use std::collections::BTreeSet;

use super::Path;
use crate::problem::Problem;
use crate::shop::{LayerStyle, Machine};
use crate::stages::cut::Operation;
use crate::stages::drawing::Role;
use crate::stages::job::LayerRules;
use crate::stages::proof::{Does, Trace};

/// The colour of something drawn, as far as it matters.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Colour {
    /// A colour number of a DXF.
    Number(i64),
    /// What the drawing stage's reader made of it by [`Colours::rules`].
    Role(Role),
}

/// What a colour stands for in the machine's file.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Tint {
    Cut,
    Mark,
    Score,
    /// Nothing.
    Other,
}

/// The machine's colours.
#[derive(Debug)]
pub(super) struct Colours<'a> {
    /// In the order in which the reader asks; cuts stand in the list for grain, as the last list takes everything.
    tints: [(Tint, Vec<&'a LayerStyle>); 3],
    svg: bool,
}

impl<'a> Colours<'a> {
    /// Those of a machine, in an SVG or a DXF.
    pub(super) fn new(machine: &'a Machine, svg: bool) -> Self {
        let layers = &machine.layers;
        Self {
            tints: [
                (Tint::Cut, vec![&layers.cut_inside, &layers.cut_outside]),
                (Tint::Mark, vec![&layers.mark]),
                (Tint::Score, vec![&layers.score]),
            ],
            svg,
        }
    }

    /// Rules by which the drawing stage's reader takes everything, and sorts it by colour.
    pub(super) fn rules(&self) -> LayerRules {
        let pattern = |style: &&LayerStyle| {
            if self.svg { style.svg_colour.clone() } else { format!("colour:{}", style.dxf_colour) }
        };
        let [cut, mark, score] = [0, 1, 2].map(|i| self.tints[i].1.iter().map(pattern).collect());
        LayerRules { score, mark, grain: cut, ..LayerRules::all_cut() }
    }

    /// A problem for each layer on which something has a colour that stands for something else.
    pub(super) fn odd(&self, paths: &[Path], traces: &[Trace], strict: bool) -> Vec<Problem> {
        let odd: BTreeSet<&str> = paths
            .iter()
            .zip(traces)
            .filter(|(path, trace)| match &trace.does {
                Does::Says(operation) => {
                    ![Tint::Other, self.expected(*operation)].contains(&self.tint(path.colour))
                }
                _ => false,
            })
            .map(|(path, _)| path.layer.as_str())
            .collect();
        let new = if strict { Problem::error } else { Problem::warning };
        let problem = |layer: &str| {
            let message = format!("something on layer '{layer}' has the colour of what does something else");
            new("odd-colour", message)
                .on_layer(layer)
                .hint("a machine that goes by colours does that there; the machine's file says which colour is which")
        };
        odd.into_iter().map(problem).collect()
    }

    fn tint(&self, colour: Colour) -> Tint {
        match colour {
            Colour::Role(Role::Grain) => Tint::Cut,
            Colour::Role(Role::Mark) => Tint::Mark,
            Colour::Role(Role::Score) => Tint::Score,
            Colour::Role(Role::Cut | Role::Recess(_)) => Tint::Other,
            Colour::Number(number) => self.first(|style| i64::from(style.dxf_colour) == number),
        }
    }

    /// What the colour of an operation's own layer stands for: where two share one, the first.
    fn expected(&self, operation: Operation) -> Tint {
        let own = match operation {
            Operation::CutInside => self.tints[0].1[0],
            Operation::CutOutside => self.tints[0].1[1],
            Operation::Mark => self.tints[1].1[0],
            Operation::Score | Operation::Recess => self.tints[2].1[0],
        };
        self.first(|style| {
            if self.svg {
                style.svg_colour.eq_ignore_ascii_case(&own.svg_colour)
            } else {
                style.dxf_colour == own.dxf_colour
            }
        })
    }

    fn first(&self, is: impl Fn(&LayerStyle) -> bool) -> Tint {
        let found = self.tints.iter().find(|(_, styles)| styles.iter().any(|style| is(style)));
        found.map_or(Tint::Other, |(tint, _)| *tint)
    }
}
