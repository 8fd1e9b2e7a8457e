// Asking the server: one question at a time, always the newest.

import { say } from "./words.js";

export class Refused extends Error {
  constructor(status, errors) {
    super(errors.map((e) => e.message).join("; "));
    this.status = status;
    this.errors = errors;
  }
}

export class Offline extends Error {}

export async function ask(url, { method = "GET", body, file, signal, waited } = {}) {
  // A file goes as it is, with its own type.
  const options = { method, signal, headers: {}, body: file };
  if (body !== undefined) {
    options.body = JSON.stringify(body);
    options.headers["Content-Type"] = "application/json";
  }
  let reply;
  try {
    reply = await fetch(url, options);
  } catch (error) {
    if (error.name === "AbortError") throw error;
    heard(false);
    throw new Offline(say("no_server"));
  }
  heard(true);
  if (waited) waited(waitIn(reply.headers.get("Server-Timing")));
  let answer = null;
  try {
    answer = await reply.json();
  } catch {
    throw new Refused(reply.status, [{ field: "", message: say("unreadable", { status: reply.status }) }]);
  }
  if (!reply.ok) {
    if (reply.status === 401) location.assign("/pair");
    throw new Refused(reply.status, answer.errors ?? []);
  }
  return answer;
}

// How long the server let a question wait for those of others, in ms.
function waitIn(timing) {
  return Number(/\bwait;dur=([\d.]+)/.exec(timing ?? "")?.[1] ?? 0);
}

const KNOCK_MS = 2000;
const listeners = new Set();
let connected = true;

function heard(now) {
  if (now === connected) return;
  connected = now;
  for (const listener of listeners) listener(now);
  if (!now) knock();
}

// A lost connection is tried again by itself.
function knock() {
  setTimeout(() => ask("/healthz").catch(() => !connected && knock()), KNOCK_MS);
}

export const isConnected = () => connected;
export const onConnection = (listener) => listeners.add(listener);

const QUEUED_MS = 15;
const LONGEST_PAUSE_MS = 4000;
const STUCK_MS = 2000;

// Pause after an answer that took so long, of which it waited so long for others: of many who ask
// at once each then asks so seldom that answers are quick again. One who is alone never pauses.
export function nextPause(pause, waited, took) {
  if (waited <= QUEUED_MS) return pause * 0.8;
  return Math.min(Math.max(pause * 1.5 + 10, took * 4), LONGEST_PAUSE_MS);
}

// Keeps one question under way and the newest waiting. Older ones are never asked, and an answer
// that comes after a newer one is never shown. When answers wait, because many ask at once, the
// pauses between questions grow too, so that the server is not asked more than it can answer.
export class Newest {
  constructor(askOne, show, fail) {
    this.askOne = askOne;
    this.show = show;
    this.fail = fail;
    this.waiting = null;
    this.running = null;
    this.serial = 0;
    this.shown = 0;
    this.pause = 0;
    this.readyAt = 0;
    this.timer = 0;
  }

  want(question) {
    this.waiting = { question, serial: ++this.serial };
    if (this.running && performance.now() - this.running.at > STUCK_MS) this.running.stop.abort();
    this.next();
  }

  next() {
    if (this.running || !this.waiting || this.timer) return;
    const delay = this.readyAt - performance.now();
    if (delay > 0) {
      this.timer = setTimeout(() => {
        this.timer = 0;
        this.next();
      }, delay);
      return;
    }
    this.run(this.waiting);
  }

  async run({ question, serial }) {
    this.waiting = null;
    const running = { at: performance.now(), stop: new AbortController(), waited: 0 };
    this.running = running;
    try {
      const answer = await this.askOne(question, {
        signal: running.stop.signal,
        waited: (ms) => (running.waited = ms),
      });
      if (serial > this.shown) {
        this.shown = serial;
        this.show(answer, question, !this.waiting);
      }
    } catch (error) {
      if (error.name !== "AbortError" && serial > this.shown && !this.waiting) this.fail(error);
    } finally {
      const now = performance.now();
      // One that was given up was never told its wait, and has waited long enough.
      this.pause = running.stop.signal.aborted
        ? nextPause(this.pause, Infinity, QUEUED_MS)
        : nextPause(this.pause, running.waited, now - running.at);
      this.readyAt = now + (this.pause < 2 ? 0 : this.pause);
      this.running = null;
      this.next();
    }
  }
}
