// One switch for exact values, which stays as it was left.

import { byId } from "./dom.js";
import { keep, kept } from "./store.js";

const KEY = "lift.exact";

export const isExact = () => document.documentElement.dataset.exact === "true";

export function startExact() {
  const box = byId("exact");
  const set = (on) => {
    document.documentElement.dataset.exact = String(on);
    box.checked = on;
  };
  set(kept(KEY, false));
  box.addEventListener("change", () => {
    set(box.checked);
    keep(KEY, box.checked);
  });
}
