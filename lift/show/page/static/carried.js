// The tone that a mixture carries: what its class usually has, none, or a dye and how much of it.

import { controls } from "./controls.js";
import { el } from "./dom.js";
import { NumberField } from "./number.js";
import { say } from "./words.js";

let made = 0;

// Most that the page's slider offers; more can be typed.
const MOST = 20;
const FIRST = 2;

export class Carried {
  constructor({ onmove, onset }) {
    const id = `carried-${++made}`;
    this.told = (rest) => {
      this.fold();
      onmove();
      if (rest) onset();
    };
    const option = (value, words) => {
      const radio = el("input", { type: "radio", name: id, id: `${id}-${value}`, value });
      radio.addEventListener("change", () => this.told(true));
      return el("span", { class: "option" }, radio, el("label", { for: radio.id }, words));
    };
    this.dye = el(
      "select", { "aria-label": say("carried.dye") },
      ...Object.entries(controls.dyes).map(([dye, words]) => el("option", { value: dye }, words)),
    );
    this.dye.addEventListener("change", () => this.told(true));
    this.dose = new NumberField({
      label: say("carried.dose"), low: 0, high: MOST, step: 0.5, value: FIRST,
      onmove: () => this.told(false), onset: () => this.told(true),
    });
    this.more = el(
      "div", {}, this.dye, this.dose.root, el("div", { class: "exact" }, el("p", { class: "tip" }, say("carried.unit"))),
    );
    this.root = el(
      "fieldset",
      { class: "carried" },
      el("legend", {}, say("carried")),
      el(
        "div", { class: "options" },
        option("", say("carried.usual")), option("none", say("carried.none")), option("own", say("carried.own")),
      ),
      this.more,
    );
    this.unsaid = "";
    this.value = null;
  }

  get picked() {
    return this.root.querySelector("input:checked").value;
  }

  // As a mixture of a visit holds it: undefined where it is the class's own, else doses by dye.
  get value() {
    if (this.picked === "own") return { ...this.others, [this.dye.value]: Number(this.dose.value) };
    return this.picked === "none" ? {} : undefined;
  }

  set value(tone) {
    const doses = Object.entries(tone ?? {});
    const picked = tone === null || tone === undefined ? this.unsaid : doses.length ? "own" : "none";
    for (const radio of this.root.querySelectorAll("input[type=radio]")) radio.checked = radio.value === picked;
    this.others = {};
    if (doses.length) {
      const [[dye, dose], ...rest] = doses.sort((a, b) => b[1] - a[1]);
      this.dye.value = dye;
      this.dose.value = dose;
      this.others = Object.fromEntries(rest);
    }
    this.fold();
  }

  // As it is asked.
  get typed() {
    if (this.picked !== "own") return this.picked;
    const doses = { ...this.others, [this.dye.value]: this.dose.value || "?" };
    return Object.entries(doses).map(([dye, dose]) => `${dye}=${dose}`).join(",");
  }

  set wrong(text) {
    this.dose.wrong = text;
  }

  // Whether the class of mixture carries tone by itself.
  set usual(has) {
    this.unsaid = has ? "" : "none";
    this.root.querySelector("input").closest(".option").hidden = !has;
    if (!has && this.picked === "") this.root.querySelector('[value="none"]').checked = true;
  }

  fold() {
    this.more.hidden = this.picked !== "own";
  }
}
