// One zone's hair: each property is changed by a tap, and says what it is while folded away.

import { byId, el, tell } from "./dom.js";
import { showErrors } from "./form.js";
import { PLACES, STRETCHES } from "./head.js";
import { levelPicker, levelSaid, roundLevel } from "./levels.js";
import { photoButton } from "./photo.js";
import { ruler } from "./ruler.js";
import { tenthsPicker, tenthsSaid } from "./tenths.js";
import { change } from "./visit.js";
import { say } from "./words.js";
import { moveZone, renameZone } from "./zones.js";

const LONGEST_RULER = 60;
const FIBRES_UM = [["fine", 60], ["medium", 80], ["coarse", Infinity]];
const AT_SCALP = ["regrowth", "foils"];
const drawn = {};
let zone = null;
let pending = null;
let tellPending = null;
let chose = null;

const exactBoxes = () => [...document.querySelectorAll("#zone-sheet [data-key]")];

// Keys whose refusals have a place in the sheet.
const placedKeys = () => [
  ...["natural_level", "lightened_to", "regrowth_mm", "fibre", "damp", "red", "grey_percent", "name"].map((key) => `zone-${key}`),
  ...exactBoxes().map((box) => `exact-${box.dataset.key}`),
];

function set(key, value) {
  const { name } = zone;
  change((visit) => {
    const own = visit.zones.find((each) => each.name === name);
    if (value === null) delete own[key];
    else own[key] = value;
  });
}

function pickLevel(level) {
  if (pending) tellPending(level);
  else set("natural_level", level);
}

function onRadio(name, then) {
  for (const radio of document.getElementsByName(name)) {
    radio.addEventListener("change", () => radio.checked && then(radio.value));
  }
}

function check(name, value) {
  for (const radio of document.getElementsByName(name)) radio.checked = radio.value === value;
}

function place(changes) {
  const { name } = zone;
  let now = name;
  change((visit) => {
    now = moveZone(visit, name, { head: zone.head?.length ? zone.head : PLACES, along: zone.along ?? STRETCHES[0], ...changes });
  });
  chose(now);
}

function togglePlace(name) {
  const head = zone.head?.length ? zone.head : PLACES;
  const next = PLACES.filter((each) => (each === name ? !head.includes(each) : head.includes(each)));
  if (next.length) place({ head: next });
}

function startPlaces() {
  byId("zone-head").append(
    ...PLACES.map((name) => {
      const button = el("button", { type: "button", "data-place": name }, say(`head.place.${name}`));
      button.addEventListener("click", () => togglePlace(name));
      return button;
    }),
  );
  byId("zone-along").append(
    ...STRETCHES.map((name) => {
      const button = el("button", { type: "button", role: "radio", "data-along": name }, say(`head.along.${name}`));
      button.addEventListener("click", () => place({ along: name }));
      return button;
    }),
  );
}

// What is typed exactly: a number, or L*, a*, b* where a colour may stand.
function typed(text) {
  const parts = text.trim().split(",");
  if (!text.trim()) return null;
  const numbers = parts.map(Number);
  if (!numbers.every(Number.isFinite)) return text.trim();
  return numbers.length === 1 ? numbers[0] : numbers;
}

const asLevel = (level) => roundLevel(Math.min(Math.max(level, 1), 10));

// What hair was is a level on the scale, and what it looks like a colour: neither has room for how sure
// that is, which a plan counts in by itself.
function startPhotos() {
  const named = () => zone?.name ?? say("hair.new");
  byId("zone-level").after(photoButton(named, ({ level }) => pickLevel(asLevel(level))));
  byId("zone-lightened-to").after(photoButton(named, ({ level }) => set("lightened_to", asLevel(level))));
  for (const box of exactBoxes().filter((each) => each.classList.contains("lab"))) {
    box.closest("p").append(photoButton(named, ({ lab }) => set(box.dataset.key, lab.map((each) => Number(each.toFixed(2))))));
  }
}

export function startSheet({ onLevel, onName, onRemove }) {
  tellPending = onLevel;
  chose = onName;
  drawn.level = levelPicker(byId("zone-level"), { label: byId("zone-natural_level-fold").querySelector("span").textContent, onpick: pickLevel });
  drawn.lightened = levelPicker(byId("zone-lightened-to"), {
    label: say("hair.lightened_to"), scale: "underpigment", onpick: (level) => set("lightened_to", level),
  });
  drawn.grey = tenthsPicker(byId("zone-grey"), { label: say("hair.grey"), onpick: (percent) => set("grey_percent", percent || null) });
  drawn.regrowth = ruler(byId("zone-regrowth"), { label: say("hair.regrowth"), most: LONGEST_RULER, onpick: (mm) => set("regrowth_mm", mm) });
  onRadio("zone-lightened", (value) => {
    byId("zone-lightened-to").hidden = value === "no";
    if (value === "no") set("lightened_to", null);
  });
  onRadio("zone-fibre", (value) => set("fibre", value));
  onRadio("zone-damp", (value) => set("damp", value === "true" || null));
  onRadio("zone-red", (value) => set("red", value === "true" || null));
  startPlaces();
  startPhotos();
  byId("zone-name").addEventListener("change", (event) => {
    const { name } = zone;
    let now = name;
    change((visit) => { now = renameZone(visit, name, event.target.value); });
    chose(now);
  });
  for (const box of exactBoxes()) box.addEventListener("change", () => set(box.dataset.key, typed(box.value)));
  byId("zone-remove").addEventListener("click", () => onRemove(zone.name));
}

