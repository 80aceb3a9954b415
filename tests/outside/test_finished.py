"""The finished pieces of the Fenwren against its drawings, and its ribs against their section's equation: paths read from the
files and swept by the kerf with GEOS, drawings read by ezdxf and svgelements. `pytest -s` prints the worst of each."""

import re

import pytest
import shapely
from shapely.affinity import translate
from shapely.geometry import Point, Polygon, box

import naca
from conftest import ROOT, SAMPLES
from finished import (drawn_by_ezdxf, drawn_by_svgelements, dxf_paths, errors, laser_kerf, material, piece_left, placed, relieved, swept, through_paths)
from geos import circle

ALLOWED = 0.02  # mm


@pytest.fixture(scope="module")
def drawn():
    return {
        "wing.dxf": drawn_by_ezdxf(SAMPLES / "wing.dxf", 1.0),
        "fuselage.dxf": drawn_by_ezdxf(SAMPLES / "fuselage.dxf", 25.4),
        "tail.svg": drawn_by_svgelements(SAMPLES / "tail.svg"),
        "ribs R": naca.ribs(),
    }


def pieces(report, drawn):
    """Each sheet with its placed pieces that are drawn: (sheet, [(id, true part on the sheet, point in its material)])."""
    parts = {p["id"]: p for p in report["parts"]}
    true = {name: drawn[p["drawing"]][name] if p["drawing"] == "ribs R" else material(drawn[p["drawing"]], p["at_mm"])
            for name, p in parts.items() if p["drawing"] in drawn}
    for sheet in report["sheets"]:
        yield sheet, [(p["id"], placed(true[p["id"]], p), placed(Point(parts[p["id"]]["at_mm"]), p)) for p in sheet["placed"] if p["id"] in true]


def paths_of(name, folder, sheet):
    """The paths of a sheet and the width that they remove."""
    if name == "laser":
        return dxf_paths(folder / next(f for f in sheet["files"] if f.endswith(".dxf"))), laser_kerf(folder, sheet)
    (file,) = [folder / f for f in sheet["files"] if not f.endswith((".dxf", ".svg"))]
    cutter = float(re.search(r"cutter ([0-9.]+) mm", file.read_text()).group(1))
    return through_paths(file, sheet["thickness_mm"]), cutter


@pytest.mark.parametrize("name", ["laser", "router"])
def test_finished_pieces_are_the_pieces_drawn(fenwren, drawn, name):
    report, folder = fenwren[name]
    worst, count, bays = {}, 0, 0
    for sheet, on_it in pieces(report, drawn):
        paths, kerf = paths_of(name, folder, sheet)
        for part, true, at in on_it:
            piece = piece_left(paths, kerf, true, at)
            if name == "router":
                true, of_it = relieved(true, piece, kerf)
                bays += of_it
            found = errors(true, piece, kerf)
            worst[part] = max(worst.get(part, found), found, key=lambda e: max(e[:2]))
            count += 1
    for part, (gouge, excess, corners) in sorted(worst.items(), key=lambda w: -max(w[1][:2])):
        print(f"{name} {part:5} gouge {gouge:.4f}  excess {excess:.4f}  with unreachable corners {corners:.4f}")
    gouge, excess, corners = (max(e[k] for e in worst.values()) for k in range(3))
    print(f"{name}: {count} pieces, worst gouge {gouge:.4f} mm, worst excess {excess:.4f} mm, with unreachable corners {corners:.4f} mm")
    assert count == sum(p["copies"] for p in report["parts"] if p["drawing"] in drawn) >= 70
    assert max(gouge, excess) <= ALLOWED
    if name == "router":
        print(f"{bays} corners relieved")
        assert bays > 60


def tab_width(wood, thickness):
    """The column width_mm of the wood's laser_tabs, at a thickness that has a row."""
    text = (ROOT / "post" / "tables" / f"{wood}.yaml").read_text().split("laser_tabs:")[1]
    columns, *rows = [line.split(",") for line in re.findall(r"\[([^\]]*)\]", text)]
    column = [name.strip() for name in columns].index("width_mm")
    return next(float(row[column]) for row in rows if float(row[0]) == thickness)


