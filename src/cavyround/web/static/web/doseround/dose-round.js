// The dose round: the day's doses by pen, each drawn up, given and kept at once, with or without a connection.
import { whoRecords } from "../check/round.js";
import { Sender } from "../check/sending.js";
import { sending } from "../check/sent.js";
import { keepShell } from "../check/shell.js";
import { openStore } from "../check/store.js";
import { ask } from "./ask.js";
import { choose, lost, outcomeWords } from "./choose.js";
import { loadDay, nextAfter, standingOf } from "./day.js";
import { dose, why } from "./dose.js";
import { Doubles } from "./doubles.js";
import { aboutOf, entryOf, lasting, readied } from "./entry.js";
import { Frame } from "./frame.js";
import { Ledger } from "./ledger.js";
import { second, withTry } from "./second.js";
import { together } from "./together.js";
import { weigh } from "./weigh.js";
import { markWeighed, unsentWeights } from "./weighed.js";

const STORE = "cavyround-doses";
const FRESH_FOR_MS = 20 * 1000;
const LOOK_AGAIN_MS = 60 * 1000;
// What was entered longer ago than this is put right on the course's own page, not by one touch.
const UNDO_LASTS_MS = 2 * 3600 * 1000;
const SCREENS = { choose, lost, dose, why, together, second, ask, weigh, sending };

