// The visit that is open. What is changed is kept at once in this browser, and on the server as soon
// as it answers, so that neither a reload, a locked phone nor a lost connection loses any of it.

import { ask, Offline, onConnection, Refused } from "./ask.js";
import { forgetVisit, keep, kept } from "./store.js";

const KEY = "lift.visit.";
const DELAY_MS = 400;
const NEWER = 409;

// name, visit, revision it stands on, whether the server lacks any of it; its last answer, and what
// it refused of the visit as it is.
let held = null;
let errors = [];
let timer = 0;
let sending = false;
const listeners = new Set();

const address = (name) => `/api/visits/${encodeURIComponent(name)}`;

function keepLocal() {
  held.lost = !keep(KEY + held.name, held);
}

function told() {
  const now = { visit: held?.visit ?? null, answer: held?.answer ?? null, errors };
  for (const listener of listeners) listener(now);
}

export const visitNow = () => held?.visit ?? null;
export const answerNow = () => held?.answer ?? null;
export const errorsNow = () => errors;
export const zoneNamed = (name) => held?.visit.zones.find((zone) => zone.name === name);
export const onVisit = (listener) => listeners.add(listener);

// How what is open is kept: on the server, so far only here, refused, newer elsewhere, or nowhere.
export function howKept() {
  if (!held || !held.dirty) return "kept";
  if (held.newer) return "newer";
  if (errors.length) return "refused";
  return held.lost ? "lost" : "here";
}

function take(answer) {
  const { name } = answer.visit.visit;
  held = { name, visit: answer.visit, revision: answer.revision, dirty: false, answer };
  errors = [];
  keepLocal();
}

export async function openVisit(name) {
  if (held?.name === name) {
    told();
    return;
  }
  flush();
  held = kept(KEY + name);
  errors = [];
  if (held) told();
  if (held?.dirty) {
    await send();
    return;
  }
  try {
    const answer = await ask(address(name));
    // What was changed while it was on its way counts.
    if (!held || (held.name === name && !held.dirty)) take(answer);
  } catch (error) {
    if (error instanceof Refused && error.status === 404) forgetVisit(name);
    if (!held || !(error instanceof Offline)) {
      held = null;
      throw error;
    }
  } finally {
    told();
  }
}

export function leaveVisit() {
  flush();
  held = null;
  errors = [];
  told();
}

// `fn` changes a copy of the visit.
export function change(fn) {
  const visit = structuredClone(held.visit);
  fn(visit);
  held = { ...held, visit, dirty: true };
  keepLocal();
  told();
  clearTimeout(timer);
  timer = setTimeout(send, DELAY_MS);
}

async function send() {
  clearTimeout(timer);
  timer = 0;
  if (!held?.dirty || held.newer || sending) return;
  sending = true;
  const { name, visit, revision } = held;
  try {
    const answer = await ask(address(name), { method: "PUT", body: { visit, revision } });
    if (held?.name !== name) return;
    if (held.visit === visit) take(answer);
    else held = { ...held, revision: answer.revision, answer };
    errors = [];
    keepLocal();
  } catch (error) {
    if (held?.name !== name) return;
    if (error instanceof Refused && error.status === NEWER) held.newer = true;
    else if (error instanceof Refused && held.visit === visit) errors = error.errors;
  } finally {
    sending = false;
    told();
  }
  if (held?.dirty && held.visit !== visit) await send();
}

// Of two devices that changed one visit: this one's counts, or the other's.
export async function settle(mine) {
  const { name, visit } = held;
  const answer = await ask(address(name));
  take(answer);
  if (mine) change((copy) => Object.assign(copy, visit));
  else told();
}

export async function newVisit(like = null, again = false) {
  const answer = await ask("/api/visits", { method: "POST", body: { like, again } });
  flush();
  take(answer);
  return answer.visit.visit.name;
}

export async function deleteVisit(name) {
  await ask(address(name), { method: "DELETE" });
  forgetVisit(name);
  if (held?.name === name) held = null;
}

// On leaving: what waits goes with the page.
function flush() {
  if (!held?.dirty || held.newer) return;
  clearTimeout(timer);
  const { name, visit, revision } = held;
  const body = JSON.stringify({ visit, revision });
  fetch(address(name), {
    method: "PUT", body, keepalive: true, headers: { "Content-Type": "application/json" },
  }).catch(() => {});
}

onConnection((connected) => connected && send());
addEventListener("pagehide", flush);
// A second window of the same browser has changed it.
addEventListener("storage", (event) => {
  if (!held || event.key !== KEY + held.name || !event.newValue) return;
  held = JSON.parse(event.newValue);
  told();
});
