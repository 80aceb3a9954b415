// The notes below the board: what is cut, what to look out for, the parts, and the lines.

/** A row of a table; cells are text or elements, the first one its head. */
function rowOf(cells) {
  const row = make("tr");
  cells.forEach((cell, i) => {
    const box = make(i === 0 ? "th" : "td", "", i === 0 ? { scope: "row" } : {});
    if (typeof cell === "number") box.classList.add("figure");
    box.append(cell instanceof Node ? cell : String(cell));
    row.append(box);
  });
  return row;
}

function fillGlance() {
  // A verdict is of the files: it does not stand where something before them is wrong.
  const ofFiles = kit.ok || kit.problems.some(problem => problem.sheet !== null && problem.severity === "error");
  const unproved = kit.ok ? "Nothing was cut yet, so nothing is proved." : "Not ready to be cut: see the problems below.";
  byId("verdict").textContent = (ofFiles && kit.verdict) || unproved;
  byId("verdict").classList.toggle("wrong", !kit.ok);
  const woods = [...new Set(kit.sheets.map(sheet => `${sheet.wood} ${short(sheet.thickness)} mm`))];
  const time = kit.sheets.reduce((sum, sheet) => sum + sheet.time, 0);
  const how = kit.tool === "beam" ? "a laser beam" : "a cutter";
  const facts = [
    ["Machine", `${kit.machine}, by ${how}`],
    ["Wood", woods.join(", ") || "none yet"],
    ["Sheets", String(kit.sheets.length)],
    ["Pieces", `${pieces.length} of ${count(kit.parts.length, "part")}`],
    ["Time", time > 0 ? `about ${clock(time)}` : "not known"],
    ["Watch", watch()],
  ];
  byId("facts").append(...facts.flatMap(([what, value]) => [make("dt", what), make("dd", value)]));
  byId("cautions").append(...kit.cautions.map(text => make("li", text)));
}

function watch() {
  const of = severity => kit.problems.filter(problem => problem.severity === severity).length;
  const [errors, warnings] = [of("error"), of("warning")];
  return errors + warnings === 0 ? "no problem was found" : `${count(errors, "error")}, ${count(warnings, "warning")}`;
}

function fillSheets() {
  byId("sheets").append(...boards.filter(board => board.sheet).map(board => {
    const { sheet } = board;
    const go = button(String(sheet.number), () => lookAt(board), `Look at sheet ${sheet.number}`);
    const size = sheet.size.map(mm => short(mm, 0)).join(" × ");
    const time = sheet.time > 0 ? clock(sheet.time) : "";
    return rowOf([go, `${sheet.wood} ${short(sheet.thickness)} mm`, size, sheet.pieces.length, `${Math.round(sheet.used * 100)} %`, time]);
  }));
}

function fillProblems() {
  const words = { error: "Error", warning: "Warning", note: "Note" };
  byId("problems").append(...kit.problems.map((problem, i) => {
    const item = make("li", "", { class: problem.severity });
    item.append(make("b", `${i + 1}. ${words[problem.severity]}: `), problem.message);
    if (problem.hint) item.append(make("br"), make("i", problem.hint));
    const where = whereIs(problem);
    if (where) item.append(" ", button("Show", () => lookClose(where.board, where.at), `Show problem ${i + 1} on the board`));
    return item;
  }));
  const worst = boards.flatMap(board => (board.worst ??= worstOf(board)).map(one => ({ ...one, board })));
  worst.sort((a, b) => b.mm - a.mm);
  byId("worst").append(...worst.slice(0, 6).map(({ board, measure, piece, mm, at }) => {
    const what = measure === "gouge" ? "cut into it by" : "wood stands out by";
    const item = make("li", `${piece.name}: ${what} ${mm.toFixed(3)} mm `);
    item.append(button("Show", () => lookClose(board, at), `Show ${measure} of ${piece.name}`));
    return item;
  }));
  byId("no-problems").hidden = kit.problems.length > 0;
  byId("no-worst").hidden = worst.length > 0;
}

/** Angle of the grain within a part, in words. */
const grainWords = part => (part.grain === null ? "any way" : part.grain === 0 ? "along" : `at ${short(part.grain, 1)}°`);

