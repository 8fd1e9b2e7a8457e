// First page: the visits there are, one to begin, and the invented examples.

import { ask } from "./ask.js";
import { byId, el, tell } from "./dom.js";
import { drawLocks } from "./lock.js";
import { addressOf } from "./steps.js";
import { keep, kept } from "./store.js";
import { deleteVisit, newVisit } from "./visit.js";
import { say } from "./words.js";

const KEY = "lift.visits";
const FEW = 12;
let all = false;

function locksOf(visit) {
  const row = el("span", { class: "locks", "aria-hidden": "true" });
  drawLocks(row, visit.locks);
  return row;
}

function open(name) {
  location.hash = addressOf(name, "").replace(/\/$/, "");
}

async function begin(like, again = false) {
  tell("visits-said", say("working"));
  try {
    const name = await newVisit(like, again);
    tell("visits-said", "");
    open(name);
  } catch (error) {
    tell("visits-said", error.message);
  }
}

// Asked once, in its place: nothing is deleted by one press.
function remove(visit, row) {
  const sure = el("button", { type: "button" }, say("visits.sure"));
  const back = el("button", { type: "button" }, say("visits.keep"));
  const asked = el("div", { class: "row-tools", role: "group" }, sure, back);
  row.append(asked);
  sure.focus();
  back.addEventListener("click", () => asked.remove());
  sure.addEventListener("click", async () => {
    try {
      await deleteVisit(visit.name);
      await showVisits();
    } catch (error) {
      tell("visits-said", error.message);
    }
  });
}

function rowOf(visit) {
  const title = visit.title || say("visits.of", { client: visit.client });
  const about = el(
    "span",
    { class: "about" },
    el("strong", {}, title),
    el("span", {}, say(`visits.${visit.state}`, { date: visit.date ?? "" })),
    el("span", {}, visit.words),
  );
  if (visit.demo) {
    const button = el("button", { type: "button", class: "visit" }, locksOf(visit), about);
    button.addEventListener("click", () => begin(visit.name));
    return el("li", {}, button);
  }
  const link = el("a", { class: "visit", href: addressOf(visit.name, "").replace(/\/$/, "") }, locksOf(visit), about);
  const again = el("button", { type: "button" }, say("visits.again"));
  again.addEventListener("click", () => begin(visit.name, true));
  const gone = el("button", { type: "button", "aria-label": say("visits.delete", { title }) }, say("delete"));
  const row = el("li", {}, link, el("div", { class: "row-tools" }, again, gone));
  gone.addEventListener("click", () => row.querySelector('[role="group"]') ?? remove(visit, row));
  return row;
}

function draw(visits) {
  const own = visits.filter((visit) => !visit.demo);
  const shown = all ? own : own.slice(0, FEW);
  byId("visits-own").replaceChildren(...shown.map(rowOf));
  byId("visits-none").hidden = own.length > 0;
  byId("visits-more").hidden = shown.length === own.length;
  byId("visits-demo").replaceChildren(...visits.filter((visit) => visit.demo).map(rowOf));
}

export async function showVisits() {
  draw(kept(KEY, []));
  try {
    const { visits } = await ask("/api/visits");
    keep(KEY, visits);
    draw(visits);
  } catch (error) {
    tell("visits-said", error.message);
  }
}

export function startVisits() {
  byId("visits-new").addEventListener("click", () => begin(null));
  byId("visits-more").addEventListener("click", () => {
    all = true;
    draw(kept(KEY, []));
  });
}
