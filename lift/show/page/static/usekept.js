// What was worked out for the visit that is open, kept in this browser so that a reload shows it at
// once: of one visit at a time, for it is large.

const KEY = "lift.use";

function read() {
  try {
    return JSON.parse(localStorage.getItem(KEY)) ?? {};
  } catch {
    return {};
  }
}

export function keptOf(name, what) {
  const kept = read();
  return kept.name === name ? kept[what] ?? null : null;
}

export function keepOf(name, what, value) {
  const kept = read();
  try {
    localStorage.setItem(KEY, JSON.stringify({ ...(kept.name === name ? kept : { name }), [what]: value }));
  } catch {
    // It is worked out again after a reload.
  }
}
