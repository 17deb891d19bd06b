// What lies on the pan, from a stream of readings: one animal's weight, said only when it has settled.
//
// The pan goes round: empty → a load → settled → empty. Nothing settles on a pan that was not seen empty
// before, so no animal is ever given the weight of the one before it. The numbers come as `settings`, the
// time with each reading or tick; there is no clock in here.
import { Steps, blocksOf, mean, median, weightOf } from "./window.js";

const SECOND = 1000;
// Enough different numbers that all of them being multiples of a coarser step is no chance: one in thirty-two.
const STEPS_FROM = 6;
// Stretches of these many blocks are looked at, back from now; longer ones for the restless.
const LENGTHS = [1, 1.35, 1.8, 2.4, 3.2, 5];

export class Settling {
  // `finished`: every reading is the end of a weighing, as the Bluetooth service sends it, and no stream.
  constructor(settings, { finished = false } = {}) {
    this.settings = settings;
    this.finished = finished;
    this.tare = 0;
    this.nought = 0;
    this.armed = false;
    this.loads = 0;
    this.load = null;
    this.settled = null;
    this.near = [];
    this.recent = [];
    this.last = null;
    this.stamp = "";
    this.steps = new Steps(STEPS_FROM);
    this.silent = false;
  }

  // Takes one reading; words where it counts for nothing.
  read(one) {
    if (one.stamp && one.stamp <= this.stamp) return { why: `The scale sent a weighing again that it had sent before (${one.shown}).` };
    this.tick(one.at);
    if (one.stamp) this.stamp = one.stamp;
    this.last = one;
    this.silent = false;
    if (one.grams === null) {
      this.near = [];
      if (this.load) this.load.readings = [];
      return null;
    }
    this.steps.add(one);
    this.recent = [...this.recent.filter((other) => one.at - other.at <= 2 * SECOND), one];
    this.#place(one);
    this.tick(one.at);
    return null;
  }

