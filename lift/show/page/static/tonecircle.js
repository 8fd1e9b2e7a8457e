// Circle of directions: what is too much, and opposite to it the dye that does it, by their angles.

import { svg } from "./dom.js";
import { named, say } from "./words.js";

const SIZE = 220;
const RING = 78;

function at(degrees, radius) {
  const turned = (degrees * Math.PI) / 180;
  return [SIZE / 2 + radius * Math.cos(turned), SIZE / 2 - radius * Math.sin(turned)];
}

export function drawCircle(target, { hue_deg: hue, wheel, excess, needed, dyes }) {
  if (!needed) {
    target.replaceChildren();
    return;
  }
  const [from, to] = [at(hue + 180, RING), at(hue, RING)];
  const name = (degrees, words) => {
    const [x, y] = at(degrees, RING + 14);
    return svg("text", { x, y, "text-anchor": "middle", "dominant-baseline": "middle" }, words);
  };
  const [dye = wheel] = Object.keys(dyes);
  const names = { excess: named("wheel", excess), wheel: named("wheel", wheel), dye: named("wheel", dye) };
  const words = say("tone.circle", { ...names, hue: Math.round(hue) });
  target.replaceChildren(
    svg(
      "svg",
      { viewBox: `0 0 ${SIZE} ${SIZE}`, role: "img", "aria-label": words },
      svg("circle", { cx: SIZE / 2, cy: SIZE / 2, r: RING, class: "ring" }),
      svg("path", { d: `M${SIZE / 2 - RING} ${SIZE / 2}H${SIZE / 2 + RING}M${SIZE / 2} ${SIZE / 2 - RING}V${SIZE / 2 + RING}`, class: "cross" }),
      svg("path", { d: `M${from} L${to}`, class: "way-back" }),
      svg("circle", { cx: to[0], cy: to[1], r: 5, class: "end" }),
      name(hue + 180, names.excess),
      name(hue, names.dye),
    ),
  );
}
