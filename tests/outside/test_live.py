"""The page that follows its job, looked at in a real browser: Chromium, driven by Playwright (PyPI).

Without a Chromium on the machine the tests that need one are left out, and say so.
"""

import http.client
import re
import shutil
import subprocess
import time
from urllib.parse import urlsplit

import pytest

from conftest import PROGRAM, drawing_of

api = pytest.importorskip("playwright.sync_api")
BROWSER = shutil.which("chromium") or shutil.which("chromium-browser") or shutil.which("google-chrome")
need_browser = pytest.mark.skipif(BROWSER is None, reason="no Chromium on this machine")

JOB = """title: {title}
machine: desktop-laser
drawings: [ribs.dxf]
parts:
  - {{ name: "*", wood: balsa-medium, thickness: 2, copies: {copies} }}
stock:
  - {{ wood: balsa-medium, thickness: 2, sheet: 600x100 }}
"""


@pytest.fixture
def job(tmp_path):
    """A job of two parts in a folder of its own."""
    rows = [[(0, 0), (90, 0), (90, 20), (0, 20)], [(0, 40), (70, 40), (70, 55), (0, 55)]]
    drawing_of(tmp_path / "ribs.dxf", rows, names=[("ONE", (30, 8), 3), ("TWO", (30, 45), 3)])
    (tmp_path / "job.yaml").write_text(JOB.format(title="First", copies=2))
    return tmp_path / "job.yaml"


@pytest.fixture
def served(job):
    """The page's address, while it is served."""
    process = subprocess.Popen([PROGRAM, "show", job, "--live"], stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True)
    try:
        yield process.stdout.readline().strip()
    finally:
        process.terminate()
        process.wait(timeout=10)


@pytest.fixture
def page(served):
    with api.sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=BROWSER, args=["--no-sandbox"])
        page = browser.new_page(viewport={"width": 1300, "height": 900})
        page.complaints, page.asked = [], []
        page.on("console", lambda said: page.complaints.append(said.text) if said.type in ("error", "warning") else None)
        page.on("pageerror", lambda error: page.complaints.append(str(error)))
        page.on("request", lambda request: page.asked.append(request.url))
        page.goto(served)
        page.wait_for_selector("html.ready", state="attached")
        yield page
        # A page that goes away mid-question is no fault of it.
        assert [said for said in page.complaints if "ERR_" not in said] == []
        assert all(url.startswith(served) for url in page.asked), page.asked
        browser.close()


def asked(served, path="/", host=None, method="GET"):
    place = urlsplit(served)
    link = http.client.HTTPConnection(place.hostname, place.port, timeout=5)
    link.putrequest(method, path, skip_host=True)
    if host != "":
        link.putheader("Host", host or place.netloc)
    link.endheaders()
    answer = link.getresponse()
    return answer.status, answer.read().decode(), dict(answer.getheaders())


def test_only_its_own_name_is_answered_and_only_looking(served):
    assert re.fullmatch(r"http://127\.0\.0\.1:\d+/", served)
    port = urlsplit(served).port
    status, text, headers = asked(served)
    assert status == 200 and "First" in text
    assert headers["Cache-Control"] == "no-store" and headers["X-Content-Type-Options"] == "nosniff"
    assert asked(served, host=f"localhost:{port}")[0] == 200
    for host in (f"plans.example:{port}", "plans.example", "127.0.0.1", f"127.0.0.1:{port + 1}", ""):
        status, text, _ = asked(served, host=host)
        assert status in (400, 403) and "First" not in text, host
    assert asked(served, method="POST")[0] == 405
    for path in ("/job.yaml", "/../job.yaml", "/newer", "/?since=1"):
        assert asked(served, path)[0] == 404


def test_it_listens_on_the_loopback_address_only(served):
    """/proc/net/tcp (proc(5)): the address of the listening socket, hexadecimal, least significant byte first."""
    port = f"{urlsplit(served).port:04X}"
    with open("/proc/net/tcp") as table:
        rows = [line.split() for line in table][1:]
    assert [row[1] for row in rows if row[1].endswith(":" + port) and row[3] == "0A"] == [f"0100007F:{port}"]


def changed(page, act, words):
    """Does something, and gives how long it took until the page said so, seconds."""
    begin = time.monotonic()
    act()
    page.wait_for_function("words => document.documentElement.classList.contains('ready') && document.body.innerText.includes(words)", arg=words, timeout=15_000)
    return time.monotonic() - begin


@need_browser
def test_changes_of_job_drawing_and_table_are_followed(page, job):
    times = []
    times.append(changed(page, lambda: job.write_text(JOB.format(title="Second", copies=3)), "Second"))
    rows = [[(0, 0), (90, 0), (90, 20), (0, 20)], [(0, 40), (77, 40), (77, 55), (0, 55)]]
    draw = lambda: drawing_of(job.parent / "ribs.dxf", rows, names=[("ONE", (30, 8), 3), ("THREE", (30, 45), 3)])
    times.append(changed(page, draw, "THREE"))
    tables = job.parent / "shop" / "tables"
    tables.mkdir(parents=True)
    own = tables / "balsa-medium.yaml"
    times.append(changed(page, lambda: own.write_text("extends: [nonsense\n"), "Not ready to be cut"))
    times.append(changed(page, own.unlink, "pieces, all within"))
    # How fast that went (`pytest -s`); nothing is asked of a machine that may be busy.
    print("seen after", ", ".join(f"{t:.2f} s" for t in times))


