// A level picked from ten drawn locks: a tap takes a whole one, dragging along them its tenths.

import { ask } from "./ask.js";
import { el, svg } from "./dom.js";
import { drawChip } from "./lock.js";
import { keep, kept } from "./store.js";
import { say } from "./words.js";

const KEY = "lift.scales";
const TENTH = 0.1;
const DRAG_PX = 6;
const KEYS = {
  ArrowRight: TENTH, ArrowLeft: -TENTH, ArrowUp: 1, ArrowDown: -1, Home: -Infinity, End: Infinity,
};

let scales = null;
// Scales of one head, drawn by the server for it.
const own = {};
let asked = false;
const waiting = new Set();

function take(found) {
  scales = found;
  for (const then of waiting) then(scales);
}

// Calls `then` with the scales as soon as they are known: at once from this browser's copy, and
// again once the server has told how they are now. Returns how to stop it.
export function withScales(then) {
  waiting.add(then);
  scales ??= kept(KEY);
  if (scales) then(scales);
  if (!asked) {
    asked = true;
    ask("/api/stages?shown=true").then(
      ({ shown }) => {
        take(shown.scales);
        keep(KEY, shown.scales);
      },
      () => { asked = false; },
    );
  }
  return () => waiting.delete(then);
}

// One of the scales as it is known: `locks`, `lab`, `words` and `stages`; null while none is.
export const scaleNow = (scale) => scaleOf(scale) ?? null;

// A scale of a name, for a picker to be bound to.
export function putScale(name, scale) {
  own[name] = scale;
}

const scaleOf = (name) => own[name] ?? scales?.[name];

// Shades of a lock of that level, on one of the scales: natural, red, underpigment or one put.
export const shadesOf = (level, scale = "natural") =>
  scaleOf(scale)?.locks[Math.round(level * 10) - 10] ?? null;

export const roundLevel = (level) => Math.round(level * 10) / 10;

// A level in words: "7", or "7.4, between 7 and 8"; on the scale of stages with their names.
export function levelSaid(level, scale = "natural") {
  const below = Math.floor(level + 1e-6);
  const words = scaleOf(scale)?.words;
  if (!words) return String(level);
  const low = words[below - 1];
  const whole = level - below < TENTH / 2;
  const high = whole ? low : words[below];
  const values = { level: whole ? below : level.toFixed(1), low, high };
  if (scale !== "underpigment") return say(whole ? "levels.whole" : "levels.between", values);
  return say(low === high ? "levels.stage" : "levels.between", values);
}

function lockButton(level) {
  const drawn = el("span", { class: "level-lock" });
  const mark = svg("svg", { class: "level-mark", viewBox: "0 0 100 10", preserveAspectRatio: "none", "aria-hidden": "true" },
    svg("path", { d: "" }));
  return el(
    "button",
    { type: "button", role: "radio", "aria-checked": "false", class: "level" },
    drawn, mark, el("span", { class: "level-name" }, String(level)), el("span", { class: "level-stage" }),
  );
}

