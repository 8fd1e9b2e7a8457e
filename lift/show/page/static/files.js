// What is printed or sent: the card of a visit and its calendar entry, as files.

import { Offline } from "./ask.js";
import { byId, el, tell } from "./dom.js";
import { keep, kept } from "./store.js";
import { onVisit, visitNow } from "./visit.js";
import { say } from "./words.js";

const KEY = "lift.paper";
const LETTER = /-(US|CA|MX|PH|CO|VE|CL)$/;

const paperNow = () => kept(KEY, LETTER.test(navigator.language) ? "Letter" : "A4");

async function read(url) {
  let reply;
  try {
    reply = await fetch(url);
  } catch {
    throw new Offline(say("no_server"));
  }
  if (reply.ok) return reply.blob();
  const { errors } = await reply.json();
  throw new Error(errors.map((each) => each.message).join("; "));
}

// Fetched first, so that what is refused is told here. `send` hands it to whatever the device sends
// files with.
export async function saveOrSend(url, name, send = false) {
  tell("after-error", "");
  try {
    const blob = await read(url);
    const file = new File([blob], name, { type: blob.type });
    if (send && navigator.canShare?.({ files: [file] })) {
      await navigator.share({ files: [file] });
      return;
    }
    const link = el("a", { href: URL.createObjectURL(blob), download: name });
    link.click();
    setTimeout(() => URL.revokeObjectURL(link.href), 60000);
  } catch (error) {
    if (error.name !== "AbortError") tell("after-error", error.message);
  }
}

export function startFiles() {
  const paper = byId("after-paper");
  paper.value = paperNow();
  const address = (ending = "") => `/card/${visitNow().visit.name}${ending}?paper=${paper.value}`;
  const draw = () => visitNow() && byId("after-card").setAttribute("href", address());
  paper.addEventListener("change", () => {
    draw();
    keep(KEY, paper.value);
  });
  onVisit(draw);
  const save = (send) => saveOrSend(address(".pdf"), `${visitNow().visit.name}.pdf`, send);
  byId("after-pdf").addEventListener("click", () => save(false));
  byId("after-send").addEventListener("click", () => save(true));
  byId("after-send").hidden = !navigator.canShare;
}
