// Map of what is laid: parts from the scalp to the tips, each a stack of its sections in the order
// they are laid, so that one sees how many there are, how thick, from which bowl, who lies beside
// whom, and where water runs while something stays on.

import { clockTime, el, svg } from "./dom.js";
import { bead } from "./lock.js";
import { say } from "./words.js";

// In letters of the page, so that the map grows with its text.
const TALL = 1.5;
const LEAST = 0.45;
const MOST_TALL = 34;
const HEAD = 1.6;
const GAP = 0.25;
const SLICE = 0.28;
let made = 0;

// Slices of a part from top to bottom: sections of zones that are woven lie spread between one
// another, evenly, as they are drawn here.
function slicesOf(zones) {
  return zones
    .flatMap((zone) =>
      zone.sections.map((section, i) => ({ zone, section, at: (i + 0.5) / zone.sections.length })),
    )
    .sort((a, b) => a.at - b.at || a.zone.order - b.zone.order);
}

// Columns from the scalp on: what lies beside a part comes right of it.
export function columnsOf(parts) {
  const column = new Map(parts.map((part) => [part.name, 0]));
  for (let round = 0; round < parts.length; round++) {
    for (const part of parts) {
      for (const other of part.beside) {
        if (column.has(other)) column.set(other, Math.max(column.get(other), column.get(part.name) + 1));
      }
    }
  }
  const columns = [];
  for (const part of parts) (columns[Math.min(column.get(part.name), parts.length - 1)] ??= []).push(part);
  return columns.filter(Boolean);
}

const drop = (x, y, size) =>
  svg("path", {
    class: "drop",
    d: `M${x} ${y - size}C${x + 0.4 * size} ${y - 0.2 * size} ${x + 0.6 * size} ${y} ${x + 0.6 * size} ${y + 0.3 * size}`
      + `A${0.6 * size} ${0.6 * size} 0 0 1 ${x - 0.6 * size} ${y + 0.3 * size}`
      + `C${x - 0.6 * size} ${y} ${x - 0.4 * size} ${y - 0.2 * size} ${x} ${y - size}Z`,
  });

// One section: hair in its shades as thick as it is laid, folded into a foil where it is one.
function slice({ zone, section }, box, unit, labelled) {
  const { x, y, width, height } = box;
  const id = `laid-${++made}`;
  const inset = 1.9 * unit;
  const thick = Math.min(Math.max(zone.thickness_mm * SLICE * unit, 0.2 * unit), height - 0.1 * unit);
  const top = y + (height - thick) / 2;
  const text = (left, anchor, words, more = "") =>
    svg("text", { class: `ink ${more}`, x: left, y: y + height / 2 + 0.32 * unit, "text-anchor": anchor }, words);
  return [
    svg("defs", {}, bead(id, section.shades)),
    svg("rect", { class: "laid-hair", x: x + inset, y: top, width: width - inset, height: thick, fill: `url(#${id})` }),
    ...(zone.foils
      ? [svg("path", {
        class: "foil",
        d: `M${x + inset} ${top - 0.08 * unit}H${x + width - 0.3 * unit}V${top + thick + 0.08 * unit}H${x + inset}`,
      })]
      : []),
    ...(labelled ? [text(x + inset - 0.3 * unit, "end", `${zone.order}.${section.number}`, "laid-number")] : []),
    ...(zone.wet ? [drop(x + width - 0.8 * unit, y + height / 2, Math.min(0.42 * unit, height / 2.4))] : []),
  ];
}

// A part where nothing is laid: its hair goes on from what is left of it, under its name.
function drawBare(part, { x, y, width, height }, unit) {
  const id = `laid-${++made}`;
  const strands = [];
  for (let at = 0.2 * unit; at < height - 0.3 * unit; at += 0.75 * unit) {
    strands.push(svg("rect", { x, y: y + at, width, height: 0.4 * unit, fill: `url(#${id})` }));
  }
  const middle = `${x + width / 2} ${y + height / 2}`;
  return [
    svg("defs", {}, bead(id, part.shades)),
    ...strands,
    svg(
      "text",
      { class: "laid-name", transform: `translate(${middle}) rotate(-90)`, "text-anchor": "middle", y: 0.32 * unit },
      part.name,
    ),
  ];
}

