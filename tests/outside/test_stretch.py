"""True scale, against numpy's least squares: a plan of known lengths, read with errors."""

import numpy as np
import pytest

from conftest import drawing_of


def gauss_newton(drawn, true, free):
    """[x, y, skew] that stretch the drawn vectors to the true lengths best, and (J^T J)^-1, by numpy.linalg."""
    p = np.array([1.0, 1.0, 0.0])
    for _ in range(30):
        w = np.c_[p[0] * drawn[:, 0] + p[2] * drawn[:, 1], p[1] * drawn[:, 1]]
        length = np.hypot(*w.T)
        jacobian = np.c_[w[:, 0] * drawn[:, 0], w[:, 1] * drawn[:, 1], w[:, 0] * drawn[:, 1]] / length[:, None]
        step, *_ = np.linalg.lstsq(jacobian[:, free], true - length, rcond=None)
        p[free] += step
    return p, np.linalg.inv(jacobian[:, free].T @ jacobian[:, free])


@pytest.mark.parametrize("seed", range(6))
def test_lengths_against_numpy(grainwise, seed):
    rng = np.random.default_rng(seed)
    directions = [0, 90] if seed < 3 else [0, 90, 40, 130]
    drawn, true, rows = [], [], []
    for angle in directions * 2:
        length = round(float(rng.uniform(150, 350)), 3)
        is_true = round(length * (0.995 if angle == 0 else 1.008) + float(rng.normal(0, 0.1)), 3)
        drawn.append((length * np.cos(np.radians(angle)), length * np.sin(np.radians(angle))))
        true.append(is_true)
        rows.append(f"{{drawn: {length}, is: {is_true}, angle: {angle}}}")
    drawing_of(grainwise.folder / "a.dxf", [[(0, 0), (200, 0), (200, 40), (0, 40)]], [("A", (20, 20), 5)])
    (grainwise.folder / "job.yaml").write_text(
        f"drawings:\n- file: a.dxf\n  stretch: {{reading_error: 0.2, lengths: [{', '.join(rows)}]}}\n"
        "parts:\n- {name: A, wood: balsa-medium, thickness: 3}\nstock:\n- {wood: balsa-medium, thickness: 3, sheet: 1000x100}\n"
    )
    free = [0, 1] if seed < 3 else [0, 1, 2]
    (x, y, skew), inverse = gauss_newton(np.array(drawn), np.array(true), free)
    report = grainwise.report("check", "job.yaml")
    stretch, part = report["drawings"][0]["stretch"], report["parts"][0]
    assert part["drawn_mm"] == pytest.approx([200, 40], abs=1e-6)
    assert part["area_mm2"] == pytest.approx(8000 * x * y, rel=1e-9)
    assert stretch["map"] == pytest.approx([x, 0, skew, y, 0, 0], abs=1e-9)
    for row, direction in enumerate([(1.0, 0.0), (0.0, 1.0)]):
        w = np.array([x * direction[0] + skew * direction[1], y * direction[1]])
        g = np.array([w[0] * direction[0], w[1] * direction[1], w[0] * direction[1]])[free] / np.hypot(*w)
        expected = 200 * 0.2 * np.sqrt(g @ inverse @ g)
        assert stretch["expected_error_of_200_mm"][row] == pytest.approx(expected, rel=1e-6)


def test_common_points_against_numpy(grainwise):
    rng = np.random.default_rng(8)
    here = rng.uniform(0, 300, (7, 2)).round(3)
    there = (here @ np.array([[0.99, 0.02], [-0.015, 1.006]]) + [12, -7] + rng.normal(0, 0.1, (7, 2))).round(3)
    best, *_ = np.linalg.lstsq(np.c_[here, np.ones(7)], there, rcond=None)
    pairs = ", ".join(f"{{here: [{a}, {b}], there: [{c}, {d}]}}" for (a, b), (c, d) in zip(here, there))
    for name in ("a", "b"):
        drawing_of(grainwise.folder / f"{name}.dxf", [[(0, 0), (100, 0), (100, 40), (0, 40)]])
    (grainwise.folder / "job.yaml").write_text(
        f"drawings:\n- a.dxf\n- file: b.dxf\n  stretch: {{continues: a.dxf, points: [{pairs}]}}\n"
    )
    stretch = grainwise.report("check", "job.yaml", code=1)["drawings"][1]["stretch"]
    assert stretch["map"] == pytest.approx(best.ravel().tolist(), abs=1e-9)
    left = np.hypot(*(np.c_[here, np.ones(7)] @ best - there).T)
    assert stretch["apart_mm"] == pytest.approx(left.tolist(), abs=1e-9)
