//! What `make` writes, and what it leaves alone.

use std::fs;

use super::{WOOD, dxf, folder, grainwise, names, report, run, sample, square};

#[test]
fn the_whole_kit_is_made_and_every_file_is_listed_with_its_checksum() {
    let folder = folder();
    let report = report(folder.path(), &["make", sample("laser.yaml").to_str().unwrap(), "-o", "kit"], 0);
    assert_eq!(report["ok"], true);
    let files = names(&folder.path().join("kit"));
    for name in ["cutlist.txt", "files.sha256", "operator.pdf", "picture.svg", "report.json"] {
        assert!(files.iter().any(|f| f == name), "{name} in {files:?}");
    }
    for sheet in report["sheets"].as_array().unwrap() {
        for file in sheet["files"].as_array().unwrap() {
            assert!(files.iter().any(|f| f == file.as_str().unwrap()), "{file} in {files:?}");
        }
    }
    let list = fs::read_to_string(folder.path().join("kit/files.sha256")).unwrap();
    assert_eq!(list.lines().count(), files.len() - 1);
    for line in list.lines() {
        let (sum, name) = line.split_once("  ").unwrap();
        assert_eq!(
            sum,
            grainwise::files::checksum(&fs::read(folder.path().join("kit").join(name)).unwrap()),
            "{name}"
        );
    }
}

#[test]
fn two_runs_give_the_same_bytes_on_one_thread_and_on_two() {
    for job in ["laser.yaml", "router.yaml"] {
        let folder = folder();
        for (out, threads) in [("one", "1"), ("two", "2"), ("again", "2")] {
            let made = grainwise(folder.path())
                .args(["make", sample(job).to_str().unwrap(), "-o", out])
                .env("RAYON_NUM_THREADS", threads)
                .output()
                .unwrap();
            assert!(made.status.success(), "{}", String::from_utf8_lossy(&made.stderr));
        }
        let files = names(&folder.path().join("one"));
        assert!(files.len() > 5);
        for other in ["two", "again"] {
            assert_eq!(files, names(&folder.path().join(other)));
            for file in &files {
                let read = |out: &str| fs::read(folder.path().join(out).join(file)).unwrap();
                assert!(read("one") == read(other), "{job}: {file} differs in {other}");
            }
        }
    }
}

#[test]
fn drawings_need_no_job() {
    let folder = folder();
    fs::write(folder.path().join("plate.dxf"), dxf(&square(0.0, 0.0, 50.0))).unwrap();
    run(folder.path(), &[&["make", "plate.dxf"], &WOOD[..]].concat(), 0);
    assert!(names(&folder.path().join("cut/plate")).contains(&"sheet-1.dxf".to_owned()));
}

#[test]
fn several_jobs_get_a_folder_each() {
    let folder = folder();
    let (laser, router) = (sample("laser.yaml"), sample("router.yaml"));
    run(folder.path(), &["make", laser.to_str().unwrap(), router.to_str().unwrap(), "-o", "kit"], 0);
    assert!(names(&folder.path().join("kit/laser")).iter().any(|f| f.ends_with(".dxf")));
    assert!(names(&folder.path().join("kit/router")).iter().any(|f| f.ends_with(".nc")));
}

#[test]
fn a_second_run_replaces_its_own_files_and_takes_away_what_is_no_longer_made() {
    let folder = folder();
    let many: String = (0..30).map(|n| square(f64::from(n) * 95.0, 0.0, 90.0)).collect();
    fs::write(folder.path().join("plates.dxf"), dxf(&many)).unwrap();
    let make = [&["make", "plates.dxf", "-o", "out"], &WOOD[..]].concat();
    run(folder.path(), &make, 0);
    assert!(names(&folder.path().join("out")).contains(&"sheet-3.dxf".to_owned()));
    fs::write(folder.path().join("plates.dxf"), dxf(&square(0.0, 0.0, 90.0))).unwrap();
    run(folder.path(), &make, 0);
    let left = names(&folder.path().join("out"));
    assert!(
        left.contains(&"sheet-1.dxf".to_owned()) && !left.contains(&"sheet-3.dxf".to_owned()),
        "{left:?}"
    );
}

#[test]
fn a_file_that_make_did_not_write_stays_unless_forced() {
    let folder = folder();
    fs::write(folder.path().join("plate.dxf"), dxf(&square(0.0, 0.0, 50.0))).unwrap();
    fs::create_dir(folder.path().join("out")).unwrap();
    fs::write(folder.path().join("out/cutlist.txt"), "mine").unwrap();
    let make = [&["make", "plate.dxf", "-o", "out"], &WOOD[..]].concat();
    let refused = run(folder.path(), &make, 2);
    assert!(String::from_utf8_lossy(&refused.stderr).contains("--force"));
    assert_eq!(names(&folder.path().join("out")), ["cutlist.txt"]);
    assert_eq!(fs::read_to_string(folder.path().join("out/cutlist.txt")).unwrap(), "mine");
    run(folder.path(), &[&make[..], &["--force"]].concat(), 0);
    assert_ne!(fs::read_to_string(folder.path().join("out/cutlist.txt")).unwrap(), "mine");
}

