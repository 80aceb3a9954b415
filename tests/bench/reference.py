"""The plain way, for comparison: reads the Fenwren's drawings with ezdxf and svgelements, offsets every outline with GEOS
(shapely) for a laser and for a router, and writes one DXF for each. Ribs come from their section's equation; pieces that
the jobs measure are left out. No grain, no sheets, no tabs, no marks, no picture.

    python tests/bench/reference.py OUTPUT_FOLDER
"""

import sys
from pathlib import Path

import ezdxf
import svgelements
from ezdxf import path as dxf_path
from shapely.geometry import LineString, Polygon
from shapely.ops import polygonize, unary_union

sys.path.append(str(Path(__file__).parents[1] / "outside"))
import naca

SAMPLES = Path(__file__).parents[2] / "samples" / "fenwren"
TOLERANCE = 0.01
KERFS = {"laser": 0.15, "router": 1.5}


def read_dxf(file, scale):
    lines = []
    for entity in ezdxf.readfile(file).modelspace():
        if entity.dxf.layer != "PARTS":
            continue
        for one in entity.virtual_entities() if entity.dxftype() == "INSERT" else [entity]:
            lines.append(LineString([(round(p.x * scale, 3), round(p.y * scale, 3)) for p in dxf_path.make_path(one).flattening(TOLERANCE / scale)]))
    return [Polygon(face.exterior) for face in polygonize(unary_union(lines))]


def read_svg(file):
    found = []
    for element in svgelements.SVG.parse(file, ppi=25.4).elements(lambda e: isinstance(e, (svgelements.Path, svgelements.Circle))):
        path = svgelements.Path(element)
        if len(path) and isinstance(path[-1], svgelements.Close):
            points = [path.point(i / 200) for i in range(200)]
            found.append(Polygon([(p.x, -p.y) for p in points]))
    return found


def main():
    out = Path(sys.argv[1])
    out.mkdir(parents=True, exist_ok=True)
    outlines = read_dxf(SAMPLES / "wing.dxf", 1.0) + read_dxf(SAMPLES / "fuselage.dxf", 25.4) + read_svg(SAMPLES / "tail.svg")
    for rib in naca.ribs(count=60).values():
        outlines += [Polygon(ring) for ring in (rib.exterior, *rib.interiors)]
    for machine, kerf in KERFS.items():
        document = ezdxf.new("R2000")
        space = document.modelspace()
        for outline in outlines:
            inside = any(other is not outline and other.contains(outline) for other in outlines)
            cut = outline.buffer(-kerf / 2 if inside else kerf / 2, quad_segs=64)
            for piece in getattr(cut, "geoms", [cut]):
                if not piece.is_empty:
                    space.add_lwpolyline(list(piece.exterior.coords), close=True)
        document.saveas(out / f"{machine}.dxf")


if __name__ == "__main__":
    main()
