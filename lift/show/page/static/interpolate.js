// Between the nodes of the clock's tables, as the library goes between them.

const SOONEST = 1e-3;

// Null stands for never.
export const inf = (t) => (t === null || t === undefined ? Infinity : t);
export const clip = (v, low, high) => Math.min(Math.max(v, low), high);

// The nodes to either side, evenly spaced, and the share of the one to the right.
export function between(nodes, value) {
  const last = nodes.length - 1;
  const at = clip((value - nodes[0]) / (nodes[1] - nodes[0]), 0, last);
  const left = Math.min(Math.trunc(at), last - 1);
  return { left, right: left + 1, share: at - left };
}

// Linear in the reciprocal of time, which is nearly linear in strength.
export function timeAt(nodes, table, logStrength) {
  const { left, right, share } = between(nodes, logStrength);
  const speed = (i) => 1 / Math.max(inf(table[i]), SOONEST);
  const fast = (1 - share) * speed(left) + share * speed(right);
  return fast > 0 ? 1 / fast : Infinity;
}

export function interpolate(x, y, at) {
  if (at <= x[0]) return y[0];
  for (let i = 1; i < x.length; i++) {
    if (at <= x[i]) return y[i - 1] + ((y[i] - y[i - 1]) * (at - x[i - 1])) / (x[i] - x[i - 1]);
  }
  return y[y.length - 1];
}

export function nearestColour(minutes, colours, at) {
  let best = 0;
  for (let i = 1; i < minutes.length; i++) {
    if (Math.abs(minutes[i] - at) < Math.abs(minutes[best] - at)) best = i;
  }
  return colours[best];
}
