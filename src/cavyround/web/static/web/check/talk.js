// Talk me through: one step at a time is read aloud, and waits for a word, a key, a pedal or a touch.
import { h } from "./dom.js";
import { firstSentence } from "./hold.js";
import { WEIGHT_STEP } from "./fold.js";
import { Voice } from "./aloud.js";
import { orderIn, orderOf } from "./orders.js";
import { afterHold, owesAnswer, shown } from "./ways.js";

// A dictating keyboard writes "next" and then mends it: it is obeyed when it has stood for a moment.
const STANDS_MS = 700;
const voice = new Voice();
let led = null;

export function talk(app, screen) {
  const steps = app.holds().filter((hold) => !hold.not_now).flatMap((hold) => shown(hold).map((step) => ({ hold, step })));
  const first = Math.max(0, steps.findIndex(({ hold, step }) => (screen.hold ? hold.code === screen.hold : true) && !app.session.sitting.steps.has(step.code)));
  led = new Led(app, screen, steps, screen.at ?? first);
  return led.drawing();
}

document.addEventListener?.("keydown", (event) => {
  if (!led || led.app.screen.name !== "talk" || led.app.frame.alarmed || event.repeat || event.ctrlKey || event.metaKey || event.altKey) return;
  const inField = event.target === led.field;
  const onButton = !inField && event.target.matches?.("button, a, summary, input, textarea");
  const order = orderOf(event.key, { inField, empty: !led.field.value.trim(), onButton });
  if (!order) return;
  event.preventDefault();
  if (inField && order === "next") led.keepWords(led.field.value);
  led.obey(order);
});

class Led {
  constructor(app, screen, steps, at) {
    Object.assign(this, { app, screen, steps, at, timer: 0 });
    this.field = h("input", {
      type: "text", id: "led-words", "data-key": "led-words", autocomplete: "off", autocapitalize: "none", enterkeyhint: "next", "aria-describedby": "led-hint",
      oninput: () => this.#heard(),
    });
    this.step = h("div.led-step");
    this.told = h("p.led-told", { role: "status", "data-part": "led-told" });
  }

  get now() { return this.steps[this.at]; }

  drawing() {
    this.#draw();
    this.#read(true);
    const button = (order, words) => h("button.act", { onclick: () => this.obey(order), "data-key": `led-${order}` }, words);
    return {
      title: "Talk me through",
      body: [
        this.step, this.told,
        h("div.field", {}, h("label", { for: "led-words" }, "Say or type what you see, then “next”"), this.field,
          h("p.hint", { id: "led-hint" }, "“Normal” marks the step as it should be, “next” or “done” only goes on, “back” and “again” do as they say.")),
        h("div.thirds", {}, button("back", "Back"), button("again", "Again"), button("normal", "As it should be")),
        h("details.small", {}, h("summary", {}, "Keys and foot pedals"),
          h("ul", {}, ["Next, marking nothing: space bar, Enter, right arrow, Page Down", "As it should be: down arrow, or N", "Back: left arrow, Page Up", "Read it again: up arrow, or R"].map((words) => h("li", {}, words))),
          h("p", {}, "The steps are spoken by this device's own voice. What you say is not listened to by this page: the keyboard's dictation writes it.")),
        h("button.act.whole", { onclick: () => this.#end(), "data-key": "led-end" }, "Stop here and look at the words"),
      ],
      main: { words: "Next", small: "marks nothing", key: "led-next", go: () => this.obey("next", { acting: true }) },
    };
  }

  #draw() {
    const { hold, step } = this.now;
    this.screen.at = this.at;
    const state = this.app.session.sitting.steps.get(step.code)?.status;
    this.step.replaceChildren(
      h("p.small", {}, `${this.at + 1} of ${this.steps.length} · ${hold.words}`),
      h("h2", {}, step.words),
      h("p", {}, firstSentence(step.look?.[0] ?? step.feel?.[0] ?? step.normal[0] ?? "")),
      ...(step.why_more ?? []).map((words) => h("p.small.more", {}, words)),
      ...step.carried.map((one) => h("p.small", {}, h("span.chip", {}, "known"), ` ${one.words}`)),
      state ? h("p.small", {}, h("span.chip", {}, STATE[state] ?? state)) : "",
    );
  }

  async #read(whole) {
    const { hold, step } = this.now;
    const newHold = whole || this.steps[this.at - 1]?.hold.code !== hold.code;
    const words = [newHold ? `${hold.words}. ${firstSentence(hold.how)}` : "", `${step.words}.`, firstSentence(step.look?.[0] ?? step.feel?.[0] ?? ""),
      step.carried.length ? `Known: ${step.carried.map((one) => one.words).join("; ")}. Same, bigger or gone?` : ""];
    if (!(await voice.say(words.filter(Boolean).join(" ")))) this.#tell("This browser has no voice of its own: the steps stand here in large letters.", { aloud: false });
  }

  #tell(words, { aloud = true } = {}) {
    this.told.textContent = words;
    if (aloud) voice.say(words);
  }

  #heard() {
    clearTimeout(this.timer);
    const typed = this.field.value;
    const found = orderIn(typed);
    if (!found) return;
    this.timer = setTimeout(() => {
      if (this.field.value !== typed || led !== this) return;
      if (found.words) this.keepWords(found.words);
      this.field.value = "";
      this.obey(found.order);
    }, STANDS_MS);
  }

  // What was seen goes to the words of this check, under the name of its step; they are read back at the end.
  keepWords(typed) {
    const words = typed.trim();
    this.field.value = "";
    if (!words) return;
    const { hearing } = this.app;
    hearing.heard(`${hearing.text}${hearing.hasWords ? "\n" : ""}${this.now.step.words}: ${words.replace(/[.\s]+$/, "")}.`);
    hearing.read();
  }

  obey(order, { acting = false } = {}) {
    const doing = () => this.#obey(order);
    return acting ? doing() : this.app.act(doing);
  }

  async #obey(order) {
    const { step } = this.now;
    if (order === "normal" && !(await this.#normal(step))) return;
    if (order === "skip") await this.#made({ kind: "step_skipped", step: step.code, why: "said to be left out" });
    if (order === "again") return this.#read(true);
    if (order === "back") this.at = Math.max(0, this.at - 1);
    else if (this.at === this.steps.length - 1) return this.#end();
    else this.at += 1;
    this.#draw();
    this.#read(false);
  }

  async #normal(step) {
    if (step.code === WEIGHT_STEP) {
      this.#tell("Say the weight, or next.");
      return false;
    }
    if (owesAnswer(this.app, step)) {
      this.#tell("First what is known of it: same, bigger or gone? Say it, or next.");
      return false;
    }
    await this.#made({ kind: "step_normal", step: step.code });
    return true;
  }

  async #made(touch) {
    await this.app.make(touch);
    this.app.frame.bar();
    this.#tell(`${this.now.step.words}: ${touch.kind === "step_normal" ? "as it should be" : "left out"}.`, { aloud: false });
  }

  async #end() {
    const { app } = this;
    if (this.field.value.trim()) this.keepWords(this.field.value);
    const left = this.steps.filter(({ step }) => !app.session.sitting.steps.has(step.code)).length;
    voice.say(app.hearing.hasWords ? "That is all. Look at what was read." : `That is all. ${left} ${left === 1 ? "step is" : "steps are"} not checked.`);
    if (!app.hearing.hasWords) return app.go(afterHold(app, null));
    await app.hearing.read();
    app.go(app.hearing.isRead ? { name: "readback" } : { name: "say" });
  }
}

const STATE = { normal: "as it should be", found: "found", skipped: "left out" };
