// Record: what was done, what came out, what it taught.

import { ask, Refused } from "./ask.js";
import { byId, el, say } from "./dom.js";
import { showErrors } from "./form.js";
import { keep, kept } from "./keep.js";
import { typedQuestion } from "./preview.js";

const FIELDS = ["minutes", "seen", "client", "zone"];
const NAMES = FIELDS.map((name) => `record-${name}`);

function fail(error) {
  const errors = error instanceof Refused ? error.errors : [{ field: "", message: error.message }];
  const own = errors.map((e) => (FIELDS.includes(e.field) ? { ...e, field: `record-${e.field}` } : e));
  const rest = showErrors(own, NAMES);
  say("record-asked-error", rest.length ? rest[0].message : "");
}

function remember() {
  const values = Object.fromEntries(NAMES.map((id) => [id, byId(id).value]));
  keep("record", values);
}

async function add() {
  const asked = { ...typedQuestion(), minutes: byId("record-minutes").value.trim() };
  delete asked.strand;
  const body = {
    asked,
    seen: byId("record-seen").value.trim(),
    client: byId("record-client").value.trim(),
    zone: byId("record-zone").value,
    invented: byId("record-invented").checked,
  };
  try {
    if (!asked.minutes) throw new Refused(422, [{ field: "minutes", message: "minutes are missing" }]);
    const { shown } = await ask("/api/shown/records", { method: "POST", body });
    showErrors([], NAMES);
    say("record-asked-error", "");
    byId("record-added").hidden = false;
    say("record-added", shown.text);
    byId("record-seen").value = "";
    remember();
    await refresh();
  } catch (error) {
    fail(error);
  }
}

const seenWords = (r) =>
  r.seen_level === null ? `L* ${r.seen_l}, a* ${r.seen_a}, b* ${r.seen_b}` : `level ${r.seen_level}`;

async function remove(query, question) {
  if (!confirm(question)) return;
  try {
    await ask(`/api/records?${query}`, { method: "DELETE" });
    say("record-error", "");
    await refresh();
  } catch (error) {
    say("record-error", error.message);
  }
}

async function refresh() {
  const { records } = await ask("/api/records");
  byId("records").hidden = !records.length;
  byId("record-empty").hidden = records.length > 0;
  byId("record-learn").disabled = !records.length;
  byId("record-clear").disabled = !records.length;
  byId("records").tBodies[0].replaceChildren(
    ...records.map((r) => {
      const button = el("button", { type: "button", "aria-label": `Delete record ${r.number}` }, "Delete");
      button.addEventListener("click", () =>
        remove(`number=${r.number}`, `Delete record ${r.number} for good?`),
      );
      return el(
        "tr",
        {},
        el("th", { scope: "row" }, String(r.number)),
        el("td", {}, r.date),
        el("td", {}, r.client),
        el("td", {}, r.zone ?? ""),
        el("td", {}, `${r.mixture} ${r.volume} vol on level ${r.level}, ${r.minutes} min`),
        el("td", {}, seenWords(r) + (r.invented ? " (invented)" : "")),
        el("td", {}, button),
      );
    }),
  );
}

async function learn() {
  byId("record-learned").hidden = true;
  say("record-error", "");
  const invented = byId("record-invented").checked;
  try {
    const { shown } = await ask("/api/shown/learn", { method: "POST", body: { invented } });
    byId("record-learned").hidden = false;
    say("record-learned", shown.text);
  } catch (error) {
    say("record-error", error.message);
  }
}

export function startRecord() {
  const state = kept("record", {});
  for (const id of NAMES) if (state[id]) byId(id).value = state[id];
  byId("record-form").addEventListener("input", remember);
  byId("record-form").addEventListener("submit", (event) => {
    event.preventDefault();
    add();
  });
  byId("record-learn").addEventListener("click", learn);
  byId("record-clear").addEventListener("click", () =>
    remove("everything=true", "Delete all records for good?"),
  );
  refresh().catch(() => {});
}
