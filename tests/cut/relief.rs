//! Relief in the parts of a job.

use grainwise::geometry::relief::Form;
use grainwise::problem::Problems;
use grainwise::shop::RouterWish;
use grainwise::stages::cut::{self, Operation};
use grainwise::stages::job::Cutting;
use grainwise::stages::part::Part;

use super::support::{codes, job_with, part, planned, polygon, shop, solid};

fn notched() -> Part {
    let outer = polygon(&[
        (20.0, 20.0),
        (140.0, 20.0),
        (140.0, 60.0),
        (82.0, 60.0),
        (82.0, 50.0),
        (78.0, 50.0),
        (78.0, 60.0),
        (20.0, 60.0),
    ]);
    part("A", solid(outer))
}

fn wish(relief: Option<Form>) -> Cutting {
    let router = RouterWish { relief: Some(relief), ..RouterWish::default() };
    Cutting { cutter_mm: Some(1.5), router, ..Cutting::default() }
}

#[test]
fn corners_are_relieved_where_a_cutter_cuts_and_the_nearest_wish_says_so() {
    let mut own = notched();
    own.cutting = wish(None);
    for (part, machine, relieved) in [
        (notched(), "workshop-router", true),
        (notched(), "desktop-laser", false),
        (own, "workshop-router", false),
    ] {
        let mut job = job_with(wish(Some(Form::Dogbone)));
        if machine == "desktop-laser" {
            job.cutting.cutter_mm = None;
        }
        let (mut parts, mut problems) = (vec![part], Problems::new());
        cut::relieve(&mut parts, &job, &shop(machine), &mut problems);
        assert_eq!(parts[0].region != notched().region, relieved, "{machine}");
        assert_eq!(codes(&problems).contains(&"relieved"), relieved);
    }
}

/// The middle of the cutter comes as near to each corner as half its width, and the bay's wider by 0.05 mm.
#[test]
fn the_cutter_s_path_goes_into_the_corners() {
    for form in [Form::Dogbone, Form::Edge] {
        let job = job_with(wish(Some(form)));
        let mut parts = vec![notched()];
        cut::relieve(&mut parts, &job, &shop("workshop-router"), &mut Problems::new());
        let sheet = planned(&parts, &job, &shop("workshop-router"));
        let outer = sheet.cuts.iter().find(|cut| cut.operation == Operation::CutOutside).unwrap();
        for corner in [(82.0, 50.0), (78.0, 50.0)] {
            let off = super::support::closed(outer).distance(corner.into());
            assert!((off - 0.75).abs() < 1e-3, "{form:?}: {off}");
        }
    }
}
