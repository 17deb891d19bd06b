// The weigh-in: a pen is chosen, its animals come one after another, and every weight is kept at once.
import { whoRecords } from "../check/round.js";
import { refusedForItsClock, Sender } from "../check/sending.js";
import { sending } from "../check/sent.js";
import { keepShell } from "../check/shell.js";
import { openStore, WAITING } from "../check/store.js";
import { scaleBar } from "../scale/bar.js";
import { animal, skip } from "./animal.js";
import { choose, lost } from "./choose.js";
import { Frame } from "./frame.js";
import { loadPens, openRuns } from "./pens.js";
import { result, waiting } from "./result.js";
import { Run } from "./run.js";

const FIRST_PAUSE_MS = 1000;
const LONGEST_PAUSE_MS = 30000;
const SCREENS = { choose, lost, animal, skip, result, sending };

class App {
  constructor(root, store) {
    this.root = root;
    this.store = store;
    this.addresses = { ...root.dataset };
    this.sender = new Sender(store, this.addresses, () => this.#sent());
    this.frame = new Frame(this);
    this.run = null;
    this.runs = [];
    this.screen = { name: "choose" };
    this.busy = false;
    this.judging = false;
    this.asking = 0;
    this.pause = FIRST_PAUSE_MS;
    this.bar = null;
    this.settled = null;  // what becomes of a weight the scales hand over: set by the screen that waits for one
    addEventListener("popstate", (event) => this.#goneBack(event.state));
  }

  async start() {
    Object.assign(this, await loadPens(this.store, this.addresses.pens));
    this.me = whoRecords(this.addresses, { round: this.pens, fresh: this.fresh });
    if (!this.pens) return this.go({ name: "lost" }, { replace: true });
    await this.sender.tryAgain(refusedForItsClock);
    this.sender.now();
    this.store.forgetOld();
    await this.#findRuns();
    // A reload goes on where it was; who comes by a link is asked.
    const stayed = performance.getEntriesByType("navigation")[0]?.type !== "navigate";
    const state = stayed ? history.state : null;
    this.run = this.runs.find((one) => one.data.pen.id === state?.pen) ?? null;
    if (this.run && state.screen) return this.go(state.screen, { replace: true });
    const wanted = new URLSearchParams(location.search).get("pen");
    if (wanted && this.pens.pen(wanted)) return this.enter(wanted);
    this.go({ name: "choose" }, { replace: true });
    return this.judge();
  }

  // What the check screen's own pieces call the round: here it names the animals.
  get round() { return this.pens; }

  async #findRuns() {
    this.runs = await Promise.all((await openRuns(this.store)).map((data) => Run.goOn(this.store, data)));
  }

  // Goes on with what was begun in this pen; shows what it came to, where it is over; or begins.
  async enter(pen) {
    const run = this.runs.find((one) => one.data.pen.id === pen);
    const whole = run && this.pens.of(pen).every((one) => run.animal(one.id));
    if (!run || (run.over && !(whole && run.isOfToday))) return this.begin(pen);
    this.run = run;
    if (run.over) return this.go({ name: "result" });
    return this.go({ name: "animal", animal: run.animals.find((one) => !run.isDone(one.id)).id });
  }

  // Those that are due come first.
  async begin(pen) {
    this.run = await Run.begin(this.store, this.pens.pen(pen), dueFirst(this.pens.of(pen)));
    this.runs = [this.run, ...this.runs.filter((one) => one.data.pen.id !== pen)];
    this.go({ name: "animal", animal: this.run.animals[0].id });
  }

  async leave() {
    this.run = null;
    await this.#findRuns();
    this.go({ name: "choose" });
    this.judge();
    this.#loadAnew();
  }

  // What was weighed since, by whom ever; and the word of no connection goes once there is one.
  async #loadAnew() {
    if (this.loading || !this.pens) return;
    this.loading = true;
    const loaded = await loadPens(this.store, this.addresses.pens);
    this.loading = false;
    const before = this.#listed();
    if (loaded.pens) Object.assign(this, loaded);
    // Drawn anew it takes no touch for a moment: only where it says something else.
    if (this.screen.name === "choose" && this.#listed() !== before) this.again();
  }

  #listed() {
    return JSON.stringify([this.fresh, this.pens.animals.map((one) => [one.id, one.pen_id, one.name, one.weigh])]);
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

  async keep(one, touches) {
    await this.run.make(one.id, touches, this.me.id);
    this.#kept();
  }

  async undo() {
    const undone = await this.run.undo(this.me.id);
    this.#kept();
    if (!undone) return;
    this.frame.say(`Taken back: ${this.run.animal(undone).name}.`);
    this.go({ name: "animal", animal: undone });
  }

  // The shown animal's own weighing is taken back, whoever was weighed since.
  async weighAgain() {
    const { animal: id } = this.screen;
    const { weight } = this.run.standing(id);
    await this.run.undo(this.me.id, id);
    this.#kept();
    const first = weight.doubted ? { grams: Number(weight.grams), typed: weight.as_typed } : null;
    this.go({ name: "animal", animal: id, first });
  }

  #kept() {
    this.sender.unsent += 1;
    this.sender.now();
  }

