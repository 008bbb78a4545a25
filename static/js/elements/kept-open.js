// A disclosure that stays as it was left, when the part of the page around it is put in anew.
// Where nothing may be kept (a private window), it starts closed.

class KeptOpen extends HTMLElement {
  connectedCallback() {
    const details = this.querySelector("details");
    if (!details) return;
    details.open = details.open || kept(details.id) === "open";
    details.addEventListener("toggle", () => keep(details.id, details.open ? "open" : "closed"));
  }
}

function kept(id) {
  try {
    return sessionStorage.getItem(`kept-open ${id}`);
  } catch {
    return null;
  }
}

function keep(id, state) {
  try {
    sessionStorage.setItem(`kept-open ${id}`, state);
  } catch {
    // Nothing may be kept here.
  }
}

customElements.define("kept-open", KeptOpen);
