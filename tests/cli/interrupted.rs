//! Ctrl-C at any time: nothing half written.

use std::process::{Command, Stdio};
use std::thread::sleep;
use std::time::Duration;

use super::{folder, grainwise, names, sample};

#[test]
fn an_interrupt_leaves_all_or_nothing() {
    let job = sample("router.yaml");
    let whole = {
        let folder = folder();
        grainwise(folder.path()).args(["make", job.to_str().unwrap(), "-o", "out"]).output().unwrap();
        names(&folder.path().join("out"))
    };
    assert!(whole.len() > 5);
    let mut interrupted = 0;
    for wait in 0..40 {
        let folder = folder();
        let mut child = grainwise(folder.path())
            .args(["make", job.to_str().unwrap(), "-o", "out"])
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .spawn()
            .unwrap();
        sleep(Duration::from_millis(wait * 12));
        let _ = Command::new("kill").args(["-INT", &child.id().to_string()]).stderr(Stdio::null()).status();
        let status = child.wait().unwrap();
        let left = names(&folder.path().join("out"));
        match status.code() {
            Some(0) => assert_eq!(left, whole),
            // 2, or ended by the signal itself before the command could heed it.
            other => {
                assert!(other.is_none() || other == Some(2), "{other:?}");
                assert!(left.is_empty(), "{left:?}");
                assert!(!folder.path().join("out").exists() || left.is_empty());
                interrupted += 1;
            }
        }
    }
    assert!(interrupted > 0, "no run was interrupted");
}

#[test]
fn an_interrupt_while_better_sheets_are_looked_for_takes_the_best_so_far() {
    let job = sample("laser.yaml");
    let folder = folder();
    let begun = std::time::Instant::now();
    let mut child = grainwise(folder.path())
        .args(["make", job.to_str().unwrap(), "-o", "out", "--effort", "3600"])
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .spawn()
        .unwrap();
    // Long enough for the search to begin on a slow machine, far less than it was given.
    sleep(Duration::from_secs(15));
    let _ = Command::new("kill").args(["-INT", &child.id().to_string()]).status();
    assert_eq!(child.wait().unwrap().code(), Some(0));
    assert!(begun.elapsed() < Duration::from_mins(30));
    assert!(names(&folder.path().join("out")).contains(&"sheet-1.dxf".to_owned()));
}
