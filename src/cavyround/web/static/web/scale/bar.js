// The bar that reads a scale straight into a page.
//
//   const bar = scaleBar({ settings, onSettled, announce, subject });
//   somewhere.append(bar.part);  …  bar.weighing(nextAnimalsId);  …  bar.stop();
//
// settings   the numbers of the knowledge: the JSON of the address named "scale-settings", or what
//            `cavyround.web.scale_trial.settings.scale_settings()` puts into a page's own JSON.
// onSettled  called with { grams, plusMinus, readings, source, words } when the carer touches
//            "Take 912 g" in the bar, and never by itself: one touch is the acceptance. The page then
//            treats it like a weight that was typed (and doubts it as such). `words` fit where what was
//            typed is kept (24 signs).
// announce   called with words for whoever cannot see the bar; may be left out.
// subject    whose weight it would be (an animal's id). The connection and what lies on the pan outlive
//            the bar; a load that was put on while another subject's bar was open is never offered here.
//            Left out, every new bar is somebody new. A page that keeps one bar for many animals says
//            `bar.weighing(id)` when it goes on to the next.
// stop()     takes the bar off; the scale stays connected for the next bar of this tab.
//
// Where the browser offers no way to a scale the part is one line that says so.
import { h } from "../check/dom.js";
import { WAYS, attached } from "./attached.js";
import { FRAMES, SPEEDS } from "./by_serial.js";
import { inWords, saying, whole, whyNot } from "./saying.js";
import { isTried } from "./tried.js";

// Long enough that a touch meant for the number before does not take the one after.
const REST_MS = 400;

export function scaleBar({ settings, onSettled, announce = () => {}, subject = Symbol("somebody") }) {
  const why = settings ? whyNot(attached.offered) : "The page came without the numbers to read a scale by. Type the weight as always.";
  if (why) {
    const part = h("p.scale-bar.scale-without.small", { "data-part": "scale" }, why);
    return { part, weighing() {}, stop() { part.remove(); } };
  }
  return new Bar({ settings, onSettled, announce, subject });
}

class Bar {
  constructor({ settings, onSettled, announce, subject }) {
    Object.assign(this, { settings, onSettled, announce });
    this.offer = offered(settings, () => this.update());
    this.live = live(this);
    this.part = h("section.scale-bar", { "aria-label": "Scale", "data-part": "scale" }, this.offer.part, this.live.part);
    this.deaf = attached.hear((event) => this.#heard(event));
    this.said = "";
    this.weighing(subject);
    attached.remembered(settings);
    this.update();
  }

  weighing(subject) {
    this.subject = subject;
    attached.weighing(subject, () => this.part.isConnected);
  }

  stop() {
    this.deaf();
    this.part.remove();
  }

  #heard({ lost, connected }) {
    if (lost) this.announce(`Scale: ${attached.why}`);
    if (connected) this.announce(`Scale connected: ${attached.name}.`);
    this.update();
  }

  update() {
    if (attached.subject !== this.subject) return;
    const on = ["connected", "lost", "gone"].includes(attached.status);
    this.part.dataset.status = attached.status;
    this.offer.part.hidden = on;
    this.live.part.hidden = !on;
    this.offer.update();
    if (!on) return;
    const now = saying(attached);
    this.part.dataset.phase = now.phase;
    this.live.update(now);
    const settled = now.take ? `Settled: ${inWords(now.take.settled)}.` : now.phase === "over" ? now.detail : "";
    if (settled && settled !== this.said) this.announce(settled);
    this.said = settled;
  }

  take(settled) {
    const { grams, plusMinus, readings } = settled;
    attached.take(settled);
    this.announce(`${whole(grams)} taken.`);
    this.onSettled({
      grams, plusMinus, readings, source: `${attached.way.source}: ${attached.name}`, words: `${grams} g ± ${plusMinus} g by scale`,
    });
  }
}

