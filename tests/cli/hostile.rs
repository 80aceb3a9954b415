//! Files and places that are missing, empty, cut short, huge or meant to harm: a clear problem, an exit code of 1 or 2, no
//! panic, nothing half written.

use std::fs;
use std::io::Write as _;
use std::os::unix::process::CommandExt as _;
use std::path::Path;
use std::process::Command;

use super::{WOOD, codes, dxf, folder, grainwise, names, polyline, report, run, sample, square};

/// Runs `make` on a file with this content, which has to be refused, and checks that nothing was written.
fn refused(name: &str, content: &[u8], code: i32) -> String {
    let folder = folder();
    fs::write(folder.path().join(name), content).unwrap();
    let output = run(folder.path(), &[&["make", name, "-o", "out"], &WOOD[..]].concat(), code);
    assert_eq!(names(folder.path()), [name], "something was left behind");
    let said = String::from_utf8_lossy(&output.stderr).into_owned();
    assert!(!said.trim().is_empty(), "no reason was given");
    said
}

#[test]
fn a_missing_file() {
    let folder = folder();
    let said = run(folder.path(), &[&["make", "nowhere.dxf"], &WOOD[..]].concat(), 2);
    assert!(String::from_utf8_lossy(&said.stderr).contains("nowhere.dxf"));
    fs::write(folder.path().join("job.yaml"), "drawings: [nowhere.dxf]\n").unwrap();
    let said = run(folder.path(), &["make", "job.yaml"], 2);
    assert!(String::from_utf8_lossy(&said.stderr).contains("nowhere.dxf"));
}

#[test]
fn a_folder_instead_of_a_file() {
    let folder = folder();
    fs::create_dir(folder.path().join("plan.dxf")).unwrap();
    run(folder.path(), &[&["make", "plan.dxf"], &WOOD[..]].concat(), 2);
}

#[test]
fn empty_files() {
    for name in ["plan.dxf", "plan.svg", "job.yaml"] {
        refused(name, b"", 1);
    }
}

