// What is asked about one strand, as the form holds it.

import { byId } from "./dom.js";
import { pair, pick, picked } from "./form.js";

// Properties of hair that have no place of their own in the form.
const further = [...document.querySelectorAll("#further [data-field]")].map((f) => f.dataset.field);
const isFlag = (name) => byId(name).type === "checkbox";

const FLAGS = ["damp", "red", "strand", ...further.filter(isFlag)];
const NUMBERS = [
  "level", "fibre", "lightened_to", "grey", "resistant", "volume", "parts", "ph", "temperature", "minutes",
  ...further.filter((name) => !isFlag(name)),
];
export const FIELDS = [...NUMBERS, ...FLAGS, "mixture", "carry", "goal"];

const BOXES = [
  ...NUMBERS.map((n) => `${n}-box`), "dose-box", "aim-level-box", "aim-lab-box", "allowance-box",
];
const OPTIONAL = ["parts", "ph", "carry", "goal", ...further];
const CHECKS = [...FLAGS, "history"];
const RADIOS = ["mixture", "carry", "aim"];

export class Question {
  constructor(changed) {
    const told = () => {
      this.fold();
      changed();
    };
    this.follow = [
      ...NUMBERS.map((name) => pair(byId(name), byId(`${name}-box`), told)),
      pair(byId("dose"), byId("dose-box"), told),
      pair(byId("aim-level-slider"), byId("aim-level-box"), told),
      pair(byId("allowance"), byId("allowance-box"), told),
    ];
    byId("aim-lab-box").addEventListener("input", told);
    byId("dye").addEventListener("change", told);
    byId("history").addEventListener("change", () => {
      // A level to start from, so that the answer goes on; it is there to be moved.
      const box = byId("lightened_to-box");
      if (!byId("history").checked || box.value !== "") return;
      box.value = Math.min(Number(byId("level").value) + 1, Number(byId("aim-level-slider").max)).toFixed(1);
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
    byId("aim-level-more").hidden = picked("aim") !== "level";
    byId("aim-lab-more").hidden = picked("aim") !== "lab";
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
    const aim = { any: "", level: box("aim-level"), lab: box("aim-lab") }[picked("aim")];
    const allowance = box("allowance");
    typed.goal = [aim, allowance && `warmth=${allowance}`].filter(Boolean).join(" ");
    for (const name of OPTIONAL) if (typed[name] === "") delete typed[name];
    return typed;
  }

  get state() {
    return {
      boxes: Object.fromEntries(BOXES.map((id) => [id, byId(id).value])),
      checks: Object.fromEntries(CHECKS.map((id) => [id, byId(id).checked])),
      radios: Object.fromEntries(RADIOS.map((name) => [name, picked(name)])),
      dye: byId("dye").value,
    };
  }

  set state(state) {
    for (const [id, text] of Object.entries(state.boxes ?? {})) {
      if (BOXES.includes(id)) byId(id).value = String(text);
    }
    for (const [id, on] of Object.entries(state.checks ?? {})) {
      if (CHECKS.includes(id)) byId(id).checked = Boolean(on);
    }
    for (const [name, value] of Object.entries(state.radios ?? {})) {
      if (RADIOS.includes(name)) pick(name, value);
    }
    if (state.dye) byId("dye").value = state.dye;
    for (const follow of this.follow) follow();
    this.fold();
  }
}
