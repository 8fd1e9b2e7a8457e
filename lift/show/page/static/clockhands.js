// What hands do on the clock: presses that mark, pauses, looks, and taking back. Each changes the
// visit; what is shown follows from it.

import { shownNow, toRinse } from "./clockface.js";
import { askLook } from "./clocklook.js";
import { byId, clockTime } from "./dom.js";
import { earlyBy } from "./face.js";
import {
  clockOf, endStrand, keepLook, keepMarks, minutesAt, running, since, startAt, startStrand, undo,
} from "./marks.js";
import { stayAwake, wakeSound } from "./signal.js";
import { howTables, tablesOf, wantTables } from "./tables.js";
import { change, visitNow } from "./visit.js";
import { say } from "./words.js";

const TWICE_MS = 600;
// A rinse that a look moves by less is where it was [min].
const STILL = 0.1;

let tick = () => {};
let pressedAt = 0;
// What a press that comes far too early asks about: the thing to do and the act; and what the last
// press has to say.
let asked = null;
let told = "";
// Whether what was seen has not moved the tables yet.
let news = false;

// `then` is called after every change.
export function startHands(then) {
  tick = then;
}

// What there is to tell: what was seen is kept at once, and moves times once the server has answered.
export function toldNow(visit) {
  const { state, why } = howTables(visit);
  if (news && state === "asking") return say("clock.look.asking");
  if (news && state === "old") return say("clock.look.kept");
  if (state === "old") return say("clock.old");
  return state === "refused" ? why : told;
}

const keyOf = (todo) => [todo.kind, todo.zone, ...(todo.sections ?? [])].join(" ");

// All that is known now; null while there are no tables.
export function stateNow() {
  const visit = visitNow();
  const tables = visit && tablesOf(visit);
  if (!tables) return null;
  const ms = Date.now();
  return { visit, tables, clock: clockOf(tables, visit), ms, now: minutesAt(visit, ms) };
}

function mark(fn) {
  const { now, tables } = stateNow();
  change((visit) => keepMarks(visit, fn(clockOf(tables, visit), now)));
}

const acts = {
  start() {
    const { ms, tables } = stateNow();
    change((visit) => {
      startAt(visit, ms);
      keepMarks(visit, clockOf(tables, visit).mark(0));
    });
  },
  mark: () => mark((clock, now) => clock.mark(now)),
  rinse: () => mark((clock, now) => clock.rinseAll(now)),
  back: () => mark((clock, now) => clock.resume(now)),
  look,
};

export function press() {
  // Wet gloves press twice; the second press is not meant.
  if (Date.now() - pressedAt < TWICE_MS) return;
  pressedAt = Date.now();
  wakeSound();
  const at = stateNow();
  const shown = at && shownNow(at);
  if (!shown?.press) return;
  if (shown.press === "mark" && earlyBy(shown.todo, at.now, at.tables) > 0) {
    asked = { key: keyOf(shown.todo), act: "mark" };
  } else {
    told = "";
    acts[shown.press]();
    stayAwake(running(visitNow())).then(tick);
  }
  tick();
  byId("face").scrollIntoView({ block: "nearest" });
}

// A rinse of all that is on, before its time, is always asked about.
export function rinseNow() {
  wakeSound();
  asked = { key: "", act: "rinse" };
  tick();
}

// What is asked about now: the act, and by how much it is early; null where nothing is, any more.
export function askedNow(at, shown) {
  if (asked?.act === "rinse") return { act: "rinse", early: Math.max(toRinse(at.clock, at.now), 0) };
  const early = asked?.key === keyOf(shown.todo) ? earlyBy(shown.todo, at.now, at.tables) : 0;
  if (!early) asked = null;
  return asked && { act: "mark", early };
}

export function answerAsked(yes) {
  if (!asked) return;
  const { act } = asked;
  asked = null;
  pressedAt = Date.now();
  if (yes) acts[act]();
  tick();
}

export function togglePause() {
  wakeSound();
  mark((clock, now) => (clock.paused ? clock.resume(now) : clock.pause(now)));
  tick();
}

export function takeBack() {
  asked = null;
  told = "";
  const looks = visitNow().looks?.length ?? 0;
  change(undo);
  if ((visitNow().looks?.length ?? 0) !== looks) want();
  tick();
}

export function testStrand() {
  wakeSound();
  const { tables, ms } = stateNow();
  const zone = tables.zones.find((z) => z.looks.ahead !== null) ?? tables.zones[0];
  change((visit) => startStrand(visit, zone.name, ms));
  stayAwake(true).then(tick);
  tick();
}

// A look at what is on, or, before the first mix, at the strand that is tested. It is of the moment
// at which it was asked for, however long it takes to say.
export function look() {
  const { visit, clock, now, ms } = stateNow();
  const strand = running(visit) ? null : visit.clock?.strand;
  const own = (zone) => (strand ? since(visit.clock.strand_begun, ms) : now - zone.spans(now).starts[0]);
  const on = clock.zones.filter((z) => (strand ? z.name === strand : z.laid.length && z.rinsed === null));
  const next = clock.next(now);
  const due = Boolean(strand) || (next.kind === "look" && next.at <= now);
  const zones = on
    .map((z) => ({ name: z.name, expected: z.level(0, own(z)), minutes: own(z) }))
    .sort((a, b) => (b.name === next.zone) - (a.name === next.zone));
  askLook(zones, due, (seen) => {
    if (seen !== undefined) keepSeen(seen, zones, strand, now);
    tick();
    byId("press").focus();
    byId("face").scrollIntoView({ block: "nearest" });
  });
  tick();
}

function keepSeen(seen, zones, strand, now) {
  const { name, minutes } = zones.find((z) => z.name === seen?.zone) ?? zones[0];
  change((visit) => {
    const tables = tablesOf(visit);
    if (seen) keepLook(visit, { zone: name, minutes, ...seen, strand: Boolean(strand) });
    if (strand) endStrand(visit);
    else keepMarks(visit, clockOf(tables, visit).lookedAt(name, now));
  });
  if (!seen) return;
  news = true;
  want();
}

// Asks for the tables anew where what they are made of has changed.
export function want() {
  const visit = visitNow();
  if (!visit) return;
  wantTables(visit, (before, after) => {
    if (news && before && before !== after) {
      news = false;
      const refused = after.zones.some((z) => z.looks.refused);
      told = refused ? say("clock.look_refused") : movedBy(before, after);
    }
    tick();
  });
  tick();
}

// By how much what was seen has moved the rinse of each zone: one that is on, or all before any is.
function movedBy(before, after) {
  const { visit, now } = stateNow();
  const rinses = (tables) => {
    const clock = clockOf(tables, visit);
    const on = clock.standing(now).filter((s) => clock.zone(s.zone).rinsed === null);
    if (on.length) return new Map(on.map((s) => [s.zone, s.rinse]));
    return new Map(clock.zones.map((z) => [z.name, z.due(now)]));
  };
  const [was, is] = [rinses(before), rinses(after)];
  const words = [...is].flatMap(([zone, rinse]) => {
    const by = rinse - (was.get(zone) ?? rinse);
    if (Math.abs(by) < STILL) return [];
    const time = clockTime(60 * Math.abs(by));
    return [say(by > 0 ? "clock.look.later" : "clock.look.sooner", { zone, time })];
  });
  return words.join(" ") || say("clock.look.same");
}
