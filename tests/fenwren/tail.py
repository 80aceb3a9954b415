"""The Fenwren's tail: fin and rudder of seven pieces under one sweeping curve, tailplane with two elevators."""

from shapes import Piece, bezier_between, polygon, rectangle, rounded, slot

# The sweep of fin and rudder in one cubic Bézier, from the foot of the leading edge over the top to the rudder's tail.
SWEEP = ((0.0, 0.0), (52.0, 36.0), (60.0, 236.0), (176.0, 96.0))
HINGE = 112.0  # the rudder's hinge line


def on_sweep(t):
    return bezier_between(SWEEP, 0.0, t)[3]


def where_x(x):
    """The parameter at which the sweep passes x, by halving (x grows along it)."""
    low, high = 0.0, 1.0
    for _ in range(60):
        middle = (low + high) / 2
        low, high = (middle, high) if on_sweep(middle)[0] < x else (low, middle)
    return (low + high) / 2


def where_y(y):
    """The parameter at which the rising part of the sweep passes y."""
    low, high = 0.0, 0.5
    for _ in range(60):
        middle = (low + high) / 2
        low, high = (middle, high) if on_sweep(middle)[1] < y else (low, middle)
    return (low + high) / 2


def sweep(t0, t1):
    return ("bezier", *bezier_between(SWEEP, t0, t1))


def back(edge):
    return (edge[0], *edge[:0:-1])


def fin_and_rudder():
    """Seven pieces; the grain of neighbours is crossed, so that none of them can warp."""
    rear = HINGE + 14.0
    t_root, t_band, t_hinge, t_rear, t_seam = where_y(22.0), where_y(100.0), where_x(HINGE), where_x(rear), 1.0
    root, band, top, over, tail = on_sweep(t_root), on_sweep(t_band), on_sweep(t_hinge), on_sweep(t_rear), SWEEP[3]
    line = lambda p, q: ("line", p, q)
    inner = (root[0] + 26.0, 22.0)
    upper = (band[0] + 20.0, 100.0)
    seam, foot = 60.0, (160.0, 18.0)
    edge = (foot[0] + (tail[0] - foot[0]) * (seam - foot[1]) / (tail[1] - foot[1]), seam)
    pieces = [
        # root of the fin, grain along the fuselage
        Piece("V1", [line((0.0, 0.0), (HINGE, 0.0)), line((HINGE, 0.0), (HINGE, 22.0)), line((HINGE, 22.0), root), back(sweep(0.0, t_root))],
              [], (50.0, 8.0), 6.0, ((66.0, 6.0), (96.0, 6.0))),
        # leading edge, grain along it
        Piece("V2", [line(root, inner), line(inner, upper), line(upper, band), back(sweep(t_root, t_band))],
              [], ((root[0] + band[0]) / 2 + 10.0, 50.0), 4.5, ((root[0] + 15.0, 30.0), (band[0] + 8.0, 94.0))),
        # panel, grain upright along the hinge
        Piece("V3", [line(inner, (HINGE, 22.0)), line((HINGE, 22.0), (HINGE, 100.0)), line((HINGE, 100.0), upper), line(upper, inner)],
              [rounded([(66.0, 34.0), (94.0, 34.0), (94.0, 76.0), (74.0, 76.0)], 5.0)], (78.0, 84.0), 6.0, ((103.0, 40.0), (103.0, 80.0))),
        # head of the fin, grain along the fuselage again
        Piece("V4", [line(band, (HINGE, 100.0)), line((HINGE, 100.0), top), back(sweep(t_band, t_hinge))],
              [], (78.0, 110.0), 6.0, ((70.0, 105.0), (100.0, 105.0))),
        # spar of the rudder, grain upright
        Piece("V5", [line((HINGE, -14.0), (rear, -8.0)), line((rear, -8.0), over), back(sweep(t_hinge, t_rear)), line(top, (HINGE, -14.0))],
              [slot(HINGE + 3.0, HINGE + 11.0, 12.0, 3.2)], (HINGE + 3.5, 30.0), 5.0, ((HINGE + 7.0, 40.0), (HINGE + 7.0, 90.0))),
        # lower blade of the rudder, grain along the fuselage
        Piece("V6", [line((rear, -8.0), foot), line(foot, edge), line(edge, (rear, seam)), line((rear, seam), (rear, -8.0))],
              [rounded([(134.0, 14.0), (152.0, 24.0), (156.0, 48.0), (134.0, 48.0)], 5.0)], (129.0, 51.5), 5.0, ((144.0, 54.0), (160.0, 54.0))),
        # upper blade, grain along the fuselage
        Piece("V7", [line((rear, seam), edge), line(edge, tail), back(sweep(t_rear, t_seam)), line(over, (rear, seam))],
              [rounded([(134.0, 68.0), (160.0, 68.0), (160.0, 88.0), (134.0, 100.0)], 5.0)], (130.0, 106.0), 5.0, ((138.0, 62.8), (158.0, 62.8))),
    ]
    apart = {"V1": (0, -6), "V2": (-6, 0), "V3": (0, 0), "V4": (0, 6), "V5": (6, 0), "V6": (12, 0), "V7": (12, 6)}
    return [piece.moved(*apart[piece.name]) for piece in pieces]


