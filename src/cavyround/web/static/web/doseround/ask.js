// A question after a dose, and what to do at once where the answer alarms; it needs no connection for that.
import { badge } from "../check/alarm.js";
import { h } from "../check/dom.js";
import { face } from "../check/frame.js";
import { moment, vets } from "./choose.js";

export function ask(app, screen) {
  const question = app.day.questions.find((one) => one.key === screen.question);
  if (!question) return { title: "This question is no longer open", body: [], main: { words: "Back to the list", quiet: true, go: () => app.leave() } };
  const animal = app.day.animal(question.animal);
  const said = app.ledger.answers(question.key);
  return {
    title: animal.name,
    head: (heading) => h("header.on-table", {}, face(animal), h("div.grow", {}, heading,
      h("p.small.who", {}, `after ${question.what}, ${question.dose_at ? moment(question.dose_at) : ""}`))),
    body: [
      h("p.medicine", {}, h("strong", {}, question.asks)),
      said.length ? answered(app, question, said) : "",
      h("p.small", {}, said.length ? "More than one may be so: touch each that is." : `${question.because} Touch what you see.`),
      h("div.whys", {}, question.answers.map((one, n) => h("button.act", {
        "data-key": `answer-${n}`, "aria-pressed": said.some((each) => each.touch.answer === n) ? "true" : "false",
        onclick: () => app.act(() => app.answer(question, n)),
      }, one.words))),
    ],
    skip: () => app.askOn(question),
    main: onward(app, question, said),
  };
}

function onward(app, question, said) {
  const left = app.openQuestions().filter((one) => one.key !== question.key);
  if (!said.length || !left.length) return { words: "Back to the list", small: left.length ? `${left.length} more to ask` : "", quiet: true, key: "back", go: () => app.leave() };
  return { words: `Next: ${app.day.animal(left[0].animal).name}`, small: `${left.length} more to ask`, quiet: true, key: "next", go: () => app.askOn(question) };
}

// The gravest of what was said, with what to do.
function answered(app, question, said) {
  const alarms = said.map((each) => question.answers[each.touch.answer]?.alarm).filter((one) => one?.level);
  const gravest = alarms.sort((a, b) => b.level - a.level)[0];
  if (!gravest) return h("p.said", { role: "status", "data-part": "answered" }, "Kept. Nothing in this answer alarms.");
  return h("div.card.alarmed-answer", { role: "alert", "data-part": "answered", "data-level": String(gravest.level) },
    badge(gravest.words, gravest.level),
    vets(app),
    h("ul", {}, gravest.do.map((words) => h("li", {}, words))),
    gravest.do_not.length ? h("ul", {}, gravest.do_not.map((words) => h("li", {}, words))) : "",
    h("p.small", {}, "The full advice, with all that is known of it, comes once this is sent. This does not diagnose: the vet decides."));
}
