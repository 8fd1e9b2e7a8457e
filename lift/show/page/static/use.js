// Step: what to use.

import { ask, Newest, Offline, onConnection } from "./ask.js";
import { controls } from "./controls.js";
import { byId, tell } from "./dom.js";
import { NumberField } from "./number.js";
import { drawOwn } from "./ownmix.js";
import { addressOf, addStep } from "./steps.js";
import { drawUse } from "./useplan.js";
import { keepOf, keptOf } from "./usekept.js";
import { ZoneBlock } from "./usezone.js";
import { answerNow, change, visitNow } from "./visit.js";
import { anyWays, areAsked, askWays, isWished, openWays, showWays, wantWays } from "./ways.js";
import { say } from "./words.js";

// A plan is asked when nothing has been changed for so long.
const STILL_MS = 500;
const IN_ZONE = /^zones\[(\d+)\]\.(.*)$/;

const blocks = new Map();
let salon;
let plan = null;
let timer = 0;
// What is asked of the server, and not answered yet.
let asking = null;

// What a plan depends on.
function planKey({ salon: room, assumptions, mixtures, zones, consultation }) {
  return JSON.stringify([room, assumptions, mixtures, zones, consultation]);
}

const plans = new Newest(
  ({ visit }, options) => ask("/api/plan?shown=true", { method: "POST", body: { visit }, ...options }),
  (got, { visit, key }) => {
    asking = null;
    plan = { name: visit.visit.name, key, got };
    keepOf(visit.visit.name, "plan", { key, got });
    draw();
  },
  (error) => {
    asking = null;
    if (error instanceof Offline) {
      said(plan ? "use.offline" : "use.offline.none");
      return;
    }
    const rest = (error.errors ?? []).filter((each) => !beside(each));
    said("use.refused", { why: rest[0]?.message ?? say("use.marked") });
  },
);

function said(code, values) {
  tell("use-said", code ? say(code, values) : "");
}

function beside({ field, message }) {
  const [, place, path] = IN_ZONE.exec(field) ?? [];
  const block = place === undefined ? null : blocks.get(visitNow()?.zones[place]?.name);
  return Boolean(block?.refuse(path, message));
}

const isMixed = (visit) => visit.zones.some((zone) => zone.mixture);

function want(visit) {
  const key = planKey(visit);
  if (asking === key) return;
  clearTimeout(timer);
  asking = null;
  if (!isMixed(visit) || plan?.key === key) return;
  asking = key;
  said("use.planning");
  timer = setTimeout(() => plans.want({ visit, key }), STILL_MS);
}

// The one thing to do, in letters that can be read at arm's length.
function todo(visit) {
  const fresh = plan?.key === planKey(visit);
  if (!isMixed(visit)) {
    const toned = visit.zones.some((zone) => /^tone\b/.test(zone.goal));
    if (!isWished(visit)) return say(toned ? "use.todo.tone" : "use.todo.wish");
    return say(areAsked() ? "use.todo.asked" : anyWays() ? "use.todo.choose" : "use.todo.own");
  }
  if (!fresh) return say("use.todo.planning");
  const { answer } = plan.got;
  if (!answer.exists) return say("use.todo.change");
  const [first] = answer.order;
  const { product_grams: product, developer_grams: developer } = answer.zones.find((z) => z.zone === first).bowl;
  return say("use.todo.mix", { zone: first, product: product.toFixed(0), developer: developer.toFixed(0) });
}

function drawZones(visit) {
  const names = visit.zones.filter((zone) => zone.mixture).map((zone) => zone.name);
  if (names.join("\n") !== [...blocks.keys()].join("\n")) {
    blocks.clear();
    for (const name of names) blocks.set(name, new ZoneBlock(name));
    byId("use-zones").replaceChildren(...[...blocks.values()].map((block) => block.root));
  }
  for (const block of blocks.values()) block.update({ visit, got: plan.got });
}

const rinses = () => [...byId("use-rinse").querySelectorAll("input")];

function drawSalon(visit) {
  for (const { name, value } of controls.salon) salon[name].value = visit.salon?.[name] ?? value;
  const rinse = Math.max(controls.rinses.indexOf(visit.salon?.rinse), 0);
  rinses().forEach((radio, i) => { radio.checked = i === rinse; });
}

function draw() {
  const visit = visitNow();
  if (!visit || byId("use-step").hidden) return;
  const mixed = isMixed(visit);
  const planned = mixed && plan?.name === visit.visit.name;
  const fresh = planned && plan.key === planKey(visit);
  byId("use-plan").hidden = !planned;
  byId("use-plan").toggleAttribute("data-stale", planned && !fresh);
  byId("use-start").href = addressOf(visit.visit.name, "clock");
  if (fresh) said("");
  if (planned) {
    drawUse(plan.got);
    drawZones(visit);
    drawSalon(visit);
  }
  // What is taken comes first; before that, what there is to choose from.
  if (byId("use-ways").dataset.mixed !== String(mixed)) {
    byId("use-ways").dataset.mixed = String(mixed);
    byId("use-ways").open = !mixed;
  }
  // The plan of what is taken comes before ways that could be taken in its place.
  if (!mixed || fresh) wantWays(visit, mixed, ended);
  showWays({ visit, answer: answerNow() }, mixed);
  drawOwn(byId("use-own"), visit);
  tell("use-todo", todo(visit));
}

function ended(failed) {
  draw();
  if (failed) tell("use-old", failed);
}

function start() {
  salon = Object.fromEntries(
    controls.salon.map((one) => {
      const field = new NumberField({
        ...one,
        onset: () => change((visit) => { visit.salon = { ...visit.salon, [one.name]: Number(field.value) }; }),
      });
      byId("use-salon").append(field.root);
      return [one.name, field];
    }),
  );
  rinses().forEach((radio, i) => {
    radio.addEventListener("change", () =>
      change((visit) => { visit.salon = { ...visit.salon, rinse: controls.rinses[i] }; }),
    );
  });
  onConnection((connected) => {
    if (!connected || byId("use-step").hidden) return;
    want(visitNow());
    draw();
  });
  byId("use-ask").addEventListener("click", () => {
    askWays(visitNow(), ended);
    draw();
  });
  byId("use-line").addEventListener("toggle", () => plan && drawUse(plan.got));
}

function show({ visit }) {
  if (plan?.name !== visit.visit.name) {
    const kept = keptOf(visit.visit.name, "plan");
    plan = kept && { name: visit.visit.name, ...kept };
    blocks.clear();
  }
  openWays(visit.visit.name);
  want(visit);
  draw();
}

function leave() {
  clearTimeout(timer);
  asking = null;
}

addStep({ id: "use", start, show, leave });
