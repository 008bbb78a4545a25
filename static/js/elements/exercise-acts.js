/* <exercise-acts>: the choice of an act for an exercise puts its numbers into the row, where they
   can still be changed. One-key commands act on the row at hand: the one with the focus, else the
   first; the key for the next exercise goes on from there. */
class ExerciseActs extends HTMLElement {
  connectedCallback() {
    this.addEventListener("change", this.#onChange);
    this.addEventListener("input", this.#onInput);
    this.addEventListener("focusin", this.#onFocus);
    this.addEventListener("click", this.#onClick);
    this.addEventListener("keydown", this.#onKey);
  }

  disconnectedCallback() {
    this.removeEventListener("change", this.#onChange);
    this.removeEventListener("input", this.#onInput);
    this.removeEventListener("focusin", this.#onFocus);
    this.removeEventListener("click", this.#onClick);
    this.removeEventListener("keydown", this.#onKey);
  }

  get rows() {
    return [...this.querySelectorAll("[data-row]")];
  }

  #at = null;

  #onChange = (event) => {
    const row = event.target.closest("[data-row]");
    if (!row) return;
    if (event.target.matches("[type=radio], select")) this.#choose(row);
    if (event.target.matches("[type=radio]")) {
      const swap = event.target.value === "swap" && row.querySelector("select");
      if (swap) row.querySelector(".review-why").open = true;
      (swap || event.target).focus();
    }
  };

  /* Whoever changes a number means it to be decided. */
  #onInput = (event) => {
    if (event.target.matches(".review-sets, .review-load")) this.#tick(event.target.closest("[data-row]"));
  };

  #onFocus = (event) => {
    const row = event.target.closest("[data-row]");
    if (row) this.#goTo(row);
  };

  #onClick = (event) => {
    if (!event.target.closest("[data-key=n]")) return;
    const { rows } = this;
    const row = rows[rows.indexOf(this.#at) + 1] ?? rows[0];
    for (let fold = row.closest("details"); fold; fold = fold.parentElement.closest("details")) fold.open = true;
    const act = row.querySelector("[type=radio]:checked") ?? row.querySelector("[type=radio]");
    act.focus();
    row.scrollIntoView({ block: "nearest" });
  };

  /* Enter accepts from a list too, as from every other field. */
  #onKey = (event) => {
    if (event.key !== "Enter" || !event.target.matches(".review-swap")) return;
    event.preventDefault();
    event.target.form.requestSubmit();
  };

  #goTo(row) {
    this.#at = row;
    for (const one of this.querySelectorAll("[data-letter][data-key]")) one.removeAttribute("data-key");
    for (const one of row.querySelectorAll("[data-letter]")) one.dataset.key = one.dataset.letter;
  }

  #tick(row) {
    row.querySelector("[name=take]").checked = true;
  }

  #choose(row) {
    const act = row.querySelector("[type=radio]:checked");
    const said = act.value === "swap" ? row.querySelector("select").selectedOptions[0] : act;
    const { targets, load, unit, rung, weighs, sentence, rule } = said.dataset;
    const key = row.dataset.row;
    const put = (name, value) => {
      const field = row.querySelector(`[name="${name}-${key}"]`);
      if (field) field.value = value;
    };
    put("targets", targets);
    put("load", load);
    put("rung", rung);
    put("shown", act.value);
    const weight = row.querySelector("[data-weight]");
    if (weight) weight.hidden = !weighs;
    const name = row.querySelector("strong[data-rung]");
    name.textContent = rung;
    name.hidden = !rung;
    row.querySelector("span[data-unit]").textContent = unit;
    row.querySelector("p[data-sentence]").textContent = sentence;
    row.querySelector("p[data-rule]").textContent = rule;
    this.#tick(row);
  }
}

customElements.define("exercise-acts", ExerciseActs);
