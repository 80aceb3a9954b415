"""What the proof says that a beam removes, against GEOS (shapely): random paths of lines and arcs that cross themselves."""

from math import pi
from random import Random

import ezdxf
import pytest
from shapely.geometry import LineString, Point
from shapely.ops import unary_union

from geos import flattened

PATHS = 300  # random paths in all
KERFS = 5  # widths, so many paths shared out among them
TOGETHER = 5  # of them in one drawing, so that paths cross each other, too
ROUND = 256  # chords to a quarter turn where GEOS sweeps
ERROR_MM = 0.001  # how far the edge of what is removed may lie from where it is, stated in the sweep


def wander(random, x, y):
    """An open path about 40 mm wide: corners with bulges, half of them straight."""
    count = random.randint(2, 9)
    return [
        (x + random.uniform(-20, 20), y + random.uniform(-20, 20), random.choice([0.0, 0.0, random.uniform(-1.2, 1.2)]))
        for _ in range(count)
    ]


def drawing(path, rows):
    document = ezdxf.new("R2000")
    document.header["$INSUNITS"] = 4
    for row in rows:
        document.modelspace().add_lwpolyline(row, format="xyb", close=False)
    document.saveas(path)
    return path


@pytest.mark.parametrize("kerf", [0.08, 0.15, 0.6, 1.5, 3.175])
def test_swept_areas_agree_with_geos(grainwise, kerf):
    random = Random(20261125 + round(1000 * kerf))
    worst = 0.0
    for n in range(PATHS // KERFS // TOGETHER):
        rows = [wander(random, random.uniform(-15, 15), random.uniform(-15, 15)) for _ in range(TOGETHER)]
        file = drawing(grainwise.folder / f"{n}.dxf", rows)
        proved = grainwise.report("prove", file, "--kerf", kerf)
        ours = proved["proof"]["files"][0]["removed_mm2"]
        theirs = unary_union([LineString(flattened(row, closed=False)).buffer(kerf / 2, quad_segs=ROUND) for row in rows])
        # An edge off by so much changes the area by its length times as much.
        worst = max(worst, abs(ours - theirs.area) / theirs.length)
        assert abs(ours - theirs.area) <= ERROR_MM * theirs.length, (n, ours, theirs.area)
    print(f"kerf {kerf}: the edge is off by {worst:.6f} mm on the mean at the worst")


def test_a_disc_and_a_straight_cut_are_what_geometry_says(grainwise):
    file = drawing(grainwise.folder / "line.dxf", [[(0, 0, 0), (100, 0, 0)]])
    removed = grainwise.report("prove", file, "--kerf", 1.5)["proof"]["files"][0]["removed_mm2"]
    assert removed == pytest.approx(150 + pi * 0.75**2, abs=0.2)
    assert removed == pytest.approx(LineString([(0, 0), (100, 0)]).buffer(0.75, quad_segs=ROUND).area, abs=0.2)
    assert Point(0, 0).buffer(0.75, quad_segs=ROUND).area == pytest.approx(pi * 0.75**2, rel=1e-4)
