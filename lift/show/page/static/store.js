// What this browser keeps for the page. Where it keeps nothing, because its store is full or
// forbidden, what is kept nowhere else lasts as long as the page does.

export function kept(key, otherwise = null) {
  try {
    return JSON.parse(localStorage.getItem(key)) ?? otherwise;
  } catch {
    return otherwise;
  }
}

// Whether it is kept.
export function keep(key, value) {
  try {
    localStorage.setItem(key, JSON.stringify(value));
    return true;
  } catch {
    return false;
  }
}

export function forget(key) {
  try {
    localStorage.removeItem(key);
  } catch {
    // Nothing is kept where nothing may be.
  }
}
