//! Sections against published ordinates.

use grainwise::geometry::Point;
use grainwise::geometry::section::{BadSection, Section, Wing, naca};

fn wing(number: &str) -> Wing {
    let section = naca(number).unwrap();
    section.blend(&section, 0.0)
}

#[track_caller]
fn lies(wing: &Wing, x: f64, upper: f64, lower: f64, within: f64) {
    let (high, low) = (wing.upper.height(x / 100.0).unwrap(), wing.lower.height(x / 100.0).unwrap());
    assert!((high * 100.0 - upper).abs() <= within, "upper at {x}: {}", high * 100.0);
    assert!((low * 100.0 - lower).abs() <= within, "lower at {x}: {}", low * 100.0);
}

/// A published table of ordinates at surface stations, % of the chord, to four decimals.
#[test]
fn naca_2412_has_the_published_ordinates() {
    let table = [
        (1.25, 2.1606, -1.6513),
        (2.5, 2.9863, -2.2684),
        (5.0, 4.1304, -3.0054),
        (10.0, 5.6291, -3.7608),
        (20.0, 7.2607, -4.2278),
        (30.0, 7.8785, -4.1286),
        (40.0, 7.803, -3.803),
        (60.0, 6.3506, -2.7784),
        (80.0, 3.7497, -1.5017),
        (90.0, 2.0711, -0.8289),
    ];
    let wing = wing("2412");
    for (x, upper, lower) in table {
        // Ahead of a tenth the table lies off the formula that defines the section by so much: it seems interpolated there.
        lies(&wing, x, upper, lower, if x < 10.0 { 7e-4 } else { 1.2e-4 });
    }
}

/// Abbott and von Doenhoff, Theory of Wing Sections, appendix III (from memory), % of the chord to two decimals:
/// reckoned by hand, and off the formula by up to three hundredths near the nose.
#[test]
fn naca_23012_has_the_published_ordinates() {
    let table = [
        (1.25, 2.67, -1.23),
        (2.5, 3.61, -1.71),
        (5.0, 4.91, -2.26),
        (10.0, 6.43, -2.92),
        (20.0, 7.50, -3.97),
        (30.0, 7.55, -4.46),
        (40.0, 7.14, -4.48),
        (60.0, 5.47, -3.67),
        (80.0, 3.08, -2.16),
    ];
    let wing = wing("23012");
    for (x, upper, lower) in table {
        lies(&wing, x, upper, lower, if x < 5.0 { 0.035 } else { 0.025 });
    }
}

/// NACA Report 460: the nose's radius is 1.1019 times the square of the thickness. Strong camber bends the nose
/// itself: only sections with little of it are held to the published value.
#[test]
fn noses_have_the_published_radius() {
    for (number, thickness) in [("0012", 0.12), ("2415", 0.15), ("0009", 0.09)] {
        let wing = wing(number);
        let nose = wing.upper.runs()[0].from();
        // The circle through the nose and a point on each surface as far from it.
        let away = 2e-4;
        let upper = wing.upper.runs()[0].at(0.0008_f64.max(away));
        let lower = wing.lower.runs()[0].at(0.0008_f64.max(away));
        let (a, b, c) = (nose.distance(upper), nose.distance(lower), upper.distance(lower));
        let twice = (upper - nose).cross(lower - nose).abs();
        let radius = a * b * c / (2.0 * twice);
        let published = 1.1019 * thickness * thickness;
        assert!((radius / published - 1.0).abs() < 0.03, "{number}: {radius} for {published}");
        assert!(wing.round);
    }
}

#[test]
fn numbers_without_a_section_have_none() {
    for number in ["", "24", "2400", "2499", "2012", "0412", "23212", "26012", "24a2", "240012", "2412 "] {
        assert!(naca(number).is_none(), "{number}");
    }
}

#[test]
fn a_section_half_way_lies_half_way() {
    let (thin, thick) = (naca("0009").unwrap(), naca("0015").unwrap());
    let half = thin.blend(&thick, 0.5);
    let want = wing("0012");
    for x in [0.01, 0.05, 0.2, 0.3, 0.5, 0.8, 0.95] {
        let (a, b) = (half.upper.height(x).unwrap(), want.upper.height(x).unwrap());
        assert!((a - b).abs() < 1e-5, "{x}: {a} for {b}");
    }
}

#[test]
fn a_corner_stays_a_corner() {
    // A flat bottom, a step in the upper surface and a sharp nose.
    let mut points = vec![Point::new(1.0, 0.0), Point::new(0.75, 0.04), Point::new(0.5, 0.06)];
    points.extend(
        [(0.5, 0.09), (0.3, 0.10), (0.1, 0.06), (0.0, 0.0), (0.3, 0.0), (0.7, 0.0), (1.0, -0.001)]
            .map(Point::from),
    );
    let section = Section::through(&points).unwrap();
    let wing = section.blend(&section, 0.0);
    assert!(wing.upper.runs().len() >= 3, "{}", wing.upper.runs().len());
    let corners: Vec<Point> = wing.upper.runs().iter().map(grainwise::geometry::curve::Curve::to).collect();
    for at in [Point::new(0.5, 0.09), Point::new(0.5, 0.06)] {
        assert!(corners.iter().any(|corner| corner.distance(at) < 1e-9), "{at:?} in {corners:?}");
    }
}

#[test]
fn points_that_tell_nothing_are_refused() {
    let line: Vec<Point> = (0..20).map(|k| Point::new(1.0 - f64::from(k) / 20.0, 0.0)).collect();
    assert_eq!(Section::through(&line).unwrap_err(), BadSection::Flat);
    assert_eq!(Section::through(&line[..3]).unwrap_err(), BadSection::Points(3));
    assert_eq!(Section::through(&[Point::new(f64::NAN, 0.0); 9]).unwrap_err(), BadSection::NotFinite);
}
