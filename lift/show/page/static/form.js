// The question form: sliders and boxes that say the same, and errors beside their field.

import { byId } from "./dom.js";
import { named } from "./words.js";

const FIBRES = [
  [60, "fine"],
  [80, "medium"],
  [Infinity, "coarse"],
];

function spoken(slider) {
  const value = Number(slider.value);
  const unit = slider.dataset.unit ? ` ${slider.dataset.unit}` : "";
  const word = slider.id === "fibre" ? `, ${named("fibre", FIBRES.find(([end]) => value < end)[1])}` : "";
  return `${slider.value}${unit}${word}`;
}

// Ties a slider to its box, both ways; a box may hold what the slider cannot reach.
export function pair(slider, box, changed) {
  const speak = () => slider.setAttribute("aria-valuetext", spoken(slider));
  slider.addEventListener("input", () => {
    box.value = slider.value;
    speak();
    changed();
  });
  box.addEventListener("input", () => {
    if (box.value.trim() !== "" && Number.isFinite(Number(box.value))) slider.value = box.value;
    speak();
    changed();
  });
  speak();
  return () => {
    if (Number.isFinite(Number(box.value)) && box.value.trim() !== "") slider.value = box.value;
    speak();
  };
}

export const picked = (name) =>
  document.querySelector(`input[name="${name}"]:checked`)?.value ?? "";

// What a page of another version kept may be no choice any more; then the choice stays as it is.
export function pick(name, value) {
  const all = [...document.querySelectorAll(`input[name="${name}"]`)];
  if (!all.some((radio) => radio.value === value)) return;
  for (const radio of all) radio.checked = radio.value === value;
}

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
