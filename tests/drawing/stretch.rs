//! Drawings brought to true scale, from the job to the parts.

use std::path::PathBuf;

use grainwise::geometry::{Affine, Point};
use grainwise::problem::{Problem, Problems};
use grainwise::stages::drawing::{self, Drawing};
use grainwise::stages::job;

/// A folder of its own that goes when it is done with.
struct Folder(PathBuf);

impl Folder {
    fn new(name: &str) -> Self {
        let path = std::env::temp_dir().join(format!("grainwise-stretch-{name}-{}", std::process::id()));
        std::fs::create_dir_all(&path).unwrap();
        Self(path)
    }

    /// Writes lines that do not close by themselves, as a print under this map shows them.
    fn plan(&self, name: &str, map: Affine, lines: &[&[(f64, f64)]]) {
        let path = |points: &&[(f64, f64)]| {
            let at: Vec<String> = points
                .iter()
                .map(|&(x, y)| map * Point::new(x, y))
                .map(|p| format!("{:.6},{:.6}", p.x, 300.0 - p.y))
                .collect();
            format!("<polyline fill='none' stroke='#000' points='{}'/>", at.join(" "))
        };
        let lines: String = lines.iter().map(path).collect();
        let text = format!(
            "<svg xmlns='http://www.w3.org/2000/svg' width='400mm' height='300mm' viewBox='0 0 400 300'>{lines}</svg>"
        );
        std::fs::write(self.0.join(name), text).unwrap();
    }

    fn read(&self, drawings: &str) -> (Vec<Drawing>, Vec<Problem>) {
        let mut problems = Problems::new();
        let job = job::parse(&format!("drawings:\n{drawings}"), "job.yaml", &self.0, &mut problems).unwrap();
        let drawings = drawing::read(&job, &mut problems);
        (drawings, problems.into_iter().collect())
    }
}

impl Drop for Folder {
    fn drop(&mut self) {
        let _ = std::fs::remove_dir_all(&self.0);
    }
}

const BOX: [(f64, f64); 5] = [(20.0, 20.0), (220.0, 20.0), (220.0, 70.0), (20.0, 70.0), (20.0, 20.0)];

#[test]
fn a_stretched_print_becomes_true() {
    let folder = Folder::new("print");
    folder.plan("a.svg", Affine::new([1.01, 0.0, 0.0, 0.992, 0.0, 0.0]), &[&BOX]);
    let (drawings, problems) = folder.read(
        "- file: a.svg\n  stretch:\n    lengths:\n    - {drawn: 303, is: 300}\n    - {from: [0, 0], to: [0, 248], is: 250}\n",
    );
    assert_eq!(problems, Vec::new());
    let bounds = drawings[0].outlines[0].item.bounds();
    assert!((bounds.width() - 200.0).abs() < 1e-4 && (bounds.height() - 50.0).abs() < 1e-4, "{bounds:?}");
    let told = drawings[0].stretched.as_ref().unwrap().told();
    assert!(told.starts_with("x by 0.99010, y by 1.00806"), "{told}");
}

/// The right half of the box stands on another sheet, stretched in its own way and laid askew on the scanner.
#[test]
fn a_plan_in_two_pieces_is_one() {
    let folder = Folder::new("pieces");
    let askew = Affine::rotate(0.03) * Affine::new([0.99, 0.0, 0.0, 1.004, -100.0, 30.0]);
    folder.plan("a.svg", Affine::IDENTITY, &[&[(120.0, 70.0), (20.0, 70.0), (20.0, 20.0), (120.0, 20.0)]]);
    folder.plan("b.svg", askew, &[&[(120.0, 20.0), (220.0, 20.0), (220.0, 70.0), (120.0, 70.0)]]);
    let at = |x: f64, y: f64| {
        let p = askew * Point::new(x, y);
        format!("[{:.6}, {:.6}]", p.x, p.y)
    };
    let (drawings, problems) = folder.read(&format!(
        "- a.svg\n- file: b.svg\n  stretch:\n    continues: a.svg\n    points:\n    - {{here: {}, there: [120, 20]}}\n    \
         - {{here: {}, there: [120, 70]}}\n    - {{here: {}, there: [180, 45]}}\n",
        at(120.0, 20.0),
        at(120.0, 70.0),
        at(180.0, 45.0)
    ));
    assert_eq!(problems, Vec::new());
    assert_eq!((drawings[0].outlines.len(), drawings[1].outlines.len()), (1, 0));
    assert!((drawings[0].outlines[0].item.area() - 10_000.0).abs() < 0.01);
}

#[test]
fn what_is_doubtful_is_told() {
    let folder = Folder::new("doubt");
    folder.plan("a.svg", Affine::IDENTITY, &[&BOX]);
    let codes = |lengths: &str| {
        let (_, problems) = folder.read(&format!("- file: a.svg\n  stretch:\n    lengths: [{lengths}]\n"));
        problems.iter().map(|p| p.code).collect::<Vec<_>>()
    };
    assert_eq!(codes("{drawn: 300, is: 297}, {drawn: 280, is: 280, angle: 90}"), [""; 0]);
    assert_eq!(codes("{drawn: 300, is: 297}"), ["stretch-one-way"]);
    assert_eq!(codes("{drawn: 30, is: 30}, {drawn: 40, is: 40, angle: 90}"), ["stretch-short"]);
    assert_eq!(codes("{drawn: 300, is: 11.8}, {drawn: 280, is: 280, angle: 90}")[0], "stretch-far");
    assert_eq!(
        codes("{drawn: 300, is: 300}, {drawn: 300, is: 306}, {drawn: 280, is: 280, angle: 90}"),
        ["stretch-misread", "stretch-misread"]
    );
    assert_eq!(codes(""), ["stretch-unknown"]);
    assert_eq!(codes("{is: 300}"), ["stretch-unknown", "stretch-unknown"]);
}
