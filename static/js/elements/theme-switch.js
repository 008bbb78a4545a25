/* <theme-switch>: a select that keeps the reader's theme on this device. */
class ThemeSwitch extends HTMLElement {
  connectedCallback() {
    this.select = this.querySelector("select");
    this.select.value = document.documentElement.dataset.theme ?? "";
    this.select.addEventListener("change", () => this.#choose(this.select.value));
  }

  #choose(theme) {
    if (theme) document.documentElement.dataset.theme = theme;
    else delete document.documentElement.dataset.theme;
    try {
      if (theme) localStorage.setItem("theme", theme);
      else localStorage.removeItem("theme");
    } catch {
      /* No storage allowed: the choice holds for this page. */
    }
    document.dispatchEvent(new CustomEvent("theme-change"));
  }
}

customElements.define("theme-switch", ThemeSwitch);
