/* <copy-text>: its button copies what its input holds. */
class CopyText extends HTMLElement {
  connectedCallback() {
    this.input = this.querySelector("input");
    this.status = this.querySelector("[role=status]");
    this.querySelector("button").addEventListener("click", () => this.#copy());
    this.input.addEventListener("focus", () => this.input.select());
  }

  async #copy() {
    this.input.select();
    try {
      await navigator.clipboard.writeText(this.input.value);
      this.status.textContent = "Copied.";
    } catch {
      /* Over plain http a page has no clipboard of its own; the old command still works there. */
      const copied = document.execCommand("copy");
      this.status.textContent = copied ? "Copied." : "Press Ctrl+C to copy.";
    }
  }
}

customElements.define("copy-text", CopyText);
