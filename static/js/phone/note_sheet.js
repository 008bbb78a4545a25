/* The sheet for a word about one set. */
export class NoteSheet extends EventTarget {
  #set = null;

  constructor(dialog) {
    super();
    this.dialog = dialog;
    this.form = dialog.querySelector("form");
    this.form.addEventListener("submit", (event) => this.#onSubmit(event));
  }

  open(set, words) {
    this.#set = set;
    this.dialog.querySelector("[data-about]").textContent = words;
    this.form.elements.note.value = set.note ?? "";
    this.dialog.showModal();
  }

  #onSubmit(event) {
    if (event.submitter?.value !== "save") return;
    const detail = { set: this.#set, changes: { note: this.form.elements.note.value.trim() } };
    this.dispatchEvent(new CustomEvent("say", { detail }));
  }
}
