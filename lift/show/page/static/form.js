// Errors of a form, each beside its field.

import { byId } from "./dom.js";

export function showErrors(errors, names) {
  for (const name of names) {
    const line = byId(`${name}-error`);
    const found = errors.find((e) => e.field === name);
    if (line) line.textContent = found ? found.message : "";
    for (const input of document.querySelectorAll(`[aria-describedby~="${name}-error"]`)) {
      if (found) input.setAttribute("aria-invalid", "true");
      else input.removeAttribute("aria-invalid");
    }
  }
  return errors.filter((e) => !names.includes(e.field));
}
