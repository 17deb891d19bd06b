// One dose: who, what, how much, on which mark; then drawn up, then what became of it.
import { h } from "../check/dom.js";
import { face } from "../check/frame.js";
import { clockTime, outcomeWords, vets } from "./choose.js";
import { alarmOf, isChecked, left, nextAfter, standingOf } from "./day.js";
import { readied, readyAct } from "./entry.js";
import { restsOn } from "./second.js";
import { syringe } from "./syringe.js";

export function dose(app, screen) {
  const one = app.day.dose(screen.key);
  if (!one) return gone(app);
  const animal = app.day.animal(one.animal);
  const standing = standingOf(one, app.day, app.ledger);
  return {
    title: animal.name,
    head: (heading) => h("header.on-table", {}, face(animal), h("div.grow", {}, heading,
      h("p.small.who", {}, [animal.pen, animal.sex_words, animal.age].filter(Boolean).join(" · ")))),
    body: [
      others(app, one),
      medicine(one),
      tried(one, standing),
      SHOWN[standing.is](app, one, standing),
    ],
    skip: ["done", "other_day"].includes(standing.is) ? null : () => app.goOn(one.key),
    main: MAIN[standing.is](app, one, standing),
  };
}

function gone(app) {
  return { title: "This dose is no longer on the list", body: h("p", {}, "It was changed, or is of another day."), main: { words: "Back to the list", quiet: true, go: () => app.leave() } };
}

// What else this animal gets in this sitting: one touch to each.
function others(app, one) {
  const beside = app.day.doses.filter((other) => other.animal === one.animal && other.sitting === one.sitting);
  if (beside.length < 2 || one.sitting === null) return "";
  return h("nav.mates", { "aria-label": "Doses of this animal" }, beside.map((other) => {
    const { is } = standingOf(other, app.day, app.ledger);
    return h("button", { "data-key": `to-${other.key}`, "data-done": is === "done" ? "yes" : "no", "aria-current": other.key === one.key ? "step" : null, onclick: () => app.go({ name: "dose", key: other.key }) },
      h("strong", {}, other.what), h("span.small", {}, is === "done" ? "done" : isChecked(other, app.ledger.draft(other.key)) && other.mark_words || other.often_words));
  }));
}

function medicine(one) {
  return [
    h("p.medicine", {}, h("strong", {}, one.what), one.route_words ? `, ${one.route_words}` : ""),
    h("p.small.why-line", {}, [one.why ? `For: ${one.why}` : "", one.nth_words, one.due_words].filter(Boolean).join(" · ")),
    one.note ? h("p.note", { "data-part": "note" }, one.note) : "",
    one.says ? h("p.said.warning", {}, one.says) : "",
  ];
}

function tried(one, { tries, is }) {
  if (!tries.length) return "";
  return h("ul.tries", { "data-part": "tries" }, tries.map((each) => h("li", { "data-outcome": each.outcome },
    h("strong", {}, outcomeWords(each)), ` at ${clockTime(each.at)} by ${each.by}${each.why ? `: ${each.why}` : ""}${each.mine || is !== "done" ? "" : "."}`)));
}

// The amount, as large as it can be; what it rests on below, the most needed first.
function amount(app, one, { draft }) {
  if (!isChecked(one, draft)) return unseen(one, draft);
  return [
    draft?.changed ? h("p.caution", { role: "alert", "data-part": "changed" }, `${readied(one, draft.mark_words)} before. The amount is another one now: empty it, and ${one.wash ? "make" : "draw"} up ${one.mark_words}.`) : "",
    h("div.amount", {},
      one.syringe ? syringe({ ...one.syringe, to: one.to, words: one.measure_words }) : h("p.big-number", { "data-part": "mark" }, one.mark_words),
      h("p.measure", {}, one.syringe ? `in the ${one.device_words}` : one.measure_words)),
    one.rest ? vets(app) : "",
    one.dilution ? h("div.caution.dilution", {}, h("strong", {}, one.wash ? "Make it up" : "Thin it first"), h("ol", {}, one.dilution.map((step) => h("li", {}, step)))) : "",
    h("dl.rests", {},
      one.amount_words ? row("Amount", one.amount_words) : "",
      one.product_words ? row("Label", one.product_words) : "",
      one.weight_words ? row("Weight", one.weight_words) : "",
      one.by_hand ? row("By hand", h("span.by-hand", {}, one.by_hand)) : ""),
    cautions(one),
    more(one),
  ];
}