const fibreWord = (fibre) =>
  typeof fibre === "number" ? FIBRES_UM.find(([, below]) => fibre < below)[0] : fibre;

function showPlaces() {
  for (const button of byId("zone-head").children) {
    button.setAttribute("aria-pressed", String(!zone.head?.length || zone.head.includes(button.dataset.place)));
  }
  for (const button of byId("zone-along").children) {
    button.setAttribute("aria-checked", String(zone.along === button.dataset.along));
  }
  tell("zone-places-now", zone.name);
  if (document.activeElement !== byId("zone-name")) byId("zone-name").value = zone.name;
}

function showFolds() {
  const { natural_level: level, lightened_to: to, grey_percent: grey = 0, regrowth_mm: regrowth, red } = zone;
  const scale = red ? "red" : "natural";
  drawn.level.bound({ value: level, scale });
  tell("zone-natural_level-now", levelSaid(level, scale));
  drawn.lightened.bound({ value: to ?? null, low: level });
  if (to) check("zone-lightened", "yes");
  else if (byId("zone-lightened-to").hidden) check("zone-lightened", "no");
  if (to) byId("zone-lightened-to").hidden = false;
  tell("zone-lightened_to-now", to ? say("hair.to", { level: levelSaid(to, "underpigment") }) : say("hair.no"));
  drawn.grey.set(grey);
  tell("zone-grey_percent-now", tenthsSaid(grey));
  drawn.regrowth.set(regrowth ?? null);
  tell("zone-regrowth_mm-now", regrowth ? say("ruler.length", { length: regrowth }) : say("hair.not_measured"));
  // What cannot be so of hair that lies there is not asked, unless it was said.
  byId("zone-lightened_to-fold").hidden = zone.along === "regrowth" && !to;
  byId("zone-regrowth_mm-fold").hidden = !(regrowth || (AT_SCALP.includes(zone.along) && !to));
}

function showExact() {
  for (const box of exactBoxes()) {
    const value = zone[box.dataset.key];
    if (document.activeElement !== box) box.value = value === undefined || value === null ? "" : String(value);
  }
}

// Another zone is chosen: what belongs to the one before is folded away again.
function fresh() {
  for (const fold of document.querySelectorAll("#zone-sheet .fold")) fold.open = false;
  byId("zone-lightened-to").hidden = true;
}

// Shows a zone, or the place of one that is made once its level is tapped.
export function showSheet({ number, shown, waiting, errors, index }) {
  const sheet = byId("zone-sheet");
  sheet.hidden = !shown && !waiting;
  const another = shown?.name !== zone?.name || waiting !== pending;
  zone = shown;
  pending = waiting;
  if (sheet.hidden) return;
  if (another) fresh();
  byId("zone-rest").hidden = Boolean(waiting);
  if (waiting) {
    tell("zone-title", say("hair.new"));
    byId("zone-natural_level-fold").open = true;
    tell("zone-natural_level-now", "");
    drawn.level.set(null);
    return;
  }
  tell("zone-title", say("hair.title", { number, name: zone.name }));
  showFolds();
  check("zone-fibre", fibreWord(zone.fibre) ?? "medium");
  check("zone-damp", String(Boolean(zone.damp)));
  check("zone-red", String(Boolean(zone.red)));
  showPlaces();
  showExact();
  tell("zone-remove", say("hair.remove", { name: zone.name }));
  showRefusals(errors, index);
}

// A refusal stands beside its field, and opens the fold that it is in.
function showRefusals(errors, index) {
  const own = `zones[${index}].`;
  const found = errors
    .filter(({ field }) => field.startsWith(own))
    .flatMap((error) => ["zone-", "exact-"].map((kind) => ({ ...error, field: kind + error.field.slice(own.length).split(/[.[]/)[0] })));
  showErrors(found, placedKeys());
  for (const { field } of found) {
    const fold = byId(`${field}-fold`);
    if (fold) fold.open = true;
  }
}

export const hasPlace = (field) => placedKeys().includes(`zone-${field}`) || placedKeys().includes(`exact-${field}`);