class App {
  constructor(root, store, checks) {
    Object.assign(this, { root, store, checks });
    this.addresses = { ...root.dataset, touches: root.dataset.entries, photos: root.dataset.entries };
    this.sender = new Sender(store, this.addresses, () => this.#sent());
    this.sender.answered = (about) => this.#answered(about);
    // Weights taken here are touches of a check, as those of the weigh-in.
    this.weightSender = new Sender(checks, { touches: root.dataset.touches, photos: root.dataset.photos }, () => this.#weightsSent());
    this.doubled = new Doubles();
    this.frame = new Frame(this);
    this.day = null;
    this.news = [];
    this.screen = { name: "choose" };
    this.busy = false;
    this.loading = null;
    this.waitingForWeights = false;
    this.mustLoad = false;
    addEventListener("popstate", (event) => this.#goneBack(event.state));
    document.addEventListener("visibilitychange", () => document.hidden || this.loadAnew());
    setInterval(() => document.hidden || this.loadAnew(), LOOK_AGAIN_MS);
  }

  async start() {
    this.ledger = await Ledger.open(this.store);
    await this.#load();
    this.me = whoRecords(this.addresses, { round: this.day, fresh: this.fresh });
    if (!this.day) return this.go({ name: "lost" }, { replace: true });
    await Promise.all([this.sender.now(), this.weightSender.now()]);
    this.store.forgetOld();
    // A reload goes on where it was; who comes by a link is asked.
    const stayed = performance.getEntriesByType("navigation")[0]?.type !== "navigate";
    const state = stayed ? history.state : null;
    if (state?.screen && this.#shows(state.screen)) return this.go(state.screen, { replace: true });
    return this.go({ name: "choose" }, { replace: true });
  }

  // What the check screen's own pieces call the round: here it names the animals.
  get round() { return this.day; }
  get unsent() { return this.sender.unsent + this.weightSender.unsent; }
  get refused() { return [...this.sender.refused, ...this.weightSender.refused]; }
  get sendState() { return this.sender.state === "idle" ? this.weightSender.state : this.sender.state; }

  async #load() {
    const loaded = await loadDay(this.store, this.addresses.json, () => unsentWeights(this.checks));
    Object.assign(this, { fresh: loaded.fresh, status: loaded.status, why: loaded.why, clock: loaded.clock ?? this.clock });
    if (loaded.day) this.day = loaded.day;
    if (this.day) await markWeighed(this.day, this.checks);
  }

  // What others gave since, and amounts by a newer weight; drawn anew only where it says something else.
  async loadAnew(asked = false, freshFor = FRESH_FOR_MS) {
    // What is on its way was asked for before: who must have a newer list waits for the next.
    if (this.loading) return asked ? this.loading.then(() => this.loadAnew(true)) : this.loading;
    if (!this.day) return null;
    if (!asked && this.fresh && Date.now() - this.day.loaded_at < freshFor) return null;
    this.loading = this.#again(asked).finally(() => { this.loading = null; });
    return this.loading;
  }

  async #again(asked) {
    const before = this.#listed();
    await this.#load();
    if (asked || this.#listed() !== before) this.again();
    else this.frame.bar();
  }

  #listed() {
    const { doses, ask_vet, questions, sittings } = this.day;
    return JSON.stringify([this.fresh, doses, ask_vet, questions.map((one) => [one.key, one.asking]), sittings]);
  }

  progress() {
    if (!this.day) return "Dose round";
    const { doses } = this.day;
    const treatment = this.screen.treatment ?? this.screen.back;
    const some = treatment ? doses.filter((one) => one.treatment === treatment) : doses;
    const over = some.filter((one) => standingOf(one, this.day, this.ledger).is === "done").length;
    return some.length ? `${over} of ${some.length}` : "Dose round";
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

  async drawnUp(one) {
    const draft = this.ledger.draft(one.key);
    const checked = draft?.mark === one.mark ? draft : lasting(draft ?? {});
    await this.ledger.keepDraft(one.key, { ...checked, mark: one.mark, mark_words: one.mark_words, drawn_at: new Date().toISOString() });
    this.frame.say(`${readied(one, one.mark_words)}.`);
    this.again();
    this.lookAgain();
  }

  // Before a dose goes in: has another phone given it, was it weighed, did something grave turn up?
  lookAgain() { return this.loadAnew(false, 0); }

  async notDrawn(one) {
    const { drawn_at: _, ...rest } = this.ledger.draft(one.key) ?? {};
    await this.ledger.keepDraft(one.key, rest.second || rest.asked_at || rest.second_tries ? rest : null);
    this.again();
  }

  // Kept with the dose, so that it can be read who went on, and when.
  async vetAsked(one) {
    await this.ledger.keepDraft(one.key, { ...this.ledger.draft(one.key), asked_at: new Date().toISOString() });
    this.again();
  }

  async secondAgrees(one, person, typed = null) {
    const at = new Date().toISOString();
    const before = lasting(this.ledger.draft(one.key) ?? {});
    const second_tries = withTry(before, { mark: one.mark, by: person, typed, agrees: true, at });
    await this.ledger.keepDraft(one.key, { ...before, second_tries, mark: one.mark, mark_words: one.mark_words, second: person, second_at: at });
    this.frame.say("Both agree.");
    this.go({ name: "dose", key: one.key });
  }

  // Kept with the dose, so that it can be read how often two people did not agree, and that they began again.
  async secondTried(one, said) {
    const draft = this.ledger.draft(one.key) ?? {};
    await this.ledger.keepDraft(one.key, { ...draft, second_tries: withTry(draft, { mark: one.mark, ...said, at: new Date().toISOString() }) });
  }

  async became(one, outcome, because = "") {
    const draft = this.ledger.draft(one.key);
    await this.ledger.make(aboutOf(one), entryOf(one, outcome, because, draft), this.me.id);
    await this.ledger.keepDraft(one.key, null);
    this.#kept();
    this.frame.say(`${this.day.animal(one.animal).name}: ${outcomeWords({ outcome })}.`);
    if (this.screen.name === "together") return this.again();
    // Where it did not simply go in, what the order says then is read first.
    if (outcome === "partly" || outcome === "spat_out") return this.go({ name: "dose", key: one.key, back: this.screen.back });
    return this.goOn(one.key);
  }

  // Onward in the order of the round; from one treatment back to its list.
  goOn(key) {
    if (this.screen.back) return this.go({ name: "together", treatment: this.screen.back });
    const next = nextAfter(key, this.day.doses, this.day, this.ledger);
    return this.go(next ? { name: "dose", key: next.key } : { name: "choose" });
  }

  lastOutcome(key) { return this.ledger.last(key)?.touch.outcome ?? ""; }

  async answer(question, n) {
    const before = this.ledger.answers(question.key).find((one) => one.touch.answer === n);
    if (before) await this.ledger.undo(this.me.id, this.ledger.touches.find((one) => one.id === before.id));
    else {
      const touch = { kind: "answer", course: question.course, question: question.question, answer: n, dose: question.dose };
      await this.ledger.make({ id: question.key, animal: question.animal, course: question.course }, touch, this.me.id);
    }
    this.#kept();
    // Nothing to see: the next one. What alarms stays until it is read.
    if (!before && !question.answers[n].alarm.level) {
      this.frame.say(`${this.day.animal(question.animal).name}: ${question.answers[n].words}.`);
      return this.askOn(question);
    }
    return this.again();
  }

  // Those of one animal together, in the order of the list.
  openQuestions() {
    const now = this.day.time();
    return this.day.questions.filter((one) => Date.parse(one.from_at) <= now && now < Date.parse(one.until_at) && !this.ledger.answers(one.key).length);
  }

  // The next open question after this one, then from the front; the list where none is left.
  askOn(question) {
    const open = this.openQuestions();
    const order = this.day.questions.map((one) => one.key);
    const at = order.indexOf(question.key);
    const next = open.find((one) => order.indexOf(one.key) > at) ?? open.find((one) => one.key !== question.key);
    return this.go(next ? { name: "ask", question: next.key } : { name: "choose" });
  }

  undoable() {
    return this.ledger.lastMade(Date.now() - UNDO_LASTS_MS);
  }

  aboutEntry(made) {
    const name = this.day.animal(made.check.animal)?.name ?? "";
    return made.touch.kind === "answer" ? `${name}, answer` : `${name}, ${outcomeWords(made.touch)}`;
  }

  async undo(made) {
    await this.ledger.undo(this.me.id, made);
    // Where the list already has it as done, only a newer list says what is to be given.
    this.mustLoad ||= this.day.dose(made.check.id)?.sitting === null;
    this.#kept();
    this.frame.say(`Taken back: ${this.aboutEntry(made)}.`);
    const here = this.screen.name === "together" && this.day.dose(made.check.id)?.treatment === this.screen.treatment;
    if (here) return this.again();
    return this.go(made.touch.kind === "answer" ? { name: "ask", question: made.check.id } : { name: "dose", key: made.check.id });
  }

  async weighed(animal, touches, words, key) {
    await this.checks.addTouches(touches);
    await markWeighed(this.day, this.checks);
    this.waitingForWeights = true;
    this.weightSender.unsent += touches.length;
    this.frame.say(`${animal.name}: ${words}.`);
    this.go({ name: "dose", key });
    this.weightSender.now();
  }

  // The amount by the new weight is the server's to work out: it is asked once it has the weight.
  #weightsSent() {
    this.frame.bar();
    if (!this.waitingForWeights || this.weightSender.unsent) return;
    this.waitingForWeights = false;
    this.loadAnew(true);
  }

  #kept() {
    this.sender.unsent += 1;
    this.sender.now();
  }

  #sent() {
    if (this.sender.clock !== undefined) this.clock = this.sender.clock;
    this.frame.bar();
    if (this.sender.state !== "idle" || this.fresh && !(this.mustLoad && !this.sender.unsent)) return;
    this.mustLoad = false;
    this.loadAnew(true);
  }

