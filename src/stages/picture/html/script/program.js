// The program's lines beside the moves that they make.

/** How many lines are shown around the one in question. */
const AROUND = 6;

/** The lines of a file. */
const linesOf = file => (file.split ??= file.text.split(/\r?\n/));

/** Goes to a line: its move is marked on the board, and the run stands at its beginning. */
function goToLine(line, look) {
  const { run } = desk;
  if (!run?.file.text) return;
  desk.line = Math.min(linesOf(run.file).length, Math.max(1, line));
  const step = run.steps.find(one => one.line === desk.line);
  if (step && look) {
    setTime(step.begin * run.stretch + 1e-6);
    lookClose(run.board, placeOn(step.segment, 0.5), 30);
  }
  showLines();
  redraw();
}

function showLines() {
  const { file } = desk.run ?? {};
  const has = Boolean(file?.text);
  byId("program").hidden = !has;
  byId("no-program").hidden = has;
  if (!has) return;
  const lines = linesOf(file);
  const first = Math.max(1, Math.min(desk.line - AROUND, lines.length - 2 * AROUND));
  const list = byId("lines");
  list.replaceChildren();
  list.setAttribute("start", first);
  for (let line = first; line <= Math.min(lines.length, first + 2 * AROUND); line++) {
    const item = make("li");
    const go = button(lines[line - 1] || " ", () => goToLine(line, true), `Line ${line}: ${lines[line - 1]}`);
    if (line === desk.line) go.setAttribute("aria-current", "true");
    item.append(make("span", String(line), { class: "number", "aria-hidden": "true" }), go);
    list.append(item);
  }
  byId("line").max = lines.length;
  if (document.activeElement !== byId("line")) byId("line").value = desk.line;
}

/** What lies under the pointer: place, piece, move and line. */
function underPointer([x, y]) {
  const board = boardAt(x, y);
  if (!board) return "";
  const [bx, by] = [x - board.at[0], y - board.at[1]];
  const words = [`${board.title}: ${bx.toFixed(3)} along, ${by.toFixed(3)} across`];
  const piece = board.pieces.find(one => isIn(one, bx, by));
  if (piece) words.push(piece.name);
  const near = desk.run?.board === board ? stepNear(desk.run, bx, by, 6 / view.scale) : null;
  if (near?.step.line > 0) words.push(`line ${near.step.line}: ${linesOf(desk.run.file)[near.step.line - 1]}`);
  else if (near) words.push(DOING[near.step.kind]);
  return words.join(" · ");
}
