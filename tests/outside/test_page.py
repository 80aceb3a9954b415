"""The preview page, looked at in a real browser: Chromium, driven by Playwright (PyPI), a general-purpose library.

Without a Chromium on the machine these tests are left out, and say so.
"""

import json
import os
import re
import shutil
from pathlib import Path

import ezdxf
import pytest

from conftest import SAMPLES, Grainwise, drawing_of

api = pytest.importorskip("playwright.sync_api")
BROWSER = shutil.which("chromium") or shutil.which("chromium-browser") or shutil.which("google-chrome")
pytestmark = pytest.mark.skipif(BROWSER is None, reason="no Chromium on this machine")

HOSTILE = "</script><img src=x onerror=\"document.title='run'\">"


@pytest.fixture(scope="module")
def browser():
    with api.sync_playwright() as playwright:
        started = playwright.chromium.launch(executable_path=BROWSER, args=["--no-sandbox"])
        yield started
        started.close()


@pytest.fixture(scope="module")
def pages(tmp_path_factory):
    """The Fenwren's pages for both machines."""
    program = Grainwise(tmp_path_factory.mktemp("pages"))
    for name in ("laser", "router"):
        program.run("show", SAMPLES / f"{name}.yaml", "-o", f"{name}.html")
    return {name: program.folder / f"{name}.html" for name in ("laser", "router")}


@pytest.fixture
def look(browser):
    """Opens a page without a network; at the end nothing may have been asked for, complained of or left open."""
    opened = []

    def open_page(file, width=1300, height=900, **how):
        context = browser.new_context(viewport={"width": width, "height": height}, offline=True, **how)
        page = context.new_page()
        page.complaints, page.asked = [], []
        page.on("console", lambda said: page.complaints.append(said.text) if said.type in ("error", "warning") else None)
        page.on("pageerror", lambda error: page.complaints.append(str(error)))
        page.on("request", lambda request: page.asked.append(request.url))
        page.goto(file.as_uri())
        page.wait_for_selector("html.ready", state="attached")
        opened.append((page, file))
        return page

    yield open_page
    for page, file in opened:
        assert page.complaints == []
        assert page.asked == [file.as_uri()]
        page.context.close()


def place_of(page, px, py):
    """What the page says lies under a pixel of the board: along and across on its sheet."""
    box = page.locator("#board").bounding_box()
    page.mouse.move(box["x"] + px, box["y"] + py)
    found = re.search(r"(-?[\d.]+) along, (-?[\d.]+) across", page.locator("#under").text_content())
    return [float(number) for number in found.groups()] if found else None


def pixel_of(page, along, across):
    """The pixel of a place on the sheet that is looked at, reckoned from what the page says of two others."""
    box = page.locator("#board").bounding_box()
    (ax, ay), (bx, by) = (box["width"] * 0.3, box["height"] * 0.5), (box["width"] * 0.7, box["height"] * 0.52)
    (a, c), (b, d) = place_of(page, ax, ay), place_of(page, bx, by)
    return box["x"] + ax + (along - a) * (bx - ax) / (b - a), box["y"] + ay + (across - c) * (by - ay) / (d - c)


def data_of(page):
    return json.loads(page.locator("#kit").text_content())


def test_the_files_are_small(pages):
    assert all(file.stat().st_size < 5_000_000 for file in pages.values())


def test_what_is_cut_on_what_and_how_long_stands_at_the_top(look, pages):
    page = look(pages["router"])
    facts = page.locator("#facts").inner_text()
    assert "workshop-router, by a cutter" in facts and "light-ply 3 mm" in facts and re.search(r"about 1 h \d\d min", facts)
    assert page.locator("#verdict").text_content().startswith("88 pieces, all within")
    assert page.locator("#sheets tr").count() == 8 and page.locator("#parts tr").count() == 44


def test_hostile_names_are_shown_and_not_run(look, grainwise):
    square = [(0, 0), (60, 0), (60, 30), (0, 30)]
    drawing = drawing_of(grainwise.folder / "bad.dxf", [square], names=[(HOSTILE, (30, 15), 1)])
    stock = ("--wood", "balsa-medium", "--thickness", 2, "--sheet", "1000x100")
    grainwise.run("show", drawing, *stock, "-o", "bad.html")
    page = look(grainwise.folder / "bad.html")
    assert page.locator("#parts button").first.text_content() == HOSTILE
    assert page.locator("img").count() == 0 and page.title() != "run"


