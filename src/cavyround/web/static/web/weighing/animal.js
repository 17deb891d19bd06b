// One animal on the scales: who it is, what is likely, and its weight in two touches.
import { drawn, h, SIGNS } from "../check/dom.js";
import { face } from "../check/frame.js";
import { inGrams, inPounds } from "../check/weighing.js";
import { doubtOf, matesOf } from "./doubt.js";
import { entry } from "./entry.js";
import { around, lastLines } from "./known.js";
import { doubtCard, taken } from "./taking.js";

const ROWS_OF_TENS = 16;
const SCALE_READS = ["connected", "lost", "gone"];

export function animal(app, screen) {
  const { run, pens } = app;
  const one = run.animal(screen.animal);
  const standing = run.standing(one.id);
  const keep = (grams, typed, kept = false, meant = false) => take(app, screen, one, { grams, typed, kept, meant });
  const read = standing.weight || screen.doubt ? null : entry({
    screen, around: around(one), bounds: pens.weight, count: ROWS_OF_TENS,
    again: (more) => app.again(more), act: (action) => app.act(action), take: keep,
  });
  if (read) app.settled = ({ grams, words }) => keep(grams, words);
  const left = run.animals.filter((each) => !run.isDone(each.id)).length;
  return {
    title: one.name,
    head: (heading) => h("header.on-scales", {}, face(one), h("div.grow", {}, heading,
      h("p.small.who", {}, [one.sex_words, one.age].filter(Boolean).join(" · ")), lastLines(one))),
    body: [
      screen.pad ? "" : mates(app, one),
      one.weigh.today && !standing.weight ? h("p.small.today", {}, `Weighed today, ${one.weigh.today}.`) : "",
      screen.first && !standing.weight && !screen.doubt ? h("p.small", {}, `First reading: ${inGrams(screen.first.grams)}. Weigh once more.`) : "",
      standing.weight ? weighed(app, standing) : screen.doubt ? doubt(app, screen, one, keep) : withScale(app, screen, one, read.body),
    ],
    skip: standing.weight ? null : () => app.go({ name: "skip", animal: one.id }),
    main: read?.main ?? { words: "Summary", small: left ? `${left} not weighed yet` : "all done", key: "result", quiet: true, go: () => app.go({ name: "result" }) },
  };
}

// A scale that is being read stands above the digits; the offer to read one below them, out of the
// thumb's way. Whoever has begun to type needs the room.
function withScale(app, screen, one, digits) {
  if (screen.pad || (screen.ten ?? null) !== null) return digits;
  const bar = app.scale(one);
  return SCALE_READS.includes(bar.dataset.status) ? [bar, digits] : [digits, bar];
}

// The pen-mates in a row: who is done, with what, and one touch to any of them.
function mates(app, now) {
  const { run } = app;
  return h("nav.mates", { "aria-label": `${run.pen.name}, ${run.weighed().length} of ${run.animals.length} weighed` },
    run.animals.map((one) => {
      const { weight, left } = run.standing(one.id);
      const said = weight ? inGrams(weight.grams) : left ? "left out" : one.weigh.today ? `today ${inGrams(one.last_weight.grams)}` : one.weigh.due ? "due" : "not due";
      return h("button", {
        onclick: () => app.go({ name: "animal", animal: one.id }), "data-key": `to-${one.id}`,
        "data-done": weight ? "yes" : left ? "left" : "no", "aria-current": one.id === now.id ? "step" : null,
      }, h("strong", {}, weight ? drawn(SIGNS.tick) : "", one.name), h("span.small", {}, said));
    }));
}

function weighed(app, { weight, first }) {
  return h("div.weighed", { "data-key": "weighed" },
    h("p.big-number", {}, inGrams(weight.grams), h("span.small", {}, inPounds(weight.grams))),
    first ? h("p.small", {}, `Read twice: ${inGrams(first.grams)} first.`) : "",
    weight.doubted ? h("p.small", {}, "kept as doubtful") : "",
    h("button.act", { "data-key": "weigh-again", onclick: () => app.act(() => app.weighAgain()) }, drawn(SIGNS.undo), "Weigh again"));
}

async function take(app, screen, one, { grams, typed, kept = false, meant = false }) {
  const bounds = app.pens.weight;
  const why = meant ? null : doubtOf(grams, one.expected, matesOf(one, app.run.animals), bounds);
  const became = taken({ grams, typed }, why, { first: screen.doubt?.first ?? screen.first, kept, bounds });
  if (became.doubt) {
    app.again({ doubt: became.doubt, first: null, typed: null, why: "" });
    return;
  }
  await app.keep(one, became.touches);
  const next = app.run.nextAfter(one.id);
  app.frame.say(`${one.name}: ${became.words}${next ? ` Next: ${next.name}.` : " All done."}`);
  app.go(next ? { name: "animal", animal: next.id } : { name: "result" });
}

// Where it fits a pen-mate better, one touch says that it is that one, and its weight stays on the screen.
function doubt(app, screen, one, keep) {
  const { grams, typed, fits } = screen.doubt;
  const mate = fits && app.run.animal(fits);
  return doubtCard(screen.doubt, {
    bounds: app.pens.weight,
    again: () => app.again({ doubt: null, ten: null, first: { grams, typed } }),
    keep: () => app.act(() => keep(grams, typed, true)),
    mean: (meant) => app.act(() => keep(meant.grams, meant.typed, false, true)),
    others: mate && !app.run.isDone(mate.id) ? [{
      words: `It is ${mate.name}: keep it for ${mate.name}`,
      go: () => app.act(() => take(app, { name: "animal", animal: mate.id }, mate, { grams, typed })),
    }] : [],
  });
}

const REASONS = ["not found in the pen", "at the vet", "too frightened", "the scales failed", "another reason"];

// Left out with a reason: not weighed stays not weighed.
export function skip(app, screen) {
  const one = app.run.animal(screen.animal);
  return {
    title: `${one.name} is not weighed now`,
    body: [
      h("p", {}, "It stays not weighed, and due. One touch says why:"),
      h("div.whys", {}, REASONS.map((why) => h("button.act", {
        "data-key": `why-${why}`,
        onclick: () => app.act(async () => {
          await app.keep(one, [{ kind: "step_skipped", step: "weight", why }]);
          const next = app.run.nextAfter(one.id);
          app.frame.say(`${one.name} left out: ${why}.`);
          app.go(next ? { name: "animal", animal: next.id } : { name: "result" });
        }),
      }, why))),
    ],
    main: { words: `Back to ${one.name}`, key: "back", quiet: true, go: () => app.go({ name: "animal", animal: one.id }) },
  };
}

