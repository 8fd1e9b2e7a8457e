// The next visit: the day that is proposed and why, others beside it, and the one that is agreed.

import { ask, Newest } from "./ask.js";
import { byId, el, list } from "./dom.js";
import { change, visitNow } from "./visit.js";
import { say } from "./words.js";

// Proposed anew when nothing has been changed for so long.
const STILL_MS = 700;
const ARROWS = { ArrowRight: 1, ArrowDown: 1, ArrowLeft: -1, ArrowUp: -1 };

// A day as people here write it.
export function dayWords(day) {
  const [year, month, date] = day.split("-").map(Number);
  const words = { weekday: "short", day: "numeric", month: "short", year: "numeric" };
  return new Intl.DateTimeFormat(undefined, words).format(new Date(year, month - 1, date));
}

export class NextDate {
  #key = "";
  #got = null;
  #timer = 0;
  #asking = new Newest(
    ({ visit }, options) => ask("/api/next", { method: "POST", body: { visit }, ...options }),
    (got, { name }) => {
      this.#got = { name, ...got };
      if (visitNow()?.visit.name === name) this.#draw(visitNow());
    },
    () => this.#got || list(byId("after-why"), [say("after.unproposed")]),
  );

  constructor() {
    byId("after-date").addEventListener("change", ({ target }) => this.#agree(target.value));
    byId("after-dates").addEventListener("keydown", (event) => this.#arrow(event));
  }

  show(visit, key) {
    if (this.#got?.name !== visit.visit.name) this.#got = null;
    if (key !== this.#key) {
      this.#key = key;
      clearTimeout(this.#timer);
      const wait = this.#got ? STILL_MS : 0;
      this.#timer = setTimeout(() => this.#asking.want({ visit, name: visit.visit.name }), wait);
    }
    this.#draw(visit);
  }

  #agree(day) {
    change((visit) => { visit.visit.next = day || null; });
  }

  #arrow(event) {
    const by = ARROWS[event.key];
    if (!by) return;
    event.preventDefault();
    const all = [...byId("after-dates").children];
    const now = all.indexOf(document.activeElement);
    const to = all[(now + by + all.length) % all.length];
    to.focus();
    to.click();
  }

  #chip({ weeks, date }, agreed) {
    const checked = date === agreed;
    const proposed = weeks === this.#got.weeks;
    const chip = el(
      "button",
      { type: "button", role: "radio", "aria-checked": String(checked), class: "after-day" },
      el("strong", {}, say(weeks === 1 ? "after.week" : "after.weeks", { weeks })),
      el("span", {}, dayWords(date)),
      ...(proposed ? [el("span", { class: "after-proposed" }, say("after.proposed"))] : []),
    );
    chip.addEventListener("click", () => this.#agree(date));
    return chip;
  }

  #draw(visit) {
    const agreed = visit.visit.next;
    const target = byId("after-dates");
    const had = [...target.children].indexOf(document.activeElement);
    const offered = this.#got?.offered ?? [];
    const chips = offered.map((each) => this.#chip(each, agreed));
    const first = offered.findIndex(({ date }) => date === agreed);
    const proposed = offered.findIndex(({ weeks }) => weeks === this.#got.weeks);
    chips.forEach((chip, i) => chip.setAttribute("tabindex", i === (first < 0 ? proposed : first) ? "0" : "-1"));
    target.replaceChildren(...chips);
    if (had >= 0) chips[had]?.focus();
    list(byId("after-why"), this.#got ? this.#got.why : [say("after.proposing")]);
    byId("after-date").value = agreed ?? "";
    byId("after-calendar").disabled = !agreed;
  }
}