def test_between_tabs_the_laser_cuts_what_is_drawn(grainwise, drawn):
    """The tabs as the tables give them: what is cut lies on the drawing, what is not is bridges as wide as the table says."""
    report, folder = grainwise.make(SAMPLES / "laser.yaml")
    worst, bridges, narrowest, widest = 0.0, 0, 0.0, 0.0
    for sheet, on_it in pieces(report, drawn):
        paths, kerf = paths_of("laser", folder, sheet)
        ends = [Point(p.coords[k]) for p in paths if not p.is_ring for k in (0, -1)]
        tree, wide = shapely.STRtree(ends), tab_width(sheet["wood"], sheet["thickness_mm"])
        mids = []
        for n, end in enumerate(ends):
            other = min((k for k in tree.query(end.buffer(4 * wide)) if k != n), key=lambda k: end.distance(ends[k]))
            off = end.distance(ends[other]) - kerf - wide
            narrowest, widest = min(narrowest, off), max(widest, off)
            mids.append(Point((end.x + ends[other].x) / 2, (end.y + ends[other].y) / 2))
        bridges += len(mids) // 2
        spared = shapely.union_all(mids).buffer(wide / 2 + kerf + 0.05) if mids else Polygon()
        shapely.prepare(spared)
        for part, true, _ in on_it:
            gone = swept(paths, kerf, box(*true.buffer(1).bounds))
            reached = true.buffer(kerf / 2, quad_segs=64).buffer(-kerf / 2, quad_segs=64)
            # Gouge: how deep what is gone reaches into the part. Excess: how far the part's edge is from what is gone.
            inside = shapely.get_coordinates(gone.intersection(true).segmentize(0.1))
            edge = shapely.get_coordinates(reached.boundary.segmentize(0.1))
            edge = edge[~shapely.contains_xy(spared, edge[:, 0], edge[:, 1])]
            shapely.prepare(gone)
            edge = edge[~shapely.contains_xy(gone, edge[:, 0], edge[:, 1])]
            deep = shapely.distance(shapely.points(inside), true.boundary)
            away = shapely.distance(shapely.points(edge), gone)
            worst = max([worst, *deep, *away])
    print(f"laser with tabs: {bridges} bridges, {narrowest:+.4f} to {widest:+.4f} mm off the table's width, worst {worst:.4f} mm between them")
    assert bridges >= 100
    assert max(-narrowest, widest) <= 0.01
    assert worst <= ALLOWED


def plate():
    return Polygon([(0, 0), (80, 0), (80, 30), (50, 30), (50, 20), (30, 20), (30, 30), (0, 30)], [circle(15, 12, 4)])


@pytest.mark.parametrize("kerf", [0.18, 1.5])
def test_a_path_in_its_place_is_found_right(kerf):
    part = plate()
    paths = list(shapely.get_parts(part.buffer(kerf / 2, quad_segs=256).boundary))
    gouge, excess, corners = errors(part, piece_left(paths, kerf, part, Point(40, 10)), kerf)
    assert max(gouge, excess) < 0.001
    assert corners == pytest.approx((2**0.5 - 1) * kerf / 2, abs=0.002)  # a right angle, and a disc that rolls into it


@pytest.mark.parametrize("kerf", [0.18, 1.5])
@pytest.mark.parametrize("which", [0, 1])
def test_a_path_out_of_its_place_is_found(kerf, which):
    """Displaced by 0.05 mm, the outer path or the hole's: a gouge of that on one side, an excess on the other."""
    part = plate()
    paths = list(shapely.get_parts(part.buffer(kerf / 2, quad_segs=256).boundary))
    paths[which] = translate(paths[which], 0.05, 0.0)
    gouge, excess, _ = errors(part, piece_left(paths, kerf, part, Point(40, 10)), kerf)
    assert gouge == pytest.approx(0.05, abs=0.002)
    assert excess == pytest.approx(0.05, abs=0.002)


def test_a_wrong_kerf_is_found():
    part, kerf = plate(), 0.18
    paths = list(shapely.get_parts(part.buffer(kerf / 2, quad_segs=256).boundary))
    gouge, excess, _ = errors(part, piece_left(paths, kerf + 0.1, part, Point(40, 10)), kerf + 0.1)
    assert gouge == pytest.approx(0.05 * 2**0.5, abs=0.002)  # deepest at the corners
    assert excess < 0.001
