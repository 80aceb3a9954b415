//! Entities in the form that the strict reader wants: whole, every number checked, nothing doubled.

use super::letters::Letters;
use super::out;
use super::record::{Fault, Record};
use crate::problem::Problem;
use crate::stages::drawing::talk::Talk;

/// What a plain entity is made of.
struct Spec {
    /// Name under which the strict reader takes it.
    name: &'static str,
    /// Numbers that must be there.
    needed: &'static [i32],
    /// Numbers that may be there.
    may: &'static [i32],
    /// Integers that may be there.
    wholes: &'static [i32],
    /// Texts that may be there.
    texts: &'static [i32],
}

/// Codes of heights above the drawing's plane.
const LEVELS: [i32; 5] = [30, 31, 32, 33, 38];

fn spec(name: &str) -> Option<Spec> {
    let plain = |name, needed, may| Spec { name, needed, may, wholes: &[], texts: &[] };
    Some(match name {
        "LINE" | "3DLINE" => plain("LINE", &[10, 20, 11, 21], &[30, 31, 210, 220, 230]),
        "POINT" => plain("POINT", &[10, 20], &[30, 210, 220, 230]),
        "CIRCLE" => plain("CIRCLE", &[10, 20, 40], &[30, 210, 220, 230]),
        "ARC" => plain("ARC", &[10, 20, 40, 50, 51], &[30, 210, 220, 230]),
        "ELLIPSE" => plain("ELLIPSE", &[10, 20, 11, 21, 40], &[30, 31, 41, 42, 210, 220, 230]),
        "TEXT" => Spec {
            wholes: &[71, 72, 73],
            texts: &[1],
            ..plain("TEXT", &[10, 20], &[30, 11, 21, 31, 40, 41, 50, 210, 220, 230])
        },
        "ATTRIB" => Spec {
            wholes: &[71, 72, 74],
            texts: &[1],
            ..plain("TEXT", &[10, 20], &[30, 11, 21, 31, 40, 41, 50, 210, 220, 230])
        },
        "MTEXT" => Spec {
            wholes: &[71],
            texts: &[1],
            ..plain("MTEXT", &[10, 20], &[30, 11, 21, 31, 40, 41, 44, 50, 210, 220, 230])
        },
        "INSERT" => {
            Spec { texts: &[2], ..plain("INSERT", &[10, 20], &[30, 41, 42, 43, 44, 45, 50, 210, 220, 230]) }
        }
        _ => return None,
    })
}

/// Whether entities of this name are read.
pub(super) fn is_read(name: &str) -> bool {
    spec(name).is_some() || matches!(name, "LWPOLYLINE" | "POLYLINE" | "SPLINE")
}

/// Writes the entity in its proper form.
pub(super) fn write(
    record: &Record,
    letters: &mut Letters,
    talk: &mut Talk,
    out: &mut Vec<u8>,
) -> Result<(), Fault> {
    match record.name.as_str() {
        "LWPOLYLINE" => light_polyline(record, letters, talk, out),
        "POLYLINE" => polyline(record, letters, talk, out),
        "SPLINE" => spline(record, letters, talk, out),
        name => match spec(name) {
            Some(spec) => plain(record, &spec, letters, talk, out),
            None => Err(Fault::new(record.place, "it is of no kind that is read")),
        },
    }
}

/// What every entity has: layer, colour, space, visibility.
fn common(record: &Record, name: &str, letters: &mut Letters, talk: &mut Talk, out: &mut Vec<u8>) {
    record.tell_doubles(&[8, 62, 67], talk);
    out::text(out, 0, name);
    out::text(out, 8, &record.text(8, letters, talk).unwrap_or_else(|| "0".to_owned()));
    for code in [62, 67, 60] {
        if let Some(number) = record.whole(code, talk) {
            out::whole(out, code, number);
        }
    }
}

