//! The tables hold what they promise, agree with the formulas in their README, and stay within sense between rows.

use grainwise::shop::{self, Cutter, Shop, Tool};

use super::shipped::open;

const BEAMS: [f64; 7] = [5.0, 10.0, 20.0, 40.0, 60.0, 80.0, 100.0];
const CUTTERS: [f64; 5] = [0.8, 1.0, 1.5, 2.0, 3.175];

/// The span of thicknesses that each wood is promised for, mm.
const SPANS: [(&str, f64, f64); 5] = [
    ("balsa-light", 0.8, 12.0),
    ("balsa-medium", 0.8, 12.0),
    ("balsa-hard", 0.8, 12.0),
    ("light-ply", 2.0, 6.0),
    ("birch-ply", 0.4, 6.0),
];

fn laser(power: f64) -> Shop {
    let mut shop = open("makerspace-laser");
    shop.machine.tool = Tool::Laser { power_w: power };
    shop
}

fn cutter(diameter_mm: f64) -> Cutter {
    Cutter { diameter_mm, flutes: 2, flute_length_mm: 20.0 }
}

/// Thicknesses over a span, rows and what lies between them.
fn thicknesses(least: f64, most: f64) -> impl Iterator<Item = f64> {
    (0..=40).map(move |i| least + (most - least) * f64::from(i) / 40.0)
}

#[test]
fn every_promised_thickness_and_beam_has_a_setting() {
    for (wood, least, most) in SPANS {
        for power in BEAMS {
            let shop = laser(power);
            for thickness in thicknesses(least, most) {
                let s = shop.laser(wood, thickness).unwrap();
                assert!((0.1..=0.3).contains(&s.kerf_mm), "{wood} {thickness}: {s:?}");
                assert!(s.power > 0.0 && s.power <= 1.0 && s.feed_mm_min > 50.0 && s.passes >= 1, "{s:?}");
            }
        }
    }
}

#[test]
fn every_promised_thickness_and_cutter_has_a_setting() {
    let shop = open("workshop-router");
    for (wood, least, most) in SPANS {
        for diameter in CUTTERS {
            for thickness in thicknesses(least, most) {
                let s = shop.router(wood, thickness, &cutter(diameter)).unwrap();
                assert!(s.pass_mm <= diameter && s.pass_mm > 0.2, "{wood} {thickness} {diameter}: {s:?}");
                assert!(s.plunge_mm_min < s.feed_mm_min && s.mark_depth_mm < thickness, "{s:?}");
            }
            shop.tabs(wood, least).unwrap();
            shop.tabs(wood, most).unwrap();
        }
    }
}

/// Minutes for a millimetre of finished cut.
fn laser_minutes(shop: &Shop, wood: &str, thickness: f64) -> f64 {
    let s = shop.laser(wood, thickness).unwrap();
    f64::from(s.passes) / s.feed_mm_min
}

#[test]
fn thicker_wood_is_cut_more_slowly() {
    for (wood, least, most) in SPANS {
        for power in BEAMS {
            let shop = laser(power);
            let times: Vec<f64> = thicknesses(least, most).map(|t| laser_minutes(&shop, wood, t)).collect();
            assert!(times.is_sorted_by(|a, b| a < b), "{wood} {power}: {times:?}");
        }
    }
}

#[test]
fn denser_wood_is_cut_more_slowly_by_beam_and_cutter() {
    let router = open("workshop-router");
    for power in BEAMS {
        let shop = laser(power);
        let times: Vec<f64> = SPANS.iter().map(|(wood, ..)| laser_minutes(&shop, wood, 3.0)).collect();
        assert!(times.is_sorted_by(|a, b| a < b), "{power}: {times:?}");
    }
    for diameter in CUTTERS {
        let feeds: Vec<f64> = SPANS
            .iter()
            .map(|(wood, ..)| router.router(wood, 3.0, &cutter(diameter)).unwrap())
            .map(|s| s.feed_mm_min * s.pass_mm)
            .collect();
        assert!(feeds.is_sorted_by(|a, b| a > b), "{diameter}: {feeds:?}");
    }
}

#[test]
fn a_stronger_beam_is_faster() {
    let shops: Vec<Shop> = (5..=100).step_by(5).map(|power| laser(f64::from(power))).collect();
    for (wood, least, most) in SPANS {
        for thickness in thicknesses(least, most) {
            let times: Vec<f64> = shops.iter().map(|shop| laser_minutes(shop, wood, thickness)).collect();
            assert!(times.is_sorted_by(|a, b| a > b), "{wood} {thickness}: {times:?}");
        }
    }
}

/// The formula of post/tables/README.md, written again: E = rho t w H with w = 0.2 mm and H = 8000 J/g, 85 % of the
/// power, bent towards 6000 mm/min. Feeds are rounded to 10 mm/min (5 below 1000, 1 below 200), powers to 0.01.
#[test]
fn laser_rows_are_what_their_formula_says() {
    for wood in shop::woods() {
        for power in BEAMS {
            let shop = laser(power);
            for &thickness in &wood.thicknesses_mm {
                let s = shop.laser(&wood.name, thickness).unwrap();
                let energy = wood.density_kg_m3 * 1e-6 * thickness * 0.2 * 8000.0;
                let full = 60.0 * f64::from(s.passes) * 0.85 * power / energy;
                let feed = 1.0 / (1.0 / 6000.0 + 1.0 / full);
                let fraction = (0.85 * feed / full).max(if power >= 40.0 { 0.05 } else { 0.02 });
                assert!(
                    (s.feed_mm_min - feed).abs() <= 5.01,
                    "{} {power} {thickness}: {s:?} {feed}",
                    wood.name
                );
                assert!(
                    (s.power - fraction).abs() <= 0.0051,
                    "{} {power} {thickness}: {s:?} {fraction}",
                    wood.name
                );
                assert!((s.kerf_mm - 0.14 - 0.012 * thickness).abs() <= 0.00051, "{s:?}");
            }
        }
    }
}

