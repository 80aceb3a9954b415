"""Draws the Fenwren: wing.dxf (R2000, mm), fuselage.dxf (R12, inches) and tail.svg (mm) into the folder given, and the pricked
points of the fin.

    python tests/fenwren/draw.py samples/fenwren

With --whole after the folder, the drawings hold too what the jobs make from pricks and measurements, for tests to hold
those against.

Needs ezdxf, which only writes the files down: every coordinate comes from wing.py, fuselage.py and tail.py.
"""

import sys
from math import atan, atan2, cos, degrees, hypot, sin
from pathlib import Path

import ezdxf
from ezdxf.math import Vec3, bulge_to_arc, global_bspline_interpolation

import fuselage
import pricks
import tail
import wing

INCH = 25.4


def new_document(version):
    ezdxf.options.write_fixed_meta_data_for_testing = True
    document = ezdxf.new(version)
    for name, colour in (("PARTS", 7), ("GRAIN", 3), ("NAMES", 8), ("SCORE", 6)):
        document.layers.add(name, color=colour)
    return document


def draw_wing(path, pieces):
    """R2000: surfaces as splines, notches as polylines, holes and arrows as blocks."""
    document = new_document("R2000")
    document.header["$INSUNITS"] = 4
    document.blocks.new("ROUND_HOLE").add_circle((0, 0), 1.0, dxfattribs={"layer": "0"})
    arrow = document.blocks.new("GRAIN_ARROW")
    for a, b in (((0, 0), (1, 0)), ((1, 0), (0.85, 0.06)), ((1, 0), (0.85, -0.06))):
        arrow.add_line(a, b, dxfattribs={"layer": "0"})
    space = document.modelspace()
    for piece in pieces:
        outline_r2000(space, piece.outer)
        for hole in piece.holes:
            if hole[0][0] == "circle":
                _, centre, r = hole[0]
                space.add_blockref("ROUND_HOLE", rounded(centre), dxfattribs={"layer": "PARTS", "xscale": r, "yscale": r, "zscale": r})
            else:
                outline_r2000(space, hole)
        (x0, y0), (x1, y1) = piece.grain
        length = hypot(x1 - x0, y1 - y0)
        space.add_blockref("GRAIN_ARROW", (x0, y0), dxfattribs={
            "layer": "GRAIN", "xscale": length, "yscale": length, "zscale": length, "rotation": degrees(atan2(y1 - y0, x1 - x0))})
        space.add_text(piece.name, height=piece.text_height, dxfattribs={"layer": "NAMES", "insert": piece.text})
    document.saveas(path)


def outline_r2000(space, edges):
    """Splines and Béziers as SPLINE; runs of lines and arcs between them as LWPOLYLINE with bulges."""
    on = {"layer": "PARTS"}
    if all(edge[0] in ("line", "arc") for edge in edges):
        vertices = [(*edge[1], edge[3] if edge[0] == "arc" else 0.0) for edge in edges]
        space.add_lwpolyline(vertices, format="xyb", close=True, dxfattribs=on)
        return
    run = []
    for edge in edges + [("end",)]:
        if edge[0] in ("line", "arc"):
            run.append(edge)
            continue
        if run:
            vertices = [(*e[1], e[3] if e[0] == "arc" else 0.0) for e in run] + [(*run[-1][2], 0.0)]
            space.add_lwpolyline(vertices, format="xyb", dxfattribs=on)
            run = []
        if edge[0] == "spline":
            space.add_spline(dxfattribs=on).apply_construction_tool(global_bspline_interpolation([Vec3(p) for p in edge[1]], degree=3))
        elif edge[0] == "bezier":
            space.add_open_spline([Vec3(p) for p in edge[1:]], degree=3, dxfattribs=on)


def draw_fuselage(path, pieces):
    """R12, in inches as an old plan would be; the sides as single lines and arcs, the rest as polylines."""
    document = new_document("R12")
    space = document.modelspace()
    inch = lambda p: (p[0] / INCH, p[1] / INCH)
    for piece in pieces:
        for n, outline in enumerate([piece.outer, *piece.holes]):
            if outline[0][0] == "circle":
                space.add_circle(inch(outline[0][1]), outline[0][2] / INCH, dxfattribs={"layer": "PARTS"})
            elif n == 0 and piece.name == "SIDE":
                single_edges(space, outline, inch)
            else:
                vertices = [(*inch(edge[1]), 0, 0, edge[3] if edge[0] == "arc" else 0.0) for edge in outline]
                space.add_polyline2d(vertices, format="xyseb", close=True, dxfattribs={"layer": "PARTS"})
        grain_lines(space, piece, inch)
        for p, q in piece.scores:
            space.add_line(inch(p), inch(q), dxfattribs={"layer": "SCORE"})
        space.add_text(piece.name, height=piece.text_height / INCH, dxfattribs={"layer": "NAMES", "insert": inch(piece.text)})
    document.saveas(path)