  #place(one) {
    const { nought_g, empty_s } = this.settings;
    const over = one.grams - this.tare;
    if (Math.abs(over) <= nought_g) this.near.push(one);
    else this.near = [];
    if (one.state === "zero" && one.stable && this.near.length) this.#empty();
    if (this.armed && !this.load && over > nought_g) this.#begin(one.at);
    if (this.load) {
      const oldest = one.at - 2 * this.settings.window_s[1] * SECOND;
      this.load.readings = [...this.load.readings.filter((other) => other.at >= oldest), { ...one, grams: over - this.nought }];
    } else if (this.armed && this.near.length > 1) {
      this.near = this.near.filter((other) => one.at - other.at <= 4 * empty_s * SECOND);
      this.nought = median(this.near.map((other) => other.grams)) - this.tare;
    }
  }

  #begin(at) {
    this.armed = false;
    this.loads += 1;
    this.settled = null;
    this.load = { id: this.loads, since: at, readings: [], candidate: null };
  }

  #empty() {
    this.load = null;
    this.armed = true;
    this.nought = median(this.near.map((one) => one.grams)) - this.tare;
  }

  // Time goes by; call it a few times a second.
  tick(now) {
    if (this.last === null) return;
    const { empty_s, silent_s } = this.settings;
    if (this.near.length && (!this.armed || this.load)) {
      const since = now - this.near[0].at;
      const spans = this.near.at(-1).at - this.near[0].at;
      // A leap takes the whole weight off for a moment: one number near nought is not an empty pan.
      if (spans >= empty_s * SECOND || since >= 2 * empty_s * SECOND) this.#empty();
    }
    if (this.load) this.#weigh(now);
    if (now - this.last.at > silent_s * SECOND) {
      this.silent = true;
      this.load = null; // in a silence animals can change places
      this.near = [];
      this.recent = [];
    }
  }

  // The connection broke: what was said stays said, and nothing on the pan is known any more. A scale that
  // sends one finished number often sleeps right after it.
  lost(now) {
    if (this.load && this.finished) this.#settle(this.#lone(Infinity), now);
    this.load = null;
    this.near = [];
    this.recent = [];
    this.last = null;
  }

  // The carer says that the pan is empty, for a scale that never sends it.
  emptied() {
    this.load = null;
    this.near = [];
    this.armed = true;
  }

  // What lies there now (an empty tub, a towel) counts as nought from here on.
  setNought() {
    const grams = this.recent.map((one) => one.grams);
    if (grams.length < 2) return { why: "The scale has not said enough for that: wait a moment and touch again." };
    if (Math.max(...grams) - Math.min(...grams) > this.settings.nought_g) {
      return { why: "The scale is not still: take the hand off and touch again." };
    }
    this.tare = median(grams);
    this.nought = 0;
    this.settled = null;
    this.near = this.recent;
    this.#empty();
    return { grams: this.tare };
  }

  #weigh(now) {
    this.#settle(this.#lone(now) ?? this.#held(now), now);
  }

  #settle(found, now) {
    if (!found || found.weight < this.settings.lightest_g || this.#tooCoarse(found)) return;
    const before = this.settled;
    if (before && Math.abs(found.weight - before.exact) <= found.plusMinus + before.plusMinus) return;
    this.settled = {
      load: this.load.id, grams: Math.round(found.weight), exact: found.weight, plusMinus: Math.ceil(found.plusMinus),
      readings: found.readings, at: now, tare: this.tare, before: before?.grams ?? null,
      byScale: Boolean(found.byScale), step: found.step,
    };
  }

  // One number that the scale itself calls finished, and nothing after it.
  #lone(now) {
    const { readings } = this.load;
    const last = readings.at(-1);
    if (!last || now - last.at < this.settings.lone_s * SECOND) return null;
    if (!this.finished && !last.stable) return null;
    const other = readings.findLastIndex((one) => Math.abs(one.grams - last.grams) > last.step);
    const told = readings.slice(other + 1);
    // Several finished weighings at once are what the scale had stored, perhaps of others.
    if (this.finished && other >= 0 && told.length < this.settings.least_blocks) return null;
    const step = this.steps.of(last);
    // How the scale came to it is not known: the widest published error of weighing a moving animal.
    const error = this.#limit(last.grams);
    return { weight: last.grams, readings: told.length, byScale: true, step, plusMinus: this.#together(error, step) };
  }

  // A weight that stood long enough, and still does.
  #held(now) {
    const found = this.#standing(now);
    const { candidate } = this.load;
    if (!found) {
      this.load.candidate = null;
      return null;
    }
    if (!candidate || Math.abs(candidate.weight - found.weight) > found.plusMinus) {
      this.load.candidate = { weight: found.weight, since: now };
      return null;
    }
    return now - candidate.since >= this.settings.hold_s * SECOND ? found : null;
  }

  #standing(now) {
    const { block_s } = this.settings;
    const { readings, since } = this.load;
    const blocks = blocksOf(readings, since, block_s, now);
    const newest = blocks.at(-1);
    if (!newest) return null;
    // A block that is over does not change: what was made of it is made once.
    if (this.load.looked?.index !== newest.index) this.load.looked = { index: newest.index, found: this.#best(blocks) };
    const { found } = this.load.looked;
    const after = readings.filter((one) => one.at >= since + (newest.index + 1) * block_s * SECOND).map((one) => one.grams);
    return found && this.#goesOn(found, after) ? found : null;
  }

  #best(blocks) {
    const { block_s, window_s, least_blocks } = this.settings;
    const newest = blocks.at(-1);
    const step = this.steps.of(this.last);
    let best = null;
    for (const length of LENGTHS) {
      const from = newest.index + 1 - Math.round((window_s[0] * length) / block_s);
      const stretch = blocks.filter((one) => one.index >= from);
      // The stretch must reach back as far as it says, and the one before all must be over the first push.
      if (from < 0 || stretch.length < least_blocks || stretch[0].index > from + 1 / block_s) continue;
      const found = weightOf(stretch, step);
      if (!this.#settles(found, step) || (best && best.error <= found.error)) continue;
      if (this.#contradicted(found, blocks, stretch, length)) this.load.contradicted = true;
      else best = found;
    }
    if (!best) return null;
    return { ...best, step, plusMinus: this.#together(Math.hypot(best.error, best.drift / 2), step) };
  }

  #settles(found, step) {
    const { far_pct, drift_pct } = this.settings;
    if (found.far > far_pct / 100 || found.lastIsFar) return false;
    if (found.drift > Math.max(step, (drift_pct / 100) * found.weight)) return false;
    return Math.hypot(found.error, found.drift / 2) <= this.#limit(found.weight);
  }

  // What came since the last whole block says the same: the animal may be off already.
  #goesOn({ weight, spread, step }, after) {
    return after.length === 0 || Math.abs(mean(after) - weight) <= Math.max(4 * spread, 2 * step, (this.settings.drift_pct / 100) * weight);
  }

  // Earlier on the same pan it stood at another height: half of it was off, or a hand was on. Then it must stand longer.
  #contradicted(found, blocks, stretch, length) {
    const { levels_apart_pct, contradicted_s, window_s } = this.settings;
    if (window_s[0] * length >= contradicted_s) return false;
    const apart = Math.max((levels_apart_pct / 100) * found.weight, 4 * found.spread);
    const earlier = blocks.filter((one) => one.index < stretch[0].index);
    return earlier.some((one, i) => {
      const next = earlier[i + 1];
      return next && Math.abs(one.mean - next.mean) <= apart / 2
        && Math.abs(one.mean - found.weight) > apart && Math.abs(next.mean - found.weight) > apart;
    });
  }

  // A step that could hide a loss of the smallest size that counts.
  #tooCoarse({ weight, step }) {
    this.load.coarse = step > (this.settings.step_pct / 100) * weight ? step : 0;
    return this.load.coarse > 0;
  }

  #limit(weight) {
    return (this.settings.within_pct / 100) * weight;
  }

  // What the readings leave open, what the scale's step does (twice: nought was read too), and the scale itself.
  #together(error, step) {
    return Math.hypot(error, step / 2, step / 2, this.settings.accuracy_g);
  }

  // Grams on the pan now, nought and tub taken off; null where nothing is known.
  get grams() {
    return this.last === null || this.silent || this.last.grams === null ? null : this.last.grams - this.tare - this.nought;
  }

  // waiting | silent | over | below | empty | not_empty | light | settling | settled
  get phase() {
    if (this.last === null) return "waiting";
    if (this.silent) return "silent";
    if (this.last.grams === null) return "over";
    if (this.load) return this.#phaseOfLoad();
    if (this.last.grams - this.tare < -this.settings.nought_g) return "below";
    return this.armed && this.near.length ? "empty" : "not_empty";
  }

  #phaseOfLoad() {
    if (this.settled?.load === this.load.id) return "settled";
    return Math.abs(this.grams) < this.settings.lightest_g ? "light" : "settling";
  }
}
