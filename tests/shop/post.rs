//! Posts: what ships, what may be said, what is refused and where.

use std::fs;
use std::path::Path;

use grainwise::problem::{Problem, Problems};
use grainwise::shop::Post;
use grainwise::shop::post::{ArcForm, Drive, PostUnits};

fn read(text: &str) -> (Option<Post>, Vec<Problem>) {
    let mut problems = Problems::new();
    let post = Post::from_text("mine.yaml", text, &mut problems);
    (post, problems.into_iter().collect())
}

/// The one problem of a post that extends a shipped one by `text`.
fn problem(base: &str, text: &str) -> Problem {
    let (post, mut problems) = read(&format!("extends: {base}\n{text}"));
    assert!(post.is_none());
    assert_eq!(problems.len(), 1, "{problems:#?}");
    problems.remove(0)
}

/// Its code and line.
fn refused(base: &str, text: &str) -> (&'static str, usize) {
    let problem = problem(base, text);
    (problem.code, problem.line.unwrap())
}

#[test]
fn every_shipped_post_loads() {
    let shipped = Post::shipped();
    for name in ["laser-scaled", "laser-steady", "router-inch", "router-lines", "router-mm"] {
        assert!(shipped.iter().any(|s| s == name), "{name}");
    }
    for name in &shipped {
        let mut problems = Problems::new();
        let post = Post::open(name, Path::new("."), &mut problems);
        assert!(problems.is_empty(), "{name}: {problems:#?}");
        assert_eq!(&post.unwrap().name, name);
    }
}

#[test]
fn a_post_overrides_piece_by_piece() {
    let (post, problems) =
        read("extends: router-mm\nabout: Mine.\nline: {percent: false}\nnumbers: {decimals: 4}\n");
    assert!(problems.is_empty(), "{problems:#?}");
    let (post, base) = (post.unwrap(), read("extends: router-mm").0.unwrap());
    assert_eq!((post.name.as_str(), post.about.as_str()), ("mine", "Mine."));
    assert!(!post.line.percent && base.line.percent);
    assert_eq!((post.line.most, post.numbers.decimals), (base.line.most, 4));
    assert_eq!(post.start, base.start);
}

#[test]
fn a_post_of_one_s_own_is_named_by_path_and_extends_its_neighbour() {
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("a.yaml"), "extends: router-inch\nextension: tap\n").unwrap();
    fs::create_dir(folder.path().join("deep")).unwrap();
    fs::write(folder.path().join("deep/b.yaml"), "extends: ../a.yaml\narcs: {form: lines}\n").unwrap();
    let mut problems = Problems::new();
    let post = Post::open("deep/b.yaml", folder.path(), &mut problems);
    assert!(problems.is_empty(), "{problems:#?}");
    let post = post.unwrap();
    assert_eq!((post.name.as_str(), post.extension.as_str()), ("b", "tap"));
    assert_eq!((post.units, post.arcs.form), (PostUnits::Inch, ArcForm::Lines));
}

#[test]
fn posts_that_extend_each_other_in_a_ring_are_refused() {
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("a.yaml"), "extends: b.yaml\n").unwrap();
    fs::write(folder.path().join("b.yaml"), "extends: a.yaml\n").unwrap();
    let mut problems = Problems::new();
    assert!(Post::open("a.yaml", folder.path(), &mut problems).is_none());
    assert_eq!(problems.iter().map(|p| p.code).collect::<Vec<_>>(), ["post-extends"]);
}

#[test]
fn a_missing_file_and_an_unknown_name_are_told() {
    let mut problems = Problems::new();
    assert!(Post::open("no/such.yaml", Path::new("."), &mut problems).is_none());
    assert!(Post::open("router-mn", Path::new("."), &mut problems).is_none());
    let told: Vec<_> = problems.iter().map(|p| (p.code, p.hint.clone())).collect();
    assert_eq!(told[0].0, "post-file");
    assert!(told[1].0 == "unknown-post" && told[1].1.contains("'router-mm'"), "{told:?}");
}

#[test]
fn a_file_that_is_not_text_is_refused() {
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("x.yaml"), [0xff, 0xfe, 0x00]).unwrap();
    fs::write(folder.path().join("y.yaml"), "").unwrap();
    fs::write(folder.path().join("z.yaml"), "a: [").unwrap();
    for name in ["x.yaml", "y.yaml", "z.yaml"] {
        let mut problems = Problems::new();
        assert!(Post::open(name, folder.path(), &mut problems).is_none(), "{name}");
        assert!(problems.stop(), "{name}");
    }
}

