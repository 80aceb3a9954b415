// Elements, numbers and words.

/** The element with this id. */
const byId = id => document.getElementById(id);

/** A new element; text is only ever text. */
function make(tag, text = "", attributes = {}) {
  const element = document.createElement(tag);
  if (text !== "") element.textContent = text;
  for (const [name, value] of Object.entries(attributes)) element.setAttribute(name, value);
  return element;
}

/** A button that does something. */
function button(text, does, label = "") {
  const element = make("button", text, label ? { type: "button", "aria-label": label } : { type: "button" });
  element.addEventListener("click", does);
  return element;
}

/** A number with at most so many decimals, as short as it goes. */
const short = (value, digits = 2) => String(Number(value.toFixed(digits)));

/** A duration in words. */
function clock(seconds) {
  const whole = Math.round(seconds);
  const [hours, minutes, rest] = [Math.floor(whole / 3600), Math.floor(whole / 60) % 60, whole % 60];
  if (hours > 0) return `${hours} h ${String(minutes).padStart(2, "0")} min`;
  return minutes > 0 ? `${minutes} min ${String(rest).padStart(2, "0")} s` : `${rest} s`;
}

/** "1 part", "2 parts". */
const count = (number, one) => `${number} ${one}${number === 1 ? "" : "s"}`;
