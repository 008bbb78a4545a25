/* The same as the outbox, for browsers that keep nothing: entries live as long as the page does. */
export class MemoryOutbox {
  #entries = [];
  #key = 0;

  async put(entry) {
    this.#key += 1;
    await this.remove(entry.uid, entry.revision);
    this.#entries.push({ ...entry, refused: "", key: this.#key });
  }

  async remove(uid, revision) {
    this.#entries = this.#entries.filter((one) => one.uid !== uid || one.revision > revision);
  }

  async refuse(uid, revision, reason) {
    for (const one of this.#entries) if (one.uid === uid && one.revision === revision) one.refused = reason;
  }

  async all(user) {
    return this.#entries.filter((one) => one.user === user).map((one) => ({ ...one }));
  }
}