#[test]
fn an_unknown_key_is_refused_with_the_nearest_and_its_place() {
    let problem = problem("router-mm", "numbers:\n  decimal: 4\n");
    assert_eq!((problem.code, problem.line, problem.column), ("post-key-unknown", Some(3), Some(3)));
    assert!(problem.hint.contains("'decimals'"), "{}", problem.hint);
    assert_eq!(problem.file.as_deref(), Some("mine.yaml"));
}

#[test]
fn every_option_has_its_range() {
    for text in [
        "line: {most: 20}",
        "line: {most: 257}",
        "line: {end: cr}",
        "line: {numbers: {start: 0, step: 0}}",
        "numbers: {decimals: 2}",
        "numbers: {decimals: 7}",
        "numbers: {point: yes please}",
        "arcs: {form: round}",
        "arcs: {most_deg: 181}",
        "arcs: {agree_mm: 0.01}",
        "arcs: {tolerance_mm: .nan}",
        "comments: {form: slashes}",
        "words: {rapid: G1}",
        "words: {line: G1 X0}",
        "words: {z: false}",
        "units: cm",
        "extension: dxf",
        "extension: ../x",
        "extension: ''",
    ] {
        assert_eq!(refused("router-mm", text), ("post-value", 2), "{text}");
    }
}

#[test]
fn an_inch_needs_more_decimals_than_a_millimetre() {
    assert_eq!(refused("router-inch", "numbers: {decimals: 3}"), ("post-value", 2));
    assert!(read("extends: router-mm\nnumbers: {decimals: 3}").0.is_some());
}

#[test]
fn an_arc_by_radius_stays_clear_of_a_half_circle() {
    assert_eq!(refused("router-mm", "arcs: {form: radius}").0, "post-value");
    assert!(read("extends: router-mm\narcs: {form: radius, most_deg: 120}").0.is_some());
}

#[test]
fn an_unknown_placeholder_is_refused_with_the_nearest() {
    let problem = problem("router-mm", "header:\n  - \"{thicknes} mm\"\n");
    assert_eq!((problem.code, problem.line, problem.column), ("post-placeholder", Some(3), Some(5)));
    assert!(problem.hint.contains("{thickness}"), "{}", problem.hint);
}

#[test]
fn placeholders_are_known_only_where_they_mean_something() {
    for (base, text) in [
        ("router-mm", "start: [G21 G17 G90 G94, \"S{power}\"]"),
        ("router-mm", "start: [G21 G17 G90 G94, {comment: \"{part}\"}]"),
        ("laser-scaled", "start: [G21 G17 G90 G94, {comment: \"{cutter}\"}]"),
        ("router-mm", "cut: [\"T{part}\"]"),
        ("router-mm", "header: [\"{title\"]"),
        ("router-mm", "header: [\"title}\"]"),
        ("router-mm", "header: [\"{{title}}\"]"),
    ] {
        assert_eq!(refused(base, text).0, "post-placeholder", "{text}");
    }
}

/// Each case breaks one rule of RS-274/NGC for a line.
#[test]
fn words_follow_the_standard() {
    for (line, why) in [
        ("G21 G20", "one modal group"),
        ("M3 M5", "one modal group"),
        ("G0 Z{clearance} Z5", "twice"),
        ("M3 M8 M48 M6 M0", "four M words"),
        ("G77", "not a word"),
        ("G-1", "not a word"),
        ("G0.5 X1", "not a word"),
        ("M106", "not a word"),
        ("G", "no number"),
        ("X5", "without the G word"),
        ("G0 X1 (home)", "begins no word"),
        ("G0 X1 ; home", "begins no word"),
        ("N10 G0 X1", "begins no word"),
        ("G28 G0 X1", "two words that use the axes"),
        ("G1 X5", "not cut"),
        ("G81 X5", "not cut"),
    ] {
        let problem = problem("router-mm", &format!("sheet:\n  - \"{line}\"\n"));
        assert_eq!((problem.code, problem.line), ("post-words", Some(3)), "{line}");
        assert!(problem.message.contains(why), "{line}: {}", problem.message);
    }
}

#[test]
fn a_declared_word_beyond_the_standard_is_taken() {
    assert!(read("extends: router-mm\nwords: {extra: [M106, G90.1]}\nsheet: [M106, G90.1]").0.is_some());
}

#[test]
fn a_block_may_not_change_what_the_moves_are_written_for() {
    for line in ["G20", "G91", "G93", "G18", "G41", "M30"] {
        assert_eq!(refused("router-mm", &format!("sheet: [{line}]")), ("post-state", 2), "{line}");
    }
}

