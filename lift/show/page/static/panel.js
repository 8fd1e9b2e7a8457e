// One zone's mixture: every number of it can be moved, and what is told follows while it moves.

import { ask, Newest, Offline, onConnection } from "./ask.js";
import { Carried } from "./carried.js";
import { controls } from "./controls.js";
import { el } from "./dom.js";
import { NumberField } from "./number.js";
import { StrandShown } from "./strandshown.js";
import { say } from "./words.js";

// How long what was told stays in full ink while the next answer is on its way.
const PATIENCE_MS = 600;
let made = 0;

const typedVolume = (volume) =>
  Array.isArray(volume) ? volume.map(([vol, parts]) => `${vol}:${parts}`).join(",") : String(volume ?? "");

export class Panel {
  // `onset` is called with a mixture and minutes when what was moved has come to rest, `onreach`
  // with a level that is to be the goal.
  constructor({ label, onset, onreach }) {
    this.id = `panel-${++made}`;
    this.onreach = onreach;
    this.shown = new StrandShown(this.id);
    this.said = el("p", { class: "panel-said", role: "status" });
    const told = { onmove: () => this.want(true), onset: () => this.answered(onset) };
    const field = (code, more) => new NumberField({ label: say(code), low: 0, high: 60, ...told, ...more });
    this.fields = {
      minutes: field("panel.minutes", { unit: say("panel.unit.minutes"), step: 0.5 }),
      volume: field("panel.volume", { unit: say("panel.unit.volume"), step: 0.5, stops: controls.developers }),
      parts: field("panel.parts", { low: 0.5, high: 4, step: 0.1, exact: true, usual: say("panel.usual") }),
      ph: field("panel.ph", { step: 0.1, exact: true, usual: say("panel.usual") }),
    };
    this.carried = new Carried(told);
    this.fields.carry = this.carried;
    this.kinds = el(
      "select", { id: `${this.id}-kind` },
      ...Object.entries(controls.kinds).map(([kind, { words }]) => el("option", { value: kind }, words)),
    );
    this.kinds.addEventListener("change", () => {
      this.fit();
      this.answered(onset);
    });
    const panel = el(
      "div",
      { class: "panel" },
      this.said,
      this.shown.lines, this.shown.verdict,
      el("div", { class: "panel-line" }, this.shown.line, this.fields.minutes.root, this.shown.legend),
      el(
        "div", { class: "number-field" },
        el("label", { for: this.kinds.id }, say("panel.kind")), this.kinds,
      ),
      this.fields.volume.root, this.carried.root, this.fields.parts.root, this.fields.ph.root,
      this.shown.advice, this.shown.exact,
    );
    this.root = el("div", { class: "panel-room", role: "group", "aria-label": label }, panel);
    this.asker = new Newest(
      ({ query, moving }, options) => {
        const typed = new URLSearchParams(query);
        typed.set("moving", String(moving));
        typed.set("shown", "true");
        return ask(`/api/preview?${typed}`, options);
      },
      (got, asked) => this.show(got, asked),
      (error) => this.fail(error),
    );
    new ResizeObserver(() => this.draw()).observe(this.shown.warmth);
    onConnection((connected) => connected && this.root.isConnected && this.want());
  }

  // Hair and goal as they are asked, and the mixture and minutes that stand in the visit.
  set({ asked, mixture, minutes }) {
    this.asked = asked;
    this.mixture = mixture;
    this.kinds.value = mixture.kind;
    this.fit();
    this.fields.volume.value = typedVolume(mixture.volume);
    this.fields.minutes.value = minutes;
    this.fields.parts.value = mixture.developer_parts;
    this.fields.ph.value = mixture.ph;
    this.carried.value = mixture.tone;
    this.want();
  }

  // Sliders end where the class of mixture does.
  fit() {
    const { minutes, volume, ph, tone } = controls.kinds[this.kinds.value];
    this.fields.minutes.bounds = minutes;
    this.fields.volume.bounds = volume;
    this.fields.ph.bounds = ph;
    this.carried.usual = tone;
    [, this.span] = minutes;
  }

  // As the server takes it; what may be left out is left to it when empty.
  get query() {
    const query = { ...this.asked, mixture: this.kinds.value, carry: this.carried.typed };
    for (const [name, { value }] of Object.entries(this.fields)) if (name !== "carry") query[name] = value;
    for (const name of ["parts", "ph", "carry"]) if (query[name] === "") delete query[name];
    return query;
  }

  // As a visit holds it.
  get values() {
    const { volume, minutes, parts, ph } = this.fields;
    const one = Number(volume.value);
    const moved = typedVolume(this.mixture.volume) !== volume.value;
    const kept = moved ? (Number.isFinite(one) ? one : volume.value) : this.mixture.volume;
    const mixture = { ...this.mixture, kind: this.kinds.value, volume: kept, tone: this.carried.value };
    for (const [key, { value }] of [["developer_parts", parts], ["ph", ph]]) {
      mixture[key] = value === "" ? undefined : Number(value);
    }
    return { mixture, minutes: Number(minutes.value) };
  }

  // What moves is asked without advice, which takes longer than all else.
  want(moving = false) {
    if (!this.asked) return;
    const { query } = this;
    this.newest = JSON.stringify(query);
    clearTimeout(this.late);
    this.late = setTimeout(() => this.stale(say("panel.late")), PATIENCE_MS);
    this.asker.want({ query, moving });
  }

  // Calls back once what was moved is answered; what is refused is not kept.
  answered(onset) {
    this.onset = onset;
    this.want();
  }

  settle() {
    if (!this.onset || this.last?.asked !== this.newest || this.last.moving) return;
    const { onset } = this;
    this.onset = null;
    onset(this.values);
  }

  show(got, { query, moving }) {
    this.last = { got, moving, asked: JSON.stringify(query) };
    this.wrong([]);
    if (this.last.asked === this.newest) this.fresh();
    requestAnimationFrame(() => this.draw());
    this.settle();
  }

  fresh() {
    clearTimeout(this.late);
    delete this.root.dataset.stale;
    this.said.textContent = "";
  }

  // What was told is not of these values, and must not look as if it were.
  stale(why) {
    clearTimeout(this.late);
    this.root.dataset.stale = "true";
    if (this.said.textContent !== why) this.said.textContent = why;
  }

  fail(error) {
    this.onset = null;
    if (error instanceof Offline) {
      // Nothing has changed since it was told.
      if (this.last?.asked === this.newest) this.fresh();
      else this.stale(say("panel.offline"));
      return;
    }
    const rest = this.wrong(error.errors ?? []);
    this.stale(rest.length ? say("panel.refused", { why: rest[0].message }) : say("panel.not_these"));
  }

  // Puts each refusal beside its field; those of no field here are given back.
  wrong(errors) {
    for (const [name, each] of Object.entries(this.fields)) {
      each.wrong = errors.find((error) => error.field === name)?.message ?? "";
    }
    return errors.filter((error) => !(error.field in this.fields));
  }

  draw() {
    if (!this.last || !this.root.isConnected) return;
    this.shown.draw(this.last.got, this.span, this.onreach, this.last.moving);
    this.root.dataset.answered = String(this.asker.shown);
  }
}
