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
    post = HINGE - 16.0
    t_root, t_band, t_post, t_hinge = where_y(22.0), where_y(100.0), where_x(post), where_x(HINGE)
    rear = HINGE + 14.0
    t_rear = where_x(rear)
    root, band, head = on_sweep(t_root), on_sweep(t_band), on_sweep(t_post)
    top, over, tail = on_sweep(t_hinge), on_sweep(t_rear), SWEEP[3]
    line = lambda p, q: ("line", p, q)
    inner = (root[0] + 26.0, 22.0)
    upper = (band[0] + 20.0, 100.0)
    pieces = [
        # root of the fin, grain along the fuselage
        Piece("V1", [line((0.0, 0.0), (post, 0.0)), line((post, 0.0), (post, 22.0)), line((post, 22.0), root), back(sweep(0.0, t_root))],
              [], (50.0, 8.0), 6.0, ((66.0, 6.0), (88.0, 6.0))),
        # leading edge, grain along it
        Piece("V2", [line(root, inner), line(inner, upper), line(upper, band), back(sweep(t_root, t_band))],
              [], ((root[0] + band[0]) / 2 + 12.0, 52.0), 5.0, ((root[0] + 15.0, 30.0), (band[0] + 8.0, 94.0))),
        # panel, grain upright
        Piece("V3", [line(inner, (post, 22.0)), line((post, 22.0), (post, 100.0)), line((post, 100.0), upper), line(upper, inner)],
              [rounded([(66.0, 34.0), (88.0, 34.0), (88.0, 70.0), (74.0, 70.0)], 5.0)], (73.5, 80.0), 5.0, ((92.0, 40.0), (91.5, 80.0))),
        # head of the fin, grain along the fuselage again
        Piece("V4", [line(band, (post, 100.0)), line((post, 100.0), head), back(sweep(t_band, t_post))],
              [], (74.0, 108.0), 6.0, ((68.0, 104.0), (90.0, 104.0))),
        # hinge post of the fin, grain upright
        Piece("V5", [line((post, -14.0), (HINGE, -14.0)), line((HINGE, -14.0), top), back(sweep(t_post, t_hinge)), line(head, (post, -14.0))],
              [slot(post + 4.0, post + 12.0, 40.0, 3.2)], (post + 4.0, 60.0), 5.0, ((post + 8.0, 70.0), (post + 8.0, 110.0))),
        # spar of the rudder, grain upright
        Piece("V6", [line((HINGE, -14.0), (rear, -8.0)), line((rear, -8.0), over), back(sweep(t_hinge, t_rear)), line(top, (HINGE, -14.0))],
              [], (HINGE + 3.5, 30.0), 5.0, ((HINGE + 7.0, 40.0), (HINGE + 7.0, 90.0))),
        # blade of the rudder, grain along the fuselage
        Piece("V7", [line((rear, -8.0), (160.0, 18.0)), line((160.0, 18.0), tail), back(sweep(t_rear, 1.0)), line(over, (rear, -8.0))],
              [rounded([(134.0, 30.0), (152.0, 38.0), (158.0, 80.0), (134.0, 90.0)], 6.0)], (136.0, 12.0), 6.0, ((132.0, 100.0), (156.0, 100.0))),
    ]
    apart = {"V1": (0, -6), "V2": (-6, 0), "V3": (0, 0), "V4": (0, 6), "V5": (6, 0), "V6": (12, 0), "V7": (18, 0)}
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
                  (108.0, 54.0), 4.0, ((86.5, 26.0), (86.5, 54.0)))
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


def pieces():
    """Every piece of the tail, laid out as on the plan."""
    return fin_and_rudder() + [p.moved(220.0, 0.0) for p in tailplane()] + [horn().moved(250.0, 120.0)]
