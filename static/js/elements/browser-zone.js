/* <browser-zone>: offers the browser's own time zone where none was known before. */
class BrowserZone extends HTMLElement {
  connectedCallback() {
    const input = this.querySelector("input");
    if (!input || (input.value !== "UTC" && input.value !== "")) return;
    input.value = Intl.DateTimeFormat().resolvedOptions().timeZone ?? "UTC";
  }
}

customElements.define("browser-zone", BrowserZone);
