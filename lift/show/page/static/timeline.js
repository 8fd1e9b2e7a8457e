// Warmth against time, with its band, its limit, and when to rinse or which levels are passed, on the
// axis of the lock above.

import { el, minutes, svg } from "./dom.js";
import { bars, placeKey } from "./places.js";
import { say } from "./words.js";

// The middle of a slider's thumb runs from half a thumb to half a thumb.
const THUMB = 16;
const FOOT = 26;
const HEAD = 34;
const BAR = 11;

export function timeScale(width, span) {
  const inner = width - THUMB;
  return { width, span, x: (t) => THUMB / 2 + (inner * Math.min(t, span)) / span };
}

function ticks(span) {
  const step = [1, 2, 5, 10].find((each) => span / each <= 15) ?? span / 12;
  return Array.from({ length: Math.floor(span / step) + 1 }, (_, i) => i * step);
}

const line = (points) => points.map(([x, y], i) => `${i ? "L" : "M"}${x} ${y}`).join("");

function niceStep(range) {
  return [1, 2, 5, 10, 20, 50].find((step) => range / step <= 6) ?? 100;
}

const rounded = (t) => t.toFixed(1);

// When to rinse, in a few words.
export const rinseWords = (win) =>
  say("line.rinse", {
    first: rounded(win.rinse_from), best: rounded(win.best_minutes), last: rounded(win.rinse_until),
  });

const title = (words) => svg("text", { class: "strong", x: 8, y: 14 }, words);

// When to rinse, shaded, from the first good minute to the last, and the best of them.
function drawRinse(win, { x, span, width }, foot) {
  if (!win.p_best || win.rinse_from >= span) return [title(say("line.no_window"))];
  const [from, best, to] = [win.rinse_from, win.best_minutes, win.rinse_until].map((t) => x(t));
  return [
    svg("rect", { class: "window", x: from, y: HEAD, width: Math.max(to - from, 1), height: foot - HEAD }),
    svg("path", {
      class: "window-edge",
      d: `M${from} ${HEAD}V${foot}${win.rinse_until <= span ? `M${to} ${HEAD}V${foot}` : ""}`,
    }),
    ...(win.best_minutes <= span
      ? [svg("path", { class: "best", d: `M${best} ${HEAD}V${foot}` })]
      : []),
    svg(
      "text",
      { class: "ink", y: 14, x: Math.min(Math.max((from + to) / 2, 112), width - 112), "text-anchor": "middle" },
      rinseWords(win),
    ),
  ];
}

// Where the expected strand passes a level, and which; numbers that would run together are left out.
function drawPassed(passes, { x, span }, foot) {
  const passed = passes.filter((p) => p.minutes !== null && p.minutes <= span);
  if (!passed.length) return [title(say("line.passes.none"))];
  let last = -Infinity;
  return [
    title(say("line.passes")),
    ...passed.flatMap(({ level, minutes: at }) => {
      const here = x(at);
      const room = here - last >= 18;
      if (room) last = here;
      return [
        svg("path", { class: "window-edge", d: `M${here} ${HEAD}V${foot}` }),
        ...(room ? [svg("text", { class: "ink", x: here, y: HEAD - 4, "text-anchor": "middle" }, String(level))] : []),
      ];
    }),
  ];
}

// `key` gets the names of the places, `caption` what the line means.
export function drawWarmth(target, key, caption, scale, answer) {
  const { curve, window: win, at } = answer;
  const { width, span, x } = scale;
  const height = target.clientHeight || 240;
  target.setAttribute("viewBox", `0 0 ${width} ${height}`);
  const seen = curve.minutes.map((t, i) => i).filter((i) => i === 0 || curve.minutes[i - 1] < span);
  const limit = win?.warmth_limit ?? null;
  const top = Math.max(limit ?? 0, ...seen.map((i) => curve.warmth_high[i])) * 1.08 + 0.5;
  const lows = [curve.warmth_low, curve.blend_warmth ?? curve.warmth_low];
  const bottom = Math.min(0, ...seen.flatMap((i) => lows.map((low) => low[i]))) - 0.3;
  const y = (v) => HEAD + ((top - v) / (top - bottom)) * (height - HEAD - FOOT);
  const along = (values) => seen.map((i) => [x(curve.minutes[i]), y(values[i])]);
  const places = win?.time_line ?? [];
  const parts = bars(places, x, HEAD - BAR - 1, BAR, span);
  placeKey(key, [places], span);

  const step = niceStep(top - bottom);
  for (let v = Math.ceil(bottom / step) * step; v <= top; v += step) {
    parts.push(svg("path", { class: "grid", d: `M0 ${y(v)}H${width}` }));
    // A number on the top line would stand on the bars above it.
    if (y(v) > HEAD + 12) parts.push(svg("text", { class: "exact", x: 2, y: y(v) - 3 }, String(v)));
  }
  const foot = height - FOOT;
  parts.push(...(win ? drawRinse(win, scale, foot) : drawPassed(answer.passes, scale, foot)));
  caption.replaceChildren(
    say(win ? "line.key" : "line.key.open"), el("span", { class: "exact" }, ` ${say("line.key.exact")}`),
  );
  const up = along(curve.warmth_high);
  const down = along(curve.warmth_low).reverse();
  parts.push(
    svg("path", { class: "band", d: `${line([...up, ...down])}Z` }),
    svg("path", { class: "curve", d: line(along(curve.warmth)) }),
    ...(curve.blend_warmth ? [svg("path", { class: "blend", d: line(along(curve.blend_warmth)) })] : []),
    ...(limit === null ? [] : [
      svg("path", { class: "limit", d: `M0 ${y(limit)}H${width}` }),
      svg(
        "text",
        { class: "ink", x: width - 6, y: y(limit) - 5, "text-anchor": "end" },
        say("line.limit"),
        svg("tspan", { class: "exact" }, ` ${say("line.limit.exact", { limit: limit.toFixed(1) })}`),
      ),
    ]),
    svg("path", { class: "axis", d: `M${x(0)} ${height - FOOT}H${x(span)}` }),
  );
  ticks(span).forEach((t, i, all) => {
    const tall = i % 5 === 0 || all.length < 8;
    parts.push(
      svg("path", { class: "axis", d: `M${x(t)} ${height - FOOT}v${tall ? 7 : 4}` }),
    );
    const room = width / all.length;
    const every = room < 14 ? 5 : room < 34 ? 2 : 1;
    if (i % every === 0) {
      const anchor = i === 0 ? "start" : i === all.length - 1 ? "end" : "middle";
      const at = i === 0 ? 0 : i === all.length - 1 ? width : x(t);
      parts.push(
        svg("text", { x: at, y: height - 5, "text-anchor": anchor }, i === 0 ? minutes(0) : String(t)),
      );
    }
  });
  if (at.minutes <= span) {
    const here = x(at.minutes);
    parts.push(
      svg("path", { class: "now", d: `M${here} ${HEAD - BAR - 4}V${height - FOOT}` }),
      svg("circle", { class: "dot", cx: here, cy: y(at.warmth.median), r: 6 }),
    );
  }
  target.replaceChildren(...parts);
  target.setAttribute(
    "aria-label",
    say(limit === null ? "line.about.free" : "line.about", {
      warmth: at.warmth.median.toFixed(1), at: minutes(at.minutes), limit: limit?.toFixed(1),
    }),
  );
}
