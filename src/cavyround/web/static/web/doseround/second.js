// The second person: works the dose out alone, before anybody was shown the amount, and says who they are.
import { h } from "../check/dom.js";
import { vets } from "./choose.js";

const REST = ["1", "2", "3", "4", "5", "6", "7", "8", "9", ".", "0", "⌫"];
// So many results that do not agree, and nobody goes on trying. Our own judgement.
export const MOST_APART = 2;
// A share of the amount before rounding; the mark itself agrees too. Our own judgement.
const AGREES_WITHIN = 0.05;
const SAME = 1e-6;

export function second(app, screen) {
  const one = app.day.dose(screen.key);
  const shown = isHeld(one, app.ledger.draft(one.key)) ? held(app, one) : screen.person ? working(app, screen, one) : handOver(app, one);
  return { title: `Second person: ${app.day.animal(one.animal).name}`, undo: false, ...shown };
}

function handOver(app, one) {
  return {
    body: [
      h("p", { "data-part": "hand-over" }, h("strong", {}, "Give the phone to the second person. "), `Two people work this out because ${one.second.join("; ")}.`),
      h("h2", {}, "Who works it out?"),
      h("div.whys", {}, app.day.people.filter((each) => each.id !== app.me.id).map((each) => h("button.act", {
        "data-key": `person-${each.id}`, onclick: () => app.again({ person: each.id, typed: "", wrong: "" }),
      }, each.name))),
      h("p.small", {}, "The name touched here is a name, not a signature: nothing proves who touched it. Where the law asks for a signature, sign on paper."),
      app.day.people.length < 2 ? h("p.caution", {}, "Nobody else has an account here. Ask your lead to add the second person.") : "",
    ],
    main: { words: "Back", quiet: true, key: "back", go: () => app.go({ name: "dose", key: one.key }) },
  };
}

function working(app, screen, one) {
  return {
    body: [
      h("p", {}, h("strong", {}, `${nameOf(app, screen.person)}: `), "look at the label and the order, and work it out yourself."),
      h("dl.rests", {}, restsOn(one).map(([name, words]) => h("div", {}, h("dt", {}, name), h("dd", {}, words)))),
      screen.wrong ? h("p.fault", { role: "alert", "data-part": "wrong" }, screen.wrong) : "",
      one.typed ? pad(app, screen, one.typed) : h("p", {}, h("strong", {}, one.measure_words)),
    ],
    main: one.typed
      ? { words: "Compare", small: screen.typed ? `${screen.typed} ${one.typed.unit}` : "type what you get", key: "compare", go: () => compare(app, screen, one) }
      : { words: "I checked it: it agrees", key: "agrees", go: () => app.secondAgrees(one, screen.person) },
  };
}

// They did not agree twice: a third guess is no check.
function held(app, one) {
  return {
    body: h("div.card.first.stop", { role: "alert", "data-part": "held" }, h("h2", {}, "Put it down: the two do not agree"),
      h("p", {}, `${MOST_APART} results did not agree. Nobody gives it. Ring the vet; or both of you begin again, each alone, with the order, the label and the weight in the hand.`),
      vets(app)),
    main: { words: "Both begin again", quiet: true, key: "begin-again", go: () => beginAgain(app, one) },
  };
}

async function beginAgain(app, one) {
  await app.secondTried(one, { again: true });
  app.go({ name: "dose", key: one.key });
}

// What the sum rests on, and nothing of what it comes to.
export function restsOn(one) {
  return [["Order", one.dose_words], ["Label", one.product_words], ["Weight", one.weight_words], ["Route", one.route_words], ["Draw", one.typed?.of]]
    .filter(([, words]) => words);
}

function pad(app, screen, { unit }) {
  const touch = (sign) => app.again({ wrong: "", typed: sign === "⌫" ? screen.typed.slice(0, -1) : (screen.typed + sign).slice(0, 8) });
  return [
    h("p.big-number", { "aria-live": "polite", "data-part": "typed" }, screen.typed || "–", h("span.soft", {}, ` ${unit}`)),
    h("div.digits", { role: "group", "aria-label": "Digits" }, REST.map((sign) => h("button.pick", { "data-key": `pad-${sign}`, "aria-label": sign === "⌫" ? "rub out" : sign, onclick: () => touch(sign) }, sign))),
  ];
}

async function compare(app, screen, one) {
  const got = Number(screen.typed || NaN);
  const wrong = unlike(got, one.typed);
  if (!wrong) return app.secondAgrees(one, screen.person, got);
  // What is no number was no try.
  if (got > 0) await app.secondTried(one, { by: screen.person, typed: got, agrees: false });
  return app.again({ wrong, typed: "" });
}

// Why what the second person got does not agree; nothing where it is the mark, or within 5 % of what the mark was
// rounded from. Half a line of the syringe would let a sixth too much pass at small marks.
export function unlike(got, { mark, exact }) {
  if (!Number.isFinite(got) || got <= 0) return "Type what you get, in digits.";
  if (Math.abs(got - mark) <= SAME || Math.abs(got - exact) <= AGREES_WITHIN * exact + SAME) return "";
  const times = got > exact ? got / exact : exact / got;
  const tenfold = times > 7 && times < 14 ? " About ten times apart: look for a lost or shifted point." : "";
  return `Not the first result.${tenfold} Nobody gives it until both agree; else ask the vet.`;
}

export function withTry(draft, one) {
  return [...(draft.second_tries ?? []), one];
}

// Whether results for this amount were apart too often since they last began again.
export function isHeld(dose, draft) {
  const tries = (draft?.second_tries ?? []).filter((one) => one.mark === dose.mark);
  const since = tries.map((one) => Boolean(one.again)).lastIndexOf(true) + 1;
  return tries.slice(since).filter((one) => one.agrees === false).length >= MOST_APART;
}

function nameOf(app, id) {
  return app.day.people.find((one) => one.id === id)?.name ?? "";
}
