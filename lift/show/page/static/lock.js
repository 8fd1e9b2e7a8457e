// Locks: hair as it is drawn everywhere. The server gives the shades of a colour and one drawing;
// what stands here lays the shades into it, so that its mean is the colour.

import { byId, el, svg } from "./dom.js";

const DIGITS = 6;
const BENDS = 24;

const drawing = byId("lock-drawing").content.firstElementChild;
const numbers = (name) => drawing.dataset[name].split(" ").map(Number);
const SHARES = numbers("shares");
const THREADS = numbers("threads");

export const GROUND = drawing.dataset.ground;
const shade = (shades, i) => `#${shades.slice(DIGITS * i, DIGITS * i + DIGITS)}`;
let made = 0;

// A lock without colour yet, whose gradients are its own.
function freshLock() {
  const lock = drawing.cloneNode(true);
  const own = `lock-${++made}-`;
  for (const gradient of lock.querySelectorAll("linearGradient")) gradient.id = own + gradient.id;
  for (const path of lock.querySelectorAll("path")) {
    path.setAttribute("fill", path.getAttribute("fill").replace("#", `#${own}`));
  }
  lock.setAttribute("aria-hidden", "true");
  return lock;
}

function paint(lock, shades) {
  if (lock.dataset.shades === shades) return;
  lock.dataset.shades = shades;
  for (const stop of lock.querySelectorAll("stop")) {
    stop.setAttribute("stop-color", shade(shades, Number(stop.dataset.shade)));
  }
}

// Makes a target hold so many children, made one by one, and gives them back.
function children(target, count, make) {
  while (target.children.length > count) target.lastChild.remove();
  while (target.children.length < count) target.append(make());
  return [...target.children];
}

export function drawChip(target, shades) {
  const [lock] = children(target, 1, freshLock);
  paint(lock, shades);
}

export function chip(shades) {
  const made = el("span", { class: "chip" });
  drawChip(made, shades);
  return made;
}

// Locks side by side, each with its name below.
export function drawLocks(target, locks) {
  const figures = children(target, locks.length, () =>
    el("figure", {}, freshLock(), el("figcaption")),
  );
  locks.forEach(({ shades, words }, i) => {
    const [lock, name] = figures[i].children;
    paint(lock, shades);
    if (name.textContent !== words) name.textContent = words;
  });
}

// A gradient that is a lock from its shine to its dark edge, for what is too small for strands.
export function bead(id, shades) {
  const stops = [];
  let end = 0;
  for (let i = SHARES.length - 1; i >= 0; i--) {
    const start = end;
    end += SHARES[i];
    const colour = { "stop-color": shade(shades, i) };
    stops.push(svg("stop", { offset: start, ...colour }), svg("stop", { offset: end, ...colour }));
  }
  return svg("linearGradient", { id, x1: 0, y1: 0, x2: 0, y2: 1 }, ...stops);
}

// Natural levels beside a strip: each a strip of one colour, with its name.
export function drawLevels(targets, levels) {
  targets.forEach((target, i) => {
    const width = target.clientWidth || 150;
    const { shades, words } = levels[i];
    drawStrip(target, { width, span: 1, x: (t) => t * width }, [0, 1], [shades, shades], null, words);
  });
}

const SWAY = 0.03;
const EDGE = 0.1;

function thread(width, height, top, colour) {
  let path = "";
  for (let i = 0; i <= BENDS; i++) {
    const share = i / BENDS;
    const y = height * (EDGE + (1 - 2 * EDGE) * top + SWAY * Math.sin(7 * share + 1));
    path += `${i ? "L" : "M"}${(width * share).toFixed(1)} ${y.toFixed(2)}`;
  }
  for (let i = BENDS; i >= 0; i--) {
    const share = i / BENDS;
    const y = height * (1 - EDGE + SWAY * Math.sin(7 * share + 1));
    path += `L${(width * share).toFixed(1)} ${y.toFixed(2)}`;
  }
  return svg("path", { d: `${path}Z`, fill: colour });
}

// A lock along the time line, each moment in its own shades: threads run along it, each over all
// below it, so that nothing shines through where two meet.
export function drawStrip(target, scale, times, strip, now, name = "") {
  const { width } = scale;
  const height = target.clientHeight || 88;
  target.setAttribute("viewBox", `0 0 ${width} ${height}`);
  const seen = times.map((t, i) => i).filter((i) => i === 0 || times[i - 1] < scale.span);
  const gradients = SHARES.map((_, s) =>
    svg(
      "linearGradient",
      { id: `${target.id}-${s}`, gradientUnits: "userSpaceOnUse", x1: scale.x(0), x2: scale.x(scale.span), y1: 0, y2: 0 },
      ...seen.map((i) =>
        svg("stop", {
          offset: Math.min(times[i] / scale.span, 1), "stop-color": shade(strip[i], s),
        }),
      ),
    ),
  );
  const marker = now === null ? "" : `M${scale.x(now)} 0V${height}`;
  if (target.dataset.size === `${width} ${height}`) {
    // Only the colours have changed: the threads stay where they are.
    target.querySelector("defs").replaceChildren(...gradients);
    target.querySelector(".now").setAttribute("d", marker);
    target.querySelector("text").textContent = name;
    return;
  }
  target.dataset.size = `${width} ${height}`;
  const threads = [];
  let top = 0;
  for (let i = 0; i < THREADS.length; i += 2) {
    threads.push(thread(width, height, top, `url(#${target.id}-${THREADS[i]})`));
    top += THREADS[i + 1];
  }
  target.replaceChildren(
    svg("defs", {}, ...gradients),
    svg("rect", { width, height, fill: GROUND }),
    ...threads,
    svg("path", { class: "now", d: marker }),
    svg("text", { class: "named", x: width - 6, y: 14, "text-anchor": "end" }, name),
  );
}