fn plain(
    record: &Record,
    spec: &Spec,
    letters: &mut Letters,
    talk: &mut Talk,
    out: &mut Vec<u8>,
) -> Result<(), Fault> {
    common(record, spec.name, letters, talk, out);
    for codes in [spec.needed, spec.may, spec.texts] {
        record.tell_doubles(codes, talk);
    }
    for code in spec.needed {
        out::real(out, *code, record.needed(*code)?);
    }
    for code in spec.may {
        optional(record, *code, talk, out)?;
    }
    for code in spec.wholes {
        if let Some(number) = record.whole(*code, talk) {
            // The vertical alignment of an attribute has another code than that of a text.
            out::whole(out, if *code == 74 { 73 } else { *code }, number);
        }
    }
    for code in spec.texts {
        if spec.name == "MTEXT" {
            for pair in record.fields.iter().filter(|pair| pair.code == 3) {
                out::text(out, 3, &letters.decode(pair.raw(), pair.place, talk));
            }
        }
        if let Some(text) = record.text(*code, letters, talk) {
            out::text(out, *code, &text);
        }
    }
    if spec.name == "INSERT" {
        rows_and_columns(record, talk, out)?;
    }
    Ok(())
}

/// A number that may be missing but, where it is there, must be one; heights may be spoilt.
fn optional(record: &Record, code: i32, talk: &mut Talk, out: &mut Vec<u8>) -> Result<(), Fault> {
    let Some(pair) = record.first(code) else { return Ok(()) };
    let number = if LEVELS.contains(&code) {
        record.level(pair, talk)?
    } else {
        pair.real().map_err(|bad| Fault::number(pair, &bad))?
    };
    out::real(out, code, number);
    Ok(())
}

fn rows_and_columns(record: &Record, talk: &mut Talk, out: &mut Vec<u8>) -> Result<(), Fault> {
    for (code, what) in [(70, "columns"), (71, "rows")] {
        if let Some(number) = record.whole(code, talk) {
            if number > i64::from(i16::MAX) {
                return Err(Fault::new(record.place, format!("it asks for {number} {what}")));
            }
            out::whole(out, code, number.max(1));
        }
    }
    Ok(())
}

fn normal(record: &Record, talk: &mut Talk, out: &mut Vec<u8>) -> Result<(), Fault> {
    [210, 220, 230].into_iter().try_for_each(|code| optional(record, code, talk, out))
}

fn light_polyline(
    record: &Record,
    letters: &mut Letters,
    talk: &mut Talk,
    out: &mut Vec<u8>,
) -> Result<(), Fault> {
    common(record, "LWPOLYLINE", letters, talk, out);
    out::whole(out, 70, record.whole(70, talk).unwrap_or(0));
    optional(record, 38, talk, out)?;
    normal(record, talk, out)?;
    let (mut vertices, mut y_due) = (0_usize, false);
    for pair in record.fields.iter().filter(|pair| matches!(pair.code, 10 | 20 | 42)) {
        let number = pair.real().map_err(|bad| Fault::number(pair, &bad))?;
        let orderly = match pair.code {
            10 => !std::mem::replace(&mut y_due, true),
            20 => std::mem::replace(&mut y_due, false),
            _ => vertices > 0 && !y_due,
        };
        if !orderly {
            return Err(Fault::new(pair.place, "x, y and bulge of its vertices are out of order"));
        }
        vertices += usize::from(pair.code == 10);
        out::real(out, pair.code, number);
    }
    if y_due {
        return Err(Fault::new(record.place, "the y of its last vertex is missing"));
    }
    tell_count(record, 90, vertices, "vertices", talk);
    if vertices == 0 { Err(Fault::new(record.place, "it has no vertices")) } else { Ok(()) }
}

