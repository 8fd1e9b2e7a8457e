// The clock's machine: what is on, what it looks like, what comes next. Pure: time comes in from
// outside, in minutes on the service's clock, and everything follows from the plan's tables and
// from what was marked. It says what the library's clock says, and needs no server.

const SOON = 2;
const SOONEST = 1e-3;
const inf = (t) => (t === null || t === undefined ? Infinity : t);
const clip = (v, low, high) => Math.min(Math.max(v, low), high);

// One zone of the plan, with what was marked.
export class ZoneClock {
  constructor(data, marks = {}) {
    this.data = data;
    this.name = data.name;
    this.begun = marks.begun ?? null;
    this.laid = marks.laid ?? [];
    this.rinsed = marks.rinsed ?? null;
    this.toned = marks.toned ?? null;
    this.toneRinsed = marks.toneRinsed ?? null;
  }

  with(changes) {
    return new ZoneClock(this.data, { ...this.marks, ...changes });
  }

  get marks() {
    const { begun, laid, rinsed, toned, toneRinsed } = this;
    return { begun, laid, rinsed, toned, toneRinsed };
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
    const begun = this.begun ?? now;
    const { planned_starts: from, planned_ends: to } = this.data;
    const starts = from.map((t) => begun + t);
    const ends = to.map((t) => begun + t);
    const count = this.laid.length;
    for (let i = 0; i < count; i++) ends[i] = this.laid[i];
    for (let i = 1; i < count; i++) {
      const gap = Math.max(from[i] - to[i - 1], 0);
      starts[i] = from[i] === from[i - 1] ? starts[i - 1] : Math.min(ends[i - 1] + gap, ends[i]);
    }
    if (count < this.sections) {
      const gap = count ? Math.max(from[count] - to[count - 1], 0) : 0;
      const free = count ? this.laid[count - 1] + gap : begun;
      // A section that should be on by now is taken to come on at this moment.
      const late = Math.max(0, now - (free + this.each));
      const shift = free - starts[count];
      for (let i = count; i < this.sections; i++) {
        starts[i] += shift + (i > count ? late : 0);
        ends[i] += shift + late;
      }
    }
    return { starts, ends };
  }

  // Logarithm of the strength on the best coated strands of each section.
  strength(starts) {
    const { bowl, bowl_fade_minutes: fade } = this.data;
    return starts.map((t, i) => (starts[bowl.indexOf(bowl[i])] - t) / fade);
  }

  node(logStrength) {
    const nodes = this.data.log_strength;
    const last = nodes.length - 1;
    if (last === 0) return { left: 0, right: 0, share: 0 };
    const at = clip((logStrength - nodes[0]) / (nodes[1] - nodes[0]), 0, last);
    const left = Math.min(Math.trunc(at), last - 1);
    return { left, right: left + 1, share: at - left };
  }

  // Linear in the reciprocal of time, which is nearly linear in strength.
  time(table, logStrength) {
    const { left, right, share } = this.node(logStrength);
    const speed = (i) => 1 / Math.max(inf(table[i]), SOONEST);
    const fast = (1 - share) * speed(left) + share * speed(right);
    return fast > 0 ? 1 / fast : Infinity;
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

  due(now) {
    const opens = this.earliest(now);
    const closes = this.latest(now);
    const open = Math.max(closes - opens, 0);
    const due = this.data.share * (open === Infinity ? 0 : open);
    return Math.min(opens + due, closes);
  }

  delay(now) {
    const { planned_start: start, planned_wait: wait, planned_ends: ends } = this.data;
    if (this.begun === null) return Math.max(0, now - start);
    if (this.rinsed !== null) return this.rinsed - start - wait;
    const own = this.spans(now).ends;
    return own[own.length - 1] - start - ends[ends.length - 1];
  }

  // Sections that are on, or were, as they are now or were when rinsed.
  now(now) {
    const { starts } = this.spans(now);
    const outer = this.strength(starts);
    const { opens, closes } = this.windows(now);
    const { minutes, colours, level, inner_less: less, rinse_after: after } = this.data;
    return this.laid.map((_, i) => {
      const end = this.rinsed === null ? Infinity : this.rinsed + after[i];
      const stop = Math.min(now, end);
      const own = Math.max(stop - starts[i], 0);
      const { left, right, share } = this.node(outer[i] + 0.5 * less);
      const nearest = share < 0.5 ? left : right;
      const at = (1 - share) * interpolate(minutes, level[left], own) +
        share * interpolate(minutes, level[right], own);
      const toClose = closes[i] - stop;
      const reached = stop >= opens[i];
      return {
        number: i + 1, minutes: own, toClose, reached, rinsed: now >= end,
        opensIn: opens[i] - stop, level: at,
        colour: nearestColour(minutes, colours[nearest], own),
        state: toClose <= 0 ? "past" : reached ? "inside" : "early",
      };
    });
  }
}

function interpolate(x, y, at) {
  if (at <= x[0]) return y[0];
  for (let i = 1; i < x.length; i++) {
    if (at <= x[i]) return y[i - 1] + ((y[i] - y[i - 1]) * (at - x[i - 1])) / (x[i] - x[i - 1]);
  }
  return y[y.length - 1];
}

function nearestColour(minutes, colours, at) {
  let best = 0;
  for (let i = 1; i < minutes.length; i++) {
    if (Math.abs(minutes[i] - at) < Math.abs(minutes[best] - at)) best = i;
  }
  return colours[best];
}

const least = (rows, value) => rows.reduce((a, b) => (value(b) < value(a) ? b : a));

// A service at some moment.
export class Clock {
  constructor(plan, zones = plan.zones.map((z) => new ZoneClock(z))) {
    this.plan = plan;
    this.zones = zones;
  }

