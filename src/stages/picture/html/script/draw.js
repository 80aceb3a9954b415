// The drawing board with everything on it.

/** What can be shown and hidden, from the wood up. `sign` is how the list of lines draws it. */
const layers = [
  { id: "grain", name: "grain of the wood", sign: "fine" },
  { id: "outline", name: "parts, true outline", sign: "full" },
  { id: "band", name: "wood that goes", sign: "band" },
  { id: "upper", name: "passes on the way down", sign: "pale" },
  { id: "left", name: "wood left in corners", sign: "hatch" },
  { id: "tab", name: "tabs", sign: "bar" },
  { id: "score", name: "scores", sign: "dashdot" },
  { id: "mark", name: "marks", sign: "thin" },
  { id: "remnant", name: "what is left over", sign: "dashed" },
  { id: "travel", name: "travel", sign: "dots" },
  { id: "order", name: "order of cuts", sign: "number" },
  { id: "name", name: "names of parts", sign: "letter" },
  { id: "worst", name: "worst places", sign: "pin" },
  { id: "flag", name: "problems", sign: "flag" },
].map(layer => ({ ...layer, on: layer.id !== "travel" && layer.id !== "order" }));

const shown = id => layers.find(layer => layer.id === id).on;

/** Marks are drawn above so many pixels a millimetre: below it they could not be read. */
const FINE = 1.4;

/** Colours by name, as the style has them for the light of the day. */
let inks = {};
function mix() {
  const style = getComputedStyle(document.documentElement);
  const names = ["paper", "ink", "pencil", "solid", "ply", "grain", "part", "band", "tab", "alarm", "gouge", "excess", "pick", "left"];
  inks = Object.fromEntries(names.map(name => [name, style.getPropertyValue(`--${name}`).trim()]));
}

/** The file of a board that is looked at; a board without one only shows its pieces. */
const fileOf = board => board.files[board.chosen ?? 0] ?? null;

/** The chains of a board, made when they are first seen; those of a file go with the file. */
function chainsOf(board) {
  const outlines = piece => piece.outlines;
  board.chains ??= {
    grain: chains(() => grainOf(board)),
    outline: chains(() => board.pieces.flatMap(outlines), true),
    loose: chains(() => board.loose),
    left: chains(() => board.pieces.flatMap(piece => leftInCorners(piece, (board.sheet?.kerf ?? 0) / 2)), true),
    drawn: chains(() => board.pieces.flatMap(piece => piece.lines)),
  };
  return board.chains;
}

function cutsOf(file) {
  const of = kind => chains(() => file.traces.filter(trace => trace.kind === kind).map(trace => segmentsOf(trace.at, false, 4)));
  const tabs = () => file.tabs.map(row => segmentsOf(row, false));
  file.chains ??= { t: of("t"), u: of("u"), s: of("s"), m: of("m"), tab: chains(tabs), travel: chains(() => travelOf(file)) };
  return file.chains;
}

function travelOf(file) {
  const ends = file.traces.map(({ at }) => [at[0], at[1], at[at.length - 4], at[at.length - 3]]);
  return ends.map(([x, y], i) => {
    const [x0, y0] = i > 0 ? ends[i - 1].slice(2) : [0, 0];
    return [{ x0, y0, x1: x, y1: y, b: 0 }];
  });
}

/** Nearly straight lines along a sheet, the same each time. */
function grainOf(board) {
  let seed = 17 + 31 * board.index;
  const chance = () => (seed = (seed * 48271) % 2147483647) / 2147483647; // Park and Miller's generator, from memory
  const [length, width] = board.size;
  const gap = Math.max(width / 40, Math.min(width / 18, 5));
  const lines = [];
  for (let y = gap * 0.5; y < width - 0.3 * gap; y += gap * (0.5 + chance())) {
    const [from, to] = [chance() < 0.2 ? length * chance() : 0, chance() < 0.2 ? length * chance() : length];
    const sway = 0.15 * gap * (chance() - 0.5);
    if (to > from) lines.push([{ x0: from, y0: y, x1: to, y1: y + sway, b: 0.004 * (chance() - 0.5) }]);
  }
  return lines;
}

/** Draws all of it. `desk` is what the person does: picked piece, run, measure, place under the pointer. */
function draw(view, desk) {
  const { pen } = view;
  view.onGlass();
  pen.fillStyle = inks.paper;
  pen.fillRect(0, 0, view.width, view.height);
  for (const board of boards) {
    const [x, y] = board.at;
    const box = [x, y, x + board.size[0], y + board.size[1] + HEADING / view.scale];
    if (meet(box, view.seen())) drawBoard(view, board, desk);
  }
  drawPick(view, desk);
  drawRun(view, desk);
  drawMeasure(view, desk);
  drawScale(view);
}

