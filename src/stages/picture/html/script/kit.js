// What there is to see: the data of the page, with every piece at its place.

const kit = JSON.parse(byId("kit").textContent);

/** A place of a part's drawing on the sheet where the piece lies. */
function placed(piece, [x, y]) {
  const turn = (piece.turn * Math.PI) / 180;
  const quarter = piece.turn % 90 === 0;
  const cos = quarter ? Math.round(Math.cos(turn)) : Math.cos(turn);
  const sin = quarter ? Math.round(Math.sin(turn)) : Math.sin(turn);
  const across = piece.mirrored ? -x : x;
  return [across * cos - y * sin + piece.shift[0], across * sin + y * cos + piece.shift[1]];
}

/** A row of x, y, bulge at its place. */
function placedRow(piece, row) {
  const moved = new Array(row.length);
  for (let i = 0; i < row.length; i += 3) {
    [moved[i], moved[i + 1]] = placed(piece, [row[i], row[i + 1]]);
    moved[i + 2] = piece.mirrored ? -row[i + 2] : row[i + 2];
  }
  return moved;
}

/** A piece with its outlines as segments, and what it is called. */
function pieceAt(row, board) {
  const part = kit.parts[row.part];
  const piece = { ...row, of: part, board };
  piece.outlines = part.outlines.map(outline => segmentsOf(placedRow(piece, outline), true));
  piece.lines = part.scores.concat(part.marks).map(line => segmentsOf(placedRow(piece, line), false));
  piece.bounds = union(piece.outlines[0].map(boxOf));
  piece.middle = placed(piece, part.at);
  piece.name = part.copies > 1 ? `${part.id}, piece ${row.copy} of ${part.copies}` : part.id;
  if (row.mirrored) piece.name += ", other hand";
  return piece;
}

/** Whether a place lies in the material of a piece: a ray to the right crosses its outlines an odd number of times. */
function isIn(piece, x, y) {
  if (x < piece.bounds[0] || x > piece.bounds[2] || y < piece.bounds[1] || y > piece.bounds[3]) return false;
  let inside = false;
  for (const outline of piece.outlines) {
    for (const segment of outline) {
      const pieces = Math.abs(segment.b) < STRAIGHT ? 1 : 16;
      let [ax, ay] = [segment.x0, segment.y0];
      for (let i = 1; i <= pieces; i++) {
        const [bx, by] = placeOn(segment, i / pieces);
        if (ay > y !== by > y && x < ax + ((y - ay) / (by - ay)) * (bx - ax)) inside = !inside;
        [ax, ay] = [bx, by];
      }
    }
  }
  return inside;
}

/** A sheet with its pieces and files. */
function sheetBoard(sheet, index) {
  const board = { index, sheet, size: sheet.size, loose: [] };
  const ply = sheet.wood.includes("ply");
  Object.assign(board, { ply, title: `Sheet ${sheet.number}`, about: `${sheet.wood} ${short(sheet.thickness)} mm` });
  board.pieces = sheet.pieces.map(row => pieceAt(row, board));
  board.files = kit.files.filter(file => file.sheet === sheet.number);
  return board;
}

/** A drawing as it is, where there are no sheets yet. */
function drawingBoard(drawing, index) {
  const board = { index, sheet: null, files: [], ply: false, title: drawing.file, about: "as drawn, no sheet yet" };
  const rows = drawing.outlines.map(row => [row, true]).concat(drawing.lines.map(row => [row, false]));
  const box = union(rows.flatMap(([row, closed]) => segmentsOf(row, closed).map(boxOf)));
  const found = Number.isFinite(box[0]) ? box : [0, 0, 100, 100];
  const shift = [-found[0], -found[1]];
  const here = { turn: 0, mirrored: false, shift };
  board.size = [found[2] - found[0], found[3] - found[1]];
  board.here = here;
  board.loose = rows.map(([row, closed]) => segmentsOf(placedRow(here, row), closed));
  const parts = kit.parts.map((part, number) => ({ part: number, copy: 1, ...here, drawn: part.drawing }));
  board.pieces = parts.filter(row => row.drawn === index).map(row => pieceAt(row, board));
  return board;
}

const boards = kit.sheets.length > 0 ? kit.sheets.map(sheetBoard) : kit.drawings.map(drawingBoard);
const pieces = boards.flatMap(board => board.pieces);

/** Where a problem is: a board and a place on it; null where nobody knows. */
function whereIs(problem) {
  if (!problem.at) return null;
  const onSheet = boards.find(board => board.sheet && board.sheet.number === problem.sheet);
  if (onSheet) return { board: onSheet, at: problem.at };
  const piece = pieces.find(one => one.of.id === problem.part);
  if (piece) return { board: piece.board, at: placed(piece, problem.at) };
  const drawing = boards.find(board => !board.sheet && board.title === problem.file);
  return drawing ? { board: drawing, at: placed(drawing.here, problem.at) } : null;
}
