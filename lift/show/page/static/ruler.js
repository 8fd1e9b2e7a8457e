// A length in mm, on a ruler drawn to scale: lay the hair along it and drag the mark to where it ends.
// Where all of it does not fit across the page it stands upright.

import { el, svg } from "./dom.js";
import { askScale, isTrue, onScale, pixelsPerMm } from "./scale.js";
import { say } from "./words.js";

const DEEP_REM = 5.2;
// Upright the word at the scalp stands beside it.
const UPRIGHT_REM = 6.6;
const FIGURES_REM = 1.7;
const [HAIRS, BENDS] = [7, 12];
const KEYS = { ArrowRight: 1, ArrowUp: 1, ArrowLeft: -1, ArrowDown: -1, PageUp: 10, PageDown: -10 };

// Hairs from the scalp at the left to the mark.
function hairs(length, top, bottom) {
  let path = "";
  for (let hair = 0; hair < HAIRS; hair++) {
    const y = top + ((hair + 0.5) / HAIRS) * (bottom - top);
    for (let i = 0; i <= BENDS; i++) {
      const x = (length * i) / BENDS;
      path += `${i ? "L" : "M"}${x.toFixed(1)} ${(y + 1.6 * Math.sin(0.05 * x + hair)).toFixed(1)}`;
    }
  }
  return path;
}

// Makes a ruler in `target`, of whole mm up to `most`; `onpick(mm)` is called at every change by
// hand. A value of null is none yet.
export function ruler(target, { label, value = null, most = 60, onpick = () => {} }) {
  let now = value;
  let upright = false;
  const hair = svg("path", { class: "ruler-hair" });
  const scalp = svg("path", { class: "ruler-scalp" });
  const ticks = svg("path", { class: "ruler-ticks" });
  const figures = svg("g", { class: "ruler-figures", "aria-hidden": "true" });
  const mark = svg("path", { class: "ruler-mark" });
  // Drawn lying; upright it is the same with across and down changed for one another.
  const drawing = svg("g", {}, hair, scalp, ticks, mark);
  const scale = svg(
    "svg",
    { class: "ruler-scale", role: "slider", tabindex: 0, "aria-label": label, "aria-valuemin": 1, "aria-valuemax": most },
    drawing, figures,
  );
  const words = el("output", { class: "levels-words" });
  const step = (by, code) => {
    const button = el("button", { type: "button", class: "levels-step", "aria-label": say(code, { label }) }, by > 0 ? "+" : "\u2212");
    button.addEventListener("click", () => pick((now ?? 0) + by));
    return button;
  };
  const said = el("span", {});
  const set = el("button", { type: "button" }, say("ruler.set"));
  set.addEventListener("click", askScale);
  target.classList.add("ruler");
  target.replaceChildren(
    scale,
    el(
      "div",
      { class: "ruler-told" },
      el("div", { class: "levels-picked" }, step(-1, "ruler.shorter"), words, step(1, "ruler.longer")),
      el("p", { class: "ruler-said" }, said, " ", set),
    ),
  );

  function figure(at, mm, rem) {
    const along = at * mm;
    const text = at ? String(at) : say("ruler.scalp");
    const place = upright
      ? { x: (DEEP_REM - FIGURES_REM + 0.3) * rem, y: along + (at ? 0.35 : 0.9) * rem }
      : { x: along, y: (DEEP_REM - 0.4) * rem, "text-anchor": at ? "middle" : "start" };
    return svg("text", place, text);
  }

  function show() {
    const mm = pixelsPerMm();
    const rem = parseFloat(getComputedStyle(document.documentElement).fontSize);
    const [deep, foot] = [DEEP_REM * rem, (DEEP_REM - FIGURES_REM) * rem];
    const long = most * mm;
    // With room for the last figure.
    const length = long + rem;
    upright = target.clientWidth < length;
    target.toggleAttribute("data-upright", upright);
    scale.setAttribute("aria-orientation", upright ? "vertical" : "horizontal");
    scale.setAttribute("width", upright ? UPRIGHT_REM * rem : length);
    scale.setAttribute("height", upright ? length : deep);
    if (upright) drawing.setAttribute("transform", "matrix(0 1 1 0 0 0)");
    else drawing.removeAttribute("transform");
    let path = `M0 ${foot}H${long.toFixed(1)}`;
    const named = [];
    for (let at = 0; at <= most; at++) {
      path += `M${(at * mm).toFixed(1)} ${foot}v${at % 10 === 0 ? -0.9 * rem : at % 5 === 0 ? -0.65 * rem : -0.4 * rem}`;
      // No figure runs into the word at the scalp.
      if (at % 10 === 0 && (!at || at * mm > (upright ? 1.6 : 4.2) * rem)) named.push(figure(at, mm, rem));
    }
    scalp.setAttribute("d", `M0 0H2V${upright ? UPRIGHT_REM * rem : deep}H0Z`);
    ticks.setAttribute("d", path);
    figures.replaceChildren(...named);
    const end = now === null ? 0 : Math.min(now, most) * mm;
    hair.setAttribute("d", end ? hairs(end, 0.3 * rem, foot - rem) : "");
    mark.setAttribute("d", end ? `M${end.toFixed(1)} 0V${foot}` : "");
    words.textContent = now === null ? say("ruler.none") : say("ruler.length", { length: now });
    scale.setAttribute("aria-valuetext", words.textContent);
    if (now !== null) scale.setAttribute("aria-valuenow", now);
    said.textContent = say(isTrue() ? "ruler.true" : "ruler.untrue");
  }

  function pick(length) {
    const next = Math.min(Math.max(Math.round(length), 1), most);
    if (next === now) return;
    now = next;
    show();
    onpick(next);
  }

  const at = (event) => {
    const { left, top } = scale.getBoundingClientRect();
    pick((upright ? event.clientY - top : event.clientX - left) / pixelsPerMm());
  };
  scale.addEventListener("pointerdown", (event) => {
    if (event.button !== 0) return;
    scale.setPointerCapture(event.pointerId);
    scale.addEventListener("pointermove", at);
  });
  scale.addEventListener("lostpointercapture", () => scale.removeEventListener("pointermove", at));
  scale.addEventListener("click", at);
  scale.addEventListener("keydown", (event) => {
    const by = KEYS[event.key];
    if (!by) return;
    event.preventDefault();
    pick((now ?? 0) + by);
  });
  // Not at once: what is shown changes the size that is watched.
  new ResizeObserver(() => requestAnimationFrame(show)).observe(target);
  const stop = onScale(show);
  show();
  return {
    set(length) {
      if (length === now) return;
      now = length;
      show();
    },
    stop,
  };
}
