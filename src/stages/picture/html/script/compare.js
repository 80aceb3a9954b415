// Two parts laid over each other: a former on a side, a left rib on a right one.

const over = { view: null, one: 0, two: 0 };

/** A part turned and mirrored as asked, its box's middle or its drawing's origin where the other part has its own. */
function laid(number, { mirrored, turn, byMiddle }) {
  const part = kit.parts[number];
  const here = { mirrored, turn, shift: [0, 0] };
  const place = () => part.outlines.map(outline => segmentsOf(placedRow(here, outline), true));
  const box = union(place()[0].map(boxOf));
  if (byMiddle) here.shift = [-(box[0] + box[2]) / 2, -(box[1] + box[3]) / 2];
  return chains(place, true);
}

function layOver() {
  if (kit.parts.length === 0) return;
  const byMiddle = byId("by-middle").checked;
  over.lower = laid(over.one, { mirrored: false, turn: 0, byMiddle });
  over.upper = laid(over.two, { mirrored: byId("other-hand").checked, turn: Number(byId("turned").value), byMiddle });
  const boxes = [over.lower, over.upper].map(one => union(one.list()[0].map(boxOf)));
  over.box = union(boxes);
  const [a, b] = boxes.map(box => [box[2] - box[0], box[3] - box[1]]);
  const names = [kit.parts[over.one].id, kit.parts[over.two].id];
  byId("compared").textContent =
    `${names[0]} is ${a.map(mm => mm.toFixed(3)).join(" × ")} mm, ${names[1]} ${b.map(mm => mm.toFixed(3)).join(" × ")} mm: ` +
    `${signed(b[0] - a[0])} mm along and ${signed(b[1] - a[1])} mm across from the one to the other.`;
}

/** A difference with its sign. */
const signed = value => (value < 0 ? "−" : "+") + Math.abs(value).toFixed(3);

function drawOver(again) {
  const { view: glass } = over;
  if (!over.lower || !glass || glass.canvas.clientWidth === 0) return;
  if (glass.resize() || again) glass.fit(over.box, 0.06);
  glass.onGlass();
  glass.pen.fillStyle = inks.paper;
  glass.pen.fillRect(0, 0, glass.width, glass.height);
  fill(glass, [0, 0], over.lower, inks.solid);
  fill(glass, [0, 0], over.upper, inks.pick, 0.28);
  stroke(glass, [0, 0], over.lower, { px: 1.5, colour: inks.ink });
  stroke(glass, [0, 0], over.upper, { px: 2, colour: inks.pick, dash: [7, 4] });
}

function fillCompare() {
  over.view = new View(byId("over"));
  for (const which of ["one", "two"]) {
    const select = byId(which);
    select.append(...kit.parts.map((part, i) => make("option", part.id, { value: i })));
    over[which] = which === "two" ? Math.min(1, kit.parts.length - 1) : 0;
    select.value = over[which];
    select.addEventListener("change", () => {
      over[which] = Number(select.value);
      layOver();
      drawOver(true);
    });
  }
  for (const id of ["other-hand", "turned", "by-middle"]) {
    byId(id).addEventListener("change", () => {
      layOver();
      drawOver(true);
    });
  }
  handle(over.view, { moved: () => drawOver(false), hovered: () => {}, tapped: () => {}, key: key => key === "Home" && (drawOver(true), true) });
  if (kit.parts.length > 0) layOver();
}
