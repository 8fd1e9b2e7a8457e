// Step: the hair. Zones are added by tapping the drawn head; a sheet holds what one of them is like.

import { showAsked } from "./asked.js";
import { byId, el, tell } from "./dom.js";
import { drawHead, STRETCHES } from "./head.js";
import { shadesOf, withScales } from "./levels.js";
import { hasPlace, showSheet, startSheet } from "./sheet.js";
import { addStep } from "./steps.js";
import { answerNow, change, errorsNow, visitNow, zoneNamed } from "./visit.js";
import { say } from "./words.js";
import { isStale, shownOf, zoneList } from "./zonelist.js";
import { addZone, placesLeft, removeZone } from "./zones.js";

const NAMED = /^zones\[(\d+)\]\.?([^.[]*)/;

let head = null;
let chosen = null;
// Where a zone is to be that has no level yet: hair is not made up.
let pending = null;
let along = STRETCHES[0];
// What was taken away last, until something else is changed.
let before = null;

// Colours as the server drew them; until it has, those of the natural level.
function shadesFor(zone, shown) {
  if (shown?.locks.length) return shown.locks[0].shades;
  return shadesOf(zone.lightened_to ?? zone.natural_level, zone.lightened_to ? "underpigment" : zone.red ? "red" : "natural");
}

function drawn({ visit, answer }) {
  return visit.zones.map((zone, i) => ({
    name: zone.name, number: i + 1, head: zone.head, along: zone.along, shades: shadesFor(zone, shownOf(zone, answer)),
  }));
}

function choose(name) {
  chosen = name;
  pending = null;
  along = zoneNamed(name)?.along ?? along;
  redraw();
}

function toSheet() {
  const calm = matchMedia("(prefers-reduced-motion: reduce)").matches;
  byId("zone-title").focus({ preventScroll: true });
  byId("zone-sheet").scrollIntoView({ behavior: calm ? "auto" : "smooth", block: "start" });
}

function add(at) {
  const { zones } = visitNow();
  before = null;
  if (zones.length) {
    change((visit) => { chosen = addZone(visit, at, {}, zoneNamed(chosen) ?? zones[0]); });
    choose(chosen);
  } else {
    pending = at;
    chosen = null;
    redraw();
  }
  toSheet();
}

// A part that has zones chooses one of them, in turn; another gets one.
function tap({ place, along: stretch, zones }) {
  if (!zones.length) {
    add({ head: [place], along: stretch });
    return;
  }
  const at = zones.findIndex((zone) => zone.name === chosen);
  choose(zones[(at + 1) % zones.length].name);
  toSheet();
}

function turn(stretch) {
  along = stretch;
  const there = visitNow().zones.filter((zone) => zone.along === stretch);
  pending = null;
  chosen = there.some((zone) => zone.name === chosen) ? chosen : (there[0]?.name ?? null);
  redraw();
}

function giveLevel(level) {
  const at = pending;
  pending = null;
  change((visit) => { chosen = addZone(visit, at, { natural_level: level }); });
  choose(chosen);
  byId("zone-natural_level-fold").open = true;
}

function remove(name) {
  const kept = visitNow();
  change((visit) => removeZone(visit, name));
  before = { name, visit: kept };
  chosen = visitNow().zones.find((zone) => zone.along === along)?.name ?? null;
  redraw();
  byId("hair-undo").querySelector("button").focus();
}

function showUndo() {
  const target = byId("hair-undo");
  if (!before) {
    target.replaceChildren();
    return;
  }
  const button = el("button", { type: "button" }, say("hair.undo"));
  button.addEventListener("click", () => {
    const { name, visit: kept } = before;
    before = null;
    change((visit) => Object.assign(visit, structuredClone(kept)));
    choose(name);
  });
  target.replaceChildren(say("hair.removed", { name: before.name }), " ", button);
}

function showList({ visit, answer, errors }) {
  const rows = visit.zones.map((zone, i) => {
    const shown = shownOf(zone, answer);
    const shades = shadesFor(zone, shown);
    return {
      name: zone.name,
      shades: shades ? [shades] : [],
      words: shown?.words ?? "",
      stale: isStale(zone, answer),
      refused: errors.some(({ field }) => Number(NAMED.exec(field)?.[1] ?? -1) === i),
    };
  });
  zoneList(byId("hair-zones"), rows, chosen, (name) => {
    choose(name);
    toSheet();
  });
}

function showTodo(visit, open) {
  if (pending) tell("hair-todo", say("hair.todo.level"));
  else if (!visit.zones.length) tell("hair-todo", say("hair.todo.tap"));
  else if (open) tell("hair-todo", say(open === 1 ? "hair.todo.one" : "hair.todo.open", { open }));
  else tell("hair-todo", say("hair.todo.done"));
}

function show({ visit, answer, errors }) {
  if (chosen && !visit.zones.some((zone) => zone.name === chosen)) chosen = null;
  if (before && visit.zones.some((zone) => zone.name === before.name)) before = null;
  const zones = drawn({ visit, answer });
  const index = zones.findIndex((zone) => zone.name === chosen);
  const waiting = pending && { ...pending, name: "", number: 1, shades: null };
  head.show({ zones: waiting ? [...zones, waiting] : zones, chosen: waiting ? "" : chosen, along });
  const left = placesLeft(visit.zones, along);
  byId("hair-rest").hidden = !left.length || Boolean(pending);
  byId("hair-rest").classList.toggle("main", !visit.zones.length);
  tell("hair-rest", say(left.length === 4 ? "hair.all" : "hair.rest"));
  showList({ visit, answer, errors });
  showSheet({ number: index + 1, shown: visit.zones[index] ?? null, waiting: pending, errors, index });
  // What is refused and has no place of its own is told below the list.
  const placeless = errors.filter(({ field }) => {
    const [, at, key] = NAMED.exec(field) ?? [];
    return !field.startsWith("consultation.") && !(Number(at) === index && hasPlace(key));
  });
  tell("hair-error", placeless.map((error) => error.message).join("; "));
  showUndo();
  showTodo(visit, showAsked({ answer, errors }));
}

function redraw() {
  show({ visit: visitNow(), answer: answerNow(), errors: errorsNow() });
}

// Ten locks a picker are many to draw: only once the step is entered.
function begin() {
  head = drawHead(byId("hair-head"), { ontap: tap, onalong: turn });
  startSheet({ onLevel: giveLevel, onName: choose, onRemove: remove });
  byId("hair-rest").addEventListener("click", () => add({ head: placesLeft(visitNow().zones, along), along }));
  withScales(() => visitNow() && !byId("hair-step").hidden && redraw());
}

addStep({
  id: "hair",
  enter() {
    pending = null;
    before = null;
    chosen = zoneNamed(chosen) ? chosen : (visitNow().zones[0]?.name ?? null);
    along = zoneNamed(chosen)?.along ?? STRETCHES[0];
    if (!head) begin();
  },
  show,
});
