"""What comes off the machine, found with GEOS alone: the paths swept by the kerf, what is left, and how far that is from
the drawing."""

import re
from math import cos, hypot, pi, radians, sin

import ezdxf
import numpy
import pygcode
import shapely
import svgelements
from ezdxf import path as dxf_path
from shapely.affinity import affine_transform
from shapely.geometry import LineString, Point, Polygon, box
from shapely.ops import polygonize, unary_union

from geos import circle, flattened

STEP = 0.1  # mm between the places of a boundary that are looked at
CURVE = 1e-4  # mm: how finely the drawings' curves are flattened
ROUND = 64  # chords to a quarter turn where GEOS sweeps: 0.0001 mm short for a cutter of 1.5 mm


def faces(lines):
    """Every face that lines enclose, without what lies within it."""
    snapped = [LineString(numpy.round(numpy.asarray(line), 4)) for line in lines]
    return [Polygon(face.exterior) for face in polygonize(unary_union(snapped))]


def drawn_by_ezdxf(file, scale):
    """The faces of the layer PARTS, blocks inserted, in mm."""
    lines = []
    for entity in ezdxf.readfile(file).modelspace().query('*[layer=="PARTS"]'):
        for one in entity.virtual_entities() if entity.dxftype() == "INSERT" else [entity]:
            lines.append([(p.x * scale, p.y * scale) for p in dxf_path.make_path(one).flattening(CURVE / scale)])
    return faces(lines)


def drawn_by_svgelements(file):
    """The closed shapes of an SVG in mm, y upwards from the lower edge of the page."""
    page = svgelements.SVG.parse(file, ppi=25.4, reify=True)
    lines = []
    for shape in (e for e in page.elements() if isinstance(e, svgelements.Shape)):
        path = svgelements.Path(shape)
        if not any(isinstance(s, svgelements.Close) for s in path):
            continue
        points = []
        for segment in path:
            if isinstance(segment, svgelements.Move):
                continue
            many = 2 if isinstance(segment, (svgelements.Line, svgelements.Close)) else 1500
            points += [(p.x, page.height - p.y) for p in (segment.point(t) for t in numpy.linspace(0, 1, many))]
        lines.append([*points, points[0]])
    return faces(lines)


def material(drawn, at):
    """The part around a point in its material: the largest face around it less the faces that are not around it."""
    outer = max((f for f in drawn if f.contains(Point(at))), key=lambda f: f.area)
    holes = [f for f in drawn if f is not outer and outer.contains(f.representative_point()) and not f.contains(Point(at))]
    return outer.difference(unary_union(holes)) if holes else outer


def placed(shape, place):
    """A shape of the drawing where the report says it lies: mirrored about y, turned, shifted."""
    c, s = cos(radians(place["turn_deg"])), sin(radians(place["turn_deg"]))
    m = -1.0 if place["mirrored"] else 1.0
    return affine_transform(shape, [m * c, -s, m * s, c, place["x_mm"], place["y_mm"]])


def dxf_paths(file):
    """What a laser's DXF cuts: one line for each polyline and circle of its cut layers, open ones left open."""
    lines = []
    for entity in ezdxf.readfile(file).modelspace():
        if not entity.dxf.layer.startswith("cut"):
            continue
        if entity.dxftype() == "CIRCLE":
            points, closed = circle(entity.dxf.center.x, entity.dxf.center.y, entity.dxf.radius), True
        elif entity.dxftype() == "LWPOLYLINE":
            points, closed = flattened(list(entity.get_points("xyb")), entity.closed), entity.closed
        else:
            rows = [(v.dxf.location.x, v.dxf.location.y, v.dxf.bulge) for v in entity.vertices]
            points, closed = flattened(rows, entity.is_closed), entity.is_closed
        lines.append(LineString([*points, points[0]] if closed else points))
    return lines


def laser_kerf(folder, sheet):
    svg = next(f for f in sheet["files"] if f.endswith(".svg"))
    return float(re.search(r"kerf ([0-9.]+) mm", (folder / svg).read_text()).group(1))


def through_paths(file, thickness):
    """What a program cuts through the wood, as a general-purpose interpreter (pygcode, PyPI) runs it."""
    machine, runs = pygcode.Machine(), []
    through = lambda p: p["Z"] <= -thickness + 1e-9
    for text in file.read_text().splitlines():
        line = pygcode.Line("" if text.strip() == "%" else text)
        before = machine.pos.values
        machine.process_block(line.block)
        after = machine.pos.values
        start, end = (before["X"], before["Y"]), (after["X"], after["Y"])
        if not (through(before) and through(after)):
            runs.append([])
            continue
        if start == end:
            continue
        words = {w.letter: w.value for g in line.block.gcodes for w in g.params.values()}
        words |= {w.letter: w.value for w in line.block.modal_params}
        motion = int(machine.mode.motion.word.value)
        points = [start, end] if motion in (0, 1) else arc(start, end, words.get("I", 0.0), words.get("J", 0.0), motion == 3)
        runs[-1] += points if not runs[-1] else points[1:]
    return [LineString(run) for run in runs if run]


