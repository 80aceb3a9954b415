//! Names and grain arrows lie in the material, clear of edges and holes, as large as fits; else beside, else nowhere.

use grainwise::geometry::{Chain, Outline, Placement, Point, Rect, Region, Vertex, lettering};
use grainwise::stages::cut::marks::{ARROW, CLEARANCE, LARGEST, Marking, SMALLEST, Where, place};
use grainwise::stages::cut::note_on;
use grainwise::stages::drawing::Note;

fn plate(width: f64, height: f64) -> Region {
    Region::new(Outline::rectangle(Rect::new(0.0, 0.0, width, height)), Vec::new())
}

fn nothing_free(_: &Region) -> bool {
    false
}

fn put(name: &str, region: &Region, grain: Option<f64>) -> Marking {
    place(name, None, region, grain, &nothing_free)
}

/// The least distance of the strokes from the outlines; negative where a point lies outside the material.
fn clearance(strokes: &[Chain], region: &Region) -> f64 {
    let points = strokes
        .iter()
        .flat_map(|c| c.segments().flat_map(|s| (0..=8).map(move |i| s.at(f64::from(i) / 8.0))));
    points.map(|p| if region.contains(p) { region.distance(p) } else { -1.0 }).fold(f64::INFINITY, f64::min)
}

/// Numbers from 0 to 1, the same on every run.
struct Dice(u64);

impl Dice {
    fn next(&mut self) -> f64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 11) as f64 / (1_u64 << 53) as f64
    }
    fn within(&mut self, least: f64, most: f64) -> f64 {
        least + (most - least) * self.next()
    }
}

/// A star of lines and arcs about the origin with round holes, stretched, turned and shifted.
fn random_region(dice: &mut Dice) -> Region {
    let count = 3 + (dice.next() * 20.0) as usize;
    let (size, flat) = (dice.within(5.0, 80.0), dice.within(0.15, 1.0));
    let vertices = (0..count)
        .map(|i| {
            let angle = std::f64::consts::TAU * i as f64 / count as f64;
            let reach = size * dice.within(0.5, 1.0);
            let bulge = if dice.next() < 0.4 { dice.within(0.0, 0.3) } else { 0.0 };
            Vertex::new(reach * angle.cos(), reach * angle.sin() * flat, bulge)
        })
        .collect();
    let outer = Outline::new(vertices).unwrap();
    let mut holes: Vec<Outline> = Vec::new();
    for _ in 0..(dice.next() * 5.0) as usize {
        let (x, y) = (dice.within(-size, size) * 0.5, dice.within(-size, size) * 0.5 * flat);
        let (at, radius) = (Point::new(x, y), dice.within(0.5, 4.0));
        let clear = outer.contains(at) && outer.distance(at) > radius + 0.2;
        if clear && holes.iter().all(|hole| hole.distance(at) > radius && !hole.contains(at)) {
            holes.push(Outline::circle(at, radius));
        }
    }
    let turn_deg = if dice.next() < 0.5 { dice.within(0.0, 360.0) } else { 0.0 };
    let shift = grainwise::geometry::Vec2::new(dice.within(-500.0, 500.0), dice.within(-500.0, 500.0));
    Region::new(outer, holes).placed(&Placement { mirrored: dice.next() < 0.5, turn_deg, shift })
}

#[test]
fn all_strokes_keep_their_clearance_in_random_regions() {
    let mut dice = Dice(7);
    let (mut named, mut arrows) = (0, 0);
    for round in 0..2000 {
        let region = random_region(&mut dice);
        let grain =
            (dice.next() < 0.8).then(|| if dice.next() < 0.6 { 0.0 } else { dice.within(0.0, 180.0) });
        let marking = put(["R1", "Spant 4", "g", "Höhenleitwerk links"][round % 4], &region, grain);
        named += usize::from(marking.name == Where::Inside);
        arrows += usize::from(marking.arrow == Some(Where::Inside));
        let clear = clearance(&marking.strokes, &region);
        assert!(clear >= CLEARANCE - 1e-9, "round {round}: {clear} in {region:?}");
    }
    // Enough of them have room that the test means something.
    assert!(named > 1000 && arrows > 800, "{named} names, {arrows} arrows");
}

