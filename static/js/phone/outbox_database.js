/* The outbox's database in the browser: how it is laid out, opened, and opened again. */
export const NAME = "blockwright-outbox";
export const UNSENT = "entries";
export const KEPT = "kept";

export function asked(request) {
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

export class OutboxDatabase {
  #name;
  #blocked;
  #database = null;

  constructor(name, blocked) {
    this.#name = name;
    this.#blocked = blocked;
  }

  static async open(name, blocked) {
    const opened = new OutboxDatabase(name, blocked);
    await opened.#ready();
    return opened;
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

  async begin(mode, again = true) {
    const database = await this.#ready();
    try {
      /* strict: the answer comes only when the entry is on the disk. */
      return database.transaction([UNSENT, KEPT], mode, { durability: "strict" });
    } catch (error) {
      if (!again) throw error;
      this.#forgetConnection(database);
      return this.begin(mode, false);
    }
  }
}
