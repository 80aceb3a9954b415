"""The job on paper, read and measured by poppler's tools (pdfinfo, pdffonts, pdftotext, pdftoppm), a general-purpose library.

Without them these tests are left out, and say so.
"""

import hashlib
import re
import shutil
import subprocess

import numpy
import pytest

from conftest import SAMPLES, Grainwise, drawing_of

TOOLS = ("pdfinfo", "pdffonts", "pdftotext", "pdftoppm")
pytestmark = pytest.mark.skipif(any(shutil.which(t) is None for t in TOOLS), reason="no poppler-utils on this machine")

STOCK = ("--wood", "balsa-medium", "--thickness", 2)

# High enough that a hairline of 0.1 mm is five pixels wide, one of which is 0.021 mm.
DPI = 1200
MM = 25.4 / DPI


def told(tool, *arguments):
    return subprocess.run([tool, *map(str, arguments)], check=True, capture_output=True, text=True).stdout


def pages_of(pdf):
    """The text of each page."""
    return told("pdftotext", "-layout", pdf, "-").split("\f")[:-1]


def sizes_of(pdf):
    """Width and height of each page, mm."""
    count = int(re.search(r"Pages: +(\d+)", told("pdfinfo", pdf)).group(1))
    found = re.findall(r"Page +\d+ size: +([\d.]+) x ([\d.]+) pts", told("pdfinfo", "-l", count, pdf))
    return [(float(w) / 72 * 25.4, float(h) / 72 * 25.4) for w, h in found]


def dark(pdf, number):
    """Which pixels of a page are dark, the uppermost row first."""
    done = subprocess.run(["pdftoppm", "-r", str(DPI), "-gray", "-f", str(number), "-l", str(number), pdf], check=True, capture_output=True).stdout
    head = re.match(rb"P5\s+(\d+)\s+(\d+)\s+255\s", done)
    width, height = map(int, head.groups())
    return numpy.frombuffer(done, numpy.uint8, offset=head.end()).reshape(height, width) < 128


def middles(counts, least):
    """Middles of the bands in which at least so many pixels are dark, mm."""
    rows = numpy.flatnonzero(counts >= least)
    bands = numpy.split(rows, numpy.flatnonzero(numpy.diff(rows) > 1) + 1) if len(rows) else []
    return [(band[0] + band[-1] + 1) / 2 * MM for band in bands]


def page_with(pdf, words):
    return next(i + 1 for i, text in enumerate(pages_of(pdf)) if words in text)


@pytest.fixture(scope="module")
def kits(tmp_path_factory):
    """The Fenwren on paper for both machines, and made."""
    program = Grainwise(tmp_path_factory.mktemp("paper"))
    for name in ("laser", "router"):
        program.run("show", SAMPLES / f"{name}.yaml", "-o", f"{name}.pdf", "--pricks", 10)
        program.run("make", SAMPLES / f"{name}.yaml", "-o", name)
    return program.folder


def test_a_rectangle_and_a_disc_are_true_on_paper(grainwise):
    disc = [(0, 0, 1), (80, 0, 1)]
    drawing_of(grainwise.folder / "disc.dxf", [disc])
    drawing_of(grainwise.folder / "board.dxf", [[(0, 0), (120, 0), (120, 45), (0, 45)]])
    for name in ("disc", "board"):
        grainwise.run("show", f"{name}.dxf", *STOCK, "--sheet", "200x100", "-o", f"{name}.pdf")
    pdf = grainwise.folder / "board.pdf"
    page = dark(pdf, page_with(pdf, "Patterns at true size"))
    down = middles(page.sum(axis=1), 0.9 * 120 / MM)
    across = middles(page.sum(axis=0), 0.9 * 45 / MM)
    assert down[1] - down[0] == pytest.approx(45, abs=0.05) and len(down) == 2
    assert across[1] - across[0] == pytest.approx(120, abs=0.05) and len(across) == 2
    pdf = grainwise.folder / "disc.pdf"
    page = dark(pdf, page_with(pdf, "Patterns at true size"))
    above_foot = page[: int((297 - 10 - 13) / MM)]
    columns = numpy.flatnonzero(above_foot.any(axis=0))
    # From outer edge to outer edge: the diameter and the hairline.
    assert (columns[-1] + 1 - columns[0]) * MM == pytest.approx(80.1, abs=0.05)
    low = numpy.flatnonzero(above_foot.any(axis=1))[-1]
    assert middles(above_foot[: low + 1][-int(40 / MM):].any(axis=1), 1)[-1] > 0


