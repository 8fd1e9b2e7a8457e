// What was worked out for the visit that is open, kept in this browser so that a reload shows it at
// once: of one visit at a time, for it is large.

import { keep, kept } from "./store.js";

const KEY = "lift.use";

export function keptOf(name, what) {
  const here = kept(KEY, {});
  return here.name === name ? here[what] ?? null : null;
}

export function keepOf(name, what, value) {
  const here = kept(KEY, {});
  keep(KEY, { ...(here.name === name ? here : { name }), [what]: value });
}