function drawPart(part, box, unit) {
  const { x, width } = box;
  const slices = slicesOf(part.zones.filter((zone) => zone.sections.length));
  const top = box.y + HEAD * unit;
  const height = box.height - HEAD * unit;
  if (!slices.length) return drawBare(part, { x, y: top, width, height }, unit);
  const first = top + (GAP / 2) * unit;
  const tall = (height - GAP * unit) / slices.length;
  let last = -Infinity;
  const parts = slices.flatMap((each, i) => {
    const y = first + i * tall;
    const labelled = y - last >= 1.05 * unit;
    if (labelled) last = y;
    const row = { x: x + 0.3 * unit, y, width: width - 0.6 * unit, height: tall };
    return slice(each, row, unit, labelled);
  });
  // Where one bowl ends and the next is mixed.
  const bowls = slices.flatMap((each, i) => {
    const before = slices.slice(0, i).findLast((other) => other.zone === each.zone);
    return before && before.section.bowl !== each.section.bowl
      ? [svg("path", { class: "bowl-line", d: `M${x} ${first + i * tall}h${width}` })]
      : [];
  });
  return [
    svg("text", { class: "strong", x, y: box.y + 1.05 * unit }, part.name),
    svg("rect", { class: "laid-part", x, y: top, width, height, rx: 3 }),
    ...parts,
    ...bowls,
  ];
}

// What the map shows, in words: the list is its text alternative, and its key.
function words(laid) {
  const treated = laid.parts.flatMap((part) => part.zones).filter((zone) => zone.sections.length);
  return treated
    .sort((a, b) => a.order - b.order)
    .map((zone) => {
      const { sections } = zone;
      const fresh = sections.filter(({ bowl }, i) => i && bowl !== sections[i - 1].bowl);
      const values = {
        zone: zone.name, count: sections.length, thick: zone.thickness_mm,
        starts: clockTime(60 * zone.starts), laid: clockTime(60 * zone.laid), rinsed: clockTime(60 * zone.rinsed),
      };
      const kind = sections.length === 1 ? "laid.one" : zone.foils ? "laid.foils" : "laid.sections";
      const told = [
        say(kind, values),
        ...fresh.map(({ number }) => say("laid.fresh", { number })),
        ...(zone.woven.length ? [say("laid.woven", { zones: zone.woven.join(", ") })] : []),
        ...(zone.beside.length ? [say("laid.beside", { parts: zone.beside.join(", ") })] : []),
      ];
      return el("li", {}, told.join(" "));
    });
}

// `laid` holds `parts` ({name, beside, shades, zones}), each zone with its order, thickness_mm,
// foils, starts, laid and rinsed, sections ({number, bowl, shades}), whom it is woven with or lies
// beside, and when water reaches it (`wet`, null: never); and `water`, said in sentences.
export function drawLaid(target, laid) {
  const unit = parseFloat(getComputedStyle(document.documentElement).fontSize);
  const width = Math.max(target.clientWidth, 11 * unit);
  const columns = columnsOf(laid.parts);
  const count = (part) => part.zones.reduce((sum, zone) => sum + zone.sections.length, 0);
  const most = Math.max(1, ...columns.map((column) => column.reduce((sum, part) => sum + Math.max(count(part), 1), 0)));
  const tall = Math.min(Math.max(most * TALL, 4), Math.max(MOST_TALL, most * LEAST));
  const height = (tall + HEAD * Math.max(...columns.map((column) => column.length)) + 1) * unit;
  // A part where nothing is laid needs less room.
  const weights = columns.map((column) => (column.some(count) ? 2.6 : 1));
  const whole = weights.reduce((sum, weight) => sum + weight, 0);
  const drawn = [];
  let x = 0;
  columns.forEach((column, c) => {
    const wide = (width - (columns.length - 1) * 0.4 * unit) * (weights[c] / whole);
    const share = height / column.length;
    column.forEach((part, row) => {
      const box = { x, y: row * share, width: wide, height: share - 0.4 * unit };
      drawn.push(...drawPart(part, box, unit));
    });
    x += wide + 0.4 * unit;
  });
  const list = el("ol", { class: "laid-words" }, ...words(laid));
  const picture = svg(
    "svg", { class: "laid-map", role: "img", "aria-label": say("laid.map"), viewBox: `0 0 ${width} ${height}`, width, height },
    ...drawn,
  );
  const water = laid.water.map((line) =>
    el("li", {}, svg("svg", { width: "1.1em", height: "1.1em", viewBox: "0 0 20 20", "aria-hidden": true }, drop(10, 10, 9)), line),
  );
  target.replaceChildren(
    picture,
    el("p", { class: "tip" }, say("laid.key")),
    list,
    water.length ? el("ul", { class: "laid-water" }, ...water) : "",
  );
}
