/* <kept-here>: how much lies unsent on this phone, and for whom pages are kept here, what it is and a way to take it along. */
import { lastKept } from "./kept_pages.js";
import { download, element } from "./made_elements.js";
import { Outbox } from "./outbox.js";
import { asSent } from "./sending.js";
import { asFile, ownOf, unsentHereWords } from "./unsent_words.js";

class KeptHere extends HTMLElement {
  async connectedCallback() {
    const outbox = await Outbox.open().catch(() => null);
    const entries = outbox ? await outbox.unsentOfAll() : [];
    this.querySelector("[role=status]").textContent = unsentHereWords(entries.length);
    const own = ownOf(entries, lastKept());
    if (!own.length) return;
    const name = `unsent-${new Date().toISOString().slice(0, 10)}.json`;
    const list = element("ul", "");
    list.append(...own.map((entry) => element("li", "", entry.words ?? "An entry")));
    const save = () => download(name, asFile(own, asSent));
    this.append(list, element("button", "button", "Save as a file", save));
  }
}

customElements.define("kept-here", KeptHere);
