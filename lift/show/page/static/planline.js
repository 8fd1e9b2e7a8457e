// Time line of a plan: a row for each section, on the service's clock.

import { clockTime, minutes, svg } from "./dom.js";
import { bead, GROUND } from "./lock.js";
import { bars, placeKey } from "./places.js";
import { say } from "./words.js";

const LEFT = 34;
const RIGHT = 30;
const HEAD = 24;
const MOST_HEIGHT = 460;
// Of a row of natural levels: its height, and width of a level with its name.
const LEVELS = 18;
const LEVEL = 96;

function stepFor(span, most) {
  return [1, 2, 5, 10, 20].find((step) => span / step <= most) ?? 30;
}

export function drawPlan(target, key, answer, shown) {
  const width = Math.max(target.parentElement.clientWidth, 320);
  const rows = answer.zones.reduce((sum, z) => sum + z.sections.length + 1, 2 * answer.toning.length);
  const tall = Math.max(4, Math.min(20, (MOST_HEIGHT - HEAD - answer.zones.length * LEVELS) / rows));
  const height = HEAD + rows * tall + answer.zones.length * LEVELS + 8;
  const until = Math.max(
    answer.all_rinsed,
    ...answer.zones.flatMap((z) => [z.latest, ...z.sections.map((s) => s.starts + (s.closes ?? 0))]),
  );
  const end = Math.max(until, answer.total_minutes);
  const x = (t) => LEFT + (t / end) * (width - LEFT - RIGHT);
  const parts = [];
  const step = stepFor(end, width / 50);
  for (let t = 0; t <= end; t += step) {
    parts.push(
      svg("path", { class: "grid", d: `M${x(t)} ${HEAD - 6}V${height}` }),
      svg("text", { x: x(t), y: 12, "text-anchor": "middle" }, t ? String(t) : minutes(0)),
    );
  }
  let y = HEAD;
  let beads = 0;
  const look = (shades, left, top, bar) => [
    svg("defs", {}, bead(`look-${++beads}`, shades)),
    svg("rect", { x: left, y: top - 1, width: 24, height: bar + 2, fill: GROUND }),
    svg("rect", { x: left + 2, y: top, width: 20, height: bar, fill: `url(#look-${beads})` }),
  ];
  for (const zone of answer.zones) {
    parts.push(svg("text", { class: "strong", x: 0, y: y + Math.max(tall - 5, 11) }, zone.zone));
    y += Math.max(tall, 14);
    zone.sections.forEach((section, i) => {
      const bar = Math.max(tall - 4, 2);
      if (tall >= 12) {
        parts.push(svg("text", { x: LEFT - 8, y: y + bar - 1, "text-anchor": "end" }, String(section.number)));
      }
      parts.push(
        ...bars(section.time_line, x, y, bar, until),
        svg("rect", {
          class: "on-hair", x: x(section.starts), y: y + 0.32 * bar, height: 0.36 * bar,
          width: Math.max(x(section.rinsed) - x(section.starts), 1),
        }),
        svg("path", { class: "now", d: `M${x(section.rinsed)} ${y - 2}v${bar + 4}` }),
        ...look(shown.zones[zone.zone].sections[i], width - RIGHT + 6, y, bar),
      );
      y += tall;
    });
    // Below the sections' own locks the natural levels between which they are.
    shown.zones[zone.zone].levels.forEach(({ shades, words }, i, all) => {
      const left = width - RIGHT + 6 - (all.length - 1 - i) * LEVEL;
      parts.push(
        ...look(shades, left, y + 1, LEVELS - 6),
        svg("text", { x: left - 6, y: y + LEVELS - 6, "text-anchor": "end" }, words),
      );
    });
    y += LEVELS;
  }
  for (const toner of answer.toning) {
    const bar = Math.max(tall - 4, 2);
    const words = say("plan.toner", { zone: toner.zone });
    parts.push(svg("text", { class: "strong", x: 0, y: y + Math.max(tall - 5, 11) }, words));
    y += Math.max(tall, 14);
    parts.push(
      svg("rect", {
        class: "on-hair", x: x(toner.starts), y: y + 0.32 * bar, height: 0.36 * bar,
        width: Math.max(x(toner.rinsed) - x(toner.starts), 1),
      }),
      svg("path", { class: "now", d: `M${x(toner.rinsed)} ${y - 2}v${bar + 4}` }),
    );
    y += tall;
  }
  target.setAttribute("viewBox", `0 0 ${width} ${y + 6}`);
  target.setAttribute("width", width);
  target.setAttribute("height", y + 6);
  target.replaceChildren(...parts);
  placeKey(key, answer.zones.flatMap((z) => z.sections.map((s) => s.time_line)), until);
  target.setAttribute(
    "aria-label",
    say("plan.line", {
      zones: [
        ...answer.zones.map((z) => ["plan.line_zone", z]),
        ...answer.toning.map((z) => ["plan.toner_line", z]),
      ]
        .map(([words, { zone, starts, rinsed }]) =>
          say(words, { zone, starts: clockTime(60 * starts), rinsed: clockTime(60 * rinsed) }),
        )
        .join("; "),
    }),
  );
}
