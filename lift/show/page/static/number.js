// One number: a slider to drag, two buttons to step, a box to type into, which say the same, and
// room for what is wrong with it.

import { el } from "./dom.js";
import { say } from "./words.js";

let made = 0;
const number = (text) => (text.trim() === "" ? NaN : Number(text));
const rounded = (value) => String(Number(value.toFixed(6)));

export class NumberField {
  // `stops` are values that the buttons step to in place of steps; `needed`: an empty box is no
  // answer; `onmove` is called while it moves, `onset` when it has come to rest.
  constructor({ label, unit = "", low, high, step, value, stops, usual = "", exact = false, onmove, onset }) {
    this.id = `number-${++made}`;
    Object.assign(this, { unit, step, stops, onmove, onset });
    const error = `${this.id}-error`;
    const described = { "aria-describedby": error };
    const button = (sign, code, by) => {
      const made = el("button", { type: "button", class: "step-by", "aria-label": say(code, { label }) }, sign);
      made.addEventListener("click", () => this.by(by));
      return made;
    };
    this.box = el("input", {
      id: `${this.id}-box`, class: "box", type: "text", inputmode: "decimal", autocomplete: "off",
      maxlength: 12, placeholder: usual, ...described,
    });
    this.slider = el("input", {
      class: "slider", type: "range", min: low, max: high, step, "aria-label": label, ...described,
    });
    this.line = el("p", { class: "error", id: error, role: "status" });
    this.root = el(
      "div",
      { class: "number-field" },
      el("label", { for: this.box.id }, label),
      el(
        "span",
        { class: "number-value" },
        button("\u2212", "number.less", -1), this.box,
        unit ? el("span", { class: "unit" }, unit) : "", button("+", "number.more", 1),
      ),
      this.slider,
      this.line,
    );
    if (exact) this.root.classList.add("exact");
    this.slider.addEventListener("input", () => {
      this.box.value = this.slider.value;
      this.told(false);
    });
    this.slider.addEventListener("change", () => this.told(true));
    this.box.addEventListener("input", () => {
      if (Number.isFinite(number(this.box.value))) this.slider.value = this.box.value;
      this.told(false);
    });
    this.box.addEventListener("change", () => this.told(true));
    this.value = value;
  }

  get value() {
    return this.box.value.trim();
  }

  set value(value) {
    this.box.value = value === null || value === undefined ? "" : String(value);
    if (Number.isFinite(number(this.box.value))) this.slider.value = this.box.value;
    this.speak();
  }

  set bounds([low, high]) {
    this.slider.min = low;
    this.slider.max = high;
    this.slider.value = this.box.value;
  }

  by(way) {
    const now = Number.isFinite(number(this.box.value)) ? number(this.box.value) : Number(this.slider.value);
    const next = this.stops
      ? (way > 0 ? this.stops.find((stop) => stop > now) : this.stops.findLast((stop) => stop < now))
      : now + way * this.step;
    if (next === undefined) return;
    this.value = rounded(Math.min(Math.max(next, Number(this.slider.min)), Number(this.slider.max)));
    this.told(true);
  }

  told(rest) {
    this.speak();
    this.onmove?.();
    if (rest) this.onset?.();
  }

  speak() {
    this.slider.setAttribute("aria-valuetext", this.unit ? `${this.slider.value} ${this.unit}` : this.slider.value);
  }

  // What is wrong with it, beside it; an empty text: nothing.
  set wrong(text) {
    if (this.line.textContent !== text) this.line.textContent = text;
    for (const input of [this.box, this.slider]) {
      if (text) input.setAttribute("aria-invalid", "true");
      else input.removeAttribute("aria-invalid");
    }
  }
}