fn tell_count(record: &Record, code: i32, found: usize, what: &str, talk: &mut Talk) {
    if let Some(said) = record.whole(code, talk)
        && usize::try_from(said) != Ok(found)
    {
        let message = format!("a {} says that it has {said} {what} and has {found}", record.name);
        talk.push_at(
            record.place,
            Problem::warning("miscounted", message).hint("check it against the drawing"),
        );
    }
}

fn polyline(record: &Record, letters: &mut Letters, talk: &mut Talk, out: &mut Vec<u8>) -> Result<(), Fault> {
    common(record, "POLYLINE", letters, talk, out);
    out::whole(out, 66, 1);
    out::whole(out, 70, record.whole(70, talk).unwrap_or(0));
    optional(record, 30, talk, out)?;
    normal(record, talk, out)
}

/// Writes a vertex of a polyline.
pub(super) fn vertex(record: &Record, talk: &mut Talk, out: &mut Vec<u8>) -> Result<(), Fault> {
    record.tell_doubles(&[10, 20, 42, 70], talk);
    out::text(out, 0, "VERTEX");
    let flags = record.whole(70, talk).unwrap_or(0);
    out::whole(out, 70, flags);
    // A face of a mesh has no place of its own; meshes are not used.
    let face = flags & 128 != 0;
    for code in [10, 20] {
        out::real(out, code, if face { record.real(code)?.unwrap_or(0.0) } else { record.needed(code)? });
    }
    optional(record, 30, talk, out)?;
    optional(record, 42, talk, out)
}

fn spline(record: &Record, letters: &mut Letters, talk: &mut Talk, out: &mut Vec<u8>) -> Result<(), Fault> {
    common(record, "SPLINE", letters, talk, out);
    normal(record, talk, out)?;
    for (code, default) in [(70, None), (71, Some(3))] {
        let number = match record.first(code) {
            Some(pair) => Some(pair.whole().map_err(|bad| Fault::number(pair, &bad))?),
            None => default,
        };
        out::whole(out, code, number.unwrap_or(0));
    }
    for code in [12, 22, 32, 13, 23, 33] {
        optional(record, code, talk, out)?;
    }
    for (code, count, what) in [(40, 72, "knots"), (41, -1, "weights")] {
        let mut found = 0;
        for pair in record.fields.iter().filter(|pair| pair.code == code) {
            out::real(out, code, pair.real().map_err(|bad| Fault::number(pair, &bad))?);
            found += 1;
        }
        tell_count(record, count, found, what, talk);
    }
    let control = triples(record, 10, talk, out)?;
    tell_count(record, 73, control, "control points", talk);
    let fit = triples(record, 11, talk, out)?;
    tell_count(record, 74, fit, "fit points", talk);
    if control + fit == 0 { Err(Fault::new(record.place, "it has no points")) } else { Ok(()) }
}

/// Points whose x has this code: each is written with x, y and z, as the strict reader pairs them up by number.
fn triples(record: &Record, x: i32, talk: &mut Talk, out: &mut Vec<u8>) -> Result<usize, Fault> {
    let mut points: Vec<[Option<f64>; 3]> = Vec::new();
    for pair in &record.fields {
        let axis = match pair.code - x {
            0 => 0,
            10 => 1,
            20 => 2,
            _ => continue,
        };
        let number = if axis == 2 {
            record.level(pair, talk)?
        } else {
            pair.real().map_err(|bad| Fault::number(pair, &bad))?
        };
        if axis == 0 {
            points.push([Some(number), None, None]);
        } else if let Some(point) = points.last_mut().filter(|point| point[axis].is_none()) {
            point[axis] = Some(number);
        } else {
            return Err(Fault::new(pair.place, "x and y of its points are out of order"));
        }
    }
    for point in &points {
        let [Some(px), Some(py), pz] = *point else {
            return Err(Fault::new(record.place, "the y of one of its points is missing"));
        };
        out::real(out, x, px);
        out::real(out, x + 10, py);
        out::real(out, x + 20, pz.unwrap_or(0.0));
    }
    Ok(points.len())
}
