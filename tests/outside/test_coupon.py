"""Kerf coupons cut by a beam that is simulated: the paths in the DXF are read by ezdxf, what a beam of a known width leaves
is worked out by GEOS (through shapely), the strips are measured, and the reading is typed in. The kerf must come back."""

import re
from datetime import UTC, datetime

import ezdxf
import pytest
from shapely.geometry import LineString, Polygon, box

WITHIN_MM = 0.01


def paths(folder):
    """Closed paths on the cut layers of every DXF, as rings of points; coupons have no arcs in what is cut."""
    rings = []
    for file in sorted(folder.glob("*.dxf")):
        for entity in ezdxf.readfile(file).modelspace():
            if entity.dxf.layer.startswith("cut"):
                assert entity.dxftype() == "LWPOLYLINE" and entity.closed
                rings.append([(x, y) for x, y, *_ in flattened(entity)])
    return rings


def flattened(polyline):
    return [(p.x, p.y) for p in ezdxf.path.make_path(polyline).flattening(0.001)]


def stack(rings, kerf):
    """Width of all strips side by side, as a beam of this width leaves them."""
    total = 0.0
    for ring in rings:
        burnt = LineString(ring).buffer(kerf / 2, quad_segs=64)
        left = Polygon(ring).difference(burnt)
        x0, y0, x1, y1 = left.bounds
        middle = (x0 + x1) / 2
        across = left.intersection(box(middle - 1, y0 - 1, middle + 1, y1 + 1)).bounds
        total += across[3] - across[1]
    return total


@pytest.mark.parametrize("wood, thickness", [("balsa-medium", 3), ("birch-ply", 1.5), ("light-ply", 6)])
def test_a_known_kerf_comes_back(grainwise, wood, thickness):
    what = ("kerf", "--machine", "makerspace-laser", "--wood", wood, "--thickness", thickness)
    grainwise.run("coupon", *what, "-o", "out")
    rings = paths(grainwise.folder / "out")
    assert len(rings) == 10
    marked = re.search(r"\(marked K([0-9.]+) on each\)", (grainwise.folder / "out" / "coupon.txt").read_text())[1]
    worst = 0.0
    for kerf in (0.0512, 0.0837, 0.1234, 0.2071, 0.3149, 0.4468):
        # A caliper reads hundredths; the stack divides its error by ten.
        total = round(stack(rings, kerf), 2)
        said = grainwise.report("coupon", *what, "--reading", total, marked, "--date", "2026-05-30")
        worst = max(worst, abs(said["row"]["kerf_mm"] - kerf))
    print(f"{wood} {thickness} mm: worst {worst:.5f} mm")
    assert worst <= WITHIN_MM


def test_slots_are_as_wide_as_is_marked(grainwise):
    """The slots of a fit coupon, as a beam of the table's kerf leaves them, are as wide as the text says."""
    what = ("fit", "--machine", "makerspace-laser", "--wood", "light-ply", "--thickness", 3, "--measured", 2.93)
    report = grainwise.report("coupon", *what, "-o", "out")
    assert report["proof"]["ok"]
    text = (grainwise.folder / "out" / "coupon.txt").read_text()
    widths = [float(w) for w in re.search(r"slots of ([0-9., ]+) mm", text)[1].split(", ")]
    assert len(widths) == 11
    kerf = 0.14 + 0.012 * 3
    found = []
    for file in (grainwise.folder / "out").glob("*.dxf"):
        for entity in ezdxf.readfile(file).modelspace().query('LWPOLYLINE[layer=="cut-inside"]'):
            swept = Polygon(flattened(entity)).buffer(kerf / 2, quad_segs=64).bounds
            found.append(min(swept[2] - swept[0], swept[3] - swept[1]))
    assert sorted(found) == pytest.approx(widths, abs=0.002)


def test_a_reading_carries_the_day_it_is_typed_in(grainwise):
    what = ("kerf", "--machine", "desktop-laser", "--wood", "balsa-medium", "--thickness", 3)
    before = datetime.now(UTC).date().isoformat()
    said = grainwise.report("coupon", *what, "--reading", 99.62, 0.176)
    assert said["measured"] in (before, datetime.now(UTC).date().isoformat())
