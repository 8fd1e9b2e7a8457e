// Record: what was done, what came out, what it taught.

import { ask, Refused } from "./ask.js";
import { byId, el, tell } from "./dom.js";
import { showErrors } from "./form.js";
import { keep, kept } from "./keep.js";
import { typedQuestion } from "./preview.js";
import { named, say } from "./words.js";

const FIELDS = ["minutes", "seen", "client", "zone"];
const NAMES = FIELDS.map((name) => `record-${name}`);

function fail(error) {
  const errors = error instanceof Refused ? error.errors : [{ field: "", message: error.message }];
  const own = errors.map((e) => (FIELDS.includes(e.field) ? { ...e, field: `record-${e.field}` } : e));
  const rest = showErrors(own, NAMES);
  tell("record-asked-error", rest.length ? rest[0].message : "");
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
    if (!asked.minutes) throw new Refused(422, [{ field: "minutes", message: say("record.no_minutes") }]);
    const { shown } = await ask("/api/records?shown=true", { method: "POST", body });
    showErrors([], NAMES);
    tell("record-asked-error", "");
    byId("record-added").hidden = false;
    tell("record-added", shown.text);
    byId("record-seen").value = "";
    remember();
    await refresh();
  } catch (error) {
    fail(error);
  }
}

const seenWords = (r) =>
  r.seen_level === null
    ? `L* ${r.seen_l}, a* ${r.seen_a}, b* ${r.seen_b}`
    : say("record.level", { level: r.seen_level });

async function remove(query, question) {
  if (!confirm(question)) return;
  try {
    await ask(`/api/records?${query}`, { method: "DELETE" });
    tell("record-error", "");
    await refresh();
  } catch (error) {
    tell("record-error", error.message);
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
      const { number } = r;
      const label = say("record.delete", { number });
      const button = el("button", { type: "button", "aria-label": label }, say("delete"));
      button.addEventListener("click", () =>
        remove(`number=${number}`, say("record.delete_really", { number })),
      );
      return el(
        "tr",
        {},
        el("th", { scope: "row" }, String(r.number)),
        el("td", {}, r.date),
        el("td", {}, r.client),
        el("td", {}, r.zone ? named("part", r.zone) : ""),
        el("td", {}, say("record.done", { ...r, mixture: named("mixture", r.mixture) })),
        el("td", {}, r.invented ? say("record.invented", { seen: seenWords(r) }) : seenWords(r)),
        el("td", {}, button),
      );
    }),
  );
}

async function learn() {
  byId("record-learned").hidden = true;
  tell("record-error", "");
  const invented = byId("record-invented").checked;
  try {
    const { shown } = await ask("/api/learn?shown=true", { method: "POST", body: { invented } });
    byId("record-learned").hidden = false;
    tell("record-learned", shown.text);
  } catch (error) {
    tell("record-error", error.message);
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
    remove("everything=true", say("record.clear")),
  );
  refresh().catch(() => {});
}
