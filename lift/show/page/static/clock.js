// Clock: one large face, one large button. Marks are kept with the time of day at which they were
// made, so neither a reload, nor a locked phone, nor a lost connection moves it.

import { byId, cautions, clockTime, el, levelWords, tell } from "./dom.js";
import { drawChip, drawLocks } from "./lock.js";
import { Clock } from "./machine.js";
import { beep, stayAwake, wakeSound } from "./signal.js";
import { say } from "./words.js";

const KEY = "lift.clock";
const TICK_MS = 250;
const TWICE_MS = 600;
const AGAIN_MS = { rinse: 15000, late: 8000 };
const READY_MINUTES = 1;

// plan, startedAt (ms since 1970, null until started), marks of each zone, and those before them.
let state = null;
let sound = true;
let heardState = "";
let heardAt = 0;
let pressedAt = 0;

function save() {
  try {
    if (state) localStorage.setItem(KEY, JSON.stringify(state));
    else localStorage.removeItem(KEY);
  } catch {
    tell("awake", say("clock.not_kept"));
  }
}

function load() {
  try {
    const found = JSON.parse(localStorage.getItem(KEY));
    state = found?.plan?.zones && Array.isArray(found.marks) ? found : null;
  } catch {
    state = null;
  }
}

const running = () => state?.startedAt !== null && state !== null;

function minutesNow() {
  return running() ? Math.max((Date.now() - state.startedAt) / 60000, 0) : 0;
}

const clock = () => Clock.withMarks(state.plan, state.marks);

// Returns false when a running clock is not to be thrown away.
export function setPlan(plan) {
  if (running() && clock().next(minutesNow()).kind !== "done") {
    if (!confirm(say("clock.replace"))) return false;
  }
  state = { plan, startedAt: null, marks: plan.zones.map(() => ({})), before: [] };
  heardState = "";
  save();
  show();
  return true;
}

function words(todo) {
  const { kind } = todo;
  if (kind === "done") return { todo: say("clock.done.todo"), done: say("clock.done.done") };
  const single = state.plan.zones.length === 1 && state.plan.zones[0].rinse_after.length === 1;
  const target = single ? "" : ` ${todo.zone || say("clock.everything")}`;
  const numbers = single && kind === "lay" ? "" : ` ${todo.sections.join(` ${say("and")} `)}`;
  const start = kind === "mix" && !running();
  return {
    todo: say(`clock.${kind}.todo`, { target, numbers }),
    done: start ? say("clock.start") : say(`clock.${kind}.done`),
  };
}

const zoneOf = (todo) => clock().zones.find((z) => z.name === todo.zone);

// What the face says: a state, a word, and a time that runs down or, when late, up.
function face(todo, now) {
  const { todo: what } = words(todo);
  const away = todo.at - now;
  const left = todo.until - now;
  if (todo.kind === "done") return { state: "done", word: what, time: now, next: "" };
  if (todo.kind === "rinsing") {
    return { state: "rinse", word: what, time: left, next: say("clock.next_section") };
  }
  if (!running()) return { state: "wait", word: say("clock.ready"), time: 0, next: say("clock.first", { what }) };
  if (todo.kind === "rinse") {
    if (left < 0) return { state: "late", word: say("clock.now", { what }), time: -left, next: say("clock.late") };
    if (away <= 0) return { state: "rinse", word: what, time: left, next: say("clock.left") };
  } else if (todo.kind === "tone" && away <= 0) {
    return { state: "do", word: what, time: -away, next: zoneOf(todo).data.toner };
  } else if (todo.kind === "rinse_tone" && away <= 0) {
    return { state: "rinse", word: what, time: -away, next: say("clock.makers") };
  } else if (todo.kind === "lay" && away <= 0) {
    const pace = todo.at + zoneOf(todo).each - now;
    if (pace >= 0) return { state: "do", word: what, time: pace, next: say("clock.left_to_lay") };
    return { state: "do", word: what, time: -pace, next: say("clock.behind") };
  } else if (away <= 0) {
    return { state: "do", word: what, time: -away, next: say("clock.since_due") };
  }
  if (away <= READY_MINUTES) {
    return { state: "soon", word: say("clock.soon"), time: away, next: say("clock.then", { what }) };
  }
  return { state: "wait", word: say("clock.wait"), time: away, next: say("clock.then", { what }) };
}