def test_a_sheet_lies_on_its_pages_as_in_the_report(grainwise):
    """Edges of a piece, and of what is left beside it, from the edges of the sheet, on the page, against the report's figures."""
    drawing = drawing_of(grainwise.folder / "board.dxf", [[(3, 4), (123, 4), (123, 49), (3, 49)]])
    asked = (drawing, *STOCK, "--sheet", "160x80")
    sheet = grainwise.report("check", *asked)["sheets"][0]
    placed, left = sheet["placed"][0], sheet["remnant"]
    grainwise.run("show", *asked, "-o", "board.pdf")
    pdf = grainwise.folder / "board.pdf"
    number = [i + 1 for i, text in enumerate(pages_of(pdf)) if "160 x 80 mm" in text and "sha256" not in text][0]
    page = dark(pdf, number)
    x = middles(page.sum(axis=0), 0.8 * 45 / MM)
    y = [297 - v for v in middles(page.sum(axis=1), 0.8 * 120 / MM)]
    sign = {0: 1, 180: -1}[placed["turn_deg"]]
    ends = sorted(sign * v + placed["x_mm"] for v in ((-3, -123) if placed["mirrored"] else (3, 123)))
    sides = sorted(sign * v + placed["y_mm"] for v in (4, 49))
    assert [v - x[0] for v in x] == pytest.approx([0, *ends, 160], abs=0.05)
    assert left["length_mm"] == 160
    assert sorted(v - min(y) for v in y) == pytest.approx([0, *sides, 80 - left["width_mm"], 80], abs=0.05)


def test_a_printer_that_measures_short_is_made_good(grainwise):
    drawing = drawing_of(grainwise.folder / "board.dxf", [[(0, 0), (120, 0), (120, 45), (0, 45)]])
    for printed, sides in (("100x100", (100, 100)), ("99.3x99.6", (100 * 100 / 99.3, 100 * 100 / 99.6))):
        grainwise.run("show", drawing, *STOCK, "--sheet", "200x100", "-o", "board.pdf", "--force", "--printed", printed)
        page = dark(grainwise.folder / "board.pdf", 2)
        across, down = middles(page.sum(axis=0), 90 / MM), middles(page.sum(axis=1), 90 / MM)
        assert (across[1] - across[0], down[1] - down[0]) == pytest.approx(sides, abs=0.05)


@pytest.mark.parametrize("paper, size", [("a4", (210, 297)), ("a3", (297, 420)), ("letter", (215.9, 279.4))])
def test_pages_have_the_size_of_the_paper(grainwise, paper, size):
    """ISO 216 for A4 and A3; letter is 8.5 by 11 inch."""
    grainwise.run("show", SAMPLES / "laser.yaml", "-o", "kit.pdf", "--paper", paper)
    sizes = sizes_of(grainwise.folder / "kit.pdf")
    for found in sizes:
        assert sorted(found) == pytest.approx(sorted(size), abs=0.01)
    assert {w > h for w, h in sizes} == {True, False}


def test_whole_sheets_are_one_page_each(grainwise):
    grainwise.run("show", SAMPLES / "laser.yaml", "-o", "kit.pdf", "--paper", "whole")
    pdf = grainwise.folder / "kit.pdf"
    texts = pages_of(pdf)
    found = [size for size, text in zip(sizes_of(pdf), texts) if re.match(r"\s*Sheet \d+: .*1000 x 100 mm", text)]
    assert found and all(w > 1020 and w < 1030 for w, _ in found)
    assert not any("tile" in text for text in texts[2:])


def test_type_is_embedded_and_no_date_is_in_it(kits):
    for name in ("laser", "router"):
        rows = told("pdffonts", kits / f"{name}.pdf").splitlines()[2:]
        assert rows and all(row.split()[-5] == "yes" for row in rows), rows
        assert "Date" not in told("pdfinfo", kits / f"{name}.pdf")


