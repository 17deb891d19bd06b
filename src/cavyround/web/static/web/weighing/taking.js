// What becomes of a weight that was read: kept, doubted first, or kept twice because it was read twice.
import { h } from "../check/dom.js";
import { agrees, inGrams } from "../check/weighing.js";

const TYPED_LENGTH = 24;
// A wrong unit, a tub left on or a lost digit says the same a second time: reading twice proves nothing.
const REPEAT_THEMSELVES = ["ounces", "carrier", "missing_digit", "extra_digit"];
// Here one weight alone is likely to have been meant.
const MEANT_IS_PLAIN = ["ounces", "swapped_digits", "wrong_digit"];

// What was read twice is so, however unlikely: both readings are kept, and the second is not doubted.
// Not so where the slip would have repeated itself: that stays doubtful, however often it is read.
// `first` is the doubted reading before this one; `kept` says that it is to be kept all the same.
export function taken({ grams, typed }, doubt, { first = null, kept = false, bounds }) {
  const twice = Boolean(doubt) && agrees(grams, first, bounds);
  const proved = twice && !repeats(grams, doubt, bounds);
  if (doubt && !kept && !proved) return { doubt: { grams, typed, ...doubt, first: twice ? first : null } };
  if (proved) return { touches: [touch(first, true), touch({ grams, typed }, false)], words: `${inGrams(grams)} kept: read twice.` };
  // One weight with both readings as typed: two doubted weights that agree would prove each other.
  const both = first && twice ? `${typed}; ${first.typed}` : typed;
  return { touches: [touch({ grams, typed: both }, Boolean(doubt))], words: `${inGrams(grams)} kept${doubt ? ", doubtful" : ""}.` };
}

function repeats(grams, { reason }, { plausible_g }) {
  const [lightest, heaviest] = plausible_g ?? [0, Infinity];
  return REPEAT_THEMSELVES.includes(reason) || grams < lightest || grams > heaviest;
}

function touch({ grams, typed }, doubted) {
  return { kind: "weight", grams: String(grams), as_typed: typed.slice(0, TYPED_LENGTH), ...(doubted ? { doubted: true } : {}) };
}

// What the one touch on "It is 887 g" keeps: the meant weight, with what was typed.
export function meantBy(doubt) {
  if (!MEANT_IS_PLAIN.includes(doubt.reason) || !doubt.meant_g) return null;
  const grams = Math.round(doubt.meant_g);
  return { grams, typed: `${doubt.typed}, meant ${grams} g` };
}

// Asks for the animal to be weighed again, with the reason; it never refuses.
// `keep` keeps it as doubtful, `mean` keeps the weight that was meant. Ounces are reckoned;
// which digit was wrong is a guess, and a thumb in a hurry must not take a guess.
export function doubtCard(doubt, { bounds, again, keep, mean, others = [] }) {
  const meant = meantBy(doubt);
  const sure = meant && doubt.reason === "ounces";
  return h("div.card.doubt", { role: "alert" },
    h("p.big-number", {}, inGrams(doubt.grams)),
    h("p", {}, `${doubt.words} ${advice(doubt, bounds)}`),
    meant ? h(sure ? "button.act.act-main.whole" : "button.act.whole", { onclick: () => mean(meant), "data-key": "doubt-meant" }, `It is ${inGrams(meant.grams)}`) : "",
    h("div.thirds.whole", {},
      h(sure ? "button.act" : "button.act.act-main", { onclick: again, "data-key": "doubt-again" }, "Weigh again"),
      h("button.act", { onclick: keep, "data-key": "doubt-keep" }, "Keep it, doubtful")),
    others.map(({ words, go }) => h("button.act.whole", { onclick: go, "data-key": "doubt-other" }, words)));
}

function advice(doubt, bounds) {
  if (doubt.first) return "It was read twice, but this slip says the same every time: look at the unit, the tub and every digit. Kept, it is marked as doubtful.";
  const anew = "Take it off, set the scales to nought, and weigh again";
  if (repeats(doubt.grams, doubt, bounds)) return `${anew}; look at the unit, the tub and every digit. Kept as it is, it is marked as doubtful.`;
  return `${anew}: if they say the same within ${bounds.reweigh_within_g} g, it is so. Kept without that, it is marked as doubtful.`;
}
