//! Help, completions, the manual page, and words that make no sense.

use super::{folder, run};

fn stdout(arguments: &[&str], code: i32) -> String {
    String::from_utf8(run(folder().path(), arguments, code).stdout).unwrap()
}

#[test]
fn help_teaches_by_example() {
    let help = stdout(&["--help"], 0);
    assert!(help.contains("grainwise make samples/fenwren/laser.yaml"));
    for verb in ["make", "check", "show", "start", "shop"] {
        assert!(stdout(&[verb, "--help"], 0).contains(&format!("grainwise {verb}")), "{verb}");
    }
}

#[test]
fn there_are_completions_and_a_manual_page() {
    assert!(stdout(&["--completions", "bash"], 0).contains("complete"));
    assert!(stdout(&["--man"], 0).contains(".TH"));
}

#[test]
fn the_shop_names_its_sources() {
    let shop = stdout(&["shop"], 0);
    for word in ["balsa-light", "birch-ply", "workshop-router", "router-inch", "starting points"] {
        assert!(shop.contains(word), "{word}");
    }
    let json: serde_json::Value = serde_json::from_str(&stdout(&["shop", "--json"], 0)).unwrap();
    assert!(json["woods"].as_array().unwrap().iter().all(|w| !w["source"].as_str().unwrap().is_empty()));
}

#[test]
fn what_makes_no_sense_is_refused_before_anything_is_read() {
    for arguments in [
        &["mke", "x.dxf"][..],
        &["make"],
        &["make", "x.dxf", "--thickness", "-2"],
        &["show", "x.dxf"],
        &["show", "x.dxf", "-o", "x.pdf", "--paper", "b7"],
        &["show", "x.dxf", "-o", "x.pdf", "--printed", "80x100"],
        &["show", "x.dxf", "-o", "x.pdf", "--pricks", "0.1"],
        &["show", "x.dxf", "-o", "x.html", "--live"],
        &["show", "x.dxf", "-o", "x.html", "--port", "8000"],
        &["make", "x.dxf", "--thickness", "NaN"],
        &["make", "x.dxf", "--sheet", "100"],
        &["make", "x.dxf", "--sheet", "0x100"],
        &["make", "x.dxf", "--units", "cubit"],
        &["make", "x.dxf", "--kerf", "1e300"],
        &["make", "job.yaml", "x.dxf"],
    ] {
        let refused = run(folder().path(), arguments, 2);
        assert!(!refused.stderr.is_empty(), "{arguments:?}");
    }
}
