// The sheets side by side on the drawing board: in as many columns as show them largest.

/** Room for a sheet's heading, and between columns, pixels. */
const HEADING = 34;
const BETWEEN = 18;

/** Lays the boards out for a window of this size; true millimetres, y up, each board's lower left corner in `at`. */
function arrange(width, height) {
  const widest = Math.max(...boards.map(board => board.size[0]), 1);
  let best = { scale: 0, columns: 1 };
  for (let columns = 1; columns <= boards.length; columns++) {
    const rows = Math.ceil(boards.length / columns);
    const tallest = Math.max(...columnsOf(columns).map(all => all.reduce((sum, board) => sum + board.size[1], 0)), 1);
    const down = Math.max(height * 0.2, height - rows * HEADING - BETWEEN) / tallest;
    const scale = Math.min(down, (width - (columns + 1) * BETWEEN) / (columns * widest));
    if (scale > best.scale) best = { scale, columns };
  }
  const [heading, between] = [HEADING / best.scale, BETWEEN / best.scale];
  columnsOf(best.columns).forEach((column, i) => {
    let y = 0;
    for (const board of column) {
      y -= heading + board.size[1];
      board.at = [i * (widest + between), y];
    }
  });
  return union(boards.map(({ at, size }) => [at[0], at[1], at[0] + size[0], at[1] + size[1] + heading]));
}

function columnsOf(columns) {
  const rows = Math.ceil(boards.length / columns);
  return Array.from({ length: columns }, (_, i) => boards.slice(i * rows, (i + 1) * rows)).filter(one => one.length > 0);
}

/** The board that a place lies on, or null. */
const boardAt = (x, y) =>
  boards.find(({ at, size }) => x >= at[0] && x <= at[0] + size[0] && y >= at[1] && y <= at[1] + size[1]) ?? null;
