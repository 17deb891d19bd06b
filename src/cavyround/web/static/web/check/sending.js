// Send what is kept, when it can be. Nothing leaves the phone's list before the server says it has it.
import { clockDiffers } from "./round.js";
import { REFUSED, SENT, WAITING } from "./store.js";

// At most so many touches at once; fewer where the server, or what stands before it, finds that too much.
const BATCH = 100;
const TOO_MUCH = 413;
const FIRST_PAUSE_MS = 1000;
const LONGEST_PAUSE_MS = 30000;
const PATIENCE_MS = 15000;
// A photo of several megabytes over the far end of a garden's Wi-Fi.
const PHOTO_PATIENCE_MS = 5 * 60 * 1000;
// An earlier server refused what a wrong clock had made; this one sets its time right.
const REFUSED_FOR_ITS_CLOCK = "set the phone's clock";

export class Sender {
  constructor(store, addresses, onChange) {
    Object.assign(this, { store, addresses, onChange });
    this.state = "idle";      // idle | offline | sign_in | turned_away
    this.why = "";
    this.unsent = 0;
    this.refused = [];
    this.others = {};         // check id -> who else is checking the same animal
    this.answered = () => {}; // told what the server said of the checks that were sent
    this.clock = undefined;   // how this phone's clock differs from the server's; null where it does not
    this.pause = FIRST_PAUSE_MS;
    this.batch = BATCH;
    this.running = null;
    this.sendingPhotos = false;
    this.again = false;
    this.timer = 0;
    addEventListener("online", () => this.now());
    document.addEventListener("visibilitychange", () => document.hidden || this.now());
  }

  now() {
    clearTimeout(this.timer);
    if (this.running) {
      this.again = true;
      return this.running;
    }
    this.running = this.#run().finally(() => {
      this.running = null;
      if (!this.again) return;
      this.again = false;
      this.now();
    });
    return this.running;
  }

  async count() {
    const touches = await this.store.touchesThatAre(WAITING);
    const photos = await this.store.photosThatAre(WAITING);
    const refusedTouches = await this.store.touchesThatAre(REFUSED);
    const refusedPhotos = await this.store.photosThatAre(REFUSED);
    this.unsent = touches.length + photos.length;
    this.refused = [...refusedTouches, ...refusedPhotos];
    this.onChange();
  }

  async #run() {
    if (await this.#touches()) {
      this.#worked();
      this.#inTheirOwnTime();
    } else this.#later();
    await this.count();
  }

  // Photos go beside the touches: a slow one holds up neither them nor the advice.
  async #inTheirOwnTime() {
    if (this.sendingPhotos) return;
    this.sendingPhotos = true;
    try {
      if (!(await this.#photos())) this.#later();
    } finally {
      this.sendingPhotos = false;
    }
    await this.count();
  }

  #worked() {
    this.state = "idle";
    this.why = "";
    this.pause = FIRST_PAUSE_MS;
  }

  #later() {
    clearTimeout(this.timer);
    this.timer = setTimeout(() => this.now(), this.pause);
    this.pause = Math.min(this.pause * 2, LONGEST_PAUSE_MS);
  }

  async #touches() {
    for (;;) {
      const waiting = (await this.store.touchesThatAre(WAITING)).slice(0, this.batch);
      if (!waiting.length) return true;
      const touches = waiting.map(({ id, check, made_at, by, touch }) => ({ id, check, made_at, by, touch }));
      // By its own idea of now the server sees what this phone's clock is worth.
      const answer = await this.#post(this.addresses.touches, JSON.stringify({ sent_at: now(), touches }), "application/json", { refusals: [TOO_MUCH] });
      if (!answer) return false;
      if (answer.refused === true) {
        if (waiting.length === 1) await this.store.putTouches([{ ...waiting[0], state: REFUSED, why: answer.why }]);
        else this.batch = Math.ceil(waiting.length / 2);
        continue;
      }
      if (answer.now) this.clock = clockDiffers(Date.parse(answer.now));
      const kept = new Set(answer.kept);
      const refused = new Map(answer.refused.map((one) => [one.id, one.why]));
      const known = waiting.filter((made) => kept.has(made.id) || refused.has(made.id));
      await this.store.putTouches(known.map((made) => (
        kept.has(made.id) ? { ...made, state: SENT } : { ...made, state: REFUSED, why: refused.get(made.id) }
      )));
      for (const [check, about] of Object.entries(answer.checks)) this.others[check] = about.others ?? [];
      await this.answered(answer.checks);
      await this.count();
      if (!known.length) return this.#failed("turned_away", "The server answered, but kept nothing. Tell your lead.");
    }
  }

  // A photo that breaks something on the server is tried again later and stops no other.
  async #photos() {
    let all = true;
    for (const photo of await this.store.photosThatAre(WAITING)) {
      const form = new FormData();
      form.append("id", photo.id);
      form.append("animal", photo.animal);
      form.append("check", photo.check);
      form.append("caption", photo.caption);
      form.append("made_at", photo.made_at);
      form.append("sent_at", now());
      form.append("photo", photo.file, photo.name);
      const answer = await this.#post(this.addresses.photos, form, null, { refusals: [TOO_MUCH, 422], patience: PHOTO_PATIENCE_MS });
      if (!answer && !this.broke) return false;
      all &&= Boolean(answer);
      if (!answer) continue;
      if (answer.refused) await this.store.putPhoto({ ...photo, state: REFUSED, why: answer.why });
      else await this.store.dropPhoto(photo.id);
      await this.count();
    }
    return all;
  }

  // What was refused goes once more: what has it already says so, and what mends itself is kept.
  async tryAgain(which = () => true) {
    const touches = (await this.store.touchesThatAre(REFUSED)).filter(which);
    const photos = (await this.store.photosThatAre(REFUSED)).filter(which);
    if (touches.length) await this.store.putTouches(touches.map(waitingAgain));
    for (const photo of photos) await this.store.putPhoto(waitingAgain(photo));
    await this.count();
  }

  async post(address, body) {
    return this.#post(address, JSON.stringify(body), "application/json");
  }

  async #post(address, body, type, { refusals = [], patience = PATIENCE_MS } = {}) {
    const headers = { Accept: "application/json", "X-CSRFToken": csrfToken() };
    if (type) headers["Content-Type"] = type;
    let response;
    let answer;
    this.broke = false;
    try {
      response = await fetch(address, {
        method: "POST", body, headers, credentials: "same-origin", signal: AbortSignal.timeout(patience),
      });
      answer = await response.json().catch(() => ({}));
    } catch {
      return this.#failed("offline", "No connection to the server.");
    }
    if (response.ok) return answer;
    if (refusals.includes(response.status)) {
      return { refused: true, why: answer.why ?? "This could not be kept. Take it again." };
    }
    if (response.status === 401) return this.#failed("sign_in", answer.why ?? "Sign in again.");
    if (response.status === 403) return this.#failed("turned_away", answer.why ?? "The server turned this away.");
    this.broke = response.status >= 500;
    return this.#failed("offline", answer.why ?? "The server is not answering as it should.");
  }

  #failed(state, why) {
    this.state = state;
    this.why = why;
    return null;
  }
}

export function refusedForItsClock(made) {
  return Boolean(made.touch) && Boolean(made.why?.includes(REFUSED_FOR_ITS_CLOCK));
}

function waitingAgain({ why, ...made }) {
  return { ...made, state: WAITING };
}

function now() {
  return new Date().toISOString();
}

export function csrfToken() {
  return /(?:^|;\s*)csrftoken=([^;]+)/.exec(document.cookie)?.[1] ?? "";
}
