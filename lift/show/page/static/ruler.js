// A length in mm, on a ruler drawn to scale: lay the hair along it and drag the mark to where it ends.

import { el, svg } from "./dom.js";
import { askScale, isTrue, onScale, pixelsPerMm } from "./scale.js";
import { say } from "./words.js";

const HIGH_REM = 5.2;
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
  const hair = svg("path", { class: "ruler-hair" });
  const scalp = svg("path", { class: "ruler-scalp", d: "M0 0H2V999H0Z" });
  const ticks = svg("path", { class: "ruler-ticks" });
  const figures = svg("g", { class: "ruler-figures", "aria-hidden": "true" });
  const mark = svg("path", { class: "ruler-mark" });
  const scale = svg(
    "svg",
    { class: "ruler-scale", role: "slider", tabindex: 0, "aria-label": label, "aria-valuemin": 1, "aria-valuemax": most },
    hair, scalp, ticks, figures, mark,
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
    el("div", { class: "levels-picked" }, step(-1, "ruler.shorter"), words, step(1, "ruler.longer")),
    el("p", { class: "ruler-said" }, said, " ", set),
  );

  function show() {
    const mm = pixelsPerMm();
    const width = scale.clientWidth;
    const rem = parseFloat(getComputedStyle(document.documentElement).fontSize);
    const height = HIGH_REM * rem;
    const foot = height - 1.7 * rem;
    scale.setAttribute("height", height);
    const last = Math.min(Math.floor(width / mm), most);
    let path = `M0 ${foot}H${(last * mm).toFixed(1)}`;
    const named = [];
    for (let at = 0; at <= last; at++) {
      const x = (at * mm).toFixed(1);
      path += `M${x} ${foot}v${at % 10 === 0 ? -0.9 * rem : at % 5 === 0 ? -0.65 * rem : -0.4 * rem}`;
      if (at % 10 === 0) {
        named.push(svg("text", { x, y: height - 0.4 * rem, "text-anchor": at ? "middle" : "start" }, at ? String(at) : say("ruler.scalp")));
      }
    }
    ticks.setAttribute("d", path);
    figures.replaceChildren(...named.slice(0, 1), ...named.slice(1).filter(({ textContent }) => Number(textContent) * mm > 4.2 * rem));
    const end = now === null ? 0 : Math.min(now, last) * mm;
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

  const at = (event) => pick((event.clientX - scale.getBoundingClientRect().left) / pixelsPerMm());
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
  new ResizeObserver(show).observe(scale);
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
