// The day's list: what is given now, pen by pen or one treatment after another, what waits for the vet, what is asked.
import { hands } from "../check/choose.js";
import { h } from "../check/dom.js";
import { face } from "../check/frame.js";
import { left, standingOf } from "./day.js";
import { readyAct } from "./entry.js";

export function choose(app) {
  const { day } = app;
  const sittings = day.sittings.map((sitting, i) => ({ ...sitting, doses: day.doses.filter((one) => one.sitting === i) }));
  return {
    title: day.isOf() ? "Doses today" : `Doses of ${day.day_words}`,
    body: [
      !app.store.lasting && h("p.caution", {},
        "This browser keeps nothing: what was not sent is lost when the tab closes. Allow it to keep data for this address, or use another browser."),
      !app.fresh && h("p.said.warning", { role: "status" },
        `No connection: this is the list as it was loaded on ${moment(day.now)}. What you enter is kept on this phone. Another phone may have given some of these since: ask before you give.`),
      !day.isOf() && h("p.caution", { role: "alert" },
        "This list is of an earlier day. Nothing is given by it: load the list again."),
      askVet(app),
      questions(app),
      sittings.map((sitting) => (sitting.doses.length ? sittingPart(app, sitting) : "")),
      done(app),
      !day.doses.length && !day.ask_vet.length ? h("p", {}, "No dose is due today.") : "",
      hands(app),
      h("p.small.soft", {}, `What is entered here is entered by ${app.me.name}.`),
      h("details.small", {}, h("summary", {}, "What this round is not"), day.cautions.map((one) => h("p", {}, one))),
    ],
    main: startOf(app),
  };
}

function startOf(app) {
  const open = left(app.day.doses, app.day, app.ledger).filter(({ standing }) => !standing.tries.length && standing.is !== "stop");
  if (!open.length) return null;
  const [{ dose }] = open;
  return { words: "Begin the round", small: `${open.length} to give, first ${app.day.animal(dose.animal).name}`, key: "begin", go: () => app.go({ name: "dose", key: dose.key }) };
}

function sittingPart(app, sitting) {
  const { day } = app;
  return h("section", { "aria-label": sitting.words },
    h("h2", {}, sitting.words),
    day.treatments.filter((one) => sitting.doses.filter((dose) => dose.treatment === one.key).length > 1)
      .map((one) => treatmentRow(app, one)),
    day.pens.filter((pen) => sitting.doses.some((dose) => day.animal(dose.animal).pen_id === pen.id)).map((pen) => [
      h("h3", {}, pen.name, h("span.soft.small", {}, ` ${pen.group_words}`)),
      h("ul.rows", {}, sitting.doses.filter((dose) => day.animal(dose.animal).pen_id === pen.id).map((dose) => h("li", {}, row(app, dose)))),
    ]));
}

// Many animals of one treatment: one list, one touch each.
function treatmentRow(app, treatment) {
  const doses = app.day.of(treatment.key);
  const open = doses.filter((one) => !["done"].includes(standingOf(one, app.day, app.ledger).is)).length;
  return h("button.act.together", { "data-key": `together-${treatment.key}`, onclick: () => app.go({ name: "together", treatment: treatment.key }) },
    h("span.grow", {}, h("strong", {}, treatment.what), h("span.small", {}, `${doses.length} animals, one after another`)),
    h("span.chip", {}, open ? `${open} to give` : "all done"));
}

function row(app, dose) {
  const animal = app.day.animal(dose.animal);
  const standing = standingOf(dose, app.day, app.ledger);
  return h("button.row.dose", { "data-key": `dose-${dose.key}`, "data-is": standing.is, onclick: () => app.go({ name: "dose", key: dose.key }) },
    face(animal),
    h("span.grow", {}, h("strong", {}, animal.name), h("span.small", {}, `${dose.what}, ${dose.route_words || dose.often_words}`)),
    h("span.flags", {}, flag(dose, standing)));
}

