// The desk: what the person looks at, and everything set going.

const desk = { board: boards[0], pick: null, hover: null, run: null, line: 1, measure: { on: false, from: null, to: null } };
const view = new View(byId("board"));
const player = { on: false, last: 0 };
let [waiting, whole] = [false, null];

function redraw() {
  if (waiting) return;
  waiting = true;
  requestAnimationFrame(frame => {
    waiting = false;
    draw(view, desk);
    keep(frame);
    if (byId("board").matches(":focus-visible")) drawCross();
  });
}

/** The middle of the board, for those who use the keys. */
function drawCross() {
  view.onGlass();
  const [{ pen }, x, y] = [view, view.width / 2, view.height / 2];
  [pen.strokeStyle, pen.lineWidth] = [inks.pick, 1.5];
  pen.beginPath();
  [pen.moveTo(x - 14, y), pen.lineTo(x + 14, y), pen.moveTo(x, y - 14), pen.lineTo(x, y + 14)];
  pen.stroke();
}

function showAll() {
  whole = arrange(view.width, view.height);
  view.fit(whole, 0.015);
  view.farthest = view.scale / 3;
  redraw();
}

/** Shows a board, and makes its file the one that is played. */
function lookAt(board) {
  choose(board);
  const [x, y] = board.at;
  view.fit([x, y, x + board.size[0], y + board.size[1]]);
  redraw();
}

/** Shows what lies so many millimetres around a place. */
function lookClose(board, [x, y], reach = 4) {
  choose(board);
  view.fit([board.at[0] + x - reach, board.at[1] + y - reach, board.at[0] + x + reach, board.at[1] + y + reach], 0.1);
  redraw();
}

function choose(board) {
  if (desk.board === board && desk.run) return;
  desk.board = board;
  byId("sheet").value = board.index;
  const select = byId("file");
  select.replaceChildren(...board.files.map((file, i) => make("option", file.name, { value: i })));
  select.value = board.chosen ?? 0;
  take();
}

/** Takes the chosen file of the board in hand. */
function take() {
  player.on = false;
  desk.run = runOf(desk.board);
  desk.line = desk.run?.steps.find(step => step.line > 0)?.line ?? 1;
  byId("time").max = Math.max(1, Math.ceil(desk.run?.seconds ?? 1));
  for (const id of ["play", "back", "on", "first", "time", "speed", "file"]) byId(id).disabled = !desk.run;
  setTime(0);
  showSheet();
  showLines();
}

function pick(piece, look = false) {
  desk.pick = piece;
  if (piece) choose(piece.board);
  if (piece && look) {
    const [[x, y], [x0, y0, x1, y1]] = [piece.board.at, piece.bounds];
    view.fit([x + x0, y + y0, x + x1, y + y1], 0.15);
  }
  showPicked();
  redraw();
}

function setTime(seconds, quietly = false) {
  const { run } = desk;
  if (run) run.time = Math.min(run.seconds, Math.max(0, seconds));
  byId("time").value = run?.time ?? 0;
  const words = run ? told(run) : "There is no file to play for this sheet.";
  byId("time").setAttribute("aria-valuetext", words);
  byId("told").textContent = words;
  const line = run ? headOf(run)?.step.line : 0;
  if (line > 0 && line !== desk.line) {
    desk.line = line;
    if (!quietly) showLines();
  }
  byId("play").textContent = player.on ? "Pause" : "Play";
  redraw();
}

/** One step on or back. */
function step(by) {
  const { run } = desk;
  player.on = false;
  const index = headOf(run)?.index ?? 0;
  const next = run.steps[Math.min(run.steps.length - 1, Math.max(0, index + by))];
  const last = by > 0 && index === run.steps.length - 1;
  setTime(last ? run.seconds : next.begin * run.stretch + 1e-6);
}

function play() {
  player.on = !player.on;
  if (player.on && desk.run.time >= desk.run.seconds) desk.run.time = 0;
  player.last = performance.now();
  setTime(desk.run.time);
  if (player.on) requestAnimationFrame(tick);
}

