// What is asked about one strand, as the form holds it.

import { byId, tell } from "./dom.js";
import { pair, pick, picked } from "./form.js";
import { say } from "./words.js";

// Properties of hair that have no place of their own in the form.
const further = [...document.querySelectorAll("#further [data-field]")].map((f) => f.dataset.field);
const isFlag = (name) => byId(name).type === "checkbox";

const FLAGS = ["damp", "red", "strand", ...further.filter(isFlag)];
const NUMBERS = [
  "level", "fibre", "lightened_to", "grey", "resistant", "volume", "parts", "ph", "temperature", "minutes",
  ...further.filter((name) => !isFlag(name)),
];
export const FIELDS = [...NUMBERS, ...FLAGS, "mixture", "carry", "goal"];

const GOAL_NUMBERS = ["goal-level", "goal-warmth", "goal-tolerance"];
const BOXES = [
  ...NUMBERS.map((n) => `${n}-box`), "dose-box", ...GOAL_NUMBERS.map((n) => `${n}-box`), "goal-lab-box",
];
const SELECTS = ["dye", "goal-stage"];
const OPTIONAL = ["parts", "ph", "carry", "goal", ...further];
const CHECKS = [...FLAGS, "history"];
const RADIOS = ["mixture", "carry", "aim", "what", "after"];

// By what a goal of each intent may be named; toning only lightens to nothing that could be named.
const NAMED = {
  blend: ["natural", "level", "lab"],
  lighten: ["level", "stage"],
  match: ["lab"],
  tone: ["natural"],
};

// An older page kept a level or a colour to reach, and the warmth that was allowed; what they mean
// is what they mean where they are typed without an intent.
function renewed(state) {
  const { boxes = {}, radios = {} } = state;
  if (!("allowance-box" in boxes)) return state;
  const warmth = boxes["allowance-box"];
  const { aim = "any" } = radios;
  return {
    ...state,
    boxes: {
      ...boxes, "goal-level-box": boxes["aim-level-box"], "goal-lab-box": boxes["aim-lab-box"],
      "goal-warmth-box": warmth,
    },
    radios: {
      ...radios, aim: { level: "lighten", lab: "match" }[aim] ?? (warmth ? "blend" : "any"),
      what: aim === "any" ? "natural" : aim, after: warmth ? "left" : "toned",
    },
  };
}

export class Question {
  constructor(changed) {
    const told = () => {
      this.fold();
      changed();
    };
    this.follow = [
      ...NUMBERS.map((name) => pair(byId(name), byId(`${name}-box`), told)),
      pair(byId("dose"), byId("dose-box"), told),
      ...GOAL_NUMBERS.map((name) => pair(byId(name), byId(`${name}-box`), told)),
    ];
    byId("goal-lab-box").addEventListener("input", told);
    for (const id of SELECTS) byId(id).addEventListener("change", told);
    byId("after-left").addEventListener("change", () => {
      // A warmth to be left with, so that the answer goes on; it is there to be moved.
      const box = byId("goal-warmth-box");
      if (box.value.trim() === "") box.value = byId("goal-warmth").value;
    });
    byId("history").addEventListener("change", () => {
      // A level to start from, so that the answer goes on; it is there to be moved.
      const box = byId("lightened_to-box");
      if (!byId("history").checked || box.value !== "") return;
      box.value = Math.min(Number(byId("level").value) + 1, Number(byId("goal-level").max)).toFixed(1);
      for (const follow of this.follow) follow();
    });
    for (const id of CHECKS) byId(id).addEventListener("change", told);
    for (const name of RADIOS) {
      for (const radio of document.querySelectorAll(`input[name="${name}"]`)) {
        radio.addEventListener("change", told);
      }
    }
    byId("question").addEventListener("submit", (event) => event.preventDefault());
    this.fold();
  }

  fold() {
    byId("history-more").hidden = !byId("history").checked;
    byId("carry-more").hidden = picked("carry") !== "own";
    this.foldGoal();
  }

