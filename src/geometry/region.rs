//! A piece of flat material: one outer outline and its holes.

use super::{Outline, Placement, Point, Rect};

/// One outer outline, counter-clockwise, and its holes, clockwise, in millimetres.
#[derive(Clone, Debug, PartialEq)]
pub struct Region {
    outer: Outline,
    holes: Vec<Outline>,
}

impl Region {
    /// A region from its outlines, whichever way they run.
    pub fn new(outer: Outline, holes: Vec<Outline>) -> Self {
        let holes = holes.into_iter().map(|hole| hole.wound(false)).collect();
        Self { outer: outer.wound(true), holes }
    }

    /// The outer outline, counter-clockwise.
    pub fn outer(&self) -> &Outline {
        &self.outer
    }

    /// The holes, clockwise.
    pub fn holes(&self) -> &[Outline] {
        &self.holes
    }

    /// The outer outline, then the holes.
    pub fn outlines(&self) -> impl Iterator<Item = &Outline> {
        std::iter::once(&self.outer).chain(&self.holes)
    }

    /// Area of the material in square millimetres.
    pub fn area(&self) -> f64 {
        self.outlines().map(Outline::signed_area).sum()
    }

    /// Length of all its outlines in millimetres.
    pub fn perimeter(&self) -> f64 {
        self.outlines().map(Outline::perimeter).sum()
    }

    /// The smallest upright rectangle around it.
    pub fn bounds(&self) -> Rect {
        self.outer.bounds()
    }

    /// Whether `point` lies in the material.
    pub fn contains(&self, point: Point) -> bool {
        self.outer.contains(point) && !self.holes.iter().any(|hole| hole.contains(point))
    }

    /// Distance in millimetres from `point` to the nearest outline.
    pub fn distance(&self, point: Point) -> f64 {
        self.outlines().map(|outline| outline.distance(point)).fold(f64::INFINITY, f64::min)
    }

    /// The region moved to its place.
    #[must_use]
    pub fn placed(&self, placement: &Placement) -> Self {
        Self {
            outer: self.outer.placed(placement),
            holes: self.holes.iter().map(|hole| hole.placed(placement)).collect(),
        }
    }
}