def test_the_same_job_gives_the_same_paper(kits):
    Grainwise(kits).run("show", SAMPLES / "laser.yaml", "-o", "again.pdf", "--pricks", 10)
    assert (kits / "again.pdf").read_bytes() == (kits / "laser.pdf").read_bytes()


def test_every_part_is_listed_and_has_its_pattern(kits):
    report = Grainwise(kits).report("check", SAMPLES / "router.yaml")
    texts = pages_of(kits / "router.pdf")
    listed = "\n".join(text for text in texts if text.startswith("Cut list"))
    patterns = " ".join(" ".join(text.split()) for text in texts if "pattern" in text.lower())
    for part in report["parts"]:
        assert re.search(rf"(?m)^ *{part['id']} +{part['wood']} .* {part['copies']} +{part['copies'] - part['mirrored']} +{part['mirrored']} ", listed), part["id"]
        drawn = part["copies"] - part["mirrored"]
        for count, hand in ((drawn, " as drawn" if part["mirrored"] else ""), (part["mirrored"], " of the other hand")):
            if count:
                assert f"{part['id']}: {count} piece{'s' if count > 1 else ''}{hand}" in patterns, part["id"]


def test_the_operators_sheet_tells_what_goes_on_the_machine(kits):
    for name in ("laser", "router"):
        report = Grainwise(kits).report("check", SAMPLES / f"{name}.yaml")
        texts = [" ".join(text.split()) for text in pages_of(kits / f"{name}.pdf")]
        for sheet in report["sheets"]:
            page = next(t for t in texts if t.startswith(f"Sheet {sheet['sheet']} of {len(report['sheets'])} "))
            assert f"Wood: {sheet['wood']}" in page and "lower left corner" in page and "CAUTION" in page
            for file in sheet["files"]:
                digest = hashlib.sha256((kits / name / file).read_bytes()).hexdigest()
                assert file in page and " ".join(digest[i : i + 8] for i in range(0, 64, 8)) in page
    assert "layer cut-outside" in texts[0] or any("cut-outside" in t for t in texts)


def test_how_the_machine_goes_about_it_stands_on_the_operators_sheet_and_the_page(grainwise):
    drawing_of(grainwise.folder / "board.dxf", [[(0, 0), (120, 0), (120, 45), (0, 45)]])
    (grainwise.folder / "job.yaml").write_text(
        "machine: workshop-router\ndrawings: [board.dxf]\nparts: [{ name: '*', wood: light-ply, thickness: 3 }]\n"
        "stock: [{ wood: light-ply, thickness: 3, sheet: 300x200 }]\n"
        "cutting: { finish: 0.15, finish_climb: false, skin: 0.3, relief: edge, relief_most: 9, corner_feed: 0.7, lead: 1.5 }\n"
    )
    grainwise.run("show", "job.yaml", "-o", "job.pdf")
    paper = next(" ".join(text.split()) for text in pages_of(grainwise.folder / "job.pdf") if text.split()[:2] == ["Sheet", "1"])
    grainwise.run("show", "job.yaml", "-o", "job.html")
    page = (grainwise.folder / "job.html").read_text()
    for what, how in (("finishing pass", "takes 0.15 mm, conventional"), ("skin", "0.3 mm stay until the last pass"), ("leads", "arcs of 1.5 mm"),
                      ("square corners", "relieved along an edge in openings of at most 9 mm"), ("feed in corners", "70 %")):
        assert f"{what}: {how}" in paper, (what, paper)
        assert f'["{what}","{how}"]' in page, what


@pytest.mark.parametrize(("machine", "in_program"), [("makerspace-laser", False), ("desktop-laser", True)])
def test_no_drawing_is_said_to_hold_what_only_programs_do(grainwise, machine, in_program):
    """Leads and overcut of a beam are in programs only: a drawing keeps its closed paths."""
    drawing = drawing_of(grainwise.folder / "board.dxf", [[(0, 0), (60, 0), (60, 25), (0, 25)]])
    grainwise.run("make", drawing, *STOCK, "--sheet", "160x80", "--machine", machine, "-o", "made")
    paper = " ".join(pages_of(grainwise.folder / "made" / "operator.pdf")[0].split())
    assert "goes elsewhere first:" in paper
    for what in ("lead: an arc of", "past the beginning:"):
        assert (what in paper) == in_program, (what, paper)