  // Only what a goal of this intent may hold is shown, and only that is typed.
  foldGoal() {
    const aim = picked("aim");
    const names = NAMED[aim] ?? [];
    for (const radio of document.querySelectorAll('input[name="what"]')) {
      radio.closest(".option").hidden = !names.includes(radio.value);
    }
    if (names.length && !names.includes(picked("what"))) pick("what", names[0]);
    const what = names.length ? picked("what") : "";
    const ends = aim === "lighten" || aim === "match";
    const left = ends && picked("after") === "left";
    const shown = {
      what: names.length > 1,
      "goal-level": what === "level",
      "goal-stage": what === "stage",
      "goal-lab": what === "lab",
      after: ends,
      "goal-warmth": left || (aim === "blend" && what !== "lab"),
      "goal-tolerance": ends ? !left : aim === "blend" && what !== "natural",
    };
    for (const [name, on] of Object.entries(shown)) byId(`${name}-more`).hidden = !on;
    tell("goal-warmth-label", say(what === "level" && aim === "blend" ? "goal.warmth_of" : "goal.warmth_kept"));
  }

  // The goal as the command line reads it; what is missing is marked, to be refused beside it.
  get goal() {
    const aim = picked("aim");
    if (!(aim in NAMED)) return "";
    const shown = (name) => !byId(`${name}-more`).hidden;
    const box = (name) => byId(`${name}-box`).value.trim();
    const needed = (name) => box(name) || "?";
    const parts = [aim];
    if (shown("goal-level")) parts.push(needed("goal-level"));
    if (shown("goal-stage")) parts.push(byId("goal-stage").value);
    if (shown("goal-lab")) parts.push(needed("goal-lab"));
    if (shown("goal-warmth")) {
      const warmth = aim === "blend" ? box("goal-warmth") : needed("goal-warmth");
      if (warmth) parts.push(`warmth=${warmth}`);
    }
    if (shown("goal-tolerance") && box("goal-tolerance")) parts.push(`tolerance=${box("goal-tolerance")}`);
    return parts.join(" ");
  }

  // Names a level that lightening passes as the goal.
  reach(level) {
    pick("aim", "lighten");
    pick("what", "level");
    pick("after", "toned");
    byId("goal-level-box").value = String(level);
    for (const follow of this.follow) follow();
    this.fold();
  }

  // As the command line takes them; what may be left out is left to the engine when empty.
  typed() {
    const box = (name) => byId(`${name}-box`).value.trim();
    const typed = {};
    for (const name of NUMBERS) {
      if (name !== "lightened_to" || byId("history").checked) typed[name] = box(name);
    }
    for (const name of FLAGS) typed[name] = String(byId(name).checked);
    typed.mixture = picked("mixture");
    typed.carry =
      picked("carry") === "own" ? `${byId("dye").value}=${box("dose")}` : picked("carry");
    typed.goal = this.goal;
    for (const name of OPTIONAL) if (typed[name] === "") delete typed[name];
    return typed;
  }

  get state() {
    return {
      boxes: Object.fromEntries(BOXES.map((id) => [id, byId(id).value])),
      checks: Object.fromEntries(CHECKS.map((id) => [id, byId(id).checked])),
      radios: Object.fromEntries(RADIOS.map((name) => [name, picked(name)])),
      ...Object.fromEntries(SELECTS.map((id) => [id, byId(id).value])),
    };
  }

  set state(kept) {
    const state = renewed(kept);
    for (const [id, text] of Object.entries(state.boxes ?? {})) {
      if (BOXES.includes(id)) byId(id).value = String(text ?? "");
    }
    for (const [id, on] of Object.entries(state.checks ?? {})) {
      if (CHECKS.includes(id)) byId(id).checked = Boolean(on);
    }
    for (const [name, value] of Object.entries(state.radios ?? {})) {
      if (RADIOS.includes(name)) pick(name, value);
    }
    for (const id of SELECTS) {
      if ([...byId(id).options].some((o) => o.value === state[id])) byId(id).value = state[id];
    }
    for (const follow of this.follow) follow();
    this.fold();
  }
}
