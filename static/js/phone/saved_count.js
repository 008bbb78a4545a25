/* <saved-count>: how much lies on this phone, and how much of it has arrived. */
import { FollowsStore } from "./follows_store.js";
import { savedWords, whyWords } from "./phone_words.js";
import { data, store } from "./store.js";

class SavedCount extends FollowsStore {
  #sets = null;

  /* The sets that the page shows, logged here or known to the server. */
  count(sets) {
    this.#sets = sets;
    this.paint();
  }

  paint() {
    const unsent = new Set(store.mine.map((entry) => entry.uid));
    const here = this.#sets ?? [];
    const waiting = here.filter((set) => unsent.has(set.uid)).length;
    const words = this.#sets
      ? savedWords({
          saved: here.length,
          unsent: waiting,
          others: unsent.size - waiting,
          why: store.situation,
          withWhom: data.with_whom,
        })
      : this.#short(unsent.size);
    if (this.textContent !== words) this.textContent = words;
  }

  #short(unsent) {
    if (!unsent) return `All saved ${data.with_whom}`;
    return `${unsent} saved here, not ${data.with_whom} yet${whyWords(store.situation)}`;
  }
}

customElements.define("saved-count", SavedCount);
