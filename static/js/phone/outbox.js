/* What this phone has not handed in yet, in IndexedDB. One record an entry; a newer revision takes its place. */
const STORE = "entries";

function asked(request) {
  return new Promise((resolve, reject) => {
    request.onsuccess = () => resolve(request.result);
    request.onerror = () => reject(request.error);
  });
}

function openDatabase(name) {
  const request = indexedDB.open(name, 1);
  request.onupgradeneeded = () => {
    const store = request.result.createObjectStore(STORE, { keyPath: "key", autoIncrement: true });
    store.createIndex("uid", "uid");
    store.createIndex("user", "user");
  };
  return asked(request);
}

export class Outbox {
  constructor(database) {
    this.database = database;
  }

  static async open(name = "blockwright-outbox") {
    return new Outbox(await openDatabase(name));
  }

  #write(work) {
    return new Promise((resolve, reject) => {
      /* strict: the answer comes only when the entry is on the disk. */
      const transaction = this.database.transaction(STORE, "readwrite", { durability: "strict" });
      transaction.oncomplete = () => resolve();
      transaction.onerror = () => reject(transaction.error);
      transaction.onabort = () => reject(transaction.error);
      work(transaction.objectStore(STORE));
    });
  }

  /* Keep an entry; older revisions of it go in the same breath. */
  put(entry) {
    return this.#write((store) => {
      const { key: _old, ...fresh } = { ...entry, refused: "" };
      const dropOlder = (cursor) => {
        if (cursor.value.revision <= entry.revision) cursor.delete();
      };
      /* Added only when the cursor is through: it would meet the new one too, and drop it. */
      this.#each(store, entry.uid, dropOlder, () => store.add(fresh));
    });
  }

  /* Forget an entry up to the revision that the server has acknowledged. */
  remove(uid, revision) {
    return this.#write((store) => {
      this.#each(store, uid, (cursor) => {
        if (cursor.value.revision <= revision) cursor.delete();
      });
    });
  }

  /* Mark an entry as not acceptable; it stays until it is corrected or thrown away. */
  refuse(uid, revision, reason) {
    return this.#write((store) => {
      this.#each(store, uid, (cursor) => {
        if (cursor.value.revision === revision) cursor.update({ ...cursor.value, refused: reason });
      });
    });
  }

  #each(store, uid, act, atEnd = () => {}) {
    const request = store.index("uid").openCursor(IDBKeyRange.only(uid));
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

  /* Everything that one account has not handed in yet, oldest first. */
  async all(user) {
    const store = this.database.transaction(STORE, "readonly").objectStore(STORE);
    const entries = await asked(store.index("user").getAll(IDBKeyRange.only(user)));
    return entries.sort((a, b) => a.key - b.key);
  }
}
