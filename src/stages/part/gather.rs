//! Shapes and the job's rules to parts: names, wood, grain, how many and which hand.

use std::collections::BTreeMap;

use super::grain::{self, Said};
use super::name::Taken;
use super::recess;
use super::rule::{self, Rules, Settled, Verdict};
use super::shape::Shape;
use super::{Part, TOLD};
use crate::geometry::Point;
use crate::problem::{Problem, Problems};
use crate::shop::Wood;
use crate::stages::drawing::Drawing;
use crate::stages::job::{GrainWish, Job, Lying};

/// The parts among the shapes, in their order.
pub(super) fn parts(
    shapes: Vec<Shape>,
    drawings: &[Drawing],
    job: &Job,
    woods: &[Wood],
    rules: &mut Rules,
    problems: &mut Problems,
) -> Vec<Part> {
    let mut told = Told::default();
    let named = named(shapes);
    let mut taken = Taken::default();
    for (name, _) in &named {
        taken.take(name);
    }
    let mut first_at: BTreeMap<String, (usize, Point)> = BTreeMap::new();
    let mut parts: Vec<Part> = Vec::with_capacity(named.len());
    let all: Vec<String> = named.iter().map(|(name, _)| name.clone()).collect();
    for (name, shape) in named {
        let file = &drawings[shape.drawing].file;
        let rule = match rules.verdict(&name, file) {
            Verdict::Take(rule) => rule,
            Verdict::Skip => continue,
            Verdict::NotAsked => {
                told.not_asked.push(at_shape(
                    "part-not-asked-for",
                    "no rule of the job asks for it",
                    &shape,
                    file,
                    &name,
                ));
                continue;
            }
        };
        let settled = rule::settled(rule, &job.default_part);
        if settled.copies.saturating_add(settled.mirrored) == 0 {
            told.not_asked.push(at_shape(
                "no-copies",
                "the job asks for no piece of it",
                &shape,
                file,
                &name,
            ));
            continue;
        }
        let id = match first_at.get(&name) {
            None => name.clone(),
            Some(&(drawing, at)) => {
                told.doubles.push(double(&name, &shape, file, (&drawings[drawing].file, at), job));
                taken.numbered(&name)
            }
        };
        first_at.entry(name).or_insert((shape.drawing, shape.at));
        parts.push(part(id, shape, settled, file, job, woods, &mut told));
    }
    rules.tell_unused(&all.iter().map(String::as_str).collect::<Vec<_>>(), problems);
    told.tell(problems);
    parts
}

/// What there is to tell, by kind.
#[derive(Debug, Default)]
struct Told {
    not_asked: Vec<Problem>,
    doubles: Vec<Problem>,
    woods: Vec<Problem>,
    grains: Vec<Problem>,
    assumed: Vec<String>,
}

impl Told {
    fn tell(self, problems: &mut Problems) {
        problems.extend_counted(self.not_asked, TOLD);
        problems.extend_counted(self.doubles, TOLD);
        problems.extend_counted(self.woods, TOLD);
        problems.extend_counted(self.grains, TOLD);
        if let [first, ..] = self.assumed.as_slice() {
            let some = self.assumed.iter().take(8).map(String::as_str).collect::<Vec<_>>().join(", ");
            let more = if self.assumed.len() > 8 { ", …" } else { "" };
            let message = format!(
                "no grain direction is drawn or asked for in {some}{more} ({} in all): it runs along the longest straight",
                self.assumed.len()
            );
            let hint = "draw a line on a grain layer inside the outline, or give `grain` in the job";
            problems.push(Problem::note("grain-assumed", message).of_part(first).hint(hint));
        }
    }
}

/// The shapes with their names: a number in reading order where there is no text.
fn named(shapes: Vec<Shape>) -> Vec<(String, Shape)> {
    let mut taken = Taken::default();
    for name in shapes.iter().filter_map(|shape| shape.name.as_deref()) {
        taken.take(name);
    }
    shapes.into_iter().map(|shape| (shape.name.clone().unwrap_or_else(|| taken.number()), shape)).collect()
}

fn at_shape(code: &'static str, what: &str, shape: &Shape, file: &str, name: &str) -> Problem {
    Problem::note(code, format!("'{name}' is left out: {what}"))
        .of_part(name)
        .in_file(file)
        .on_layer(&shape.layer)
        .at(shape.at)
}

