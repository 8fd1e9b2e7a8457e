// Which class of mixture goes on which zone; what is not said of it the plan chooses.

import { controls } from "./controls.js";
import { el } from "./dom.js";
import { change } from "./visit.js";
import { say } from "./words.js";

function pick(name, kind) {
  change((visit) => {
    const zone = visit.zones.find((each) => each.name === name);
    // A mixture that goes on other zones stays theirs.
    const alone = visit.zones.every((each) => each === zone || each.mixture !== zone.mixture);
    if (zone.mixture && alone) delete visit.mixtures[zone.mixture];
    for (const key of ["mixture", "minutes", "toner"]) delete zone[key];
    if (!kind) return;
    zone.mixture = visit.mixtures[name] ? `${name} 2` : name;
    visit.mixtures[zone.mixture] = { kind };
  });
}

function group(zone, place, kind) {
  const option = (value, words) => {
    const id = `own-${place}-${value}`;
    const radio = el("input", { type: "radio", name: `own-${place}`, id, value });
    radio.checked = value === kind;
    radio.addEventListener("change", () => pick(zone.name, value));
    return el("span", { class: "option" }, radio, el("label", { for: id }, words));
  };
  return el(
    "fieldset",
    { class: "own-mix" },
    el("legend", {}, zone.name),
    el(
      "div",
      { class: "options" },
      option("", say("use.nothing")),
      ...Object.entries(controls.kinds).map(([name, { words }]) => option(name, words)),
    ),
  );
}

export function drawOwn(target, visit) {
  const now = visit.zones.map((zone) => [zone.name, visit.mixtures?.[zone.mixture]?.kind ?? ""]);
  const key = JSON.stringify(now);
  // Made anew only where it says something else, so that what has the focus keeps it.
  if (target.dataset.shown === key) return;
  const held = document.activeElement?.id;
  target.dataset.shown = key;
  target.replaceChildren(...visit.zones.map((zone, i) => group(zone, i, now[i][1])));
  if (held?.startsWith("own-")) document.getElementById(held)?.focus();
}
