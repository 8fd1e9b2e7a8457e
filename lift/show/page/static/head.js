// The head, drawn from above in its parts, and the hair along its length. Both are for choosing: of a
// stretch along the hair the head shows which zone lies where; a tapped part is told.

import { el, svg } from "./dom.js";
import { bead, drawChip } from "./lock.js";
import { say } from "./words.js";

export const PLACES = ["front", "top", "sides", "back"];
export const STRETCHES = ["regrowth", "mid-lengths", "ends", "foils"];

const [WIDTH, HEIGHT] = [240, 262];
const OUTLINES = {
  front: ["M63.4 45.7A92 112 0 0 1 176.6 45.7Q168 72 170 98Q120 80 70 98Q72 72 63.4 45.7Z"],
  top: ["M70 98Q120 80 170 98Q176 140 166 180Q120 206 74 180Q64 140 70 98Z"],
  sides: [
    "M63.4 45.7Q72 72 70 98Q64 140 74 180Q56 180 38.8 186.6A92 112 0 0 1 63.4 45.7Z",
    "M176.6 45.7Q168 72 170 98Q176 140 166 180Q184 180 201.2 186.6A92 112 0 0 0 176.6 45.7Z",
  ],
  back: ["M38.8 186.6Q56 180 74 180Q120 206 166 180Q184 180 201.2 186.6A92 112 0 0 1 38.8 186.6Z"],
};
// Where the number of a part stands; the sides have two.
const NUMBERED = { front: [[120, 50]], top: [[120, 126]], sides: [[48, 116], [192, 116]], back: [[120, 212]] };
const FACE = "M30 112Q13 110 15 132Q17 152 32 150M210 112Q227 110 225 132Q223 152 208 150M108 23Q120 5 132 23";
const [CROWN_X, CROWN_Y, STRANDS] = [120, 158, 64];
// A packet of foil, as it lies on a part.
const FOIL = "M-11 -5H11V5H-11ZM-11 -1.5H11";
const FOILED = {
  front: [[84, 70, -18], [156, 70, 18]],
  top: [[92, 158, -12], [148, 158, 12]],
  sides: [[54, 158, 80], [186, 158, -80]],
  back: [[78, 206, 20], [162, 206, -20]],
};
let made = 0;

// Hair falls from the crown outwards, a little turned.
function whorl() {
  let path = "";
  for (let i = 0; i < STRANDS; i++) {
    const [out, turn] = [(2 * Math.PI * i) / STRANDS, (2 * Math.PI * (i - 1.6)) / STRANDS];
    const at = (angle, share) =>
      `${(CROWN_X + share * 90 * Math.cos(angle)).toFixed(1)} ${(134 + (1 - share) * (CROWN_Y - 134) + share * 110 * Math.sin(angle)).toFixed(1)}`;
    path += `M${at(turn, i % 2 ? 0.12 : 0.3)}Q${at(turn, 0.6)} ${at(out, 1)}`;
  }
  return path;
}

const text = (className, x, y, words) => svg("text", { class: className, x, y, "text-anchor": "middle" }, words);

// Numbers of zones, as they are said and as they are written.
const numbers = (zones) => zones.map((zone) => zone.number).join(", ");

