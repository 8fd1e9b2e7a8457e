// What an answer about one strand shows: what is done, in the order of doing it, locks, and the
// strip and warmth through time above a slider for the minutes.

import { ask } from "./ask.js";
import { el, levelWords, list, svg } from "./dom.js";
import { isExact } from "./exact.js";
import { drawLevels, drawLocks, drawStrip } from "./lock.js";
import { drawPath } from "./path.js";
import { drawWarmth, rinseWords, timeScale } from "./timeline.js";
import { named, say } from "./words.js";

// First lines, and what of an answer stands in each.
const LINES = { mix: "mix", rinse: "rinse", tone: "then_tone", risk: "risk_words" };
const FACTS = ["level", "underpigment", "warmth", "window", "tone"];
let stages = null;

// Plain words, and where exact values are wanted those with them.
export const worded = (plain, exact) =>
  plain === exact ? [plain] : [el("span", { class: "inexact" }, plain), el("span", { class: "exact" }, exact)];

export class StrandShown {
  constructor(id) {
    const drawn = (name, label, more = {}) =>
      svg("svg", { id: `${id}-${name}`, class: name, role: "img", "aria-label": say(label), ...more });
    this.locks = el("div", { class: "locks", role: "group", "aria-label": say("panel.locks") });
    this.risk = el("strong", {});
    this.when = el("span", {});
    this.verdict = el("div", { class: "verdict" }, this.locks, el("p", { class: "risk" }, this.risk, this.when));
    this.lines = el("dl", { class: "first-lines" });
    this.passes = el("ul", { class: "passed" });
    this.levels = [1, 2].map((i) => svg("svg", { id: `${id}-level-${i}` }));
    this.pigmented = drawn("pigmented", "panel.pigmented");
    this.strip = drawn("strip", "panel.strip");
    this.warmth = drawn("warmth", "panel.warmth");
    this.key = el("ul", { class: "places", "aria-label": say("panel.places") });
    this.caption = el("p", { class: "tip" });
    this.line = el(
      "div",
      { class: "line" },
      el("div", { class: "strip-levels", role: "group", "aria-label": say("panel.levels") }, ...this.levels),
      this.pigmented, this.strip, this.warmth,
    );
    this.legend = el("div", {}, this.key, this.caption);
    this.advice = el("ul", { class: "advice", "aria-label": say("panel.advice") });
    this.facts = el("dl", { class: "facts" });
    this.path = drawn("path", "panel.path");
    this.exact = el("div", { class: "exact" }, this.facts, el("figure", { class: "path" }, this.path));
    // What is of other values, once a value is refused.
    for (const each of [this.verdict, this.lines, this.line, this.legend, this.advice, this.exact]) {
      each.classList.add("of-values");
    }
  }

  // `reach` is called with a level that is to be the goal of an open lightening.
  draw({ answer, shown }, span, reach, moving) {
    const { at } = answer;
    const open = !answer.window;
    const scale = timeScale(this.warmth.clientWidth || 320, span);
    drawLocks(this.locks, shown.locks);
    this.drawStrips(answer, shown, scale);
    drawWarmth(this.warmth, this.key, this.caption, scale, answer);
    this.verdict.dataset.risk = shown.risk_code.code;
    const risk = shown.risk[0] + shown.risk.slice(1).toLowerCase();
    this.risk.textContent = open ? say("panel.level", { level: levelWords(at.level.median) }) : risk;
    this.when.textContent = open ? shown.plain.underpigment : answer.window.p_best ? rinseWords(answer.window) : "";
    this.drawLines(open, shown);
    this.drawPasses(answer, shown, reach);
    // What would help is looked for once a number rests; until then the room for it stays.
    this.advice.toggleAttribute("data-waits", moving);
    if (!moving) list(this.advice, shown.plain.advice.map((advice) => say("panel.try", { advice })));
    this.drawExact(answer, shown);
  }

  drawStrips({ at, curve }, shown, scale) {
    const ends = shown.between.filter((_, i) => i === 0 || curve.minutes[i - 1] < scale.span);
    const [low, high] = [Math.min(...ends.map((e) => e[0])), Math.max(...ends.map((e) => e[1]))];
    drawLevels(this.levels, [low, high].map((n) => shown.levels[n - 1]));
    const grey = shown.pigmented !== null;
    this.pigmented.toggleAttribute("hidden", !grey);
    if (grey) drawStrip(this.pigmented, scale, curve.minutes, shown.pigmented, at.minutes, say("panel.pigmented_name"));
    drawStrip(this.strip, scale, curve.minutes, shown.strip, at.minutes, grey ? say("panel.seen") : "");
  }

  // Where no goal is named there is nothing to be past: what is passed is told in the risk's place.
  drawLines(open, { plain, ...exact }) {
    const names = open ? ["mix", "rinse"] : Object.keys(LINES);
    this.lines.replaceChildren(
      ...names.flatMap((name) => [
        el("dt", {}, named("first", name)), el("dd", {}, ...worded(plain[LINES[name]], exact[LINES[name]])),
      ]),
      ...(open ? [el("dt", {}, say("panel.passes")), el("dd", {}, this.passes)] : []),
    );
  }

  drawPasses(answer, shown, reach) {
    this.passes.replaceChildren(
      ...answer.passes.map(({ level, minutes }, i) => {
        const [, stage, from, , chance] = shown.plain.passes[i];
        const code = minutes === null ? "panel.passes.later" : "panel.passes.from";
        const button = el("button", { type: "button" }, say("panel.reach", { level }));
        button.addEventListener("click", () => reach(level));
        return el("li", {}, el("span", {}, say(code, { level, stage, from, chance })), button);
      }),
    );
  }

  async drawExact(answer, shown) {
    if (!isExact()) return;
    const facts = [...FACTS.map((name) => [name, shown[name]]), ...shown.side.map((side) => ["side", side])];
    this.facts.replaceChildren(
      ...facts.map(([name, words]) =>
        el("div", {}, el("dt", {}, say(`preview.${name}.label`)), el("dd", {}, words)),
      ),
      ...[...shown.fibres, ...shown.notes].map((line) => el("div", {}, el("dt", {}), el("dd", {}, line))),
    );
    stages ??= ask("/api/stages?shown=true").catch(() => null);
    drawPath(this.path, answer, shown, await stages);
  }
}
