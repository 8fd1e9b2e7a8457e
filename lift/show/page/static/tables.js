// Tables from which this browser works the clock out: asked of the server with the visit, kept here
// with its name, so that a clock that runs needs no connection.

import { ask, Offline } from "./ask.js";
import { keep, kept } from "./store.js";

const KEY = "lift.clock.";

// name, what they were made of, the tables; and how the last question went.
let held = { name: "", made: "", tables: null };
let state = "";
let why = "";
let asking = "";
let serial = 0;

// What the tables depend on: all that is planned and seen, and nothing that was marked.
function madeOf({ title, salon, assumptions, mixtures, zones, consultation, looks }) {
  return JSON.stringify([title, salon, assumptions, mixtures, zones, consultation, looks ?? []]);
}

function load(name) {
  if (held.name === name) return;
  held = { name, made: "", tables: null };
  state = "";
  why = "";
  asking = "";
  serial += 1;
  const found = kept(KEY + name);
  if (found?.tables?.zones) held = found;
}

// Tables of a visit, as they are here; null where there are none.
export function tablesOf(visit) {
  load(visit.visit.name);
  return held.tables;
}

// How they stand: "" as asked for, "asking", "old" and "none" without a connection, "refused" and why.
export function howTables(visit) {
  const fresh = held.made === madeOf(visit);
  if (fresh && held.tables) return { state: "", why: "" };
  if (state === "offline") return { state: held.tables ? "old" : "none", why };
  return { state, why };
}

// Asks for them anew where what they are made of has changed. `then(before, now)` is called when
// they have come.
export async function wantTables(visit, then) {
  load(visit.visit.name);
  const made = madeOf(visit);
  if ((held.made === made && held.tables) || asking === made) return;
  const turn = ++serial;
  asking = made;
  state = "asking";
  try {
    const { clock } = await ask("/api/clock", { method: "POST", body: { visit } });
    if (turn !== serial) return;
    const before = held.tables;
    held = { name: visit.visit.name, made, tables: clock };
    state = "";
    keep(KEY + held.name, held);
    then(before, held.tables);
  } catch (error) {
    if (turn !== serial) return;
    state = error instanceof Offline ? "offline" : "refused";
    why = error.message;
    then(held.tables, held.tables);
  } finally {
    if (turn === serial) asking = "";
  }
}
