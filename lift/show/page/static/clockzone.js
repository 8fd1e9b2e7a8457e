// Clock of a zone: what was marked of it, and when it opens and closes as it was really laid. Pure:
// times are minutes on the service's clock, and all follows from the plan's tables and the marks.

import { between, clip, inf, interpolate, nearestColour, timeAt } from "./interpolate.js";

const SLACK = 1e-9;
// The last chance of each zone: all members are asked, and mostly nothing has changed.
const CHANCES = new WeakMap();

// One zone of the plan, with what was marked.
export class ZoneClock {
  // `service` is what all zones have in common: its lead and hands in minutes, and its pauses, each
  // from and until, null while it lasts. Marks are as a visit keeps them.
  constructor(data, service, marks = {}) {
    this.data = data;
    this.service = service;
    this.name = data.name;
    this.begun = marks.begun ?? null;
    this.laid = marks.laid ?? [];
    this.rinsed = marks.rinsed ?? null;
    this.toned = marks.toned ?? null;
    this.toneRinsed = marks.tone_rinsed ?? null;
    this.looked = marks.looked ?? [];
  }

  with(changes) {
    return new ZoneClock(this.data, this.service, { ...this.marks, ...changes });
  }

  get marks() {
    const { name: zone, begun, laid, rinsed, toned, toneRinsed, looked } = this;
    return { zone, begun, laid, rinsed, toned, tone_rinsed: toneRinsed, looked };
  }

  get sections() {
    return this.data.planned_starts.length;
  }

  get each() {
    return this.data.planned_ends[0] - this.data.planned_starts[0];
  }

  get allOn() {
    return this.laid.length === this.sections;
  }

  // Numbers, from 1, of what is laid next: one bowl's, one for each hand.
  get nextSections() {
    const first = this.laid.length;
    const { bowl, hands } = this.data;
    const same = [];
    for (let i = first; i < this.sections; i++) if (bowl[i] === bowl[first]) same.push(i + 1);
    return same.slice(0, hands);
  }

  rinsing(now) {
    const after = this.data.rinse_after;
    if (this.rinsed === null || now >= this.rinsed + after[after.length - 1]) return null;
    return after.filter((t) => this.rinsed + t <= now).length;
  }

  rinseEnds(number) {
    return (this.rinsed ?? 0) + this.data.rinse_after[Math.min(number, this.sections - 1)];
  }

  withLaid(now) {
    return this.with({ laid: [...this.laid, ...this.nextSections.map(() => now)] });
  }

  // When the laying of each section begins and ends, as marked or else as to expect.
  spans(now) {
    const { planned_starts: from, planned_ends: to } = this.data;
    const away = this.service.pauses
      .filter(([since]) => since < now)
      .map(([since, until]) => [since, Math.min(inf(until), now)]);
    const begun = this.begun ?? now;
    const starts = from.map((t) => begun + t);
    const ends = to.map((t) => begun + t);
    const count = this.laid.length;
    const gap = (i) => (i ? Math.max(from[i] - to[i - 1], 0) : 0);
    for (let i = 0; i < count; i++) ends[i] = this.laid[i];
    for (let i = 0; i < count; i++) {
      const free = this.free((i ? ends[i - 1] : begun) + gap(i), away);
      starts[i] = i && from[i] === from[i - 1] ? starts[i - 1] : Math.min(free, ends[i]);
    }
    if (count < this.sections) {
      const free = this.free((count ? this.laid[count - 1] : begun) + gap(count), away);
      const each = this.each +
        away.reduce((sum, [since, end]) => sum + Math.max(end - Math.max(since, free), 0), 0);
      // A section that should be on by now is taken to come on at this moment.
      const late = each - this.each + Math.max(0, now - (free + each));
      const shift = free - starts[count];
      for (let i = count; i < this.sections; i++) {
        starts[i] += shift + (i > count ? late : 0);
        ends[i] += shift + late;
      }
    }
    return { starts, ends };
  }

  // When hands that are free at a time take up work: after a pause that begins by then.
  free(at, away) {
    const pause = away.find(([since, end]) => since <= at + this.service.hands && end > at);
    return pause ? pause[1] : at;
  }

  // Logarithm of the strength on the best coated strands of each section.
  strength(starts) {
    const { bowl, bowl_fade_minutes: fade } = this.data;
    return starts.map((t, i) => (starts[bowl.indexOf(bowl[i])] - t) / fade);
  }

  time(table, logStrength) {
    return timeAt(this.data.log_strength, table, logStrength);
  }

