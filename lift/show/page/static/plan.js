// Plan: a scenario file in the box, its plan beside it.

import { ask, Refused } from "./ask.js";
import { setPlan } from "./clock.js";
import { byId, el, list, say } from "./dom.js";
import { showErrors } from "./form.js";
import { keep, kept } from "./keep.js";
import { drawPlan } from "./planline.js";

const NAMES = ["text", "name"];
let last = null;
let keptText = null;

const text = () => byId("plan-text").value;

async function refresh(chosen) {
  const { scenarios } = await ask("/api/scenarios");
  const pick = byId("plan-pick");
  pick.replaceChildren(
    el("option", { value: "" }, "choose one"),
    ...scenarios.map(({ name, demo }) =>
      el("option", { value: name }, demo ? `${name} (demo, invented)` : name),
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
  card.textContent = whole ? "Open the card" : "Save it to open its card";
}

function fail(error, field) {
  const rest = showErrors(error instanceof Refused ? error.errors : [], NAMES);
  const own = error instanceof Refused ? rest : [{ message: error.message }];
  if (own.length) byId(`${field}-error`).textContent = own[0].message;
  if (error instanceof Refused && field === "text") showLine(error.message);
}

// Puts the caret on the line that the message names.
function showLine(message) {
  const number = Number(/line (\d+)/.exec(message)?.[1]);
  if (!number) return;
  const lines = text().split("\n");
  const from = lines.slice(0, number - 1).join("\n").length + (number > 1 ? 1 : 0);
  const box = byId("plan-text");
  box.setSelectionRange(from, from + (lines[number - 1] ?? "").length);
  box.scrollTop = (number - 4) * parseFloat(getComputedStyle(box).lineHeight);
}

async function run() {
  say("plan-said", "working it out");
  byId("plan-run").disabled = true;
  try {
    last = await ask("/api/shown/plan", { method: "POST", body: { text: text() } });
    showErrors([], NAMES);
    draw();
  } catch (error) {
    byId("plan-outcome").hidden = true;
    fail(error, "text");
  } finally {
    say("plan-said", "");
    byId("plan-run").disabled = false;
  }
}

const cell = (...content) => el("td", {}, ...content);

function chip(colour, words) {
  const square = el("span", { class: "chip", role: "img", "aria-label": words });
  square.style.backgroundColor = colour;
  return square;
}

function draw() {
  const { answer, shown } = last;
  byId("plan-outcome").hidden = false;
  say("plan-name-shown", answer.title);
  say("plan-verdict", shown.verdict);
  byId("plan-verdict").dataset.exists = answer.exists;
  const failed = answer.changes.filter((c) => !c.works).map((c) => c.kind);
  list(byId("plan-changes"), [
    ...answer.changes.flatMap((c, i) =>
      c.works
        ? [`Try (${c.kind}): ${c.text} ${shown.changes[i]}`]
        : [],
    ),
    ...(failed.length ? [`Tried without success: ${failed.join(", ")}.`] : []),
    ...answer.advice.map((line) => `Or, for one zone: ${line}`),
  ]);
  drawPlan(byId("plan-line"), answer, shown);
  list(byId("plan-cautions"), answer.cautions);
  byId("plan-zones").tBodies[0].replaceChildren(
    ...answer.zones.map((z) => {
      const mixture = answer.mixtures[z.mixture];
      return el(
        "tr",
        {},
        el("th", { scope: "row" }, chip(shown.zones[z.zone].colour, "colour at the rinse"), z.zone),
        cell(`${mixture.kind} ${mixture.developer_volume} vol`),
        ...[z.starts, z.laid, z.rinsed, z.latest_safe].map((t) => cell(t.toFixed(1))),
        cell(shown.zones[z.zone].chance),
        cell(z.level.toFixed(1)),
        cell(`${z.warmth.toFixed(1)} of ${z.warmth_limit.toFixed(1)}`),
        cell(`${z.bowl.bowls} of ${z.bowl.grams.toFixed(0)} g`),
      );
    }),
  );
  list(byId("plan-tones"), answer.zones.map((z) => toneWords(z, shown.zones[z.zone])));
  say("plan-blend", answer.blend.words);
  byId("plan-parts").replaceChildren(
    ...Object.entries(shown.parts).map(([part, [before, after]]) =>
      el(
        "p",
        {},
        chip(before, `${part} before`),
        chip(after, `${part} after`),
        `${part}: before, and after`,
      ),
    ),
  );
  list(
    byId("plan-edges"),
    answer.blend.edges.map(
      (e) =>
        `${e.parts[0]} to ${e.parts[1]}: ${e.before.toFixed(1)} dE00 before, ` +
        `${e.after.toFixed(1)} after${e.breaks ? `; ${e.breaks} breaks the blend` : ""}.`,
    ),
  );
  list(byId("plan-next"), answer.next_visit.words);
  list(byId("plan-assumed"), answer.assumed);
}

function toneWords(zone, shown) {
  const doses = Object.entries(zone.toner).map(([dye, dose]) => `${dye} ${dose.toFixed(1)}`);
  if (doses.length) return `${zone.zone}: toner ${doses.join(", ")}`;
  return `${zone.zone}: tone ${shown.tone}`;
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
      say("plan-said", `saved as ${name}`);
    } catch (error) {
      fail(error, /line|valid TOML/.test(error.message) ? "text" : "name");
    }
  });
  byId("plan-delete").addEventListener("click", async () => {
    const name = byId("plan-name").value.trim();
    if (!confirm(`Delete the scenario ${name}?`)) return;
    try {
      await ask(`/api/scenarios/${encodeURIComponent(name)}`, { method: "DELETE" });
      keptText = null;
      showErrors([], NAMES);
      remember();
      await refresh(null);
      say("plan-said", `${name} is deleted; the text stays in the box`);
    } catch (error) {
      fail(error, "name");
    }
  });
  byId("plan-clock").addEventListener("click", (event) => {
    if (!last || !setPlan(last.shown.clock)) event.preventDefault();
  });
}
