"""DXF polylines as polygons of GEOS (through shapely), arcs flattened finely enough not to matter."""

from math import atan, ceil, acos, cos, hypot, pi, sin

from shapely.geometry import Polygon

SAGITTA = 2e-5  # mm: how far a flattened arc may lie inside the true one


def flattened(vertices, closed=True):
    """Points along (x, y, bulge) vertices. Bulge: tangent of a quarter of the included angle (DXF reference)."""
    points = []
    count = len(vertices) if closed else len(vertices) - 1
    for i in range(count):
        (x0, y0, bulge), (x1, y1, _) = vertices[i], vertices[(i + 1) % len(vertices)]
        points.append((x0, y0))
        if abs(bulge) < 1e-9:
            continue
        chord = hypot(x1 - x0, y1 - y0)
        radius = chord * (1 + bulge * bulge) / (4 * abs(bulge))
        sweep = 4 * atan(bulge)
        rise = (1 - bulge * bulge) / (4 * bulge)
        cx, cy = (x0 + x1) / 2 - (y1 - y0) * rise, (y0 + y1) / 2 + (x1 - x0) * rise
        steps = max(2, ceil(abs(sweep) / (2 * acos(max(-1.0, 1 - SAGITTA / max(radius, SAGITTA))))))
        for k in range(1, steps):
            a = sweep * k / steps
            dx, dy = x0 - cx, y0 - cy
            points.append((cx + dx * cos(a) - dy * sin(a), cy + dx * sin(a) + dy * cos(a)))
    if not closed:
        points.append(vertices[-1][:2])
    return points


def circle(x, y, r):
    steps = ceil(pi / acos(1 - SAGITTA / r))
    return [(x + r * cos(2 * pi * k / steps), y + r * sin(2 * pi * k / steps)) for k in range(steps)]


def outlines_of(space, layer=None):
    """Every closed polyline and circle of an ezdxf layout as a polygon: [(layer, polygon)]."""
    found = []
    for entity in space:
        if layer and entity.dxf.layer != layer:
            continue
        kind = entity.dxftype()
        if kind == "LWPOLYLINE" and entity.closed:
            found.append((entity.dxf.layer, Polygon(flattened(list(entity.get_points("xyb"))))))
        elif kind == "POLYLINE" and entity.is_closed:
            rows = [(v.dxf.location.x, v.dxf.location.y, v.dxf.bulge) for v in entity.vertices]
            found.append((entity.dxf.layer, Polygon(flattened(rows))))
        elif kind == "CIRCLE":
            found.append((entity.dxf.layer, Polygon(circle(entity.dxf.center.x, entity.dxf.center.y, entity.dxf.radius))))
    return found