/** A bar of round length. */
function drawScale(view) {
  const most = 140 / view.scale;
  const ten = 10 ** Math.floor(Math.log10(most));
  const length = [5, 2, 1].map(times => times * ten).find(mm => mm <= most) ?? ten / 2;
  const { pen } = view;
  const [x, y, wide] = [12, view.height - 12, length * view.scale];
  view.onGlass();
  // Paper under it: a sheet may lie there.
  [pen.fillStyle, pen.globalAlpha] = [inks.paper, 0.85];
  pen.fillRect(x - 6, y - 24, wide + 12, 30);
  pen.globalAlpha = 1;
  for (const [colour, width] of [[inks.part, 6], [inks.ink, 2]]) {
    [pen.strokeStyle, pen.lineWidth] = [colour, width];
    pen.beginPath();
    [pen.moveTo(x, y - 6), pen.lineTo(x, y), pen.lineTo(x + wide, y), pen.lineTo(x + wide, y - 6)];
    pen.stroke();
  }
  write(view, `${short(length, 4)} mm`, x + wide / 2, y - 12, { size: 11 });
}

function drawBoard(view, board, desk) {
  const { at } = board;
  drawWood(view, board);
  drawSpoiled(view, board);
  const own = chainsOf(board);
  if (shown("outline")) {
    fill(view, at, own.outline, inks.part, 0.85);
    if (board.loose.length > 0) stroke(view, at, own.loose, { px: 0.8, colour: inks.pencil });
  }
  const file = fileOf(board);
  if (file) drawCuts(view, board, cutsOf(file), desk.run?.board === board && desk.run.time > 0);
  else if (shown("mark")) stroke(view, at, own.drawn, { px: 0.8, colour: inks.ink });
  const traced = file && shown("band") && view.scale < FAR;
  if (shown("outline") && !traced) stroke(view, at, own.outline, { px: view.scale > 1.5 ? 1.3 : 0.8, colour: inks.ink });
  if (shown("left") && view.scale > 6) fill(view, at, own.left, inks.left, 0.9);
  if (shown("remnant")) drawRemnant(view, board);
  if (shown("name")) drawNames(view, board);
  if (file && shown("order")) drawOrder(view, board, file);
  drawHeading(view, board);
  if (shown("worst")) drawWorst(view, board);
  if (shown("flag")) drawFlags(view, board);
}

function drawWood(view, board) {
  const { pen } = view;
  view.onGlass();
  const [px, py] = view.onto(board.at[0], board.at[1] + board.size[1]);
  const [w, h] = board.size.map(mm => mm * view.scale);
  const wood = board.ply ? inks.ply : inks.solid;
  pen.fillStyle = board.sheet && !board.sheet.outline ? wood : inks.paper;
  pen.fillRect(px, py, w, h);
  if (board.sheet?.outline) fill(view, board.at, sheetChains(board).outline, wood);
  if (board.sheet && !board.sheet.outline && shown("grain")) stroke(view, board.at, chainsOf(board).grain, { px: 0.6, colour: inks.grain, alpha: 0.5 });
  view.onGlass();
  pen.strokeStyle = inks.grain;
  pen.lineWidth = 1;
  pen.strokeRect(px, py, w, h);
}

function drawCuts(view, board, cuts, running) {
  const [{ at }, kerf, fine] = [board, board.sheet.kerf ?? 0.1, view.scale > FINE];
  const pale = running ? 0.35 : 1;
  if (shown("upper")) stroke(view, at, cuts.u, { px: 0.5, mm: kerf, colour: inks.band, alpha: 0.22 * pale });
  if (shown("band")) stroke(view, at, cuts.t, { px: 0.9, mm: kerf, colour: inks.band, alpha: 0.62 * pale });
  if (shown("tab")) stroke(view, at, cuts.tab, { px: fine ? 4 : 2.5, colour: inks.tab, cap: "butt" });
  if (shown("score")) stroke(view, at, cuts.s, { px: 1.2, colour: inks.ink, dash: [8, 3, 2, 3], alpha: pale });
  if (shown("mark") && fine) stroke(view, at, cuts.m, { px: 0.8, colour: inks.ink, alpha: pale });
  if (shown("travel")) stroke(view, at, cuts.travel, { px: 0.9, colour: inks.pencil, dash: [1, 4] });
}

/** Words on the board, with the paper shining around them. */
function write(view, text, px, py, { colour = inks.ink, size = 12, align = "center", weight = "" } = {}) {
  const { pen } = view;
  view.onGlass();
  pen.font = `${weight} ${size * letters()}px ${pageFont}`;
  pen.textAlign = align;
  pen.textBaseline = "middle";
  pen.lineJoin = "round";
  pen.lineWidth = 3;
  pen.strokeStyle = inks.part;
  pen.strokeText(text, px, py);
  pen.fillStyle = colour;
  pen.fillText(text, px, py);
}

const pageFont = "system-ui, sans-serif";

/** How much larger than usual the person has letters. */
const letters = () => parseFloat(getComputedStyle(document.documentElement).fontSize) / 16;

