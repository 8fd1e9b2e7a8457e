// What this browser keeps for the page. Where it keeps nothing, because its store is full or
// forbidden, what is kept nowhere else lasts as long as the page does.

// What the server can be asked again. A full store makes room of it, in this order, but of what is of
// the same visit and of what the server lacks.
const AGAIN = ["lift.use", "lift.clock.", "lift.visit."];

const visitOf = (key) => key.slice(key.lastIndexOf(".") + 1);

function text(key) {
  try {
    return localStorage.getItem(key);
  } catch {
    return null;
  }
}

export function kept(key, otherwise = null) {
  const found = text(key);
  try {
    return JSON.parse(found) ?? otherwise;
  } catch {
    // An earlier page kept a word as it is.
    return typeof otherwise === "string" ? found : otherwise;
  }
}

function put(key, told) {
  try {
    localStorage.setItem(key, told);
    return true;
  } catch {
    return false;
  }
}

// Whether it is kept.
export function keep(key, value) {
  const told = JSON.stringify(value);
  const spare = (each) => visitOf(each) !== visitOf(key) && !kept(each)?.dirty;
  return put(key, told) || AGAIN.flatMap(keysOf).filter(spare).some((each) => {
    forget(each);
    return put(key, told);
  });
}

export function keysOf(prefix) {
  try {
    return Object.keys(localStorage).filter((key) => key.startsWith(prefix));
  } catch {
    return [];
  }
}

export function forget(key) {
  try {
    localStorage.removeItem(key);
  } catch {
    // Nothing is kept where nothing may be.
  }
}

// All that is kept of a visit: itself, its clock, what was worked out for it.
export function forgetVisit(name) {
  keysOf("lift.").filter((key) => visitOf(key) === name).forEach(forget);
}
