/* What this phone has not handed in yet ("entries"), and what has arrived lately ("kept"), in IndexedDB. */
export const NAME = "blockwright-outbox";
const UNSENT = "entries";
const KEPT = "kept";

function asked(request) {
  return new Promise((resolve, reject) => {
    request.onsuccess = () => resolve(request.result);
    request.onerror = () => reject(request.error);
  });
}

/* Version 1 had the unsent entries alone; they stay where they are. */
function build(database) {
  if (!database.objectStoreNames.contains(UNSENT)) {
    const unsent = database.createObjectStore(UNSENT, { keyPath: "key", autoIncrement: true });
    unsent.createIndex("uid", "uid");
    unsent.createIndex("user", "user");
  }
  const kept = database.createObjectStore(KEPT, { keyPath: "uid" });
  kept.createIndex("user", "user");
  kept.createIndex("at", "at");
}

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
  #name;
  #blocked;
  #database = null;

  constructor(name, blocked) {
    this.#name = name;
    this.#blocked = blocked;
  }

  /* blocked: told when another page still holds the store of an older version open. */
  static async open(name = NAME, blocked = () => {}) {
    const outbox = new Outbox(name, blocked);
    await outbox.#ready();
    return outbox;
  }

  /* Phones drop the connection while a page sleeps; the next one to ask opens it again. */
  async #ready() {
    if (this.#database) return this.#database;
    const request = indexedDB.open(this.#name, 2);
    request.onupgradeneeded = () => build(request.result);
    request.onblocked = this.#blocked;
    const database = await asked(request);
    database.onclose = () => this.#forgetConnection(database);
    database.onversionchange = () => {
      /* A newer page waits for this one to let go; everything said is on the disk. */
      database.close();
      globalThis.location?.reload();
    };
    this.#database = database;
    return database;
  }

  #forgetConnection(database) {
    if (this.#database === database) this.#database = null;
  }

  async #begin(mode, again = true) {
    const database = await this.#ready();
    try {
      /* strict: the answer comes only when the entry is on the disk. */
      return database.transaction([UNSENT, KEPT], mode, { durability: "strict" });
    } catch (error) {
      if (!again) throw error;
      this.#forgetConnection(database);
      return this.#begin(mode, false);
    }
  }

  /* One transaction: all of it or nothing. */
  async #write(work) {
    const transaction = await this.#begin("readwrite");
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
    const transaction = await this.#begin("readonly");
    const of = (name) => asked(transaction.objectStore(name).index("user").getAll(IDBKeyRange.only(user)));
    const [entries, kept] = await Promise.all([of(UNSENT), of(KEPT)]);
    return { entries: entries.sort((a, b) => a.key - b.key), kept };
  }

  /* What lies here unsent, whoever said it: for a page that knows no account. */
  async unsentOfAll() {
    const transaction = await this.#begin("readonly");
    return asked(transaction.objectStore(UNSENT).getAll());
  }
}