#[test]
fn a_file_that_was_changed_since_stays() {
    let folder = folder();
    fs::write(folder.path().join("plate.dxf"), dxf(&square(0.0, 0.0, 50.0))).unwrap();
    let make = [&["make", "plate.dxf", "-o", "out"], &WOOD[..]].concat();
    run(folder.path(), &make, 0);
    fs::write(folder.path().join("out/sheet-1.dxf"), "edited by hand").unwrap();
    run(folder.path(), &make, 2);
    assert_eq!(fs::read_to_string(folder.path().join("out/sheet-1.dxf")).unwrap(), "edited by hand");
}

#[test]
fn a_job_with_problems_writes_nothing_and_still_reports_its_parts() {
    let folder = folder();
    let open = "0\nLINE\n8\nPARTS\n10\n200\n20\n0\n11\n250\n21\n0\n0\nLINE\n8\nPARTS\n10\n250\n20\n0\n11\n250\n21\n40\n";
    fs::write(folder.path().join("plate.dxf"), dxf(&(square(0.0, 0.0, 50.0) + open))).unwrap();
    let report = report(folder.path(), &[&["make", "plate.dxf", "-o", "out"], &WOOD[..]].concat(), 1);
    assert_eq!(report["ok"], false);
    assert_eq!(report["parts"].as_array().unwrap().len(), 1);
    assert!(super::codes(&report).contains(&"open-outline".to_owned()));
    assert!(!folder.path().join("out").exists());
}

#[test]
fn what_cannot_be_cut_is_left_out_on_request_and_named() {
    let folder = folder();
    let open = "0\nLINE\n8\nPARTS\n10\n200\n20\n0\n11\n250\n21\n0\n0\nLINE\n8\nPARTS\n10\n250\n20\n0\n11\n250\n21\n40\n";
    let crossing = square(300.0, 0.0, 40.0) + &square(320.0, 20.0, 40.0);
    fs::write(folder.path().join("plate.dxf"), dxf(&(square(0.0, 0.0, 50.0) + open + &crossing))).unwrap();
    let make = [&["make", "plate.dxf", "-o", "out"], &WOOD[..]].concat();
    report(folder.path(), &make, 1);
    let report = report(folder.path(), &[&make[..], &["--leave-out"]].concat(), 0);
    assert_eq!(report["parts"].as_array().unwrap().len(), 1);
    let codes = super::codes(&report);
    assert!(
        ["open-outline", "crossing-parts"].iter().all(|code| codes.iter().any(|c| c == code)),
        "{codes:?}"
    );
}

#[test]
fn what_is_left_of_a_sheet_is_stock_for_the_next_job() {
    let folder = folder();
    fs::write(folder.path().join("plate.dxf"), dxf(&square(0.0, 0.0, 60.0))).unwrap();
    let job = |stock: &str| {
        format!(
            "drawings: plate.dxf\nparts: [{{name: '*', wood: balsa-medium, thickness: 2}}]\n\
             stock: [{{wood: balsa-medium, thickness: 2, {stock}}}]\ncutting: {{margin: 5}}\n"
        )
    };
    let knot = "sheet: 300x100, avoid: [{circle: 8, at: [200, 50]}], price: 3";
    fs::write(folder.path().join("first.yaml"), job(knot)).unwrap();
    let first = report(folder.path(), &["make", "first.yaml", "-o", "first"], 0);
    let left = &first["sheets"][0]["remnant"];
    assert_eq!(left["file"], "remnant-1.svg");
    assert_eq!((&first["stock"][0]["sheets"], &first["stock"][0]["cost"]), (&1.into(), &3.0.into()));
    fs::write(folder.path().join("next.yaml"), job("outline: first/remnant-1.svg")).unwrap();
    let next = report(folder.path(), &["make", "next.yaml", "-o", "next"], 0);
    let sheet = &next["sheets"][0];
    assert_eq!((&sheet["length_mm"], &sheet["width_mm"]), (&left["length_mm"], &left["width_mm"]), "{next}");
    // The knot lies where it lay.
    let first_x = 300.0 - left["length_mm"].as_f64().unwrap();
    let picture = fs::read_to_string(folder.path().join("next/picture.svg")).unwrap();
    assert!(picture.contains(&format!("M{} 50", 204.0 - first_x).replace(".0 ", " ")), "{first_x}");
    assert_eq!(next["proof"]["ok"], true);
    fs::write(folder.path().join("gone.yaml"), job("outline: gone.svg")).unwrap();
    let gone = report(folder.path(), &["make", "gone.yaml", "-o", "gone"], 2);
    assert!(super::codes(&gone).iter().any(|code| code == "missing-file"));
}
