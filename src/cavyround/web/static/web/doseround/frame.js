// What stands round every screen of the dose round: where one is, what is not sent, the thumb's buttons below.
import { drawn, h, SIGNS } from "../check/dom.js";
import { Rest } from "../check/rest.js";
import { unsentWords } from "../check/sent.js";

export class Frame {
  constructor(app) {
    this.app = app;
    const part = (name) => app.root.querySelector(`[data-part="${name}"]`);
    this.parts = { bar: part("bar"), screen: part("screen"), foot: part("foot"), say: part("say") };
    // The second half of a double touch on "Drawn up" must not say "Given".
    this.resting = new Rest(app.root);
    this.hand(remembered());
  }

  hand(which) {
    this.app.root.dataset.hand = which;
    try { localStorage.setItem("hand", which); } catch { /* then for this visit */ }
  }

  show(drawing, { fresh }) {
    const { screen } = this.parts;
    const focused = document.activeElement?.dataset?.key;
    const heading = h("h1", { tabindex: "-1", "data-key": "title" }, drawing.title);
    const body = [drawing.body].flat(4).filter((one) => one !== null && one !== undefined && one !== false && one !== "");
    screen.replaceChildren(...(drawing.head ? [drawing.head(heading)] : [heading]), ...body);
    this.bar();
    this.#foot(drawing);
    this.resting.begin();
    document.title = `${drawing.title} · dose round · cavyround`;
    if (fresh) {
      scrollTo(0, 0);
      heading.focus({ preventScroll: true });
    } else if (focused) {
      this.app.root.querySelector(`[data-key="${CSS.escape(focused)}"]`)?.focus({ preventScroll: true });
    }
  }

  say(words) { this.parts.say.textContent = words; }

  trouble(fault) {
    console.error(fault);
    this.parts.screen.prepend(h("p.fault", { role: "alert" },
      "This phone could not keep that entry, so it does not count. Is its storage full? Free some space and touch again."));
  }

  bar() {
    const { app } = this;
    const tall = this.parts.bar.offsetHeight;
    const atList = ["choose", "lost"].includes(app.screen.name);
    const back = atList ? h("a.act.act-slim", { href: app.addresses.today }, "Today")
      : h("button.act.act-slim", { onclick: () => app.leave(), "data-key": "list" }, "List");
    this.parts.bar.replaceChildren(back, h("strong.progress", { "data-part": "progress" }, app.progress()), h("button.unsent", {
      onclick: () => app.screen.name !== "sending" && app.go({ name: "sending", back: app.screen }), "data-key": "unsent", "data-state": app.sendState,
      "data-unsent": String(app.unsent), "data-refused": String(app.refused.length),
    }, unsentWords({ unsent: app.unsent, refused: app.refused, state: app.sendState })),
    ...this.#warnings());
    // A line that came or went has moved all that stands below.
    if (this.parts.bar.offsetHeight !== tall) this.resting.begin();
  }

  // What another phone did as well, and a clock that is wrong: in sight on every screen until it is read.
  #warnings() {
    const { app } = this;
    return [
      ...app.doubles().map(({ key, words }) => h("div.double", { role: "alert", "data-double": key },
        h("p", {}, words), h("button.act.act-slim", { "data-key": `read-${key}`, onclick: () => app.act(() => app.readDouble(key)) }, "Read"))),
      ...app.news.map((one) => h("p.also.news-line", {}, h("a", { href: one.address }, `${one.name}: ${one.words}`))),
      ...(app.clock ? [h("p.also", {}, `This phone's clock is ${app.clock.by}: set it to automatic. All is kept, and its times are set right.`)] : []),
    ];
  }

  #foot(drawing) {
    const { app } = this;
    const { main } = drawing;
    const last = drawing.undo === false ? null : app.undoable();
    const undo = last && h("button.corner.undo", {
      onclick: () => app.act(() => app.undo(last)), "data-key": "undo", "aria-label": `Undo ${app.aboutEntry(last)}`,
    }, drawn(SIGNS.undo), "Undo", h("span.whose", {}, app.day.animal(last.check.animal)?.name ?? ""));
    const big = main && h(main.quiet ? "button.main.quiet" : "button.main", {
      onclick: () => app.act(main.go), "data-key": main.key ?? "main",
    }, main.words, main.small ? h("small", {}, main.small) : "");
    const skip = drawing.skip && h("button.corner", { onclick: drawing.skip, "data-key": "skip" }, drawn(SIGNS.dash), "Later");
    this.parts.foot.replaceChildren(undo || h("span"), big || h("span.no-main"), skip || h("span"));
  }
}

function remembered() {
  try { return localStorage.getItem("hand") ?? "right"; } catch { return "right"; }
}
