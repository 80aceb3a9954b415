"""The words that the proof reads in a program, against those that a general-purpose parser (pygcode, PyPI) finds in it: both
have to lead the same way, whatever the spelling."""

from math import hypot
from random import Random

import pygcode
import pytest

PROGRAMS = 60
LINES = 40


def number(random, value):
    """A number in one of the spellings that RS-274/NGC allows (3.3.2.1): leading zeros, a bare point."""
    text = f"{abs(value):.{random.choice([0, 1, 3])}f}"
    if random.random() < 0.3:
        text = "0" * random.randint(1, 3) + text
    if text.startswith("0.") and random.random() < 0.5:
        text = text[1:]
    # The parser knows neither a plus sign nor a point with nothing after it; the Rust tests have them.
    return "-" + text if value < 0 else text


def program(random):
    """Straight cuts at one depth, each line spelt in its own way."""
    lines = ["G21 G90 G17 G94", "M3 S9000", "G0 Z5", "G0 X0 Y0", "G1 Z-1 F200"]
    for n in range(LINES):
        words = [f"{axis}{number(random, random.uniform(-90, 90))}" for axis in random.sample("XY", random.randint(1, 2))]
        if random.random() < 0.3:
            words.insert(0, random.choice(["G1", "G01", "g1"]))
        if random.random() < 0.2:
            words.append(f"F{random.randint(100, 900)}")
        line = random.choice(["", " "]).join(words)
        if random.random() < 0.3:
            line = f"N{10 * n + 10} {line}"
        if random.random() < 0.3:
            line += f" (move {n}, X1 Y2)"
        lines.append(line.lower() if random.random() < 0.3 else line)
    return lines + ["G0 Z5", "M5", "M2"]


def by_pygcode(lines):
    """Length cut and bounds of all that is touched, by the words that pygcode finds."""
    at, motion, length, touched = {"X": None, "Y": None, "Z": None}, None, 0.0, []
    for text in lines:
        before = dict(at)
        for word in pygcode.Line(text.upper()).block.words:
            if word.letter == "G" and word.value in (0, 1):
                motion = word.value
            elif word.letter in at:
                at[word.letter] = float(word.value)
        if None not in (at["X"], at["Y"]):
            touched.append((at["X"], at["Y"]))
        if None not in before.values() and (motion == 1 or before["Z"] < 0):
            # What lies below the face of the wood counts: down from there, along, and up again.
            drop = max(0.0, -at["Z"]) - max(0.0, -before["Z"])
            length += hypot(at["X"] - before["X"], at["Y"] - before["Y"], drop)
    return length, [min(p[0] for p in touched), min(p[1] for p in touched), max(p[0] for p in touched), max(p[1] for p in touched)]


def test_words_agree_with_a_general_purpose_parser(grainwise):
    random = Random(20261125)
    for n in range(PROGRAMS):
        lines = program(random)
        file = grainwise.folder / f"{n}.nc"
        file.write_text("\n".join(lines) + "\n")
        proved = grainwise.report("prove", file)["proof"]["files"][0]
        length, bounds = by_pygcode(lines)
        assert proved["cut_length_mm"] == pytest.approx(length, abs=1e-3), file.read_text()
        assert proved["bounds_mm"] == pytest.approx(bounds, abs=1e-6), file.read_text()
        assert proved["lowest_mm"] == -1.0
