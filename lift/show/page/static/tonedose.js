// How much: before and after under two lights while it is dragged, every dose being known already.

import { byId, tell } from "./dom.js";
import { drawLocks } from "./lock.js";
import { say } from "./words.js";

const dates = new Intl.DateTimeFormat(document.documentElement.lang, { day: "numeric", month: "long", timeZone: "UTC" });

function capital(words) {
  return words.charAt(0).toUpperCase() + words.slice(1);
}

function drawDose(shown, at) {
  const dose = shown.doses[at];
  const none = shown.doses[0];
  const look = (light) => {
    const before = { shades: none[light], words: say("tone.lock.now") };
    return dose.toner ? [before, { shades: dose[light], words: say("tone.lock.toned") }] : [before];
  };
  drawLocks(byId("tone-daylight"), look("daylight"));
  drawLocks(byId("tone-salon"), look("light"));
  // None of what would answer it: what that is stands there too.
  const best = shown.doses[shown.best];
  const less = !dose.toner && best.toner && shown.answer === "tone";
  tell("tone-todo", less ? say("tone.todo.less", { none: capital(dose.words), best: best.words }) : capital(dose.words));
  tell("tone-look", capital(dose.look));
  const slider = byId("tone-dose");
  slider.setAttribute("aria-valuetext", `${dose.words}, ${dose.look}`);
  byId("tone-best").disabled = at === shown.best;
}

export function showDose(shown, { used, none }) {
  const slider = byId("tone-dose");
  const worth = shown.doses[shown.best].toner !== null;
  byId("tone-dose-part").hidden = !worth;
  slider.max = String(shown.doses.length - 1);
  if (document.activeElement !== slider || !slider.matches(":active")) slider.value = String(shown.chosen);
  drawDose(shown, Number(slider.value));
  byId("tone-use").setAttribute("aria-pressed", String(used));
  byId("tone-none").setAttribute("aria-pressed", String(none));
  tell("tone-use", say(used ? "tone.used" : "tone.use"));
  const salon = shown.lights.find(({ code }) => code === shown.light).words;
  tell("tone-salon-name", capital(salon));
  byId("tone-salon").parentElement.hidden = shown.light === "daylight";
  tell("tone-light-words", shown.light === "daylight" ? "" : shown.light_words);
  const wanted = shown.wanted.map((shades) => ({ shades, words: say("tone.lock.wanted") }));
  drawLocks(byId("tone-beside"), [...wanted, ...shown.beside]);
  tell("tone-beside-words", say("tone.towards", { words: shown.wanted_words }));
  drawLocks(byId("tone-fade"), shown.fade.map(({ shades, words, what, day }) => ({
    shades, words: day && what !== "today" ? say("tone.on_day", { words, day: dates.format(new Date(day)) }) : words,
  })));
}

// `take` writes a toner to the visit, `answered` gives what is shown.
export function startDose({ take, answered }) {
  const slider = byId("tone-dose");
  const toner = () => answered().doses[Number(slider.value)].toner;
  slider.addEventListener("input", () => answered() && drawDose(answered(), Number(slider.value)));
  slider.addEventListener("change", () => answered() && take(toner() ?? "none"));
  byId("tone-use").addEventListener("click", () => {
    if (!toner()) slider.value = String(answered().best);
    take(toner());
  });
  byId("tone-none").addEventListener("click", () => take("none"));
  byId("tone-best").addEventListener("click", () => {
    slider.value = String(answered().best);
    take(toner());
  });
}
