//! What the job says of a part: its rule, its wood, whether that is in stock.

use globset::{GlobBuilder, GlobMatcher};

use crate::problem::{Problem, Problems};
use crate::shop::{self, Wood};
use crate::stages::job::{Cutting, GrainWish, Job, Lying, PartRule, Stock, TabWish};

/// The job's rules, ready to be asked.
#[derive(Debug)]
pub(super) struct Rules<'a> {
    job: &'a Job,
    rules: Option<Vec<(&'a PartRule, Option<GlobMatcher>, bool)>>,
}

/// What to do with an outline.
#[derive(Clone, Copy, Debug)]
pub(super) enum Verdict<'a> {
    /// It is a part, by this rule.
    Take(&'a PartRule),
    /// The job says to leave it out.
    Skip,
    /// No rule asks for it.
    NotAsked,
}

impl<'a> Rules<'a> {
    /// The rules of a job. A pattern that is none is a problem.
    pub(super) fn new(job: &'a Job, problems: &mut Problems) -> Self {
        let rules = job
            .parts
            .as_ref()
            .map(|rules| rules.iter().map(|rule| (rule, matcher(job, rule, problems), false)).collect());
        Self { job, rules }
    }

    /// What the rules say of an outline of this name; the first rule that matches counts.
    pub(super) fn verdict(&mut self, name: &str, drawing: &str) -> Verdict<'a> {
        let Some(rules) = &mut self.rules else { return Verdict::Take(&self.job.default_part) };
        for (rule, matcher, used) in rules {
            let here = rule.drawing.as_deref().is_none_or(|wanted| wanted == drawing);
            if here && matcher.as_ref().is_some_and(|m| m.is_match(name)) {
                *used = true;
                return if rule.skip { Verdict::Skip } else { Verdict::Take(rule) };
            }
        }
        Verdict::NotAsked
    }

    /// Tells the rules that matched nothing; `names` are those that there are.
    pub(super) fn tell_unused(&self, names: &[&str], problems: &mut Problems) {
        for (rule, matcher, used) in self.rules.iter().flatten() {
            if *used || matcher.is_none() {
                continue;
            }
            let late = names.iter().find(|name| matcher.as_ref().is_some_and(|m| m.is_match(name)));
            let hint = match (late, nearest(&rule.name, names.iter().copied())) {
                (Some(name), _) if rule.drawing.is_none() => {
                    format!("'{name}' would match, but a rule before this one takes it")
                }
                (_, Some(name)) => format!("is '{name}' meant?"),
                _ => "grainwise start lists every outline of a drawing with its name".to_owned(),
            };
            let message = format!("no outline is called '{}'{}", rule.name, of_drawing(rule));
            problems.push(self.job.placed(Problem::warning("unused-rule", message).hint(hint), rule.line));
        }
    }
}

fn of_drawing(rule: &PartRule) -> String {
    rule.drawing.as_ref().map_or_else(String::new, |drawing| format!(" in {drawing}"))
}

fn matcher(job: &Job, rule: &PartRule, problems: &mut Problems) -> Option<GlobMatcher> {
    match GlobBuilder::new(&rule.name).case_insensitive(true).build() {
        Ok(glob) => Some(glob.compile_matcher()),
        Err(error) => {
            let message = format!("'{}' is no pattern for names: {}", rule.name, error.kind());
            let problem = Problem::error("bad-pattern", message)
                .hint("`*` stands for anything, `?` for one letter, `{a,b}` for one of several; `\\` before one of these means itself");
            problems.push(job.placed(problem, rule.line));
            None
        }
    }
}

/// Everything that a rule settles, with the job's defaults.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Settled {
    pub(super) wood: Option<String>,
    pub(super) thickness_mm: Option<f64>,
    pub(super) copies: u32,
    pub(super) mirrored: u32,
    pub(super) grain: GrainWish,
    pub(super) lying: Lying,
    pub(super) tabs: TabWish,
    pub(super) cutting: Cutting,
    pub(super) mark: bool,
}

/// A rule with the job's default rule behind it.
pub(super) fn settled(rule: &PartRule, default: &PartRule) -> Settled {
    let grain = if rule.grain == GrainWish::Drawn { default.grain } else { rule.grain };
    let tabs = if rule.tabs == TabWish::Table { default.tabs.clone() } else { rule.tabs.clone() };
    Settled {
        wood: rule.wood.clone().or_else(|| default.wood.clone()),
        thickness_mm: rule.thickness_mm.or(default.thickness_mm),
        copies: rule.copies.or(default.copies).unwrap_or(1),
        mirrored: rule.mirrored.or(default.mirrored).unwrap_or(0),
        grain,
        lying: if rule.lying == Lying::default() { default.lying.clone() } else { rule.lying.clone() },
        tabs,
        cutting: rule.cutting.over(&default.cutting),
        mark: rule.mark.or(default.mark).unwrap_or(true),
    }
}

