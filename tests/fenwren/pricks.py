"""The fin as it was pricked through from the plan: points every 10 mm along its sweep, read to a tenth of a millimetre."""

from math import hypot

import tail

EVERY = 10.0


def along_sweep(t0, t1):
    """Points of the sweep every 10 mm from t0 to t1, the ends left out."""
    fine = [tail.on_sweep(t0 + (t1 - t0) * k / 4000) for k in range(4001)]
    points, gone = [], 0.0
    for p, q in zip(fine, fine[1:]):
        gone += hypot(q[0] - p[0], q[1] - p[1])
        if gone >= EVERY * (len(points) + 1):
            points.append(q)
    if hypot(points[-1][0] - fine[-1][0], points[-1][1] - fine[-1][1]) < EVERY / 3:
        points.pop()
    return points


def write(folder):
    t_root, t_band, t_hinge = tail.where_y(22.0), tail.where_y(100.0), tail.where_x(tail.HINGE)
    for name, t0, t1 in (("v1", 0.0, t_root), ("v2", t_root, t_band), ("v4", t_band, t_hinge)):
        points = along_sweep(t0, t1)[::-1]
        rows = [f"{x:.1f},{y:.1f}" for x, y in points]
        # The last point is where the piece's straight edges begin: known, not read.
        x, y = tail.on_sweep(t0)
        text = "\n".join(["x,y", *rows, f"{x:.3f},{y:.3f}", ""])
        (folder / f"fin-{name}.csv").write_text(text, encoding="utf-8", newline="\n")
