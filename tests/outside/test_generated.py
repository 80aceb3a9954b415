"""Areas, perimeters and offsets of generated outlines against GEOS (shapely), Steiner's formula and svgelements."""

from math import cos, hypot, pi, sin
from random import Random

import ezdxf
import pytest
import svgelements
from shapely.geometry import Polygon

from conftest import drawing_of
from geos import flattened, outlines_of

KERF = 0.4
WOOD = ("--wood", "balsa-medium", "--thickness", 2, "--sheet", "900x600")


def blob(random, x, y):
    """A star-shaped outline whose edges are lines and shallow arcs."""
    count = random.randint(3, 14)
    return [
        (x + r * cos(2 * pi * (k + spin) / count), y + r * sin(2 * pi * (k + spin) / count), random.choice([0.0, 0.0, random.uniform(-0.15, 0.3)]))
        for k in range(count)
        for r, spin in [(random.uniform(14.0, 25.0), random.uniform(-0.2, 0.2))]
    ]


@pytest.fixture(scope="module")
def blobs():
    """520 outlines that GEOS calls simple, with names, on a grid of 70 mm."""
    random, found = Random(20261124), []
    while len(found) < 520:
        x, y = 70.0 * (len(found) % 26), 70.0 * (len(found) // 26)
        outline = blob(random, x, y)
        if Polygon(flattened(outline)).is_valid:
            found.append(outline)
    names = [(f"B{n}", (70.0 * (n % 26) - 3, 70.0 * (n // 26) - 1), 3.0) for n in range(len(found))]
    return found, names


def test_areas_and_perimeters_agree_with_geos(grainwise, blobs):
    outlines, names = blobs
    drawing = drawing_of(grainwise.folder / "blobs.dxf", outlines, names)
    report = grainwise.report("check", drawing, *WOOD)
    parts = {part["id"]: part for part in report["parts"]}
    assert len(parts) == len(outlines) >= 500
    for outline, (name, _, _) in zip(outlines, names):
        theirs = Polygon(flattened(outline))
        assert parts[name]["area_mm2"] == pytest.approx(theirs.area, rel=1e-4)
        assert parts[name]["perimeter_mm"] == pytest.approx(theirs.length, rel=1e-4)


def test_offsets_agree_with_geos(grainwise, blobs):
    outlines, names = blobs
    drawing = drawing_of(grainwise.folder / "blobs.dxf", outlines, names)
    report, folder = grainwise.make(drawing, *WOOD, "--kerf", KERF, "--tabs", 0)
    cut = []
    for sheet in report["sheets"]:
        document = ezdxf.readfile(folder / next(f for f in sheet["files"] if f.endswith(".dxf")))
        cut += [polygon for layer, polygon in outlines_of(document.modelspace()) if layer == "cut-outside"]
    assert len(cut) == len(outlines)
    # Which is which is told by the area: every path shrunk by half the kerf has to be one of the parts.
    ours = sorted(polygon.area for polygon in cut)
    theirs = sorted(Polygon(flattened(outline)).buffer(KERF / 2, quad_segs=256).area for outline in outlines)
    worst = max(abs(a - b) / b for a, b in zip(ours, theirs))
    assert worst < 1e-4, worst


def test_convex_offsets_obey_steiner(grainwise):
    """Steiner: a convex region of area A and perimeter P grown by r has area A + P r + pi r^2 and perimeter P + 2 pi r."""
    random = Random(7)
    outlines, r = [], 0.75
    for n in range(40):
        count, radius = random.randint(3, 11), random.uniform(8.0, 25.0)
        turn = random.uniform(0.0, 6.0)
        outlines.append([(60.0 * n + radius * cos(turn + 2 * pi * k / count), radius * sin(turn + 2 * pi * k / count)) for k in range(count)])
    drawing = drawing_of(grainwise.folder / "convex.dxf", outlines)
    report, folder = grainwise.make(drawing, *WOOD, "--kerf", 2 * r, "--tabs", 0)
    cut = []
    for sheet in report["sheets"]:
        document = ezdxf.readfile(folder / next(f for f in sheet["files"] if f.endswith(".dxf")))
        cut += [p for layer, p in outlines_of(document.modelspace()) if layer == "cut-outside"]
    whole = [Polygon(outline) for outline in outlines]
    areas = sorted(p.area + p.length * r + pi * r * r for p in whole)
    lengths = sorted(p.length + 2 * pi * r for p in whole)
    assert sorted(p.area for p in cut) == pytest.approx(areas, rel=1e-5)
    assert sorted(p.length for p in cut) == pytest.approx(lengths, rel=1e-5)


SVG_SHAPES = [
    '<path d="M10 10 h40 v30 h-40 z"/>',
    '<path d="M70 20 C 80 0 120 0 130 20 S 120 60 100 50 Z"/>',
    '<path d="M150 10 q 20 -10 40 0 t 10 30 l -50 0 z"/>',
    '<path d="M220 40 a 25 15 30 0 1 40 -10 A 30 30 0 0 1 220 40 z"/>',
    '<circle cx="40" cy="90" r="17.5"/>',
    '<ellipse cx="100" cy="95" rx="28" ry="11"/>',
    '<rect x="150" y="75" width="45" height="28" rx="6" ry="4"/>',
    '<polygon points="220,70 260,75 250,110 225,105"/>',
    '<g transform="translate(20 130) rotate(12) scale(1.4 0.6)"><path d="M0 0 c 10 -20 40 -20 50 0 v 30 h -50 z"/></g>',
    '<g transform="matrix(0.8 0.3 -0.2 1.1 130 130)"><path d="M4 20 C4 -2 36 -2 36 20 S 4 42 4 20 Z"/></g>',
]


@pytest.mark.parametrize("shape", SVG_SHAPES)
def test_svg_lengths_agree_with_svgelements(grainwise, shape):
    text = f'<svg xmlns="http://www.w3.org/2000/svg" width="300mm" height="200mm" viewBox="0 0 300 200" fill="none" stroke="#123456">{shape}</svg>'
    path = grainwise.folder / "shape.svg"
    path.write_text(text)
    report = grainwise.report("check", path, *WOOD)
    (part,) = report["parts"]
    drawn = [e for e in svgelements.SVG.parse(path, ppi=25.4, reify=True).elements() if isinstance(e, svgelements.Shape)]
    (theirs,) = [svgelements.Path(e) for e in drawn]
    length = theirs.length(error=1e-8)
    assert part["perimeter_mm"] == pytest.approx(length, rel=3e-4)
    box = theirs.bbox()
    assert part["width_mm"] == pytest.approx(box[2] - box[0], abs=0.03)
    assert part["height_mm"] == pytest.approx(box[3] - box[1], abs=0.03)
    assert hypot(part["at_mm"][0] - (box[0] + box[2]) / 2, part["at_mm"][1] - (200 - (box[1] + box[3]) / 2)) < 60
