// What stands round every screen: the animal on top, the thumb's buttons below, the alarm over all.
import { drawn, h, SIGNS } from "./dom.js";
import { alarmPanel, alarmStrip } from "./alarm.js";
import { Rest } from "./rest.js";
import { unsentWords } from "./sent.js";
import { holdScreen, isDone, whereMade } from "./ways.js";

// Long enough that the second half of a double touch cannot mark a hold nobody has read.
const SETTLE_MS = 300;
const ALARM_SETTLE_MS = 500;

export class Frame {
  constructor(app) {
    this.app = app;
    const part = (name) => app.root.querySelector(`[data-part="${name}"]`);
    this.parts = {
      bar: part("bar"), alarm: part("alarm"), screen: part("screen"), foot: part("foot"), say: part("say"),
    };
    this.resting = new Rest(app.root);
    this.hand(rememberedHand());
  }

  hand(which) {
    this.app.root.dataset.hand = which;
    try { localStorage.setItem("hand", which); } catch { /* then for this visit */ }
  }

  show(drawing, { fresh }) {
    const { screen } = this.parts;
    this.resting.begin();
    const focused = document.activeElement?.dataset?.key;
    const heading = h("h1", { tabindex: "-1", "data-key": "title" }, drawing.title);
    screen.replaceChildren(
      heading, ...[drawing.body].flat(4).filter((one) => one !== null && one !== false && one !== ""),
    );
    this.bar();
    this.#foot(drawing, fresh);
    this.alarm();
    document.title = `${drawing.title} · ${this.app.session?.animal.name ?? "check"} · cavyround`;
    if (fresh) {
      scrollTo(0, 0);
      if (!this.alarmed) heading.focus({ preventScroll: true });
    } else if (focused) {
      this.app.root.querySelector(`[data-key="${CSS.escape(focused)}"]`)?.focus({ preventScroll: true });
    }
  }

  say(words) { this.parts.say.textContent = words; }

  trouble(fault) {
    console.error(fault);
    this.resting.begin();
    this.parts.screen.prepend(h("p.fault", { role: "alert" },
      "This phone could not keep that touch, so it does not count. Is its storage full? Free some space and touch again."));
  }

  bar() {
    const tall = this.parts.bar.offsetHeight;
    this.#bar();
    // A line that came or went has moved all that stands below.
    if (this.parts.bar.offsetHeight !== tall) this.resting.begin();
  }

  #bar() {
    const { app } = this;
    const { session, sender } = app;
    const unsent = h("button.unsent", {
      onclick: () => app.go({ name: "sending", back: app.screen }), "data-key": "unsent", "data-state": sender.state,
      "data-unsent": String(sender.unsent), "data-refused": String(sender.refused.length),
    }, unsentWords(sender));
    const cleared = app.cleared ? h("p.also", { "data-part": "cleared" }, app.cleared) : "";
    if (!session) {
      this.parts.bar.replaceChildren(h("a.act.act-slim", { href: app.addresses.today }, "Today"), unsent, this.#news(), cleared);
      return;
    }
    const { animal } = session;
    const line = [animal.sex_words, animal.age, animal.pen].filter(Boolean).join(" · ");
    const who = h("div.animal", {}, face(animal), h("div.grow", {}, h("strong", {}, animal.name), h("span.small", {}, line)));
    this.parts.bar.replaceChildren(who, unsent, this.#news(), this.#holds(),
      this.#together(session, sender), app.clock ? h("p.also", {}, `This phone's clock is ${app.clock.by}: set it to automatic. All is kept, and its times are set right.`) : "", cleared);
  }

  // Advice that came after its animal had gone back to the pen.
  #news() {
    const { app } = this;
    const { news } = app.later;
    const words = app.sender.state === "idle" && app.screen.name !== "readback" ? app.hearing.unread : [];
    return news.length || words.length ? h("p.news", {}, news.map((one) => h("a", { href: one.address }, `${one.name}: ${one.words}`)),
      words.map((one) => h("button.act.act-slim", { onclick: () => app.act(() => app.readWaiting(one)), "data-key": `unread-${one.one.id}` }, `${one.animal.name}: look at the words that waited`))) : "";
  }

