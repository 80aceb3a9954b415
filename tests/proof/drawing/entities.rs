//! Every kind of entity and shape to its trace, in the order of the file.

use std::f64::consts::PI;

use grainwise::geometry::Point;
use grainwise::stages::proof::{Does, Trace};

use super::{dxf, freely, near, svg};

fn one(text: &str) -> Trace {
    let program = freely(text);
    assert_eq!(program.problems, vec![], "{text}");
    assert_eq!(program.traces.len(), 1, "{text}");
    let trace = program.traces.into_iter().next().unwrap();
    assert_eq!(trace.lines, vec![0; trace.corners.len()]);
    assert!(trace.corners.iter().all(|corner| corner.z == 0.0));
    trace
}

fn ends(trace: &Trace, from: (f64, f64), to: (f64, f64)) {
    let (from, to) = (Point::new(from.0, from.1), Point::new(to.0, to.1));
    assert!(near(trace.begin(), from, 1e-9) && near(trace.end(), to, 1e-9), "{trace:?}");
}

fn length(trace: &Trace) -> f64 {
    trace.segments().map(|(segment, _)| segment.length()).sum()
}

#[test]
fn a_line_is_two_corners() {
    let drawn = one(&dxf("0\nLINE\n8\nA\n10\n1\n20\n2\n11\n4\n21\n6\n"));
    ends(&drawn, (1.0, 2.0), (4.0, 6.0));
    assert_eq!((drawn.corners.len(), drawn.does.clone()), (2, Does::Unsaid("A".into())));
    ends(&one(&svg("<line x1=\"1\" y1=\"98\" x2=\"4\" y2=\"94\"/>")), (1.0, 2.0), (4.0, 6.0));
}

#[test]
fn an_arc_is_one_bulge_and_a_circle_two_half_circles() {
    let arc = one(&dxf("0\nARC\n8\nA\n10\n10\n20\n10\n40\n5\n50\n0\n51\n90\n"));
    ends(&arc, (15.0, 10.0), (10.0, 15.0));
    // Bulge = tan(included angle / 4), positive counter-clockwise: DXF reference.
    assert!((arc.corners[0].bulge - (PI / 8.0).tan()).abs() < 1e-12);
    for circle in [
        one(&dxf("0\nCIRCLE\n8\nA\n10\n10\n20\n10\n40\n5\n")),
        one(&svg("<circle cx=\"10\" cy=\"90\" r=\"5\"/>")),
    ] {
        assert_eq!(circle.corners.len(), 3);
        assert_eq!(circle.begin(), circle.end());
        assert!(circle.corners[..2].iter().all(|corner| (corner.bulge.abs() - 1.0).abs() < 1e-12));
        assert!((length(&circle) - 10.0 * PI).abs() < 1e-9);
    }
}

#[test]
fn polylines_keep_their_bulges_and_close_where_they_began() {
    let corners = "10\n0\n20\n0\n10\n10\n20\n0\n42\n1\n10\n10\n20\n6\n";
    let light = one(&dxf(&format!("0\nLWPOLYLINE\n8\nA\n90\n3\n70\n1\n{corners}")));
    ends(&light, (0.0, 0.0), (0.0, 0.0));
    let bulges: Vec<f64> = light.corners.iter().map(|corner| corner.bulge).collect();
    assert_eq!(bulges, [0.0, 1.0, 0.0, 0.0]);
    let open = one(&dxf(&format!("0\nLWPOLYLINE\n8\nA\n90\n3\n70\n0\n{corners}")));
    ends(&open, (0.0, 0.0), (10.0, 6.0));
    let vertex = |x: u8, y: u8, bulge: u8| format!("0\nVERTEX\n8\nA\n10\n{x}\n20\n{y}\n42\n{bulge}\n");
    let heavy = one(&dxf(&format!(
        "0\nPOLYLINE\n8\nA\n66\n1\n70\n1\n{}{}{}0\nSEQEND\n8\nA\n",
        vertex(0, 0, 0),
        vertex(10, 0, 1),
        vertex(10, 6, 0)
    )));
    assert_eq!(heavy.corners, light.corners);
}

#[test]
fn an_ellipse_and_a_spline_stay_within_half_a_thousandth() {
    let ellipse =
        one(&dxf("0\nELLIPSE\n8\nA\n10\n50\n20\n40\n11\n30\n21\n0\n40\n0.5\n41\n0\n42\n6.283185307179586\n"));
    ends(&ellipse, (80.0, 40.0), (80.0, 40.0));
    for (segment, _) in ellipse.segments() {
        for i in 0..=10 {
            let p = segment.at(f64::from(i) / 10.0) - Point::new(50.0, 40.0);
            // Near the curve the distance is the value of its equation by its gradient, to first order.
            let (u, v) = (p.x / 30.0, p.y / 15.0);
            let gradient = 2.0 * (u / 30.0).hypot(v / 15.0);
            assert!(((u * u + v * v - 1.0) / gradient).abs() < 0.00051, "{p:?}");
        }
    }
    let control = [(0.0, 0.0), (20.0, 40.0), (60.0, 40.0), (80.0, 0.0)];
    let points: String = control.iter().map(|(x, y)| format!("10\n{x}\n20\n{y}\n30\n0\n")).collect();
    let knots: String = [0, 0, 0, 0, 1, 1, 1, 1].iter().map(|k| format!("40\n{k}\n")).collect();
    let spline = one(&dxf(&format!("0\nSPLINE\n8\nA\n70\n8\n71\n3\n72\n8\n73\n4\n74\n0\n{knots}{points}")));
    let cubic = one(&svg("<path d=\"M 0 100 C 20 60 60 60 80 100\"/>"));
    for curve in [&spline, &cubic] {
        ends(curve, (0.0, 0.0), (80.0, 0.0));
        // The Bernstein form of the cubic through these control points.
        for i in 0..=200 {
            let t = f64::from(i) / 200.0;
            let s = 1.0 - t;
            let weights = [s * s * s, 3.0 * s * s * t, 3.0 * s * t * t, t * t * t];
            let sum =
                |pick: fn(&(f64, f64)) -> f64| control.iter().zip(weights).map(|(c, w)| pick(c) * w).sum();
            let p = Point::new(sum(|c| c.0), sum(|c| c.1));
            let off = curve.segments().map(|(s, _)| s.nearest(p).1).fold(f64::INFINITY, f64::min);
            assert!(off < 0.0005, "{off}");
        }
    }
}

