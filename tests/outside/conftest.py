"""What the outside checks share: the program as people run it, and drawings made by a library that is not ours."""

import json
import subprocess
from pathlib import Path

import ezdxf
import pytest

ROOT = Path(__file__).parents[2]
PROGRAM = ROOT / "target" / "release" / "grainwise"
SAMPLES = ROOT / "samples" / "fenwren"


class Grainwise:
    """Runs the program and gives its report."""

    def __init__(self, folder):
        self.folder = folder

    def run(self, *arguments, code=0):
        done = subprocess.run([PROGRAM, *map(str, arguments)], cwd=self.folder, capture_output=True, text=True)
        assert done.returncode == code, f"{arguments}: {done.returncode}\n{done.stdout[-2000:]}\n{done.stderr[-4000:]}"
        return done.stdout

    def report(self, verb, *arguments, code=0):
        return json.loads(self.run(verb, *arguments, "--json", code=code))

    def make(self, *arguments, out="out"):
        """Makes into a folder of its own; gives the report and the folder."""
        report = self.report("make", *arguments, "-o", out)
        return report, self.folder / out


@pytest.fixture
def grainwise(tmp_path):
    assert PROGRAM.exists(), "build it first: cargo build --release"
    return Grainwise(tmp_path)


@pytest.fixture(scope="session")
def fenwren(tmp_path_factory):
    """The Fenwren, made once on both machines without tabs: {name: (report, folder)}."""
    program = Grainwise(tmp_path_factory.mktemp("fenwren"))
    return {name: program.make(SAMPLES / f"{name}.yaml", "--tabs", 0, out=name) for name in ("laser", "router")}


def drawing_of(path, outlines, names=None, version="R2000"):
    """A DXF in millimetres with one closed polyline for each outline: rows of (x, y) or (x, y, bulge)."""
    document = ezdxf.new(version)
    document.header["$INSUNITS"] = 4
    space = document.modelspace()
    for n, outline in enumerate(outlines):
        rows = [tuple(row) + (0.0,) * (3 - len(row)) for row in outline]
        space.add_lwpolyline(rows, format="xyb", close=True)
        if names:
            text, at, height = names[n]
            space.add_text(text, height=height, dxfattribs={"insert": at})
    document.saveas(path)
    return path