def seen(served, text, within):
    """How long until the page holds a text, seconds."""
    begin = time.monotonic()
    while text not in asked(served)[1]:
        assert time.monotonic() - begin < within, text
        time.sleep(0.01)
    return time.monotonic() - begin


NAMED = """title: Named
machine: club.yaml
drawings: [ribs.dxf]
measured:
  - { name: FIN, edges: [[60, 0], [60, 40], { curve: fin.csv }] }
ribs:
  - { name: R, section: ours.dat, chord: 90, count: 1, trailing_edge: 9 }
parts: [{ name: "*", wood: balsa-medium, thickness: 2 }]
stock: [{ wood: balsa-medium, thickness: 2, sheet: 600x100 }]
"""


def test_every_file_that_the_job_names_is_followed(served, job):
    def fin(name, x):
        (job.parent / name).write_text(f"x,y\n40,{x}\n18,28\n0,0\n")

    def section(top):
        surface = [(1.0, 0.0), (0.7, top * 0.6), (0.3, top), (0.05, top * 0.5), (0.0, 0.0), (0.3, -0.03), (1.0, 0.0)]
        (job.parent / "ours.dat").write_text("OURS\n" + "".join(f"{x} {y}\n" for x, y in surface))

    club = job.parent / "club.yaml"
    club.write_text("extends: makerspace-laser\n")
    fin("fin.csv", 37)
    section(0.08)
    job.write_text(NAMED)
    seen(served, "Named", 15)
    for change in (lambda: fin("fin.csv", 38), lambda: section(0.1), lambda: club.write_text("extends: makerspace-laser\nbeam_w: 59\n"),
                   lambda: club.write_text("extends: [nonsense\n"), lambda: club.write_text("extends: makerspace-laser\n")):
        before = asked(served)[1]
        change()
        begin = time.monotonic()
        while asked(served)[1] == before:
            assert time.monotonic() - begin < 15
            time.sleep(0.02)


def test_a_change_does_not_wait_for_a_long_search(served, job):
    """A minute's search for better sheets is asked for: pages come at once, and the search that runs then is given up."""
    long = JOB + "cutting: {{ effort: 60 }}\n"
    times = []
    for title in ("Long one", "Long two", "Long three"):
        job.write_text(long.format(title=title, copies=9))
        times.append(seen(served, title, 15))
        time.sleep(1)  # the search has begun
    print("seen after", ", ".join(f"{t:.2f} s" for t in times))


@need_browser
def test_view_and_choice_are_kept(page, job):
    page.get_by_role("button", name="Show TWO on the board").click()
    page.locator("#board").focus()
    for _ in range(4):
        page.keyboard.press("+")
    page.get_by_label("tabs", exact=True).uncheck()
    page.get_by_label("On top, dashed").select_option(label="TWO")
    box = page.locator("#board").bounding_box()

    def under():
        page.evaluate("scrollTo(0, 0)")
        page.mouse.move(box["x"] + 400, box["y"] + 200)
        return re.search(r"(-?[\d.]+) along, (-?[\d.]+) across", page.locator("#under").text_content()).groups()

    before = under()
    changed(page, lambda: job.write_text(JOB.format(title="Second", copies=2)), "Second")
    assert page.locator("#parts tr.picked th").inner_text() == "TWO"
    assert under() == before
    assert not page.get_by_label("tabs", exact=True).is_checked()
    assert page.get_by_label("On top, dashed").evaluate("e => e.selectedOptions[0].textContent") == "TWO"


@need_browser
def test_a_job_that_cannot_be_read_is_told_over_the_last_that_could(page, job):
    text = job.read_text()
    changed(page, lambda: job.write_text("title: [oh\n"), "Not ready to be cut")
    assert page.locator("#problems li.error").count() >= 1
    assert page.locator("#parts tr").count() == 2
    changed(page, job.unlink, "job.yaml")
    changed(page, lambda: job.write_text(text), "pieces, all within")


@need_browser
def test_a_server_that_has_gone_is_told(job):
    process = subprocess.Popen([PROGRAM, "show", job, "--live"], stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True)
    try:
        address = process.stdout.readline().strip()
        with api.sync_playwright() as playwright:
            browser = playwright.chromium.launch(executable_path=BROWSER, args=["--no-sandbox"])
            page = browser.new_page()
            page.goto(address)
            api.expect(page.locator("#live")).to_contain_text("follows the job")
            process.terminate()
            process.wait(timeout=10)
            api.expect(page.locator("#live")).to_contain_text("no longer followed", timeout=10_000)
            assert page.locator("#parts tr").count() == 2
            browser.close()
    finally:
        process.kill()
