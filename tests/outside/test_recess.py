"""Halving joints and pockets as the router leaves them: the program run by pygcode (PyPI), swept and put together by GEOS."""

import pytest
from shapely.geometry import box

from finished import swept, through_paths

WIDE, LONG, PLAY, CUTTER, THICK = 12.0, 100.0, 0.1, 1.5, 3.0

JOB = f"""
machine: workshop-router
measured:
  - name: A
    rectangle: [{LONG}, {WIDE}]
    grain: 0
    holes: [{{ rectangle: [{WIDE + PLAY}, {WIDE}], at: [50, 6], depth: half }}]
  - name: B
    rectangle: [{LONG}, {WIDE}]
    grain: 0
    holes: [{{ rectangle: [{WIDE + PLAY}, 20], at: [50, 6], depth: half }}] # drawn over both edges
  - name: P
    rectangle: [80, 40]
    grain: 0
    holes: [{{ rectangle: [30, 20], at: [40, 20], depth: 0.8 }}]
parts: [{{ name: "*", wood: light-ply, thickness: {THICK}, mark: false }}]
stock: [{{ wood: light-ply, thickness: {THICK}, sheet: 300x200 }}]
cutting: {{ cutter: {CUTTER}, tabs: 0 }}
"""


@pytest.fixture
def made(grainwise):
    (grainwise.folder / "job.yaml").write_text(JOB)
    report, folder = grainwise.make("job.yaml")
    assert report["proof"]["ok"]
    (sheet,) = report["sheets"]
    (file,) = [folder / f for f in sheet["files"]]
    return report, sheet, file


def home(sheet, name):
    """Where a part lies and its outline there; all three are rectangles laid along the sheet."""
    (p,) = [p for p in sheet["placed"] if p["id"] == name]
    size = (80.0, 40.0) if name == "P" else (LONG, WIDE)
    x, y = p["x_mm"], p["y_mm"]
    assert p["turn_deg"] % 180 == 0 and not p["mirrored"]
    return box(x, y, x + size[0], y + size[1]) if p["turn_deg"] % 360 == 0 else box(x - size[0], y - size[1], x, y)


def at_height(file, part, depth):
    """What of a part is left at the height of a floor and above it."""
    around = part.buffer(10)
    return part.difference(swept(through_paths(file, depth), CUTTER, around))


def test_two_strips_go_into_each_other_flush_and_with_the_play_drawn(made):
    report, sheet, file = made
    depths = {p["id"]: p["recesses"][0]["depth_mm"] for p in report["parts"]}
    assert depths["A"] + depths["B"] == THICK
    for name in "AB":
        strip = home(sheet, name)
        upper = at_height(file, strip, depths[name])
        middle = (strip.bounds[0] + strip.bounds[2]) / 2
        mate = box(middle - WIDE / 2, strip.bounds[1] - 40, middle + WIDE / 2, strip.bounds[3] + 40)
        # The other strip, upright across this one, meets no wood; a hair more than the play wider, it would.
        assert upper.intersection(mate).area < 1e-6, name
        for side in (-1, 1):
            wall = mate.buffer(0).intersection(box(middle + side * 4, -1e3, middle + side * 50, 1e3))
            gap = upper.distance(wall)
            assert gap == pytest.approx(PLAY / 2, abs=0.01), (name, side, gap)
        # Beneath the floor the strip is whole.
        assert at_height(file, strip, depths[name] + 0.05).area == pytest.approx(strip.area, abs=0.5)


def test_a_pocket_keeps_the_cutters_fillets_and_nothing_else(made):
    report, sheet, file = made
    plate = home(sheet, "P")
    cx, cy = plate.centroid.coords[0]
    drawn = box(cx - 15, cy - 10, cx + 15, cy + 10)
    left = at_height(file, plate, 0.8)
    radius = CUTTER / 2
    # The rectangle with its corners rounded: opened by a disc, by GEOS.
    reachable = drawn.buffer(-radius).buffer(radius, quad_segs=64)
    cleared = plate.difference(left)
    assert cleared.difference(drawn.buffer(0.01)).area < 1e-6
    assert reachable.buffer(-0.01).difference(cleared).area < 1e-6
    assert cleared.area == pytest.approx(30 * 20 - (4 - 3.14159265) * radius**2, rel=2e-3)
    (row,) = [p for p in report["parts"] if p["id"] == "P"]
    assert row["recesses"] == [{"depth_mm": 0.8, "area_mm2": pytest.approx(600, abs=0.01)}]
