/* <word-templates for="id">: puts the chosen wording into a field, with what is known filled in; it stays to be edited. */
const FILLED = ["name", "exercise", "target"];

class WordTemplates extends HTMLElement {
  connectedCallback() {
    this.hidden = false;
    this.select = this.querySelector("select");
    this.querySelector("button").addEventListener("click", this.#insert);
    this.select.addEventListener("keydown", this.#onKey);
  }

  #onKey = (event) => {
    if (event.key !== "Enter") return;
    event.preventDefault();
    this.#insert();
  };

  #filled(text) {
    return FILLED.reduce((said, name) => (this.dataset[name] ? said.replaceAll(`{${name}}`, this.dataset[name]) : said), text);
  }

  #insert = () => {
    const chosen = this.select.selectedOptions[0];
    const field = document.getElementById(this.getAttribute("for"));
    if (!chosen || !field) return;
    const before = field.value.trimEnd();
    const start = before ? `${before}\n` : "";
    field.value = start + this.#filled(chosen.dataset.text);
    field.dispatchEvent(new Event("input", { bubbles: true }));
    field.focus();
    /* What could not be filled in is selected, to be written over. */
    const open = /\{(name|exercise|target)\}/.exec(field.value);
    const [from, to] = open ? [open.index, open.index + open[0].length] : [field.value.length, field.value.length];
    field.setSelectionRange(from, to);
  };
}

customElements.define("word-templates", WordTemplates);
