//! DXF R2000: every section and table that the reference asks for from R13 on, as small as they may be.

use super::groups::{Groups, Handle, Handles};
use super::{Drawing, entities};
use crate::geometry::Point;

/// The whole file. The header comes last, because it names the first free handle.
pub(super) fn write(drawing: &Drawing<'_>) -> String {
    let (mut handles, mut body) = (Handles::default(), Groups::default());
    let spaces = [handles.next(), handles.next()];
    let layouts = [handles.next(), handles.next()];
    body.section("CLASSES", |_| {});
    body.section("TABLES", |out| Tables { out, handles: &mut handles }.write(drawing, spaces, layouts));
    body.section("BLOCKS", |out| blocks(out, &mut handles, spaces));
    body.section("ENTITIES", |out| entities::write(out, drawing, &mut handles, Some(spaces[0])));
    body.section("OBJECTS", |out| objects(out, &mut handles, spaces, layouts));
    let mut out = Groups::default();
    out.section("HEADER", |out| header(out, drawing, handles.next()));
    out.append(&body);
    out.finish()
}

fn header(out: &mut Groups, drawing: &Drawing<'_>, seed: Handle) {
    out.variable("$ACADVER", 1, "AC1015");
    out.variable("$DWGCODEPAGE", 3, "ANSI_1252");
    out.put(9, "$INSBASE");
    out.point3(10, Point::ZERO);
    for (name, corner) in ["$EXTMIN", "$EXTMAX"].into_iter().zip(drawing.extents) {
        out.put(9, name);
        out.point3(10, corner);
    }
    for (name, corner) in ["$LIMMIN", "$LIMMAX"].into_iter().zip(drawing.extents) {
        out.put(9, name);
        out.point(10, corner);
    }
    out.variable("$LUNITS", 70, 2);
    out.variable("$LUPREC", 70, 4);
    out.variable("$HANDSEED", 5, seed);
    out.variable("$MEASUREMENT", 70, 1);
    out.variable("$INSUNITS", 70, 4);
}

struct Tables<'a> {
    out: &'a mut Groups,
    handles: &'a mut Handles,
}

impl Tables<'_> {
    fn write(&mut self, drawing: &Drawing<'_>, spaces: [Handle; 2], layouts: [Handle; 2]) {
        self.table("VPORT", 1, |tables, owner| tables.viewport(owner, drawing));
        self.table("LTYPE", 3, |tables, owner| {
            for name in ["ByBlock", "ByLayer", "Continuous"] {
                tables.record("LTYPE", "AcDbLinetypeTableRecord", name, owner);
                tables.out.all(&[(3, ""), (72, "65"), (73, "0"), (40, "0.0")]);
            }
        });
        self.table("LAYER", drawing.layers.len() + 1, |tables, owner| {
            tables.layer("0", 7, owner);
            for (name, colour) in &drawing.layers {
                tables.layer(name, *colour, owner);
            }
        });
        self.table("STYLE", 1, |tables, owner| {
            tables.record("STYLE", "AcDbTextStyleTableRecord", "Standard", owner);
            tables.out.all(&[
                (40, "0.0"),
                (41, "1.0"),
                (50, "0.0"),
                (71, "0"),
                (42, "2.5"),
                (3, "txt"),
                (4, ""),
            ]);
        });
        self.table("VIEW", 0, |_, _| {});
        self.table("UCS", 0, |_, _| {});
        self.table("APPID", 1, |tables, owner| {
            tables.record("APPID", "AcDbRegAppTableRecord", "ACAD", owner);
        });
        self.table("DIMSTYLE", 1, Tables::dimension_style);
        self.block_records(spaces, layouts);
    }

    fn table(&mut self, name: &str, count: usize, inside: impl FnOnce(&mut Self, Handle)) {
        let handle = self.handles.next();
        self.out.all(&[(0, "TABLE"), (2, name)]);
        self.out.put(5, handle);
        self.out.put(330, Handle::NONE);
        self.out.put(100, "AcDbSymbolTable");
        self.out.put(70, count);
        if name == "DIMSTYLE" {
            self.out.put(100, "AcDbDimStyleTable");
        }
        inside(self, handle);
        self.out.put(0, "ENDTAB");
    }

    fn record(&mut self, kind: &str, class: &str, name: &str, owner: Handle) {
        let handle = self.handles.next();
        self.record_with(handle, 5, kind, class, name, owner);
        self.out.put(70, 0);
    }

    fn record_with(&mut self, handle: Handle, code: u16, kind: &str, class: &str, name: &str, owner: Handle) {
        self.out.put(0, kind);
        self.out.put(code, handle);
        self.out.put(330, owner);
        self.out.all(&[(100, "AcDbSymbolTableRecord"), (100, class), (2, name)]);
    }

    fn layer(&mut self, name: &str, colour: u8, owner: Handle) {
        self.record("LAYER", "AcDbLayerTableRecord", name, owner);
        self.out.put(62, colour);
        self.out.put(6, "Continuous");
    }

    /// The view that a program opens with: all cuts.
    fn viewport(&mut self, owner: Handle, drawing: &Drawing<'_>) {
        let [low, high] = drawing.extents;
        self.record("VPORT", "AcDbViewportTableRecord", "*Active", owner);
        self.out.all(&[(10, "0.0"), (20, "0.0"), (11, "1.0"), (21, "1.0")]);
        self.out.point(12, low.midpoint(high));
        self.out.all(&[(13, "0.0"), (23, "0.0"), (14, "10.0"), (24, "10.0"), (15, "10.0"), (25, "10.0")]);
        self.out.all(&[(16, "0.0"), (26, "0.0"), (36, "1.0"), (17, "0.0"), (27, "0.0"), (37, "0.0")]);
        self.out.length(40, (high.y - low.y).max(1.0));
        self.out.all(&[(41, "2.0"), (42, "50.0"), (43, "0.0"), (44, "0.0"), (50, "0.0"), (51, "0.0")]);
        self.out.all(&[
            (71, "0"),
            (72, "100"),
            (73, "1"),
            (74, "3"),
            (75, "0"),
            (76, "0"),
            (77, "0"),
            (78, "0"),
        ]);
    }

    fn dimension_style(&mut self, owner: Handle) {
        let handle = self.handles.next();
        self.record_with(handle, 105, "DIMSTYLE", "AcDbDimStyleTableRecord", "Standard", owner);
        self.out.put(70, 0);
    }

    fn block_records(&mut self, spaces: [Handle; 2], layouts: [Handle; 2]) {
        self.table("BLOCK_RECORD", 2, |tables, owner| {
            for ((name, space), layout) in
                ["*Model_Space", "*Paper_Space"].into_iter().zip(spaces).zip(layouts)
            {
                tables.record_with(space, 5, "BLOCK_RECORD", "AcDbBlockTableRecord", name, owner);
                tables.out.put(340, layout);
            }
        });
    }
}