function drawNames(view, board) {
  const marked = shown("mark") && view.scale > FINE && fileOf(board) ? markedOf(board, fileOf(board)) : null;
  for (const piece of board.pieces) {
    if (marked?.has(piece)) continue;
    const [w, h] = [piece.bounds[2] - piece.bounds[0], piece.bounds[3] - piece.bounds[1]].map(mm => mm * view.scale);
    if (w < 9 * piece.of.id.length || h < 9) continue;
    const [px, py] = view.onto(board.at[0] + piece.middle[0], board.at[1] + piece.middle[1]);
    if (px > -50 && px < view.width + 50 && py > -20 && py < view.height + 20) write(view, piece.of.id, px, py, { size: 11 });
  }
}

/** The pieces on which a file marks something, their name most likely. */
function markedOf(board, file) {
  const begins = file.traces.filter(trace => trace.kind === "m").map(({ at: [x, y] }) => [x, y, x, y]);
  file.marked ??= new Set(board.pieces.filter(piece => begins.some(begin => meet(begin, piece.bounds))));
  return file.marked;
}

function drawOrder(view, board, file) {
  const through = file.traces.filter(trace => trace.kind === "t");
  through.forEach((trace, i) => {
    const [px, py] = view.onto(board.at[0] + trace.at[0], board.at[1] + trace.at[1]);
    if (px > 0 && px < view.width && py > 0 && py < view.height) write(view, String(i + 1), px, py, { size: 10, colour: inks.band });
  });
}

function drawHeading(view, board) {
  const { pen } = view;
  const [left, top] = view.onto(board.at[0], board.at[1] + board.size[1]);
  const begin = Math.max(left, 4);
  const room = left + board.size[0] * view.scale - begin;
  const size = Math.min(13, Math.max(9, (HEADING - 12) / 1.6)) * Math.min(letters(), 1.5);
  view.onGlass();
  pen.font = `600 ${size}px ${pageFont}`;
  pen.textAlign = "left";
  pen.textBaseline = "bottom";
  pen.fillStyle = inks.ink;
  const text = [board.title, `${board.title}   ${board.about}`, `${board.title}   ${board.about}   ${board.size.map(mm => short(mm, 0)).join(" × ")} mm`];
  const fits = text.filter(words => pen.measureText(words).width <= room).pop();
  if (fits) pen.fillText(fits, begin, top - 4);
}

/** The places where pieces are farthest off the plan: a full pin from above for a gouge, a hollow one from below for wood too much. */
function worstOf(board) {
  return ["gouge", "excess"].flatMap(measure => {
    const told = board.pieces.filter(piece => (piece[measure]?.[0] ?? 0) >= 0.0005);
    told.sort((a, b) => b[measure][0] - a[measure][0]);
    return told.slice(0, 1).map(piece => ({ measure, piece, mm: piece[measure][0], at: piece[measure].slice(1) }));
  });
}

function drawWorst(view, board) {
  board.worst ??= worstOf(board);
  for (const { measure, at, mm } of board.worst) {
    const [px, py] = view.onto(board.at[0] + at[0], board.at[1] + at[1]);
    const [{ pen }, up] = [view, measure === "gouge" ? -1 : 1];
    view.onGlass();
    pen.beginPath();
    pen.moveTo(px, py);
    pen.lineTo(px - 6, py + 14 * up);
    pen.lineTo(px + 6, py + 14 * up);
    pen.closePath();
    [pen.fillStyle, pen.strokeStyle, pen.lineWidth] = [measure === "gouge" ? inks.gouge : inks.part, inks[measure], 2];
    pen.fill();
    pen.stroke();
    if (view.scale > 2) write(view, `${mm.toFixed(3)} mm`, px + 10, py + 10 * up, { size: 11, align: "left", colour: inks[measure] });
  }
}

function drawFlags(view, board) {
  flags().filter(flag => flag.where.board === board).forEach(({ where, number }) => {
    const [px, py] = view.onto(board.at[0] + where.at[0], board.at[1] + where.at[1]);
    const { pen } = view;
    view.onGlass();
    [pen.strokeStyle, pen.lineWidth] = [inks.alarm, 2.5];
    pen.beginPath();
    pen.arc(px, py, 7, 0, 2 * Math.PI);
    pen.stroke();
    write(view, String(number), px + 12, py - 12, { colour: inks.alarm, weight: "700" });
  });
}

let flagged = null;
const flags = () =>
  (flagged ??= kit.problems.map((problem, i) => ({ where: whereIs(problem), number: i + 1 })).filter(flag => flag.where));

function drawPick(view, { pick }) {
  if (!pick) return;
  pick.chains ??= chains(() => pick.outlines, true);
  fill(view, pick.board.at, pick.chains, inks.pick, 0.3);
  stroke(view, pick.board.at, pick.chains, { px: 3, colour: inks.pick });
}