export function flag(dose, standing) {
  const { is, last } = standing;
  if (is === "done") return h("span.chip.ok", {}, `${outcomeWords(last)} ${clockTime(last.at)}`);
  if (last) return h("span.chip.tried", {}, `${outcomeWords(last)} ${clockTime(last.at)}`);
  const words = {
    weigh: "weigh first", ask: "ring the vet first", stop: "not to be given", second: "two people", soon: `from ${clockTime(dose.from_at)}`,
    late: "too late by the list", other_day: "another day", taken_back: "taken back", ready: dose.mark_words, drawn: dose.draws ? `${readyAct(dose).toLowerCase()}: ${dose.mark_words}` : dose.mark_words || "to do",
  }[is];
  return h("span.chip", { "data-flag": is }, words);
}

export function outcomeWords(one) {
  return { given: "given", partly: "partly taken", refused: "refused", spat_out: "spat out", not_given: "not given" }[one.outcome] ?? one.outcome;
}

function askVet(app) {
  const { ask_vet: waiting } = app.day;
  const stopped = app.day.doses.filter((one) => one.state === "stop");
  if (!waiting.length && !stopped.length) return "";
  return h("section.card.ask-vet", { "aria-labelledby": "ask-vet" },
    h("h2", { id: "ask-vet" }, "Ask the vet first"),
    h("ul", {}, waiting.map((one) => h("li", {}, h("a", { href: one.address }, h("strong", {}, app.day.animal(one.animal).name), `: ${one.what}`),
      one.words.map((words) => h("span.small.line", {}, words)))),
    stopped.map((one) => h("li", {}, h("button.as-link", { "data-key": `stop-${one.key}`, onclick: () => app.go({ name: "dose", key: one.key }) },
      h("strong", {}, app.day.animal(one.animal).name), `: ${one.what}`), one.reasons.slice(0, 2).map((why) => h("span.small.line", {}, why.words))))),
    vets(app));
}

export function vets(app) {
  const numbers = app.day.vets;
  return numbers.length ? h("div.vets", {}, numbers.map((one) => h("a.act", { href: `tel:${one.number.replace(/[^+\d]/g, "")}` }, `Ring ${one.words}: `, h("span.number", {}, one.number)))) : "";
}

// Asked one after another, those of one animal together.
function questions(app) {
  const open = app.openQuestions();
  if (!open.length) return "";
  const names = [...new Set(open.map((one) => app.day.animal(one.animal).name))];
  return h("button.act.together", { "data-key": "asking", onclick: () => app.go({ name: "ask", question: open[0].key }) },
    h("span.grow", {}, h("strong", {}, "After a dose: how is it?"), h("span.small", {}, some(names))),
    h("span.chip.new", {}, `${open.length} to ask`));
}

const NAMED = 4;

function some(names) {
  return names.length <= NAMED ? names.join(", ") : `${names.slice(0, NAMED).join(", ")} and ${names.length - NAMED} more`;
}

function done(app) {
  const over = app.day.doses.filter((one) => one.sitting === null);
  if (!over.length) return "";
  return h("details", {}, h("summary", {}, `Done today: ${over.length}`), h("ul.rows", {}, over.map((one) => h("li", {}, row(app, one)))));
}

export function lost(app) {
  const signIn = app.status === 401;
  return {
    title: signIn ? "Sign in again" : "The doses could not be loaded",
    body: [
      h("p", { role: "alert" }, app.why
        ?? "There is no connection, and this phone has no list from an earlier visit. The round needs the list once; after that it runs without a connection."),
      h("p", {}, "Whatever was entered on this phone is kept."),
      h("div.buttons", {}, signIn
        ? h("a.act.act-main", { href: `${app.addresses.signIn}?next=${encodeURIComponent(location.pathname + location.search)}` }, "Sign in")
        : h("button.act.act-main", { onclick: () => location.reload() }, "Try again")),
    ],
    undo: false,
  };
}

export function clockTime(at) {
  return new Date(at).toLocaleTimeString("en-GB", { hour: "2-digit", minute: "2-digit" });
}

export function moment(at) {
  return new Date(at).toLocaleString("en-GB", { dateStyle: "long", timeStyle: "short" });
}
