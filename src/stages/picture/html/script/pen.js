// Drawing chains of lines and arcs. From afar each layer of a board is one path that is made once; near, only what can be
// seen is drawn, in pixels, so that the places stay exact.

/** Above so many pixels a millimetre things are drawn in pixels. */
const NEAR = 25;

/** Below so many pixels a millimetre paths leave out what is smaller than a pixel, mm. */
const FAR = 0.8;
const COARSE_MM = 1;

/** A path of straight lines that keeps what can be seen from afar. */
function coarsePathOf(chains, closed) {
  const path = new Path2D();
  for (const chain of chains) {
    let [x, y] = [chain[0].x0, chain[0].y0];
    path.moveTo(x, y);
    chain.forEach((segment, i) => {
      if (i > 0 && (segment.x0 !== chain[i - 1].x1 || segment.y0 !== chain[i - 1].y1)) path.moveTo(segment.x0, segment.y0);
      const steps = Math.abs(segment.b) < STRAIGHT ? 1 : Math.min(24, Math.ceil(lengthOf(segment) / (3 * COARSE_MM)));
      for (let k = 1; k <= steps; k++) {
        const [px, py] = placeOn(segment, k / steps);
        if (Math.hypot(px - x, py - y) < COARSE_MM && i < chain.length - 1) continue;
        path.lineTo(px, py);
        [x, y] = [px, py];
      }
    });
    if (closed) path.closePath();
  }
  return path;
}

/** A path through segments, in millimetres. */
function pathOf(chains, closed) {
  const path = new Path2D();
  for (const chain of chains) {
    let [x, y] = [NaN, NaN];
    for (const segment of chain) {
      if (segment.x0 !== x || segment.y0 !== y) path.moveTo(segment.x0, segment.y0);
      const arc = arcOf(segment);
      if (arc) path.arc(arc.cx, arc.cy, arc.r, arc.from, arc.from + arc.sweep, arc.sweep < 0);
      else path.lineTo(segment.x1, segment.y1);
      [x, y] = [segment.x1, segment.y1];
    }
    if (closed) path.closePath();
  }
  return path;
}

/** Draws a segment in pixels from where the pen is: arcs as chords that stray less than a fifth of a pixel. */
function along(view, at, segment) {
  const arc = arcOf(segment);
  let steps = 1;
  if (arc) {
    const most = Math.acos(Math.max(0, 1 - 0.2 / (arc.r * view.scale)));
    steps = Math.min(4000, Math.max(1, Math.ceil(Math.abs(arc.sweep) / Math.max(2 * most, 1e-4))));
  }
  for (let i = 1; i <= steps; i++) {
    const [x, y] = placeOn(segment, i / steps);
    view.pen.lineTo(...view.onto(at[0] + x, at[1] + y));
  }
}

/** Makes the pen's path that of segments near the window; whole chains where they are to be filled. */
function nearPath(view, at, chains, { whole = false, more = 0 } = {}) {
  const seen = view.seen(more);
  view.pen.beginPath();
  for (const chain of chains) {
    let [x, y] = [NaN, NaN];
    for (const segment of chain) {
      const box = around(segment);
      if (!whole && !meet([box[0] + at[0], box[1] + at[1], box[2] + at[0], box[3] + at[1]], seen)) continue;
      if (segment.x0 !== x || segment.y0 !== y) view.pen.moveTo(...view.onto(at[0] + segment.x0, at[1] + segment.y0));
      along(view, at, segment);
      [x, y] = [segment.x1, segment.y1];
    }
    if (whole) view.pen.closePath();
  }
}

/** Strokes chains with a line so many pixels wide, or so many millimetres where that is more. */
function stroke(view, at, chains, look) {
  const { pen } = view;
  const wide = Math.max(look.px ?? 1, (look.mm ?? 0) * view.scale);
  pen.globalAlpha = look.alpha ?? 1;
  pen.strokeStyle = look.colour;
  pen.lineCap = look.cap ?? (wide > 2 ? "round" : "butt");
  pen.lineJoin = wide > 2 ? "round" : "bevel";
  if (view.scale > NEAR) {
    view.onGlass();
    pen.lineWidth = wide;
    pen.setLineDash(look.dash ?? []);
    nearPath(view, at, chains.list(), { more: look.mm ?? 0 });
    pen.stroke();
  } else {
    view.onBoard(at);
    pen.lineWidth = wide / view.scale;
    pen.setLineDash((look.dash ?? []).map(px => px / view.scale));
    pen.stroke(chains.path(view.scale));
  }
  pen.setLineDash([]);
  pen.globalAlpha = 1;
}

/** Fills closed chains. */
function fill(view, at, chains, colour, alpha = 1) {
  const { pen } = view;
  pen.globalAlpha = alpha;
  pen.fillStyle = colour;
  if (view.scale > NEAR) {
    view.onGlass();
    nearPath(view, at, chains.list(), { whole: true });
    pen.fill("evenodd");
  } else {
    view.onBoard(at);
    pen.fill(chains.path(view.scale), "evenodd");
  }
  pen.globalAlpha = 1;
}

/** Chains that are made when they are first wanted, and their path. */
function chains(list, closed = false) {
  let [made, path, coarse] = [null, null, null];
  const known = () => (made ??= list());
  const whole = () => (path ??= pathOf(known(), closed));
  const rough = () => (coarse ??= coarsePathOf(known(), closed));
  return { list: known, path: scale => (scale < FAR ? rough() : whole()) };
}