// Nothing is connected: what can be, folded away so that typing keeps its place.
function offered(settings, update) {
  const speed = select("Speed", SPEEDS.map((one) => [String(one), `${one} baud`]));
  const frame = select("Bits", Object.keys(FRAMES).map((one) => [one, one]));
  const options = () => ({ speed: Number(speed.input.value), frame: frame.input.value });
  const ways = attached.offered;
  const without = WAYS.filter((way) => !ways.includes(way)).map((way) => way.words);
  const buttons = ways.map((way) => h("button.act", {
    "data-key": `scale-${way.code}`, onclick: () => attached.connect(way, settings, options()),
  }, `Connect by ${way.words}`));
  const why = h("p.scale-why.small", { role: "status" });
  const details = h("details.scale-offer", { "data-key": "scale-offer" }, h("summary", {}, "Read a scale straight in"),
    h("div.scale-ways", {}, buttons),
    ways.some((way) => way.code === "serial") ? h("div.scale-cable", {}, speed.part, frame.part) : "",
    without.length ? h("p.small.soft", {}, `Not in this browser: ${without.join(", ")}.`) : "",
    h("p.small.soft", {}, "Nothing is kept without your touch, and typing always works."));
  details.addEventListener("toggle", update);
  return {
    part: h("div", {}, details, why),
    update() {
      const choosing = attached.status === "choosing";
      for (const one of buttons) one.disabled = choosing;
      put(why, choosing ? "The browser asks which scale …" : attached.why);
      why.hidden = !why.textContent;
    },
  };
}

function select(words, choices) {
  const input = h("select", { "data-key": `scale-${words.toLowerCase()}` }, choices.map(([value, said]) => h("option", { value }, said)));
  return { input, part: h("label.small", {}, `${words} `, input) };
}

// A scale is connected: its number, how it stands in words, and the one touch that takes it.
function live(bar) {
  const number = h("p.scale-number", {});
  const state = h("strong", {});
  const detail = h("span", {});
  const untried = h("p.small.scale-untried", {}, "Never tried with a known weight on this device. ", bar.settings.trial ? h("a", { href: bar.settings.trial }, "Try it once") : "");
  const words = h("span", {});
  const small = h("small", {});
  let shown = null;
  let since = 0;
  const take = h("button.act.act-main.scale-take", {
    "data-key": "scale-take", onclick: () => shown && performance.now() - since > REST_MS && bar.take(shown),
  }, words, small);
  const act = (key, said, what) => h("button.act", { "data-key": `scale-${key}`, onclick: what }, said);
  const nought = act("nought", "Set to nought", () => {
    const answer = attached.act("setNought");
    bar.announce(answer.why ?? `Nought is set with ${whole(answer.grams)} on the pan.`);
  });
  const emptied = act("emptied", "The pan is empty", () => attached.act("emptied"));
  const again = act("again", "Connect again", () => attached.reopen());
  const off = act("off", "Disconnect", () => attached.disconnect({ forget: true }));
  const name = h("p.small.soft", {});
  const more = h("div.scale-more", { hidden: true }, name, untried, off);
  const opens = act("more", "This scale", () => {
    more.hidden = !more.hidden;
    opens.setAttribute("aria-expanded", String(!more.hidden));
  });
  opens.setAttribute("aria-expanded", "false");
  // One of the three stands there at a time, so that what is below keeps its place under the thumb.
  const acts = h("div.scale-ways", {}, emptied, nought, again, opens);
  return {
    part: h("div.scale-live", {}, h("div.scale-now", {}, number, h("p.scale-state", {}, state, " ", detail)), take, acts, more),
    update(now) {
      put(number, now.number);
      put(state, now.state);
      put(detail, now.detail);
      if (shown !== (now.take?.settled ?? null)) since = performance.now();
      shown = now.take?.settled ?? null;
      // aria-disabled: the button keeps its place and the focus, and says why it waits.
      take.setAttribute("aria-disabled", shown ? "false" : "true");
      put(words, shown ? now.take.words : "Take the weight");
      put(small, shown ? now.take.small : "when it has settled");
      const { settling, status, way } = attached;
      const says = way.finished || settling.phase === "silent";
      again.hidden = status !== "gone";
      emptied.hidden = !again.hidden || !says;
      nought.hidden = !again.hidden || says;
      emptied.disabled = settling.armed;
      nought.disabled = status !== "connected" || settling.grams === null;
      untried.hidden = !bar.settings.trial || isTried(way, attached.name) || location.pathname === bar.settings.trial;
      put(name, `${attached.name}${settling.tare ? `, nought set with ${whole(settling.tare)} on the pan` : ""}`);
    },
  };
}

// Text that has not changed is left alone, so that nothing is read out or selected anew.
function put(element, words) {
  if (element.textContent !== words) element.textContent = words;
}

// The bar brings its own look to whatever page takes it in.
document.head.append(h("link", { rel: "stylesheet", href: new URL("bar.css", import.meta.url).href }));
