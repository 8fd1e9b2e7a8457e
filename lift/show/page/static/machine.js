// The clock's machine: what is on, what it looks like, what comes next. Pure: time comes in from
// outside, in minutes on the service's clock, and everything follows from the plan's tables and
// from what was marked. It says what the library's clock says, and needs no server.

import { ZoneClock } from "./clockzone.js";

const SOON = 2;

const least = (rows, value) => rows.reduce((a, b) => (value(b) < value(a) ? b : a));

// A zone that is toned and nothing else.
class ToneClock {
  constructor(data, { toned = null, tone_rinsed: toneRinsed = null } = {}) {
    Object.assign(this, { data, name: data.name, toned, toneRinsed, begun: null, rinsed: null });
  }

  with(changes) {
    return new ToneClock(this.data, { ...this.marks, ...changes });
  }

  get marks() {
    return { zone: this.name, toned: this.toned, tone_rinsed: this.toneRinsed };
  }
}

const marksOf = (zones, pauses) => ({ zones: zones.map((z) => z.marks), pauses });

// A service at some moment: the plan's tables, and what was marked of its zones and pauses, as a
// visit keeps it.
export class Clock {
  constructor(plan, { zones = [], pauses = [] } = {}) {
    this.plan = plan;
    this.pauses = pauses.map(([since, until]) => [since, until ?? null]);
    const service = { pauses: this.pauses, hands: plan.hands_minutes, lead: plan.lead_minutes };
    const marksOn = ({ name }) => zones.find((marks) => marks.zone === name);
    this.zones = plan.zones.map((z) => new ZoneClock(z, service, marksOn(z)));
    this.tones = plan.tones.map((z) => new ToneClock(z, marksOn(z)));
  }

  get all() {
    return [...this.zones, ...this.tones];
  }

  get marks() {
    return marksOf(this.all, this.pauses);
  }

  zone(name) {
    return this.zones.find((z) => z.name === name);
  }

  get paused() {
    return this.pauses.some(([, until]) => until === null);
  }

  pause(now) {
    if (this.paused) return this;
    return new Clock(this.plan, { ...this.marks, pauses: [...this.pauses, [now, null]] });
  }

  resume(now) {
    const pauses = this.pauses.map(([since, until]) => [since, until ?? now]);
    return this.paused ? new Clock(this.plan, { ...this.marks, pauses }) : this;
  }

  next(now) {
    for (const zone of this.zones) {
      const number = zone.rinsing(now);
      if (number !== null) {
        return action("rinsing", zone.name, [number], now, zone.rinseEnds(number));
      }
    }
    const open = this.zones.filter((z) => z.begun !== null && z.rinsed === null);
    const waiting = this.zones.filter((z) => z.begun === null);
    if (!open.length && !waiting.length) return this.tone(now);
    const work = this.work(open, waiting, now);
    const look = this.look(open, now);
    if (!look || look.at > Math.max(now, work.at)) return work;
    return work.kind === "rinse" && work.at <= now ? work : look;
  }

  work(open, waiting, now) {
    const rinse = this.rinse(open, waiting, now);
    const laying = open.find((z) => !z.allOn);
    if (laying) {
      const at = laying.spans(now).starts[laying.laid.length];
      const lay = action("lay", laying.name, laying.nextSections, at, Infinity, laying.each);
      return rinse && rinse.at < lay.doneBy ? rinse : lay;
    }
    const begin = this.begin(open, waiting, now);
    if (!rinse || !begin) return rinse ?? begin;
    return this.plan.together || rinse.at <= Math.max(now, begin.at) ? rinse : begin;
  }

  look(open, now) {
    const looks = open.flatMap((zone) => {
      const span = zone.look(now);
      return span ? [action("look", zone.name, [], span.at, span.until)] : [];
    });
    return looks.length ? least(looks, (look) => look.at) : null;
  }

  // How each zone that is begun stands against its plan: when its rinse is, now at the soonest, moved
  // by how much, with what chance, and what that was planned to be.
  standing(now) {
    const begun = this.zones.filter((z) => z.begun !== null);
    const on = begun.filter((z) => z.rinsed === null);
    return begun.map((zone) => {
      const { planned_start: start, planned_wait: wait, planned_chance: planned } = zone.data;
      const common = this.plan.together && on.length ? this.common(on, now) : zone.due(now);
      const rinse = zone.rinsed ?? Math.max(common, now);
      return {
        zone: zone.name, rinse, moved: rinse - start - wait, chance: zone.chance(now, rinse), planned,
      };
    });
  }

  // A look at a zone, taken or passed by, whether it was due or not.
  lookedAt(name, now) {
    const zones = this.all.map((z) => (z.name === name ? z.with({ looked: [...z.looked, now] }) : z));
    return new Clock(this.plan, marksOf(zones, this.pauses));
  }