#[test]
fn a_large_plate_gets_the_largest_letters_and_arrow() {
    let region = plate(200.0, 80.0);
    let marking = put("R1", &region, Some(0.0));
    assert_eq!(
        (marking.name, marking.arrow, marking.height_mm),
        (Where::Inside, Some(Where::Inside), LARGEST)
    );
    let longest = marking.strokes.iter().map(Chain::length).fold(0.0, f64::max);
    assert_eq!(longest, ARROW.1);
}

/// A strip leaves 5 mm less two clearances for the letters: as high as that, to a tenth of a millimetre and one band.
#[test]
fn letters_are_as_high_as_a_strip_allows() {
    let marking = put("R1", &plate(60.0, 5.0), None);
    let room = 5.0 - 2.0 * CLEARANCE;
    assert!(marking.height_mm <= room && marking.height_mm > room - 0.7, "{}", marking.height_mm);
}

#[test]
fn a_tall_strip_bears_its_name_along_y() {
    let marking = put("Rib", &plate(5.0, 60.0), None);
    let bounds = lettering::bounds(&marking.strokes).unwrap();
    assert_eq!(marking.name, Where::Inside);
    assert!(bounds.height() > bounds.width());
}

#[test]
fn a_slanting_strip_bears_its_name_along_itself() {
    let turn = Placement { turn_deg: 30.0, ..Placement::HERE };
    let region = plate(60.0, 4.6).placed(&turn);
    let marking = put("Rib 11", &region, None);
    assert_eq!(marking.name, Where::Inside);
    assert!(clearance(&marking.strokes, &region) >= CLEARANCE - 1e-9);
}

#[test]
fn the_arrow_runs_along_the_grain() {
    for grain in [0.0_f64, 37.0, 90.0, 135.0] {
        let marking = put("R", &plate(100.0, 100.0), Some(grain));
        let shaft = marking.strokes.iter().max_by(|a, b| a.length().total_cmp(&b.length())).unwrap();
        let chord = shaft.segments().next().unwrap().chord();
        let deg = chord.y.atan2(chord.x).to_degrees().rem_euclid(180.0);
        let off = (deg - grain).abs();
        assert!(off.min(180.0 - off) < 1e-9, "{grain}: {deg}");
    }
}

#[test]
fn name_and_arrow_do_not_cross() {
    let marking = put("R", &plate(30.0, 14.0), Some(0.0));
    let letters = lettering::text("R", 1.0).len();
    let name = lettering::bounds(&marking.strokes[..letters]).unwrap();
    let arrow = lettering::bounds(&marking.strokes[letters..]).unwrap();
    assert!(name.intersect(arrow).is_zero_area(), "{name:?} {arrow:?}");
}

/// A name reads from left to right: the R's stem is left of its leg, whichever hand the piece has.
#[test]
fn a_mirrored_piece_bears_a_name_that_reads() {
    let mirrored = Placement { mirrored: true, turn_deg: 180.0, shift: grainwise::geometry::Vec2::ZERO };
    let marking = put("R", &plate(60.0, 20.0).placed(&mirrored), None);
    let stem = marking.strokes[0].vertices()[0].at;
    let leg = marking.strokes[1].vertices()[1].at;
    assert!(leg.x > stem.x + 1.0, "stem {stem:?}, foot of the leg {leg:?}");
}

#[test]
fn what_has_no_room_inside_goes_beside_where_that_is_free() {
    let region = plate(4.0, 4.0);
    let marking = place("Rib 12", None, &region, Some(0.0), &|_| true);
    assert_eq!((marking.name, marking.arrow), (Where::Beside, Some(Where::Beside)));
    assert!(!marking.strokes.is_empty());
    for stroke in &marking.strokes {
        assert!(stroke.bounds().intersect(region.bounds()).is_zero_area(), "{stroke:?}");
    }
}

#[test]
fn what_has_no_room_anywhere_is_left_out_and_said() {
    let marking = put("Rib 12", &plate(4.0, 4.0), Some(0.0));
    assert_eq!((marking.name, marking.arrow), (Where::Nowhere, Some(Where::Nowhere)));
    assert!(marking.strokes.is_empty() && marking.height_mm == 0.0);
}

#[test]
fn a_piece_without_grain_has_no_arrow() {
    let marking = put("R1", &plate(60.0, 60.0), None);
    assert_eq!(marking.arrow, None);
    assert_eq!(marking.strokes.len(), lettering::text("R1", 1.0).len());
}

