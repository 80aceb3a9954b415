// While the board moves, a picture that takes long is not drawn anew for every step: the last one slides and grows with it,
// over one of the whole board, and is drawn sharp as soon as the hand is still.

/** A frame longer than this, ms, is slow: thirty frames a second leave 33. */
const SLOW_MS = 28;

/** How long the hand is still before the picture is drawn sharp; how old and how much larger a picture may get meanwhile. */
const STILL_MS = 110;
const OLD_MS = 450;
const GROWN = 2.5;

const glide = { last: null, whole: null, slow: false, waiting: false, timer: 0 };

/** The picture as it is, with the place that it shows. */
function shot(before) {
  const { canvas, x, y, scale, width, height } = view;
  const copy = before?.copy ?? document.createElement("canvas");
  [copy.width, copy.height] = [canvas.width, canvas.height];
  copy.getContext("2d").drawImage(canvas, 0, 0);
  return { copy, x, y, scale, width, height, at: performance.now() };
}

/** Keeps the picture just drawn, where drawing is slow; `frame` is when its drawing began. */
function keep(frame) {
  if (glide.slow) {
    glide.last = shot(glide.last);
    if (view.scale <= view.farthest * 3.001) glide.whole = shot(glide.whole);
  }
  requestAnimationFrame(next => (glide.slow = next - frame > SLOW_MS || (glide.slow && next - frame > SLOW_MS / 2 && moving())));
}

/** Forgets pictures of another size. */
const forget = () => Object.assign(glide, { last: null, whole: null });

const moving = () => glide.timer !== 0;

/** The board was moved by hand. */
function moved() {
  clearTimeout(glide.timer);
  glide.timer = setTimeout(() => [(glide.timer = 0), redraw()], STILL_MS);
  const { last } = glide;
  const grown = last ? Math.max(view.scale / last.scale, last.scale / view.scale) : Infinity;
  if (!glide.slow || grown > GROWN || performance.now() - last.at > OLD_MS) return redraw();
  if (glide.waiting || waiting) return;
  glide.waiting = true;
  requestAnimationFrame(() => {
    glide.waiting = false;
    if (!waiting) slide();
  });
}

/** The last pictures, where their places are now. */
function slide() {
  const { pen } = view;
  view.onGlass();
  pen.fillStyle = inks.paper;
  pen.fillRect(0, 0, view.width, view.height);
  for (const one of [glide.whole, glide.last]) {
    if (!one) continue;
    const grown = view.scale / one.scale;
    const [px, py] = view.onto(one.x, one.y);
    const [w, h] = [one.width * grown, one.height * grown];
    pen.drawImage(one.copy, px - w / 2, py - h / 2, w, h);
  }
}
