// The weight at the table: what it was, what is likely, what the scales say; doubted where it cannot well be.
import { drawn, h, SIGNS } from "./dom.js";
import { WEIGHT_STEP } from "./fold.js";
import { inGrams, inPounds } from "./weighing.js";
import { firstSentence } from "./hold.js";
import { afterHold, stepOf } from "./ways.js";
import { doubtOf, matesOf } from "../weighing/doubt.js";
import { entry } from "../weighing/entry.js";
import { around, lastLines } from "../weighing/known.js";
import { doubtCard, taken } from "../weighing/taking.js";

export function weigh(app, screen) {
  const { hold, step } = stepOf(app, WEIGHT_STEP);
  const { animal } = app.session;
  const now = app.session.sitting.weights.at(-1);
  const onward = () => app.go(afterHold(app, hold.code));
  // Not at the thumb's place: there the rhythm of "as it should be" would skip the weight unread.
  const without = () => h("button.act.without", { onclick: onward, "data-key": "without" }, "Go on without a weight");
  const asked = { screen, without, around: around(animal), bounds: app.round.weight };
  const acts = { again: (more) => app.again(more), act: (action) => app.act(action), take: (grams, typed) => take(app, screen, grams, typed) };
  const read = now || screen.doubt ? null : entry({ ...asked, ...acts });
  return {
    title: "Weight",
    body: [
      screen.pad ? "" : h("p.how", {}, firstSentence(hold.how)),
      step.why_more.map((words) => h("p.small.more", {}, words)),
      lastLines(animal), readOnce(screen, now),
      now ? weighed(app, now) : screen.doubt ? doubt(app, screen) : read.body,
    ],
    main: now ? { words: "Go on", go: onward } : read?.main ?? null,
  };
}

function readOnce(screen, now) {
  return screen.first && !now && !screen.doubt ? h("p.small", {}, `First reading: ${inGrams(screen.first.grams)}. Weigh once more.`) : "";
}

function weighed(app, now) {
  return h("div.weighed", { "data-key": "weighed" },
    h("p.big-number", {}, inGrams(now.touch.grams), h("span.small", {}, inPounds(now.touch.grams))),
    now.touch.doubted ? h("p.small", {}, "kept as doubtful") : "",
    h("button.act", { "data-key": "weigh-again", onclick: () => weighAgain(app) }, drawn(SIGNS.undo), "Weigh again"));
}

export function weighAgain(app) {
  return app.act(async () => {
    const weights = [...app.session.sitting.weights].reverse();
    for (const one of weights) await app.make({ kind: "take_back", entry: one.id });
    const first = weights[0]?.touch.doubted ? { grams: Number(weights[0].touch.grams), typed: weights[0].touch.as_typed } : null;
    app.go({ name: "weigh", hold: stepOf(app, WEIGHT_STEP).hold.code, first });
  });
}

async function take(app, screen, grams, typed, { kept = false, meant = false } = {}) {
  const { animal } = app.session;
  const bounds = app.round.weight;
  const why = meant ? null : doubtOf(grams, animal.expected, matesOf(animal, app.round.animals), bounds);
  const became = taken({ grams, typed }, why, { first: screen.doubt?.first ?? screen.first, kept, bounds });
  if (became.doubt) {
    app.again({ doubt: became.doubt, first: null, typed: null, why: "" });
    return;
  }
  for (const touch of became.touches) await app.make(touch);
  app.frame.say(became.words);
  app.go({ ...afterHold(app, screen.hold), weighed: true });
}

function doubt(app, screen) {
  const { grams, typed } = screen.doubt;
  return doubtCard(screen.doubt, {
    bounds: app.round.weight,
    again: () => app.again({ doubt: null, ten: null, first: { grams, typed } }),
    keep: () => app.act(() => take(app, screen, grams, typed, { kept: true })),
    mean: (meant) => app.act(() => take(app, screen, meant.grams, meant.typed, { meant: true })),
  });
}
