// The lock: a strand laid along the time line, each moment in its predicted colour.

import { svg } from "./dom.js";

const FIBRES = 120;
const BENDS = 24;

// The same lock every time: chance would make it twitch with each answer.
function chanceFrom(seed) {
  let state = seed;
  return () => {
    state = (state * 1664525 + 1013904223) % 4294967296;
    return state / 4294967296;
  };
}

// One fibre: where it lies across the lock, and how it wanders along it.
function fibre(width, height, chance) {
  const across = chance() + chance() + chance();
  const own = { place: (across - 1.5) / 1.5, turn: 2 * Math.PI * chance(), stray: chance() };
  let path = "";
  for (let i = 0; i <= BENDS; i++) {
    const share = i / BENDS;
    const body = 0.42 + 0.06 * Math.sin(9 * share + 1);
    const wave = 0.035 * Math.sin(7 * share + own.turn) * (0.4 + own.stray);
    const sway = 0.05 * Math.sin(5.2 * share);
    const y = height * (0.5 + own.place * body + wave + sway);
    path += `${i ? "L" : "M"}${(width * share).toFixed(1)} ${y.toFixed(1)}`;
  }
  return path;
}

const SHINE = [
  ["url(#lock-colour)", 1],
  ["#ffffff", 0.16],
  ["#000000", 0.2],
];

export function drawLock(target, scale, times, colours, now) {
  const { width } = scale;
  const height = target.clientHeight || 88;
  target.setAttribute("viewBox", `0 0 ${width} ${height}`);
  const stops = times
    .map((t, i) => ({ t, colour: colours[i] }))
    .filter(({ t }, i) => t <= scale.span || times[i - 1] < scale.span)
    .map(({ t, colour }) =>
      svg("stop", { offset: Math.min(t / scale.span, 1), "stop-color": colour }),
    );
  const gradient = svg(
    "linearGradient",
    {
      id: "lock-colour", gradientUnits: "userSpaceOnUse",
      x1: scale.x(0), x2: scale.x(scale.span), y1: 0, y2: 0,
    },
    ...stops,
  );
  const bundle = target.querySelector("g");
  if (bundle && Number(bundle.dataset.width) === width) {
    // Only the colours have changed: the fibres stay where they are.
    target.querySelector("linearGradient").replaceWith(gradient);
    target.querySelector(".now").setAttribute("d", `M${scale.x(now)} 0V${height}`);
    return;
  }
  const chance = chanceFrom(7);
  const fibres = Array.from({ length: FIBRES }, (_, i) => {
    const [stroke, strength] = SHINE[i < FIBRES * 0.55 ? 0 : i % 2 ? 1 : 2];
    return svg("path", {
      d: fibre(width, height, chance),
      stroke, "stroke-opacity": strength, "stroke-width": i < FIBRES * 0.55 ? 3.2 : 0.9,
      fill: "none",
    });
  });
  target.replaceChildren(
    svg("defs", {}, gradient),
    svg("g", { "data-width": width }, ...fibres),
    svg("path", { class: "now", d: `M${scale.x(now)} 0V${height}` }),
  );
}

export function drawSwatch(target, before, now) {
  const half = (x, colour) => svg("rect", { x, y: 0, width: 100, height: 90, fill: colour });
  target.replaceChildren(
    half(0, before),
    half(100, now),
    svg("path", { class: "outline", d: "M 0.5 0.5 H 199.5 V 89.5 H 0.5 Z M 100 0 V 90" }),
  );
}
