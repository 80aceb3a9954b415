// Lines and arcs. A segment is {x0, y0, x1, y1, b}; b is the tangent of a quarter of the included angle, positive
// counter-clockwise, y up.

const STRAIGHT = 1e-9;

/** Centre, radius, first angle and sweep of an arc; null for a line. */
function arcOf({ x0, y0, x1, y1, b }) {
  if (Math.abs(b) < STRAIGHT) return null;
  const [dx, dy, up] = [x1 - x0, y1 - y0, (1 - b * b) / (4 * b)];
  const [cx, cy] = [x0 + dx / 2 - dy * up, y0 + dy / 2 + dx * up];
  const r = (Math.hypot(dx, dy) * (1 + b * b)) / (4 * Math.abs(b));
  return { cx, cy, r, from: Math.atan2(y0 - cy, x0 - cx), sweep: 4 * Math.atan(b) };
}

/** The place at a fraction of its length; the ends are exact. */
function placeOn(segment, t) {
  const { x0, y0, x1, y1 } = segment;
  if (t <= 0) return [x0, y0];
  if (t >= 1) return [x1, y1];
  const arc = arcOf(segment);
  if (!arc) return [x0 + (x1 - x0) * t, y0 + (y1 - y0) * t];
  const angle = arc.from + arc.sweep * t;
  return [arc.cx + arc.r * Math.cos(angle), arc.cy + arc.r * Math.sin(angle)];
}

function lengthOf(segment) {
  const arc = arcOf(segment);
  return arc ? arc.r * Math.abs(arc.sweep) : Math.hypot(segment.x1 - segment.x0, segment.y1 - segment.y0);
}

/** The part from one fraction of its length to another. */
function partOf(segment, from, to) {
  const [[x0, y0], [x1, y1]] = [placeOn(segment, from), placeOn(segment, to)];
  const b = Math.abs(segment.b) < STRAIGHT ? 0 : Math.tan(Math.atan(segment.b) * (to - from));
  return { x0, y0, x1, y1, b };
}

/** The fraction at which a segment comes nearest to a place, and how near. */
function nearestOn(segment, x, y) {
  const { x0, y0, x1, y1 } = segment;
  const arc = arcOf(segment);
  let t;
  if (arc) {
    const turn = (Math.atan2(y - arc.cy, x - arc.cx) - arc.from) * Math.sign(arc.sweep);
    const ahead = ((turn % (2 * Math.PI)) + 2 * Math.PI) % (2 * Math.PI);
    const sweep = Math.abs(arc.sweep);
    t = ahead <= sweep ? ahead / sweep : ahead - sweep < 2 * Math.PI - ahead ? 1 : 0;
  } else {
    const squared = (x1 - x0) ** 2 + (y1 - y0) ** 2;
    t = squared > 0 ? ((x - x0) * (x1 - x0) + (y - y0) * (y1 - y0)) / squared : 0;
  }
  t = Math.min(1, Math.max(0, t));
  const [px, py] = placeOn(segment, t);
  return { t, x: px, y: py, off: Math.hypot(px - x, py - y) };
}

/** The smallest rectangle [x0, y0, x1, y1] around a segment. */
function boxOf(segment) {
  const { x0, y0, x1, y1 } = segment;
  const box = [Math.min(x0, x1), Math.min(y0, y1), Math.max(x0, x1), Math.max(y0, y1)];
  const arc = arcOf(segment);
  if (!arc) return box;
  for (const [cos, sin, quarter] of [[1, 0, 0], [0, 1, 1], [-1, 0, 2], [0, -1, 3]]) {
    const turn = ((quarter * Math.PI) / 2 - arc.from) * Math.sign(arc.sweep);
    const ahead = ((turn % (2 * Math.PI)) + 2 * Math.PI) % (2 * Math.PI);
    if (ahead >= Math.abs(arc.sweep)) continue;
    const [x, y] = [arc.cx + arc.r * cos, arc.cy + arc.r * sin];
    [box[0], box[1], box[2], box[3]] = [Math.min(box[0], x), Math.min(box[1], y), Math.max(box[2], x), Math.max(box[3], y)];
  }
  return box;
}

/** A rectangle [x0, y0, x1, y1], quickly found, that holds the segment: its chord, grown by how far the arc bulges. */
function around({ x0, y0, x1, y1, b }) {
  const bulge = (Math.hypot(x1 - x0, y1 - y0) / 2) * Math.abs(b) * (Math.abs(b) > 1 ? Math.abs(b) : 1);
  return [Math.min(x0, x1) - bulge, Math.min(y0, y1) - bulge, Math.max(x0, x1) + bulge, Math.max(y0, y1) + bulge];
}

/** The segments of a row of numbers, `stride` of them to a corner, the bulge the last. */
function segmentsOf(row, closed, stride = 3) {
  const corners = row.length / stride;
  const segments = [];
  for (let i = 0; i < (closed ? corners : corners - 1); i++) {
    const [a, z] = [i * stride, ((i + 1) % corners) * stride];
    segments.push({ x0: row[a], y0: row[a + 1], x1: row[z], y1: row[z + 1], b: row[a + stride - 1] });
  }
  return segments;
}

/** Unit direction at the beginning (0) or end (1) of a segment. */
function directionOf({ x0, y0, x1, y1, b }, end) {
  const angle = Math.atan2(y1 - y0, x1 - x0) + (end ? 2 : -2) * Math.atan(b);
  return [Math.cos(angle), Math.sin(angle)];
}

/** Whether two rectangles meet. */
const meet = (a, b) => a[0] <= b[2] && b[0] <= a[2] && a[1] <= b[3] && b[1] <= a[3];

/** The rectangle around rectangles. */
const union = all =>
  all.reduce((a, b) => [Math.min(a[0], b[0]), Math.min(a[1], b[1]), Math.max(a[2], b[2]), Math.max(a[3], b[3])],
    [Infinity, Infinity, -Infinity, -Infinity]);
