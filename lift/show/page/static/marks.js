// What was marked on the clock, as a visit keeps it: minutes on the service's clock. Pure but for
// the visit that is handed in to be changed.

import { Clock } from "./machine.js";

const MS = 60000;
const DIGITS = 4;
// Marks of one press are made at one time.
const SAME = 1e-3;

export const round = (t) => Number(t.toFixed(DIGITS));
export const since = (instant, ms) => Math.max((ms - Date.parse(instant)) / MS, 0);
export const running = (visit) => Boolean(visit.clock?.started);
export const minutesAt = (visit, ms) => (running(visit) ? round(since(visit.clock.started, ms)) : 0);
export const clockOf = (tables, visit) => new Clock(tables, visit.clock);

// When anything of a zone was marked.
const times = (zone) =>
  [zone.begun, ...(zone.laid ?? []), zone.rinsed, zone.toned, zone.tone_rinsed, ...(zone.looked ?? [])]
    .filter((t) => typeof t === "number");

// Keeps what a clock has marked; marks of zones that it does not know stay.
export function keepMarks(visit, clock) {
  const { zones, pauses } = clock.marks;
  const known = new Set(zones.map((z) => z.zone));
  const others = (visit.clock?.zones ?? []).filter((z) => !known.has(z.zone));
  visit.clock = { ...visit.clock, zones: [...others, ...zones.filter((z) => times(z).length)], pauses };
}

export function startAt(visit, ms) {
  visit.clock = { ...visit.clock, started: new Date(ms).toISOString() };
}

// When the last mark was made; null where there is none.
function lastMark(clock) {
  const all = [...(clock.zones ?? []).flatMap(times), ...(clock.pauses ?? []).flat()];
  const made = all.filter((t) => typeof t === "number");
  return made.length ? Math.max(...made) : null;
}

export function canUndo(visit) {
  const clock = visit.clock ?? {};
  const strands = (visit.looks ?? []).some((look) => look.strand);
  return lastMark(clock) !== null || Boolean(clock.strand) || strands;
}

// Takes back the last press, whatever it marked.
export function undo(visit) {
  const clock = { ...visit.clock };
  visit.clock = clock;
  const last = lastMark(clock);
  if (last === null) {
    undoStrand(visit, clock);
    return;
  }
  const stays = (t) => typeof t !== "number" || t < last - SAME;
  visit.looks = (visit.looks ?? []).filter((look) => {
    const zone = clock.zones?.find((z) => z.zone === look.zone);
    return look.strand || typeof zone?.begun !== "number" || stays(zone.begun + look.minutes);
  });
  const one = (t) => (stays(t) ? t ?? null : null);
  clock.zones = (clock.zones ?? []).map((zone) => ({
    zone: zone.zone,
    begun: one(zone.begun), laid: (zone.laid ?? []).filter(stays), rinsed: one(zone.rinsed),
    toned: one(zone.toned), tone_rinsed: one(zone.tone_rinsed), looked: (zone.looked ?? []).filter(stays),
  })).filter((zone) => times(zone).length);
  clock.pauses = (clock.pauses ?? [])
    .filter(([from]) => stays(from))
    .map(([from, to]) => [from, stays(to) ? to ?? null : null]);
  if (!clock.zones.length) clock.started = null;
}

// Before the first mix there is only a strand that is tested, or what was seen on it.
function undoStrand(visit, clock) {
  if (clock.strand) {
    clock.strand = null;
    clock.strand_begun = null;
    return;
  }
  const at = (visit.looks ?? []).findLastIndex((look) => look.strand);
  if (at >= 0) visit.looks = visit.looks.filter((_, i) => i !== at);
}

// What was seen of a zone: on the hair that is laid, or, before the first mix, on its strand.
export function keepLook(visit, { zone, minutes, seen, instrument = false, strand = false }) {
  const look = { zone, minutes: round(minutes), seen, instrument, strand };
  visit.looks = [...(visit.looks ?? []), look];
}

export function startStrand(visit, zone, ms) {
  visit.clock = { ...visit.clock, strand: zone, strand_begun: new Date(ms).toISOString() };
}

export function endStrand(visit) {
  visit.clock = { ...visit.clock, strand: null, strand_begun: null };
}
