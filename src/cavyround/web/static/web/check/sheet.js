// What was found at a step: one touch says finding and side; more can be said of it at once.
import { drawn, h, choice, SIGNS } from "./dom.js";
import { careFor, detail } from "./detail.js";
import { stepOf } from "./ways.js";

// Longer than this it would be a tower in half the width of a phone.
const LONG_WORDS = { single: 34, pair: 24 };
const FIRST_ROWS = { paired: 7, single: 14 };

export function sheet(app, screen) {
  const { step } = stepOf(app, screen.step);
  // What only the other sex has is not offered; what sexes it anew is.
  const fits = (known) => !known?.sex || app.session.animal.sex === "unknown" || known.sex === app.session.animal.sex;
  const regions = Object.keys(step.offers).filter((code) => fits(app.round.regions[code]));
  const region = screen.region ?? regions.find((code) => app.session.found(step.code, code).length) ?? regions[0];
  return {
    title: step.words,
    body: [
      [...step.why_more, ...step.why_also].map((words) => h("p.small.more", {}, words)),
      regions.length > 1 ? h("div.picks.regions", { role: "group", "aria-label": "Where" }, regions.map((code) => choice(
        app.round.region(code), code === region,
        () => app.again({ region: code, all: false, open: null }), { "data-key": `region-${code}` },
      ))) : null,
      region ? grid(app, screen, step, region) : null,
      otherwise(app, screen, step),
      careFor(app, step.care.filter((care) => !app.session.found(step.code).some((one) => screen.open === one.id && care.when_found.includes(one.touch.finding)))),
      guide(step, inFull(app, step)),
    ],
    main: { words: "Back to the hold", quiet: !app.session.found(step.code).length, go: () => back(app, screen) },
  };
}

function back(app, screen) {
  app.go({ name: "hold", hold: screen.hold });
}

function grid(app, screen, step, region) {
  const { paired } = app.round.regions[region];
  const sex = app.session.animal.sex;
  const offers = step.offers[region].filter((code) => {
    const only = app.round.findings[code]?.sex;
    return !only || sex === "unknown" || only === sex;
  });
  const found = app.session.found(step.code, region);
  const few = FIRST_ROWS[paired ? "paired" : "single"];
  const seen = new Set(found.map((one) => one.touch.finding));
  const listed = screen.all ? offers : offers.filter((code, i) => i < few || seen.has(code));
  const sides = paired ? ["L", "B", "R"] : ["N"];
  const more = offers.length - listed.length;
  return [
    h(`div.grid.${paired ? "paired" : "single"}`, { role: "group", "aria-label": `Findings: ${app.round.region(region)}` },
      paired ? h("div.sides", { "aria-hidden": "true" }, h("span"), sides.map((side) => h("span", {}, app.round.sides[side]))) : "",
      listed.map((code) => findingRow(app, screen, { step, region, code, sides, found }))),
    more > 0 ? h("button.act.more-findings", { onclick: () => app.again({ all: true }), "data-key": "more" }, `More findings (${more})`) : null,
  ];
}

function findingRow(app, screen, { step, region, code, sides, found }) {
  const words = app.round.finding(code);
  const here = found.filter((one) => one.touch.finding === code);
  const single = sides.length === 1;
  const buttons = sides.map((side) => {
    const there = here.find((one) => single || one.touch.side === side);
    const label = single ? words : `${app.round.sides[side]}: ${words}`;
    return choice(single ? words : there ? drawn(SIGNS.tick) : h("span.dot"), Boolean(there),
      () => app.act(() => touched(app, { step, region, code, side, there, label })),
      { "aria-label": single ? null : label, "data-key": `find-${region}-${code}-${side}`, "data-long": single && words.length > LONG_WORDS.single ? "yes" : null });
  });
  const open = here.map((one) => detail(app, screen, step, one));
  if (single) return [buttons, open];
  return h("div.pair", { role: "group", "aria-label": words, "data-long": words.length > LONG_WORDS.pair ? "yes" : null }, h("span.pair-words", {}, words), buttons, open);
}

async function touched(app, { step, region, code, side, there, label }) {
  if (there) {
    await app.make({ kind: "take_back", entry: there.id });
    app.frame.say(`Taken back: ${label}.`);
    app.again();
    return;
  }
  const made = await app.make({ kind: "observation", step: step.code, region, finding: code, side });
  app.frame.say(`Kept: ${label}.`);
  app.again({ region, open: made.id });
}

// The step itself, without a finding.
function otherwise(app, screen, step) {
  if (app.session.found(step.code).length) return null;
  const say = (touch, words) => app.act(async () => {
    await app.make(touch);
    app.frame.say(`${step.words}: ${words}.`);
    back(app, screen);
  });
  return h("div.thirds.otherwise", {},
    h("button.act", { onclick: () => say({ kind: "step_normal", step: step.code }, "as it should be"), "data-key": "step-normal" }, "As it should be"),
    h("button.act", { onclick: () => say({ kind: "step_skipped", step: step.code, why: "left out at the table" }, "left out"), "data-key": "step-skip" }, "Leave this step out"));
}

// Its own words for those who want to read how.
// Buttons carry the shortest words for a finding; here they stand in full.
function inFull(app, step) {
  const codes = new Set(Object.values(step.offers).flat());
  return [...codes].map((code) => app.round.findings[code]).filter((one) => one?.in_full).map((one) => `${one.words}: ${one.in_full}`);
}

function guide(step, words) {
  const part = (title, lines) => (lines?.length ? [h("h3", {}, title), h("ul", {}, lines.map((words) => h("li", {}, words)))] : "");
  return h("details.guide", {}, h("summary", {}, "How to look, and what is normal"),
    h("p", {}, step.why),
    part("Look", step.look), part("Feel", step.feel), part("Smell", step.smell), part("Normal", step.normal),
    part("It varies", step.varies.map((one) => `${one.with}: ${one.words}`)), part("Never", step.never), part("The findings in full", words));
}
