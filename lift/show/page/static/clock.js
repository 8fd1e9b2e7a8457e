// Step: the clock. One large face, one large button. Marks are kept with the visit as times since it
// was started, so neither a reload, nor a locked phone, nor a lost connection moves it.

import { onConnection } from "./ask.js";
import { shownNow } from "./clockface.js";
import {
  answerAsked, askedNow, look, press, rinseNow, startHands, stateNow, takeBack, testStrand, togglePause, toldNow, want,
} from "./clockhands.js";
import { endLook, isLooking, startLooks } from "./clocklook.js";
import { chanceWords, drawZones } from "./clockrows.js";
import { byId, cautions, clockTime, el, tell } from "./dom.js";
import { canUndo, running } from "./marks.js";
import { beep, cannotRing, stayAwake, wakeSound } from "./signal.js";
import { addressOf, addStep } from "./steps.js";
import { howTables } from "./tables.js";
import { onVisit, visitNow } from "./visit.js";
import { say } from "./words.js";

const TICK_MS = 250;
const AGAIN_MS = { rinse: 15000, late: 8000 };

let here = false;
let sound = true;
let heard = { key: "", at: 0 };
let band = null;

const going = (visit) => running(visit) || Boolean(visit.clock?.strand);

function ring(shown) {
  const now = Date.now();
  const key = `${shown.state} ${shown.word}`;
  const again = AGAIN_MS[shown.state] && now - heard.at >= AGAIN_MS[shown.state];
  if (key === heard.key && !again) return;
  if (key !== heard.key) tell("face-say", `${shown.word}. ${shown.next}`);
  heard = { key, at: now };
  if (sound) beep(shown.state);
}

// What it can is told before the start, what it cannot while it runs.
function showRing(on) {
  const why = on ? cannotRing(sound) : ["ring.can"];
  byId("ring").dataset.grave = String(why.some((code) => !["ring.locks", "ring.can"].includes(code)));
  tell("ring", why.map((code) => say(code)).join(" "));
}

// What stands in the way of a clock: nothing chosen yet, an answer under way, no connection.
function showNone(visit) {
  const { state, why } = howTables(visit);
  byId("clock-set").hidden = true;
  byId("clock-none").hidden = false;
  tell("none-word", say(state === "asking" ? "working" : `clock.none.${state || "refused"}`));
  tell("none-why", state === "refused" ? why : "");
  byId("none-use").href = addressOf(visit.visit.name, "use");
}

function showPress(at, shown) {
  const asked = askedNow(at, shown);
  const fresh = asked && byId("press-ask").hidden;
  byId("press-ask").hidden = !asked;
  byId("press").hidden = Boolean(asked) || isLooking() || !shown.press;
  tell("press", shown.done);
  if (!asked) return;
  const { clock, now } = at;
  const rinse = asked.act === "rinse" || shown.todo.kind === "rinse";
  const zone = asked.act === "rinse" ? "" : shown.todo.zone;
  const zones = clock.zones.filter((z) => z.laid.length && z.rinsed === null && [z.name, ""].includes(zone));
  const chance = rinse ? chanceWords(Math.min(...zones.map((z) => z.chance(now, now)))) : "";
  const what = rinse ? say("clock.rinse.done") : shown.done;
  tell("ask-say", say("clock.early", { what, time: clockTime(60 * asked.early), chance }));
  if (fresh) byId("ask-no").focus();
}

function showTools({ visit, clock, tables }, shown) {
  const on = running(visit) && shown.state !== "done";
  byId("undo").disabled = !canUndo(visit);
  byId("pause").hidden = !on || shown.press === "back";
  byId("pause").setAttribute("aria-pressed", String(clock.paused));
  const hair = on ? clock.zones.filter((z) => z.laid.length && z.rinsed === null) : [];
  byId("look").hidden = !hair.length || shown.press === "look";
  const rinses = shown.todo.kind === "rinse" && (!shown.todo.zone || hair.length === 1);
  byId("rinse-now").hidden = !hair.length || rinses;
  byId("strand-test").hidden = going(visit);
  const care = byId("clock-care");
  // In full before the first mix, in reach from then on.
  if (care.dataset.going !== String(going(visit))) {
    care.dataset.going = String(going(visit));
    care.open = !going(visit);
  }
  const lines = byId("clock-cautions");
  if (lines.childElementCount !== tables.cautions.length) cautions(lines, tables.cautions);
}

// On the other steps, and under a sheet that lies over all, the clock stays in sight, and rings.
function showBand(visit, shown) {
  const on = running(visit) && shown.state !== "done";
  band.hidden = here || !on;
  byId("photo-clock").hidden = !on;
  const words = `${shown.word} ${clockTime(60 * shown.minutes)}`;
  tell("photo-time", words);
  if (band.hidden) return;
  band.href = addressOf(visit.visit.name, "clock");
  band.dataset.state = shown.state;
  if (band.textContent !== words) band.textContent = words;
}

function tick() {
  const at = stateNow();
  if (!at) {
    if (visitNow() && here) showNone(visitNow());
    band.hidden = true;
    byId("photo-clock").hidden = true;
    return;
  }
  const shown = shownNow(at);
  if (going(at.visit)) ring(shown);
  showBand(at.visit, shown);
  if (!here) return;
  byId("clock-none").hidden = true;
  byId("clock-set").hidden = false;
  byId("face").dataset.state = shown.state;
  byId("clock-set").dataset.looking = String(isLooking());
  tell("clock-todo", shown.word);
  tell("face-time", clockTime(60 * shown.minutes));
  tell("face-next", shown.next);
  showPress(at, shown);
  showTools(at, shown);
  showRing(going(at.visit) && shown.state !== "done");
  tell("clock-told", toldNow(at.visit));
  drawZones(at.tables, at.clock, at.now);
}

function hear(on) {
  sound = on;
  byId("sound").setAttribute("aria-pressed", String(on));
  byId("sound").textContent = say(on ? "clock.sound_on" : "clock.sound_off");
}

function onPress(id, then) {
  byId(id).addEventListener("click", then);
}

function start() {
  band = el("a", { class: "clock-band", hidden: true });
  document.querySelector(".body").before(band);
  startLooks();
  startHands(tick);
  onPress("press", press);
  onPress("ask-yes", () => answerAsked(true));
  onPress("ask-no", () => answerAsked(false));
  for (const id of ["ask-yes", "ask-no"]) onPress(id, () => byId("press").focus());
  byId("press-ask").addEventListener("keydown", (event) => event.key === "Escape" && answerAsked(false));
  onPress("undo", takeBack);
  onPress("pause", togglePause);
  onPress("look", look);
  onPress("rinse-now", rinseNow);
  onPress("strand-test", testStrand);
  onPress("sound", () => {
    hear(!sound);
    wakeSound();
    if (sound) beep("soon");
    tick();
  });
  hear(true);
  // After a reload the first touch of anything lets it sound again.
  addEventListener("pointerdown", () => visitNow() && going(visitNow()) && wakeSound());
  document.addEventListener("visibilitychange", () => {
    if (document.visibilityState !== "visible") return;
    if (visitNow() && going(visitNow())) stayAwake(true).then(tick);
    tick();
  });
  onVisit(tick);
  onConnection((connected) => connected && here && want());
  setInterval(tick, TICK_MS);
}

addStep({
  id: "clock",
  start,
  enter() {
    here = true;
    want();
    if (going(visitNow())) stayAwake(true).then(tick);
  },
  show: tick,
  leave() {
    here = false;
    answerAsked(false);
    endLook();
    tick();
  },
});
