/* <unsent-problems>: what keeps entries from arriving, in words, with a way out of each. */
import { FollowsStore } from "./follows_store.js";
import { element } from "./made_elements.js";
import { data, store } from "./store.js";
import { nameOf } from "./unsent_words.js";

class UnsentProblems extends FollowsStore {
  #shown = "";

  paint() {
    const refused = store.mine.filter((entry) => entry.refused);
    const key = JSON.stringify([store.state === "signed-out", refused.map((one) => [one.key, one.refused])]);
    if (key === this.#shown) return;
    this.#shown = key;
    const parts = refused.map((entry) => this.#refusal(entry));
    if (store.state === "signed-out") parts.unshift(this.#signIn());
    if (!store.keeps) parts.unshift(this.#keepsNothing());
    this.replaceChildren(...parts);
  }

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
    const name = nameOf(entry, data.lines ?? []);
    const box = this.#box(`${name} was not accepted`, entry.refused);
    const row = element("div", "button-row");
    const correct = () => document.querySelector("today-session")?.correct(entry.uid);
    if ((data.lines ?? []).some((line) => line.uid === entry.body.prescription)) {
      row.append(element("button", "button", "Correct it", correct));
    }
    const away = element("button", "button is-quiet", "Throw it away", () => this.#askOnce(entry, row));
    row.append(away);
    box.append(row);
    return box;
  }

  /* It is nowhere else: asked once, in the place of the button. */
  #askOnce(entry, row) {
    const before = [...row.childNodes];
    const back = () => {
      row.replaceChildren(...before);
      before.at(-1).focus();
    };
    const keep = element("button", "button is-primary", "Keep it", back);
    const away = element("button", "button", "Yes, throw it away", () => store.throwAway(entry));
    row.replaceChildren(element("span", "", "It is nowhere else. Throw it away?"), keep, away);
    keep.focus();
  }
}

customElements.define("unsent-problems", UnsentProblems);