/// Two outlines of one name: an error where the job lists its parts, as a rule would then mean both.
fn double(name: &str, shape: &Shape, file: &str, first: (&str, Point), job: &Job) -> Problem {
    let message = format!(
        "two outlines are called '{name}': at ({:.2}, {:.2}) in {} and at ({:.2}, {:.2}) in {file}",
        first.1.x, first.1.y, first.0, shape.at.x, shape.at.y
    );
    let problem = if job.parts.is_some() {
        Problem::error("duplicate-name", message)
            .hint("give each part a name of its own in the drawing, or leave one out with `skip: true` and `drawing`")
    } else {
        Problem::warning("duplicate-name", message).hint("the later one gets a number behind its name")
    };
    problem.of_part(name).in_file(file).on_layer(&shape.layer).at(shape.at)
}

fn part(
    id: String,
    shape: Shape,
    settled: Settled,
    file: &str,
    job: &Job,
    woods: &[Wood],
    told: &mut Told,
) -> Part {
    let here = |problem: Problem| problem.of_part(&id).in_file(file).on_layer(&shape.layer).at(shape.at);
    let density = rule::wood(&settled, job, woods).unwrap_or_else(|mut problem| {
        problem.message = format!("part '{id}': {}", problem.message);
        told.woods.push(here(problem));
        rule::density(&settled, woods)
    });
    let (grain_deg, problem) = grain_of(&id, &shape, settled.grain, &mut told.assumed);
    told.grains.extend(problem.map(here));
    let thickness_mm = settled.thickness_mm.unwrap_or(0.0);
    let (recesses, deep) = recess::settled(shape.recesses, &settled, job);
    told.woods.extend(deep.map(|mut problem| {
        problem.message = format!("part '{id}': {}", problem.message);
        problem.of_part(&id).in_file(file).on_layer(&shape.layer)
    }));
    // What is milled into one face is not in the other.
    let flip = settled.lying.flip && recesses.is_empty();
    let lying = Lying { flip, ..settled.lying };
    // mm² × mm × kg/m³ is a millionth of a gram.
    let milled: f64 = recesses.iter().map(|recess| recess.area_mm2(&shape.region) * recess.depth_mm).sum();
    let mass_g = (shape.region.area() * thickness_mm - milled) * density * 1e-6;
    Part {
        id,
        drawing: shape.drawing,
        layer: shape.layer,
        region: shape.region,
        scores: shape.scores,
        marks: shape.marks,
        note: shape.note,
        recesses,
        at: shape.at,
        grain_deg,
        wood: settled.wood.unwrap_or_default(),
        thickness_mm,
        copies: settled.copies.saturating_add(settled.mirrored),
        mirrored: settled.mirrored,
        tabs: settled.tabs,
        cutting: settled.cutting,
        mark: settled.mark,
        lying,
        mass_g,
    }
}

/// The grain of a part: as the job says, else as drawn, else along its longest straight.
fn grain_of(
    id: &str,
    shape: &Shape,
    wish: GrainWish,
    assumed: &mut Vec<String>,
) -> (Option<f64>, Option<Problem>) {
    match (wish, shape.grain) {
        (GrainWish::Free, _) => (None, None),
        (GrainWish::Degrees(degrees), _) => (Some(grain::within_half_turn(degrees)), None),
        (GrainWish::Drawn, Some(Said::Degrees(degrees))) => (Some(degrees), None),
        (GrainWish::Drawn, Some(Said::Disagree(a, b))) => {
            let message = format!(
                "part '{id}' has grain lines that disagree: {:.1}° at ({:.2}, {:.2}) and {:.1}° at ({:.2}, {:.2})",
                a.degrees, a.at.x, a.at.y, b.degrees, b.at.x, b.at.y
            );
            let problem = Problem::error("grain-disagrees", message)
                .hint("leave one of them in the drawing, or give the part's `grain` in the job");
            (Some(a.degrees), Some(problem))
        }
        (GrainWish::Drawn, None) => {
            assumed.push(id.to_owned());
            (Some(grain::assumed(shape.region.outer())), None)
        }
    }
}
