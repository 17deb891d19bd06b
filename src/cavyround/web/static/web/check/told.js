// What was read in the words, by animal, with what the carer mended; and the touches it comes to. Pure.
import { inGrams, GRAMS_PER_OUNCE, OUNCES_PER_POUND } from "./weighing.js";
import { doubtOf, matesOf } from "../weighing/doubt.js";
import { plannedSteps } from "./session.js";
import { WEIGHT_STEP } from "./fold.js";

const GRAMS_OF = { g: 1, kg: 1000, lb: GRAMS_PER_OUNCE * OUNCES_PER_POUND, oz: GRAMS_PER_OUNCE };
const NEAR_LETTERS = 14;
export const WEIGHT_UNITS = Object.keys(GRAMS_OF);
export const DOSE_UNITS = ["ml", "mg"];

export function isTable(name, table) {
  const said = name.trim().toLowerCase();
  return !said || said.startsWith("unnamed") || said === table?.toLowerCase();
}

// Which animals of the house a spoken name may mean: a pen-mate goes before others of the same name.
export function whose(round, table, name) {
  if (isTable(name, table.name)) return [table];
  const said = name.trim().toLowerCase().replace(/ \(.*$/, "");
  const named = round.animals.filter((one) => one.name.toLowerCase() === said);
  const mates = named.filter((one) => one.pen_id && one.pen_id === table.pen_id);
  return mates.length ? mates : named;
}

export function groups({ round, animal, reading, mends }) {
  return together(reading.animals.map((read, i) => {
    const candidates = whose(round, animal, read.name);
    const chosen = mends[`who-${i}`]?.animal;
    const who = chosen === undefined ? (candidates.length === 1 ? candidates[0] : null) : round.animal(chosen) ?? null;
    const items = read.items.map((item, j) => mended(round, who, { ...item, key: `${i}-${j}` }, mends[`${i}-${j}`] ?? {}));
    return { ...read, key: `who-${i}`, who, candidates, mine: who?.id === animal.id, items };
  }));
}

// The same animal with and without its name is one.
function together(all) {
  const out = [];
  for (const one of all) {
    const before = one.who && out.find((other) => other.who?.id === one.who.id);
    if (!before) out.push({ ...one });
    else Object.assign(before, { items: [...before.items, ...one.items], asks: [...before.asks, ...one.asks], says_blanket: before.says_blanket || one.says_blanket });
  }
  return out;
}

// One item as it stands now: its touch, what must be asked, and whether it will be kept.
function mended(round, who, item, mend) {
  if (item.what === "weight") return weighed(round, who, item, mend);
  let { touch } = item;
  if (touch?.kind === "observation") {
    touch = { ...touch, ...(mend.side ? { side: mend.side } : {}) };
    const status = mend.status ?? touch.status ?? "present";
    if (status === "present") delete touch.status;
    else touch.status = status;
  }
  if (touch?.kind === "care" && mend.unit) touch = { ...touch, detail: mend.unit === "none" ? touch.detail : `${item.said} ${mend.unit}` };
  const only = round.regions[item.touch?.region]?.sex;
  const otherSex = only && who && who.sex !== "unknown" && only !== who.sex;
  return {
    ...item, touch, dropped: Boolean(mend.dropped), mend, spots: moved(item, touch),
    sure: (item.sure && !otherSex) || Boolean(mend.side || mend.status), why: otherSex ? `the record says ${who.sex}` : item.why,
    asks: item.unit_asked && !mend.unit ? "dose_unit" : "",
  };
}

function weighed(round, who, item, mend) {
  let { touch } = item;
  const said = Number(item.said);
  if (!touch && mend.unit && Number.isFinite(said)) {
    touch = { kind: "weight", grams: String(Math.round(said * GRAMS_OF[mend.unit] * 10) / 10), as_typed: `said ${item.said}, in ${mend.unit}`.slice(0, 24) };
  }
  if (!touch) return { ...item, touch, dropped: Boolean(mend.dropped), mend, asks: "weight_unit" };
  const grams = Number(touch.grams);
  const { lightest, heaviest } = round.weight;
  if (grams < lightest || grams > heaviest) {
    return { ...item, touch: null, dropped: false, mend, sure: false, why: `${inGrams(grams)} is no guinea pig's weight`, asks: item.touch ? "" : "weight_unit" };
  }
  const doubt = who ? doubtOf(grams, who.expected, matesOf(who, round.animals), round.weight) : null;
  return {
    ...item, dropped: Boolean(mend.dropped), mend, doubt, touch: doubt ? { ...touch, doubted: true } : touch,
    sure: item.sure && !doubt, why: doubt ? doubt.words : item.why, asks: "",
  };
}

// The drawing's left and right are mirrored about its middle.
function moved(item, touch) {
  if (!touch || touch.kind !== "observation" || touch.side === item.touch.side || !item.spots.length) return item.spots;
  const [first] = item.spots;
  return item.spots.length === 1 ? [{ ...first, x: 1000 - first.x }] : [first];
}

// What will be kept of one group; what stands in the check already is not entered twice.
export function touchesOf(group, sitting) {
  const known = new Set((sitting?.found ?? []).map((one) => sameness(one.touch)));
  const kept = group.items.filter((item) => item.touch && !item.dropped).map((item) => item.touch);
  const out = [];
  for (const touch of kept) {
    const key = sameness(touch);
    if (known.has(key)) continue;
    known.add(key);
    out.push(touch);
  }
  return out;
}

function sameness(touch) {
  return touch.kind === "observation" ? ["observation", touch.region, touch.finding, touch.side ?? "N", touch.status ?? "present"].join(" ")
    : touch.kind === "step_normal" || touch.kind === "step_skipped" ? `${touch.kind} ${touch.step}` : JSON.stringify(touch);
}

// The steps of the plan that neither the words nor a touch said anything of. A blanket word names none.
export function notNamed(animal, sitting, touches) {
  const done = new Set(sitting?.steps.keys() ?? []);
  for (const touch of touches) {
    if (touch.kind === "weight") done.add(WEIGHT_STEP);
    else if (touch.step) done.add(touch.step);
  }
  return plannedSteps(animal).filter((step) => !done.has(step));
}

// The words a line came from; what lies close between them is quoted with them.
export function quote(text, spans) {
  const runs = [];
  for (const [from, to] of spans) {
    const last = runs.at(-1);
    if (last && from - last[1] <= NEAR_LETTERS && !/[.!?\n]/.test(text.slice(last[1], from))) last[1] = Math.max(last[1], to);
    else runs.push([from, to]);
  }
  return runs.map(([from, to]) => text.slice(from, to)).join(" … ");
}

// Runs of words that were left out for one reason, for the list beside the text.
export function leftOut(text, words) {
  const runs = [];
  for (const [from, to, used, why] of words) {
    const last = runs.at(-1);
    if (last && last.why === why && !used && last.open) last.to = to;
    else if (last) last.open = false;
    if (!used && (!last || !last.open)) runs.push({ from, to, why, open: true });
  }
  return runs.filter((one) => one.why && one.why !== "no_content").map(({ from, to, why }) => ({ why, words: text.slice(from, to) }));
}
