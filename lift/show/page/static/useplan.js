// What comes of a visit as it is planned: what is mixed and when, how likely it is, what would help,
// and how all of it is laid.

import { byId, cautions, el, list, svg, tell } from "./dom.js";
import { drawLaid } from "./laidmap.js";
import { drawPlan } from "./planline.js";
import { worded } from "./strandshown.js";
import { named, say } from "./words.js";

const LINES = ["rinse", "tone", "risk"];

// What goes into one bowl, as wide as it is heavy: product filled, developer hatched.
function bowlOf(zone, mixture) {
  const { product_grams: product, developer_grams: developer, bowls } = zone.bowl;
  const grams = (weight) => weight.toFixed(0);
  const words = [
    say("use.bowl", {
      product: grams(product), kind: named("mixture", mixture.kind), developer: grams(developer),
      volume: String(mixture.developer_volume), parts: String(Number(mixture.developer_parts.toFixed(2))),
    }),
    ...(bowls > 1 ? [say("use.bowls", { bowls })] : []),
  ];
  return el(
    "div",
    { class: "bowl" },
    svg(
      "svg",
      { viewBox: `0 0 ${product + developer} 10`, preserveAspectRatio: "none", "aria-hidden": true },
      svg("rect", { class: "bowl-product", width: product, height: 10 }),
      svg("rect", { class: "bowl-developer", x: product, width: developer, height: 10 }),
    ),
    el("p", { class: "bowl-words" }, words.join(" ")),
  );
}

function mixOf(zone, { answer, shown }) {
  const { on, plain, first } = shown.zones[zone.zone];
  const rows = LINES.flatMap((name) => [
    el("dt", {}, named("first", name)), el("dd", {}, ...worded(plain[name], first[name])),
  ]);
  return el(
    "section", { class: "mix" },
    el("h2", {}, on),
    el(
      "dl", { class: "first-lines" },
      el("dt", {}, named("first", "mix")),
      el("dd", {}, bowlOf(zone, answer.mixtures[zone.mixture]), el("span", { class: "exact" }, first.mix)),
      ...rows,
    ),
  );
}

// Parts of the head and what lies in each, for the map.
function laidOf({ answer, shown }) {
  const parts = new Map();
  const planned = new Map(answer.zones.map((zone, i) => [zone.zone, { ...zone, order: i + 1 }]));
  const wet = new Set(answer.water_codes.map(({ second }) => second));
  for (const own of shown.laid) {
    const zone = planned.get(own.zone);
    if (!parts.has(own.part)) {
      parts.set(own.part, { name: own.part, beside: own.beside, shades: own.shades, zones: [] });
    }
    if (!zone) continue;
    const { sections } = shown.zones[own.zone];
    parts.get(own.part).zones.push({
      ...zone, ...own, name: own.zone, wet: wet.has(own.zone),
      sections: zone.sections.map(({ number, bowl }, i) => ({ number, bowl, shades: sections[i] })),
    });
  }
  return { parts: [...parts.values()], water: answer.water };
}

function helpful({ answer, shown }) {
  const failed = answer.changes.filter((change) => !change.works).map((change) => change.kind);
  return [
    ...answer.changes.flatMap((change, i) =>
      change.works
        ? [say("use.try", { kind: change.kind, text: change.text, gain: shown.changes[i] })]
        : [],
    ),
    ...(failed.length ? [say("use.failed", { kinds: failed.join(", ") })] : []),
    ...answer.advice.map((advice) => say("use.or", { advice })),
  ];
}

export function drawUse(got) {
  const { answer, shown } = got;
  tell("use-verdict", shown.verdict);
  byId("use-verdict").dataset.exists = answer.exists;
  list(byId("use-water"), answer.water);
  byId("use-mixes").replaceChildren(...answer.zones.map((zone) => mixOf(zone, got)));
  list(byId("use-toned"), shown.toned);
  cautions(byId("use-cautions"), answer.cautions);
  tell("use-total", shown.total);
  list(byId("use-changes"), helpful(got));
  list(byId("use-chosen"), answer.chosen?.words ?? []);
  drawLaid(byId("use-laid"), laidOf(got));
  if (byId("use-line").open) drawPlan(byId("use-line-drawn"), byId("use-places"), answer, shown);
}
