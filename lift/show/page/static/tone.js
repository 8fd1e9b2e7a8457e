// Step: the tone. Zone by zone: what it looks like now, which tone answers it, and how much.

import { ask, Newest } from "./ask.js";
import { byId, el, list, tell } from "./dom.js";
import { isTone } from "./goal.js";
import { levelPicker, putScale } from "./levels.js";
import { drawChip } from "./lock.js";
import { photoButton } from "./photo.js";
import { addStep } from "./steps.js";
import { drawCircle } from "./tonecircle.js";
import { choices } from "./tonechoices.js";
import { showDose, startDose } from "./tonedose.js";
import { change, visitNow, zoneNamed } from "./visit.js";
import { say } from "./words.js";

const WASHES = [1, 2, 3, 4, 5, 7];
const LONGEST_MINUTES = 120;

let ofVisit = "";
let chosen = null;
let shownFor = "";
let answered = null;
let picker = null;
let unknown = null;

// Zones that can be toned; those that have a mixture, or are to be toned, first.
function toned(visit) {
  const zones = visit.zones.filter((zone) => zone.goal !== "leave");
  const first = (zone) => Boolean(zone.mixture) || isTone(zone);
  return [...zones.filter(first), ...zones.filter((zone) => !first(zone))];
}

// What was decided of a zone, in two words.
function decided({ toner }) {
  if (toner === "none") return say("tone.decided.none");
  return toner?.doses ? say("tone.decided") : "";
}

// A toner of a zone; hair that no mixture goes on is toned only where that is its goal.
function take(toner) {
  change((visit) => {
    const zone = visit.zones.find((each) => each.name === chosen);
    zone.toner = toner;
    if (!zone.mixture && toner !== "none" && !isTone(zone)) zone.goal = "tone";
  });
}

function tellSeen(seen, instrument = false) {
  const minutes = Math.min(answered?.answer.inputs.minutes ?? 0, LONGEST_MINUTES);
  change((visit) => {
    visit.came_out = visit.came_out.filter((each) => each.zone !== chosen);
    visit.came_out.push({ zone: chosen, minutes, seen, instrument });
  });
}

const question = new Newest(
  ({ visit, zone }, options) => ask("/api/tone?shown=true", { method: "POST", body: { visit, zone }, ...options }),
  (got, { zone }) => {
    if (zone !== chosen) return;
    answered = got;
    tell("tone-error", "");
    showAnswer();
  },
  (error) => {
    shownFor = "";
    byId("tone-answer").dataset.stale = "true";
    if (!answered) tell("tone-todo", "");
    tell("tone-error", error.message);
  },
);

// What was told of another zone, or of another visit, is not left standing.
function turnTo(name) {
  chosen = name;
  answered = null;
  unknown = null;
  byId("tone-answer").hidden = true;
  tell("tone-why", "");
  tell("tone-error", "");
  tell("tone-todo", say("tone.todo.wait"));
}

function showZones(visit) {
  const zones = toned(visit);
  choices(byId("tone-zones"), zones.map((zone) => ({
    code: zone.name, words: zone.name, note: decided(zone),
  })), chosen, (name) => {
    turnTo(name);
    show({ visit: visitNow() });
  });
  byId("tone-zones").hidden = zones.length < 2;
}

function showAnswer() {
  const { shown, answer } = answered;
  const now = shown.now;
  const open = now.known_by === "before" && Boolean(zoneNamed(chosen)?.mixture);
  putScale("own", now.scale);
  picker.bound({ scale: "own", low: Math.max(1, now.least - 0.5), value: open ? null : now.level });
  drawChip(byId("tone-now-chip"), now.scale.locks[Math.round(now.level * 10) - 10]);
  tell("tone-now-words", say(open ? "tone.now_open" : "tone.now", { words: now.words }));
  if (unknown !== open) byId("tone-now").open = open;
  unknown = open;
  byId("tone-now-chip").hidden = open;
  byId("tone-answer").hidden = open;
  delete byId("tone-answer").dataset.stale;
  tell("tone-why", open ? "" : shown.why);
  if (open) {
    tell("tone-todo", say("tone.todo.look", { zone: chosen }));
    return;
  }
  const zone = zoneNamed(chosen);
  showDose(shown, { used: Boolean(zone.toner?.doses), none: zone.toner === "none" });
  showRest(shown);
  drawCircle(byId("tone-circle"), answer.tone);
  list(byId("tone-exact"), [answer.neutralise.text, answer.other_light?.text, answer.fade[shown.kind]?.text].filter(Boolean));
}

function showRest(shown) {
  const { salon } = visitNow();
  choices(byId("tone-lights"), shown.lights, salon?.light ?? null, (light) => change((visit) => {
    visit.salon = { ...visit.salon, light };
  }));
  const toned = shown.steps.length > 0;
  byId("tone-bowl").hidden = !toned;
  byId("tone-fading").hidden = !toned;
  choices(byId("tone-kinds"), shown.kinds, shown.kind, (kind) => {
    const { toner } = zoneNamed(chosen);
    take(toner?.doses ? { ...toner, kind } : { kind });
  });
  list(byId("tone-steps"), shown.steps);
  choices(byId("tone-washes"), WASHES.map((often) => ({ code: often, words: String(often) })),
    shown.washes_per_week, (often) => change((visit) => {
      visit.assumptions = { ...visit.assumptions, washes_per_week: often };
    }));
}

function show({ visit }) {
  const zones = toned(visit);
  if (!zones.some((zone) => zone.name === chosen)) chosen = zones[0]?.name ?? null;
  showZones(visit);
  byId("tone-now").hidden = !chosen;
  if (!chosen) {
    byId("tone-answer").hidden = true;
    tell("tone-why", "");
    tell("tone-todo", say("tone.todo.none"));
    return;
  }
  const { zones: all, mixtures, salon, assumptions, clock, came_out: out, visit: head } = visit;
  const about = JSON.stringify([chosen, all, mixtures, salon, assumptions, clock, out, head.date]);
  if (about === shownFor) return;
  shownFor = about;
  question.want({ visit, zone: chosen });
}

addStep({
  id: "tone",
  start() {
    picker = levelPicker(byId("tone-levels"), {
      label: say("tone.pick"), onpick: (level) => tellSeen(level.toFixed(1)),
    });
    byId("tone-measured").addEventListener("change", ({ target }) => {
      if (target.value.trim()) tellSeen(target.value.replaceAll(" ", ""), true);
    });
    byId("tone-now").append(photoButton(() => chosen, ({ seen }) => tellSeen(seen, true)));
    startDose({ take, answered: () => answered?.shown ?? null });
    byId("tone-care").addEventListener("click", () => {
      const care = document.querySelector(".care");
      care.open = true;
      care.scrollIntoView();
      care.querySelector("summary").focus({ preventScroll: true });
    });
  },
  enter() {
    shownFor = "";
    const { visit: { name } } = visitNow();
    const zones = toned(visitNow());
    if (name === ofVisit && zones.some((zone) => zone.name === chosen)) return;
    ofVisit = name;
    turnTo(zones[0]?.name ?? null);
  },
  show,
});
