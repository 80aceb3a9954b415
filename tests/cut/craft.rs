//! How a cutter goes about its work, as the tables or the job say.

use grainwise::shop::RouterWish;
use grainwise::stages::cut::{Cut, Operation};
use grainwise::stages::job::Cutting;
use grainwise::stages::part::Part;

use super::support::{closed, job, job_with, part, planned, rectangle, shop, solid};

fn plain() -> Part {
    part("A", solid(rectangle(20.0, 20.0, 140.0, 60.0)))
}

fn wish(router: RouterWish) -> Cutting {
    Cutting { router, ..Cutting::default() }
}

fn outer(cuts: &[Cut]) -> &Cut {
    cuts.iter().find(|cut| cut.operation == Operation::CutOutside).unwrap()
}

/// A cutter that turns clockwise climbs where the piece is on its right: around it clockwise.
#[test]
fn a_cutter_climbs_or_cuts_conventionally_as_the_nearest_wish_says() {
    let conventional = wish(RouterWish { climb: Some(false) });
    let mut own = plain();
    own.cutting = wish(RouterWish { climb: Some(true) });
    for (part, job, counter_clockwise) in [
        (plain(), job(), false),
        (plain(), job_with(conventional.clone()), true),
        (own, job_with(conventional), false),
    ] {
        let sheet = planned(&[part], &job, &shop("workshop-router"));
        assert_eq!(closed(outer(&sheet.cuts)).is_counter_clockwise(), counter_clockwise);
    }
}
