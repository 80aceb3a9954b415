"""The Fenwren's wing: tips, gussets, servo plates, washout jigs. Its ribs come from a section and are not drawn."""

from shapes import Piece, polygon, rectangle, rounded

TIP_CHORD = 112.0
TRAILING_EDGE = 22.0  # trailing edge stock takes so much of the last rib


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
    return Piece(name, outer, [[("circle", (0.0, h / 2), 1.6)]], (8.0, 3.2), 3.5, ((-14.0, h / 2), (-5.0, h / 2)))


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
    """What is drawn of the wing, laid out as on the plan."""
    return [tip().moved(230.0, -20.0), gusset().moved(340.0, -20.0), servo_plate().moved(232.0, -140.0), jig().moved(232.0, -175.0)]


def undrawn():
    """What the jobs make from measurements: drawn only to hold those against."""
    return [brace("DB1", 62.0, 6.0).moved(300.0, -60.0), brace("DB2", 40.0, 3.9).moved(300.0, -95.0)]
