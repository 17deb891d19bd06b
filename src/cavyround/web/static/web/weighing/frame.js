// What stands round every screen of the weigh-in: where one is, what is not sent, the thumb's buttons below.
import { drawn, h, SIGNS } from "../check/dom.js";
import { Rest } from "../check/rest.js";
import { unsentWords } from "../check/sent.js";

export class Frame {
  constructor(app) {
    this.app = app;
    const part = (name) => app.root.querySelector(`[data-part="${name}"]`);
    this.parts = { bar: part("bar"), screen: part("screen"), foot: part("foot"), say: part("say") };
    // The second half of a double touch on the tens must not be the last digit.
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
    document.title = `${drawing.title} · weigh-in · cavyround`;
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
      "This phone could not keep that weight, so it does not count. Is its storage full? Free some space and touch again."));
  }

  bar() {
    const { app } = this;
    const { sender } = app;
    const back = app.run && app.screen.name !== "choose"
      ? h("button.act.act-slim", { onclick: () => app.leave(), "data-key": "pens" }, "Pens")
      : h("a.act.act-slim", { href: app.addresses.today }, "Today");
    const done = app.run && h("strong.progress", { "data-part": "progress" }, `${app.run.weighed().length} of ${app.run.animals.length}`);
    this.parts.bar.replaceChildren(back, done ?? h("strong.progress", {}, "Weigh-in"), h("button.unsent", {
      onclick: () => app.screen.name !== "sending" && app.go({ name: "sending", back: app.screen }), "data-key": "unsent", "data-state": sender.state,
      "data-unsent": String(sender.unsent), "data-refused": String(sender.refused.length),
    }, unsentWords(sender)), app.clock ? h("p.also", {}, `This phone's clock is ${app.clock.by}: set it to automatic. All is kept, and its times are set right.`) : "");
  }

  #foot(drawing) {
    const { app } = this;
    const { main } = drawing;
    const undo = app.run?.lastDone() && ["animal", "result"].includes(app.screen.name) && h("button.corner.undo", {
      onclick: () => app.act(() => app.undo()), "data-key": "undo", "aria-label": `Undo ${app.run.animal(app.run.lastDone())?.name ?? ""}`,
    }, drawn(SIGNS.undo), "Undo");
    const big = main && h(main.quiet ? "button.main.quiet" : "button.main", {
      onclick: () => app.act(main.go), "data-key": main.key ?? "main",
    }, main.words, main.small ? h("small", {}, main.small) : "");
    const skip = drawing.skip && h("button.corner", { onclick: drawing.skip, "data-key": "skip" }, drawn(SIGNS.dash), "Not now");
    this.parts.foot.replaceChildren(undo || h("span"), big || h("span.no-main"), skip || h("span"));
  }
}

function remembered() {
  try { return localStorage.getItem("hand") ?? "right"; } catch { return "right"; }
}
