// Playing the cuts: a file as steps in time, and how far it has got.

/** The steps of a file: each stretch that is cut, and the travel before it. */
function stepsOf(board, file) {
  const [cut, score, mark, plunge] = board.sheet.feeds;
  const usual = { t: cut, u: cut, s: score, m: mark };
  const steps = [];
  let [x, y, time] = [0, 0, 0];
  const add = (step, feed) => {
    const length = Math.hypot(lengthOf(step.segment), step.z1 - step.z0);
    const seconds = feed > 0 ? (length / feed) * 60 : 0;
    steps.push({ ...step, begin: time, seconds });
    time += seconds;
  };
  for (const trace of file.traces) {
    const { at, kind } = trace;
    const travel = { x0: x, y0: y, x1: at[0], y1: at[1], b: 0 };
    if (lengthOf(travel) > 1e-6) add({ kind: "travel", segment: travel, z0: 0, z1: 0, line: 0 }, kit.rapid);
    segmentsOf(at, false, 4).forEach((segment, i) => {
      const [z0, z1] = [at[4 * i + 2], at[4 * i + 6]];
      const down = lengthOf(segment) < 1e-6;
      add({ kind, segment, z0, z1, line: trace.lines[i] ?? 0 }, down && plunge > 0 ? plunge : (trace.feed ?? usual[kind]));
    });
    [x, y] = at.slice(-4);
  }
  return { steps, seconds: time };
}

/** A run of a board's file. By feeds alone a machine would be faster than it is: time is stretched to what the job reckons. */
function runOf(board) {
  const file = fileOf(board);
  if (!file) return null;
  file.run ??= stepsOf(board, file);
  const { steps, seconds } = file.run;
  if (steps.length === 0) return null;
  const stretch = board.sheet.time > 0 && seconds > 0 ? board.sheet.time / seconds : 1;
  return { board, file, steps, stretch, seconds: seconds * stretch, time: 0, done: { time: 0, next: 0, layers: {} } };
}

/** Number of the step at a time. */
function stepAt({ steps, stretch }, time) {
  let [low, high] = [0, steps.length - 1];
  while (low < high) {
    const middle = (low + high + 1) >> 1;
    if (steps[middle].begin * stretch <= time + 1e-9) low = middle;
    else high = middle - 1;
  }
  return low;
}

/** The step that is being made, how far, and where the machine is. */
function headOf(run) {
  const index = stepAt(run, run.time);
  const step = run.steps[index];
  if (!step) return null;
  const whole = step.seconds * run.stretch;
  const t = whole > 0 ? Math.min(1, (run.time - step.begin * run.stretch) / whole) : 1;
  const [x, y] = placeOn(step.segment, t);
  return { index, step, t, x, y, z: step.z0 + (step.z1 - step.z0) * t };
}

const DOING = { t: "cutting through", u: "a pass on the way down", s: "scoring", m: "marking", travel: "travelling" };

/** Time and place in words. */
function told(run) {
  const head = headOf(run);
  if (!head) return "Nothing is cut here.";
  const deep = kit.tool === "cutter" && head.step.kind !== "travel" ? `, depth ${short(-head.z)} mm` : "";
  const line = head.step.line > 0 ? `, line ${head.step.line}` : "";
  const where = `${DOING[head.step.kind]} at ${short(head.x)}, ${short(head.y)} mm${deep}${line}`;
  return `${clock(run.time)} of about ${clock(run.seconds)}: ${where}`;
}

/** What has been cut so far, as paths that grow; a run that goes back begins them anew. */
function cutSoFar(run, index) {
  const { done } = run;
  if (index < done.next) Object.assign(done, { next: 0, layers: {} });
  for (; done.next < index; done.next++) {
    const { kind, segment } = run.steps[done.next];
    (done.layers[kind] ??= []).push(segment);
  }
  return done.layers;
}

function drawRun(view, { run, line }) {
  if (!run) return;
  const [{ at }, kerf] = [run.board, run.board.sheet.kerf ?? 0.1];
  const head = headOf(run);
  if (!head) return;
  if (run.time > 0) {
    const layers_ = cutSoFar(run, head.index);
    const looks = { u: { mm: kerf, colour: inks.band, alpha: 0.35 }, t: { mm: kerf, colour: inks.band, alpha: 0.9 }, s: { px: 1.6, colour: inks.ink }, m: { px: 1.2, colour: inks.ink } };
    for (const [kind, look] of Object.entries(looks)) {
      if (layers_[kind] && (kind !== "m" || view.scale > FINE)) stroke(view, at, chains(() => [layers_[kind]]), { px: 1.2, ...look });
    }
    if (head.step.kind !== "travel") stroke(view, at, chains(() => [[partOf(head.step.segment, 0, head.t)]]), { px: 1.2, mm: kerf, colour: inks.band });
    drawHead(view, view.onto(at[0] + head.x, at[1] + head.y), kerf);
  }
  const marked = line > 0 ? run.steps.filter(step => step.line === line) : [];
  if (marked.length > 0) stroke(view, at, chains(() => marked.map(step => [step.segment])), { px: 5, colour: inks.pick });
}

function drawHead(view, [px, py], kerf) {
  const { pen } = view;
  view.onGlass();
  [pen.strokeStyle, pen.lineWidth] = [inks.ink, 2];
  pen.beginPath();
  pen.arc(px, py, Math.max(7, (kerf / 2) * view.scale), 0, 2 * Math.PI);
  [pen.moveTo(px - 12, py), pen.lineTo(px + 12, py), pen.moveTo(px, py - 12), pen.lineTo(px, py + 12)];
  pen.stroke();
}

/** The step whose path comes nearest to a place on the run's board, within reach. */
function stepNear(run, x, y, reach) {
  let best = null;
  run.steps.forEach((step, index) => {
    if (step.kind === "travel") return;
    const box = around(step.segment);
    if (!meet([box[0] - reach, box[1] - reach, box[2] + reach, box[3] + reach], [x, y, x, y])) return;
    const { t, off } = nearestOn(step.segment, x, y);
    if (off <= reach && off <= (best?.off ?? Infinity)) best = { index, step, t, off };
  });
  return best;
}
