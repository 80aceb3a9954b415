// Following the job: the page asks for word of a newer one, takes it, and goes on looking at the same place.

/** What the person looks at, by names, since numbers may change with the job. */
function kept() {
  const { pick, board } = desk;
  const boxes = ["other-hand", "by-middle"].map(id => [id, byId(id).checked]);
  const chosen = ["speed", "turned"].map(id => [id, byId(id).value]);
  const names = ["one", "two"].map(which => [which, kit.parts[over[which]]?.id]);
  return {
    view: [view.x - (board?.at[0] ?? 0), view.y - (board?.at[1] ?? 0), view.scale], board: board?.title, chosen, boxes, names,
    pick: pick && [pick.of.id, pick.copy], layers: layers.map(layer => [layer.id, layer.on]), time: desk.run?.time ?? 0,
    file: board?.chosen ?? 0, line: desk.line, scroll: [scrollX, scrollY],
    focus: document.activeElement?.id ?? "",
  };
}

/** Looks where the last page looked. */
function restore(last) {
  for (const [id, on] of last.layers) layers.filter(layer => layer.id === id).forEach(layer => (layer.on = on));
  byId("layers").querySelectorAll("input").forEach((box, i) => (box.checked = layers[i].on));
  for (const [id, value] of last.chosen) byId(id).value = value;
  for (const [id, on] of last.boxes) byId(id).checked = on;
  for (const [which, name] of last.names) {
    const index = kit.parts.findIndex(part => part.id === name);
    if (index >= 0) over[which] = byId(which).value = index;
  }
  if (kit.parts.length > 0) [layOver(), drawOver(true)];
  const board = boards.find(one => one.title === last.board);
  if (board) {
    board.chosen = Math.min(last.file, Math.max(0, board.files.length - 1));
    desk.run = null;
    choose(board);
    [view.x, view.y, view.scale] = [last.view[0] + board.at[0], last.view[1] + board.at[1], last.view[2]];
    setTime(last.time);
    if (last.line > 1) [(desk.line = last.line), showLines()];
  }
  const own = last.pick && pieces.filter(piece => piece.of.id === last.pick[0]);
  if (own?.length > 0) {
    desk.pick = own.find(piece => piece.copy === last.pick[1]) ?? own[0];
    showPicked();
  }
  scrollTo(...last.scroll);
  if (last.focus) byId(last.focus)?.focus({ preventScroll: true });
  redraw();
}

const KEPT = "grainwise-view";

/** Waits for a newer page for as long as the server stands. */
async function follow() {
  for (;;) {
    try {
      const answer = await fetch(`/newer?since=${kit.live}`, { cache: "no-store" });
      if (answer.ok && Number(await answer.text()) !== kit.live) break;
      if (!answer.ok) throw new Error(String(answer.status));
      byId("live").textContent = "This page follows the job.";
    } catch {
      byId("live").textContent = "The job is no longer followed: Grainwise does not answer.";
      await new Promise(done => setTimeout(done, 1000));
    }
  }
  sessionStorage.setItem(KEPT, JSON.stringify(kept()));
  location.reload();
}

function live() {
  byId("live").hidden = false;
  byId("live").textContent = "This page follows the job.";
  const last = sessionStorage.getItem(KEPT);
  sessionStorage.removeItem(KEPT);
  if (last) restore(JSON.parse(last));
  follow();
}
