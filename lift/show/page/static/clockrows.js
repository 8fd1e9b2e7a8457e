// What is on, zone by zone: its hair as it is now, how long, and how it stands against the plan.

import { byId, clockTime, el, levelWords } from "./dom.js";
import { drawChip } from "./lock.js";
import { say } from "./words.js";

// Less than this much of a chance is no news: an ensemble knows one no better.
const NEWS = 0.02;

function rows(target, count, make) {
  while (target.children.length > count) target.lastChild.remove();
  while (target.children.length < count) target.append(make());
  return [...target.children];
}

function put(target, text) {
  if (target.textContent !== text) target.textContent = text;
}

const worst = (sections) =>
  ["past", "early", "inside"].find((state) => sections.some((s) => s.state === state));

// A chance as a whole number of a hundred, never none or all.
function hundred(chance) {
  const count = Math.round(100 * chance);
  return count < 1 ? say("clock.few") : count > 99 ? say("clock.most") : String(count);
}

const loss = ({ chance, planned }) => planned - chance;

// What has moved against the plan, and what that does to the chance; empty where neither has.
function standingWords({ moved, chance, planned }, hands) {
  const parts = [];
  if (Math.abs(moved) > hands) {
    parts.push(say(moved > 0 ? "clock.later" : "clock.sooner", { time: clockTime(60 * Math.abs(moved)) }));
  }
  if (parts.length || Math.abs(chance - planned) >= NEWS) {
    parts.push(say("clock.chance", { now: hundred(chance), planned: hundred(planned) }));
  }
  return parts.join("; ");
}

export const chanceWords = (chance) => say("clock.inside_of", { now: hundred(chance) });

export function drawZones(tables, clock, now) {
  const standing = clock.standing(now);
  const found = clock.zones.flatMap((zone) => {
    const sections = zone.now(now);
    return sections.length ? [{ zone, sections }] : [];
  });
  const lines = rows(byId("clock-zones"), found.length, () =>
    el("li", {}, el("span", { class: "chip" }), el("strong"), el("span", { class: "how" }), el("span", { class: "moved" })),
  );
  // Of several zones that have moved, the one that suffers most is told of.
  const moves = standing.filter((s) => clock.zone(s.zone).rinsed === null);
  const worstOff = moves.reduce((a, b) => (loss(b) > loss(a) ? b : a), moves[0]);
  found.forEach(({ zone, sections }, i) => {
    const [chip, name, how, moved] = lines[i].children;
    const middle = sections[Math.floor((sections.length - 1) / 2)];
    const state = worst(sections);
    lines[i].dataset.state = state;
    drawChip(chip, middle.colour);
    put(name, zone.name);
    const longest = clockTime(60 * Math.max(...sections.map((s) => s.minutes)));
    const stood = zone.rinsed === null ? `clock.state.${state}` : "clock.rinsed";
    put(how, say("clock.zone", { time: longest, state: say(stood) }));
    put(moved, zone.name === worstOff?.zone ? standingWords(worstOff, tables.hands_minutes) : "");
  });
  drawSections(found);
}

function drawSections(found) {
  const details = byId("clock-sections");
  details.hidden = !found.length;
  if (!details.open) return;
  const all = found.flatMap(({ zone, sections }) => sections.map((s) => ({ ...s, zone: zone.name })));
  const lines = rows(byId("clock-on"), all.length, () => el("li", {}, el("span", { class: "chip" }), el("span")));
  all.forEach((section, i) => {
    const [chip, how] = lines[i].children;
    lines[i].dataset.state = section.state;
    drawChip(chip, section.colour);
    const close = section.rinsed
      ? say("clock.rinsed")
      : section.toClose > 0
        ? say("clock.closes", { time: clockTime(section.toClose * 60) })
        : say("clock.closed", { time: clockTime(-section.toClose * 60) });
    put(how, say("clock.section", {
      zone: section.zone, number: section.number, on: clockTime(section.minutes * 60),
      level: levelWords(section.level), state: say(`clock.state.${section.state}`), close,
    }));
  });
}
