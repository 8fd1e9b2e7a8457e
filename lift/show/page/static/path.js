// Path of the strand in a* and b*, against natural hair and the ladder of underpigment.

import { svg } from "./dom.js";
import { say } from "./words.js";

const SIZE = 420;
const PAD = 34;
const A = [-2, 24];
const B = [-2, 44];

const x = (a) => PAD + ((a - A[0]) / (A[1] - A[0])) * (SIZE - PAD - 10);
const y = (b) => SIZE - PAD - ((b - B[0]) / (B[1] - B[0])) * (SIZE - PAD - 10);
const line = (labs) => labs.map(([, a, b], i) => `${i ? "L" : "M"}${x(a)} ${y(b)}`).join("");

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
    rows.forEach((row, i) => {
      const [, na, nb] = row.natural;
      const [, ua, ub] = row.underpigment;
      parts.push(
        svg("circle", { class: "outline", cx: x(na), cy: y(nb), r: 6 }),
        svg("circle", { cx: x(na), cy: y(nb), r: 5.5, fill: stages.shown.natural[i] }),
        svg("rect", {
          class: "outline", x: x(ua) - 6, y: y(ub) - 6, width: 12, height: 12,
        }),
        svg("rect", {
          x: x(ua) - 5.5, y: y(ub) - 5.5, width: 11, height: 11, fill: stages.shown.underpigment[i],
        }),
        svg("text", { x: x(ua) + 9, y: y(ub) + 4 }, String(row.level)),
      );
    });
  }
  const { lab } = answer.curve;
  const [, a, b] = answer.at.lab.median;
  parts.push(
    svg("path", { class: "curve", d: line(lab) }),
    svg("circle", { class: "dot", cx: x(a), cy: y(b), r: 7.5 }),
    svg("circle", { cx: x(a), cy: y(b), r: 4.5, fill: shown.colour_now }),
  );
  target.setAttribute("viewBox", `0 0 ${SIZE} ${SIZE}`);
  target.replaceChildren(...parts);
}
