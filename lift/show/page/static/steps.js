// The way through a visit: its steps in the order of the work, and the address of each.

import { byId, el, tell } from "./dom.js";
import { answerNow, change, leaveVisit, onVisit, openVisit, visitNow } from "./visit.js";
import { say } from "./words.js";

const ORDER = ["hair", "wish", "use", "clock", "tone", "after"];
const steps = new Map();
let open = null;
let asked = 0;

// A step: its id, `start(root)` once, `show({visit, answer, errors})` at every change while it is
// open, `enter()` and `leave()` when it comes and goes.
export function addStep(step) {
  steps.set(step.id, step);
  step.start?.(rootOf(step.id));
}

export const addressOf = (name, id) => `#${encodeURIComponent(name)}/${id}`;

// Name and step that the address asks for; an empty name is the list of visits.
function asks() {
  const [name, id] = location.hash.slice(1).split("/").map(decodeURIComponent);
  return { name: name ?? "", id: ORDER.includes(id) ? id : null };
}

function link(name, id, number) {
  return el(
    "li",
    {},
    el(
      "a",
      { href: addressOf(name, id), "data-step": id },
      el("span", { class: "number", "aria-hidden": "true" }, String(number)),
      el("span", {}, say(`step.short.${id}`)),
    ),
  );
}

function drawWay(name, current) {
  const way = byId("way");
  way.hidden = !name;
  if (!name) return;
  if (way.dataset.visit !== name) {
    way.dataset.visit = name;
    byId("way-steps").replaceChildren(...ORDER.map((id, i) => link(name, id, i + 1)));
  }
  const ready = answerNow()?.ready ?? {};
  for (const each of way.querySelectorAll("a")) {
    const { step } = each.dataset;
    if (step === current) each.setAttribute("aria-current", "step");
    else each.removeAttribute("aria-current");
    each.dataset.ready = String(ready[step] ?? true);
  }
}

// To the next step, below each but the last.
function drawNext(root, name, id) {
  const next = ORDER[ORDER.indexOf(id) + 1];
  let target = root.querySelector(":scope > .next");
  if (!next) return;
  if (!target) {
    target = el("p", { class: "next" }, el("a", { class: "button" }));
    root.append(target);
  }
  target.firstChild.setAttribute("href", addressOf(name, next));
  target.firstChild.textContent = say("step.next", { step: say(`step.${next}`) });
}

const rootOf = (id) => byId(`${id}-step`);

function close() {
  if (open) steps.get(open)?.leave?.();
  open = null;
}

function showStep(now) {
  if (!open || !now.visit) return;
  drawWay(now.visit.visit.name, open);
  steps.get(open)?.show?.(now);
}

// `loaded` comes when all steps are there; `onList` is called when the list of visits is asked for.
export function startSteps(loaded, onList) {
  onVisit(showStep);
  const go = async (focus) => {
    const turn = ++asked;
    const { name, id } = asks();
    close();
    for (const each of document.querySelectorAll(".step")) each.hidden = true;
    byId("visits").hidden = Boolean(name);
    document.documentElement.dataset.at = name ? "visit" : "visits";
    tell("visit-error", "");
    if (!name) {
      leaveVisit();
      drawWay("", null);
      document.title = say("title", { room: say("visits") });
      onList();
    } else {
      try {
        await openVisit(name);
      } catch (error) {
        tell("visit-error", error.message);
        byId("visits").hidden = false;
        onList();
      }
      await loaded;
      if (turn !== asked) return;
      if (visitNow()) enter(name, id ?? visitNow().visit.step ?? ORDER[0]);
    }
    if (focus) {
      byId("room").focus({ preventScroll: true });
      scrollTo(0, 0);
    }
  };
  addEventListener("hashchange", () => go(true));
  return go(false);
}

function enter(name, id) {
  open = id;
  const root = rootOf(id);
  root.hidden = false;
  document.title = say("title", { room: say(`step.${id}`) });
  drawNext(root, name, id);
  // Before it is shown, which any change does.
  steps.get(id)?.enter?.();
  if (visitNow().visit.step !== id) change((visit) => { visit.visit.step = id; });
  showStep({ visit: visitNow(), answer: answerNow(), errors: [] });
}