  // Two phones at one animal are two checks; both are kept, and both screens say so.
  #together({ animal, check }, sender) {
    const mine = this.app.me.name;
    const atStart = animal.being_checked_by && animal.being_checked_by !== mine ? [animal.being_checked_by] : [];
    const names = sender.others[check.id]?.length ? sender.others[check.id] : atStart;
    if (!names.length) return "";
    const who = names.map((name) => (name === mine ? "Another phone under your name" : name)).join(" and ");
    return h("p.also", { role: "status" }, `${who} is checking ${animal.name} too: both checks are kept.`);
  }

  #holds() {
    const { app } = this;
    const holds = app.holds();
    const done = holds.filter((hold) => isDone(app, hold)).length;
    return h("nav.holds", { "aria-label": `Holds, ${done} of ${holds.length} done` },
      holds.map((hold, i) => {
        const ticked = isDone(app, hold);
        return h("button", {
          onclick: () => app.go(holdScreen(hold)), "data-key": `to-${hold.code}`, "data-done": ticked ? "yes" : "no",
          // The number that is seen is part of the name, so that it can be spoken to.
          "aria-label": ticked ? `${hold.words}, done` : `${i + 1}: ${hold.words}, not done`,
          "aria-current": app.screen.hold === hold.code ? "step" : null,
        }, ticked ? drawn(SIGNS.tick) : String(i + 1));
      }));
  }

  #foot(drawing, fresh) {
    const { app } = this;
    const { main } = drawing;
    const checking = app.session?.isOpen && !["down", "done"].includes(app.screen.name);
    const undo = app.session?.isOpen && app.session.undone() && h("button.corner.undo", {
      onclick: () => app.act(() => this.#undo()), "data-key": "undo",
    }, drawn(SIGNS.undo), "Undo");
    const lift = checking && h("button.corner.down", {
      onclick: () => app.go({ name: "down", back: app.screen }), "data-key": "put-down",
    }, drawn(SIGNS.down), "Set down");
    const big = main && h(main.quiet ? "button.main.quiet" : "button.main", {
      onclick: () => app.act(main.go), disabled: fresh && main.marks, "data-key": main.key ?? "main",
    }, main.words, main.small ? h("small", {}, main.small) : "");
    this.parts.foot.replaceChildren(undo || h("span"), big || h("span.no-main"), lift || h("span"));
    if (fresh && main?.marks) setTimeout(() => big.removeAttribute("disabled"), SETTLE_MS);
  }

  async #undo() {
    const { app } = this;
    const undone = await app.undo();
    if (!undone) return;
    this.say("Taken back.");
    const where = whereMade(app, undone.touch);
    if (where && (where.hold !== app.screen.hold || app.screen.name === "summary")) app.go(where);
    else app.again();
  }

  // Speaks at once, also while words are still coming in.
  alarm() {
    const { app } = this;
    const alarms = app.alarms();
    // A finding whose kind may still be said in its sheet alarms when the sheet is left; the strip says so at once.
    const unsaid = ["sheet", "outline"].includes(app.screen.name);
    const fresh = alarms.filter((one) => !app.acknowledged.has(one.rule) && (one.sure || !unsaid));
    const was = this.alarmed;
    this.alarmed = fresh.length > 0;
    app.root.dataset.alarm = this.alarmed ? "yes" : "no";
    for (const part of ["screen", "bar", "foot"]) this.parts[part].inert = this.alarmed;
    if (this.alarmed) {
      this.parts.alarm.replaceChildren(alarmPanel(app, fresh));
      // The second half of a double touch on the finding must not end the check.
      if (!was) rest(this.parts.alarm.querySelectorAll(".alarm-acts button"), ALARM_SETTLE_MS);
      if (!was) this.parts.alarm.querySelector("h2").focus();
    } else {
      this.parts.alarm.replaceChildren(alarms.length && app.screen.name !== "done" ? alarmStrip(app, alarms) : "");
    }
  }
}

export function rest(buttons, millis) {
  for (const button of buttons) button.disabled = true;
  setTimeout(() => { for (const button of buttons) button.disabled = false; }, millis);
}

function rememberedHand() {
  try { return localStorage.getItem("hand") ?? "right"; } catch { return "right"; }
}

export function face(animal) {
  const initial = h("span.face.initial", { "aria-hidden": "true" }, animal.name.slice(0, 1));
  if (!animal.photo) return initial;
  const image = h("img.face", { src: animal.photo, alt: "", width: "52", height: "52" });
  image.addEventListener("error", () => image.replaceWith(initial));
  return image;
}
