// Words as they come in: kept on this phone at once, read by the server, recorded by nobody until they are accepted.
import { csrfToken } from "./sending.js";
import { fold } from "./fold.js";
import { groups, isTable, quote, touchesOf } from "./told.js";
import { Session, STILL_OPEN_MS } from "./session.js";
import { plainAlarms } from "./unread.js";

// Long enough that a dictating keyboard, which writes a word at a time, is asked about once a breath.
const BREATH_MS = 350;
const PATIENCE_MS = 8000;
const TRY_AGAIN_MS = 4000;

export class Hearing {
  constructor(app) {
    this.app = app;
    this.changed = () => {};   // told whenever what was heard or read has changed
    this.asked = 0;
    this.timer = 0;
    this.unread = [];
    this.#forget();
    addEventListener("online", () => this.state === "offline" && this.#soon(0));
  }

  #forget() {
    Object.assign(this, { session: null, text: "", entry: null, reading: null, readText: null, state: "idle", why: "", mends: {} });
  }

  get hasWords() { return this.text.trim() !== ""; }
  get isRead() { return this.reading !== null && this.readText === this.text; }

  // The words typed so far for this animal; a reload or a locked phone loses none of them.
  async open(session) {
    clearTimeout(this.timer);
    this.#forget();
    this.session = session;
    const kept = session && (await this.app.store.keptRound(draftOf(session)));
    const fresh = kept && Date.now() - kept.at < STILL_OPEN_MS;
    if (fresh && this.session === session && !this.hasWords) this.heard(kept.text, { kept: true });
  }

  // Words that waited with their check while there was no connection.
  openWaiting(session, one) {
    clearTimeout(this.timer);
    this.#forget();
    Object.assign(this, { session, text: one.touch.text, entry: one });
  }

  heard(text, { kept = false } = {}) {
    if (text === this.text) return;
    this.text = text;
    this.mends = {};
    if (!kept && !this.entry) this.app.store.keepRound({ text, at: Date.now() }, draftOf(this.session)).catch((fault) => this.app.frame.trouble(fault));
    if (this.hasWords) this.#soon(BREATH_MS);
    else this.#read(null, "");
    this.changed();
  }

  #soon(millis) {
    clearTimeout(this.timer);
    this.timer = setTimeout(() => this.read(), millis);
  }

  // Asks what stands in the words; a slow answer never takes the place of a later one.
  async read() {
    clearTimeout(this.timer);
    if (!this.hasWords || this.isRead) return;
    const { session, text } = this;
    this.asked += 1;
    const turn = this.asked;
    this.state = "reading";
    this.changed();
    const answer = await ask(this.app.addresses.said, { animal: session.animal.id, text });
    if (turn !== this.asked || session !== this.session) return;
    this.state = answer.state;
    this.why = answer.why ?? "";
    if (answer.reading && text === this.text) this.#read(answer.reading, text);
    else if (answer.state === "offline") {
      this.app.frame.alarm();
      this.#soon(TRY_AGAIN_MS);
    }
    this.changed();
  }

  #read(reading, text) {
    Object.assign(this, { reading, readText: text });
    this.app.frame.alarm();
  }

  mend(key, change) {
    this.mends[key] = { ...this.mends[key], ...change };
  }

  // The emergency signs said so far. They are signs while they are only words, too.
  alarms() {
    const name = this.session?.animal.name;
    // Without the server the words are only heard plainly: each sign is one to look at.
    if (this.state === "offline" && !this.isRead) return this.#heardPlainly(name);
    return (this.reading?.red_flags ?? []).map((one) => ({
      rule: one.rule, sure: true, name: isTable(one.name, name) ? name : one.name, do_now: one.do_now, do_not: one.do_not,
      seen: `${this.app.round.observation({ ...one, status: one.uncertain ? "uncertain" : "present" })}: “${quote(this.readText, one.spans)}”`,
    }));
  }

  #heardPlainly(name) {
    if (!this.session) return [];
    return plainAlarms(this.text, this.app.round).map((one) => ({
      rule: one.rule, sure: true, name, do_now: one.do_now, do_not: one.do_not,
      seen: `${this.app.round.observation({ ...one, status: "uncertain" })}: “${one.said}”`,
    }));
  }

  // The touches of those signs that were said of the animal on the table.
  signs() {
    const flags = this.reading?.red_flags ?? [];
    if (!flags.length) return [];
    const mine = groups({ round: this.app.round, animal: this.session.animal, reading: this.reading, mends: this.mends }).filter((one) => one.mine);
    const isSign = (touch) => touch?.kind === "observation" && touch.status !== "absent" && flags.some((one) => one.region === touch.region && one.finding === touch.finding);
    return mine.flatMap((one) => touchesOf(one, this.session.sitting)).filter(isSign);
  }

  async done() {
    const { session } = this;
    this.#forget();
    this.session = session;
    await this.app.store.keepRound({ text: "", at: Date.now() }, draftOf(session));
  }

  // What waits to be read, of all checks on this phone.
  async findUnread() {
    const byCheck = new Map();
    for (const made of await this.app.store.allTouches()) byCheck.set(made.check.id, [...(byCheck.get(made.check.id) ?? []), made]);
    this.unread = [...byCheck.values()].flatMap((touches) => {
      const animal = this.app.round?.animal(touches[0].check.animal);
      return animal ? fold(touches).said.filter((one) => one.touch.waits).map((one) => ({ animal, check: touches[0].check, touches, one })) : [];
    });
    return this.unread;
  }

  sessionOf({ animal, check, touches }) {
    return new Session(this.app.store, animal, check, touches);
  }
}

// By animal: a check with nothing but words in it has another id after a reload.
function draftOf(session) {
  return `said-${session.animal.id}`;
}

async function ask(address, body) {
  let response;
  let answer;
  try {
    response = await fetch(address, {
      method: "POST", body: JSON.stringify(body), credentials: "same-origin", signal: AbortSignal.timeout(PATIENCE_MS),
      headers: { Accept: "application/json", "Content-Type": "application/json", "X-CSRFToken": csrfToken() },
    });
    answer = await response.json().catch(() => ({}));
  } catch {
    return { state: "offline", why: "No connection to the server." };
  }
  if (response.ok) return { state: "idle", reading: answer };
  if (response.status >= 500) return { state: "offline", why: "The server is not answering as it should." };
  return { state: response.status === 401 ? "sign_in" : "refused", why: answer.why ?? "The server turned this away." };
}
