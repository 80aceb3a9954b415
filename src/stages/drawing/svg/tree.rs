//! What `usvg` makes of the document: where every token ends up, whether it is seen, and in what colour.

use usvg::{Group, ImageHrefResolver, Node, Options, Paint, Path, Tree};

use super::xml::Plan;
use crate::geometry::Affine;

/// Stack for `usvg`, which goes down a document by recursion, a thousand levels at most.
const STACK: usize = 256 << 20;

/// A map whose axes differ by less than this fraction, or stand square as nearly, was a turn before it was rounded to
/// single precision.
const ROUNDED: f64 = 1e-6;

/// A token in its place.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Placed {
    /// Number of the shape.
    pub(super) number: usize,
    /// From the shape's own coordinates to the root's user units.
    pub(super) map: Affine,
    /// Whether anything of it is seen.
    pub(super) seen: bool,
    /// Its stroke's colour, else its fill's.
    pub(super) rgb: Option<u32>,
    /// Width of its stroke, own units: the letters' size of a text.
    pub(super) width: f64,
    /// The group around it.
    pub(super) group: Option<usize>,
}

/// A group that has an id.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Named {
    pub(super) id: String,
    /// The group around it.
    pub(super) around: Option<usize>,
}

/// All tokens in their places, and the groups around them.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Resolved {
    pub(super) placed: Vec<Placed>,
    pub(super) groups: Vec<Named>,
}

impl Resolved {
    /// Ids of the groups around a token, from the nearest outwards.
    pub(super) fn around(&self, token: &Placed) -> impl Iterator<Item = &str> + Clone {
        let first = token.group.map(|group| &self.groups[group]);
        std::iter::successors(first, |named| named.around.map(|group| &self.groups[group]))
            .map(|named| named.id.as_str())
    }
}

/// Resolves the rewritten document, in a thread whose stack is large enough.
pub(super) fn resolve(plan: &Plan) -> Result<Resolved, String> {
    std::thread::scope(|scope| {
        std::thread::Builder::new()
            .stack_size(STACK)
            .spawn_scoped(scope, || tokens(&plan.text))
            .map_err(|error| format!("no thread could be started: {error}"))?
            .join()
            .unwrap_or_else(|_| Err("the reader gave up on it".to_owned()))
    })
}

fn tokens(text: &str) -> Result<Resolved, String> {
    // Nothing that the document points at is opened.
    let resolver =
        ImageHrefResolver { resolve_data: Box::new(|_, _, _| None), resolve_string: Box::new(|_, _| None) };
    let options = Options { image_href_resolver: resolver, ..Options::default() };
    let tree = Tree::from_str(text, &options).map_err(|error| error.to_string())?;
    let mut resolved = Resolved::default();
    resolved.group(tree.root(), true, None);
    Ok(resolved)
}

impl Resolved {
    fn group(&mut self, group: &Group, seen: bool, around: Option<usize>) {
        let seen = seen && group.opacity().get() > 0.0;
        let here = if group.id().is_empty() {
            around
        } else {
            self.groups.push(Named { id: group.id().to_owned(), around });
            Some(self.groups.len() - 1)
        };
        for node in group.children() {
            match node {
                Node::Group(inner) => self.group(inner, seen, here),
                Node::Path(path) => self.path(path, seen, here),
                Node::Image(_) | Node::Text(_) => {}
            }
        }
    }

    fn path(&mut self, path: &Path, seen: bool, group: Option<usize>) {
        let leftmost = path.data().points().iter().fold(f32::INFINITY, |least, p| least.min(p.x));
        let number = leftmost.round();
        if !(0.0..1.6e7).contains(&number) {
            return;
        }
        let stroke = path.stroke().filter(|stroke| stroke.opacity().get() > 0.0);
        let fill = path.fill().filter(|fill| fill.opacity().get() > 0.0);
        let paint = stroke.map(usvg::Stroke::paint).or(fill.map(usvg::Fill::paint));
        self.placed.push(Placed {
            number: number as usize,
            map: exact(path.abs_transform()),
            seen: seen && path.is_visible() && paint.is_some(),
            rgb: paint.and_then(colour),
            width: path.stroke().map_or(0.0, |stroke| stroke.width().get().into()),
            group,
        });
    }
}

fn colour(paint: &Paint) -> Option<u32> {
    match paint {
        Paint::Color(c) => Some(u32::from(c.red) << 16 | u32::from(c.green) << 8 | u32::from(c.blue)),
        _ => None,
    }
}

/// The map in double precision; one that was a turn, a mirror and a scale before rounding is made one again, so that
/// circles stay round.
fn exact(map: usvg::Transform) -> Affine {
    let [a, b, c, d] = [map.sx, map.ky, map.kx, map.sy].map(f64::from);
    let (e, f) = (f64::from(map.tx), f64::from(map.ty));
    let size = ROUNDED * a.abs().max(b.abs()).max(c.abs()).max(d.abs());
    let near = |p: f64, q: f64| (p - q).abs() <= size;
    if near(a, d) && near(b, -c) {
        let (p, q) = (f64::midpoint(a, d), f64::midpoint(b, -c));
        Affine::new([p, q, -q, p, e, f])
    } else if near(a, -d) && near(b, c) {
        let (p, q) = (f64::midpoint(a, -d), f64::midpoint(b, c));
        Affine::new([p, q, q, -p, e, f])
    } else {
        Affine::new([a, b, c, d, e, f])
    }
}
