// What the face of the clock shows: one word for what to do, one time, what comes then, and what the
// large button says. Pure: the visit, its tables and the time come in from outside.

import { clockTime } from "./dom.js";
import { face } from "./face.js";
import { running, since } from "./marks.js";
import { say } from "./words.js";

const all = ({ zones, tones }) => [...zones, ...tones];
const RINSES = new Set(["rinse", "rinsing"]);

// What a step of the clock is called.
export function what(tables, todo) {
  const single = tables.zones.length + tables.tones.length === 1;
  const { kind, zone, sections } = todo;
  const many = tables.zones.some((z) => z.name === zone && z.planned_starts.length > 1);
  const values = {
    target: single ? "" : ` ${zone || say("clock.everything")}`,
    numbers: many ? ` ${sections.join(` ${say("and")} `)}` : "",
  };
  if (kind === "look") return say(single ? "clock.look.todo" : "clock.look.at", values);
  return say(`clock.${kind}.todo`, values);
}

function nextWords(todo, at, tables) {
  if (todo.kind === "rinsing") return say("clock.next_section");
  if (at.counts === "until") return say("clock.then", { what: what(tables, todo) });
  if (at.counts === "left") return say(`clock.left.${todo.kind}`);
  if (todo.kind === "tone") return all(tables).find((z) => z.name === todo.zone).toner;
  if (todo.kind === "rinse_tone") return say("clock.makers");
  if (at.counts === "over") return say(todo.kind === "rinse" ? "clock.late" : "clock.behind");
  return say("clock.since_due");
}

function word(todo, at, tables) {
  if (at.state === "wait") return say("clock.wait");
  if (at.state === "soon") return say("clock.soon");
  const todoWords = what(tables, todo);
  return todo.kind === "rinse" ? say("clock.now", { what: todoWords }) : todoWords;
}

// How it looks and sounds: what is done now, a rinse, one that is late, work that is behind.
function tone(todo, { state }) {
  if (state === "now") return RINSES.has(todo.kind) || todo.kind === "rinse_tone" ? "rinse" : "do";
  return state === "late" && todo.kind !== "rinse" ? "behind" : state;
}

// The first rinse of what is on, seen from now; before anything is, as if it were begun now.
export function toRinse(clock, now) {
  const rinses = clock.standing(now)
    .filter(({ zone }) => clock.zone(zone).rinsed === null)
    .map(({ rinse }) => rinse);
  if (rinses.length) return Math.min(...rinses) - now;
  return Math.min(...clock.zones.map((z) => z.data.planned_start + z.due(0)));
}

function started(tables, clock) {
  const first = clock.next(0);
  return {
    state: "wait", word: what(tables, first), minutes: toRinse(clock, 0),
    next: say("clock.from_start"), done: say("clock.start"), todo: first, press: "start",
  };
}

// A strand that is tested before the first mix.
function strand(tables, { strand: name, strand_begun: begun }, ms) {
  const own = since(begun, ms);
  const { ahead, after } = tables.zones.find((z) => z.name === name)?.looks ?? {};
  const at = ahead ?? after ?? null;
  const away = at === null ? 0 : at - own;
  const shared = { done: say("clock.look.done"), todo: { kind: "look", zone: name }, press: "look" };
  const look = say("clock.strand.look");
  if (away <= 0) {
    return { ...shared, state: "do", word: look, minutes: own, next: say("clock.strand.on") };
  }
  const soon = away <= tables.ready_minutes;
  return {
    ...shared, state: soon ? "soon" : "wait", word: say(soon ? "clock.soon" : "clock.wait"),
    minutes: away, next: say("clock.then", { what: look }),
  };
}

function paused(tables, clock, now) {
  const [from] = clock.pauses[clock.pauses.length - 1];
  const left = toRinse(clock, now);
  const on = clock.zones.some((z) => z.laid.length && z.rinsed === null);
  return {
    state: "pause", word: say("clock.paused"), minutes: now - from,
    next: on ? say("clock.goes_on", { time: clockTime(60 * left) }) : say("clock.hands_away"),
    done: say("clock.back"), todo: clock.next(now), press: "back",
  };
}

// What is due while hands are away shows and rings all the same, but for laying, which waits.
const waits = (todo, at) => todo.kind === "lay" || at.state === "wait" || at.state === "soon";

export function shownNow({ visit, tables, clock, now, ms }) {
  if (!running(visit)) {
    return visit.clock?.strand ? strand(tables, visit.clock, ms) : started(tables, clock);
  }
  const todo = clock.next(now);
  const at = face(todo, now, tables);
  if (todo.kind === "done") {
    const toned = all(tables).some((z) => z.toner);
    return {
      state: "done", word: say(toned ? "clock.done.toned" : "clock.done.todo"), minutes: now,
      next: say("clock.took"), done: "", todo, press: "",
    };
  }
  if (clock.paused && waits(todo, at)) return paused(tables, clock, now);
  return {
    state: tone(todo, at), word: word(todo, at, tables), minutes: at.minutes,
    next: nextWords(todo, at, tables), done: say(`clock.${todo.kind}.done`), todo,
    press: todo.kind === "rinsing" ? "" : todo.kind === "look" ? "look" : "mark",
  };
}