def test_a_part_chosen_in_the_table_is_chosen_on_the_board_and_back(look, pages):
    page = look(pages["router"])
    page.get_by_role("button", name="Show F2 on the board").click()
    assert page.locator("#piece").inner_text().startswith("Piece\nF2")
    assert page.locator("#parts tr.picked th").inner_text() == "F2"
    page.locator("#board").focus()
    page.keyboard.press("Escape")
    assert page.locator("#parts tr.picked").count() == 0
    # A tap on the material of SIDE on the board: the place is the report's `at_mm`, moved to where the piece lies.
    data = data_of(page)
    sheet = next(s for s in data["sheets"] if any(data["parts"][p["part"]]["id"] == "SIDE" for p in s["pieces"]))
    piece = next(p for p in sheet["pieces"] if data["parts"][p["part"]]["id"] == "SIDE")
    assert piece["turn"] in (0, 180)
    x, y = data["parts"][piece["part"]]["at"]
    sign = 1 if piece["turn"] == 0 else -1
    along, across = sign * (-x if piece["mirrored"] else x) + piece["shift"][0], sign * y + piece["shift"][1]
    page.locator("#sheet").select_option(str(sheet["number"] - 1))
    page.evaluate("scrollTo(0, 0)")
    page.mouse.click(*pixel_of(page, along, across))
    assert page.locator("#parts tr.picked th").inner_text() == "SIDE"


def test_the_measuring_line_finds_a_known_length(look, pages):
    """A former's height by ezdxf, read from the drawing (inches), against the page's line from corner to corner."""
    space = ezdxf.readfile(SAMPLES / "fuselage.dxf").modelspace()
    label = next(t for t in space.query("TEXT") if t.dxf.text == "TRAY")
    outlines = [[(v.dxf.location.x * 25.4, v.dxf.location.y * 25.4) for v in p.vertices] for p in space.query("POLYLINE")]
    at = (label.dxf.insert.x * 25.4, label.dxf.insert.y * 25.4)
    holding = [o for o in outlines if min(x for x, _ in o) < at[0] < max(x for x, _ in o) and min(y for _, y in o) < at[1] < max(y for _, y in o)]
    tray = max(holding, key=lambda o: max(x for x, _ in o) - min(x for x, _ in o))
    long = max(x for x, _ in tray) - min(x for x, _ in tray)
    page = look(pages["laser"])
    data = data_of(page)
    number = next(i for i, part in enumerate(data["parts"]) if part["id"] == "TRAY")
    assert data["parts"][number]["size"][0] == pytest.approx(long, abs=1e-3)
    sheet, piece = next((s, p) for s in data["sheets"] for p in s["pieces"] if p["part"] == number)
    flat = data["parts"][number]["outlines"][0]
    sign = {0: 1, 180: -1}[piece["turn"]]
    corners = [(sign * flat[i] + piece["shift"][0], sign * flat[i + 1] + piece["shift"][1]) for i in range(0, len(flat), 3)]
    # Two corners on one long edge, farthest apart at one height.
    a, b = max(((p, q) for p in corners for q in corners if abs(p[1] - q[1]) < 1e-6), key=lambda e: e[1][0] - e[0][0])
    page.locator("#sheet").select_option(str(sheet["number"] - 1))
    page.get_by_role("button", name="Measuring line").click()
    page.evaluate("scrollTo(0, 0)")
    for x, y in (a, b):
        px, py = pixel_of(page, x, y)
        page.mouse.click(px + 2, py - 2)
    told = page.locator("#measured").text_content()
    along, across, true = map(float, re.findall(r"([\d.]+) mm", told))
    assert "(corner to corner)" in told, told
    assert along == pytest.approx(b[0] - a[0], abs=1e-3) and across == 0 and true == along
    assert 0.8 * long < along <= long + 1e-3


