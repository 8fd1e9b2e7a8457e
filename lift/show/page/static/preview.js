// Preview: one strand, asked anew with every move of a slider.

import { ask, Newest, Offline, onConnection } from "./ask.js";
import { setPlan } from "./clock.js";
import { byId, cautions, el, list, tell } from "./dom.js";
import { pick, picked, showErrors } from "./form.js";
import { keep, kept } from "./keep.js";
import { drawLevels, drawLocks, drawStrip } from "./lock.js";
import { noClock, strandPlan } from "./machine.js";
import { drawPath } from "./path.js";
import { FIELDS, Question } from "./question.js";
import { drawWarmth, rinseWords, timeScale } from "./timeline.js";
import { say } from "./words.js";

const SPANS = [15, 30, 60, 120];

let question;
let last = null;
let stages = null;

const asker = new Newest(
  (typed, options) => {
    const query = new URLSearchParams({ ...typed, shown: "true" });
    return ask(`/api/preview?${query}`, options);
  },
  (answer) => {
    showErrors([], FIELDS);
    last = answer;
    requestAnimationFrame(draw);
  },
  (error) => {
    byId("answer").classList.add("stale");
    if (error instanceof Offline) {
      tell("risk-words", say("preview.offline"));
      return;
    }
    const rest = showErrors(error.errors ?? [], FIELDS);
    tell("risk-words", rest.length ? rest[0].message : say("preview.not_asked"));
    byId("carry-error").closest("details").open ||= (error.errors ?? []).some((e) =>
      ["parts", "ph", "temperature", "carry"].includes(e.field),
    );
  },
);

function asked() {
  asker.want(question.typed());
}

function changed() {
  asked();
  keep("question", question.state);
}

export const typedQuestion = () => question.typed();

// A strand test that is kept may be used, and is when it was just made.
export function useStrand(any, now) {
  byId("strand-field").hidden = !any;
  if (!any) byId("strand").checked = false;
  else if (now) byId("strand").checked = true;
  changed();
}

function span() {
  return Number(picked("span"));
}

function fitSpan(time) {
  const fitting = SPANS.find((end) => end >= time) ?? 120;
  if (fitting > span()) pick("span", String(fitting));
  byId("minutes").max = String(span());
}

// A number behind the first lines, or none where it does not apply.
function fact(name, words) {
  byId(`${name}-words`).parentElement.hidden = words === undefined;
  tell(`${name}-words`, words ?? "");
}

// Levels that an open lightening passes, each with a button that names it as the goal.
function drawPasses(answer, shown) {
  byId("passes").hidden = !answer.passes.length;
  tell("passes-title", shown.passes_title);
  const heads = [...byId("passes").tHead.rows[0].cells].map((head) => head.textContent);
  byId("passes").tBodies[0].replaceChildren(
    ...answer.passes.map(({ level }, i) => {
      const button = el("button", { type: "button" }, say("preview.reach", { level }));
      button.addEventListener("click", () => {
        question.reach(level);
        changed();
        // The button goes with its table; what it asked for is told at the top.
        byId("room").focus({ preventScroll: true });
        scrollTo(0, 0);
      });
      const cells = shown.passes[i].map((words, j) =>
        j ? el("td", { "data-head": heads[j] }, words) : el("th", { scope: "row", "data-head": heads[j] }, words),
      );
      return el("tr", {}, ...cells, el("td", {}, button));
    }),
  );
}

function draw() {
  if (!last) return;
  const { answer, shown } = last;
  const { at, curve } = answer;
  byId("answer").classList.remove("stale");
  fitSpan(at.minutes);
  const width = byId("warmth").clientWidth || 600;
  const scale = timeScale(width, span());
  drawLocks(byId("locks"), shown.locks);
  const ends = shown.between.filter((_, i) => i === 0 || curve.minutes[i - 1] < span());
  const [low, high] = [Math.min(...ends.map((e) => e[0])), Math.max(...ends.map((e) => e[1]))];
  drawLevels([...byId("strip-levels").children], [low, high].map((n) => shown.levels[n - 1]));
  const grey = shown.pigmented !== null;
  byId("pigmented").toggleAttribute("hidden", !grey);
  if (grey) {
    const name = say("preview.pigmented");
    drawStrip(byId("pigmented"), scale, curve.minutes, shown.pigmented, at.minutes, name);
  }
  const seen = grey ? say("preview.seen") : "";
  drawStrip(byId("strip"), scale, curve.minutes, shown.strip, at.minutes, seen);
  list(byId("fibres"), shown.fibres);
  drawWarmth(byId("warmth"), byId("line-places"), scale, answer);
  drawPath(byId("path"), answer, shown, stages);
  const risk = shown.risk;
  byId("risk").parentElement.dataset.risk = shown.risk_code.code;
  byId("first").dataset.risk = shown.risk_code.code;
  tell("risk", risk[0] + risk.slice(1).toLowerCase());
  tell("risk-words", noClock(last) ? "" : rinseWords(answer.window));
  tell("first-mix", shown.mix);
  tell("first-rinse", shown.rinse);
  tell("first-tone", shown.then_tone);
  tell("first-risk", shown.risk_words);
  tell("to-clock-error", "");
  tell("side-label", say(answer.inputs.toned ? "preview.side.label" : "preview.side.label.bare"));
  fact("level", shown.level);
  fact("stage", shown.underpigment);
  fact("warmth", shown.warmth);
  fact("side", ...shown.side);
  fact("window", answer.window ? shown.window : undefined);
  // Where no toner follows, the first lines say it.
  fact("tone", answer.at.toner ? shown.tone : undefined);
  drawPasses(answer, shown);
  list(byId("advice"), (answer.window?.advice ?? []).map((advice) => say("preview.try", { advice })));
  cautions(byId("cautions"), answer.cautions);
  tell("standing", shown.notes.join(" "));
  for (const place of document.querySelectorAll(".asked-words")) place.textContent = shown.done;
  document.documentElement.dataset.answered = String(asker.shown);
}

export function startPreview() {
  question = new Question(changed);
  const state = kept("question");
  if (state) question.state = state;
  if (kept("span")) pick("span", kept("span"));
  fitSpan(Number(byId("minutes-box").value) || 0);
  for (const radio of document.querySelectorAll('input[name="span"]')) {
    radio.addEventListener("change", () => {
      byId("minutes").max = String(span());
      byId("minutes").value = byId("minutes-box").value;
      keep("span", picked("span"));
      draw();
    });
  }
  new ResizeObserver(() => requestAnimationFrame(draw)).observe(byId("warmth"));
  onConnection((connected) => connected && asked());
  byId("to-clock").addEventListener("click", (event) => {
    const why = last ? noClock(last) : "no_goal";
    tell("to-clock-error", why && say(`preview.${why}`));
    if (why || !setPlan(strandPlan(last))) event.preventDefault();
  });
  ask("/api/stages?shown=true").then((answer) => {
    stages = answer;
    draw();
  }, () => {});
  asked();
}
