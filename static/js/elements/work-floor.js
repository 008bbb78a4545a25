/* <work-floor>: columns come and go while the others stay as they are, and a name leads to each.
   What the page shows is taken from the server's own answer, so that both ways show the same. */
import { say } from "../say.js";

const COLUMN = ".floor-column";

class WorkFloor extends HTMLElement {
  #list = null;
  #seen = null;

  connectedCallback() {
    this.addEventListener("submit", this.#onSubmit);
    this.addEventListener("click", this.#onClick);
    this.addEventListener("change", this.#onChange);
    window.addEventListener("blur", this.#onBlur);
    this.#list = this.querySelector(".floor-columns");
    this.#seen = new IntersectionObserver(this.#onSeen, { root: this.#list, threshold: 0.6 });
    this.#dress();
  }

  disconnectedCallback() {
    window.removeEventListener("blur", this.#onBlur);
    this.#seen.disconnect();
  }

  get #columns() {
    return [...this.querySelectorAll(COLUMN)];
  }

  /* Every column is watched once, and keeps links that leave Today from opening inside it. */
  #dress() {
    for (const column of this.#columns) {
      if (column.dataset.watched) continue;
      column.dataset.watched = "";
      this.#seen.observe(column);
      const frame = column.querySelector("iframe");
      frame.addEventListener("load", () => this.#leadOut(frame));
      this.#leadOut(frame);
    }
    this.#limit();
  }

  #leadOut(frame) {
    const inside = frame.contentDocument;
    if (!inside || inside.dressed) return;
    inside.dressed = true;
    const home = new URL(frame.getAttribute("src"), location.href).pathname;
    inside.addEventListener("click", (event) => {
      const link = event.target.closest?.("a[href]");
      if (link && !link.target && !link.pathname.startsWith(home)) link.target = "_top";
    });
  }

  #onSubmit = (event) => {
    event.preventDefault();
    const wanted = new FormData(event.target).getAll("client");
    const shown = this.#columns.map((column) => column.dataset.client);
    const stay = shown.filter((pk) => wanted.includes(pk));
    const fresh = wanted.filter((pk) => !shown.includes(pk));
    this.querySelector(".floor-choice").open = false;
    this.#show([...stay, ...fresh], fresh[0]);
  };

  #onClick = (event) => {
    const closes = event.target.closest("[data-closes-column]");
    const name = event.target.closest(".floor-names a");
    if (closes) {
      event.preventDefault();
      const gone = closes.closest(COLUMN);
      const rest = this.#columns.filter((column) => column !== gone);
      this.#show(rest.map((column) => column.dataset.client));
    } else if (name) {
      event.preventDefault();
      this.#goTo(this.querySelector(name.hash));
    }
  };

  #onChange = (event) => {
    if (event.target.name === "client") this.#limit();
  };

  /* A tap into a column is a tap outside of the menu, which the page itself never hears of. */
  #onBlur = () => {
    const menu = this.querySelector(".floor-choice");
    if (document.activeElement?.matches("iframe")) menu.open = false;
  };

  #limit() {
    const boxes = [...this.querySelectorAll("[name=client]")];
    const full = boxes.filter((box) => box.checked).length >= Number(this.dataset.most);
    for (const box of boxes) box.disabled = full && !box.checked;
  }

  #goTo(column, withFocus = true) {
    const quiet = matchMedia("(prefers-reduced-motion: reduce)").matches;
    column.scrollIntoView({ behavior: quiet ? "auto" : "smooth", inline: "start", block: "nearest" });
    if (withFocus) column.querySelector("h2").focus({ preventScroll: true });
  }

  async #show(clients, first) {
    const query = new URLSearchParams(clients.length ? clients.map((pk) => ["client", pk]) : { choose: 1 });
    const url = `${location.pathname}?${query}`;
    const answer = await fetch(url, { credentials: "same-origin", redirect: "error" }).catch(() => null);
    if (!answer?.ok) {
      say("The server cannot be reached; the columns stay as they are. Try again.");
      return;
    }
    const made = new DOMParser().parseFromString(await answer.text(), "text/html");
    history.replaceState(null, "", url);
    this.#take(made, new Set(clients));
    const target = first && this.querySelector(`#column-${first}`);
    if (target) this.#goTo(target);
    else this.querySelector(".floor-choice > summary").focus();
    const names = this.#columns.map((column) => column.querySelector("h2").textContent);
    this.querySelector("[role=status]").textContent = names.length ? `On the floor: ${names.join(", ")}` : "Nobody on the floor";
  }

  /* A frame that is moved loads anew, so the ones that stay are never touched. */
  #take(made, wanted) {
    for (const column of this.#columns) if (!wanted.has(column.dataset.client)) column.remove();
    for (const column of made.querySelectorAll(COLUMN)) {
      const mine = this.querySelector(`#${column.id}`);
      if (mine) mine.querySelector("[data-closes-column]").href = column.querySelector("[data-closes-column]").href;
      else this.#list.append(document.adoptNode(column));
    }
    for (const part of [".floor-names", ".floor-choice"]) {
      this.querySelector(part).replaceWith(document.adoptNode(made.querySelector(part)));
    }
    this.#dress();
  }

  #onSeen = (seen) => {
    for (const one of seen) {
      const name = this.querySelector(`.floor-names [href="#${one.target.id}"]`);
      if (one.isIntersecting) name?.setAttribute("aria-current", "true");
      else name?.removeAttribute("aria-current");
    }
  };
}

customElements.define("work-floor", WorkFloor);
