"""The Fenwren's fuselage: two sides with doublers, five formers, and what lies between them."""

from shapes import Piece, polygon, rectangle, rounded, slot, tangent_arcs

PLY = 3.0  # light ply, the formers' thickness
SLOT_PLAY = 0.1
TAB = 12.0  # height of a former's tab in the side
SIDE = 3.0  # balsa, the sides' thickness

# Station from the nose, bottom and top of the side there, and the width between the sides.
STATIONS = [("F1", 20.0, -17.0, 21.0, 40.0), ("F2", 92.0, -27.0, 27.0, 52.0), ("F3", 142.0, -29.5, 26.0, 54.0),
            ("F4", 282.0, -24.0, 26.0, 46.0), ("F5", 404.0, -9.0, 24.0, 30.0)]


def side():
    """A side: fair bottom of arcs, straight top with the wing's seat as one arc, slots for the formers' tabs."""
    bottom = tangent_arcs([(0.0, -10.0), (60.0, -24.5), (150.0, -29.5), (290.0, -23.5), (430.0, -5.0), (560.0, 6.0)], -18.0)
    top = [("line", (560.0, 6.0), (560.0, 22.0)), ("line", (560.0, 22.0), (318.0, 29.0)),
           ("arc", (318.0, 29.0), (138.0, 31.0), -0.055), ("line", (138.0, 31.0), (128.0, 31.0))]
    nose = [("arc", (128.0, 31.0), (0.0, 14.0), 0.10), ("line", (0.0, 14.0), (0.0, -10.0))]
    holes = [former_slot(x, (low + high) / 2) for _, x, low, high, _ in STATIONS]
    holes += [slot(320.0, 372.0, 4.0, 18.0), slot(424.0, 474.0, 14.5, 8.0)]
    return Piece("SIDE", bottom + top + nose, holes, (180.0, -4.0), 12.0, ((210.0, -14.0), (262.0, -14.0)))


def former_slot(x, y):
    width = PLY + SLOT_PLAY
    return rectangle(x - width / 2, y - TAB / 2, x + width / 2, y + TAB / 2)


def doubler():
    """Stiffens a side from the nose to behind the wing, inside the sheet's outline."""
    outer = rounded([(4.0, -7.0), (60.0, -20.5), (148.0, -25.5), (300.0, -18.5), (300.0, 18.0), (136.0, 20.0), (4.0, 11.0)],
                    [2.0, 30.0, 40.0, 6.0, 6.0, 30.0, 2.0])
    holes = [former_slot(x, (low + high) / 2) for _, x, low, high, _ in STATIONS[:4]]
    holes.append(slot(160.0, 262.0, -3.0, 20.0))
    return Piece("DBL", outer, holes, (36.0, -4.0), 8.0, ((100.0, -12.0), (132.0, -12.0)))


def former(name, low, high, width, windows):
    """A former between the sides: tabs left and right, notches for the longerons, `windows` cut out of it."""
    w, h, t, n = width / 2, (high - low) / 2 - 2.0, TAB / 2, 4.0
    right = [(w - n, -h), (w - n, -h + n), (w, -h + n), (w, -t), (w + SIDE, -t), (w + SIDE, t), (w, t), (w, h - n),
             (w - n, h - n), (w - n, h)]
    left = [(-x, y) for x, y in reversed(right)]
    return Piece(name, polygon(right + left), windows, (-5.0, h - 6.2), 4.0, ((-w + 4.5, -t), (-w + 4.5, t)))


def formers():
    by_name = {name: (low, high, width) for name, _, low, high, width in STATIONS}
    circle = lambda x, y, r: [("circle", (x, y), r)]
    windows = {
        "F1": [circle(0.0, 0.0, 7.0), circle(-11.0, -8.0, 1.6), circle(11.0, -8.0, 1.6), circle(11.0, 8.0, 1.6)],
        "F2": [rounded([(-14.0, -16.0), (14.0, -16.0), (14.0, 10.0), (-14.0, 10.0)], 5.0), circle(0.0, 14.2, 1.6)],
        "F3": [rounded([(-15.0, -17.0), (15.0, -17.0), (15.0, 4.0), (-15.0, 4.0)], 6.0), rectangle(-13.0, 9.0, 13.0, 12.1)],
        "F4": [rounded([(-11.0, -14.0), (11.0, -14.0), (11.0, 6.0), (-11.0, 6.0)], 5.0), circle(0.0, 11.0, 2.5)],
        "F5": [circle(0.0, -2.0, 6.0)],
    }
    return [former(name, *by_name[name], windows[name]) for name in ("F1", "F2", "F3", "F4", "F5")]


