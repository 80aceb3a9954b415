"""Small geometry for the Fenwren's drawings: chains of lines, arcs, Béziers and splines, in millimetres."""

from dataclasses import dataclass, field
from math import atan2, cos, hypot, pi, radians, sin, tan


@dataclass
class Piece:
    """One part as it is drawn: outlines, a name, a grain arrow. `outer` and each hole is a list of edges:
    ("line", p, q), ("arc", p, q, bulge), ("bezier", p, a, b, q), ("spline", [points]), or ("circle", centre, radius)."""

    name: str
    outer: list
    holes: list = field(default_factory=list)
    text: tuple = (0.0, 0.0)
    text_height: float = 4.0
    grain: tuple = ((0.0, 0.0), (1.0, 0.0))
    scores: list = field(default_factory=list)

    def moved(self, dx, dy):
        shift = lambda p: (p[0] + dx, p[1] + dy)
        return Piece(
            self.name,
            [edge_mapped(e, shift) for e in self.outer],
            [[edge_mapped(e, shift) for e in hole] for hole in self.holes],
            shift(self.text),
            self.text_height,
            tuple(shift(p) for p in self.grain),
            [tuple(shift(p) for p in line) for line in self.scores],
        )


def edge_mapped(edge, f):
    kind = edge[0]
    if kind == "circle":
        return (kind, f(edge[1]), edge[2])
    if kind == "spline":
        return (kind, [f(p) for p in edge[1]])
    if kind == "arc":
        return (kind, f(edge[1]), f(edge[2]), edge[3])
    return (kind, *[f(p) for p in edge[1:]])


def polygon(points):
    """Straight edges around the points."""
    return [("line", p, q) for p, q in zip(points, points[1:] + points[:1])]


def rounded(points, radius):
    """A polygon whose corners are rounded, as lines and arcs; `radius` may be one number or one for each corner."""
    n = len(points)
    radii = radius if isinstance(radius, list) else [radius] * n
    cut = []
    for i, (x, y) in enumerate(points):
        (ax, ay), (bx, by) = points[i - 1], points[(i + 1) % n]
        turn = angle_between((x - ax, y - ay), (bx - x, by - y))
        back = radii[i] * tan(abs(turn) / 2)
        cut.append((along((x, y), (ax, ay), back), along((x, y), (bx, by), back), tan(turn / 4)))
    edges = []
    for i, (start, end, bulge) in enumerate(cut):
        if radii[i] > 0:
            edges.append(("arc", start, end, bulge))
        edges.append(("line", end, cut[(i + 1) % n][0]))
    return edges


def slot(x0, x1, y, height):
    """A slot with round ends along x, from x0 to x1, about y."""
    r = height / 2
    a, b, c, d = (x0 + r, y - r), (x1 - r, y - r), (x1 - r, y + r), (x0 + r, y + r)
    return [("line", a, b), ("arc", b, c, 1.0), ("line", c, d), ("arc", d, a, 1.0)]


def rectangle(x0, y0, x1, y1):
    return polygon([(x0, y0), (x1, y0), (x1, y1), (x0, y1)])


def tangent_arcs(points, direction):
    """Arcs through the points, each leaving in the direction in which the one before arrives: the fair curve of someone
    who draws with a compass. `direction` is the angle of the first, in degrees."""
    edges, heading = [], radians(direction)
    for p, q in zip(points, points[1:]):
        chord = atan2(q[1] - p[1], q[0] - p[0])
        half = (chord - heading + pi) % (2 * pi) - pi
        edges.append(("arc", p, q, tan(half / 2)))
        heading = chord + half
    return edges


def split_bezier(curve, t):
    """De Casteljau: the two halves of a cubic Bézier at t."""
    p, a, b, q = curve
    mix = lambda u, v: (u[0] + (v[0] - u[0]) * t, u[1] + (v[1] - u[1]) * t)
    pa, ab, bq = mix(p, a), mix(a, b), mix(b, q)
    pab, abq = mix(pa, ab), mix(ab, bq)
    middle = mix(pab, abq)
    return (p, pa, pab, middle), (middle, abq, bq, q)


def bezier_between(curve, t0, t1):
    """The piece of a cubic Bézier from t0 to t1."""
    left, _ = split_bezier(curve, t1)
    return split_bezier(left, t0 / t1)[1] if t0 > 0 else left


def along(p, q, distance):
    length = hypot(q[0] - p[0], q[1] - p[1])
    return (p[0] + (q[0] - p[0]) * distance / length, p[1] + (q[1] - p[1]) * distance / length)


def angle_between(u, v):
    return atan2(u[0] * v[1] - u[1] * v[0], u[0] * v[0] + u[1] * v[1])


def turned(p, degrees):
    a = radians(degrees)
    return (p[0] * cos(a) - p[1] * sin(a), p[0] * sin(a) + p[1] * cos(a))
