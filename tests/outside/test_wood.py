"""What a sheet of balsa weighs, against the arithmetic that suppliers' tables rest on."""

import json

import pytest

from conftest import drawing_of

INCH, FOOT, POUND, OUNCE = 25.4, 304.8, 453.59237, 28.349523125


def test_a_balsa_sheet_weighs_what_the_handbooks_arithmetic_says(grainwise):
    """1/32 x 3 x 36 in at 6 lb/ft3 weighs 0.1875 oz (3 x 36 / 32 = 3.375 in3; / 1728 in3 per ft3 x 6 lb x 16 oz)."""
    thickness = INCH / 32
    drawing = drawing_of(grainwise.folder / "sheet.dxf", [[(0, 0), (36 * INCH, 0), (36 * INCH, 3 * INCH), (0, 3 * INCH)]])
    report = grainwise.report("check", drawing, "--wood", "balsa-light", "--thickness", thickness, "--sheet", "940x600")
    (part,) = report["parts"]
    woods = json.loads(grainwise.run("shop", "--json"))["woods"]
    density = next(w["density_kg_m3"] for w in woods if w["name"] == "balsa-light")
    six_pounds = 6 * POUND / FOOT**3 * 1e6  # kg/m3
    assert part["mass_g"] * six_pounds / density / OUNCE == pytest.approx(0.1875, rel=1e-4)