  // What the server says of each dose it took: that another phone gave it too, and the advice on an answer.
  #answered(about) {
    for (const [key, { others = [], advice = null }] of Object.entries(about)) {
      if (others.length) this.doubled.tell(key, others);
      else this.doubled.forget(key);
      if (advice) this.news = [...this.news.filter((one) => one.address !== advice.address), advice];
    }
    this.frame.bar();
  }

  doubles() { return this.day ? this.doubled.unread() : []; }

  readDouble(key) {
    this.doubled.read(key);
    this.again();
  }

  leave() {
    this.go({ name: "choose" });
    this.loadAnew();
  }

  go(screen, { replace = false } = {}) {
    const same = screen.name === this.screen.name && screen.key === this.screen.key && screen.question === this.screen.question;
    this.screen = screen;
    const state = { screen };
    if (replace || same) history.replaceState(state, "");
    else history.pushState(state, "");
    this.frame.show(SCREENS[screen.name](this, screen), { fresh: !same || replace });
    if (!same && screen.name === "dose") this.lookAgain();
  }

  // The same screen again, with what has changed; the focus and the place on the page stay.
  again(more = {}) {
    this.go({ ...this.screen, ...more });
  }

  #shows(screen) {
    return Boolean(SCREENS[screen.name]) && (!screen.key || Boolean(this.day.dose(screen.key)));
  }

  #goneBack(state) {
    if (!state?.screen || !this.day || !this.#shows(state.screen)) return;
    this.screen = state.screen;
    this.frame.show(SCREENS[state.screen.name](this, state.screen), { fresh: true });
  }
}

async function main() {
  const root = document.querySelector("#dose-round");
  const app = new App(root, await openStore(STORE), await openStore());
  await app.start();
  await keepShell(root);
}

main();
