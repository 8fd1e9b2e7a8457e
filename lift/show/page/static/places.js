// The time line's places: bars whose names and ends come with the answer, and the key to them.

import { el, svg } from "./dom.js";

const ORDER = ["not_lifted", "inside", "too_warm", "too_light", "past_limit"];
const PATTERNS = { too_warm: "url(#too-warm)", too_light: "url(#too-light)" };
const codeOf = (span) => span.place_code.code.split(".").pop();
const bar = (code, place) => svg("rect", { class: `place ${code}`, fill: PATTERNS[code], ...place });

// Bars of one time line up to `end`, along x, `height` high from y on.
export function bars(spans, x, y, height, end) {
  return spans
    .filter((span) => span.starts < end)
    .map((span) =>
      bar(codeOf(span), {
        x: x(span.starts), y, height,
        width: Math.max(x(Math.min(span.ends, end)) - x(span.starts), 0.5),
      }),
    );
}

// What the bars mean, below them: the places that occur up to `end`, in the order of time.
export function placeKey(target, lines, end) {
  const names = new Map();
  for (const span of lines.flat()) if (span.starts < end) names.set(codeOf(span), span.place);
  target.replaceChildren(
    ...ORDER.filter((code) => names.has(code)).map((code) =>
      el(
        "li",
        {},
        svg("svg", { width: 22, height: 12, "aria-hidden": true },
          bar(code, { x: 0.5, y: 0.5, width: 21, height: 11 })),
        names.get(code),
      ),
    ),
  );
}
