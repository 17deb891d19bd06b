// What the weigh-in of a pen came to: each weight with its change, and what is said of it once it is judged.
import { badge } from "../check/alarm.js";
import { h } from "../check/dom.js";
import { face } from "../check/frame.js";
import { GRAMS_PER_OUNCE, inGrams, inPounds } from "../check/weighing.js";

export function result(app) {
  const { run } = app;
  const left = run.animals.filter((one) => !run.isDone(one.id));
  queueMicrotask(() => app.judge());
  return {
    title: `${run.pen.name}: ${came(run)}`,
    body: [
      waiting(app),
      h("ul.rows.results", {}, run.animals.map((one) => h("li", {}, row(app, one)))),
      h("p.small.soft", {}, "Touch an animal to weigh it, or to weigh it again."),
      run.over ? h("button.act", { onclick: () => app.act(() => app.begin(run.pen.id)), "data-key": "anew" }, "Begin another weigh-in of this pen") : "",
    ],
    main: left.length
      ? { words: `Weigh ${left[0].name}`, small: `${left.length} not weighed`, key: "go-on", go: () => app.go({ name: "animal", animal: left[0].id }) }
      : { words: "Next pen", key: "next-pen", go: () => app.leave() },
  };
}

// "all weighed", "3 of 4 weighed, 1 left out".
function came(run) {
  const weighed = run.weighed().length;
  const out = run.done().length - weighed;
  const all = run.animals.length;
  return `${weighed === all ? `all ${all} weighed` : `${weighed} of ${all} weighed`}${out ? `, ${out} left out` : ""}`;
}

// Which weights nobody has judged yet, and why.
export function waiting(app) {
  const open = app.run.unjudged();
  if (!open.length) return "";
  const { sender } = app;
  const onItsWay = sender.state === "idle";
  const why = sender.state === "sign_in" ? "Sign in again to have them judged."
    : onItsWay ? (app.judging ? "Being judged now …" : "Being sent …") : sender.why || "No connection to the server.";
  return h("div.waiting", { role: "status", "data-part": "judging" }, h("p", {},
    `${open.length === 1 ? "1 weight is" : `${open.length} weights are`} not judged yet. ${why} All are kept on this phone; what they say comes here once they are sent.`),
  onItsWay ? "" : h("button.act.act-slim", { onclick: () => app.act(() => app.tryAgain()), "data-key": "try" }, "Try again"));
}

function row(app, one) {
  const { check, weight, first, left } = app.run.standing(one.id);
  const said = weight ? app.run.data.said[check] : null;
  const toIt = () => app.go({ name: "animal", animal: one.id });
  return h("div.result", { "data-animal": one.id, "data-done": weight ? "yes" : left ? "left" : "no" },
    h("button.row", { onclick: toIt, "data-key": `result-${one.id}` }, face(one),
      h("span.grow", {}, h("strong", {}, one.name),
        weight ? [h("span.number", {}, inGrams(weight.grams), h("span.soft", {}, ` (${inPounds(weight.grams)})`)),
          h("span.small", {}, change(Number(weight.grams), one.last_weight), first ? "; read twice" : "", weight.doubted ? "; kept as doubtful" : "")]
          : h("span.small", {}, left ? `Not weighed: ${left}` : one.weigh.today ? `Weighed today, ${one.weigh.today}` : "Not weighed"))),
    weight ? judged(said) : "");
}

function judged(said) {
  if (!said) return h("p.small.verdict", { "data-judged": "no" }, "Not judged yet");
  return h("div.verdict", { "data-judged": "yes" }, said.level ? badge(said.words, said.level) : "",
    said.why.length ? h("ul", {}, said.why.map((words) => h("li", {}, words))) : h("p.small", {}, said.nothing),
    said.advice_level ? h("a.act", { href: said.address }, `Advice: ${said.advice}`) : "");
}

// "−18 g (0.6 oz), −1.9 % since 2 March"; nothing is compared where there is nothing to compare with.
export function change(grams, last) {
  if (!last) return "first weight";
  const by = Math.round((grams - last.grams) * 10) / 10;
  if (!by) return `the same as on ${last.on}`;
  const sign = by < 0 ? "−" : "+";
  const percent = Math.abs((by / last.grams) * 100).toFixed(1);
  return `${sign}${inGrams(Math.abs(by))} (${inOunces(Math.abs(by))}), ${sign}${percent} % since ${last.on}`;
}

function inOunces(grams) {
  const ounces = (grams / GRAMS_PER_OUNCE).toFixed(1);
  return ounces === "0.0" ? "under 0.1 oz" : `${ounces} oz`;
}
