// Plan: a scenario file in the box, its plan beside it.

import { ask, Refused } from "./ask.js";
import { setPlan } from "./clock.js";
import { byId, cautions, clockTime, el, levelWords, list, tell } from "./dom.js";
import { showErrors } from "./form.js";
import { keep, kept } from "./keep.js";
import { chip, drawLocks } from "./lock.js";
import { drawPlan } from "./planline.js";
import { named, say } from "./words.js";

const NAMES = ["text", "name"];
const FIRST = ["mix", "rinse", "tone", "risk"];
let last = null;
let keptText = null;

const text = () => byId("plan-text").value;

async function refresh(chosen) {
  const { scenarios } = await ask("/api/scenarios");
  const pick = byId("plan-pick");
  pick.replaceChildren(
    el("option", { value: "" }, say("plan.choose")),
    ...scenarios.map(({ name, demo }) =>
      el("option", { value: name }, demo ? say("plan.demo", { name }) : name),
    ),
  );
  pick.value = chosen ?? "";
}

async function open(name) {
  const { text: found } = await ask(`/api/scenarios/${encodeURIComponent(name)}`);
  byId("plan-text").value = found;
  byId("plan-name").value = name;
  keptText = found;
  remember();
  await run();
}

function remember() {
  keep("plan", { text: text(), name: byId("plan-name").value });
  const whole = keptText !== null && keptText === text();
  const card = byId("plan-card");
  if (whole) card.href = `/card/${encodeURIComponent(byId("plan-name").value)}`;
  else card.removeAttribute("href");
  card.textContent = whole ? say("plan.card") : say("plan.no_card");
}

function fail(error, field) {
  const rest = showErrors(error instanceof Refused ? error.errors : [], NAMES);
  const own = error instanceof Refused ? rest : [{ message: error.message }];
  if (own.length) byId(`${field}-error`).textContent = own[0].message;
  showLine(lineOf(error.errors?.[0]?.message_code));
}

// Number of the line in the code of a refusal, however deep it stands.
function lineOf(code) {
  if (typeof code !== "object" || code === null) return null;
  return code.line ?? Object.values(code).map(lineOf).find(Boolean);
}

// Puts the caret on the line that is wrong, where the refusal names one.
function showLine(number) {
  if (!number) return;
  const lines = text().split("\n");
  const from = lines.slice(0, number - 1).join("\n").length + (number > 1 ? 1 : 0);
  const box = byId("plan-text");
  box.setSelectionRange(from, from + (lines[number - 1] ?? "").length);
  box.scrollTop = (number - 4) * parseFloat(getComputedStyle(box).lineHeight);
}

async function run() {
  tell("plan-said", say("working"));
  byId("plan-run").disabled = true;
  try {
    last = await ask("/api/plan?shown=true", { method: "POST", body: { text: text() } });
    showErrors([], NAMES);
    draw();
  } catch (error) {
    byId("plan-outcome").hidden = true;
    fail(error, "text");
  } finally {
    tell("plan-said", "");
    byId("plan-run").disabled = false;
  }
}

const cell = (...content) => el("td", {}, ...content);

// Locks with what is said of them.
function looks(words, locks, more = []) {
  const row = el("div", { class: "locks", role: "group", "aria-label": words });
  drawLocks(row, locks);
  return el("li", {}, row, el("span", {}, words), ...more.map((line) => el("p", {}, line)));
}

// What is done with a zone, in the order of doing it, and how it may end.
function first({ on, first: lines }) {
  const rows = FIRST.flatMap((name) => [el("dt", {}, named("first", name)), el("dd", {}, lines[name])]);
  return el("section", { class: "first" }, el("h3", {}, on), el("dl", {}, ...rows));
}

