// One zone's wish: its intent, and what belongs to that, on drawn locks.

import { byId, el } from "./dom.js";
import { isWhole, readGoal, typeGoal } from "./goal.js";
import { levelPicker, scaleNow } from "./levels.js";
import { photoButton } from "./photo.js";
import { change } from "./visit.js";
import { say } from "./words.js";

const [NATURAL, LEVEL] = ["", "level"];
const INTENTS = ["lighten", "blend", "match", "tone", "leave"];
const pickers = {};
let zone = null;
// What was begun and is no whole goal yet, as a match without its colour.
let goal = null;

const radios = (name) => [...document.getElementsByName(name)];

function onRadio(name, then) {
  for (const radio of radios(name)) radio.addEventListener("change", () => radio.checked && then(radio.value));
}

function check(name, value) {
  for (const radio of radios(name)) radio.checked = radio.value === value;
}

const picked = (name) => radios(name).find((radio) => radio.checked)?.value;

function set(parts) {
  goal = parts;
  const { name } = zone;
  change((visit) => {
    const own = visit.zones.find((each) => each.name === name);
    if (isWhole(parts)) own.goal = typeGoal(parts);
    else delete own.goal;
  });
}

const isStage = () => picked("wish-scale") === "underpigment";

// A whole stage is named, where its name is that of no other level.
function lighten(level) {
  const { stages } = scaleNow("underpigment");
  const stage = isStage() && Number.isInteger(level) ? stages[level - 1] : null;
  const only = stage && stages.filter((each) => each === stage).length === 1;
  set({ ...goal, level: only ? undefined : level, stage: only ? stage : undefined });
}

const labAt = (level, scale) => scaleNow(scale).lab[Math.round(level * 10) - 10].join(",");

// Level of the lock of a colour, on the scale that has it; null where it was measured.
function lockOf(lab) {
  for (const scale of ["natural", "underpigment"]) {
    const at = scaleNow(scale)?.lab.findIndex((each) => each.join(",") === lab) ?? -1;
    if (at >= 0) return { scale, level: (at + 10) / 10 };
  }
  return { scale: null, level: null };
}

function picker(id, scale, onpick) {
  pickers[id] = levelPicker(byId(`wish-${id}-level`), { label: say("wish.level"), scale, onpick });
}

export function startWish() {
  picker("lighten", "natural", lighten);
  picker("blend", "natural", (level) => set({ ...goal, level, zone: undefined, which: undefined, lab: undefined }));
  picker("match", "natural", (level) => set({ ...goal, lab: labAt(level, picked("wish-like")) }));
  picker("tone", "natural", (level) => set({ ...goal, level, lab: undefined }));
  // A goal is a colour alone: how far hair may be off it is its tolerance.
  byId("wish-match").append(photoButton(() => zone.name, ({ colour }) => exact("lab", colour)));
  onRadio("wish-intent", (intent) => {
    const before = readGoal(zone.goal);
    set(before?.intent === intent ? before : { intent });
  });
  onRadio("wish-scale", () => {
    const at = goal.level ?? pickers.lighten.value();
    pickers.lighten.bound({ scale: picked("wish-scale") });
    if (at) lighten(at);
  });
  onRadio("wish-like", (scale) => pickers.match.bound({ scale, value: null }));
  onRadio("wish-which", (which) => set({ ...goal, which }));
  onRadio("wish-toned", (to) => {
    byId("wish-tone-level").hidden = to !== LEVEL;
    if (to !== LEVEL) set({ ...goal, level: undefined, lab: undefined });
  });
  for (const box of document.querySelectorAll("#wish-exact [data-part]")) {
    box.addEventListener("change", () => exact(box.dataset.part, box.value.replaceAll(" ", "") || undefined));
  }
}

// A colour takes the place of a level, and of another zone's.
function exact(part, value) {
  const parts = goal ?? { intent: "match" };
  set(part === "lab" ? { intent: parts.intent, [part]: value } : { ...parts, [part]: value });
}

// The other zones, and hair of a level or of its own.
function showWith(others) {
  const now = goal.zone ? `zone ${goal.zone}` : goal.level !== undefined ? LEVEL : NATURAL;
  const choices = [
    ...others.map(({ name }) => [`zone ${name}`, name]), [LEVEL, say("wish.of_level")], [NATURAL, say("wish.natural")],
  ];
  const target = byId("wish-with");
  if (target.dataset.of !== JSON.stringify(choices)) {
    target.dataset.of = JSON.stringify(choices);
    target.replaceChildren(...choices.map(([value, words], i) => {
      const input = el("input", { type: "radio", name: "wish-with", id: `wish-with-${i}`, value });
      input.addEventListener("change", () => blendWith(value));
      return el("span", {}, input, el("label", { for: input.id }, words));
    }));
  }
  const isLevel = picked("wish-with") === LEVEL && now === NATURAL;
  if (!isLevel) check("wish-with", now);
  byId("wish-which-row").hidden = !goal.zone;
  check("wish-which", goal.which ?? "darkest");
  byId("wish-blend-level").hidden = picked("wish-with") !== LEVEL;
}

function blendWith(value) {
  const { intent, warmth, tolerance } = goal;
  const rest = { intent, warmth, tolerance };
  byId("wish-blend-level").hidden = value !== LEVEL;
  if (value === NATURAL) set(rest);
  else if (value !== LEVEL) set({ ...rest, zone: value.slice("zone ".length), which: goal.which ?? "darkest" });
}

function showLighten(level, low) {
  const { stages = [] } = scaleNow("underpigment") ?? {};
  const of = goal.stage ? stages.indexOf(goal.stage) + 1 : (goal.level ?? null);
  if (goal.stage) check("wish-scale", "underpigment");
  else if (!picked("wish-scale")) check("wish-scale", "natural");
  pickers.lighten.bound({ low, scale: picked("wish-scale"), value: of });
}

function showMatch() {
  const { scale, level } = lockOf(goal.lab);
  if (scale) check("wish-like", scale);
  else if (!picked("wish-like")) check("wish-like", "natural");
  pickers.match.bound({ scale: picked("wish-like"), value: level });
}

export function showWish(shown, zones) {
  const another = shown.name !== zone?.name;
  zone = shown;
  const kept = readGoal(zone.goal);
  if (kept || another) goal = kept;
  check("wish-intent", goal?.intent);
  for (const intent of INTENTS.slice(0, -1)) byId(`wish-${intent}`).hidden = goal?.intent !== intent;
  byId("wish-exact").hidden = !goal || goal.intent === "leave";
  for (const box of document.querySelectorAll("#wish-exact [data-part]")) {
    if (document.activeElement !== box) box.value = goal?.[box.dataset.part] ?? "";
  }
  if (!goal) return;
  // What is lighter now than a lock cannot be lightened to it.
  const now = zone.lightened_to ?? zone.natural_level;
  if (goal.intent === "lighten") showLighten(goal.level, now);
  if (goal.intent === "blend") {
    showWith(zones.filter(({ name }) => name !== zone.name));
    pickers.blend.set(goal.level ?? null);
  }
  if (goal.intent === "match") showMatch();
  if (goal.intent === "tone") {
    const isLevel = goal.level !== undefined;
    if (isLevel || another || byId("wish-tone-level").hidden) check("wish-toned", isLevel ? LEVEL : NATURAL);
    byId("wish-tone-level").hidden = picked("wish-toned") !== LEVEL;
    pickers.tone.set(goal.level ?? null);
  }
}
