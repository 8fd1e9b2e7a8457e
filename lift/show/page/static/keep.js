// What is to be found again: at once in this browser, soon after on the server.

import { ask, onConnection } from "./ask.js";

const KEY = "lift.state";
const DELAY_MS = 700;
let state = { at: 0 };
let timer = 0;

function readLocal() {
  try {
    return JSON.parse(localStorage.getItem(KEY)) ?? { at: 0 };
  } catch {
    return { at: 0 };
  }
}

// The newer of the two copies counts: the server's, or that of a browser that was offline.
export async function restore() {
  state = readLocal();
  try {
    const { state: kept } = await ask("/api/state");
    if ((kept.at ?? 0) > state.at) state = kept;
  } catch {
    // The copy in the browser has to do.
  }
  return state;
}

export const kept = (name, otherwise) => state[name] ?? otherwise;

export function keep(name, value) {
  state = { ...state, [name]: value, at: Date.now() };
  try {
    localStorage.setItem(KEY, JSON.stringify(state));
  } catch {
    // A full or forbidden store: the server's copy has to do.
  }
  clearTimeout(timer);
  timer = setTimeout(send, DELAY_MS);
}

async function send() {
  try {
    await ask("/api/state", { method: "PUT", body: { state } });
  } catch {
    // Kept here; it is sent when the connection is back.
  }
}

onConnection((connected) => connected && send());

addEventListener("pagehide", () => {
  if (!timer) return;
  clearTimeout(timer);
  const body = new Blob([JSON.stringify({ state })], { type: "application/json" });
  fetch("/api/state", { method: "PUT", body, keepalive: true }).catch(() => {});
});
