/* <body-weight>: the weight of the day, into the outbox like everything else. */
import { bodyWeight } from "./entries.js";
import { dayNow } from "./local_day.js";
import { number } from "./phone_words.js";
import { data, opened, store } from "./store.js";

class BodyWeight extends HTMLElement {
  async connectedCallback() {
    this.addEventListener("submit", this.#onSubmit);
    await opened;
    const day = dayNow(data);
    const waiting = store.mine.findLast(({ body }) => body.kind === "weight" && body.on === day);
    if (waiting) this.#say(`${number(waiting.body.kg)} kg saved for today`);
  }

  disconnectedCallback() {
    this.removeEventListener("submit", this.#onSubmit);
  }

  #say(words) {
    this.querySelector("[role=status]").textContent = words;
  }

  #onSubmit = async (event) => {
    event.preventDefault();
    const input = event.target.elements.kg;
    const kg = Number(input.value.replace(",", "."));
    const fits = kg >= 25 && kg <= 300;
    input.setAttribute("aria-invalid", String(!fits));
    if (!fits) {
      this.#say("Body weight: write the kilograms, between 25 and 300.");
      input.focus();
      return;
    }
    await opened;
    await store.save(bodyWeight(data, Math.round(kg * 100) / 100));
    input.value = "";
    this.#say(`${number(kg)} kg saved for today`);
  };
}

customElements.define("body-weight", BodyWeight);
