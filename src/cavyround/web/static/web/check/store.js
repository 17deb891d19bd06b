// What the phone keeps: the touches, the photos and the round. A touch counts as kept once it is on the disk.
import { Kept } from "./kept.js";

const NAME = "cavyround-check";
const VERSION = 1;
export const WAITING = "waiting";
export const SENT = "sent";
export const REFUSED = "refused";
export const WITHDRAWN = "withdrawn";
const FORGET_SENT_AFTER_MS = 7 * 24 * 3600 * 1000;

function answered(request) {
  return new Promise((done, failed) => {
    request.onsuccess = () => done(request.result);
    request.onerror = () => failed(request.error);
  });
}

function finished(transaction) {
  return new Promise((done, failed) => {
    transaction.oncomplete = () => done();
    transaction.onabort = transaction.onerror = () => failed(transaction.error);
  });
}

// The dose round keeps its entries under a name of their own: they go to another address.
export async function openStore(name = NAME) {
  const again = () => open(name);
  return new Kept(await again(), again);
}

async function open(name) {
  try {
    const opening = indexedDB.open(name, VERSION);
    opening.onupgradeneeded = () => {
      const base = opening.result;
      const touches = base.createObjectStore("touches", { keyPath: "id" });
      touches.createIndex("state", "state");
      touches.createIndex("check", "check.id");
      const photos = base.createObjectStore("photos", { keyPath: "id" });
      photos.createIndex("state", "state");
      base.createObjectStore("rounds");
    };
    const base = await answered(opening);
    base.onversionchange = () => base.close();
    return new Store(base);
  } catch {
    return new MemoryStore();
  }
}

class Store {
  constructor(base) {
    this.base = base;
    this.lasting = true;
  }

  async write(store, change) {
    // strict: the answer comes after the disk has it, so that a flat battery loses nothing kept.
    const transaction = this.base.transaction(store, "readwrite", { durability: "strict" });
    change(transaction.objectStore(store));
    await finished(transaction);
  }

  read(store, ask) {
    return answered(ask(this.base.transaction(store).objectStore(store)));
  }

  addTouch(made) { return this.write("touches", (s) => s.add(made)); }
  // All or none: a weight and the end of its check are one touch of the thumb.
  addTouches(all) { return this.write("touches", (s) => all.forEach((one) => s.add(one))); }
  putTouches(all) { return this.write("touches", (s) => all.forEach((one) => s.put(one))); }
  touchesOf(check) { return this.read("touches", (s) => s.index("check").getAll(check)); }
  touchesThatAre(state) { return this.read("touches", (s) => s.index("state").getAll(state)); }
  allTouches() { return this.read("touches", (s) => s.getAll()); }
  addPhoto(photo) { return this.write("photos", (s) => s.add(photo)); }
  putPhoto(photo) { return this.write("photos", (s) => s.put(photo)); }
  dropPhoto(id) { return this.write("photos", (s) => s.delete(id)); }
  photosThatAre(state) { return this.read("photos", (s) => s.index("state").getAll(state)); }
  keepRound(round, key = "round") { return this.write("rounds", (s) => s.put(round, key)); }
  keptRound(key = "round") { return this.read("rounds", (s) => s.get(key)); }

  async forgetOld(now = Date.now()) {
    const old = (await this.touchesThatAre(SENT)).filter(
      (made) => now - Date.parse(made.made_at) > FORGET_SENT_AFTER_MS,
    );
    if (old.length) await this.write("touches", (s) => old.forEach((made) => s.delete(made.id)));
  }
}

// For a browser that shuts its storage off: the check still runs, and the screen says what that means.
class MemoryStore {
  constructor() {
    this.touches = new Map();
    this.photos = new Map();
    this.rounds = new Map();
    this.lasting = false;
  }

  async addTouch(made) { this.touches.set(made.id, made); }
  async addTouches(all) { all.forEach((made) => this.touches.set(made.id, made)); }
  async putTouches(all) { all.forEach((made) => this.touches.set(made.id, made)); }
  async touchesOf(check) { return this.#sorted().filter((made) => made.check.id === check); }
  async touchesThatAre(state) { return this.#sorted().filter((made) => made.state === state); }
  async allTouches() { return this.#sorted(); }
  async addPhoto(photo) { this.photos.set(photo.id, photo); }
  async putPhoto(photo) { this.photos.set(photo.id, photo); }
  async dropPhoto(id) { this.photos.delete(id); }
  async photosThatAre(state) { return [...this.photos.values()].filter((one) => one.state === state); }
  async keepRound(round, key = "round") { this.rounds.set(key, round); }
  async keptRound(key = "round") { return this.rounds.get(key); }
  async forgetOld() { /* nothing outlives the tab */ }
  #sorted() { return [...this.touches.values()].sort((a, b) => (a.id < b.id ? -1 : 1)); }
}
