//! Shapes in their places, with layer and role.

use usvg::roxmltree::Node;

use super::size::Page;
use super::tree::{Placed, Resolved};
use super::xml::Plan;
use super::{shape, words};
use crate::geometry::curve::Curve;
use crate::geometry::{Affine, FARTHEST, Vec2};
use crate::problem::Problem;
use crate::stages::drawing::role::{Roles, Verdict, colour_name};
use crate::stages::drawing::talk::{Finds, Talk};
use crate::stages::drawing::{Drawn, Role, Stroke, Text};

/// An ellipse this round, in millimetres, is a circle whose transform was rounded to single precision.
const ROUND: f64 = 1e-4;

/// Coordinates carried in single precision lose more than this, in millimetres, where a drawing lies too far out.
const COARSE: f64 = 0.001;

/// So many curves are drawn at most.
const MOST_DRAWN: usize = 4_000_000;

struct Run<'a, 'input, 't, 'f> {
    resolved: &'a Resolved,
    plan: &'a Plan<'a, 'input>,
    page: &'a Page,
    roles: &'a Roles,
    talk: &'t mut Talk<'f>,
    finds: Finds,
    drawn: usize,
    coarse: bool,
    clipped: usize,
}

/// Everything that is drawn.
pub(super) fn run(plan: &Plan, resolved: &Resolved, page: &Page, roles: &Roles, talk: &mut Talk) -> Finds {
    let mut run = Run {
        resolved,
        plan,
        page,
        roles,
        talk,
        finds: Finds::default(),
        drawn: 0,
        coarse: false,
        clipped: 0,
    };
    let mut met = vec![false; plan.shapes.len()];
    for token in &resolved.placed {
        if let Some(node) = plan.shapes.get(token.number) {
            met[token.number] = true;
            run.shape(*node, token);
        }
    }
    for (node, met) in plan.shapes.iter().zip(met) {
        if !met {
            run.finds.unused_as(node.tag_name().name(), not_drawn(*node));
        }
    }
    for (name, count) in &plan.unread {
        run.finds.unused(name, *count);
    }
    run.tell();
    run.finds
}

impl<'a, 'input> Run<'a, 'input, '_, '_> {
    fn shape(&mut self, node: Node<'a, 'input>, token: &Placed) {
        let kind = node.tag_name().name();
        if !token.seen {
            return self.finds.unused_as(kind, "invisible");
        }
        let names = self.names(node, token);
        let layer = self.layer(node, token);
        let colours: Vec<String> = token.rgb.map(colour_name).into_iter().collect();
        let is_text = kind == "text";
        let role = match self.roles.verdict(&names, &colours) {
            Verdict::Ignored => return self.finds.unused_as(kind, "ignored layer"),
            Verdict::Unmatched if is_text => Role::Mark,
            Verdict::Unmatched => return self.finds.unused_as(kind, "layer that no rule names"),
            Verdict::Is(role) => role,
        };
        let map = self.page.to_mm * token.map;
        self.check_distance(token.map);
        self.clipped += usize::from(is_clipped(node));
        if is_text {
            self.text(node, token, map, &layer, role);
        } else {
            self.strokes(node, map, &layer, role);
        }
    }

    fn strokes(&mut self, node: Node, map: Affine, layer: &str, role: Role) {
        let kind = node.tag_name().name();
        let drawn = shape::drawn(node, self.page);
        if let Some(wrong) = drawn.wrong {
            let message = format!("a {kind} is in error; what came before the error was read: {wrong}");
            self.push_at(
                node,
                Problem::warning("broken-entity", message).hint("check it against the drawing"),
            );
        }
        if drawn.pieces.is_empty() {
            return self.finds.unused_as(kind, "empty");
        }
        let pieces: Vec<Stroke> = drawn
            .pieces
            .into_iter()
            .map(|piece| Stroke {
                curves: piece.curves.iter().flat_map(|curve| placed(curve, map)).collect(),
                closed: piece.closed,
            })
            .collect();
        if !pieces.iter().flat_map(|piece| &piece.curves).all(Curve::is_finite) {
            let message = format!("a {kind} was left out: it reaches farther than ten kilometres");
            self.push_at(node, Problem::error("absurd-number", message).hint("correct or delete it"));
            return self.finds.unused_as(kind, "broken");
        }
        self.drawn += pieces.iter().map(|piece| piece.curves.len()).sum::<usize>();
        if self.drawn > MOST_DRAWN {
            return self.finds.unused_as(kind, "too many");
        }
        self.finds.used(kind);
        let layer = layer.to_owned();
        self.finds.strokes.extend(pieces.into_iter().map(|item| Drawn { item, layer: layer.clone(), role }));
    }

