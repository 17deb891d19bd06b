// Why a weight should be read again before it is kept: as engines/weight/doubting.py says it, case for case.
// Doubted is what lies outside the plausible band or far from the middle of the likely one; what a pen-mate
// should weigh; and what a swap of digits or a wrong hundred, put right, would make likely.
import { GRAMS_PER_OUNCE } from "../check/weighing.js";

const WORDS = {
  swapped_digits: ({ meant }) => `Two digits may be swapped: ${meant} g?`,
  ounces: ({ meant, typed }) => `That may be ounces: ${typed} oz are ${meant} g.`,
  missing_digit: ({ meant }) => `A digit may be missing: ${meant} g?`,
  extra_digit: ({ meant }) => `There may be a digit too many: ${meant} g?`,
  wrong_digit: ({ meant }) => `One digit may be wrong: ${meant} g?`,
  carrier: () => "Is the tub or carrier on the scale? Set it to nought with the tub on.",
  neighbour: ({ mate, low, high }) => `It fits ${mate} better, who should weigh ${low} to ${high} g.`,
  far: () => "Far from what this animal should weigh.",
};
const DIGITS = [..."0123456789"];

// The pen-mates an animal may be mistaken for, each with what its own weighing should show.
export function matesOf(animal, all) {
  if (!animal.pen_id || animal.pen_id === "no_pen") return [];
  return all.filter((one) => one.pen_id === animal.pen_id && one.id !== animal.id && one.expected);
}

// `mates` have id, name and expected; `carrier_g` is what tubs and carriers weigh, the others are how
// far from the middle of what is likely a weight is asked for again, and a pen-mate thought of.
export function doubtOf(grams, expected, mates, { carrier_g: [lightest, heaviest], asked_beyond, neighbour_beyond }) {
  if (!expected || isIn(grams, expected.likely)) return null;
  const { plausible, likely, known } = expected;
  const half = (likely.high - likely.low) / 2;
  const beyond = (times) => known && Math.abs(grams - likely.mid) > times * half;
  const far = !isIn(grams, plausible) || beyond(asked_beyond);
  if (!far && !known) return null;
  const slip = (far ? slipOf(grams, likely, known) : null) ?? (known ? nearSlip(grams, likely) : null);
  if (slip && slip.reason !== "wrong_digit") return ofSlip(grams, slip);
  const mate = beyond(neighbour_beyond) ? fits(grams, mates) : null;
  if (mate) {
    const { low, high } = mate.expected.likely;
    return { ...said("neighbour", { mate: mate.name, low: halfEven(low), high: halfEven(high) }), fits: mate.id };
  }
  if (slip) return ofSlip(grams, slip);
  if (!far) return null;
  const over = grams - likely.mid;
  return said(known && over >= lightest && over <= heaviest ? "carrier" : "far");
}

function said(reason, given = {}) {
  return { reason, words: WORDS[reason](given), meant_g: null, fits: "" };
}

function isIn(grams, { low, high }) {
  return low <= grams && grams <= high;
}

// The commonest slip that, put right, lies where this animal should be; the nearest of a sort.
// Of an animal never weighed only ounces are told.
function slipOf(grams, likely, known) {
  const fitting = slips(grams).filter((one) => isIn(one.meant, likely) && (known || one.reason === "ounces"));
  return nearest(fitting.filter((one) => one.reason === fitting[0].reason), likely);
}

function nearest(several, { mid }) {
  const off = (one) => Math.abs(one.meant - mid);
  return several.reduce((best, one) => (best && off(best) <= off(one) ? best : one), null);
}

function nearSlip(grams, likely) {
  const near = [
    ...slips(grams).filter((one) => one.reason === "swapped_digits"),
    { reason: "wrong_digit", meant: tenths(grams + 100) }, { reason: "wrong_digit", meant: tenths(grams - 100) },
  ];
  return near.find((one) => isIn(one.meant, likely)) ?? null;
}

function ofSlip(grams, { reason, meant }) {
  return { ...said(reason, { typed: String(grams), meant: halfEven(meant) }), meant_g: meant };
}

// The pen-mate whose likely weight this is, the nearest first.
function fits(grams, mates) {
  const off = (one) => Math.abs(grams - one.expected.likely.mid);
  const fitting = mates.filter((one) => one.expected.known && isIn(grams, one.expected.likely));
  return fitting.sort((a, b) => off(a) - off(b) || (a.id < b.id ? -1 : 1))[0] ?? null;
}

// All that may have been meant, the commonest slips first: as engines/weight/slips.py.
export function slips(grams) {
  const text = String(halfEven(grams));
  const places = Array.from(text, (_, at) => at);
  const put = (at, sign, skipped) => text.slice(0, at) + sign + text.slice(at + skipped);
  const swapped = places.slice(0, -1).map((at) => put(at, text[at + 1] + text[at], 2)).filter((one) => one !== text);
  const missing = [...places, text.length].flatMap((at) => DIGITS.map((digit) => put(at, digit, 0)));
  const extra = places.map((at) => put(at, "", 1)).filter((one) => one);
  // The last digit is within the scatter of any weight.
  const wrong = places.slice(0, -1).flatMap((at) => DIGITS.map((digit) => put(at, digit, 1))).filter((one) => one !== text);
  const all = (reason, several) => several.filter((one) => !one.startsWith("0")).map((one) => ({ reason, meant: Number(one) }));
  return [
    ...all("swapped_digits", swapped), { reason: "ounces", meant: tenths(grams * GRAMS_PER_OUNCE) },
    ...all("missing_digit", missing), ...all("extra_digit", extra), ...all("wrong_digit", wrong),
  ];
}

function tenths(grams) {
  return Number(grams.toFixed(1));
}

// A half goes to the even neighbour, as the server rounds.
function halfEven(grams) {
  const below = Math.floor(grams);
  const rest = grams - below;
  if (rest !== 0.5) return Math.round(grams);
  return below % 2 ? below + 1 : below;
}
