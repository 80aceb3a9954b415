// Where a measuring end goes: the corner, centre or edge near the pointer.

/** How near, pixels: a finger's breadth is more, a pointer's tip less. */
const SNAP = 12;

/** Corners and centres win over edges that are nearer. */
function snapped(view, x, y) {
  const board = boardAt(x, y) ?? desk.board;
  const [bx, by, reach] = [x - board.at[0], y - board.at[1], SNAP / view.scale];
  const near = segmentsNear(board, bx, by, reach);
  const points = near.flatMap(segment => {
    const arc = arcOf(segment);
    const corners = [{ x: segment.x0, y: segment.y0, what: "corner" }, { x: segment.x1, y: segment.y1, what: "corner" }];
    return arc ? [...corners, { x: arc.cx, y: arc.cy, what: "centre" }] : corners;
  });
  const edges = near.map(segment => ({ ...nearestOn(segment, bx, by), what: "edge" }));
  const best = nearest(points, bx, by, reach) ?? nearest(edges, bx, by, reach) ?? { x: bx, y: by, what: "free" };
  return { board, x: best.x, y: best.y, what: best.what };
}

function nearest(places, x, y, reach) {
  let best = null;
  for (const place of places) {
    const off = Math.hypot(place.x - x, place.y - y);
    if (off <= reach && off < (best?.off ?? Infinity)) best = { ...place, off };
  }
  return best;
}

/** Segments of pieces and of the sheet's edge that come near, and arcs whose centre does. */
function segmentsNear(board, x, y, reach) {
  const window = [x - reach, y - reach, x + reach, y + reach];
  const [length, width] = board.size;
  const edge = segmentsOf([0, 0, 0, length, 0, 0, length, width, 0, 0, width, 0], true);
  const around_ = board.pieces.filter(piece => meet(piece.bounds, window));
  const all = around_.flatMap(piece => piece.outlines.flat().concat(piece.lines.flat()));
  return all.concat(board.loose.flat(), edge).filter(segment => {
    if (meet(around(segment), window)) return true;
    const arc = arcOf(segment);
    return arc !== null && Math.hypot(arc.cx - x, arc.cy - y) <= reach;
  });
}

/** What a measuring line shows, in words. */
function measured({ from, to }) {
  if (!from) return "Choose the first end on the board.";
  if (!to) return `First end: ${from.what} at ${short(from.x, 3)}, ${short(from.y, 3)} mm. Choose the other end.`;
  if (from.board !== to.board) return "Both ends have to lie on one sheet.";
  const [along_, across] = [to.x - from.x, to.y - from.y];
  const [one, two] = [Math.abs(along_).toFixed(3), Math.abs(across).toFixed(3)];
  return `Along ${one} mm, across ${two} mm, true length ${Math.hypot(along_, across).toFixed(3)} mm (${from.what} to ${to.what}).`;
}

function drawMeasure(view, { measure, hover }) {
  if (!measure.on) return;
  const { pen } = view;
  const end = measure.to ?? (hover ? snapped(view, ...hover) : null);
  const places = [measure.from, end].filter(place => place).map(place => ({ ...place, px: view.onto(place.board.at[0] + place.x, place.board.at[1] + place.y) }));
  view.onGlass();
  [pen.strokeStyle, pen.lineWidth] = [inks.alarm, 1.5];
  for (const { px: [x, y], what } of places) {
    pen.beginPath();
    if (what === "centre") pen.arc(x, y, 6, 0, 7);
    else if (what === "corner") pen.rect(x - 5, y - 5, 10, 10);
    else [pen.moveTo(x - 6, y - 6), pen.lineTo(x + 6, y + 6), pen.moveTo(x - 6, y + 6), pen.lineTo(x + 6, y - 6)];
    pen.stroke();
  }
  if (places.length < 2 || places[0].board !== places[1].board) return;
  const [[ax, ay], [bx, by]] = places.map(place => place.px);
  pen.beginPath();
  [pen.moveTo(ax, ay), pen.lineTo(bx, by)];
  pen.stroke();
  pen.setLineDash([3, 3]);
  pen.beginPath();
  [pen.moveTo(ax, ay), pen.lineTo(bx, ay), pen.lineTo(bx, by)];
  pen.stroke();
  pen.setLineDash([]);
  const length = Math.hypot(places[1].x - places[0].x, places[1].y - places[0].y);
  write(view, `${length.toFixed(3)} mm`, (ax + bx) / 2, (ay + by) / 2 - 10, { colour: inks.alarm, weight: "700" });
}