/// feed = rpm x flutes x chip load is the definition of the chip load; the fraction of the diameter and its lowering in a
/// deep slot stand in post/tables/README.md.
#[test]
fn router_rows_are_what_their_formula_says() {
    let mut shop = open("workshop-router");
    shop.machine.rapid_mm_min = 1e5;
    let loads = [0.024, 0.022, 0.020, 0.016, 0.012];
    for ((wood, ..), load) in SPANS.iter().zip(loads) {
        for diameter in CUTTERS {
            for &thickness in &shop.wood(wood).unwrap().thicknesses_mm {
                let s = shop.router(wood, thickness, &cutter(diameter)).unwrap();
                let chip = load * diameter * (1.0 - 0.02 * thickness / diameter).max(0.5);
                let feed = s.rpm * 2.0 * chip;
                assert!(
                    (s.feed_mm_min / feed - 1.0).abs() < 0.01,
                    "{wood} {diameter} {thickness}: {s:?} {feed}"
                );
            }
        }
    }
}

/// Halfway between two rows the formula itself, not a straight line of feeds, is what comes out.
#[test]
fn between_rows_the_formula_holds() {
    let shop = laser(50.0);
    let s = shop.laser("birch-ply", 3.5).unwrap();
    let energy = 680e-6 * 3.5 * 0.2 * 8000.0;
    let feed = 1.0 / (1.0 / 6000.0 + energy / (60.0 * 0.85 * 50.0));
    assert!((s.feed_mm_min / feed - 1.0).abs() < 0.02, "{s:?} {feed}");
}

#[test]
fn outside_the_table_the_problem_says_what_it_holds() {
    let problem = laser(60.0).laser("light-ply", 8.0).unwrap_err();
    assert_eq!((problem.code, problem.hint.as_str()), ("outside-table", "it holds thickness from 2 to 6 mm"));
    let problem = laser(150.0).laser("light-ply", 3.0).unwrap_err();
    assert_eq!(
        (problem.code, problem.hint.as_str()),
        ("outside-table", "it holds beam power from 5 to 100 W")
    );
    let problem = open("workshop-router").router("balsa-hard", 3.0, &cutter(6.0)).unwrap_err();
    assert_eq!(problem.hint, "it holds cutter diameter from 0.8 to 3.175 mm");
    assert_eq!(open("workshop-router").tabs("balsa-hard", 0.2).unwrap_err().code, "outside-table");
    assert_eq!(laser(60.0).laser("balsa-hard", f64::NAN).unwrap_err().code, "outside-table");
}

#[test]
fn an_unknown_wood_names_the_nearest() {
    let problem = laser(60.0).laser("balsa-medum", 3.0).unwrap_err();
    assert_eq!((problem.code, problem.hint.as_str()), ("unknown-wood", "did you mean 'balsa-medium'?"));
}

#[test]
fn short_flutes_are_refused() {
    let short = Cutter { diameter_mm: 1.0, flutes: 2, flute_length_mm: 4.0 };
    let problem = open("workshop-router").router("balsa-hard", 6.0, &short).unwrap_err();
    assert_eq!(problem.code, "cutter-too-short");
}

#[test]
fn a_laser_is_no_router() {
    assert_eq!(laser(60.0).router("balsa-hard", 3.0, &cutter(1.0)).unwrap_err().code, "wrong-machine");
    assert_eq!(open("workshop-router").laser("balsa-hard", 3.0).unwrap_err().code, "wrong-machine");
}

/// The feed follows a spindle that cannot turn as fast as the table says, so that the chip load stays.
#[test]
fn a_slow_spindle_slows_the_feed_in_the_same_measure() {
    let mut shop = open("workshop-router");
    let fast = shop.router("birch-ply", 3.0, &cutter(1.0)).unwrap();
    if let Tool::Router { max_rpm, .. } = &mut shop.machine.tool {
        *max_rpm = 12_000.0;
    }
    let slow = shop.router("birch-ply", 3.0, &cutter(1.0)).unwrap();
    assert_eq!((fast.rpm, slow.rpm), (24_000.0, 12_000.0));
    assert!((slow.feed_mm_min * 2.0 - fast.feed_mm_min).abs() < 1e-9);
}

#[test]
fn a_machine_slower_than_the_table_lowers_the_power_too() {
    let mut shop = laser(100.0);
    let fast = shop.laser("balsa-light", 0.8).unwrap();
    shop.machine.rapid_mm_min = 1500.0;
    let slow = shop.laser("balsa-light", 0.8).unwrap();
    assert_eq!(slow.feed_mm_min, 1500.0);
    assert!((slow.power / slow.feed_mm_min - fast.power / fast.feed_mm_min).abs() < 1e-12);
}

/// A sheet of balsa 1/32 x 3 x 36 inch at 6 lb/ft³ weighs 0.1875 oz (arithmetic; a published weight): densities in the
/// shop lie in the species' span of 60 to 380 kg/m³ (Borrega and Gibson, 2015, abstract).
#[test]
fn balsa_is_as_heavy_as_balsa() {
    let balsa: Vec<f64> =
        shop::woods().iter().filter(|w| w.name.starts_with("balsa")).map(|w| w.density_kg_m3).collect();
    assert_eq!(balsa.len(), 3);
    assert!(balsa.iter().all(|density| (60.0..=380.0).contains(density)));
}
