// What was done on this phone for each dose: kept on the disk first, sent when it can be, taken back by a later entry.
import { lastStanding, standing } from "../check/fold.js";
import { newId } from "../check/ids.js";
import { REFUSED, WAITING, WITHDRAWN } from "../check/store.js";

const DRAFTS = "drafts";
// What was drawn up longer ago than this is not given any more. Our own judgement.
const DRAFT_LASTS_MS = 12 * 3600 * 1000;
export const WENT_IN = ["given", "partly", "spat_out"];

export class Ledger {
  constructor(store, touches = [], drafts = {}) {
    Object.assign(this, { store, touches, drafts });
  }

  static async open(store, now = Date.now()) {
    const touches = (await store.allTouches()).filter((made) => made.state !== WITHDRAWN);
    const kept = (await store.keptRound(DRAFTS)) ?? {};
    const fresh = Object.entries(kept).filter(([, draft]) => now - Date.parse(draft.drawn_at ?? draft.second_at ?? draft.asked_at ?? draft.second_tries?.at(-1)?.at) < DRAFT_LASTS_MS);
    return new Ledger(store, touches, Object.fromEntries(fresh));
  }

  #of(key) { return this.touches.filter((made) => made.check.id === key); }

  // What stands of one dose on this phone, in the order it was made.
  tries(key) {
    return standing(this.#of(key)).filter((one) => one.touch.kind === "dose");
  }

  answers(key) {
    return standing(this.#of(key)).filter((one) => one.touch.kind === "answer");
  }

  // The last word of this phone on a dose; null where it has none.
  last(key) { return this.tries(key).at(-1) ?? null; }

  draft(key) { return this.drafts[key] ?? null; }

  async keepDraft(key, draft) {
    if (draft) this.drafts[key] = draft;
    else delete this.drafts[key];
    await this.store.keepRound(this.drafts, DRAFTS);
  }

  // One touch of the thumb is one entry.
  async make(about, touch, by) {
    const made = { id: newId(), check: about, made_at: new Date().toISOString(), by, touch, state: WAITING };
    await this.store.addTouch(made);
    this.touches.push(made);
    return made;
  }

  // The entry undo would take back: the last one of this phone that stands.
  lastMade(since = 0) {
    const last = lastStanding(this.touches);
    return last && Date.parse(last.made_at) >= since ? last : null;
  }

  async undo(by, made) {
    const kept = (await this.store.touchesOf(made.check.id)).find((one) => one.id === made.id);
    if (kept?.state === REFUSED) {
      // The record never had it: it is withdrawn here, and stays readable here.
      await this.store.putTouches([{ ...kept, state: WITHDRAWN }]);
      this.touches = this.touches.filter((one) => one.id !== made.id);
    } else {
      await this.make(made.check, { kind: "take_back", entry: made.id }, by);
    }
    return made;
  }
}