#[test]
fn letters_never_are_smaller_than_they_may_be() {
    for width in 5..60 {
        let marking = put("Spant", &plate(f64::from(width), 9.0), Some(0.0));
        assert!(marking.name != Where::Inside || marking.height_mm >= SMALLEST);
    }
}

#[test]
fn a_name_of_nothing_draws_nothing() {
    let marking = put("", &plate(60.0, 60.0), None);
    assert_eq!((marking.name, marking.strokes.len()), (Where::Nowhere, 0));
}

#[test]
fn a_character_without_a_letter_is_told() {
    assert_eq!(put("R漢", &plate(60.0, 60.0), None).unknown, ['漢']);
}

/// A rib with a curved top and three holes has room for its name.
#[test]
fn a_rib_with_holes_is_marked_inside() {
    let upper =
        (0..=60).map(|i| (f64::from(i) * 3.0, 12.0 * (f64::from(i) / 60.0 * std::f64::consts::PI).sin()));
    let points: Vec<(f64, f64)> = upper.chain([(180.0, -3.0), (0.0, -3.0)]).collect();
    let holes = [40.0, 70.0, 100.0].map(|x| Outline::circle(Point::new(x, 3.0), 3.5)).to_vec();
    let rib = Region::new(Outline::polygon(&points).unwrap(), holes);
    assert_eq!(put("R11", &rib, Some(0.0)).name, Where::Inside);
}

/// A long plate with a name, an arrow along the grain, and a station of 60 mm with an arrow up.
fn noted(placement: &Placement) -> (Marking, Region, f64) {
    let mut part = super::support::part("R3", plate(120.0, 14.0));
    part.note = Some(Note { text: "60".to_owned(), arrow_deg: 90.0 });
    let region = part.region.placed(placement);
    let note = note_on(&part, placement).unwrap();
    let marking = place("R3", Some(&note), &region, Some(0.0), &nothing_free);
    (marking, region, note.arrow_deg)
}

#[test]
fn a_note_stands_clear_of_name_and_arrow() {
    let (marking, region, _) = noted(&Placement::HERE);
    assert!(marking.note_mm >= SMALLEST && marking.name == Where::Inside, "{marking:?}");
    assert!(clearance(&marking.note, &region) >= CLEARANCE - 1e-9);
    let bounds = |strokes: &[Chain]| lettering::bounds(strokes).unwrap().inflate(CLEARANCE / 2.0, 0.0);
    for stroke in &marking.strokes {
        assert!(!bounds(&marking.note).overlaps(bounds(std::slice::from_ref(stroke))), "{stroke:?}");
    }
    let full = plate(14.0, 6.0);
    let note = Note { text: "1234".to_owned(), arrow_deg: 90.0 };
    let none = place("R3", Some(&note), &full, Some(0.0), &nothing_free);
    assert!(none.note.is_empty() && none.note_mm == 0.0 && none.name == Where::Inside);
}

/// Digits are never mirrored; the arrow points to where the part's upper side lies on the sheet.
#[test]
fn a_note_reads_the_right_way_round_on_either_hand() {
    for (mirrored, turn_deg, up) in [
        (false, 0.0, 90.0),
        (true, 0.0, 90.0),
        (false, 180.0, -90.0),
        (true, 180.0, -90.0),
        (true, 90.0, 180.0),
    ] {
        let (marking, _, deg) = noted(&Placement { mirrored, turn_deg, ..Placement::HERE });
        assert!((deg - up).abs() < 1e-9, "{mirrored} {turn_deg}: {deg}");
        let drawn = lettering::text("60", marking.note_mm);
        let (digits, arrow) = marking.note.split_at(drawn.len());
        let shift = digits[0].vertices()[0].at - drawn[0].vertices()[0].at;
        for (digit, as_drawn) in digits.iter().zip(&drawn) {
            for (at, from) in digit.vertices().iter().zip(as_drawn.vertices()) {
                assert!(at.at.distance(from.at + shift) < 1e-9, "{mirrored} {turn_deg}");
            }
        }
        let shaft = arrow[0].vertices();
        let way = shaft[1].at - shaft[0].at;
        assert!((way.y.atan2(way.x).to_degrees() - up).abs() < 1e-6, "{way:?}");
        assert!((shaft[1].at.distance(arrow[1].vertices()[1].at)) < 1e-9, "the head is at the tip");
    }
}
