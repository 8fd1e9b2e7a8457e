// One zone of a visit that was: what came out of it is tapped, or measured, and how long it was on.

import { el, minutes as minutesWords } from "./dom.js";
import { levelPicker, roundLevel } from "./levels.js";
import { drawLocks } from "./lock.js";
import { photoButton } from "./photo.js";
import { change, visitNow } from "./visit.js";
import { say } from "./words.js";

const MOST_MINUTES = 120;
// Where the steps begin when nobody has said how long it was on; until then nothing can be told.
const FIRST_MINUTES = 30;
const STEPS = [-5, -1, 1, 5];
let made = 0;

const toldOf = (name) => visitNow().came_out.find((each) => each.zone === name);

export class ZoneAfter {
  #name;
  #minutes = null;
  #measuring = false;
  #picker;
  #words = el("p", { class: "after-words", role: "status" });
  #exact = el("p", { class: "exact" });
  #error = el("p", { class: "error", role: "status" });
  #locks = el("div", { class: "locks" });
  #on = el("output", {});
  #measured;
  #asked;
  #mend = el("button", { type: "button", "aria-expanded": "false" }, say("after.mend"));

  constructor({ name, scale }) {
    this.#name = name;
    const picker = el("div", {});
    const id = `after-measured-${++made}`;
    this.#measured = el("input", { type: "text", id, inputmode: "text", autocomplete: "off", placeholder: "55, 8, 24" });
    const steps = STEPS.map((by) => {
      const sign = by < 0 ? "\u2212" : "+";
      const label = say(by < 0 ? "after.fewer" : "after.more", { zone: name, by: Math.abs(by) });
      const button = el("button", { type: "button", "aria-label": label }, `${sign}${Math.abs(by)}`);
      button.addEventListener("click", () => this.#move(by));
      return button;
    });
    const measured = el("label", { class: "exact", for: id }, say("after.measured"), " ", this.#measured);
    // What is told already is folded away; it is mended by opening it.
    this.#asked = el("div", { class: "after-asked", hidden: Boolean(toldOf(name)) }, picker, measured,
      photoButton(() => name, ({ seen }) => this.#tell(seen, true)));
    this.#mend.hidden = !this.#asked.hidden;
    this.#mend.addEventListener("click", () => {
      this.#asked.hidden = !this.#asked.hidden;
      this.#mend.setAttribute("aria-expanded", String(!this.#asked.hidden));
    });
    this.root = el(
      "section",
      { class: "after-zone", "aria-label": name },
      el("h3", {}, name),
      this.#locks,
      this.#words,
      this.#exact,
      this.#error,
      this.#asked,
      el(
        "div",
        { class: "after-minutes", role: "group", "aria-label": say("after.minutes_of", { zone: name }) },
        this.#on, ...steps,
      ),
      this.#mend,
    );
    this.#picker = levelPicker(picker, { label: say("after.level_of", { zone: name }), scale, onpick: (level) => this.#tell(String(level)) });
    this.#measured.addEventListener("change", () => {
      const seen = this.#measured.value.trim();
      if (seen) this.#tell(seen, true);
    });
  }

  #tell(seen, instrument = false) {
    const told = { zone: this.#name, minutes: this.#minutes, seen };
    if (instrument) told.instrument = true;
    this.#measuring = instrument;
    change((visit) => {
      const at = visit.came_out.findIndex((each) => each.zone === this.#name);
      if (at < 0) visit.came_out.push(told);
      else visit.came_out[at] = told;
    });
  }

  #move(by) {
    const before = this.#minutes ?? FIRST_MINUTES - by;
    this.#minutes = Math.min(Math.max(before + by, 0.5), MOST_MINUTES);
    const told = toldOf(this.#name);
    if (told) this.#tell(told.seen, told.instrument);
    else this.#drawMinutes("");
  }

  #drawMinutes(saidBy) {
    const t = this.#minutes;
    const by = saidBy ? say(`after.by.${saidBy}`) : "";
    const words = t === null ? say("after.minutes_none") : `${minutesWords(t)} ${by}`.trim();
    if (this.#on.textContent !== words) this.#on.textContent = words;
    if (this.#mend.hidden) this.#asked.hidden = t === null;
  }

  update(zone) {
    const told = toldOf(this.#name);
    this.#picker.bound({ scale: zone.scale });
    if (zone.minutes !== null || told) this.#minutes = told?.minutes || zone.minutes;
    this.#drawMinutes(zone.said_by);
    drawLocks(this.#locks, zone.locks);
    if (this.#words.textContent !== zone.words) this.#words.textContent = zone.words;
    this.#exact.textContent = zone.exact;
    const measured = told?.seen.includes(",");
    if (!this.#measuring) this.#measured.value = measured ? told.seen : "";
    const level = told && !measured ? Number(told.seen) : zone.level;
    this.#picker.set(level === null || !told ? null : roundLevel(Math.min(Math.max(level, 1), 10)));
  }

  refuse(message) {
    if (this.#error.textContent !== message) this.#error.textContent = message;
  }

  stop() {
    this.#picker.stop();
  }
}
