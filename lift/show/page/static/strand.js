// Strand test: what was seen on a trial strand, and what it moves.

import { ask, Refused } from "./ask.js";
import { byId, cautions, el, list, tell, svg } from "./dom.js";
import { showErrors } from "./form.js";
import { keep, kept } from "./keep.js";
import { drawLocks } from "./lock.js";
import { typedQuestion, useStrand } from "./preview.js";
import { say } from "./words.js";

const NAMES = ["seen", "strand-rinse"];
let last = null;

function looks() {
  return [...byId("looks").children].map((row) =>
    [...row.querySelectorAll("input")].map((input) => input.value.trim()),
  );
}

const seen = () => looks().filter(([t, what]) => t || what).map(([t, what]) => `${t}:${what}`);

function addLook(minutes = "", what = "") {
  const number = byId("looks").children.length + 1;
  const row = el(
    "li",
    {},
    el("label", { for: `look-${number}-at` }, say("strand.after")),
    el("input", {
      id: `look-${number}-at`, class: "box", type: "text", inputmode: "decimal", maxlength: 12,
      autocomplete: "off", "aria-describedby": "seen-error",
    }),
    el("label", { for: `look-${number}-what` }, say("strand.seen")),
    el("input", {
      id: `look-${number}-what`, type: "text", maxlength: 40, autocomplete: "off",
      "aria-describedby": "seen-error",
    }),
  );
  const [at, of] = row.querySelectorAll("input");
  at.value = minutes;
  of.value = what;
  row.addEventListener("input", remember);
  byId("looks").append(row);
  return at;
}

function remember() {
  keep("strand", {
    looks: looks(),
    rinse: byId("strand-rinse").value,
    instrument: byId("strand-instrument").checked,
  });
  byId("strand-keep").disabled = !seen().length;
}

function body() {
  const asked = typedQuestion();
  delete asked.minutes;
  delete asked.strand;
  const rinse = byId("strand-rinse").value.trim();
  if (rinse) asked.minutes = rinse;
  return { asked, seen: seen(), instrument: byId("strand-instrument").checked };
}

function fail(error) {
  const errors = error instanceof Refused ? error.errors : [{ field: "", message: error.message }];
  const own = errors.map((e) => ({ ...e, field: e.field === "minutes" ? "strand-rinse" : e.field }));
  const rest = showErrors(own, NAMES);
  tell("strand-asked-error", rest.length ? rest[0].message : "");
}

function clear() {
  showErrors([], NAMES);
  tell("strand-asked-error", "");
}

async function run() {
  tell("strand-said", say("working"));
  try {
    last = await ask("/api/strand?shown=true", { method: "POST", body: body() });
    clear();
    draw();
  } catch (error) {
    fail(error);
  } finally {
    tell("strand-said", "");
  }
}

function draw() {
  const { answer, shown } = last;
  byId("strand-outcome").hidden = false;
  drawLocks(byId("strand-locks"), shown.locks);
  tell("strand-first-mix", shown.mix);
  tell("strand-first-next", shown.next);
  tell("strand-first-rinse", shown.rinse);
  tell("strand-first-tone", shown.tone);
  tell("strand-first-risk", shown.risk);
  tell("strand-before", shown.window_before);
  tell("strand-now", shown.window_now);
  list(byId("strand-seen"), shown.seen);
  list(byId("strand-moved"), shown.moved);
  list(byId("strand-look"), shown.look);
  list(byId("strand-fibres"), shown.fibres);
  cautions(byId("strand-cautions"), answer.cautions);
  drawGain(byId("strand-gain"), answer.next_look);
}

function drawGain(target, look) {
  const [width, height, foot] = [420, 150, 22];
  const { minutes, gain } = look.curve;
  const end = minutes[minutes.length - 1];
  const x = (t) => 4 + (t / end) * (width - 8);
  const y = (g) => 14 + (1 - g) * (height - foot - 14);
  const marks = [look.same?.tells && ["strand.best", look.same], look.ahead && ["strand.ahead", look.ahead]];
  target.setAttribute("viewBox", `0 0 ${width} ${height}`);
  target.replaceChildren(
    ...inTime(look, x, end, height - foot),
    ...[0, 0.5, 1].flatMap((g) => [
      svg("path", { class: "grid", d: `M0 ${y(g)}H${width}` }),
      svg("text", { x: 2, y: y(g) - 3 }, `${100 * g} %`),
    ]),
    ...[0, 15, 30, 45, 60].filter((t) => t <= end).map((t) =>
      svg("text", { x: x(t), y: height - 4, "text-anchor": t ? (t === end ? "end" : "middle") : "start" }, String(t)),
    ),
    svg("path", { class: "curve", d: minutes.map((t, i) => `${i ? "L" : "M"}${x(t)} ${y(gain[i])}`).join("") }),
    ...marks.filter(Boolean).flatMap(([code, { minutes: at, ahead }], i) => [
      svg("path", { class: "now", d: `M${x(at)} ${8 + 16 * i}V${height - foot}` }),
      svg(
        "text",
        { class: "strong", x: x(at) + (at > end / 2 ? -6 : 6), y: 18 + 16 * i, "text-anchor": at > end / 2 ? "end" : "start" },
        say(code, { best: at, ahead }),
      ),
    ]),
  );
}

// Times at which a look still serves: half a step wide to either side, so that one time shows, too.
function inTime(look, x, end, bottom) {
  if (!look.serves) return [];
  const [from, to] = [x(look.serves[0] - 0.25), x(Math.min(look.serves[1] + 0.25, end))];
  return [svg("rect", { class: "in-time", x: from, y: 0, width: to - from, height: bottom })];
}

async function showKept() {
  const { kept: any } = await ask("/api/strand/kept");
  byId("strand-forget").hidden = !any;
  useStrand(any, false);
}

export function startStrand() {
  const state = kept("strand", {});
  for (const [at, what] of state.looks?.length ? state.looks : [["", ""]]) addLook(at, what);
  byId("strand-rinse").value = state.rinse ?? "";
  byId("strand-instrument").checked = state.instrument ?? false;
  byId("strand-keep").disabled = !seen().length;
  byId("strand-form").addEventListener("submit", (event) => {
    event.preventDefault();
    run();
  });
  byId("strand-form").addEventListener("input", remember);
  byId("look-more").addEventListener("click", () => addLook().focus());
  byId("strand-keep").addEventListener("click", async () => {
    tell("strand-said", say("working"));
    try {
      await ask("/api/strand/kept", { method: "PUT", body: body() });
      clear();
      byId("strand-forget").hidden = false;
      useStrand(true, true);
      tell("strand-said", say("strand.used"));
    } catch (error) {
      tell("strand-said", "");
      fail(error);
    }
  });
  byId("strand-forget").addEventListener("click", async () => {
    await ask("/api/strand/kept", { method: "DELETE" });
    byId("strand-forget").hidden = true;
    useStrand(false, false);
    tell("strand-said", say("strand.forgotten"));
  });
  showKept().catch(() => {});
}
