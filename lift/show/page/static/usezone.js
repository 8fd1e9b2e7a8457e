// One zone of the step: its mixture to be moved, and how it is laid. Nothing of it is made, and
// nothing asked, before it is opened.

import { controls } from "./controls.js";
import { el } from "./dom.js";
import { NumberField } from "./number.js";
import { Panel } from "./panel.js";
import { change } from "./visit.js";
import { say } from "./words.js";

const zoneIn = (visit, name) => visit.zones.find((zone) => zone.name === name);

// What the plan has chosen stands where the visit says nothing.
function mixtureOf(visit, zone, answer) {
  const given = visit.mixtures[zone.mixture];
  const { developers = {}, tones = {} } = answer.chosen ?? {};
  const poured = developers[zone.mixture];
  const tone = given.tone && given.tone !== "choose" ? given.tone : tones[zone.mixture];
  return {
    ...given,
    volume: given.volume ?? (poured?.length > 1 ? poured : answer.mixtures[zone.mixture].developer_volume),
    tone: tone === "own" ? undefined : tone,
  };
}

// As a visit has them: a tone of the class's own has a name, and what is as usual is left out.
function asKept(mixture) {
  const kept = { ...mixture };
  if (kept.tone === undefined && controls.kinds[kept.kind].tone) kept.tone = "own";
  if (kept.tone && !controls.kinds[kept.kind].tone && !Object.keys(kept.tone).length) delete kept.tone;
  if (Array.isArray(kept.volume)) kept.volume = kept.volume.map(([vol, parts]) => `${vol}:${parts}`).join(",");
  return kept;
}

export class ZoneBlock {
  constructor(name) {
    this.name = name;
    this.root = el("details", { class: "use-zone" }, el("summary", {}, name));
    this.root.addEventListener("toggle", () => this.root.open && this.show());
  }

  // A plan of the visit as it is, and the visit.
  update(now) {
    this.now = now;
    if (this.root.open) this.show();
  }

  make() {
    this.panel = new Panel({
      label: this.name,
      onset: ({ mixture, minutes }) => this.take(mixture, minutes),
      onreach: (level) => change((visit) => { zoneIn(visit, this.name).goal = `lighten ${level}`; }),
    });
    this.free = el("button", { type: "button" }, say("use.free"));
    this.free.addEventListener("click", () => change((visit) => { delete zoneIn(visit, this.name).minutes; }));
    this.shared = el("p", { class: "tip" });
    this.fields = Object.fromEntries(controls.placement.map((one) => [one.name, this.field(one)]));
    this.root.append(
      this.shared, this.panel.root, el("p", { class: "go" }, this.free),
      el("h3", {}, say("use.laying", { zone: this.name })),
      ...Object.values(this.fields).map((field) => field.root),
    );
  }

  field({ name, label, unit, low, high, step, value }) {
    const field = new NumberField({
      label, unit, low, high, step, value,
      onset: () =>
        change((visit) => {
          const zone = zoneIn(visit, this.name);
          zone.placement = { ...zone.placement, [name]: Number(field.value) };
        }),
    });
    return field;
  }

  show() {
    if (!this.panel) this.make();
    const { visit, got } = this.now;
    const zone = zoneIn(visit, this.name);
    const planned = got.answer.zones.find((each) => each.zone === this.name);
    if (!zone || !planned) return;
    const others = visit.zones.filter((each) => each.mixture === zone.mixture && each !== zone);
    this.shared.textContent = others.length
      ? say("use.shared", { zones: others.map((each) => each.name).join(", ") })
      : "";
    const fixed = typeof zone.minutes === "number";
    this.free.hidden = !fixed;
    const minutes = fixed ? zone.minutes : Math.round(10 * planned.minutes) / 10;
    const set = { asked: got.shown.zones[this.name].asked, mixture: mixtureOf(visit, zone, got.answer), minutes };
    const key = JSON.stringify(set);
    if (key !== this.key) this.panel.set(set);
    this.key = key;
    for (const { name, value } of controls.placement) {
      this.fields[name].value = zone.placement?.[name] ?? value;
      this.fields[name].wrong = "";
    }
  }

  // Only minutes that were moved are fixed: others stay the plan's to choose.
  take(mixture, minutes) {
    const before = JSON.parse(this.key);
    this.key = JSON.stringify({ ...before, mixture, minutes });
    change((visit) => {
      const zone = zoneIn(visit, this.name);
      visit.mixtures[zone.mixture] = asKept(mixture);
      if (minutes !== before.minutes) zone.minutes = minutes;
    });
  }

  // Puts what is refused of this zone beside its field; false where it has none.
  refuse(path, message) {
    const [, field] = /^placement\.(\w+)$/.exec(path) ?? [];
    if (!field || !this.fields?.[field]) return false;
    this.fields[field].wrong = message;
    return true;
  }
}
