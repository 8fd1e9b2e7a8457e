// Ways to do the whole visit, as cards to compare, of which one is taken. They are worked out anew
// when hair or wish have changed, which takes a while, and are marked as old until then.

import { ask, Offline } from "./ask.js";
import { byId, cautions, el, list, tell } from "./dom.js";
import { drawLocks } from "./lock.js";
import { keepOf, keptOf } from "./usekept.js";
import { change, visitNow } from "./visit.js";
import { named, say } from "./words.js";

// What of a zone and of a visit a way decides.
const DECIDED = ["mixture", "minutes", "toner"];
let whose = null;
let kept = null;
let asking = null;
// What was refused is not asked again before it is another question.
let refused = null;
let clock = 0;

// The visit as if nothing had been taken yet: what ways depend on, and what is asked.
function bare(visit) {
  const zones = visit.zones.map((zone) => {
    const rest = { ...zone };
    for (const key of DECIDED) delete rest[key];
    return rest;
  });
  return { ...visit, zones, mixtures: {} };
}

function keyOf(visit) {
  const { salon, assumptions, consultation, zones } = bare(visit);
  return JSON.stringify([salon, assumptions, consultation, zones]);
}

const LEFT = /^(leave|tone)\b/;

// Whether a mixture is wanted: something is wished that is more than toning.
export const isWished = (visit) => visit.zones.some((zone) => zone.goal && !LEFT.test(zone.goal));
const sorted = (thing) =>
  thing !== null && typeof thing === "object" && !Array.isArray(thing)
    ? Object.fromEntries(Object.keys(thing).sort().map((key) => [key, sorted(thing[key])]))
    : thing;
const same = (a, b) => JSON.stringify(sorted(a)) === JSON.stringify(sorted(b));

function isTaken({ take }, visit) {
  return (
    same(take.mixtures, visit.mixtures ?? {})
    && visit.zones.every((zone) =>
      DECIDED.every((key) => same(take.zones[zone.name]?.[key] ?? null, zone[key] ?? null)),
    )
  );
}

function takeIt({ take }) {
  change((visit) => {
    visit.mixtures = take.mixtures;
    for (const zone of visit.zones) {
      for (const key of DECIDED) delete zone[key];
      Object.assign(zone, take.zones[zone.name]);
    }
  });
  kept.key = keyOf(visitNow());
  keepOf(kept.name, "ways", { key: kept.key, got: kept.got });
  byId("room").focus({ preventScroll: true });
  scrollTo(0, 0);
}

// What goes where, in a few words.
function headOf({ zones, take }) {
  return zones
    .map(({ zone }) => {
      const { kind, volume } = take.mixtures[take.zones[zone].mixture];
      return say("ways.of", { zone, kind: named("mixture", kind), volume: String(volume) });
    })
    .join("; ");
}

const lines = (said, ...more) =>
  el(
    "dl",
    { class: "first-lines" },
    ...Object.entries(said).flatMap(([name, words]) => [el("dt", {}, named("first", name)), el("dd", {}, words)]),
    ...more,
  );

function zoneOf(zone, answer) {
  const before = answer?.zones?.find((each) => each.name === zone.zone)?.locks.slice(0, 1) ?? [];
  const locks = el("div", { class: "locks", role: "group", "aria-label": say("ways.locks", { zone: zone.zone }) });
  drawLocks(locks, [...before, ...zone.locks]);
  return el(
    "div",
    { class: "way-zone" },
    el("h4", {}, zone.zone),
    locks,
    lines({ risk: zone.risk }, el("dt", {}, say("ways.slack")), el("dd", {}, zone.slack)),
    el("details", {}, el("summary", {}, say("ways.more")), lines({ mix: zone.mix, rinse: zone.rinse, tone: zone.tone })),
  );
}

function cardOf(card, visit, answer) {
  const taken = isTaken(card, visit);
  const button = el(
    "button", { type: "button", class: "big", "aria-pressed": String(taken) }, say(taken ? "ways.taken" : "ways.take"),
  );
  button.addEventListener("click", () => takeIt(card));
  const care = el("ul", { class: "way-care" });
  cautions(care, card.cautions);
  for (const line of [...care.children]) if (!line.classList.contains("special")) line.remove();
  return el(
    "li",
    { class: "one-way", "data-taken": String(taken) },
    el("h3", {}, headOf(card)),
    el("p", { class: "way-chance" }, el("strong", {}, say("ways.chance", { chance: card.chance })), " ", card.total),
    button,
    ...card.zones.map((zone) => zoneOf(zone, answer)),
    care,
  );
}

// Seconds are shown and not spoken: a reader is told once that it takes a while.
function wait() {
  const from = performance.now();
  clearInterval(clock);
  clock = setInterval(() => {
    const seconds = Math.round((performance.now() - from) / 1000);
    tell("use-seconds", say("ways.seconds", { seconds }));
  }, 1000);
}

async function work(visit, again) {
  const key = keyOf(visit);
  const { name } = visit.visit;
  if (asking === key) return;
  asking = key;
  tell("use-old", say(kept ? "ways.again" : "ways.asked"));
  wait();
  let failed = "";
  try {
    const got = await ask("/api/options", { method: "POST", body: { visit: bare(visit) } });
    // What was changed meanwhile is asked after it.
    if (asking === key) {
      kept = { name, key, got };
      keepOf(name, "ways", { key, got });
    }
  } catch (error) {
    failed = error instanceof Offline ? say("ways.offline") : error.message;
    refused = error instanceof Offline ? null : key;
  }
  if (asking !== key) return;
  asking = null;
  clearInterval(clock);
  tell("use-seconds", "");
  again(failed);
}

export const anyWays = () => Boolean(kept?.got.options.length);
export const areAsked = () => asking !== null;

// Begins with what was worked out for a visit before.
export function openWays(name) {
  if (whose === name) return;
  whose = name;
  const found = keptOf(name, "ways");
  kept = found && { name, ...found };
  asking = null;
  refused = null;
}

export function showWays({ visit, answer }, mixed) {
  const old = Boolean(kept) && kept.key !== keyOf(visit);
  byId("use-cards").replaceChildren(...(kept?.got.options ?? []).map((card) => cardOf(card, visit, answer)));
  byId("use-cards").toggleAttribute("data-stale", old);
  list(byId("use-refused"), kept?.got.refused ?? []);
  if (asking === null && refused !== keyOf(visit)) tell("use-old", old ? say("ways.old") : "");
  // Who has taken something already is not kept waiting for what she did not ask for.
  byId("use-ask").hidden = !mixed || !isWished(visit) || asking !== null || (Boolean(kept) && !old);
}

// Works them out where they are missing or old; `again` is called with what went wrong, or nothing.
export function wantWays(visit, mixed, again) {
  const key = keyOf(visit);
  if (kept?.key === key || refused === key || !isWished(visit) || (mixed && !kept)) return;
  work(visit, again);
}

export const askWays = (visit, again) => work(visit, again);
