//! Names that would break out of a comment, a table, an attribute or a layer.

use grainwise::problem::Problems;
use grainwise::shop::DrawingFormat;
use grainwise::stages::cut::{Move, Operation};
use grainwise::stages::write::{self, Written};

use super::{reread, sample};

const NAMES: [&str; 11] = [
    "R1) M30 (",
    "R1\nM3 S1000\nG1 X0",
    "R1\r\nM30",
    "%",
    "MSG, look",
    "; M3 S1000",
    "<script>&\"'",
    "a\u{202e}b\u{2028}M30",
    "\0\x1b[2J",
    "Höhenleitwerk größer Ærø № 5",
    "(((((",
];

fn files_with(name: &str) -> Vec<Written> {
    let (mut sheets, mut parts) = sample::kit(sample::LASER);
    let mut job = sample::job();
    let mut machine = sample::laser();
    for part in &mut parts {
        part.id = name.into();
        part.wood = name.into();
    }
    for sheet in &mut sheets {
        sheet.sheet.wood = name.into();
    }
    job.title = name.into();
    machine.layers.mark.name = name.into();
    machine.layers.score.svg_colour = name.into();
    let mut problems = Problems::new();
    let files = write::all(&sheets, &parts, &job, &machine, None, &mut problems);
    assert!(problems.is_empty());
    files
}

fn text_of(files: &[Written], ending: &str) -> String {
    let file = files.iter().find(|f| f.name.ends_with(ending)).unwrap();
    String::from_utf8(file.bytes.clone()).unwrap()
}

#[test]
fn no_name_breaks_out_of_a_comment() {
    for post in sample::posts() {
        let plain = program_with(&post, "R1");
        for name in NAMES {
            let text = program_with(&post, name);
            // The reader refuses what is not a comment's form; beyond that the words have to be the same.
            reread::read(&text, &post);
            assert_eq!(words_of(&text, &post), words_of(&plain, &post), "{}: {name:?}", post.name);
        }
    }
}

fn program_with(post: &grainwise::shop::Post, name: &str) -> String {
    let begin = Move::Begin { operation: Operation::CutInside, part: name.into() };
    let up = if post.drives_beam() { 0.0 } else { 3.0 };
    let go = Move::Rapid { to: grainwise::geometry::Point::new(1.0, 2.0), z: up };
    sample::program(post, vec![begin, go]).unwrap()
}

/// Lines that hold more than a comment, without their numbers.
fn words_of(text: &str, post: &grainwise::shop::Post) -> Vec<String> {
    let number = |line: &str| match post.line.numbers {
        Some(_) => line.split_once(' ').map_or("", |(_, rest)| rest).to_owned(),
        None => line.to_owned(),
    };
    text.lines().map(number).filter(|line| !line.starts_with(['(', ';'])).collect()
}

#[test]
fn a_message_to_the_operator_stays_a_comment() {
    let text = program_with(&sample::post("terse.yaml"), "R1");
    assert!(!text.contains("MSG,"));
    let mut post = sample::post("router-mm");
    post.cut = sample::post("wordy.yaml").cut;
    let (mut sheets, parts) = sample::kit(sample::ROUTER);
    sheets.truncate(1);
    let mut job = sample::job();
    job.title = "msg, do not trust me".into();
    let machine = grainwise::shop::Machine { drawings: vec![], ..sample::router() };
    let mut problems = Problems::new();
    let files = write::all(&sheets, &parts, &job, &machine, Some(&post), &mut problems);
    assert!(text_of(&files, ".nc").contains("(msg do not trust me"));
}

#[test]
fn letters_beyond_ascii_are_written_as_the_post_says() {
    let mut post = sample::post("wordy.yaml");
    let begin = |post: &grainwise::shop::Post| program_with(post, "Höhe ≈ größer");
    assert!(begin(&post).contains("; cut inside: Hoehe groesser"));
    post.comments.other_letters = grainwise::shop::post::OtherLetters::Drop;
    assert!(begin(&post).contains("; cut inside: Hhe grer"));
}

#[test]
fn no_name_breaks_out_of_an_svg() {
    for name in NAMES {
        let files = files_with(name);
        let text = text_of(&files, "sheet-1.svg");
        assert!(!text.contains("<script>"), "{name:?}");
        let tree = usvg::Tree::from_str(&text, &usvg::Options::default());
        assert!(tree.is_ok(), "{name:?}: {text}");
        assert_eq!(text.matches("<path").count() + text.matches("<circle").count(), 10, "{name:?}");
    }
}

#[test]
fn no_name_breaks_out_of_a_dxf() {
    for name in NAMES {
        let files = files_with(name);
        for ending in ["sheet-1-r12.dxf", "sheet-1-r2000.dxf"] {
            let text = text_of(&files, ending);
            assert_eq!(text.lines().count() % 2, 0, "{name:?}");
            let drawing = dxf::Drawing::load(&mut text.as_bytes()).unwrap();
            assert_eq!(drawing.entities().count(), 10, "{name:?} {ending}");
        }
    }
}

#[test]
fn no_name_breaks_a_row_of_the_cut_list() {
    for name in NAMES {
        let plain = text_of(&files_with("R1"), "cutlist.txt");
        let text = text_of(&files_with(name), "cutlist.txt");
        assert_eq!(text.lines().count(), plain.lines().count(), "{name:?}");
        assert!(text.chars().all(|c| c == '\n' || !c.is_control()), "{name:?}");
    }
}

#[test]
fn absurd_coordinates_stop_the_drawing() {
    let (mut sheets, parts) = sample::kit(sample::LASER);
    sheets.truncate(1);
    sheets[0].cuts[3].path = sample::rectangle(0.0, 0.0, 1e300, 10.0);
    let mut problems = Problems::new();
    let files = write::all(&sheets, &parts, &sample::job(), &sample::laser(), None, &mut problems);
    assert_eq!(problems.len(), sample::laser().drawings.len());
    assert!(problems.stop());
    assert!(!files.iter().any(|f| f.sheet.is_some()));
    assert!(sample::laser().drawings.contains(&DrawingFormat::Svg));
}
