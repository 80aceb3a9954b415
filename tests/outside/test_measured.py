"""Measured pieces and what has to fit, against shapes that GEOS (through shapely) puts together."""

import pytest
from shapely.geometry import LineString, Point, box

JOB = """measured:
- name: LONG
  rectangle: [180, 24]
  notches: [{at: [60, 24], width: 3.1, depth: 12}, {at: [130, 24], width: 3.1, depth: 12}]
- name: CROSS
  rectangle: [90, 24]
  round: 4
  notches: [{at: [45, 0], width: 3.1, depth: 12.2}]
  holes: [{slot: [20, 6], at: [20, 12]}, {circle: 5, at: [[62, 12], [75, 12]]}]
parts: [{name: "*", wood: light-ply, thickness: 3}]
stock: [{wood: light-ply, thickness: 3, sheet: 300x200, measured: 2.94}]
fit:
- {name: slots, is: {part: CROSS, slot: [45, 2]}, should: 3.1}
- name: halves
  is: {part: CROSS, from: [43.45, 12.2], to: [43.45, 24]}
  should: {part: LONG, from: [58.45, 12], to: [58.45, 0]}
  within: 0.25
- {name: wood, is: {part: LONG, slot: [60, 20]}, should: {wood: light-ply, thickness: 3}, play: -0.16, within: 0.01}
"""


def test_a_halving_joint(grainwise):
    """Sizes and areas of both halves, and what the joint measures, by GEOS."""
    long = box(0, 0, 180, 24) - box(58.45, 12, 61.55, 24) - box(128.45, 12, 131.55, 24)
    corners = box(0, 0, 90, 24).buffer(-4).buffer(4, quad_segs=400)
    slot = LineString([(13, 12), (27, 12)]).buffer(3, quad_segs=400)
    holes = [Point(x, 12).buffer(2.5, quad_segs=400) for x in (62, 75)]
    cross = corners - box(43.45, 0, 46.55, 12.2) - slot - holes[0] - holes[1]
    (grainwise.folder / "job.yaml").write_text(JOB)
    report = grainwise.report("check", "job.yaml")
    parts = {part["id"]: part for part in report["parts"]}
    for name, shape in (("LONG", long), ("CROSS", cross)):
        assert parts[name]["area_mm2"] == pytest.approx(shape.area, abs=0.01)
        assert parts[name]["perimeter_mm"] == pytest.approx(shape.length, abs=0.01)
    fits = {fit["name"]: fit for fit in report["fits"]}
    width = LineString([(30, 5), (60, 5)]).difference(cross).length
    assert fits["slots"]["is_mm"] == pytest.approx(width, abs=1e-6)
    left = LineString([(45, 0), (45, 24)]).intersection(cross).length
    under = LineString([(60, 0), (60, 24)]).intersection(long).length
    assert (fits["halves"]["is_mm"], fits["halves"]["should_mm"]) == pytest.approx((left, under), abs=1e-6)
    assert fits["wood"]["should_mm"] == pytest.approx(2.94 + 0.16)
    assert all(fit["verdict"] == "fits" for fit in fits.values())
