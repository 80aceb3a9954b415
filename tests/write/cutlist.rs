//! The cut list.

use grainwise::problem::Problems;
use grainwise::stages::write;

use super::sample;

fn list() -> String {
    let (sheets, parts) = sample::kit(sample::ROUTER);
    let files = write::all(&sheets, &parts, &sample::job(), &sample::router(), None, &mut Problems::new());
    let last = files.into_iter().next_back().unwrap();
    assert_eq!((last.name.as_str(), last.sheet), ("cutlist.txt", None));
    String::from_utf8(last.bytes).unwrap()
}

#[test]
fn a_row_says_how_many_which_hand_and_where() {
    let list = list();
    let row: Vec<&str> = list.lines().find(|l| l.starts_with("R1 ")).unwrap().split_whitespace().collect();
    assert_eq!(row, ["R1", "balsa-medium", "2.5", "2", "1", "1", "1", "(2)", "0.30", "0.60"]);
}

#[test]
fn totals_add_up() {
    let list = list();
    assert!(list.contains("balsa-medium 2.5 mm: 3 pieces, 0.90 g\nIn all: 3 pieces, 0.90 g\n"));
}

#[test]
fn it_carries_the_cautions_of_the_machine() {
    assert!(list().contains("CAUTION: eye protection on"));
}

#[test]
fn columns_line_up_whatever_the_letters() {
    let list = list();
    let at = |start: &str| list.lines().find(|l| l.starts_with(start)).unwrap().chars().collect::<Vec<_>>();
    let wood = |row: Vec<char>| row.windows(5).position(|w| w.iter().collect::<String>() == "balsa").unwrap();
    assert_eq!(wood(at("R1")), wood(at("Rippe")));
}
