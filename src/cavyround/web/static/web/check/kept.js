// The phone's store, and beside it what this page knows of it. A browser may clear its storage under the page
// (the carer tidies up, the phone runs out of space): then the store is opened anew, what the page knows is put
// back, and whoever shows the page is told.
const CLOSED = ["InvalidStateError", "UnknownError", "AbortError", "NotFoundError"];
const PAUSES_MS = [50, 100, 200, 400, 800];

export class Kept {
  constructor(store, open) {
    Object.assign(this, { store, open });
    this.touches = new Map();
    this.photos = new Map();
    this.rounds = new Map();
    this.opening = null;
    this.cleared = () => {};   // told what was put back and what is gone
    this.#watch();
  }

  get lasting() { return this.store.lasting; }

  async addTouch(made) { await this.#ask("addTouch", made); this.#know([made]); }
  async addTouches(all) { await this.#ask("addTouches", all); this.#know(all); }
  async putTouches(all) { await this.#ask("putTouches", all); this.#know(all); }
  async touchesOf(check) { return this.#know(await this.#ask("touchesOf", check)); }
  async touchesThatAre(state) { return this.#know(await this.#ask("touchesThatAre", state)); }
  async allTouches() { return this.#know(await this.#ask("allTouches")); }

  async addPhoto(photo) { await this.#ask("addPhoto", photo); this.photos.set(photo.id, photo); }
  async putPhoto(photo) { await this.#ask("putPhoto", photo); this.photos.set(photo.id, { ...photo, file: this.#fileOf(photo) }); }
  async dropPhoto(id) { await this.#ask("dropPhoto", id); this.photos.delete(id); }

  async photosThatAre(state) {
    const photos = await this.#ask("photosThatAre", state);
    for (const photo of photos) this.photos.set(photo.id, { ...photo, file: this.#fileOf(photo) });
    return photos;
  }

  async keepRound(round, key) { await this.#ask("keepRound", round, key); this.rounds.set(key, round); }

  async keptRound(key) {
    const round = await this.#ask("keptRound", key);
    if (round) this.rounds.set(key, round);
    return round;
  }

  forgetOld(now) { return this.#ask("forgetOld", now); }

  #know(touches) {
    for (const made of touches) this.touches.set(made.id, made);
    return touches;
  }

  // The file as it was taken outlives a cleared storage; the one read from there does not.
  #fileOf(photo) { return this.photos.get(photo.id)?.file ?? photo.file; }

  #watch() {
    const { store } = this;
    if (store.base) store.base.onclose = () => this.#anew(store)?.catch(() => { /* the next touch tries again */ });
  }

  async #ask(what, ...given) {
    const { store } = this;
    try {
      return await store[what](...given);
    } catch (fault) {
      if (!CLOSED.includes(fault?.name)) throw fault;
      await this.#anew(store);
      return this.store[what](...given);
    }
  }

  #anew(closed) {
    if (this.store === closed) this.opening ??= this.#openAgain().finally(() => { this.opening = null; });
    return this.opening;
  }

  async #openAgain() {
    const store = await this.#opened();
    const told = await this.#putBack(store);
    this.store = store;
    this.#watch();
    if (told) this.cleared(told);
  }

  // While the browser is still clearing, it opens nothing.
  async #opened() {
    for (const pause of PAUSES_MS) {
      const store = await this.open();
      if (store.lasting) return store;
      await new Promise((done) => setTimeout(done, pause));
    }
    return this.open();
  }

  // Nothing is told where only the connection to the storage was lost.
  async #putBack(store) {
    const there = new Set((await store.allTouches()).map((made) => made.id));
    const touches = [...this.touches.values()].filter((made) => !there.has(made.id));
    const rounds = [];
    for (const [key, round] of this.rounds) if (!(await store.keptRound(key))) rounds.push([key, round]);
    if (!touches.length && !rounds.length) return null;
    if (touches.length) await store.putTouches(touches);
    for (const [key, round] of rounds) await store.keepRound(round, key);
    return { touches: touches.length, photosGone: await this.#putBackPhotos(store), lasting: store.lasting };
  }

  async #putBackPhotos(store) {
    let gone = 0;
    for (const photo of this.photos.values()) {
      try {
        await photo.file.slice(0, 1).arrayBuffer();
        await store.putPhoto(photo);
      } catch {
        this.photos.delete(photo.id);
        gone += 1;
      }
    }
    return gone;
  }
}
