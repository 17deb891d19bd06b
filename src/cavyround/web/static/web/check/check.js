// The check screen: loads the round once, keeps every touch, shows one screen at a time.
import { Frame } from "./frame.js";
import { Later } from "./later.js";
import { loadRound, whoRecords } from "./round.js";
import { refusedForItsClock, Sender } from "./sending.js";
import { Session, unfinished } from "./session.js";
import { openStore } from "./store.js";
import { afterHold, holdScreen } from "./ways.js";
import { choose, lost } from "./choose.js";
import { hold } from "./hold.js";
import { sheet } from "./sheet.js";
import { outline } from "./outline.js";
import { weigh } from "./weigh.js";
import { down } from "./down.js";
import { done, summary } from "./summary.js";
import { clearedWords, sending } from "./sent.js";
import { keepShell } from "./shell.js";
import { Hearing } from "./hearing.js";
import { say } from "./say.js";
import { readback } from "./readback.js";
import { talk } from "./talk.js";

// As facts/entries.py; the reading refuses what is longer.
const MOST_SAID = 100000;
const SCREENS = { choose, lost, hold, sheet, outline, weigh, down, summary, done, sending, say, readback, talk };

class App {
  constructor(root, store) {
    this.root = root;
    this.store = store;
    this.addresses = { ...root.dataset };
    this.later = new Later(this);
    this.sender = new Sender(store, this.addresses, () => {
      if (this.sender.clock !== undefined) this.clock = this.sender.clock;
      this.frame.bar();
      this.later.ask();
      this.#findUnread();
    });
    this.frame = new Frame(this);
    this.hearing = new Hearing(this);
    store.cleared = (what) => this.#storageCleared(what);
    this.session = null;
    this.screen = { name: "choose" };
    this.acknowledged = new Set();
    this.doneToday = new Set();
    this.busy = false;
    addEventListener("popstate", (event) => this.#goneBack(event.state));
  }

  async start() {
    const asked = new URLSearchParams(location.search);
    const wanted = { animal: asked.get("animal"), kind: asked.get("kind") };
    Object.assign(this, await loadRound(this.store, this.addresses.round, wanted));
    this.me = whoRecords(this.addresses, this);
    if (!this.round) return this.go({ name: "lost" }, { replace: true });
    await this.sender.tryAgain(refusedForItsClock);
    this.sender.now();
    this.store.forgetOld();
    this.open = await unfinished(this.store, this.round);
    await this.hearing.findUnread();
    // A reload goes on where it was; who comes by a link is asked.
    const stayed = performance.getEntriesByType("navigation")[0]?.type !== "navigate";
    const before = stayed && this.open.find((one) => one.check.id === history.state?.check);
    if (before) return this.resume(before, history.state.screen);
    const after = asked.get("after");
    const animal = after ? this.round.nextAfter(after, this.order) : this.round.animal(wanted.animal);
    const begun = animal && this.open.find((one) => one.animal.id === animal.id);
    if (animal && !begun && !animal.broken) return this.begin(animal, wanted.kind || animal.kind);
    this.go({ name: "choose", wanted: begun?.check.id }, { replace: true });
  }

  #storageCleared(what) {
    this.cleared = clearedWords(what);
    this.later.keep();
    this.frame.bar();
    this.frame.say(this.cleared);
    this.sender.now();
  }

  begin(animal, kind) {
    // The address names who is on the table, so that a reload opens nobody else.
    const address = new URL(location.href);
    address.search = new URLSearchParams({ animal: animal.id, kind }).toString();
    history.replaceState(history.state, "", address);
    this.session = Session.begin(this.store, animal, kind);
    this.cleared = "";
    this.acknowledged.clear();
    this.hearing.open(this.session);
    this.go(this.#first());
  }

  resume(session, screen) {
    this.session = session;
    this.hearing.open(session);
    this.acknowledged = new Set(this.alarms().map((one) => one.rule));
    this.go(screen ?? afterHold(this, null), { replace: true });
  }

  #first() {
    return holdScreen(this.holds()[0]);
  }