def test_the_board_is_zoomed_to_a_hundredth_of_a_millimetre(look, pages):
    page = look(pages["router"])
    page.get_by_role("button", name="Show F2 on the board").click()
    page.evaluate("scrollTo(0, 0)")
    box = page.locator("#board").bounding_box()
    page.locator("#board").focus()
    for _ in range(60):
        page.keyboard.press("+")
    (a, _), (b, _) = place_of(page, 200, box["height"] / 2), place_of(page, 280, box["height"] / 2)
    # Eighty pixels are two hundredths; the page's figures are rounded to a thousandth.
    assert 0 < b - a <= 0.0211


def test_the_cuts_play_to_their_end(look, pages):
    page = look(pages["router"])
    page.get_by_label("Speed").select_option("600")
    page.get_by_role("button", name="Step on").click()
    first = page.locator("#told").text_content()
    page.get_by_role("button", name="Step back").click()
    assert page.locator("#told").text_content() != first
    page.get_by_role("button", name="Play", exact=True).click()
    api.expect(page.locator("#play")).to_have_text("Pause")
    api.expect(page.locator("#play")).to_have_text("Play", timeout=60_000)
    spent, whole = re.match(r"(.*) of about (.*?):", page.locator("#told").text_content()).groups()
    assert spent == whole
    report_time = data_of(page)["sheets"][0]["time"]
    assert float(page.locator("#time").input_value()) == pytest.approx(report_time, abs=0.01)


def test_a_line_of_the_program_leads_to_its_move_and_back(look, pages):
    page = look(pages["router"])
    data = data_of(page)
    file = data["files"][0]
    trace = next(t for t in file["traces"] if t["kind"] == "t" and len(t["lines"]) > 3)
    line, (x, y) = trace["lines"][1], trace["at"][8:10]
    page.locator("#line").fill(str(line))
    page.locator("#line").press("Enter")
    assert page.locator("#lines [aria-current]").inner_text() == file["text"].splitlines()[line - 1]
    # The line's own words say where it ends; the page has the run stand at the move that leads there.
    assert f"line {line}" in page.locator("#told").text_content()
    page.evaluate("scrollTo(0, 0)")
    (bx, by), (cx, cy) = trace["at"][4:6], (x, y)
    page.mouse.move(*pixel_of(page, (bx + cx) / 2, (by + cy) / 2))
    if abs(trace["at"][7]) < 1e-9:
        assert re.search(rf"line ({line}|\d+): ", page.locator("#under").text_content())


def test_every_control_is_reached_by_keys_and_seen_to_be(look, pages):
    page = look(pages["router"])
    wanted = page.evaluate(
        """() => { const all = [...document.querySelectorAll('button, select, input, canvas')].filter(e => !e.disabled && e.checkVisibility());
        all.forEach((e, i) => e.dataset.n = i); return all.length }"""
    )
    reached, bare = set(), []
    for _ in range(wanted + 8):
        page.keyboard.press("Tab")
        number, outline = page.evaluate(
            "() => [document.activeElement.dataset.n ?? '', getComputedStyle(document.activeElement).outlineStyle]"
        )
        reached.add(number)
        if number and outline == "none":
            bare.append(number)
    assert {str(n) for n in range(wanted)} <= reached and bare == []


def test_every_control_has_a_name(look, pages):
    page = look(pages["router"])
    nameless = page.evaluate(
        """() => [...document.querySelectorAll('button, select, input, canvas')].filter(e =>
        !(e.getAttribute('aria-label') || e.textContent.trim() && e.tagName === 'BUTTON' || e.labels?.[0]?.textContent.trim())).map(e => e.id)"""
    )
    assert nameless == []


def axe():
    """The script of axe-core (npm), where tests/run or the person put it."""
    places = [os.environ.get("AXE_CORE", ""), Path(__file__).parents[1] / ".venv" / "axe" / "package" / "axe.min.js"]
    return next((Path(place).read_text() for place in places if place and Path(place).is_file()), None)