def arc(start, end, i, j, left):
    """Points along an arc in centre form, as bulges so that the same flattening serves."""
    cx, cy = start[0] + i, start[1] + j
    a0 = numpy.arctan2(start[1] - cy, start[0] - cx)
    sweep = (numpy.arctan2(end[1] - cy, end[0] - cx) - a0) % (2 * pi) or 2 * pi
    sweep = sweep if left else sweep - 2 * pi or -2 * pi
    halves = 2 if abs(sweep) > pi / 2 else 1
    bulge, r = numpy.tan(sweep / halves / 4), hypot(i, j)
    rows = [(cx + r * cos(a0 + sweep * k / halves), cy + r * sin(a0 + sweep * k / halves), bulge) for k in range(halves)]
    return [start, *flattened([*rows, (*end, 0.0)], closed=False)[1:]]


def swept(paths, kerf, around):
    """What the paths remove within a box."""
    near = [p for p in paths if p.intersects(around)]
    return unary_union([p.buffer(kerf / 2, quad_segs=ROUND) for p in near])


def piece_left(paths, kerf, part, at):
    """The piece that falls out around a point of the part's material; it has to be cut free."""
    x0, y0, x1, y1 = part.bounds
    around = box(x0 - 2 * kerf - 1, y0 - 2 * kerf - 1, x1 + 2 * kerf + 1, y1 + 2 * kerf + 1)
    left = around.difference(swept(paths, kerf, around))
    piece = next(p for p in getattr(left, "geoms", [left]) if p.contains(at))
    assert not piece.intersects(around.boundary), "not cut free"
    return piece


class Edge:
    """A boundary to measure to."""

    def __init__(self, shape):
        self.shape = shape
        shapely.prepare(shape)
        self.places = shapely.get_coordinates(shape.boundary.segmentize(STEP))
        rings = [shapely.get_coordinates(r) for r in shapely.get_parts(shape.boundary)]
        ends = numpy.concatenate([numpy.stack([r[:-1], r[1:]], axis=1) for r in rings])
        self.tree = shapely.STRtree(shapely.linestrings(ends))

    def worst(self, places, inside):
        """The farthest from this boundary among those places that lie inside it, or outside it."""
        chosen = places[shapely.contains_xy(self.shape, places[:, 0], places[:, 1]) == inside]
        if len(chosen) == 0:
            return 0.0
        _, distances = self.tree.query_nearest(shapely.points(chosen), return_distance=True, all_matches=False)
        return float(distances.max())


WIDER = 0.05  # mm: how much wider than the cutter's radius a bay is (post/tables/README.md)
SQUARE = 0.9995  # sine of the turn at a square corner, within two degrees


def square_corners(part):
    """Inside corners that are square: the place, and the directions of the sides before and after it."""
    part = shapely.geometry.polygon.orient(part)  # the material on the left of every ring
    for ring in [part.exterior, *part.interiors]:
        places = shapely.get_coordinates(ring)[:-1]
        for a, b, c in zip(numpy.roll(places, 1, axis=0), places, numpy.roll(places, -1, axis=0)):
            u, v = (b - a) / hypot(*(b - a)), (c - b) / hypot(*(c - b))
            if u[0] * v[1] - u[1] * v[0] < -SQUARE and min(hypot(*(b - a)), hypot(*(c - b))) > 1:
                yield b, u, v


def relieved(part, piece, kerf):
    """The part with a bay at each square inside corner where the piece has one, and how many it has: a disc through the
    corner, its middle on the bisector, or on one of the sides."""
    radius, bays = kerf / 2 + WIDER, []
    for at, u, v in square_corners(part):
        for middle in (at + radius * (v - u) / 2**0.5, at - radius * u, at + radius * v):
            disc = Point(middle).buffer(radius, quad_segs=ROUND)
            if piece.intersection(disc.buffer(-ALL_BUT)).area < 1e-3:
                bays.append(disc)
                break
    return (part.difference(unary_union(bays)) if bays else part), len(bays)


ALL_BUT = 0.01  # mm: a bay is there when so little of its rim is left


def errors(part, piece, kerf):
    """Deepest gouge, largest excess, and largest excess with the inside corners counted that a round beam or cutter of
    the kerf's radius cannot reach: distances both ways between the boundaries of a piece and of its part."""
    reached = part.buffer(kerf / 2, quad_segs=ROUND).buffer(-kerf / 2, quad_segs=ROUND)
    true, open_, cut = Edge(part), Edge(reached), Edge(piece)
    gouge = max(true.worst(cut.places, True), cut.worst(true.places, False))
    excess = max(open_.worst(cut.places, False), cut.worst(open_.places, True))
    with_corners = max(true.worst(cut.places, False), cut.worst(true.places, True))
    return gouge, excess, with_corners
