// One switch for exact values, which stays as it was left.

import { byId } from "./dom.js";

const KEY = "lift.exact";

function read() {
  try {
    return localStorage.getItem(KEY) === "true";
  } catch {
    return false;
  }
}

export const isExact = () => document.documentElement.dataset.exact === "true";

export function startExact() {
  const box = byId("exact");
  const set = (on) => {
    document.documentElement.dataset.exact = String(on);
    box.checked = on;
  };
  set(read());
  box.addEventListener("change", () => {
    set(box.checked);
    try {
      localStorage.setItem(KEY, String(box.checked));
    } catch {
      // It stays for as long as the page does.
    }
  });
}
