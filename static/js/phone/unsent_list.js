/* <unsent-list>: what has not arrived, entry by entry; send it now, or take it along as a file. */
import { FollowsStore } from "./follows_store.js";
import { asSent } from "./sending.js";
import { data, store } from "./store.js";
import { asFile } from "./unsent_words.js";
import { download, element } from "./made_elements.js";

const TITLES = {
  offline: "No network: kept on this phone, sent by itself later",
  waiting: "The server does not take it now: kept on this phone, tried again by itself",
  "signed-out": "Kept on this phone until you sign in again",
  refused: "Not accepted: kept on this phone until you correct it",
};

class UnsentList extends FollowsStore {
  #shown = "";

  paint() {
    const why = store.situation;
    const key = why && JSON.stringify([why, store.mine.map((one) => [one.key, one.refused])]);
    if (key === this.#shown) return;
    this.#shown = key;
    const isOpen = this.querySelector("details")?.open ?? false;
    this.replaceChildren(...(why ? [this.#details(why, isOpen)] : []));
  }

  #details(why, isOpen) {
    const count = store.mine.length;
    const details = element("details", "card is-tight unsent-list");
    details.open = isOpen;
    const title = count === 1 ? `One entry is not ${data.with_whom} yet` : `${count} entries are not ${data.with_whom} yet`;
    const list = element("ol", "", "");
    list.append(...store.mine.map((entry) => element("li", "", entry.words ?? "An entry")));
    const row = element("div", "button-row");
    row.append(
      element("button", "button is-primary", "Send now", () => store.sendNow()),
      element("button", "button", "Save as a file", () => this.#save()),
    );
    details.append(element("summary", "", title), element("p", "soft small", TITLES[why]), list, row);
    return details;
  }

  #save() {
    download(`unsent-${new Date().toISOString().slice(0, 10)}.json`, asFile(store.mine, asSent));
  }
}

customElements.define("unsent-list", UnsentList);
