"""The Fenwren's wing: eleven ribs from NACA four-digit sections, tips, gussets and dihedral braces.

Section: NACA 4-digit family (Jacobs, Ward, Pinkerton, NACA Report 460, 1933; Abbott and von Doenhoff).
"""

from math import atan, cos, sin, sqrt

from shapes import Piece, polygon, rectangle, rounded, slot

ROOT_CHORD, TIP_CHORD = 180.0, 112.0
RIBS = 11
LEADING_EDGE = 6.0  # the rib is cut square here for a strip of balsa
TRAILING_EDGE = 22.0  # and here, for trailing edge stock
SPAR_WIDTH, SPAR_DEPTH = 5.0, 3.0
WEB = 4.0  # wood left around a lightening hole


class Section:
    """A cambered NACA four-digit section of one chord, in millimetres."""

    def __init__(self, chord, camber, place, thickness):
        self.chord, self.m, self.p, self.t = chord, camber, place, thickness

    def point(self, x, upper):
        """The surface point that belongs to station x (0 to 1) of the mean line."""
        yt = 5 * self.t * (0.2969 * sqrt(x) - 0.1260 * x - 0.3516 * x**2 + 0.2843 * x**3 - 0.1015 * x**4)
        if x < self.p:
            yc = self.m / self.p**2 * (2 * self.p * x - x * x)
            slope = 2 * self.m / self.p**2 * (self.p - x)
        else:
            yc = self.m / (1 - self.p) ** 2 * ((1 - 2 * self.p) + 2 * self.p * x - x * x)
            slope = 2 * self.m / (1 - self.p) ** 2 * (self.p - x)
        theta, side = atan(slope), 1 if upper else -1
        return ((x - side * yt * sin(theta)) * self.chord, (yc + side * yt * cos(theta)) * self.chord)

    def station(self, wanted, upper):
        """The station whose surface point lies at x = `wanted` millimetres, by halving."""
        low, high = 0.0005, 1.0
        for _ in range(80):
            middle = (low + high) / 2
            low, high = (middle, high) if self.point(middle, upper)[0] < wanted else (low, middle)
        return (low + high) / 2

    def surface(self, x, upper):
        return self.point(self.station(x, upper), upper)[1]

    def curve(self, x0, x1, upper, count=13):
        """Points of the surface from x0 to x1, closer together where the section curves more."""
        s0, s1 = (self.station(x, upper) for x in (x0, x1))
        return [self.point((sqrt(s0) + (sqrt(s1) - sqrt(s0)) * i / (count - 1)) ** 2, upper) for i in range(count)]


def rib(number):
    """Rib `number`, 1 at the root to 11 at the tip."""
    f = (number - 1) / (RIBS - 1)
    chord = ROOT_CHORD + (TIP_CHORD - ROOT_CHORD) * f
    section = Section(chord, 0.02, 0.4, 0.12)
    front, back = LEADING_EDGE, chord - TRAILING_EDGE
    spar0 = 0.30 * chord - SPAR_WIDTH / 2
    spar1 = spar0 + SPAR_WIDTH
    upper = [section.curve(front, spar0, True), section.curve(spar1, back, True)]
    lower = [section.curve(front, spar0, False), section.curve(spar1, back, False)]
    outer = [("spline", lower[0])]
    outer += notch(lower[0][-1], lower[1][0], SPAR_DEPTH)
    outer += [("spline", lower[1]), ("line", lower[1][-1], upper[1][-1]), ("spline", upper[1][::-1])]
    outer += notch(upper[1][0], upper[0][-1], -SPAR_DEPTH)
    outer += [("spline", upper[0][::-1]), ("line", upper[0][0], lower[0][0])]
    return Piece(
        f"R{number}",
        outer,
        lightening(section, chord),
        text=(0.70 * chord, middle(section, 0.70 * chord) - 1.4),
        text_height=2.8,
        grain=((0.345 * chord, middle(section, 0.38 * chord)), (0.415 * chord, middle(section, 0.38 * chord))),
    )


