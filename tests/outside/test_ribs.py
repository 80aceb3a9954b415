"""Ribs from sections: the aerofoil coordinate files of the PyPI wheel aerosandbox 4.2.10 (MIT), all of them, against GEOS."""

import json
import shutil
import subprocess

import pytest
from shapely.geometry import Polygon

from conftest import PROGRAM
from test_aerofoils import database

CHORD = 150.0
AT_ONCE = 300


def rows(file):
    """Rows of two numbers: others are titles, counts and remarks."""
    found = []
    for line in file.read_text(errors="replace").splitlines():
        try:
            x, y = map(float, line.replace(",", " ").split())
        except ValueError:
            continue
        found.append((x, y))
    if found and found[0][0] >= 2 and found[0][1] >= 2:
        found = found[1:]
    return found


def polygon(file):
    """The section as GEOS sees it, in the order tail, upper surface, nose, lower surface."""
    points = rows(file)
    leaps = [i for i in range(1, len(points)) if abs(points[i][0] - points[i - 1][0]) > 0.5]
    if len(leaps) == 1 and points[0][0] < 0.1:
        points = points[: leaps[0]][::-1] + points[leaps[0] :]
    return Polygon([(x * CHORD, y * CHORD) for x, y in points])


def check(grainwise, files):
    """One rib of each file; gives the report's parts by name, and its errors."""
    sets = "".join(f"  - {{ name: S{n}-, section: {file.name!r}, chord: {CHORD}, count: 1 }}\n" for n, file in files)
    parts = "parts: [{ name: '*', wood: balsa-medium, thickness: 2, mark: false }]\nstock: [{ wood: balsa-medium, thickness: 2, sheet: 1000x900 }]\n"
    (grainwise.folder / "job.yaml").write_text("ribs:\n" + sets + parts)
    for _, file in files:
        shutil.copy(file, grainwise.folder / file.name)
    done = subprocess.run([PROGRAM, "check", "job.yaml", "--json"], cwd=grainwise.folder, capture_output=True, text=True)
    assert done.returncode in (0, 1), done.stderr[-2000:]
    report = json.loads(done.stdout)
    return {p["id"]: p for p in report["parts"]}, [p for p in report["problems"] if p["severity"] == "error"]


def test_every_file_is_read_or_refused_with_a_reason(grainwise):
    files = list(enumerate(sorted(database().glob("*.dat"))))
    assert len(files) == 2174
    read, refused, wrong = 0, [], []
    for start in range(0, len(files), AT_ONCE):
        some = files[start : start + AT_ONCE]
        parts, errors = check(grainwise, some)
        said = " ".join(f"{p.get('file')} {p['message']}" for p in errors)
        for n, file in some:
            part = parts.get(f"S{n}-1")
            if part is None:
                assert f"S{n}-" in said, f"{file.name} is neither read nor refused"
                refused.append(file.name)
                continue
            read += 1
            theirs = polygon(file)
            if not theirs.is_valid:
                continue
            # A smooth curve through the points holds a little more than the polygon, most where 27 points are all there are.
            if not -0.01 * theirs.length < part["area_mm2"] - theirs.area < 0.12 * theirs.length:
                wrong.append((file.name, part["area_mm2"], theirs.area))
    print(read, "read,", len(refused), "refused:", refused)
    assert not wrong, wrong
    assert read > 2165, refused


def test_published_ordinates_through_the_whole_journey(grainwise):
    """NACA 2412, a published table: the area between its ordinates by GEOS."""
    table = [(1.25, 2.1606, -1.6513), (2.5, 2.9863, -2.2684), (5, 4.1304, -3.0054), (10, 5.6291, -3.7608), (20, 7.2607, -4.2278),
             (30, 7.8785, -4.1286), (40, 7.803, -3.803), (60, 6.3506, -2.7784), (80, 3.7497, -1.5017), (90, 2.0711, -0.8289)]
    job = """ribs: [{ name: R, section: naca 2412, chord: 100, count: 1, leading_edge: 1.25, trailing_edge: 10 }]
parts: [{ name: R1, wood: balsa-medium, thickness: 2 }]
stock: [{ wood: balsa-medium, thickness: 2, sheet: 300x100 }]
"""
    (grainwise.folder / "job.yaml").write_text(job)
    (part,) = grainwise.report("check", "job.yaml")["parts"]
    theirs = Polygon([(x, u) for x, u, _ in table] + [(x, l) for x, _, l in reversed(table)])
    assert theirs.area < part["area_mm2"] < theirs.area * 1.04
    assert part["width_mm"] == pytest.approx(88.75, abs=0.01)