  // Rinses whatever is on, due or not, as on pain.
  rinseAll(now) {
    const { zones, tones, pauses } = this.resume(now);
    const rinsed = zones.map((z) => (z.laid.length && z.rinsed === null ? z.with({ rinsed: now }) : z));
    return new Clock(this.plan, marksOf([...rinsed, ...tones], pauses));
  }

  // Marks the next action as done, by hands that are back. A look is marked when it is taken, and
  // when it is passed by.
  mark(now) {
    const todo = this.next(now);
    if (todo.kind === "done" || todo.kind === "rinsing") return this;
    const back = this.resume(now);
    const zones = back.all.map((zone) => {
      const mine = zone.name === todo.zone || !todo.zone;
      if (todo.kind === "mix" && mine) return zone.with({ begun: now });
      if (todo.kind === "lay" && mine) return zone.withLaid(now);
      if (todo.kind === "rinse" && mine && zone.begun !== null && zone.rinsed === null) {
        return zone.with({ rinsed: now });
      }
      if (todo.kind === "look" && mine) return zone.with({ looked: [...zone.looked, now] });
      if (todo.kind === "tone" && mine) return zone.with({ toned: now });
      if (todo.kind === "rinse_tone" && mine) return zone.with({ tone_rinsed: now });
      return zone;
    });
    return new Clock(this.plan, marksOf(zones, back.pauses));
  }

  // The toner to lay or to rinse, once every mixture is rinsed; done when all is.
  tone(now) {
    const { pace, rinse_lasts: lasts } = this.plan;
    const ahead = this.all.filter((z) => z.data.toner && z.toned === null);
    const working = this.all.filter((z) => z.toned !== null && z.toneRinsed === null);
    const marks = this.all.flatMap((z) => [
      z.rinsed === null ? null : z.rinsed + lasts,
      z.toned === null ? null : z.toned + pace.laying,
      z.toneRinsed === null ? null : z.toneRinsed + pace.rinse,
    ]);
    const free = Math.max(...marks.filter((t) => t !== null));
    const due = working.length ? least(working, (z) => z.toned).toned + pace.minutes : Infinity;
    if (ahead.length) {
      const at = free + pace.changeover;
      if (at + pace.laying <= due) return action("tone", ahead[0].name, [], at);
    }
    if (!working.length) return action("done", "", [], now);
    return action("rinse_tone", least(working, (z) => z.toned).name, [], Math.max(due, free));
  }

  rinse(open, waiting, now) {
    const on = open.filter((z) => z.laid.length);
    if (!on.length) return null;
    if (!this.plan.together) {
      const due = least(on, (z) => z.due(now));
      return action("rinse", due.name, [], due.due(now), due.rinseBy(now));
    }
    const first = least(on, (z) => z.rinseBy(now));
    const by = first.rinseBy(now);
    if (waiting.length || !open.every((z) => z.allOn)) {
      // All together needs everything on; a zone that closes before then is rinsed alone.
      return now < by - SOON / 2 ? null : action("rinse", first.name, [], by, by);
    }
    const at = this.common(on, now);
    return action("rinse", "", [], at, Math.max(at, by));
  }

  // When all that is on is rinsed together: at chosen minutes, where there are; else it waits for
  // what opens before the first of it closes.
  common(on, now) {
    const chosen = on.filter((z) => z.data.chosen).map((z) => z.due(now));
    if (chosen.length) return Math.min(...chosen);
    const due = Math.min(...on.map((z) => z.due(now)));
    const closes = Math.min(...on.map((z) => z.latest(now)));
    const opens = on.map((z) => z.earliest(now)).filter((at) => at <= closes);
    return Math.min(Math.max(due, ...opens, 0), closes);
  }

  begin(open, waiting, now) {
    if (!waiting.length) return null;
    const zone = least(waiting, (z) => z.data.planned_start);
    if (!open.length && !this.zones.some((z) => z.rinsed !== null)) {
      return action("mix", zone.name, [], now);
    }
    if (this.plan.together && open.length) {
      const due = Math.min(...open.map((z) => z.due(now)));
      return action("mix", zone.name, [], due - zone.data.planned_wait);
    }
    const begun = this.zones.filter((z) => z.begun !== null);
    const delay = Math.max(...begun.map((z) => z.delay(now)));
    return action("mix", zone.name, [], zone.data.planned_start + delay);
  }
}

// It is due at a time, lasts as planned, and must be done until a time for all to stay inside.
function action(kind, zone, sections, at, until = Infinity, lasts = 0) {
  return { kind, zone, sections, at, until, lasts, doneBy: at + lasts };
}
