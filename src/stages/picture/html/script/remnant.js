// What is left of a sheet: the largest upright rectangle that no piece reaches into.

/** Smaller ones are waste, mm. */
const WORTH_MM = 25;

/** The rectangle [x0, y0, x1, y1]; null where nothing worth keeping is left. Pieces count as the boxes around them. */
function remnantOf(board) {
  const [length, width] = board.size;
  const kerf = board.sheet?.kerf ?? 0;
  const boxes = board.pieces.map(({ bounds: [x0, y0, x1, y1] }) => [x0 - kerf, y0 - kerf, x1 + kerf, y1 + kerf]);
  const [lefts, rights] = [[0, ...boxes.map(box => box[2])], [length, ...boxes.map(box => box[0])]];
  let best = null;
  for (const left of lefts) {
    for (const right of rights) {
      if (right - left < WORTH_MM || (right - left) * width <= (best?.area ?? 0)) continue;
      const between = boxes.filter(box => box[0] < right && box[2] > left).map(box => [box[1], box[3]]);
      const [low, high] = widestGap(between, width);
      const area = (right - left) * (high - low);
      if (high - low >= WORTH_MM && area > (best?.area ?? 0)) best = { area, box: [left, low, right, high] };
    }
  }
  return best?.box ?? null;
}

/** The widest stretch from 0 to `width` that none of the stretches covers. */
function widestGap(stretches, width) {
  let [best, reached] = [[0, 0], 0];
  for (const [from, to] of stretches.sort((a, b) => a[0] - b[0]).concat([[width, width]])) {
    const gap = [reached, Math.min(from, width)];
    if (gap[1] - gap[0] > best[1] - best[0]) best = gap;
    reached = Math.max(reached, to);
  }
  return best;
}

/** The remnant of a board, found when it is first wanted. */
function leftOf(board) {
  if (board.remnant === undefined) board.remnant = board.sheet ? remnantOf(board) : null;
  return board.remnant;
}

/** Its size in words. */
const leftWords = ([x0, y0, x1, y1]) => `${Math.floor(x1 - x0)} × ${Math.floor(y1 - y0)} mm`;

function drawRemnant(view, board) {
  const box = leftOf(board);
  if (!box) return;
  const { pen } = view;
  const [px, py] = view.onto(board.at[0] + box[0], board.at[1] + box[3]);
  const [w, h] = [box[2] - box[0], box[3] - box[1]].map(mm => mm * view.scale);
  view.onGlass();
  [pen.strokeStyle, pen.lineWidth] = [inks.pencil, 1];
  pen.setLineDash([5, 4]);
  pen.strokeRect(px + 2, py + 2, w - 4, h - 4);
  pen.setLineDash([]);
  if (w > 150 * letters() && h > 22) write(view, `left over ${leftWords(box)}`, px + w / 2, py + h / 2, { size: 11, colour: inks.pencil });
}
