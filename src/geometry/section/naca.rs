//! Sections by their numbers: the NACA families of four and of five digits.
//!
//! Four digits: NACA Report 460 (Jacobs, Ward, Pinkerton, 1933). Five digits: NACA Report 537 (Jacobs, Pinkerton,
//! Greenberg, 1935) and, for mean lines that turn up at the tail, Report 610; the constants of the mean lines, from
//! memory, are those of Abbott and von Doenhoff, Theory of Wing Sections.

use super::super::trig;
use super::{Point, Section, Vec2, cosine};

/// Points reckoned on each surface.
const STATIONS: u32 = 160;

/// A mean line: height and slope at a station.
#[derive(Clone, Copy, Debug)]
enum Mean {
    /// Camber and its place.
    Four(f64, f64),
    /// The end of its cubic, the constant k1 and the ratio k2/k1, which is 0 where the tail does not turn up.
    Five(f64, f64, f64),
}

#[allow(clippy::approx_constant, reason = "one end of a cubic looks like 1/π")]
/// Ends of cubics, k1 and k2/k1 of the mean lines whose three digits these are.
const FIVE: [(u32, f64, f64, f64); 9] = [
    (210, 0.0580, 361.4, 0.0),
    (220, 0.1260, 51.64, 0.0),
    (230, 0.2025, 15.957, 0.0),
    (240, 0.2900, 6.643, 0.0),
    (250, 0.3910, 3.230, 0.0),
    (221, 0.1300, 51.990, 0.000_764),
    (231, 0.2170, 15.793, 0.006_77),
    (241, 0.3180, 6.520, 0.0303),
    (251, 0.4410, 3.191, 0.1355),
];

/// The section of this number: four digits, or five whose mean line was published (210 to 250 and 221 to 251, with any
/// first digit). None for other numbers.
pub fn naca(number: &str) -> Option<Section> {
    let digits: Vec<u32> = number.chars().map(|c| c.to_digit(10)).collect::<Option<_>>()?;
    let (mean, thickness) = match digits.as_slice() {
        [m, p, t, u] => {
            let flat = *m == 0 || *p == 0;
            if flat && *m + *p > 0 {
                return None;
            }
            (Mean::Four(f64::from(*m) / 100.0, f64::from(*p) / 10.0), 10 * t + u)
        }
        [l, p, s, t, u] => {
            let line = 200 + 10 * p + s;
            let (_, end, k1, ratio) = FIVE.into_iter().find(|row| row.0 == line)?;
            // The table is for a first digit of 2: a lift coefficient of 0.3.
            (Mean::Five(end, k1 * f64::from(*l) / 2.0, ratio), 10 * t + u)
        }
        _ => return None,
    };
    if !(1..=40).contains(&thickness) {
        return None;
    }
    let t = f64::from(thickness) / 100.0;
    let point = |x: f64, side: f64| {
        let (height, slope) = mean.at(x);
        let away = Vec2::new(-slope, 1.0) / trig::hypot(slope, 1.0);
        Point::new(x, height) + away * (side * half_thickness(t, x))
    };
    let upper = cosine(STATIONS).rev().map(|x| point(x, 1.0));
    let points: Vec<Point> = upper.chain(cosine(STATIONS).skip(1).map(|x| point(x, -1.0))).collect();
    Section::through(&points).ok()
}

fn half_thickness(t: f64, x: f64) -> f64 {
    let form = x * (-0.1260 + x * (-0.3516 + x * (0.2843 - x * 0.1015)));
    5.0 * t * (0.2969 * x.sqrt() + form)
}

impl Mean {
    fn at(self, x: f64) -> (f64, f64) {
        match self {
            Self::Four(m, _) if m <= 0.0 => (0.0, 0.0),
            Self::Four(m, p) if x < p => {
                let k = m / (p * p);
                (k * x * (2.0 * p - x), 2.0 * k * (p - x))
            }
            Self::Four(m, p) => {
                let k = m / ((1.0 - p) * (1.0 - p));
                (k * (1.0 - 2.0 * p + x * (2.0 * p - x)), 2.0 * k * (p - x))
            }
            Self::Five(end, k1, ratio) => {
                let (k, cube) = (k1 / 6.0, |v: f64| v * v * v);
                if ratio <= 0.0 {
                    let m = end;
                    return if x < m {
                        let height = x * (m * m * (3.0 - m) + x * (x - 3.0 * m));
                        (k * height, k * (m * m * (3.0 - m) + x * (3.0 * x - 6.0 * m)))
                    } else {
                        (k * cube(m) * (1.0 - x), -k * cube(m))
                    };
                }
                let front = if x < end { 1.0 } else { ratio };
                let line = ratio * cube(1.0 - end) + cube(end);
                let height = front * cube(x - end) - line * x + cube(end);
                (k * height, k * (3.0 * front * (x - end) * (x - end) - line))
            }
        }
    }
}