#[test]
fn an_insert_draws_its_block_in_its_place() {
    let text = "0\nSECTION\n2\nHEADER\n9\n$INSUNITS\n70\n4\n0\nENDSEC\n0\nSECTION\n2\nBLOCKS\n0\nBLOCK\n8\n0\n2\nB\n70\n0\n\
                10\n0\n20\n0\n0\nLINE\n8\n0\n10\n0\n20\n0\n11\n5\n21\n0\n0\nENDBLK\n0\nENDSEC\n0\nSECTION\n2\nENTITIES\n\
                0\nINSERT\n8\nMARKS\n2\nB\n10\n10\n20\n20\n50\n90\n0\nENDSEC\n0\nEOF\n";
    let trace = one(text);
    ends(&trace, (10.0, 20.0), (10.0, 25.0));
    assert_eq!(trace.does, Does::Says(grainwise::stages::cut::Operation::Mark));
}

#[test]
fn every_subpath_is_a_trace() {
    let program = freely(svg(
        "<path d=\"M 1 1 H 11 V 11 H 1 Z M 20 20 H 30 A 5 5 0 0 1 30 30\"/><rect x=\"40\" y=\"40\" width=\"5\" height=\"6\"/>",
    ));
    assert_eq!(program.problems, vec![]);
    let corners: Vec<usize> = program.traces.iter().map(|trace| trace.corners.len()).collect();
    assert_eq!(corners, [5, 3, 5]);
    ends(&program.traces[0], (1.0, 99.0), (1.0, 99.0));
    ends(&program.traces[1], (20.0, 80.0), (30.0, 70.0));
    // y points down in an SVG: what flag 1 sweeps there runs clockwise here.
    assert!((program.traces[1].corners[1].bulge + 1.0).abs() < 1e-9);
}

#[test]
fn traces_keep_the_order_of_the_file() {
    let order = [3, 1, 4, 1, 5, 9, 2, 6];
    let drawn: String = order.iter().enumerate().fold(String::new(), |text, (i, x)| {
        text + &match i % 3 {
            0 => format!("0\nLINE\n8\nA\n10\n{x}\n20\n{i}\n11\n50\n21\n{i}\n"),
            1 => format!("0\nARC\n8\nA\n10\n{}\n20\n{i}\n40\n1\n50\n0\n51\n90\n", x - 1),
            _ => format!("0\nLWPOLYLINE\n8\nA\n90\n2\n70\n0\n10\n{x}\n20\n{i}\n10\n9\n20\n50\n"),
        }
    });
    let paths: String = order.iter().enumerate().fold(String::new(), |text, (i, x)| {
        text + &format!("<g id=\"g{i}\"><path d=\"M {x} {} h 20\"/></g>", 100 - i)
    });
    for text in [dxf(&drawn), svg(&paths)] {
        let program = freely(text);
        let begun: Vec<(f64, f64)> =
            program.traces.iter().map(|t| (t.begin().x.round(), t.begin().y.round())).collect();
        let wanted: Vec<(f64, f64)> =
            order.iter().enumerate().map(|(i, x)| (f64::from(*x), i as f64)).collect();
        assert_eq!(begun, wanted);
    }
}

/// A plain file is read by a reader of its own. What lies beyond it is not: the same entities behind a text that is no
/// plain DXF have to give the same traces.
#[test]
fn both_readers_of_dxf_agree() {
    for name in ["sheet-1-r12.dxf", "sheet-1-r2000.dxf"] {
        let path = format!("{}/tests/write/golden/{name}", env!("CARGO_MANIFEST_DIR"));
        let plain = std::fs::read_to_string(path).unwrap();
        let arcs = "0\nARC\n8\nmark\n10\n50\n20\n50\n40\n7\n50\n300\n51\n120\n0\nARC\n8\nmark\n10\n50\n20\n50\n40\n\
                    9\n50\n10\n51\n350\n";
        let section = "0\nSECTION\n2\nENTITIES\n";
        let plain = plain.replace(section, &format!("{section}{arcs}"));
        let other = plain.replace(section, &format!("{section}0\nPOINT\n8\nmark\n10\n1\n20\n1\n"));
        let (plain, other) = (freely(plain), freely(other));
        assert_eq!((plain.problems.len(), other.problems.len()), (0, 1), "the point is told");
        assert_eq!(plain.traces.len(), other.traces.len());
        for (a, b) in plain.traces.iter().zip(&other.traces) {
            assert_eq!((&a.does, a.corners.len()), (&b.does, b.corners.len()));
            for (p, q) in a.corners.iter().zip(&b.corners) {
                assert!(near(p.at, q.at, 1e-9) && (p.bulge - q.bulge).abs() < 1e-9, "{p:?} {q:?}");
            }
        }
    }
}