@pytest.mark.skipif(axe() is None, reason="no axe-core: npm was not there to fetch it")
@pytest.mark.parametrize("light", ["light", "dark"])
@pytest.mark.parametrize("width", [1300, 390])
def test_nobody_is_shut_out(look, pages, width, light):
    """The rules of axe-core, all that it holds to be serious or worse."""
    page = look(pages["router"], width=width, color_scheme=light)
    page.get_by_role("button", name="Show F2 on the board").click()
    page.evaluate(axe())
    found = page.evaluate("async () => (await axe.run()).violations")
    serious = [fault for fault in found if fault["impact"] in ("serious", "critical")]
    assert serious == [], [(fault["id"], [node["html"][:120] for node in fault["nodes"]]) for fault in serious]


LUMINANCE = """() => { const of = name => { const c = getComputedStyle(document.documentElement).getPropertyValue(name).trim();
  const part = i => { const v = parseInt(c.slice(1 + 2 * i, 3 + 2 * i), 16) / 255; return v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4 };
  return 0.2126 * part(0) + 0.7152 * part(1) + 0.0722 * part(2) };
  return Object.fromEntries(['paper', 'slip', 'ink', 'pencil', 'alarm', 'pick'].map(n => [n, of('--' + n)])) }"""


@pytest.mark.parametrize("light", ["light", "dark"])
def test_words_stand_out_by_day_and_by_night(look, pages, light):
    """Contrast of at least 4.5 to 1 (W3C, WCAG 2.2, success criterion 1.4.3), by the formula given there."""
    page = look(pages["laser"], color_scheme=light)
    shades = page.evaluate(LUMINANCE)
    assert (shades["paper"] < 0.2) == (light == "dark")
    for word in ("ink", "pencil", "alarm", "pick"):
        for ground in ("paper", "slip"):
            high, low = sorted((shades[word], shades[ground]), reverse=True)
            assert (high + 0.05) / (low + 0.05) >= 4.5, (word, ground)


OVERLAPS = """() => { const boxes = [...document.querySelectorAll('button, select, input, h1, h2, h3, dt, dd, .tools p, #verdict, label')]
  .filter(e => e.checkVisibility() && !e.closest('.scroll')).map(e => [e, e.getBoundingClientRect()]).filter(([, b]) => b.width > 0);
  const bad = []; for (const [e, a] of boxes) for (const [f, b] of boxes) if (e !== f && !e.contains(f) && !f.contains(e) &&
  a.left < b.right - 1 && b.left < a.right - 1 && a.top < b.bottom - 1 && b.top < a.bottom - 1) bad.push(e.outerHTML.slice(0, 60) + ' / ' + f.outerHTML.slice(0, 60));
  return bad }"""


@pytest.mark.parametrize("width", [1300, 390])
@pytest.mark.parametrize("size", ["100%", "200%"])
def test_nothing_overlaps_or_runs_off_the_side(look, pages, width, size):
    page = look(pages["router"], width=width)
    page.evaluate("size => { document.documentElement.style.fontSize = size }", size)
    page.get_by_role("button", name="Show F2 on the board").click()
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
    page.evaluate("scrollTo(0, 0)")
    assert page.evaluate(OVERLAPS) == []


def test_layers_are_taken_off_and_put_on(look, pages):
    page = look(pages["laser"])
    board = page.locator("#board")
    page.evaluate("scrollTo(0, 0)")
    before = board.screenshot()
    box = page.get_by_label("wood that goes")
    box.uncheck()
    page.wait_for_timeout(100)
    page.evaluate("scrollTo(0, 0)")
    without = board.screenshot()
    box.check()
    page.wait_for_timeout(100)
    page.evaluate("scrollTo(0, 0)")
    assert without != before and board.screenshot() == before


def test_a_part_is_laid_over_another(look, pages):
    page = look(pages["laser"])
    page.get_by_label("Below").select_option(label="R1")
    page.get_by_label("On top, dashed").select_option(label="R1")
    assert page.locator("#compared").text_content().endswith("+0.000 mm along and +0.000 mm across from the one to the other.")
    sizes = {part["id"]: part["size"] for part in data_of(page)["parts"]}
    page.get_by_label("On top, dashed").select_option(label="R5")
    assert f"{sizes['R5'][0] - sizes['R1'][0]:+.3f}".replace("-", "−") in page.locator("#compared").text_content()


