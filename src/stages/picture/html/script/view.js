// A window on the drawing board: which place is in its middle, and how many pixels are a millimetre.

/** A hundredth of a millimetre is forty pixels; farther in, the numbers of the page end. */
const NEAREST = 4000;

class View {
  constructor(canvas) {
    this.canvas = canvas;
    this.pen = canvas.getContext("2d");
    Object.assign(this, { scale: 1, x: 0, y: 0, width: 1, height: 1, farthest: 0.01 });
  }

  /** Takes the size that the page gives it; true where that changed. */
  resize() {
    const { clientWidth: width, clientHeight: height } = this.canvas;
    const dense = window.devicePixelRatio || 1;
    if (width === this.width && height === this.height && dense === this.dense) return false;
    Object.assign(this, { width, height, dense });
    this.canvas.width = Math.round(width * dense);
    this.canvas.height = Math.round(height * dense);
    return true;
  }

  /** Shows all of a rectangle. */
  fit([x0, y0, x1, y1], border = 0.04) {
    const room = 1 - 2 * border;
    this.x = (x0 + x1) / 2;
    this.y = (y0 + y1) / 2;
    this.scale = Math.min((this.width * room) / Math.max(x1 - x0, 1e-3), (this.height * room) / Math.max(y1 - y0, 1e-3));
    this.scale = Math.min(this.scale, NEAREST);
  }

  /** Where on the canvas a place is, pixels. */
  onto(x, y) {
    return [this.width / 2 + (x - this.x) * this.scale, this.height / 2 - (y - this.y) * this.scale];
  }

  /** The place under a pixel. */
  under(px, py) {
    return [this.x + (px - this.width / 2) / this.scale, this.y - (py - this.height / 2) / this.scale];
  }

  /** What can be seen of the board, as a rectangle. */
  seen(more = 0) {
    const [w, h] = [this.width / 2 / this.scale + more, this.height / 2 / this.scale + more];
    return [this.x - w, this.y - h, this.x + w, this.y + h];
  }

  /** Nearer by a factor; the place under the pixel stays. */
  zoom(factor, px = this.width / 2, py = this.height / 2) {
    const [x, y] = this.under(px, py);
    this.scale = Math.min(NEAREST, Math.max(this.farthest, this.scale * factor));
    this.x = x - (px - this.width / 2) / this.scale;
    this.y = y + (py - this.height / 2) / this.scale;
  }

  /** Slides the board by pixels. */
  slide(dx, dy) {
    this.x -= dx / this.scale;
    this.y += dy / this.scale;
  }

  /** Begins a picture: from here on millimetres of a board whose lower left corner is `at`. */
  onBoard(at) {
    const k = this.scale * this.dense;
    const [px, py] = this.onto(at[0], at[1]);
    this.pen.setTransform(k, 0, 0, -k, px * this.dense, py * this.dense);
  }

  /** From here on pixels. */
  onGlass() {
    this.pen.setTransform(this.dense, 0, 0, this.dense, 0, 0);
  }
}
