// One hold: its steps as rows, what is known of them, and one deliberate touch for "as it should be".
import { drawn, h, pressed, SIGNS } from "./dom.js";
import { WEIGHT_STEP } from "./fold.js";
import { afterHold, answerTo, isNew, owesAnswer, shown, unsaid } from "./ways.js";
import { weighAgain } from "./weigh.js";
import { inGrams } from "./weighing.js";

export function hold(app, screen) {
  const one = app.holds().find((each) => each.code === screen.hold);
  return {
    title: one.words,
    body: [
      screen.weighed ? keptWeight(app) : null,
      app.holds()[0]?.code === one.code ? (app.session.animal.plan.promised ?? []).map((words) => h("p.promised", {}, `Promised: ${words}`)) : null,
      h("p.how", {}, firstSentence(one.how)),
      one.not_now ? h("p.caution", { role: "note" }, h("strong", {}, "Not this hold now. "), one.not_now) : null,
      h("ul.rows.steps", {}, one.steps.map((step) => h("li", {}, row(app, screen, step), known(app, step)))),
      byVoice(app, screen),
      h("details.small", {}, h("summary", {}, "How to hold, and take care"),
        h("p", {}, one.how), h("ul", {}, one.cautions.map((words) => h("li", {}, words)))),
    ],
    main: mainButton(app, one, screen),
  };
}

// Both hands on the animal: say it, or be led through step by step.
export function byVoice(app, screen) {
  const button = (name, words) => h("button.act.act-slim", { onclick: () => app.go({ name, back: screen, hold: screen.hold }), "data-key": name }, words);
  return h("div.by-voice", {}, button("say", "Say it"), button("talk", "Talk me through"));
}

export function firstSentence(words) {
  return /^.*?[.!?;](?=\s|$)/.exec(words)?.[0].replace(/;$/, ".") ?? words;
}

// The weight just kept, large enough to be read from the table, and one touch from being weighed again.
function keptWeight(app) {
  const weight = app.session.sitting.weights.at(-1);
  return weight && h("div.kept-weight", {}, h("span.number", {}, inGrams(weight.touch.grams)),
    h("button.act.act-slim", { onclick: () => weighAgain(app), "data-key": "weigh-again" }, "Weigh again"));
}

function mainButton(app, one, screen) {
  const left = unsaid(app, one);
  const onward = () => app.go(afterHold(app, one.code));
  if (one.not_now) return { words: "Go on without this hold", small: "its steps stay not checked", go: onward, marks: true, quiet: true };
  const owing = shown(one).filter((step) => owesAnswer(app, step));
  if (!left.length) {
    return owing.length
      ? { words: "Go on", small: `${owing.length} not checked: same, bigger or gone?`, go: onward, marks: true }
      : { words: "Go on", go: onward, marks: true };
  }
  const all = left.length === one.steps.length;
  return {
    words: all ? "As it should be" : "The rest as it should be",
    small: left.length === 1 ? left[0].words : `marks ${all ? "all " : ""}${left.length} steps`,
    marks: true,
    go: async () => {
      await app.make({ kind: "hold_normal", hold: one.code, steps: left.map((step) => step.code) });
      app.frame.say(`${one.words}: ${left.length} marked as it should be.`);
      if (owing.length) app.again({ asks: true });
      else onward();
    },
  };
}

function row(app, screen, step) {
  const state = app.session.sitting.steps.get(step.code)?.status;
  const found = app.session.found(step.code);
  if (step.left_out) {
    return h("div.row.step", { "data-state": "left-out" }, h("span.grow", {},
      h("strong", {}, step.words), h("span.small", {}, `Left out: ${step.left_out}`)), sign("left-out"));
  }
  return h("button.row.step", {
    "data-key": `step-${step.code}`, "data-state": state ?? "not-checked",
    onclick: () => app.go({ name: "sheet", hold: screen.hold, step: step.code }),
  }, h("span.grow", {},
    h("strong", {}, step.words, step.sore ? h("span.chip.new", {}, "sore: gently, last") : ""),
    step.promised.map((words) => h("span.small.promised", {}, `look again: ${words}`)),
    step.why_more.map((words) => h("span.small.more", {}, words)),
    found.length ? found.map((one) => h("span.small.seen", {}, isNew(app, one.touch) ? h("span.chip.new", {}, "new") : "", app.round.observation(one.touch)))
      : h("span.small.normal", {}, step.normal[0] ?? "")), sign(state ?? "not-checked", undefined, step.code));
}

const WORDS = {
  normal: ["as it should be", SIGNS.tick],
  found: ["found", SIGNS.mark],
  skipped: ["left out", SIGNS.dash],
  "left-out": ["left out", SIGNS.dash],
  "not-checked": ["not checked", ""],
};
const WEIGHED = ["weighed", SIGNS.tick];

// A weight that was taken says nothing of how it is.
export function sign(state, shape = "span.state", code = "") {
  const [words, path] = code === WEIGHT_STEP && state === "normal" ? WEIGHED : WORDS[state];
  return h(shape, { "data-state": state }, path ? drawn(path) : h("span.hollow", { "aria-hidden": "true" }), h("span", {}, words));
}

// Something known from before: is it the same, bigger, or gone?
function known(app, step) {
  if (step.left_out || !step.carried.length) return null;
  return step.carried.map((carried, i) => {
    const answer = answerTo(app, step, carried);
    const said = answer && (answer.touch.status === "absent" ? "gone" : answer.touch.grade === "worse" ? "bigger" : "same");
    // A lump grows; a runny eye gets worse.
    const more = app.round.findings[carried.finding]?.units?.includes("mm") ? "bigger" : "worse";
    const label = `${carried.words}${carried.size_mm ? `, ${Number(carried.size_mm)} mm` : ""}`;
    const button = (what, words, says) => h("button.pick", {
      ...pressed(said === what), "data-key": `known-${step.code}-${i}-${what}`, "aria-label": `${label}: ${words}`,
      onclick: () => app.act(async () => {
        if (said === what) return;
        const touch = {
          kind: "observation", step: step.code, region: carried.region, finding: carried.finding, side: carried.side, ...says,
        };
        if (carried.mark_id) touch.mark = carried.mark_id;
        if (answer) await app.sayMore(answer, { grade: undefined, status: undefined, ...says });
        else await app.make(touch);
        app.frame.say(`${label}: ${words}.`);
        app.again();
      }),
    }, words);
    return h("div.known", { role: "group", "aria-label": label, "data-said": said ?? "" },
      h("p.small", {}, h("span.chip", {}, "known"), ` ${label}${carried.since ? `, ${carried.since}` : ""}`),
      h("div.thirds", {},
        button("same", "same", { grade: "same" }),
        button("bigger", more, { grade: "worse" }),
        button("gone", "gone", { status: "absent" })));
  });
}