def notch(p, q, depth):
    """A square notch from p to q: straight walls along y, the floor level, `depth` above the higher of the two ends (below
    the lower one where it is negative)."""
    floor = max(p[1], q[1]) + depth if depth > 0 else min(p[1], q[1]) + depth
    a, b = (p[0], floor), (q[0], floor)
    return [("line", p, a), ("line", a, b), ("line", b, q)]


def middle(section, x):
    return (section.surface(x, True) + section.surface(x, False)) / 2


def depth(section, x0, x1):
    """The least height of the section between x0 and x1, about its middle at both."""
    return min(section.surface(x, True) - section.surface(x, False) for x in (x0, x1))


def lightening(section, chord):
    """A round hole ahead of the spar and a long one behind it, where enough wood stays around them."""
    holes = []
    x = 0.17 * chord
    radius = depth(section, x - 0.03 * chord, x + 0.03 * chord) / 2 - WEB
    if radius >= 3.0:
        holes.append([("circle", (x, middle(section, x)), radius)])
    x0, x1 = 0.44 * chord, 0.62 * chord
    height = depth(section, x0, x1) - 2 * WEB
    if height >= 4.0:
        holes.append(slot(x0, x1, middle(section, (x0 + x1) / 2), height))
    return holes


def tip():
    """The wing tip: a straight root of the last rib's length and one sweeping curve."""
    back = TIP_CHORD - TRAILING_EDGE
    curve = [("bezier", (back, 0.0), (back + 18.0, 26.0), (62.0, 46.0), (34.0, 42.0)),
             ("bezier", (34.0, 42.0), (13.0, 39.0), (0.0, 22.0), (0.0, 0.0))]
    hole = rounded([(22.0, 9.0), (66.0, 9.0), (50.0, 28.0), (30.0, 28.0)], 5.0)
    return Piece("TIP", [("line", (0.0, 0.0), (back, 0.0))] + curve, [hole], (36.0, 3.0), 4.0, ((74.0, 4.0), (90.0, 4.0)))


def gusset():
    """A corner gusset between rib and trailing edge."""
    return Piece("WG", polygon([(0.0, 0.0), (16.0, 0.0), (0.0, 16.0)]), [], (1.6, 3.4), 3.0, ((3.0, 10.5), (10.5, 3.0)))


def brace(name, length, rise):
    """A dihedral brace between the spars: two arms that rise from the middle."""
    h = 9.0
    outer = polygon([(0.0, 0.0), (length, rise), (length, rise + h), (0.0, h), (-length, rise + h), (-length, rise)])
    return Piece(name, outer, [[("circle", (0.0, h / 2), 1.6)]], (8.0, 3.2), 3.5, ((-24.0, h / 2 + rise * 24 / length), (-12.0, h / 2 + rise * 12 / length)))


def servo_plate():
    """The plate that carries an aileron servo: a rectangular window and four screw holes."""
    holes = [rectangle(14.0, 6.0, 37.0, 18.5)]
    holes += [[("circle", (x, y), 0.9)] for x in (11.0, 40.0) for y in (9.0, 15.5)]
    return Piece("SP", rounded([(0.0, 0.0), (52.0, 0.0), (52.0, 24.0), (0.0, 24.0)], 3.0), holes, (42.0, 3.0), 3.0, ((3.5, 6.0), (3.5, 18.0)))


def jig():
    """A washout jig: sits under the tip panel while it is glued."""
    return Piece("WJ", [("line", (0.0, 0.0), (84.0, 0.0)), ("line", (84.0, 0.0), (84.0, 9.0)),
                        ("arc", (84.0, 9.0), (0.0, 6.0), 0.06), ("line", (0.0, 6.0), (0.0, 0.0))],
                 [], (40.0, 2.4), 3.0, ((12.0, 4.0), (30.0, 4.0)))


def pieces():
    """Every piece of the wing, laid out as on the plan."""
    laid = [rib(n).moved(0.0, -32.0 * (n - 1)) for n in range(1, RIBS + 1)]
    laid += [tip().moved(230.0, -20.0), gusset().moved(340.0, -20.0), brace("DB1", 62.0, 6.0).moved(300.0, -60.0),
             brace("DB2", 40.0, 3.9).moved(300.0, -95.0), servo_plate().moved(232.0, -140.0), jig().moved(232.0, -175.0)]
    return laid