// Makes a picker in `target`. `low` and `high` bound what may be picked, `scale` says of which hair
// the locks are; `onpick(level)` is called at every change by hand. A value of null is none yet.
export function levelPicker(target, { label, value = null, low = 1, high = 10, scale = "natural", onpick = () => {} }) {
  let now = { value, low, high, scale };
  const buttons = Array.from({ length: 10 }, (_, i) => lockButton(i + 1));
  const group = el("div", { class: "levels-locks", role: "radiogroup", "aria-label": label }, ...buttons);
  const chip = el("span", { class: "levels-chip", "aria-hidden": "true" });
  const words = el("output", { class: "levels-words" });
  const step = (sign, code) => {
    const button = el("button", { type: "button", class: "levels-step", "aria-label": say(code, { label }) }, sign > 0 ? "+" : "\u2212");
    button.addEventListener("click", () => pick((now.value ?? now.low) + sign * TENTH));
    return button;
  };
  const darker = step(-1, "levels.darker");
  const lighter = step(1, "levels.lighter");
  target.replaceChildren(group, el("div", { class: "levels-picked" }, darker, chip, words, lighter));
  target.classList.add("levels");

  let drawn = null;
  function show() {
    const { value: level, scale: of } = now;
    drawn = scaleOf(of);
    const checked = level === null ? -1 : Math.min(Math.max(Math.round(level), 1), 10) - 1;
    buttons.forEach((button, i) => {
      const name = scaleOf(of)?.words[i] ?? String(i + 1);
      const stage = of === "underpigment" ? name : "";
      button.lastChild.textContent = stage;
      button.setAttribute("aria-label", stage ? say("levels.stage", { level: i + 1, low: stage }) : name);
      button.setAttribute("aria-checked", String(i === checked));
      button.disabled = i + 1.5 <= now.low || i + 0.5 >= now.high;
      const shades = shadesOf(i + 1, of);
      if (shades) drawChip(button.firstChild, shades);
      const at = i === checked ? 100 * (level - i - 0.5) : null;
      button.querySelector("path").setAttribute("d", at === null ? "" : `M${at.toFixed(0)} 0V10`);
    });
    // One of them is in the way of the keyboard: the one picked, or the first that may be.
    const first = checked >= 0 ? checked : buttons.findIndex((button) => !button.disabled);
    buttons.forEach((button, i) => button.setAttribute("tabindex", i === first ? "0" : "-1"));
    words.textContent = level === null ? say("levels.none") : levelSaid(level, of);
    darker.disabled = level === null || level <= now.low;
    lighter.disabled = level === null || level >= now.high;
    const shades = level === null ? null : shadesOf(level, of);
    chip.hidden = !shades;
    if (shades) drawChip(chip, shades);
  }

  function pick(level) {
    const next = roundLevel(Math.min(Math.max(level, now.low), now.high));
    if (next === now.value) return;
    now = { ...now, value: next };
    show();
    onpick(next);
  }

  // Level under a point: which lock is nearest, and how far along it.
  function levelAt(x, y) {
    let best = null;
    buttons.forEach((button, i) => {
      const box = button.getBoundingClientRect();
      const aside = Math.max(box.left - x, 0, x - box.right);
      const above = Math.max(box.top - y, 0, y - box.bottom);
      const far = aside + 4 * above;
      if (best && far >= best.far) return;
      const share = Math.min(Math.max((x - box.left) / box.width, 0), 1);
      best = { far, level: i + 0.5 + share };
    });
    return best.level;
  }

  let from = null;
  let dragged = false;
  group.addEventListener("pointerdown", (event) => {
    if (event.button !== 0) return;
    from = event.clientX;
    dragged = false;
  });
  group.addEventListener("pointermove", (event) => {
    if (from === null || (!dragged && Math.abs(event.clientX - from) < DRAG_PX)) return;
    if (!dragged) group.setPointerCapture(event.pointerId);
    dragged = true;
    pick(levelAt(event.clientX, event.clientY));
  });
  const end = () => { from = null; };
  group.addEventListener("pointerup", end);
  group.addEventListener("pointercancel", end);
  buttons.forEach((button, i) => button.addEventListener("click", () => {
    if (dragged) dragged = false;
    else pick(i + 1);
  }));
  group.addEventListener("keydown", (event) => {
    const by = KEYS[event.key];
    if (by === undefined) return;
    event.preventDefault();
    dragged = false;
    pick((now.value ?? now.low - by) + by);
    group.querySelector('[tabindex="0"]').focus();
  });

  const stop = withScales(show);
  show();
  return {
    set(level) {
      this.bound({ value: level });
    },
    // Other bounds, another scale or value; what is as it was is not drawn again.
    bound(changes) {
      const same = Object.entries(changes).every(([key, value]) => now[key] === value);
      if (same && scaleOf(now.scale) === drawn) return;
      now = { ...now, ...changes };
      show();
    },
    value: () => now.value,
    stop,
  };
}
