// A weight in two touches: the tens around the last weight, then the last digit. Anything else on a pad.
// The check screen and the weigh-in show the same; each says where it begins and what becomes of a weight.
import { choice, h } from "../check/dom.js";
import { readGrams, readPounds } from "../check/weighing.js";
import { STEPS, chooseUnit, stepsAround, unit } from "./unit.js";

// `screen` holds what was touched so far (ten, pad, typed, why); `again` draws anew with more of it;
// `take(grams, typed)` is what becomes of a weight; `around` is the weight to offer the tens about.
export function entry({ screen, again, act, take, around, bounds, without = null, count = 20 }) {
  const given = { screen, again, act, take, around, bounds, without, count };
  return screen.pad || around === null ? pad(given) : { body: quick(given), main: null };
}

function quick(given) {
  const { screen, again, without } = given;
  const other = h("button.act", { onclick: () => again({ pad: unit(), ten: null }), "data-key": "pad" }, "Another weight");
  const started = screen.ten !== undefined && screen.ten !== null;
  return [started ? lastDigit(given, other) : tens(given, other), without ? without() : ""];
}

function tens({ again, around, bounds, count }, other) {
  const step = STEPS[unit()];
  const middle = step.fromGrams(around);
  return [
    h("p.big-number", { "aria-live": "polite" }, "– – –"),
    h("div.tens", { role: "group", "aria-label": step.asked, "data-unit": unit() }, stepsAround(around, bounds, unit(), count).map((ten) => h("button.pick", {
      "data-key": `ten-${ten}`, "data-last": ten === middle ? "yes" : null, onclick: () => again({ ten }),
      "aria-label": `${step.said(ten)}${ten === middle ? ", most likely" : ""}`,
    }, parts(step, ten)))),
    h("div.thirds.wide-first", {}, other, swap(again)),
  ];
}

function parts(step, ten) {
  const [before, digits] = step.parts(ten);
  return [before ? [h("span.pounds", {}, before), " "] : "", h("span", {}, digits, h("span.soft", { "aria-hidden": "true" }, step.gap))];
}

function lastDigit({ screen, again, act, take }, other) {
  const step = STEPS[unit()];
  return [
    h("p.big-number", { "aria-live": "polite" }, step.parts(screen.ten).join(" "), h("span.soft", {}, step.gap), step.unit),
    h("div.digits", { role: "group", "aria-label": "The last digit" }, [1, 2, 3, 4, 5, 6, 7, 8, 9, 0].map((digit) => h("button.pick", {
      "data-key": `digit-${digit}`, "aria-label": `${digit}: ${step.typed(screen.ten, digit)}`,
      onclick: () => act(() => take(step.gramsOf(screen.ten, digit), step.typed(screen.ten, digit))),
    }, String(digit)))),
    h("div.thirds", {}, h("button.act", { onclick: () => again({ ten: null }), "data-key": "other-tens" }, "Other tens"), other),
  ];
}

// The other unit, one touch away; it stays so on this device.
function swap(again) {
  const other = unit() === "g" ? "lb" : "g";
  return h("button.act", {
    "data-key": `in-${other}`, onclick: () => { chooseUnit(other); again({ ten: null }); },
  }, other === "lb" ? "in lb and oz" : "in grams");
}

function pad(given) {
  const { screen, again, act, take, around, bounds, without } = given;
  const which = screen.pad ?? unit();
  const pounds = which === "lb";
  const choose = (one) => { chooseUnit(one); again({ pad: one, why: "", typed: null }); };
  const fields = pounds ? [field("pounds", "Pounds", "lb", screen), field("ounces", "Ounces", "oz", screen)] : [field("grams", "Weight in grams", "g", screen)];
  const read = () => (pounds ? readPounds(fields[0].input.value, fields[1].input.value, bounds) : readGrams(fields[0].input.value, bounds));
  const keep = async () => {
    const weight = read();
    if (weight.why) again({ pad: which, why: weight.why, typed: fields.map((one) => one.input.value) });
    else await take(weight.grams, weight.typed);
  };
  fields.forEach((one, i) => {
    one.input.value = screen.typed?.[i] ?? "";
    one.input.addEventListener("keydown", (event) => event.key === "Enter" && act(keep));
  });
  const body = h("div.pad", {},
    h("div.picks", { role: "group", "aria-label": "Unit" },
      choice("grams", !pounds, () => choose("g"), { "data-key": "unit-g" }),
      choice("pounds and ounces", pounds, () => choose("lb"), { "data-key": "unit-lb" })),
    h("div.pad-fields", {}, fields.map((one) => one.part)),
    screen.why ? h("p.fault", { id: "weight-fault", role: "alert" }, screen.why) : "",
    keys(fields, pounds),
    h("div.thirds", {},
      around === null ? "" : h("button.act", { onclick: () => again({ pad: null, why: "", typed: null }), "data-key": "tens" }, "Back to the tens"),
      without ? without() : ""));
  return { body, main: { words: "Keep this weight", key: "keep", go: keep } };
}

// The screen's own digits: the phone's keyboard would cover half of it.
function keys(fields, pounds) {
  let active = fields[0].input;
  for (const one of fields) one.input.addEventListener("focus", () => { active = one.input; });
  const key = (sign, words) => h("button.pick", {
    "data-key": `pad-${sign}`, "aria-label": words, onclick: () => {
      active.value = sign === "⌫" ? active.value.slice(0, -1) : active.value + sign;
      if (active.value.length && pounds && active === fields[0].input && sign !== "⌫") active = fields[1].input;
    },
  }, sign);
  return h("div.digits", { role: "group", "aria-label": "Digits" },
    ["1", "2", "3", "4", "5", "6", "7", "8", "9", "."].map((sign) => key(sign)), key("0"), key("⌫", "rub out"));
}

function field(id, label, sign, screen) {
  const input = h("input", {
    id: `weight-${id}`, type: "text", inputmode: "none", autocomplete: "off", "data-key": `field-${id}`,
    "aria-invalid": screen.why ? "true" : null, "aria-describedby": screen.why ? "weight-fault" : null,
  });
  return { input, part: h("div.field", {}, h("label", { for: `weight-${id}` }, label), h("span.with-unit", {}, input, h("span", {}, sign))) };
}
