// The consultation: what is asked before anything is mixed, why, and what an answer changes. Questions,
// words and what comes of them are the server's.

import { byId, el, list } from "./dom.js";
import { change, visitNow } from "./visit.js";
import { say } from "./words.js";

const DAYS_AGO = [2, 3, 7, 14];
const DAY_MS = 86_400_000;
const NOTHING = "nothing";

let drawnFor = "";

const answers = () => visitNow()?.consultation ?? {};

function give(name, value) {
  change((visit) => {
    const given = { ...visit.consultation };
    if (value === null || value.length === 0) delete given[name];
    else given[name] = value;
    visit.consultation = given;
  });
}

// Of several, nothing stands alone.
function toggle(name, value, on) {
  const before = answers()[name] ?? [];
  const others = before.filter((each) => each !== value && (value === NOTHING || !on ? true : each !== NOTHING));
  if (!on) give(name, others);
  else give(name, value === NOTHING ? [NOTHING] : [...others, value]);
}

function dayBefore(days) {
  const today = visitNow().visit.date ?? new Date().toISOString().slice(0, 10);
  return new Date(Date.parse(today) - days * DAY_MS).toISOString().slice(0, 10);
}

function choiceOf(question, value, words, kind) {
  const id = `asked-${question.name}-${value}`;
  const input = el("input", { type: kind, id, name: `asked-${question.name}`, value, "aria-describedby": `asked-${question.name}-error` });
  input.addEventListener("change", () => {
    if (kind === "checkbox") toggle(question.name, value, input.checked);
    else if (input.checked) give(question.name, value);
  });
  return el("span", {}, input, el("label", { for: id }, words));
}

function dayBox(question) {
  const box = el("input", { type: "date", id: `asked-${question.name}-day`, "aria-label": say("asked.day") });
  box.addEventListener("change", () => give(question.name, box.value || null));
  return box;
}

function draw(question) {
  const kind = question.kind === "several" ? "checkbox" : "radio";
  const given = question.answers.map(({ value, words }) => choiceOf(question, value, words, kind));
  const days = question.kind === "day"
    ? [...DAYS_AGO.map((days) => choiceOf(question, dayBefore(days), say("asked.ago", { days }), "radio")), dayBox(question)]
    : [];
  const ask = el("h3", { id: `asked-${question.name}-ask` }, question.ask);
  const because = el(
    "div",
    { class: "because", hidden: true },
    el("p", {}, question.why),
    el("p", {}, question.changes),
    el("p", { class: "exact" }, question.source),
  );
  const why = el("button", { type: "button", class: "why", "aria-expanded": "false", "aria-label": say("asked.why_ask", { ask: question.ask }) }, say("asked.why"));
  why.addEventListener("click", () => {
    because.hidden = !because.hidden;
    why.setAttribute("aria-expanded", String(!because.hidden));
  });
  return el(
    "div",
    { class: "asked-question", role: kind === "radio" ? "radiogroup" : "group", "aria-labelledby": ask.id, "data-question": question.name },
    ask, why,
    el("div", { class: "one-of-options" }, ...days, ...given),
    because,
    el("p", { class: "error", id: `asked-${question.name}-error`, role: "status" }),
  );
}

// Questions are drawn anew only when they are others, or another visit's.
function drawAll(questions) {
  const key = `${visitNow().visit.name} ${visitNow().visit.date} ${questions.map((question) => question.name)}`;
  if (key === drawnFor) return;
  drawnFor = key;
  byId("asked-questions").replaceChildren(...questions.map(draw));
}

function showGiven(name, given) {
  const values = Array.isArray(given) ? given : [given];
  for (const input of document.getElementsByName(`asked-${name}`)) input.checked = values.includes(input.value);
  const box = byId(`asked-${name}-day`);
  if (box) box.value = /^\d/.test(given ?? "") ? given : "";
}

// Shows what was answered and what comes of it; returns how many questions are open.
export function showAsked({ answer, errors }) {
  byId("asked").hidden = !answer;
  if (!answer) return 0;
  const { questions, stops, cautions, open } = answer.consultation;
  drawAll(questions);
  const now = answers();
  const waiting = open.filter((name) => now[name] === undefined);
  for (const question of questions) {
    const row = byId("asked-questions").querySelector(`[data-question="${question.name}"]`);
    row.hidden = now[question.name] === undefined && !open.includes(question.name);
    row.classList.toggle("open", waiting.includes(question.name));
    showGiven(question.name, now[question.name]);
    const own = `consultation.${question.name}`;
    byId(`asked-${question.name}-error`).textContent =
      errors.find(({ field }) => field === own || field.startsWith(`${own}[`))?.message ?? "";
  }
  // What was concluded from other answers is no longer true until the server has said so anew.
  const stale = JSON.stringify(answer.visit.consultation ?? {}) !== JSON.stringify(now);
  for (const [id, lines] of [["asked-stops", stops.map((stop) => stop.words)], ["asked-cautions", cautions]]) {
    list(byId(id), lines);
    byId(id).classList.toggle("stale", stale);
  }
  return waiting.length;
}
