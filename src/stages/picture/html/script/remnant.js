// What is left of a sheet in one piece, and what is to be kept clear of on it.

/** What is left of a board's sheet, in words; empty where nothing is worth keeping. */
function leftWords(board) {
  if (!board.sheet?.remnant) return "";
  const [x0, y0, x1, y1] = union(segmentsOf(board.sheet.remnant, true).map(boxOf));
  return `${Math.floor(x1 - x0)} × ${Math.floor(y1 - y0)} mm`;
}

/** Chains of a sheet's own lines, made when they are first wanted. */
function sheetChains(board) {
  const { sheet } = board;
  const closed = rows => chains(() => rows.map(row => segmentsOf(row, true)), true);
  board.own ??= {
    outline: closed(sheet.outline ? [sheet.outline] : []),
    avoid: closed(sheet.avoid),
    remnant: closed(sheet.remnant ? [sheet.remnant] : []),
    hatch: chains(() => sheet.hatch.map(row => segmentsOf(row, false))),
  };
  return board.own;
}

function drawRemnant(view, board) {
  if (!board.sheet?.remnant) return;
  const own = sheetChains(board);
  stroke(view, board.at, own.hatch, { px: 0.6, colour: inks.pencil, alpha: 0.5 });
  stroke(view, board.at, own.remnant, { px: 1, colour: inks.pencil, dash: [5, 4] });
  const [x0, y0, x1, y1] = union(segmentsOf(board.sheet.remnant, true).map(boxOf));
  const [px, py] = view.onto(board.at[0] + (x0 + x1) / 2, board.at[1] + (y0 + y1) / 2);
  const [w, h] = [x1 - x0, y1 - y0].map(mm => mm * view.scale);
  if (w > 150 * letters() && h > 22) write(view, `left over ${leftWords(board)}`, px, py, { size: 11, colour: inks.pencil });
}

/** A sheet that is no rectangle, and what is to be kept clear of. */
function drawSpoiled(view, board) {
  if (!board.sheet) return;
  const own = sheetChains(board);
  if (board.sheet.outline) stroke(view, board.at, own.outline, { px: 1.5, colour: inks.grain });
  if (board.sheet.avoid.length === 0) return;
  fill(view, board.at, own.avoid, inks.alarm, 0.25);
  stroke(view, board.at, own.avoid, { px: 1, colour: inks.alarm, dash: [3, 3] });
}
