//! What a proof of several files comes to.

use grainwise::geometry::Point;
use grainwise::stages::proof::{FileProof, PieceProof, Proof, Worst};

fn piece(copy: u32, gouge: f64, excess: f64) -> PieceProof {
    PieceProof {
        id: "R1".to_owned(),
        copy,
        mirrored: false,
        gouge: Worst { mm: gouge, at: Point::ZERO },
        excess: Worst { mm: excess, at: Point::ZERO },
        unreachable_corners: 2,
        tabs: Vec::new(),
    }
}

fn file(sheet: usize, pieces: Vec<PieceProof>) -> FileProof {
    FileProof { sheet: Some(sheet), pieces, ..FileProof::default() }
}

#[test]
fn a_piece_in_two_formats_is_one_piece_and_its_worst_counts() {
    let dxf = file(1, vec![piece(1, 0.01, 0.002)]);
    let svg = file(1, vec![piece(1, 0.003, 0.02)]);
    let figures = Proof { files: vec![dxf, svg] }.figures();
    assert_eq!((figures.pieces, figures.unreachable_corners), (1, 2));
    assert_eq!((figures.worst_gouge_mm, figures.worst_excess_mm, figures.worst_mm()), (0.01, 0.02, 0.02));
}

#[test]
fn pieces_of_several_sheets_add_up() {
    let files =
        vec![file(1, vec![piece(1, 0.0, 0.0), piece(2, 0.0, 0.0)]), file(2, vec![piece(3, 0.0, 0.0)])];
    let figures = Proof { files }.figures();
    assert_eq!((figures.pieces, figures.unreachable_corners), (3, 6));
}

#[test]
fn a_rim_left_everywhere_is_no_gouge() {
    assert_eq!(Proof { files: vec![file(1, vec![piece(1, -0.01, 0.01)])] }.figures().worst_gouge_mm, 0.0);
}
