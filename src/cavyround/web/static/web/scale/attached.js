// The scale of this tab: its connection, what lies on its pan, and whose weight that is. It outlives the bars
// and screens that show it, so that going on to the next animal loses neither the connection nor the rule that
// the pan must be empty in between.
import { bluetooth } from "./by_bluetooth.js";
import { serial } from "./by_serial.js";
import { usb } from "./by_usb.js";
import { Settling } from "./settle.js";

export const WAYS = [bluetooth, usb, serial];
const TICK_MS = 250;
const PACKETS = 40;
// An answer to a touch stays long enough to be read.
const NOTICE_MS = 4000;
const KEPT = "scale";

class Attached {
  constructor() {
    this.listeners = new Set();
    this.packets = [];
    this.off();
    this.owners = new Map();
    this.taken = new Map();
    this.subject = null;
    this.shownFor = () => false;
  }

  off() {
    this.status = "none"; // none | choosing | connected | lost | gone
    this.way = null;
    this.link = null;
    this.settling = null;
    this.why = "";
    this.refusals = { words: "", inARow: 0 };
    this.notice = { words: "", until: 0 };
  }

  // What is not understood. One odd line among good ones (a heading, the tare) is no trouble.
  get trouble() {
    if (performance.now() < this.notice.until) return this.notice.words;
    const { words, inARow } = this.refusals;
    const lone = this.way?.finished || !this.settling?.last;
    return inARow > (lone ? 0 : 2) ? words : "";
  }

  #refused(words) {
    this.refusals = words ? { words, inARow: this.refusals.inARow + 1 } : { words: "", inARow: 0 };
  }

  get offered() { return WAYS.filter((way) => way.offered()); }
  get name() { return this.link?.name ?? ""; }

  hear(listener) {
    this.listeners.add(listener);
    return () => this.listeners.delete(listener);
  }

  #changed(event = {}) {
    for (const listener of [...this.listeners]) listener(event);
  }

  // By a touch: the browser asks which scale. `quietly`: one that was allowed before, asking nobody.
  async connect(way, settings, options = {}, quietly = false) {
    if (this.status === "choosing") return;
    await this.disconnect();
    this.status = "choosing";
    this.way = way;
    this.settings = settings;
    const settling = new Settling(settings, { finished: way.finished });
    this.#changed();
    try {
      const link = await way[quietly ? "again" : "connect"](this.#tell(settling), options);
      if (!link) return this.#none("");
      Object.assign(this, { link, settling, status: "connected" });
      // Loads are counted anew: none of them is anybody's yet.
      this.owners.clear();
      this.taken.clear();
      keep({ way: way.code, options });
      this.ticking ??= setInterval(() => this.#tick(), TICK_MS);
    } catch (fault) {
      return this.#none(quietly ? "" : couldNot(fault, way));
    }
    this.#changed({ connected: true });
    return undefined;
  }

  #none(why) {
    this.off();
    this.why = why;
    this.#changed();
  }

  // The scale of last time, where the browser still allows it.
  async remembered(settings) {
    const { way: code, options } = kept();
    const way = this.offered.find((one) => one.code === code);
    if (way && this.status === "none") await this.connect(way, settings, options, true);
  }

  async reopen() {
    try {
      await this.link.open();
      this.#restored();
    } catch (fault) {
      this.why = couldNot(fault, this.way);
      this.#changed();
    }
  }

  #restored() {
    this.status = "connected";
    this.why = "";
    this.#changed({ connected: true });
  }

  async disconnect({ forget = false } = {}) {
    const { link } = this;
    clearInterval(this.ticking);
    this.ticking = null;
    this.off();
    if (forget) keep({});
    await link?.close();
    this.#changed();
  }

  #tell(settling) {
    const mine = () => this.settling === null || this.settling === settling;
    return {
      now: () => performance.now(),
      read: (found, bytes) => mine() && this.#read(settling, found, bytes),
      packet: (bytes, said) => this.#packet(bytes, { said }),
      refused: (why, bytes) => {
        this.#refused(why);
        this.#packet(bytes, { why });
      },
      lost: (why) => mine() && this.#lost("lost", why),
      gone: (why) => mine() && this.#lost("gone", why),
      back: () => mine() && this.#restored(),
    };
  }

  #lost(status, why) {
    this.settling?.lost(performance.now());
    this.status = status;
    this.why = why;
    this.#changed({ lost: true });
  }

  #read(settling, found, bytes) {
    const refused = found.why ? found : settling.read(found);
    this.#refused(refused?.why ?? "");
    this.#packet(bytes, refused ?? { reading: found });
    this.#own(settling);
    this.#changed({ read: true });
  }

  #packet(bytes, what) {
    this.packets = [{ at: new Date(), bytes, ...what }, ...this.packets].slice(0, PACKETS);
    this.#changed({ packet: true });
  }

  #tick() {
    this.settling.tick(performance.now());
    this.#own(this.settling);
    this.#changed();
  }

  // A load is of whoever was to be weighed when it was put on; of nobody where no bar was on the screen.
  #own({ load }) {
    if (load && !this.owners.has(load.id)) this.owners.set(load.id, this.shownFor() ? this.subject : null);
  }

  // Whose weight is wanted from here on; `shown` says whether that bar is on the screen.
  weighing(subject, shown) {
    this.subject = subject;
    this.shownFor = shown;
    const load = this.settling?.load;
    // Put on before any bar asked: the first that asks may have it while it still lies there.
    if (load && this.owners.get(load.id) === null) this.owners.set(load.id, subject);
    this.#changed();
  }

  get isMine() {
    const { load } = this.settling;
    return !load || this.owners.get(load.id) === this.subject;
  }

  // The settled weight that may be taken now, or null.
  get offer() {
    const settled = this.settling?.settled;
    if (!settled || this.taken.has(settled.load) || this.owners.get(settled.load) !== this.subject) return null;
    return settled;
  }

  get takenNow() {
    const { load } = this.settling;
    return load ? this.taken.get(load.id) ?? null : null;
  }

  take(settled) {
    this.taken.set(settled.load, settled);
    this.#changed();
  }

  act(what) {
    const answer = this.settling[what]();
    if (answer?.why) this.notice = { words: answer.why, until: performance.now() + NOTICE_MS };
    this.#changed();
    return answer;
  }
}

function couldNot(fault, way) {
  if (fault.name === "NotFoundError") return "No scale was chosen.";
  if (fault.name === "SecurityError") return "The browser does not allow it on this page.";
  if (way.code === "serial" && (fault.name === "NetworkError" || fault.name === "InvalidStateError")) {
    return "The cable does not open: another programme or tab may hold it.";
  }
  return `The scale could not be opened (${fault.message || fault.name}). Is it awake, near, and free of other programmes?`;
}

function keep(what) {
  try { localStorage.setItem(KEPT, JSON.stringify(what)); } catch { /* then for this visit */ }
}

function kept() {
  try { return JSON.parse(localStorage.getItem(KEPT) ?? "{}") ?? {}; } catch { return {}; }
}

export const attached = new Attached();
