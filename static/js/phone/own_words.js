/* <own-words>: a word to the coach, into the outbox like a set; shown until the page itself holds it. */
import { word } from "./entries.js";
import { FollowsStore } from "./follows_store.js";
import { part } from "./parts.js";
import { opened, store } from "./store.js";

class OwnWords extends FollowsStore {
  async connectedCallback() {
    this.form = this.querySelector("form");
    this.form.addEventListener("submit", this.#onSubmit);
    await super.connectedCallback();
  }

  disconnectedCallback() {
    this.form.removeEventListener("submit", this.#onSubmit);
    super.disconnectedCallback();
  }

  paint() {
    const isNew = ({ uid, body }) =>
      body.kind === "word" && !body.removed && !document.querySelector(`[data-word="${CSS.escape(uid)}"]`);
    const unsent = store.entries.filter(isNew).map((one) => this.#line(one, "Saved here, not with your coach yet"));
    const here = new Set(store.entries.map((one) => one.uid));
    const kept = store.kept.filter((one) => isNew(one) && !here.has(one.uid));
    kept.sort((a, b) => a.at - b.at);
    const lines = [...kept.map((one) => this.#line(one, "With your coach")), ...unsent];
    this.querySelector("ol").replaceChildren(...lines.reverse());
  }

  #line({ uid, body }, state) {
    const item = part("li", "");
    const box = part("article", "word is-client", { "data-mine": uid });
    box.append(part("p", "", {}, body.text), part("p", "soft small", {}, state));
    item.append(box);
    return item;
  }

  #onSubmit = async (event) => {
    event.preventDefault();
    const field = this.form.elements.text;
    const text = field.value.trim();
    if (!text) {
      field.focus();
      return;
    }
    await opened;
    await store.save(word(null, { text }));
    field.value = "";
    field.focus();
  };
}

customElements.define("own-words", OwnWords);
