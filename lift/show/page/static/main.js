// The page: visits and their steps, its look, its connection, and what keeps it alive offline.

import { isConnected, onConnection } from "./ask.js";
import { byId, el, tell } from "./dom.js";
import { startExact } from "./exact.js";
import { startSteps } from "./steps.js";
import { keep, kept } from "./store.js";
import { showTaught, startTaught } from "./taught.js";
import { howKept, onVisit, settle } from "./visit.js";
import { showVisits, startVisits } from "./visits.js";
import { say } from "./words.js";

const THEME = "lift.theme";

function look(theme) {
  if (theme === "auto") delete document.documentElement.dataset.theme;
  else document.documentElement.dataset.theme = theme;
  byId("theme").value = theme;
}

function startLook() {
  look(kept(THEME, "auto"));
  byId("theme").addEventListener("change", (event) => {
    look(event.target.value);
    keep(THEME, event.target.value);
  });
}

function showLink() {
  tell("link", isConnected() ? "" : say("no_connection"));
}

// How the visit is kept, told only where it is not as one would expect.
function showKept({ visit, errors }) {
  tell("whose", visit ? say("visits.of", { client: visit.visit.client }) : "");
  const how = howKept();
  const target = byId("saved");
  if (target.dataset.how === how && how !== "refused") return;
  target.dataset.how = how;
  const waits = how === "here" && isConnected();
  const what = errors.map((error) => error.message).join("; ");
  target.textContent = how === "kept" || waits ? "" : say(`kept.${how}`, { what });
  if (how !== "newer") return;
  const choose = (mine, code) => {
    const button = el("button", { type: "button" }, say(code));
    button.addEventListener("click", () => settle(mine));
    return button;
  };
  target.append(" ", choose(false, "kept.theirs"), choose(true, "kept.mine"));
}

async function keepOffline() {
  if (!("serviceWorker" in navigator)) return;
  const policy = window.trustedTypes?.createPolicy("lift", { createScriptURL: () => "/sw.js" });
  const address = policy ? policy.createScriptURL("") : "/sw.js";
  await navigator.serviceWorker.register(address, { scope: "/", updateViaCache: "none" });
}

async function start() {
  startLook();
  startExact();
  onConnection(showLink);
  onVisit(showKept);
  startVisits();
  startTaught();
  // The list of visits need not wait for these.
  const steps = Promise.all([
    import("./hair.js"),
    import("./wish.js"),
    import("./use.js"),
    import("./clock.js"),
    import("./tone.js"),
    import("./after.js"),
  ]);
  await startSteps(steps, () => {
    showVisits();
    showTaught();
  });
  await steps;
  document.documentElement.dataset.ready = "yes";
  keepOffline().catch(() => {});
}

start();
