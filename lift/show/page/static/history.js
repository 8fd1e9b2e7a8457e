// Earlier visits of the same client: before and after, and how that compares with what was expected.

import { ask } from "./ask.js";
import { byId, el, tell } from "./dom.js";
import { drawLocks } from "./lock.js";
import { dayWords } from "./nextdate.js";
import { addressOf } from "./steps.js";
import { visitNow } from "./visit.js";
import { say } from "./words.js";

function zoneOf({ name, words, locks }) {
  const row = el("div", { class: "locks", "aria-hidden": "true" });
  drawLocks(row, locks);
  return el("div", { class: "after-was" }, el("p", {}, el("strong", {}, name), ` ${words}`), row);
}

function rowOf({ name, date, title, zones }) {
  const day = date ? dayWords(date) : "";
  return el(
    "li",
    {},
    el("p", {}, el("a", { href: addressOf(name, "after") }, [day, title].filter(Boolean).join(", ") || name)),
    ...zones.map(zoneOf),
  );
}

export async function showHistory({ visit }) {
  byId("after-history").hidden = true;
  let visits;
  try {
    ({ visits } = await ask(`/api/visits/${encodeURIComponent(visit.name)}/history`));
  } catch {
    return;
  }
  if (visitNow()?.visit.name !== visit.name || visits.length === 0) return;
  tell("after-history-title", say("after.earlier", { client: visit.client }));
  byId("after-earlier").replaceChildren(...visits.map(rowOf));
  byId("after-history").hidden = false;
}
