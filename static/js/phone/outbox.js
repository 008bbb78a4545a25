/* What this phone has not handed in yet ("entries"), and what has arrived lately ("kept"), in IndexedDB. */
import { asked, KEPT, NAME, OutboxDatabase, UNSENT } from "./outbox_database.js";

function each(source, range, act, atEnd = () => {}) {
  const request = source.openCursor(range);
  request.onsuccess = () => {
    const cursor = request.result;
    if (!cursor) {
      atEnd();
      return;
    }
    act(cursor);
    cursor.continue();
  };
}

const ofUid = (transaction, uid, act, atEnd) =>
  each(transaction.objectStore(UNSENT).index("uid"), IDBKeyRange.only(uid), act, atEnd);

const upTo = (revision) => (cursor) => {
  if (cursor.value.revision <= revision) cursor.delete();
};

export class Outbox {
  #database;

  constructor(database) {
    this.#database = database;
  }

  /* blocked: told when another page still holds the store of an older version open. */
  static async open(name = NAME, blocked = () => {}) {
    return new Outbox(await OutboxDatabase.open(name, blocked));
  }

  /* One transaction: all of it or nothing. */
  async #write(work) {
    const transaction = await this.#database.begin("readwrite");
    return new Promise((resolve, reject) => {
      transaction.oncomplete = () => resolve();
      transaction.onerror = () => reject(transaction.error);
      transaction.onabort = () => reject(transaction.error ?? new DOMException("aborted", "AbortError"));
      work(transaction);
    });
  }

  /* Keep an entry in place of what was said before. Another tab may have said more meanwhile: this one comes after it. */
  put(entry) {
    return this.#write((transaction) => {
      const { key: _old, ...fresh } = { ...entry, refused: "" };
      const comesAfter = (revision) => {
        fresh.revision = Math.max(fresh.revision, revision + 1);
      };
      const dropOlder = (cursor) => {
        if (cursor.value.edit !== fresh.edit) comesAfter(cursor.value.revision);
        cursor.delete();
      };
      const arrived = transaction.objectStore(KEPT).get(entry.uid);
      arrived.onsuccess = () => {
        if (arrived.result) comesAfter(arrived.result.revision);
        /* Added only when the cursor is through: it would meet the new one too, and drop it. */
        ofUid(transaction, entry.uid, dropOlder, () => transaction.objectStore(UNSENT).add(fresh));
      };
    });
  }

  /* The server has it: it moves to what is kept, and is never missing in both. What was said since stays unsent. */
  acknowledge(entry, kept) {
    return this.#write((transaction) => {
      const store = transaction.objectStore(KEPT);
      const before = store.get(kept.uid);
      before.onsuccess = () => {
        if (!before.result || before.result.revision <= kept.revision) store.put(kept);
      };
      ofUid(transaction, entry.uid, upTo(entry.revision));
    });
  }

  /* Throw an entry away that was never accepted. */
  remove(uid, revision) {
    return this.#write((transaction) => ofUid(transaction, uid, upTo(revision)));
  }

  /* Mark an entry as not acceptable; it stays until it is corrected or thrown away. */
  refuse(uid, revision, reason) {
    return this.#write((transaction) =>
      ofUid(transaction, uid, (cursor) => {
        if (cursor.value.revision === revision) cursor.update({ ...cursor.value, refused: reason });
      }),
    );
  }

  /* Let go of what arrived before a moment [ms]; with Infinity of all that arrived. Never of what is unsent. */
  forgetKept(before) {
    return this.#write((transaction) =>
      each(transaction.objectStore(KEPT).index("at"), IDBKeyRange.upperBound(before), (cursor) => cursor.delete()),
    );
  }

  /* What one account has said from here, read in one breath: unsent, oldest first, and what has arrived. */
  async all(user) {
    const transaction = await this.#database.begin("readonly");
    const of = (name) => asked(transaction.objectStore(name).index("user").getAll(IDBKeyRange.only(user)));
    const [entries, kept] = await Promise.all([of(UNSENT), of(KEPT)]);
    return { entries: entries.sort((a, b) => a.key - b.key), kept };
  }

  /* What lies here unsent, whoever said it: for a page that knows no account. */
  async unsentOfAll() {
    const transaction = await this.#database.begin("readonly");
    return asked(transaction.objectStore(UNSENT).getAll());
  }
}