#[test]
fn files_of_another_kind() {
    for name in ["plan.dxf", "plan.svg", "job.yaml"] {
        refused(name, b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR\0\0", if name == "job.yaml" { 2 } else { 1 });
    }
}

#[test]
fn drawings_cut_short_at_any_place() {
    let folder = folder();
    for name in ["wing.dxf", "fuselage.dxf", "tail.svg"] {
        let whole = fs::read(sample(name)).unwrap();
        for part in 1..12 {
            let cut = folder.path().join(name);
            fs::write(&cut, &whole[..whole.len() * part / 12]).unwrap();
            let output = grainwise(folder.path())
                .args([&["check", name, "--units", "mm"], &WOOD[..]].concat())
                .output()
                .unwrap();
            let code = output.status.code().unwrap();
            assert!(code == 0 || code == 1, "{name} at {part}/12 ended with {code}");
            // Less than the whole is told, never swallowed.
            assert!(!output.stderr.is_empty(), "{name} at {part}/12");
        }
    }
}

#[test]
fn numbers_that_are_none_or_beyond_all_measure() {
    for wrong in ["nan", "inf", "1e300", "-1e300", "1e999"] {
        let text = dxf(&square(0.0, 0.0, 50.0)).replacen("10\n50", &format!("10\n{wrong}"), 1);
        let said = refused("plan.dxf", text.as_bytes(), 1);
        assert!(said.contains("error["), "{wrong}: {said}");
        let svg = format!(
            r#"<svg xmlns="http://www.w3.org/2000/svg" width="100mm" height="100mm" viewBox="0 0 100 100"><path d="M0 0H{wrong}V50H0Z"/></svg>"#
        );
        refused("plan.svg", svg.as_bytes(), 1);
    }
}

#[test]
fn a_yaml_bomb() {
    let mut text = "a: &a [x, x, x, x, x, x, x, x, x]\n".to_owned();
    for (name, of) in
        ["b", "c", "d", "e", "f", "g", "h", "i"].iter().zip(["a", "b", "c", "d", "e", "f", "g", "h"])
    {
        text += &format!("{name}: &{name} [{}]\n", vec![format!("*{of}"); 9].join(", "));
    }
    refused("job.yaml", text.as_bytes(), 1);
}

#[test]
fn yaml_nested_without_end() {
    refused("job.yaml", format!("title: {}", "[".repeat(100_000)).as_bytes(), 1);
    refused("job.yaml", format!("title: {}", "{a: ".repeat(100_000)).as_bytes(), 1);
}

#[test]
fn a_dxf_of_two_gigabytes() {
    let folder = folder();
    let file = fs::File::create(folder.path().join("plan.dxf")).unwrap();
    file.set_len(2 << 30).unwrap();
    let said = run(folder.path(), &[&["make", "plan.dxf"], &WOOD[..]].concat(), 2);
    assert!(String::from_utf8_lossy(&said.stderr).contains("2147483648"));
}

#[test]
fn a_block_that_contains_itself() {
    let blocks = "0\nSECTION\n2\nBLOCKS\n0\nBLOCK\n8\n0\n2\nA\n70\n0\n10\n0\n20\n0\n30\n0\n3\nA\n1\n\n0\nINSERT\n8\n0\n2\nA\n10\n1\n20\n1\n0\nENDBLK\n8\n0\n0\nENDSEC\n";
    let text = dxf("0\nINSERT\n8\nPARTS\n2\nA\n10\n0\n20\n0\n");
    let text = text.replacen("0\nSECTION\n2\nENTITIES", &format!("{blocks}0\nSECTION\n2\nENTITIES"), 1);
    refused("plan.dxf", text.as_bytes(), 1);
}

#[test]
fn an_outline_of_two_hundred_thousand_vertices() {
    let folder = folder();
    let count = 200_000;
    let points: Vec<(f64, f64)> = (0..count)
        .map(|k| {
            let angle = std::f64::consts::TAU * f64::from(k) / f64::from(count);
            let radius = 40.0 + 3.0 * (9.0 * angle).sin();
            (radius * angle.cos(), radius * angle.sin())
        })
        .collect();
    fs::write(folder.path().join("plan.dxf"), dxf(&polyline(&points))).unwrap();
    let report = report(folder.path(), &[&["make", "plan.dxf"], &WOOD[..]].concat(), 0);
    let area = report["parts"][0]["area_mm2"].as_f64().unwrap();
    // Polar: half the integral of r squared is pi (40^2 + 3^2 / 2).
    let right = std::f64::consts::PI * (1600.0 + 4.5);
    assert!((area - right).abs() < 1e-4 * right, "{area} for {right}");
}

#[test]
fn names_with_slashes_and_control_characters_stay_text() {
    let folder = folder();
    for (n, name) in ["../../etc/rib", "a\u{1b}[31mred", "<script>", ")(M3 S9999", "%%c"].iter().enumerate() {
        let text = format!("0\nTEXT\n8\nNAMES\n10\n5\n20\n20\n40\n3\n1\n{name}\n");
        fs::write(folder.path().join("plan.dxf"), dxf(&(square(0.0, 0.0, 60.0) + &text))).unwrap();
        for machine in ["makerspace-laser", "workshop-router"] {
            let out = format!("out-{machine}-{n}");
            let output = run(
                folder.path(),
                &[&["make", "plan.dxf", "--machine", machine, "-o", &out], &WOOD[..]].concat(),
                0,
            );
            assert!(!String::from_utf8_lossy(&output.stdout).contains('\u{1b}'));
            let files = names(&folder.path().join(&out));
            assert!(
                files.iter().all(|f| f.starts_with("sheet-1.") || !f.contains(['/', '<', '%'])),
                "{files:?}"
            );
            for file in files.iter().filter(|f| f.ends_with(".nc")) {
                let text = fs::read_to_string(folder.path().join(&out).join(file)).unwrap();
                assert!(
                    !text.contains("S9999")
                        || text
                            .lines()
                            .filter(|l| l.contains("S9999"))
                            .all(|l| l.starts_with('(') && l.matches(')').count() == 1)
                );
            }
        }
    }
    assert!(!folder.path().parent().unwrap().join("etc").exists());
}

#[test]
fn a_folder_that_cannot_be_made() {
    let folder = folder();
    fs::write(folder.path().join("plan.dxf"), dxf(&square(0.0, 0.0, 50.0))).unwrap();
    fs::write(folder.path().join("file"), "").unwrap();
    for out in ["file/out", "/proc/out", "file"] {
        let said = run(folder.path(), &[&["make", "plan.dxf", "-o", out], &WOOD[..]].concat(), 2);
        assert!(!said.stderr.is_empty());
    }
    assert_eq!(names(folder.path()), ["file", "plan.dxf"]);
}

/// The shell's limit on the size of a file stands for a disk that fills: writing beyond it fails just so.
#[test]
fn a_disk_that_fills() {
    let folder = folder();
    let program = env!("CARGO_BIN_EXE_grainwise");
    let job = sample("laser.yaml");
    let output = Command::new("bash")
        .current_dir(folder.path())
        .args([
            "-c",
            r#"trap "" XFSZ; ulimit -f 4; exec "$0" make "$1" -o out"#,
            program,
            job.to_str().unwrap(),
        ])
        .output()
        .unwrap();
    let said = String::from_utf8_lossy(&output.stderr);
    assert_eq!(output.status.code(), Some(2), "{said}");
    assert!(said.contains("cannot write"), "{said}");
    assert!(names(folder.path()).is_empty(), "{:?}", names(folder.path()));
}

#[test]
fn a_reader_that_goes_away() {
    let folder = folder();
    let program = env!("CARGO_BIN_EXE_grainwise");
    let line = format!("'{program}' shop --json | head -c 1 > /dev/null; exit ${{PIPESTATUS[0]}}");
    let status = Command::new("bash").current_dir(folder.path()).args(["-c", &line]).status().unwrap();
    assert_eq!(status.code(), Some(0));
    let full = Command::new("bash")
        .arg0("bash")
        .args(["-c", &format!("'{program}' shop > /dev/full")])
        .output()
        .unwrap();
    assert_eq!(full.status.code(), Some(2));
    assert!(String::from_utf8_lossy(&full.stderr).contains("cannot print"));
}

#[test]
fn a_drawing_without_units_says_what_each_guess_would_give() {
    let folder = folder();
    let text = dxf(&square(0.0, 0.0, 4.0)).replace("9\n$INSUNITS\n70\n4\n", "");
    let mut file = fs::File::create(folder.path().join("plan.dxf")).unwrap();
    file.write_all(text.as_bytes()).unwrap();
    let refused = report(folder.path(), &[&["check", "plan.dxf"], &WOOD[..]].concat(), 1);
    assert!(codes(&refused).contains(&"units-missing".to_owned()), "{refused}");
    let told = refused["problems"].to_string();
    assert!(told.contains("inch gives 102 x 102 mm"), "{told}");
    let asked = report(
        folder.path(),
        &[&["check", "plan.dxf", "--units", "inch", "--sheet", "1000x200"], &WOOD[..4]].concat(),
        0,
    );
    assert_eq!(asked["parts"][0]["width_mm"], 101.6);
    let _: &Path = folder.path();
}
