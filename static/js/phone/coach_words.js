/* <coach-words>: what the coach wrote, told as seen; the answer goes into the outbox like a set. */
import { word } from "./entries.js";
import { cookieValue } from "./sending.js";
import { data, opened, store } from "./store.js";
import { answerNow, answerWords } from "./word_state.js";

const HALF = 0.5;
const A_MOMENT = 1000;

class CoachWords extends HTMLElement {
  #filled = 0;
  #watcher = null;
  #wasSeen = false;

  async connectedCallback() {
    this.form = this.querySelector("form");
    window.addEventListener("online", this.#tellSeen);
    if (this.dataset.new) this.#watch();
    await opened;
    if (!this.form) return;
    this.form.addEventListener("submit", this.#onSubmit);
    store.addEventListener("changed", this.#paint);
    store.addEventListener("thrown", this.#paint);
    this.querySelector("[data-answer]").hidden = false;
    this.#paint();
  }

  disconnectedCallback() {
    this.#watcher?.disconnect();
    window.removeEventListener("online", this.#tellSeen);
    store.removeEventListener("changed", this.#paint);
    store.removeEventListener("thrown", this.#paint);
  }

  /* Nothing was entered, so nothing is kept for it: the next page with a network tells it again. */
  #tellSeen = async () => {
    const url = this.dataset.new;
    if (!url || !this.#wasSeen || !navigator.onLine) return;
    delete this.dataset.new;
    const { until, week } = this.dataset;
    const headers = { "X-CSRFToken": cookieValue(document.cookie, "csrftoken") };
    const body = new URLSearchParams({ until, week });
    const answer = await fetch(url, { method: "POST", headers, body, redirect: "error" }).catch(() => null);
    if (!answer?.ok) this.dataset.new = url;
  };

  /* Seen is what stood on the screen for a moment: half of it, or as much as the screen holds. */
  #watch() {
    const note = this.querySelector(".today-note") ?? this;
    const margin = document.querySelector(".phone-head")?.offsetHeight ?? 0;
    let timer = 0;
    this.#watcher = new IntersectionObserver(
      ([{ isIntersecting, intersectionRatio, intersectionRect }]) => {
        clearTimeout(timer);
        const much = intersectionRatio >= HALF || intersectionRect.height >= HALF * window.innerHeight;
        if (isIntersecting && much) timer = setTimeout(this.#onSeen, A_MOMENT);
      },
      { rootMargin: `-${margin}px 0px 0px 0px`, threshold: [0, HALF, 1] },
    );
    this.#watcher.observe(note);
  }

  #onSeen = () => {
    if (document.visibilityState !== "visible") return;
    this.#watcher.disconnect();
    this.#wasSeen = true;
    this.removeAttribute("data-unseen");
    this.#tellSeen();
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