/// Wood, thickness and stock of a part: what is wrong with them, and the wood's density in kg/m³ where it is known.
pub(super) fn wood(settled: &Settled, job: &Job, woods: &[Wood]) -> Result<f64, Problem> {
    let (wood, thickness) = match (&settled.wood, settled.thickness_mm) {
        (Some(wood), Some(thickness)) => (wood, thickness),
        (Some(wood), None) => {
            return Err(no_wood(&format!("its thickness ({wood})"), "--thickness MM", "thickness"));
        }
        (None, Some(_)) => return Err(no_wood("its wood", "--wood NAME", "wood")),
        (None, None) => {
            return Err(no_wood("its wood", "--wood NAME and --thickness MM", "wood and thickness"));
        }
    };
    let known = woods
        .iter()
        .find(|known| known.name.eq_ignore_ascii_case(wood))
        .ok_or_else(|| shop::unknown_wood(wood, woods))?;
    let fits = job.stock.iter().any(|stock| stock.is_of(wood, thickness));
    if job.stock.is_empty() || fits {
        Ok(weighed(wood, thickness, job).unwrap_or(known.density_kg_m3))
    } else {
        Err(not_in_stock(wood, thickness, job))
    }
}

/// Density of the sheets of a wood and thickness that were weighed, kg/m³, on the mean; none where none was.
fn weighed(wood: &str, thickness: f64, job: &Job) -> Option<f64> {
    let these = job.stock.iter().filter(|stock| stock.is_of(wood, thickness));
    let found: Vec<f64> = these.filter_map(Stock::density_kg_m3).collect();
    (!found.is_empty()).then(|| found.iter().sum::<f64>() / found.len() as f64)
}

/// What sheets that were weighed turn out to be: told where their density is nearer to that of another grade.
pub(super) fn tell_grades(job: &Job, woods: &[Wood], problems: &mut Problems) {
    let kind = |name: &str| name.split('-').next().unwrap_or_default().to_lowercase();
    for stock in &job.stock {
        let Some(density) = stock.density_kg_m3() else { continue };
        let grades = woods.iter().filter(|wood| kind(&wood.name) == kind(&stock.wood));
        let off = |wood: &&Wood| (wood.density_kg_m3 - density).abs();
        let Some(nearest) = grades.min_by(|a, b| off(a).total_cmp(&off(b))) else { continue };
        if !nearest.name.eq_ignore_ascii_case(&stock.wood) {
            let message = format!(
                "the sheet of {} of {} mm was weighed: at {density:.0} kg/m³ it is rather {}",
                stock.wood, stock.thickness_mm, nearest.name
            );
            let hint = "its mass goes by what it weighs; feeds and powers go by the name";
            problems.push(Problem::warning("weighed-grade", message).hint(hint));
        }
    }
}

/// Density in kg/m³ of the wood that is asked for; 0 where it is not known.
pub(super) fn density(settled: &Settled, woods: &[Wood]) -> f64 {
    let asked = settled.wood.as_deref().unwrap_or_default();
    woods.iter().find(|known| known.name.eq_ignore_ascii_case(asked)).map_or(0.0, |wood| wood.density_kg_m3)
}

fn no_wood(what: &str, flags: &str, keys: &str) -> Problem {
    let message = format!("the job does not say {what}");
    Problem::error("no-wood", message).hint(format!("give {flags}, or {keys} in the part's rule"))
}

fn not_in_stock(wood: &str, thickness: f64, job: &Job) -> Problem {
    let mut there: Vec<String> =
        job.stock.iter().map(|s| format!("{} {} mm", s.wood, s.thickness_mm)).collect();
    there.dedup();
    let message = format!("{wood} of {thickness} mm is not in stock: there is {}", there.join(", "));
    Problem::error("no-stock", message)
        .hint("add a sheet of it to the stock, or change the part's wood or thickness")
}

/// The name most like the one given; none where none is like it.
fn nearest<'n>(name: &str, names: impl Iterator<Item = &'n str>) -> Option<&'n str> {
    let lower = name.to_lowercase();
    names
        .map(|known| (strsim::jaro_winkler(&lower, &known.to_lowercase()), known))
        .filter(|&(likeness, _)| likeness > 0.75)
        .max_by(|a, b| a.0.total_cmp(&b.0))
        .map(|found| found.1)
}
