// One check of one animal, as it stands on this phone.
import { newId } from "./ids.js";
import { fold, lastStanding, SAID_ANEW, SAID_MORE } from "./fold.js";
import { REFUSED, WAITING, WITHDRAWN } from "./store.js";

export const STILL_OPEN_MS = 12 * 3600 * 1000;

export class Session {
  constructor(store, animal, check, touches = []) {
    Object.assign(this, { store, animal, check, touches });
    this.sitting = fold(touches);
  }

  static begin(store, animal, kind) {
    const check = {
      id: newId(), animal: animal.id, kind, started_at: new Date().toISOString(), planned: plannedSteps(animal),
    };
    return new Session(store, animal, check);
  }

  get isOpen() {
    return !this.sitting.finishedAt && !this.sitting.putDownAt;
  }

  // Kept on the disk first; only then does the screen hear of it.
  async make(touch, by) {
    const made = {
      id: newId(), check: this.check, made_at: new Date().toISOString(), by, touch, state: WAITING,
    };
    await this.store.addTouch(made);
    this.touches.push(made);
    this.sitting = fold(this.touches);
    return made;
  }

  // Touches that are on the disk already, kept together.
  take(made) {
    this.touches.push(...made);
    this.sitting = fold(this.touches);
  }

  undone() {
    return lastStanding(this.touches);
  }

  async undo(by) {
    const last = this.undone();
    if (!last) return null;
    const [kept] = (await this.store.touchesOf(this.check.id)).filter((made) => made.id === last.id);
    if (kept?.state === REFUSED) {
      // The record never had it: it is withdrawn here, and stays readable here.
      await this.store.putTouches([{ ...kept, state: WITHDRAWN }]);
      this.touches = this.touches.filter((made) => made.id !== last.id);
      this.sitting = fold(this.touches);
    } else {
      await this.make({ kind: "take_back", entry: last.id }, by);
    }
    return last;
  }

  found(step, region) {
    return this.sitting.found.filter(
      (one) => one.touch.step === step && (!region || one.touch.region === region),
    );
  }

  // More is said of something already found: its entry stays, a later one takes its place.
  async saysMore(one, more, by) {
    return this.make(moreSaid(one, more), by);
  }
}

// The steps on this check's screens: whatever of these has no answer in the end was not checked.
export function plannedSteps(animal) {
  return animal.plan.holds.flatMap((hold) => hold.steps).filter((step) => !step.left_out).map((step) => step.code);
}

// Adding to what was said is no correction; saying something else instead is one.
export function moreSaid(one, more) {
  const data = clean({ ...one.touch, ...more });
  const onlyAdds = Object.entries(one.touch).every(([name, was]) => isUnsaid(name, was) || holds(data[name], was));
  return { kind: "correction", entry: one.id, reason: onlyAdds ? SAID_MORE : SAID_ANEW, ...(onlyAdds ? { more: true } : {}), data };
}

function isUnsaid(name, was) {
  return was === null || was === undefined || (name === "side" && was === "N");
}

function holds(now, was) {
  if (Array.isArray(was)) return Array.isArray(now) && was.every((one) => now.includes(one));
  return now === was;
}

function clean(touch) {
  return Object.fromEntries(
    Object.entries(touch).filter(([, value]) => value !== null && value !== undefined),
  );
}

// The checks begun on this phone in the last twelve hours and not brought to an end, newest first.
export async function unfinished(store, round, now = Date.now()) {
  const byCheck = new Map();
  for (const made of await store.allTouches()) {
    if (made.state === WITHDRAWN) continue;
    if (!byCheck.has(made.check.id)) byCheck.set(made.check.id, []);
    byCheck.get(made.check.id).push(made);
  }
  const sessions = [];
  for (const touches of byCheck.values()) {
    const check = touches[0].check;
    const animal = round.animals.find((one) => one.id === check.animal);
    if (!animal || now - Date.parse(check.started_at) > STILL_OPEN_MS) continue;
    const session = new Session(store, animal, check, touches);
    if (session.isOpen && session.undone()) sessions.push(session);
  }
  return sessions.sort((a, b) => (a.check.id < b.check.id ? 1 : -1));
}