function fillParts() {
  byId("parts").append(...kit.parts.map((part, number) => {
    const mine = pieces.filter(piece => piece.part === number);
    const next = () => pick(mine[(mine.indexOf(desk.pick) + 1) % mine.length], true);
    const name = button(part.id, next, `Show ${part.id} on the board`);
    name.disabled = mine.length === 0;
    const hand = part.mirrored > 0 ? `${part.copies - part.mirrored} + ${part.mirrored}` : "one";
    const sheets = [...new Set(mine.map(piece => piece.board.sheet?.number ?? piece.board.title))].join(", ");
    const size = part.size.map(mm => short(mm, 1)).join(" × ");
    const row = rowOf([name, `${part.wood} ${short(part.thickness)} mm`, grainWords(part), part.copies, hand, size, short(part.mass), sheets]);
    row.dataset.part = number;
    return row;
  }));
}

/** What is known of the picked piece. */
function showPicked() {
  document.querySelectorAll("#parts tr").forEach(row => row.classList.toggle("picked", Number(row.dataset.part) === desk.pick?.part));
  document.querySelectorAll("#parts tr button").forEach(one => one.setAttribute("aria-pressed", String(Number(one.closest("tr").dataset.part) === desk.pick?.part)));
  const list = byId("piece");
  list.replaceChildren();
  byId("no-piece").hidden = desk.pick !== null;
  if (!desk.pick) return;
  const { of: part, board, name, gouge, excess, corners } = desk.pick;
  const facts = [
    ["Piece", name], ["Lies on", board.title], ["Drawn in", part.file], ["Wood", `${part.wood} ${short(part.thickness)} mm`],
    ["Grain", grainWords(part)], ["Size as drawn", `${part.size.map(mm => short(mm, 3)).join(" × ")} mm`], ["Mass", `${short(part.mass)} g`],
  ];
  if (gouge) facts.push(["Cut into it", gouge[0] > 0 ? `${gouge[0].toFixed(3)} mm at most` : "nowhere"]);
  if (excess) facts.push(["Stands out", excess[0] > 0 ? `${excess[0].toFixed(3)} mm at most` : "nowhere"]);
  if (corners > 0) facts.push(["Stay round", count(corners, "corner")]);
  list.append(...facts.flatMap(([what, value]) => [make("dt", what), make("dd", value)]));
}

function fillLayers() {
  byId("layers").append(...layers.map(layer => {
    const label = make("label");
    const box = make("input", "", { type: "checkbox" });
    box.checked = layer.on;
    box.addEventListener("change", () => {
      layer.on = box.checked;
      redraw();
    });
    label.append(box, make("span", "", { class: `sign ${layer.sign}`, "aria-hidden": "true" }), layer.name);
    return label;
  }));
}

/** The depths of the sheet that is looked at, with how it is cut. */
function showSheet() {
  const { sheet } = desk.board;
  const list = byId("settings");
  list.replaceChildren();
  if (!sheet) return;
  const rows = sheet.settings.map(([what, value, unit]) => [what, `${short(value, 3)} ${unit}`]);
  rows.push(...sheet.craft);
  const file = fileOf(desk.board);
  const steps = kit.tool === "cutter" && file ? depthsOf(file) : [];
  if (steps.length > 0) rows.push(["depth by step", steps.map(({ z, length }) => `${short(z)} mm (${short(length / 1000)} m)`).join(", ")]);
  rows.push(["cut", `${short(sheet.cut / 1000)} m`], ["travel", `${short(sheet.travel / 1000)} m`]);
  const left = leftWords(desk.board);
  rows.push(["left over", left ? `${left}, one straight cut takes it off` : "nothing worth keeping"]);
  list.append(...rows.flatMap(([what, value]) => [make("dt", what), make("dd", value)]));
}

/** Lengths cut at each depth, the shallowest first. */
function depthsOf(file) {
  const depths = new Map();
  for (const trace of file.traces) {
    segmentsOf(trace.at, false, 4).forEach((segment, i) => {
      const [z0, z1] = [trace.at[4 * i + 2], trace.at[4 * i + 6]];
      if (Math.abs(z0 - z1) < 1e-3) depths.set(-z1, (depths.get(-z1) ?? 0) + lengthOf(segment));
    });
  }
  return [...depths].filter(([z]) => z > 0).map(([z, length]) => ({ z, length })).sort((a, b) => a.z - b.z);
}
