// A colour from a photograph: one sheet asks for the picture, for the chart's corners and for the hair, one
// thing at a time, and gives back what was measured. The picture goes to the page's own server and is
// not kept, unless that is ticked.

import { ask } from "./ask.js";
import { byId, el, list, tell } from "./dom.js";
import { drawLocks } from "./lock.js";
import { Board } from "./photoboard.js";
import { drawTaken } from "./phototaken.js";
import { visitNow } from "./visit.js";
import { say } from "./words.js";

const CORNERS = ["brown", "turquoise", "black", "white"];
const BOX = ["one", "two", "three", "four"];
const PARTS = ["take", "mark", "result"];

let board = null;
let asked = null;
let file = null;
let bitmap = null;
let got = null;
let stop = null;
const keeping = new Set();

// Calls `then` when a picture was kept with the visit.
export const onKept = (then) => keeping.add(then);

const typed = (places) => places.map((place) => place.join(",")).join(" ");

function query(more = {}) {
  const { chart, hair } = board.places;
  return new URLSearchParams({ chart: typed(chart), hair: typed(hair), ...more });
}

function part(name) {
  for (const each of PARTS) byId(`photo-${each}`).hidden = each !== name;
  byId("photo-title").focus({ preventScroll: true });
  byId("photo").scrollTo(0, 0);
}

function close() {
  stop?.abort();
  stop = null;
  bitmap?.close();
  [asked, file, bitmap, got] = [null, null, null, null];
}

function take() {
  tell("photo-error", "");
  for (const id of ["photo-camera", "photo-file"]) byId(id).value = "";
  part("take");
}

// What is to be done next, with the corner that is meant.
function todo() {
  const { kind, now, isWhole } = board;
  byId("photo-next").hidden = !isWhole;
  byId("photo-place").dataset.corner = String(now.length);
  byId("photo-place").toggleAttribute("hidden", kind !== "chart");
  tell("photo-next", say(kind === "chart" ? "photo.fits" : "photo.measure"));
  if (kind === "hair") tell("photo-todo", say(isWhole ? "photo.todo.hair_whole" : "photo.todo.hair"));
  else tell("photo-todo", say(isWhole ? "photo.todo.chart_whole" : `photo.todo.${CORNERS[now.length]}`));
}

// The longest of what may be asked keeps its room, so that the picture stands still under the finger.
function keepRoom() {
  const all = [...CORNERS, "chart_whole", "hair", "hair_whole"].map((each) => say(`photo.todo.${each}`));
  tell("photo-room", all.reduce((long, each) => (each.length > long.length ? each : long)));
}

function mark(kind) {
  part("mark");
  board.ask(kind);
  board.fit();
  todo();
}

async function opened(chosen) {
  if (!chosen) return;
  file = chosen;
  const { kinds, most } = byId("photo").dataset;
  try {
    if (!kinds.split(" ").includes(file.type)) throw new Error(say("photo.kind"));
    if (file.size > Number(most)) throw new Error(say("photo.large", { size: Math.round(most / 1e6) }));
    bitmap?.close();
    bitmap = await createImageBitmap(file).catch(() => { throw new Error(say("photo.unshown")); });
  } catch (error) {
    take();
    tell("photo-error", error.message);
    return;
  }
  part("mark");
  board.show(bitmap);
  mark("chart");
}

async function measure() {
  part("result");
  got = null;
  tell("photo-words", say("photo.measuring"));
  tell("photo-refused", "");
  byId("photo-found").hidden = true;
  byId("photo-use").hidden = true;
  stop = new AbortController();
  try {
    got = await ask(`/api/measure?${query({ shown: "true" })}`, { method: "POST", file, signal: stop.signal });
    show();
  } catch (error) {
    if (error.name === "AbortError") return;
    tell("photo-words", "");
    tell("photo-refused", error.message);
  }
}

function show() {
  const { answer, shown } = got;
  tell("photo-words", shown.words);
  list(byId("photo-warnings"), answer.warnings);
  list(byId("photo-exact"), shown.exact);
  tell("photo-left-out", shown.left_out);
  drawLocks(byId("photo-locks"), shown.locks);
  byId("photo-found").hidden = false;
  byId("photo-use").hidden = false;
  drawTaken(byId("photo-taken"), bitmap, shown.taken, board.places.hair);
}

// What was measured is used once the picture is kept, where it is to be.
async function use() {
  const box = byId("photo-keep");
  if (box.checked) {
    try {
      const url = `/api/visits/${encodeURIComponent(visitNow().visit.name)}/pictures`;
      await ask(`${url}?${query({ zone: asked.zone })}`, { method: "POST", file });
      for (const then of keeping) then();
    } catch (error) {
      box.checked = false;
      tell("photo-refused", say("photo.not_kept", { why: error.message }));
      return;
    }
  }
  const { then } = asked;
  const { answer, shown } = got;
  byId("photo").close();
  then({ seen: shown.seen, colour: shown.colour, level: answer.level, lab: answer.lab });
}

function start() {
  const names = { chart: CORNERS.map((each) => say(`photo.corner.${each}`)), hair: BOX.map((each) => say(`photo.box.${each}`)) };
  board = new Board(byId("photo-board"), { names, onchange: todo });
  keepRoom();
  const press = (id, then) => byId(id).addEventListener("click", then);
  for (const id of ["photo-camera", "photo-file"]) byId(id).addEventListener("change", ({ target }) => opened(target.files[0]));
  press("photo-next", () => (board.kind === "chart" ? mark("hair") : measure()));
  press("photo-use", use);
  press("photo-mend-hair", () => mark("hair"));
  press("photo-mend-chart", () => mark("chart"));
  for (const id of ["photo-again", "photo-again-mark"]) press(id, take);
  press("photo-leave", () => byId("photo").close());
  byId("photo").addEventListener("close", close);
  addEventListener("hashchange", () => byId("photo").close());
}

// Asks for a photograph of the hair of a zone. `then` gets `seen`, as a visit has it, with standard
// deviations; `colour` and `lab`, L*, a*, b* alone; and the `level` of natural hair as light.
export function askPhoto(zone, then) {
  if (!board) start();
  asked = { zone, then };
  tell("photo-title", say("photo.title", { zone }));
  byId("photo-keep").checked = false;
  byId("photo").showModal();
  take();
}

// A button that asks for one; `zoneOf` names the zone at the time that it is pressed.
export function photoButton(zoneOf, then) {
  const button = el("button", { type: "button", class: "photo-button" }, say("photo.button"));
  button.addEventListener("click", () => askPhoto(zoneOf(), then));
  return button;
}
