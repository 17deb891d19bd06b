// What becomes of a weight that was read: kept, doubted first, or kept twice because it was read twice.
import { h } from "../check/dom.js";
import { agrees, inGrams } from "../check/weighing.js";

// What was read twice is so, however unlikely: both readings are kept, and the second is not doubted.
// `first` is the doubted reading before this one; `kept` says that it is to be kept all the same.
export function taken({ grams, typed }, doubt, { first = null, kept = false, bounds }) {
  const twice = Boolean(doubt) && agrees(grams, first, bounds);
  if (doubt && !kept && !twice) return { doubt: { grams, typed, ...doubt } };
  const touches = [touch({ grams, typed }, Boolean(doubt) && !twice)];
  return { touches: twice ? [touch(first, true), ...touches] : touches, words: twice ? `${inGrams(grams)} kept: read twice.` : `${inGrams(grams)} kept.` };
}

function touch({ grams, typed }, doubted) {
  return { kind: "weight", grams: String(grams), as_typed: typed.slice(0, 24), ...(doubted ? { doubted: true } : {}) };
}

// Asks for the animal to be weighed again, with the reason; it never refuses.
export function doubtCard(doubt, { bounds, again, keep, others = [] }) {
  return h("div.card.doubt", { role: "alert" },
    h("p.big-number", {}, inGrams(doubt.grams)),
    h("p", {}, `${doubt.words} Take it off, set the scales to nought, and weigh again: if they say the same within ${bounds.reweigh_within_g} g, it is so. Kept without that, it is marked as doubtful.`),
    h("div.thirds", {},
      h("button.act.act-main", { onclick: again, "data-key": "doubt-again" }, "Weigh again"),
      h("button.act", { onclick: keep, "data-key": "doubt-keep" }, "Keep it")),
    others.map(({ words, go }) => h("button.act.whole", { onclick: go, "data-key": "doubt-other" }, words)));
}
