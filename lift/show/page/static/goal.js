// Goals as they are typed in a visit: taken apart for the form, and put together again. What is valid is
// the server's to say.

const NUMBER = String.raw`[-+]?(?:\d+\.?\d*|\.\d+)`;
const KEYED = new RegExp(String.raw`(?:^|\s)(warmth|tolerance)\s*=\s*(${NUMBER})\s*$`);
const LEVEL = new RegExp(`^${NUMBER}$`);
const LAB = new RegExp(String.raw`^${NUMBER}\s*,\s*${NUMBER}\s*,\s*${NUMBER}$`);
const BLONDE = /^(darkest|lightest) blonde of (.+)$/;
const INTENTS = ["blend", "lighten", "match", "tone"];

// Parts of a table of a goal, as an older file has it.
function ofTable({ match, ...goal }) {
  const [, which, zone] = BLONDE.exec(match ?? "") ?? [];
  const intent = match ? "blend" : goal.lab ? "match" : goal.level || goal.stage ? "lighten" : "blend";
  return { intent, ...(which && { which, zone }), ...goal, ...(goal.lab && { lab: goal.lab.join(",") }) };
}

// Intent and parts of a goal: `level`, `stage`, `lab`, or `which` blonde of a `zone`; `warmth` and
// `tolerance` as typed. Null where nothing was said.
export function readGoal(goal) {
  if (!goal) return null;
  if (typeof goal === "object") return ofTable(goal);
  if (goal === "leave") return { intent: "leave" };
  const found = {};
  let rest = goal.trim();
  for (let keyed; (keyed = KEYED.exec(rest)); rest = rest.slice(0, keyed.index).trim()) found[keyed[1]] = keyed[2];
  const [head] = rest.split(" ");
  const intent = INTENTS.includes(head) ? head : null;
  const what = (intent ? rest.slice(head.length) : rest).trim();
  const [, which, zone] = BLONDE.exec(what) ?? [];
  if (which) Object.assign(found, { which, zone });
  else if (LEVEL.test(what)) found.level = Number(what);
  else if (LAB.test(what)) found.lab = what.replaceAll(" ", "");
  else if (what && what !== "natural") found.stage = what;
  const meant = found.lab ? "match" : found.level || found.stage ? "lighten" : "blend";
  return { intent: intent ?? meant, ...found };
}

export function typeGoal({ intent, which, zone, level, stage, lab, warmth, tolerance }) {
  if (intent === "leave") return "leave";
  const what = zone ? [which, "blonde", "of", zone].join(" ") : (lab ?? stage ?? level);
  const keyed = { warmth, tolerance };
  const more = Object.keys(keyed).filter((key) => keyed[key]).map((key) => `${key}=${keyed[key]}`);
  return [intent, what, ...more].filter((part) => part !== undefined && part !== "").join(" ");
}

// Whether it says all that its intent needs: a match is of a colour, lightening goes to somewhere.
export const isWhole = ({ intent, lab, level, stage }) =>
  intent === "match" ? Boolean(lab) : intent === "lighten" ? level !== undefined || stage !== undefined : true;

// Whether a zone is to be toned and nothing else is wanted of it.
export const isTone = ({ goal }) => readGoal(goal)?.intent === "tone";