function signal(current) {
  const now = Date.now();
  const repeat = AGAIN_MS[current.state] && now - heardAt >= AGAIN_MS[current.state];
  const key = `${current.state} ${current.word}`;
  if (key === heardState && !repeat) return;
  const changed = key !== heardState;
  heardState = key;
  heardAt = now;
  if (changed) tell("face-say", `${current.word}. ${current.next}`);
  if (sound && running()) beep(current.state);
}

function showCautions(lines) {
  if (byId("clock-cautions").childElementCount !== lines.length) cautions(byId("clock-cautions"), lines);
}

function showSections(now) {
  const rows = clock().zones.flatMap((zone) =>
    zone.now(now).map((s) => ({ ...s, zone: zone.name })),
  );
  const target = byId("on");
  while (target.children.length > rows.length) target.lastChild.remove();
  while (target.children.length < rows.length) {
    target.append(
      el("li", {}, el("span", { class: "chip" }), el("span", { class: "who" }), el("span", { class: "how" })),
    );
  }
  showLevels(rows);
  rows.forEach((row, i) => {
    const line = target.children[i];
    const [chip, who, how] = line.children;
    line.dataset.state = row.state;
    drawChip(chip, row.colour);
    who.textContent = `${row.zone} ${row.number}`;
    const close = row.rinsed
      ? say("clock.rinsed")
      : row.toClose > 0
        ? say("clock.closes", { time: clockTime(row.toClose * 60) })
        : say("clock.closed", { time: clockTime(-row.toClose * 60) });
    how.textContent = say("clock.section", {
      on: clockTime(row.minutes * 60), level: levelWords(row.level),
      state: say(`clock.${row.state}`), close,
    });
  });
}

// The natural levels between which all of the hair on it is; a clock kept by an older page has none.
function showLevels(rows) {
  const { levels } = state.plan;
  const below = rows.map((row) => Math.min(Math.max(Math.floor(row.level), 1), 9));
  const ends = levels && rows.length ? [Math.min(...below), Math.max(...below) + 1] : [];
  drawLocks(byId("on-levels"), ends.map((level) => levels[level - 1]));
}

function show() {
  byId("clock-none").hidden = state !== null;
  byId("clock-set").hidden = state === null;
  if (!state) return;
  const now = minutesNow();
  const todo = clock().next(now);
  const current = face(todo, now);
  tell("clock-plan", state.plan.title);
  showCautions(state.plan.cautions);
  byId("face").dataset.state = current.state;
  tell("face-word", current.word);
  tell("face-time", clockTime(current.time * 60));
  tell("face-next", current.next);
  tell("press", words(todo).done);
  byId("press").disabled = todo.kind === "rinsing";
  byId("undo").disabled = !state.before.length;
  byId("clock-after").hidden = todo.kind !== "done";
  showSections(now);
  signal(current);
}

function press() {
  // Wet gloves press twice; the second press is not meant.
  if (Date.now() - pressedAt < TWICE_MS) return;
  pressedAt = Date.now();
  wakeSound();
  const now = minutesNow();
  if (clock().next(now).kind === "done") {
    leave();
    return;
  }
  if (!running()) {
    state.startedAt = Date.now();
    awake();
  }
  state.before.push(state.marks);
  state.marks = clock().mark(now).marks;
  save();
  show();
}

function undo() {
  if (!state?.before.length) return;
  state.marks = state.before.pop();
  if (!state.before.length) state.startedAt = null;
  save();
  show();
}

function leave() {
  const over = !running() || clock().next(minutesNow()).kind === "done";
  if (!over && !confirm(say("clock.leave"))) return;
  state = null;
  stayAwake(false);
  save();
  show();
}

async function awake() {
  const on = await stayAwake(running());
  tell(
    "awake",
    !running()
      ? ""
      : on
        ? say("clock.awake")
        : say("clock.keep_awake"),
  );
}

function hear(on) {
  sound = on;
  byId("sound").setAttribute("aria-pressed", String(on));
  byId("sound").textContent = say(on ? "clock.sound_on" : "clock.sound_off");
}

export function startClock() {
  load();
  byId("press").addEventListener("click", press);
  byId("undo").addEventListener("click", undo);
  byId("leave").addEventListener("click", leave);
  byId("sound").addEventListener("click", () => {
    hear(!sound);
    wakeSound();
    if (sound) beep("soon");
  });
  addEventListener("storage", (event) => {
    if (event.key !== KEY) return;
    load();
    show();
  });
  document.addEventListener("visibilitychange", () => {
    if (document.visibilityState !== "visible") return;
    show();
    if (running()) awake();
  });
  if (running()) awake();
  show();
  setInterval(show, TICK_MS);
}
