//! Lines of a post's blocks: fixed text with named placeholders, and what each placeholder may be used for.

use super::fields::nearest;

/// A named place in a template that the program fills in. Lengths and feeds come out in the post's unit and number
/// format among words, and in plain millimetres in comments.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Placeholder {
    /// Title of the job.
    Title,
    /// Name of the machine.
    Machine,
    /// Name of the post.
    Post,
    /// Number of the sheet, from 1.
    Sheet,
    /// How many sheets there are.
    Sheets,
    /// How many pieces lie on the sheet.
    Pieces,
    /// Name of the wood.
    Wood,
    /// Thickness of the sheet.
    Thickness,
    /// Length of the sheet.
    Length,
    /// Width of the sheet.
    Width,
    /// Width that beam or cutter removes.
    Kerf,
    /// Diameter of the cutter.
    Cutter,
    /// Height at which the cutter travels.
    Clearance,
    /// How far below the wood the last pass goes.
    Overcut,
    /// Feed along the wood, a minute.
    Feed,
    /// Feed into the wood, a minute.
    Plunge,
    /// Spindle speed, turns a minute.
    Speed,
    /// Passes of the beam.
    Passes,
    /// Power of the cut in percent.
    Percent,
    /// Power now, times the post's scale.
    Power,
    /// Name of the part.
    Part,
    /// What is done: mark, score, cut inside, cut outside.
    Operation,
    /// Length of a dwell in seconds.
    Seconds,
    /// Length of a dwell in thousandths of a second.
    Milliseconds,
}

use Placeholder as P;

/// Every placeholder with its name, and whether it is a number and so may stand among words.
const NAMES: [(&str, P, bool); 24] = [
    ("title", P::Title, false),
    ("machine", P::Machine, false),
    ("post", P::Post, false),
    ("sheet", P::Sheet, true),
    ("sheets", P::Sheets, true),
    ("pieces", P::Pieces, true),
    ("wood", P::Wood, false),
    ("thickness", P::Thickness, true),
    ("length", P::Length, true),
    ("width", P::Width, true),
    ("kerf", P::Kerf, true),
    ("cutter", P::Cutter, true),
    ("clearance", P::Clearance, true),
    ("overcut", P::Overcut, true),
    ("feed", P::Feed, true),
    ("plunge", P::Plunge, true),
    ("speed", P::Speed, true),
    ("passes", P::Passes, true),
    ("percent", P::Percent, true),
    ("power", P::Power, true),
    ("part", P::Part, false),
    ("operation", P::Operation, false),
    ("seconds", P::Seconds, true),
    ("milliseconds", P::Milliseconds, true),
];

/// What every block may name.
const ANYWHERE: [P; 12] = [
    P::Title,
    P::Machine,
    P::Post,
    P::Sheet,
    P::Sheets,
    P::Pieces,
    P::Wood,
    P::Thickness,
    P::Length,
    P::Width,
    P::Kerf,
    P::Feed,
];
/// What only a router's post may name.
const OF_ROUTERS: [P; 5] = [P::Cutter, P::Clearance, P::Overcut, P::Plunge, P::Speed];
/// What only a laser's post may name.
const OF_LASERS: [P; 2] = [P::Passes, P::Percent];

/// What a template may name beyond what every block may.
#[derive(Clone, Copy, Debug)]
pub(super) struct Scope {
    /// Whether the post drives a beam rather than a spindle.
    pub(super) laser: bool,
    /// What this block has of its own.
    pub(super) own: &'static [P],
}

impl Scope {
    fn allows(self, placeholder: P) -> bool {
        let of_kind: &[P] = if self.laser { &OF_LASERS } else { &OF_ROUTERS };
        ANYWHERE.contains(&placeholder) || of_kind.contains(&placeholder) || self.own.contains(&placeholder)
    }

    fn names(self) -> impl Iterator<Item = &'static str> {
        NAMES.iter().filter(move |(_, p, _)| self.allows(*p)).map(|(name, ..)| *name)
    }
}

/// Text with placeholders.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Template {
    pieces: Vec<Piece>,
}

#[derive(Clone, Debug, PartialEq)]
enum Piece {
    Text(String),
    Hole(P),
}

impl Template {
    /// Reads a template; what is wrong with it comes back as message and hint.
    pub(super) fn parse(text: &str, words: bool, scope: Scope) -> Result<Self, (String, String)> {
        let mut pieces = Vec::new();
        let mut rest = text;
        while let Some(open) = rest.find(['{', '}']) {
            let (before, from) = rest.split_at(open);
            let inside = from.strip_prefix('{').and_then(|f| f.split_once('}'));
            let Some((name, after)) = inside.filter(|(name, _)| !name.contains('{')) else {
                return Err(("a brace has no partner".into(), "placeholders look like {thickness}".into()));
            };
            pieces.push(Piece::Text(before.to_owned()));
            pieces.push(Piece::Hole(placeholder(name, words, scope)?));
            rest = after;
        }
        pieces.push(Piece::Text(rest.to_owned()));
        pieces.retain(|piece| !matches!(piece, Piece::Text(text) if text.is_empty()));
        Ok(Self { pieces })
    }

    /// The text with each placeholder's value in its place.
    pub fn fill(&self, mut value: impl FnMut(Placeholder) -> String) -> String {
        let mut text = String::new();
        for piece in &self.pieces {
            match piece {
                Piece::Text(fixed) => text.push_str(fixed),
                Piece::Hole(hole) => text.push_str(&value(*hole)),
            }
        }
        text
    }

    /// Whether it names this placeholder.
    pub fn names(&self, placeholder: Placeholder) -> bool {
        self.pieces.contains(&Piece::Hole(placeholder))
    }
}

fn placeholder(name: &str, words: bool, scope: Scope) -> Result<P, (String, String)> {
    let known = NAMES.iter().find(|(known, p, _)| *known == name && scope.allows(*p));
    let Some((_, found, number)) = known else {
        let hint = match nearest(name, scope.names()) {
            Some(near) if near != name => format!("did you mean {{{near}}}?"),
            _ => format!("this block knows: {}", scope.names().collect::<Vec<_>>().join(", ")),
        };
        return Err((format!("there is no placeholder {{{name}}} here"), hint));
    };
    if words && !number {
        return Err((
            format!("{{{name}}} is a name, and words take numbers"),
            "put it into a comment".into(),
        ));
    }
    Ok(*found)
}
