"""Aerofoil coordinate files by others (the PyPI wheel aerosandbox 4.2.10, MIT) as outlines: areas against GEOS."""

import importlib.util
from pathlib import Path

import pytest
from shapely.geometry import Polygon
from shapely.validation import make_valid

from conftest import drawing_of

CHORD = 150.0
WOOD = ("--wood", "balsa-medium", "--thickness", 2, "--sheet", "900x600")


def database():
    found = importlib.util.find_spec("aerosandbox")
    assert found, "pip install --no-deps aerosandbox==4.2.10"
    return Path(found.submodule_search_locations[0]) / "geometry" / "airfoil" / "airfoil_database"


def coordinates(file):
    """Rows of two numbers; label lines and blank lines are passed over."""
    rows = []
    for line in file.read_text(errors="replace").splitlines():
        try:
            x, y = map(float, line.split())
        except ValueError:
            continue
        rows.append((x * CHORD, y * CHORD))
    return rows


def sections():
    """Every 20th file whose points make one simple outline of reasonable thickness, as GEOS sees it."""
    for file in sorted(database().glob("*.dat"))[::20]:
        rows = coordinates(file)
        rows = [p for p, q in zip(rows, rows[1:] + rows[:1]) if abs(p[0] - q[0]) + abs(p[1] - q[1]) > 1e-4]
        if len(rows) >= 10 and Polygon(rows).is_valid and Polygon(rows).area > 0.03 * CHORD * CHORD:
            yield file.stem, rows


def test_areas_of_aerofoils_agree_with_geos(grainwise):
    found = list(sections())
    assert len(found) > 60
    outlines = [[(x + 200.0 * (n % 5), y + 90.0 * (n // 5)) for x, y in rows] for n, (_, rows) in enumerate(found)]
    names = [(f"S{n}", (200.0 * (n % 5) + 0.3 * CHORD, 90.0 * (n // 5) + middle(rows, 0.3 * CHORD)), 1.5) for n, (_, rows) in enumerate(found)]
    drawing = drawing_of(grainwise.folder / "sections.dxf", outlines, names)
    report = grainwise.report("check", drawing, *WOOD)
    parts = {p["id"]: p for p in report["parts"]}
    assert len(parts) == len(outlines)
    for n, outline in enumerate(outlines):
        # Within 0.01 mm of the polygon all around.
        theirs = Polygon(outline)
        assert abs(parts[f"S{n}"]["area_mm2"] - theirs.area) <= 0.01 * theirs.length, found[n][0]


def middle(rows, x):
    """Half way between the lowest and the highest crossing of the outline with a line at x."""
    from shapely.geometry import LineString

    cross = make_valid(Polygon(rows)).intersection(LineString([(x, -500.0), (x, 500.0)]))
    _, low, _, high = cross.bounds
    return (low + high) / 2 - 0.7
