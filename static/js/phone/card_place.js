/* Where the card stands: in the pair of the set that comes, with that pair open and the row in sight. */
export class CardPlace {
  #pair = undefined;
  #shown = "";

  constructor(root, card, grid) {
    Object.assign(this, { root, card, grid });
  }

  clear() {
    this.card.hide();
    this.#openPair(null);
  }

  /* told: what the card shows, see EntryCard.show. */
  show(told) {
    const { line, key } = told.slot;
    const { form } = this.card;
    const place = this.grid.pairOf(line).querySelector(".entry-place");
    const moves = form.parentElement !== place;
    const hadFocus = moves && form.contains(document.activeElement);
    if (moves) place.append(form);
    this.card.show(told);
    if (hadFocus) form.querySelector(".entry-save").focus({ preventScroll: true });
    this.#openPair(line.pair);
    if (this.#shown !== key) this.grid.reveal(key, form);
    this.#shown = key;
  }

  #openPair(letter) {
    if (this.#pair === letter) return;
    const isFirst = this.#pair === undefined;
    this.#pair = letter;
    this.grid.open(letter);
    if (!isFirst && letter) this.root.querySelector(`[data-pair="${CSS.escape(letter)}"]`).scrollIntoView({ block: "start" });
  }
}
