// The day's doses as they were loaded once, and how each stands with what this phone and others have done since.
import { clockDiffers } from "../check/round.js";
import { WENT_IN } from "./ledger.js";

const PATIENCE_MS = 6000;
const KEPT = "doses";
// From this urgency on the vet is rung today or now (knowledge/urgency.py).
const RING_FROM = 3;

// `unsent` gives the ids of the weights this phone has not sent: the list cannot know of them, also
// where they arrive while it is on its way.
export async function loadDay(store, address, unsent = async () => []) {
  const kept = await store.keptRound(KEPT);
  const unknown = await unsent();
  const asked = Date.now();
  try {
    const response = await fetch(address, {
      headers: { Accept: "application/json" }, credentials: "same-origin",
      signal: AbortSignal.timeout(kept ? PATIENCE_MS : 10 * PATIENCE_MS),
    });
    if (response.ok) {
      const fresh = { ...await response.json(), loaded_at: Date.now(), asked_at: asked, unknown_weights: unknown };
      await store.keepRound(fresh, KEPT);
      return { day: new Day(fresh), clock: clockDiffers(Date.parse(fresh.now)), fresh: true, status: 200 };
    }
    const answer = await response.json().catch(() => ({}));
    // Who is signed in may not record: the list of whoever was here before is not theirs to use.
    const usable = kept && response.status !== 403;
    return { day: usable ? new Day(kept) : null, fresh: false, status: response.status, why: answer.why };
  } catch {
    return { day: kept ? new Day(kept) : null, fresh: false, status: 0 };
  }
}

export class Day {
  constructor(data) {
    Object.assign(this, data);
  }

  animal(id) { return this.animals[id]; }
  dose(key) { return this.doses.find((one) => one.key === key); }
  pen(id) { return this.pens.find((one) => one.id === id); }
  treatment(key) { return this.treatments.find((one) => one.key === key); }
  of(treatment) { return this.doses.filter((one) => one.treatment === treatment); }

  // Now by the server's clock: a phone an hour off must neither give too early nor call a dose late.
  time(phone = Date.now()) {
    return Date.parse(this.now) + (phone - this.loaded_at);
  }

  // A list of another day says nothing of today.
  isOf(phone = Date.now()) {
    return this.time(phone) < Date.parse(this.ends_at);
  }

  // What the list of what was sent calls an observation of the check screen; its words are not here.
  observation(touch) { return touch.finding.replaceAll("_", " "); }
}

// How one dose stands:
//   done      something went in, here or by another phone      tried  refused or left out; it may be tried again
//   other_day the list is not of today                          soon   its time has not come
//   taken_back  the list still has it as done: load it again
//   stop      nothing may be given, for the reasons it has     weigh  weighed first
//   ask       its last answer or advice says to ring the vet before the next dose
//   late      its time has passed since the list was loaded    second a second person checks first
//   drawn     drawn up, to be given                            ready  to be drawn up
// `checked`: as many people as it needs have worked its amount out.
export function standingOf(dose, day, ledger, phone = Date.now()) {
  const mine = ledger.tries(dose.key);
  const known = new Set(mine.map((one) => one.id));
  const taken = ledger.touches.filter((one) => one.touch.kind === "take_back").map((one) => one.touch.entry);
  const others = dose.tries.filter((one) => !known.has(one.id) && !taken.includes(one.id));
  const tries = [...others, ...mine.map((one) => ({ id: one.id, at: one.at, outcome: one.touch.outcome, why: one.touch.why, by: whoMade(one.id, day, ledger), mine: true }))];
  const draft = ledger.draft(dose.key);
  return { ...whatNow(dose, day, ledger, { tries, draft }, phone), tries, last: tries.at(-1) ?? null, draft: drawnOf(dose, draft) };
}

// Somebody else may have used this phone before.
function whoMade(id, day, ledger) {
  const by = ledger.touches.find((one) => one.id === id)?.by ?? day.me.id;
  return by === day.me.id ? day.me.name : day.people.find((one) => one.id === by)?.name ?? "somebody on this phone";
}

function whatNow(dose, day, ledger, { tries, draft }, phone) {
  // Where the order says to give the rest, or again, what went in before it said so does not answer it.
  const before = new Set(dose.again ? dose.tries.map((one) => one.id) : []);
  if (tries.some((one) => WENT_IN.includes(one.outcome) && !before.has(one.id))) return { is: "done" };
  const now = day.time(phone);
  if (!day.isOf(phone)) return { is: "other_day" };
  // The list has it as done and worked nothing out for it: taken back since, it needs a newer list.
  if (dose.sitting === null) return { is: "taken_back" };
  if (now < Date.parse(dose.from_at)) return { is: "soon" };
  // That its time has passed makes nothing of this any safer: it comes before.
  if (dose.state === "weigh") return { is: "weigh" };
  if (dose.state === "stop") return { is: "stop" };
  if (dose.weighed_since) return { is: "weigh" };
  if (dose.medicine && alarmOf(dose, day, ledger) && !draft?.asked_at) return { is: "ask" };
  const checked = isChecked(dose, draft);
  if (now >= Date.parse(dose.until_at)) return { is: "late", checked };
  if (!checked) return { is: "second", checked };
  if (dose.draws && !(draft?.drawn_at && sameAmount(dose, draft))) return { is: "ready", checked };
  return { is: "drawn", checked };
}

// Whether as many people as it needs have worked out this amount; before that nobody is shown it.
export function isChecked(dose, draft) {
  return !dose.second.length || Boolean(sameAmount(dose, draft) && draft.second);
}

// Why the vet is rung before this animal gets anything more: what was answered on this phone, or the last advice.
export function alarmOf(dose, day, ledger) {
  for (const question of day.questions.filter((one) => one.animal === dose.animal)) {
    const said = ledger.answers(question.key).map(({ touch }) => question.answers[touch.answer]).find((one) => one?.alarm.level >= RING_FROM);
    if (said) return `After ${question.what}: ${said.words}.`;
  }
  return dose.advised;
}

// A draft of another amount than today's: what was drawn up is not given.
function drawnOf(dose, draft) {
  return draft?.drawn_at && !sameAmount(dose, draft) ? { ...draft, changed: true } : draft;
}

export function sameAmount(dose, draft) {
  return Boolean(draft) && draft.mark === dose.mark;
}

// What is left to do, in the order of the round; what was tried comes after what was not.
export function left(doses, day, ledger, phone = Date.now()) {
  const open = doses.map((dose) => ({ dose, standing: standingOf(dose, day, ledger, phone) }))
    .filter(({ standing }) => !["done", "soon", "other_day", "taken_back"].includes(standing.is));
  return [...open.filter(({ standing }) => !standing.tries.length), ...open.filter(({ standing }) => standing.tries.length)];
}

// Whose turn it is after this one: onward in the order, then from the front; never one already tried.
export function nextAfter(key, doses, day, ledger, phone = Date.now()) {
  const at = doses.findIndex((one) => one.key === key);
  const turned = [...doses.slice(at + 1), ...doses.slice(0, Math.max(at, 0))];
  return turned.find((dose) => {
    const { is, tries } = standingOf(dose, day, ledger, phone);
    return !tries.length && ["ready", "drawn", "second", "weigh", "late", "ask"].includes(is);
  }) ?? null;
}
