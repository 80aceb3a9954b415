"""The Fenwren's ribs without Grainwise: the section's equation, and GEOS for what is cut into it.

Section: NACA 4-digit family (Jacobs, Ward, Pinkerton, NACA Report 460, 1933; Abbott and von Doenhoff).
"""

from math import atan, cos, floor, sin, sqrt

from shapely.affinity import translate
from shapely.geometry import LineString, Point, Polygon, box
from shapely.ops import unary_union

ROOT_CHORD, TIP_CHORD = 180.0, 112.0
RIBS = 11
STRAIGHT = 0.30  # this fraction of the chord is square to the ribs, and there the spars are
LEADING_EDGE, TRAILING_EDGE = 6.0, 22.0  # the rib is cut square here for the edges' stock
SPAR_WIDTH, SPAR_DEPTH = 5.0, 3.0
WEB = 4.0  # wood left around a lightening hole
APART = 8.0  # ribs lie below each other, so far apart


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

    def curve(self, x0, x1, upper, count):
        """Points of the surface from x0 to x1, closer together where the section curves more."""
        s0, s1 = (self.station(x, upper) for x in (x0, x1))
        return [self.point((sqrt(s0) + (sqrt(s1) - sqrt(s0)) * i / (count - 1)) ** 2, upper) for i in range(count)]


def ribs(count=1500):
    """Every rib by name, each surface in `count` points, where it lies in the set's drawing: x back along the chord from the
    root's nose, each below the one before, its chord at a whole millimetre."""
    found, top = {}, 0.0
    for number in range(1, RIBS + 1):
        shape = rib(ROOT_CHORD + (TIP_CHORD - ROOT_CHORD) * (number - 1) / (RIBS - 1), count)
        x0, y0, _, y1 = shape.bounds
        down = floor(top - y1)
        found[f"R{number}"] = translate(shape, 0.0, down)
        top = down + y0 - APART
    return found


def rib(chord, count):
    section = Section(chord, 0.02, 0.4, 0.12)
    nose = STRAIGHT * (ROOT_CHORD - chord)
    front, back = LEADING_EDGE, chord - TRAILING_EDGE
    whole = Polygon(section.curve(front, back, False, count) + section.curve(front, back, True, count)[::-1])
    spar = STRAIGHT * chord
    x0, x1 = spar - SPAR_WIDTH / 2, spar + SPAR_WIDTH / 2
    high = min(section.surface(x, True) for x in (x0, x1)) - SPAR_DEPTH
    low = max(section.surface(x, False) for x in (x0, x1)) + SPAR_DEPTH
    wood = whole.difference(unary_union([box(x0, high, x1, 100.0), box(x0, -100.0, x1, low)]))
    hole = round_hole(wood, Point(0.17 * chord, middle(section, 0.17 * chord)), 3.0)
    wood = wood.difference(hole) if hole else wood
    hole = long_hole(wood, section, 0.44 * chord, 0.62 * chord, 2.0)
    wood = wood.difference(hole) if hole else wood
    return translate(wood, nose, 0.0)


def middle(section, x):
    return (section.surface(x, True) + section.surface(x, False)) / 2


def round_hole(wood, at, least):
    radius = at.distance(wood.boundary) - WEB
    return at.buffer(radius, quad_segs=512) if radius >= least else None


def long_hole(wood, section, x0, x1, least):
    """The widest slot between x0 and x1, its ends on the mean line, by halving."""
    axis = lambda r: LineString([(x, middle(section, x)) for x in (x0 + r, x1 - r)])
    fits = lambda r: x0 + r < x1 - r and axis(r).distance(wood.boundary) >= r + WEB
    if not fits(least):
        return None
    low, high = least, x1 - x0
    for _ in range(40):
        r = (low + high) / 2
        low, high = (r, high) if fits(r) else (low, r)
    return axis(low).buffer(low, quad_segs=512)
