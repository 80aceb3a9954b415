//! A kit as a DXF of any size: ribs of splines with round holes, formers of polylines with a window, and brackets in
//! blocks, no two alike, each with its name.

use std::f64::consts::SQRT_2;
use std::fmt::Write as _;

/// Room for one part in the drawing, mm.
const CELL: (f64, f64) = (140.0, 60.0);

/// Parts in a row.
const ROW: usize = 50;

/// The drawing's text.
pub(crate) fn dxf(parts: usize) -> String {
    let (mut blocks, mut entities) = (String::new(), String::new());
    for i in 0..parts {
        let at = ((i % ROW) as f64 * CELL.0, (i / ROW) as f64 * CELL.1);
        // Multiples of an irrational number never come again, and spread evenly.
        let size = (
            50.0 + 70.0 * (i as f64 * (5f64.sqrt() - 1.0) / 2.0).fract(),
            12.0 + 14.0 * (i as f64 * SQRT_2).fract(),
        );
        match i % 3 {
            0 => rib(&mut entities, at, size),
            1 => former(&mut entities, at, size),
            _ => {
                let _ = write!(blocks, "0\nBLOCK\n8\n0\n2\nB{i}\n70\n0\n10\n0\n20\n0\n");
                bracket(&mut blocks, size);
                blocks.push_str("0\nENDBLK\n");
                let _ = write!(entities, "0\nINSERT\n8\nPARTS\n2\nB{i}\n10\n{}\n20\n{}\n", at.0, at.1);
            }
        }
        let (x, y) = (at.0 + 4.0, at.1 + 3.0);
        let _ = write!(entities, "0\nTEXT\n8\nPARTS\n10\n{x}\n20\n{y}\n40\n2\n1\nP{i}\n");
    }
    format!(
        "0\nSECTION\n2\nHEADER\n9\n$ACADVER\n1\nAC1015\n9\n$INSUNITS\n70\n4\n0\nENDSEC\n\
         0\nSECTION\n2\nBLOCKS\n{blocks}0\nENDSEC\n0\nSECTION\n2\nENTITIES\n{entities}0\nENDSEC\n0\nEOF\n"
    )
}

/// A flat line below, a spline above, two round holes.
fn rib(out: &mut String, (x, y): (f64, f64), (length, height): (f64, f64)) {
    let back = (x + length, y + 0.3 * height);
    line(out, (x, y), (x + length, y));
    line(out, (x + length, y), back);
    let above = [
        back,
        (x + 0.7 * length, y + 0.8 * height),
        (x + 0.3 * length, y + 1.2 * height),
        (x, y + 0.8 * height),
        (x, y),
    ];
    spline(out, &above);
    for (along, radius) in [(0.3, 0.2), (0.6, 0.14)] {
        circle(out, (x + along * length, y + 0.4 * height), radius * height);
    }
}

/// A polyline with round corners, and a window with round ends.
fn former(out: &mut String, (x, y): (f64, f64), (length, height): (f64, f64)) {
    let (r, b) = (3.0, 0.414_213_562_373_095_1);
    let (right, top) = (x + length, y + height);
    polyline(
        out,
        &[
            (x + r, y, 0.0),
            (right - r, y, b),
            (right, y + r, 0.0),
            (right, top - r, b),
            (right - r, top, 0.0),
            (x + r, top, b),
            (x, top - r, 0.0),
            (x, y + r, b),
        ],
    );
    let (low, high) = (y + 0.3 * height, y + 0.7 * height);
    let (left, right) = (x + 0.4 * length, x + 0.8 * length);
    polyline(out, &[(left, low, 0.0), (right, low, 1.0), (right, high, 0.0), (left, high, 1.0)]);
}

/// A stepped polyline with a round hole.
fn bracket(out: &mut String, (length, height): (f64, f64)) {
    let (step, low) = (0.5 * length, 0.6 * height);
    polyline(
        out,
        &[
            (0.0, 0.0, 0.0),
            (length, 0.0, 0.0),
            (length, low, 0.0),
            (step, low, 0.0),
            (step, height, 0.0),
            (0.0, height, 0.0),
        ],
    );
    circle(out, (0.8 * length, 0.3 * height), 0.15 * height);
}

fn line(out: &mut String, a: (f64, f64), b: (f64, f64)) {
    let _ = write!(out, "0\nLINE\n8\nPARTS\n10\n{}\n20\n{}\n11\n{}\n21\n{}\n", a.0, a.1, b.0, b.1);
}

fn circle(out: &mut String, centre: (f64, f64), radius: f64) {
    let _ = write!(out, "0\nCIRCLE\n8\nPARTS\n10\n{}\n20\n{}\n40\n{radius}\n", centre.0, centre.1);
}

fn polyline(out: &mut String, corners: &[(f64, f64, f64)]) {
    let _ = write!(out, "0\nLWPOLYLINE\n8\nPARTS\n90\n{}\n70\n1\n", corners.len());
    for (x, y, bulge) in corners {
        let _ = write!(out, "10\n{x}\n20\n{y}\n42\n{bulge}\n");
    }
}

/// A clamped spline of degree 3 over these five control points.
fn spline(out: &mut String, control: &[(f64, f64); 5]) {
    out.push_str("0\nSPLINE\n8\nPARTS\n70\n8\n71\n3\n72\n9\n73\n5\n74\n0\n");
    for knot in [0.0, 0.0, 0.0, 0.0, 0.5, 1.0, 1.0, 1.0, 1.0] {
        let _ = write!(out, "40\n{knot}\n");
    }
    for (x, y) in control {
        let _ = write!(out, "10\n{x}\n20\n{y}\n30\n0\n");
    }
}
