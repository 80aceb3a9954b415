//! What comes with the program opens, and is in order.

use std::path::Path;

use grainwise::problem::Problems;
use grainwise::shop::{self, Shop};

pub(super) fn open(machine: &str) -> Shop {
    let mut problems = Problems::new();
    let shop = Shop::open(machine, None, Path::new("."), &mut problems);
    assert_eq!(problems, Problems::new());
    shop.unwrap()
}

#[test]
fn every_machine_opens_without_a_problem() {
    assert_eq!(shop::machine_names(), ["desktop-laser", "makerspace-laser", "workshop-router"]);
    for name in shop::machine_names() {
        assert_eq!(open(name).machine.name, name);
    }
}

#[test]
fn every_wood_is_there() {
    let names = ["balsa-hard", "balsa-light", "balsa-medium", "birch-ply", "light-ply"];
    assert_eq!(shop::wood_names(), names);
    let read: Vec<String> = shop::woods().into_iter().map(|wood| wood.name).collect();
    assert_eq!(read, names);
}