  windows(now) {
    const { starts, ends } = this.spans(now);
    const outer = this.strength(starts);
    const { reached, closes, inner_less: less } = this.data;
    return {
      opens: ends.map((t, i) => t + this.time(reached, outer[i] + less)),
      closes: starts.map((t, i) => t + this.time(closes, outer[i])),
    };
  }

  earliest(now) {
    return Math.max(...this.windows(now).opens.map((t, i) => t - this.data.rinse_after[i]));
  }

  latest(now) {
    return Math.min(...this.windows(now).closes.map((t, i) => t - this.data.rinse_after[i]));
  }

  // Chance that every section is inside when its rinse begins at a time: a share of the members.
  chance(now, rinse) {
    const { starts, ends } = this.spans(now);
    const key = [...starts, ...ends, rinse].join(" ");
    const known = CHANCES.get(this.data);
    if (known?.key === key) return known.chance;
    const chance = this.share(starts, ends, rinse);
    CHANCES.set(this.data, { key, chance });
    return chance;
  }

  share(starts, ends, rinse) {
    const outer = this.strength(starts);
    const { members, inner_less: less, rinse_after: after } = this.data;
    const inside = members.own.filter((own, m) =>
      starts.every((start, i) => {
        const strength = outer[i] + own[i];
        const opens = ends[i] + this.time(members.reached[m], strength + less) - after[i];
        const closes = start + this.time(members.closes[m], strength) - after[i];
        return opens <= rinse + SLACK && rinse < closes - SLACK;
      }),
    );
    return inside.length / members.own.length;
  }

  // As far into its window as planned, never past its close. Where there was none, and where its
  // minutes were chosen, it is when that was planned to be; a late lay puts that off, but not past
  // the close.
  due(now) {
    const opens = this.earliest(now);
    const closes = this.latest(now);
    const { share, chosen, planned_wait: wait, planned_ends: to } = this.data;
    if (share !== null && !chosen) {
      const open = Math.max(closes - opens, 0);
      return Math.min(opens + share * (open === Infinity ? 0 : open), closes);
    }
    const { starts, ends } = this.spans(now);
    const planned = starts[0] + wait;
    const late = ends[ends.length - 1] - starts[0] - to[to.length - 1];
    const due = planned + clip(late, 0, Math.max(closes - planned, 0));
    // What was seen may have opened a window.
    return chosen ? due : Math.min(opens < closes ? Math.max(due, opens) : due, closes);
  }

  // Until when to rinse: its close, or its chosen minutes where they are past it.
  rinseBy(now) {
    const latest = this.latest(now);
    return this.data.chosen ? Math.max(latest, this.due(now)) : latest;
  }

  // From when until when the advised look serves; null where none is to come.
  look(now) {
    const { after } = this.data.looks;
    if (after === null || !this.laid.length || this.rinsed !== null) return null;
    const at = this.spans(now).starts[0] + after;
    const until = this.due(now) - this.service.lead;
    const passed = this.looked.some((taken) => taken >= at);
    return passed || until < Math.max(at, now) ? null : { at, until };
  }

  delay(now) {
    const { planned_start: start, planned_wait: wait, planned_ends: ends } = this.data;
    if (this.begun === null) return Math.max(0, now - start);
    if (this.rinsed !== null) return this.rinsed - start - wait;
    const own = this.spans(now).ends;
    return own[own.length - 1] - start - ends[ends.length - 1];
  }

  // Level of the expected strand at one strength, after its own minutes.
  level(logStrength, own) {
    const { minutes, level, log_strength: nodes } = this.data;
    const { left, right, share } = between(nodes, logStrength);
    return (1 - share) * interpolate(minutes, level[left], own) +
      share * interpolate(minutes, level[right], own);
  }

  // Sections that are on, or were, as they are now or were when rinsed.
  now(now) {
    const { starts } = this.spans(now);
    const outer = this.strength(starts);
    const { opens, closes } = this.windows(now);
    const { minutes, colours, log_strength: nodes, inner_less: less, rinse_after: after } = this.data;
    return this.laid.map((_, i) => {
      const end = this.rinsed === null ? Infinity : this.rinsed + after[i];
      const stop = Math.min(now, end);
      const own = Math.max(stop - starts[i], 0);
      const middle = outer[i] + 0.5 * less;
      const { left, right, share } = between(nodes, middle);
      const nearest = share < 0.5 ? left : right;
      const toClose = closes[i] - stop;
      const reached = stop >= opens[i];
      return {
        number: i + 1, minutes: own, toClose, reached, rinsed: now >= end,
        level: this.level(middle, own),
        colour: nearestColour(minutes, colours[nearest], own),
        state: toClose <= 0 ? "past" : reached ? "inside" : "early",
      };
    });
  }
}
