// Doses another phone gave as well: told until somebody has read it, also after a reload.
const KEY = "cavyround-doubles";

export class Doubles {
  constructor() {
    this.told = new Map();
    try { this.told = new Map(JSON.parse(localStorage.getItem(KEY) ?? "[]")); } catch { /* then for this visit */ }
  }

  tell(key, others) {
    const words = others.join(" ");
    if (this.told.get(key)?.words !== words) this.told.set(key, { words, read: false });
    this.#keep();
  }

  forget(key) {
    this.told.delete(key);
    this.#keep();
  }

  read(key) {
    this.told.set(key, { ...this.told.get(key), read: true });
    this.#keep();
  }

  unread() {
    return [...this.told].filter(([, one]) => !one.read).map(([key, one]) => ({ key, words: one.words }));
  }

  #keep() {
    try { localStorage.setItem(KEY, JSON.stringify([...this.told].slice(-40))); } catch { /* then for this visit */ }
  }
}
