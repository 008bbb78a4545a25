/* The same as the outbox, for browsers that keep nothing: entries live as long as the page does. */
export class MemoryOutbox {
  #entries = [];
  #kept = new Map();
  #key = 0;

  async put(entry) {
    this.#key += 1;
    await this.remove(entry.uid, entry.revision);
    this.#entries.push({ ...entry, refused: "", key: this.#key });
  }

  async acknowledge(entry, kept) {
    const before = this.#kept.get(kept.uid);
    if (!before || before.revision <= kept.revision) this.#kept.set(kept.uid, kept);
    await this.remove(entry.uid, entry.revision);
  }

  async remove(uid, revision) {
    this.#entries = this.#entries.filter((one) => one.uid !== uid || one.revision > revision);
  }

  async refuse(uid, revision, reason) {
    for (const one of this.#entries) if (one.uid === uid && one.revision === revision) one.refused = reason;
  }

  async forgetKept() {}

  async all(user) {
    const of = (all) => all.filter((one) => one.user === user).map((one) => ({ ...one }));
    return { entries: of(this.#entries), kept: of([...this.#kept.values()]) };
  }
}
