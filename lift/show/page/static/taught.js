// One switch: whether the page answers from what visits taught. What answers rest on stands above
// every step as long as it does.

import { ask } from "./ask.js";
import { byId, tell } from "./dom.js";
import { keep, kept } from "./store.js";
import { say } from "./words.js";

const KEY = "lift.taught";

function draw({ on, can, visits, words, standing }) {
  const box = byId("taught-on");
  byId("taught").hidden = visits === 0 && !on;
  box.checked = on;
  box.disabled = !can && !on;
  tell("taught-words", words);
  tell("taught-standing", standing);
}

function take(taught) {
  draw(taught);
  keep(KEY, taught);
}

export async function showTaught() {
  tell("taught-error", "");
  try {
    take(await ask("/api/taught"));
  } catch {
    // What was told before stands.
  }
}

export function startTaught() {
  const before = kept(KEY);
  if (before) draw(before);
  showTaught();
  byId("taught-on").addEventListener("change", async ({ target }) => {
    const on = target.checked;
    tell("taught-error", "");
    tell("taught-words", say("working"));
    try {
      take(await ask("/api/taught", { method: "PUT", body: { on } }));
    } catch (error) {
      await showTaught();
      tell("taught-error", error.message);
    }
  });
}
