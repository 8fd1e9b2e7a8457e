// Pictures that are kept with the visit: shown, and deleted one by one.

import { ask } from "./ask.js";
import { byId, el } from "./dom.js";
import { dayWords } from "./nextdate.js";
import { visitNow } from "./visit.js";
import { say } from "./words.js";

const addressOf = (name) => `/api/visits/${encodeURIComponent(name)}/pictures`;

function pictureOf(name, { number, zone, day, address }) {
  const words = say("photo.of", { zone, day: dayWords(day) });
  const button = el("button", { type: "button", "aria-label": say("photo.delete", { zone }) }, say("delete"));
  button.addEventListener("click", async () => {
    const { pictures } = await ask(`${addressOf(name)}?number=${number}`, { method: "DELETE" });
    draw(name, pictures);
  });
  return el("li", {}, el("img", { src: address, alt: words, loading: "lazy" }), el("p", {}, words), button);
}

function draw(name, pictures) {
  byId("after-pictures").hidden = pictures.length === 0;
  byId("after-kept").replaceChildren(...pictures.map((each) => pictureOf(name, each)));
}

export async function showPictures({ visit: { name } }) {
  byId("after-pictures").hidden = true;
  try {
    const { pictures } = await ask(addressOf(name));
    if (visitNow()?.visit.name === name) draw(name, pictures);
  } catch {
    // Without a connection there are none to show.
  }
}
