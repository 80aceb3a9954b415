//! Time on the machine.

use grainwise::shop::Shop;
use grainwise::stages::cut::{Settings, SheetCuts};
use grainwise::stages::job::Cutting;

use super::support::{job_with, part, planned, rectangle, shop, solid};

/// A square of `size` without tabs, one pass.
fn square(size: f64, shop: &Shop) -> SheetCuts {
    let parts = [part("A", solid(rectangle(20.0, 20.0, 20.0 + size, 20.0 + size)))];
    let cutting = Cutting {
        tabs: Some(0),
        kerf_mm: Some(0.0),
        passes: Some(1),
        feed_mm_min: Some(600.0),
        ..Cutting::default()
    };
    planned(&parts, &job_with(cutting), shop)
}

#[test]
fn a_long_cut_takes_its_length_over_its_feed() {
    let mut shop = shop("desktop-laser");
    shop.machine.acceleration_mm_s2 = 1e9;
    shop.machine.rapid_mm_min = 1e9;
    let sheet = square(300.0, &shop);
    assert!(matches!(sheet.settings, Settings::Laser(_)));
    assert!((sheet.time_s - 1200.0 / 10.0).abs() < 0.01, "{}", sheet.time_s);
}

/// From rest over a distance d and to rest again, never reaching the top speed: 2 sqrt(d / a).
#[test]
fn a_rapid_is_run_up_and_down() {
    let mut shop = shop("desktop-laser");
    shop.machine.rapid_mm_min = 1e9;
    let time = |acceleration: f64| {
        let mut shop = shop.clone();
        shop.machine.acceleration_mm_s2 = acceleration;
        square(300.0, &shop).time_s
    };
    let distance = 800.0_f64.sqrt();
    // The rest of the way costs 120 s at 10 mm/s; run-up for a feed of 10 mm/s costs 10 / a at the ends.
    let slow = time(100.0);
    let rapid = 2.0 * (distance / 100.0).sqrt();
    assert!((slow - 120.0 - rapid) > 0.0 && (slow - 120.0 - rapid) < 0.5, "{slow}");
}

#[test]
fn slower_acceleration_takes_longer() {
    let (mut quick, mut lame) = (shop("desktop-laser"), shop("desktop-laser"));
    quick.machine.acceleration_mm_s2 = 3000.0;
    lame.machine.acceleration_mm_s2 = 100.0;
    assert!(square(50.0, &lame).time_s > square(50.0, &quick).time_s);
}
