// The page: rooms, look, connection, and what keeps it alive offline.

import { isConnected, onConnection } from "./ask.js";
import { startClock } from "./clock.js";
import { byId, tell } from "./dom.js";
import { keep, kept, restore } from "./keep.js";
import { startPlan } from "./plan.js";
import { startPreview } from "./preview.js";
import { startRecord } from "./record.js";
import { startStrand } from "./strand.js";
import { say } from "./words.js";

const ROOMS = ["preview", "plan", "clock", "strand", "record"];

function enter(focus) {
  const name = location.hash.slice(1);
  const room = ROOMS.includes(name) ? name : "preview";
  for (const other of ROOMS) byId(`${other}-room`).hidden = other !== room;
  for (const link of document.querySelectorAll(".rooms a")) {
    if (link.hash === `#${room}`) link.setAttribute("aria-current", "page");
    else link.removeAttribute("aria-current");
  }
  document.title = say("title", { room: byId(`${room}-title`).textContent });
  if (focus) {
    byId("room").focus({ preventScroll: true });
    scrollTo(0, 0);
  }
}

function look(theme) {
  if (theme === "auto") delete document.documentElement.dataset.theme;
  else document.documentElement.dataset.theme = theme;
  byId("theme").value = theme;
}

function showLink() {
  tell("link", isConnected() ? "" : say("no_connection"));
}

async function keepOffline() {
  if (!("serviceWorker" in navigator)) return;
  const policy = window.trustedTypes?.createPolicy("lift", { createScriptURL: () => "/sw.js" });
  const address = policy ? policy.createScriptURL("") : "/sw.js";
  await navigator.serviceWorker.register(address, { scope: "/", updateViaCache: "none" });
}

async function start() {
  // The clock needs nobody: it runs before anything is asked.
  startClock();
  enter(false);
  await restore();
  look(kept("theme", "auto"));
  byId("theme").addEventListener("change", (event) => {
    look(event.target.value);
    keep("theme", event.target.value);
  });
  addEventListener("hashchange", () => enter(true));
  onConnection(showLink);
  startPreview();
  startPlan();
  startStrand();
  startRecord();
  document.documentElement.dataset.ready = "yes";
  keepOffline().catch(() => {});
}

start();
