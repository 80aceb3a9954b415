// Wheel, pointers and keys on a canvas.

/** Pixels that a key slides the board, and how much nearer one step comes. */
const SLIDE = 60;
const CLOSER = 1.25;

/** A pointer that moved no farther than this, pixels, tapped. */
const STILL = 6;

/** Makes a view move under the hands; `does` has moved, hovered (a place or null), tapped (a place), and key (true: done). */
function handle(view, does) {
  const { canvas } = view;
  const fingers = new Map();
  let [moved, pinch] = [0, null];
  const pixel = event => [event.offsetX, event.offsetY];

  canvas.addEventListener("wheel", event => {
    event.preventDefault();
    const lines = event.deltaMode === 1 ? 30 : 1;
    view.zoom(Math.exp(-event.deltaY * lines * 0.0016), ...pixel(event));
    does.moved();
  }, { passive: false });

  canvas.addEventListener("pointerdown", event => {
    canvas.setPointerCapture(event.pointerId);
    fingers.set(event.pointerId, pixel(event));
    if (fingers.size === 1) moved = 0;
    pinch = null;
  });

  canvas.addEventListener("pointermove", event => {
    const before = fingers.get(event.pointerId);
    const now = pixel(event);
    if (!before) return does.hovered(view.under(...now));
    fingers.set(event.pointerId, now);
    moved += Math.hypot(now[0] - before[0], now[1] - before[1]);
    if (fingers.size === 2) pinched();
    else if (moved > STILL) view.slide(now[0] - before[0], now[1] - before[1]);
    does.moved();
  });

  function pinched() {
    const [[ax, ay], [bx, by]] = fingers.values();
    const next = { x: (ax + bx) / 2, y: (ay + by) / 2, wide: Math.hypot(bx - ax, by - ay) };
    if (pinch) {
      view.slide(next.x - pinch.x, next.y - pinch.y);
      view.zoom(next.wide / Math.max(pinch.wide, 1), next.x, next.y);
    }
    pinch = next;
  }

  const lifted = event => {
    const tapped = fingers.size === 1 && moved <= STILL && event.type === "pointerup";
    fingers.delete(event.pointerId);
    pinch = null;
    if (tapped) does.tapped(view.under(...pixel(event)));
  };
  canvas.addEventListener("pointerup", lifted);
  canvas.addEventListener("pointercancel", lifted);
  canvas.addEventListener("pointerleave", () => does.hovered(null));

  const keys = {
    ArrowLeft: () => view.slide(SLIDE, 0),
    ArrowRight: () => view.slide(-SLIDE, 0),
    ArrowUp: () => view.slide(0, SLIDE),
    ArrowDown: () => view.slide(0, -SLIDE),
    "+": () => view.zoom(CLOSER),
    "=": () => view.zoom(CLOSER),
    "-": () => view.zoom(1 / CLOSER),
    Enter: () => does.tapped([view.x, view.y]),
  };
  canvas.addEventListener("keydown", event => {
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    const act = keys[event.key];
    if (!act && !does.key(event.key)) return;
    event.preventDefault();
    act?.();
    does.hovered([view.x, view.y]);
    does.moved();
  });
}