// What two people work out from, each alone. Who has seen the amount does not work it out any more.
function unseen(one, draft) {
  return [
    draft?.changed ? h("p.caution", { role: "alert", "data-part": "changed" }, "The amount is another one now: empty what was drawn up, and work it out anew.") : "",
    h("p", { "data-part": "unseen" }, "The amount, the mark and the sum are shown once the second person has worked it out."),
    h("dl.rests", {}, restsOn(one).map(([name, words]) => row(name, words))),
  ];
}

function row(name, words) {
  return h("div", {}, h("dt", {}, name), h("dd", {}, words));
}

const SHOWN_CAUTIONS = 2;

function cautions(one) {
  const shown = one.cautions.slice(0, SHOWN_CAUTIONS);
  return shown.length ? h("ul.cautions", {}, shown.map((words) => h("li", {}, words))) : "";
}

function more(one) {
  const rest = [...one.cautions.slice(SHOWN_CAUTIONS), ...one.traps, one.published_words, one.gives_words ? `At the mark: ${one.gives_words}.` : "", one.withdrawal_words, one.ordered_words, ...one.rules].filter(Boolean);
  return h("details.small", {}, h("summary", {}, "More"), h("ul", {}, rest.map((words) => h("li", {}, words))),
    one.address ? h("p", {}, h("a", { href: one.address }, "The course and its order")) : "");
}

const SHOWN = {
  ready: (app, one, standing) => amount(app, one, standing),
  drawn: (app, one, standing) => [
    one.draws ? h("p.drawn-up", { "data-part": "drawn" }, h("span.grow", {}, `${readied(one, standing.draft.mark_words)} at ${clockTime(standing.draft.drawn_at)}.`),
      h("button.as-link", { "data-key": "not-drawn", onclick: () => app.act(() => app.notDrawn(one)) }, "Not so")) : "",
    outcomes(app, one),
    amount(app, one, standing),
  ],
  second: (app, one, standing) => [
    two(one),
    amount(app, one, standing),
  ],
  weigh: (app, one) => [h("div.card.first", { "data-part": "weigh" }, h("h2", {}, "Weigh it first"),
    one.weighed_since ? h("p", {}, `Weighed on this phone: ${one.weighed_since}. The amount is worked out by it as soon as there is a connection.`) : one.reasons.map((why) => h("p", {}, why.words)))],
  stop: (app, one) => [h("div.card.first.stop", { "data-part": "stop" }, h("h2", {}, "Not to be given"),
    h("ul", {}, one.reasons.map((why) => h("li", {}, why.words, h("span.small.line", {}, why.do)))), vets(app)), more(one)],
  ask: (app, one) => [h("div.card.first.stop", { "data-part": "ask" }, h("h2", {}, "Ring the vet before this dose"),
    h("p", {}, alarmOf(one, app.day, app.ledger)), vets(app)), outcomes(app, one)],
  soon: (app, one, standing) => [h("p.said", {}, `Not before ${clockTime(one.from_at)}.`), amount(app, one, standing)],
  late: (app, one, { checked }) => [h("p.caution", { role: "alert", "data-part": "late" }, `It was to be given by ${clockTime(one.until_at)}. What the order says of a late dose comes with a new list.`),
    h("ul", {}, one.rules.map((words) => h("li", {}, words))),
    // Late or not, what needs two people is not given by one.
    checked ? "" : [two(one), h("button.act", { "data-key": "second", onclick: () => app.go({ name: "second", key: one.key }) }, "Give the phone to the second person")],
    outcomes(app, one, checked ? { given: "Given all the same" } : {})],
  other_day: () => [h("p.caution", { role: "alert" }, "This list is of an earlier day. Nothing is given by it: load the list again.")],
  taken_back: () => [h("p.said", {}, "Its entry was taken back. Load the list again to see what is to be done about it.")],
  done: (app, one) => [
    h("p.said", { "data-part": "done" }, "Entered."),
    one.rules.length && app.lastOutcome(one.key) !== "given" ? h("ul.small", {}, one.rules.map((words) => h("li", {}, words))) : "",
    one.asked_later ? h("p.small", {}, one.asked_later) : "",
  ],
};