  // Leaves the check where it is: it can be gone on with from the list.
  async leave() {
    this.session = null;
    await this.hearing.open(null);
    this.open = await unfinished(this.store, this.round);
    this.go({ name: "choose" }, { replace: true });
  }

  holds() { return this.round.holdsFor(this.session.animal, this.session.sitting); }

  // What was found, and what was said and is still only words.
  alarms() {
    if (!this.session) return [];
    const found = this.round.alarms(this.session.sitting);
    const known = new Set(found.map((one) => one.rule));
    return [...found, ...this.hearing.alarms().filter((one) => !known.has(one.rule))];
  }

  // One action at a time: a second touch while the first is being kept changes nothing.
  async act(action) {
    if (this.busy) return;
    this.busy = true;
    try {
      await action();
    } catch (fault) {
      this.frame.trouble(fault);
    } finally {
      this.busy = false;
    }
  }

  async make(touch) {
    if (["put_down", "finish"].includes(touch.kind) && this.hearing.hasWords && !this.hearing.entry) await this.#keepUnread(touch);
    const made = await this.session.make(touch, this.me.id);
    await this.#kept();
    return made;
  }

  // Words nobody has looked at yet outlive the end of their check; a sign that ends it is kept as found.
  async #keepUnread({ kind }) {
    if (kind === "put_down") for (const sign of this.hearing.signs()) await this.session.make(sign, this.me.id);
    await this.keepWords();
  }

  async keepWords() {
    const { text } = this.hearing;
    for (let at = 0; at < text.length; at += MOST_SAID) await this.session.make({ kind: "said", text: text.slice(at, at + MOST_SAID), waits: true }, this.me.id);
    await this.hearing.done();
    await this.wordsKept();
  }

  async wordsKept() {
    await this.hearing.findUnread();
    await this.#kept();
  }

  // Words that waited are read now; their check may be over.
  readWaiting(one) {
    const mine = this.session?.check.id === one.check.id;
    if (!mine) this.session = this.hearing.sessionOf(one);
    this.hearing.openWaiting(this.session, one.one);
    this.go({ name: "readback" });
  }

  async #findUnread() {
    const before = this.hearing.unread.length;
    if (this.round && (await this.hearing.findUnread()).length !== before) this.frame.bar();
  }

  async sayMore(one, more) {
    await this.session.saysMore(one, more, this.me.id);
    await this.#kept();
  }

  async undo() {
    const undone = await this.session.undo(this.me.id);
    await this.#kept();
    return undone;
  }

  async #kept() {
    this.sender.unsent += 1;
    this.sender.now();
    const standing = new Set(this.alarms().map((one) => one.rule));
    for (const rule of this.acknowledged) if (!standing.has(rule)) this.acknowledged.delete(rule);
  }

  go(screen, { replace = false } = {}) {
    const same = screen.name === this.screen.name && screen.hold === this.screen.hold && screen.step === this.screen.step;
    this.screen = screen;
    const state = { check: this.session?.check.id, screen };
    if (replace || same) history.replaceState(state, "");
    else history.pushState(state, "");
    this.frame.show(SCREENS[screen.name](this, screen), { fresh: !same || replace });
  }

  // The same screen again, with what has changed; the focus and the place on the page stay.
  again(more = {}) {
    this.go({ ...this.screen, ...more }, { replace: false });
  }

  #goneBack(state) {
    if (!state?.screen) return;
    const mine = this.session?.isOpen && state.check === this.session.check.id;
    if (!mine) {
      this.leave();
      return;
    }
    this.screen = state.screen;
    this.frame.show(SCREENS[state.screen.name](this, state.screen), { fresh: true });
  }
}

async function main() {
  const root = document.querySelector("#check");
  const app = new App(root, await openStore());
  await app.start();
  await keepShell(root);
}

main();
