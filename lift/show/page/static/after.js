// Step: afterwards. What came out, when she comes again, what to tell her, and what is kept of it.

import { ask, Newest, Offline } from "./ask.js";
import { byId, el, list, tell } from "./dom.js";
import { ZoneAfter } from "./afterzone.js";
import { showHistory } from "./history.js";
import { dayWords, NextDate } from "./nextdate.js";
import { isTone } from "./goal.js";
import { saveOrSend, startFiles } from "./files.js";
import { onKept } from "./photo.js";
import { showPictures } from "./pictures.js";
import { addressOf, addStep } from "./steps.js";
import { newVisit, visitNow } from "./visit.js";
import { say } from "./words.js";

const blocks = new Map();
let got = null;
let next;

// What the answer depends on: all but where the visit stands and the day that is agreed.
function keyOf({ visit, ...rest }) {
  return JSON.stringify([visit.name, visit.client, visit.date, rest]);
}

const came = new Newest(
  ({ visit }, options) => ask("/api/after", { method: "POST", body: { visit }, ...options }),
  (answer, { key }) => {
    got = { key, answer };
    tell("after-error", "");
    if (visitNow()) draw(visitNow());
  },
  (error) => error instanceof Offline || tell("after-error", error.message),
);

// Zones as far as the visit itself tells of them: without a connection they are told of all the same.
function bare({ zones, clock, came_out: told }) {
  const marks = (name) => clock.zones.find((each) => each.zone === name);
  const mean = (times) => times.reduce((sum, t) => sum + t, 0) / times.length;
  const clocked = ({ rinsed, begun, laid = [] }) => {
    const on = rinsed - (laid.length ? mean(laid) : begun);
    return Number.isFinite(rinsed) && Number.isFinite(on) ? Math.round(10 * on) / 10 : null;
  };
  return zones.filter((zone) => zone.mixture).map(({ name }) => {
    const minutes = told.find((each) => each.zone === name)?.minutes || clocked(marks(name) ?? {});
    return { name, minutes, scale: "natural", said_by: "", level: null, words: "", exact: "", locks: [] };
  });
}

function todo(visit, zones) {
  const open = zones.find(({ name }) => !visit.came_out.some((each) => each.zone === name));
  if (open) return say(open.minutes === null ? "after.todo.minutes" : "after.todo.zone", { zone: open.name });
  if (!visit.visit.next) return say("after.todo.next");
  return say("after.todo.done", { day: dayWords(visit.visit.next) });
}

function drawCare(care) {
  list(byId("after-care"), care.map((each) => each.said));
  byId("after-sources").replaceChildren(
    ...care.flatMap((each) => [el("dt", {}, each.said), el("dd", {}, each.source)]),
  );
}

function drawZones(zones) {
  const names = zones.map((zone) => zone.name);
  if (names.join("\n") !== [...blocks.keys()].join("\n")) {
    for (const block of blocks.values()) block.stop();
    blocks.clear();
    for (const zone of zones) blocks.set(zone.name, new ZoneAfter(zone));
    byId("after-zones").replaceChildren(...[...blocks.values()].map((block) => block.root));
  }
  for (const zone of zones) blocks.get(zone.name).update(zone);
}

function draw(visit) {
  const fresh = got?.key === keyOf(visit);
  const { zones, took, care } = got?.answer ?? { zones: bare(visit), took: "", care: [] };
  byId("after-came").hidden = zones.length === 0;
  byId("after-cards").hidden = zones.length === 0 && !visit.zones.some(isTone);
  byId("after-step").toggleAttribute("data-stale", !fresh);
  drawZones(zones);
  drawCare(care);
  tell("after-took", took);
  tell("after-todo", todo(visit, zones));
}

function show({ visit, errors }) {
  const key = keyOf(visit);
  const name = visit.visit.name;
  if (got && JSON.parse(got.key)[0] !== name) got = null;
  if (got?.key !== key) came.want({ visit, key });
  draw(visit);
  for (const [i, each] of visit.came_out.entries()) {
    const error = errors.find(({ field }) => field.startsWith(`came_out[${i}]`));
    blocks.get(each.zone)?.refuse(error?.message ?? "");
  }
  next.show(visit, key);
}

function start() {
  next = new NextDate();
  startFiles();
  onKept(() => showPictures(visitNow()));
  byId("after-calendar").addEventListener("click", () => {
    const { name, next: day } = visitNow().visit;
    const time = byId("after-time").value;
    const query = time ? `?at=${encodeURIComponent(time)}` : "";
    saveOrSend(`/visits/${name}.ics${query}`, `${day}.ics`);
  });
  byId("after-again").addEventListener("click", async () => {
    try {
      location.hash = addressOf(await newVisit(visitNow().visit.name, true), "hair");
    } catch (error) {
      tell("after-error", error.message);
    }
  });
}

function enter() {
  for (const block of blocks.values()) block.stop();
  blocks.clear();
  showHistory(visitNow());
  showPictures(visitNow());
}

addStep({ id: "after", start, show, enter });
