/* Hands in what the outbox holds: one at a time, in order, forgotten only on the server's receipt. */
import { alone } from "./one_sender.js";
import { asSent, cookieValue, isClosed, keptOf, nextToSend, verdict, waitFor } from "./sending.js";

const PATIENCE = 10000;

export class Sender extends EventTarget {
  state = "idle";
  #attempt = 0;
  #timer = 0;
  #busy = false;
  #again = false;

  constructor(outbox, user, tokenUrl) {
    super();
    this.outbox = outbox;
    this.user = user;
    this.tokenUrl = tokenUrl;
  }

  /* Send on every occasion that may have brought the network back. */
  listen() {
    window.addEventListener("online", () => this.#soon(Math.random() * 2000));
    document.addEventListener("visibilitychange", () => {
      if (document.visibilityState === "visible") this.flush();
    });
    this.flush();
  }

  async flush() {
    if (this.#busy) {
      this.#again = true;
      return;
    }
    this.#busy = true;
    clearTimeout(this.#timer);
    try {
      do {
        this.#again = false;
        await alone(() => this.#sendAll());
      } while (this.#again && this.state === "idle");
    } finally {
      this.#busy = false;
    }
  }

  async #sendAll() {
    const closed = new Set();
    for (;;) {
      const entry = nextToSend((await this.outbox.all(this.user)).entries, closed);
      if (!entry) break;
      const answer = await this.#send(entry);
      if (answer.verdict === "kept") {
        this.#attempt = 0;
        await this.outbox.acknowledge(entry, keptOf(entry, answer.body));
        this.dispatchEvent(new CustomEvent("written", { detail: { entry, receipt: answer.body } }));
        this.#become("idle");
      } else if (answer.verdict === "refused") {
        await this.outbox.refuse(entry.uid, entry.revision, answer.body.error || "The server did not accept this.");
        this.dispatchEvent(new CustomEvent("written", { detail: { entry, receipt: null } }));
        this.#become("idle");
      } else if (answer.verdict === "signed-out") {
        this.#become("signed-out");
        return;
      } else if (isClosed(answer.status)) {
        closed.add(entry.url);
      } else {
        this.#later();
        return;
      }
    }
    if (closed.size) this.#later();
    else this.#become("idle");
  }

  #later() {
    this.#attempt += 1;
    this.#become("waiting");
    this.#soon(waitFor(this.#attempt));
  }

  async #send(entry, again = true) {
    const answer = await this.#post(entry);
    if (answer.verdict !== "token") return answer;
    if (!again) return { ...answer, verdict: "signed-out" };
    /* The token of an old cookie no longer fits: any page of ours brings a new one. */
    const found = await this.#ask(this.tokenUrl, { headers: { Accept: "application/json, text/html" } });
    return found ? this.#send(entry, false) : { verdict: "retry", status: 0, body: {} };
  }

  async #post(entry) {
    const answer = await this.#ask(entry.url, {
      method: "POST",
      headers: {
        Accept: "application/json",
        "Content-Type": "application/json",
        "X-CSRFToken": cookieValue(document.cookie, "csrftoken"),
      },
      body: JSON.stringify(asSent(entry)),
    });
    const { status, body } = answer ?? { status: 0, body: null };
    return { verdict: verdict(status, body, entry.uid), status, body: body ?? {} };
  }

  /* Patience is for the whole answer: one that stalls after its head would hold up every page of this browser. */
  async #ask(url, options) {
    const stop = new AbortController();
    const timer = setTimeout(() => stop.abort(), PATIENCE);
    try {
      const answer = await fetch(url, { ...options, redirect: "error", credentials: "same-origin", signal: stop.signal });
      return { status: answer.status, body: await answer.json().catch(() => null) };
    } catch {
      return null;
    } finally {
      clearTimeout(timer);
    }
  }

  #soon(wait) {
    clearTimeout(this.#timer);
    this.#timer = setTimeout(() => this.flush(), wait);
  }

  #become(state) {
    this.state = state;
    this.dispatchEvent(new CustomEvent("changed"));
  }
}