// Draws head and hair into `target`. `zones` are `{name, number, head, along, shades}`, `chosen` is a
// name, `along` the stretch that the head shows. A tap tells `ontap({place, along, zones})`, with the
// zones there; another stretch tells `onalong(along)`. Returns how to show others.
export function drawHead(target, { zones = [], chosen = null, along = STRETCHES[0], ontap = () => {}, onalong = () => {} }) {
  let now = { zones, chosen, along };
  const own = `head-${++made}`;
  const beads = svg("defs");
  const foils = svg("g", { class: "head-foils", "aria-hidden": "true" });
  const labels = svg("g", { class: "head-labels", "aria-hidden": "true" });
  const parts = PLACES.map((place) => {
    const part = svg("g", { class: "head-part", role: "button", tabindex: 0, "data-place": place });
    const tap = () => ontap({ place, along: now.along, zones: there(place) });
    part.addEventListener("click", tap);
    part.addEventListener("keydown", (event) => {
      if (event.key !== "Enter" && event.key !== " ") return;
      event.preventDefault();
      tap();
    });
    return part;
  });
  const drawing = svg(
    "svg",
    { class: "head-drawing", viewBox: `0 0 ${WIDTH} ${HEIGHT}`, role: "group", "aria-label": say("head.name") },
    beads, svg("path", { class: "head-face", d: FACE }), ...parts,
    svg("path", { class: "head-strands", d: whorl(), "aria-hidden": "true" }), foils, labels,
  );
  const stretches = STRETCHES.map((name) => {
    const button = el(
      "button",
      { type: "button", role: "radio", class: "stretch", "data-along": name },
      el("span", { class: "stretch-hair", "aria-hidden": "true" }),
      el("span", { class: "stretch-name" }, say(`head.along.${name}`)),
      el("span", { class: "stretch-zones" }),
    );
    button.addEventListener("click", () => turn(name));
    return button;
  });
  const hair = el("div", { class: "stretches", role: "radiogroup", "aria-label": say("head.along") }, ...stretches);
  hair.addEventListener("keydown", (event) => {
    const by = { ArrowDown: 1, ArrowRight: 1, ArrowUp: -1, ArrowLeft: -1 }[event.key];
    if (!by) return;
    event.preventDefault();
    const next = (STRETCHES.indexOf(now.along) + by + STRETCHES.length) % STRETCHES.length;
    turn(STRETCHES[next]);
    stretches[next].focus();
  });
  target.classList.add("head");
  target.replaceChildren(drawing, hair);

  const lies = (zone, place) => !zone.head?.length || zone.head.includes(place);
  const of = (stretch) => now.zones.filter((zone) => zone.along === stretch);
  const there = (place) => of(now.along).filter((zone) => lies(zone, place));

  function turn(name) {
    if (name === now.along) return;
    now = { ...now, along: name };
    draw();
    onalong(name);
  }

  // The zone that gives a part its colour: the chosen one, or the first.
  const front = (found) => found.find((zone) => zone.name === now.chosen) ?? found[0];

  function drawPart(part, place) {
    const found = there(place);
    const zone = front(found);
    const isChosen = zone !== undefined && zone.name === now.chosen;
    part.classList.toggle("empty", !zone);
    part.classList.toggle("chosen", isChosen);
    const id = `${own}-${place}`;
    if (zone?.shades) beads.append(bead(id, zone.shades));
    part.replaceChildren(
      ...OUTLINES[place].map((d) => svg("path", zone?.shades ? { d, fill: `url(#${id})` } : { d })),
    );
    const words = say(`head.place.${place}`);
    const name = zone ? say("head.part", { place: words, zones: numbers(found) }) : say("head.empty", { place: words });
    part.setAttribute("aria-label", name);
    part.setAttribute("aria-pressed", String(isChosen));
    for (const [x, y] of NUMBERED[place]) {
      const label = svg("g", { class: isChosen ? "chosen" : zone ? "" : "empty" });
      label.append(
        svg("circle", { cx: x, cy: y, r: 13 }),
        text("head-number", x, y + 5.5, zone ? numbers(found) : "+"),
        text("head-name", x, y + 29, words),
      );
      labels.append(label);
    }
    if (now.along === "foils" && zone) {
      foils.append(...FOILED[place].map(([x, y, by]) => svg("path", { d: FOIL, transform: `translate(${x} ${y}) rotate(${by})` })));
    }
  }

  function drawStretch(button, name) {
    const found = of(name);
    const zone = front(found);
    button.setAttribute("aria-checked", String(name === now.along));
    button.setAttribute("tabindex", name === now.along ? "0" : "-1");
    const [drawn, , written] = button.children;
    drawn.classList.toggle("empty", !zone?.shades);
    if (zone?.shades) drawChip(drawn, zone.shades);
    else drawn.replaceChildren();
    written.textContent = numbers(found);
    const words = say(`head.along.${name}`);
    button.setAttribute("aria-label", zone ? say("head.part", { place: words, zones: numbers(found) }) : words);
  }

  function draw() {
    for (const group of [beads, foils, labels]) group.replaceChildren();
    parts.forEach((part, i) => drawPart(part, PLACES[i]));
    stretches.forEach((button, i) => drawStretch(button, STRETCHES[i]));
  }

  draw();
  return {
    show(changes) {
      now = { ...now, ...changes };
      draw();
    },
  };
}
