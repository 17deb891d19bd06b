// The pens as they were loaded once, and the weigh-ins of this phone that are not over.
import { clockDiffers } from "../check/round.js";

const PATIENCE_MS = 6000;
const KEPT = "pens";
const RUNS = "weigh-ins";
const STILL_OPEN_MS = 12 * 3600 * 1000;

export async function loadPens(store, address) {
  const kept = await store.keptRound(KEPT);
  try {
    const response = await fetch(address, {
      headers: { Accept: "application/json" }, credentials: "same-origin",
      signal: AbortSignal.timeout(kept ? PATIENCE_MS : 10 * PATIENCE_MS),
    });
    if (response.ok) {
      const fresh = await response.json();
      await store.keepRound(fresh, KEPT);
      return { pens: new Pens(fresh), clock: clockDiffers(Date.parse(fresh.now)), fresh: true, status: 200 };
    }
    const answer = await response.json().catch(() => ({}));
    // Who is signed in may not record: the list of whoever was here before is not theirs to use.
    const usable = kept && response.status !== 403;
    return { pens: usable ? new Pens(kept) : null, fresh: false, status: response.status, why: answer.why };
  } catch {
    return { pens: kept ? new Pens(kept) : null, fresh: false, status: 0 };
  }
}

export class Pens {
  constructor(data) {
    Object.assign(this, data);
  }

  pen(id) { return this.pens.find((one) => one.id === id); }
  animal(id) { return this.animals.find((one) => one.id === id); }
  of(pen) { return this.animals.filter((one) => one.pen_id === pen); }

  // What the list of what was sent calls an observation of the check screen; its words are not here.
  observation(touch) { return touch.finding.replaceAll("_", " "); }
}

// The weigh-ins begun on this phone in the last twelve hours, newest first.
export async function openRuns(store, now = Date.now()) {
  const runs = (await store.keptRound(RUNS)) ?? [];
  return runs.filter((run) => now - Date.parse(run.began) < STILL_OPEN_MS);
}

export async function keepRun(store, run) {
  const others = (await openRuns(store)).filter((one) => one.pen.id !== run.pen.id);
  await store.keepRound([run, ...others], RUNS);
}
