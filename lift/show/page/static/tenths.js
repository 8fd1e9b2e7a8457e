// A share in tenths, picked from drawn strands of which so many are white.

import { el, svg } from "./dom.js";
import { say } from "./words.js";

const [WIDE, HIGH, OF] = [50, 44, 10];

// Ten fibres, the white ones among the others as they lie on a head.
const ORDER = [4, 8, 1, 6, 3, 9, 0, 5, 2, 7];

function fibres(white) {
  const paths = [];
  for (let i = 0; i < OF; i++) {
    const x = 4 + (i * (WIDE - 8)) / (OF - 1);
    const kind = ORDER.indexOf(i) < white ? "white-fibre" : "fibre";
    paths.push(svg("path", { class: kind, d: `M${x} 1q${i % 2 ? 2 : -2} ${HIGH / 2} 0 ${HIGH - 2}` }));
  }
  return svg("svg", { class: "fibres", viewBox: `0 0 ${WIDE} ${HIGH}`, "aria-hidden": "true" }, ...paths);
}

const said = (tenth) => (tenth ? say("tenths.some", { tenth }) : say("tenths.none"));

// Makes a picker in `target`; `onpick(percent)` tells what was tapped. Returns how to show another.
export function tenthsPicker(target, { label, value = 0, onpick = () => {} }) {
  let now = Math.round(value / OF);
  const buttons = Array.from({ length: OF + 1 }, (_, tenth) => {
    const button = el(
      "button",
      { type: "button", role: "radio", class: "tenth", "aria-label": said(tenth) },
      tenth ? fibres(tenth) : "", el("span", {}, tenth ? String(tenth) : said(0)),
    );
    button.addEventListener("click", () => pick(tenth));
    return button;
  });
  const group = el("div", { class: "tenths", role: "radiogroup", "aria-label": label }, ...buttons);
  group.addEventListener("keydown", (event) => {
    const by = { ArrowRight: 1, ArrowUp: 1, ArrowLeft: -1, ArrowDown: -1 }[event.key];
    if (!by) return;
    event.preventDefault();
    pick(Math.min(Math.max(now + by, 0), OF));
    buttons[now].focus();
  });
  target.replaceChildren(group);

  function show() {
    buttons.forEach((button, tenth) => {
      button.setAttribute("aria-checked", String(tenth === now));
      button.setAttribute("tabindex", tenth === now ? "0" : "-1");
    });
  }

  function pick(tenth) {
    now = tenth;
    show();
    onpick(tenth * OF);
  }

  show();
  return {
    set(percent) {
      now = Math.round(percent / OF);
      show();
    },
  };
}

export const tenthsSaid = (percent) =>
  percent % OF === 0 ? said(percent / OF) : say("tenths.percent", { percent });
