//! The nearest of many points, some of which come and go: a balanced k-d tree with counts of those present.

use crate::geometry::Point;

/// Points in a tree; each may be present or absent. Ties go to the lower number, so that answers never depend on chance.
#[derive(Debug)]
pub(super) struct Nearby {
    /// In tree order: the middle of each range is its root, lower ones before it, higher ones after.
    points: Vec<(Point, usize)>,
    /// How many points are present in the range whose middle this is.
    present: Vec<usize>,
    here: Vec<bool>,
    /// Where each point lies in the tree.
    seat: Vec<usize>,
}

impl Nearby {
    /// A tree of all the points, none of them present.
    pub(super) fn new(points: &[Point]) -> Self {
        let mut tree: Vec<(Point, usize)> = points.iter().copied().zip(0..).collect();
        plant(&mut tree, true);
        let mut seat = vec![0; tree.len()];
        for (i, &(_, id)) in tree.iter().enumerate() {
            seat[id] = i;
        }
        Self { present: vec![0; tree.len()], here: vec![false; tree.len()], points: tree, seat }
    }

    /// Makes point `id` present or absent.
    pub(super) fn set(&mut self, id: usize, present: bool) {
        let seat = self.seat[id];
        if self.here[seat] == present {
            return;
        }
        self.here[seat] = present;
        let (mut low, mut high) = (0, self.points.len());
        loop {
            let middle = usize::midpoint(low, high);
            if present {
                self.present[middle] += 1;
            } else {
                self.present[middle] -= 1;
            }
            match seat.cmp(&middle) {
                std::cmp::Ordering::Equal => return,
                std::cmp::Ordering::Less => high = middle,
                std::cmp::Ordering::Greater => low = middle + 1,
            }
        }
    }

    /// Up to `count` present points nearest to `from`, the nearest first.
    pub(super) fn nearest(&self, from: Point, count: usize) -> Vec<usize> {
        let mut found: Vec<(f64, usize)> = Vec::with_capacity(count + 1);
        self.search((0, self.points.len()), true, from, count, &mut found);
        found.into_iter().map(|(_, id)| id).collect()
    }

    fn search(
        &self,
        range: (usize, usize),
        by_x: bool,
        from: Point,
        count: usize,
        found: &mut Vec<(f64, usize)>,
    ) {
        let (low, high) = range;
        let middle = usize::midpoint(low, high);
        if low >= high || self.present[middle] == 0 {
            return;
        }
        let (point, id) = self.points[middle];
        if self.here[middle] {
            offer((from.distance_squared(point), id), count, found);
        }
        let off = if by_x { from.x - point.x } else { from.y - point.y };
        let (lower, upper) = ((low, middle), (middle + 1, high));
        let (near, far) = if off < 0.0 { (lower, upper) } else { (upper, lower) };
        self.search(near, !by_x, from, count, found);
        // Equal distances are looked at too: the lower number wins wherever it lies.
        if found.len() < count || found.last().is_none_or(|worst| off * off <= worst.0) {
            self.search(far, !by_x, from, count, found);
        }
    }
}

/// Keeps the `count` nearest in rising order.
fn offer(new: (f64, usize), count: usize, found: &mut Vec<(f64, usize)>) {
    let place = found.partition_point(|old| old.0.total_cmp(&new.0).then(old.1.cmp(&new.1)).is_lt());
    if place < count {
        found.insert(place, new);
        found.truncate(count);
    }
}

/// Brings the points into tree order.
fn plant(points: &mut [(Point, usize)], by_x: bool) {
    if points.len() < 2 {
        return;
    }
    let key = |p: &Point| if by_x { p.x } else { p.y };
    // The middle of an empty-to-length range, as `search` computes it.
    let middle = points.len() / 2;
    points.select_nth_unstable_by(middle, |a, b| key(&a.0).total_cmp(&key(&b.0)).then(a.1.cmp(&b.1)));
    let (lower, rest) = points.split_at_mut(middle);
    plant(lower, !by_x);
    plant(&mut rest[1..], !by_x);
}
