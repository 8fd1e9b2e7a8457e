// Step: the wish. What each zone is to become is picked on drawn locks, and shown beside what it is.

import { byId, tell } from "./dom.js";
import { drawLocks } from "./lock.js";
import { addStep } from "./steps.js";
import { answerNow, errorsNow, visitNow, zoneNamed } from "./visit.js";
import { showWish, startWish } from "./wished.js";
import { say } from "./words.js";
import { isStale, shownOf, zoneList } from "./zonelist.js";

const NAMED = /^zones\[(\d+)\]\.goal/;
let chosen = null;
let begun = false;

// The zones as a list, each as it is and as it is wanted.
function showList({ visit, answer, errors }) {
  const rows = visit.zones.map((zone, i) => {
    const shown = shownOf(zone, answer);
    return {
      name: zone.name,
      shades: shown ? [shown.locks[0], ...shown.wanted.slice(-1)].map((lock) => lock.shades) : [],
      words: shown?.wish ?? "",
      stale: isStale(zone, answer, ["goal"]),
      refused: errors.some(({ field }) => Number(NAMED.exec(field)?.[1] ?? -1) === i),
    };
  });
  zoneList(byId("wish-zones"), rows, chosen, choose);
}

function choose(name) {
  chosen = name;
  show({ visit: visitNow(), answer: answerNow(), errors: errorsNow() });
  const calm = matchMedia("(prefers-reduced-motion: reduce)").matches;
  byId("wish-zone").focus({ preventScroll: true });
  byId("wish-sheet").scrollIntoView({ behavior: calm ? "auto" : "smooth", block: "start" });
}

const unsaid = (visit) => visit.zones.filter((zone) => !zone.goal);

function showTodo(visit) {
  const [first] = unsaid(visit);
  if (!visit.zones.length) tell("wish-todo", say("wish.no_zone"));
  else tell("wish-todo", first ? say("wish.todo", { name: first.name }) : say("wish.done"));
}

function show({ visit, answer, errors }) {
  showTodo(visit);
  showList({ visit, answer, errors });
  const index = visit.zones.findIndex((zone) => zone.name === chosen);
  const zone = visit.zones[index];
  byId("wish-sheet").hidden = !zone;
  const own = errors.filter(({ field }) => Number(NAMED.exec(field)?.[1] ?? -1) === index);
  tell("wish-goal-error", own.map((error) => error.message).join("; "));
  tell("wish-error", errors.filter((error) => !own.includes(error)).map((error) => error.message).join("; "));
  if (!zone) return;
  tell("wish-zone", say("hair.title", { number: index + 1, name: zone.name }));
  const shown = shownOf(zone, answer);
  const stale = isStale(zone, answer, ["goal"]);
  drawLocks(byId("wish-locks"), shown ? [shown.locks[0], ...shown.wanted] : []);
  tell("wish-words", shown?.wish ?? "");
  for (const id of ["wish-locks", "wish-words"]) byId(id).classList.toggle("stale", stale);
  showWish(zone, visit.zones);
  const next = unsaid(visit).find((each) => each.name !== chosen);
  byId("wish-next").hidden = !next || !zone.goal;
  if (next) tell("wish-next", say("wish.next", { name: next.name }));
}

function begin() {
  startWish();
  byId("wish-next").addEventListener("click", () => choose(unsaid(visitNow()).find((each) => each.name !== chosen).name));
  begun = true;
}

addStep({
  id: "wish",
  enter() {
    if (!begun) begin();
    const { zones } = visitNow();
    if (!zoneNamed(chosen)) chosen = (unsaid(visitNow())[0] ?? zones[0])?.name ?? null;
  },
  show,
});
