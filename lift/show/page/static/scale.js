// How many pixels of this screen a millimetre has. A browser's own millimetres are not true, so it is
// set once with a card of the format ID-1 (ISO/IEC 7810: 85.60 by 53.98 mm) held against the screen.

import { el, svg } from "./dom.js";
import { keep, kept } from "./store.js";
import { say } from "./words.js";

const KEY = "lift.ruler";
const [LONG, SHORT] = [85.6, 53.98];
const [LEAST, MOST] = [2, 14];
const SPARE_REM = 15;
// Until it is set: CSS pixels on a phone held in the hand, and on a desk.
const GUESS = { coarse: 6.2, fine: 96 / 25.4 };
const FINE_PX = 0.5;
const watching = new Set();

// Kept in pixels of the device, so that a page made larger keeps its ruler true.
let device = kept(KEY);

const guess = () => GUESS[matchMedia("(pointer: coarse)").matches ? "coarse" : "fine"];
export const isTrue = () => device !== null;
export const pixelsPerMm = () => (device ? device / devicePixelRatio : guess());

// Calls `then` when the scale is set anew. Returns how to stop it.
export function onScale(then) {
  watching.add(then);
  return () => watching.delete(then);
}

function set(pixels) {
  device = pixels * devicePixelRatio;
  keep(KEY, device);
  for (const then of watching) then();
}

// Asks for a card, and for the line at its lower edge: the long side where it fits, or the short one.
export function askScale() {
  const room = innerHeight - SPARE_REM * parseFloat(getComputedStyle(document.documentElement).fontSize);
  const side = LONG * pixelsPerMm() <= room ? LONG : SHORT;
  let pixels = pixelsPerMm();
  const card = svg("path", { class: "card" });
  const line = svg("path", { class: "card-edge" });
  const grip = svg("circle", { class: "card-grip", r: 14 });
  const drawing = svg("svg", { class: "card-drawing", role: "slider", tabindex: 0, "aria-label": say("ruler.edge"), "aria-valuemin": LEAST, "aria-valuemax": MOST },
    card, line, grip);
  const button = (words, className, press) => {
    const made = el("button", { type: "button", class: className }, words);
    made.addEventListener("click", press);
    return made;
  };
  const dialog = el(
    "dialog",
    { class: "card-dialog", "aria-label": say("ruler.set") },
    el("p", {}, say(side === LONG ? "ruler.upright" : "ruler.lying")),
    drawing,
    el(
      "div",
      { class: "card-tools" },
      button("\u2212", "step", () => move(pixels * side - FINE_PX)),
      button("+", "step", () => move(pixels * side + FINE_PX)),
      button(say("ruler.cancel"), "", () => dialog.close()),
      button(say("ruler.fits"), "main", () => {
        set(pixels);
        dialog.close();
      }),
    ),
  );

  function draw() {
    const [high, wide] = [pixels * side, pixels * (LONG + SHORT - side)];
    const width = drawing.clientWidth;
    drawing.setAttribute("height", Math.ceil(high) + 16);
    card.setAttribute("d", `M0 1H${(wide - 12).toFixed(1)}q12 0 12 12V${(high - 12).toFixed(1)}q0 12 -12 12H0`);
    line.setAttribute("d", `M0 ${high.toFixed(1)}H${width}`);
    grip.setAttribute("cx", width - 22);
    grip.setAttribute("cy", high.toFixed(1));
    drawing.setAttribute("aria-valuenow", pixels.toFixed(2));
    drawing.setAttribute("aria-valuetext", say("ruler.density", { pixels: pixels.toFixed(2) }));
  }

  function move(high) {
    pixels = Math.min(Math.max(high / side, LEAST), MOST);
    draw();
  }

  drawing.addEventListener("pointerdown", (event) => {
    drawing.setPointerCapture(event.pointerId);
    const off = pixels * side - event.clientY;
    const drag = (moved) => move(moved.clientY + off);
    drawing.addEventListener("pointermove", drag);
    drawing.addEventListener("lostpointercapture", () => drawing.removeEventListener("pointermove", drag), { once: true });
  });
  drawing.addEventListener("keydown", (event) => {
    const by = { ArrowDown: 1, ArrowRight: 1, ArrowUp: -1, ArrowLeft: -1 }[event.key];
    if (!by) return;
    event.preventDefault();
    move(pixels * side + by * FINE_PX);
  });
  dialog.addEventListener("close", () => dialog.remove());
  document.body.append(dialog);
  dialog.showModal();
  draw();
}
