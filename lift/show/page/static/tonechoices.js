// One of several, tapped: real radio buttons by their keyboard and their names.

import { el } from "./dom.js";

const KEYS = { ArrowRight: 1, ArrowDown: 1, ArrowLeft: -1, ArrowUp: -1 };

function move(event, target) {
  const by = KEYS[event.key];
  if (by === undefined) return;
  event.preventDefault();
  const all = [...target.children];
  const next = all[(all.indexOf(document.activeElement) + by + all.length) % all.length];
  next.focus();
  next.click();
}

// `options` are {code, words, note}; `onpick(code)` is called when another one is tapped.
export function choices(target, options, picked, onpick) {
  const key = JSON.stringify([options, picked]);
  if (target.dataset.key === key) return;
  target.dataset.key = key;
  const had = target.contains(document.activeElement);
  const none = !options.some(({ code }) => code === picked);
  const buttons = options.map(({ code, words, note = "" }, i) => {
    const is = code === picked;
    const button = el(
      "button",
      { type: "button", role: "radio", "aria-checked": String(is), tabindex: is || (none && i === 0) ? "0" : "-1" },
      words, note ? el("span", { class: "tone-note" }, note) : "",
    );
    button.addEventListener("click", () => code !== picked && onpick(code));
    return button;
  });
  target.replaceChildren(...buttons);
  target.onkeydown = (event) => move(event, target);
  if (had) (buttons.find((each) => each.getAttribute("aria-checked") === "true") ?? buttons[0])?.focus();
}
