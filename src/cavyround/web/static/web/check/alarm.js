// An emergency sign speaks at once, whether or not anything can be sent.
import { h } from "./dom.js";

export function alarmPanel(app, alarms) {
  const name = [...new Set(alarms.map((one) => one.name ?? app.session.animal.name))].join(" and ");
  const seen = [...new Set(alarms.map((one) => one.seen))];
  const both = (key) => [...new Set(alarms.flatMap((one) => one[key]))];
  const doNow = both("do_now");
  const doNot = both("do_not");
  return h("div.alarm", { role: "alert", "aria-labelledby": "alarm-title" },
    badge(app.round.urgency_words.emergency),
    h("h2", { id: "alarm-title", tabindex: "-1" }, `${name}: ring the vet now, at any hour`),
    vets(app),
    h("ul.seen", {}, seen.map((words) => h("li", {}, h("strong", {}, words)))),
    doNow.length ? [h("h3", {}, "While you ring"), h("ul", {}, doNow.map((words) => h("li", {}, words)))] : "",
    doNot.length ? [h("h3", {}, "Do not"), h("ul", {}, doNot.map((words) => h("li", {}, words)))] : "",
    h("p.small", {}, alarms.some((one) => one.name) ? "This was heard in your words. Set down now keeps it as found, with the words." : "", " What was done so far is kept. This does not diagnose: the vet decides."),
    h("div.alarm-acts", {},
      h("button.act.act-grave", {
        "data-key": "alarm-down",
        onclick: () => app.act(async () => {
          acknowledge(app, alarms);
          await app.make({ kind: "put_down", why: "an emergency sign was found" });
          app.go({ name: "done" });
        }),
      }, "Set down now"),
      h("button.act", {
        "data-key": "alarm-on",
        onclick: () => { acknowledge(app, alarms); app.go(app.screen, { replace: true }); },
      }, "Go on")));
}

// One touch rings the vet, where the lead has entered the numbers.
export function vets(app) {
  const numbers = app.round.vets ?? [];
  return numbers.length ? h("div.vets", {}, numbers.map((one) => h("a.act.act-grave", { href: `tel:${one.number.replace(/[^+\d]/g, "")}` }, `${one.words}: ${one.number}`))) : "";
}

function acknowledge(app, alarms) {
  for (const one of alarms) app.acknowledged.add(one.rule);
}

// After "Go on" it stays in sight, one touch from being read again.
export function alarmStrip(app, alarms) {
  return h("button.alarm-strip", {
    "data-key": "alarm-again",
    onclick: () => { app.acknowledged.clear(); app.again(); },
  }, badge(app.round.urgency_words.emergency),
  h("span", {}, [...new Set(alarms.map((one) => (one.sure ? one.seen : `${one.seen}, unless its kind says otherwise`)))].join("; ")));
}

export function badge(words, level = 4) {
  return h("span.urgency", { "data-level": String(level) },
    h("span.bars", { "aria-hidden": "true" }, h("i"), h("i"), h("i"), h("i")), words);
}
