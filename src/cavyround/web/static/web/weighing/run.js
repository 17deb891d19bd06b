// The weigh-in of one pen on this phone: who was weighed, who was left out, and what was taken back.
import { fold, lastStanding } from "../check/fold.js";
import { newId } from "../check/ids.js";
import { REFUSED, WAITING, WITHDRAWN } from "../check/store.js";
import { keepRun } from "./pens.js";

const STEP = "weight";

export class Run {
  // `data` is what is kept: the pen, its animals as they were known at the beginning, what the server said.
  constructor(store, data, touches = []) {
    Object.assign(this, { store, data, touches });
  }

  static async begin(store, pen, animals) {
    const data = { pen, animals, began: new Date().toISOString(), said: {} };
    await keepRun(store, data);
    return new Run(store, data);
  }

  static async goOn(store, data) {
    const ids = new Set(data.animals.map((one) => one.id));
    const mine = (made) => made.check.kind === "weigh_in" && ids.has(made.check.animal)
      && made.check.started_at >= data.began && made.state !== WITHDRAWN;
    return new Run(store, data, (await store.allTouches()).filter(mine));
  }

  get pen() { return this.data.pen; }
  get animals() { return this.data.animals; }
  animal(id) { return this.animals.find((one) => one.id === id); }

  #of(animal) { return this.touches.filter((made) => made.check.animal === animal); }

  // What stands of one animal: its weights, or why it was left out; neither where nothing was done.
  standing(animal) {
    const touches = this.#of(animal);
    const sitting = fold(touches);
    const skipped = sitting.steps.get(STEP)?.status === "skipped";
    const reason = touches.findLast((made) => made.touch.kind === "step_skipped")?.touch.why ?? "";
    return {
      check: touches[0]?.check.id, weight: sitting.weights.at(-1)?.touch ?? null,
      first: sitting.weights.length > 1 ? sitting.weights[0].touch : null, left: skipped ? reason : "",
    };
  }

  isDone(animal) {
    const { weight, left } = this.standing(animal);
    return Boolean(weight || left);
  }

  // Weighed or left out; and weighed alone.
  done() { return this.animals.filter((one) => this.isDone(one.id)); }
  weighed() { return this.animals.filter((one) => this.standing(one.id).weight); }

  get over() { return this.animals.every((one) => this.isDone(one.id)); }
  get isOfToday() { return new Date(this.data.began).toDateString() === new Date().toDateString(); }

  // Whose weight raised an alarm, as the server said it.
  alarmed() { return this.weighed().filter((one) => this.data.said[this.standing(one.id).check]?.level); }

  unjudged() {
    return this.animals.map((one) => this.standing(one.id))
      .filter(({ check, weight }) => weight && !this.data.said[check]).map(({ check }) => check);
  }

  // Whose turn it is after this one: onward in the pen's order, then whoever was passed over.
  nextAfter(id) {
    const at = this.animals.findIndex((one) => one.id === id);
    const turned = [...this.animals.slice(at + 1), ...this.animals.slice(0, at + 1)];
    return turned.find((one) => !this.isDone(one.id));
  }

  // One touch of the thumb: what was read, and the end of this animal's check, kept together.
  async make(animal, said, by) {
    const check = this.#of(animal)[0]?.check
      ?? { id: newId(), animal, kind: "weigh_in", started_at: new Date().toISOString(), planned: [STEP] };
    await this.#keep([...said, { kind: "finish" }].map((touch) => made(check, touch, by)));
    delete this.data.said[check.id];
    await keepRun(this.store, this.data);
  }

  // The animal whose weighing undo would take back: the one touched last.
  lastDone() {
    return lastStanding(this.touches)?.check.animal ?? null;
  }

  // All that was kept of an animal with one touch goes with one touch; it stays readable.
  async undo(by, animal = this.lastDone()) {
    if (!animal) return null;
    const { check } = this.#of(animal)[0];
    const standing = stillStanding(this.#of(animal));
    const kept = await this.store.touchesOf(check.id);
    const refused = new Set(kept.filter((one) => one.state === REFUSED).map((one) => one.id));
    const gone = standing.filter((one) => refused.has(one.id));
    // The record never had these: they are withdrawn here, and stay readable here.
    if (gone.length) await this.store.putTouches(gone.map((one) => ({ ...one, state: WITHDRAWN })));
    this.touches = this.touches.filter((one) => !gone.includes(one));
    const takenBack = standing.filter((one) => !refused.has(one.id));
    await this.#keep(takenBack.map((one) => made(check, { kind: "take_back", entry: one.id }, by)));
    delete this.data.said[check.id];
    await keepRun(this.store, this.data);
    return animal;
  }

  async #keep(touches) {
    await this.store.addTouches(touches);
    this.touches.push(...touches);
  }

  async judged(said) {
    this.data.said = { ...this.data.said, ...said };
    await keepRun(this.store, this.data);
  }
}

function made(check, touch, by) {
  return { id: newId(), check, made_at: new Date().toISOString(), by, touch, state: WAITING };
}

// Newest first, so that the end of a check is taken back before what it ended.
function stillStanding(touches) {
  const gone = new Set(touches.filter((one) => one.touch.kind === "take_back").map((one) => one.touch.entry));
  return touches.filter((one) => one.touch.kind !== "take_back" && !gone.has(one.id)).reverse();
}