  static withMarks(plan, marks) {
    return new Clock(plan, plan.zones.map((z, i) => new ZoneClock(z, marks[i] ?? {})));
  }

  get marks() {
    return this.zones.map((z) => z.marks);
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
    const rinse = this.rinse(open, waiting, now);
    const laying = open.find((z) => !z.allOn);
    if (laying) {
      const at = laying.spans(now).starts[laying.laid.length];
      const lay = action("lay", laying.name, laying.nextSections, at);
      return rinse && rinse.at < lay.at + laying.each ? rinse : lay;
    }
    const begin = this.begin(open, waiting, now);
    if (!rinse || !begin) return rinse ?? begin;
    return this.plan.together || rinse.at <= Math.max(now, begin.at) ? rinse : begin;
  }

  mark(now) {
    const todo = this.next(now);
    if (todo.kind === "done" || todo.kind === "rinsing") return this;
    const zones = this.zones.map((zone) => {
      const mine = zone.name === todo.zone || !todo.zone;
      if (todo.kind === "mix" && mine) return zone.with({ begun: now });
      if (todo.kind === "lay" && mine) return zone.withLaid(now);
      if (todo.kind === "rinse" && mine && zone.begun !== null && zone.rinsed === null) {
        return zone.with({ rinsed: now });
      }
      if (todo.kind === "tone" && mine) return zone.with({ toned: now });
      if (todo.kind === "rinse_tone" && mine) return zone.with({ toneRinsed: now });
      return zone;
    });
    return new Clock(this.plan, zones);
  }

  // The toner to lay or to rinse, once every mixture is rinsed; done when all is.
  tone(now) {
    const { pace, rinse_lasts: lasts } = this.plan;
    const ahead = this.zones.filter((z) => z.data.toner && z.toned === null);
    const working = this.zones.filter((z) => z.toned !== null && z.toneRinsed === null);
    const marks = this.zones.flatMap((z) => [
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
    const first = least(on, (z) => z.latest(now));
    if (!this.plan.together) {
      const due = least(on, (z) => Math.min(z.due(now), z.latest(now)));
      return action("rinse", due.name, [], due.due(now), due.latest(now));
    }
    const latest = first.latest(now);
    if (waiting.length || !open.every((z) => z.allOn)) {
      // All together needs everything on; a zone that closes before then is rinsed alone.
      return now < latest - SOON / 2 ? null : action("rinse", first.name, [], latest, latest);
    }
    const due = Math.min(...on.map((z) => z.due(now)));
    const earliest = Math.max(...on.map((z) => z.earliest(now)));
    return action("rinse", "", [], Math.min(Math.max(due, earliest), latest), latest);
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

const action = (kind, zone, sections, at, until = Infinity) => ({ kind, zone, sections, at, until });

// Why a preview has no time to rinse, and so no clock; empty where it has one.
export function noClock({ answer: { window: win } }) {
  return !win ? "no_goal" : win.p_best > 0 ? "" : "never";
}

// One strand of a preview as a plan of one zone with one section; it is rinsed when the preview's
// first lines say so.
export function strandPlan(preview) {
  const { answer, shown } = preview;
  const { window: win, curve } = answer;
  const { rinse_from: opens, rinse_until: closes } = win;
  const share = closes > opens ? clip((win.best_minutes - opens) / (closes - opens), 0, 1) : 1;
  return {
    title: shown.title,
    together: true,
    cautions: answer.cautions,
    levels: shown.levels,
    zones: [
      {
        name: shown.strand, planned_starts: [0], planned_ends: [0], rinse_after: [0], bowl: [1],
        inner_less: 0, bowl_fade_minutes: 1e9, planned_start: 0,
        planned_wait: opens + share * (closes - opens), share, hands: 1,
        log_strength: [0], reached: [opens], closes: [closes], minutes: curve.minutes,
        colours: [shown.strip], level: [curve.level],
      },
    ],
  };
}
