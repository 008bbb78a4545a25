/* <unsent-problems>: what keeps entries from arriving, in words, with a way out of each. */
import { data, opened, store } from "./store.js";

function element(tag, className, text = "") {
  const made = document.createElement(tag);
  made.className = className;
  made.textContent = text;
  return made;
}

function nameOf(entry) {
  const line = (data.lines ?? []).find((one) => one.uid === entry.body.prescription);
  if (entry.body.kind === "weight") return "Body weight";
  if (entry.body.kind === "session") return entry.body.session_name || "Session";
  return `${line?.name ?? entry.body.session_name ?? "A set"}, set ${entry.body.number}`;
}

class UnsentProblems extends HTMLElement {
  #shown = "";

  async connectedCallback() {
    await opened;
    store.addEventListener("changed", this.#paint);
    this.#paint();
  }

  disconnectedCallback() {
    store.removeEventListener("changed", this.#paint);
  }

  #paint = () => {
    const refused = store.entries.filter((entry) => entry.refused);
    const key = JSON.stringify([store.state === "signed-out", refused.map((one) => [one.key, one.refused])]);
    if (key === this.#shown) return;
    this.#shown = key;
    const parts = refused.map((entry) => this.#refusal(entry));
    if (store.state === "signed-out") parts.unshift(this.#signIn());
    if (!store.keeps) parts.unshift(this.#keepsNothing());
    this.replaceChildren(...parts);
  };

  #box(title, text) {
    const box = element("section", "caution");
    box.append(element("h3", "", title), element("p", "", text));
    return box;
  }

  #signIn() {
    const box = this.#box("Sign in again", "Everything is kept on this phone and is sent as soon as you are signed in.");
    const link = element("a", "button is-primary", "Sign in");
    link.href = data.today_url;
    box.append(link);
    return box;
  }

  #keepsNothing() {
    return this.#box(
      "This browser keeps nothing",
      "Stay on this page until every set has arrived; a private window forgets what was not sent.",
    );
  }

  #refusal(entry) {
    const box = this.#box(`${nameOf(entry)} was not accepted`, entry.refused);
    const row = element("div", "button-row");
    const away = element("button", "button is-quiet", "Throw it away");
    away.type = "button";
    away.addEventListener("click", () => store.throwAway(entry));
    if ((data.lines ?? []).some((line) => line.uid === entry.body.prescription)) {
      const correct = element("button", "button", "Correct it");
      correct.type = "button";
      correct.addEventListener("click", () => document.querySelector("today-session")?.correct(entry.uid));
      row.append(correct);
    }
    row.append(away);
    box.append(row);
    return box;
  }
}

customElements.define("unsent-problems", UnsentProblems);
