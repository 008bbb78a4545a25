/* The sheet that asks how much it hurts and where; above the limit the caution is there at once. */
export class PainSheet extends EventTarget {
  #set = null;

  constructor(dialog, limit) {
    super();
    this.dialog = dialog;
    this.form = dialog.querySelector("form");
    this.limit = limit;
    this.form.addEventListener("input", () => this.#caution());
    this.form.addEventListener("submit", (event) => this.#onSubmit(event));
  }

  open(set, words) {
    this.#set = set;
    this.form.reset();
    this.dialog.querySelector("[data-about]").textContent = words;
    this.dialog.querySelector("[data-none]").hidden = set.pain === null;
    const { pain, place, where } = this.form.elements;
    if (set.pain !== null) pain.value = String(set.pain);
    const [first, ...rest] = (set.pain_where ?? "").split(", ");
    const isPlace = [...place].some((radio) => radio.value === first);
    if (isPlace) place.value = first;
    where.value = isPlace ? rest.join(", ") : (set.pain_where ?? "");
    this.#caution();
    this.dialog.showModal();
  }

  #caution() {
    const { value } = this.form.elements.pain;
    this.dialog.querySelector("[data-caution]").hidden = value === "" || Number(value) <= this.limit;
  }

  #onSubmit(event) {
    const choice = event.submitter?.value;
    const { pain, place, where } = this.form.elements;
    if (choice === "none") this.#tell(null, "");
    if (choice !== "save") return;
    if (pain.value === "") {
      event.preventDefault();
      pain[0].focus();
      return;
    }
    const words = [place.value, where.value.trim()].filter(Boolean).join(", ").slice(0, 60);
    this.#tell(Number(pain.value), words);
  }

  #tell(pain, pain_where) {
    this.dispatchEvent(new CustomEvent("say", { detail: { set: this.#set, changes: { pain, pain_where } } }));
  }
}
