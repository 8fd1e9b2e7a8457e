// Zones of a visit as a list to choose from: each with its number, its locks and a line of words.

import { el } from "./dom.js";
import { drawChip } from "./lock.js";
import { say } from "./words.js";

function fresh(onchoose) {
  const button = el(
    "button",
    { type: "button", class: "zone" },
    el("span", { class: "zone-number" }),
    el("span", { class: "zone-locks" }),
    el("span", { class: "zone-about" }, el("strong"), el("span", { class: "zone-words" }), el("span", { class: "error" })),
  );
  button.addEventListener("click", () => onchoose(button.dataset.zone));
  return el("li", {}, button);
}

function write(target, text) {
  if (target.textContent !== text) target.textContent = text;
}

// Rows are `{name, shades, words, stale, refused}` in the order of the zones; what has not changed
// stays as it is, so that neither the focus nor time is lost.
export function zoneList(target, rows, chosen, onchoose) {
  while (target.children.length > rows.length) target.lastChild.remove();
  while (target.children.length < rows.length) target.append(fresh(onchoose));
  rows.forEach(({ name, shades, words, stale, refused }, i) => {
    const button = target.children[i].firstChild;
    const [number, locks, about] = button.children;
    button.dataset.zone = name;
    button.setAttribute("aria-pressed", String(name === chosen));
    write(number, String(i + 1));
    while (locks.children.length > shades.length) locks.lastChild.remove();
    while (locks.children.length < shades.length) locks.append(el("span", { class: "chip" }));
    shades.forEach((each, at) => drawChip(locks.children[at], each));
    const [called, said, wrong] = about.children;
    write(called, name);
    write(said, words);
    said.classList.toggle("stale", stale);
    write(wrong, refused ? say("hair.see") : "");
  });
}

// Whether what the server said of a zone is still about it as it is; of some of its `keys`, or all.
export function isStale(zone, answer, keys = null) {
  const then = answer?.visit.zones.find((each) => each.name === zone.name);
  const of = (each) => JSON.stringify(keys ? keys.map((key) => each?.[key]) : each);
  return of(then) !== of(zone);
}

export const shownOf = (zone, answer) => answer?.zones.find((each) => each.name === zone.name);