fn blocks(out: &mut Groups, handles: &mut Handles, spaces: [Handle; 2]) {
    for (name, space) in ["*Model_Space", "*Paper_Space"].into_iter().zip(spaces) {
        let paper = name == "*Paper_Space";
        let begin = |out: &mut Groups, handle: Handle, kind: &str, class: &str| {
            out.put(0, kind);
            out.put(5, handle);
            out.put(330, space);
            out.put(100, "AcDbEntity");
            if paper {
                out.put(67, 1);
            }
            out.all(&[(8, "0"), (100, class)]);
        };
        begin(out, handles.next(), "BLOCK", "AcDbBlockBegin");
        out.all(&[(2, name), (70, "0")]);
        out.point3(10, Point::ZERO);
        out.all(&[(3, name), (1, "")]);
        begin(out, handles.next(), "ENDBLK", "AcDbBlockEnd");
    }
}

/// The root dictionary with the groups and the layouts.
fn objects(out: &mut Groups, handles: &mut Handles, spaces: [Handle; 2], layouts: [Handle; 2]) {
    let (root, groups, list) = (handles.next(), handles.next(), handles.next());
    dictionary(out, root, Handle::NONE, &[("ACAD_GROUP", groups), ("ACAD_LAYOUT", list)]);
    dictionary(out, groups, root, &[]);
    dictionary(out, list, root, &[("Model", layouts[0]), ("Layout1", layouts[1])]);
    for (order, name) in ["Model", "Layout1"].into_iter().enumerate() {
        layout(out, layouts[order], list, spaces[order], name, order);
    }
}

fn dictionary(out: &mut Groups, handle: Handle, owner: Handle, entries: &[(&str, Handle)]) {
    out.put(0, "DICTIONARY");
    out.put(5, handle);
    out.put(330, owner);
    out.all(&[(100, "AcDbDictionary"), (281, "1")]);
    for (name, value) in entries {
        out.put(3, name);
        out.put(350, value);
    }
}

fn layout(out: &mut Groups, handle: Handle, owner: Handle, space: Handle, name: &str, order: usize) {
    out.put(0, "LAYOUT");
    out.put(5, handle);
    out.put(330, owner);
    out.all(&[(100, "AcDbPlotSettings"), (1, ""), (4, ""), (6, "")]);
    for code in 40..=49 {
        out.put(code, "0.0");
    }
    // Model and paper space are told apart by bit 1024; one millimetre on paper is one in the drawing.
    out.put(70, if order == 0 { 1024 } else { 0 });
    out.all(&[
        (72, "1"),
        (73, "0"),
        (74, "5"),
        (7, ""),
        (75, "16"),
        (142, "1.0"),
        (143, "1.0"),
        (147, "1.0"),
    ]);
    out.all(&[(148, "0.0"), (149, "0.0"), (100, "AcDbLayout"), (1, name), (70, "1")]);
    out.put(71, order);
    out.all(&[(10, "0.0"), (20, "0.0"), (11, "0.0"), (21, "0.0"), (12, "0.0"), (22, "0.0"), (32, "0.0")]);
    out.all(&[(14, "0.0"), (24, "0.0"), (34, "0.0"), (15, "0.0"), (25, "0.0"), (35, "0.0"), (146, "0.0")]);
    out.all(&[(13, "0.0"), (23, "0.0"), (33, "0.0"), (16, "1.0"), (26, "0.0"), (36, "0.0")]);
    out.all(&[(17, "0.0"), (27, "1.0"), (37, "0.0"), (76, "0")]);
    out.put(330, space);
}