function tick(now) {
  if (!player.on) return;
  const next = desk.run.time + (Math.max(0, now - player.last) / 1000) * Number(byId("speed").value);
  player.last = now;
  player.on = next < desk.run.seconds;
  setTime(next, player.on && Math.floor(now / 250) === Math.floor((now - 17) / 250));
  requestAnimationFrame(tick);
}

function tapped([x, y]) {
  const board = boardAt(x, y);
  if (desk.measure.on) {
    const { measure } = desk;
    const end = snapped(view, x, y);
    desk.measure = !measure.from || measure.to ? { on: true, from: end, to: null } : { ...measure, to: end };
    byId("measured").textContent = measured(desk.measure);
    return redraw();
  }
  if (!board) return pick(null);
  choose(board);
  const [bx, by] = [x - board.at[0], y - board.at[1]];
  const near = desk.run ? stepNear(desk.run, bx, by, 6 / view.scale) : null;
  if (near?.step.line > 0) goToLine(near.step.line, false);
  pick(board.pieces.find(piece => isIn(piece, bx, by)) ?? null);
}

function setMeasure(on) {
  desk.measure = { on, from: null, to: null };
  byId("measure").setAttribute("aria-pressed", String(on));
  byId("measured").textContent = on ? measured(desk.measure) : "";
  redraw();
}

function key(name) {
  if (name === "Home") showAll();
  else if (name === "Escape") [setMeasure(false), pick(null)];
  else return false;
  return true;
}

const does = {
  all: showAll,
  nearer: () => [view.zoom(1.6), redraw()],
  farther: () => [view.zoom(1 / 1.6), redraw()],
  measure: () => setMeasure(!desk.measure.on),
  play,
  first: () => [(player.on = false), setTime(0)],
  back: () => step(-1),
  on: () => step(1),
};

function listen() {
  for (const [id, act] of Object.entries(does)) byId(id).addEventListener("click", act);
  byId("sheet").append(...boards.map(board => make("option", board.title, { value: board.index })));
  byId("sheet").addEventListener("change", event => lookAt(boards[Number(event.target.value)]));
  byId("file").addEventListener("change", event => [(desk.board.chosen = Number(event.target.value)), take()]);
  byId("time").addEventListener("input", event => [(player.on = false), setTime(Number(event.target.value))]);
  byId("line").addEventListener("change", event => goToLine(Number(event.target.value) || 1, true));
  const hovered = place => {
    desk.hover = place;
    byId("under").textContent = place ? underPointer(place) : "";
    if (desk.measure.on) redraw();
  };
  handle(view, { moved, hovered, tapped, key });
  for (const event of ["focus", "blur"]) byId("board").addEventListener(event, redraw);
  new ResizeObserver(() => view.resize() && boards.length > 0 && [forget(), showAll()]).observe(byId("board"));
  new ResizeObserver(stay).observe(document.querySelector(".table"));
  addEventListener("resize", stay);
  const light = matchMedia("(prefers-color-scheme: dark)");
  light.addEventListener("change", () => [mix(), redraw(), drawOver(false)]);
  addEventListener("beforeprint", () => [printing(true), draw(view, desk)]);
  addEventListener("afterprint", () => [printing(false), redraw()]);
}

/** The board stays in sight while the notes go by under it, where they have room to. */
const MOST_OF_WINDOW = 0.7;
function stay() {
  const table = document.querySelector(".table");
  const stays = table.offsetHeight < MOST_OF_WINDOW * innerHeight;
  table.classList.toggle("stays", stays);
  document.documentElement.style.scrollPaddingTop = stays ? `${table.offsetHeight + 8}px` : "";
}

/** Paper is white: the board is printed in its light colours. */
function printing(on) {
  document.documentElement.classList.toggle("printing", on);
  mix();
}

/** What stands farther down the page, once the first picture is there. */
function fillNotes() {
  fillProblems();
  fillParts();
  fillCompare();
  new ResizeObserver(() => drawOver(false)).observe(byId("over"));
  showPicked();
  drawOver(true);
  if (kit.live) live();
  document.documentElement.classList.add("ready");
}

mix();
fillGlance();
fillSheets();
fillLayers();
listen();
view.resize();
document.querySelector(".table").hidden = boards.length === 0;
if (boards.length > 0) [showAll(), choose(boards[0])];
requestAnimationFrame(() => setTimeout(fillNotes));
