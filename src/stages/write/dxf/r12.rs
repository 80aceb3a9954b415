//! DXF R12: header, line types, layers, entities.

use super::groups::{Groups, Handles};
use super::{Drawing, entities};

/// The whole file.
pub(super) fn write(drawing: &Drawing<'_>) -> String {
    let (mut handles, mut body) = (Handles::default(), Groups::default());
    entities::write(&mut body, drawing, &mut handles, None);
    let mut out = Groups::default();
    out.section("HEADER", |out| header(out, drawing, &mut handles));
    out.section("TABLES", |out| tables(out, drawing));
    out.section("ENTITIES", |out| out.append(&body));
    out.finish()
}

/// R12 has no word for units; those of later versions are written too, because readers of every age look for them.
fn header(out: &mut Groups, drawing: &Drawing<'_>, handles: &mut Handles) {
    out.variable("$ACADVER", 1, "AC1009");
    out.variable("$INSUNITS", 70, 4);
    out.variable("$MEASUREMENT", 70, 1);
    out.variable("$HANDLING", 70, 1);
    out.variable("$HANDSEED", 5, handles.next());
    for (name, corner) in ["$EXTMIN", "$EXTMAX"].into_iter().zip(drawing.extents) {
        out.put(9, name);
        out.point3(10, corner);
    }
    for (name, corner) in ["$LIMMIN", "$LIMMAX"].into_iter().zip(drawing.extents) {
        out.put(9, name);
        out.point(10, corner);
    }
}

fn tables(out: &mut Groups, drawing: &Drawing<'_>) {
    out.all(&[(0, "TABLE"), (2, "LTYPE"), (70, "1"), (0, "LTYPE"), (2, "CONTINUOUS"), (70, "0")]);
    out.all(&[(3, "Solid line"), (72, "65"), (73, "0"), (40, "0.0"), (0, "ENDTAB")]);
    out.all(&[(0, "TABLE"), (2, "LAYER")]);
    out.put(70, drawing.layers.len() + 1);
    layer(out, "0", 7);
    for (name, colour) in &drawing.layers {
        layer(out, name, *colour);
    }
    out.put(0, "ENDTAB");
}

fn layer(out: &mut Groups, name: &str, colour: u8) {
    out.all(&[(0, "LAYER"), (2, name), (70, "0")]);
    out.put(62, colour);
    out.put(6, "CONTINUOUS");
}
