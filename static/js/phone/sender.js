/* Hands in what the outbox holds: one at a time, in order, forgotten only on the server's receipt. */
import { alone } from "./one_sender.js";
import { asSent, cookieValue, keptOf, nextToSend, verdict, waitFor } from "./sending.js";

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
    for (;;) {
      const entry = nextToSend((await this.outbox.all(this.user)).entries);
      if (!entry) {
        this.#become("idle");
        return;
      }
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
      } else {
        this.#attempt += 1;
        this.#become("waiting");
        this.#soon(waitFor(this.#attempt));
        return;
      }
    }
  }

  async #send(entry, again = true) {
    const answer = await this.#post(entry);
    if (answer.verdict !== "token") return answer;
    if (!again) return { ...answer, verdict: "signed-out" };
    /* The token of an old cookie no longer fits: any page of ours brings a new one. */
    const found = await this.#ask(this.tokenUrl, { headers: { Accept: "application/json, text/html" } });
    return found ? this.#send(entry, false) : { verdict: "retry", body: {} };
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
    if (!answer) return { verdict: "retry", body: {} };
    const body = await answer.json().catch(() => null);
    /* A receipt that names another entry is none: some box on the way answered for the server. */
    const isReceipt = answer.ok && body?.uid === entry.uid;
    const word = answer.ok && !isReceipt ? "retry" : verdict(answer.status);
    return { verdict: word, body: body ?? {} };
  }

  async #ask(url, options) {
    const stop = new AbortController();
    const timer = setTimeout(() => stop.abort(), PATIENCE);
    try {
      return await fetch(url, { ...options, redirect: "error", credentials: "same-origin", signal: stop.signal });
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
