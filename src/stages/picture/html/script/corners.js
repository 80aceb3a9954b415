// Corners that a round beam or cutter cannot reach: the wood that it leaves in an inside corner.

/** A turn smaller than this is no corner, radians. */
const SMOOTH = 0.09;

/** The wood left in each inside corner of a piece, as closed chains, for a beam or cutter of this radius. */
function leftInCorners(piece, radius) {
  const side = piece.mirrored ? -1 : 1;
  return piece.outlines.flatMap(outline =>
    outline.flatMap((segment, i) => leftInCorner(segment, outline[(i + 1) % outline.length], radius, side)));
}

/** Material lies to the left of both segments (`side` 1): where they turn right, the corner between them stays round. */
function leftInCorner(before, after, radius, side) {
  const [[ux, uy], [vx, vy]] = [directionOf(before, 1), directionOf(after, 0)];
  const turn = -side * Math.atan2(ux * vy - uy * vx, ux * vx + uy * vy);
  if (turn < SMOOTH) return [];
  const back = Math.min(radius * Math.tan(turn / 2), lengthOf(before), lengthOf(after));
  const [x, y] = [before.x1, before.y1];
  const [begin, end] = [[x - ux * back, y - uy * back], [x + vx * back, y + vy * back]];
  const bulge = -side * Math.tan(turn / 4);
  return [[
    { x0: x, y0: y, x1: begin[0], y1: begin[1], b: 0 },
    { x0: begin[0], y0: begin[1], x1: end[0], y1: end[1], b: bulge },
    { x0: end[0], y0: end[1], x1: x, y1: y, b: 0 },
  ]];
}