def nose_ring():
    return Piece("NR", [("circle", (0.0, 0.0), 19.0)], [[("circle", (0.0, 0.0), 9.0)]], (-3.5, 12.0), 3.5, ((-6.0, -14.0), (6.0, -14.0)))


def hatch():
    """The hatch over the battery, with a finger hole and a score line for the tongue."""
    outer = rounded([(0.0, 0.0), (100.0, 4.0), (100.0, 48.0), (0.0, 52.0)], 2.0)
    return Piece("HATCH", outer, [[("circle", (84.0, 26.0), 6.0)]], (34.0, 22.0), 8.0, ((14.0, 12.0), (44.0, 12.0)),
                 [((12.0, 0.48), (12.0, 51.52))])


def tray():
    holes = [slot(16.0, 40.0, 8.0, 3.2), slot(16.0, 40.0, 30.0, 3.2), slot(60.0, 84.0, 8.0, 3.2), slot(60.0, 84.0, 30.0, 3.2)]
    return Piece("TRAY", rounded([(0.0, 0.0), (110.0, 0.0), (110.0, 38.0), (0.0, 38.0)], 4.0), holes, (44.0, 16.5), 5.0, ((8.0, 19.0), (34.0, 19.0)))


def seat():
    """The wing's seat: glued inside each side under the root rib."""
    outer = [("line", (0.0, 0.0), (180.0, 0.0)), ("line", (180.0, 0.0), (180.0, 12.0)),
             ("arc", (180.0, 12.0), (0.0, 14.0), -0.055), ("line", (0.0, 14.0), (0.0, 0.0))]
    holes = [[("circle", (24.0, 6.0), 2.1)], [("circle", (156.0, 5.0), 2.1)]]
    return Piece("WS", outer, holes, (34.0, 3.0), 3.5, ((52.0, 3.2), (110.0, 3.2)))


def hook_plate():
    return Piece("HP", rounded([(0.0, 0.0), (54.0, 0.0), (54.0, 30.0), (0.0, 30.0)], 3.0), [[("circle", (27.0, 15.0), 2.0)]],
                 (6.0, 5.0), 4.0, ((34.0, 22.0), (48.0, 22.0)))


def bottom():
    outer = polygon([(0.0, -17.0), (70.0, -22.0), (180.0, -23.0), (180.0, 23.0), (70.0, 22.0), (0.0, 17.0)])
    holes = [slot(24.0, 60.0, 0.0, 8.0), slot(70.0, 106.0, 0.0, 8.0)]
    return Piece("BOT", outer, holes, (120.0, -4.0), 8.0, ((116.0, 12.0), (160.0, 12.0)))


def tail_block():
    return Piece("TB", rounded([(0.0, 0.0), (46.0, 0.0), (46.0, 10.0), (8.0, 14.0), (0.0, 14.0)], [0.0, 0.0, 3.0, 6.0, 0.0]),
                 [], (6.0, 3.5), 4.0, ((20.0, 5.0), (38.0, 5.0)))


def pieces():
    """What is drawn of the fuselage, laid out as on the plan, in millimetres."""
    laid = [side().moved(0.0, 0.0)]
    laid += [f.moved(40.0 + 80.0 * i, -160.0) for i, f in enumerate(formers())]
    laid += [nose_ring().moved(40.0, -220.0), hatch().moved(80.0, -250.0), tray().moved(200.0, -240.0), seat().moved(330.0, -240.0),
             hook_plate().moved(330.0, -100.0), bottom().moved(410.0, -85.0), tail_block().moved(530.0, -230.0)]
    return laid


def undrawn():
    """What the jobs make from measurements: drawn only to hold those against."""
    return [doubler().moved(0.0, -80.0)]
