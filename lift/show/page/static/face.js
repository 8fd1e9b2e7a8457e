// Face of the clock: how what comes next stands in time, and which presses are asked about. It says
// what the library's face says.

// `hands` and `ready` are minutes: what hands need, and from when on they get ready.
export function face(todo, now, { hands_minutes: hands, ready_minutes: ready }) {
  const shows = (state, minutes, counts) => ({ state, minutes, counts });
  if (todo.kind === "done") return shows("done", now, "since");
  if (todo.kind === "rinsing") return shows("now", todo.until - now, "left");
  const away = todo.at - now;
  if (away > 0) return shows(away <= ready ? "soon" : "wait", away, "until");
  if (todo.kind === "rinse") {
    const lateFrom = Math.max(todo.until, todo.at + hands);
    return now <= lateFrom ? shows("now", lateFrom - now, "left") : shows("late", now - todo.until, "over");
  }
  if (todo.kind === "look") return shows("now", todo.until - now, "left");
  const over = now - todo.doneBy;
  if (over < 0) return shows("now", -over, "left");
  const behind = over > hands && todo.kind !== "rinse_tone";
  return behind ? shows("late", over, "over") : shows("now", over, "since");
}

// By how many minutes a press comes too early to be taken unasked; 0 where it does not.
export function earlyBy(todo, now, { ready_minutes: ready }) {
  const ahead = todo.doneBy - now;
  return ahead > Math.max(ready, todo.lasts / 2) ? ahead : 0;
}
