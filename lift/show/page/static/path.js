// Path of the strand in a* and b*, against natural hair and the ladder of underpigment.

import { svg } from "./dom.js";
import { bead, GROUND } from "./lock.js";
import { say } from "./words.js";

const SIZE = 420;
const PAD = 34;
const A = [-2, 24];
const B = [-2, 44];

const x = (a) => PAD + ((a - A[0]) / (A[1] - A[0])) * (SIZE - PAD - 10);
const y = (b) => SIZE - PAD - ((b - B[0]) / (B[1] - B[0])) * (SIZE - PAD - 10);
const line = (labs) => labs.map(([, a, b], i) => `${i ? "L" : "M"}${x(a)} ${y(b)}`).join("");

// A small lock about a point.
const small = (id, cx, cy, shades) =>
  svg(
    "g",
    {},
    svg("defs", {}, bead(id, shades)),
    svg("rect", { x: cx - 4, y: cy - 5.5, width: 8, height: 11, fill: `url(#${id})` }),
  );

export function drawPath(target, answer, shown, stages) {
  const parts = [];
  for (let a = 0; a <= A[1]; a += 10) {
    parts.push(
      svg("path", { class: "grid", d: `M${x(a)} ${y(B[0])}V${y(B[1])}` }),
      svg("text", { x: x(a), y: SIZE - 14, "text-anchor": "middle" }, String(a)),
    );
  }
  for (let b = 0; b <= B[1]; b += 10) {
    parts.push(
      svg("path", { class: "grid", d: `M${x(A[0])} ${y(b)}H${x(A[1])}` }),
      svg("text", { x: PAD - 8, y: y(b) + 4, "text-anchor": "end" }, String(b)),
    );
  }
  parts.push(
    svg("text", { class: "ink", x: SIZE - 8, y: SIZE - 14, "text-anchor": "end" }, say("path.a")),
    svg("text", { class: "ink", x: 4, y: 14 }, say("path.b")),
  );
  if (stages) {
    const rows = stages.answer.stages;
    parts.push(
      svg("path", { class: "axis", d: line(rows.map((r) => r.natural)) }),
      svg("path", { class: "axis", "stroke-dasharray": "3 3", d: line(rows.map((r) => r.underpigment)) }),
    );
    // Up to the yellowest rung the ladder runs to the right of its numbers, then to their left.
    const yellows = rows.map((r) => r.underpigment[2]);
    const yellowest = yellows.indexOf(Math.max(...yellows));
    const number = (i, cx, cy) =>
      i > yellowest
        ? { x: cx - 11, y: cy + 4, "text-anchor": "end" }
        : { x: cx + 11, y: cy + 4 };
    rows.forEach((row, i) => {
      const [, na, nb] = row.natural;
      const [, ua, ub] = row.underpigment;
      parts.push(
        svg("circle", { class: "ground", cx: x(na), cy: y(nb), r: 8, fill: GROUND }),
        small(`natural-${i}`, x(na), y(nb), stages.shown.natural[i]),
        svg("rect", {
          class: "ground", x: x(ua) - 7.5, y: y(ub) - 7.5, width: 15, height: 15, fill: GROUND,
        }),
        small(`exposed-${i}`, x(ua), y(ub), stages.shown.underpigment[i]),
        svg("text", number(i, x(ua), y(ub)), String(row.level)),
      );
    });
  }
  const { lab, pigmented } = answer.curve;
  const [, a, b] = answer.at.pigmented.median;
  if (pigmented) parts.push(svg("path", { class: "blend", d: line(lab) }));
  parts.push(
    svg("path", { class: "curve", d: line(pigmented ?? lab) }),
    svg("circle", { class: "dot", cx: x(a), cy: y(b), r: 12 }),
    svg("circle", { cx: x(a), cy: y(b), r: 9, fill: GROUND }),
    small("exposed-now", x(a), y(b), shown.locks[pigmented ? 3 : 1].shades),
  );
  target.setAttribute("viewBox", `0 0 ${SIZE} ${SIZE}`);
  target.replaceChildren(...parts);
}