def test_what_is_left_over_of_a_sheet_is_told(look, grainwise):
    """One board of 120 x 45 mm on a sheet of 300 x 100: what is left beside it over the whole width is the most, clear of it by
    kerf and spacing."""
    drawing = drawing_of(grainwise.folder / "board.dxf", [[(0, 0), (120, 0), (120, 45), (0, 45)]])
    asked = (drawing, "--wood", "balsa-medium", "--thickness", 2, "--sheet", "300x100")
    sheet = grainwise.report("check", *asked)["sheets"][0]
    grainwise.run("show", *asked, "-o", "board.html")
    page = look(grainwise.folder / "board.html")
    piece, kerf = data_of(page)["sheets"][0]["pieces"][0], data_of(page)["sheets"][0]["kerf"]
    sign = {0: 1, 180: -1}[sheet["placed"][0]["turn_deg"]]
    ends = sorted(sign * (-x if piece["mirrored"] else x) + piece["shift"][0] for x in (0, 120))
    spacing = 2
    longest = max(ends[0], 300 - ends[1]) - kerf - spacing
    told = page.locator("#settings").inner_text()
    assert f"{int(longest)} × 100 mm, one straight cut takes it off" in told, told


def test_a_job_with_problems_is_shown_with_their_places(look, grainwise):
    document = ezdxf.new("R2000")
    document.header["$INSUNITS"] = 4
    document.modelspace().add_lwpolyline([(0, 0), (60, 0), (60, 30), (0, 30)])
    document.saveas(grainwise.folder / "open.dxf")
    stock = ("--wood", "balsa-medium", "--thickness", 2, "--sheet", "1000x100")
    grainwise.run("show", "open.dxf", *stock, "-o", "open.html", code=1)
    page = look(grainwise.folder / "open.html")
    assert page.locator("#problems li.error").count() >= 1
    assert "Not ready to be cut" in page.locator("#verdict").text_content()
    page.get_by_role("button", name="Show problem 1 on the board").click()


def test_a_job_whose_drawing_is_missing_still_has_a_page(look, grainwise):
    (grainwise.folder / "none.yaml").write_text("drawings: [nowhere.dxf]\n")
    grainwise.run("show", "none.yaml", "-o", "none.html", code=2)
    page = look(grainwise.folder / "none.html")
    assert "nowhere.dxf" in page.locator("#problems").inner_text()
    page.get_by_label("other hand").check()


def test_many_parts_on_many_sheets_are_drawn_and_zoomed(look, grainwise):
    """Says how fast that went (`pytest -s`); nothing is asked of a machine that may be busy."""
    rows = []
    for i in range(500):
        x, y, length = i % 25 * 170, i // 25 * 45, 110 + i * 7 % 40
        for k in range(8):
            left, low = x + length * (0.3 + 0.05 * k), y + 5
            rows.append([(left, low, 1), (left + 3, low, 1)] if k % 2 else [(left, low), (left + 3, low), (left + 3, low + 4), (left, low + 4)])
        rows.append([(x, y), (x + length / 2, y - 5, 0.1), (x + length, y), (x + length * 0.7, y + 14), (x + length * 0.3, y + 18, 0.05)])
    drawing = drawing_of(grainwise.folder / "many.dxf", rows)
    stock = ("--wood", "balsa-medium", "--thickness", 2, "--sheet", "600x120")
    grainwise.run("show", drawing, *stock, "--machine", "desktop-laser", "-o", "many.html")
    page = look(grainwise.folder / "many.html")
    assert len(data_of(page)["sheets"]) >= 15
    first = page.evaluate("performance.getEntriesByName('first-contentful-paint')[0].startTime")
    before = page.locator("#board").screenshot()
    frames = page.evaluate(
        """async () => { const board = document.getElementById('board'), box = board.getBoundingClientRect(), begin = performance.now();
        for (let i = 0; i < 60; i++) { board.dispatchEvent(new WheelEvent('wheel', { deltaY: i < 30 ? -60 : 60, clientX: box.left + 300, clientY: box.top + 200, cancelable: true }));
          await new Promise(requestAnimationFrame); } return 60000 / (performance.now() - begin) }"""
    )
    print(f"first picture after {first:.0f} ms, {frames:.0f} frames a second")
    assert len(before) > 20_000  # a blank board is a far smaller PNG