function two(one) {
  return h("p.caution.two", { "data-part": "two" }, `Two people: ${one.second.join("; ")}.`);
}

// What may become of a dose. A guinea pig cannot vomit, so that is not among them.
function outcomes(app, one, more = {}) {
  const words = { ...more, ...(one.medicine ? { refused: "Refused", spat_out: "Spat out", partly: "Partly taken" } : { refused: "Refused", partly: "Partly done" }), not_given: one.medicine ? "Not given" : "Not done" };
  return h("div.outcomes", { role: "group", "aria-label": "What became of it" }, Object.entries(words).map(([outcome, said]) => h("button.act", {
    "data-key": `outcome-${outcome}`, onclick: () => app.go({ name: "why", key: one.key, outcome }),
  }, said)));
}

const MAIN = {
  ready: (app, one) => ({ words: readyAct(one), small: one.mark_words, key: "drawn-up", go: () => app.drawnUp(one) }),
  drawn: (app, one) => ({ words: one.medicine ? "Given" : "Done", small: one.draws ? one.mark_words : "", key: "given", go: () => app.became(one, "given") }),
  second: (app, one) => ({ words: "Give the phone to the second person", key: "second", go: () => app.go({ name: "second", key: one.key }) }),
  weigh: (app, one) => (one.weighed_since ? { words: "Load again", quiet: true, key: "load", go: () => app.loadAnew(true) } : { words: "Weigh", key: "weigh", go: () => app.go({ name: "weigh", key: one.key }) }),
  stop: (app, one) => onward(app, one),
  ask: (app, one) => ({ words: "The vet says: give it", quiet: true, key: "asked", go: () => app.vetAsked(one) }),
  soon: (app, one) => onward(app, one),
  late: (app) => ({ words: "Load the list again", key: "load", go: () => app.loadAnew(true) }),
  other_day: (app) => ({ words: "Load the list again", key: "load", go: () => app.loadAnew(true) }),
  taken_back: (app) => ({ words: "Load the list again", key: "load", go: () => app.loadAnew(true) }),
  done: (app, one) => onward(app, one),
};

function onward(app, one) {
  const next = nextAfter(one.key, app.day.doses, app.day, app.ledger);
  if (!next) return { words: "Back to the list", small: `${left(app.day.doses, app.day, app.ledger).length || "none"} left`, quiet: true, key: "next", go: () => app.leave() };
  return { words: `Next: ${app.day.animal(next.animal).name}`, small: next.what, quiet: true, key: "next", go: () => app.go({ name: "dose", key: next.key }) };
}

// Why it did not simply go in: one touch, no keyboard.
export function why(app, screen) {
  const one = app.day.dose(screen.key);
  const name = app.day.animal(one.animal).name;
  const { is, checked } = standingOf(one, app.day, app.ledger);
  if (screen.outcome === "given" && !(is === "late" && checked)) return changed(one, app, name);
  return {
    title: `${name}: ${screen.outcome === "given" ? "given late" : outcomeWords(screen)}`,
    body: [
      h("p", {}, WHY_ASKED[screen.outcome]),
      h("div.whys", {}, app.day.whys[screen.outcome].map((words) => h("button.act", { "data-key": `why-${words}`, onclick: () => app.act(() => app.became(one, screen.outcome, words)) }, words))),
      ["partly", "spat_out"].includes(screen.outcome) ? h("p.small", {}, "Nothing more is given now unless the order says so: ", one.rules.filter((words) => words.startsWith("Partly")).join(" ")) : "",
    ],
    main: { words: "Back", quiet: true, key: "back", go: () => app.go({ name: "dose", key: one.key }) },
  };
}

// A newer list came in between, and what was late is now something else.
function changed(one, app, name) {
  return {
    title: `${name}: look again`, body: h("p", { role: "alert" }, "What is to be done about this dose has changed. Look at it again; nothing was entered."),
    main: { words: "Look again", key: "back", go: () => app.go({ name: "dose", key: one.key }) },
  };
}

const WHY_ASKED = {
  given: "One touch says why it was late:", refused: "Nothing went in. One touch says how:", spat_out: "How much may have gone in?",
  partly: "How much went in?", not_given: "It stays not given. One touch says why:",
};