def tailplane():
    """One half of the tailplane as it is drawn; the other half is its mirror image."""
    centre = Piece("T1", polygon([(0.0, 0.0), (78.0, 0.0), (78.0, 60.0), (0.0, 60.0)]), [rectangle(36.5, 6.0, 41.5, 54.0)],
                   (48.0, 26.0), 8.0, ((16.0, 48.0), (16.0, 12.0)))
    leading = Piece("T2", [("bezier", (82.0, 0.0), (130.0, 2.0), (176.0, 8.0), (206.0, 22.0)), ("line", (206.0, 22.0), (198.0, 34.0)),
                           ("line", (198.0, 34.0), (82.0, 16.0)), ("line", (82.0, 16.0), (82.0, 0.0))],
                    [], (92.0, 5.0), 5.0, ((116.0, 10.0), (168.0, 17.0)))
    panel = Piece("T3", [("line", (82.0, 20.0), (197.0, 37.8)), ("line", (197.0, 37.8), (190.0, 60.0)), ("line", (190.0, 60.0), (82.0, 60.0)),
                         ("line", (82.0, 60.0), (82.0, 20.0))],
                  [rounded([(92.0, 30.0), (132.0, 36.0), (132.0, 52.0), (92.0, 52.0)], 4.0), rounded([(140.0, 38.0), (178.0, 43.5), (174.0, 52.0), (140.0, 52.0)], 4.0)],
                  (108.0, 54.5), 4.0, ((134.0, 56.0), (176.0, 56.0)))
    elevator = Piece("EL", [("line", (40.0, 66.0), (188.0, 66.0)), ("bezier", (188.0, 66.0), (192.0, 80.0), (176.0, 92.0), (150.0, 94.0)),
                            ("bezier", (150.0, 94.0), (112.0, 97.0), (72.0, 98.0), (46.0, 98.0)), ("line", (46.0, 98.0), (40.0, 90.0)), ("line", (40.0, 90.0), (40.0, 66.0))],
                     [], (60.0, 76.0), 7.0, ((94.0, 80.0), (150.0, 80.0)))
    tip = Piece("T4", [("line", (210.0, 24.0), (202.0, 36.0)), ("line", (202.0, 36.0), (194.0, 60.0)), ("line", (194.0, 60.0), (216.0, 60.0)),
                       ("bezier", (216.0, 60.0), (226.0, 48.0), (224.0, 32.0), (210.0, 24.0))],
                [], (209.5, 46.0), 4.0, ((202.0, 56.0), (208.0, 38.0)))
    return [centre, leading, panel, elevator, tip]


def horn():
    """A control horn of light ply, with three holes for the clevis."""
    outer = [("line", (0.0, 0.0), (20.0, 0.0)), ("line", (20.0, 0.0), (12.0, 24.0)), ("arc", (12.0, 24.0), (6.0, 24.0), 1.0), ("line", (6.0, 24.0), (0.0, 0.0))]
    return Piece("CH", outer, [[("circle", (9.0, y), 0.8)] for y in (15.0, 19.5, 24.0)], (6.0, 4.0), 4.0, ((8.5, 8.5), (8.5, 12.5)))


def pricked(piece):
    return piece.name in ("V1", "V2", "V3", "V4")


def pieces():
    """What is drawn of the tail, laid out as on the plan."""
    rudder = [p for p in fin_and_rudder() if not pricked(p)]
    return rudder + [p.moved(220.0, 0.0) for p in tailplane()] + [horn().moved(250.0, 120.0)]


def undrawn():
    """What the jobs make from pricks and measurements: drawn only to hold those against."""
    return [p for p in fin_and_rudder() if pricked(p)]
