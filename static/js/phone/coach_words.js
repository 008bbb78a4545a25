/* <coach-words>: what the coach wrote, told as seen; the answer goes into the outbox like a set. */
import { word } from "./entries.js";
import { cookieValue } from "./sending.js";
import { data, opened, store } from "./store.js";
import { answerNow, answerWords } from "./word_state.js";

class CoachWords extends HTMLElement {
  #filled = 0;

  async connectedCallback() {
    this.form = this.querySelector("form");
    document.addEventListener("visibilitychange", this.#tellSeen);
    window.addEventListener("online", this.#tellSeen);
    this.#tellSeen();
    await opened;
    if (!this.form) return;
    this.form.addEventListener("submit", this.#onSubmit);
    store.addEventListener("changed", this.#paint);
    store.addEventListener("thrown", this.#paint);
    this.querySelector("[data-answer]").hidden = false;
    this.#paint();
  }

  disconnectedCallback() {
    document.removeEventListener("visibilitychange", this.#tellSeen);
    window.removeEventListener("online", this.#tellSeen);
    store.removeEventListener("changed", this.#paint);
    store.removeEventListener("thrown", this.#paint);
  }

  /* Nothing was entered, so nothing is kept for it: the next page with a network tells it again. */
  #tellSeen = async () => {
    const url = this.dataset.new;
    if (!url || document.visibilityState !== "visible" || !navigator.onLine) return;
    delete this.dataset.new;
    const { until, week } = this.dataset;
    const headers = { "X-CSRFToken": cookieValue(document.cookie, "csrftoken") };
    const body = new URLSearchParams({ until, week });
    const answer = await fetch(url, { method: "POST", headers, body, redirect: "error" }).catch(() => null);
    if (!answer?.ok) this.dataset.new = url;
  };

  get #answer() {
    return answerNow(data, this.dataset.week, store);
  }

  #paint = () => {
    const answer = this.#answer;
    const said = this.querySelector("[data-said]");
    said.hidden = !answer;
    said.textContent = answer ? answerWords(answer) : "";
    this.querySelector("summary").textContent = answer ? "Change your answer" : "Answer";
    if (!answer || this.#filled === answer.revision) return;
    this.#filled = answer.revision;
    this.form.elements.text.value = answer.text;
  };

  #onSubmit = async (event) => {
    event.preventDefault();
    const text = this.form.elements.text.value.trim();
    const before = this.#answer;
    if (text === (before?.text ?? "")) return;
    await store.save(word(before, { week: this.dataset.week, text, removed: !text }));
    const box = this.querySelector("[data-answer]");
    box.open = false;
    box.querySelector("summary").focus();
  };
}

customElements.define("coach-words", CoachWords);