function draw() {
  const { answer, shown } = last;
  byId("plan-outcome").hidden = false;
  tell("plan-name-shown", answer.title);
  tell("plan-verdict", shown.verdict);
  byId("plan-verdict").dataset.exists = answer.exists;
  byId("plan-first").replaceChildren(...answer.zones.map((z) => first(shown.zones[z.zone])));
  list(byId("plan-water"), answer.water);
  tell("plan-total", shown.total);
  list(byId("plan-chosen"), answer.chosen?.words ?? []);
  const failed = answer.changes.filter((c) => !c.works).map((c) => named("change", c.kind));
  list(byId("plan-changes"), [
    ...answer.changes.flatMap((c, i) =>
      c.works
        ? [say("plan.try", { kind: named("change", c.kind), text: c.text, gain: shown.changes[i] })]
        : [],
    ),
    ...(failed.length ? [say("plan.failed", { kinds: failed.join(", ") })] : []),
    ...answer.advice.map((advice) => say("plan.or", { advice })),
  ]);
  drawPlan(byId("plan-line"), byId("plan-places"), answer, shown);
  cautions(byId("plan-cautions"), answer.cautions);
  byId("plan-zones").tBodies[0].replaceChildren(
    ...answer.zones.map((z) => {
      const mixture = answer.mixtures[z.mixture];
      return el(
        "tr",
        {},
        el("th", { scope: "row" }, chip(shown.zones[z.zone].locks[0].shades), z.zone),
        cell(say("plan.mixture", { kind: named("mixture", mixture.kind), volume: mixture.developer_volume })),
        ...[z.starts, z.laid, z.rinsed, z.latest_safe].map((t) => cell(clockTime(60 * t))),
        cell(shown.zones[z.zone].chance),
        cell(levelWords(z.level)),
        cell(
          z.warmth_limit === null
            ? z.warmth.toFixed(1)
            : say("plan.warmth", { warmth: z.warmth.toFixed(1), limit: z.warmth_limit.toFixed(1) }),
        ),
        cell(say("plan.bowls", { bowls: z.bowl.bowls, grams: z.bowl.grams.toFixed(0) })),
      );
    }),
  );
  list(byId("plan-red"), shown.red);
  byId("plan-tones").replaceChildren(
    ...answer.zones.map((z) => {
      const { locks, fibres, tone, toner } = shown.zones[z.zone];
      return looks(say("plan.tone", { zone: z.zone, tone }), locks, [...toner, ...fibres]);
    }),
  );
  tell("plan-blend", answer.blend.words);
  byId("plan-parts").replaceChildren(
    ...Object.entries(shown.parts).map(([part, locks]) => looks(named("part", part), locks)),
  );
  list(
    byId("plan-edges"),
    answer.blend.edges.map((e) =>
      say("plan.edge", {
        from: named("part", e.parts[0]), to: named("part", e.parts[1]),
        before: e.before.toFixed(1), after: e.after.toFixed(1),
        breaks: e.breaks ? say("plan.breaks", { zone: e.breaks }) : "",
      }),
    ),
  );
  list(byId("plan-next"), answer.next_visit.words);
  list(byId("plan-assumed"), answer.assumed);
}

export function startPlan() {
  const state = kept("plan", {});
  byId("plan-text").value = state.text ?? "";
  byId("plan-name").value = state.name ?? "";
  refresh(null).then(async () => {
    if (!state.name) return;
    try {
      keptText = (await ask(`/api/scenarios/${encodeURIComponent(state.name)}`)).text;
    } catch {
      keptText = null;
    }
    remember();
    if (text().trim()) run();
  }, () => {});
  byId("plan-pick").addEventListener("change", (event) => {
    if (event.target.value) open(event.target.value).catch((error) => fail(error, "name"));
  });
  byId("plan-file").addEventListener("change", async (event) => {
    const [file] = event.target.files;
    if (!file) return;
    byId("plan-text").value = (await file.text()).slice(0, 60000);
    byId("plan-name").value = file.name
      .toLowerCase().replace(/\.toml$/, "").replace(/[^a-z0-9]+/g, "-").replace(/^-|-$/g, "")
      .slice(0, 40);
    keptText = null;
    remember();
    run();
  });
  byId("plan-text").addEventListener("input", remember);
  byId("plan-name").addEventListener("input", remember);
  byId("plan-form").addEventListener("submit", (event) => {
    event.preventDefault();
    run();
  });
  byId("plan-keep").addEventListener("click", async () => {
    const name = byId("plan-name").value.trim();
    try {
      const body = { text: text() };
      await ask(`/api/scenarios/${encodeURIComponent(name)}`, { method: "PUT", body });
      keptText = body.text;
      showErrors([], NAMES);
      remember();
      await refresh(name);
      tell("plan-said", say("plan.saved", { name }));
    } catch (error) {
      fail(error, "name");
    }
  });
  byId("plan-delete").addEventListener("click", async () => {
    const name = byId("plan-name").value.trim();
    if (!confirm(say("plan.delete", { name }))) return;
    try {
      await ask(`/api/scenarios/${encodeURIComponent(name)}`, { method: "DELETE" });
      keptText = null;
      showErrors([], NAMES);
      remember();
      await refresh(null);
      tell("plan-said", say("plan.deleted", { name }));
    } catch (error) {
      fail(error, "name");
    }
  });
  byId("plan-clock").addEventListener("click", (event) => {
    if (!last || !setPlan(last.shown.clock)) event.preventDefault();
  });
}
