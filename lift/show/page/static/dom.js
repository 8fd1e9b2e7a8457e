// Building blocks: elements are made, never written as text, so that nothing typed can become markup.

import { say } from "./words.js";

const SVG = "http://www.w3.org/2000/svg";

export const byId = (id) => document.getElementById(id);

function fill(made, attributes, children) {
  for (const [name, value] of Object.entries(attributes)) {
    if (value === null || value === undefined || value === false) continue;
    made.setAttribute(name, value === true ? "" : String(value));
  }
  made.append(...children.flat());
  return made;
}

export const el = (name, attributes = {}, ...children) =>
  fill(document.createElement(name), attributes, children);

export const svg = (name, attributes = {}, ...children) =>
  fill(document.createElementNS(SVG, name), attributes, children);

export function list(target, lines) {
  target.replaceChildren(...lines.map((line) => el("li", {}, line)));
}

// Those that stand on the page as it is sent, whatever is asked.
const standing = new Set([...(byId("care-standing")?.children ?? [])].map((li) => li.textContent));

// Cautions in the order told; those for this mixture and hair, before the standing ones, stand out.
export function cautions(target, lines) {
  const first = lines.findIndex((line) => standing.has(line));
  const kind = (i) => (i < first ? { class: "special" } : {});
  target.replaceChildren(...lines.map((line, i) => el("li", kind(i), line)));
}

export function tell(id, text) {
  const target = byId(id);
  if (target.textContent !== text) target.textContent = text;
}

// A level to a tenth; past the end of the scale no number is said of it.
const lastLevel = Number(document.documentElement.dataset.lastLevel);
export const levelWords = (level) =>
  Math.round(level * 10) / 10 > lastLevel ? say("level_short.past") : level.toFixed(1);

export const minutes = (t) => say("minutes", { t: Math.round(t * 10) / 10 });

// Seconds as m:ss, the way a kitchen clock shows them.
export function clockTime(seconds) {
  const whole = Math.max(0, Math.round(seconds));
  return `${Math.floor(whole / 60)}:${String(whole % 60).padStart(2, "0")}`;
}