#[test]
fn the_start_has_to_set_the_machine_s_state() {
    for (line, missing) in
        [("G17 G90 G94", "G21"), ("G21 G90 G94", "G17"), ("G21 G17 G94", "G90"), ("G21 G17 G90", "G94")]
    {
        let problem = problem("router-mm", &format!("start: [{line}]"));
        assert_eq!(problem.code, "post-start");
        assert!(problem.message.contains(missing), "{}", problem.message);
        let implied = format!("extends: router-mm\nwords: {{implied: [{missing}]}}\nstart: [{line}]");
        assert!(read(&implied).0.is_some(), "{implied}");
    }
}

#[test]
fn a_post_in_inches_may_not_start_in_millimetres() {
    let (post, problems) = read("extends: router-inch\nstart: [G21 G17 G90 G94]");
    assert!(post.is_none());
    assert!(
        problems.iter().any(|p| p.code == "post-state") && problems.iter().any(|p| p.code == "post-start")
    );
}

#[test]
fn a_program_has_to_end() {
    assert_eq!(refused("laser-scaled", "end: [M5]").0, "post-end");
    assert_eq!(refused("router-mm", "end: [M30, M5]").0, "post-end");
    assert!(read("extends: laser-scaled\nend: [M5]\nline: {percent: true}").0.is_some());
}

#[test]
fn a_post_drives_a_spindle_or_a_beam() {
    let beam = "beam: {on: [\"M4 S{power}\"], off: [M5], scale: 1000, power: block, word: S}";
    assert_eq!(refused("router-mm", beam).0, "post-drive");
    assert!(matches!(read("extends: laser-steady").0.unwrap().drive, Drive::Beam { .. }));
}

#[test]
fn power_is_said_once() {
    assert_eq!(refused("laser-scaled", "beam: {power: line}").0, "post-beam");
    assert_eq!(refused("laser-scaled", "beam: {on: [M4]}").0, "post-beam");
    assert!(read("extends: laser-scaled\nbeam: {power: line, on: [M4]}").0.is_some());
}

#[test]
fn what_switches_has_to_say_something() {
    assert_eq!(refused("router-mm", "spindle: {off: []}").0, "post-block");
    assert_eq!(refused("laser-scaled", "beam: {off: [{comment: off}]}").0, "post-block");
}

#[test]
fn everything_wrong_is_told_at_once() {
    let (_, problems) =
        read("extends: router-mm\nunits: ell\nline: {end: cr, most: 1}\nsheet: [G77]\nnose: 1\n");
    let lines: Vec<_> = problems.iter().filter_map(|p| p.line).collect();
    assert_eq!(problems.len(), 5, "{problems:#?}");
    assert!([2, 3, 4, 5].iter().all(|line| lines.contains(line)));
}

#[test]
fn a_post_that_extends_none_says_everything() {
    let (post, problems) = read("about: Bare.\nbeam: {}\n");
    assert!(post.is_none());
    assert!(problems.iter().filter(|p| p.code == "post-key-missing").count() > 10);
}

/// The example in the grammar has to be one.
#[test]
fn the_example_of_the_grammar_loads() {
    let grammar = include_str!("../../post/README.md");
    let example = grammar.split("```yaml\n").nth(1).unwrap().split("```").next().unwrap();
    let (post, problems) = read(example);
    assert!(problems.is_empty(), "{problems:#?}");
    assert_eq!(post.unwrap().line.numbers.unwrap().step, 10);
}

/// Every key of the grammar's listing is one, and every key that a whole post has is in the listing.
#[test]
fn the_listing_of_the_grammar_names_every_key() {
    let grammar = include_str!("../../post/README.md");
    let listing = grammar.split("```yaml\n").nth(2).unwrap().split("```").next().unwrap();
    let whole =
        include_str!("../../post/laser-scaled.yaml").to_owned() + include_str!("../../post/router-mm.yaml");
    let key = |line: &str| line.trim().split_once(':').map(|(key, _)| key.to_owned());
    let plain = |line: &&str| !line.trim_start().starts_with(['-', '#']) && !line.is_empty();
    for key in whole.lines().filter(plain).filter_map(key) {
        assert!(listing.contains(&format!("{key}:")), "{key}");
    }
    // It shows both drives; a post has one.
    let (before, rest) = listing.split_once("beam:").unwrap();
    let (_, after) = rest.split_once("sheet:").unwrap();
    let (post, problems) = read(&format!("{before}\nsheet:{after}"));
    assert!(problems.is_empty() && post.is_some(), "{problems:#?}");
}
