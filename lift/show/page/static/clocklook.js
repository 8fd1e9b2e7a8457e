// A look: which lock the hair is like, tapped; what it moves is told by the clock.

import { byId, el, tell } from "./dom.js";
import { levelPicker, withScales } from "./levels.js";
import { photoButton } from "./photo.js";
import { say } from "./words.js";

// Levels beside what is expected that may be picked.
const ROOM = 3;

let picked = null;
let looked = "";
let then = null;
let stop = null;

export const isLooking = () => !byId("clock-look").hidden;

function close(answer) {
  stop?.();
  stop = null;
  byId("clock-look").hidden = true;
  const done = then;
  then = null;
  done?.(answer);
}

function pickZone(zone) {
  const { expected } = zone;
  picked = null;
  looked = zone.name;
  byId("look-take").disabled = true;
  tell("look-title", say("clock.look.which", { zone: zone.name }));
  stop?.();
  const target = byId("look-levels");
  target.replaceChildren();
  const picker = levelPicker(target, {
    label: say("clock.look.label"),
    low: Math.max(1, Math.floor(expected) - ROOM), high: Math.min(10, Math.ceil(expected) + ROOM),
    onpick: (level) => {
      picked = { zone: zone.name, seen: String(level) };
      byId("look-take").disabled = false;
      byId("look-take").textContent = say("clock.look.take", { level });
    },
  });
  stop = picker.stop;
  byId("look-take").textContent = say("clock.look.tap");
}

// Asks for a look at one of some zones, each with the level expected of it; one that is `due` may be
// passed by. `done` gets zone and what was `seen`, null where it is passed by, and nothing where it was left.
export function askLook(zones, due, done) {
  then = done;
  byId("look-pass").hidden = !due;
  const choice = byId("look-zones");
  choice.hidden = zones.length < 2;
  choice.replaceChildren(
    ...zones.map((zone, i) => {
      const button = el("button", { type: "button", "aria-pressed": String(i === 0) }, zone.name);
      button.addEventListener("click", () => {
        for (const other of choice.children) other.setAttribute("aria-pressed", String(other === button));
        pickZone(zone);
      });
      return button;
    }),
  );
  pickZone(zones[0]);
  byId("clock-look").hidden = false;
  byId("look-title").focus();
}

export function startLooks() {
  // Kept in this browser by the time that a look needs them.
  withScales(() => {});
  byId("look-levels").after(photoButton(() => looked, ({ seen }) => isLooking() && close({ zone: looked, seen, instrument: true })));
  byId("look-take").addEventListener("click", () => picked && close(picked));
  byId("look-pass").addEventListener("click", () => close(null));
  byId("look-leave").addEventListener("click", () => close(undefined));
}

export function endLook() {
  if (isLooking()) close(undefined);
}
