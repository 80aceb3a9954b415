"""The JSON Schemas held against the files that ship, and against spoiled ones, by the jsonschema library."""

import copy
import json
import re

import jsonschema
import pytest
import yaml

from conftest import ROOT, SAMPLES

# YAML 1.2 knows true and false alone, and no dates: `on` is a word there, and a day a text.
LOADER = type("Loader", (yaml.SafeLoader,), {})
LOADER.yaml_implicit_resolvers = {
    first: [(tag, sign) for tag, sign in pairs if not tag.endswith((":timestamp", ":bool"))]
    for first, pairs in yaml.SafeLoader.yaml_implicit_resolvers.items()
}
LOADER.add_implicit_resolver("tag:yaml.org,2002:bool", re.compile("^(true|false)$"), "tf")


def read(text):
    return yaml.load(text, LOADER)


FILES = {
    "job": sorted(SAMPLES.glob("*.yaml")),
    "post": sorted((ROOT / "post").glob("*.yaml")),
    "table": sorted((ROOT / "post" / "tables").glob("*.yaml")),
    "machine": sorted((ROOT / "post" / "machines").glob("*.yaml")),
}


@pytest.fixture
def validator(grainwise):
    def of(kind):
        schema = json.loads(grainwise.run("shop", "--schema", kind))
        jsonschema.Draft202012Validator.check_schema(schema)
        return jsonschema.Draft202012Validator(schema)

    return of


@pytest.mark.parametrize("kind", FILES)
def test_what_ships_is_valid(validator, kind):
    assert FILES[kind]
    for file in FILES[kind]:
        errors = list(validator(kind).iter_errors(read(file.read_text())))
        assert not errors, f"{file}: {errors[0].message}"


def test_what_a_coupon_writes_is_valid(validator, grainwise):
    what = ("--machine", "desktop-laser", "--wood", "balsa-medium", "--thickness", 3, "--date", "2026-05-30")
    grainwise.run("coupon", "kerf", *what, "--reading", 99.62, 0.176)
    grainwise.run("coupon", "fit", *what, "--reading", 2.93, 2.88, 2.98, 3.08)
    written = (grainwise.folder / "shop" / "measured" / "balsa-medium.yaml").read_text()
    validator("table").validate(read(written))


SPOILED = [
    ("job", lambda job: job.update(drawing=["x.dxf"])),
    ("job", lambda job: [job.pop(way, None) for way in ("drawings", "measured", "ribs")]),
    ("job", lambda job: job.update(units="furlong")),
    ("job", lambda job: job["parts"][0].update(copies=-1)),
    ("job", lambda job: job["parts"][0].update(grain="sideways")),
    ("job", lambda job: job["stock"][0].pop("sheet")),
    ("job", lambda job: job.update(cutting={"power": 85})),
    ("post", lambda post: post.pop("end")),
    ("post", lambda post: post["numbers"].pop("decimals")),
    ("post", lambda post: post["line"].update(most=1000)),
    ("post", lambda post: post["arcs"].update(form="spiral")),
    ("post", lambda post: post.update(beam=None, spindle=None)),
    ("table", lambda table: table.update(density_kg_m3=2)),
    ("table", lambda table: table["laser"].pop("rows")),
    ("table", lambda table: table["laser"]["rows"].append({"beam_w": 60, "thickness_mm": 3, "kerf": 0.2})),
    ("table", lambda table: table["laser"]["columns"].append("colour")),
    ("machine", lambda machine: machine.update(reach_mm=[100])),
    ("machine", lambda machine: machine.pop("spacing_mm")),
    ("machine", lambda machine: (machine.pop("laser", None), machine.pop("router", None))),
    ("machine", lambda machine: machine.update(drawings=["dwg"])),
]


@pytest.mark.parametrize("number", range(len(SPOILED)))
def test_what_is_spoiled_is_not(validator, number):
    kind, spoil = SPOILED[number]
    for file in FILES[kind]:
        whole = read(file.read_text())
        if "extends" in whole:
            continue  # it may leave out anything
        spoiled = copy.deepcopy(whole)
        spoil(spoiled)
        assert spoiled != whole
        assert list(validator(kind).iter_errors(spoiled)), file


@pytest.mark.parametrize("kind", FILES)
def test_keys_are_those_that_the_reader_takes(validator, grainwise, kind):
    """A key that the schema has and the reader does not, or the other way round: the reader lists its own in a hint, or
    says of a key that it is none."""
    schema = validator(kind).schema
    assert schema["properties"]
    if kind != "job":
        return
    keys = "\n".join(f"{key}: ~" for key in schema["properties"]) + "\nnothing_at_all: 1\n"
    (grainwise.folder / "job.yaml").write_text(keys)
    report = grainwise.report("check", "job.yaml", code=1)
    unknown = [p["message"] for p in report["problems"] if p["code"] == "unknown-key"]
    assert unknown == ["'nothing_at_all' is no key of a job"]
