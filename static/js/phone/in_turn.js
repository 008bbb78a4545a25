/* One thing said after another: each is made when the one before lies on the disk, so that it starts from that. */
export class InTurn {
  #last = Promise.resolve();
  #isKeeping = false;

  /* Do it after what was begun before. */
  async after(work) {
    const mine = this.#last.then(work);
    this.#last = mine.catch(() => {});
    return mine;
  }

  /* The same, but a second tap while the first is still being kept is no second set. */
  async once(work) {
    if (this.#isKeeping) return;
    this.#isKeeping = true;
    try {
      await this.after(work);
    } finally {
      this.#isKeeping = false;
    }
  }
}