    fn text(&mut self, node: Node, token: &Placed, map: Affine, layer: &str, role: Role) {
        let size = token.width;
        let [_, _, c, d, ..] = map.as_coeffs();
        let height = size * words::CAPITAL * Vec2::new(c, d).hypot();
        let said = words::said(node, size, self.page);
        if said.is_empty() {
            return self.finds.unused_as("text", "empty");
        }
        self.finds.used("text");
        for said in said {
            let at = map * said.at;
            if at.x.abs() <= FARTHEST && at.y.abs() <= FARTHEST && height <= FARTHEST {
                let item = Text { text: said.text, at, height };
                self.finds.texts.push(Drawn { item, layer: layer.to_owned(), role });
            } else {
                self.finds.unused_as("text", "broken");
            }
        }
    }

    /// The groups around where a shape is drawn, from the nearest outwards.
    fn around(&self, token: &Placed) -> impl Iterator<Item = Node<'a, 'input>> + Clone {
        let groups = &self.plan.groups;
        self.resolved.around(token).filter_map(move |id| groups.get(id)).copied()
    }

    /// Labels and ids of all groups around a shape: where it is drawn, and where it is defined.
    fn names(&self, node: Node<'a, 'input>, token: &Placed) -> Vec<&'a str> {
        let drawn = self.around(token);
        let defined = node.ancestors().skip(1).filter(|around| around.tag_name().name() != "svg");
        let mut names: Vec<&str> =
            drawn.chain(defined).flat_map(|around| [label(around), id(around)]).flatten().collect();
        names.sort_unstable();
        names.dedup();
        if names.is_empty() {
            names.push("");
        }
        names
    }

    /// The label of the nearest group around where a shape is drawn, else the nearest id.
    fn layer(&self, node: Node<'a, 'input>, token: &Placed) -> String {
        let defined = node.ancestors().skip(1).filter(|around| around.tag_name().name() == "g");
        let all = self.around(token).chain(defined);
        let name = all.clone().find_map(label).or_else(|| all.clone().find_map(id));
        name.unwrap_or_default().to_owned()
    }

    /// Single precision holds seven digits: what lies too far from the origin before it is brought back loses some.
    fn check_distance(&mut self, map: Affine) {
        let [.., x, y] = map.as_coeffs();
        let [a, .., d, _, _] = self.page.to_mm.as_coeffs();
        let loss = x.abs().max(y.abs()) * f64::from(f32::EPSILON) * a.abs().max(d.abs());
        if loss > COARSE && !self.coarse {
            self.coarse = true;
            self.talk.push(
                Problem::warning(
                    "far-out",
                    format!("shapes are moved by so much that about {loss:.3} mm of precision is lost"),
                )
                .hint("move the drawing near the origin"),
            );
        }
    }

    fn push_at(&mut self, node: Node, problem: Problem) {
        // Finding a line means counting from the first one: not for problems that are only summed up.
        let problem = if self.talk.tells(problem.code) {
            let place = node.document().text_pos_at(node.range().start);
            problem.at_line(place.row as usize, place.col as usize)
        } else {
            problem
        };
        self.talk.push(problem);
    }

    fn tell(&mut self) {
        if self.clipped > 0 {
            let message = format!("{} shapes are clipped; they were read whole", self.clipped);
            self.talk.push(
                Problem::warning("clipped", message)
                    .hint("draw the outline itself where a clip stands for it"),
            );
        }
        if self.drawn > MOST_DRAWN {
            self.talk.push(
                Problem::error("too-large", format!("the drawing has more than {MOST_DRAWN} curves"))
                    .hint("leave out what is not cut, or split the drawing"),
            );
        }
    }
}

/// A curve in its place; an ellipse that became a circle there is one.
fn placed(curve: &Curve, map: Affine) -> Vec<Curve> {
    let moved = curve.transformed(map);
    if let Curve::Ellipse(arc) = &moved
        && let Some(segments) = arc.round(ROUND)
    {
        return segments.into_iter().map(Curve::Segment).collect();
    }
    vec![moved]
}

/// A label that a drawing program gave a group, in whatever name space.
fn label<'a>(node: Node<'a, '_>) -> Option<&'a str> {
    node.attributes().find(|a| a.name() == "label").map(|a| a.value()).filter(|name| !name.trim().is_empty())
}

fn id<'a>(node: Node<'a, '_>) -> Option<&'a str> {
    node.attribute("id").filter(|name| !name.trim().is_empty())
}

/// Why a shape is not drawn: what it stands in.
fn not_drawn(node: Node) -> &'static str {
    let around = |name: &str| node.ancestors().any(|around| around.tag_name().name() == name);
    if around("clipPath") {
        "clip path"
    } else if around("mask") {
        "mask"
    } else if around("pattern") {
        "pattern"
    } else if around("marker") {
        "marker"
    } else if around("defs") || around("symbol") {
        "defined and not used"
    } else {
        "not displayed"
    }
}

fn is_clipped(node: Node) -> bool {
    node.ancestors().any(|around| {
        let styled = around
            .attribute("style")
            .is_some_and(|style| style.contains("clip-path") && !style.contains("clip-path:none"));
        let named = around.attribute("clip-path").is_some_and(|clip| clip.trim() != "none");
        (styled || named) && around.tag_name().name() != "svg"
    })
}
