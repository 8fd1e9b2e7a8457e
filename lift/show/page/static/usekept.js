// What was worked out for the visit that is open, kept in this browser so that a reload shows it at
// once: of one visit at a time, for it is large.

import { forget, keep, kept, keysOf } from "./store.js";

const KEY = "lift.use";
const keyOf = (name) => `${KEY}.${name}`;

export const keptOf = (name, what) => kept(keyOf(name), {})[what] ?? null;

export function keepOf(name, what, value) {
  const key = keyOf(name);
  keysOf(KEY).filter((each) => each !== key).forEach(forget);
  keep(key, { ...kept(key, {}), [what]: value });
}
