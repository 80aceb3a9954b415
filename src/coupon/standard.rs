//! The standard part that a post is tried on: small, with everything that a part can have.

use super::built;
use crate::geometry::{Chain, Outline, Point, Rect, Region, Vertex};
use crate::problem::Problems;
use crate::shop::Shop;
use crate::stages::Kit;
use crate::stages::job::{Job, Stock};
use crate::stages::watch::Watch;

/// The wood of the standard part.
const WOOD: (&str, f64) = ("balsa-medium", 3.0);

/// The standard part, made twice on this machine through this post: a rib-like plate of lines and of arcs of both hands,
/// short and long, with a round hole, a slot, a notch, a scored line and its name.
pub fn standard(shop: &Shop, watch: &dyn Watch, problems: &mut Problems) -> (Job, Kit) {
    let (wood, thickness_mm) = (WOOD.0.to_owned(), WOOD.1);
    let job = Job {
        title: format!("Standard part, post {}", shop.post.as_ref().map_or("none", |post| &post.name)),
        machine: shop.machine.name.clone(),
        stock: vec![Stock { count: Some(1), ..Stock::new(wood.clone(), thickness_mm, (300.0, 100.0)) }],
        ..Job::default()
    };
    let mut part = built::part("RIB", Region::new(outer(), holes()), &wood, thickness_mm);
    part.at = Point::new(10.0, 12.0);
    let score = vec![Vertex::new(60.0, 8.0, 0.0), Vertex::new(60.0, 14.0, 0.1), Vertex::new(66.0, 17.0, 0.0)];
    part.scores = Chain::new(score).into_iter().collect();
    (part.mark, part.copies, part.mirrored) = (true, 2, 1);
    let mut kit = built::kit("standard", vec![part]);
    built::travel(&mut kit, &job, shop, watch, problems);
    (job, kit)
}

/// A nose of a half circle, a long flat arc above, a notch for a spar, an arc that turns inward, a square tail.
fn outer() -> Outline {
    let vertices = vec![
        Vertex::new(16.0, 0.0, 0.0),
        Vertex::new(40.0, 0.0, 0.0),
        Vertex::new(40.0, 4.0, 0.0),
        Vertex::new(46.5, 4.0, 0.0),
        Vertex::new(46.5, 0.0, 0.0),
        Vertex::new(90.0, 0.0, -0.4),
        Vertex::new(104.0, 0.0, 0.0),
        Vertex::new(120.0, 2.0, 0.0),
        Vertex::new(120.0, 8.0, 0.08),
        Vertex::new(16.0, 32.0, 1.0),
    ];
    // Vertices that are finite and more than two: it is well formed.
    Outline::new(vertices).unwrap_or_else(|_| Outline::rectangle(Rect::new(0.0, 0.0, 120.0, 30.0)))
}

fn holes() -> Vec<Outline> {
    vec![
        Outline::circle(Point::new(22.0, 16.0), 6.0),
        Outline::rectangle(Rect::new(40.0, 12.0, 52.0, 16.0)),
        Outline::circle(Point::new(84.0, 12.0), 2.0),
    ]
}