def single_edges(space, outline, inch):
    for edge in outline:
        if edge[0] == "line":
            space.add_line(inch(edge[1]), inch(edge[2]), dxfattribs={"layer": "PARTS"})
        else:
            centre, start, end, radius = bulge_to_arc(inch(edge[1]), inch(edge[2]), edge[3])
            space.add_arc(centre, radius, degrees(start), degrees(end), dxfattribs={"layer": "PARTS"})


def grain_lines(space, piece, scaled):
    for p, q in arrow_lines(piece.grain):
        space.add_line(scaled(p), scaled(q), dxfattribs={"layer": "GRAIN"})


def arrow_lines(grain):
    """A shaft and two short strokes at its head."""
    (x0, y0), (x1, y1) = grain
    heading, head = atan2(y1 - y0, x1 - x0), min(3.0, 0.3 * hypot(x1 - x0, y1 - y0))
    barbs = [(x1 - head * cos(heading + side), y1 - head * sin(heading + side)) for side in (0.35, -0.35)]
    return [((x0, y0), (x1, y1))] + [((x1, y1), barb) for barb in barbs]


def draw_tail(path, pieces):
    """SVG in millimetres; y points down there, so the drawing is turned over."""
    width, height, left, top = 480.0, 210.0, 20.0, 170.0
    at = lambda p: f"{number(p[0] + left)} {number(top - p[1])}"
    out = [f'<svg xmlns="http://www.w3.org/2000/svg" width="{number(width)}mm" height="{number(height)}mm" viewBox="0 0 {number(width)} {number(height)}">',
           "<title>Fenwren, tail</title>",
           "<style>.part{fill:none;stroke:#23303a;stroke-width:0.25} .grain{fill:none;stroke:#5c7f3b;stroke-width:0.25} text{font-family:sans-serif}</style>"]
    out.append('<g id="parts" class="part">')
    for piece in pieces:
        for outline in [piece.outer, *piece.holes]:
            if outline[0][0] == "circle":
                x, y = at(outline[0][1]).split()
                out.append(f'<circle cx="{x}" cy="{y}" r="{number(outline[0][2])}"/>')
            else:
                out.append(f'<path d="M{at(outline[0][1])}{"".join(command(edge, at) for edge in outline)}Z"/>')
    out.append("</g>")
    out.append('<g id="grain" class="grain">')
    out += [f'<path d="{"".join(f"M{at(p)}L{at(q)}" for p, q in arrow_lines(piece.grain))}"/>' for piece in pieces]
    out.append("</g>")
    out.append('<g id="names">')
    for piece in pieces:
        x, y = at(piece.text).split()
        out.append(f'<text x="{x}" y="{y}" font-size="{number(piece.text_height * 1.4)}">{piece.name}</text>')
    out += ["</g>", "</svg>", ""]
    path.write_text("\n".join(out), encoding="utf-8", newline="\n")


def command(edge, at):
    if edge[0] == "line":
        return f"L{at(edge[2])}"
    if edge[0] == "bezier":
        return f"C{at(edge[2])} {at(edge[3])} {at(edge[4])}"
    _, p, q, bulge = edge
    # The radius from chord and bulge; an arc that runs counter-clockwise on the plan runs clockwise where y points down.
    radius = hypot(q[0] - p[0], q[1] - p[1]) * (1 + bulge * bulge) / (4 * abs(bulge))
    large, sweep = int(abs(4 * atan(bulge)) > 3.141592653589793), int(bulge < 0)
    return f"A{number(radius)} {number(radius)} 0 {large} {sweep} {at(q)}"


def number(value):
    text = f"{value:.4f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def rounded(point):
    return tuple(round(c, 9) for c in point)


def draw(folder, whole=False):
    """Draws what the jobs ask for into a folder, or what they measure too."""
    folder.mkdir(parents=True, exist_ok=True)
    for name, drawing, of in (("wing.dxf", draw_wing, wing), ("fuselage.dxf", draw_fuselage, fuselage), ("tail.svg", draw_tail, tail)):
        drawing(folder / name, of.pieces() + (of.undrawn() if whole else []))
    pricks.write(folder)


def main():
    folder = Path(sys.argv[1] if len(sys.argv) > 1 else Path(__file__).parents[2] / "samples" / "fenwren")
    draw(folder, "--whole" in sys.argv)


if __name__ == "__main__":
    main()
