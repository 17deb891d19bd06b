// The weight in two touches: the tens around the last weight, then the last digit. Anything else on a pad.
import { drawn, h, choice, SIGNS } from "./dom.js";
import { WEIGHT_STEP } from "./fold.js";
import { agrees, doubtful, inGrams, inPounds, readGrams, readPounds, tensAround } from "./weighing.js";
import { firstSentence } from "./hold.js";
import { afterHold, stepOf } from "./ways.js";

export function weigh(app, screen) {
  const { hold, step } = stepOf(app, WEIGHT_STEP);
  const last = app.session.animal.last_weight;
  const now = app.session.sitting.weights.at(-1);
  const onward = () => app.go(afterHold(app, hold.code));
  const again = screen.first && !now && !screen.doubt ? h("p.small", {}, `First reading: ${inGrams(screen.first.grams)}. Weigh once more.`) : "";
  const lastLine = last ? h("p.last-weight", {}, "Last: ", h("strong", {}, inGrams(last.grams)), ` on ${last.on}`)
    : h("p.last-weight", {}, "Not weighed before.");
  // Not at the thumb's place: there the rhythm of "as it should be" would skip the weight unread.
  const without = h("button.act.without", { onclick: onward, "data-key": "without" }, "Go on without a weight");
  if (!now && !screen.doubt && (screen.pad || !last)) return { title: "Weight", ...pad(app, screen, last, [lastLine, again], onward) };
  return {
    title: "Weight",
    body: [
      h("p.how", {}, firstSentence(hold.how)),
      step.why_more.map((words) => h("p.small.more", {}, words)),
      lastLine, again,
      now ? weighed(app, now) : screen.doubt ? doubt(app, screen) : [quick(app, screen, last), without],
    ],
    main: now ? { words: "Go on", go: onward } : null,
  };
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

function quick(app, screen, last) {
  const other = h("button.act", { onclick: () => app.again({ pad: "g", ten: null }), "data-key": "pad" }, "Another weight");
  if (screen.ten === undefined || screen.ten === null) {
    const tens = tensAround(last.grams, app.round.weight);
    const middle = Math.floor(last.grams / 10) * 10;
    return [
      h("p.big-number", { "aria-live": "polite" }, "– – –"),
      h("div.tens", { role: "group", "aria-label": "The tens" }, tens.map((ten) => h("button.pick", {
        "data-key": `ten-${ten}`, "data-last": ten === middle ? "yes" : null, onclick: () => app.again({ ten }),
        "aria-label": `${Math.floor(ten / 10)}: ${ten} to ${ten + 9} grams${ten === middle ? ", as last time" : ""}`,
      }, String(Math.floor(ten / 10)), h("span.soft", { "aria-hidden": "true" }, "_")))),
      other,
    ];
  }
  return [
    h("p.big-number", { "aria-live": "polite" }, `${Math.floor(screen.ten / 10)}`, h("span.soft", {}, "_"), " g"),
    h("div.digits", { role: "group", "aria-label": "The last digit" }, [1, 2, 3, 4, 5, 6, 7, 8, 9, 0].map((digit) => h("button.pick", {
      "data-key": `digit-${digit}`, "aria-label": `${digit}: ${screen.ten + digit} grams`,
      onclick: () => app.act(() => take(app, screen, screen.ten + digit, `${screen.ten + digit} g`)),
    }, String(digit)))),
    h("div.thirds", {}, h("button.act", { onclick: () => app.again({ ten: null }), "data-key": "other-tens" }, "Other tens"), other),
  ];
}

// What was read twice is so, however unlikely: both readings are kept, and the second is not doubted.
async function take(app, screen, grams, typed, kept = false) {
  const far = doubtful(grams, app.session.animal, app.round.weight);
  const twice = far && agrees(grams, screen.first, app.round.weight);
  if (far && !kept && !twice) {
    app.again({ doubt: { grams, typed, far }, first: null });
    return;
  }
  const reading = (one, doubted) => app.make({
    kind: "weight", grams: String(one.grams), as_typed: one.typed.slice(0, 24), ...(doubted ? { doubted: true } : {}),
  });
  if (twice) await reading(screen.first, true);
  await reading({ grams, typed }, far && !twice);
  app.frame.say(twice ? `${inGrams(grams)} kept: read twice.` : `${inGrams(grams)} kept.`);
  app.go({ ...afterHold(app, screen.hold), weighed: true });
}

function doubt(app, screen) {
  const { grams, typed, far } = screen.doubt;
  return h("div.card.doubt", { role: "alert" },
    h("p.big-number", {}, inGrams(grams)),
    h("p", {}, `That is ${far}. Take it off, set the scales to nought, and weigh again: if they say the same within ${app.round.weight.reweigh_within_g} g, it is so. Kept without that, it is marked as doubtful.`),
    h("div.thirds", {},
      h("button.act.act-main", { onclick: () => app.again({ doubt: null, ten: null, first: { grams, typed } }), "data-key": "doubt-again" }, "Weigh again"),
      h("button.act", { onclick: () => app.act(() => take(app, screen, grams, typed, true)), "data-key": "doubt-keep" }, "Keep it")));
}

function pad(app, screen, last, lastLine, onward) {
  const pounds = screen.pad === "lb";
  const unit = h("div.picks", { role: "group", "aria-label": "Unit" },
    choice("grams", !pounds, () => app.again({ pad: "g", why: "" }), { "data-key": "unit-g" }),
    choice("pounds and ounces", pounds, () => app.again({ pad: "lb", why: "" }), { "data-key": "unit-lb" }));
  const fields = pounds ? [field("pounds", "Pounds", "lb", screen), field("ounces", "Ounces", "oz", screen)] : [field("grams", "Weight in grams", "g", screen)];
  let active = fields[0].input;
  for (const one of fields) one.input.addEventListener("focus", () => { active = one.input; });
  const keep = async () => {
    const bounds = app.round.weight;
    const read = pounds ? readPounds(fields[0].input.value, fields[1].input.value, bounds) : readGrams(fields[0].input.value, bounds);
    if (read.why) app.again({ why: read.why, typed: fields.map((one) => one.input.value) });
    else await take(app, { ...screen, typed: null, why: "" }, read.grams, read.typed);
  };
  fields.forEach((one, i) => {
    one.input.value = screen.typed?.[i] ?? "";
    one.input.addEventListener("keydown", (event) => event.key === "Enter" && app.act(keep));
  });
  const key = (sign, words) => h("button.pick", {
    "data-key": `pad-${sign}`, "aria-label": words, onclick: () => {
      active.value = sign === "⌫" ? active.value.slice(0, -1) : active.value + sign;
      if (active.value.length && pounds && active === fields[0].input && sign !== "⌫") active = fields[1].input;
    },
  }, sign);
  const body = h("div.pad", {}, lastLine, unit, h("div.pad-fields", {}, fields.map((one) => one.part)),
    screen.why ? h("p.fault", { id: "weight-fault", role: "alert" }, screen.why) : "",
    h("div.digits", { role: "group", "aria-label": "Digits" }, ["1", "2", "3", "4", "5", "6", "7", "8", "9", "."].map((sign) => key(sign)), key("0"), key("⌫", "rub out")),
    h("div.thirds", {},
      last ? h("button.act", { onclick: () => app.again({ pad: null, why: "", typed: null }), "data-key": "tens" }, "Back to the tens") : "",
      h("button.act", { onclick: onward, "data-key": "without" }, "Go on without a weight")));
  return { body, main: { words: "Keep this weight", key: "keep", go: keep } };
}

function field(id, label, unit, screen) {
  const input = h("input", {
    id: `weight-${id}`, type: "text", inputmode: "none", autocomplete: "off", "data-key": `field-${id}`,
    "aria-invalid": screen.why ? "true" : null, "aria-describedby": screen.why ? "weight-fault" : null,
  });
  return { input, part: h("div.field", {}, h("label", { for: `weight-${id}` }, label), h("span.with-unit", {}, input, h("span", {}, unit))) };
}
