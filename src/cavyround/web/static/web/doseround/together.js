// One treatment, many animals in one sitting: each in its own row, with its own weight, amount and entry.
import { drawn, h, SIGNS } from "../check/dom.js";
import { face } from "../check/frame.js";
import { clockTime, flag } from "./choose.js";
import { isChecked, standingOf } from "./day.js";
import { readied, readyAct } from "./entry.js";

const ONE_TOUCH = ["ready", "drawn"];

export function together(app, screen) {
  const treatment = app.day.treatment(screen.treatment);
  if (!treatment) return { title: "This treatment is no longer on the list", body: [], main: { words: "Back to the list", quiet: true, go: () => app.leave() } };
  const doses = app.day.of(treatment.key);
  const done = doses.filter((one) => standingOf(one, app.day, app.ledger).is === "done").length;
  const pens = app.day.pens.filter((pen) => doses.some((one) => app.day.animal(one.animal).pen_id === pen.id));
  return {
    title: treatment.what,
    body: [
      h("p.small.why-line", {}, [treatment.route_words, treatment.why ? `for ${treatment.why}` : "", treatment.product_words].filter(Boolean).join(" · ")),
      treatment.words.map((words) => h("p.caution", {}, words)),
      treatment.cautions.length ? h("ul.cautions", {}, treatment.cautions.map((words) => h("li", {}, words))) : "",
      pens.map((pen) => [h("h2.pen-name", {}, pen.name), h("ul.rows.many", {}, doses.filter((one) => app.day.animal(one.animal).pen_id === pen.id).map((one) => h("li", {}, row(app, one, screen))))]),
      treatment.around.length ? h("details.small", {}, h("summary", {}, "On the day of a dose"), h("ul", {}, treatment.around.map((words) => h("li", {}, words)))) : "",
      h("p.small.soft", {}, "Touch a name for the whole of it, and where it was refused, spat out or left out."),
    ],
    main: { words: "Back to the list", small: `${doses.length - done} left`, quiet: true, key: "back", go: () => app.leave() },
  };
}

function row(app, one, screen) {
  const animal = app.day.animal(one.animal);
  const standing = standingOf(one, app.day, app.ledger);
  return h("div.many-row", { "data-is": standing.is, "data-animal": one.animal },
    h("button.row", { "data-key": `open-${one.key}`, onclick: () => app.go({ name: "dose", key: one.key, back: screen.treatment }) }, face(animal),
      h("span.grow", {}, h("strong", {}, animal.name), h("span.small", {}, one.weight_g ? `${Number(one.weight_g).toLocaleString("en-GB")} g` : ""),
        h("span.mark", {}, isChecked(one, standing.draft) ? one.mark_words : "two people"))),
    ONE_TOUCH.includes(standing.is) && !standing.tries.length ? oneTouch(app, one, standing)
      : standing.is === "done" ? h("span.many-done", {}, drawn(SIGNS.tick), clockTime(standing.last.at))
        : h("span.many-flag", {}, flag(one, standing)));
}

function oneTouch(app, one, standing) {
  const name = app.day.animal(one.animal).name;
  if (standing.is === "ready") return h("button.act.many-act", { "data-key": `draw-${one.key}`, "aria-label": `${name}: ${readied(one, one.mark_words)}`, onclick: () => app.act(() => app.drawnUp(one)) }, readyAct(one));
  return h("button.act.act-main.many-act", { "data-key": `give-${one.key}`, "aria-label": `${name}: ${one.medicine ? "given" : "done"} ${one.mark_words}`, onclick: () => app.act(() => app.became(one, "given")) }, one.medicine ? "Given" : "Done");
}