  #sent() {
    if (this.sender.clock !== undefined) this.clock = this.sender.clock;
    this.frame.bar();
    this.#waiting();
    this.judge();
    if (!this.fresh && this.sender.state === "idle" && this.screen.name === "choose") this.#loadAnew();
  }

  // What the weights say is the server's; it is asked once it has them, and again when they could be sent.
  // Every weigh-in of this phone is asked about, whichever is shown: its verdicts come to the list of pens.
  async judge() {
    const { sender } = this;
    if (this.judging || sender.state !== "idle" || !["result", "choose"].includes(this.screen.name)) return;
    const runs = this.#allRuns().filter((run) => run.unjudged().length);
    if (!runs.length) return;
    this.judging = true;
    this.#waiting();
    let said = false;
    try {
      const unsent = new Set((await this.store.touchesThatAre(WAITING)).map((made) => made.check.id));
      for (const run of runs) said = await this.#judge(run, run.unjudged().filter((check) => !unsent.has(check))) || said;
    } finally {
      this.judging = false;
    }
    if (said) this.pause = FIRST_PAUSE_MS;
    else if (sender.state !== "idle") this.#askLater();
    if (!said || !["result", "choose"].includes(this.screen.name)) return this.#waiting();
    this.again();
    return this.judge();
  }

  // A server that could not judge just now is asked again by itself: sending anew leads back here.
  #askLater() {
    clearTimeout(this.asking);
    this.asking = setTimeout(() => this.sender.now(), this.pause);
    this.pause = Math.min(this.pause * 2, LONGEST_PAUSE_MS);
  }

  async #judge({ data }, checks) {
    if (!checks.length) return false;
    const { said } = await this.sender.post(this.addresses.said, { checks }) ?? {};
    // Another one may have been begun in this pen meanwhile.
    const run = this.#allRuns().find((one) => one.data.pen.id === data.pen.id && one.data.began === data.began);
    if (!run || !said || !Object.keys(said).length) return false;
    await run.judged(said);
    return true;
  }

  #allRuns() {
    return [...(this.run ? [this.run] : []), ...this.runs.filter((one) => one.data.pen.id !== this.run?.data.pen.id)];
  }

  #waiting() {
    if (this.screen.name === "result" && this.run) document.querySelector("[data-part=judging]")?.replaceWith(waiting(this));
  }

  async tryAgain() {
    await this.sender.now();
    await this.judge();
    this.again();
  }

  // One bar for all animals: the connection to the scales outlives each of them.
  scale(one) {
    this.bar ??= scaleBar({
      settings: this.pens.scale, subject: one.id, announce: (words) => this.frame.say(words),
      onSettled: (weight) => this.act(() => this.settled?.(weight)),
    });
    this.bar.weighing(one.id);
    return this.bar.part;
  }

  go(screen, { replace = false } = {}) {
    const same = screen.name === this.screen.name && screen.animal === this.screen.animal;
    this.screen = screen;
    this.settled = null;
    const state = { pen: this.run?.data.pen.id, screen };
    if (replace || same) history.replaceState(state, "");
    else history.pushState(state, "");
    this.frame.show(SCREENS[screen.name](this, screen), { fresh: !same || replace });
  }

  // The same screen again, with what has changed; the focus and the place on the page stay.
  again(more = {}) {
    this.go({ ...this.screen, ...more });
  }

  #goneBack(state) {
    if (!state?.screen) return;
    const run = this.runs.concat(this.run ?? []).find((one) => one.data.pen.id === state.pen);
    if (!run && !["choose", "lost", "sending"].includes(state.screen.name)) {
      this.leave();
      return;
    }
    this.run = run ?? null;
    this.screen = state.screen;
    this.settled = null;
    this.frame.show(SCREENS[state.screen.name](this, state.screen), { fresh: true });
  }
}

function dueFirst(animals) {
  return [...animals.filter((one) => one.weigh.due), ...animals.filter((one) => !one.weigh.due)];
}

async function main() {
  const root = document.querySelector("#weigh-in");
  const app = new App(root, await openStore());
  await app.start();
  await keepShell(root);
}

main();
